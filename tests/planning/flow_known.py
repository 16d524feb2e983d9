"""What CP-SAT is known to reach for given trays of generated days: reading the table of facts.

A fact is keyed by its trays, so that it stays true whatever trays the planner comes to prefer: the
day is given with those trays as its queue. Trays are written as ``3*6a@1#1!2a``: three trays of six
tins of the first scent (two scents: ``4a2b``), of the second recipe, on the second kind of pan, two
tins of each still to fill; ``@``, ``#`` and ``!`` are left out for the first recipe, the first pan
and where every tin is to be filled in the order of its scents.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))

from flow_days import day_of
from flow_facts import TABLE

from benchplan.model import Day, QueuedTray, Tray

Scents = tuple[tuple[str, int], ...]
Key = tuple[str, int, int, str]
TRAY = re.compile(r"(?:(\d+)\*)?((?:\d+[a-z])+)(?:@(\d+))?(?:#(\d+))?")
SCENT = re.compile(r"(\d+)([a-z])")


@dataclass(frozen=True)
class Fact:
    """The best finish that CP-SAT found within ``limit_s`` (None: no plan), and its bound."""

    kind: str
    seed: int
    size: int
    best_s: int | None
    bound_s: int
    limit_s: int
    trays: str

    @property
    def key(self) -> Key:
        return self.kind, self.seed, self.size, self.trays

    @property
    def proven(self) -> bool:
        return self.best_s == self.bound_s

    @property
    def name(self) -> str:
        return f"{self.kind} {self.seed} {self.size}"

    @property
    def line(self) -> str:
        best = "-" if self.best_s is None else self.best_s
        left = (self.kind.replace(" ", "_"), self.seed, self.size, best, self.bound_s)
        return " ".join(str(each) for each in (*left, self.limit_s, self.trays))

    def day(self) -> Day:
        """Return the day with exactly these trays."""
        day = day_of(self.kind, self.seed, self.size)
        return replace(day, queue=queue(day, self.trays))


def known(table: str = TABLE) -> dict[Key, Fact]:
    """Return the table's facts by their keys."""
    found = {}
    for line in table.strip().splitlines():
        kind, seed, size, best, bound, limit, trays = line.split(maxsplit=6)
        best_s = None if best == "-" else int(best)
        fact = Fact(
            kind.replace("_", " "), int(seed), int(size), best_s, int(bound), int(limit), trays
        )
        found[fact.key] = fact
    return found


def coded(day: Day, trays: Iterable[Tray | QueuedTray]) -> str:
    """Return trays in one line, in an order that does not depend on theirs.

    What is still to fill comes last in that order: given as a queue so, the trays get the filled
    tins that they had.
    """
    scents = list(dict.fromkeys(order.scent for order in day.orders))

    def runs(counts: Iterable[tuple[str, int]]) -> str:
        return "".join(f"{count}{chr(97 + scents.index(scent))}" for scent, count in counts)

    def one(tray: Tray | QueuedTray) -> tuple[str, str]:
        on_it = tuple((scent, len(list(run))) for scent, run in groupby(tray.scents))
        recipe, pan = list(day.recipes).index(tray.recipe), list(day.pans).index(tray.pan or "")
        text = runs(on_it) + (f"@{recipe}" if recipe else "") + (f"#{pan}" if pan else "")
        to_fill = tray.to_fill if isinstance(tray, Tray) else on_it
        return text, "" if to_fill == on_it else f"!{runs(to_fill)}"

    found = sorted(one(tray) for tray in trays)
    counted = [("".join(tray), len(list(same))) for tray, same in groupby(found)]
    return " ".join(f"{count}*{text}" if count > 1 else text for text, count in counted)


def queue(day: Day, trays: str) -> tuple[QueuedTray, ...]:
    """Return trays written by ``coded`` as trays that are asked for."""
    scents = list(dict.fromkeys(order.scent for order in day.orders))
    found = []
    for text in trays.split():
        match = TRAY.match(text)
        assert match, text
        many, on_it, recipe, pan = match.groups()
        tins = tuple(
            scents[ord(letter) - 97]
            for count, letter in SCENT.findall(on_it)
            for _ in range(int(count))
        )
        tray = QueuedTray(tins, list(day.recipes)[int(recipe or 0)], list(day.pans)[int(pan or 0)])
        found += [tray] * int(many or 1)
    return tuple(found)
