"""Run the faults and print the table: ``python -m tests.faults --seed 7 --rounds 3``."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Final

from tests.faults import over_http, scheduled
from tests.faults.cases import NEEDING_POSTGRES, NEEDING_ROOT, Case, every_case, may_mount
from tests.faults.house import House, Servers, claims
from tests.servers import Postgres, RedisServer, postgres_server

BRIEF: Final = (
    "killed-claimed",
    "killed-packing",
    "killed-delivered",
    "worker-killed-again",
    "child-asleep-past-lease",
    "broker-killed",
    "broker-killed-file-gone",
    "broker-frozen",
    "connections-cut",
    "ledger-locked",
    "ledger-cut",
    "ledger-crashed",
    "two-nights",
    "sent-twice",
    "two-schedulers",
    "look-killed-delivered",
    "clock-back-worker-lost",
    "api-killed-accepted",
)
"""What meets ledger or broker: struck anew on another ledger or broker."""


def main() -> int:
    """Run what is asked for; 0 when every case held."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("names", nargs="*", help="cases; none: all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--ledger", choices=("sqlite", "postgresql"), default="sqlite")
    parser.add_argument("--broker", choices=("embedded", "redis-server"), default="embedded")
    parser.add_argument("--brief", action="store_true", help="what meets ledger or broker only")
    parser.add_argument("--others", action="store_true", help="all but what --brief takes")
    parser.add_argument("--at-once", type=int, default=1, help="companies struck side by side")
    parser.add_argument("--json", action="store_true", help="one line a case, for machines")
    asked = parser.parse_args()
    root = Path(tempfile.mkdtemp(prefix="faults-"))
    with ExitStack() as stack:
        on = On(
            root=root,
            postgres=stack.enter_context(postgres_server())
            if asked.ledger == "postgresql"
            else None,
            redis=asked.broker == "redis-server",
        )
        held, struck = strike_all(on, asked)
    sys.stdout.write(f"{held} of {struck} faults held, seed {asked.seed}, {on.says}\n")
    if held == struck:
        shutil.rmtree(root)
    return 0 if held == struck else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class On:
    """What the houses of a run stand on."""

    root: Path
    postgres: Postgres | None
    redis: bool

    @property
    def says(self) -> str:
        """In words."""
        ledger = "PostgreSQL" if self.postgres else "SQLite"
        return f"{ledger}, {'redis-server' if self.redis else 'embedded broker'}"

    @contextmanager
    def house(self, name: str) -> Iterator[House]:
        """A house of that name, with ledger and broker of its own."""
        redis = RedisServer(self.root / name / "redis") if self.redis else None
        if redis:
            redis.start()
        url = self.postgres.new_ledger(name) if self.postgres else ""
        servers = Servers(postgres=self.postgres, ledger_url=url, redis=redis)
        try:
            yield House(root=self.root / name, servers=servers)
        finally:
            if redis:
                redis.stop()


def strike_all(on: On, asked: argparse.Namespace) -> tuple[int, int]:
    """Strike every case asked for; how many held, and how many there were."""
    own_disks = may_mount(on.root)
    cases = [*every_case(), *over_http.every_case(), *scheduled.every_case()]
    cases += [*(NEEDING_POSTGRES if on.postgres else ()), *(NEEDING_ROOT if own_disks else ())]
    every = {case.name for case in cases}
    part = set(BRIEF) if asked.brief else every - set(BRIEF) if asked.others else every
    chosen = set(asked.names) or part
    wanted = [case for case in cases if case.name in chosen]
    with on.house("calm") as calm:
        calm.submit()
        calm.night()
        delivered = calm.files()

    def strike(case: Case) -> bool:
        rows = []
        for n in range(asked.rounds):
            with on.house(f"{case.name}-{n}") as house:
                rows.append(run_case(case, house, delivered, seed=asked.seed + n))
        tell(case, rows, as_json=asked.json)
        return all(bool(row["held"]) for row in rows)

    together = [case for case in wanted if case not in NEEDING_POSTGRES]
    with ThreadPoolExecutor(asked.at_once) as at_once:
        held = sum(at_once.map(strike, together))
    held += sum(strike(case) for case in wanted if case in NEEDING_POSTGRES)
    if not own_disks:
        left = ", ".join(case.name for case in NEEDING_ROOT)
        sys.stdout.write(f"not struck, as no disk may be mounted here: {left}\n")
    return held, len(wanted)


def run_case(case: Case, house: House, calm: dict[str, str], *, seed: int) -> dict[str, object]:
    """Strike one company and audit it."""
    start = time.monotonic()
    claimed = 0
    try:
        case.run(house, Random(seed))
        wrong = house.faults()
        if case.as_calm and house.files() != calm:
            wrong.append("what was delivered is not what a calm night delivers")
        claimed = claims(house)
    except Exception:  # noqa: BLE001  # whatever went wrong belongs into the table
        wrong = [traceback.format_exc()]
    return {
        "held": not wrong,
        "wrong": wrong,
        "runs": house.runs,
        "begun": claimed,
        "seconds": round(time.monotonic() - start, 1),
        "left_in": str(house.root) if wrong else "",
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
