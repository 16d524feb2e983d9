"""The most tins that rows can hold, with every centre.

Square, hexagonal, stretched, sheared and mixed rows are all stacks of blocks (see ``stacks``); the
fullest is found exactly, with the rows along one side of the pan and then along the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from benchplan.packing.geometry import Point, Room
from benchplan.packing.patterns import even_row, most_in_row
from benchplan.packing.stacks import Line, fullest_stack

MOST_TINS = 10_000
"""More tins than this are never laid out."""


@dataclass(frozen=True, slots=True)
class RowLayout:
    """Centres in mm from the floor's corner, row by row."""

    at_mm: tuple[Point, ...]

    @property
    def count(self) -> int:
        return len(self.at_mm)


@lru_cache(maxsize=256)
def best_rows(room: Room, enough: int = MOST_TINS) -> RowLayout:
    """Return the fullest layout in rows; stop looking at ``enough`` tins (a proven bound).

    Among equals: a square grid, then rows along the longer side. A room that could take more than
    ``MOST_TINS`` gets the square grid, cut off there.
    """
    ways = (False, True) if room.wide >= room.deep else (True, False)
    lines, turned = _grid(room), ways[0]
    if turned:
        lines = _grid(room.turned())
    count = sum(len(line.row) for line in lines)
    for mixed, way in ((False, ways[0]), (False, ways[1]), (True, ways[0]), (True, ways[1])):
        if count >= min(enough, MOST_TINS):
            break
        laid = room.turned() if way else room
        found = fullest_stack(laid.wide / laid.apart, laid.deep / laid.apart, count, mixed)
        if found:
            lines, turned, count = found, way, sum(len(line.row) for line in found)
    centres = _centres(lines, room.turned() if turned else room)
    if turned:
        centres = [(y, x) for x, y in centres]
    return RowLayout(tuple(centres[:MOST_TINS]))


def _grid(room: Room) -> list[Line]:
    """Return the square grid, no larger than ``MOST_TINS`` asks for."""
    in_row = most_in_row(room.wide / room.apart)
    if in_row > MOST_TINS:
        return [Line(1.0, tuple(float(index) for index in range(MOST_TINS)))]
    rows = min(most_in_row(room.deep / room.apart), math.ceil(MOST_TINS / in_row))
    return [Line(1.0, even_row(room.wide / room.apart))] * rows


def _centres(lines: list[Line], room: Room) -> list[Point]:
    """Return centres in mm. Spare depth is shared out evenly between the rows."""
    depth = sum(line.step for line in lines[1:])
    stretch = room.deep / depth if depth > 0 else 0.0
    y = 0.0 if depth > 0 else room.deep / 2
    centres = []
    for index, line in enumerate(lines):
        y += line.step * stretch if index else 0.0
        centres += [room.point(x * room.apart, y) for x in line.row]
    return centres
