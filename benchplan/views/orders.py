"""The Orders screen: what must be ready, and the queue of trays that comes of it."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.model import Cannot, Day, Load, Order, Plan, QueuedTray, Step, Tray
from benchplan.model.more_words import start_words
from benchplan.model.words import count_words, scent_words
from benchplan.views.edits import whole_queue
from benchplan.views.rows import BLANK, Column, Piece, Row, listed, row, runs, table, wrap_rows
from benchplan.views.words import at_clock, bound_words, finish_words, is_late, short_warnings

ORDER_COLUMNS = (
    Column("Scent", 8, spare=True),
    Column("Recipe", 6, spare=True, drop=2),
    Column("Tins", right=True),
    Column("Filled", right=True),
    Column("Trays", 5, spare=True, drop=1),
    Column("Packed by", 9, right=True),
)
QUEUE_COLUMNS = (
    Column("Tray", right=True),
    Column("Scent", 8, spare=True),
    Column("Tins", right=True),
    Column("Pan", 5, spare=True, drop=2),
    Column("Oven", 5, spare=True, drop=1),
    Column("Load", right=True),
    Column("Begin", right=True),
    Column("Bake", right=True),
    Column("Finish", right=True),
)


@dataclass(frozen=True, slots=True)
class Look:
    """Where the cursor is: in the "orders" or the "queue", and on which line of either, from 0."""

    where: str = "orders"
    order: int = 0
    tray: int = 0


def kept_within(look: Look, day: Day, plan: Plan | Cannot | None, stale: bool) -> Look:
    """Return the look with its cursor on lines that are there."""
    trays = 0
    if isinstance(plan, Plan):
        trays = len((whole_queue(day) if stale else None) or plan.trays)
    return Look(
        look.where if trays else "orders",
        min(max(look.order, 0), max(0, len(day.orders) - 1)),
        min(max(look.tray, 0), max(0, trays - 1)),
    )


def page(
    day: Day, plan: Plan | Cannot | None, stale: bool, look: Look, width: int, height: int
) -> list[Row]:
    """Return the whole screen. A ``stale`` plan is of the day before its last change."""
    known = plan if isinstance(plan, Plan) else None
    look = kept_within(look, day, plan, stale)
    head, lines = order_table(day, known, width - 2)
    room = min(len(lines), max(3, height // 3))
    here = look.where == "orders"
    rows = [orders_title(day), row("  ", *head)]
    rows += [*listed(lines, look.order, width, room, here), BLANK, queue_title(day, plan, stale)]
    if isinstance(plan, Cannot):
        return [*rows, *cannot_rows(plan, width)][:height]
    if known is None:
        return rows[:height]
    head, lines = queue_table(day, known, stale, width - 2)
    words = [] if stale else plan_words(day, known, width)[: max(3, height // 4)]
    room = height - len(rows) - 1 - len(words)
    rows += [row("  ", *head), *listed(lines, look.tray, width, room, not here)]
    return [*rows, *([BLANK] if words and len(lines) < room else []), *words][:height]


@dataclass(frozen=True, slots=True)
class _Times:
    """When a tray's first step begins, its bake begins and its last step ends."""

    begin_s: int
    bake_s: int
    end_s: int


def order_table(day: Day, plan: Plan | None, width: int) -> tuple[Row, list[Row]]:
    """Return the heading and one row an order; without a plan the times stay open."""
    lines = []
    times = {} if plan is None else _times(plan)
    for order in day.orders:
        trays = () if plan is None else _trays_of(order, plan)
        ends = [times[tray.number].end_s for tray in trays]
        lines.append(
            (
                order.scent,
                order.recipe,
                str(order.tins),
                str(order.filled),
                runs([tray.number for tray in trays]) or "-",
                at_clock(day, max(ends)) if ends else "-",
            )
        )
    return table(ORDER_COLUMNS, lines, width)


def queue_table(day: Day, plan: Plan, stale: bool, width: int) -> tuple[Row, list[Row]]:
    """Return the heading and one row a tray.

    While the plan is ``stale`` (a new one is on its way) an order of the maker's own is shown at
    once, with its times open.
    """
    times = _times(plan)
    loads = {number: load for load in plan.loads for number in load.trays}
    lines = [
        _planned(day, tray, loads[tray.number], times[tray.number])
        if tray.number in loads
        else _left(tray)
        for tray in plan.trays
    ]
    own = (whole_queue(day) if stale else None) or ()
    waiting = [_waiting(at, tray) for at, tray in enumerate(own, 1)]
    # Both together settle the widths, so that columns stay where they are when a plan comes in.
    every = [*waiting, *lines]
    columns = list(QUEUE_COLUMNS)
    if len(day.ovens) == 1:
        columns = [each for each in columns if each.title != "Oven"]
        every = [(*line[:4], *line[5:]) for line in every]
    head, rows = table(columns, every, width)
    return head, rows[: len(waiting)] if waiting else rows


def _planned(day: Day, tray: Tray, load: Load, times: _Times) -> tuple[str | Piece, ...]:
    late = day.finish_by_s is not None and times.end_s > day.finish_by_s
    return (
        str(tray.number),
        scent_words(tray),
        str(tray.tins),
        f"{tray.pan} {tray.pan_number}",
        load.oven,
        str(load.number),
        at_clock(day, times.begin_s),
        at_clock(day, times.bake_s),
        Piece(at_clock(day, times.end_s) + ("!" if late else ""), "warn" if late else ""),
    )


def _left(tray: Tray) -> tuple[str | Piece, ...]:
    """Return a tray that has left the day: it goes into no oven."""
    open_times = (*("-",) * 4, Piece("left", "quiet"))
    return (str(tray.number), scent_words(tray), str(tray.tins), tray.pan, *open_times)


def _waiting(number: int, tray: QueuedTray) -> tuple[str, ...]:
    names = tuple(dict.fromkeys(tray.scents))
    scent = (
        names[0]
        if len(names) == 1
        else ", ".join(f"{tray.scents.count(name)} {name}" for name in names)
    )
    return (str(number), scent, str(tray.tins), tray.pan or "-", *("-",) * 5)


def queue_title(day: Day, plan: Plan | Cannot | None, stale: bool) -> Row:
    """Say what the queue holds, whose order it is in, and whether a new plan is on its way."""
    whose = "in your own order" if day.keep_order and day.queue else "in the planner's order"
    parts: list[str | Piece] = [Piece("Queue", "head")]
    if isinstance(plan, Plan):
        count = len(whole_queue(day) or ()) if stale else 0
        parts.append(f"  {count_words(count or len(plan.trays), 'tray')} {whose}")
    if stale or plan is None:
        parts.append(Piece("  replanning" if plan is not None else "  planning", "quiet"))
    return row(*parts)


def orders_title(day: Day) -> Row:
    """Say what must be ready, and by when."""
    tins = count_words(day.tins_wanted, "tin")
    by = "" if day.finish_by_s is None else f" by {at_clock(day, day.finish_by_s)}"
    filled = sum(order.filled for order in day.orders)
    extra = f", {filled} of them filled already" if filled else ""
    return row(Piece("Orders", "head"), f"  {tins}{by}{extra}")


def plan_words(day: Day, plan: Plan, width: int) -> list[Row]:
    """Return the finish, how good it is, the latest start where it is known, and warnings."""
    tone = "warn" if is_late(day, plan) else "strong"
    rows = wrap_rows(finish_words(day, plan) + ". " + bound_words(day, plan), width, tone)
    rows += wrap_rows(start_words(day, plan), width) if plan.start_by_s is not None else []
    for warning in short_warnings(plan):
        rows += wrap_rows(f"! {warning}", width, "warn", "  ")
    return rows


def cannot_rows(cannot: Cannot, width: int) -> list[Row]:
    """Return why a day cannot be done, where its trays would be."""
    rows = [row(Piece("This day cannot be done:", "warn"))]
    for reason in cannot.reasons:
        rows += wrap_rows(f"- {reason}", width, "", "  ")
    return rows


def _trays_of(order: Order, plan: Plan) -> tuple[Tray, ...]:
    """Return the trays that an order's tins are on, without those that have left the day."""
    stay = {number for load in plan.loads for number in load.trays}
    return tuple(
        tray
        for tray in plan.trays
        if tray.number in stay and tray.recipe == order.recipe and order.scent in tray.scents
    )


def _times(plan: Plan) -> dict[int, _Times]:
    steps: dict[int, list[Step]] = {}
    for step in plan.steps:
        steps.setdefault(step.tray, []).append(step)
    return {
        tray: _Times(
            min([s.start_s for s in own if s.end_s > s.start_s] or [own[0].start_s]),
            next((step.start_s for step in own if step.step == "bake"), own[0].start_s),
            max(step.end_s for step in own),
        )
        for tray, own in steps.items()
    }
