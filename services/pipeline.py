"""The order of the work: from what the office sent to what the crew holds.

For one job:   read -> make ready -> check the measure -> lay out -> bays -> findings
               -> cuts -> takeoff -> order of work -> plan -> recheck -> sheets -> pack
For a crew:    day sheet and load-out, then its packs -> bundle

Each step is a stage of its own; this module is the only one that knows them all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date

from schemas.bays import Bays
from schemas.bundle import BundleFile, DecidedBooking, LateChange, Missing, Stop
from schemas.company import Company, Crew
from schemas.cut_plan import CutIn, CutPlan, PlainStock, RackPiece, StockRail
from schemas.delivery import NightReport
from schemas.errors import BrokenPlan, DawnpackError, NoLayout, UnknownThing
from schemas.job import Job, Library
from schemas.layout import Layout
from schemas.lengths import INSIDE
from schemas.pack import OtherFile, Outcome, PackFile
from schemas.pages import Imprint, Sheet
from schemas.plan import Plan
from schemas.shop import ShopFile, ShopJob, ShopPlan
from schemas.site import Answer, Correction, Question
from schemas.submission import Submission
from schemas.what_if import Alternative, Try
from schemas.wording import say
from services import (
    bays,
    bundle,
    compliance,
    cut_plan,
    days,
    delivery,
    drawings,
    exports,
    intake,
    layout,
    pack,
    pages,
    recheck,
    sequence,
    takeoff,
    what_if,
    wording,
)
from services.paper.book import Part, set_book
from services.tape import is_metric

Rack = tuple[StockRail | PlainStock, ...]
"""Offcuts of the rack that are set aside for a plan."""


def read_submission(raw: bytes, *, library: Library | None = None) -> Submission:
    """Read what the office sent.

    Args:
        raw: As it came.
        library: The company's own documents, for the names in what cannot be read.

    Raises:
        BadInput: With every problem of the document.
    """
    return intake.read_submission(raw, library=library)


def make_plan(
    submission: Submission,
    *,
    library: Library,
    answers: tuple[Answer, ...] = (),
    rack: Rack = (),
) -> Outcome:
    """Plan a job, or find out what must be asked first.

    An answer that corrects figures is put into the submission and the job is
    planned anew; an answer that accepts things as they are is carried to the paper.

    Args:
        submission: As it was read.
        library: The company's own documents.
        answers: What the office has answered so far.
        rack: Offcuts set aside for this job; they are taken before stock is bought.

    Raises:
        BadInput: The submission names something that the company does not have.
        BrokenPlan: The finished plan broke a limit when it was measured again.
    """
    asked, plan = _plan_once(submission, library, answers, rack)
    for _ in answers:
        corrections = _corrections(asked, answers)
        if not corrections:
            break
        submission = intake.corrected(submission, corrections)
        asked, plan = _plan_once(submission, library, answers, rack)
    return Outcome(plan=plan, questions=_open(asked, answers))


def _plan_once(
    submission: Submission,
    library: Library,
    answers: tuple[Answer, ...],
    rack: Rack,
) -> tuple[list[Question], Plan | None]:
    """Everything that was asked, and the plan unless a stop is open."""
    job = intake.make_job(submission, library=library, answers=answers)
    asked = [*job.questions, *intake.check_measure(job)]
    if _stopped(asked, answers):
        return asked, None

    works = bays.asks_for(job)
    laid = layout.lay_out(
        job,
        asks=layout.Asks(
            bay_works=works.bay_works,
            bay_has_room=works.bay_has_room,
            room=works.room,
            nearest_legal=works.nearest_legal,
            longest_clear=works.longest_clear,
            most_fall=works.most_fall,
            stair_works=works.stair_works,
            stock_bill=stock_of(job, works),
            least_stock=least_stock_of(job, works),
        ),
    )
    asked += [*laid.questions, *_first_day(job, laid.layout)]
    if laid.layout is None or _stopped(asked, answers):
        return asked, None

    made = bays.make_bays(job, laid.layout)
    asked += [*made.questions, *drawings.no_room(job, laid.layout)]
    if made.bays is None or _stopped(asked, answers):
        return asked, None

    findings = compliance.find(job, laid.layout, made.bays)
    asked += compliance.breaks_as_questions(findings, job)
    if _stopped(asked, answers):
        return asked, None

    cuts, lacking = _cuts_or_questions(job, laid.layout, made.bays, rack)
    asked += lacking
    if cuts is None or _stopped(asked, answers):
        return asked, None
    counted = takeoff.take_off(job=job, layout=laid.layout, bays=made.bays, cuts=cuts)
    asked += takeoff.load_doubts(counted, job)
    job = job.model_copy(update={"questions": tuple(asked)})
    plan = Plan(
        job=job,
        layout=laid.layout,
        bays=made.bays,
        cuts=cuts,
        takeoff=counted,
        compliance=findings,
        sequence=sequence.order_work(job, laid.layout, made.bays, cuts),
    )
    if breaches := recheck.recheck(plan):
        msg = f"{job.job} rev {job.revision} breaks on recheck: {'; '.join(breaches)}"
        raise BrokenPlan(msg)
    return asked, plan if job.part is None or job.part.work is None else _day_of(plan)


def _day_of(plan: Plan) -> Plan:
    """A day's share of a job that was split by day."""
    first, second = days.share_out(plan)
    if breaches := recheck.recheck_days(plan, first, second):
        msg = f"{plan.job.job} breaks on recheck when it is split: {'; '.join(breaches)}"
        raise BrokenPlan(msg)
    assert plan.job.part is not None
    return first if plan.job.part.work == "posts" else second


def stock_of(job: Job, works: bays.BayAsks) -> cut_plan.Bills[layout.Opening]:
    """What a job's level bays would take from stock, cut as the bays would cut them."""
    return cut_plan.stock_bill(job, cut=_as_bays_cut(works))


def least_stock_of(job: Job, works: bays.BayAsks) -> cut_plan.LeastStock[layout.Opening]:
    """What they would take at least, where stretches have several layouts to choose from."""
    return cut_plan.least_stock(job, cut=_as_bays_cut(works))


def _as_bays_cut(
    works: bays.BayAsks,
) -> Callable[[layout.Opening], cut_plan.RailCut | None]:
    """How the rails of an opening are cut."""

    def cut(there: layout.Opening) -> cut_plan.RailCut | None:
        fit = works.bay_fit(
            clear=there.clear,
            left=there.left,
            right=there.right,
            top_more=there.top_more,
            leans=there.leans,
            left_deg=there.left_deg,
            right_deg=there.right_deg,
        )
        if fit is None:
            return None
        return cut_plan.RailCut(
            holes=fit.balusters,
            bottom=(fit.cut, fit.margins.left, fit.margins.right),
            top=(fit.top_cut, fit.top_margins.left, fit.top_margins.right),
            left_deg=there.left_deg,
            right_deg=there.right_deg,
            brackets=2 * ((there.left == "line") + (there.right == "line")),
        )

    return cut


def make_sheets(
    plan: Plan, *, replaces: str = "nothing", before: Plan | None = None
) -> tuple[Sheet, ...]:
    """Draw a plan and say what stands on each sheet of its pack.

    Args:
        plan: The finished plan.
        replaces: What is to be destroyed, in words.
        before: Plan of the pack that is to be destroyed, if it is known.
    """
    old = _sheets(before, replaces="nothing") if before else ()
    new = _sheets(plan, replaces=replaces, before=old)
    return wording.tell_sheets(new, wording.words_of(plan.job))


def _sheets(plan: Plan, *, replaces: str, before: Sequence[Sheet] = ()) -> tuple[Sheet, ...]:
    drawn = drawings.draw(plan)
    return pages.pack_sheets(plan, drawings=drawn, replaces=replaces, before=before)


def _cuts(job: Job, laid: Layout, made: Bays, rack: Rack) -> CutPlan:
    rails = tuple(one for one in rack if isinstance(one, StockRail))
    rests = tuple(one for one in rack if isinstance(one, PlainStock))
    pieces = cut_plan.cut_pieces(job, made, laid)
    sticks = cut_plan.sticks_ticketed(cut_plan.plain_pieces(job, laid, made), after=pieces)
    stock = cut_plan.with_boxed(cut_plan.stock_rails(job, rails), pieces, job=job)
    plain_stock, keep = cut_plan.plain_stock(job, rests), job.company.keep_offcut
    cuts = cut_plan.plan_cuts(
        pieces=pieces,
        stock=stock,
        plain=sticks,
        plain_stock=plain_stock,
        kerf=job.company.saw_kerf,
        keep=keep,
    )
    return cut_plan.check_all(cuts, stock=stock, plain_stock=plain_stock, keep=keep)


def _cuts_or_questions(
    job: Job, laid: Layout, made: Bays, rack: Rack
) -> tuple[CutPlan | None, tuple[Question, ...]]:
    """The cut plan, and what must be asked of its stock."""
    try:
        cuts = _cuts(job, laid, made, rack)
    except NoLayout as no:
        return None, (_no_stock(str(no)),)
    return cuts, cut_plan.beyond_reserved(job, cuts)


def _first_day(job: Job, laid: Layout | None) -> Iterator[Question]:
    """A first day without posts to set is asked about."""
    first = job.part is not None and job.part.work == "posts"
    if not first or laid is None or days.posts_to_set(laid):
        return
    yield Question(
        key="day.no-posts",
        severity="stop",
        place=say("Job"),
        says=say("It was split by day, and all its posts stand: the first day has no work."),
        ask=say("Is it withdrawn, and all built on the second day?"),
    )


def _no_stock(says: str) -> Question:
    return Question(
        key="no-stock.cuts",
        severity="stop",
        place=say("Cut plan"),
        says=f"{says[:1].upper()}{says[1:]}.",
        ask=say("Which post moves, or which other stock is bought?"),
    )


def make_pack(
    plan: Plan, *, issued: str, replaces: str = "nothing", before: Plan | None = None
) -> PackFile:
    """Set a planned job's pack.

    Args:
        plan: The finished plan; paper computes nothing.
        issued: When and by which run, in words.
        replaces: What is to be destroyed, in words.
        before: Plan of the pack that is to be destroyed, if it is known: what differs is marked.

    Raises:
        UnprintableText: A text that no shipped font can show.
    """
    sheets = make_sheets(plan, replaces=replaces, before=before)
    return pack.set_pack(plan, sheets, issued=issued, replaces=replaces)


def make_labels(
    plan: Plan, *, issued: str, replaces: str = "nothing", before: Plan | None = None
) -> OtherFile:
    """Set a job's cut tickets on the company's label stock.

    Args:
        plan: The finished plan.
        issued: As its pack says.
        replaces: As its pack says.
        before: As its pack was made with, or the code is another one.

    Raises:
        UnknownThing: The company file names no label stock, or nothing of the job is ticketed.
        GeometryError: Labels too small for a ticket.
    """
    sheets = make_sheets(plan, replaces=replaces, before=before)
    return pack.set_tickets(plan, sheets, issued=issued, replaces=replaces)


def make_bundle(
    *,
    crew: str,
    day: date,
    stops: Sequence[Stop],
    missing: Sequence[Missing],
    library: Library,
    issued: str,
    decided: Sequence[DecidedBooking] = (),
) -> BundleFile:
    """Set a crew's day: the day sheet, one load-out for all stops, then each pack.

    Args:
        crew: Key of the crew.
        day: Day of work.
        stops: The day's jobs that have a plan, in order.
        missing: Those that have none, with the reason.
        library: The company's own documents.
        issued: When and by which run, in words.
        decided: What the office has answered about the day's bookings.

    Raises:
        UnknownThing: The company has no such crew.
    """
    company = library.company
    team = _crew(company, crew)
    english = bundle.day_sheets(
        decided=decided,
        company=company,
        crew=team,
        day=day,
        stops=stops,
        missing=missing,
        booked=check_day([stop.plan for stop in stops], library=library),
    )
    sheets = wording.tell_sheets(english, wording.words_for(team.language).with_own(company))
    code = pack.content_code(sheets, head=f"{day.isoformat()} {team.key}")
    imprint = bundle.day_imprint(company=company, crew=team, day=day, code=code, issued=issued)
    parts = [_part(stop, issued=issued) for stop in stops]
    return bundle.set_bundle(crew=team, day=day, imprint=imprint, sheets=sheets, packs=parts)


def make_supplement(
    *,
    crew: str,
    day: date,
    of: str,
    code: str,
    changes: Sequence[LateChange],
    stops: Sequence[Stop],
    library: Library,
    issued: str,
) -> BundleFile:
    """Set what brings a printed bundle up to date: one sheet, then the packs that are new.

    Args:
        crew: Key of the crew.
        day: Day of work.
        of: Code of the day sheet that the crew holds.
        code: Code of the one that counts now, which the supplement bears.
        changes: What has changed in between.
        stops: The day's jobs with a pack as they are now, in order.
        library: The company's own documents.
        issued: When and by which run, in words.

    Raises:
        UnknownThing: The company has no such crew.
    """
    company = library.company
    team = _crew(company, crew)
    english = bundle.supplement_sheet(crew=team, day=day, of=of, changes=changes, stops=stops)
    sheets = wording.tell_sheets((english,), wording.words_for(team.language))
    imprint = bundle.day_imprint(company=company, crew=team, day=day, code=code, issued=issued)
    imprint = bundle.as_supplement(imprint)
    new = {change.pack for change in changes}
    parts = [_part(stop, issued=issued) for stop in stops if stop.code in new]
    return bundle.set_bundle(crew=team, day=day, imprint=imprint, sheets=sheets, packs=parts)


def _crew(company: Company, key: str) -> Crew:
    team = next((team for team in company.crews if team.key == key), None)
    if team is None:
        msg = f"the company has no crew {key!r}"
        raise UnknownThing(msg)
    return team


def _part(stop: Stop, *, issued: str) -> Part:
    sheets = make_sheets(stop.plan, replaces=stop.replaces, before=stop.before)
    return pack.make_part(stop.plan, sheets, issued=issued, replaces=stop.replaces)


def check_day(plans: Iterable[Plan], *, library: Library) -> tuple[Question, ...]:
    """What is wrong with who works where when, stops first.

    Args:
        plans: Of all jobs of one or more crews' days.
        library: The company's own documents.
    """
    company = library.company
    bookings = [bundle.booking_of(plan, company=company) for plan in plans]
    return bundle.check_bookings(company=company, bookings=bookings)


def check_night(plans: Iterable[bytes], *, library: Library) -> tuple[Question, ...]:
    """The same for a whole night's stored plans; only what it needs of each is read.

    Args:
        plans: Stored plan documents, one a job; each is read and let go.
        library: The company's own documents.
    """
    company = library.company
    bookings = [bundle.booking_of(bundle.read_day(raw), company=company) for raw in plans]
    return bundle.check_bookings(company=company, bookings=bookings)


def compare(
    submission: Submission,
    *,
    library: Library,
    tries: Sequence[str],
    answers: tuple[Answer, ...] = (),
) -> tuple[Alternative, ...]:
    """Plan a job as it stands and in other ways, side by side.

    Args:
        submission: As it was read.
        library: The company's own documents.
        tries: What is tried, one alternative each, e.g. ``system=tern,height=900``.
        answers: What the office has answered so far; they hold for every alternative.

    Returns:
        The job as it stands first, then the tries in their order. One that cannot be planned
        has its stop questions, or why it is refused.

    Raises:
        BadInput: A try that cannot be read, or names something that there is not.
    """
    asked = [what_if.read_try(text, unit=submission.unit) for text in tries]
    rail = submission.rail
    what_if.check_names(asked, library=library, system=rail.system, stair_system=rail.stair_system)
    ways = [Try(named="as it stands"), *asked]
    return tuple(_alternative(submission, library, tried, answers) for tried in ways)


def _alternative(
    submission: Submission, library: Library, tried: Try, answers: tuple[Answer, ...]
) -> Alternative:
    try:
        changed = intake.corrected(submission, what_if.corrections_of(tried))
        systems = (changed.rail.system, changed.rail.stair_system or changed.rail.system)
        books = what_if.changed_library(library, tried, systems=systems)
        outcome = make_plan(changed, library=books, answers=answers)
    except DawnpackError as no:
        return what_if.refused(tried.named, no)
    return what_if.in_figures(tried.named, outcome.plan, outcome.questions)


def make_morning_page(report: NightReport, *, library: Library) -> bytes:
    """Set the office's morning page.

    Args:
        report: Of a night's run.
        library: The company's own documents.

    Raises:
        UnprintableText: A text that no shipped font can show.
    """
    company = library.company
    sheet = delivery.morning_sheet(report)
    code = pack.content_code((sheet,), head=f"{report.work_date} morning")
    base = company.address
    stamp = Imprint(
        job="Morning page",
        revision=f"run {report.run}",
        site=company.name,
        crew="Office",
        code=code,
        issued=report.issued,
        replaces="any morning page of this day with another code",
        check_at=f"{base}/v1/nights/{report.work_date}" if base else f"{report.work_date} {code}",
        notes=("Counted from the ledger. GREEN: every job due is on one crew's day sheet.",),
    )
    return set_book(parts=(Part(imprint=stamp, sheets=(sheet,)),), size=company.crews[0].paper).pdf


def list_takeoff(plan: Plan, *, prices: bool = False) -> bytes:
    """A plan's takeoff as CSV; with prices it is for the office only."""
    return exports.takeoff_csv(plan, prices=prices)


def list_cuts(plan: Plan) -> bytes:
    """A plan's cut list as CSV."""
    return exports.cut_list_csv(plan)


def purchase(
    plans: Iterable[bytes],
    *,
    library: Library,
    day: date,
    issued: date,
    shops: Iterable[bytes] = (),
) -> dict[str, bytes]:
    """What many jobs' load-outs take together, for purchasing.

    Args:
        plans: Stored plan documents, one a job.
        library: The company's own documents.
        day: Day of work.
        issued: Day on which it is worked out.
        shops: Stored plans of shop cuttings for these jobs.

    Returns:
        File name and content: one CSV of all totals, one UBL Order a supplier; nothing for
        no jobs.
    """
    loads = (exports.read_load(raw) for raw in plans)
    order = exports.total_orders(
        loads,
        library=library,
        needed_by=day,
        issued=issued,
        shops=(exports.read_shop(raw) for raw in shops),
    )
    if not order.lines:
        return {}
    files = {"order-totals.csv": exports.order_csv(order)}
    for supplier in order.suppliers:
        files[f"order-{supplier or 'open'}.xml"] = exports.ubl_order(order, supplier=supplier)
    return files


def make_shop(
    plans: Sequence[Plan],
    *,
    pool: str,
    day: date,
    library: Library,
    issued: str,
    rack: Rack = (),
) -> tuple[ShopFile, ...]:
    """Cut ahead what may be cut ahead of several jobs: one cutting for each ruler they are in.

    Args:
        plans: The jobs' own plans, which stay valid as they are.
        pool: Key of the crew whose day it is, or `night`.
        day: Day of work.
        library: The company's own documents.
        issued: When and by which run, in words.
        rack: Offcuts set aside for the shop.

    Raises:
        BrokenPlan: The shop's plan broke a limit when it was measured again.
    """
    by_step: dict[int, list[Plan]] = {}
    for plan in sorted(plans, key=lambda one: (one.job.crew, one.job.job)):
        by_step.setdefault(plan.job.step, []).append(plan)
    made: list[ShopFile] = []
    for step, same in sorted(by_step.items()):
        named = f"{pool}-mm" if is_metric(step) and len(by_step) > 1 else pool
        taken = {tag for one in made for tag in tags_taken(one.plan.cuts)}
        rails = tuple(one for one in rack if RackPiece(stock=one, home=None).tag not in taken)
        made += _shop(same, pool=named, day=day, library=library, issued=issued, rack=rails)
    return tuple(made)


def tags_taken(cuts: CutPlan) -> tuple[str, ...]:
    """Offcuts that a plan has."""
    rails = (bar.stock.id for bar in cuts.bars if bar.stock.kit is None)
    return (*rails, *(bar.tag for bar in cuts.plain if bar.tag is not None))


def _shop(
    plans: Sequence[Plan],
    *,
    pool: str,
    day: date,
    library: Library,
    issued: str,
    rack: Rack,
) -> Iterator[ShopFile]:
    """The cutting of jobs with one ruler; nothing where nothing may be cut ahead."""
    cuts = cut_plan.pool_cuts([(plan.job, plan.cuts) for plan in plans], rack=rack)
    if cuts is None:
        return
    if breaches := recheck.recheck_shop(cuts, plans):
        msg = f"shop {pool} breaks on recheck: {'; '.join(breaches)}"
        raise BrokenPlan(msg)
    company, step = library.company, plans[0].job.step
    shop = ShopPlan(
        company=company.name,
        day=day.isoformat(),
        pool=pool,
        step=step,
        cuts=cuts,
        jobs=tuple(
            ShopJob(
                job=plan.job.job, revision=plan.job.revision, crew=plan.job.crew,
                comes=plan.takeoff.pre_cut,
            )
            for plan in plans
            if plan.takeoff.pre_cut is not None
        ),
    )  # fmt: skip
    bars = drawings.stock_bars(cuts=cuts, step=step, metric=is_metric(step), called=company.called)
    sticks = drawings.plain_bars(
        cuts=cuts, step=step, metric=is_metric(step), called=company.called
    )
    sheets = pages.shop_sheets(shop, drawings=(*bars, *sticks), company=company)
    code = pack.content_code(sheets, head=bundle.shop_head(shop))
    crew = next((c for c in company.crews if c.key == pool), company.crews[0])
    yield bundle.set_shop(shop, sheets, company=company, size=crew.paper, code=code, issued=issued)


def read_shop(raw: bytes) -> ShopPlan:
    """Read back a shop's plan that we wrote."""
    return ShopPlan.model_validate_json(raw, context=INSIDE)


def off_rack(plan: Plan) -> tuple[str, ...]:
    """Tags of the rack's offcuts that a plan takes."""
    return tags_taken(plan.cuts)


def left_for_rack(cuts: CutPlan, *, stem: str, cut_in: CutIn) -> tuple[RackPiece, ...]:
    """The offcuts of a plan that was cut, as pieces for the rack.

    Args:
        cuts: The plan.
        stem: How their tags begin.
        cut_in: Where its bars were cut.
    """
    return cut_plan.left_for_rack(cuts, stem=stem, cut_in=cut_in)


def read_plan(raw: bytes) -> Plan:
    """Read back a plan that we wrote; its lengths stand in the inside unit."""
    return Plan.model_validate_json(raw, context=INSIDE)


def _stopped(asked: Iterable[Question], answers: Iterable[Answer]) -> bool:
    return any(question.severity == "stop" for question in _open(asked, answers))


def _open(asked: Iterable[Question], answers: Iterable[Answer]) -> tuple[Question, ...]:
    """Unanswered questions, stops first; only an option that was offered is an answer.

    Of two with one key the graver is asked: the measure's check and the bay's own may both speak.
    A stop answered with a correction is open until the corrected measure no longer asks it.
    """
    given = {(answer.question, answer.option) for answer in answers}
    still = [
        q
        for q in asked
        if not any(
            (q.key, option.key) in given and not (q.severity == "stop" and option.sets)
            for option in q.options
        )
    ]
    graver = sorted(still, key=lambda q: ("note", "hold", "stop").index(q.severity))
    last = {question.key: question for question in graver}
    once = [question for question in still if last[question.key] is question]
    return tuple(sorted(once, key=lambda q: ("stop", "hold", "note").index(q.severity)))


def _corrections(asked: Iterable[Question], answers: Iterable[Answer]) -> tuple[Correction, ...]:
    """What the given answers put right; a corrected question is not asked again."""
    given = {(answer.question, answer.option) for answer in answers}
    return tuple(
        correction
        for question in asked
        for option in question.options
        if (question.key, option.key) in given
        for correction in option.sets
    )
