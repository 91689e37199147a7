"""What the posts take: cores, sleeves, skirts, caps, adhesive, the parts of their fixing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import ceil

from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.layout import Post
from schemas.part_rule import Group, SpareKind
from schemas.wording import counted, say
from services.takeoff.counted import Count, coloured


def post_parts(job: Job, to_set: tuple[Post, ...], cuts: CutPlan) -> Iterator[Count]:
    """Parts of the posts to be set; posts in place take none.

    Args:
        job: With its system and its approved detail.
        to_set: The posts to be set.
        cuts: For sticks of core and sleeve.
    """
    if not to_set:
        return
    names = tuple(post.name for post in to_set)
    yield from sticks(
        cuts, "core", group="posts", spare="core", why=say("by the cut list of cores")
    )
    yield from sticks(
        cuts, "sleeve", group="sleeves", spare="sleeve", why=say("by the sleeve cut list"),
        variant=coloured(job),
    )  # fmt: skip
    sleeve = job.system.sleeve
    dress: tuple[tuple[str, SpareKind], ...] = (
        (sleeve.skirt_key, "skirt"),
        (sleeve.cap_key, "cap"),
    )
    for key, spare in dress:
        yield Count(
            group="sleeves", key=key, needed=len(names),
            why=counted("1 a post x {count} post", "1 a post x {count} posts", count=len(names)),
            places=names, variant=coloured(job), spare=spare,
        )  # fmt: skip
    yield _adhesive(job, names)
    yield from _fixings(job, to_set)


def sticks(
    cuts: CutPlan, what: str, *, group: Group, spare: SpareKind, why: str,
    variant: str | None = None,
) -> Iterator[Count]:  # fmt: skip
    """Sticks of plain stock, by the cut list; a rest off the rack is not bought."""
    bars = [bar for bar in cuts.plain if bar.what == what and bar.tag is None]
    for key, count in sorted(Counter(bar.stock for bar in bars).items()):
        places = tuple(piece[0] for bar in bars if bar.stock == key for piece in bar.pieces)
        yield Count(
            group=group, key=key, needed=count, why=why, places=places, variant=variant,
            spare=spare,
        )  # fmt: skip


def _adhesive(job: Job, names: tuple[str, ...]) -> Count:
    caps = job.system.adhesive_caps
    return Count(
        group="consumables",
        key=job.system.adhesive_key,
        needed=ceil(len(names) / caps),
        why=counted(
            "1 for each {each} caps x {count} cap",
            "1 for each {each} caps x {count} caps",
            count=len(names),
            each=caps,
        ),
        places=names,
        spare="adhesive",
    )


def _fixings(job: Job, to_set: tuple[Post, ...]) -> Iterator[Count]:
    """Each approved detail's own parts for its posts; none is guessed where none is recorded."""
    fixed: dict[str, list[str]] = {}
    details = {post.name: job.fixing_of(post) for post in to_set}
    for name, detail in details.items():
        if detail:
            fixed.setdefault(detail.key, []).append(name)
    known = {detail.key: detail for detail in details.values() if detail}
    for number, names in fixed.items():
        detail = known[number]
        spare: SpareKind = "anchor" if detail.mount == "concrete" else "fixing"
        for key, each in detail.parts:
            yield Count(
                group="fixings", key=key, needed=each * len(names),
                why=counted(
                    "{each} a post by detail {detail} x {count} post",
                    "{each} a post by detail {detail} x {count} posts",
                    count=len(names), each=each, detail=number,
                ),
                places=tuple(names),
                spare=spare, a_set=each,
            )  # fmt: skip
