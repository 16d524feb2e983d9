"""The Flow screen: the day as lanes by clock time, what a bar is in words, what limits the day.

Where one looks is a ``Look``; keys turn one look into another, and nothing here keeps any state.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchplan import clock
from benchplan.model import Day, Plan
from benchplan.views.lanes import KINDS, Bar, Lane, Level, most_level
from benchplan.views.rows import (
    BLANK,
    Column,
    Piece,
    Row,
    clip,
    joined,
    left,
    row,
    table,
    wrap_rows,
)
from benchplan.views.words import at_clock, bound_words, finish_words, is_late

ZOOMS = (5, 10, 15, 20, 30, 60, 90, 120, 180, 240, 300, 450, 600, 900, 1200, 1800, 3600)
TICK_MINUTES = (1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720)
LETTERS = "f fill, s set, l load, u unload, r rest, t transfer, p pack, x change of scent"
LEAST_WORDS = 7  # rows below the lanes that are never given up


@dataclass(frozen=True, slots=True)
class Look:
    """Where one looks: a lane and one of its bars, the seconds a cell stands for, and from when.

    ``zoom`` 0 shows the whole day. ``at_s`` is the moment that going from lane to lane keeps.
    ``limits`` shows what limits the day instead of the bar.
    """

    lane: int = 0
    bar: int = 0
    zoom: int = 0
    from_s: int = 0
    at_s: int = 0
    limits: bool = False


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


def zoomed(plan: Plan, lanes: Sequence[Lane], look: Look, by: int, cells: int) -> Look:
    """Return the look nearer (``by`` 1) or farther off (-1), the cursor's bar kept in sight."""
    now = seconds_a_cell(plan, look, cells)
    farthest = seconds_a_cell(plan, replace(look, zoom=0), cells)
    choice = [zoom for zoom in ZOOMS if zoom < farthest] + [farthest]
    at = min(range(len(choice)), key=lambda number: abs(choice[number] - now)) - by
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


def moved(plan: Plan, lanes: Sequence[Lane], look: Look, by: int, cells: int) -> Look:
    """Return the look with the cursor on an earlier or later bar of its lane."""
    count = len(lanes[look.lane].bars) if look.lane < len(lanes) else 0
    found = replace(look, bar=min(max(look.bar + by, 0), max(0, count - 1)))
    bar = bar_at(lanes, found)
    return in_sight(plan, lanes, replace(found, at_s=bar.start_s if bar else look.at_s), cells)


def other_lane(plan: Plan, lanes: Sequence[Lane], look: Look, by: int, cells: int) -> Look:
    """Return the look with the cursor in another lane, on what happens there at the same time."""
    lane = min(max(look.lane + by, 0), max(0, len(lanes) - 1))
    return in_sight(plan, lanes, at_time(lanes, replace(look, lane=lane), look.at_s), cells)


def scrolled(plan: Plan, lanes: Sequence[Lane], look: Look, by: float, cells: int) -> Look:
    """Return the look moved by a share of the window; the cursor goes to what is then in sight."""
    span = seconds_a_cell(plan, look, cells) * cells
    begin = _from(plan, look.from_s + round(by * span), span)
    return at_time(lanes, replace(look, from_s=begin), begin + span / 2)


def in_sight(plan: Plan, lanes: Sequence[Lane], look: Look, cells: int) -> Look:
    """Return the look with its window moved, if need be, to where the cursor's bar begins."""
    span = seconds_a_cell(plan, look, cells) * cells
    bar, begin = bar_at(lanes, look), look.from_s
    if bar and not begin <= bar.start_s < begin + span * 0.95:
        begin = bar.start_s - span // 3
    return replace(look, from_s=_from(plan, begin, span))


def _from(plan: Plan, begin: int, span: int) -> int:
    return max(0, min(begin, plan.finish_s - span * 9 // 10)) if plan.finish_s > span else 0


def page(
    day: Day,
    plan: Plan,
    lanes: Sequence[Lane],
    levels: Sequence[Level],
    look: Look,
    now_s: int | None,
    width: int,
    height: int,
    stale: bool = False,
) -> list[Row]:
    """Return the whole screen; ``now_s`` is given during a run."""
    cells = chart_width(lanes, width)
    scale = seconds_a_cell(plan, look, cells)
    words = _words(day, plan, lanes, look, width, height)
    room = max(3, height - 4 - min(len(words), max(LEAST_WORDS, height // 2)))
    mat = sum(lane.kind == "mat" for lane in lanes)
    mat_rows = min(6, max(2, room - (len(lanes) - mat))) if mat else 0
    drawn: list[Row] = []
    at = 0
    for number, lane in enumerate(lanes):
        if number == look.lane:
            at = len(drawn)
        if lane.kind == "mat":
            drawn += _mat(lanes, levels, look, number, scale, cells, mat_rows)
        else:
            drawn.append(_lane(lanes, look, number, scale, cells, now_s))
    if len(drawn) > room:
        top = min(max(0, at - room // 2), len(drawn) - room)
        drawn = drawn[top : top + room]
    rows = [_title(day, plan, look, scale * cells, now_s, width, stale)]
    rows += axis(day, look, bar_at(lanes, look), scale, cells, now_s, name_width(lanes))
    rows += drawn
    return [clip(line, width) for line in [*rows, BLANK, *words][:height]]


def _title(
    day: Day, plan: Plan, look: Look, span: int, now_s: int | None, width: int, stale: bool
) -> Row:
    parts: list[str | Piece] = [Piece("Flow", "head")]
    parts.append(f"  {at_clock(day, 0)} to {at_clock(day, plan.finish_s)}")
    if look.zoom:
        end = min(plan.finish_s, look.from_s + span)
        parts.append(f", here {at_clock(day, look.from_s)} to {at_clock(day, end)}")
    if now_s is not None:
        parts.append(Piece(f"  now {at_clock(day, now_s)} ▼", "strong"))
    if stale:
        parts.append(Piece("  replanning", "warn"))
    return clip(row(*parts), width)


def axis(
    day: Day,
    look: Look,
    chosen: Bar | None,
    scale: int,
    cells: int,
    now_s: int | None,
    before: int,
) -> list[Row]:
    """Return the clock times and the line with their ticks.

    On the line ``═`` is the stretch of the cursor's bar, so that it needs no colour, and ``▼`` is
    now.
    """
    from_s = look.from_s
    sample = max(len(at_clock(day, from_s)), len(at_clock(day, from_s + 12 * 3600)))
    step = next(
        (m * 60 for m in TICK_MINUTES if m * 60 / scale >= sample + 2), TICK_MINUTES[-1] * 60
    )
    local = clock.at(day.start, from_s)
    into = (local.hour * 3600 + local.minute * 60 + local.second) % step
    labels, ticks, tones = [" "] * cells, ["─"] * cells, ["quiet"] * cells
    moment = from_s + (step - into) % step
    while moment < from_s + scale * cells:
        at = (moment - from_s) // scale
        text = at_clock(day, moment)
        if at + len(text) <= cells:
            labels[at : at + len(text)] = text
            ticks[at] = "┴"
        moment += step
    if chosen is not None:
        for at in range(*span_of(chosen, from_s, scale, cells)):
            ticks[at], tones[at] = "═", "strong"
    if now_s is not None and 0 <= (at := (now_s - from_s) // scale) < cells:
        ticks[at], tones[at] = "▼", "strong"
    line = tuple(Piece(tick, tone) for tick, tone in zip(ticks, tones, strict=True))
    indent = " " * before
    return [row(indent, Piece("".join(labels), "quiet")), joined((Piece(indent), *line))]


def span_of(bar: Bar, from_s: int, scale: int, cells: int) -> tuple[int, int]:
    """Return the cells that a bar reaches over, from and up to."""
    begin = min(cells, max(0, (bar.start_s - from_s) // scale))
    return begin, max(begin, min(cells, -((from_s - bar.end_s) // scale)))


def _name(lanes: Sequence[Lane], look: Look, number: int, text: str) -> Piece:
    here = look.lane == number
    mark = "> " if here and text else "  "
    return Piece(left(mark + text, name_width(lanes) - 1) + " ", "strong" if here else "")


def _lane(
    lanes: Sequence[Lane], look: Look, number: int, scale: int, cells: int, now_s: int | None
) -> Row:
    lane, chosen = lanes[number], None
    if number == look.lane:
        chosen = bar_at(lanes, look)
    owner = owners(lane.bars, look.from_s, scale, cells)
    pieces: list[Piece] = [_name(lanes, look, number, lane.name)]
    now_cell = None if now_s is None else (now_s - look.from_s) // scale
    at = 0
    while at < cells:
        end = at + 1
        while end < cells and owner[end] is owner[at]:
            end += 1
        bar = owner[at]
        if bar is not None:
            tone = "pick" if bar is chosen else KINDS[bar.kind][2]
            pieces.append(Piece(bar_text(bar, end - at), tone))
        elif now_cell is not None and at <= now_cell < end:
            pieces.append(Piece(" " * (now_cell - at)))
            pieces.append(Piece("│", "strong"))
            pieces.append(Piece(" " * (end - now_cell - 1)))
        else:
            pieces.append(Piece(" " * (end - at)))
        at = end
    return tuple(piece for piece in pieces if piece.text)


def owners(bars: Sequence[Bar], from_s: int, scale: int, cells: int) -> list[Bar | None]:
    """Return which bar each cell shows: of several within it, the one with the most time there."""
    found: list[Bar | None] = [None] * cells
    held = [0.0] * cells
    for bar in bars:
        first = max(0, (bar.start_s - from_s) // scale)
        for cell in range(first, cells):
            begin = from_s + cell * scale
            if begin >= bar.end_s:
                break
            time = min(bar.end_s, begin + scale) - max(bar.start_s, begin)
            if time > held[cell]:
                held[cell], found[cell] = time, bar
    return found


def bar_text(bar: Bar, length: int) -> str:
    """Return a bar as exactly ``length`` characters that say as much as there is room for."""
    letter, word, _, body = KINDS[bar.kind]
    numbers = "+".join(str(tray) for tray in bar.trays)
    if length == 1:
        return letter
    for text in (f"│{word} {numbers}", f"│{letter}{numbers}", f"{letter}{numbers}", letter):
        text = text.rstrip()
        if len(text) + (length > 6) <= length:
            return text + body * (length - len(text))
    return letter + body * (length - 1)


def _mat(
    lanes: Sequence[Lane],
    levels: Sequence[Level],
    look: Look,
    number: int,
    scale: int,
    cells: int,
    high: int,
) -> list[Row]:
    """Draw how full the mat is over time, empty at the bottom; ``░`` is less than a whole row."""
    found = tuple(levels)
    each = [
        most_level(found, look.from_s + cell * scale, look.from_s + (cell + 1) * scale)
        for cell in range(cells)
    ]
    names = ["mat", *[""] * (high - 2), "  empty"] if high > 1 else ["mat"]
    rows: list[Row] = []
    for line in range(high):
        least, most = (high - line - 1) / high, (high - line) / high
        text = "".join(
            "▒" if level.share >= most - 0.01 else "░" if level.share > least + 0.01 else " "
            for level in each
        )
        rows.append((_name(lanes, look, number, names[line]), Piece(text, "cool")))
    return rows


def _words(
    day: Day, plan: Plan, lanes: Sequence[Lane], look: Look, width: int, height: int
) -> list[Row]:
    """Say what the cursor is on, the finish and how good it is, what limits it, and warnings.

    The table of what limits the day comes in its place when asked for, or below it in a window
    that is high enough for both.
    """
    limits = _limits(day, plan, width)
    if look.limits:
        return limits
    bar = bar_at(lanes, look)
    rows = wrap_rows(bar.words + "." if bar else "Nothing happens in this lane.", width, "strong")
    tone = "late" if is_late(day, plan) else ""
    rows += wrap_rows(f"{finish_words(day, plan)}. {bound_words(day, plan)}", width, tone)
    warnings: list[Row] = []
    for warning in plan.warnings:
        warnings += wrap_rows(f"! {warning}", width, "warn", "  ")
    letters = wrap_rows(LETTERS, width, "quiet")
    if height >= 12 + len(lanes) + len(rows) + len(warnings) + len(limits):
        return [*rows, *warnings, *letters, BLANK, *limits]
    return [*rows, *wrap_rows(plan.limits.why, width), *warnings, *letters]


def _limits(day: Day, plan: Plan, width: int) -> list[Row]:
    """Say how busy each thing is, the pace that it alone would allow, and what one more buys."""
    lines = [
        (
            ("> " if each.what == plan.limits.limiting else "  ") + each.what,
            f"{each.busy:.0%}",
            clock.show_span(each.s_per_tray) if each.s_per_tray else "-",
            f"{each.tins_per_hour:.0f}" if each.tins_per_hour < 1e6 else "any",
        )
        for each in plan.limits.resources
    ]
    columns = (
        Column("  What", 6, spare=True),
        Column("Busy", right=True),
        Column("A tray every", right=True),
        Column("Tins an hour", right=True),
    )
    head, found = table(columns, lines, width)
    rows = [head, *found, *wrap_rows(plan.limits.why, width)]
    for more in plan.one_more:
        name = f"{more.what} {more.kind}" if more.kind else more.what
        saved = plan.finish_s - more.finish_s
        gain = f"{clock.show_span(saved)} earlier" if saved > 0 else "no earlier"
        rows += wrap_rows(f"One more {name}: finish {at_clock(day, more.finish_s)}, {gain}.", width)
    return rows
