"""The program: its commands, its settings, and where refusals become exit codes."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

from schemas.errors import DawnpackError
from worker.cli import door, house, ledger, lists, nights, office, one_job, rack, reference
from worker.cli.exits import IN_WORDS, exit_of
from worker.cli.showing import show_error


class Door(TyperGroup):
    """Turns a refusal into its words and its exit code, whichever command met it."""

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401  # as the command library has it
        """Run the command."""
        try:
            return super().invoke(ctx)
        except DawnpackError as no:
            show_error(no)
            raise typer.Exit(exit_of(no)) from no


program = typer.Typer(
    cls=Door,
    name="dawnpack",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_show_locals=False,
    rich_markup_mode="rich",
    help="Work packs for crews that install deck and porch railing: jobs in, printed bundles out.",
    epilog=f"{IN_WORDS} Settings are environment variables; see: dawnpack settings",
)

program.command()(house.demo)
program.command()(one_job.check)
program.command()(one_job.plan)
program.command()(one_job.pack)
program.command()(lists.takeoff)
program.command()(lists.cuts)
program.command()(lists.order)
program.command()(office.submit)
program.command()(nights.drop)
program.command()(office.status)
program.command()(office.answer)
program.command()(office.withdraw)
program.command()(office.move)
program.command()(office.split)
program.command()(office.calendar)
program.command()(office.retry)
program.command()(house.night)
program.command()(nights.schedule)
program.command("print")(nights.print_bundles)
program.command()(nights.bookings)
program.command()(nights.decide)
program.command()(nights.told)
program.command()(house.work)
program.command()(house.health)
program.command()(house.audit)
program.command()(door.serve)
program.add_typer(door.keys, name="key")
program.add_typer(ledger.commands, name="ledger")
program.add_typer(rack.commands, name="rack")
program.command()(reference.schema)
program.command()(reference.template)
program.command()(reference.systems)
program.command()(reference.codes)
program.command()(reference.settings)


def main() -> None:
    """Run the program."""
    program()
