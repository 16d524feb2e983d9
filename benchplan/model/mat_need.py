"""How much of the mat a plan needs at its pace: Little's law."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.model.day import Day
from benchplan.model.lanes import levels
from benchplan.model.plan import Plan
from benchplan.model.words import count_words


def in_process(pace: float, time: float) -> float:
    """Return how many things are under way that come at ``pace`` and stay for ``time``.

    Little's law, L = λ·W (J. D. C. Little, Operations Research 9, 1961). Any unit of time, the
    same in both.
    """
    return pace * time


@dataclass(frozen=True, slots=True)
class MatNeed:
    """What lies on the mat at the planned pace, against the room there is.

    ``tins_per_s`` come onto it from the first load to the last and stay ``on_mat_s`` each, from
    their transfer to the end of their pack: ``tins`` at a time, but never more than the plan's own
    ``most``. ``room`` is how many fit, ``share`` how much of it is taken at a time (0 to 1); where
    tins of several kinds share the mat ``room`` is None.
    """

    tins_per_s: float
    on_mat_s: float
    tins: float
    most: int
    room: int | None
    share: float


def mat_need(day: Day, plan: Plan) -> MatNeed | None:
    """Return how much of the mat the plan needs at its pace; None where it uses no mat."""
    begins = {step.tray: step.start_s for step in plan.steps if step.step == "transfer"}
    ends = {step.tray: step.end_s for step in plan.steps if step.step == "pack"}
    tins = {tray.number: tray.tins for tray in plan.trays if tray.number in begins}
    if day.on_pan or not tins:
        return None
    lain = sum(tins[tray] * (ends[tray] - begins[tray]) for tray in tins)
    on_mat_s = lain / sum(tins.values())
    loads = sorted(
        (min(begins[tray] for tray in load.trays), sum(tins[tray] for tray in load.trays))
        for load in plan.loads
    )
    swing = loads[-1][0] - loads[0][0]
    found = levels(day, plan)
    most = max(level.tins for level in found)
    pace = sum(count for _, count in loads[:-1]) / swing if swing else 0.0
    need = min(float(most), in_process(pace, on_mat_s)) if swing else float(most)
    counts = {fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat"}
    kinds = {day.recipes[tray.recipe].tin for tray in plan.trays}
    room = counts.get(next(iter(kinds))) if len(kinds) == 1 else None
    fullest = max(level.share for level in found)
    share = need / room if room else fullest * need / max(1, most)
    return MatNeed(pace, on_mat_s, need, most, room, share)


def mat_words(day: Day, plan: Plan) -> str:
    """Say how much of the mat is needed at the planned pace; "" where there is no mat."""
    need = mat_need(day, plan)
    if need is None:
        return ""
    tins = count_words(round(need.tins), "tin")
    are = "is" if round(need.tins) == 1 else "are"
    on_mat = f"At this pace {tins} {are} on the mat at a time"
    if need.room is None:
        return f"{on_mat}, which takes {need.share:.0%} of it."
    return f"{on_mat}; there is room for {need.room}."
