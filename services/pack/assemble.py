"""From a plan's sheets to a pack."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.pack import PackFile
from schemas.pages import Sheet
from schemas.plan import Plan
from services.pack.identity import content_code, head_of, imprint
from services.paper.book import Part, set_book
from services.wording import tell, words_of


def make_part(plan: Plan, sheets: Sequence[Sheet], *, issued: str, replaces: str) -> Part:
    """A job's sheets under the imprint that every page of them carries."""
    code = content_code(sheets, head=head_of(plan))
    stamp = imprint(plan, code=code, issued=issued, replaces=replaces)
    return Part(imprint=tell(stamp, words_of(plan.job)), sheets=tuple(sheets))


def set_pack(plan: Plan, sheets: Sequence[Sheet], *, issued: str, replaces: str) -> PackFile:
    """Set one job's pack.

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
    printed = set_book(parts=(part,), size=crew.paper)
    return PackFile(
        job=job.job,
        revision=job.revision,
        code=part.imprint.code,
        pages=printed.pages,
        pdf=printed.pdf,
        sheets=tuple((entry.key, entry.title, entry.page) for entry in printed.index),
    )
