"""Proven upper bounds on how many centres a room can hold; the smallest is the one to show.

All take the distance less the tolerance in a room grown by it on every side, so that no layout
that passes the tolerance can hold more than its bound.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchplan.packing.geometry import TOLERANCE_MM, sensible

_FLOOR = 1e-9  # a quotient that is a whole number must not fall below it by rounding


def most_possible(
    inside_mm: Sequence[float], diameter_mm: float, gap_mm: float, edge_mm: float
) -> int:
    """Return the smallest proven bound on tins of ``diameter_mm`` on a floor of ``inside_mm``.

    0 where not one stands on it, or where a length is no length (zero, negative, not a number).
    """
    if not sensible(*inside_mm, diameter_mm) or not (gap_mm >= 0 and edge_mm >= 0):
        return 0
    apart = diameter_mm + gap_mm - TOLERANCE_MM
    wide, deep = (
        (side - 2 * edge_mm - diameter_mm + 2 * TOLERANCE_MM) / apart for side in inside_mm
    )
    if not (wide >= 0 and deep >= 0):
        return 0
    return min(oler(wide, deep), strips(wide, deep), strips(deep, wide))


def oler(wide: float, deep: float) -> int:
    """Return Oler's bound on points at least 1 apart in a rectangle.

    N <= (2/sqrt 3)·A + P/2 + 1 for a convex set of area A and perimeter P (Oler 1961, An inequality
    in the geometry of numbers, Acta Math. 105).
    """
    return math.floor(2 / math.sqrt(3) * wide * deep + wide + deep + 1 + _FLOOR)


def strips(wide: float, deep: float) -> int:
    """Return the best bound from cutting a room into equal strips along ``wide``.

    In a strip lower than 1, points next to each other along it are at least sqrt(1 - h²) apart.
    """
    fewest = math.floor(deep + _FLOOR) + 1
    found = []
    for count in range(fewest, fewest + 8):
        low = deep / count
        if low < 1:
            along = wide / math.sqrt(1 - low * low)
            found.append(count * (math.floor(along + _FLOOR) + 1))
    return min(found)
