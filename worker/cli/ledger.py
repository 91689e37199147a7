"""The ledger's own commands: which revision its tables are at, and bringing them up to date."""

from __future__ import annotations

import typer

from worker.cli.showing import out
from worker.ledger.migrating import HEAD, revision_of
from worker.ledger.opening import reach_ledger, upgrade_ledger
from worker.settings import Settings

commands = typer.Typer(no_args_is_help=True, help="Look after the ledger's tables.")


@commands.command()
def upgrade() -> None:
    """Bring the ledger's tables to the revision this program works with; nothing is lost.

    A SQLite ledger is upgraded whenever it is opened; a PostgreSQL ledger only by this
    command: stop the workers of the older program first.

    Example: DAWNPACK_LEDGER_URL=postgresql+psycopg://ledger/dawnpack dawnpack ledger upgrade
    """
    before, after = upgrade_ledger(Settings.read().ledger)
    if before == after:
        out.print(f"the ledger is at revision {after} already")
    else:
        out.print(f"the ledger went from revision {before or 'none'} to {after}")


@commands.command()
def revision() -> None:
    """Say which revision the ledger's tables are at, and which this program works with.

    Example: dawnpack ledger revision
    """
    ledger = reach_ledger(Settings.read().ledger)
    with ledger.writing() as tx:
        at = revision_of(tx.sql)
    ledger.close()
    out.print(f"ledger: {at or 'none'}, program: {HEAD}")
