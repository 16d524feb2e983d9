"""What the Orders screen may change in a day: tins, filled, and the queue of trays. All pure.

The queue (``[[trays]]``) never asks for more than the orders do: whatever an order loses, the
last trays of its scent lose.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from benchplan.model import Day, Fit, Order, Plan, QueuedTray

Wanted = Counter[tuple[str, str]]  # (recipe, scent) -> tins


def wanted(day: Day) -> Wanted:
    """Return how many tins of each recipe and scent the orders ask for."""
    found: Wanted = Counter()
    for order in day.orders:
        found[order.recipe, order.scent] += order.tins
    return found


def asked(queue: Iterable[QueuedTray]) -> Wanted:
    """Return how many tins of each recipe and scent a queue asks for."""
    return Counter((tray.recipe, scent) for tray in queue for scent in tray.scents)


def queue_of(plan: Plan) -> tuple[QueuedTray, ...]:
    """Return a plan's trays as a queue, in their order."""
    return tuple(
        QueuedTray(tray.scents, tray.recipe, tray.pan)
        for tray in sorted(plan.trays, key=lambda tray: tray.number)
    )


def whole_queue(day: Day) -> tuple[QueuedTray, ...] | None:
    """Return the maker's own order of trays when it is kept and leaves nothing out, else None."""
    return day.queue if day.keep_order and asked(day.queue) == wanted(day) else None


def topped_up(day: Day, fits: Iterable[Fit]) -> Day:
    """Return the day with tins that its queue leaves out put where its trays still have room.

    Only trays of that one scent take them, the last first; the planner makes trays of the rest.
    """
    known = tuple(fits)
    missing = wanted(day) - asked(day.queue)
    queue = list(day.queue)
    for at in range(len(queue) - 1, -1, -1):
        tray = queue[at]
        scent = tray.scents[0]
        if set(tray.scents) != {scent}:
            continue
        free = _most_on_tray(day, known, day.recipes[tray.recipe].tin, tray.pan) - tray.tins
        more = max(0, min(free, missing[tray.recipe, scent]))
        missing[tray.recipe, scent] -= more
        queue[at] = replace(tray, scents=tray.scents + (scent,) * more)
    return replace(day, queue=tuple(queue))


def _most_on_tray(day: Day, fits: tuple[Fit, ...], tin: str, pan: str | None) -> int:
    """Return how many tins a tray surely takes: pan, mat and every oven's own limit allow them."""
    on_pan = [f.count for f in fits if f.what == "tins on pan" and (f.tin, f.pan) == (tin, pan)]
    on_mat = [f.count for f in fits if f.what == "tins on mat" and f.tin == tin and not day.on_pan]
    own = [oven.most_tins for oven in day.ovens.values() if oven.most_tins is not None]
    return min([*on_pan, *on_mat, *own]) if on_pan else 0


def change_tins(day: Day, order: Order, by: int, fits: Iterable[Fit] = ()) -> Day:
    """Return the day with ``by`` tins more (or fewer) of an order, never fewer than one."""
    tins = max(1, order.tins + by)
    return topped_up(
        _with(day, order, replace(order, tins=tins, filled=min(order.filled, tins))).settled(), fits
    )


def change_filled(day: Day, order: Order, by: int) -> Day:
    """Return the day with ``by`` more (or fewer) of an order's tins filled beforehand."""
    return _with(day, order, replace(order, filled=min(order.tins, max(0, order.filled + by))))


def move_tray(day: Day, plan: Plan, number: int, by: int) -> Day:
    """Return the day with the tray at ``number`` (from 1) moved ``by`` places, in a kept order.

    The order moved in is the maker's own as far as there is one, else the plan's. A move beyond
    either end changes nothing.
    """
    queue = list(whole_queue(day) or queue_of(plan))
    there = number + by
    if not (1 <= number <= len(queue) and 1 <= there <= len(queue)):
        return day
    queue.insert(there - 1, queue.pop(number - 1))
    return replace(day, queue=tuple(queue), keep_order=True).settled()


def planners_order(day: Day) -> Day:
    """Return the day with no order of trays of the maker's own."""
    return replace(day, queue=(), keep_order=False)


def _with(day: Day, old: Order, new: Order) -> Day:
    at = day.orders.index(old)
    return replace(day, orders=(*day.orders[:at], new, *day.orders[at + 1 :]))
