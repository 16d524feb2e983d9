"""How near a fit is to the next one: what it could spare, and what one more tin would need.

Every number is tried before it is given, to a tenth of a millimetre on the safe side: a length to
spare is never too much, a length that is needed never too little. One change at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchplan.model import Margins
from benchplan.packing.geometry import TOLERANCE_MM, Room, room_for
from benchplan.packing.overlap import settle
from benchplan.packing.packer import Packed
from benchplan.packing.rows import best_rows

_TENTH = 10  # steps in a millimetre


def margins(
    inside_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    packed: Packed,
) -> Margins | None:
    """Return the margins of what ``packed`` holds; None where nothing stands."""
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None or not packed.count:
        return None
    length, width = inside_mm

    def still(length: float, width: float, tin: float) -> bool:
        other = room_for((length, width), tin, gap_mm, edge_mm)
        return other is not None and _holds(other, room, packed)

    def one_more(length: float, width: float, tin: float, gap: float) -> bool:
        other = room_for((length, width), tin, gap, edge_mm)
        return other is not None and best_rows(other, packed.count + 1).count > packed.count

    gap_less = _least(gap_mm, lambda by: one_more(length, width, diameter_mm, gap_mm - by))
    return Margins(
        larger_tin=_most(diameter_mm, lambda by: still(length, width, diameter_mm + by)),
        shorter=_most(length, lambda by: still(length - by, width, diameter_mm)),
        narrower=_most(width, lambda by: still(length, width - by, diameter_mm)),
        longer=_least(length / 2, lambda by: one_more(length + by, width, diameter_mm, gap_mm)),
        wider=_least(width / 2, lambda by: one_more(length, width + by, diameter_mm, gap_mm)),
        gap=None if gap_less is None else round(gap_mm - gap_less, 1),
        smaller_tin=_least(
            diameter_mm / 2, lambda by: one_more(length, width, diameter_mm - by, gap_mm)
        ),
    )


def _holds(other: Room, room: Room, packed: Packed) -> bool:
    """Whether another room holds as many, in rows or settled from where they stand now."""
    if best_rows(other, packed.count).count >= packed.count:
        return True
    if packed.by != "search":
        return False
    wide, deep = other.wide / other.apart, other.deep / other.apart
    across = other.wide / room.wide if room.wide else 0.0
    along = other.deep / room.deep if room.deep else 0.0
    begin = [
        complex((x - room.corner) * across, (y - room.corner) * along) / other.apart
        for x, y, *_ in packed.at_mm
    ]
    off = TOLERANCE_MM / other.apart
    good = (off / 4) ** 2 / 2
    energy, _ = settle(begin, wide, deep, 1 - off / 2, good=good, flat=1e-7, most=1000)
    return energy <= good


def _most(side: float, holds: Callable[[float], bool]) -> float:
    """Return the largest change to a tenth, up to half of ``side``, up to which it holds."""
    low, high = 0, int(side / 2 * _TENTH)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if holds(middle / _TENTH) else (low, middle - 1)
    return low / _TENTH


def _least(most: float, holds: Callable[[float], bool]) -> float | None:
    """Return the smallest change to a tenth, up to ``most``, from which it holds."""
    low, high = 1, int(most * _TENTH)
    if high < low or not holds(high / _TENTH):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle / _TENTH) else (middle + 1, high)
    return low / _TENTH
