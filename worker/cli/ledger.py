"""The ledger's own commands: which revision its tables are at, and bringing them up to date."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from worker.cli.showing import out
from worker.ledger.migrating import HEAD, revision_of
from worker.ledger.opening import copy_ledger, reach_ledger, upgrade_ledger
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


@commands.command()
def copy(
    to: Annotated[Path, typer.Argument(help="The copy; there must be no such file.")],
) -> None:
    """Copy a SQLite ledger while it is in use; for PostgreSQL there is pg_dump.

    Example: dawnpack ledger copy ledger-copy.sqlite
    """
    if to.exists():
        msg = f"{to} is there already"
        raise typer.BadParameter(msg)
    copy_ledger(Settings.read().ledger, to)
    out.print(f"{to}: {to.stat().st_size} bytes")
