"""A book with every kind of block, invented from end to end, for the paper's tests."""

from __future__ import annotations

from schemas.drawings import Drawing, Label, Stroke
from schemas.pages import (
    Break,
    Column,
    Fact,
    Facts,
    Figure,
    Heading,
    Imprint,
    Message,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticks,
    WriteIn,
)
from services.paper.book import Part

PITCH = 28.8
"""Baluster to baluster in the sample elevation. [pt]"""


def imprint(**changes: object) -> Imprint:
    """An imprint as a pack carries it."""
    fields: dict[str, object] = {
        "job": "J-2041",
        "revision": "rev 2",
        "site": "Alder family, 18 Fern Lane, Millbrook",
        "crew": "Crew B, lead R. Oakes",
        "code": "7K3Q-9X2M-0RTV",
        "issued": "Tue 12 May 2026, 04:10, night run 1",
        "replaces": "rev 1: destroy every sheet marked J-2041 rev 1",
        "check_at": "https://packs.example/c/7K3Q9X2M0RTV",
        "company": "Example Deckworks",
        "notes": (
            "All lengths in inches unless marked.",
            "This pack approves nothing: local code and the rail maker's instructions rule.",
        ),
    }
    return Imprint.model_validate(fields | changes)


def elevation() -> Drawing:
    """A level bay with running marks, a dashed deck line and turned measures."""
    posts = [
        Stroke(points=box(x, 40, 14, 130), weight="wide", closed=True, fill="light")
        for x in (20.0, 420.0)
    ]
    rails = [
        Stroke(points=box(34, y, 386, 8), weight="wide", closed=True, fill="white")
        for y in (52.0, 140.0)
    ]
    spots = [34 + PITCH * i for i in range(1, 13)]
    balusters = [Stroke(points=box(x - 3, 60, 6, 80), weight="narrow", closed=True) for x in spots]
    marks = [Stroke(points=((x, 46.0), (x, 38.0)), weight="narrow") for x in spots]
    deck = Stroke(points=((0.0, 40.0), (454.0, 40.0)), weight="narrow", dashed=True)
    cut = Stroke(points=((34.0, 46.0), (420.0, 46.0)), weight="heavy")
    numbers = [
        Label(x=x + 4, y=2, text=f"{3 + 4 * i} {2 * i + 1}/32", size=10, turned=90, stacked=True)
        for i, x in enumerate(spots)
    ]
    return Drawing(
        name="elevation-A1-A2",
        title="Bay A1 to A2, seen from outside",
        said="A level bay between two posts with twelve balusters and their marks.",
        width=454,
        height=190,
        scale="1 in = 1 ft",
        bar=144,
        bar_says="24 in",
        strokes=(*posts, *rails, *balusters, *marks, deck, cut),
        labels=(
            *numbers,
            Label(x=27, y=176, text="A1", size=12, anchor="middle", bold=True),
            Label(x=427, y=176, text="A2", size=12, anchor="middle", bold=True),
            Label(x=227, y=174, text="148 11/16 in", size=14, anchor="middle", stacked=True),
        ),
    )


def box(x: float, y: float, wide: float, high: float) -> tuple[tuple[float, float], ...]:
    """The corners of an upright rectangle."""
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def cut_list(rows: int = 60) -> Table:
    """A table that runs over a page, with groups, boxes, strong and changed rows."""
    lines = [
        Row(
            cells=(
                f"C{i + 1}",
                "" if i % 7 else "Bay A1 to A2, bottom rail with its foot block",
                "bottom rail" if i % 2 else "top rail",
                f"{30 + i} {2 * (i % 8) + 1}/16" if i % 3 else f"{30 + i}",
                "90°" if i < rows // 2 else "34.5°",
                "",
            ),
            changed=i % 11 == 3,
            group="Saw square, 90°" if i < rows // 2 else "Saw set to 34.5°, plumb cuts",
        )
        for i in range(rows)
    ]
    total = Row(cells=("", "All pieces", "", f"{rows} pcs", "", ""), strong=True)
    return Table(
        columns=(
            Column(head="Mark", share=1, bold=True),
            Column(head="Where it goes", share=3),
            Column(head="Piece", share=2),
            Column(head="Length in", share=1.4, align="right"),
            Column(head="Saw", share=1, align="centre"),
            Column(head="Cut", share=1, box=True),
        ),
        rows=(*lines, total),
    )


def job_card() -> Sheet:
    """Facts, messages of all four levels, prose."""
    return Sheet(
        key="job-card",
        title="Job card",
        place="Whole job",
        blocks=(
            Facts(
                facts=(
                    Fact(label="Bays", value="7", big=True),
                    Fact(label="Rail height", value="42 in", big=True),
                    Fact(label="Gates", value="1", big=True),
                    Fact(label="Customer", value="T. Alder, bell is broken, please knock"),
                    Fact(label="Parking", value="On the drive, left side"),
                    Fact(label="Power", value="Outlet by the back door"),
                ),
            ),
            Message(
                signal="DANGER",
                hazard="Overhead line 9 ft above the deck at the north corner.",
                consequence="A rail that touches it will kill.",
                avoid="Carry lengths level. Nobody stands rail on end north of post A3.",
                source="Site survey, 4 May 2026",
            ),
            Message(
                signal="WARNING",
                hazard="Open edge, 9 ft 4 in over ground.",
                consequence="A fall could kill or cripple.",
                avoid="Keep the temporary guard up until hold point H2 is signed.",
            ),
            Message(
                signal="CAUTION",
                hazard="Cut ends are sharp.",
                consequence="They can cut through a glove.",
                avoid="File each end before it leaves the saw.",
            ),
            Message(
                signal="NOTICE",
                hazard="Composite boards chip when cold.",
                consequence="A chipped board is replaced at our cost.",
                avoid="Drill before driving below 40 °F.",
            ),
            Heading(text="Before you start"),
            Prose(text="Two measures are assumed; they are marked.", role="lead"),
            Prose(text="Walk the deck with the customer. " * 9),
            Prose(text="Measured 4 May 2026 by J. Pine, final.", role="small"),
        ),
    )


def steps() -> Sheet:
    """Ticks with and without hold points, and lines to write on."""
    return Sheet(
        key="install",
        title="Install sequence",
        place="Deck, then stair S1",
        blocks=(
            Heading(text="Posts"),
            Ticks(
                ticks=(
                    Tick(mark="1", text="Snap the post line 2 1/4 in from the deck's edge."),
                    Tick(
                        mark="2",
                        text="Set the blocks at A1, A2, A3 and plumb the posts both ways; "
                        "shim with metal only, never with wood or plastic offcuts.",
                        under=("2 people, level 48 in, 1/2 in wrench", "Usual slip: plumb one way"),
                    ),
                    Tick(
                        mark="H1",
                        text="Lead pulls every post with both hands.",
                        hold=True,
                        under=("No rail goes on before this is signed.",),
                    ),
                    Tick(mark="3", text="Fit bottom rails."),
                )
            ),
            Heading(text="Sign-off"),
            WriteIn(labels=("Lead", "Customer saw the work", "What was built otherwise")),
        ),
    )


def sheets() -> tuple[Sheet, ...]:
    """A pack's sheets with every kind of block."""
    return (
        job_card(),
        Sheet(
            key="bay-A1-A2",
            title="Elevation",
            place="Bay A1 to A2",
            blocks=(Heading(text="What is built"), Figure(drawing=elevation())),
        ),
        Sheet(key="cut-list", title="Cut list", place="By saw set-up", blocks=(cut_list(),)),
        steps(),
        Sheet(
            key="stock",
            title="Stock and load-out",
            blocks=(
                Prose(text="Load what stands first last."),
                Break(),
                Table(
                    size="large",
                    columns=(Column(head="Item"), Column(head="Count", align="right")),
                    rows=(Row(cells=("Rail 8 ft", "14")), Row(cells=("Post kit", "8"))),
                ),
                Table(
                    size="small",
                    columns=(Column(head="Screw"), Column(head="Box", box=True)),
                    rows=(Row(cells=("#10 x 2 1/2", "")),),
                ),
            ),
        ),
    )


def pack() -> Part:
    """One job's pack."""
    return Part(imprint=imprint(), sheets=sheets())


def day_sheet() -> Part:
    """The first part of a crew's bundle."""
    day = imprint(job="Crew B, Tue 12 May", revision="run 1", code="55AA-0001-ZZTV")
    sheet = Sheet(
        key="day",
        title="Day sheet",
        blocks=(Facts(facts=(Fact(label="Jobs", value="1", big=True),)),),
    )
    return Part(imprint=day, sheets=(sheet,))
