"""Opening the ledger: one engine a process, every change in one transaction.

SQLite runs in WAL mode with `synchronous=FULL` (with NORMAL the last commits may be lost in
a power cut, and an accepted job is a promise) and takes its write lock at the start, so that
a transaction that has read may always write. WAL needs a local disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import InterfaceError, OperationalError
from sqlalchemy.pool import StaticPool

from schemas.errors import NotNow
from worker.clock import Clock, SystemClock
from worker.ledger import migrating

BUSY: Final = 30.0
"""How long a writer waits for another one before it gives up. [s]"""


ONLY_READS: Final[dict[str, dict[str, Any]]] = {
    "sqlite": {"only_reads": True},  # no write lock; the write-ahead log keeps the moment
    "postgresql": {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tx:
    """One transaction, at one time."""

    sql: Connection
    now_ms: int
    """The same for all rows of the transaction; the database's own clock on PostgreSQL."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Where transactions come from."""

    engine: Engine
    clock: Clock | None = None
    """None: the database server's clock, one for all hosts."""

    @contextmanager
    def writing(self) -> Iterator[Tx]:
        """All that happens inside is kept together, or none of it.

        Raises:
            NotNow: The database cannot be reached or is busy beyond patience.
        """
        with _reached(), self.engine.begin() as sql:
            yield Tx(sql=sql, now_ms=self._now_ms(sql))

    @contextmanager
    def reading(self) -> Iterator[Tx]:
        """All that is read inside is of one moment, and holds up no writer.

        Raises:
            NotNow: The database cannot be reached.
        """
        snapshot = self.engine.execution_options(**ONLY_READS[self.engine.dialect.name])
        with _reached(), snapshot.begin() as sql:
            yield Tx(sql=sql, now_ms=self._now_ms(sql))

    def close(self) -> None:
        """Give back the connections."""
        self.engine.dispose()

    def _now_ms(self, sql: Connection) -> int:
        if self.clock is not None:
            return self.clock.now_ms()
        return int(sql.scalar(text("SELECT floor(extract(epoch FROM clock_timestamp()) * 1000)")))


@contextmanager
def _reached() -> Iterator[None]:
    try:
        yield
    except (OperationalError, InterfaceError) as no:
        msg = f"the ledger cannot be used: {no.orig}"
        raise NotNow(msg) from no


def open_ledger(url: str, clock: Clock | None = None) -> Ledger:
    """Open the ledger of that URL, at the revision this program works with.

    A SQLite ledger is made, or brought there, on the way. A PostgreSQL ledger serves many
    hosts, so it is upgraded only when somebody says so.

    Args:
        url: `sqlite:///FILE`, `sqlite://` (in memory) or `postgresql+psycopg://...`.
        clock: None: this machine's for SQLite, the server's for PostgreSQL.

    Raises:
        NotNow: It cannot be reached, or stands at another revision.
    """
    ledger = reach_ledger(url, clock)
    try:
        with ledger.writing() as tx:
            if tx.sql.dialect.name == "sqlite":
                migrating.upgrade(tx.sql)
            else:
                migrating.check(tx.sql)
    except NotNow:
        ledger.close()
        raise
    return ledger


def upgrade_ledger(url: str) -> tuple[str, str]:
    """Bring the ledger of that URL to this program's revision; from where, and to where.

    Raises:
        NotNow: It cannot be reached, or a newer program made it.
    """
    ledger = reach_ledger(url)
    try:
        with ledger.writing() as tx:
            if tx.sql.dialect.name == "postgresql":
                tx.sql.execute(text("SELECT pg_advisory_xact_lock(1)"))  # one at a time
            before = migrating.revision_of(tx.sql)
            migrating.upgrade(tx.sql)
            return before, migrating.revision_of(tx.sql)
    finally:
        ledger.close()


def reach_ledger(url: str, clock: Clock | None = None) -> Ledger:
    """The ledger of that URL at whatever revision it stands; nothing is looked at yet."""
    where = make_url(url)
    is_file = where.get_backend_name() == "sqlite"
    engine = _sqlite(url, where.database) if is_file else create_engine(url, pool_pre_ping=True)
    return Ledger(engine=engine, clock=clock or (SystemClock() if is_file else None))


def _sqlite(url: str, path: str | None) -> Engine:
    if path:
        Path(path).parent.mkdir(parents=True, exist_ok=True)
        engine = create_engine(url, connect_args={"timeout": BUSY})
    else:
        engine = create_engine(url, poolclass=StaticPool, connect_args={"check_same_thread": False})
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _lock_first)
    return engine


def _prepare(connection: object, _: object) -> None:
    connection.isolation_level = None  # type: ignore[attr-defined]  # we say BEGIN ourselves
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")  # type: ignore[attr-defined]


def _lock_first(connection: Connection) -> None:
    only_reads = connection.get_execution_options().get("only_reads")
    connection.exec_driver_sql("BEGIN" if only_reads else "BEGIN IMMEDIATE")


def copy_ledger(url: str, to: Path) -> None:
    """Copy a SQLite ledger whole, as of one moment, whoever writes meanwhile.

    Raises:
        NotNow: It is no SQLite ledger, or cannot be reached.
    """
    where = make_url(url)
    if where.get_backend_name() != "sqlite" or not where.database:
        msg = "only a SQLite ledger in a file is copied so; use pg_dump for PostgreSQL"
        raise NotNow(msg)
    if not Path(where.database).is_file():
        msg = f"there is no ledger at {where.database}"
        raise NotNow(msg)
    with closing(sqlite3.connect(where.database)) as source, closing(sqlite3.connect(to)) as copy:
        source.backup(copy)
