"""Stretches without a legal layout: asked about with the nearest that would work."""

from schemas.site import Correction, Question
from services.layout import lay_out
from tests.unit.services.layout.decks import WALL, Holes, inches, job_of, leg, line

DEAD = Holes(pitch=inches("5"), least=inches("2 3/4"), most=inches("4 1/2"))
SLEEVE = inches("4 1/2")


def _asked(*legs: dict[str, object], longest: str = "94", **more: object) -> tuple[Question, ...]:
    out = lay_out(job_of(line(*legs, **more)), asks=DEAD.asks(longest=inches(longest)))
    assert out.layout is None
    return out.questions


def test_nearest_openings_are_named() -> None:
    """A wall-to-wall opening of 10 in is dead; 9 and 10 1/2 would work."""
    (question,) = _asked(leg("A", "10"), start=WALL, end=WALL)

    assert question.key == "dead-band.A"
    assert question.severity == "stop"
    assert "opening of 10 in leaves the rail no legal end margins" in question.says
    assert "9 in (1 narrower) or 10 1/2 in (1/2 wider)" in question.says
    assert question.options == ()


def test_free_end_is_offered_to_move() -> None:
    """The end post may go in or out: its inset is the figure that changes."""
    opening, inset = inches("10"), inches("3 1/2")
    length = opening + SLEEVE // 2 + inset
    end = {"kind": "post", "inset": "3 1/2"}

    (question,) = _asked(leg("A", f"{length / inches('1')}"), start=WALL, end=end)

    assert [option.key for option in question.options] == ["end-in", "end-out"]
    assert [option.sets for option in question.options] == [
        (Correction(pointer="/lines/0/end/inset", value="4 1/2 in"),),
        (Correction(pointer="/lines/0/end/inset", value="3 in"),),
    ]


def test_answer_gives_a_layout() -> None:
    """With the offered inset the job is laid out."""
    length = f"{(inches('10') + SLEEVE // 2 + inches('3 1/2')) / inches('1')}"

    for inset in ("4 1/2", "3"):
        job = job_of(line(leg("A", length), start=WALL, end={"kind": "post", "inset": inset}))
        assert lay_out(job, asks=DEAD.asks(longest=inches("94"))).layout is not None


def test_keep_out_that_leaves_no_place_says_so() -> None:
    """Two bays are asked for and the middle is shut: the reason is not the holes."""
    shut = {"start": "20", "end": "80", "why": "double door"}

    (question,) = _asked(leg("A", "100", keep_out=[shut]), longest="52", start=WALL, end=WALL)

    assert "no posts may stand where they must" in question.says


def test_second_stretch_has_its_own_key() -> None:
    """Two dead stretches of one leg are two questions."""
    first, second = _asked(
        leg("A", f"{10 + 4.5 + 10}", fixed_posts=[f"{10 + 2.25}"]), start=WALL, end=WALL
    )

    assert (first.key, second.key) == ("dead-band.A", "dead-band.A.2")
