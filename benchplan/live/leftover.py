"""What a run leaves to another day: tins of trays that left it, and tins that were scrapped."""

from __future__ import annotations

from collections import Counter

from benchplan.live.marked import as_marked
from benchplan.live.progress import Progress, progress
from benchplan.model import Action, Day, Mark, Order, Plan, Tray, standing
from benchplan.model.ids import MarkKind


def leftover(day: Day, plan: Plan, marks: tuple[Mark, ...]) -> tuple[Order, ...]:
    """Return orders for what was planned and not made, in the order of the day's own.

    Tins that were filled already are counted as filled, but not those of a tray that left because
    its beads were wet: they go back into their jar. Of a mixed tray, tins are filled and scrapped
    in the order of filling.
    """
    found = as_marked(day, plan, marks)
    so_far = progress(found, marks)
    sent_off = {
        tray
        for mark in standing(marks)
        if mark.what in (MarkKind.LEAVES, MarkKind.WET) and mark.action
        for tray in mark.action.trays
    }
    wanted: Counter[tuple[str, str]] = Counter()
    filled: Counter[tuple[str, str]] = Counter()
    for tray in found.plan.trays:
        lost = found.news.lost.get(tray.number, 0)
        gone = tray.number not in found.load_of or tray.number in found.news.left
        if not gone or tray.number in found.news.judged:
            wanted.update((scent, tray.recipe) for scent in tray.scents[:lost])
            continue
        wanted.update((scent, tray.recipe) for scent in tray.scents)
        if tray.number in found.load_of or tray.number in sent_off:
            continue  # baked, or back in the jar
        whole = max(0, _filled(tray, so_far) - lost)
        filled.update((scent, tray.recipe) for scent in _in_turn(tray)[:whole])
    orders = dict.fromkeys((order.scent, order.recipe) for order in day.orders)
    return tuple(
        Order(scent, recipe, wanted[scent, recipe], filled[scent, recipe])
        for scent, recipe in orders
        if wanted[scent, recipe]
    )


def _filled(tray: Tray, so_far: Progress) -> int:
    """Return how many tins of a tray that was never loaded are filled."""
    before = tray.tins - tray.fill_count
    if tray.number in so_far.at["fill"]:
        return tray.tins
    said = so_far.filled.get(Action("fill", (tray.number,)))
    return before + min(tray.fill_count, round(said.amount)) if said else before


def _in_turn(tray: Tray) -> list[str]:
    """Return the scents of a tray's tins, filled beforehand first, then in turn."""
    left = Counter(dict(tray.to_fill))
    before = Counter(tray.scents)
    before.subtract(left)
    return [
        *(scent for scent in tray.scent_names for _ in range(before[scent])),
        *(scent for scent, count in tray.to_fill for _ in range(count)),
    ]
