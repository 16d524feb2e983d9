"""Proven upper bounds on how many tins a floor can take; the smallest is the one to show.

All take the least distance less the tolerance, in a room grown by twice the tolerance each way, so
that no layout that passes the tolerance can hold more than its bound. Lengths here are in units of
that distance, as in ``patterns``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchplan.packing.geometry import TOLERANCE_MM, room_for

_ROUNDING = 1e-9  # a bound that is a whole number must not fall below it by rounding
_STRIPS_WORTH_IT = 1000


def most_possible(
    inside_mm: Sequence[float], diameter_mm: float, gap_mm: float, edge_mm: float
) -> int:
    """Return the smallest proven bound on tins of ``diameter_mm`` on a floor of ``inside_mm``.

    0 where not one stands on it, or where a length is no length (see ``geometry.room_for``).
    """
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None:
        return 0
    apart = room.apart - TOLERANCE_MM
    # Circles of apart - tolerance in a rectangle grown by twice the tolerance: centres have thrice.
    wide = (room.wide + 3 * TOLERANCE_MM) / apart
    deep = (room.deep + 3 * TOLERANCE_MM) / apart
    most = min(oler(wide, deep), few(wide, deep))
    if most > _STRIPS_WORTH_IT:
        return most
    return min(most, strips(wide, deep), strips(deep, wide))


def oler(wide: float, deep: float) -> int:
    """Return Oler's bound on points at least 1 apart in a rectangle.

    N ≤ (2/√3)·A + P/2 + 1 for a convex set of area A and perimeter P (N. Oler, An inequality in the
    geometry of numbers, Acta Math. 105, 1961). It is never above the bound by area and hexagonal
    density, (2/√3)·(wide + 1)·(deep + 1).
    """
    return math.floor(2 / math.sqrt(3) * wide * deep + wide + deep + 1 + _ROUNDING)


def few(wide: float, deep: float) -> int:
    """Return the bound for rooms of one, two or three points, Oler's where four may fit.

    Two points: the diagonal. Three: shrunk to the least upright rectangle around them, one of them
    is in a corner of it, one on each of the two sides opposite, and those two are farthest apart
    when they are as near to the corner's own sides as the first allows. Four: one of the angles
    between four points is a right one or larger, so two of them are √2 apart or more.
    """
    if math.hypot(wide, deep) < 1:
        return 1
    low = math.sqrt(max(0.0, 1 - wide * wide))
    left = math.sqrt(max(0.0, 1 - deep * deep))
    if low > deep or left > wide or math.hypot(wide - left, deep - low) < 1:
        return 2
    return 3 if math.hypot(wide, deep) < math.sqrt(2) else oler(wide, deep)


def strips(wide: float, deep: float) -> int:
    """Return the best bound from cutting strips along ``wide`` off a room, and Oler's on the rest.

    In a strip lower than h < 1, neighbours along it are at least √(1 − h²) apart. So a strip lower
    than √(1 − (wide/j)²) holds at most j points; the bound is the cheapest cover of the depth.
    """
    best = oler(wide, deep)
    first = int(wide) + 1
    covers = [
        (points, math.sqrt(1 - (wide / points) ** 2)) for points in range(first, 2 * first + 2)
    ]
    covered = [0.0] * (best + 1)  # the depth that strips of so many points in all cover
    for total in range(best + 1):
        for points, depth in covers:
            if points <= total:
                covered[total] = max(covered[total], covered[total - points] + depth)
        left = deep - covered[total]
        if left < -_ROUNDING:
            return min(best, total)
        best = min(best, total + oler(wide, max(left, 0.0)))
    return best
