"""One round of the post: put out what is new, send what is due, write down how it went."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from schemas.errors import NotNow
from schemas.signals import Letter, Receiver, Receivers
from services.intake.reading import read_library_document
from worker.bootstrap import Works
from worker.ledger import outbox
from worker.ledger.outbox import Message
from worker.logs import logger
from worker.night.alone import alone
from worker.post.mail import Enclosure, MailRefused, send
from worker.post.posting import Answered, NotAllowed, post
from worker.post.signing import headers
from worker.settings import Settings

WAITS: Final = (5.0, 300.0, 1800.0, 7200.0, 18000.0, 36000.0, 50400.0, 72000.0, 86400.0)
"""Between two tries, longer each time; after the last one it is given up. [s]"""

SCATTER: Final = 0.2
"""A wait is longer by up to so much of itself, so that not all come back together."""

AT_ONCE: Final = 100
"""Messages of one round at most."""

LOCK: Final = "post"

log = logger(__name__)


@dataclass(kw_only=True, eq=False)
class Failed(Exception):
    """A try that did not succeed."""

    says: str
    wait: float = 0.0
    """The receiver asks for so much at least. [s]"""
    final: bool = False
    """No try will ever succeed."""
    off: bool = False
    """It wants no more."""


def go_round(works: Works, *, holder: str, scatter: Callable[[], float] = random.random) -> int:
    """Send what is due; the number of messages taken.

    Args:
        works: The works.
        holder: Who goes.
        scatter: From 0 to 1, for the waits.
    """
    with alone(works, LOCK, holder=holder) as lock:
        if lock is None:
            return 0
        receivers = {receiver.key: receiver for receiver in receivers_of(works.settings)}
        with works.ledger.writing() as tx:
            outbox.fan_out(tx, tuple(receivers.values()))
            due = outbox.due_messages(tx, most=AT_ONCE)
        taken, away = 0, set[str]()
        for message in due:
            if message.target in away:
                continue
            try:
                _send(works, receivers, message)
            except Failed as no:
                away.add(message.target)
                _not_taken(works, message, no, scatter)
            else:
                taken += 1
                with works.ledger.writing() as tx:
                    outbox.sent(tx, message)
        return taken


def receivers_of(settings: Settings) -> tuple[Receiver, ...]:
    """The company's list of receivers.

    Raises:
        BadInput: It does not read.
        NotNow: The file cannot be read.
    """
    if settings.receivers is None:
        return ()
    try:
        raw = settings.receivers.read_bytes()
    except OSError as no:
        msg = f"the list of receivers cannot be read: {no}"
        raise NotNow(msg) from no
    return read_library_document(raw, Receivers, name=settings.receivers.name).receivers


def _send(works: Works, receivers: dict[str, Receiver], message: Message) -> None:
    try:
        if message.kind == outbox.MAIL:
            _send_letter(works, message)
        else:
            _post(works, receivers, message)
    except NotNow as no:
        raise Failed(says=str(no)) from no
    except (NotAllowed, MailRefused) as no:
        raise Failed(says=str(no), final=True) from no


def _send_letter(works: Works, message: Message) -> None:
    if not works.settings.smtp_url:
        raise Failed(says="no mail server is named in smtp_url")
    letter = Letter.model_validate_json(message.body)
    enclosed = tuple(
        Enclosure(name=name, content=works.store.get(sha256)) for name, sha256 in letter.attached
    )
    send(works.settings, letter, message_id=message.message_id, enclosed=enclosed)


def _post(works: Works, receivers: dict[str, Receiver], message: Message) -> None:
    receiver = receivers.get(message.target)
    if receiver is None:
        raise Failed(says="it is no longer in the list of receivers", final=True)
    body = message.body.encode()
    signed = headers(
        message_id=message.message_id,
        timestamp=works.clock.now_ms() // 1000,
        body=body,
        secrets=receiver.secrets,
    )
    _judge(post(receiver.url, body, signed, on_site=receiver.on_site))


def _judge(answer: Answered) -> None:
    if 200 <= answer.status < 300:
        return
    says = f"answered {answer.status}"
    raise Failed(says=says, wait=answer.retry_after, off=answer.status == 410)


def _not_taken(works: Works, message: Message, no: Failed, scatter: Callable[[], float]) -> None:
    last = message.tries >= len(WAITS)
    with works.ledger.writing() as tx:
        if no.off:
            outbox.turn_off(tx, message, error=no.says)
        elif no.final or last:
            outbox.give_up(tx, message, error=no.says)
        else:
            wait = max(no.wait, WAITS[message.tries] * (1 + SCATTER * scatter()))
            outbox.put_off(tx, message, error=no.says, wait=wait)
    say = log.error if no.final or last or no.off else log.warning
    say("not taken", kind=message.kind, target=message.target, id=message.message_id, why=no.says)
