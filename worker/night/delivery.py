"""Putting a night's files where the crews and the office find them: a folder.

Exactly what is current stands there: a file that this night put there and that is no longer
current is taken away again. What is already there, byte for byte, is left.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import inf
from pathlib import Path
from typing import Any

from sqlalchemy import Row

from schemas.delivery import Unlabelled
from schemas.errors import GeometryError, UnknownThing, UnprintableText
from worker.bootstrap import Works
from worker.fail_points import passing
from worker.ledger.deliveries import deliver, delivered_to, take_back
from worker.ledger.gathering import contents_of, one_line
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import NightRow, due_jobs, hold_fence, to_paper
from worker.ledger.reading import bundles_of
from worker.ledger.records import JobRow
from worker.ledger.shop_cuts import ShopRow, shop_rows
from worker.logs import logger
from worker.making import stop_of
from worker.night.supplements import hand_over_printed, make_supplements
from worker.stores import name_of
from worker.stores.folder import take_half_files, write_whole

log = logger(__name__)


def bundle_file(crew: str) -> str:
    """Where a crew's bundle stands."""
    return f"bundles/{crew}.pdf"


def pack_file(job: str, revision: int, code: str) -> str:
    """Where a job's pack stands."""
    return f"packs/{job}-r{revision}-{code}.pdf"


def plan_file(job: str) -> str:
    """Where a job's plan stands."""
    return f"plans/{job}.json"


def labels_file(crew: str, job: str, code: str) -> str:
    """Where a job's cut tickets on label stock stand: beside its crew's bundle."""
    return f"bundles/{crew}-labels-{job}-{code}.pdf"


def order_file(name: str) -> str:
    """Where a file for purchasing stands. Prices stand in it: it is the office's."""
    return f"orders/{name}"


def shop_file(pool: str) -> str:
    """Where the sheets of a shop cutting stand."""
    return f"shop/{pool}.pdf"


def shop_plan_file(pool: str) -> str:
    """Where the plan of a shop cutting stands."""
    return f"shop/{pool}.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Due:
    """What should stand in the folder: names there and in the store."""

    files: dict[str, str]
    plans: list[str]
    """Names of the jobs' plans in the store."""
    on_sheets: list[int]
    """Jobs on the day sheets delivered."""


def deliver_to(works: Works, night: NightRow, out: Path) -> tuple[Unlabelled, ...]:
    """Bring a folder in line with what the night has made; tell whose labels could not be.

    Raises:
        Damaged: A stored file went bad after it was checked.
        Overtaken: A later run of the night has started.
    """
    target = str(out.resolve())
    with works.ledger.writing() as tx:
        hold_fence(tx, night)
        bundles = bundles_of(tx, night)
        due = _due(due_jobs(tx, night), bundles)
        shops = _shop(shop_rows(tx, night))
        due.files.update(shops)
        before = delivered_to(tx, night, target)
    cut_ahead = [sha256 for name, sha256 in shops.items() if name.endswith(".json")]
    due.files.update(_orders(works, night, due, cut_ahead))
    due.files.update(make_supplements(works, night, bundles))
    labels, unlabelled = _labels(works, bundles, before, out)
    due.files.update(labels)
    for folders in (".", "*"):  # under the night's lock: nobody else writes here now
        take_half_files(out, folders, until=inf)
    for name in before.keys() - due.files.keys():
        (out / name).unlink(missing_ok=True)
    for name, sha256 in due.files.items():
        if not _stands(out / name, sha256):
            write_whole(out / name, works.store.get(sha256))
            passing("delivering")
    passing("delivered")
    with works.ledger.writing() as tx:
        hold_fence(tx, night)
        for name in sorted(before.keys() - due.files.keys()):
            take_back(tx, night, target=target, name=name)
        for name, sha256 in due.files.items():
            if before.get(name) != sha256:
                deliver(tx, night, target=target, name=name, sha256=sha256)
        to_paper(tx, due.on_sheets, to="delivered", cause=f"to {target}")
        hand_over_printed(works, tx, night, bundles)
    return unlabelled


def _due(jobs: list[JobRow], bundles: list[Row[Any]]) -> _Due:
    files: dict[str, str] = {}
    packed = [job for job in jobs if job.state in WITH_PACK]
    for job in packed:
        files[pack_file(job.job, job.revision, job.code)] = job.pdf
        files[plan_file(job.job)] = job.plan
    made = [row for row in bundles if row.state == "made"]
    files |= {bundle_file(row.crew): row.pdf for row in made}
    on_sheets = [pack.job_id for row in made for pack in contents_of(row).packs]
    return _Due(files=files, plans=[job.plan for job in packed], on_sheets=on_sheets)


def _shop(rows: list[ShopRow]) -> dict[str, str]:
    """The shop's sheets and plans: names there and in the store."""
    made = [row for row in rows if row.pool]
    return {shop_file(row.pool): row.pdf for row in made} | {
        shop_plan_file(row.pool): row.plan for row in made
    }


def _labels(
    works: Works, bundles: list[Row[Any]], before: dict[str, str], out: Path
) -> tuple[dict[str, str], tuple[Unlabelled, ...]]:
    """Each job's labels beside its crew's bundle, where the company has label stock.

    What stands there already under the pack's code is not made again. Labels that cannot be
    made are left out and told: the pack has the same tickets on plain paper. A job of which
    nothing is ticketed needs none.
    """
    files: dict[str, str] = {}
    without: list[Unlabelled] = []
    if works.library.company.labels is None:
        return files, ()
    for row in (row for row in bundles if row.state == "made"):
        contents = contents_of(row)
        for pack in contents.packs:
            name = labels_file(row.crew, pack.job, pack.code)
            kept = before.get(name)
            if kept and _stands(out / name, kept):
                files[name] = kept
                continue
            stop = stop_of(works, pack)
            try:
                made = works.pipeline.make_labels(
                    stop.plan, issued=contents.issued, replaces=stop.replaces, before=stop.before
                )
            except UnknownThing as no:
                log.info("nothing to label", job=pack.job, why=str(no))
                continue
            except (GeometryError, UnprintableText) as no:
                log.warning("no labels", job=pack.job, why=str(no))
                why = one_line(str(no))
                without.append(
                    Unlabelled(job=pack.job, revision=pack.revision, crew=row.crew, why=why)
                )
                continue
            files[name] = works.store.put(made.content)
    return files, tuple(without)


def _orders(works: Works, night: NightRow, due: _Due, cut_ahead: list[str]) -> dict[str, str]:
    """Order totals of every plan that is due, put into the store: names there and in the folder."""
    made = works.pipeline.purchase(
        (works.store.get(sha256) for sha256 in due.plans),
        library=works.library,
        day=night.work_date,
        issued=date.fromisoformat(night.issued),
        shops=(works.store.get(sha256) for sha256 in cut_ahead),
    )
    return {order_file(name): works.store.put(content) for name, content in made.items()}


def _stands(path: Path, sha256: str) -> bool:
    return path.is_file() and name_of(path.read_bytes()) == sha256
