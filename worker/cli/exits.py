"""Exit codes: how each way of saying no reaches a script."""

from __future__ import annotations

from enum import IntEnum
from typing import Final

from schemas.errors import BadInput, Conflict, DawnpackError, NotNow, UnknownThing


class Exit(IntEnum):
    """What the command came to."""

    DONE = 0
    BUG = 1
    """An error nobody foresaw; its traceback is shown."""
    USAGE = 2
    """The command itself was not understood."""
    REFUSED = 3
    """What was sent cannot be read; the problem list says where and how to mend it."""
    HELD = 4
    """A human must answer first; the question is shown."""
    CONFLICT = 5
    """The revision is here with other content, or a higher one is."""
    UNKNOWN = 6
    """No job, crew, system or document of that name."""
    NOT_NOW = 7
    """Broker, ledger, store or disk cannot be used at the moment."""
    IMPOSSIBLE = 8
    """No pack can be made of these measures."""
    INCOMPLETE = 9
    """The night ended and a crew has no bundle, or a job is not accounted for."""


BY_ERROR: Final[tuple[tuple[type[DawnpackError], Exit], ...]] = (
    (BadInput, Exit.REFUSED),
    (Conflict, Exit.CONFLICT),
    (UnknownThing, Exit.UNKNOWN),
    (NotNow, Exit.NOT_NOW),
    (DawnpackError, Exit.IMPOSSIBLE),
)

IN_WORDS: Final = (
    "Exit codes: 0 done; 2 usage; 3 refused, with its problem list; 4 held, with its question; "
    "5 conflict; 6 unknown name; 7 not now; 8 no pack possible; 9 night incomplete."
)


def exit_of(error: DawnpackError) -> Exit:
    """The exit code of a refusal."""
    return next(code for kind, code in BY_ERROR if isinstance(error, kind))
