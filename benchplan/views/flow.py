"""The Flow screen: the day as lanes by clock time, what a bar is and why it starts when it does."""

from __future__ import annotations

from collections.abc import Sequence

from benchplan.model import Day, Plan
from benchplan.model.lanes import round_moments
from benchplan.model.waits import why_bar
from benchplan.model.words import hours_told_twice
from benchplan.views.lanes import KINDS, Bar, Lane, Level, most_level
from benchplan.views.limits import busy
from benchplan.views.look import Look, bar_at, chart_width, name_width, seconds_a_cell
from benchplan.views.rows import (
    BLANK,
    Piece,
    Row,
    clip,
    joined,
    left,
    row,
    wrap_rows,
)
from benchplan.views.words import at_clock, bound_words, finish_words, is_late, short_warnings

LETTERS = "f fill, s set, l load, u unload, t transfer, p pack, x change of scent"
LEAST_WORDS = 7  # rows that the words which matter most may take from the lanes


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
    planned_s: int = 0,
) -> list[Row]:
    """Return the screen of lanes.

    ``now_s`` is given during a run, and ``planned_s`` is the second of it that the plan was made
    at: what was still to come then starts no sooner.
    """
    cells = chart_width(lanes, width)
    scale = seconds_a_cell(plan, look, cells)
    parts = _words(day, plan, lanes, look, planned_s, width, height)
    words, blank = _fitting(parts, lanes, height)
    cut_off = len(words) < sum(map(len, parts))
    room = height - 3 - len(words) - len(blank)
    drawn = _lanes(lanes, levels, look, now_s, scale, cells, room)
    rows = [_title(day, plan, look, scale * cells, now_s, width, stale, cut_off)]
    rows += axis(day, look, bar_at(lanes, look), scale, cells, now_s, name_width(lanes))
    return [clip(line, width) for line in [*rows, *drawn, *blank, *words][:height]]


def _fitting(
    parts: Sequence[list[Row]], lanes: Sequence[Lane], height: int
) -> tuple[list[Row], list[Row]]:
    """Return the words that the lanes leave room for, no sentence cut, and a blank row if any.

    The bar, why it starts then, and the finish may take a few rows from the lanes.
    """
    needed = 3 + len(lanes) + sum(lane.kind == "mat" for lane in lanes)
    room = max(height - needed, min(LEAST_WORDS, sum(map(len, parts[:3]))))
    words: list[Row] = []
    for part in parts:
        if words and len(words) + len(part) > room:
            break
        words += part
    blank = [BLANK] if needed + 1 + len(words) <= height else []
    return words, blank


def _lanes(
    lanes: Sequence[Lane],
    levels: Sequence[Level],
    look: Look,
    now_s: int | None,
    scale: int,
    cells: int,
    room: int,
) -> list[Row]:
    """Return the rows of the lanes, those around the cursor's where there is not room for all."""
    mat = sum(lane.kind == "mat" for lane in lanes)
    mat_rows = min(6, max(2, room - (len(lanes) - mat)))
    drawn: list[Row] = []
    at = 0
    for number, lane in enumerate(lanes):
        if number == look.lane:
            at = len(drawn)
        if lane.kind == "mat":
            drawn += _mat(lanes, levels, look, number, scale, cells, mat_rows)
        else:
            drawn.append(_lane(lanes, look, number, scale, cells, now_s))
    if len(drawn) <= room or room < 3:
        return drawn[:room] if room > 0 else []
    top = min(max(0, at - room // 2), len(drawn) - room)
    below = len(drawn) - top - room
    shown = drawn[top : top + room]
    if top:
        shown[0] = row(Piece(f"  ▲ {top + 1} more above", "quiet"))
    if below:
        shown[-1] = row(Piece(f"  ▼ {below + 1} more below", "quiet"))
    return shown


def _title(
    day: Day,
    plan: Plan,
    look: Look,
    span: int,
    now_s: int | None,
    width: int,
    stale: bool,
    cut_off: bool,
) -> Row:
    parts: list[str | Piece] = [Piece("Flow", "head")]
    parts.append(f"  {at_clock(day, 0)} to {at_clock(day, plan.finish_s)}")
    if look.zoom:
        end = min(plan.finish_s, look.from_s + span)
        parts.append(f", here {at_clock(day, look.from_s)} to {at_clock(day, end)}")
    if now_s is not None:
        parts.append(Piece(f"  now {at_clock(day, now_s)} ▼", "strong"))
    if stale:
        parts.append(Piece("  replanning", "quiet"))
    if cut_off and short_warnings(plan):
        parts.append(Piece("  ! Orders has warnings", "warn"))
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
    sample = max(len(at_clock(day, from_s + at)) for at in (0, 12 * 3600, *hours_told_twice(day)))
    labels, ticks, tones = [" "] * cells, ["─"] * cells, ["quiet"] * cells
    for moment in round_moments(day, from_s, from_s + scale * cells, scale * (sample + 2)):
        at = (moment - from_s) // scale
        text = at_clock(day, moment)
        if at + len(text) <= cells:
            labels[at : at + len(text)] = text
            ticks[at] = "┴"
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
            pieces.append(Piece("║", "strong"))
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
    for text in (f"│{word} {numbers}", f"│{letter}{numbers}", f"{letter}{numbers}", letter):
        text = text.rstrip()
        if text and len(text) + (length > 6) <= length:
            return text + body * (length - len(text))
    return body * length


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
        here = number if line == 0 else -1  # the mark of the cursor stands in one row only
        rows.append((_name(lanes, look, here, names[line]), Piece(text, "cool")))
    return rows


def _words(
    day: Day,
    plan: Plan,
    lanes: Sequence[Lane],
    look: Look,
    planned_s: int,
    width: int,
    height: int,
) -> list[list[Row]]:
    """Say what the cursor is on and why it starts then, the finish and how good it is, and what
    limits it: what matters most first.

    In a window that is high enough the table of how busy each thing is stands below.
    """
    bar = bar_at(lanes, look)
    said, why = "Nothing happens in this lane.", ""
    if bar:
        said = bar.words + "."
        why = why_bar(day, plan, bar, lanes[look.lane].kind, planned_s)
    tone = "warn" if is_late(day, plan) else ""
    parts = [
        wrap_rows(said, width, "strong"),
        wrap_rows(why, width),
        wrap_rows(f"{finish_words(day, plan)}. {bound_words(day, plan)}", width, tone),
        wrap_rows(LETTERS, width, "quiet"),
        *(wrap_rows(f"! {warning}", width, "warn", "  ") for warning in short_warnings(plan)),
    ]
    limits = busy(plan, width)
    if height >= 12 + len(lanes) + sum(map(len, parts)) + len(limits):
        return [*parts, [BLANK, *limits]]
    return parts
