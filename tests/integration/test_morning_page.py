"""The office's page over the demo's night: what it says, and what is decided from it."""

from __future__ import annotations

import html
from collections.abc import Iterator
from datetime import timedelta

import httpx
import pytest

from tests.demo_night import demo_night
from tests.over_http import Office, key_for, office_of
from tests.pages_read import Read, read_page
from worker.bootstrap import Works
from worker.demo import WORK_DATE
from worker.ledger import prints
from worker.ledger.nights import night_for
from worker.ledger.records import job_by_number

WHO = {"by": "A. Duty", "why": "photo 12"}


@pytest.fixture(scope="module")
def night(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Works]:
    """The demo's night, run over the real computation, and its bundles at a printer."""
    works = demo_night(tmp_path_factory.mktemp("morning"))
    yield works
    works.ledger.close()


@pytest.fixture
def office(night: Works) -> Iterator[Office]:
    """A browser at the office, come in with a key."""
    with office_of(night) as client:
        assert post(client, "/login", key=client.key).status_code == 303
        yield client


def post(office: Office, path: str, *, origin: str = "", **fields: str) -> httpx.Response:
    """Send a form back, as a browser does."""
    origin = origin or office.url
    return office.client.post(path, data=fields, headers={"Origin": origin})


def page(office: Office, path: str = f"/?day={WORK_DATE}") -> Read:
    """A page."""
    answer = office.client.get(path)
    assert answer.status_code == 200
    return read_page(answer.text)


def test_nobody_sees_the_day_without_a_key(night: Works) -> None:
    """The page asks for one, and a wrong one is said to be wrong."""
    with office_of(night) as stranger:
        sent_on = stranger.client.get("/")
        wrong = post(stranger, "/login", key="dawnpack_00000000_guess")
        asks = page(stranger, "/login")

    assert (sent_on.status_code, sent_on.headers["Location"]) == (303, "/login")
    assert wrong.status_code == 401
    assert "This is not a good key." in read_page(wrong.text).text
    assert list(asks.form("/login").fields) == ["key"]


def test_the_cookie_is_of_no_use_elsewhere(night: Works) -> None:
    """No script reads it, no other site's request carries it; over TLS it stays there."""
    with office_of(night) as office:
        plain = post(office, "/login", key=office.key).headers["Set-Cookie"]
        behind = office.client.post(
            "/login", data={"key": office.key}, headers={"X-Forwarded-Proto": "https"}
        )

    assert {"HttpOnly", "SameSite=strict", "Path=/"} <= set(plain.split("; "))
    assert "Secure" in behind.headers["Set-Cookie"].split("; ")


def test_it_says_first_how_many_crews_are_ready(office: Office) -> None:
    """Then which, with their codes, and why one is not."""
    shown = page(office)

    assert shown.headings[0] == (1, "2 of 3 crews ready")
    crews = [words for level, words in shown.headings if level == 3]
    assert crews[-3:] == ["Heron Ready", "Plover Ready in part", "Wren Ready"]
    assert "No pack for P-2046." in shown.text
    assert "Jobs in 7 Packs out 6 Held, to decide 1" in shown.text
    with office.works.ledger.reading() as tx:
        codes = [job_by_number(tx, f"P-{number}").code for number in (2041, 2042, 2043, 2044)]
    assert all(code in shown.text for code in codes)


def test_every_link_of_the_page_opens(office: Office) -> None:
    """Bundles and packs too, with the cookie alone."""
    links = [link for link in page(office).links if not link.startswith("#")]

    assert len(links) >= 3 + 3 + 6
    for link in links:
        assert office.client.get(link).status_code == 200, link


def test_the_cookie_reads_but_changes_nothing_by_the_api(office: Office) -> None:
    """A change there shows its key in the request."""
    answer = office.client.post("/v1/jobs/P-2041/withdrawal", json=WHO, headers={"If-Match": "*"})

    assert answer.status_code == 401


def test_a_page_is_whole_labelled_and_loads_nothing(office: Office) -> None:
    """Language, one first heading, no field without a name, no id twice, no dead reference."""
    for shown in (page(office), page(office, "/login")):
        assert shown.lang == "en"
        assert shown.title
        assert [level for level, _ in shown.headings].count(1) == 1
        assert shown.unlabelled == []
        assert len(shown.ids) == len(set(shown.ids))
        assert set(shown.refers) <= set(shown.ids)
        assert shown.loads == []
    headers = office.client.get("/").headers
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert headers["Cache-Control"] == "no-store"


def test_parts_to_pick_add_up_over_the_day(office: Office) -> None:
    """As many packages as the day's plans load."""
    total = 0
    with office.works.ledger.reading() as tx:
        plans = [job_by_number(tx, f"P-{n}").plan for n in (2041, 2042, 2043, 2044, 2045, 2048)]
    for name in plans:
        plan = office.works.pipeline.read_plan(office.works.store.get(name))
        total += sum(line.packages for line in plan.takeoff.lines)

    assert f"{total} packages" in page(office).text


def test_another_copy_is_printed_with_who_and_why(office: Office) -> None:
    """It stands at the crew from then on."""
    sent = page(office).form("/prints").fields
    crew = sent["crew"]

    blank = post(office, "/prints", **sent)
    asked = post(office, "/prints", **(sent | WHO))

    assert blank.status_code == 409
    assert "say who wants another copy" in read_page(blank.text).text
    assert (asked.status_code, asked.headers["Location"]) == (303, f"/?day={WORK_DATE}")
    with office.works.ledger.reading() as tx:
        run = night_for(tx, company=office.works.library.company.key, day=WORK_DATE)
        assert run is not None
        copies = [p.copy for p in prints.prints_of(tx, run) if p.crew == crew]
    assert copies == [1, 2]
    assert "Printing: copy 2: due" in page(office).text


def test_a_form_of_another_site_does_nothing(office: Office) -> None:
    """Even with the cookie."""
    sent = page(office).form("/answers")
    option = sent.choices["option"][0]

    answer = post(
        office, "/answers", origin="https://elsewhere.example", **(sent.fields | WHO), option=option
    )

    assert answer.status_code == 403
    with office.works.ledger.reading() as tx:
        assert job_by_number(tx, "P-2046").state == "held"


def test_a_readers_page_has_no_form_to_decide_with(night: Works) -> None:
    """And a form made by hand is turned away with a word."""
    with office_of(night, role="reader") as reader:
        post(reader, "/login", key=key_for(night, "reader"))
        shown = page(reader)
        answer = post(reader, "/prints", day=str(WORK_DATE), crew="heron", **WHO)

    assert {form.action for form in shown.forms} == {"/logout", "/answers", "/bookings"}
    assert shown.form("/answers").fields == shown.form("/bookings").fields == {}
    assert answer.status_code == 403


def test_another_days_page_says_that_nobody_works(office: Office) -> None:
    """It is a page, not an error."""
    shown = page(office, f"/?day={WORK_DATE + timedelta(days=300)}")

    assert shown.headings[0] == (1, "0 of 0 crews ready")
    assert "No crew has work on this day." in shown.text


def test_what_comes_from_outside_stands_as_text(office: Office) -> None:
    """Mark-up in what a printer says is shown, not obeyed."""
    hostile = "<img src=x onerror=alert(1)>"
    with office.works.ledger.writing() as tx:
        run = night_for(tx, company=office.works.library.company.key, day=WORK_DATE)
        assert run is not None
        prints.to(tx, prints.prints_of(tx, run)[-1], "failed", says=hostile)

    shown = office.client.get(f"/?day={WORK_DATE}").text

    assert html.escape(hostile) in shown
    assert hostile not in shown


def test_a_question_is_answered_from_the_page_once(office: Office) -> None:
    """The job goes on; the same form sent late changes nothing and says so."""
    sent = page(office).form("/answers")
    said = sent.fields | WHO | {"option": sent.choices["option"][0]}

    answered = post(office, "/answers", **said)
    late = post(office, "/answers", **said)

    assert (answered.status_code, answered.headers["Location"]) == (303, f"/?day={WORK_DATE}")
    assert late.status_code == 409
    assert "changed since this page was loaded" in read_page(late.text).text
    with office.works.ledger.reading() as tx:
        assert job_by_number(tx, "P-2046").state == "received"


def test_a_job_is_split_by_day_from_the_page_once(office: Office) -> None:
    """Posts keep its day, rails get another; the same form sent late changes nothing."""
    sent = page(office).form("/splits").fields
    job = sent["job"]
    said = sent | WHO | {"how": "day", "crew": "plover", "second": ""}

    early = post(office, "/splits", **(said | {"install_date": str(WORK_DATE)}))
    split = post(office, "/splits", **said)
    late = post(office, "/splits", **said)

    assert early.status_code == 409
    assert "is not after the posts' day" in read_page(early.text).text
    assert (split.status_code, late.status_code) == (303, 409)
    with office.works.ledger.reading() as tx:
        assert job_by_number(tx, job).state == "withdrawn"
        days = [job_by_number(tx, f"{job}-{n}").install_date for n in (1, 2)]
    assert days == [WORK_DATE, WORK_DATE + timedelta(days=1)]


def test_a_question_about_bookings_is_answered_from_the_page_once(office: Office) -> None:
    """Its crew's day is too long; who said so stands there from then on."""
    shown = page(office)
    sent = shown.form("/bookings")
    said = sent.fields | WHO | {"option": sent.choices["option"][0]}

    answered = post(office, "/bookings", **said)
    late = post(office, "/bookings", **said)

    assert "Bookings" in [words for _, words in shown.headings]
    assert (answered.status_code, late.status_code) == (303, 409)
    assert "changed since this page was loaded" in read_page(late.text).text
    assert "A. Duty: photo 12. The next run puts it on the day sheet." in page(office).text


def test_leaving_forgets_the_key(office: Office) -> None:
    """The next look asks for it again."""
    post(office, "/logout")

    assert office.client.get("/").headers["Location"] == "/login"
