"""Finds where a tray is filled: on which scale, by whom, around what, with which changes."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.model.plan import Span
from benchplan.scheduling.problem import Shop
from benchplan.scheduling.state import Change, Taken


@dataclass(frozen=True, slots=True)
class AskedFill:
    """What a fill is wanted for: ``job``, these scents and counts in this order, not before
    ``after``; the scale is cleaned for it by ``changer`` (None: whoever can first), not before
    ``change_after``.
    """

    job: int
    to_fill: tuple[tuple[str, int], ...]
    after: int
    changer: int | None = None
    change_after: int = 0


@dataclass(frozen=True, slots=True)
class FoundFill:
    """A fill on one scale by one person, and the changes of scent it needs."""

    scale: int
    person: int
    parts: list[Span]
    changes: list[Change]

    @property
    def rank(self) -> tuple[int, int]:
        return self.parts[-1][1], len(self.changes)


def find_fill(
    shop: Shop, taken: Taken, asked: AskedFill, scale: int | None, person: int | None
) -> FoundFill:
    """Return the fill that ends first, on one scale or by one person where they are given."""
    best: FoundFill | None = None
    for number in range(len(taken.scales)) if scale is None else (scale,):
        for who in range(len(taken.people)) if person is None else (person,):
            found = _fill_on(shop, taken, asked, number, who)
            if best is None or found.rank < best.rank:
                best = found
    assert best is not None
    return best


def _fill_on(shop: Shop, taken: Taken, asked: AskedFill, scale: int, person: int) -> FoundFill:
    times = shop.day.times
    line, use = taken.people[person], taken.scales[scale]
    start, scent = max(asked.after, use.free), use.scent
    parts: list[Span] = []
    changes: list[Change] = []
    for name, count in asked.to_fill:
        if scent not in (None, name) and times.change_scent_s:
            if parts:
                begin, who = line.earliest(start, times.change_scent_s), person
            else:
                start = max(start, asked.change_after)
                begin, who = taken.first_free(start, times.change_scent_s, asked.changer)
            start = begin + times.change_scent_s
            changes.append(Change(scale, who, asked.job, (begin, start)))
        more = line.flow(start, count, times.fill_s)
        if parts and more[0][0] == parts[-1][1]:
            more[0] = (parts.pop()[0], more[0][1])
        parts += more
        start, scent = parts[-1][1], name
    return FoundFill(scale, person, parts, changes)
