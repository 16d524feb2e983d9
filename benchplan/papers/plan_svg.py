"""A plan as one picture to print: lanes by clock time, for the wall beside the bench.

One unit is one millimetre. A day that is too long for one line goes on in the next row, as a text
does; a bar that goes on there is open at its side. Black on white and greys, and what a bar is
stands in it as a word or letter: what has no room is left out, for the printed plan has it all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

from benchplan import clock
from benchplan.model import Day, Plan
from benchplan.model.cells import cut
from benchplan.model.lanes import NAMES, Bar, Lane, lanes, levels, round_moments
from benchplan.model.words import (
    at_clock,
    bound_words,
    count_words,
    finish_words,
    hours_told_twice,
    list_words,
    plan_warnings,
)
from benchplan.papers import svg
from benchplan.papers.page import date_words, day_words

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    "<!-- drawn by benchplan plan; one unit is one millimetre -->\n"
)
"""What every picture of a day begins with, and nothing else does: so it is known again."""

CAUTION = (
    "Read the cautions at the end of the printed plan (benchplan plan FILE) before an oven goes "
    "on. Every cooling time is a forecast: check before you touch."
)

# A page as wide as A4 and Letter laid sideways both take, and A3 and Tabloid upright; and how deep
# each pair may be.
_WIDE = 279.0
_DEPTHS = (210.0, 420.0)
_MARGIN, _NAMES = 8.0, 26.0
_CHART = _WIDE - 2 * _MARGIN - _NAMES

# Millimetres a minute: more says nothing more; bars of minutes with their words; the least.
_MOST, _GOOD, _LEAST = 4.0, 2.2, 1.4

_TITLE, _SMALL, _TINY = 5.0, 2.6, 2.1  # letters, mm high
_AXIS, _BETWEEN = 5.5, 3.5  # mm down: the clock over a row, the white below it
_LANE, _STAND, _MAT, _APART = 6.2, 4.6, 11.0, 0.8  # mm down: lanes by kind, the white in each
_KEY_WIDE, _KEY_PITCH = 6.0, 5.2  # of the boxes that say what letters mean

_AWAY, _FAINT = "#e6e6e6", "#b0b0b0"
_FILLS = {"bake": "#c4c4c4", "preheat": "#ededed", "break": _AWAY}
_DASHES = {"preheat": "1.2 0.6"}
_KEY_WORDS = {"change_scent": "change of scent before a tray"}


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of time: its number, and from when to when it goes, ``per_s`` mm a second."""

    number: int
    begin: int
    end: int
    per_s: float

    def x(self, moment: float) -> float:
        """Return where a moment is, or the end of the row that is nearest to it."""
        return (min(max(moment, self.begin), self.end) - self.begin) * self.per_s


def plan_svg(day: Day, plan: Plan) -> str:
    """Return the whole plan as the text of an SVG file."""
    found = lanes(day, plan)
    room = _WIDE - 2 * _MARGIN
    words = ET.Element("g", id="words")
    top = svg.write(words, [day.name], _MARGIN, _MARGIN, room, _TITLE)
    top = svg.write(words, _said(day, plan), _MARGIN, top + 0.5, room, _SMALL) + 1.5
    key = ET.Element("g", id="key")
    key_deep = _draw_key(key, day, found, room)
    foot_deep = svg.LINE * _SMALL + _MARGIN

    deep = _AXIS + sum(map(_lane_deep, found)) + _BETWEEN
    rows = _rows(plan.finish_s, deep, top + key_deep + foot_deep)
    key_top = top + deep * len(rows)
    page_deep = math.ceil(key_top + key_deep + foot_deep)
    svg.write(words, [_foot(page_deep)], _MARGIN, key_top + key_deep, room, _SMALL)

    page = svg.page(_WIDE, page_deep, f"{day.name}: {finish_words(day, plan)}")
    page.append(words)
    for row in rows:
        group = svg.group(page, f"row_{row.number}", _MARGIN + _NAMES, top)
        _draw_row(group, day, plan, found, row)
        top += deep
    key.set("transform", f"translate({svg.mm(_MARGIN)} {svg.mm(key_top)})")
    page.append(key)
    ET.indent(page)
    return HEAD + ET.tostring(page, encoding="unicode") + "\n"


def _rows(finish_s: int, deep: float, taken: float) -> list[_Row]:
    """Return rows enough to read the bars in, on A4 and Letter if that can be, else on A3."""

    def span(count: int) -> int:
        return 300 * math.ceil(max(1, finish_s) / count / 300)

    def scale(count: int) -> float:
        return _CHART * 60 / span(count)

    def enough() -> int:
        for page_deep in _DEPTHS:
            most = int((page_deep - taken) / deep)
            for count in range(1, most + 1):
                if scale(count) >= _GOOD:
                    return count
            if most > 0 and scale(most) >= _LEAST:
                return most
        count = 1
        while scale(count) < _LEAST:
            count += 1
        return count

    length = span(enough())
    per_s = min(_CHART / length, _MOST / 60)
    begins = range(0, max(1, finish_s), length)
    return [
        _Row(number, begin, min(begin + length, finish_s), per_s)
        for number, begin in enumerate(begins, start=1)
    ]


# --- what is said ---------------------------------------------------------------------------------


def _said(day: Day, plan: Plan) -> list[str]:
    what = f"{count_words(day.tins_wanted, 'tin')} on {count_words(len(plan.trays), 'tray')}"
    return [
        f"{date_words(day)}, from {at_clock(day, 0)}. {finish_words(day, plan)}. "
        f"{bound_words(day, plan)}",
        f"{what}: {day_words(day)}.",
        *(f"! {warning}" for warning in plan_warnings(day, plan)),
        CAUTION,
    ]


def _foot(page_deep: float) -> str:
    fit_on = svg.papers(_WIDE, page_deep)
    if not fit_on:
        return (
            "This page is larger than A3 and Tabloid: print it on larger paper, or on several "
            "sheets put together."
        )
    way = "landscape" if page_deep <= _DEPTHS[0] else "upright"
    return f"This page fits on {list_words(fit_on[:2])}, {way}."


def _draw_key(key: ET.Element, day: Day, found: Sequence[Lane], room: float) -> float:
    """Draw what the letters and greys mean, and return how deep that is."""
    kinds = {bar.kind for lane in found if lane.kind not in ("stand", "mat") for bar in lane.bars}
    x = y = 0.0
    for kind in (name for name in NAMES if name in kinds):
        letter, word = NAMES[kind]
        word = _KEY_WORDS.get(kind, word)
        wide = _KEY_WIDE + 1.2 + svg.width(word, _SMALL)
        if x and x + wide > room:
            x, y = 0.0, y + _KEY_PITCH
        svg.box(key, x, y, _KEY_WIDE, 4.0, **_look(kind))
        svg.text(key, letter, x + _KEY_WIDE / 2, y + 2.9, _SMALL)
        svg.text(key, word, x + _KEY_WIDE + 1.2, y + 2.9, _SMALL, "start")
        x += wide + 5.0
    said = ["Numbers: trays. Stand: a tray from the oven until its pan is empty."]
    if not day.on_pan:
        said.append("Mat: how full it is, with the number of tins and their trays.")
    if day.nobody():
        said.append("Grey from top to bottom: nobody is here, and no oven is hot.")
    said.append("A bar open at its side goes on in the next row. Bold line: the finish.")
    return svg.write(key, [" ".join(said)], 0.0, y + _KEY_PITCH, room, _SMALL) + 1.0


# --- what is drawn --------------------------------------------------------------------------------


def _lane_deep(lane: Lane) -> float:
    return {"mat": _MAT, "stand": _STAND}.get(lane.kind, _LANE)


def _draw_row(group: ET.Element, day: Day, plan: Plan, found: Sequence[Lane], row: _Row) -> None:
    bottom = _AXIS + sum(map(_lane_deep, found))
    for begin, end in day.nobody():
        x, x_end = row.x(begin), row.x(end)
        if x < x_end:
            svg.box(group, x, _AXIS, x_end - x, bottom - _AXIS, stroke="none", fill=_AWAY)
    _draw_axis(group, day, row, bottom)
    if row.end == plan.finish_s:
        svg.line(group, f"M{svg.mm(row.x(row.end))} {svg.mm(_AXIS)}V{svg.mm(bottom)}", 0.6)
    y = _AXIS
    for number, lane in enumerate(found, start=1):
        drawn = svg.group(group, f"row_{row.number}_lane_{number}", 0.0, y)
        name = cut(svg.plain(lane.name), int(_NAMES / (_SMALL * svg.LETTER)) - 1)
        svg.text(drawn, name, -_NAMES, min(_LANE, _lane_deep(lane)) / 2 + 0.5, _SMALL, "start")
        if lane.kind == "mat":
            _draw_mat(drawn, day, plan, lane, row)
        else:
            _draw_lane(drawn, lane, row)
        y += _lane_deep(lane)


def _draw_axis(group: ET.Element, day: Day, row: _Row, bottom: float) -> None:
    """Draw the line of the clock, a tick and a faint line down for each of its times."""
    hours = (0, 12 * 3600, *hours_told_twice(day))
    wide = max(svg.width(at_clock(day, hour), _SMALL) for hour in hours) + 2.5
    for moment in round_moments(day, row.begin, row.end, wide / row.per_s):
        x = row.x(moment)
        faint = {"stroke": _FAINT}
        svg.line(group, f"M{svg.mm(x)} {svg.mm(_AXIS)}V{svg.mm(bottom)}", 0.12, **faint)
        svg.line(group, f"M{svg.mm(x)} {svg.mm(_AXIS - 4)}V{svg.mm(_AXIS)}")
        words = at_clock(day, moment)
        if x + 0.7 + svg.width(words, _SMALL) <= _CHART:
            svg.text(group, words, x + 0.7, _AXIS - 1.6, _SMALL, "start")
    svg.line(group, f"M0 {svg.mm(_AXIS)}H{svg.mm(row.x(row.end))}", 0.25)
    date = clock.at(day.start, row.begin)
    if date.date() != day.start.date():
        svg.text(group, f"{date:%a} {date.day} {date:%b}", -_NAMES, _AXIS - 1.6, _SMALL, "start")


def _look(kind: str) -> dict[str, str]:
    look = {"fill": _FILLS.get(kind, "white"), "stroke-width": "0.2"}
    return {**look, "stroke-dasharray": _DASHES[kind]} if kind in _DASHES else look


def _draw_lane(drawn: ET.Element, lane: Lane, row: _Row) -> None:
    """Draw a lane's bars in this row, each with as much of its words as there is room for.

    What has no room in its bar stands beside it if nothing else does, together with what has none
    in the bars right before.
    """
    deep = _lane_deep(lane) - _APART
    here = [bar for bar in lane.bars if bar.start_s < row.end and bar.end_s > row.begin]
    waiting: list[str] = []
    limits = [row.x(bar.start_s) for bar in here[1:]] + [_CHART]
    for bar, limit in zip(here, limits, strict=False):
        x, end = row.x(bar.start_s), row.x(bar.end_s)
        free = limit - end
        _draw_bar(drawn, bar, row, deep)
        if _write_inside(drawn, bar, x, end - x, deep):
            waiting = []
            continue
        waiting.append("".join(_short(bar)))
        for words in (" ".join(waiting), waiting[-1]):
            if svg.width(words, _TINY) + 1.4 <= free:
                svg.text(drawn, words, end + 0.6, deep / 2 + 0.8, _TINY, "start")
                break
        if free > 0.1:
            waiting = []


def _draw_bar(drawn: ET.Element, bar: Bar, row: _Row, deep: float) -> None:
    x, end = row.x(bar.start_s), row.x(bar.end_s)
    look = _look(bar.kind)
    before, after = bar.start_s < row.begin, bar.end_s > row.end
    body = {**look, "stroke": "none"} if before or after else look
    box = svg.box(drawn, x, 0.0, end - x, deep, **body)
    ET.SubElement(box, "title").text = svg.plain(bar.words)
    if before or after:
        sides = f"M{svg.mm(x)} 0H{svg.mm(end)}M{svg.mm(x)} {svg.mm(deep)}H{svg.mm(end)}"
        sides += "" if before else f"M{svg.mm(x)} 0V{svg.mm(deep)}"
        sides += "" if after else f"M{svg.mm(end)} 0V{svg.mm(deep)}"
        dashes = {key: value for key, value in look.items() if key == "stroke-dasharray"}
        svg.line(drawn, sides, 0.2, **dashes)


def _write_inside(drawn: ET.Element, bar: Bar, x: float, wide: float, deep: float) -> bool:
    """Write what a bar is into it, in one line or two; say whether there was room."""
    letter, numbers = _short(bar)
    word = "tray" if bar.kind == "stand" else NAMES[bar.kind][1]
    middle = x + wide / 2
    short = letter + numbers
    said = ((f"{word} {numbers}".strip(), _SMALL), (short, _SMALL), (short, _TINY))
    for words, high in said:
        if svg.width(words, high) + 0.3 * high <= wide:
            svg.text(drawn, words, middle, deep / 2 + 0.9, high)
            return True
    if letter and numbers and max(svg.width(each, _TINY) for each in (letter, numbers)) <= wide:
        svg.text(drawn, letter, middle, 2.2, _TINY)
        svg.text(drawn, numbers, middle, deep - 0.55, _TINY)
        return True
    return False


def _short(bar: Bar) -> tuple[str, str]:
    """Return the letter of a bar and the numbers of its trays: "b", "3+4", or "3-8" for many."""
    trays = bar.trays
    if len(trays) > 2 and trays == tuple(range(trays[0], trays[-1] + 1)):
        return NAMES[bar.kind][0], f"{trays[0]}-{trays[-1]}"
    return NAMES[bar.kind][0], "+".join(map(str, trays))


def _draw_mat(drawn: ET.Element, day: Day, plan: Plan, lane: Lane, row: _Row) -> None:
    """Draw how full the mat is, and in it how many tins there are and of which trays."""
    top, base = _APART, _MAT - _APART
    end = svg.mm(row.x(row.end))
    svg.text(drawn, "full", -1.0, top + 1.4, _TINY, "end")
    svg.line(drawn, f"M0 {svg.mm(top)}H{end}", 0.15, **{"stroke-dasharray": "1 1"})
    path, written = f"M0 {svg.mm(base)}", []
    for begin_s, end_s, tins, share in _stretches(day, plan):
        x, wide = row.x(begin_s), row.x(end_s) - row.x(begin_s)
        if not wide:
            continue
        high = (base - top) * min(1.0, max(0.0, share))
        path += f"V{svg.mm(base - high)}H{svg.mm(x + wide)}"
        here = [bar for bar in lane.bars if bar.start_s <= begin_s < bar.end_s]
        trays = "+".join(map(str, sorted(number for bar in here for number in bar.trays)))
        count = count_words(tins, "tin")
        for words in (f"{count}: {trays}", count, str(tins)) if tins else ():
            if svg.width(words, _TINY) + 1.0 <= wide:
                up = 0.9 if high > 3.6 else high + 0.9  # in the grey, or above a thin stretch of it
                written.append((words, x + wide / 2, base - up))
                break
    svg.line(drawn, f"{path}V{svg.mm(base)}Z", fill="#dcdcdc")
    for words, x, y in written:
        svg.text(drawn, words, x, y, _TINY)


def _stretches(day: Day, plan: Plan) -> Iterator[tuple[int, int, int, float]]:
    """Yield from when to when how many tins are on the mat, and the share of it that they take."""
    found = levels(day, plan)
    for level, after in pairwise(found):
        yield level.start_s, after.start_s, level.tins, level.share
    yield found[-1].start_s, max(plan.finish_s, found[-1].start_s), found[-1].tins, found[-1].share
