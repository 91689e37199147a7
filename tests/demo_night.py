"""The demo's night without a queue: every message is carried by hand."""

from __future__ import annotations

from pathlib import Path

from schemas.errors import BadInput
from worker.bell import KeptBell
from worker.bootstrap import Works, build
from worker.demo import JOBS, WORK_DATE
from worker.desk import submit
from worker.ledger import prints
from worker.ledger.nights import night_for
from worker.ledger.reading import bundles_of
from worker.ledger.runs import ask
from worker.making import make_bundle, make_pack
from worker.queues import MAKE_PACK
from worker.schedule import tick
from worker.settings import Settings


def demo_night(data: Path) -> Works:
    """Works on which the demo's night has ended, its bundles waiting for a printer."""
    works = build(Settings(data=data))
    for file in sorted(JOBS.iterdir(), key=lambda file: file.name):
        try:
            submit(works, file.read_bytes(), came_as=file.name)
        except BadInput:
            assert file.name.startswith("7")
    with works.ledger.writing() as tx:
        ask(tx, works.library.company.key, WORK_DATE, patience=600)
    for _ in range(3):
        bell = KeptBell()
        tick(works, bell, holder="host:1")
        for ring in bell.rings:
            make = make_pack if ring.task == MAKE_PACK else make_bundle
            make(works, ring.row_id, holder="host:2")
    with works.ledger.writing() as tx:
        run = night_for(tx, company=works.library.company.key, day=WORK_DATE)
        assert run is not None
        for row in bundles_of(tx, run):
            prints.want(tx, run, crew=row.crew, code=row.code, pdf=row.pdf)
    return works
