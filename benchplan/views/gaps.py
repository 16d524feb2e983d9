"""How near tins stand to each other and to the rim."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from benchplan import units

_MISS_MM = 1e-3  # what a layout may miss a distance by, and is no gap that a person could see

Places = Sequence[tuple[float, ...]]


def to_rim(size_mm: float, inside_mm: Sequence[float], at_mm: Places) -> list[float]:
    """Return how far each tin is from the nearest side, in mm."""
    return [min(x, inside_mm[0] - x, y, inside_mm[1] - y) - size_mm / 2 for x, y, *_ in at_mm]


def to_nearest(size_mm: float, at_mm: Places) -> list[float]:
    """Return how far each tin is from the one nearest to it, in mm; infinite for a tin alone."""
    found = [math.inf] * len(at_mm)
    for one, two in combinations(range(len(at_mm)), 2):
        gap = math.dist(at_mm[one][:2], at_mm[two][:2]) - size_mm
        found[one], found[two] = min(found[one], gap), min(found[two], gap)
    return found


def gap_notes(
    system: str, size_mm: float, inside_mm: Sequence[float], at_mm: Places
) -> tuple[tuple[str, str], ...]:
    """Return for each tin two lengths: to the nearest tin, and to the rim; none for one alone."""
    if len(at_mm) < 2:
        return ()
    gaps = zip(to_nearest(size_mm, at_mm), to_rim(size_mm, inside_mm, at_mm), strict=True)
    return tuple((_shown(near, system), _shown(rim, system)) for near, rim in gaps)


def gap_words(
    system: str, size_mm: float, inside_mm: Sequence[float], at_mm: Places, side: str = "rim"
) -> tuple[str, ...]:
    """Return how near the nearest two of these tins are, and the one nearest the ``side``."""
    if not at_mm:
        return ()
    rims = [round(rim, 3) for rim in to_rim(size_mm, inside_mm, at_mm)]
    found = [f"Nearest the {side}: tin {rims.index(min(rims)) + 1}, {_shown(min(rims), system)}."]
    pairs = [
        (round(math.dist(one[:2], two[:2]) - size_mm, 3), first, second)
        for (first, one), (second, two) in combinations(enumerate(at_mm, 1), 2)
    ]
    if pairs:
        gap, first, second = min(pairs)
        found.insert(0, f"Nearest to each other: tins {first} and {second}, {_shown(gap, system)}.")
    return tuple(found)


def _shown(mm: float, system: str) -> str:
    """Return a gap, never wider than it is."""
    return units.show_at_most(max(mm, 0.0) + _MISS_MM, system)
