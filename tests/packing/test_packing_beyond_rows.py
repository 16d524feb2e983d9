"""The search for one tin more, against published packings (sources in ``published_packings``)."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_packings import (
    BEST_KNOWN,
    MOST_IN_SQUARE,
    OTHER_BEST,
    RADIUS_IN_SQUARE,
    ZIGZAGS,
)

from benchplan.model.stop import Iterations, Stop
from benchplan.packing import Packed, pack_tins
from benchplan.packing.check import check_tins
from benchplan.packing.search import MOST_SEARCHED, StopFor, usual_stop

Pan = tuple[float, float]


def hops(most: int) -> StopFor:
    return lambda _: Iterations(most)


def below(most: int, now: StopFor = usual_stop) -> StopFor:
    """Search up to ``most`` tins as usual; beyond, where nothing is to be found, hardly at all."""
    return lambda count: now(count) if count <= most else Iterations(3)


def searched(pan: Pan, tin: float, gap: float = 0.0, edge: float = 0.0, **how: object) -> Packed:
    """Return what the search finds, tried by the checker and held against rows and bound."""
    rows = pack_tins(pan, tin, gap, edge)
    found = pack_tins(pan, tin, gap, edge, **{"stop_for": usual_stop, **how})  # type: ignore[arg-type]
    assert check_tins(pan, tin, gap, edge, found.at_mm, found.count) == []
    assert found.most_possible is not None
    assert rows.count <= found.count <= found.most_possible
    assert found.by == ("search" if found.count > rows.count else "rows")
    return found


@pytest.mark.parametrize(("area", "most"), list(enumerate(MOST_IN_SQUARE, start=1)))
def test_the_most_unit_circles_in_a_square_of_any_area(area: int, most: int) -> None:
    """OEIS A337020, n = 1 to 39: every published count, no more and no fewer."""
    side, diameter = 100 * math.sqrt(area), 200 / math.sqrt(math.pi)
    # Many hops where more are published than rows hold; few where rows hold all that can be.
    rows = pack_tins((side, side), diameter, 0.0, 0.0).count
    stop_for = usual_stop if rows < most else hops(5)
    if most:
        assert searched((side, side), diameter, stop_for=stop_for).count == most
    else:
        assert rows == 0


@pytest.mark.parametrize(("n", "radius"), list(enumerate(RADIUS_IN_SQUARE, start=1))[:30])
def test_the_best_packings_in_a_square_up_to_thirty(n: int, radius: float) -> None:
    """A pan of 250 mm and the largest tins of which n fit, as published."""
    assert searched((250.0, 250.0), 500 * radius, stop_for=below(n)).count == n


@pytest.mark.parametrize("n", [35, 36, 38, 39, 40, 42, 46, 49, 50])
def test_thirty_hops_find_these_of_the_best_packings_in_a_square(n: int) -> None:
    """From 31 to 50, as published. The usual stop rule finds all but 37 and 44."""
    diameter = 500 * RADIUS_IN_SQUARE[n - 1]
    assert searched((250.0, 250.0), diameter, stop_for=below(n, hops(30))).count == n


@pytest.mark.parametrize(("h", "n", "radius"), ZIGZAGS + OTHER_BEST + BEST_KNOWN)
def test_published_rectangles_scaled_to_a_pan(h: float, n: int, radius: float) -> None:
    pan = (250.0, 250.0 * h)
    assert searched(pan, 500 * radius, stop_for=below(n)).count == n
    assert searched(pan[::-1], 500 * radius, stop_for=below(n)).count == n


@pytest.mark.parametrize(("h", "n", "radius"), ZIGZAGS)
def test_what_is_proven_is_not_searched(h: float, n: int, radius: float) -> None:
    def never(count: int) -> Stop:
        raise AssertionError(f"searched for {count}")

    found = pack_tins((250.0, 250.0 * h), 500 * radius, 0.0, 0.0, stop_for=never)
    assert found.count == found.most_possible == n


def test_tins_larger_than_the_best_by_more_than_the_tolerance_are_not_placed() -> None:
    for n, radius in list(enumerate(RADIUS_IN_SQUARE, start=1))[1:12]:
        assert searched((250.0, 250.0), 500 * radius + 0.01, stop_for=hops(10)).count < n


PAN = ((318.0, 243.0), 76.0, 8.0, 0.0)  # rows hold ten tins of this, the search finds eleven


def test_the_same_seed_and_stop_rule_give_the_same_answer() -> None:
    first = searched(*PAN)
    assert (first.count, first.by) == (11, "search")
    assert searched(*PAN) == first
    other = searched(*PAN, seed=1)
    assert other.count == 11
    assert other.at_mm != first.at_mm


def test_a_pan_turned_by_a_quarter_holds_the_same_turned() -> None:
    (wide, deep), *rest = PAN
    along, across = searched((wide, deep), *rest), searched((deep, wide), *rest)
    assert along.count == across.count
    for x, y in across.at_mm:
        assert min(math.dist((y, x), at) for at in along.at_mm) < 1e-6


def test_better_answers_are_told_as_they_come_and_a_stop_ends_it_at_once() -> None:
    told: list[Packed] = []
    found = searched(*PAN, tell=told.append)
    assert [each.count for each in told] == [10, 11]
    assert told[-1] == found
    told.clear()
    assert searched(*PAN, tell=told.append, stop_for=hops(0)).count == 10
    assert len(told) == 1


def test_what_is_known_is_where_the_search_begins() -> None:
    asked: list[int] = []

    def counting(count: int) -> Stop:
        asked.append(count)
        return Iterations(1)

    first = searched(*PAN)
    again = searched(*PAN, known=[first.places], stop_for=counting)
    assert replace(again, places=()) == replace(first, places=())
    assert asked == [12]


def unnumbered(found: Packed, apart: float) -> list[object]:
    """Return the steps from a tin to the next that go neither along its row nor to a later one."""
    steps = zip(found.at_mm, found.at_mm[1:], strict=False)
    return [
        (at, then)
        for at, then in steps
        if not (then[1] > at[1] - apart / 2 and (then[0] > at[0] or then[1] > at[1]))
    ]


def test_tins_are_numbered_row_by_row() -> None:
    (wide, deep), *rest = PAN
    along, across = searched((wide, deep), *rest), searched((deep, wide), *rest)
    assert unnumbered(along, PAN[1] + PAN[2]) == []
    assert unnumbered(across, PAN[1] + PAN[2]) == []
    # Three rows and a bit: far fewer new rows than tins.
    new_rows = sum(then[0] < at[0] for at, then in zip(along.at_mm, along.at_mm[1:], strict=False))
    assert new_rows <= 4


@settings(max_examples=60)
@given(
    st.floats(100, 400), st.floats(80, 300), st.floats(30, 110), st.floats(0, 12), st.floats(0, 8),
    st.integers(0, 3),
)  # fmt: skip
def test_any_pan(
    length: float, width: float, tin: float, gap: float, edge: float, seed: int
) -> None:
    found = searched((length, width), tin, gap, edge, seed=seed, stop_for=hops(4))
    if found.by == "search":
        assert unnumbered(found, tin + gap) == []


@settings(max_examples=40)
@given(
    st.floats(150, 330), st.floats(120, 250), st.floats(45, 90), st.floats(0, 10),
    st.floats(0, 15), st.floats(0, 15), st.floats(0, 8),
)  # fmt: skip
def test_a_larger_pan_or_a_smaller_tin_never_holds_fewer(
    length: float, width: float, tin: float, gap: float, longer: float, wider: float, smaller: float
) -> None:
    small = searched((length, width), tin, gap, stop_for=hops(8))
    large = searched(
        (length + longer, width + wider), tin - smaller, gap,
        stop_for=hops(1), known=[small.places],
    )  # fmt: skip
    assert large.count >= small.count


def test_a_larger_pan_of_ten_in_rows_takes_the_eleven_that_were_found() -> None:
    small = searched(*PAN)
    (length, width), tin, gap, edge = PAN
    for pan, size in (((length + 2, width), tin), ((length, width + 2), tin), (PAN[0], tin - 0.5)):
        rows = pack_tins(pan, size, gap, edge)
        assert pack_tins(pan, size, gap, edge, known=[small.places]).count == max(11, rows.count)


@pytest.mark.parametrize(
    ("pan", "tin", "gap", "edge"),
    [
        ((0.0, 200.0), 60.0, 6.0, 2.0),
        ((-300.0, 200.0), 60.0, 6.0, 2.0),
        ((300.0, 200.0), 0.0, 6.0, 2.0),
        ((300.0, 200.0), 60.0, -1.0, 2.0),
        ((math.nan, 200.0), 60.0, 6.0, 2.0),
        ((300.0, 200.0), math.nan, 6.0, 2.0),
        ((math.inf, 200.0), 60.0, 6.0, 2.0),
        ((300.0, 200.0), 60.0, 6.0, math.nan),
        ((50.0, 50.0), 60.0, 6.0, 2.0),
    ],
)
def test_what_is_no_pan_holds_nothing(pan: Pan, tin: float, gap: float, edge: float) -> None:
    found = pack_tins(pan, tin, gap, edge, stop_for=usual_stop)
    assert (found.count, found.most_possible, found.at_mm) == (0, 0, ())


def test_a_pan_of_thousands_is_left_to_rows() -> None:
    def never(_: int) -> Stop:
        raise AssertionError("searched")

    found = pack_tins((3000.0, 3000.0), 30.0, 0.0, 0.0, stop_for=never)
    assert found.count == 10_000
    assert found.by == "rows"
    large = pack_tins((600.0, 600.0), 50.0, 4.0, 2.0, stop_for=never)
    assert large.count > MOST_SEARCHED


@pytest.mark.parametrize("n", [8, 10, 11, 13])
def test_spare_room_is_shared_out(n: int) -> None:
    """Smaller tins stand about as far apart as so many points can, by the published radius."""
    radius = RADIUS_IN_SQUARE[n - 1]
    tin = 0.996 * 500 * radius
    found = searched((250.0, 250.0), tin, stop_for=below(n))
    assert (found.count, found.by) == (n, "search")
    nearest = min(math.dist(one, two) for one, two in combinations(found.at_mm, 2))
    assert nearest == pytest.approx((250 - tin) * 2 * radius / (1 - 2 * radius), rel=5e-4)
