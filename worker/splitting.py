"""Splitting a job: two jobs out of one measure, by area or by day.

By area the parts are whole guard lines with all that belongs to them, so that no post is in
both. What was given for the job as a whole and cannot be told apart (old railing to take away,
extras, kits set aside) is not guessed: such a job is refused.

By day both parts keep the whole measure; the first sets the posts, the second builds the rails.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable
from datetime import date
from typing import Any, Final

from schemas.errors import BadInput, Conflict, Problem
from worker.bootstrap import Works
from worker.desk import look_through, take_in
from worker.ledger.accepting import live_parts, one_at_a_time, part_numbers
from worker.ledger.deciding import carry_answers, withdraw
from worker.ledger.moves import LIVE
from worker.ledger.records import JobRow, job_by_id, job_by_number, work_on
from worker.queues import PACKS

Tree = dict[str, Any]

WHOLE_JOB: Final = {
    "part": "it is a part already",
    "remove_feet": "old railing comes off, and the measure does not say at which part",
    "extras": "extras were sold with the job as a whole",
    "reserved": "rail kits are set aside for the job as a whole",
}
"""What a submission may not hold if it is to be split, and why."""

NO_FIRST_DAY: Final = "day.no-posts"
"""What planning asks when a first day has no posts to set."""

WORK: Final = ("posts", "rails")

OF_ONE_DAY: Final = ("forecast", "inspection")
"""What is known for the job's own day, and goes with no other."""


def split_job(
    works: Works,
    job: str,
    *,
    second: Collection[str] = (),
    by_day: bool = False,
    install_date: date | None,
    crew: str | None,
    by: str,
    why: str,
    check: Callable[[JobRow], None] = lambda _: None,
) -> tuple[JobRow, JobRow]:
    """Make two jobs of one, and take the one off; both parts keep the answers it had.

    Args:
        works: The works.
        job: Job number; the parts are this number with -1 and -2.
        second: Legs of part 2: whole guard lines; none when it is split by day.
        by_day: Posts on the job's own day, rails on that of part 2.
        install_date: Day of part 2; none: the same.
        crew: Crew of part 2; none: the same.
        by: Who decided.
        why: On what ground.
        check: Refuses to go on from the row as it stands, at first and when the change is made.

    Raises:
        UnknownThing: No such job.
        BadInput: A part cannot be read by itself, e.g. there is no such crew.
        Conflict: It cannot be split so, is off, or changed meanwhile.
    """
    with works.ledger.reading() as tx:
        work = work_on(tx, job_by_number(tx, job).id)
    check(work.row)
    day = install_date or work.row.install_date
    if bool(second) == by_day:
        raise _no_way(second)
    document, theirs = json.loads(work.raw), crew or work.row.crew
    trees = (
        days_of(document, day=day, crew=theirs)
        if by_day
        else parts_of(document, second=second, day=day, crew=theirs)
    )
    came = [look_through(works, _raw(tree), answers=work.answers) for tree in trees]
    if any(question.key == NO_FIRST_DAY for question in came[0].questions):
        raise _no(
            document,
            "all its posts stand, so that the first day has no work",
            mend="leave it whole",
        )
    with works.ledger.writing() as tx:
        for number in (job, *part_numbers(job)):
            one_at_a_time(tx, number)
        row = job_by_number(tx, job)
        check(row)
        if taken := ", ".join(live_parts(tx, job)):
            msg = f"{job} cannot be split: {taken} is a job already"
            raise Conflict(msg)
        if row.id != work.row.id or row.state not in LIVE:
            msg = f"{job} is {row.state} at revision {row.revision}: it cannot be split"
            raise Conflict(msg)
        names = " and ".join(part.submission.job for part in came)
        withdraw(tx, job, by=by, why=f"split into {names}: {why}")
        wanted = PACKS if row.wanted == PACKS else ""
        made = [
            take_in(works, tx, part, wanted=wanted, cause=f"{by} split {job}: {why}").job_id
            for part in came
        ]
        for part in made:
            carry_answers(tx, of=row.id, to=part)
        first, other = (job_by_id(tx, part) for part in made)
        return first, other


def parts_of(document: Tree, *, second: Collection[str], day: date, crew: str) -> tuple[Tree, Tree]:
    """The submissions of the two parts.

    Args:
        document: The submission as it came.
        second: Legs of part 2.
        day: Day of part 2.
        crew: Crew of part 2.

    Raises:
        Conflict: The job cannot be split so; the text says why.
    """
    whole = {name: document.get(name) for name in WHOLE_JOB}
    if reasons := [WHOLE_JOB[name] for name, value in whole.items() if value]:
        raise _no(document, "; ".join(reasons))
    sides = _sides(document, frozenset(second))
    first, other = (_legs(side["lines"]) for side in sides)
    at = [(document["crew"], document["install_date"]), (crew, day.isoformat())]
    return (
        _part(document, sides[0], number=1, at=at, legs=other),
        _part(document, sides[1], number=2, at=at, legs=first),
    )


def days_of(document: Tree, *, day: date, crew: str) -> tuple[Tree, Tree]:
    """The submissions of the two days: posts, then rails.

    Args:
        document: The submission as it came.
        day: Day of the rails.
        crew: Crew of the rails.

    Raises:
        Conflict: The job cannot be split so; the text says why.
    """
    if document.get("part"):
        raise _no(document, WHOLE_JOB["part"])
    first = date.fromisoformat(document["install_date"])
    if day <= first:
        why = f"the rails' day, {day}, is not after the posts' day, {first}"
        raise _no(document, why, mend="name a later install_date")
    names = part_numbers(document["job"])
    legs = _legs(document["lines"])
    at = [(document["crew"], first.isoformat()), (crew, day.isoformat())]
    return (
        _day(document, names, at, number=1, legs=legs),
        _day(document, names, at, number=2, legs=legs),
    )


def _day(
    document: Tree, names: tuple[str, str], at: list[tuple[str, str]], *,
    number: int, legs: list[str],
) -> Tree:  # fmt: skip
    (crew, day), (other_crew, other_day) = at[number - 1], at[2 - number]
    part = {
        "of": document["job"], "number": number, "other": names[2 - number],
        "crew": other_crew, "install_date": other_day, "legs": legs, "work": WORK[number - 1],
    }  # fmt: skip
    kept = _kept(document, day)
    return kept | {"job": names[number - 1], "crew": crew, "install_date": day, "part": part}


def _kept(document: Tree, day: str) -> Tree:
    """What goes with the job to a day."""
    if day == document["install_date"]:
        return dict(document)
    kept = {name: value for name, value in document.items() if name not in OF_ONE_DAY}
    return kept | {"site": {name: v for name, v in kept["site"].items() if name != "arrives"}}


def _no_way(second: Collection[str]) -> BadInput:
    says = "legs and days are both named" if second else "neither legs nor days are named"
    mend = "name the legs of part 2 to split by area, or split by day"
    return BadInput([Problem(pointer="/second", value=",".join(second), says=says, mend=mend)])


def _sides(document: Tree, second: frozenset[str]) -> tuple[Tree, Tree]:
    """Lines and what is at them, of part 1 and of part 2; nothing is in both or in none."""
    if lost := sorted(second - set(_legs(document["lines"]))):
        legs = ", ".join(_legs(document["lines"]))
        raise _no(document, f"it has no leg {', '.join(lost)}", mend=f"its legs are {legs}")
    for line in document["lines"]:
        names = _legs([line])
        if 0 < len(second.intersection(names)) < len(names):
            raise _no(document, f"legs {', '.join(names)} are one line, and share corner posts")
    sides = tuple(_side(document, second, wanted=wanted) for wanted in (False, True))
    if not all(side["lines"] for side in sides):
        raise _no(document, "each part needs a guard line")
    for side in sides:
        if shared := sorted(_named(side) - {stair["name"] for stair in side["stairs"]}):
            raise _no(document, f"both parts would share a post at {', '.join(shared)}")
    return sides[0], sides[1]


def _side(document: Tree, second: frozenset[str], *, wanted: bool) -> Tree:
    at_legs = {
        kind: [one for one in document.get(kind) or [] if (one["leg"] in second) == wanted]
        for kind in ("stairs", "gates", "open_edges")
    }
    lines = [x for x in document["lines"] if (x["legs"][0]["name"] in second) == wanted]
    return {"lines": lines, **at_legs}


def _named(side: Tree) -> set[str]:
    """Stairs that the lines, stairs and gates of a part lean on."""
    ends = [line.get(end) or {} for line in side["lines"] for end in ("start", "end")]
    feet = {end["same_as"].partition("-")[0] for end in ends if end.get("same_as")}
    above = {s["from_landing"]["stair"] for s in side["stairs"] if s.get("from_landing")}
    heads = {gate["stair"] for gate in side["gates"] if gate.get("stair")}
    return feet | above | heads


def _part(
    document: Tree, side: Tree, *, number: int, at: list[tuple[str, str]], legs: list[str]
) -> Tree:
    names = part_numbers(document["job"])
    (crew, day), (other_crew, other_day) = at[number - 1], at[2 - number]
    part = {
        "of": document["job"], "number": number, "other": names[2 - number],
        "crew": other_crew, "install_date": other_day, "legs": legs,
    }  # fmt: skip
    kept = {name: value for name, value in _kept(document, day).items() if name != "sold"}
    return kept | side | {"job": names[number - 1], "crew": crew, "install_date": day, "part": part}


def _legs(lines: Iterable[Tree]) -> list[str]:
    return [leg["name"] for line in lines for leg in line["legs"]]


def _raw(tree: Tree) -> bytes:
    return json.dumps(tree, indent=2, ensure_ascii=False).encode()


def _no(document: Tree, why: str, *, mend: str = "send two jobs instead") -> Conflict:
    return Conflict(f"{document['job']} cannot be split so: {why}; {mend}")
