"""From a plan's sheets to a pack."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.errors import UnknownThing
from schemas.lengths import INCH
from schemas.pack import OtherFile, PackFile
from schemas.pages import Sheet, Tickets
from schemas.plan import Plan
from services.pack.identity import content_code, head_of, imprint
from services.paper.book import Part, set_book
from services.paper.label_stock import Grid, set_labels
from services.wording import tell, words_for, words_of


def make_part(plan: Plan, sheets: Sequence[Sheet], *, issued: str, replaces: str) -> Part:
    """A job's sheets under the imprint that every page of them carries."""
    code = content_code(sheets, head=head_of(plan))
    stamp = imprint(plan, code=code, issued=issued, replaces=replaces)
    others = {sheet.language for sheet in sheets if sheet.language} - {stamp.language}
    return Part(
        imprint=tell(stamp, words_of(plan.job)),
        sheets=tuple(sheets),
        elsewhere=tuple(
            tell(
                stamp.model_copy(update={"language": language}),
                words_for(language).with_own(plan.job.company),
            )
            for language in sorted(others)
        ),
    )


def set_pack(plan: Plan, sheets: Sequence[Sheet], *, issued: str, replaces: str) -> PackFile:
    """Set one job's pack, for one side or both as its crew prints.

    Args:
        plan: The finished plan.
        sheets: Its sheets, in printed order.
        issued: When and by which run, in words.
        replaces: What is to be destroyed, or ``nothing``.

    Raises:
        UnprintableText: A text that no shipped font can show.
    """
    job = plan.job
    part = make_part(plan, sheets, issued=issued, replaces=replaces)
    crew = next(crew for crew in job.company.crews if crew.key == job.crew)
    printed = set_book(parts=(part,), size=crew.paper, duplex=crew.duplex)
    return PackFile(
        job=job.job,
        revision=job.revision,
        code=part.imprint.code,
        pages=printed.pages,
        pdf=printed.pdf,
        sheets=tuple((entry.key, entry.title, entry.page) for entry in printed.index),
    )


def set_tickets(plan: Plan, sheets: Sequence[Sheet], *, issued: str, replaces: str) -> OtherFile:
    """Set a pack's cut tickets on the company's label stock, with the pack's code.

    Args:
        plan: The finished plan.
        sheets: The pack's sheets, its tickets among them.
        issued: As the pack says.
        replaces: As the pack says.

    Raises:
        UnknownThing: The company file names no label stock, or nothing of the job is ticketed.
        GeometryError: Labels too small for a ticket, off the sheet, or over each other.
    """
    company = plan.job.company
    stock = company.labels
    if stock is None:
        msg = f"the company file of {company.name} names no label stock: describe it at labels"
        raise UnknownThing(msg)
    edges = ("left", "top", "wide", "high", "across", "down")
    grid = Grid(
        size=stock.paper, columns=stock.columns, rows=stock.rows,
        **{edge: getattr(stock, edge) / INCH * 72 for edge in edges},
    )  # fmt: skip
    tickets = [
        ticket
        for sheet in sheets
        for block in sheet.blocks
        if isinstance(block, Tickets)
        for ticket in block.tickets
    ]
    if not tickets:
        msg = f"nothing of {plan.job.job} is cut to a ticket"
        raise UnknownThing(msg)
    part = make_part(plan, sheets, issued=issued, replaces=replaces)
    printed = set_labels(tickets, grid=grid, imprint=part.imprint)
    return OtherFile(name=f"{plan.job.job}-labels.pdf", content=printed.pdf)
