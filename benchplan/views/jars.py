"""The Jars screen: what a day needs in dry beads, when jars must be started, and what is drying."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from benchplan import live, units
from benchplan.book import Jar
from benchplan.mixing import WET_JARS, JarNeed
from benchplan.model import Day
from benchplan.model.run_words import item_words
from benchplan.model.words import count_words
from benchplan.views.rows import BLANK, Column, Piece, Row, listed, row, table, wrap_rows

FAILED = "Failed the dry test"
NEED_COLUMNS = (
    Column("Scent", 8, spare=True),
    Column("Tins to fill", right=True),
    Column("Dry beads", right=True),
    Column("Start jar by", 10),
    Column("That is", 8, spare=True),
)
JAR_COLUMNS = (
    Column("Jar", right=True),
    Column("Scent", 8, spare=True),
    Column("Started", 6),
    Column("Dries since", 6, right=True),
    Column("Today", 8, spare=True),
    Column("Note", 4, spare=True, drop=1),
)


@dataclass(frozen=True, slots=True)
class Look:
    """Where the cursor is: in the "needs" or the "jars", and on which line of either, from 0."""

    where: str = "needs"
    need: int = 0
    jar: int = 0


def kept_within(look: Look, needs: Sequence[JarNeed], jars: Sequence[Jar]) -> Look:
    """Return the look with its cursor on lines that are there."""
    where = look.where
    if not jars or (where == "needs" and not needs):
        where = "needs" if needs or not jars else "jars"
    return Look(
        where,
        min(max(look.need, 0), max(0, len(needs) - 1)),
        min(max(look.jar, 0), max(0, len(jars) - 1)),
    )


def page(
    day: Day,
    needs: Sequence[JarNeed],
    jars: Sequence[Jar],
    today: date,
    look: Look,
    width: int,
    height: int,
) -> list[Row]:
    """Return the whole screen. ``today`` is a local date."""
    look = kept_within(look, needs, jars)
    made_on = day.start.date()
    words = _words(day, needs, look, width)
    room = max(2, height - 6 - len(words))
    jars_room = min(len(jars), max(1, room // 2))
    rows = [row(Piece("Needed", "head"), f"  for {day.name}, {date_words(made_on, today)}")]
    if needs:
        rows += _needs(day, needs, today, look, width, room - jars_room)
    else:
        rows += wrap_rows("Every tin of this day is filled already: no jar is needed.", width)
    rows += [BLANK, row(Piece("Jars", "head"), f"  {count_words(len(jars), 'jar')} in the book")]
    if jars:
        rows += _jars(needs, jars, made_on, today, look, width, jars_room)
    else:
        rows += wrap_rows("None yet. J notes that a jar of a scent was started.", width, "quiet")
    rows += [BLANK, *words]
    return [*rows, *_bench_words(day, width, height - len(rows))][:height]


def _needs(
    day: Day, needs: Sequence[JarNeed], today: date, look: Look, width: int, room: int
) -> list[Row]:
    made_on = day.start.date()
    lines = [
        (
            need.scent,
            str(need.tins),
            units.show_mass(need.beads_g, day.display.units),
            date_words(need.start_by, today),
            start_words(need.start_by, today, made_on),
        )
        for need in needs
    ]
    head, found = table(NEED_COLUMNS, lines, width - 2)
    here = look.where == "needs"
    return [row("  ", *head), *listed(found, look.need, width, min(len(found), room), here)]


def _jars(
    needs: Sequence[JarNeed],
    jars: Sequence[Jar],
    made_on: date,
    today: date,
    look: Look,
    width: int,
    room: int,
) -> list[Row]:
    days = {need.scent: (made_on - need.start_by).days for need in needs}
    lines = [
        (
            str(jar.number),
            jar.scent,
            date_words(jar.started, today),
            count_words(max(0, (today - jar.started).days), "day"),
            jar_words(jar, days.get(jar.scent), today),
            jar.note or (FAILED if jar.failed else ""),
        )
        for jar in jars
    ]
    head, found = table(JAR_COLUMNS, lines, width - 2)
    here = look.where == "jars"
    return [row("  ", *head), *listed(found, look.jar, width, min(len(found), room), here)]


def date_words(when: date, today: date) -> str:
    """Return a date as "Sat 5 Dec", with its year where that is not this one."""
    year = "" if when.year == today.year else f" {when.year}"
    return f"{when:%a} {when.day} {when:%b}{year}"


def start_words(start_by: date, today: date, made_on: date) -> str:
    """Say how a jar's last date to start stands to today: what to do, or what to check."""
    if made_on < today:
        return "a past day"
    left = (start_by - today).days
    if left > 1:
        return f"in {left} days"
    if left >= 0:
        return "tomorrow" if left else "today"
    return f"{count_words(-left, 'day')} ago: is it dry?"


def jar_words(jar: Jar, days: int | None, today: date) -> str:
    """Say what a jar asks for today. No date proves beads dry: at the end of it comes the test."""
    since = (today - jar.started).days
    if since < 0:
        return "not started yet"
    if days is None:
        return "shake, then test"
    left = days - since
    return f"shake; {count_words(left, 'day')} to go" if left > 0 else "shake, then test"


def _words(day: Day, needs: Sequence[JarNeed], look: Look, width: int) -> list[Row]:
    rows: list[Row] = []
    if needs:
        need = needs[look.need]
        flash = day.scent(need.scent).flash_point_c
        point = "not given" if flash is None else units.show_temperature(flash, day.display.units)
        rows += wrap_rows(
            f"Drying of {need.scent} {need.from_where}. Flash point {point}.", width, "strong"
        )
    return [*rows, *wrap_rows(WET_JARS, width, "warn")]


def _bench_words(day: Day, width: int, height: int) -> list[Row]:
    """Return what the bench has ticked before a load, as far as there is room for it."""
    title = row(Piece("At the bench", "head"), "  to tick before a tray goes into the oven:")
    rows = [BLANK, title]
    for item in live.before_a_load(day):
        rows += wrap_rows(f"[ ] {item_words(item)}", width, "", "    ")
    if len(rows) <= height:
        return rows
    more = len(rows) - height + 1
    return [*rows[: height - 1], row(Piece(f"    and {more} more", "quiet"))] if height > 3 else []
