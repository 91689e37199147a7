"""The queue: the right number to the right list, and settings that lose nothing."""

from __future__ import annotations

import base64
import inspect
import json
from pathlib import Path

import fakeredis
import pytest
from kombu.transport.redis import Channel

from schemas.errors import NotNow
from tests.stand_in import submission_of
from worker.bell import KeptBell, QueueBell, sweep
from worker.bootstrap import Works
from worker.celery_app import App, make_app
from worker.desk import submit
from worker.ledger.sweeping import Ring
from worker.queues import MAKE_BUNDLE, MAKE_PACK, NIGHT, PACKS, POST, TICK
from worker.retries import HARD_LIMIT, VISIBLE_AGAIN
from worker.settings import Settings


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> fakeredis.FakeServer:
    """A broker in memory, behind every connection that the queue opens."""
    fake = fakeredis.FakeServer()

    in_memory = fakeredis.FakeRedis(server=fake).connection_pool.connection_class

    def connect(self: object, *args: object, **more: object) -> None:
        in_memory.__init__(self, *args, **more, server=fake)

    on_this_server = type("OnThisServer", (in_memory,), {"__init__": connect})
    monkeypatch.setattr(Channel, "connection_class", on_this_server)
    return fake


@pytest.fixture
def app() -> App:
    """The application, sending to the broker in memory."""
    return make_app(Settings(broker_url="redis://in-memory/0"))


def messages(server: fakeredis.FakeServer, queue: str) -> list[tuple[str, list[object]]]:
    """Task and arguments of what waits in a queue, first to be taken last."""
    waiting = fakeredis.FakeRedis(server=server).lrange(queue, 0, -1)
    read = [json.loads(message) for message in waiting]
    assert all(m["content-type"] == "application/json" for m in read)
    return [(m["headers"]["task"], json.loads(base64.b64decode(m["body"]))[0]) for m in read]


def test_a_message_is_a_tasks_name_and_a_rows_number(
    server: fakeredis.FakeServer, app: App
) -> None:
    """Nothing of the job itself is in the queue."""
    bell = QueueBell(app)

    bell.ring(Ring(task=MAKE_PACK, row_id=7, queue=PACKS))
    bell.ring(Ring(task=MAKE_BUNDLE, row_id=8, queue=NIGHT))

    assert messages(server, PACKS) == [(MAKE_PACK, [7])]
    assert messages(server, NIGHT) == [(MAKE_BUNDLE, [8])]
    assert bell.waiting() == 2


def test_a_broker_that_is_down_is_not_now(tmp_path: Path) -> None:
    """The caller is told, and keeps its work."""
    bell = QueueBell(make_app(Settings(broker_url=f"redis+socket://{tmp_path}/q.sock")))

    with pytest.raises(NotNow):
        bell.ring(Ring(task=MAKE_PACK, row_id=7, queue=PACKS))
    with pytest.raises(NotNow):
        bell.waiting()


def test_a_sweep_rings_for_what_was_asked_for_now_before_the_nights(works: Works) -> None:
    """And only once while its message waits."""
    bell = KeptBell()
    for number, wanted in (("J-1", NIGHT), ("J-2", PACKS), ("J-3", "")):
        submit(works, submission_of(number), came_as=number, wanted=wanted)

    assert sweep(works, bell) == 2
    assert sweep(works, bell) == 0

    assert [(ring.row_id, ring.queue) for ring in bell.rings] == [(2, PACKS), (1, NIGHT)]


def test_accepting_does_not_depend_on_the_broker(works: Works) -> None:
    """A bell that cannot ring loses nothing; the next sweep rings it."""

    class DeadBell(KeptBell):
        def ring(self, ring: Ring) -> None:
            msg = f"no broker for {ring.row_id}"
            raise NotNow(msg)

    submit(works, submission_of("J-1"), came_as="J-1", wanted=PACKS)

    assert sweep(works, DeadBell()) == 0
    assert sweep(works, KeptBell()) == 1


def test_the_settings_that_keep_work_are_as_they_must_be() -> None:
    """Each was measured or read in the queue's own documentation; none may drift."""
    conf = make_app(Settings()).conf

    assert conf.task_acks_late
    assert conf.task_reject_on_worker_lost
    assert conf.task_retry_on_worker_lost
    assert conf.task_acks_on_timeout
    assert not conf.worker_cancel_long_running_tasks_on_connection_loss
    assert not conf.worker_enable_remote_control
    assert not conf.task_create_missing_queues
    assert conf.accept_content == ["json"]
    assert conf.worker_prefetch_multiplier == 1
    assert conf.broker_transport_options["visibility_timeout"] >= 2 * HARD_LIMIT
    assert VISIBLE_AGAIN >= 2 * HARD_LIMIT


def test_every_task_has_a_hard_limit_and_takes_one_number_at_most() -> None:
    """Who can write the queue can name a row, and no more."""
    app = make_app(Settings())
    app.loader.import_default_modules()

    ours = {name: task for name, task in app.tasks.items() if name.startswith("dawnpack.")}

    assert ours.keys() == {MAKE_PACK, MAKE_BUNDLE, TICK, POST}
    for name in (TICK, POST):
        asked = ours.pop(name)
        assert 2 * asked.time_limit <= VISIBLE_AGAIN
        assert not inspect.signature(asked.run).parameters
    for task in ours.values():
        assert task.time_limit == HARD_LIMIT
        assert list(inspect.signature(task.run).parameters)[-1] in {"job_id", "bundle_id"}
