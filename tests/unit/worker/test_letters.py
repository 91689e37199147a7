"""Letters: only what must be decided, with its answers, through a real mail server."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import Envelope

from schemas.signals import Letter
from tests.printers import paper_tray
from tests.stand_in import submission_of
from tests.yard import ZONE, Yard
from worker.bell import KeptBell
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.outbox import MAIL, counts, put
from worker.ledger.tables import outbox
from worker.post.mail import MailRefused, send
from worker.post.round import WAITS, go_round
from worker.printers.round import go_round as print_round
from worker.schedule import tick

DUTY = "duty@example.org"
HERON = "heron@example.org"

pytestmark = pytest.mark.parametrize(
    "ledger_url", ["sqlite in memory", "postgresql"], indirect=True
)


@dataclass
class Letterbox:
    """A mail server that answers as told and keeps what it takes."""

    answer: str = "250 OK"
    refuse: str = ""
    came: list[EmailMessage] = field(default_factory=list)

    async def handle_RCPT(  # noqa: N802  # as the library has it
        self, _server: object, _session: object, envelope: Envelope, address: str, _opts: object
    ) -> str:
        """Take a recipient, or not."""
        envelope.rcpt_tos.append(address)
        return self.refuse or "250 OK"

    async def handle_DATA(  # noqa: N802  # as the library has it
        self, _server: object, _session: object, envelope: Envelope
    ) -> str:
        """Take a letter, or not."""
        if self.answer.startswith("250"):
            assert isinstance(envelope.content, bytes)
            letter = message_from_bytes(envelope.content, policy=default)
            assert isinstance(letter, EmailMessage)
            self.came.append(letter)
        return self.answer


@pytest.fixture
def letterbox() -> Letterbox:
    """An empty one."""
    return Letterbox()


@pytest.fixture
def mailing(works: Works, letterbox: Letterbox) -> Iterator[Works]:
    """The works with that server, a mail address on duty, and one for crew heron."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = Controller(letterbox, hostname="127.0.0.1", port=port)
    server.start()
    company = works.library.company
    crews = tuple(
        crew.model_copy(update={"mail": HERON}) if crew.key == "heron" else crew
        for crew in company.crews
    )
    told = company.model_copy(update={"on_duty_mail": DUTY, "crews": crews})
    yield replace(
        works,
        settings=works.settings.model_copy(update={"smtp_url": f"smtp://127.0.0.1:{port}"}),
        library=works.library.model_copy(update={"company": told}),
    )
    server.stop()


def carry(works: Works) -> int:
    """One round of the post."""
    return go_round(works, holder="host:1", scatter=lambda: 0.0)


def to(letterbox: Letterbox, address: str) -> list[EmailMessage]:
    """Letters to an address."""
    return [letter for letter in letterbox.came if letter["To"] == address]


def text_of(letter: EmailMessage) -> str:
    """What a letter says."""
    body = letter.get_body(("plain",))
    assert body is not None
    content = body.get_content()
    assert isinstance(content, str)
    return content


def test_the_one_on_duty_gets_the_questions_and_their_answers(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """Each answer is a line that can be typed; jobs that are well are not in the letter."""
    Yard(mailing, clock).bring("H-1")
    Yard(mailing, clock).bring("H-2", "ask")
    Yard(mailing, clock).bring("H-3", "broken")
    Yard(mailing, clock).night(tmp_path)

    carry(mailing)

    (letter,) = to(letterbox, DUTY)
    says = text_of(letter)
    assert letter["Subject"] == "2 to decide for Thu 03 Dec 2026"
    assert "the legs do not close by 3 in" in says
    assert "dawnpack answer H-2 which-post leg-a --by YOU --why REASON" in says
    assert "dawnpack answer H-2 which-post leg-b --by YOU --why REASON" in says
    assert "bay A1-A2 opens 4.02 in, the limit is 4 in" in says
    assert "dawnpack withdraw H-3" in says
    assert "H-1" not in says


def test_a_night_without_decisions_sends_none(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """Noise is not read."""
    Yard(mailing, clock).bring("H-1")
    Yard(mailing, clock).night(tmp_path)

    carry(mailing)

    assert to(letterbox, DUTY) == []


def test_the_same_decisions_are_not_told_twice(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """A second run that finds what the first found is silent; one that finds more is not."""
    Yard(mailing, clock).bring("H-2", "ask")
    Yard(mailing, clock).night(tmp_path)
    carry(mailing)
    Yard(mailing, clock).night(tmp_path)
    carry(mailing)
    assert len(to(letterbox, DUTY)) == 1

    Yard(mailing, clock).bring("H-3", "broken")
    Yard(mailing, clock).night(tmp_path)
    carry(mailing)

    assert len(to(letterbox, DUTY)) == 2


def test_a_crews_bundle_arrives_byte_for_byte_and_once_a_code(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """As the delivery folder has it; not before the last run, for it may change until then."""
    yard = Yard(mailing, clock)
    yard.at("2026-12-02T16:00")
    yard.bring("H-1")
    yard.night(tmp_path)
    carry(mailing)
    assert to(letterbox, HERON) == []
    yard.at("2026-12-03T03:00")
    report = yard.night(tmp_path)
    yard.night(tmp_path)

    carry(mailing)

    (letter,) = to(letterbox, HERON)
    (pdf,) = letter.iter_attachments()
    content = pdf.get_content()
    assert content == (tmp_path / report.crews[0].file).read_bytes()
    assert report.crews[0].code in letter["Subject"]
    assert pdf.get_filename() == "heron-2026-12-03.pdf"


def test_a_change_after_a_cut_off_is_named_as_late(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """After the soft one in the report only; after the hard one the crew must be told too."""
    for hour, job in (("14:59", "H-1"), ("15:00", "H-2"), ("16:30", "H-3")):
        at = datetime.fromisoformat(f"2026-12-02T{hour}").replace(tzinfo=ZONE)
        clock.at_ms = int(at.timestamp() * 1000)
        Yard(mailing, clock).bring(job)

    report = Yard(mailing, clock).night(tmp_path)
    carry(mailing)

    assert [(late.job, late.after) for late in report.late] == [
        ("H-2", "soft cut-off"),
        ("H-3", "hard cut-off"),
    ]
    says = text_of(to(letterbox, DUTY)[0])
    assert "H-3 revision 1, crew heron" in says
    assert "H-2" not in says


def test_a_change_after_the_last_run_is_told_at_the_next_look(
    mailing: Works, letterbox: Letterbox, clock: SetClock
) -> None:
    """Once: the crew holds paper that is no longer current."""
    yard = Yard(mailing, clock)
    yard.at("2026-12-03T02:50")
    yard.bring("H-1")
    yard.pass_by(1)
    submit(mailing, submission_of("H-1", "slow 0", revision=2), came_as="H-1")
    for _ in range(3):
        tick(mailing, KeptBell(), holder="host:1")
        clock.move(60)

    carry(mailing)

    letters = [text_of(x) for x in to(letterbox, DUTY) if "after the last run" in x["Subject"]]
    assert len(letters) == 1
    assert "H-1 revision 2, crew heron: received" in letters[0]


def test_a_missed_night_is_told(mailing: Works, letterbox: Letterbox, clock: SetClock) -> None:
    """Whoever was down all day hears of it as soon as it is up."""
    yard = Yard(mailing, clock)
    yard.at("2026-12-02T12:00")
    yard.bring("H-1")
    yard.at("2026-12-04T04:00")
    tick(mailing, KeptBell(), holder="host:1")

    carry(mailing)

    assert [x["Subject"] for x in to(letterbox, DUTY)] == ["The night for 2026-12-03 was missed"]


def test_a_bundle_that_may_be_on_paper_is_told(
    mailing: Works, letterbox: Letterbox, clock: SetClock, tmp_path: Path
) -> None:
    """With the command for another copy; somebody canceled the job at the printer."""
    with paper_tray() as tray:
        tray.mood = "canceled"
        company = mailing.library.company.model_copy(update={"fallback_printer": tray.uri})
        works = replace(mailing, library=mailing.library.model_copy(update={"company": company}))
        yard = Yard(works, clock)
        yard.at("2026-12-03T03:00")
        yard.bring("H-1")
        yard.night(tmp_path)
        for _ in range(3):
            print_round(works, holder="host:1")
            clock.move(30)
    carry(works)

    letters = [x for x in to(letterbox, DUTY) if "unsure" in x["Subject"]]
    assert len(letters) == 1
    assert "dawnpack print --for 2026-12-03 --again heron" in text_of(letters[0])


def letter_in(works: Works) -> None:
    """Put a letter into the outbox."""
    body = Letter(to=DUTY, subject="two to decide", text="1. ...\n").model_dump_json()
    with works.ledger.writing() as tx:
        put(tx, kind=MAIL, target=DUTY, message_id="decide-1", body=body)


def test_a_server_that_says_later_is_asked_later(
    mailing: Works, letterbox: Letterbox, clock: SetClock
) -> None:
    """A code below 500 is for now only (RFC 5321, 4.2.1); the letter has the same id each time."""
    letter_in(mailing)
    letterbox.answer = "451 greylisted"
    assert carry(mailing) == 0
    letterbox.answer = "250 OK"
    assert carry(mailing) == 0
    clock.move(WAITS[0])

    assert carry(mailing) == 1
    assert letterbox.came[0]["Message-ID"] == "<decide-1@dawnpack.invalid>"


@pytest.mark.parametrize(
    ("refuse", "answer"), [("550 no such box", "250 OK"), ("", "554 too many bytes")]
)
def test_a_letter_refused_for_good_is_given_up_and_says_why(
    mailing: Works, letterbox: Letterbox, refuse: str, answer: str
) -> None:
    """It is not tried again and again."""
    letter_in(mailing)
    letterbox.refuse, letterbox.answer = refuse, answer

    carry(mailing)

    with mailing.ledger.writing() as tx:
        assert counts(tx) == {("mail", "given up"): 1}
        error = tx.sql.execute(outbox.select()).one().error
    assert (refuse or answer)[:3] in error


def test_without_a_mail_server_letters_wait(works: Works) -> None:
    """Until one is named."""
    letter_in(works)

    carry(works)

    with works.ledger.writing() as tx:
        assert counts(tx) == {("mail", "due"): 1}


def test_a_subject_cannot_smuggle_in_a_head(mailing: Works) -> None:
    """A line's end in it is refused before anything is sent."""
    with pytest.raises((MailRefused, ValueError)):
        send(
            mailing.settings,
            Letter.model_construct(to=DUTY, subject="a\nBcc: b@example.org", text="", attached=()),
            message_id="x",
        )
