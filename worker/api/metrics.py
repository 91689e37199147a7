"""What the service measures of itself, in the Prometheus text format.

Counts of jobs and nights are read from the ledger when asked, so every copy of the service
tells the same; requests are each copy's own. No job number is a label.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from prometheus_client import (
    CollectorRegistry,
    Counter,
    Histogram,
    disable_created_metrics,
    generate_latest,
)
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from worker.bootstrap import Works
from worker.health import looked_ago
from worker.ledger.listing import counted, oldest_wait_ms, open_nights
from worker.ledger.runs import set_aside

disable_created_metrics()  # type: ignore[no-untyped-call]  # when a count began tells nobody a thing


@dataclass(frozen=True, slots=True)
class Meters:
    """The meters of one service."""

    registry: CollectorRegistry = field(default_factory=CollectorRegistry)
    requests: Counter = field(init=False)
    seconds: Histogram = field(init=False)

    def __post_init__(self) -> None:
        """Hang the meters up."""
        requests = Counter(
            "dawnpack_requests",
            "Requests answered.",
            ("method", "route", "status"),
            registry=self.registry,
        )
        seconds = Histogram(
            "dawnpack_request_seconds",
            "Time to answer a request.",
            ("route",),
            registry=self.registry,
        )
        object.__setattr__(self, "requests", requests)
        object.__setattr__(self, "seconds", seconds)

    def read(self) -> bytes:
        """All of them, as text."""
        return generate_latest(self.registry)


@dataclass(frozen=True, slots=True, eq=False)
class LedgerMeters(Collector):
    """Reads the ledger when asked."""

    works: Works

    def describe(self) -> list[Metric]:
        """Nothing is read before somebody asks."""
        return []

    def collect(self) -> Iterator[Metric]:
        """How many jobs are in which state, what waits, and how many nights are open."""
        with self.works.ledger.reading() as tx:
            by_state, waits, nights = counted(tx), oldest_wait_ms(tx), open_nights(tx)
            ago = looked_ago(tx, self.works)
            aside = len(set_aside(tx, self.works.library.company.key))
        jobs = GaugeMetricFamily("dawnpack_jobs", "Jobs, by state.", labels=["state"])
        for state, number in sorted(by_state.items()):
            jobs.add_metric([state], number)
        yield jobs
        yield GaugeMetricFamily(
            "dawnpack_oldest_wait_seconds",
            "Age of the oldest job that was asked for at once and is not made.",
            value=waits / 1000,
        )
        yield GaugeMetricFamily("dawnpack_nights_open", "Nights being run.", value=nights)
        yield GaugeMetricFamily(
            "dawnpack_nights_set_aside", "Nights that broke and wait for somebody.", value=aside
        )
        yield GaugeMetricFamily(
            "dawnpack_last_look_seconds", "Since anybody looked at the nights.", value=ago
        )
