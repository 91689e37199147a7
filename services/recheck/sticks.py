"""Sleeves, cores and handrail by name: whose they are, where they are cut, what is left over."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.plan import Plan
from services.recheck.limits import inches


def recheck_sticks(plan: Plan) -> Iterator[str]:
    """Every piece of a stick that is another job's, cut elsewhere or left longer than is said."""
    cut_in = {name: bar.cut_in for bar in plan.cuts.plain for name, _, _ in bar.pieces}
    sleeves = {f"{height.post} sleeve": height.sleeve for height in plan.bays.posts}
    for piece in plan.cuts.plain_pieces:
        if (piece.job, piece.revision) != (plan.job.job, plan.job.revision):
            yield f"{piece.id}: a piece of {piece.job} rev {piece.revision}"
        if cut_in.get(piece.id, piece.cut_in) != piece.cut_in:
            yield f"{piece.id}: to be cut in the {piece.cut_in}, and lies on a stick that is not"
        own = sleeves.get(piece.id, piece.length - (piece.over if piece.what == "core" else 0))
        if piece.length - own != piece.over:
            yield f"{piece.id}: {inches(piece.over)} over, {inches(piece.length - own)} found"
    trims = {one.tag: one.trim_right for one in plan.cuts.plain_offered if one.tag}
    for bar in plan.cuts.plain:
        if bar.trim_right != trims.get(bar.tag or "", plan.job.company.end_trim):
            yield f"{bar.stock} {bar.number}: {inches(bar.trim_right)} to be squared off its end"
