"""How tins settle: always downhill, to where nothing overlaps if there is such a place."""

from __future__ import annotations

import cmath
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.packing import overlap
from benchplan.packing.overlap import lack, settle

HOW = {"good": 1e-20, "flat": 1e-12, "most": 2000}


def energy(points: list[complex], wide: float, deep: float, apart: float) -> float:
    """Return the energy as the module's docstring says it, one term after the other."""
    total = sum(
        max(0.0, apart - abs(one - two)) ** 2
        for index, one in enumerate(points)
        for two in points[:index]
    )
    for at in points:
        total += max(0.0, -at.real, at.real - wide) ** 2
        total += max(0.0, -at.imag, at.imag - deep) ** 2
    return total / 2


def crowd(seed: int, count: int = 12) -> list[complex]:
    rng = random.Random(seed)
    return [complex(rng.uniform(-0.2, 3.2), rng.uniform(-0.2, 2.2)) for _ in range(count)]


@pytest.mark.parametrize("seed", range(5))
def test_the_slope_is_that_of_the_energy(seed: int) -> None:
    points = crowd(seed)
    near = overlap._pairs(points, 1.3)
    found, slope = overlap._energy(points, near, 3.0, 2.0, 1.0)
    assert found == pytest.approx(energy(points, 3.0, 2.0, 1.0), rel=1e-12)
    small = 1e-6
    for index, at in enumerate(points):
        for way in (1, 1j):
            sides = []
            for sign in (1, -1):
                moved = [*points[:index], at + sign * small * way, *points[index + 1 :]]
                sides.append(energy(moved, 3.0, 2.0, 1.0))
            part = slope[index].real if way == 1 else slope[index].imag
            assert (sides[0] - sides[1]) / (2 * small) == pytest.approx(part, abs=1e-7)


@pytest.mark.parametrize("seed", range(20))
def test_settling_never_rises_and_says_the_energy_it_reached(seed: int) -> None:
    points = crowd(seed)
    reached, settled = settle(points, 3.0, 2.0, 1.0, **HOW)
    assert reached <= energy(points, 3.0, 2.0, 1.0)
    assert reached == pytest.approx(energy(settled, 3.0, 2.0, 1.0), rel=1e-9, abs=1e-18)
    assert points == crowd(seed)  # what was given is left alone


def test_what_can_stand_apart_does() -> None:
    reached, settled = settle(crowd(3, 7), 3.0, 2.0, 1.0, **HOW)
    assert reached <= 1e-20
    assert energy(settled, 3.0, 2.0, 1.0) <= 1e-20


def test_one_place_for_all_is_left() -> None:
    reached, settled = settle([1 + 1j] * 4, 3.0, 2.0, 1.0, **HOW)
    assert reached <= 1e-20
    assert len({(round(at.real, 3), round(at.imag, 3)) for at in settled}) == 4


@pytest.mark.parametrize("outside", [-0.3 + 1j, 3.4 + 1j, 1 - 0.2j, 1 + 2.5j, -1 - 1j, 4 + 3j])
def test_who_stands_outside_comes_in_by_the_nearest_wall(outside: complex) -> None:
    reached, (settled,) = settle([outside], 3.0, 2.0, 1.0, **HOW)
    assert reached <= 1e-20
    inside = complex(min(max(outside.real, 0.0), 3.0), min(max(outside.imag, 0.0), 2.0))
    assert settled == pytest.approx(inside, abs=1e-9)


def test_too_many_settle_where_the_slope_is_none() -> None:
    """Three in a room 1 long: the middle pushes each outer one through the wall, the wall back.

    At a outside, the wall's push a equals the lack 1 - (0.5 + a): a = 0.25, and the energy is half
    of four squares of 0.25.
    """
    reached, settled = settle([0j, 0.4 + 0j, 1 + 0j], 1.0, 0.0, 1.0, **HOW)
    assert settled == pytest.approx([-0.25, 0.5, 1.25], abs=1e-5)
    assert reached == pytest.approx(0.125, rel=1e-9)


@settings(max_examples=40)
@given(
    st.lists(st.complex_numbers(max_magnitude=5, allow_nan=False), min_size=1, max_size=14),
    st.floats(0, 4),
    st.floats(0, 3),
    st.integers(1, 300),
)
def test_any_crowd_settles_no_higher_and_in_so_many_looks(
    points: list[complex], wide: float, deep: float, most: int
) -> None:
    before = energy(points, wide, deep, 1.0)
    reached, settled = settle(points, wide, deep, 1.0, good=1e-20, flat=1e-9, most=most)
    assert len(settled) == len(points)
    assert all(cmath.isfinite(at) for at in settled)
    assert reached <= before * (1 + 1e-12)
    assert reached == pytest.approx(energy(settled, wide, deep, 1.0), rel=1e-6, abs=1e-15)
    further, _ = settle(points, wide, deep, 1.0, good=1e-20, flat=1e-9, most=most + 100)
    assert further <= reached


def test_it_ends_after_so_many_looks() -> None:
    before = energy(crowd(1), 3.0, 2.0, 1.0)
    reached, settled = settle(crowd(1), 3.0, 2.0, 1.0, good=0.0, flat=0.0, most=1)
    assert (reached, settled) == (pytest.approx(before), crowd(1))


def test_looks_are_counted_and_what_is_good_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    look, looks = overlap._energy, 0

    def counted(*what: object) -> object:
        nonlocal looks
        looks += 1
        return look(*what)  # type: ignore[arg-type]

    monkeypatch.setattr(overlap, "_energy", counted)
    settle(crowd(1, 30), 3.0, 2.0, 1.0, good=0.0, flat=0.0, most=40)
    assert 40 <= looks <= 60, "one more line search at the most"
    looks = 0
    reached = energy(crowd(1), 3.0, 2.0, 1.0)
    assert settle(crowd(1), 3.0, 2.0, 1.0, good=2 * reached, flat=0.0, most=40)[1] == crowd(1)
    assert looks == 1


def test_lack_is_what_a_place_would_cost() -> None:
    points = [0j, 1 + 0j, 3 + 0j]
    assert lack(points, 0, 0.5 + 0j, 1.0) == pytest.approx(0.25)
    assert lack(points, 0, 2 + 0j, 1.0) == 0.0
    assert lack(points, 0, 2.5 + 0j, 1.0) == pytest.approx(0.25)  # of the nearer one alone
