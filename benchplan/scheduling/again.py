"""A plan as a list of operations: to carry it on with a past, or to begin a search from it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from benchplan.model import Plan, QueuedTray, Tray
from benchplan.scheduling.builder import CannotBuildError, Op, build
from benchplan.scheduling.moves import Draft
from benchplan.scheduling.problem import Job, Loads, Shop
from benchplan.scheduling.trays import fill_counts, pans_for, wanted


def in_order_of(plan: Plan, index: Mapping[int, int], load_of: Mapping[int, int]) -> list[Op]:
    """Return the plan's operations in the order in which they end; loads by when they begin.

    A load takes hands twice, so it comes before all work that it interrupts. ``index`` gives the
    job of a tray's number, ``load_of`` the load of a job.
    """
    rank = {"fill": 0, "set": 1, "load": 2, "transfer": 3, "pack": 4}
    ends: dict[Op, tuple[int, int]] = {}
    for step in plan.steps:
        if step.step == "load":
            op: Op = ("load", load_of[index[step.tray]])
            ends[op] = min(ends.get(op, (step.start_s, 2)), (step.start_s, 2))
        elif step.step in rank:
            ends[step.step, index[step.tray]] = (step.end_s, rank[step.step])
    return sorted(ends, key=lambda op: (ends[op], op))


def inner_first(ops: list[Op], plan: Plan, loads: Loads) -> list[Op]:
    """Return operations with each load that is out before one that went in earlier ahead of it:
    it was on the stand first."""
    spans: dict[int, tuple[int, int]] = {}
    at = {number: load for load, own in enumerate(plan.loads) for number in own.trays}
    for step in plan.steps:
        if step.step in ("load", "unload"):
            begin, end = spans.get(at[step.tray], (step.start_s, step.end_s))
            spans[at[step.tray]] = min(begin, step.start_s), max(end, step.end_s)
    found = list(ops)
    for outer in range(len(loads)):
        begin, end = spans[outer]
        inner = [each for each, (into, out) in spans.items() if begin < into and out < end]
        if inner:
            found.remove(("load", outer))
            found.insert(1 + max(found.index(("load", each)) for each in inner), ("load", outer))
    return found


def begun_from(shop: Shop, plan: Plan) -> Draft | None:
    """Return the draft that does the day as a plan of a day like it does; None where it cannot.

    The plan's trays must hold what this day's orders want and fit into its kit.
    """
    day = shop.day
    trays = sorted(plan.trays, key=lambda tray: tray.number)
    queue = sorted(day.queue, key=lambda each: each.pan is None)  # named pans first
    jobs: list[Job] = []
    for tray in trays:
        entry = next((each for each in queue if _is(tray, each)), None)
        if entry is not None:
            queue.remove(entry)
        if not (entry and entry.pan) and tray.pan not in pans_for(shop, tray.recipe):
            return None
        asked = entry is not None
        jobs.append(Job(tray.scents, tray.to_fill, tray.recipe, tray.pan, asked=asked))
    orders = wanted(shop)
    tins = Counter({(each.scent, each.recipe): each.tins for each in orders})
    on_trays = Counter((scent, job.recipe) for job in jobs for scent in job.scents)
    if day.keep_order or on_trays != tins or queue:
        return None
    if any(job.tins > shop.tray_limit(job.recipe, job.pan) for job in jobs):
        return None
    filled = Counter({(each.scent, each.recipe): each.filled for each in orders})
    to_fill = Counter[tuple[str, str]]()
    for job in jobs:
        to_fill.update({(scent, job.recipe): count for scent, count in job.to_fill})
    if to_fill != tins - filled:
        jobs = list(fill_counts(jobs, dict(filled)))
    index = {tray.number: at for at, tray in enumerate(trays)}
    loads = tuple(tuple(index[number] for number in load.trays) for load in plan.loads)
    way = shop.way(tuple(jobs), loads)
    if not all(way.ovens):
        return None
    ovens = tuple(
        (load.oven,) if load.oven in free else free
        for load, free in zip(plan.loads, way.ovens, strict=True)
    )
    ops = [
        op
        for op in in_order_of(plan, index, way.load_of)
        if op[0] != "set" and not (day.on_pan and op[0] == "transfer")
    ]
    way = replace(way, ovens=ovens)
    drafts = [Draft(way, tuple(ops)), Draft(way, tuple(inner_first(ops, plan, loads)))]
    return min(drafts, key=lambda draft: _finish(shop, draft)) if len(day.ovens) > 1 else drafts[0]


def _finish(shop: Shop, draft: Draft) -> float:
    try:
        return build(shop, draft.way, draft.ops).finish
    except CannotBuildError:
        return math.inf


def _is(tray: Tray, entry: QueuedTray) -> bool:
    """Whether a plan's tray is one that the maker asks for."""
    same = (tray.scents, tray.recipe) == (entry.scents, entry.recipe)
    return same and entry.pan in (None, tray.pan)
