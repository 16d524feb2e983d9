"""Other sizes for what fits on the mat together, that make waste count.

A measure gives every size a weight such that whatever fits together by its sizes fits by its
weights too (a "dual feasible function", Fekete and Schepers 2001). So any bound on how long a room
is full holds with the weights as well, and where trays fill the mat badly it is higher.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

Weights = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Measure:
    """A weight for each size; ``room`` is the most that can be there together."""

    room: int
    weights: Weights


def measures(room: int, sizes: Weights) -> list[Measure]:
    """Return different measures for these sizes, each at most ``room``; the sizes come first."""
    found: dict[tuple[Fraction, ...], Measure] = {}
    for measure in _all(room, sizes):
        if any(measure.weights):
            key = tuple(Fraction(each, measure.room) for each in measure.weights)
            found.setdefault(key, measure)
    return list(found.values())


def _all(room: int, sizes: Weights) -> Iterator[Measure]:
    small = [limit for limit in sizes if 2 * limit <= room]
    small += [room - size + 1 for size in sizes if 2 * (room - size + 1) <= room]
    kept = [sizes, *(_all_or_nothing(room, sizes, limit) for limit in dict.fromkeys(small))]
    for weights in kept:
        yield Measure(room, weights)
        for parts in range(1, 13):
            yield _rounded(room, weights, parts)
    for limit in dict.fromkeys([*small, *(size // 2 + 1 for size in sizes)]):
        if 2 * limit <= room:
            yield _counted(room, sizes, limit)


def _all_or_nothing(room: int, sizes: Weights, limit: int) -> Weights:
    """Less than ``limit`` of the room counts as none, and what leaves less than that as all."""
    return tuple(room if size > room - limit else 0 if size < limit else size for size in sizes)


def _rounded(room: int, sizes: Weights, parts: int) -> Measure:
    """Of more than k/(parts + 1) of the room there fit as few as of (k + 1)/(parts + 1)."""

    def weight(size: int) -> int:
        whole, left = divmod((parts + 1) * size, room)
        return whole * room if left else parts * size

    return Measure(parts * room, tuple(map(weight, sizes)))


def _counted(room: int, sizes: Weights, limit: int) -> Measure:
    """Count in pieces of ``limit``: a large one takes all those that no longer fit beside it."""
    most = room // limit

    def weight(size: int) -> int:
        if 2 * size > room:
            return 2 * (most - (room - size) // limit)
        return most if 2 * size == room else 2 * (size // limit)

    return Measure(2 * most, tuple(map(weight, sizes)))
