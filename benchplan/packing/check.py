"""Tries a layout against the rules of the day model's "Fit", sharing nothing with what makes it.

Everything is in mm. A fault is a sentence; no fault, an empty list. Numbers that are no numbers
and places without two of them are faults, never exceptions.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

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
    faults = _miscounted("tins", at_mm, count)
    faults += _no_lengths(*inside_mm, diameter_mm)
    centres = []
    for number, centre in enumerate(at_mm, start=1):
        if len(centre) != 2 or not all(_is_number(value) for value in centre):
            faults.append(f"Tin {number} stands nowhere: {tuple(centre)}.")
            continue
        centres.append((number, centre[0], centre[1]))
        for value, side in zip(centre, inside_mm, strict=True):
            clear = min(value, side - value) - diameter_mm / 2
            if not clear >= edge_mm - SLACK:
                faults.append(f"Tin {number} is {clear} mm from the rim, not {edge_mm} mm.")
    for index, (number, x, y) in enumerate(centres):
        for other, other_x, other_y in centres[:index]:
            between = math.hypot(x - other_x, y - other_y) - diameter_mm
            if not between >= gap_mm - SLACK:
                faults.append(f"Tins {other} and {number} are {between} mm apart, not {gap_mm} mm.")
    return faults


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
    at_mm: Sequence[Sequence[float]],
    count: int,
) -> list[str]:
    """Return the faults of pans on a shelf, each (x, y, turned): its corner, turned a quarter."""
    faults = _miscounted("pans", at_mm, count)
    faults += _no_lengths(*shelf_mm, *outside_mm)
    boxes: list[tuple[int, float, float, float, float]] = []
    for number, place in enumerate(at_mm, start=1):
        if len(place) != 3 or not all(_is_number(value) for value in place[:2]):
            faults.append(f"Pan {number} stands nowhere: {tuple(place)}.")
            continue
        x, y, turned = place
        if turned not in (True, False):
            faults.append(f"Pan {number} is neither turned nor not: {turned}.")
        wide, deep = (outside_mm[1], outside_mm[0]) if turned else (outside_mm[0], outside_mm[1])
        boxes.append((number, x, y, x + wide, y + deep))
        for low, high, side in ((x, x + wide, shelf_mm[0]), (y, y + deep, shelf_mm[1])):
            clear = min(low, side - high)
            if not clear >= air_mm - SLACK:
                faults.append(f"Pan {number} is {clear} mm from a wall, not {air_mm} mm.")
    for index, (number, left, low, right, high) in enumerate(boxes):
        for other, other_left, other_low, other_right, other_high in boxes[:index]:
            beside = max(left - other_right, other_left - right)
            behind = max(low - other_high, other_low - high)
            if not max(beside, behind) >= air_mm - SLACK:
                faults.append(f"Pans {other} and {number} are not {air_mm} mm apart.")
    return faults


def _miscounted(what: str, at_mm: Sequence[Sequence[float]], count: int) -> list[str]:
    if len(at_mm) == count:
        return []
    return [f"{count} {what} are said to fit, {len(at_mm)} are placed."]


def _no_lengths(*lengths_mm: float) -> list[str]:
    return [f"{each} is no length." for each in lengths_mm if not (_is_number(each) and each > 0)]


def _is_number(value: float) -> bool:
    return isinstance(value, int | float) and math.isfinite(value)
