"""The command line: what it prints, what it leaves, and the exit code a script reads."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner, Result

from schemas.errors import (
    BadInput,
    BrokenPlan,
    Conflict,
    DawnpackError,
    NoLayout,
    NotNow,
    UnknownThing,
)
from schemas.site import Option, Question
from tests.night_reports import report
from tests.unit.worker.test_splitting import whole
from worker.bootstrap import build
from worker.cli.exits import Exit, exit_of
from worker.cli.program import program
from worker.cli.reference import DOCUMENTS, OPENAPI
from worker.demo import JOBS
from worker.ledger.migrating import HEAD
from worker.ledger.nights import close_night, open_night
from worker.settings import Settings

GOOD = str(JOBS / "1-l-deck.json")
HELD = str(JOBS / "6-held.json")
REFUSED = str(JOBS / "7-refused.json")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An installation of its own, in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("DAWNPACK_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "200")
    return tmp_path


def dawnpack(*words: str) -> Result:
    """Run a command."""
    return CliRunner().invoke(program, list(words))


def test_a_good_job_is_packed_in_one_process_and_leaves_only_its_pdf(home: Path) -> None:
    """No ledger, no store, no broker."""
    done = dawnpack("pack", GOOD, "-o", "pack.pdf", "--issued", "2026-12-02")

    assert done.exit_code == Exit.DONE, done.output
    assert (home / "pack.pdf").read_bytes().startswith(b"%PDF-")
    assert [path.name for path in home.iterdir()] == ["pack.pdf"]


def test_the_same_job_gives_the_same_pack_byte_for_byte(home: Path) -> None:
    """And the same code."""
    first = dawnpack("pack", GOOD, "-o", "1.pdf", "--issued", "2026-12-02")
    second = dawnpack("pack", GOOD, "-o", "2.pdf", "--issued", "2026-12-02")

    assert (home / "1.pdf").read_bytes() == (home / "2.pdf").read_bytes()
    assert first.output.split("code ")[1] == second.output.split("code ")[1]


def test_a_plan_for_machines_is_one_json_document() -> None:
    """Nothing else is on standard output."""
    done = dawnpack("plan", GOOD, "--json")

    plan = json.loads(done.stdout)
    assert plan["job"]["job"] == "P-2041"
    assert plan["length_unit"] == "1/320 mm"


@pytest.mark.parametrize("command", ["takeoff", "cuts"])
def test_lists_come_as_csv_alone_on_standard_output(command: str) -> None:
    """Records end as RFC 4180 has it; nothing else is printed."""
    done = dawnpack(command, GOOD, "--csv")

    assert done.exit_code == Exit.DONE, done.output
    lines = done.stdout_bytes.split(b"\r\n")
    assert lines[0].startswith(b"job,revision,")
    assert lines[-1] == b""
    assert all(line.startswith(b"P-2041,1,") for line in lines[1:-1])


@pytest.mark.parametrize("command", ["takeoff", "cuts"])
def test_lists_come_for_people_and_as_json(command: str) -> None:
    """The same figures, and no price unless it is asked for."""
    shown, told = dawnpack(command, GOOD), dawnpack(command, GOOD, "--json")

    assert "P-2041 revision 1" in shown.stdout
    assert "material" not in shown.stdout
    assert json.loads(told.stdout)


def test_prices_are_shown_when_asked_for() -> None:
    """With what of them ends as waste."""
    done = dawnpack("takeoff", GOOD, "--prices")

    assert "is rail stock cut to waste" in done.stdout


def test_alternatives_stand_side_by_side() -> None:
    """The job as it stands first; one that has no plan shows its question."""
    words = ("plan", GOOD, "--try", "max-bay=60", "--try", "system=tern,height=900,colour=moss")

    shown, told = dawnpack(*words), dawnpack(*words, "--json")

    assert shown.exit_code == Exit.DONE, shown.output
    assert "NO, see below" in shown.stdout
    assert "the recorded limit is 36" in shown.stdout
    found = json.loads(told.stdout)
    assert [one["named"] for one in found] == ["as it stands", *words[3::2]]
    assert [one["planned"] for one in found] == [True, True, False]


def test_a_held_job_can_still_be_compared() -> None:
    """Its question stands beside every alternative that has it."""
    done = dawnpack("plan", HELD, "--try", "max-bay=60")

    assert done.exit_code == Exit.DONE
    assert done.stdout.count("What was misread") == 2


def test_a_try_that_cannot_be_read_is_refused_with_its_mend() -> None:
    """Nothing is planned."""
    done = dawnpack("plan", GOOD, "--try", "bays=3")

    assert done.exit_code == Exit.REFUSED
    assert "max-bay=LENGTH" in done.stderr


@pytest.mark.parametrize(
    ("text", "nearest"),
    [("system=tren", "tern"), ("height=35", "36"), ("stock=cove-levl-96", "96")],
)
def test_a_try_of_what_there_is_not_is_refused_with_the_nearest(text: str, nearest: str) -> None:
    """It ends as refused, so that no script takes it for done."""
    done = dawnpack("plan", GOOD, "--try", text)

    assert done.exit_code == Exit.REFUSED
    assert "did you mean" in done.stderr
    assert nearest in done.stderr
    assert done.stdout == ""


def test_cuts_show_what_they_cost_at_least() -> None:
    """Cost, proven bound and gap stand under the list, for rails and for sticks, and how proven."""
    cuts = json.loads(dawnpack("cuts", GOOD, "--json").stdout)

    done = dawnpack("cuts", GOOD)

    assert done.exit_code == Exit.DONE
    said = " ".join(done.stdout.split())
    for part, bound in (("cents", "bound_cents"), ("plain_cents", "plain_bound_cents")):
        cost, least = cuts[part] / 100, cuts[bound] / 100
        assert f"{cost:.2f}, proven least {least:.2f}, gap 0.00 %" in said
    assert f"rails: {cuts['method']}" in said
    assert f"handrail: {cuts['plain_method']}" in said
    assert "proven the cheapest" in cuts["plain_method"]


def test_several_jobs_are_ordered_together(home: Path) -> None:
    """Totals and one order a supplier, with the day of the order as given."""
    other = str(JOBS / "3-corner-45.json")

    done = dawnpack("order", GOOD, other, "-o", "orders", "--issued", "2026-12-02")

    assert done.exit_code == Exit.DONE, done.output
    assert sorted(path.name for path in (home / "orders").iterdir()) == [
        "order-harbour-hardware.xml", "order-rail-depot.xml", "order-totals.csv",
    ]  # fmt: skip
    assert b"<cbc:IssueDate>2026-12-02<" in (home / "orders/order-rail-depot.xml").read_bytes()


@pytest.mark.parametrize("command", [("check",), ("plan",), ("pack", "-o", "x.pdf")])
def test_a_held_job_prints_its_question_and_its_options(
    home: Path, command: tuple[str, ...]
) -> None:
    """And how to answer it; nothing is made."""
    done = dawnpack(command[0], HELD, *command[1:])

    assert done.exit_code == Exit.HELD
    assert "What was misread" in done.stderr
    assert "dawnpack answer P-2046 rise.S1 riser --by WHO --why REASON" in done.stderr
    assert list(home.iterdir()) == []


@pytest.mark.parametrize("command", [("check",), ("plan",), ("pack", "-o", "x.pdf")])
def test_a_refused_file_prints_its_whole_problem_list_and_leaves_nothing(
    home: Path, command: tuple[str, ...]
) -> None:
    """All problems at once, each with its place and its mend."""
    done = dawnpack(command[0], REFUSED, *command[1:])

    assert done.exit_code == Exit.REFUSED
    for pointer in ("/crew", "/install_date", "/post/core", "/lines/0/legs/1/length"):
        assert pointer in done.stderr
    assert "mend: was a space lost, as in 7 1/4?" in done.stderr
    assert list(home.iterdir()) == []


def test_a_job_is_submitted_answered_and_looked_up() -> None:
    """From the desk to the record of who decided."""
    taken = dawnpack("submit", GOOD, HELD)
    answered = dawnpack(
        "answer", "P-2046", "rise.S1", "riser", "--by", "A. Duty", "--why", "photo 12"
    )
    told = dawnpack("status", "P-2046", "--json")
    listed = dawnpack("status", "--for", "2026-12-03")

    assert taken.exit_code == Exit.HELD
    assert "P-2041 revision 1 is received" in taken.stdout
    assert answered.exit_code == Exit.DONE, answered.output
    assert [event["state"] for event in json.loads(told.stdout)["events"]] == ["held", "received"]
    assert "A. Duty answered rise.S1: riser (photo 12)" in told.stdout
    assert "2 jobs" in listed.stdout


def test_submitting_rubbish_beside_a_good_job_takes_the_good_one_in() -> None:
    """One bad file stops no other."""
    done = dawnpack("submit", REFUSED, GOOD, "--json")

    told = json.loads(done.stdout)
    assert done.exit_code == Exit.REFUSED
    assert [(t["state"], t["exit"]) for t in told] == [("refused", 3), ("received", 0)]
    assert len(told[0]["problems"]) == 6
    assert json.loads(dawnpack("status", "--json").stdout)[0]["job"] == "P-2041"


def test_the_same_again_is_answered_as_before_and_other_content_is_a_conflict(home: Path) -> None:
    """By exit code too."""
    other = home / "other.json"
    other.write_text(Path(GOOD).read_text().replace("M. Castellane", "M. Castle"))
    dawnpack("submit", GOOD)

    again = dawnpack("submit", GOOD)
    conflict = dawnpack("submit", str(other))

    assert (again.exit_code, "it was here before" in again.stdout) == (Exit.DONE, True)
    assert conflict.exit_code == Exit.CONFLICT
    assert "P-2041 revision 1 is here with other content" in conflict.stderr


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("status", "P-9999"), Exit.UNKNOWN),
        (("schema", "invoice"), Exit.UNKNOWN),
        (("answer", "P-9999", "q", "o", "--by", "A", "--why", "B"), Exit.UNKNOWN),
        (("pack", GOOD), Exit.USAGE),
        (("plan", "not-there.json"), Exit.USAGE),
        (("night", "--for", "3 December"), Exit.USAGE),
    ],
)
def test_each_way_of_saying_no_has_its_exit_code(words: tuple[str, ...], code: Exit) -> None:
    """A script can tell them apart."""
    assert dawnpack(*words).exit_code == code


def test_a_setting_that_cannot_be_meant_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the nearest name."""
    monkeypatch.setenv("DAWNPACK_BROKR_URL", "redis://x")

    done = dawnpack("status")

    assert done.exit_code == Exit.REFUSED
    assert "did you mean DAWNPACK_BROKER_URL?" in done.stderr


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (BadInput([]), Exit.REFUSED),
        (Conflict(), Exit.CONFLICT),
        (UnknownThing(), Exit.UNKNOWN),
        (NotNow(), Exit.NOT_NOW),
        (NoLayout(), Exit.IMPOSSIBLE),
        (BrokenPlan(), Exit.IMPOSSIBLE),
    ],
)
def test_every_refusal_has_its_code(error: DawnpackError, code: Exit) -> None:
    """The table at the door."""
    assert exit_of(error) == code


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_documents_schema_is_a_valid_schema(name: str) -> None:
    """By the JSON Schema 2020-12 meta-schema (json-schema.org)."""
    schema = json.loads(dawnpack("schema", name).stdout)

    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_demos_good_jobs_are_valid_by_the_published_schema() -> None:
    """What the office can check before it sends."""
    schema = json.loads(dawnpack("schema", "submission").stdout)

    jsonschema.Draft202012Validator(schema).validate(json.loads(Path(GOOD).read_bytes()))


def test_what_there_is_can_be_looked_up() -> None:
    """Systems, codes, settings, documents, and help with examples."""
    assert "cove" in dawnpack("systems").stdout
    assert "us-irc-2021" in dawnpack("codes").stdout
    assert "DAWNPACK_BROKER_URL" in dawnpack("settings").stdout
    assert dawnpack("schema").stdout.split() == [*DOCUMENTS, OPENAPI]
    assert "Examples: dawnpack submit" in dawnpack("submit", "--help").stdout


def test_a_demo_does_not_clear_a_folder_that_is_not_its_own(home: Path) -> None:
    """Whatever stands there stays."""
    (home / "photos").mkdir()
    (home / "photos" / "deck.jpg").write_bytes(b"x")

    done = dawnpack("demo", "--out", str(home / "photos"))

    assert done.exit_code == Exit.USAGE
    assert (home / "photos" / "deck.jpg").exists()


def test_health_names_each_part(monkeypatch: pytest.MonkeyPatch) -> None:
    """A broker that is not there is named; the rest is well."""
    monkeypatch.setenv("DAWNPACK_BROKER_URL", "redis+socket:///not/there.sock")

    done = dawnpack("health", "--json")

    assert done.exit_code == Exit.NOT_NOW
    assert {part["what"]: part["well"] for part in json.loads(done.stdout)} == {
        "ledger": True,
        "store": True,
        "disk": True,
        "broker": False,
        "schedule": False,
        "nights": True,
    }


def test_the_ledger_is_made_and_says_its_revision() -> None:
    """Upgrading it again changes nothing."""
    before = dawnpack("ledger", "revision")
    made = dawnpack("ledger", "upgrade")
    again = dawnpack("ledger", "upgrade")

    assert before.stdout == f"ledger: none, program: {HEAD}\n"
    assert made.stdout == f"the ledger went from revision none to {HEAD}\n"
    assert again.stdout == f"the ledger is at revision {HEAD} already\n"


def test_audit_of_an_untouched_installation_agrees() -> None:
    """Nothing taken in, nothing to disagree."""
    done = dawnpack("audit", "--json")

    assert (done.exit_code, json.loads(done.stdout)) == (Exit.DONE, [])


def test_the_template_filled_in_is_taken_in_row_by_row(home: Path) -> None:
    """A bad row has its own exit code and words; the good one is in."""
    heads, row = dawnpack("template").stdout.splitlines()
    bad = row.replace("F-1001", "F-1002").replace("10' 0", "ten' 0")
    (home / "jobs.csv").write_text(f"{heads}\n{row}\n{bad}\n", encoding="utf-8")

    done = dawnpack("submit", "jobs.csv", "--json")

    assert done.exit_code == Exit.REFUSED
    good, refused = json.loads(done.stdout)
    assert (good["name"], good["job"], good["state"]) == ("jobs.csv line 2", "F-1001", "received")
    assert {p["pointer"] for p in refused["problems"]} == {"/3/A length", "/3/C length"}


def test_a_drop_folder_is_looked_at_once(home: Path) -> None:
    """Files that have stood long enough are taken in."""
    (home / "inbox").mkdir()
    (home / "inbox" / "job.json").write_bytes(Path(GOOD).read_bytes())

    done = dawnpack("drop", "inbox", "--once", "--settle", "0")

    assert "job.json: taken" in done.output
    assert (home / "inbox" / "taken" / "job.json").is_file()


def test_the_coming_nights_are_listed_for_machines_too() -> None:
    """With the zone's own offset in every hour."""
    nights = json.loads(dawnpack("schedule", "--list", "--json").stdout)

    assert len(nights) >= 8
    assert all(night["last run"].endswith(("-0400", "-0500")) for night in nights)


def put_on_rack(*more: str) -> Result:
    """Hang an offcut of the demo's own rail."""
    return dawnpack(
        "rack", "put", "--system", "cove", "--colour", "chalk", "--length", "50 1/2 in",
        "--first-hole", "3 in", "--holes", "10", "--by", "R. Yard", *more,
    )  # fmt: skip


def test_the_rack_is_listed_and_changed_by_hand() -> None:
    """Put, away, returned: each said, each in the list."""
    hung = put_on_rack()
    away = dawnpack("rack", "away", "R0001", "--by", "R. Yard", "--why", "cracked")
    gone = dawnpack("rack", "--json")
    back = dawnpack("rack", "returned", "R0001", "--by", "R. Yard", "--why", "only dusty")
    listed = dawnpack("rack")

    assert [r.exit_code for r in (hung, away, gone, back, listed)] == [Exit.DONE] * 5
    assert json.loads(gone.output) == []
    assert "R0001" in listed.output
    assert "50 1/2 in" in listed.output


def test_a_piece_that_cannot_be_is_refused() -> None:
    """Holes beyond its end, a tag hung twice, a colour the system has not."""
    outcomes = [
        put_on_rack("--holes", "30"), put_on_rack("--tag", "T1"), put_on_rack("--tag", "T1"),
        put_on_rack("--colour", "sky"),
    ]  # fmt: skip

    assert [one.exit_code for one in outcomes] == [
        Exit.REFUSED, Exit.DONE, Exit.CONFLICT, Exit.UNKNOWN,
    ]  # fmt: skip
    assert "30 holes from there do not lie on the piece" in outcomes[0].output


def test_another_copy_needs_a_name_and_a_ground() -> None:
    """It goes on record; and there must have been a night."""
    assert dawnpack("print", "--again", "heron").exit_code == Exit.USAGE
    assert dawnpack("print", "--for", "2026-12-03").exit_code == Exit.UNKNOWN


def test_the_office_reads_what_the_stock_costs_and_how_near_the_least_that_is() -> None:
    """Price, proven bound and gap, of rails and of plain stock."""
    done = dawnpack("plan", GOOD)

    assert done.exit_code == Exit.DONE, done.output
    for what in ("rails", "sleeves, cores, handrail"):
        line = next(x for x in done.output.splitlines() if x.startswith(f"stock for {what}: "))
        assert line.endswith("gap 0.00 %")


def test_a_ledger_is_copied_whole_and_never_over_another_file(home: Path) -> None:
    """The copy opens as a ledger with the same jobs."""
    dawnpack("submit", GOOD)

    done = dawnpack("ledger", "copy", "copy.sqlite")

    assert done.exit_code == Exit.DONE, done.output
    assert dawnpack("ledger", "copy", "copy.sqlite").exit_code == Exit.USAGE
    (home / "data" / "ledger.sqlite").unlink()
    for left in (home / "data").glob("ledger.sqlite-*"):
        left.unlink()
    (home / "copy.sqlite").rename(home / "data" / "ledger.sqlite")
    assert "P-2041" in dawnpack("status").output


def test_the_schedule_says_whether_anybody_looks() -> None:
    """Nobody has; after one look somebody has."""
    assert dawnpack("schedule", "--alive").exit_code == Exit.NOT_NOW
    dawnpack("schedule", "--once")

    assert dawnpack("schedule", "--alive").exit_code == Exit.DONE


def test_bookings_are_shown_and_decided_until_nothing_is_open() -> None:
    """A question, its options and who decided; a night that was not run has none."""
    asked = Question(
        key="at-once.P-2041", severity="stop", place="Crew Heron", says="Two at once.",
        ask="Which is moved?", options=(Option(key="first-waits", says="the first"),),
    )  # fmt: skip
    early = dawnpack("bookings", "--for", "2026-12-03")
    works = build(Settings.read())
    kept = works.store.put(report(bookings=(asked,)).model_dump_json().encode())
    with works.ledger.writing() as tx:
        company = works.library.company.key
        night = open_night(tx, company=company, day=date(2026, 12, 3), issued="2026-12-02")
        close_night(tx, night, report=kept)
    who = ("--for", "2026-12-03", "--by", "A. Duty", "--why", "called")

    before = dawnpack("bookings", "--for", "2026-12-03")
    wrong = dawnpack("decide", asked.key, "nothing", *who)
    decided = dawnpack("decide", asked.key, "first-waits", *who)
    after = dawnpack("bookings", "--for", "2026-12-03", "--json")

    codes = [done.exit_code for done in (early, before, wrong, decided, after)]
    assert codes == [Exit.UNKNOWN, Exit.HELD, Exit.REFUSED, Exit.DONE, Exit.DONE]
    assert "stop: at-once.P-2041: Two at once. Which is moved?" in before.stdout
    assert "first-waits: the first" in before.stdout
    shown = json.loads(after.stdout)
    assert (shown["open"], shown["decided"][0]["by"]) == ([], "A. Duty")


def test_what_was_told_is_shown() -> None:
    """Nothing yet; and there is nobody to be told again."""
    assert json.loads(dawnpack("told", "--json").stdout) == []
    assert dawnpack("told", "--on", "office").exit_code == Exit.UNKNOWN


def test_a_moved_job_is_its_next_revision() -> None:
    """With the day and crew it was given; to where it is already is a conflict."""
    dawnpack("submit", GOOD)
    who = ("--by", "A. Duty", "--why", "rain")

    moved = dawnpack("move", "P-2041", "--for", "2026-12-04", "--crew", "plover", *who)
    again = dawnpack("move", "P-2041", "--for", "2026-12-04", *who)

    assert "P-2041 is now revision 2, crew plover on 2026-12-04: received" in moved.stdout
    assert again.exit_code == Exit.CONFLICT


def test_a_job_that_cannot_be_split_says_why() -> None:
    """Nobody measured at which part the old railing stands."""
    dawnpack("submit", GOOD)

    no = dawnpack("split", "P-2041", "--second", "C,D", "--by", "A. Duty", "--why", "long")

    assert no.exit_code == Exit.CONFLICT
    assert "old railing comes off" in " ".join(no.output.split())


def test_a_split_job_is_two_jobs(tmp_path: Path) -> None:
    """Each with its crew and day."""
    file = tmp_path / "two-lines.json"
    file.write_text(json.dumps(whole()))
    dawnpack("submit", str(file))
    to = ("--second", "P", "--for", "2026-12-04", "--crew", "plover")

    split = dawnpack("split", "P-2041", *to, "--by", "A. Duty", "--why", "long")

    assert "P-2041-1: crew heron on 2026-12-03: received" in split.stdout
    assert "P-2041-2: crew plover on 2026-12-04: received" in split.stdout


def test_a_job_split_by_day_is_posts_and_then_rails() -> None:
    """A job of one line too; the rails' day must be named, and be the later."""
    dawnpack("submit", GOOD)
    who = ("--by", "A. Duty", "--why", "posts first")

    early = dawnpack("split", "P-2041", "--by-day", *who)
    neither = dawnpack("split", "P-2041", *who)
    split = dawnpack("split", "P-2041", "--by-day", "--for", "2026-12-04", *who)

    assert (early.exit_code, neither.exit_code) == (Exit.CONFLICT, Exit.REFUSED)
    assert "P-2041-1: crew heron on 2026-12-03: received" in split.stdout
    assert "P-2041-2: crew heron on 2026-12-04: received" in split.stdout


def test_a_key_is_shown_once_listed_without_its_secret_and_ended() -> None:
    """And cannot be ended twice."""
    key = dawnpack("key", "add", "office system", "--role", "reader").stdout.strip()
    name, secret = key.split("_", 2)[1:]
    listed = dawnpack("key", "list", "--json")

    ended = dawnpack("key", "revoke", name)
    again = dawnpack("key", "revoke", name)

    [told] = json.loads(listed.stdout)
    assert (told["key"], told["owner"], told["role"]) == (name, "office system", "reader")
    assert secret not in listed.output
    assert (ended.exit_code, again.exit_code) == (Exit.DONE, Exit.CONFLICT)
