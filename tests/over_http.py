"""A running service and a client of it, for tests."""
# ruff: noqa: ANN401  # what the HTTP client takes is handed through

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import httpx
import uvicorn
from fastapi import FastAPI

from worker.api.app import make_service
from worker.bootstrap import Works
from worker.ledger.api_keys import Role, make_key


@contextmanager
def running(service: FastAPI) -> Iterator[str]:
    """A real server on a free port of this machine; its address."""
    config = uvicorn.Config(
        service, host="127.0.0.1", port=0, log_config=None, access_log=False, lifespan="off"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.005)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join()


@dataclass(kw_only=True)
class Office:
    """An office's client, with a key, and the works behind the door."""

    works: Works
    url: str
    client: httpx.Client
    key: str
    nudges: list[str] = field(default_factory=list)

    def ask(self, method: str, path: str, *, key: str | None = None, **more: Any) -> httpx.Response:
        """Send a request, by default with the office's key."""
        shown = self.key if key is None else key
        headers = {"Authorization": f"Bearer {shown}"} if shown else {}
        headers |= more.pop("headers", {})
        return self.client.request(method, path, headers=headers, **more)

    def get(self, path: str, **more: Any) -> httpx.Response:
        """Read."""
        return self.ask("GET", path, **more)

    def send(
        self, raw: bytes | dict[str, Any], path: str = "/v1/jobs", **more: Any
    ) -> httpx.Response:
        """Send a JSON body, by default a submission."""
        content = raw if isinstance(raw, bytes) else json.dumps(raw).encode()
        headers = {"Content-Type": "application/json"} | more.pop("headers", {})
        method = more.pop("method", "POST")
        return self.ask(method, path, content=content, headers=headers, **more)

    def change(self, job: str, what: str, said: dict[str, Any]) -> httpx.Response:
        """Change a job as it is seen now."""
        tag = self.get(f"/v1/jobs/{job}").headers["ETag"]
        return self.send(said, f"/v1/jobs/{job}/{what}", headers={"If-Match": tag})


@contextmanager
def office_of(works: Works, *, role: Role = "office") -> Iterator[Office]:
    """A service on some works, and a client of it."""
    key = key_for(works, role)
    nudges: list[str] = []
    nudge: Callable[[], None] = lambda: nudges.append("nudged")  # noqa: E731  # a line is enough
    with (
        running(make_service(works, nudge=nudge)) as url,
        httpx.Client(base_url=url, timeout=30, trust_env=False, verify=False) as client,  # noqa: S501  # plain HTTP
    ):
        yield Office(works=works, url=url, client=client, key=key, nudges=nudges)


def key_for(works: Works, role: Role) -> str:
    """A new key."""
    with works.ledger.writing() as tx:
        return make_key(tx, owner="tests", role=role)


def problem_of(answer: httpx.Response) -> tuple[int, str]:
    """Status and kind of a problem document, which the answer must be."""
    assert answer.headers["Content-Type"] == "application/problem+json", answer.text
    document = answer.json()
    assert document["status"] == answer.status_code
    assert document["instance"].startswith("urn:uuid:")
    kind = document["type"]
    assert kind.startswith("urn:dawnpack:problem:")
    return answer.status_code, kind.removeprefix("urn:dawnpack:problem:")
