"""How many pans of one kind stand on an oven shelf, either way round and mixed.

A pan with ``air`` to its right and behind it, on a shelf that lacks one ``air`` each way, is the
same as pans that may touch; all here is about such blocks, ``size`` in a ``room``. Air is measured
straight across: two pans keep it along the shelf's length or along its width.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from benchplan.packing.geometry import ROUNDING_MM, TOLERANCE_MM, sensible
from benchplan.packing.packer import Packed

Spot = tuple[float, float, bool]
Side = tuple[float, float]

_Block = tuple[float, float, float, float]  # left, low, wide, deep
_Box = tuple[float, float, float, float, bool]  # left, low, right, high, turned

_NEAR = 1e-9
_MOST_PANS = 200
_MANY = 500
_FEW = 8
_MOST_LOOKS = 100_000


def pack_pans(shelf_mm: Sequence[float], outside_mm: Sequence[float], air_mm: float) -> Packed:
    """Return the most pans of ``outside_mm`` on a shelf, ``air_mm`` from each other and the walls.

    ``at_mm`` are (x, y, turned): the corner nearest the shelf's, and whether the pan is turned a
    quarter. Where at most eight can fit by area every arrangement is looked at, so the bound is
    nearly always reached; above, up to four blocks of pans that stand alike are tried. Lengths that
    are no lengths give 0 pans, and no more than two hundred are ever laid out.
    """
    if not sensible(*shelf_mm, *outside_mm) or not 0 <= air_mm <= max(shelf_mm):
        return Packed(0, 0, "rows", ())
    return _pack(tuple(shelf_mm), tuple(outside_mm), air_mm)


@lru_cache(maxsize=256)
def _pack(shelf_mm: tuple[float, ...], outside_mm: tuple[float, ...], air_mm: float) -> Packed:
    size = (outside_mm[0] + air_mm, outside_mm[1] + air_mm)
    room = (shelf_mm[0] - air_mm + ROUNDING_MM, shelf_mm[1] - air_mm + ROUNDING_MM)
    # The bound is for all layouts that pass the tolerance: each side of a pan, and each wall.
    small = (size[0] - TOLERANCE_MM, size[1] - TOLERANCE_MM)
    large = (room[0] + 2 * TOLERANCE_MM, room[1] + 2 * TOLERANCE_MM)
    most = _bound(large, small)
    spots = _in_blocks(room, size)
    by = "rows"
    while len(spots) < most <= _FEW:
        found = _arranged(room, size, len(spots) + 1)
        if found:
            spots, by = found, "search"
            continue
        if _arranged(large, small, len(spots) + 1) == ():
            most = len(spots)
        break
    placed = sorted(spots, key=lambda spot: (round(spot[1], 6), spot[0]))[:_MOST_PANS]
    at_mm = tuple((x + air_mm, y + air_mm, turned) for x, y, turned in placed)
    return Packed(len(at_mm), most, by, at_mm)


def _bound(room: Side, size: Side) -> int:
    """Return a proven bound, by area and by a lattice of which every pan covers a point.

    Where pans can stand one way round only, each covers a point of a lattice spaced like its sides,
    which plain rows have. Either way round it covers one of a lattice spaced like its short side;
    one such has no more points in the room than ``_lattice``. The area is what sides of pans laid
    end to end can make use of.
    """
    straight, turned = _rows(*room, size), _rows(*room, size[::-1])
    if not math.prod(straight) or not math.prod(turned):
        return max(math.prod(straight), math.prod(turned))
    wide, deep = room
    if _lattice(room, size) <= _MANY:
        wide, deep = _sums(wide, size)[-1], _sums(deep, size)[-1]
    return min(_lattice(room, size), int(wide * deep / (size[0] * size[1]) + _NEAR))


def _lattice(room: Side, size: Side) -> int:
    return int(room[0] / min(size)) * int(room[1] / min(size))


def _sums(length: float, size: Side) -> list[float]:
    """Return, sorted, all lengths up to ``length`` that sides of pans make end to end, from 0."""
    one, two = size
    sums = {
        first * one + second * two
        for first in range(int(length / one) + 1)
        for second in range(int((length - first * one) / two + _NEAR) + 1)
    }
    return sorted(sums)


def _in_blocks(room: Side, size: Side) -> tuple[Spot, ...]:
    """Return the most pans in one to four blocks of pans that stand alike."""
    if _lattice(room, size) > _MANY:
        return _grid((0.0, 0.0, *room), size)
    along = _cut_in_four(room, size)
    across = _cut_in_four(room[::-1], size[::-1])
    spots = tuple(spot for block in along for spot in _grid(block, size))
    swapped = tuple(spot for block in across for spot in _grid(block, size[::-1]))
    if len(swapped) > len(spots):
        return tuple((y, x, turned) for x, y, turned in swapped)
    return spots


def _cut_in_four(room: Side, size: Side) -> tuple[_Block, ...]:
    """Return the blocks that hold most: the room, or cut across and then either part along."""
    wide, deep = room
    along = _sums(deep, size)[1:]

    def cut_along(left: float, right: float) -> tuple[_Block, ...]:
        whole: tuple[_Block, ...] = ((left, 0.0, right - left, deep),)
        halves = [((left, 0.0, right - left, y), (left, y, right - left, deep - y)) for y in along]
        return max([whole, *halves], key=lambda blocks: _held(blocks, size))

    best: tuple[_Block, ...] = ((0.0, 0.0, wide, deep),)
    for x in _sums(wide, size):
        blocks = (*cut_along(0.0, x), *cut_along(x, wide))
        if _held(blocks, size) > _held(best, size):
            best = blocks
    return best


def _rows(wide: float, deep: float, size: Side) -> tuple[int, int]:
    """Return how many pans stand beside and behind each other in a block, all as ``size``."""
    return int(wide / size[0] + _NEAR), int(deep / size[1] + _NEAR)


def _held(blocks: Sequence[_Block], size: Side) -> int:
    """Return how many pans blocks hold, each block the way round that holds more."""
    return sum(
        max(math.prod(_rows(wide, deep, size)), math.prod(_rows(wide, deep, size[::-1])))
        for _, _, wide, deep in blocks
    )


def _grid(block: _Block, size: Side) -> tuple[Spot, ...]:
    """Return the pans of one block, all the way round that holds more, as far as they are laid."""
    left, low, wide, deep = block
    straight, turned = _rows(wide, deep, size), _rows(wide, deep, size[::-1])
    turn = math.prod(turned) > math.prod(straight)
    (beside, behind), (step_x, step_y) = (turned, size[::-1]) if turn else (straight, size)
    return tuple(
        (left + x * step_x, low + y * step_y, turn)
        for y in range(min(behind, _MOST_PANS))
        for x in range(min(beside, _MOST_PANS // (y + 1)))
    )


def _arranged(room: Side, size: Side, pans: int) -> tuple[Spot, ...] | None:
    """Return places for so many pans, () where there are none, None where that took too long.

    Any arrangement can be pushed towards the corner until every pan stands at sums of pan sides. So
    go through such points row by row: at each, unless a pan covers it already, stands the corner of
    a pan, or the cell up to the next point stays empty; and only so much of the shelf may.
    """
    columns, rows = _sums(room[0], size), _sums(room[1], size)
    cells = [
        (x, y, (next_x - x) * (next_y - y))
        for y, next_y in zip(rows, [*rows[1:], room[1]], strict=True)
        for x, next_x in zip(columns, [*columns[1:], room[0]], strict=True)
    ]
    looks = 0

    def look(cell: int, spare: float, boxes: tuple[_Box, ...]) -> tuple[_Box, ...] | None:
        nonlocal looks
        looks += 1
        if len(boxes) == pans:
            return boxes
        if looks > _MOST_LOOKS:
            return None
        while cell < len(cells) and any(_covers(box, cells[cell]) for box in boxes):
            cell += 1
        if cell == len(cells):
            return None
        x, y, area = cells[cell]
        for turned, (wide, deep) in ((False, size), (True, size[::-1])):
            box = (x, y, x + wide, y + deep, turned)
            if box[2] > room[0] + _NEAR or box[3] > room[1] + _NEAR:
                continue
            if not any(_overlap(box, other) for other in boxes):
                found = look(cell + 1, spare, (*boxes, box))
                if found:
                    return found
        return look(cell + 1, spare - area, boxes) if area <= spare else None

    found = look(0, room[0] * room[1] - pans * size[0] * size[1] + _NEAR, ())
    if found:
        return tuple((x, y, turned) for x, y, _, _, turned in found)
    return None if looks > _MOST_LOOKS else ()


def _covers(box: _Box, cell: tuple[float, float, float]) -> bool:
    return box[0] - _NEAR <= cell[0] < box[2] - _NEAR and box[1] - _NEAR <= cell[1] < box[3] - _NEAR


def _overlap(one: _Box, two: _Box) -> bool:
    return (
        one[0] < two[2] - _NEAR
        and two[0] < one[2] - _NEAR
        and one[1] < two[3] - _NEAR
        and two[1] < one[3] - _NEAR
    )
