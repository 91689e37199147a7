"""The post: what is told to whom, signed; retries, refusals, receivers that are gone."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

import pytest
from standardwebhooks import Webhook

from schemas.errors import BadInput
from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger import outbox
from worker.ledger.deciding import withdraw
from worker.ledger.tables import outbox as table
from worker.making import make_pack
from worker.night.alone import alone
from worker.post.round import WAITS, go_round

SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"  # noqa: S105  # invented for tests

pytestmark = pytest.mark.parametrize(
    "ledger_url", ["sqlite in memory", "postgresql"], indirect=True
)


@dataclass
class Office:
    """A receiver that answers as told and keeps what it was sent."""

    status: int = 204
    answer: dict[str, str] = field(default_factory=dict)
    came: list[tuple[dict[str, str], bytes]] = field(default_factory=list)
    port: int = 0

    def bodies(self) -> list[dict[str, Any]]:
        """What it was told."""
        return [json.loads(body) for _, body in self.came]


@pytest.fixture
def office() -> Iterator[Office]:
    """A receiver on a port of its own."""
    known = Office()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:  # as the library has it
            body = self.rfile.read(int(self.headers["Content-Length"]))
            names = ("webhook-id", "webhook-timestamp", "webhook-signature")
            known.came.append(({n: self.headers[n] for n in names}, body))
            self.send_response(known.status)
            for name, value in known.answer.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Handler)
    known.port = server.server_port
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield known
    server.shutdown()
    thread.join()
    server.server_close()


def told(works: Works, tmp_path: Path, *receivers: dict[str, object]) -> Works:
    """The works with these receivers."""
    path = tmp_path / "receivers.json"
    path.write_text(json.dumps({"schema_version": 1, "receivers": receivers}))
    settings = works.settings.model_copy(update={"receivers": path})
    return replace(works, settings=settings)


def receiver(office: Office, **changes: object) -> dict[str, object]:
    """The office as a receiver."""
    url = f"http://127.0.0.1:{office.port}/hook"
    return {"key": "office", "url": url, "secrets": [SECRET], "on_site": True} | changes


def carry(works: Works) -> int:
    """One round."""
    return go_round(works, holder="host:1", scatter=lambda: 0.0)


def states(works: Works) -> dict[tuple[str, str], int]:
    """Messages by kind and state."""
    with works.ledger.writing() as tx:
        return outbox.counts(tx)


def bring(works: Works, job: str, *faults: str) -> None:
    """Take a job in."""
    submit(works, submission_of(job, *faults), came_as=job)


def test_what_happens_to_a_job_is_told_signed_and_once(
    works: Works, office: Office, tmp_path: Path, clock: SetClock
) -> None:
    """Identities only; the reference library knows it for ours."""
    works = told(works, tmp_path, receiver(office))
    bring(works, "H-1", "ask")
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="rain")

    assert carry(works) == 2
    assert carry(works) == 0

    assert [body["type"] for body in office.bodies()] == ["job.held", "job.withdrawn"]
    assert office.bodies()[0]["data"] == {
        "job": "H-1", "revision": 1, "crew": "heron", "work_date": "2026-12-03",
    }  # fmt: skip
    for sent, body in office.came:
        assert sent["webhook-timestamp"] == str(clock.now_ms() // 1000)
        at = datetime.fromtimestamp(int(sent["webhook-timestamp"]), tz=UTC)
        signature = Webhook(SECRET).sign(sent["webhook-id"], at, body.decode())
        assert sent["webhook-signature"] == signature


def test_what_is_told_late_is_told_as_it_was_then(
    works: Works, office: Office, tmp_path: Path
) -> None:
    """A job received and packed before anybody was told: the code comes with its packing."""
    works = told(works, tmp_path, receiver(office))
    bring(works, "H-1")
    make_pack(works, 1, holder="host:1")

    carry(works)

    told_of = {body["type"]: body["data"] for body in office.bodies()}
    assert "code" not in told_of["job.received"]
    assert told_of["job.packed"]["code"]


def test_a_receiver_is_told_only_of_its_topics(
    works: Works, office: Office, tmp_path: Path
) -> None:
    """And of nothing from before it was listed."""
    bring(works, "H-0", "ask")
    carry(works)
    works = told(works, tmp_path, receiver(office, topics=["job.held"]))
    bring(works, "H-1")
    bring(works, "H-2", "ask")

    carry(works)

    assert [b["data"]["job"] for b in office.bodies()] == ["H-2"]


def test_a_receiver_that_is_away_is_told_later_and_later(
    works: Works, office: Office, tmp_path: Path, clock: SetClock
) -> None:
    """The same message, with the same id, until it is given up; the error is kept."""
    works = told(works, tmp_path, receiver(office))
    office.status = 503
    bring(works, "H-1")

    carry(works)
    for wait in WAITS:
        clock.move(wait - 1)
        carry(works)
        before = len(office.came)
        clock.move(1)
        carry(works)
        assert len(office.came) == before + 1

    assert len({sent["webhook-id"] for sent, _ in office.came}) == 1
    assert states(works) == {("webhook", "given up"): 1}


def test_a_receiver_that_comes_back_gets_all_it_missed(
    works: Works, office: Office, tmp_path: Path, clock: SetClock
) -> None:
    """In order."""
    works = told(works, tmp_path, receiver(office))
    office.status = 500
    bring(works, "H-1")
    bring(works, "H-2")
    carry(works)
    assert len(office.came) == 1  # the second message is not tried on one who is away

    office.status = 200
    office.came.clear()
    clock.move(10)
    carry(works)

    assert [b["data"]["job"] for b in office.bodies()] == ["H-1", "H-2"]


def test_a_receiver_that_asks_for_time_is_given_it(
    works: Works, office: Office, tmp_path: Path, clock: SetClock
) -> None:
    """Retry-After goes before our own waits."""
    works = told(works, tmp_path, receiver(office))
    office.status, office.answer = 429, {"Retry-After": "120"}
    bring(works, "H-1")
    carry(works)

    clock.move(119)
    carry(works)
    assert len(office.came) == 1
    clock.move(1)
    carry(works)
    assert len(office.came) == 2


def test_a_receiver_that_is_gone_is_told_nothing_more(
    works: Works, office: Office, tmp_path: Path
) -> None:
    """Until somebody turns it on again."""
    works = told(works, tmp_path, receiver(office))
    office.status = 410
    bring(works, "H-1")
    bring(works, "H-2")
    carry(works)
    bring(works, "H-3")
    carry(works)

    assert len(office.came) == 1
    office.status = 200
    with works.ledger.writing() as tx:
        assert outbox.turn_on(tx, "office") == 2
    assert carry(works) == 2


def test_a_redirect_is_not_followed(works: Works, office: Office, tmp_path: Path) -> None:
    """It is an answer like any other that is none of success."""
    works = told(works, tmp_path, receiver(office))
    office.status, office.answer = 307, {"Location": f"http://127.0.0.1:{office.port}/other"}
    bring(works, "H-1")

    assert carry(works) == 0
    assert len(office.came) == 1


def test_one_receivers_trouble_is_not_anothers(
    works: Works, office: Office, tmp_path: Path
) -> None:
    """The first one cannot be reached at all."""
    nobody = {"key": "nobody", "url": "http://127.0.0.1:9/", "secrets": [SECRET], "on_site": True}
    works = told(works, tmp_path, nobody, receiver(office))
    bring(works, "H-1")

    assert carry(works) == 1
    assert states(works) == {("webhook", "due"): 1, ("webhook", "sent"): 1}


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"secrets": ["whsec_c2hvcnQ="]}, "not a signing secret"),
        ({"on_site": False}, "only https is right"),
        ({"url": "ftp://example.org"}, "is not written as it should be"),
        ({"topics": ["job.eaten"]}, "topics"),
        ({"secrets": []}, "secrets"),
    ],
)
def test_a_list_of_receivers_that_cannot_be_meant_is_refused(
    works: Works, office: Office, tmp_path: Path, changes: dict[str, object], says: str
) -> None:
    """Naming the file and the place."""
    works = told(works, tmp_path, receiver(office, **changes))

    with pytest.raises(BadInput, match=says) as refused:
        carry(works)
    assert refused.value.problems[0].pointer.startswith("receivers.json#/receivers/0")


def test_two_rounds_at_once_send_nothing_twice(
    works: Works, office: Office, tmp_path: Path
) -> None:
    """The second finds the first at it."""
    works = told(works, tmp_path, receiver(office))
    bring(works, "H-1")
    with alone(works, "post", holder="host:2"):
        assert carry(works) == 0
    assert carry(works) == 1
    with works.ledger.writing() as tx:
        assert tx.sql.execute(table.select()).one().tries == 1
