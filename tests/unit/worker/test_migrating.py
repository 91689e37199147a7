"""The ledger's revisions: every way to today's tables ends at the same ones, and leads back."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

import worker.ledger
from schemas.errors import NotNow
from tests.stand_in import StandIn, submission_of
from worker.ledger.accepting import accept
from worker.ledger.migrating import EMPTY, HEAD, revision_of, step_down, step_up, upgrade
from worker.ledger.opening import open_ledger, reach_ledger, upgrade_ledger
from worker.ledger.records import job_by_number
from worker.ledger.tables import LEDGER


def revisions() -> list[str]:
    """Every revision there is, oldest first."""
    config = Config()
    folder = Path(worker.ledger.__path__[0]) / "migrations"
    config.set_main_option("script_location", str(folder))
    walked = ScriptDirectory.from_config(config).walk_revisions()
    return [script.revision for script in walked][::-1]


@pytest.fixture
def sql(bare_url: str) -> Iterator[Connection]:
    """A connection to a database without tables, inside a transaction."""
    ledger = reach_ledger(bare_url)
    with ledger.writing() as tx:
        yield tx.sql
    ledger.close()


def shape(sql: Connection) -> dict[str, Any]:
    """Every table with its columns, keys and indexes, as the database itself tells them."""
    seen = inspect(sql)
    return {
        name: {
            "columns": [(c["name"], str(c["type"]), c["nullable"]) for c in seen.get_columns(name)],
            "primary": seen.get_pk_constraint(name)["constrained_columns"],
            "foreign": sorted(
                (f["constrained_columns"], f["referred_table"]) for f in seen.get_foreign_keys(name)
            ),
            "unique": sorted(u["column_names"] for u in seen.get_unique_constraints(name)),
            "indexes": sorted((str(i["name"]), i["column_names"]) for i in seen.get_indexes(name)),
        }
        for name in seen.get_table_names()
    }


def test_the_program_works_with_the_last_revision() -> None:
    """One straight line of revisions, numbered so that a newer one is greater."""
    assert revisions()[-1] == HEAD
    assert revisions() == sorted(revisions())


def test_at_once_or_step_by_step_the_tables_are_the_same(sql: Connection) -> None:
    """As the database tells them, and as Alembic compares them with the program's."""
    upgrade(sql)
    at_once = shape(sql)
    step_down(sql, to="base")
    for revision in revisions():
        step_up(sql, to=revision)

    assert shape(sql) == at_once
    assert compare_metadata(MigrationContext.configure(sql), LEDGER) == []


def test_every_revision_leads_back_to_the_one_before(sql: Connection) -> None:
    """Up, down and up again; from the first, back to no tables."""
    shapes = {EMPTY: shape(sql)}
    for revision in revisions():
        step_up(sql, to=revision)
        shapes[revision] = shape(sql)

    for back_to in [EMPTY, *revisions()[:-1]][::-1]:
        step_down(sql, to=back_to or "base")
        kept = shape(sql)
        if back_to == EMPTY:
            kept.pop("alembic_version")
        assert kept == shapes[back_to]
        assert revision_of(sql) == back_to


def test_what_was_accepted_outlives_all_revisions(bare_url: str) -> None:
    """A ledger at the first revision keeps its jobs on the way to the last."""
    ledger = reach_ledger(bare_url)
    raw = submission_of("J-1")
    with ledger.writing() as tx:
        upgrade(tx.sql)
        accept(tx, StandIn().read_submission(raw), raw=raw, issued="2026-12-02")
        step_down(tx.sql, to=revisions()[0])
        before = tx.sql.execute(text("SELECT job, state, questions FROM jobs")).all()

        upgrade(tx.sql)

        assert tx.sql.execute(text("SELECT job, state, questions FROM jobs")).all() == before
        assert job_by_number(tx, "J-1").state == "received"
    ledger.close()


def test_tables_without_a_revision_are_taken_as_the_first(sql: Connection) -> None:
    """A ledger from before there were revisions goes on."""
    step_up(sql, to=revisions()[0])
    sql.execute(text("DROP TABLE alembic_version"))

    upgrade(sql)

    assert revision_of(sql) == HEAD


def test_a_newer_programs_ledger_is_left_alone(bare_url: str) -> None:
    """This one does not know what is in it."""
    upgrade_ledger(bare_url)
    ledger = reach_ledger(bare_url)
    with ledger.writing() as tx:
        tx.sql.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    ledger.close()

    with pytest.raises(NotNow, match="a newer program made it"):
        open_ledger(bare_url)
    with pytest.raises(NotNow, match="a newer program made it"):
        upgrade_ledger(bare_url)


def test_a_shared_ledger_is_upgraded_only_when_told(bare_postgres: str) -> None:
    """Many hosts work on it; the refusal says how."""
    with pytest.raises(NotNow, match="run `dawnpack ledger upgrade`"):
        open_ledger(bare_postgres)

    assert upgrade_ledger(bare_postgres) == (EMPTY, HEAD)
    assert upgrade_ledger(bare_postgres) == (HEAD, HEAD)
    open_ledger(bare_postgres).close()


def test_two_who_upgrade_at_once_do_it_once(bare_url: str) -> None:
    """The second finds it done."""
    with ThreadPoolExecutor(4) as crowd:
        done = list(crowd.map(lambda _: upgrade_ledger(bare_url), range(4)))

    assert sorted(done) == [(EMPTY, HEAD), *[(HEAD, HEAD)] * 3]
