"""Run the faults and print the table: ``python -m tests.faults --seed 7 --rounds 3``."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
import time
import traceback
from pathlib import Path
from random import Random

from tests.faults.cases import NEEDING_ROOT, Case, every_case, may_mount
from tests.faults.house import House, claims


def main() -> int:
    """Run what is asked for; 0 when every case held."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("names", nargs="*", help="cases; none: all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--json", action="store_true", help="one line a case, for machines")
    asked = parser.parse_args()
    root = Path(tempfile.mkdtemp(prefix="faults-"))
    calm = House(root=root / "calm")
    calm.submit()
    calm.night()
    held = 0
    own_disks = may_mount(root)
    cases = [*every_case(), *(NEEDING_ROOT if own_disks else ())]
    wanted = [case for case in cases if not asked.names or case.name in asked.names]
    for case in wanted:
        rows = [
            run_case(case, root / f"{case.name}-{n}", calm, seed=asked.seed + n)
            for n in range(asked.rounds)
        ]
        held += all(row["held"] for row in rows)
        tell(case, rows, as_json=asked.json)
    if not own_disks:
        left = ", ".join(case.name for case in NEEDING_ROOT)
        sys.stdout.write(f"not struck, as no disk may be mounted here: {left}\n")
    sys.stdout.write(f"{held} of {len(wanted)} faults held, seed {asked.seed}\n")
    if held == len(wanted):
        shutil.rmtree(root)
    return 0 if held == len(wanted) else 1


def run_case(case: Case, root: Path, calm: House, *, seed: int) -> dict[str, object]:
    """Strike one company and audit it."""
    house = House(root=root)
    start = time.monotonic()
    try:
        case.run(house, Random(seed))
        wrong = house.faults()
        if house.files() != calm.files():
            wrong.append("what was delivered is not what a calm night delivers")
    except Exception:  # noqa: BLE001  # whatever went wrong belongs into the table
        wrong = [traceback.format_exc()]
    works = house.works()
    begun = claims(works)
    works.ledger.close()
    return {
        "held": not wrong,
        "wrong": wrong,
        "runs": house.runs,
        "begun": begun,
        "seconds": round(time.monotonic() - start, 1),
        "left_in": str(root) if wrong else "",
    }


def tell(case: Case, rows: list[dict[str, object]], *, as_json: bool) -> None:
    """One line a case; what went wrong below it."""
    if as_json:
        sys.stdout.write(json.dumps({"fault": case.name, "done": case.done, "rounds": rows}) + "\n")
    else:
        good = sum(bool(row["held"]) for row in rows)
        worst = max(float(str(row["seconds"])) for row in rows)
        runs = max(int(str(row["runs"])) for row in rows)
        sys.stdout.write(
            f"{case.name:28} {case.done:64} {good}/{len(rows)}  runs {runs}  {worst} s\n"
        )
        for row in rows:
            for line in row["wrong"]:  # type: ignore[attr-defined]
                sys.stdout.write(f"    {line}  [{row['left_in']}]\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
