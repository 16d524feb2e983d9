"""Tries a layout against the rules of the day model's "Fit", sharing nothing with what makes it.

Everything is in mm. A fault is a sentence; no fault, an empty list. Nothing here raises on numbers
that are no numbers: it reports them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

SLACK = 1e-3  # the one tolerance: a layout may miss a distance by no more


def check_tins(
    inside_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    at_mm: Sequence[Sequence[float]],
    count: int,
) -> list[str]:
    """Return the faults of tins on a pan's floor: their number, the rim, and each other."""
    faults = [] if len(at_mm) == count else [f"{count} tins are said, {len(at_mm)} are placed."]
    least = edge_mm + diameter_mm / 2
    for number, centre in enumerate(at_mm, start=1):
        for value, side in zip(centre, inside_mm, strict=False):
            if not least - SLACK <= value <= side - least + SLACK:
                faults.append(f"Tin {number} is at {value} of {side} mm: too near the rim.")
    for one, other, apart in _pairs(at_mm):
        if not apart >= diameter_mm + gap_mm - SLACK:
            faults.append(f"Tins {one} and {other} are {apart} mm from centre to centre.")
    return faults


def _pairs(at_mm: Sequence[Sequence[float]]) -> Iterator[tuple[int, int, float]]:
    for one in range(len(at_mm)):
        for other in range(one + 1, len(at_mm)):
            yield one + 1, other + 1, math.dist(at_mm[one][:2], at_mm[other][:2])


def check_mat(
    mat_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    at_mm: Sequence[Sequence[float]],
    count: int,
) -> list[str]:
    """Return the faults of loose tins on the mat, where no edge is kept."""
    return check_tins(mat_mm, diameter_mm, gap_mm, 0.0, at_mm, count)


def check_pans(
    shelf_mm: Sequence[float],
    outside_mm: Sequence[float],
    air_mm: float,
    at_mm: Sequence[tuple[float, float, bool]],
    count: int,
) -> list[str]:
    """Return the faults of pans on a shelf, each (x, y, turned): its corner, turned a quarter."""
    faults = [] if len(at_mm) == count else [f"{count} pans are said, {len(at_mm)} are placed."]
    boxes = []
    for number, (x, y, turned) in enumerate(at_mm, start=1):
        wide, deep = outside_mm[::-1] if turned else outside_mm
        boxes.append((x, y, x + wide, y + deep))
        for low, high, side in ((x, x + wide, shelf_mm[0]), (y, y + deep, shelf_mm[1])):
            if not (low >= air_mm - SLACK and high <= side - air_mm + SLACK):
                faults.append(f"Pan {number} is too near a wall: {low} to {high} of {side} mm.")
    for one, first in enumerate(boxes):
        for other in range(one + 1, len(boxes)):
            second = boxes[other]
            # Apart along one side by the air at least; corners may not be nearer than that either.
            across = max(second[0] - first[2], first[0] - second[2])
            along = max(second[1] - first[3], first[1] - second[3])
            if not max(across, along) >= air_mm - SLACK:
                faults.append(f"Pans {one + 1} and {other + 1} are nearer than {air_mm} mm.")
    return faults
