"""Pans on an oven shelf: by hand, against an exact solver, and absurd sizes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from benchplan.packing import Packed, pack_pans
from benchplan.packing.check import check_pans


def packed(shelf: tuple[float, float], outside: tuple[float, float], air: float) -> Packed:
    """Return what is packed, once the checker has nothing against it."""
    found = pack_pans(shelf, outside, air)
    assert check_pans(shelf, outside, air, found.at_mm, found.count) == []
    assert found.most_possible is not None
    assert found.count <= found.most_possible
    return found


@pytest.mark.parametrize(
    ("shelf", "outside", "air", "count", "why"),
    [
        ((362.0, 292.0), (297.0, 221.0), 25.0, 1, "the pan of a small oven"),
        ((292.0, 362.0), (297.0, 221.0), 25.0, 1, "turned a quarter"),
        ((347.0, 271.0), (297.0, 221.0), 25.0, 1, "with the air and nothing more"),
        ((346.0, 271.0), (297.0, 221.0), 25.0, 0, "a millimetre short"),
        ((669.0, 271.0), (297.0, 221.0), 25.0, 2, "two beside each other"),
        ((668.0, 271.0), (297.0, 221.0), 25.0, 1, "no air between two"),
        ((517.0, 347.0), (297.0, 221.0), 25.0, 2, "two, both turned"),
        ((80.0, 150.0), (50.0, 30.0), 0.0, 8, "mixed: five straight, three turned"),
        ((80.0, 80.0), (50.0, 30.0), 0.0, 4, "four around a hole, no cut parts them"),
        ((105.0, 105.0), (50.0, 30.0), 5.0, 4, "the same with air"),
        ((100.0, 110.0), (60.0, 40.0), 0.0, 4, "the same around a longer hole"),
        ((100.0, 310.0), (110.0, 30.0), 0.0, 6, "one way round only, the area for eight"),
        ((100.0, 100.0), (50.0, 60.0), 0.0, 2, "two, the area and the lengths for three"),
        ((300.0, 210.0), (110.0, 60.0), 0.0, 7, "seven, after many looks"),
    ],
)
def test_by_hand(
    shelf: tuple[float, float], outside: tuple[float, float], air: float, count: int, why: str
) -> None:
    found = packed(shelf, outside, air)
    assert (found.count, found.most_possible) == (count, count), why
    assert packed(shelf[::-1], outside, air).count == count
    assert packed(shelf, outside[::-1], air).count == count


def most_by_solver(shelf: tuple[int, int], size: tuple[int, int], at_least: int) -> bool:
    """Return whether CP-SAT can place so many rectangles, either way round (no air)."""
    model = cp_model.CpModel()
    across, along = [], []
    for pan in range(at_least):
        for turned in (False, True):
            wide, deep = size[::-1] if turned else size
            if wide > shelf[0] or deep > shelf[1]:
                continue
            here = model.new_bool_var(f"{pan} {turned}")
            x = model.new_int_var(0, shelf[0] - wide, f"x {pan} {turned}")
            y = model.new_int_var(0, shelf[1] - deep, f"y {pan} {turned}")
            across.append(
                (pan, here, model.new_optional_fixed_size_interval_var(x, wide, here, ""))
            )
            along.append(model.new_optional_fixed_size_interval_var(y, deep, here, ""))
        model.add_exactly_one(here for which, here, _ in across if which == pan)
    model.add_no_overlap_2d([each for _, _, each in across], along)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return status == cp_model.OPTIMAL


SMALL = st.tuples(st.integers(2, 9), st.integers(2, 9))


@settings(max_examples=25)
@given(st.tuples(st.integers(6, 20), st.integers(6, 20)), SMALL)
def test_small_shelves_are_exact(shelf: tuple[int, int], size: tuple[int, int]) -> None:
    """An exact constraint solver, CP-SAT, can place as many and not one more."""
    air = 10.0
    found = packed(
        (shelf[0] * 50 + air, shelf[1] * 50 + air), (size[0] * 50 - air, size[1] * 50 - air), air
    )
    if found.most_possible is None or found.most_possible > 6:
        return
    assert found.count == found.most_possible
    if size[0] <= min(shelf) or size[1] <= min(shelf):
        assert most_by_solver(shelf, size, found.count)
        assert not most_by_solver(shelf, size, found.count + 1)


@settings(max_examples=60)
@given(
    st.tuples(st.floats(100, 1500), st.floats(100, 1500)),
    st.tuples(st.floats(60, 500), st.floats(60, 500)),
    st.floats(0, 60),
)
def test_any_shelf_gets_a_valid_answer_never_below_plain_rows(
    shelf: tuple[float, float], outside: tuple[float, float], air: float
) -> None:
    found = packed(shelf, outside, air)
    for wide, deep in (outside, outside[::-1]):
        beside = max(0, math.floor((shelf[0] - air) / (wide + air)))
        behind = max(0, math.floor((shelf[1] - air) / (deep + air)))
        assert found.count >= min(beside * behind, 200)


@settings(max_examples=60)
@given(
    st.tuples(st.floats(100, 700), st.floats(100, 700)),
    st.tuples(st.floats(80, 300), st.floats(80, 300)),
    st.floats(0, 40),
    st.floats(0, 200),
)
def test_a_larger_shelf_or_less_air_never_takes_fewer(
    shelf: tuple[float, float], outside: tuple[float, float], air: float, more: float
) -> None:
    now = packed(shelf, outside, air)
    if now.most_possible is None or now.most_possible > 8:
        return
    assert packed((shelf[0] + more, shelf[1]), outside, air).count >= now.count
    assert packed(shelf, outside, max(0.0, air - more)).count >= now.count


def test_blocks_are_cut_along_either_side_of_the_shelf_first() -> None:
    for shelf in ((270.0, 450.0), (450.0, 270.0)):
        assert packed(shelf, (50.0, 70.0), 0.0).count == 34


def test_a_look_that_takes_too_long_leaves_rows_and_a_bound_that_holds(monkeypatch) -> None:
    shelf, outside = (301.0, 210.0), (110.0, 60.0)
    monkeypatch.setattr("benchplan.packing.shelf._MOST_LOOKS", 100)
    hasty = packed(shelf, outside, 0.0)
    assert (hasty.count, hasty.most_possible, hasty.by) == (7, 8, "rows")


def test_pans_come_row_by_row_from_the_corner() -> None:
    found = packed((669.0, 517.0), (297.0, 221.0), 25.0)
    assert found.at_mm == (
        (25.0, 25.0, False),
        (347.0, 25.0, False),
        (25.0, 271.0, False),
        (347.0, 271.0, False),
    )


@pytest.mark.parametrize("odd", [0.0, -1.0, math.nan, math.inf, 1e308])
def test_lengths_that_are_no_lengths_give_no_pans(odd: float) -> None:
    for found in (
        pack_pans((odd, 292.0), (297.0, 221.0), 25.0),
        pack_pans((362.0, 292.0), (odd, 221.0), 25.0),
    ):
        assert (found.count, found.at_mm) == (0, ())
        assert found.most_possible == 0
    if odd != 0:
        assert pack_pans((362.0, 292.0), (297.0, 221.0), odd).count == 0


@pytest.mark.parametrize(
    ("shelf", "outside"),
    [
        ((1e6, 1e6), (0.1, 0.1)),
        ((1e6, 50.0), (40.0, 40.0)),
        ((1e4, 1e4), (1e4, 0.1)),
        ((1199.0, 1190.0), (100.0, 37.0)),
    ],
)
def test_hundreds_of_pans_are_answered_too(
    shelf: tuple[float, float], outside: tuple[float, float]
) -> None:
    assert packed(shelf, outside, 0.0).count == 200
