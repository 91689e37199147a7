"""Running marks: every hole centre from one end of a rail, so that no error adds up."""

from __future__ import annotations

from collections.abc import Sequence


def running_marks(*, margin: int, pitch: int, balusters: int) -> tuple[int, ...]:
    """Hole centres from the end that the margin is measured from."""
    return tuple(margin + k * pitch for k in range(balusters))


def nearest_marks(*, wanted: Sequence[float], marks: Sequence[int]) -> tuple[int, ...]:
    """For each wanted place the nearest mark that is still free, in order along the rail.

    A tie goes to the mark nearer to the rail's left end. With fewer marks than places,
    every mark is taken once.
    """
    free = list(marks)
    taken: list[int] = []
    for place in wanted:
        if not free:
            break
        best = min(free, key=lambda mark: (abs(mark - place), mark))
        free.remove(best)
        taken.append(best)
    return tuple(sorted(taken))
