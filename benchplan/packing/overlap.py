"""How far tins overlap when there are too many, and how they settle where they overlap least.

Points are complex numbers in a room of ``wide`` × ``deep``; all lengths in units of the least
distance, as in ``patterns``. The energy of a layout is half the sum of the squares of every lack
of distance between two points and of every step outside the room: 0 when all is right.
"""

from __future__ import annotations

from collections.abc import Sequence

Points = list[complex]
Near = list[tuple[int, list[int]]]

_SKIN = 0.3  # pairs are listed up to this much farther than they matter, so that lists last
_MEMORY = 6  # how many steps back the shape of the energy is remembered
_STEP = 0.3  # no point moves farther in one step
_ALONE = 1e-12


def settle(
    points: Sequence[complex],
    wide: float,
    deep: float,
    apart: float,
    *,
    good: float,
    flat: float,
    most: int,
) -> tuple[float, Points]:
    """Move points downhill; return the energy reached and the points.

    Ends at an energy of ``good``, where the slope squared is under ``flat`` times the energy, or
    after ``most`` looks at the energy. Limited-memory BFGS (J. Nocedal, Updating quasi-Newton
    matrices with limited storage, Math. Comp. 35, 1980) with a halving line search.
    """
    here = list(points)
    near, listed = _pairs(here, apart + _SKIN), here
    energy, slope = _energy(here, near, wide, deep, apart)
    steps: list[tuple[Points, Points, float]] = []
    looks = 1
    steep = _dot(slope, slope)
    while energy > good and steep > flat * energy and looks < most:
        way = _downhill(slope, steps)
        down = _dot(slope, way)
        if down <= 0:
            way, down, steps = slope, steep, []
        size = min(1.0, _STEP / max(map(abs, way)))
        while True:
            there = [at - size * by for at, by in zip(here, way, strict=True)]
            if max(abs(at - was) for at, was in zip(there, listed, strict=True)) > _SKIN / 2:
                near, listed = _pairs(there, apart + _SKIN), there
            lower, tilt = _energy(there, near, wide, deep, apart)
            looks += 1
            if lower <= energy - 1e-4 * size * down or size < 1e-6:
                break
            size *= 0.4
        if lower >= energy:
            break
        moved = [after - before for after, before in zip(there, here, strict=True)]
        turned = [after - before for after, before in zip(tilt, slope, strict=True)]
        along = _dot(moved, turned)
        if along > 1e-14 * _dot(turned, turned):
            steps = [*steps[1 - _MEMORY :], (moved, turned, 1 / along)]
        here, energy, slope = there, lower, tilt
        steep = _dot(slope, slope)
    return energy, here


def lack(points: Sequence[complex], index: int, at: complex, apart: float) -> float:
    """Return how much a point would overlap the others at a place: squares of lacks, summed."""
    total = 0.0
    for other, place in enumerate(points):
        if other != index:
            between = abs(place - at)
            if between < apart:
                total += (apart - between) ** 2
    return total


def _energy(
    points: Points, near: Near, wide: float, deep: float, apart: float
) -> tuple[float, Points]:
    """Return the energy and its slope at every point."""
    slope = [0j] * len(points)
    energy = 0.0
    for index, others in near:
        at, own = points[index], 0j
        for other in others:
            away = at - points[other]
            between = abs(away)
            if between < apart:
                short = apart - between
                energy += short * short
                push = away * (short / between) if between > _ALONE else complex(short)
                own -= push
                slope[other] += push
        slope[index] += own
    for index, at in enumerate(points):
        x, y = at.real, at.imag
        if x < 0:
            energy += x * x
            slope[index] += x
        elif x > wide:
            energy += (x - wide) ** 2
            slope[index] += x - wide
        if y < 0:
            energy += y * y
            slope[index] += complex(0, y)
        elif y > deep:
            energy += (y - deep) ** 2
            slope[index] += complex(0, y - deep)
    return energy / 2, slope


def _pairs(points: Points, reach: float) -> Near:
    """Return for each point those after it, from left to right, that are within ``reach``."""
    order = sorted(range(len(points)), key=lambda index: points[index].real)
    near = []
    for place, index in enumerate(order):
        at, others = points[index], []
        end = at.real + reach
        for other in order[place + 1 :]:
            if points[other].real > end:
                break
            if abs(points[other] - at) < reach:
                others.append(other)
        if others:
            near.append((index, others))
    return near


def _downhill(slope: Points, steps: list[tuple[Points, Points, float]]) -> Points:
    """Return the step to take against (two-loop recursion)."""
    if not steps:
        return [0.5 * each for each in slope]
    way = slope
    parts = []
    for moved, turned, share in reversed(steps):
        part = share * _dot(moved, way)
        parts.append(part)
        way = [each - part * by for each, by in zip(way, turned, strict=True)]
    _, turned, share = steps[-1]
    scale = 1 / (share * _dot(turned, turned))
    way = [scale * each for each in way]
    for (moved, turned, share), part in zip(steps, reversed(parts), strict=True):
        more = part - share * _dot(turned, way)
        way = [each + more * by for each, by in zip(way, moved, strict=True)]
    return way


def _dot(one: Points, two: Points) -> float:
    return sum([a.real * b.real + a.imag * b.imag for a, b in zip(one, two, strict=True)])
