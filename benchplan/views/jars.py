"""The Jars screen: which scents a day needs in dry beads, and when their jars must be started."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from benchplan import live, units
from benchplan.mixing import WET_JARS, JarNeed
from benchplan.model import Action, Day
from benchplan.model.words import count_words
from benchplan.views.rows import BLANK, Column, Piece, Row, listed, row, table, wrap_rows

COLUMNS = (
    Column("Scent", 8, spare=True),
    Column("Tins to fill", right=True),
    Column("Dry beads", right=True),
    Column("Start jar by", 10),
    Column("That is", 8, spare=True),
)


def page(
    day: Day, needs: Sequence[JarNeed], today: date, at: int, width: int, height: int
) -> list[Row]:
    """Return the whole screen; ``at`` is the cursor's line, from 0. ``today`` is a local date."""
    made_on = day.start.date()
    rows = [row(Piece("Jars", "head"), f"  dry beads for {day.name}, {date_words(made_on, today)}")]
    words = _words(day, needs, at, width)
    if not needs:
        rows += wrap_rows(
            "Every tin of this day is filled already: no jar is needed. More tins in an order "
            "(Orders, key 1) bring their jars here.",
            width,
        )
        return [*rows, BLANK, *words][:height]
    at = min(max(at, 0), len(needs) - 1)
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
    head, found = table(COLUMNS, lines, width - 2)
    room = min(len(found), max(3, height - 3 - len(words)))
    rows += [row("  ", *head), *listed(found, at, width, room), BLANK]
    return [*rows, *words][:height]


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
    gone = count_words(-left, "day")
    return f"{gone} ago: is it dry?"


def _words(day: Day, needs: Sequence[JarNeed], at: int, width: int) -> list[Row]:
    rows: list[Row] = []
    if needs:
        need = needs[min(max(at, 0), len(needs) - 1)]
        flash = day.scent(need.scent).flash_point_c
        rows += wrap_rows(
            f"{need.scent}: drying takes {need.from_where}. "
            f"The beads count half a gram too much a tin, as hands do.",
            width,
            "strong",
        )
        point = "not given" if flash is None else units.show_temperature(flash, day.display.units)
        rows += wrap_rows(f"Flash point: {point}.", width)
        rows += wrap_rows("Shake every jar that is drying once a day.", width)
    rows += [*wrap_rows(WET_JARS, width, "warn"), BLANK]
    rows.append(row(Piece("At the bench", "head"), "  to tick before a tray goes into the oven:"))
    for words in live.checklist(day, Action("load")):
        rows += wrap_rows(f"[ ] {words}", width, "", "    ")
    return rows
