"""Where one looks in Flow, and how each key turns one look into another. All pure."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from benchplan.model import Plan
from benchplan.views.lanes import Bar, Lane

ZOOMS = (5, 10, 15, 20, 30, 60, 90, 120, 180, 240, 300, 450, 600, 900, 1200, 1800, 3600)
PAGES = ("lanes", "limits", "balance")


@dataclass(frozen=True, slots=True)
class Look:
    """Where one looks: a lane and one of its bars, the seconds a cell stands for, and from when.

    ``zoom`` 0 shows the whole day. ``at_s`` is the moment that going from lane to lane keeps.
    ``page`` is one of ``PAGES``; ``part`` counts the pages of "limits", and ``room`` is what the
    cursor of "balance" is on (None: the day's own).
    """

    lane: int = 0
    bar: int = 0
    zoom: int = 0
    from_s: int = 0
    at_s: int = 0
    page: str = PAGES[0]
    part: int = 0
    room: int | None = None


def name_width(lanes: Sequence[Lane]) -> int:
    """Return how wide the names of the lanes are drawn, with the mark and a blank."""
    return min(14, max((len(lane.name) for lane in lanes), default=0)) + 3


def chart_width(lanes: Sequence[Lane], width: int) -> int:
    """Return how many cells the time axis has."""
    return max(1, width - name_width(lanes))


def seconds_a_cell(plan: Plan, look: Look, cells: int) -> int:
    """Return what one cell stands for: the look's own zoom, or what shows the whole day."""
    if look.zoom:
        return look.zoom
    return 5 * math.ceil(max(1, plan.finish_s) / cells / 5)


def zoomed(plan: Plan, lanes: Sequence[Lane], look: Look, by: float, cells: int) -> Look:
    """Return the look nearer (``by`` 1) or farther off (-1), the cursor's bar kept in sight."""
    now = seconds_a_cell(plan, look, cells)
    farthest = seconds_a_cell(plan, replace(look, zoom=0), cells)
    choice = [zoom for zoom in ZOOMS if zoom < farthest] + [farthest]
    at = min(range(len(choice)), key=lambda number: abs(choice[number] - now)) - int(by)
    zoom = choice[min(max(at, 0), len(choice) - 1)]
    if zoom >= farthest:
        return replace(look, zoom=0, from_s=0)
    bar = bar_at(lanes, look)
    middle = (bar.start_s + bar.end_s) // 2 if bar else look.from_s + now * cells // 2
    return in_sight(plan, lanes, replace(look, zoom=zoom, from_s=middle - zoom * cells // 2), cells)


def bar_at(lanes: Sequence[Lane], look: Look) -> Bar | None:
    """Return the bar that the cursor is on, if its lane has any."""
    if not 0 <= look.lane < len(lanes):
        return None
    bars = lanes[look.lane].bars
    return bars[min(look.bar, len(bars) - 1)] if bars else None


def at_time(lanes: Sequence[Lane], look: Look, moment: float) -> Look:
    """Return the look with its cursor on the lane's bar that is nearest to a moment."""
    bars = lanes[look.lane].bars if look.lane < len(lanes) else ()

    def away(number: int) -> tuple[float, int]:
        bar = bars[number]
        return (max(bar.start_s - moment, moment - bar.end_s + 1, 0), number)

    bar = min(range(len(bars)), key=away) if bars else 0
    return replace(look, bar=bar, at_s=round(moment))


def kept_within(plan: Plan, lanes: Sequence[Lane], look: Look, cells: int) -> Look:
    """Return the look with its cursor on a bar that is there, and that bar in sight."""
    lane = min(max(look.lane, 0), max(0, len(lanes) - 1))
    count = len(lanes[lane].bars) if lanes else 0
    bar = min(max(look.bar, 0), max(0, count - 1))
    return in_sight(plan, lanes, replace(look, lane=lane, bar=bar), cells)


def moved(plan: Plan, lanes: Sequence[Lane], look: Look, by: float, cells: int) -> Look:
    """Return the look with the cursor on an earlier or later bar of its lane."""
    count = len(lanes[look.lane].bars) if look.lane < len(lanes) else 0
    found = replace(look, bar=min(max(look.bar + int(by), 0), max(0, count - 1)))
    bar = bar_at(lanes, found)
    return in_sight(plan, lanes, replace(found, at_s=bar.start_s if bar else look.at_s), cells)


def other_lane(plan: Plan, lanes: Sequence[Lane], look: Look, by: float, cells: int) -> Look:
    """Return the look with the cursor in another lane, on what happens there at the same time."""
    lane = min(max(look.lane + int(by), 0), max(0, len(lanes) - 1))
    return in_sight(plan, lanes, at_time(lanes, replace(look, lane=lane), look.at_s), cells)


def scrolled(plan: Plan, lanes: Sequence[Lane], look: Look, by: float, cells: int) -> Look:
    """Return the look moved by a share of the window; the cursor goes to what is then in sight."""
    span = seconds_a_cell(plan, look, cells) * cells
    begin = _from(plan, look.from_s + round(by * span), span)
    return at_time(lanes, replace(look, from_s=begin), begin + span / 2)


def to_moment(plan: Plan, lanes: Sequence[Lane], look: Look, moment: float, cells: int) -> Look:
    """Return the look with its cursor on what the lane holds at a moment."""
    return in_sight(plan, lanes, at_time(lanes, look, moment), cells)


def in_sight(plan: Plan, lanes: Sequence[Lane], look: Look, cells: int) -> Look:
    """Return the look with its window moved, if need be, to where the cursor's bar begins."""
    span = seconds_a_cell(plan, look, cells) * cells
    bar, begin = bar_at(lanes, look), look.from_s
    if bar and not begin <= bar.start_s < begin + span * 0.95:
        begin = bar.start_s - span // 3
    return replace(look, from_s=_from(plan, begin, span))


def _from(plan: Plan, begin: int, span: int) -> int:
    return max(0, min(begin, plan.finish_s - span * 9 // 10)) if plan.finish_s > span else 0


Change = Callable[[Plan, Sequence[Lane], Look, float, int], Look]
"""What a key does: from the plan, its lanes, the look, how far, and the cells of the time axis."""
