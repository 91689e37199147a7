"""The demo: the whole line on real worker processes, twice, the second time with a murder."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.paper.readers import texts
from worker.ledger.opening import open_ledger
from worker.ledger.tables import jobs


def demo(out: Path) -> subprocess.CompletedProcess[str]:
    """Run the command, as a newcomer does."""
    return subprocess.run(
        [sys.executable, "-m", "worker.cli", "demo", "--out", str(out)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "COLUMNS": "200"},
    )


def kill_the_worker(out: Path) -> None:
    """SIGKILL the worker process as soon as it has claimed a job."""
    ledger = out / "data" / "ledger.sqlite"
    end = time.monotonic() + 120
    while time.monotonic() < end:
        if ledger.exists():
            opened = open_ledger(f"sqlite:///{ledger}")
            with opened.writing() as tx:
                held = tx.sql.execute(jobs.select().where(jobs.c.holder != "")).first()
            opened.close()
            if held is not None:
                os.kill(int(held.holder.rpartition(":")[2]), signal.SIGKILL)
                return
        time.sleep(0.05)


def files(out: Path) -> dict[str, bytes]:
    """All that crews and office get: bundles, packs, plans, orders."""
    return {
        str(path.relative_to(out)): path.read_bytes()
        for folder in ("bundles", "packs", "plans", "orders")
        for path in (out / folder).iterdir()
    }


def said(text: Any) -> str:  # noqa: ANN401  # a text, or its message and values
    """A text as a plan document keeps it, in English."""
    if not isinstance(text, dict):
        return str(text or "")
    return str(text["message"]).format_map({k: said(v) for k, v in text["values"].items()})


@pytest.fixture(scope="module")
def calm(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A demo that nobody disturbed: its folder and what it printed."""
    out = tmp_path_factory.mktemp("calm") / "demo"
    done = demo(out)
    assert done.returncode == 0, done.stderr
    return out, done.stdout + done.stderr


def test_the_demo_leaves_bundles_packs_plans_and_a_complete_report(
    calm: tuple[Path, str],
) -> None:
    """Three crews; one job held, one refused; every other one on a day sheet."""
    out, printed = calm

    report = json.loads((out / "night-report.json").read_bytes())

    assert report["complete"], report["faults"]
    assert [crew["crew"] for crew in report["crews"]] == ["heron", "plover", "wren"]
    assert [(e["job"], e["state"]) for e in report["exceptions"]] == [("P-2046", "held")]
    assert report["on_day_sheets"] == 6
    assert len(list((out / "packs").iterdir())) == 6
    assert all(raw.startswith(b"%PDF-") for name, raw in files(out).items() if name.endswith("pdf"))
    assert str(out / "bundles/heron.pdf") in printed


def test_each_jobs_labels_stand_beside_its_crews_bundle(calm: tuple[Path, str]) -> None:
    """With the code of the pack that the crew holds, on every label and in the file's name."""
    out, _ = calm
    packs = {
        (job, code)
        for path in (out / "packs").iterdir()
        for job, _, code in [(path.stem[:6], *path.stem[7:].split("-", 1))]
    }

    labels = list((out / "bundles").glob("*-labels-*.pdf"))

    assert {(p.stem.split("-labels-")[1][:6], p.stem[-9:]) for p in labels} == packs
    for path in labels:
        pages = texts(path.read_bytes())
        assert all(path.stem[-9:] in page for page in pages)


def test_the_orders_are_what_the_delivered_plans_load(calm: tuple[Path, str]) -> None:
    """Every part of every plan in the folder, added up; one order a supplier."""
    out, _ = calm
    loads: Counter[tuple[str, str]] = Counter()
    for path in (out / "plans").iterdir():
        for line in json.loads(path.read_bytes())["takeoff"]["lines"]:
            loads[line["item"], said(line["variant"])] += line["packages"]

    with (out / "orders/order-totals.csv").open(newline="", encoding="utf-8") as table:
        ordered = {(r["item"], r["variant"]): int(r["packages"]) for r in csv.DictReader(table)}

    assert ordered == loads
    assert sorted(path.name for path in (out / "orders").iterdir()) == [
        "order-harbour-hardware.xml",
        "order-rail-depot.xml",
        "order-totals.csv",
    ]


def test_the_demo_prints_the_held_jobs_question_and_keeps_only_problems_of_the_refused(
    calm: tuple[Path, str],
) -> None:
    """What a human must answer, and what the office must mend."""
    out, printed = calm

    problems = json.loads((out / "refused/7-refused.problems.json").read_bytes())

    assert "dawnpack answer P-2046 rise.S1 riser" in printed
    assert len(problems) == 6
    assert not [path for path in files(out) if "P-2047" in path]


def test_a_second_demo_with_its_worker_killed_is_the_same_byte_for_byte(
    calm: tuple[Path, str], tmp_path: Path
) -> None:
    """Another worker finishes; names carry the codes, so these are the same too."""
    out = tmp_path / "demo"
    killer = threading.Thread(target=kill_the_worker, args=(out,))
    killer.start()

    done = demo(out)

    killer.join()
    assert done.returncode == 0, done.stderr
    assert len(list((out / "data/logs").glob("*.log"))) == 2
    assert files(out) == files(calm[0])
