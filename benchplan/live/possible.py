"""What may physically be done at a moment, whatever order the plan has it in."""

from __future__ import annotations

from benchplan.live.actions import Index
from benchplan.live.marked import as_marked
from benchplan.live.progress import Progress, progress
from benchplan.model import Action, Day, Mark, Plan


def possible(day: Day, plan: Plan, marks: tuple[Mark, ...]) -> tuple[Action, ...]:
    """Return the actions that may be done next, in the plan's order; never one that is done.

    Time is not asked: tins that are still hot can be packed as far as this list goes, and a tray
    can always be taken out of an oven. Marks do not say that a fill has begun, so a scale counts
    as taken only once it was made ready for another scent.
    """
    found = as_marked(day, plan, marks)
    return options(found, progress(found, marks))


def options(index: Index, so_far: Progress) -> tuple[Action, ...]:
    """Return what ``possible`` does, from lookups that are built already."""
    if index.news.ending == "abort":
        return ()
    found = [each.action for each in index.planned if can(so_far, each.action)]
    listed = set(found)
    # a tray that is filled out of turn may need a change of scent that the plan does not have
    seen: set[str] = set()
    for each in index.planned:
        action = Action("change_scent", each.action.trays)
        if each.action.what != "fill" or action in listed or not can(so_far, action):
            continue
        scent = index.trays[action.trays[0]].to_fill[0][0]
        if scent not in seen:
            seen.add(scent)
            found.append(action)
    return tuple(found)


def can(so_far: Progress, action: Action) -> bool:
    """Whether an action that is not done yet may be done now, time apart."""
    if so_far.ended(action) is not None:
        return False
    at, index = so_far.at, so_far.index
    if action.place in index.news.closed and action.what in ("preheat", "load"):
        return False
    if action.what == "preheat":
        return _can_preheat(so_far, action)
    if action.what == "load":
        return _can_load(so_far, action)
    if action.what == "unload":
        return all(tray in at["load"] for tray in action.trays)
    tray = action.trays[0]
    if action.what == "change_scent":
        planned = (tray, "change_scent") in index.hand
        return tray not in at["fill"] and (planned or _needs_change(so_far, tray))
    if action.what == "fill":
        return not _needs_change(so_far, tray)
    if action.what == "set":
        return tray in at["fill"] and bool(so_far.pans.get(index.trays[tray].pan))
    if action.what == "transfer":
        return tray in at["unload"] and so_far.mat_used + so_far.mat_share(tray) <= 1
    return tray in at["unload" if index.day.on_pan else "transfer"]


def _can_preheat(so_far: Progress, action: Action) -> bool:
    """An oven can be switched on once what its earlier preheats were for has come out."""
    if action.turn > 1 and (action.place, action.turn - 1) not in so_far.heated:
        return False
    index, unloaded = so_far.index, so_far.at["unload"]
    return all(
        tray in unloaded
        for load in index.loads
        if load.oven == action.place
        for tray in load.trays
        if index.turn_of[tray] < action.turn
    )


def _can_load(so_far: Progress, action: Action) -> bool:
    if action.place in so_far.baking or any(t in so_far.at["load"] for t in action.trays):
        return False
    if not all(tray in so_far.at["set"] for tray in action.trays):
        return False
    index = so_far.index
    unset = [tray for tray in action.trays if (tray, "set") not in index.hand]
    return not unset or len(unset) <= len(so_far.pans.get(index.trays[unset[0]].pan, ()))


def _needs_change(so_far: Progress, tray: int) -> bool:
    """Whether every scale holds another scent than the tray's first one."""
    to_fill, used = so_far.index.trays[tray].to_fill, so_far.scale_scent
    if not to_fill or not so_far.index.day.times.change_scent_s:
        return False
    return len(used) >= so_far.index.day.scales and to_fill[0][0] not in used.values()
