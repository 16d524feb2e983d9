"""How near a fit is to the next one: what it could spare, and what one more tin would need.

Every number is tried before it is given, to a tenth of a millimetre on the safe side: a length to
spare is never too much, a length that is needed never too little. One change at a time.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from benchplan.model import Margins
from benchplan.packing.geometry import MISS_MM, TOLERANCE_MM, Room, room_for
from benchplan.packing.overlap import settle
from benchplan.packing.packer import Packed
from benchplan.packing.rows import best_rows
from benchplan.packing.search import MOST_SEARCHED

_STEPS = 10  # in a millimetre


def margins(
    inside_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    packed: Packed,
) -> Margins | None:
    """Return the margins of what ``packed`` holds.

    None where nothing stands, and above ``search.MOST_SEARCHED`` tins, where one more is little
    and the answer slow. What rows hold is spared as far as rows go, what a search found as far as
    its tins, moving aside from where they stand, still find room.
    """
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None or not 0 < packed.count <= MOST_SEARCHED:
        return None
    here, (length, width) = room, inside_mm

    def still(length: float, width: float, tin: float) -> bool:
        other = room_for((length, width), tin, gap_mm, edge_mm)
        return other is not None and _holds(other, here, packed)

    def one_more(length: float, width: float, tin: float, gap: float) -> bool:
        other = room_for((length, width), tin, gap, edge_mm)
        return other is not None and best_rows(other, packed.count + 1).count > packed.count

    below = math.ceil(gap_mm * _STEPS - 1e-6) - 1  # the widest smaller gap, in steps
    less = _least(0, below, lambda by: one_more(length, width, diameter_mm, (below - by) / _STEPS))
    return Margins(
        larger_tin=_most(diameter_mm / 2, lambda by: still(length, width, diameter_mm + by)),
        shorter=_most(length / 2, lambda by: still(length - by, width, diameter_mm)),
        narrower=_most(width / 2, lambda by: still(length, width - by, diameter_mm)),
        longer=_needed(length / 2, lambda by: one_more(length + by, width, diameter_mm, gap_mm)),
        wider=_needed(width / 2, lambda by: one_more(length, width + by, diameter_mm, gap_mm)),
        gap=None if less is None else (below - less) / _STEPS,
        smaller_tin=_needed(
            diameter_mm / 2, lambda by: one_more(length, width, diameter_mm - by, gap_mm)
        ),
    )


def _holds(other: Room, here: Room, packed: Packed) -> bool:
    """Whether another room holds as many: in rows, or settled from where a search put them."""
    if packed.by == "rows":
        return best_rows(other, packed.count).count >= packed.count
    along = other.wide / here.wide if here.wide else 0.0
    across = other.deep / here.deep if here.deep else 0.0
    begin = [
        complex((x - here.corner) * along, (y - here.corner) * across) / other.apart
        for x, y, *_ in packed.at_mm
    ]
    off = TOLERANCE_MM / other.apart
    wide, deep = other.wide / other.apart, other.deep / other.apart
    _, points = settle(begin, wide, deep, 1 - off / 2, good=(off / 4) ** 2 / 2, flat=1e-3, most=400)
    found = [other.point(at.real * other.apart, at.imag * other.apart) for at in points]
    return other.holds(found, MISS_MM)


def _most(most_mm: float, holds: Callable[[float], bool]) -> float:
    """Return the largest change in mm, 0 to ``most_mm``, up to which it holds."""
    low, high = 0, int(most_mm * _STEPS) + 1  # it holds at low, and not at high or nobody asks
    step = 1
    while low + step < high:  # most often there is little to spare
        if not holds((low + step) / _STEPS):
            high = low + step
            break
        low, step = low + step, step * 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle / _STEPS) else (low, middle)
    return low / _STEPS


def _needed(most_mm: float, holds: Callable[[float], bool]) -> float | None:
    """Return the smallest change in mm, up to ``most_mm``, from which it holds."""
    steps = _least(1, int(most_mm * _STEPS), lambda step: holds(step / _STEPS))
    return None if steps is None else steps / _STEPS


def _least(low: int, high: int, holds: Callable[[int], bool]) -> int | None:
    """Return the least whole number, ``low`` to ``high``, from which it holds."""
    if high < low or not holds(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle + 1, high)
    return low
