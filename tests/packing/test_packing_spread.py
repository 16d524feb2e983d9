"""Fewer tins than fit, and what was known before."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.packing import pack_tins, spread
from benchplan.packing.check import check_tins
from benchplan.packing.geometry import room_for
from benchplan.packing.search import Reduced

GRID = tuple((x * 72.0, y * 72.0) for y in range(3) for x in range(3))


@settings(max_examples=60)
@given(st.tuples(st.floats(60, 400), st.floats(60, 400)), st.integers(0, 40))
def test_so_many_tins_on_places_of_the_full_pan_in_the_same_order(
    inside: tuple[float, float], tins: int
) -> None:
    full = pack_tins(inside, 50.0, 6.0, 2.0).at_mm
    some = spread(full, tins)
    assert len(some) == min(tins, len(full))
    assert [place for place in full if place in some] == list(some)
    assert check_tins(inside, 50.0, 6.0, 2.0, some, len(some)) == []


def test_one_tin_stands_in_the_middle_two_apart_and_four_in_the_corners() -> None:
    assert spread(GRID, 1) == ((72.0, 72.0),)
    one, two = spread(GRID, 2)
    assert math.dist(one, two) >= 144
    assert spread(GRID, 4) == ((0.0, 0.0), (144.0, 0.0), (0.0, 144.0), (144.0, 144.0))
    assert spread(GRID, 5) == (GRID[0], GRID[2], GRID[4], GRID[6], GRID[8])


@pytest.mark.parametrize("tins", [2, 3, 4, 5, 6])
def test_no_two_stand_side_by_side_where_that_can_be_helped(tins: int) -> None:
    full = pack_tins((400.0, 260.0), 50.0, 6.0, 2.0).at_mm
    assert len(full) > 20
    least = min(math.dist(a, b) for a, b in combinations(full, 2))
    chosen = spread(full, tins)
    assert min(math.dist(a, b) for a, b in combinations(chosen, 2)) > 1.5 * least


def test_none_all_and_hundreds() -> None:
    assert spread(GRID, 0) == ()
    assert spread((), 0) == ()
    assert spread(GRID[:1], 0) == ()
    assert spread(GRID, 9) == spread(GRID, 10) == GRID
    many = pack_tins((1000.0, 1000.0), 20.0, 0.0, 0.0).at_mm
    assert len(spread(many, 100)) == 100


# Three in a square of which two sides are 1 + cos 15°: the published optimum for n = 3, a tilted
# triangle that no rows reach.
LONG, SHORT = math.cos(math.radians(15)) + 1e-4, math.sin(math.radians(15))
SIDE = 100 * (1 + LONG)
TRIANGLE = ((0.0, 0.0), (LONG, SHORT), (SHORT, LONG))


def test_a_better_layout_known_before_is_kept() -> None:
    assert pack_tins((SIDE, SIDE), 100.0, 0.0, 0.0).count == 2
    found = pack_tins((SIDE, SIDE), 100.0, 0.0, 0.0, known=[TRIANGLE])
    assert check_tins((SIDE, SIDE), 100.0, 0.0, 0.0, found.at_mm, 3) == []
    assert (found.count, found.most_possible, found.by) == (3, 3, "search")
    assert found.places == TRIANGLE


def test_what_was_known_is_not_kept_where_it_does_not_hold() -> None:
    def count(side: float, size: float, known: Reduced, *, tidy: bool = False) -> int:
        packed = pack_tins((side, side), size, 0.0, 0.0, known=[known], tidy=tidy)
        assert check_tins((side, side), size, 0.0, 0.0, packed.at_mm, packed.count) == []
        return packed.count

    assert count(SIDE, 100.0, TRIANGLE, tidy=True) == 2
    assert count(SIDE, 101.0, TRIANGLE) == 2
    assert count(SIDE - 1, 100.0, TRIANGLE) == 2
    assert count(SIDE + 10, 100.0, TRIANGLE) == 4
    for twice in ((*TRIANGLE, TRIANGLE[0]), (*TRIANGLE[:2], TRIANGLE[0])):
        assert count(SIDE, 100.0, twice) == 2
    assert count(SIDE, 100.0, (*TRIANGLE[:2], (math.nan, 1.5))) == 2


def test_a_long_layout_holds_until_one_pair_is_too_near() -> None:
    room = room_for((282.0, 206.0), 72.0, 6.0, 2.0)
    assert room is not None
    places = pack_tins((282.0, 206.0), 72.0, 6.0, 2.0).at_mm
    assert room.holds(places)
    for index, (x, y) in enumerate(places):
        to_the_middle = (x + (141 - x) * 0.2, y + (103 - y) * 0.2)
        assert not room.holds([*places[:index], to_the_middle, *places[index + 1 :]])
