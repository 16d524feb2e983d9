"""What limits the day, as pages of whole sentences: what sets the finish, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchplan import clock
from benchplan.model import Day, Plan
from benchplan.model.more_words import chance_words, in_time_words, one_more_words, start_words
from benchplan.model.waits import chain_words, mat_words
from benchplan.views.rows import BLANK, Column, Piece, Row, row, table, wrap_rows

WORKING = "What one more of each thing would win is being planned."


def page(
    day: Day,
    plan: Plan,
    part: int,
    width: int,
    height: int,
    *,
    planned_s: int = 0,
    working: bool = False,
    stale: bool = False,
) -> list[Row]:
    """Return one of the pages, the last where ``part`` is beyond it. See ``pages``."""
    found = pages(day, plan, width, height, planned_s=planned_s, working=working)
    part = min(max(part, 0), len(found) - 1)
    title: list[str | Piece] = [Piece("Flow", "head"), "  what limits the day"]
    if len(found) > 1:
        title.append(f", page {part + 1} of {len(found)}")
    if stale:
        title.append(Piece("  replanning", "quiet"))
    return [row(*title), BLANK, *found[part]][:height]


def pages(
    day: Day,
    plan: Plan,
    width: int,
    height: int,
    *,
    planned_s: int = 0,
    working: bool = False,
) -> list[list[Row]]:
    """Return all there is to say in pages of ``height`` less their title, no sentence cut.

    ``planned_s`` is the second of a run that the plan was made at. ``working``: what one more of
    each thing would win is still being planned.
    """
    room = max(1, height - 2)
    found: list[list[Row]] = [[]]
    for title, blocks in _sections(day, plan, width, planned_s, working):
        whole = 1 + sum(map(len, blocks))
        if len(found[-1]) + 1 + whole > room >= whole:
            found.append([])  # it fits on a page of its own
        for number, block in enumerate(blocks):
            head = [] if number else [row(Piece(title, "head"))]
            if head and found[-1]:
                head = [BLANK, *head]
            if found[-1] and len(found[-1]) + len(head) + len(block) > room:
                found.append([])
                head = [row(Piece(title, "head"), *([" (goes on)"] if number else []))]
            found[-1] += [*head, *block]
            while len(found[-1]) > room:  # a table longer than a page goes on on the next
                found.append(found[-1][room:])
                found[-2] = found[-2][:room]
    return [page for page in found if page]


def _sections(
    day: Day, plan: Plan, width: int, planned_s: int, working: bool
) -> Iterator[tuple[str, list[list[Row]]]]:
    """Yield each heading with what stands below it: blocks of rows that stay together."""

    def said(*sentences: str) -> list[list[Row]]:
        return [wrap_rows(each, width, indent="  ") for each in sentences if each]

    yield "What sets the finish", said(*chain_words(day, plan, now_s=planned_s))
    yield "How busy each thing is", [busy(plan, width), *said(mat_words(day, plan))]
    more = one_more_words(day, plan)
    if working and not more:
        more = [WORKING]
    in_time = in_time_words(day, plan) or [start_words(day, plan)]
    yield "What would help", said(*in_time, *more)
    yield "How sure it is", said(*chance_words(day, plan))


def busy(plan: Plan, width: int) -> list[Row]:
    """Say how busy each thing is and the pace that it alone would allow, then what limits."""
    lines: Sequence[tuple[str, str, str, str]] = [
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
    return [head, *found, *wrap_rows(plan.limits.why, width, indent="  ")]
