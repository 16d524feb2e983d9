"""How many tins a pan or a mat takes, and where each one stands."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchplan.packing.bounds import most_possible
from benchplan.packing.geometry import MISS_MM, Point, room_for
from benchplan.packing.rows import best_rows
from benchplan.packing.search import VERSION, Reduced, StopFor, in_room, more_than, turned

_MOST_WEIGHED = 400


@dataclass(frozen=True, slots=True)
class Packed:
    """``count`` things placed, at most ``most_possible`` of them (None: not asked for).

    ``by`` is "rows" or "search". ``at_mm`` are centres of tins in mm from the floor's corner, or
    for pans (x, y, turned), in the order in which a person fills: row by row from the corner.
    ``places`` are the same in least distances, where a search found them.
    """

    count: int
    most_possible: int | None
    by: str
    at_mm: tuple[Point, ...] | tuple[tuple[float, float, bool], ...]
    places: Reduced = ()


def pack_tins(
    inside_mm: Sequence[float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    *,
    tidy: bool = False,
    stop_for: StopFor | None = None,
    seed: int = 0,
    known: Iterable[Reduced] = (),
    tell: Callable[[Packed], None] | None = None,
) -> Packed:
    """Return the most tins found on a floor of ``inside_mm``, and a proven bound beside it.

    Rows are exact and at once; among equal numbers they are the answer, and where a pan is to be
    ``tidy`` nothing else is. ``known`` are ``places`` of answers from before, or
    of other pans: those of more tins than rows hold are taken where every tin stands right. With
    ``stop_for`` (the stop rule for each number tried) a search goes on from there: the same
    ``seed``, stop rule and known layouts give the same answer. ``tell`` hears each better answer,
    the rows first. Lengths that are no lengths give 0 tins (``geometry.room_for`` says which), and
    no more than ``rows.MOST_TINS`` are ever laid out.
    """
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None:
        return Packed(0, 0, "rows", ())
    most = most_possible(inside_mm, diameter_mm, gap_mm, edge_mm)
    rows = best_rows(room, most)
    best = Packed(rows.count, most, "rows", rows.at_mm)
    if tidy:
        return best
    more = (each for each in known if best.count < len(each) <= most)
    for places in (way for each in more for way in (each, turned(each))):
        if best.count < len(places) and room.holds(in_room(places, room), MISS_MM):
            best = Packed(len(places), most, "search", in_room(places, room), places)
    if stop_for is None:
        return best
    if tell is not None:
        tell(best)
    for places in more_than(room, best.count, most, stop_for, seed):
        best = Packed(len(places), most, "search", in_room(places, room), places)
        if tell is not None:
            tell(best)
    return best


def search_key(
    inside_mm: Sequence[float], diameter_mm: float, gap_mm: float, edge_mm: float
) -> str:
    """Return the key of a search with the usual stop rule: the same for pans of one shape.

    "" where not one tin stands.
    """
    room = room_for(inside_mm, diameter_mm, gap_mm, edge_mm)
    if room is None:
        return ""
    sides = sorted((room.wide / room.apart, room.deep / room.apart), reverse=True)
    return f"tins {VERSION} usual {sides[0]:.9f} {sides[1]:.9f}"


def pack_mat(mat_mm: Sequence[float], diameter_mm: float, gap_mm: float) -> Packed:
    """Return tidy rows of tins on a mat, ``gap_mm`` apart; they may touch the mat's border."""
    rows = pack_tins(mat_mm, diameter_mm, gap_mm, 0.0, tidy=True)
    return Packed(rows.count, None, "rows", rows.at_mm)


def spread(at_mm: Sequence[Point], tins: int) -> tuple[Point, ...]:
    """Return where ``tins`` tins stand when more would fit: evenly spread, in the same order.

    The places are those of the full pan. Every tin is pushed by the others and by the rim with the
    inverse square of the distance; places are given up, then changed one for another, while that
    makes all pushes together less.
    """
    if tins >= len(at_mm):
        return tuple(at_mm)
    return _spread(tuple(at_mm), max(tins, 0))


@lru_cache(maxsize=512)
def _spread(places: tuple[Point, ...], tins: int) -> tuple[Point, ...]:
    every = range(len(places))
    if len(places) > _MOST_WEIGHED:
        return tuple(places[index * len(places) // tins] for index in range(tins))
    gaps = (math.dist(places[one], places[two]) for one in every for two in range(one))
    nearest = min(gaps, default=1.0)
    rim = _rim_pushes(places, nearest / 2)
    push = [
        [0.0 if one == two else 2 / math.dist(places[one], places[two]) ** 2 for two in every]
        for one in every
    ]
    pushed = [rim[one] + sum(push[one]) for one in every]  # by the rim and by all that are kept
    kept, free = set(every), set[int]()

    def move(place: int, out_of: set[int], into: set[int], sign: int) -> None:
        out_of.remove(place)
        into.add(place)
        for one in every:
            pushed[one] += sign * push[one][place]

    while len(kept) > tins:
        move(max(kept, key=lambda one: (pushed[one], one)), kept, free, -1)
    while tins:
        change, old, new = min(
            (pushed[new] - push[new][old] - pushed[old], old, new) for old in kept for new in free
        )
        if change > -1e-9 * pushed[old]:
            break
        move(old, kept, free, -1)
        move(new, free, kept, 1)
    return tuple(places[index] for index in sorted(kept))


def _rim_pushes(places: tuple[Point, ...], margin: float) -> list[float]:
    """Return the push of the rim on each place, the rim being ``margin`` outside the outer ones.

    It pushes as from twice as far: evenly spread tins are twice as far from each other as from it.
    """
    pushes = [0.0] * len(places)
    for side in (0, 1):
        low = min(each[side] for each in places) - margin
        high = max(each[side] for each in places) + margin
        for index, each in enumerate(places):
            pushes[index] += 1 / (4 * (each[side] - low)) ** 2 + 1 / (4 * (high - each[side])) ** 2
    return pushes
