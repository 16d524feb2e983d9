"""Why work starts when it does, and what sets the finish: what other rooms ask of waits."""

from __future__ import annotations

from benchplan.model.binding import Wait, chain, why
from benchplan.model.chain_words import chain_words
from benchplan.model.day import Day
from benchplan.model.holds import Book
from benchplan.model.lanes import Bar
from benchplan.model.mat_need import MatNeed, mat_need, mat_words
from benchplan.model.plan import Plan
from benchplan.model.wait_words import Speaker, words

__all__ = [
    "Book",
    "MatNeed",
    "Wait",
    "chain",
    "chain_words",
    "mat_need",
    "mat_words",
    "why",
    "why_bar",
    "words",
]


def why_bar(day: Day, plan: Plan, bar: Bar, lane_kind: str, now_s: int = 0) -> str:
    """Say why a bar of a lane starts when it does; "" where there is nothing to say.

    A bake says why its load went in when it did. Tins on the mat and a pan on the stand also say
    why they leave when they do.
    """
    book = Book(day, plan, now_s)
    speak = Speaker(day, plan)

    def said(step: str, tray: int = 0, from_s: int = 0) -> str:
        each = plan.step(tray or bar.trays[0], step)
        if each is None:
            return ""
        part = next((n for n, part in enumerate(each.parts) if part[0] >= from_s), 0)
        return speak.words(why(day, plan, each, part, now_s, book))

    if bar.kind in ("preheat", "change_scent"):
        for other in plan.other:
            same = (bar.kind, bar.trays[:1]) == (
                other.what,
                (other.before_tray,) if other.before_tray else (),
            )
            if same and (bar.start_s, bar.end_s) in other.parts:
                part = other.parts.index((bar.start_s, bar.end_s))
                return speak.words(why(day, plan, other, part, now_s, book))
        return ""
    if not bar.trays:
        return ""
    leaves = "pack" if day.on_pan else "transfer"
    if bar.kind == "bake":
        return said("load", book.blocks[bar.trays[0]].loads[0].tray)
    if bar.kind == "cool":
        return f"{said('transfer')} {said('pack')}"
    if bar.kind == "stand":
        return said(leaves)
    return said(bar.kind, from_s=bar.start_s)
