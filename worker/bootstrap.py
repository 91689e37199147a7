"""Where everything is chosen: ledger, store, library, pipeline. Nothing else decides.

Tests hand in their own; the doors and the workers take what the settings say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final, Protocol

from schemas.bundle import BundleFile, DecidedBooking, LateChange, Missing, Stop
from schemas.cut_plan import CutIn, CutPlan, PlainStock, RackPiece, StockRail
from schemas.delivery import NightReport
from schemas.errors import BadInput, Problem
from schemas.job import Library
from schemas.pack import OtherFile, Outcome, PackFile
from schemas.plan import Plan
from schemas.shop import ShopFile, ShopPlan
from schemas.site import Answer, Question
from schemas.submission import Submission
from schemas.what_if import Alternative
from worker.clock import Clock, SystemClock
from worker.ledger.opening import Ledger, open_ledger
from worker.library import load_library
from worker.settings import Settings
from worker.stores import Store
from worker.stores.folder import FolderStore

PROGRAM: Final = ("schemas", "services")
PRINTS: Final = ("reportlab", "highspy")
"""Libraries whose version may show on paper."""


class Pipeline(Protocol):
    """What the worker asks of the computation; `services.pipeline` answers."""

    def read_submission(self, raw: bytes, *, library: Library | None = None) -> Submission:
        """Read and check a submission; BadInput lists all that is wrong."""

    def make_plan(
        self,
        submission: Submission,
        *,
        library: Library,
        answers: tuple[Answer, ...] = (),
        rack: tuple[StockRail | PlainStock, ...] = (),
    ) -> Outcome:
        """Plan a job, or say what must be answered first."""

    def make_pack(
        self, plan: Plan, *, issued: str, replaces: str, before: Plan | None = None
    ) -> PackFile:
        """Print a plan, and mark what differs from the one before."""

    def make_labels(
        self, plan: Plan, *, issued: str, replaces: str, before: Plan | None = None
    ) -> OtherFile:
        """Print a plan's cut tickets on label stock."""

    def make_bundle(
        self,
        *,
        crew: str,
        day: date,
        stops: Sequence[Stop],
        missing: Sequence[Missing],
        library: Library,
        issued: str,
        decided: Sequence[DecidedBooking] = (),
    ) -> BundleFile:
        """Print a crew's day."""

    def make_shop(
        self,
        plans: Sequence[Plan],
        *,
        pool: str,
        day: date,
        library: Library,
        issued: str,
        rack: tuple[StockRail | PlainStock, ...] = (),
    ) -> tuple[ShopFile, ...]:
        """Cut ahead, in the shop, what may be cut ahead of several jobs."""

    def read_shop(self, raw: bytes) -> ShopPlan:
        """Read a shop's plan back."""

    def off_rack(self, plan: Plan) -> tuple[str, ...]:
        """Tags of the offcuts that a plan takes."""

    def tags_taken(self, cuts: CutPlan) -> tuple[str, ...]:
        """Tags of the rack's offcuts that a cutting takes."""

    def left_for_rack(self, cuts: CutPlan, *, stem: str, cut_in: CutIn) -> tuple[RackPiece, ...]:
        """What a plan leaves for the rack once it was cut."""

    def make_supplement(
        self,
        *,
        crew: str,
        day: date,
        of: str,
        code: str,
        changes: Sequence[LateChange],
        stops: Sequence[Stop],
        library: Library,
        issued: str,
    ) -> BundleFile:
        """Print what brings a printed bundle up to date."""

    def read_plan(self, raw: bytes) -> Plan:
        """Read a plan document back."""

    def compare(
        self,
        submission: Submission,
        *,
        library: Library,
        tries: Sequence[str],
        answers: tuple[Answer, ...] = (),
    ) -> tuple[Alternative, ...]:
        """Plan a job as it stands and in other ways."""

    def list_takeoff(self, plan: Plan, *, prices: bool = False) -> bytes:
        """A plan's takeoff as CSV."""

    def list_cuts(self, plan: Plan) -> bytes:
        """A plan's cut list as CSV."""

    def purchase(
        self,
        plans: Iterable[bytes],
        *,
        library: Library,
        day: date,
        issued: date,
        shops: Iterable[bytes] = (),
    ) -> dict[str, bytes]:
        """Order totals of stored plans and shop cuttings: file name and content."""

    def make_morning_page(self, report: NightReport, *, library: Library) -> bytes:
        """Print the office's morning page."""

    def check_night(self, plans: Iterable[bytes], *, library: Library) -> tuple[Question, ...]:
        """Jobs given out twice, crews promised at two places at once, days too long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """All that a door or a worker works with."""

    settings: Settings
    clock: Clock
    ledger: Ledger
    store: Store
    pipeline: Pipeline
    library: Library
    stamp: str
    """Digest of library and program: another one makes other packs."""


def build(
    settings: Settings,
    *,
    pipeline: Pipeline | None = None,
    library: Library | None = None,
    clock: Clock | None = None,
    store: Store | None = None,
) -> Works:
    """Build the works as the settings say, save for what is handed in.

    Raises:
        NotNow: The ledger cannot be opened.
        BadInput: A document of the library does not read, or what a bucket needs is not installed.
        UnknownThing: There is no library.
    """
    books = library or choose_library(settings)
    return Works(
        settings=settings,
        clock=clock or SystemClock(),
        ledger=open_ledger(settings.ledger, clock),
        store=store or choose_store(settings),
        pipeline=pipeline or choose_pipeline(),
        library=books,
        stamp=sha256((books.model_dump_json() + program_stamp()).encode()).hexdigest(),
    )


def choose_pipeline() -> Pipeline:
    """The computation, loaded when it is first wanted: it brings fonts and solver with it."""
    from services import pipeline  # noqa: PLC0415  # slow to load; help needs none of it

    return pipeline


def choose_store(settings: Settings) -> Store:
    """The folder or the bucket.

    Raises:
        BadInput: A bucket is named, and its client is not installed.
    """
    if not isinstance(settings.store, str):
        return FolderStore(settings.packs)
    try:
        from worker.stores.bucket import BucketStore  # noqa: PLC0415  # an extra brings its client
    except ImportError as no:
        problem = Problem(
            pointer="/DAWNPACK_STORE",
            value=settings.store,
            says=f"a bucket needs the extra `s3` ({no})",
            mend="pip install 'dawnpack[s3]', or name a folder",
        )
        raise BadInput([problem]) from no
    return BucketStore(settings.store, settings.store_endpoint)


def choose_library(settings: Settings) -> Library:
    """The company's own library, or the demo's."""
    return load_library(settings.library) if settings.library else load_library()


def program_stamp() -> str:
    """A digest of everything in the program that decides what a pack looks like."""
    digest = sha256()
    for package in PROGRAM:
        _add(digest.update, files(package))
    for name in PRINTS:
        digest.update(version(name).encode())
    return digest.hexdigest()


def _add(update: Callable[[bytes], None], folder: Traversable) -> None:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir() and entry.name != "__pycache__":
            _add(update, entry)
        elif entry.is_file():
            update(entry.name.encode() + entry.read_bytes())
