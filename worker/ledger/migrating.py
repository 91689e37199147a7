"""Bringing a ledger's tables to the revision that this program works with.

An empty ledger gets today's tables at once; an older one is taken there revision by
revision; one of a newer program is left alone. Tests hold that both ways end the same.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Final

from sqlalchemy import Column, Connection, MetaData, String, Table, delete, insert, inspect, select

from schemas.errors import NotNow
from worker.ledger.tables import LEDGER

HEAD: Final = "0010"
"""The revision this program works with."""

EMPTY: Final = ""
"""Revision of a ledger without tables."""

_AT: Final = Table(
    "alembic_version", MetaData(), Column("version_num", String(32), primary_key=True)
)
_BEFORE_REVISIONS: Final = "0001"
"""What a ledger with tables and no revision is at."""


def revision_of(sql: Connection) -> str:
    """The revision a ledger is at; empty when it has no tables."""
    tables = inspect(sql).get_table_names()
    if _AT.name in tables:
        return sql.execute(select(_AT.c.version_num)).scalar() or EMPTY
    return _BEFORE_REVISIONS if "jobs" in tables else EMPTY


def check(sql: Connection) -> None:
    """Refuse to work on a ledger at another revision.

    Raises:
        NotNow: It is older, and must be upgraded first; or it is newer.
    """
    at = revision_of(sql)
    if at != HEAD:
        msg = f"the ledger is at revision {at or 'none'}, this program needs {HEAD}: "
        mend = "a newer program made it" if at > HEAD else "run `dawnpack ledger upgrade`"
        raise NotNow(msg + mend)


def upgrade(sql: Connection) -> None:
    """Bring a ledger to this program's revision, on a connection inside a transaction.

    Raises:
        NotNow: It was made by a newer program.
    """
    at = revision_of(sql)
    if at == EMPTY:
        LEDGER.create_all(sql)
        _stamp(sql, HEAD)
    elif at < HEAD:
        step_up(sql, to=HEAD)
    check(sql)


def step_up(sql: Connection, *, to: str) -> None:
    """Take a ledger, or an empty database, to a newer revision step by step."""
    if (at := revision_of(sql)) == _BEFORE_REVISIONS:
        _stamp(sql, at)
    _step("upgrade", sql, to)


def step_down(sql: Connection, *, to: str) -> None:
    """Take a ledger back to an older revision; what only the newer one holds is lost.

    Args:
        sql: A connection inside a transaction.
        to: The revision, or `base` for no tables at all.
    """
    _step("downgrade", sql, to)


def _step(way: str, sql: Connection, to: str) -> None:
    from alembic import command  # noqa: PLC0415  # slow to load; an up-to-date ledger needs none
    from alembic.config import Config  # noqa: PLC0415  # the same

    config = Config()
    config.set_main_option("script_location", str(files("worker.ledger") / "migrations"))
    config.attributes["connection"] = sql
    getattr(command, way)(config, to)


def _stamp(sql: Connection, at: str) -> None:
    _AT.create(sql, checkfirst=True)
    sql.execute(delete(_AT))
    sql.execute(insert(_AT).values(version_num=at))
