"""What the steps are written from, and how they write a length."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from schemas.bays import Bays, LevelBay, StairBay
from schemas.cut_plan import CutPlan, Piece
from schemas.job import Job
from schemas.layout import LaidLeg, Layout, Post
from schemas.wording import Said, say
from services import tape


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A finished plan, as the steps ask for it."""

    job: Job
    layout: Layout
    bays: Bays
    cuts: CutPlan

    def mark(self, length: float) -> str:
        """A length as the tape shows it."""
        return tape.text(length, self.job.step)

    def marks(self, lengths: Iterable[float]) -> str:
        """Lengths in a row."""
        return ", ".join(map(self.mark, lengths))

    def span(self, low: float, high: float) -> Said:
        """From one length to another."""
        return say("{low} to {high}", low=self.mark(low), high=self.mark(high))

    def plain(self, inches: str, metric: str) -> str:
        """A tolerance of the trade in this job's unit."""
        return metric if tape.is_metric(self.job.step) else inches

    def new_posts(self) -> tuple[Post, ...]:
        """Posts that this job sets."""
        return tuple(post for post in self.layout.posts if not post.in_place)

    def left_long(self) -> dict[str, str]:
        """Posts that keep their length until a stair's line is proved, with that stair.

        The lower and mid posts of flights; a landing's post that ends a flight is one of them.
        """
        new = {post.name for post in self.new_posts()}
        return {side.lower_post: side.stair for side in self.bays.stair if side.lower_post in new}

    def waits_for(self, leg: LaidLeg) -> tuple[str, ...]:
        """Stairs whose lower posts are cut before this leg's rails are fixed to them."""
        long = self.left_long()
        ends = {
            end.post
            for bay in self.layout.bays
            if bay.leg == leg.name and bay.kind == "level"
            for end in (bay.left, bay.right)
        }
        return tuple(dict.fromkeys(stair for post, stair in long.items() if post in ends))

    def level_of(self, leg: LaidLeg) -> tuple[LevelBay, ...]:
        """A leg's level bays, from the house outward."""
        on_leg = tuple(bay for bay in self.bays.level if bay.leg == leg.name)
        outward = leg.zero_is == "wall" or leg.end_is == "post"
        return on_leg if outward else on_leg[::-1]

    def level_bays(self) -> tuple[LevelBay, ...]:
        """All level bays in the order in which they are built."""
        return tuple(bay for leg in self.layout.legs for bay in self.level_of(leg))

    def sides(self, stair: str) -> tuple[StairBay, ...]:
        """The stair bays of a stair."""
        return tuple(bay for bay in self.bays.stair if bay.stair == stair)

    def first_built(self) -> str | None:
        """The level bay that proves pattern and saw; a stair alone has its own hold point."""
        return next((bay.name for bay in self.level_bays()), None)

    def pieces_of(self, bay: str) -> tuple[Piece, ...]:
        """The rails of a bay."""
        return tuple(piece for piece in self.pieces() if piece.bay == bay)

    def pieces(self) -> tuple[Piece, ...]:
        """This job's own rails on the cut plan."""
        ours = (self.job.job, self.job.revision)
        return tuple(piece for piece in self.cuts.pieces if (piece.job, piece.revision) == ours)
