"""The unfolded faces of a post that carries more than one bay.

Each face stands beside the next with the rails that end on it, measured up from what
the post stands on. Posts with the same marks are drawn once.
"""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import FaceMark, PostHeight
from schemas.drawings import Drawing
from schemas.job import Job
from schemas.lengths import Length
from services.drawings.boxes import DESCENT, LINE, text_width
from services.drawings.dimensions import At, up
from services.drawings.finish import finish
from services.drawings.lines import ACT, READ, Mark, line, rect, word
from services.drawings.scale import Scale, choose_scale
from services.tape import is_metric, text
from services.wording import Words, words_of
from services.wording.terms import off, term

_TALL = 100.0
_ABREAST = 2
"""Other posts whose bays are named on one line."""


def post_faces(*, group: Sequence[PostHeight], job: Job) -> Drawing:
    """Unfold one post for all that are marked like it.

    Args:
        group: Posts with the same heights on their faces. [at least one]
        job: For the sleeve's size and the graduation.
    """
    post = group[0]
    scale = choose_scale(wide=0, high=post.sleeve, tall=_TALL, metric=is_metric(job.step))
    marks: list[Mark] = []
    left = 0.0
    words = words_of(job)
    for number, (bay, faces) in enumerate(_by_bay(post)):
        face, wide = _face(bay, faces, post=post, job=job, scale=scale, left=left)
        same = _same(group[1:], number)
        for number_, says in enumerate(same, 1):
            low = -number_ * LINE * READ - 16
            face.append(word(left, low, says, lane="others"))
        marks += face
        left += max(wide, *(text_width(t, size=READ) for t in same), 0) + 24
    return finish(
        marks,
        name=f"posts-{post.post}",
        title=words.say(
            "Post {posts}: its faces side by side, measured up from what it stands on",
            posts=off([p.post for p in group]),
        ),
        said=words.say(
            "Faces of post {post} side by side with the heights of the rails on each.",
            post=post.post,
        ),
        scale=scale,
    )


def _same(others: Sequence[PostHeight], number: int) -> list[str]:
    """The bays that this face looks to on the other posts of the group, some to a line."""
    faces = [
        f"{post.post}: {bays[number][0]}" for post in others if len(bays := _by_bay(post)) > number
    ]
    return ["; ".join(faces[i : i + _ABREAST]) for i in range(0, len(faces), _ABREAST)]


def _by_bay(post: PostHeight) -> list[tuple[str, list[FaceMark]]]:
    bays = dict.fromkeys(mark.bay for mark in post.faces)
    return [(bay, [m for m in post.faces if m.bay == bay]) for bay in bays]


def _face(
    bay: str, faces: Sequence[FaceMark], *, post: PostHeight, job: Job, scale: Scale, left: float
) -> tuple[list[Mark], float]:
    """One face, and the width it takes. [pt]."""
    wide, high = scale.points(job.system.sleeve.outside), scale.points(post.sleeve)
    marks: list[Mark] = [rect(left, 0, wide, high, weight="wide", fill="white")]
    marks.append(line((left - 8, 0), (left + wide + 8, 0), weight="heavy"))
    inset = wide * 0.2
    for mark in faces:
        low, tall = scale.points(mark.underside), scale.points(mark.topside - mark.underside)
        marks.append(rect(left + inset, low, wide - 2 * inset, tall, weight="wide", fill="light"))
    words = words_of(job)
    stops = _stops(faces, post, scale, job.step, words)
    run = up(stops, x=left + wide + 12, away=1, lane=f"face-{bay}")
    marks += run.marks
    title = words.say("face to {bay}", bay=bay)
    over = max(high, run.slots[-1] + LINE * READ / 2) + DESCENT * ACT + 4
    marks.append(word(left, over, title, size=ACT, bold=True, lane="faces"))
    return marks, max(wide + 12 + run.reach, text_width(title, size=ACT, bold=True))


def _stops(
    faces: Sequence[FaceMark], post: PostHeight, scale: Scale, step: Length, words: Words
) -> list[At]:
    heights = [(0, "0")]
    if not post.in_place:
        heights.append((post.sleeve, words.say("sleeve {at}", at=text(post.sleeve, step))))
    for mark in faces:
        rail = term(mark.rail)
        under, over = text(mark.underside, step), text(mark.topside, step)
        heights.append((mark.underside, words.say("{rail} under {at}", rail=rail, at=under)))
        heights.append((mark.topside, words.say("{rail} over {at}", rail=rail, at=over)))
    return [At(at=scale.points(h), says=says) for h, says in sorted(heights)]
