"""Changes of a good plan, each with the rules of which at least one is broken by it for certain.

No mutant asks the checker what it is: it breaks a rule by how it is made, or the second-by-second
books of ``seconds.py`` decide. ``rules`` empty means that the mutant is still a good plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from by_hand import Good
from seconds import (
    seconds,
    still_good,
    taken_person,
)

from benchplan.model import Day, Plan, Step, Tray

MOVES = (-60, -7, -1, 1, 7, 60)
WAITING = ("bake", "rest", "cool")


@dataclass(frozen=True, slots=True)
class Mutant:
    """A changed day or plan, the rules it breaks, and rules it certainly does not break."""

    what: str
    day: Day
    plan: Plan
    rules: frozenset[str]
    not_rules: frozenset[str] = frozenset()


Mutations = Iterator[Mutant]


def mutant(good: Good, what: str, plan: Plan, *rules: str, never: str = "") -> Mutant:
    return Mutant(what, good.day, plan, frozenset(rules), frozenset(never.split()))


def decided(good: Good, what: str, plan: Plan, fine: bool, *rules: str) -> Mutant:
    return mutant(good, what, plan, *(() if fine else rules))


def with_step(plan: Plan, old: Step, *new: Step) -> Plan:
    steps: list[Step] = []
    for step in plan.steps:
        steps.extend(new if step is old else (step,))
    return replace(plan, steps=tuple(steps))


def with_tray(plan: Plan, old: Tray, *new: Tray) -> Plan:
    trays: list[Tray] = []
    for tray in plan.trays:
        trays.extend(new if tray is old else (tray,))
    return replace(plan, trays=tuple(trays))


def without(items: tuple, index: int) -> tuple:
    return items[:index] + items[index + 1 :]


def moved(step: Step, by: int) -> Step:
    return replace(step, parts=tuple((start + by, end + by) for start, end in step.parts))


def name(step: Step) -> str:
    return f"{step.step} of tray {step.tray}"


def shift_steps(good: Good) -> Mutations:
    """A whole step earlier or later: most steps touch their neighbours, fill and set have room."""
    rule = {"bake": "load", "load": "load", "unload": "load"}
    for step in good.plan.steps:
        for by in MOVES:
            new = moved(step, by)
            plan = with_step(good.plan, step, new)
            what = f"{name(step)} moved by {by} s"
            if new.start_s < 0:
                yield mutant(good, what, plan, "form")
            elif step.step in ("fill", "set"):
                fine = still_good(good.day, good.plan, step, new)
                yield decided(
                    good, what, plan, fine, "order", "hands", "scale", "change", "pan", "break",
                    "ready", "keep_order",
                )  # fmt: skip
            else:
                yield mutant(good, what, plan, rule.get(step.step, "order"))


def shift_parts(good: Good) -> Mutations:
    """One part of a step earlier or later."""
    for step in good.plan.steps:
        if len(step.parts) < 2:
            continue
        for index, (start, end) in enumerate(step.parts):
            for by in MOVES:
                parts = list(step.parts)
                parts[index] = (start + by, end + by)
                new = replace(step, parts=tuple(parts))
                plan = with_step(good.plan, step, new)
                what = f"part {index} of {name(step)} moved by {by} s"
                ends = new.end_s != step.end_s
                if min(parts)[0] < 0:
                    yield mutant(good, what, plan, "form")
                elif (step.step != "fill" and (new.start_s != step.start_s)) or (
                    step.step == "transfer" and ends
                ):
                    yield mutant(good, what, plan, "order", "form")
                elif step.step == "pack" and ends and step.end_s == good.plan.finish_s:
                    yield mutant(good, what, plan, "finish", "form")
                else:
                    fine = still_good(good.day, good.plan, step, new)
                    yield decided(
                        good, what, plan, fine, "form", "order", "hands", "scale", "change",
                        "break", "ready", "mat", "pan", "stand", "keep_order",
                    )  # fmt: skip


def stretch(good: Good) -> Mutations:
    """A step that begins or ends earlier or later than its length says."""
    for step in good.plan.steps:
        rule = "order" if step.step in ("rest", "cool") else "length"
        for by in MOVES:
            (start, end), last = step.parts[0], step.parts[-1]
            if last[1] + by >= last[0]:
                parts = (*step.parts[:-1], (last[0], last[1] + by))
                plan = with_step(good.plan, step, replace(step, parts=parts))
                yield mutant(good, f"{name(step)} ends {by} s later", plan, rule)
            if 0 <= start + by <= end:
                parts = ((start + by, end), *step.parts[1:])
                plan = with_step(good.plan, step, replace(step, parts=parts))
                yield mutant(good, f"{name(step)} begins {by} s later", plan, rule)
    for index, other in enumerate(good.plan.other):
        rule = {"preheat": "preheat", "change_scent": "length", "break": "break"}[other.what]
        for by in (-1, 1):
            parts = ((other.start_s, other.end_s + by),)
            rows = list(good.plan.other)
            rows[index] = replace(other, parts=parts)
            plan = replace(good.plan, other=tuple(rows))
            yield mutant(good, f"{other.what} ends {by} s later", plan, rule)
            if other.start_s + by < 0:
                continue
            rows[index] = replace(other, parts=((other.start_s + by, other.end_s + by),))
            plan = replace(good.plan, other=tuple(rows))
            if other.what == "change_scent":
                whole = seconds(rows[index].parts)
                busy = taken_person(good.day, good.plan, other.person or 0, other)
                line = set()
                for step in good.plan.steps:
                    if step.step == "fill" and step.place == other.place:
                        line |= seconds(step.parts)
                fine = not whole & (busy | line)
                yield decided(good, f"change moved by {by} s", plan, fine, "change", "hands")
            else:
                yield mutant(good, f"{other.what} moved by {by} s", plan, rule)


def drop(good: Good) -> Mutations:
    """Something is missing."""
    plan = good.plan
    for step in plan.steps:
        yield mutant(good, f"no {name(step)}", with_step(plan, step), "steps")
        yield mutant(
            good,
            f"no parts in {name(step)}",
            with_step(plan, step, replace(step, parts=())),
            "form",
        )
        for index in range(len(step.parts) if len(step.parts) > 1 else 0):
            parts = without(step.parts, index)
            less = with_step(plan, step, replace(step, parts=parts))
            yield mutant(good, f"no part {index} of {name(step)}", less, "length")
    rule = {"preheat": "preheat", "change_scent": "change", "break": "break"}
    for index, other in enumerate(plan.other):
        less = replace(plan, other=without(plan.other, index))
        yield mutant(good, f"no {other.what}", less, rule[other.what])
    for index, fit in enumerate(plan.fits):
        yield mutant(good, f"no {fit.what}", replace(plan, fits=without(plan.fits, index)), "fit")
    for index, load in enumerate(plan.loads):
        less = replace(plan, loads=without(plan.loads, index))
        yield mutant(good, f"no load {load.number}", less, "load")
        for number in load.trays if len(load.trays) > 1 else ():
            rest = replace(load, trays=tuple(each for each in load.trays if each != number))
            loads = (*plan.loads[:index], rest, *plan.loads[index + 1 :])
            yield mutant(good, f"tray {number} in no load", replace(plan, loads=loads), "load")
    for tray in plan.trays:
        yield mutant(good, f"no tray {tray.number}", with_tray(plan, tray), "orders")


def double(good: Good) -> Mutations:
    """Something is there twice."""
    plan = good.plan
    for step in plan.steps:
        yield mutant(good, f"two of {name(step)}", with_step(plan, step, step, step), "steps")
    rule = {"preheat": "preheat", "change_scent": "change", "break": "break"}
    for other in plan.other:
        more = replace(plan, other=(*plan.other, other))
        yield mutant(good, f"two of {other.what}", more, rule[other.what])
    for fit in plan.fits:
        yield mutant(good, f"two of {fit.what}", replace(plan, fits=(*plan.fits, fit)), "fit")
    for load in plan.loads:
        yield mutant(good, "two loads", replace(plan, loads=(*plan.loads, load)), "load")
    for tray in plan.trays:
        yield mutant(good, "two trays", with_tray(plan, tray, tray, tray), "numbers")
    stray = replace(plan.steps[0], tray=len(plan.trays) + 1)
    yield mutant(good, "a step of no tray", replace(plan, steps=(*plan.steps, stray)), "steps")
    unknown = replace(plan.steps[0], step="glaze")
    yield mutant(good, "an unknown step", replace(plan, steps=(*plan.steps, unknown)), "steps")


def split(good: Good) -> Mutations:
    """Parts cut where no tin ends, and parts joined over their pause."""
    times = good.day.times
    for step in good.plan.steps:
        one = {"fill": times.fill_s, "transfer": times.transfer_s, "pack": good.day.pack_each_s}
        each = one.get(step.step, 0)
        for index, (start, end) in enumerate(step.parts):
            before, after = step.parts[:index], step.parts[index + 1 :]
            for cut in {start + 1, end - 1, start + each}:
                if not start < cut < end:
                    continue
                parts = (*before, (start, cut), (cut, end), *after)
                plan = with_step(good.plan, step, replace(step, parts=parts))
                fine = each > 0 and (cut - start) % each == 0
                yield decided(good, f"{name(step)} cut at {cut}", plan, fine, "pause")
            if after:
                parts = (*before, (start, after[0][1]), *after[1:])
                plan = with_step(good.plan, step, replace(step, parts=parts))
                yield mutant(good, f"{name(step)} without its pause", plan, "length")
    for index, other in enumerate(good.plan.other):
        middle = other.start_s + 1
        rows = list(good.plan.other)
        rows[index] = replace(other, parts=((other.start_s, middle), (middle, other.end_s)))
        yield mutant(good, f"{other.what} in parts", replace(good.plan, other=tuple(rows)), "pause")


MOVING: tuple[Callable[[Good], Mutations], ...] = (
    shift_steps, shift_parts, stretch, drop, double, split,
)  # fmt: skip
