"""Days changed under a good plan: each number at the last value that still does, and one beyond.

The last value is read off the plan (its shortest rest, its fullest load, ...), so the mutant at it
is still good and the one beyond breaks the rule named.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from by_hand import Good
from mutants import Mutant, Mutations
from seconds import first_unload, get, mat_fit, mat_peak, pan_hold, taken_person

from benchplan.model import Break, Day, OneMore, Order, Other, Plan, QueuedTray


def on(good: Good, what: str, day: Day, *rules: str, plan: Plan | None = None) -> Mutant:
    return Mutant(what, day, plan or good.plan, frozenset(rules))


def each(items: Mapping[str, Any], **changes: object) -> dict[str, Any]:
    return {key: replace(item, **changes) for key, item in items.items()}


def waits(good: Good) -> Mutations:
    """rest_for, cool_for and bake_late at the plan's own values and beyond."""
    day, plan = good.day, good.plan
    lengths: dict[str, list[int]] = {"rest": [], "cool": []}
    for step in plan.steps:
        if step.step in lengths:
            lengths[step.step].append(step.end_s - step.start_s)
    for name, field in (("rest", "rest_for_s"), ("cool", "cool_for_s")):
        if not lengths[name]:
            continue
        least = min(lengths[name])
        for value, rules in ((least, ()), (least + 1, (name,))):
            changed = replace(day, recipes=each(day.recipes, **{field: value}))
            yield on(good, f"{field} {value}", changed, *rules)
    late = max(
        get(plan, tray.number, "unload").start_s - get(plan, tray.number, "bake").end_s
        for tray in plan.trays
    )
    for value, rules in ((late, ()), (late - 1, ("late",))):
        if value >= 0:
            changed = replace(day, recipes=each(day.recipes, bake_late_s=value))
            yield on(good, f"bake_late_s {value}", changed, *rules)
    for name, recipe in day.recipes.items():
        for by in (-1, 1):
            other = replace(recipe, bake_for_s=recipe.bake_for_s + by)
            changed = replace(day, recipes={**day.recipes, name: other})
            yield on(good, f"bake_for {by:+}", changed, "length")
    unknown = replace(day, recipes=each(day.recipes, cool_for_s=None))
    yield on(good, "no cool_for", unknown, "form")


def work(good: Good) -> Mutations:
    """Hand work that takes one second more or less than planned."""
    day, plan = good.day, good.plan
    pack = "pack_s" if day.pack == "today" else "clear_s"
    fields = {
        "fill": "fill_s",
        "set": "set_s",
        "load": "load_s",
        "unload": "unload_s",
        "pack": pack,
    }
    if not day.on_pan:
        fields["transfer"] = "transfer_s"
    for name, field in fields.items():
        busy = any(tray.fill_count for tray in plan.trays) if name == "fill" else True
        value = getattr(day.times, field)
        for by in (-1, 1):
            if value + by < 0:
                continue
            changed = replace(day, times=replace(day.times, **{field: value + by}))
            yield on(good, f"{field} {by:+}", changed, *(("length",) if busy else ()))
    value = day.times.change_scent_s + 1
    changed = replace(day, times=replace(day.times, change_scent_s=value))
    rules = ("length",) if any(other.what == "change_scent" for other in plan.other) else ()
    yield on(good, "change_scent +1", changed, *rules)
    other = replace(day, pack="later" if day.pack == "today" else "today")
    yield on(good, f"pack {other.pack}", other, "length")


def ready(good: Good) -> Mutations:
    """The longest ready time that the plan allows, and one second more."""
    day, plan = good.day, good.plan
    free = []
    none = replace(day, times=replace(day.times, ready_s=0))
    for load in plan.loads:
        unload = first_unload(plan, load.trays)
        if unload.person is None:
            continue
        busy = taken_person(none, plan, unload.person, unload)
        last = max((second for second in busy if second < unload.start_s), default=None)
        if last is not None:
            free.append(unload.start_s - 1 - last)
    if free:
        for value, rules in ((min(free), ()), (min(free) + 1, ("ready",))):
            changed = replace(day, times=replace(day.times, ready_s=value))
            yield on(good, f"ready {value}", changed, *rules)


def ovens(good: Good) -> Mutations:
    """Recovery, temperatures, preheat, headroom, shelves and most_tins."""
    day, plan = good.day, good.plan
    for name, oven in day.ovens.items():
        loads = sorted((load for load in plan.loads if load.oven == name), key=lambda a: a.number)
        if not loads:
            continue
        gaps = []
        for before, after in itertools.pairwise(loads):
            ends = max(get(plan, number, "unload").end_s for number in before.trays)
            starts = min(get(plan, number, "load").start_s for number in after.trays)
            recipes = [day.recipes[plan.tray(a.trays[0]).recipe] for a in (before, after)]
            kelvin = abs(recipes[0].bake_at_c - recipes[1].bake_at_c)
            gaps.append(starts - ends - math.ceil(oven.per_kelvin_s * kelvin - 1e-9))
            if kelvin:
                spare = starts - ends - oven.recover_s
                for per, rules in ((spare / kelvin, ()), ((spare + 0.5) / kelvin, ("recover",))):
                    yield oven_day(good, name, *rules, per_kelvin_s=per)
        if gaps:
            yield oven_day(good, name, recover_s=min(gaps))
            yield oven_day(good, name, "recover", recover_s=min(gaps) + 1)
        yield oven_day(good, name, "preheat", preheat_s=oven.preheat_s + 1)
        if oven.preheat_s:
            yield oven_day(good, name, "preheat", preheat_s=oven.preheat_s - 1)
        pans = {plan.tray(number).pan for load in loads for number in load.trays}
        tall = max(day.pans[pan].height_mm for pan in pans)
        assert all(tin.height_mm < tall for tin in day.tins.values())
        yield oven_day(good, name, headroom_mm=tall)
        yield oven_day(good, name, "fit", headroom_mm=tall - 0.5)
        fullest = max(sum(plan.tray(number).tins for number in load.trays) for load in loads)
        yield oven_day(good, name, most_tins=fullest)
        yield oven_day(good, name, "load", most_tins=fullest - 1)
        if oven.shelves > 1:
            yield oven_day(good, name, "fit", shelves=oven.shelves - 1)
    tall_tin = each(day.tins, height_mm=80.5)
    yield on(good, "a tall tin", replace(day, tins=tall_tin), "fit")
    for load in plan.loads:
        if len(load.trays) < 2:
            continue
        tray = plan.tray(load.trays[0])
        recipe = day.recipes[tray.recipe]
        for field, value in (("bake_at_c", 170.0), ("bake_for_s", 421)):
            other = replace(recipe, name="other", **{field: value})
            orders = (*day.orders, Order(tray.scents[0], "other", tray.tins))
            changed = replace(day, recipes={**day.recipes, "other": other}, orders=orders)
            trays = tuple(replace(a, recipe="other") if a is tray else a for a in plan.trays)
            mixed = replace(plan, trays=trays)
            yield on(good, f"a load with two {field}", changed, "load", plan=mixed)
        flat = replace(day.pans[tray.pan], name="flat")
        changed = replace(day, pans={**day.pans, "flat": flat})
        trays = tuple(replace(a, pan="flat") if a is tray else a for a in plan.trays)
        fits = (
            *plan.fits,
            *(replace(fit, pan="flat") for fit in plan.fits if fit.pan == tray.pan),
        )
        mixed = replace(plan, trays=trays, fits=fits)
        yield on(good, "a load on two kinds of pan", changed, "load", plan=mixed)


def oven_day(good: Good, name: str, *rules: str, **changes: object) -> Mutant:
    changed = replace(good.day.ovens[name], **changes)  # type: ignore[arg-type]
    day = replace(good.day, ovens={**good.day.ovens, name: changed})
    return on(good, f"{name} with {changes}", day, *rules)


def kit(good: Good) -> Mutations:
    """Fewer people, scales, pans, stand places; pans that cool for longer; a fuller mat."""
    day, plan = good.day, good.plan
    people = max((step.person or 0 for step in plan.steps), default=0)
    changed = replace(day, people=people - 1)
    yield on(good, "one person fewer", changed, "person")
    places = [int(str(step.place)[6:]) for step in plan.steps if str(step.place)[:5] == "stand"]
    changed = replace(day, cooling=replace(day.cooling, stand=max(places)))
    yield on(good, "just enough stand places", changed)
    changed = replace(day, cooling=replace(day.cooling, stand=max(places) - 1))
    yield on(good, "one stand place fewer", changed, "place")
    if any(step.place == "scale 1" for step in plan.steps):
        used = max(int(str(a.place)[6:]) for a in plan.steps if str(a.place)[:5] == "scale")
        yield on(good, "one scale fewer", replace(day, scales=used - 1), "place")
    for name, pan in day.pans.items():
        used = max((tray.pan_number for tray in plan.trays if tray.pan == name), default=0)
        changed = replace(day, pans={**day.pans, name: replace(pan, count=used)})
        yield on(good, "just enough pans", changed)
        changed = replace(day, pans={**day.pans, name: replace(pan, count=used - 1)})
        yield on(good, "one pan fewer", changed, "pan")
    spare = []
    for tray in plan.trays:
        hold = pan_hold(replace(day, cooling=replace(day.cooling, pan_for_s=0)), plan, tray)
        later = [
            get(plan, other.number, "set").start_s - 1 - max(hold)
            for other in plan.trays
            if (other.pan, other.pan_number) == (tray.pan, tray.pan_number)
            and get(plan, other.number, "set").start_s > max(hold, default=0)
        ]
        spare.extend(later)
    if spare:
        for value, rules in ((min(spare), ()), (min(spare) + 1, ("pan",))):
            changed = replace(day, cooling=replace(day.cooling, pan_for_s=value))
            yield on(good, f"pan_for {value}", changed, *rules)
    if day.on_pan:
        return
    peak = mat_peak(day, plan) * mat_fit(day, plan, plan.trays[0])
    for index, fit in enumerate(plan.fits):
        if fit.what == "tins on mat" and peak.denominator == 1:
            for count, rules in ((int(peak), ()), (int(peak) - 1, ("mat",))):
                rows = list(plan.fits)
                rows[index] = replace(fit, count=count, by="maker")
                own = replace(day, cooling=replace(day.cooling, mat_tins=count, mat_mm=None))
                fuller = replace(plan, fits=tuple(rows))
                yield on(good, f"a mat for {count}", own, *rules, plan=fuller)
            wrong = replace(day, cooling=replace(day.cooling, mat_tins=fit.count + 1))
            yield on(good, "the maker says more", wrong, "fit")
    for name, pan in day.pans.items():
        own_number = {day.recipes[plan.trays[0].recipe].tin: 7}
        changed = replace(day, pans={**day.pans, name: replace(pan, tins=own_number)})
        yield on(good, "the maker says 7 on a pan", changed, "fit")


def orders(good: Good) -> Mutations:
    """Other orders, other queues, other due times."""
    day, plan = good.day, good.plan
    first, rest = day.orders[0], day.orders[1:]
    changed = replace(day, orders=(replace(first, tins=first.tins + 1), *rest))
    yield on(good, "one tin more is wanted", changed, "orders")
    filled = first.filled + 1 if first.filled < first.tins else first.filled - 1
    changed = replace(day, orders=(replace(first, filled=filled), *rest))
    yield on(good, "another number is filled already", changed, "orders")
    yield on(
        good,
        "another order",
        replace(day, orders=(*day.orders, Order("Z", first.recipe, 1))),
        "orders",
    )
    halves = (replace(first, tins=1, filled=0), replace(first, tins=first.tins - 1))
    if first.filled < first.tins:
        yield on(good, "an order in two lines", replace(day, orders=(*halves, *rest)))
    if any(len(set(tray.scents)) > 1 for tray in plan.trays):
        yield on(good, "no mixed scents", replace(day, mix_scents=False), "mixed")
    queue = tuple(QueuedTray(tray.scents, tray.recipe, tray.pan) for tray in plan.trays)
    yield on(good, "a queue as planned", replace(day, queue=queue, keep_order=False))
    yield on(good, "the same queue backwards", replace(day, queue=queue[::-1], keep_order=False))
    wanted = replace(queue[0], scents=(*queue[0].scents, queue[0].scents[0]))
    changed = replace(day, queue=(wanted, *queue[1:]), keep_order=False)
    yield on(good, "another tray is queued", changed, "queue")
    changed = replace(day, queue=(replace(queue[0], pan="other"), *queue[1:]), keep_order=False)
    yield on(good, "another pan is queued", changed, "queue")
    apart = len({(tray.scents, tray.recipe) for tray in plan.trays}) == len(plan.trays)
    if apart and len(queue) > 1:
        loads = [get(plan, tray.number, "load").start_s for tray in plan.trays]
        fills = [get(plan, tray.number, "fill").start_s for tray in plan.trays if tray.fill_count]
        rules = () if fills == sorted(fills) and loads == sorted(loads) else ("keep_order",)
        yield on(good, "kept order", replace(day, queue=queue, keep_order=True), *rules)
        part = replace(day, queue=queue[:1], keep_order=True)
        yield on(good, "kept order, the rest left out", part, *rules)
        back = replace(day, queue=queue[::-1], keep_order=True)
        yield on(good, "kept order backwards", back, "keep_order")
        yield on(
            good, "the last first", replace(day, queue=queue[-1:], keep_order=True), "keep_order"
        )
    others = each(day.recipes, pan="other")
    yield on(
        good, "the recipe asks for another pan", replace(day, recipes=others, queue=()), "queue"
    )
    named = replace(day, recipes=others, queue=queue, keep_order=False)
    yield on(good, "the queue's pan wins", named)
    yield on(good, "due at the finish", replace(day, finish_by_s=plan.finish_s))
    late = replace(day, finish_by_s=plan.finish_s - 1)
    yield on(good, "late without a word", late, "says")
    yield on(good, "late with a word", late, plan=replace(plan, warnings=("1 s late.",)))
    for by, rules in ((0, ()), (1, ("says",))):
        more = OneMore("pan", "small", plan.finish_s + by)
        yield on(good, f"one more pan {by:+}", day, *rules, plan=replace(plan, one_more=(more,)))


def breaks(good: Good) -> Mutations:
    """Breaks that a plan did not know of, named in it or not."""
    day, plan = good.day, good.plan
    for load in plan.loads:
        bake = get(plan, load.trays[0], "bake")
        last = max(get(plan, number, "unload").end_s for number in load.trays)
        for at in (bake.start_s + 1, last - 1):
            yield _with_break(good, at, 1, None, "nobody")
        preheats = [other for other in plan.other if other.place == load.oven]
        for other in preheats:
            if other.what == "preheat":
                yield _with_break(good, other.start_s, 1, day.people, "nobody")
    last = max(get(plan, tray.number, "unload").end_s for tray in plan.trays)
    busy = set()
    for person in range(1, day.people + 1):
        busy |= taken_person(day, plan, person)
    idle = next((at for at in range(last, plan.finish_s) if at not in busy), None)
    if idle is not None:
        yield _with_break(good, idle, 1, None)
        apart = _with_break(good, idle, 1, None)
        unnamed = replace(apart, plan=plan, rules=frozenset({"break"}))
        yield unnamed
    after = replace(day, breaks=(*day.breaks, Break(plan.finish_s, 600)))
    yield on(good, "a break after the day", after)
    for step in plan.steps:
        if step.person is not None:
            away = Other("break", ((step.end_s - 1, step.end_s),), person=step.person)
            during = replace(plan, other=(*plan.other, away))
            absent = Break(step.end_s - 1, 1, 1)
            changed = replace(day, breaks=(*day.breaks, absent))
            yield on(good, f"away during {step.step}", changed, "break", plan=during)
    for load in plan.loads:
        unload = first_unload(plan, load.trays)
        if unload.person is not None and day.times.ready_s:
            away = Other("break", ((unload.start_s - 1, unload.start_s),), person=unload.person)
            during = replace(plan, other=(*plan.other, away))
            changed = replace(day, breaks=(*day.breaks, Break(unload.start_s - 1, 1, 1)))
            yield on(good, "away when hands should be ready", changed, "ready", plan=during)


def _with_break(good: Good, at: int, lasts: int, away: int | None, *rules: str) -> Mutant:
    """Return the plan with a break that it names, for everyone."""
    rows = tuple(
        Other("break", ((at, at + lasts),), person=person)
        for person in range(1, good.day.people + 1)
    )
    day = replace(good.day, breaks=(*good.day.breaks, Break(at, lasts, away)))
    plan = replace(good.plan, other=(*good.plan.other, *rows))
    return on(good, f"all away at {at}", day, *rules, plan=plan)


STATING: tuple[Callable[[Good], Mutations], ...] = (
    waits, work, ready, ovens, kit, orders, breaks,
)  # fmt: skip
