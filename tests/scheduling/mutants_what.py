"""Mutants of what trays hold, of what a plan claims, and of things that follow each other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from by_hand import Good
from mutants import Mutations, moved, mutant, name, with_step, with_tray
from seconds import HANDS, first_unload, get, stand_place

from benchplan.model import Tray


def contents(good: Good) -> Mutations:
    """Trays that hold something else than was ordered or than fits."""
    plan = good.plan
    for tray in plan.trays:
        which = f"tray {tray.number}"
        more = replace(tray, scents=(*tray.scents, tray.scents[0]))
        yield mutant(good, f"{which} has one more", with_tray(plan, tray, more), "orders")
        less = replace(tray, scents=tray.scents[1:])
        yield mutant(good, f"{which} has one less", with_tray(plan, tray, less), "orders", "form")
        strange = replace(tray, scents=("Z", *tray.scents[1:]))
        yield mutant(good, f"{which} has a Z", with_tray(plan, tray, strange), "orders")
        for change in (-1, 1):
            listed = tray.to_fill or ((tray.scents[0], 0),)
            to_fill = ((listed[0][0], listed[0][1] + change), *listed[1:])
            new = with_tray(plan, tray, replace(tray, to_fill=to_fill))
            yield mutant(good, f"{which} fills {change:+} tins", new, "orders")
        if tray.to_fill and tray.to_fill[0][1] > 1:
            scent, count = tray.to_fill[0]
            to_fill = ((scent, 1), *tray.to_fill[1:], (scent, count - 1))
            new = with_tray(plan, tray, replace(tray, to_fill=to_fill))
            yield mutant(good, f"{which} fills {scent} twice", new, "mixed")
        for recipe in good.day.recipes:
            if recipe != tray.recipe:
                new = with_tray(plan, tray, replace(tray, recipe=recipe))
                yield mutant(good, f"{which} is {recipe}", new, "orders")
        for field in ("recipe", "pan"):
            new = with_tray(plan, tray, replace(tray, **{field: "unknown"}))
            yield mutant(good, f"{which} has an unknown {field}", new, "form")
        places = ((0.0, 0.0),) * (tray.tins + 1)
        crowded = with_tray(plan, tray, replace(tray, at_mm=places))
        yield mutant(good, f"{which} has one place too many", crowded, "fit")
        for other in plan.trays:
            if other is tray or other.scents[0] != tray.scents[0] or other.tins < 2:
                continue
            bigger = replace(tray, scents=(*tray.scents, tray.scents[0]))
            smaller = replace(other, scents=other.scents[1:])
            new = with_tray(with_tray(plan, tray, bigger), other, smaller)
            yield mutant(good, f"{which} has a tin of tray {other.number}", new, "length", "orders")


def claims(good: Good) -> Mutations:
    """What the plan says of itself is wrong."""
    plan = good.plan
    for by in (-1, 1):
        yield mutant(good, "a wrong finish", replace(plan, finish_s=plan.finish_s + by), "finish")
    finish = plan.finish_s
    yield mutant(good, "a tight bound", replace(plan, bound_s=finish, bound_any_s=finish))
    late = replace(plan, bound_s=finish + 1)
    yield mutant(good, "a bound after the finish", late, "bound")
    crossed = replace(plan, bound_s=finish - 1, bound_any_s=finish)
    yield mutant(good, "bounds that cross", crossed, "bound")
    for field in ("finish_s", "bound_s", "bound_any_s"):
        for value in (-1, 1.0, None, True, "1"):
            new = replace(plan, **{field: value})
            yield mutant(good, f"{field} is {value!r}", new, "form")


def fits(good: Good) -> Mutations:
    """Fewer fit than the plan uses."""
    day, plan = good.day, good.plan
    for index, fit in enumerate(plan.fits):
        rows = list(plan.fits)
        if fit.what == "tins on pan":
            used = max(tray.tins for tray in plan.trays)
            small = used - 1
        elif fit.what == "pans on shelf":
            shelves = day.ovens[fit.oven or ""].shelves
            small = (max(len(load.trays) for load in plan.loads) - 1) // shelves
        else:
            continue
        rows[index] = replace(fit, count=small)
        yield mutant(good, f"fewer {fit.what}", replace(plan, fits=tuple(rows)), "fit")
        rows[index] = replace(fit, most_possible=fit.count - 1)
        yield mutant(good, f"impossible {fit.what}", replace(plan, fits=tuple(rows)), "fit")
        rows[index] = replace(fit, by="maker")
        yield mutant(good, f"{fit.what} by nobody", replace(plan, fits=tuple(rows)), "fit")


def overlaps(good: Good) -> Mutations:
    """Two things that follow each other overlap by one second; touching, they do not."""
    day, plan = good.day, good.plan
    for step in plan.steps:
        if step.person is None or step.start_s == 0:
            continue
        before = [
            (end, start)
            for other in plan.steps
            if other is not step and other.person == step.person and other.step in HANDS
            for start, end in other.parts
            if start < end <= step.start_s
        ]
        if before:
            by = max(before)[0] - 1 - step.start_s
            new = with_step(plan, step, moved(step, by))
            yield mutant(good, f"{name(step)} begins too early", new, "hands")
    for tray in plan.trays:
        for other in plan.trays:
            if other.number == tray.number:
                continue
            yield from _late(good, tray, other)
    for load in plan.loads:
        unload = first_unload(plan, load.trays)
        for step in plan.steps:
            if step.step != "fill" or step.person != unload.person or not day.times.ready_s:
                continue
            just = moved(step, unload.start_s - day.times.ready_s + 1 - step.end_s)
            yield mutant(good, f"{name(step)} inside ready", with_step(plan, step, just), "ready")


def _late(good: Good, tray: Tray, other: Tray) -> Mutations:
    """``tray`` leaves its pan and its stand place one second after ``other`` needs them."""
    day, plan = good.day, good.plan
    tail = ("pack",) if day.on_pan else ("transfer", "cool", "pack")
    leaves = get(plan, tray.number, tail[0]).end_s
    cases = []
    if stand_place(day, plan, tray) == stand_place(day, plan, other):
        cases.append(("stand", get(plan, other.number, "unload").start_s))
    if (tray.pan, tray.pan_number) == (other.pan, other.pan_number):
        needed = get(plan, other.number, "set").start_s - day.cooling.pan_for_s
        cases.append(("pan", needed))
    for rule, needed in cases:
        if needed < leaves:
            continue
        for over in (0, 1):
            new = plan
            for each in tail:
                step = get(plan, tray.number, each)
                new = with_step(new, step, moved(step, needed + over - leaves))
            what = f"tray {tray.number} leaves {over} s too late for tray {other.number}"
            if over:
                yield mutant(good, what, new, rule)
            elif needed == leaves:
                yield mutant(good, what, new)
            else:
                yield mutant(good, what, new, "order", never=rule)


def shorten(good: Good) -> Mutations:
    """A rest or cooling one second too short, all that follows moved with it."""
    plan = good.plan
    for tray in plan.trays:
        recipe = good.day.recipes[tray.recipe]
        tails = {"cool": (("pack",), recipe.cool_for_s)}
        if not good.day.on_pan:
            tails["rest"] = (("transfer", "cool", "pack"), recipe.rest_for_s)
        for rule, (tail, least) in tails.items():
            wait = get(plan, tray.number, rule)
            by = wait.start_s + (least or 0) - 1 - wait.end_s
            if wait.end_s + by < wait.start_s:
                continue
            shorter = replace(wait, parts=((wait.start_s, wait.end_s + by),))
            new = with_step(plan, wait, shorter)
            for each in tail:
                step = get(plan, tray.number, each)
                new = with_step(new, step, moved(step, by))
            yield mutant(good, f"the {rule} of tray {tray.number} is 1 s short", new, rule)


def rush(good: Good) -> Mutations:
    """A whole load, with all its trays do afterwards, one second before its oven has recovered."""
    plan = good.plan
    chain = ("load", "bake", "unload", "rest", "transfer", "cool", "pack")
    for load in plan.loads:
        if load.number == 1:
            continue
        before = next(
            each for each in plan.loads if (each.oven, each.number) == (load.oven, load.number - 1)
        )
        ends = max(get(plan, number, "unload").end_s for number in before.trays)
        starts = min(get(plan, number, "load").start_s for number in load.trays)
        oven = good.day.ovens[load.oven]
        for gap, rule in ((oven.recover_s - 1, "recover"), (-1, "oven")):
            new = plan
            for step in plan.steps:
                if step.tray in load.trays and step.step in chain:
                    new = with_step(new, step, moved(step, ends + gap - starts))
            yield mutant(good, f"load {load.number} {gap} s after", new, rule, "oven")


HOLDING: tuple[Callable[[Good], Mutations], ...] = (
    contents, claims, fits, overlaps, shorten, rush,
)  # fmt: skip
