"""What one more of anything would buy: the day planned again with it. No input, no output.

By construction never later than without it: what is there need not be used.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from benchplan import packing
from benchplan.fitting import KnownFits
from benchplan.model import Day, OneMore, Plan
from benchplan.model.stop import Stop
from benchplan.planner import default_stop, plan_day


def one_more(
    day: Day,
    plan: Plan,
    stop_for: Callable[[Day], Stop] | None = None,
    seed: int = 0,
    known_fits: KnownFits | None = None,
    cancelled: Stop = lambda: False,
) -> tuple[OneMore, ...]:
    """Return the finish with one more of each thing, what wins most first.

    ``plan`` is the plan without, for the same ``day``; ``stop_for`` gives the stop rule of each
    plan with, usually the planner's own. Ends early, with what there is, once ``cancelled``.
    """
    rule = stop_for or default_stop
    found = []
    for what, kind, richer in richer_days(day, plan):
        if cancelled():
            break
        answer = plan_day(richer, rule(richer), seed, known_fits)
        finish = answer.finish_s if isinstance(answer, Plan) else plan.finish_s
        found.append(OneMore(what, kind, min(finish, plan.finish_s)))
    return tuple(sorted(found, key=lambda more: more.finish_s))


def richer_days(day: Day, plan: Plan) -> Iterator[tuple[str, str | None, Day]]:
    """Yield (what, kind, the day with one more of it) for all that a day's work needs."""
    for name in sorted({tray.pan for tray in plan.trays}):
        pan = day.pans[name]
        yield "pan", name, replace(day, pans={**day.pans, name: replace(pan, count=pan.count + 1)})
    cooling = day.cooling
    yield "stand place", None, replace(day, cooling=replace(cooling, stand=cooling.stand + 1))
    if not day.on_pan:
        yield "tray's worth of mat", None, _with_more_mat(day, plan)
    yield "person", None, replace(day, people=day.people + 1)
    yield "scale", None, replace(day, scales=day.scales + 1)
    for name in sorted({load.oven for load in plan.loads}):
        oven = day.ovens[name]
        more = replace(oven, shelves=oven.shelves + 1)
        yield "shelf", name, replace(day, ovens={**day.ovens, name: more})
        twin = replace(oven, name=_new_name(name, day))
        yield "oven", name, replace(day, ovens={**day.ovens, twin.name: twin})


def _with_more_mat(day: Day, plan: Plan) -> Day:
    """Return the day with room on the mat for one more tray, the fullest of the plan."""
    cooling = day.cooling
    tray = max(plan.trays, key=lambda each: each.tins)
    if cooling.mat_tins is not None or cooling.mat_mm is None:
        more = replace(cooling, mat_tins=(cooling.mat_tins or 0) + tray.tins)
        return replace(day, cooling=more)
    size = day.tins[day.recipes[tray.recipe].tin].diameter_mm

    def room(mat_mm: tuple[float, float]) -> int:
        return packing.pack_mat(mat_mm, size, cooling.gap_mm).count

    length, width = cooling.mat_mm
    wanted = room((length, width)) + tray.tins
    for _ in range(tray.tins):  # a row across each; beyond some thousands none is counted
        if room((length, width)) < wanted:
            length += size + cooling.gap_mm
    return replace(day, cooling=replace(cooling, mat_mm=(length, width)))


def _new_name(name: str, day: Day) -> str:
    number = 2
    while f"{name} {number}" in day.ovens:
        number += 1
    return f"{name} {number}"
