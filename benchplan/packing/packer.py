"""How many tins a pan takes, and where each one stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchplan.model.stop import Stop
from benchplan.packing.bounds import most_possible
from benchplan.packing.geometry import Point, room_for
from benchplan.packing.rows import best_rows


@dataclass(frozen=True, slots=True)
class Packed:
    """``count`` things placed of at most ``most_possible``; ``at_mm`` in the order of placing.

    ``at_mm`` are centres of tins in mm from the floor's corner, or for pans (x, y, turned).
    """

    count: int
    most_possible: int
    by: str
    at_mm: tuple[Point, ...] | tuple[tuple[float, float, bool], ...]


def pack_tins(
    inside_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    *,
    tidy: bool = False,
    stop: Stop | None = None,
    seed: int = 0,
    known: Packed | None = None,
) -> Packed:
    """Return the most tins found on a floor of ``inside_mm``, in rows, row by row from the corner.

    ``known`` is a layout found before for the same floor and tins; it is returned where it holds
    more than rows do and the pan need not be ``tidy``. Lengths that are no lengths give 0 tins.
    """
    most = most_possible(inside_mm, diameter_mm, gap_mm, edge_mm)
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None or not most:
        return Packed(0, most, "rows", ())
    found = best_rows(room, most)
    if known is not None and not tidy and known.count > found.count:
        return known
    return Packed(found.count, most, "rows", found.at_mm)


def pack_mat(mat_mm: Sequence[float], diameter_mm: float, gap_mm: float) -> Packed:
    """Return tidy rows of tins on a mat, ``gap_mm`` apart; they may touch the mat's border."""
    return pack_tins(mat_mm, diameter_mm, gap_mm, 0.0, tidy=True)


def spread(at_mm: Sequence[Point], tins: int) -> tuple[Point, ...]:
    """Return where ``tins`` tins stand, fewer than fit: the first ones in the order of placing."""
    return tuple(at_mm[:tins])
