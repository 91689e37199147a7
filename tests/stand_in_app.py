"""The queue's application with the stand-in for the computation, for real worker processes."""

from __future__ import annotations

from tests.shifted_clock import clock_asked_for
from tests.stand_in import StandIn
from worker.bootstrap import Works, build
from worker.celery_app import make_app
from worker.settings import Settings

SETTINGS = Settings.read()


def build_works() -> Works:
    """What the settings say, with the stand-in in place of the pipeline."""
    return build(SETTINGS, pipeline=StandIn(), clock=clock_asked_for())


app = make_app(SETTINGS, build_works)
for round_of in app.conf.beat_schedule.values():
    round_of["schedule"] = 0.5  # a test does not wait a minute
