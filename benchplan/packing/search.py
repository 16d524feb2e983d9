"""Looks for one tin more than rows hold: layouts that follow no pattern.

Too many tins are put down anyhow, or in the rows of slightly smaller tins, and settle where they
overlap least. Then again and again a tin in trouble moves to the largest hole, or some are shaken,
and what overlaps less is kept, until nothing overlaps or the stop rule says so.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from functools import partial

from benchplan.model.stop import Iterations, Stop
from benchplan.packing.geometry import MISS_MM, TOLERANCE_MM, Point, Room
from benchplan.packing.overlap import Points, lack, settle
from benchplan.packing.rows import best_rows

Reduced = tuple[Point, ...]
"""Places in a room in units of the least distance: the same for every pan of that shape."""

StopFor = Callable[[int], Stop]
"""The stop rule for trying so many tins."""

VERSION = 1
"""Of the search: another number, another answer. Answers that are kept are kept under it."""

MOST_SEARCHED = 100
"""Pans of more tins than this are left to rows."""

_MISS = 0.5  # what layouts aim at misses the least distance by this share of the tolerance,
_OFF = 0.25  # and this is how near, in the same measure, it must come
_SMALLER = (0.99, 0.98, 0.97, 0.96, 0.95, 0.94, 0.92, 0.9, 0.88)
_IN_VAIN = 25  # hops in vain before everything is put down anew
_HOLES = 30  # places tried for the largest hole
_rough = partial(settle, flat=1e-3, most=400)
_fine = partial(settle, flat=1e-7, most=3000)
_WORTH_FINE = 2e-4


def usual_stop(count: int) -> Stop:
    """Return the usual stop rule for trying ``count`` tins: about 2 s up to 20, 8 s up to 60."""
    return Iterations(usual_hops(count))


def usual_hops(count: int) -> int:
    """Return how many hops the usual stop rule allows."""
    if count <= 20:
        return min(400, 4000 // max(count, 1))
    return (14_000 if count <= 60 else 8_000) // count


def more_than(
    room: Room, count: int, most: int, stop_for: StopFor, seed: int = 0
) -> Iterator[Reduced]:
    """Yield places for more than ``count`` tins, at most ``most``: each better layout as it stands.

    ``stop_for`` gives the stop rule for each number tried, asked before every hop. A room that lies
    across gives the answer of the room that lies along, turned.
    """
    if room.deep > room.wide:
        yield from map(turned, more_than(room.turned(), count, most, stop_for, seed))
        return
    rng = random.Random(f"{seed} {room.wide / room.apart:.9f} {room.deep / room.apart:.9f}")
    while count < min(most, MOST_SEARCHED):
        found = _place(room, count + 1, stop_for(count + 1), rng)
        if not found:
            break
        count += 1
        yield found


def in_room(places: Reduced, room: Room) -> tuple[Point, ...]:
    """Return places in least distances as centres in mm from the floor's corner."""
    return tuple(room.point(x * room.apart, y * room.apart) for x, y in places)


def turned(places: Reduced) -> Reduced:
    """Return places with the two sides of their room swapped."""
    return in_fill_order([(y, x) for x, y in places])


def _place(room: Room, count: int, stop: Stop, rng: random.Random) -> Reduced:
    """Return ``count`` places that hold, or () when the stop rule comes first."""
    wide, deep = room.wide / room.apart, room.deep / room.apart
    off = TOLERANCE_MM / room.apart
    apart, good = 1 - _MISS * off, (_OFF * off) ** 2 / 2
    rows = _rows_of_smaller(wide, deep, count)
    while not stop():
        here = _thinned(rows.pop(), count, rng) if rows else _anyhow(wide, deep, count, rng)
        energy, here = _rough(here, wide, deep, apart, good=good)
        in_vain = 0
        while energy > good and in_vain < _IN_VAIN and not stop():
            there = _hop(here, wide, deep, apart, rng)
            lower, there = _rough(there, wide, deep, apart, good=good)
            if good < lower < min(energy, _WORTH_FINE):
                lower, there = _fine(there, wide, deep, apart, good=good)
            in_vain += 1
            if lower < energy * (1 - 1e-4):
                energy, here, in_vain = lower, there, 0
        if energy <= good:
            places = in_fill_order([(at.real, at.imag) for at in widest(here, room, apart)[0]])
            if room.holds(in_room(places, room), MISS_MM):
                return places
    return ()


def widest(points: Sequence[complex], room: Room, apart: float) -> tuple[Points, float]:
    """Return points moved as far apart as they go from where they are, and how far that is.

    They are ``apart`` already, all in least distances. Spare room is shared out: wider and wider
    distances are tried, with smaller and smaller steps.
    """
    wide, deep = room.wide / room.apart, room.deep / room.apart
    good = (_OFF * TOLERANCE_MM / room.apart) ** 2 / 2
    here, step = list(points), 0.02
    while step > 1e-5:
        energy, there = _fine(here, wide, deep, apart + step, good=good)
        if energy <= good:
            here, apart = there, apart + step
        else:
            step /= 4
    return here, apart


def in_fill_order(places: Sequence[Point]) -> Reduced:
    """Return places in the order in which a person fills: row by row, as far as there are rows."""
    rows: list[list[Point]] = []
    for x, y in sorted(places, key=lambda at: (at[1], at[0])):
        if not rows or y - rows[-1][0][1] > 0.5:
            rows.append([])
        rows[-1].append((x, y))
    return tuple(at for row in rows for at in sorted(row))


def _rows_of_smaller(wide: float, deep: float, count: int) -> list[Points]:
    """Return layouts of ``count`` or more in rows, of tins smaller by as little as will do."""
    found: list[Points] = []
    for apart in _SMALLER:
        rows = best_rows(Room(wide, deep, apart)).at_mm
        if len(rows) >= count:
            found.append([complex(*at) for at in rows])
            if len(found) == 3:
                break
    return found[::-1] * 2


def _thinned(points: Points, count: int, rng: random.Random) -> Points:
    """Return ``count`` of the points, a little shaken."""
    kept = rng.sample(points, count)
    return [at + complex(rng.gauss(0, 0.03), rng.gauss(0, 0.03)) for at in kept]


def _anyhow(wide: float, deep: float, count: int, rng: random.Random) -> Points:
    return [complex(rng.random() * wide, rng.random() * deep) for _ in range(count)]


def _hop(here: Points, wide: float, deep: float, apart: float, rng: random.Random) -> Points:
    """Return the points after a move: the worst one into a hole, or all or some of them shaken."""
    there = list(here)
    kind = rng.random()
    if kind < 0.4:
        worst = max(
            range(len(there)),
            key=lambda index: lack(there, index, there[index], apart) * (0.5 + rng.random()),
        )
        holes = (complex(rng.random() * wide, rng.random() * deep) for _ in range(_HOLES))
        there[worst] = min(holes, key=lambda at: lack(there, worst, at, apart))
        return there
    if kind < 0.8:
        size = 0.05 + 0.3 * rng.random()
        return [at + complex(rng.gauss(0, size), rng.gauss(0, size)) for at in there]
    middle = complex(rng.random() * wide, rng.random() * deep)
    return [
        at + complex(rng.gauss(0, 0.4), rng.gauss(0, 0.4)) if abs(at - middle) < 1.6 else at
        for at in there
    ]
