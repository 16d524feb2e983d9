"""What a simulated day obeys, stated from the rules of a day and not from how it is simulated."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import ceil

from benchplan.chance.dispatch import Dispatch
from benchplan.chance.reading import Reading
from benchplan.model import Day, Plan

Span = tuple[float, float]
SLIP_S = 1e-3


def named(day: Day, plan: Plan, done: Dispatch) -> dict[tuple[int, str], Span]:
    """Return begin and end of each step of each tray; ``day`` has every cool_for resolved."""
    ops = Reading(day, plan).op
    return {key: (done.starts[op], done.ends[op]) for key, op in ops.items()}


def faults(day: Day, plan: Plan, done: Dispatch) -> Iterator[str]:
    """Yield each rule that a simulated day breaks; begun fills and moves count as from their end.

    Hands are looked at by work in one piece, and by whether work that pauses had time enough.
    """
    at = named(day, plan, done)
    trays = {tray.number: tray for tray in plan.trays}
    last = "pack" if day.on_pan else "transfer"
    for number, tray in trays.items():
        recipe = day.recipes[tray.recipe]
        waits = [("fill", "set", 0), ("set", "load", 0), ("load", "unload", recipe.bake_for_s)]
        if day.on_pan:
            waits.append(("unload", "pack", recipe.cool_for_s or 0))
        else:
            waits.append(("unload", "transfer", recipe.rest_for_s))
            waits.append(("transfer", "pack", recipe.cool_for_s or 0))
        for first, second, wait in waits:
            if at[number, second][0] < at[number, first][1] + wait - SLIP_S:
                yield f"tray {number}: {second} is too early after {first}"
    pause = day.cooling.pan_for_s
    for one, other in combinations(trays, 2):
        same = (trays[one].pan, trays[one].pan_number) == (
            trays[other].pan,
            trays[other].pan_number,
        )
        if same and clash(at, one, other, "set", last, pause):
            yield f"trays {one} and {other} have one pan"
        stands = place(plan, one, "rest", "cool") == place(plan, other, "rest", "cool")
        if stands and clash(at, one, other, "unload", last):
            yield f"trays {one} and {other} have one stand place"
        if place(plan, one, "fill") and place(plan, one, "fill") == place(plan, other, "fill"):
            plain = all(len(trays[tray].to_fill) == 1 for tray in (one, other))
            if plain and clash(at, one, other, "fill", "fill"):
                yield f"trays {one} and {other} are on one scale"
    yield from oven_faults(day, plan, at)
    yield from mat_faults(day, plan, at)
    yield from hand_faults(plan, done, at)


def clash(
    at: dict[tuple[int, str], Span], one: int, other: int, take: str, give: str, pause: int = 0
) -> bool:
    """Whether two trays have a thing at once, from the begin of ``take`` to the end of ``give``."""
    first, second = sorted((at[tray, take][0], at[tray, give][1]) for tray in (one, other))
    taken = first[1] > first[0] and second[1] > second[0]
    return taken and second[0] < first[1] + pause - SLIP_S


def place(plan: Plan, tray: int, *names: str) -> str | None:
    """Return where the first of some steps that the tray has is done."""
    found = [step for name in names if (step := plan.step(tray, name)) is not None]
    return found[0].place if found else None


def oven_faults(day: Day, plan: Plan, at: dict[tuple[int, str], Span]) -> Iterator[str]:
    for one, other in combinations(plan.loads, 2):
        if one.oven != other.oven:
            continue
        kit = day.ovens[one.oven]
        heats = [day.recipes[plan.tray(load.trays[0]).recipe].bake_at_c for load in (one, other)]
        recover = kit.recover_s + ceil(round(kit.per_kelvin_s * abs(heats[1] - heats[0]), 9))
        times = sorted(
            (at[load.trays[0], "load"][0], max(at[tray, "unload"][1] for tray in load.trays))
            for load in (one, other)
        )
        if times[1][0] < times[0][1] + recover - SLIP_S:
            yield f"two loads are in {one.oven} at once, or without time to recover"


def mat_faults(day: Day, plan: Plan, at: dict[tuple[int, str], Span]) -> Iterator[str]:
    if day.on_pan:
        return
    holds = {fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat"}
    room = {
        tray.number: tray.tins / holds[day.recipes[tray.recipe].tin]
        for tray in plan.trays
        if at[tray.number, "pack"][1] > at[tray.number, "transfer"][0]
    }
    for number in room:
        now = at[number, "transfer"][0]
        there = [
            other
            for other in room
            if at[other, "transfer"][0] <= now < at[other, "pack"][1] - SLIP_S
        ]
        if sum(room[other] for other in there) > 1 + 1e-9:
            yield f"the mat is over-full when tray {number} is moved"


def hand_faults(plan: Plan, done: Dispatch, at: dict[tuple[int, str], Span]) -> Iterator[str]:
    """Nobody is in two places at once, and nobody works faster than they do."""
    whole: dict[int, set[tuple[float, float, str]]] = {}
    for step in plan.steps:
        if step.person and step.step in ("set", "load", "unload"):
            trays = plan.load_of(step.tray).trays if step.step == "load" else (step.tray,)
            span = (*at[step.tray, step.step], f"{step.step} of {trays}")
            whole.setdefault(step.person, set()).add(span)
    for spans in whole.values():
        for first, second in combinations(sorted(spans), 2):
            if second[0] < first[1] - SLIP_S:
                yield f"the {first[2]} and the {second[2]} are done at once"
    lasts = dict(zip(done.order.pieces, done.lasts, strict=True))
    for piece, lasts_s in lasts.items():
        step = plan.step(piece.tray, piece.step)
        if step is None or not step.person or len(plan.tray(piece.tray).to_fill) > 1:
            continue
        if piece.step in ("fill", "transfer", "pack"):
            begin, end = at[piece.tray, piece.step]
            inside = [each for each in whole.get(step.person, ()) if begin <= each[0]]
            other = sum(each[1] - each[0] for each in inside if each[1] <= end)
            if end - begin < lasts_s + other - SLIP_S:
                yield f"the {piece.step} of tray {piece.tray} had too little time"
