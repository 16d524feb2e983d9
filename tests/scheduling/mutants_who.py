"""Mutants of who does what and where, and of numbers and loads."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from by_hand import Good
from mutants import WAITING, Mutations, decided, mutant, name, with_step, with_tray
from seconds import get, needs_person, pan_hold, seconds, stand_hold, stand_place, taken_person

from benchplan.model import Plan


def persons(good: Good) -> Mutations:
    """Somebody else, nobody, or somebody who is not there."""
    day, plan = good.day, good.plan
    for step in plan.steps:
        if step.step in WAITING or step.start_s == step.end_s:
            new = with_step(plan, step, replace(step, person=1))
            yield mutant(good, f"somebody for {name(step)}", new, "person")
            continue
        for nobody in (None, 0, day.people + 1, True, "1"):
            new = with_step(plan, step, replace(step, person=nobody))
            yield mutant(good, f"{nobody!r} does {name(step)}", new, "person")
        for person in range(1, day.people + 1):
            if person == step.person:
                continue
            needs = needs_person(day, plan, step)
            fine = not needs & taken_person(day, plan, person, step)
            new = with_step(plan, step, replace(step, person=person))
            rules = ("hands", "break", "ready")
            yield decided(good, f"{person} does {name(step)}", new, fine, *rules)
    for index, other in enumerate(plan.other):
        rows = list(plan.other)
        for person in (None, 0, day.people + 1, *range(1, day.people + 1)):
            if person == other.person:
                continue
            rows[index] = replace(other, person=person)
            new = replace(plan, other=tuple(rows))
            what = f"{person!r} for {other.what}"
            if other.what == "preheat":
                yield mutant(good, what, new, "form")
            elif person in (None, 0, day.people + 1):
                yield mutant(good, what, new, "person", "break")
            else:
                busy = taken_person(day, plan, person, other)
                fine = not seconds(other.parts) & busy
                yield decided(good, what, new, fine, "hands", "break", "ready")


def places(good: Good) -> Mutations:
    """Steps in wrong places, pans and stand places shared."""
    day, plan = good.day, good.plan
    for step in plan.steps:
        for place in ("elsewhere", "scale 9", "stand 9", "mat", None):
            if place == step.place:
                continue
            new = with_step(plan, step, replace(step, place=place))
            yield mutant(good, f"{name(step)} at {place}", new, "place")
        if step.step in ("load", "bake", "unload"):
            for oven in day.ovens:
                if oven != step.place:
                    new = with_step(plan, step, replace(step, place=oven))
                    yield mutant(good, f"{name(step)} in {oven}", new, "place")
        changed = any(other.before_tray == step.tray for other in plan.other)
        if step.step == "fill" and day.scales > 1 and changed:
            other_scale = "scale 2" if step.place == "scale 1" else "scale 1"
            new = with_step(plan, step, replace(step, place=other_scale))
            yield mutant(good, f"{name(step)} on {other_scale}", new, "change")
    for tray in plan.trays:
        here = stand_place(day, plan, tray)
        holds = stand_hold(day, plan, tray)
        for number in range(1, day.cooling.stand + 1):
            place = f"stand {number}"
            if place == here:
                continue
            pair = ("cool", "pack") if day.on_pan else ("rest", "transfer")
            first, second = (get(plan, tray.number, each) for each in pair)
            half = with_step(plan, first, replace(first, place=place))
            yield mutant(good, f"tray {tray.number} begins on {place}", half, "stand")
            whole = with_step(half, second, replace(second, place=place))
            fine = not any(
                holds & stand_hold(day, plan, other)
                for other in plan.trays
                if stand_place(day, plan, other) == place
            )
            yield decided(good, f"tray {tray.number} on {place}", whole, fine, "stand")
        count = day.pans[tray.pan].count
        for number in (0, count + 1, None, True, "1"):
            new = with_tray(plan, tray, replace(tray, pan_number=number))
            yield mutant(good, f"tray {tray.number} on pan {number}", new, "pan")
        for number in range(1, count + 1):
            fine = not any(
                pan_hold(day, plan, tray) & pan_hold(day, plan, other)
                for other in plan.trays
                if other.number != tray.number
                and (other.pan, other.pan_number) == (tray.pan, number)
            )
            new = with_tray(plan, tray, replace(tray, pan_number=number))
            yield decided(good, f"tray {tray.number} on pan {number}", new, fine, "pan")


def numbers(good: Good) -> Mutations:
    """Trays and loads that go by another number."""
    plan = good.plan
    for first in plan.trays:
        others = [other.number for other in plan.trays if other.number > first.number]
        for second in (*others, len(plan.trays) + 5):
            names = {first.number: second, second: first.number}
            new = relabelled(plan, names)
            same = second in others and (
                get(plan, first.number, "load").start_s == get(plan, second, "load").start_s
            )
            yield decided(good, f"{first.number} is called {second}", new, same, "numbers")
    for index, load in enumerate(plan.loads):
        for number in (load.number + 1, 0):
            loads = list(plan.loads)
            loads[index] = replace(load, number=number)
            new = replace(plan, loads=tuple(loads))
            yield mutant(good, f"load {load.number} is called {number}", new, "load")
        for oven in good.day.ovens:
            if oven != load.oven:
                loads = list(plan.loads)
                loads[index] = replace(load, oven=oven)
                new = replace(plan, loads=tuple(loads))
                yield mutant(good, f"load {load.number} in {oven}", new, "place")
        loads = list(plan.loads)
        loads[index] = replace(load, oven="kiln")
        yield mutant(good, "an unknown oven", replace(plan, loads=tuple(loads)), "form")


def relabelled(plan: Plan, names: dict[int, int]) -> Plan:
    def new(number: int) -> int:
        return names.get(number, number)

    return replace(
        plan,
        trays=tuple(replace(tray, number=new(tray.number)) for tray in plan.trays),
        loads=tuple(replace(load, trays=tuple(map(new, load.trays))) for load in plan.loads),
        steps=tuple(replace(step, tray=new(step.tray)) for step in plan.steps),
        other=tuple(
            replace(other, before_tray=new(other.before_tray)) if other.before_tray else other
            for other in plan.other
        ),
    )


def loads(good: Good) -> Mutations:
    """Trays in loads to whose times they do not bake."""
    plan = good.plan
    for index, load in enumerate(plan.loads):
        for other_index in range(index + 1, len(plan.loads)):
            other = plan.loads[other_index]
            swapped = list(plan.loads)
            swapped[index] = replace(load, trays=(*other.trays[:1], *load.trays[1:]))
            swapped[other_index] = replace(other, trays=(*load.trays[:1], *other.trays[1:]))
            new = replace(plan, loads=tuple(swapped))
            alone = len(load.trays) == len(other.trays) == 1
            rule = "load" if load.oven == other.oven or not alone else "place"
            yield mutant(good, "two trays change loads", new, rule)
            joined = list(plan.loads)
            joined[index] = replace(load, trays=load.trays + other.trays)
            del joined[other_index]
            yield mutant(good, "two loads in one", replace(plan, loads=tuple(joined)), "load")


NAMING: tuple[Callable[[Good], Mutations], ...] = (persons, places, numbers, loads)
