"""The queue's application with the stand-in for the computation, for real worker processes."""

from __future__ import annotations

from tests.stand_in import StandIn
from worker.bootstrap import Works, build
from worker.celery_app import make_app
from worker.settings import Settings

SETTINGS = Settings.read()


def build_works() -> Works:
    """What the settings say, with the stand-in in place of the pipeline."""
    return build(SETTINGS, pipeline=StandIn())


app = make_app(SETTINGS, build_works)
app.conf.beat_schedule["dawnpack.tick"]["schedule"] = 0.5  # a test does not wait a minute
