"""Around every request: its name in the log, its time, and an answer when nobody foresaw it."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any, Final
from uuid import uuid4

import structlog
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from worker.api.metrics import Meters
from worker.api.problems import problem
from worker.logs import logger

log = logger(__name__)

NO_ROUTE: Final = "-"
"""Route of a request that found none."""


@dataclass(frozen=True, slots=True)
class Witness:
    """Logs and measures every request; no payload, no key."""

    app: ASGIApp
    meters: Meters

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        start = time.perf_counter()
        status = 0

        only_head = scope["method"] == "HEAD"

        async def seen(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                more = scope["state"].get("headers", {})
                own = [(name.encode(), value.encode()) for name, value in more.items()]
                message["headers"] = [*message.get("headers", ()), *own]
            elif only_head and message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        name = f"urn:uuid:{uuid4()}"
        scope.setdefault("state", {})
        if only_head:  # answered as a GET is, without its body (RFC 9110, 9.3.2)
            scope["method"], scope["asked"] = "GET", "HEAD"
        with structlog.contextvars.bound_contextvars(request=name):
            try:
                await self.app(scope, receive, seen)
            except ClientDisconnect:
                log.info("the client went away", method=scope["method"], path=scope["path"])
            except Exception:
                log.exception("not foreseen", method=scope["method"], path=scope["path"])
                if status:
                    raise
                answer = problem("bug", detail="It is logged under the name of this request.")
                await answer(scope, receive, seen)
            finally:
                self._write(scope, status, time.perf_counter() - start)

    def _write(self, scope: Scope, status: int, took: float) -> None:
        route: Any = scope.get("route")
        path = getattr(route, "path", NO_ROUTE)
        method = scope.get("asked", scope["method"])
        self.meters.requests.labels(method, path, str(status)).inc()
        self.meters.seconds.labels(path).observe(took)
        log.info(
            "answered",
            method=method,
            path=scope["path"],
            status=status,
            ms=round(took * 1000, 1),
            **scope["state"].get("named", {}),
        )
