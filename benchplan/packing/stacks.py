"""The fullest stack of rows in a depth, found exactly.

A stack is made of blocks. In a block every other row is the same base row; between two of them, and
before the first and after the last, stands nothing or one of the rows that fit beside it. Blocks
are a whole least distance apart, so any two kinds of block can follow each other.
Lengths are in units of the least distance between two centres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from benchplan.packing.patterns import (
    NEAR,
    Row,
    base_rows,
    fill_beside,
    most_in_row,
    rows_between,
)

_HALF = 0.5
_NOTHING = -1


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a layout: how far it is from the row before, and its centres along the row."""

    step: float
    row: Row


@dataclass(frozen=True, slots=True)
class _Beside:
    """A row that fits beside a base row: how many points, how clear of it, how far from it.

    ``step`` is the distance between the two rows; ``half`` is the same but at least a half, so that
    the rows on both sides of a base row keep apart too.
    """

    count: int
    offset: float
    step: float
    half: float


@dataclass(frozen=True, slots=True)
class _Family:
    """A base row, what fits beside it, and the least loss of a block of it and of its end."""

    row: Row
    beside: tuple[_Beside, ...]
    block_loss: float = 0.0
    end_loss: float = 0.0


def fullest_stack(wide: float, deep: float, known: int, mixed: bool = True) -> list[Line]:
    """Return the fullest stack of rows in ``wide`` × ``deep`` if it has more than ``known`` points.

    Otherwise nothing. Among equals it is one of the least depth.

    What cannot lead to more than ``known`` is left out. With a whole step before its first row too,
    a stack has at most ``rate`` × (deep + 1) points, ``rate`` being that of the densest pattern;
    every block falls short of this by its loss, which is never below nothing, and the losses of a
    stack together must leave more than ``known``.
    """
    families = [_family(row, wide) for row in base_rows(wide, mixed)]
    rate = float(most_in_row(wide))
    for family in families:
        for each in family.beside:
            rate = max(rate, (len(family.row) + each.count) / (2 * each.half))
    known = max([known, *(_in_one_block(family, deep) - 1 for family in families)])
    budget = rate * (deep + 1 + NEAR) - (known + 1)
    useful = {_likeness(fit): fit for one in families if (fit := _useful(one, rate, budget))}
    if budget < 0 or not useful:
        return []
    search = _Search(list(useful.values()), wide, deep, rate, budget)
    best = search.run()
    return search.lines(best) if best > known else []


@lru_cache(maxsize=1024)
def _family(row: Row, wide: float) -> _Family:
    beside = []
    for count, offset in rows_between(row, wide):
        step = math.sqrt(1 - offset * offset)
        beside.append(_Beside(count, offset, step, max(step, _HALF)))
    return _Family(row, tuple(beside))


def _in_one_block(family: _Family, deep: float) -> int:
    """Return how many points a block with one kind of row between its base rows holds."""
    own, best = len(family.row), 0
    for each in family.beside:
        rows = int(deep / each.half) + 1
        more, fewer = max(own, each.count), min(own, each.count)
        best = max(best, (rows + 1) // 2 * more + rows // 2 * fewer)
    return best


def _likeness(family: _Family) -> tuple[int | float, ...]:
    """Return what two families share when they differ in nothing that counts or measures."""
    return (len(family.row), *(x for e in family.beside for x in (e.count, round(e.step, 9))))


def _useful(family: _Family, rate: float, budget: float) -> _Family | None:
    """Return the family with its losses and without the rows that cost more than ``budget``."""
    own = len(family.row)
    begin = min([0.0, *(rate * each.step - each.count for each in family.beside)]) + rate - own
    end = min([0.0, *(rate * each.half - each.count for each in family.beside)])
    if begin + end > budget:
        return None
    kept = []
    for each in family.beside:
        as_begin = rate * (1 + each.step) - own - each.count + end
        as_between = begin + end + 2 * rate * each.half - own - each.count
        as_end = begin + rate * each.half - each.count
        if min(as_begin, as_between, as_end) <= budget:
            kept.append(each)
    return _Family(family.row, tuple(kept), begin + end, end)


class _Search:
    """Dynamic programming over the number of points.

    ``least[c]`` is the least depth of a stack of c points, from a whole step before its first row;
    ``ending[f][c]`` that of a stack whose last row is the base row of family f.
    """

    def __init__(
        self, families: list[_Family], wide: float, deep: float, rate: float, budget: float
    ) -> None:
        self.families, self.wide = families, wide
        self.deep, self.rate, self.budget = deep + 1 + NEAR, rate, budget
        self.most = int(rate * (deep + 1)) + 1
        # Tables reach beyond what can be used, so that no step needs to ask whether it is inside.
        size = self.most + 1 + 2 * max(len(each.row) for each in families) + 2 * int(wide + 2)
        self.least = [math.inf] * size
        self.ending = [[math.inf] * size for _ in families]
        # Where each came from: (family, count before, row beside, pairs of a zigzag or 0), and
        # (count before, row beside, whether the block begins there).
        self.least_from: dict[int, tuple[int, int, int, int]] = {}
        self.ending_from: list[dict[int, tuple[int, int, bool]]] = [{} for _ in families]
        self.zigzags = self._flat_zigzags()

    def run(self) -> int:
        """Fill the tables; return the most points found."""
        self.least[0] = 0.0
        best = 0
        rate, budget, least = self.rate, self.budget, self.least
        every = list(zip(range(len(self.families)), self.families, self.ending, strict=True))
        for count in range(self.most + 1):
            allowed = (budget + count) / rate
            for index, family, states in every:
                if states[count] <= allowed - family.end_loss / rate:
                    self._go_on(index, family, states, count)
            if least[count] <= allowed and least[count] <= self.deep:
                best = count
                for index, family, states in every:
                    if least[count] <= allowed - family.block_loss / rate:
                        self._begin(index, family, states, count)
                self._zigzag(count)
        return best

    def _go_on(self, index: int, family: _Family, states: list[float], count: int) -> None:
        """From a base row: end the block there, or after a row beside it, or add two rows."""
        depth, deep, least = states[count], self.deep, self.least
        own = len(family.row)
        if depth < least[count]:
            least[count] = depth
            self.least_from[count] = (index, count, _NOTHING, 0)
        for which, each in enumerate(family.beside):
            below, total = depth + each.half, count + each.count
            if below > deep:
                break  # the rows that come later in the list are no nearer
            if below < least[total]:
                least[total] = below
                self.least_from[total] = (index, count, which, 0)
            below, total = below + each.half, total + own
            if below <= deep and below < states[total]:
                states[total] = below
                self.ending_from[index][total] = (count, which, False)

    def _begin(self, index: int, family: _Family, states: list[float], count: int) -> None:
        """Begin a block with its base row, or with a row beside it."""
        depth, total = self.least[count] + 1, count + len(family.row)
        if depth <= self.deep and depth < states[total]:
            states[total] = depth
            self.ending_from[index][total] = (count, _NOTHING, True)
        for which, each in enumerate(family.beside):
            below = depth + each.half
            if below > self.deep:
                break
            if below < states[total + each.count]:
                states[total + each.count] = below
                self.ending_from[index][total + each.count] = (count, which, True)

    def _flat_zigzags(self) -> list[tuple[int, float, int, int]]:
        """Return (points, step, family, row beside) of pairs of rows nearer than a half."""
        found = [
            (len(family.row) + each.count, each.step, index, which)
            for index, family in enumerate(self.families)
            for which, each in enumerate(family.beside)
            if each.step < _HALF
        ]
        found.sort(key=lambda zigzag: (-zigzag[0], zigzag[1]))
        useful: list[tuple[int, float, int, int]] = []
        for zigzag in found:
            if not useful or zigzag[1] < useful[-1][1]:
                useful.append(zigzag)
        return useful

    def _zigzag(self, count: int) -> None:
        """Add pairs of rows nearer than a half, each pair a whole step after the one before."""
        for points, step, index, which in self.zigzags:
            total, depth, pairs = count + points, self.least[count] + 1 + step, 1
            while depth <= self.deep and total <= self.most:
                if depth < self.least[total]:
                    self.least[total] = depth
                    self.least_from[total] = (index, count, which, pairs)
                total, depth, pairs = total + points, depth + 1, pairs + 1

    def lines(self, count: int) -> list[Line]:
        """Return the rows of the stack of ``count`` points."""
        backwards: list[Line] = []
        while count:
            index, count, which, pairs = self.least_from[count]
            family = self.families[index]
            if pairs:
                each = family.beside[which]
                for pair in range(pairs):
                    backwards.append(Line(each.step, family.row))
                    last = pair == pairs - 1
                    backwards.append(Line(1.0 if last else 1 - each.step, self._row(index, which)))
                continue
            if which != _NOTHING:
                backwards.append(Line(family.beside[which].half, self._row(index, which)))
            begun = False
            while not begun:
                count, which, begun = self.ending_from[index][count]
                if which == _NOTHING:
                    backwards.append(Line(1.0, family.row))
                    continue
                half = family.beside[which].half
                backwards.append(Line(half, family.row))
                backwards.append(Line(1.0 if begun else half, self._row(index, which)))
        return backwards[::-1]

    def _row(self, index: int, which: int) -> Row:
        family = self.families[index]
        return fill_beside(family.row, self.wide, family.beside[which].offset)
