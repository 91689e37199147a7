"""How a flight's foot and mid posts are fixed, which the legs' own detail does not say.

A rim detail's bolts find no rim on a landing or a tread, so a foot has a detail of its own
or is asked about; until then it takes no parts and its core stays a whole stick.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from schemas.company import FixingDetail
from schemas.job import Job
from schemas.layout import Post
from schemas.site import Correction, Option, Question, Stair
from schemas.wording import Said, row, say, shipped
from services.wording.terms import term

RIM = frozenset({"inside-rim", "outside-rim"})
"""Where posts along legs are bolted, and feet are not."""
_KINDS = {"stair-lower": ("foot", "lower_post/detail"), "stair-mid": ("mid", "mid_detail")}
_GO_ON = Option(
    key="go-on",
    says=say("Go on; these posts are not set before the office names their fixing"),
)


def feet_unfixed(job: Job, to_set: Iterable[Post]) -> Iterator[Question]:
    """Flights whose feet or mid posts have no detail that can hold them.

    Args:
        job: With its flights and the company's details.
        to_set: The posts to be set; a foot that a landing's own line has is none of them.
    """
    posts = tuple(to_set)
    for number, stair in enumerate(job.stairs):
        for where, (kind, place) in _KINDS.items():
            names = [p.name for p in posts if p.leg == stair.name and p.where == where]
            if not names:
                continue
            detail = next(job.fixing_of(p) for p in posts if p.name == names[0])
            options = _options(job, pointer=f"/stairs/{number}/{place}")
            key = f"post.{kind}-{stair.name}"
            if detail is None:
                yield _unknown(job, stair, key=key, posts=names, on=_on(stair, kind),
                               options=(*options, _GO_ON))  # fmt: skip
            elif detail.mount in RIM:
                yield _for_a_rim(stair, detail, key=key, posts=names, on=_on(stair, kind),
                                 options=options)  # fmt: skip


def _on(stair: Stair, kind: str) -> Said:
    """What the posts stand on, as the measure says."""
    if kind == "mid" or stair.lower_post.stands_on == "tread":
        return say("a tread")
    written = shipped(stair.landing) if stair.landing else say("not recorded")
    ground = say("the ground") if stair.lower_post.stands_on == "grade" else say("the landing")
    return say("{ground} ({written})", ground=ground, written=written)


def _options(job: Job, *, pointer: str) -> tuple[Option, ...]:
    """The company's details that are not for a rim."""
    return tuple(
        Option(
            key=detail.key,
            says=say("Detail {detail}: {says}", detail=detail.key, says=shipped(detail.says[:150])),
            sets=(Correction(pointer=pointer, value=detail.key),),
        )
        for detail in job.company.details
        if detail.mount not in RIM
    )


def _unknown(
    job: Job, stair: Stair, *, key: str, posts: list[str], on: Said, options: tuple[Option, ...]
) -> Question:
    legs = (
        say(
            "Detail {detail} is recorded for the posts along the legs ({mount}) and is not taken "
            "for them.",
            detail=job.detail.key,
            mount=term(job.detail.mount),
        )
        if job.detail
        else say("No detail is recorded for the posts along the legs either.")
    )
    return Question(
        key=key,
        severity="hold",
        place=say("Stair {stair}", stair=stair.name),
        says=row(
            (
                say(
                    "{posts} stand on {on}, and no approved detail is recorded for their feet.",
                    posts=row(posts), on=on,
                ),
                legs,
                say("No bolts or anchors are on the load for them."),
            ),
            " ",
        ),
        ask=say("By which approved detail are they fixed? Nothing is drilled before it is known."),
        options=options,
    )  # fmt: skip


def _for_a_rim(
    stair: Stair, detail: FixingDetail, *, key: str, posts: list[str], on: Said,
    options: tuple[Option, ...],
) -> Question:  # fmt: skip
    return Question(
        key=key,
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{posts} stand on {on}, and detail {detail} is for a post at a rim ({mount}): its "
            "bolts find nothing there.",
            posts=row(posts), on=on, detail=detail.key, mount=term(detail.mount),
        ),
        ask=say("By which approved detail are they fixed?"),
        options=options,
    )  # fmt: skip
