"""Shapes that tins stand on, reduced to points in a rectangle, and the one named tolerance.

Circles of one diameter, ``gap`` apart and ``edge`` from the rim, are the same as points at least
``apart`` from each other in the rectangle that is left for their centres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]

TOLERANCE_MM = 1e-3
"""A layout may miss a distance by no more than this. Layouts made here miss by far less."""

MISS_MM = TOLERANCE_MM * (1 - 1e-3)
"""What a layout that was searched for may miss a distance by: what rounding leaves of it."""

ROUNDING_MM = 1e-6
"""What binary fractions of typed lengths may be off by: three 0.1 mm are 0.3 mm all the same."""

_SMALLEST_MM = 0.1
_LARGEST_MM = 1e6


@dataclass(frozen=True, slots=True)
class Room:
    """Where centres may be: ``wide`` × ``deep`` mm beginning at ``corner``, ``apart`` mm apart."""

    wide: float
    deep: float
    apart: float
    corner: float = 0.0

    def turned(self) -> Room:
        """Return the same room with its sides swapped."""
        return Room(self.deep, self.wide, self.apart, self.corner)

    def point(self, x: float, y: float) -> Point:
        """Return a place in the room as mm from the floor's corner, clamped into the walls."""
        return (
            self.corner + min(max(x, 0.0), self.wide),
            self.corner + min(max(y, 0.0), self.deep),
        )

    def holds(self, points: Sequence[Point], miss_mm: float = ROUNDING_MM) -> bool:
        """Return whether centres (mm from the floor's corner) are all in the room and apart.

        Distances between two may miss by ``miss_mm``.
        """
        low, slack = self.corner - ROUNDING_MM, 2 * ROUNDING_MM
        for x, y in points:
            if not (low <= x <= low + self.wide + slack and low <= y <= low + self.deep + slack):
                return False
        order = sorted(points)
        least = (self.apart - miss_mm) ** 2
        for index, (x, y) in enumerate(order):
            for other_x, other_y in order[index + 1 :]:
                if other_x - x >= self.apart:
                    break
                if (other_x - x) ** 2 + (other_y - y) ** 2 < least:
                    return False
        return True


def sensible(*lengths_mm: float) -> bool:
    """Return whether every length is a number that a kitchen could hold (0.1 mm to 1 km)."""
    return all(_SMALLEST_MM <= length <= _LARGEST_MM for length in lengths_mm)


def room_for(
    inside_mm: Sequence[float], diameter_mm: float, gap_mm: float, edge_mm: float
) -> Room | None:
    """Return the room for the centres of tins on a floor of ``inside_mm`` (length, width).

    None when not one tin stands on it, or when a length is no length: zero, negative, not a
    number, beyond 1 km or (a floor, a tin) below 0.1 mm.
    """
    length, width = inside_mm
    if not sensible(length, width, diameter_mm):
        return None
    if not (0 <= gap_mm <= _LARGEST_MM and 0 <= edge_mm <= _LARGEST_MM):
        return None
    wide = length - 2 * edge_mm - diameter_mm
    deep = width - 2 * edge_mm - diameter_mm
    if not (wide >= -ROUNDING_MM and deep >= -ROUNDING_MM and math.isfinite(wide + deep)):
        return None
    return Room(max(wide, 0.0), max(deep, 0.0), diameter_mm + gap_mm, edge_mm + diameter_mm / 2)
