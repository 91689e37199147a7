"""The ledger under every order of events: an evil doorbell, dying workers, late answers.

Messages are dropped, doubled and late; workers die holding a job or come back after they were
given up; revisions and withdrawals cut in. Whatever happens: nothing accepted is lost, no
attempt commits twice, and once the trouble ends every job comes to an end.
"""

from __future__ import annotations

from functools import cache

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from schemas.errors import Conflict
from schemas.submission import Submission
from tests.stand_in import DAY, StandIn, submission_of
from worker.clock import SetClock
from worker.ledger import finishing
from worker.ledger.accepting import accept
from worker.ledger.claims import Claim, claim, let_go, renew
from worker.ledger.deciding import withdraw
from worker.ledger.gathering import gather
from worker.ledger.moves import UNFINISHED
from worker.ledger.nights import open_night
from worker.ledger.opening import open_ledger
from worker.ledger.reading import bundles_of, happened, promised
from worker.ledger.records import every_job, job_by_id
from worker.ledger.sweeping import rung, to_ring
from worker.ledger.tables import jobs
from worker.queues import MAKE_PACK

LEASE = 60.0
NUMBERS = ("A", "B")


@cache
def sent(number: str, revision: int) -> tuple[bytes, Submission]:
    """A submission as it comes and as it is read."""
    raw = submission_of(number, revision=revision)
    return raw, StandIn().read_submission(raw)


class Trouble(RuleBasedStateMachine):
    """A night with everything going wrong."""

    def __init__(self) -> None:
        super().__init__()
        self.clock = SetClock()
        self.ledger = open_ledger("sqlite://", self.clock)
        self.held: list[Claim] = []
        self.committed: set[tuple[int, int]] = set()
        self.accepted: dict[tuple[str, int], int] = {}
        self.leases: dict[int, int] = {}

    def teardown(self) -> None:
        """When the trouble is over, everything comes to an end."""
        self.held.clear()
        self.clock.move(LEASE)
        self.open_the_night()
        for _ in range(20):
            for row_id in self._due():
                held = self._claim(row_id)
                if held:
                    self._commit(held)
            self.clock.move(LEASE)
        with self.ledger.writing() as tx:
            states = {job.state for job in every_job(tx)}
            night = open_night(tx, company="c", day=DAY, issued="-")
            gather(tx, night, stamp="s", again=True)
            waiting = [row.crew for row in bundles_of(tx, night) if row.state == "waiting"]
        self.ledger.close()
        assert not states & UNFINISHED
        assert waiting == []

    @initialize()
    def the_office_opens(self) -> None:
        """One job of each number is there."""
        for number in NUMBERS:
            self.submit(number, 1)

    @rule(number=st.sampled_from(NUMBERS), step=st.sampled_from([2, 1, 0, -1]))
    def submit(self, number: str, step: int) -> None:
        """The office sends a later revision, the same again, or one that comes too late."""
        top = max((r for n, r in self.accepted if n == number), default=0)
        revision = max(top + step, 1)
        raw, submission = sent(number, revision)
        with self.ledger.writing() as tx:
            newer = [r for n, r in self.accepted if n == number and r > revision]
            try:
                receipt = accept(tx, submission, raw=raw, issued="-")
            except Conflict:
                assert newer
                return
        assert not (receipt.new and newer)
        known = self.accepted.setdefault((number, revision), receipt.job_id)
        assert known == receipt.job_id

    @rule(number=st.sampled_from(NUMBERS), dice=st.integers(1, 6))
    def take_off(self, number: str, dice: int) -> None:
        """The customer calls, now and then."""
        if dice == 6 and any(n == number for n, _ in self.accepted):
            with self.ledger.writing() as tx:
                try:
                    withdraw(tx, number, by="-", why="-")
                except Conflict:
                    return

    @rule()
    def open_the_night(self) -> None:
        """The night is opened, or opened again."""
        with self.ledger.writing() as tx:
            night = open_night(tx, company="c", day=DAY, issued="-")
            gather(tx, night, stamp="s", again=True)

    @rule(at=st.integers(0, 20), late=st.sampled_from([0.0, 61.0]))
    def a_message_comes(self, at: int, late: float) -> None:
        """For a new row or an old one, rung for or not, once or twice, at once or late."""
        self.clock.move(late)
        newest_first = sorted(self.accepted.values(), reverse=True)
        held = self._claim(newest_first[at % min(len(newest_first), 3)])
        if held:
            self.held.append(held)

    @precondition(lambda self: self.held)
    @rule(at=st.integers(0, 20))
    def a_worker_finishes(self, at: int) -> None:
        """In time or long after it was given up."""
        self._commit(self.held.pop(at % len(self.held)))

    @precondition(lambda self: self.held)
    @rule(at=st.integers(0, 20))
    def a_worker_meets_an_error(self, at: int) -> None:
        """And gives its job back."""
        held = self.held.pop(at % len(self.held))
        with self.ledger.writing() as tx:
            if let_go(tx, held, error="ValueError: odd", counts=True):
                self.leases.pop(held.row_id)

    @precondition(lambda self: self.held)
    @rule(at=st.integers(0, 20))
    def a_worker_lives(self, at: int) -> None:
        """And renews its lease, if it still has it."""
        held = self.held[at % len(self.held)]
        with self.ledger.writing() as tx:
            if renew(tx, held, lease=LEASE):
                self.leases[held.row_id] = self.clock.now_ms() + int(LEASE * 1000)

    @precondition(lambda self: self.held)
    @rule(at=st.integers(0, 20))
    def a_worker_dies(self, at: int) -> None:
        """And says nothing."""
        self.held.pop(at % len(self.held))

    @rule(seconds=st.sampled_from([1.0, 30.0, 61.0, -30.0]))
    def time_passes(self, seconds: float) -> None:
        """Or jumps back."""
        self.clock.move(seconds)

    @invariant()
    def nothing_accepted_is_lost(self) -> None:
        """Every job that was taken in is there, and due or withdrawn."""
        with self.ledger.writing() as tx:
            here = {(job.job, job.revision): job.id for job in every_job(tx)}
            due = promised(tx, DAY)
            off = {job.job for job in every_job(tx) if job.state == "withdrawn"}
        assert here == self.accepted
        assert due | off >= {number for number, _ in here}

    @invariant()
    def one_revision_at_most_is_live(self) -> None:
        """Lower ones are replaced or were withdrawn."""
        with self.ledger.writing() as tx:
            live = [job.job for job in every_job(tx) if job.state not in {"replaced", "withdrawn"}]
        assert len(live) == len(set(live))

    @invariant()
    def a_job_is_packed_once_each_time_it_is_started(self) -> None:
        """However often its bell rang."""
        with self.ledger.writing() as tx:
            for job in every_job(tx):
                states = [event.now for event in happened(tx, "job", job.id)]
                assert states.count("packed") <= 1

    def _due(self) -> list[int]:
        with self.ledger.writing() as tx:
            rings = to_ring(tx, idle=True, lease=LEASE)
            rung(tx, rings)
        return [ring.row_id for ring in rings if ring.task == MAKE_PACK]

    def _claim(self, row_id: int) -> Claim | None:
        with self.ledger.writing() as tx:
            held = claim(tx, jobs, row_id, holder="host:1", lease=LEASE)
        if held:
            assert self.leases.get(row_id, 0) <= self.clock.now_ms()
            self.leases[row_id] = self.clock.now_ms() + int(LEASE * 1000)
        return held

    def _commit(self, held: Claim) -> None:
        with self.ledger.writing() as tx:
            before = job_by_id(tx, held.row_id)
            done = finishing.packed(
                tx, held, made_from="m", pdf="p", code="c", pages=1, replaces=""
            )
        if done:
            assert before.attempt == held.attempt
            assert (held.row_id, held.attempt) not in self.committed
            self.committed.add((held.row_id, held.attempt))


TestTrouble = Trouble.TestCase
TestTrouble.settings = settings(
    max_examples=50,
    stateful_step_count=40,
    deadline=None,
    derandomize=True,
    phases=[Phase.generate],  # a failure is told at once; shrinking it takes minutes
    suppress_health_check=[HealthCheck.too_slow],
)
