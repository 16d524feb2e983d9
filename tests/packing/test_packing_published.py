"""Rows and bounds against published packings (sources in ``published_packings``)."""

from __future__ import annotations

import math

import pytest
from published_packings import (
    BEST_KNOWN,
    MOST_IN_SQUARE,
    OTHER_BEST,
    RADIUS_IN_SQUARE,
    ZIGZAGS,
    furedi,
)

from benchplan.packing import pack_tins
from benchplan.packing.bounds import few, most_possible, oler, strips
from benchplan.packing.check import check_tins

LARGE = 100_000.0  # mm: so that the tolerance of 0.001 mm is next to nothing


def count(wide: float, deep: float, diameter: float) -> int:
    packed = pack_tins((wide, deep), diameter, 0.0, 0.0)
    assert check_tins((wide, deep), diameter, 0.0, 0.0, packed.at_mm, packed.count) == []
    return packed.count


def test_rows_reach_all_but_seven_of_the_most_unit_circles_in_a_square() -> None:
    diameter = 200 / math.sqrt(math.pi)
    missed = {}
    for area, most in enumerate(MOST_IN_SQUARE, start=1):
        side = 100 * math.sqrt(area)
        found = count(side, side, diameter)
        assert found <= most <= most_possible((side, side), diameter, 0.0, 0.0)
        if found < most:
            missed[area] = (found, most)
    # Those where no rows suffice: {area: (in rows, the most)}. A change here is worth a look.
    assert missed == {
        5: (2, 3),
        11: (7, 8),
        18: (12, 13),
        20: (14, 15),
        28: (20, 21),
        29: (21, 22),
        31: (23, 24),
    }


def test_rows_reach_these_of_the_best_packings_in_a_square() -> None:
    reached = [
        n
        for n, radius in enumerate(RADIUS_IN_SQUARE, start=1)
        if count(LARGE, LARGE, 2 * LARGE * radius) == n
    ]
    assert reached == [1, 2, 4, 5, 6, 7, 9, 12, 14, 16, 18, 20, 25, 27, 30, 36, 39, 42]


@pytest.mark.parametrize(("n", "radius"), list(enumerate(RADIUS_IN_SQUARE, start=1)))
def test_no_row_layout_beats_the_best_packing_in_a_square(n: int, radius: float) -> None:
    # Tins larger by more than the tolerance, so that n of them are more than anybody has placed.
    assert count(LARGE, LARGE, 2 * LARGE * radius * (1 + 1e-6)) < n


@pytest.mark.parametrize(("n", "radius"), list(enumerate(RADIUS_IN_SQUARE, start=1)))
def test_no_bound_is_below_a_published_packing_in_a_square(n: int, radius: float) -> None:
    assert most_possible((LARGE, LARGE), 2 * LARGE * radius, 0.0, 0.0) >= n
    room = 1 / (2 * radius) - 1 + 1e-12
    for bound in (oler, strips, few):
        assert bound(room, room) >= n


@pytest.mark.parametrize(("h", "n", "radius"), ZIGZAGS + OTHER_BEST + BEST_KNOWN)
def test_no_bound_is_below_a_published_packing_in_a_rectangle(
    h: float, n: int, radius: float
) -> None:
    assert most_possible((LARGE, h * LARGE), 2 * LARGE * radius, 0.0, 0.0) >= n
    wide, deep = 1 / (2 * radius) - 1 + 1e-12, h / (2 * radius) - 1 + 1e-12
    for bound in (oler, strips, few):
        assert bound(wide, deep) >= n
        assert bound(deep, wide) >= n


@pytest.mark.parametrize(("h", "n", "radius"), ZIGZAGS)
def test_zigzags_are_placed_and_proven_at_fureds_radius_and_not_beyond(
    h: float, n: int, radius: float
) -> None:
    assert furedi(h, n) == pytest.approx(radius, abs=1e-13)
    pan = (LARGE, h * LARGE)
    assert count(*pan, 2 * LARGE * radius) == n
    larger = 2 * LARGE * radius * (1 + 1e-6)
    assert count(*pan, larger) == n - 1
    assert most_possible(pan, larger, 0.0, 0.0) == n - 1


@pytest.mark.parametrize(("h", "n", "radius"), OTHER_BEST)
def test_rows_reach_other_proven_rectangles(h: float, n: int, radius: float) -> None:
    assert count(LARGE, h * LARGE, 2 * LARGE * radius) == n


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5])
def test_the_bound_is_exact_for_up_to_five_tins_in_a_square(n: int) -> None:
    """Circles in the unit square, n = 1 to 5: the published radius, and none larger."""
    diameter = 2 * LARGE * RADIUS_IN_SQUARE[n - 1]
    assert most_possible((LARGE, LARGE), diameter, 0.0, 0.0) == n
    assert most_possible((LARGE, LARGE), diameter * (1 + 1e-6), 0.0, 0.0) == n - 1


def test_olers_bound_is_reached_by_a_triangle_of_points() -> None:
    """Where Oler's bound is exact: one row of n, and never below hexagons in a large square."""
    assert oler(7.0, 0.0) == 8
    side = 1000.0
    hexagons = 1001 * (math.floor(side / math.sqrt(0.75)) + 1) - 577
    assert hexagons <= oler(side, side) <= 2 / math.sqrt(3) * (side + 1) ** 2


def test_a_rectangle_of_three_is_proven_by_the_largest_upright_triangle() -> None:
    """The largest equilateral triangle in a × b (b ≥ a·√3/2): side 2·√(a² − √3·a·b + b²).

    Elementary geometry, recomputed: one corner is shared and the angles left add up to 30°.
    """
    for ratio in (0.87, 0.9, 0.95, 1.0):
        side = 2 * math.sqrt(1 - math.sqrt(3) * ratio + ratio * ratio)
        assert few((1 + 1e-9) / side, (1 + 1e-9) * ratio / side) == 3
        assert few((1 - 1e-9) / side, (1 - 1e-9) * ratio / side) == 2


def test_eight_round_tins_of_60_ml_fit_a_small_countertop_ovens_own_pan() -> None:
    """Common practice, no source: eight 2-ounce tins on the pan that came with the oven.

    The sizes are plausible ones of our own: a pan of 260 × 190 mm inside, tins of 66 mm.
    """
    packed = pack_tins((260.0, 190.0), 66.0, 6.0, 2.0)
    assert packed.count == 8
    assert packed.by == "rows"
    assert packed.most_possible is not None
    assert packed.most_possible >= 8
    assert check_tins((260.0, 190.0), 66.0, 6.0, 2.0, packed.at_mm, 8) == []
