"""What holds for every layout, whatever the deck."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from schemas.lengths import INCH
from services.bays import make_bays
from services.layout import lay_out
from services.layout.centre_line import centre_legs
from tests.unit.services.layout.decks import WALL, asks, corner, gate, job_of, leg, line

SIXTEENTHS = st.integers(40 * 16, 500 * 16).map(lambda n: f"{n / 16}")
CORNERS = st.tuples(st.sampled_from([30, 45, 60, 90]), st.sampled_from(["outside", "inside"]))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(SIXTEENTHS, CORNERS), min_size=1, max_size=4), st.booleans())
def test_every_bay_can_be_built_and_the_legs_are_filled(
    sides: list[tuple[str, tuple[int, str]]],
    walled: bool,  # noqa: FBT001 drawn by hypothesis
) -> None:
    """Openings are on the tape, legal, never too long; with sleeves they make each leg."""
    legs = [
        leg(name, length, corner=corner(*turn) if name != "ABCD"[len(sides) - 1] else None)
        for name, (length, turn) in zip("ABCD", sides, strict=False)
    ]
    job = job_of(line(*legs, **({"start": WALL, "end": WALL} if walled else {})))
    ready = asks(job)

    out = lay_out(job, asks=ready)

    if out.layout is None:
        assert any(question.severity == "stop" for question in out.questions)
        return
    for laid in out.layout.legs:
        bays = [bay for bay in out.layout.bays if bay.leg == laid.name]
        for bay in bays:
            assert bay.clear % job.step == 0
            assert 0 <= bay.right.face - bay.left.face - bay.clear < job.step
            assert bay.clear <= ready.longest_clear
            assert ready.bay_works(
                clear=bay.clear,
                left=bay.left.bracket,
                right=bay.right.bracket,
                left_deg=bay.left.mitre_deg,
                right_deg=bay.right.mitre_deg,
            )
        sleeves = (len(bays) - 1) * job.system.sleeve.outside
        faces = bays[-1].right.face - bays[0].left.face
        opened = sum(bay.right.face - bay.left.face for bay in bays)
        assert opened + sleeves == faces
    ours = {laid.name: laid.length for laid in out.layout.legs}
    for centre in centre_legs(job.lines[0], number=0):
        assert ours[centre.leg.name] == centre.length


LEANS = st.integers(-12, 12).map(lambda n: f"{n / 16}")


@settings(max_examples=60, deadline=None)
@given(SIXTEENTHS, SIXTEENTHS, CORNERS, LEANS, LEANS)
def test_what_the_layout_accepts_the_bays_can_build(
    first: str, second: str, turn: tuple[int, str], start: str, end: str
) -> None:
    """Between leaning walls and at any corner: no dead band and no bracket is found afterwards."""
    job = job_of(
        line(
            leg("A", first, corner=corner(*turn)),
            leg("B", second),
            start=WALL | {"out_of_plumb": start},
            end=WALL | {"out_of_plumb": end},
        )
    )

    out = lay_out(job, asks=asks(job))

    if out.layout is not None:
        made = make_bays(job, out.layout)
        assert made.bays is not None, [question.says for question in made.questions]


@settings(max_examples=40, deadline=None)
@given(SIXTEENTHS, LEANS, LEANS)
def test_one_bay_between_leaning_walls_can_be_built(length: str, start: str, end: str) -> None:
    """A leg from wall to wall, however they lean."""
    walls = {"start": WALL | {"out_of_plumb": start}, "end": WALL | {"out_of_plumb": end}}
    job = job_of(line(leg("A", length), **walls))

    out = lay_out(job, asks=asks(job))

    if out.layout is not None:
        assert make_bays(job, out.layout).bays is not None


@settings(max_examples=40, deadline=None)
@given(st.integers(10 * 16, 150 * 16), st.integers(30 * 16, 48 * 16))
def test_gate_keeps_its_place_and_width(start: int, width: int) -> None:
    """Wherever a gate is, its faces stand just there, or the job is asked about."""
    opening = gate(start=f"{start / 16}", width=f"{width / 16}")
    job = job_of(line(leg("A", "240"), start=WALL), gates=[opening])

    out = lay_out(job, asks=asks(job))

    if out.layout is None:
        assert out.questions
        return
    found = next(bay for bay in out.layout.bays if bay.kind == "gate-opening")
    assert found.left.face == start * INCH // 16
    assert found.clear == width * INCH // 16


@settings(max_examples=40, deadline=None)
@given(SIXTEENTHS)
def test_a_longer_leg_never_has_fewer_posts_than_length_asks(length: str) -> None:
    """The posts are at least as many as the longest opening alone asks for."""
    job = job_of(line(leg("A", length), start=WALL, end=WALL))

    out = lay_out(job, asks=asks(job))

    if out.layout is not None:
        sleeve, longest = job.system.sleeve.outside, job.system.level.longest_clear
        assert (len(out.layout.bays)) * (longest + sleeve) - sleeve >= out.layout.legs[0].length
