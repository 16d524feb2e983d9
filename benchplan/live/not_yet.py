"""What is not so yet when an action is marked before its time, and what may still be hot."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.live.actions import Index
from benchplan.live.progress import Progress
from benchplan.live.turns import ready_s
from benchplan.model import Action, NotYet, Reason
from benchplan.model.kit import HOT_BAKE_C, MOST_BAKE_C

EXIT_EARLY_S = 60
"""So much before its end a bake may be ended without a question."""
MOST_OVER_K = 25.0
"""A small oven overshoots by so much at first (from memory, no source); more wants a hand."""

REASONS: dict[NotYet, tuple[Reason, ...]] = {
    NotYet.OVEN_OFF: (Reason.HOT_ALREADY, Reason.WENT_IN_EARLY),
    NotYet.OVEN_TOLD_OFF: (Reason.HOT_ALREADY, Reason.WENT_IN_EARLY),
    NotYet.OVEN_HEATING: (Reason.HOT_ALREADY, Reason.WENT_IN_EARLY),
    NotYet.OVEN_TOO_HOT: (Reason.WENT_IN_EARLY,),
    NotYet.BAKING: (Reason.LOOKED_DONE, Reason.TROUBLE),
    NotYet.RESTING: (Reason.MOVED_EARLY,),
    NotYet.COOLING: (Reason.CHECKED_COOL, Reason.NOT_CHECKED),
}
"""Why each may have happened all the same, to pick from."""


@dataclass(frozen=True, slots=True)
class Unready:
    """One thing that is not so yet. ``due_s``: when it should be; None where nobody knows.

    ``shown_c`` is what an oven's thermometer shows where that is too much.
    """

    what: NotYet
    place: str
    trays: tuple[int, ...]
    due_s: int | None = None
    shown_c: float = 0.0


def not_yet(found: Index, so_far: Progress, action: Action, at_s: int) -> Unready | None:
    """Return what is not so yet at the second at which an action is said to have happened.

    An exit that is due, overdue or less than ``EXIT_EARLY_S`` early is never asked about.
    """
    if action.what == "load":
        load = found.load_of.get(action.trays[0])
        return _oven_not_yet(found, so_far, action, so_far.oven_ready(load) if load else 0, at_s)
    what = {
        "unload": NotYet.BAKING, "transfer": NotYet.RESTING, "pack": NotYet.COOLING
    }.get(action.what)  # fmt: skip
    if what is None:
        return None
    due = ready_s(so_far, action) or 0
    early = due - at_s - (EXIT_EARLY_S if what is NotYet.BAKING else 0)
    return Unready(what, action.place, action.trays, due) if early > 0 else None


def not_yet_again(found: Index, so_far: Progress, action: Action, at_s: int) -> Unready | None:
    """Return what is not so yet of the oven that trays go back into."""
    loaded = so_far.at["load"]
    needed = any(load.oven == action.place and not loaded.keys() >= set(load.trays)
                 for load in found.loads)  # fmt: skip
    if not needed:
        return Unready(NotYet.OVEN_TOLD_OFF, action.place, action.trays)
    turns = [turn for oven, turn in so_far.heated if oven == action.place]
    on_s = so_far.heated[action.place, max(turns)] if turns else None
    ready = None if on_s is None else on_s + found.day.ovens[action.place].preheat_s
    return _oven_not_yet(found, so_far, action, ready, at_s)


def _oven_not_yet(
    found: Index, so_far: Progress, action: Action, ready: int | None, at_s: int
) -> Unready | None:
    shown = too_hot(found, so_far).get(action.place)
    if shown is not None:
        return Unready(NotYet.OVEN_TOO_HOT, action.place, action.trays, None, shown)
    if ready is None:
        return Unready(NotYet.OVEN_OFF, action.place, action.trays)
    if ready > at_s:
        return Unready(NotYet.OVEN_HEATING, action.place, action.trays, ready)
    return None


def too_hot(found: Index, so_far: Progress) -> dict[str, float]:
    """Return each oven whose thermometer showed too much last, and what it showed.

    It is judged by the heat that the oven was set to when it was read, until it is read again.
    """
    return {
        oven: shown
        for oven, (shown, at_s) in so_far.shown.items()
        if shown > hottest_c(found, so_far, oven, at_s)
    }


def hottest_c(found: Index, so_far: Progress, oven: str, at_s: int) -> float:
    """Return the most that an oven's thermometer may show at a second: ``MOST_OVER_K`` above the
    heat that it is set to, and at most ``HOT_BAKE_C`` where that is not above it."""
    set_c = set_heat_c(found, so_far, oven, at_s)
    if set_c is None:
        return HOT_BAKE_C
    ceiling = HOT_BAKE_C if set_c <= HOT_BAKE_C else MOST_BAKE_C
    return min(ceiling, set_c + MOST_OVER_K)


def set_heat_c(found: Index, so_far: Progress, oven: str, at_s: int) -> float | None:
    """Return what an oven is set to at a second: for what bakes in it, else for what goes in next,
    else for what baked in it last; None where nothing does."""
    loaded, out = so_far.at["load"], so_far.at["unload"]
    went_in = sorted(
        (into_s, tray)
        for tray, into_s in loaded.items()
        if into_s <= at_s and so_far.oven.get(tray) == oven
    )
    baking = [tray for _, tray in went_in if out.get(tray, at_s + 1) > at_s]
    coming = [
        tray
        for load in found.loads
        if load.oven == oven
        for tray in load.trays
        if loaded.get(tray, at_s + 1) > at_s
    ]
    trays = [*baking, *coming, *(tray for _, tray in went_in[::-1])]
    return found.recipe(trays[0]).bake_at_c if trays else None


def may_be_hot(found: Index, so_far: Progress, tray: int) -> bool:
    """Whether a tray that the day is done with may be hot still, for all that was said.

    It is until somebody packed its tins after their cooling time, or said that they were checked.
    """
    if tray in so_far.checked or tray in found.news.judged:
        return False
    said = so_far.said.get(Action("pack", (tray,)))
    if said is None:
        return True
    return said.reason is not Reason.CHECKED_COOL and said.happened_s < cool_s(found, so_far, tray)


def cool_s(found: Index, so_far: Progress, tray: int) -> int:
    """Return when the cooling time of a tray that is out of its oven is over."""
    at, moved = so_far.at, Action("transfer", (tray,)) in so_far.said
    if tray in at.get("transfer", {}) and (moved or tray not in found.news.left):
        return at["transfer"][tray] + found.wait_after_s(tray, "transfer")
    return at["unload"][tray] + found.cool_for_s(tray)
