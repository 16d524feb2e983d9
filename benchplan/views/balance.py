"""The balance in Flow: what other room to cool in does to the finish, as a chart with its knee."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.model import Day
from benchplan.model.words import count_words
from benchplan.views.rows import (
    BLANK,
    Column,
    Piece,
    Row,
    cells,
    clip,
    left,
    row,
    table,
    text_of,
    wrap_rows,
)
from benchplan.views.words import at_clock

if TYPE_CHECKING:
    from benchplan.balance import Balance, Point

YOURS, KNEE = "yours", "knee"
_WORTH_SAYING_S = 60


def chosen(found: Balance, room: int | None) -> Point:
    """Return the point that the cursor is on: the nearest to a room, or the day's own."""
    wanted = found.own if room is None else room
    return min(found.points, key=lambda point: (abs(point.room - wanted), point.room))


def turned(found: Balance, room: int | None, by: int) -> int:
    """Return the room ``by`` points on from the cursor's, as far as there are any."""
    at = found.points.index(chosen(found, room)) + by
    return found.points[min(max(at, 0), len(found.points) - 1)].room


def page(
    day: Day,
    found: Balance | None,
    room: int | None,
    width: int,
    height: int,
    stale: bool = False,
) -> list[Row]:
    """Return the whole screen; ``found`` is None until there is something to show."""
    if found is None:
        words = "The day is being planned anew." if stale else "The day's own plan is looked at."
        return [row(Piece("Balance", "head")), BLANK, *wrap_rows(words, width, "quiet")][:height]
    point = chosen(found, room)
    said = _said(day, found, point, width)
    # So many rows as the longest words take stay free: then the chart does not jump about.
    longest = max(sum(map(len, _said(day, found, each, width))) for each in found.points)
    kept = {each.room for each in found.points} & {point.room, found.own, found.knee or 0}
    most = max(len(kept), height - 3 - longest)
    points = _thinned(found.points, kept | {found.points[0].room, found.points[-1].room}, most)
    points = points if len(points) <= most else [p for p in points if p.room in kept]
    rows = [_title(found, width), *_chart(day, found, points, point, width), BLANK]
    for sentence in said:
        if len(rows) + len(sentence) > height:
            break
        rows += sentence
    return rows[:height]


def _title(found: Balance, width: int) -> Row:
    what = {
        "mat": "room on the mat",
        "pan": f"pans ({found.kind})",
        "stand place": "places on the stand",
    }[found.what]
    parts: list[str | Piece] = [Piece("Balance", "head"), f"  {what} against the finish"]
    if not found.done:
        parts.append(Piece(f"  {found.planned} of {found.wanted} planned", "strong"))
    return clip(row(*parts), width)


def _thinned(points: Sequence[Point], kept: set[int], most: int) -> list[Point]:
    """Return at most ``most`` points, or the ``kept``: those nearest to others go first."""
    left_over = list(points)
    while len(left_over) > most:
        going = [at for at, point in enumerate(left_over) if point.room not in kept]
        if not going:
            break
        # Neither end goes, so each that may go has a neighbour on both sides.
        gone = min(going, key=lambda at: left_over[at + 1].room - left_over[at - 1].room)
        del left_over[gone]
    return left_over


def _chart(day: Day, found: Balance, points: Sequence[Point], here: Point, width: int) -> list[Row]:
    """Return a heading and a row a point: its room, finish and bake rate, and the day as a bar."""
    columns = (
        Column({"mat": "Tins", "pan": "Pans", "stand place": "Places"}[found.what], right=True),
        Column("Finish", right=True),
        Column("Tins an hour", right=True),
        Column("Trays an hour", right=True, drop=1),
    )
    lines = [
        (
            str(point.room),
            at_clock(day, point.finish_s),
            f"{point.tins_per_hour:.0f}",
            f"{point.trays_per_hour:.1f}",
        )
        for point in points
    ]
    marks = [_mark(found, point) for point in points]
    beside = max(cells(YOURS) + cells(KNEE) + 2, 12)
    head, figures = table(columns, lines, width - beside - 14)
    room = max(1, width - 2 - cells(text_of(head)) - 2 - 1 - beside)
    last = max(point.finish_s for point in found.points)
    rows = [
        clip(row("  ", *head, "  ", Piece(f"The day from {at_clock(day, 0)} on", "head")), width)
    ]
    for point, line, mark in zip(points, figures, marks, strict=True):
        bar = left(_bar(point.finish_s / max(1, last), room), room)
        if point.room == here.room:
            text = f"> {text_of(line)}  {bar} {mark}"
            rows.append(row(Piece(left(text, width), "pick")))
        else:
            rows.append(row("  ", *line, "  ", Piece(bar, "cool"), " ", Piece(mark, "strong")))
    return [clip(each, width) for each in rows]


def _mark(found: Balance, point: Point) -> str:
    here = [YOURS] * (point.room == found.own) + [KNEE] * (point.room == found.knee)
    return ", ".join(here)


def _bar(share: float, room: int) -> str:
    halves = max(1, round(2 * share * room))
    return "█" * (halves // 2) + "▌" * (halves % 2)


def _said(day: Day, found: Balance, point: Point, width: int) -> list[list[Row]]:
    """Say what the cursor is on, how it is to the day's own, where the knee is, and what to do."""
    said = (
        _finish_words(day, found, point),
        _rate_words(day, found, point),
        _knee_words(found),
        _how_words(day, found, point),
    )
    return [wrap_rows(each, width) for each in said if each]


def _room_words(found: Balance, room: int) -> str:
    """Name so much room: "room for 36 tins on the mat"."""
    if found.what == "pan":
        return count_words(room, f"pan ({found.kind})", f"pans ({found.kind})")
    if found.what == "stand place":
        return count_words(room, "place on the stand", "places on the stand")
    of = f" ({found.kind})" if found.by_size else ""
    return f"room for {count_words(room, 'tin')}{of} on the mat"


def _finish_words(day: Day, found: Balance, point: Point) -> str:
    own = found.at(found.own)
    with_it = f"With {_room_words(found, point.room)} the finish is {at_clock(day, point.finish_s)}"
    if point.room == own.room:
        return f"{with_it}: this is your day as it is."
    away = abs(point.finish_s - own.finish_s)
    if not away:
        return f"{with_it}, as early as with yours."
    later = "later" if point.finish_s > own.finish_s else "earlier"
    return f"{with_it}, {clock.show_minutes(away)} {later} than with yours."


def _rate_words(day: Day, found: Balance, point: Point) -> str:
    oven = "oven" if len(day.ovens) == 1 else "ovens"
    tins = count_words(round(point.tins_per_hour), "tin")
    trays = f"{point.trays_per_hour:.1f} trays"
    said = f"At that pace {tins} ({trays}) an hour come out of the {oven}"
    cooling = round(point.cooling)
    if not cooling:
        return f"{said}."
    return f"{said}, and {count_words(cooling, 'tin')} cool on the mat at a time."


def _knee_words(found: Balance) -> str:
    if found.knee is None:
        return "The knee, from where more room wins nothing, is marked when all is planned."
    own, knee = found.at(found.own), found.at(found.knee)
    begin = f"The knee is at {found.knee}: more than that wins less than a minute."
    if own.room == knee.room:
        return "Yours is the knee: more than that wins less than a minute."
    if own.room > knee.room:
        return f"{begin} You have {own.room}, {own.room - knee.room} more than it takes."
    won = clock.show_minutes(own.finish_s - knee.finish_s)
    return f"{begin} You have {own.room}: {knee.room - own.room} more would win {won}."


def _how_words(day: Day, found: Balance, point: Point) -> str:
    """Say what to change in the plan file for the day to be planned so."""
    if point.room == found.own:
        return ""
    begin = "To plan the day so, write"
    if found.what == "pan":
        return f"{begin} count = {point.room} under [pans.{found.kind}] in your plan file."
    if found.what == "stand place":
        return f"{begin} stand = {point.room} under [cooling] in your plan file."
    if found.by_size:
        return "To plan the day so, make mat under [cooling] as large as so many tins need."
    instead = ", in place of mat" if day.cooling.mat_tins is None else ""
    return f"{begin} mat_tins = {point.room} under [cooling]{instead} in your plan file."
