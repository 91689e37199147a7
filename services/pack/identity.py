"""Identity: the code by which two versions of a sheet are told apart.

The code is made from what a crew sees, and from nothing else: not from prices,
other crews, or when it was printed. Same content, same code.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from schemas.pages import Imprint, Sheet
from schemas.plan import Plan
from schemas.wording import say
from services.wording import words_of

_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no I, L, O or U to misread over the phone."""
LETTERS = 8
"""Of the code: 40 bits, so one chance in a million millions that two differ unseen."""

_TELLS_CHANGES = "changes"
_BARRED, _PLAIN = '"changed":true', '"changed":false'
"""As JSON writes the field; in a given text its quotes are escaped."""

CLAIM = say(
    "Layout and quantities only; it approves nothing. The authority, a licensed professional and "
    "the rail maker's instructions come first: where they differ, stop and call."
)
"""Printed at the foot of every page."""


def content_code(sheets: Iterable[Sheet], *, head: str) -> str:
    """Make the code of what stands on some sheets.

    What a replacement says of the pack before it is left out, its sheet and its bars: a pack
    of the same figures keeps its code when the old plan is lost from the store.

    Args:
        sheets: In printed order.
        head: What else is printed on each of them: job, revision, crew, site.

    Returns:
        Two groups of four letters and digits, e.g. ``7K2M-Q9DX``.
    """
    digest = hashlib.sha256(head.encode())
    for sheet in sheets:
        if sheet.key != _TELLS_CHANGES:
            said = sheet.model_dump_json().replace(_BARRED, _PLAIN)
            digest.update(said.encode())
    number = int.from_bytes(digest.digest()[:5])
    letters = "".join(_ALPHABET[number >> shift & 31] for shift in range(35, -1, -5))
    return f"{letters[:4]}-{letters[4:]}"


def head_of(plan: Plan) -> str:
    """What is printed on every page of a job's pack besides its sheets."""
    job = plan.job
    return "\n".join((job.job, str(job.revision), job.crew, site_line(plan), CLAIM))


def site_line(plan: Plan) -> str:
    """Customer and street in one line."""
    return f"{plan.job.site.customer}, {plan.job.site.street}"


def imprint(plan: Plan, *, code: str, issued: str, replaces: str) -> Imprint:
    """What every page of a job's pack carries."""
    job = plan.job
    crew = next(crew.name for crew in job.company.crews if crew.key == job.crew)
    return Imprint(
        job=job.job,
        language=words_of(job).language,
        revision=say("rev {revision}", revision=job.revision),
        site=site_line(plan),
        crew=say("Crew {crew}", crew=crew),
        code=code,
        issued=issued,
        replaces="" if replaces == "nothing" else replaces,
        check_at=check_address(job.company.address, f"{job.job} rev {job.revision}", code),
        notes=(CLAIM,),
    )


def check_address(base: str | None, what: str, code: str) -> str:
    """Where the printed machine-readable code leads, or what it says without an address."""
    return f"{base}/v1/check/{code}" if base else f"{what} {code}"
