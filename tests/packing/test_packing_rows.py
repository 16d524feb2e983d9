"""The rows themselves: what they must reach, that more room never means fewer, order and speed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.packing import pack_mat, pack_tins
from benchplan.packing.check import check_mat, check_tins
from benchplan.packing.rows import MOST_TINS

SIDES = st.floats(40, 480)
PANS = st.tuples(SIDES, SIDES)
SIZES = st.floats(30, 130)
GAPS = st.floats(0, 15)
EDGES = st.floats(0, 10)
SOME = settings(max_examples=120)


def square(wide: float, deep: float) -> int:
    return (math.floor(wide) + 1) * (math.floor(deep) + 1)


def hexagonal(wide: float, deep: float) -> int:
    """Rows at full density: n and n or n - 1 by turns."""
    rows = math.floor(deep / math.sqrt(0.75)) + 1
    longer = math.floor(wide) + 1
    shorter = longer if wide - math.floor(wide) >= 0.5 else longer - 1
    return (rows + 1) // 2 * longer + rows // 2 * shorter


@SOME
@given(PANS, SIZES, GAPS, EDGES)
def test_layouts_are_valid_and_between_plain_patterns_and_the_bound(
    pan: tuple[float, float], size: float, gap: float, edge: float
) -> None:
    packed = pack_tins(pan, size, gap, edge)
    assert check_tins(pan, size, gap, edge, packed.at_mm, packed.count) == []
    assert packed.most_possible is not None
    assert packed.count <= packed.most_possible
    wide, deep = ((side - 2 * edge - size) / (size + gap) for side in pan)
    if min(wide, deep) >= 0:
        assert packed.count >= max(square(wide, deep), hexagonal(wide, deep), hexagonal(deep, wide))
    elif min(wide, deep) < -1e-6:
        assert packed.count == 0


@SOME
@given(PANS, SIZES, GAPS, EDGES, st.floats(0, 60), st.floats(0, 30))
def test_a_larger_pan_or_a_smaller_tin_never_takes_fewer(
    pan: tuple[float, float], size: float, gap: float, edge: float, more: float, less: float
) -> None:
    def count(pan: tuple[float, float], size: float, gap: float, edge: float) -> int:
        return pack_tins(pan, size, gap, edge).count

    now = count(pan, size, gap, edge)
    assert count((pan[0] + more, pan[1]), size, gap, edge) >= now
    assert count((pan[0], pan[1] + more), size, gap, edge) >= now
    assert count(pan, max(30.0, size - less), gap, edge) >= now
    assert count(pan, size, max(0.0, gap - less), edge) >= now
    assert count(pan, size, gap, max(0.0, edge - less)) >= now


@given(st.integers(1, 12), st.integers(1, 8), st.floats(0, 1), st.integers(0, 1))
@SOME
def test_a_pan_grown_past_one_more_tin_never_takes_fewer(
    beside: int, behind: int, extra: float, turn: int
) -> None:
    """The patterns change where one more tin fits in a row: just below against just above it."""
    below = (beside * 50 - 0.01, behind * 50 * math.sqrt(0.75) + extra * 50)
    above = (beside * 50 + 0.01, below[1])
    if turn:
        below, above = below[::-1], above[::-1]
    assert pack_tins(above, 50, 0, 0).count >= pack_tins(below, 50, 0, 0).count


@SOME
@given(PANS, SIZES, GAPS)
def test_both_ways_round_take_the_same(pan: tuple[float, float], size: float, gap: float) -> None:
    assert pack_tins(pan, size, gap, 2).count == pack_tins(pan[::-1], size, gap, 2).count


@pytest.mark.parametrize(
    ("wide", "deep", "count", "why"),
    [
        (4.0, 3.0, 12, "a square grid, to the last tenth of a hair"),
        (5.0, 1 + 2 * math.sqrt(0.75), 14, "hexagons: 5, 4, 5"),
        (5.5, 1 + 2 * math.sqrt(0.75), 15, "hexagons: 5, 5, 5"),
        (5.25, 1 + 2 * math.sqrt(1 - 0.25**2), 15, "sheared: every other row a quarter along"),
        (1 + 2 * 1.2, 1 + 2 * math.sqrt(1 - 0.6**2), 8, "stretched: 3, 2, 3 in a shallow pan"),
        (1 + 2.5 * 1.2, 1 + 2 * math.sqrt(1 - 0.6**2), 9, "stretched: 3, 3, 3"),
        (5.0, 2 + 2 * math.sqrt(0.75), 19, "mixed: hexagons 5, 4, 5 on a square row of 5"),
        (3.94, 1 + 2 * math.sqrt(1 - 0.94**2) + 0.32, 7, "side by side: 3, a lone one, 3"),
        (1.8, 1.7, 2, "two in opposite corners"),
        (1.8, 1.5, 1, "one, when two in the corners would touch"),
    ],
)
def test_each_family_where_it_is_the_best(wide: float, deep: float, count: int, why: str) -> None:
    pan = (wide * 60 + 1e-5, deep * 60 + 1e-5)
    for each in (pan, pan[::-1]):
        packed = pack_tins(each, 60, 0, 0)
        assert check_tins(each, 60, 0, 0, packed.at_mm, packed.count) == []
        assert packed.count == count, why


def test_binary_fractions_of_typed_lengths_cost_no_tin() -> None:
    """3 × 0.1 is not 0.3 for a computer; for a maker three tins of 66.1 and two gaps of 5.9 fit."""
    length = 3 * 66.1 + 2 * 5.9 + 2 * 2.2
    assert pack_tins((round(length, 1), 70.5), 66.1, 5.9, 2.2).count == 3


def test_the_order_is_row_by_row_from_the_corner() -> None:
    packed = pack_tins((325.0, 217.0), 72.0, 6.0, 2.0)
    assert packed.at_mm[0] == min(packed.at_mm, key=sum)
    rows: dict[float, list[float]] = {}
    for x, y in packed.at_mm:
        rows.setdefault(round(y, 6), []).append(x)
    assert [len(row) for row in rows.values()] == [4, 3, 4]
    assert list(rows) == sorted(rows)
    assert all(row == sorted(row) for row in rows.values())


def test_a_square_grid_is_preferred_where_nothing_takes_more() -> None:
    packed = pack_tins((239.0, 162.0), 72.0, 6.0, 2.0)
    assert packed.count == 6
    assert len({round(x, 6) for x, _ in packed.at_mm}) == 3
    assert len({round(y, 6) for _, y in packed.at_mm}) == 2


def test_spare_room_is_shared_out_to_the_rim() -> None:
    packed = pack_tins((249.0, 174.0), 72.0, 6.0, 2.0)
    xs, ys = zip(*packed.at_mm, strict=True)
    assert (min(xs), max(xs)) == (38.0, 211.0)
    assert (min(ys), max(ys)) == (38.0, 136.0)
    assert pack_tins((100.0, 90.0), 72.0, 6.0, 2.0).at_mm == ((50.0, 45.0),)


def test_a_mat_keeps_gaps_but_no_edge() -> None:
    packed = pack_mat((2 * 72.0 + 10.0, 72.0), 72.0, 10.0)
    assert packed.at_mm == ((36.0, 36.0), (118.0, 36.0))
    assert packed.most_possible is None
    assert packed.by == "rows"
    assert pack_mat((2 * 72.0 + 9.9, 72.0), 72.0, 10.0).count == 1
    whole = pack_mat((760.0, 430.0), 72.0, 10.0)
    assert check_mat((760.0, 430.0), 72.0, 10.0, whole.at_mm, whole.count) == []
    assert whole.count >= 9 * 5


NOTHING = [0.0, -72.0, math.nan, math.inf, -math.inf, 1e308, 1e-308]


@pytest.mark.parametrize("odd", NOTHING)
def test_lengths_that_are_no_lengths_give_no_tins(odd: float) -> None:
    for packed in (
        pack_tins((odd, 206.0), 72.0, 6.0, 2.0),
        pack_tins((282.0, odd), 72.0, 6.0, 2.0),
        pack_tins((282.0, 206.0), odd, 6.0, 2.0),
        pack_mat((odd, 430.0), 72.0, 10.0),
    ):
        assert (packed.count, packed.at_mm) == (0, ())
        assert not packed.most_possible


@pytest.mark.parametrize("odd", [-1.0, math.nan, math.inf, 1e308])
def test_gaps_and_edges_that_are_no_lengths_give_no_tins(odd: float) -> None:
    assert pack_tins((282.0, 206.0), 72.0, odd, 2.0).count == 0
    assert pack_tins((282.0, 206.0), 72.0, 6.0, odd).count == 0


def test_a_tin_larger_than_its_pan_or_exactly_as_large() -> None:
    assert pack_tins((100.0, 90.0), 86.1, 6.0, 2.0).count == 0
    assert pack_tins((100.0, 90.0), 86.0, 6.0, 2.0).at_mm == ((50.0, 45.0),)


@pytest.mark.parametrize(
    ("pan", "size"),
    [
        ((1000.0, 1000.0), 10.0),
        ((1000.0, 1000.0), 10.2),
        ((1e6, 1e6), 0.1),
        ((1e6, 300.0), 20.0),
        ((0.1, 1e6), 0.1),
    ],
)
def test_thousands_of_tins_are_answered_too(pan: tuple[float, float], size: float) -> None:
    packed = pack_tins(pan, size, 0.0, 0.0)
    assert packed.most_possible is not None
    assert 9_000 <= packed.count == len(packed.at_mm) <= MOST_TINS
    assert packed.count <= packed.most_possible
    assert all(0 <= x <= pan[0] and 0 <= y <= pan[1] for x, y in packed.at_mm)
    assert check_tins(pan, size, 0.0, 0.0, packed.at_mm[-200:], 200) == []
