"""How many pans of one kind stand on an oven shelf, either way round and mixed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from benchplan.packing.geometry import ROUNDING_MM, TOLERANCE_MM, sensible
from benchplan.packing.packer import Packed

Spot = tuple[float, float, bool]
_MANY = 12
"""Shelves that could take more pans along a side get a plain grid; of more than this in all, five
blocks are not tried: that takes seconds, and no oven shelf holds so many pans."""


def pack_pans(shelf_mm: Sequence[float], outside_mm: Sequence[float], air_mm: float) -> Packed:
    """Return the most pans of ``outside_mm`` on a shelf, ``air_mm`` from each other and the walls.

    ``at_mm`` are (x, y, turned): the corner nearest the shelf's, and whether the pan is turned a
    quarter. Every way of cutting the shelf in two, and of four blocks around a fifth, is tried.
    """
    if not sensible(*shelf_mm, *outside_mm) or not air_mm >= 0:
        return Packed(0, 0, "rows", ())
    size = (outside_mm[0] + air_mm, outside_mm[1] + air_mm)
    room = (shelf_mm[0] - air_mm + ROUNDING_MM, shelf_mm[1] - air_mm + ROUNDING_MM)
    most = _most(shelf_mm, outside_mm, air_mm)
    if min(room) <= 0 or not most:
        return Packed(0, most, "rows", ())
    if max(room) / min(size) > _MANY:
        spots = max(_grid(room, size, False), _grid(room, size, True), key=len)
    else:
        spots = _best(room, size)
    placed = tuple(sorted((x + air_mm, y + air_mm, turned) for x, y, turned in spots))
    return Packed(len(placed), max(most, len(placed)), "rows", placed)


def _most(shelf_mm: Sequence[float], outside_mm: Sequence[float], air_mm: float) -> int:
    """Return a proven bound: by area, and by a lattice of which every pan covers a point.

    A half-open square as wide as the pan's short side holds a point of every lattice spaced like
    it, and the shelf has room for no more points of one such lattice than the product below.
    """
    grown = [side - air_mm + 2 * TOLERANCE_MM for side in shelf_mm]
    size = [side + air_mm - TOLERANCE_MM for side in outside_mm]
    if min(grown) <= 0 or max(grown) < max(size) or min(grown) < min(size):
        return 0
    area = math.floor(grown[0] * grown[1] / (size[0] * size[1]) + 1e-9)
    short = min(size)
    lattice = math.floor(grown[0] / short + 1e-9) * math.floor(grown[1] / short + 1e-9)
    return min(area, lattice)


def _grid(room: tuple[float, float], size: tuple[float, float], turned: bool) -> tuple[Spot, ...]:
    wide, deep = (size[1], size[0]) if turned else size
    columns, rows = min(int(room[0] / wide), 100), min(int(room[1] / deep), 100)
    return tuple((x * wide, y * deep, turned) for x in range(columns) for y in range(rows))


def _cuts(length: float, size: tuple[float, float]) -> list[float]:
    """Return the positions at which a cut can matter: sums of pan sides below ``length``."""
    short, long = sorted(size)
    sums = {
        first * short + second * long
        for first in range(int(length / short) + 1)
        for second in range(int((length - first * short) / long) + 1)
    }
    return sorted(at for at in sums if ROUNDING_MM < at < length - ROUNDING_MM)


@lru_cache(maxsize=20_000)
def _best(room: tuple[float, float], size: tuple[float, float]) -> tuple[Spot, ...]:
    """Return the best spots in a room: plain grids, two parts, or four blocks around a fifth."""
    best = max(_grid(room, size, False), _grid(room, size, True), key=len)
    most = int(room[0] * room[1] / (size[0] * size[1]) + 1e-9)
    if len(best) >= most:
        return best
    for parts in _partitions(room, size):
        if sum(int(w * d / (size[0] * size[1]) + 1e-9) for _, _, w, d in parts) <= len(best):
            continue
        spots = tuple(
            (x + left, y + low, turned)
            for left, low, wide, deep in parts
            for x, y, turned in _best((round(wide, 6), round(deep, 6)), size)
        )
        if len(spots) > len(best):
            best = spots
            if len(best) >= most:
                break
    return best


def _partitions(
    room: tuple[float, float], size: tuple[float, float]
) -> Iterator[list[tuple[float, float, float, float]]]:
    """Yield ways to part a room, as (left, low, wide, deep) blocks."""
    wide, deep = room
    across, along = _cuts(wide, size), _cuts(deep, size)
    for x in across:
        yield [(0.0, 0.0, x, deep), (x, 0.0, wide - x, deep)]
    for y in along:
        yield [(0.0, 0.0, wide, y), (0.0, y, wide, deep - y)]
    if wide * deep > _MANY * size[0] * size[1]:
        return
    for x1 in across:
        for x2 in (x for x in across if x > x1):
            for y1 in along:
                for y2 in (y for y in along if y > y1):
                    yield [
                        (0.0, 0.0, x1, y2),
                        (0.0, y2, x2, deep - y2),
                        (x2, y1, wide - x2, deep - y1),
                        (x1, 0.0, wide - x1, y1),
                        (x1, y1, x2 - x1, y2 - y1),
                    ]
