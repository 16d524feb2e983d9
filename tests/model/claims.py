"""Tries what a wait says of a plan, from the plan's own records and the checker of plans alone.

Nothing here is shared with what finds the waits. That work could not start a second sooner is tried
by starting it a second sooner, by whoever may do it and on whatever pan and place is left, and
asking the checker; that nothing holds it up, by moving it to when it is said that it could start.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product

from benchplan.model import Day, Other, Plan, Step
from benchplan.model.waits import Wait
from benchplan.scheduling.check import check_plan

EXIT = ("exit", "stand")


def record(plan: Plan, tray: int | None, what: str, start: int) -> tuple[int, int] | None:
    """Return the part of a plan's record that starts at a moment."""
    for each in (*plan.steps, *plan.other):
        name = each.step if isinstance(each, Step) else each.what
        whose = each.tray if isinstance(each, Step) else each.before_tray
        if (whose, name) == (tray, what):
            for part in each.parts:
                if part[0] == start:
                    return part
    return None


def ends(plan: Plan, tray: int | None, what: str) -> list[tuple[int, int, int | None]]:
    """Return start, end and person of every part of what goes by a name."""
    steps = [each for each in plan.steps if (each.tray, each.step) == (tray, what)]
    others = [each for each in plan.other if (each.before_tray, each.what) == (tray, what)]
    return [(*part, each.person) for each in (*steps, *others) for part in each.parts]


def lag(day: Day, plan: Plan, wait: Wait) -> int:
    """Return the seconds that the rules of a day put between what ended and the start."""
    recipe = day.recipes[plan.tray(wait.tray).recipe] if wait.tray else None
    if wait.what == "own" and not wait.part and recipe:
        cool_for = recipe.cool_for_s or 0
        own = {"unload": recipe.bake_for_s, "transfer": recipe.rest_for_s, "pack": cool_for}
        return own.get(wait.step, 0)
    if wait.what == "pan":
        return day.cooling.pan_for_s
    if wait.what == "load" and wait.because == "set":
        return wait.until_s - plan.step(wait.for_tray, "load").start_s
    if wait.what == "oven" and recipe:
        before = day.recipes[plan.tray(wait.for_tray or 0).recipe]
        oven = day.ovens[plan.load_of(wait.tray or 0).oven]
        kelvin = abs(recipe.bake_at_c - before.bake_at_c)
        return oven.recover_s + math.ceil(round(oven.per_kelvin_s * kelvin, 6))
    if wait.what in EXIT and wait.step == "load":
        out = min(plan.step(tray, "unload").start_s for tray in plan.load_of(wait.tray).trays)
        return wait.until_s - out + (day.times.ready_s if wait.what == "exit" else 0)
    if wait.what == "exit":
        return day.times.ready_s
    if wait.what == "late":
        return -day.ovens[wait.place].preheat_s
    return 0


def untrue(day: Day, plan: Plan, wait: Wait) -> Iterator[str]:
    """Yield what is not so of the facts that a wait states."""
    if record(plan, wait.tray, wait.step, wait.until_s) is None:
        yield "no such work starts then"
    if wait.what == "start":
        hot = day.ovens[wait.place].preheat_s if wait.step == "load" else 0
        if wait.because or wait.for_tray or wait.from_s or wait.could_s not in (0, hot):
            yield "the day does not start then"
        return
    parts = ends(plan, wait.for_tray, wait.because)
    at = 0 if wait.what in ("order", "late") else 1
    if not any(part[at] == wait.from_s for part in parts):
        yield f"no {wait.because} ends then"
    if wait.what in EXIT and wait.step == "load" and wait.binds:
        outs = [plan.step(tray, "unload").start_s for tray in plan.load_of(wait.tray).trays]
        ready = day.times.ready_s if wait.what == "exit" else 0
        if wait.from_s + ready not in outs:
            yield "nothing comes out then"
    elif wait.binds and wait.could_s - wait.from_s != lag(day, plan, wait):
        yield f"{wait.could_s - wait.from_s} s are not {lag(day, plan, wait)} s"
    if wait.what in ("hands", "exit") and (
        wait.busy not in [part[2] for part in parts if part[1] == wait.from_s]
    ):
        yield f"person {wait.busy} is not at it"
    if wait.what == "load" and wait.for_tray not in plan.load_of(wait.tray or 0).trays:
        yield "they are in two loads"
    if wait.what == "oven":
        one, other = plan.load_of(wait.tray or 0), plan.load_of(wait.for_tray or 0)
        if (one.oven, one.number) != (other.oven, other.number + 1):
            yield "it is not the load before"
    if wait.binds and wait.what in ("pan", "stand", "mat") and not full(day, plan, wait):
        yield f"there is room on the {wait.what}"


def full(day: Day, plan: Plan, wait: Wait) -> bool:
    """Whether just before a thing was free there was no room for the tray that waited for it."""
    tray = plan.tray(wait.tray or 0)
    step = {(each.tray, each.step): each for each in plan.steps}
    emptied = "pack" if day.on_pan else "transfer"
    held: list[tuple[int, int, Fraction, int]] = []
    needs, room = Fraction(1), Fraction(day.cooling.stand)
    before = wait.from_s
    fits = {fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat"}
    for each in plan.trays:
        end = step[each.number, emptied].end_s
        if wait.what == "mat":
            fit = fits[day.recipes[each.recipe].tin]
            begin, end = step[each.number, "transfer"].start_s, step[each.number, "pack"].end_s
            held.append((begin, end, Fraction(each.tins, fit), each.number))
        elif wait.what == "stand":
            held.append((step[each.number, "unload"].start_s, end, Fraction(1), each.number))
        elif each.pan == tray.pan:
            begin, end = step[each.number, "set"].start_s, end + day.cooling.pan_for_s
            held.append((begin, end, Fraction(1), each.number))
    if wait.what == "mat":
        room = Fraction(1)
        needs = next(units for _, _, units, number in held if number == tray.number)
    elif wait.what == "pan":
        room, before = Fraction(day.pans[tray.pan].count), wait.could_s
    mates = plan.load_of(tray.number).trays if wait.what == "stand" else (tray.number,)
    others = sum(
        units for begin, end, units, number in held if number not in mates and begin < before <= end
    )
    return others + needs * len(mates) > room


# -- moving work, and asking the checker ----------------------------------------------------


def sooner(day: Day, plan: Plan, wait: Wait, to_s: int) -> bool:
    """Whether the work of a wait may start at ``to_s``, by anybody, all else staying put."""
    people = range(1, day.people + 1)
    by = to_s - wait.until_s
    if wait.step == "load":
        return any(
            allowed(day, load_moved(plan, wait.tray or 0, by, loader, unloader))
            for loader, unloader in product(people, people)
        )
    if wait.step in ("preheat", "change_scent"):
        own = next(
            each
            for each in plan.other
            if (each.before_tray, each.what) == (wait.tray, wait.step)
            and wait.until_s in [part[0] for part in each.parts]
        )
        return any(allowed(day, other_moved(plan, own, by, person)) for person in people)
    own_step = plan.step(wait.tray or 0, wait.step)
    assert own_step is not None
    return any(allowed(day, step_moved(day, plan, own_step, to_s, person)) for person in people)


def allowed(day: Day, plan: Plan) -> bool:
    """Whether the checker finds fault with nothing but numbers and bounds."""
    finish = max(each.end_s for each in plan.steps if each.step == "pack")
    plan = replace(on_free_places(day, plan), finish_s=finish, bound_s=0, bound_any_s=0)
    return not [
        fault
        for fault in check_plan(day, plan)
        if fault.partition(":")[0] not in ("numbers", "says")
    ]


def on_free_places(day: Day, plan: Plan) -> Plan:
    """Give each tray the first pan and stand place that is free, in order of time."""
    step = {(each.tray, each.step): each for each in plan.steps}
    emptied = "pack" if day.on_pan else "transfer"
    pans: dict[int, int] = {}
    free: dict[str, list[int]] = {name: [0] * pan.count for name, pan in day.pans.items()}
    for tray in sorted(
        plan.trays,
        key=lambda each: (step[each.number, "set"].start_s, step[each.number, emptied].end_s),
    ):
        line, start = free[tray.pan], step[tray.number, "set"].start_s
        at = next((n for n, until in enumerate(line) if until <= start), tray.pan_number - 1)
        line[at] = step[tray.number, emptied].end_s + day.cooling.pan_for_s
        pans[tray.number] = at + 1
    stand, places = [0] * day.cooling.stand, {}
    for tray in sorted(
        plan.trays,
        key=lambda each: (step[each.number, "unload"].start_s, step[each.number, emptied].end_s),
    ):
        start = step[tray.number, "unload"].start_s
        at = next((n for n, until in enumerate(stand) if until <= start), 0)
        stand[at] = step[tray.number, emptied].end_s
        places[tray.number] = f"stand {at + 1}"
    return replace(
        plan,
        trays=tuple(replace(tray, pan_number=pans[tray.number]) for tray in plan.trays),
        steps=tuple(
            replace(each, place=places[each.tray])
            if each.place and each.place.startswith("stand")
            else each
            for each in plan.steps
        ),
    )


def with_steps(plan: Plan, changed: dict[tuple[int, str], Step]) -> Plan:
    """Return the plan with some steps changed, rests and cools filling what lies between."""
    step = {(each.tray, each.step): each for each in plan.steps} | changed
    for tray in plan.trays:
        for wait, before, after in (("rest", "unload", "transfer"), ("cool", "transfer", "pack")):
            before = before if (tray.number, before) in step else "unload"
            if (own := step.get((tray.number, wait))) is not None:
                part = (step[tray.number, before].end_s, step[tray.number, after].start_s)
                step[tray.number, wait] = replace(own, parts=(part,))
    return replace(plan, steps=tuple(step[each.tray, each.step] for each in plan.steps))


def load_moved(plan: Plan, tray: int, by: int, loader: int, unloader: int) -> Plan:
    """Return the plan with a whole load at another time and by other people, preheated as late."""
    load = plan.load_of(tray)
    changed = {}
    begins = min(plan.step(number, "load").start_s for number in load.trays)
    for each in plan.steps:
        if each.tray in load.trays and each.step in ("load", "bake", "unload"):
            who = {"load": loader, "unload": unloader}.get(each.step)
            parts = tuple((start + by, end + by) for start, end in each.parts)
            person = None if each.person is None else who
            changed[each.tray, each.step] = replace(each, parts=parts, person=person)
    other = tuple(
        replace(each, parts=((each.start_s + by, each.end_s + by),))
        if (each.what, each.place, each.end_s) == ("preheat", load.oven, begins)
        else each
        for each in plan.other
    )
    return replace(with_steps(plan, changed), other=other)


def other_moved(plan: Plan, own: Other, by: int, person: int) -> Plan:
    parts = tuple((start + by, end + by) for start, end in own.parts)
    moved = replace(own, parts=parts, person=None if own.person is None else person)
    return replace(plan, other=tuple(moved if each is own else each for each in plan.other))


def step_moved(day: Day, plan: Plan, own: Step, to_s: int, person: int) -> Plan:
    """Return the plan with a step from ``to_s`` on; what may pause goes around other work."""
    if own.step in ("transfer", "pack") and own.end_s > own.start_s:
        count = plan.tray(own.tray).tins
        each = day.times.transfer_s if own.step == "transfer" else day.pack_each_s
        parts = around(busy(day, plan, own, person), to_s, count, each)
        if parts[-1][1] >= own.end_s:  # no sooner than it ends anyway
            parts = ((to_s, to_s),)
    else:
        by = to_s - own.start_s
        parts = tuple((start + by, end + by) for start, end in own.parts)
    who = None if own.person is None else person
    return with_steps(plan, {(own.tray, own.step): replace(own, parts=parts, person=who)})


def busy(day: Day, plan: Plan, own: Step, person: int) -> list[tuple[int, int]]:
    """Return when somebody is at anything but ``own``, hands kept free for an oven counted."""
    spans = [
        part
        for each in (*plan.steps, *plan.other)
        if each is not own and each.person == person
        for part in each.parts
        if part[1] > part[0]
    ]
    for load in plan.loads:
        out = min((plan.step(tray, "unload") for tray in load.trays), key=lambda a: a.parts)
        if out.person == person:
            spans.append((out.start_s - day.times.ready_s, out.start_s))
    return sorted(spans)


def around(spans: list[tuple[int, int]], at: int, count: int, each: int) -> tuple:
    """Return where ``count`` tins of ``each`` seconds go from ``at`` on, none cut in two."""
    parts: list[tuple[int, int]] = []
    while count:
        hit = [end for start, end in spans if start < at + each and at < end]
        if hit:
            at = max(hit)
            continue
        if parts and parts[-1][1] == at:
            parts[-1] = (parts[-1][0], at + each)
        else:
            parts.append((at, at + each))
        at, count = at + each, count - 1
    return tuple(parts)
