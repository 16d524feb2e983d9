"""The planner beside CP-SAT on generated days; run by hand.

``python tests/bench/flow_bench.py --trays 4,8,12 --seeds 3`` prints a line a day: what the planner
finds, states and takes, and what CP-SAT (the model of ``tests/planning/oracle_model.py``) finds for
the planner's own trays and for plainly cut ones. CP-SAT is never told the planner's finish. What it
found is kept in ``tests/planning/flow_facts.py`` and used again; ``--limit 0`` asks for nothing
new. ``--grow`` is the planner alone on days of 10 to 300 trays.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import fmean, median

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "planning"), str(Path(__file__).parent)]

from flow_days import KINDS, day_of  # noqa: E402
from flow_known import Fact, coded, known, queue  # noqa: E402
from oracle import answer  # noqa: E402

from benchplan.model import Day, Order, Plan, QueuedTray  # noqa: E402
from benchplan.model.stop import Iterations, Stop  # noqa: E402
from benchplan.planner import default_stop, plan_day, resolved  # noqa: E402
from benchplan.scheduling.check import check_plan  # noqa: E402

FACTS = ROOT / "tests" / "planning" / "flow_facts.py"
GROWN = (10, 20, 40, 60, 100, 200, 300)


@dataclass
class Options:
    """How long the planner and CP-SAT may work.

    ``effort`` 0 is the planner's usual; ``limit_s`` 0 asks CP-SAT nothing.
    """

    effort: int
    limit_s: int
    workers: int
    again: bool
    deterministic: bool


class Counted:
    """A stop rule that counts how often it is asked."""

    def __init__(self, stop: Stop) -> None:
        self.stop, self.looks = stop, 0

    def __call__(self) -> bool:
        self.looks += 1
        return self.stop()


@dataclass(frozen=True)
class Found:
    """The planner's plan, and what it took."""

    plan: Plan
    cpu_s: float
    looks: int

    @property
    def gap(self) -> float:
        return gap(self.plan.finish_s, self.plan.bound_s)


@dataclass(frozen=True)
class Row:
    """One day: the planner's free choice, and for own and full trays what both make of them."""

    name: str
    kind: str
    free: Found
    pairs: tuple[tuple[str, Found, Fact | None], ...]

    @property
    def facts(self) -> list[Fact]:
        return [fact for _, _, fact in self.pairs if fact and fact.best_s is not None]

    @property
    def above(self) -> float | None:
        """How far the planner is above CP-SAT's best for the same trays, the worse of the two."""
        found = [
            gap(one.plan.finish_s, fact.best_s)
            for _, one, fact in self.pairs
            if fact and fact.best_s is not None
        ]
        return max(found) if found else None

    @property
    def as_proven(self) -> bool | None:
        """Whether the planner reaches every proven optimum for given trays; None: none known."""
        found = [
            one.plan.finish_s <= fact.best_s
            for _, one, fact in self.pairs
            if fact and fact.proven and fact.best_s is not None
        ]
        return all(found) if found else None


def gap(finish_s: int, other_s: int) -> float:
    """Return how far ``finish_s`` is above ``other_s``, in per cent."""
    return 100 * (finish_s - other_s) / other_s


def planned(day: Day, effort: int) -> Found:
    """Plan a day, count and time it, and check the plan."""
    stop = Counted(Iterations(effort) if effort else default_stop(day))
    begin = time.process_time()
    plan = plan_day(day, stop)
    cpu_s = time.process_time() - begin
    assert isinstance(plan, Plan), (day.name, plan)
    assert check_plan(resolved(day), plan) == [], day.name
    return Found(plan, cpu_s, stop.looks)


def full_trays(day: Day) -> tuple[QueuedTray, ...]:
    """Cut the orders plainly: as many tins as fit, the rest last, the kinds of pan in turn."""
    used = dict.fromkeys(day.pans, 0)
    mat = day.cooling.mat_tins
    found = []
    for recipe, tins in _groups(day):
        tin = day.recipes[recipe].tin
        while tins:
            pan = min(used, key=lambda name: (used[name] + 1) / day.pans[name].count)
            used[pan] += 1
            take = min(day.pans[pan].tins[tin], mat or 99)
            found.append(QueuedTray(tuple(tins[:take]), recipe, pan))
            tins = tins[take:]
    return tuple(found)


def _groups(day: Day) -> Iterator[tuple[str, list[str]]]:
    """Yield a recipe and the scents, tin by tin, of what may stand on a tray together."""
    sums: dict[tuple[str, str], list[Order]] = {}
    for order in day.orders:
        key = (order.recipe, "" if day.mix_scents else order.scent)
        sums.setdefault(key, []).append(order)
    for (recipe, _), orders in sums.items():
        scents = sorted(order.scent for order in orders for _ in range(order.tins))
        yield recipe, scents


def compared(kind: str, seed: int, size: int, facts: dict, options: Options) -> Row:
    """Plan one day and ask CP-SAT, or the table, about its trays."""
    day = day_of(kind, seed, size)
    free = planned(day, options.effort)
    pairs: list[tuple[str, Found, Fact | None]] = []
    for name, trays in (("own", free.plan.trays), ("full", full_trays(day))):
        asked = replace(day, queue=queue(day, coded(day, trays)))
        one = planned(asked, options.effort)
        key = (kind, seed, size, coded(day, one.plan.trays))
        if any(fact and fact.key == key for _, _, fact in pairs):
            continue
        fact = facts.get(key)
        open_ = fact is None or (not fact.proven and fact.limit_s < options.limit_s)
        if options.limit_s and (open_ or options.again):
            fact = _better(fact, _asked(key, asked, one.plan, options))
            facts[key] = fact
            write(fact)
        pairs.append((name, one, fact))
    return Row(day.name, kind, free, tuple(pairs))


def _asked(key: tuple, day: Day, plan: Plan, options: Options) -> Fact:
    """Ask CP-SAT for the best plan with these trays, told only that it need not take ages."""
    plain = planned(day, 1).plan
    if coded(day, plain.trays) != key[-1]:
        plain = plan
    horizon = 2 * plain.finish_s
    found = answer(
        resolved(day),
        plan,
        horizon,
        workers=options.workers,
        **{"effort" if options.deterministic else "limit_s": float(options.limit_s)},
    )
    best = None
    if found.plan:
        assert check_plan(resolved(day), found.plan) == [], day.name
        best = found.plan.finish_s
    return Fact(*key[:3], best, found.bound_s, options.limit_s, key[-1])


def _better(old: Fact | None, new: Fact) -> Fact:
    if old is None:
        return new
    bests = [fact.best_s for fact in (old, new) if fact.best_s is not None]
    return replace(
        new,
        best_s=min(bests, default=None),
        bound_s=max(old.bound_s, new.bound_s),
        limit_s=max(old.limit_s, new.limit_s),
    )


def write(fact: Fact) -> None:
    """Add a fact to the table, as it is on the disk by now."""
    text = FACTS.read_text(encoding="utf-8")
    begin = text.index('TABLE = """') + len('TABLE = """')
    facts = known(text[begin : text.rindex('"""')])
    facts[fact.key] = _better(facts.get(fact.key), fact)
    order = sorted(facts.values(), key=lambda f: (KINDS.index(f.kind), f.size, f.seed, f.trays))
    lines = "".join(f"{fact.line}\n" for fact in order)
    new = FACTS.with_suffix(".new")
    new.write_text(text[:begin] + "\n" + lines + '"""\n', encoding="utf-8")
    os.replace(new, FACTS)


def told(row: Row) -> str:
    """Return one line about a day, and one for each thing about it that must be seen."""
    plan = row.free.plan
    text = (
        f"{row.name:14} {len(plan.trays):3} trays {plan.finish_s:6} bound {plan.bound_s:6} "
        f"any {plan.bound_any_s:6} gap {row.free.gap:5.2f}% {row.free.cpu_s:5.2f}s "
        f"{row.free.looks:5} looks"
    )
    for name, one, fact in row.pairs:
        text += f" | {name} {one.plan.finish_s}"
        if fact:
            proof = "proven" if fact.proven else f"bound {fact.bound_s}, {fact.limit_s} s"
            text += f" cp {fact.best_s or '-'} ({proof})"
    return "\n".join([text, *_seen(row)])


def _seen(row: Row) -> Iterator[str]:
    for name, one, fact in row.pairs:
        if fact is None or fact.best_s is None:
            continue
        if fact.best_s < one.plan.finish_s:
            above = gap(one.plan.finish_s, fact.best_s)
            yield (
                f"  BEATEN {above:.2f}% on {name} trays: planner {one.plan.finish_s}, CP-SAT "
                f"{fact.best_s}: day_of({row.kind!r}, {fact.seed}, {fact.size}), {fact.trays}"
            )
        if one.plan.bound_s > fact.best_s:
            yield f"  FAULT bound_s {one.plan.bound_s} > {fact.best_s} for {fact.trays}"
        for each in (row.free.plan, one.plan):
            if each.bound_any_s > fact.best_s:
                yield f"  FAULT bound_any_s {each.bound_any_s} > {fact.best_s} for {fact.trays}"
    best = min((fact.best_s or 0 for fact in row.facts), default=None)
    if best is not None and best < row.free.plan.finish_s:
        above = gap(row.free.plan.finish_s, best)
        yield f"  BEATEN {above:.2f}% on free trays: planner {row.free.plan.finish_s}, CP {best}"


def summed(name: str, rows: list[Row]) -> str:
    """Return a line about many days."""
    proofs = [row.as_proven for row in rows if row.as_proven is not None]
    above = [row.above for row in rows if row.above is not None]
    free = [
        gap(row.free.plan.finish_s, min(fact.best_s or 0 for fact in row.facts))
        for row in rows
        if row.facts
    ]
    gaps = [row.free.gap for row in rows]
    text = f"{name:8} {len(rows):4} days"
    if proofs:
        text += f", proven reached {sum(proofs)}/{len(proofs)} ({fmean(proofs):.1%})"
    if above:
        text += f", worst above CP-SAT {max(above):.2f}%, free trays {max(free):+.2f}%"
    return (
        f"{text}, gap {fmean(gaps):.2f}% (zero {fmean(each == 0 for each in gaps):.0%}), "
        f"median {median(row.free.cpu_s for row in rows):.2f} s"
    )


def grow(kinds: tuple[str, ...], seeds: range, effort: int, sizes: tuple[int, ...]) -> None:
    """Print how the planner alone fares as days grow."""
    for size in sizes:
        found = []
        for kind in kinds:
            for seed in seeds:
                one = planned(day_of(kind, seed, size), effort)
                found.append(one)
                print(
                    f"{kind:8} {seed} {len(one.plan.trays):4} trays {one.plan.finish_s:7} "
                    f"gap {one.gap:5.2f}% {one.cpu_s:6.2f} s {one.looks:5} looks",
                    flush=True,
                )
        print(
            f"== {size} trays: gap {fmean(one.gap for one in found):.2f}%, "
            f"median {median(one.cpu_s for one in found):.2f} s, "
            f"most {max(one.cpu_s for one in found):.2f} s",
            flush=True,
        )


def main() -> None:
    """Read what is asked for and do it."""
    numbers: Callable[[str], tuple[int, ...]] = lambda text: tuple(map(int, text.split(",")))  # noqa: E731
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kinds", default=",".join(KINDS), help="some of them, with commas")
    parser.add_argument("--trays", type=numbers, default=None)
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--effort", type=int, default=0, help="the planner's looks; 0: its usual")
    parser.add_argument("--limit", type=int, default=20, help="seconds of CP-SAT; 0: the table")
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--again", action="store_true", help="ask CP-SAT for what is known too")
    parser.add_argument(
        "--deterministic", action="store_true", help="--limit in the solver's own units"
    )
    parser.add_argument("--grow", action="store_true")
    asked = parser.parse_args()
    kinds = tuple(asked.kinds.split(","))
    if asked.grow:
        grow(kinds, range(asked.seeds), asked.effort, asked.trays or GROWN)
        return
    options = Options(asked.effort, asked.limit, asked.workers, asked.again, asked.deterministic)
    facts = known()
    rows = []
    for size in asked.trays or (4, 8, 12):
        for kind in kinds:
            for seed in range(asked.seeds):
                rows.append(compared(kind, seed, size, facts, options))
                print(told(rows[-1]), flush=True)
    print()
    for kind in kinds:
        print(summed(kind, [row for row in rows if row.kind == kind]))
    print(summed("overall", rows))


if __name__ == "__main__":
    main()
