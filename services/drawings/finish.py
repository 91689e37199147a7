"""The last step of every drawing: all its marks moved into one rectangle of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import count

from schemas.drawings import TALLEST, WIDEST, Drawing, Label, Stroke
from schemas.errors import GeometryError
from services.drawings.boxes import box_of
from services.drawings.lines import Mark
from services.drawings.scale import Scale, smaller

_EDGE = 4.0


def finish(
    marks: Iterable[Mark], *, name: str, title: str, said: str, scale: Scale | None
) -> Drawing:
    """Close a drawing round its marks, so that nothing of it can lie outside.

    Args:
        marks: In painting order, in any place of the plane. [pt]
        name: Key within the pack.
        title: Line printed over it.
        said: What it shows, in a sentence.
        scale: To which it is drawn; none when it is not to scale.
    """
    strokes: list[Stroke] = []
    labels: list[Label] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            strokes.append(mark)
        else:
            labels.append(mark)
    boxes = [box_of(label) for label in labels]
    xs = [x for s in strokes for x, _ in s.points] + [e for b in boxes for e in (b.left, b.right)]
    ys = [y for s in strokes for _, y in s.points] + [e for b in boxes for e in (b.bottom, b.top)]
    left, low = min(xs) - _EDGE, min(ys) - _EDGE
    return Drawing(
        name=name,
        title=title,
        said=said,
        width=max(xs) + _EDGE - left,
        height=max(ys) + _EDGE - low,
        scale=scale.says if scale else "",
        bar=scale.points(scale.bar) if scale else 0,
        bar_says=scale.bar_says if scale else "",
        strokes=tuple(_moved(stroke, left, low) for stroke in strokes),
        labels=tuple(label.model_copy(update=_shift(label, left, low)) for label in labels),
    )


def _moved(stroke: Stroke, left: float, low: float) -> Stroke:
    points = tuple((x - left, y - low) for x, y in stroke.points)
    return stroke.model_copy(update={"points": points})


def _shift(label: Label, left: float, low: float) -> dict[str, float]:
    return {"x": label.x - left, "y": label.y - low}


def fitting(
    draw_at: Callable[[Scale], Drawing], *, scale: Scale, tries: int | None = None
) -> Drawing:
    """Draw at a scale, or at the next smaller ones until the labels too find room.

    Args:
        draw_at: Draws the thing at a scale.
        scale: The one to begin with.
        tries: So many smaller scales are tried; none: all there are.

    Raises:
        GeometryError: It finds room at none of them.
    """
    drawing = draw_at(scale)
    for tried in count(1):
        if drawing.width <= WIDEST and drawing.height <= TALLEST:
            break
        if tries is not None and tried > tries:
            msg = f"no room for all labels down to {scale.says}"
            raise GeometryError(msg)
        scale = smaller(scale)
        drawing = draw_at(scale)
    return drawing
