"""A database server for every test that wants one."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import create_engine, text

from tests.servers import postgres_server


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The URL of a PostgreSQL server that runs as long as the tests do."""
    with postgres_server() as running:
        yield running.url


@pytest.fixture
def bare_postgres(postgres: str) -> str:
    """The URL of a PostgreSQL database without tables."""
    return emptied(postgres)


def emptied(postgres: str) -> str:
    """A database without its tables; its URL."""
    engine = create_engine(postgres)
    with engine.begin() as sql:
        sql.execute(text("DROP SCHEMA public CASCADE"))
        sql.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return postgres
