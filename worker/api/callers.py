"""Who asks: the key a request shows, what it may do, and how often."""

from __future__ import annotations

import math
import threading
import time
from dataclasses import dataclass, field
from typing import Annotated, Final

import structlog
from fastapi import Depends, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer

from worker.api.problems import Refusal
from worker.bootstrap import Works
from worker.ledger.api_keys import ApiKey, key_of

MOST_CALLERS: Final = 10_000
"""Callers whose pace is remembered; beyond that, those who have rested longest are forgotten."""

COOKIE: Final = "dawnpack"
"""Holds the key of somebody at the office's page. It opens only what is read."""

BEARER: Final = HTTPBearer(
    auto_error=False, scheme_name="key", description="A key made by `dawnpack key add`."
)


@dataclass(slots=True)
class Pace:
    """Lets each caller make so many requests a minute, and a burst of as many after a rest."""

    a_minute: int
    _left: dict[str, tuple[float, float]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def left(self, caller: str) -> int:
        """How many requests the caller may make at once now."""
        with self._lock:
            return int(self._left.get(caller, (float(self.a_minute), 0.0))[0])

    def wait(self, caller: str, *, now: float) -> float:
        """Seconds the caller must wait; 0: this request is counted and may go on."""
        with self._lock:
            left, at = self._left.pop(caller, (float(self.a_minute), now))
            left = min(self.a_minute, left + (now - at) * self.a_minute / 60)
            short = max(0.0, 1 - left)
            self._left[caller] = (left if short else left - 1, now)
            if len(self._left) > MOST_CALLERS:
                del self._left[next(iter(self._left))]
            return short * 60 / self.a_minute


def works_of(request: Request) -> Works:
    """What the office works with."""
    works: Works = request.app.state.works
    return works


Office = Annotated[Works, Depends(works_of)]


def keep_pace(request: Request, caller: str) -> None:
    """Count a request; the answer says how many are left.

    Source:
        draft-ietf-httpapi-ratelimit-headers-10: RateLimit-Policy and RateLimit.

    Raises:
        Refusal: The caller is too fast.
    """
    pace: Pace = request.app.state.pace
    wait = pace.wait(caller, now=time.monotonic())
    request.state.headers = {
        "RateLimit-Policy": f'"caller";q={pace.a_minute};w=60',
        "RateLimit": f'"caller";r={pace.left(caller)};t={math.ceil(wait)}',
    }
    if wait:
        later = {"Retry-After": str(math.ceil(wait))}
        raise Refusal(
            kind="too-many", detail=f"{pace.a_minute} requests a minute are allowed", headers=later
        )


def reader(
    request: Request,
    works: Office,
    shown: Annotated[HTTPAuthorizationCredentials | None, Depends(BEARER)],
) -> ApiKey:
    """A caller with a good key.

    Raises:
        Refusal: No good key, or too fast.
    """
    if shown is None and request.method == "GET":  # a link on the office's page
        return admit(request, works, request.cookies.get(COOKIE, ""))
    return admit(request, works, shown.credentials if shown else "")


def admit(request: Request, works: Works, shown: str) -> ApiKey:
    """The caller who shows a key.

    Raises:
        Refusal: No good key, or too fast.
    """
    with works.ledger.reading() as tx:
        key = key_of(tx, shown) if shown else None
    if key is None:
        keep_pace(request, _address(request))
        raise Refusal(
            kind="no-key",
            detail="no key, or not a good one",
            headers={"WWW-Authenticate": "Bearer"},
        )
    named(request, key=key.name)
    keep_pace(request, key.name)
    return key


Reader = Annotated[ApiKey, Depends(reader)]


def officer(key: Reader) -> ApiKey:
    """A caller who may change things.

    Raises:
        Refusal: The key may only look.
    """
    only_office(key)
    return key


def only_office(key: ApiKey) -> None:
    """Let nobody on who may only look.

    Raises:
        Refusal: The key may only look.
    """
    if key.role != "office":
        raise Refusal(kind="not-allowed", detail=f"key {key.name} has the role {key.role}")


Officer = Annotated[ApiKey, Depends(officer)]


def named(request: Request, **keys: object) -> None:
    """Let every line logged from here on, and the line of the request itself, bear these keys."""
    structlog.contextvars.bind_contextvars(**keys)
    request.state.named = {**getattr(request.state, "named", {}), **keys}


def anybody(request: Request) -> None:
    """A caller without a key: counted by address.

    Raises:
        Refusal: Too fast.
    """
    keep_pace(request, _address(request))


def _address(request: Request) -> str:
    return f"address {request.client.host if request.client else 'unknown'}"
