"""The load against what the plan takes: nothing short, nothing too many, nothing unasked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from schemas.part_rule import SpareKind
from schemas.plan import Plan
from schemas.takeoff import TakeoffLine
from services.recheck.wanted import Part, Wanted, brought, wanted


def recheck_load(plan: Plan) -> Iterator[str]:
    """Every line of the load that does not agree with the second count."""
    parts: dict[Part, list[Wanted]] = defaultdict(list)
    for one in wanted(plan):
        parts[one.part].append(one)
    boxed = brought(plan)
    lines = {(line.item, line.variant): line for line in plan.takeoff.lines}
    if len(lines) < len(plan.takeoff.lines):
        yield "one part stands on two lines of the load"
    for part in sorted(parts, key=str):
        total = sum(one.count for one in parts[part])
        spare = _spares(plan, parts[part])
        yield from _part(part, lines.get(part), total=total, spare=spare, boxed=boxed[part])
    for part in sorted(lines.keys() - parts.keys(), key=str):
        yield f"{_name(part)} is loaded, and nothing in the plan takes it"
    yield from _weights(plan)


def _part(
    part: Part, line: TakeoffLine | None, *, total: int, spare: int, boxed: int
) -> Iterator[str]:
    needed, loose = max(0, total - boxed), max(0, total + spare - boxed)
    if line is None:
        if loose:
            yield f"0 {_name(part)} loaded for {loose}"
        return
    loaded = line.packages * line.package
    if line.needed != needed:
        yield f"{_name(part)}: {line.needed} counted, {needed} wanted"
    if line.spare != loose - needed:
        yield f"{_name(part)}: {line.spare} spares, {loose - needed} by the rule"
    if loaded < line.needed + line.spare:
        yield f"{line.item}: {line.packages} packages do not hold {line.needed + line.spare}"
    if loaded < loose:
        yield f"{loaded} {_name(part)} loaded for {loose}"
    if loaded - line.package >= loose:
        yield f"{_name(part)}: a package less would hold {loose}"


def _spares(plan: Plan, same: Iterable[Wanted]) -> int:
    rules = {rule.kind: rule for rule in plan.job.company.spares}
    goes_by: dict[SpareKind, int] = defaultdict(int)
    sets: dict[SpareKind, int] = defaultdict(int)
    for one in same:
        if one.spare is not None and one.spare in rules:
            goes_by[one.spare] += one.count if one.spared_by is None else one.spared_by
            sets[one.spare] = max(sets[one.spare], one.a_set)
    return sum(
        max(-(-count // rules[kind].one_in), rules[kind].least) + rules[kind].sets * sets[kind]
        for kind, count in goes_by.items()
        if count >= rules[kind].not_under
    )


def _name(part: Part) -> str:
    return part[0] if part[1] is None else f"{part[0]} ({part[1]})"


def _weights(plan: Plan) -> Iterator[str]:
    weighs = {item.key: item.grams * item.package for item in plan.job.company.price_book}
    load = sum(line.packages * weighs.get(line.item, 0) for line in plan.takeoff.lines)
    if load != plan.takeoff.grams:
        yield f"the load weighs {load} g by the price book, {plan.takeoff.grams} g are printed"
