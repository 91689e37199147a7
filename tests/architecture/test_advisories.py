"""The audit of dependencies: what it finds it says, and what it could not ask it does not pass.

Source:
    The answer's form is that of osv.dev's querybatch (Open Source Vulnerability format).
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from tests.advisories import CANARY, PINNED, NotAudited, known_faults, pinned

OURS = ("good", "1.0"), ("bad", "2.0")


@contextmanager
def database(answer: Callable[[list[str]], bytes]) -> Iterator[str]:
    """A database that answers so to the names it is asked about; its address."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:  # as the library has it
            asked = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
            said = answer([query["package"]["name"] for query in asked["queries"]])
            self.send_response(200)
            self.send_header("Content-Length", str(len(said)))
            self.end_headers()
            self.wfile.write(said)

        def log_message(self, *_: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    thread.join()
    server.server_close()


def knows(*bad: str) -> Callable[[list[str]], bytes]:
    """A database that knows a fault of each of these."""

    def answer(names: list[str]) -> bytes:
        results = [{"vulns": [{"id": f"X-{name}"}]} if name in bad else {} for name in names]
        return json.dumps({"results": results}).encode()

    return answer


def test_a_known_fault_is_named_with_its_version() -> None:
    """And the canary's own is not ours."""
    with database(knows("bad", CANARY[0])) as url:
        found = known_faults(OURS, database=url)

    assert found == ["bad 2.0: X-bad"]


@pytest.mark.parametrize(
    "answer",
    [
        knows(),
        lambda _: b"<html>200 OK</html>",
        lambda _: b'{"results": []}',
        lambda _: b'{"results": null}',
        lambda _: b"{}",
    ],
    ids=["knows nothing", "a page", "no results", "null", "another form"],
)
def test_an_answer_without_the_canary_is_no_audit(answer: Callable[[list[str]], bytes]) -> None:
    """Whatever stands between us and the database."""
    with database(answer) as url, pytest.raises(NotAudited):
        known_faults(OURS, database=url)


def test_no_answer_is_no_audit() -> None:
    """Nobody listens there."""
    with pytest.raises(NotAudited):
        known_faults(OURS, database="http://127.0.0.1:9/")


def test_every_pin_is_asked_about() -> None:
    """Comments are none."""
    assert pinned("# names\na==1\n\nb==2.0  # why\n") == [("a", "1"), ("b", "2.0")]
    assert ("celery" in dict(pinned(PINNED.read_text("utf-8")))) is True
