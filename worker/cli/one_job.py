"""One job in one process: checked, planned or packed, with no queue, ledger or store."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from schemas.cut_plan import CutPlan
from schemas.pack import Outcome
from schemas.plan import Plan
from worker import clock
from worker.bootstrap import Pipeline, choose_library, choose_pipeline
from worker.cli.exits import Exit
from worker.cli.showing import err, out, show_json, show_questions
from worker.cli.side_by_side import show_side_by_side
from worker.settings import Settings
from worker.stores.folder import write_whole

File = Annotated[
    Path, typer.Argument(help="A submission (JSON).", exists=True, dir_okay=False, readable=True)
]
Json = Annotated[bool, typer.Option("--json", help="For machines: JSON on standard output.")]


def check(file: File, *, as_json: Json = False) -> None:
    """Say whether a submission can be read and planned, and what it asks. Keeps nothing.

    Example: dawnpack check job.json
    """
    _, outcome = planned(file)
    if as_json:
        show_json(list(outcome.questions))
    else:
        err.print(f"{file}: reads and can be planned", style="bold green")
        show_questions(file.stem, outcome.questions)


Tries = Annotated[
    list[str] | None,
    typer.Option(
        "--try",
        help="What if: system=KEY, height=NAME, colour=KEY, stock=KIT+KIT, max-bay=LENGTH, "
        "several with commas. Each --try is one alternative, set beside the job as it stands.",
    ),
]


def plan(file: File, *, tries: Tries = None, as_json: Json = False) -> None:
    """Plan a job: posts, bays, cuts, takeoff, findings, order of work; or compare alternatives.

    Examples: dawnpack plan job.json --json > plan.json |
    dawnpack plan job.json --try max-bay=72 --try system=tern,height=900
    """
    if tries:
        compare(file, tries, as_json=as_json)
        return
    _, outcome = planned(file)
    assert outcome.plan is not None
    if as_json:
        show_json(outcome.plan)
    else:
        _show_plan(outcome.plan)


def pack(
    file: File,
    to: Annotated[Path, typer.Option("--out", "-o", help="Where the PDF is written.")],
    *,
    issued: Annotated[
        str, typer.Option(help="Day printed as that of issue, ISO 8601; today if not given.")
    ] = "",
    labels: Annotated[
        Path | None,
        typer.Option(help="Where the cut tickets are written, set for the company's label stock."),
    ] = None,
) -> None:
    """Make a job's printed pack, and its cut tickets on label stock.

    Examples: dawnpack pack job.json -o pack.pdf |
    dawnpack pack job.json -o pack.pdf --labels labels.pdf
    """
    pipeline, outcome = planned(file)
    assert outcome.plan is not None
    zone = outcome.plan.job.company.zone
    day = issued or clock.day_of(clock.SystemClock().now_ms(), zone).isoformat()
    made = pipeline.make_pack(outcome.plan, issued=day, replaces="nothing")
    write_whole(to, made.pdf)
    out.print(f"{to}: {made.pages} pages, code {made.code}")
    if labels is not None:
        tickets = pipeline.make_labels(outcome.plan, issued=day, replaces="nothing")
        write_whole(labels, tickets.content)
        out.print(f"{labels}: cut tickets for label stock, code {made.code}")


def compare(file: Path, tries: list[str], *, as_json: bool) -> None:
    """Set alternatives beside the job as it stands."""
    pipeline = choose_pipeline()
    library = choose_library(Settings.read())
    submission = pipeline.read_submission(file.read_bytes(), library=library)
    found = pipeline.compare(submission, library=library, tries=tries)
    if as_json:
        show_json(list(found))
    else:
        show_side_by_side(submission.job, found)


def planned(file: Path) -> tuple[Pipeline, Outcome]:
    """A job's plan; a held one prints its questions and ends the command."""
    pipeline = choose_pipeline()
    library = choose_library(Settings.read())
    submission = pipeline.read_submission(file.read_bytes(), library=library)
    outcome = pipeline.make_plan(submission, library=library)
    if outcome.plan is None:
        show_questions(submission.job, [q for q in outcome.questions if q.severity == "stop"])
        raise typer.Exit(Exit.HELD)
    return pipeline, outcome


def show_bounds(cuts: CutPlan) -> None:
    """What the stock costs, the bound that no plan can beat, and how far apart they are."""
    for what, cents, bound, gap in (
        ("rails", cuts.cents, cuts.bound_cents, cuts.gap),
        ("sleeves, cores, handrail", cuts.plain_cents, cuts.plain_bound_cents, cuts.plain_gap),
    ):
        least = f"proven least {bound / 100:.2f}, gap {100 * gap:.2f} %"
        out.print(f"stock for {what}: {cents / 100:.2f}, {least}")


def _show_plan(made: Plan) -> None:
    job = made.job
    out.print(f"{job.job} revision {job.revision}, {job.site.customer}, {job.site.town}")
    out.print(f"crew {job.crew} on {job.install_date}, {made.takeoff.crew_hours:.1f} crew-hours")
    bays = made.bays
    out.print(
        f"{len(made.layout.posts)} posts, {len(bays.level)} level bays, "
        f"{len(bays.stair)} stair bays"
    )
    if made.layout.stock:
        stock = made.layout.stock
        out.print(
            f"posts for level rails of {stock.cents / 100:.2f}: of {stock.layouts} layouts none "
            f"takes under {stock.bound_cents / 100:.2f}, gap {100 * stock.gap:.2f} %"
        )
    show_bounds(made.cuts)
    verdicts = [finding.verdict for finding in made.compliance.findings]
    for verdict in sorted(set(verdicts)):
        out.print(f"  {verdicts.count(verdict)} findings: {verdict}")
    for question in job.questions:
        out.print(f"  {question.severity} at {question.place}: {question.ask}")
