"""What was found before: taken where it holds and nowhere else, and the answer it leads to."""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.model.stop import Iterations, Stop
from benchplan.packing import Packed, pack_tins
from benchplan.packing.check import check_tins
from benchplan.packing.search import MOST_SEARCHED, Reduced, usual_stop

Kit = tuple[tuple[float, float], float, float, float]

ELEVEN: Kit = (
    (318.0, 243.0),
    76.0,
    8.0,
    0.0,
)  # rows hold ten tins of this, the search finds eleven
APART = 84.0


def few(count: int) -> Stop:
    return Iterations(6)


def never(count: int) -> Stop:
    raise AssertionError(f"searched for {count}")


@pytest.fixture(scope="module")
def eleven() -> Packed:
    found = pack_tins(*ELEVEN, stop_for=usual_stop)
    assert (found.count, found.by) == (11, "search")
    return found


def with_last(places: Reduced, place: tuple[float, float]) -> Reduced:
    return (*places[:-1], place)


def test_a_layout_that_does_not_hold_is_not_taken(eleven: Packed) -> None:
    places = eleven.places
    x, y = min(places[:-1], key=lambda at: math.dist(at, places[-1]))
    way = math.atan2(places[-1][1] - y, places[-1][0] - x)
    near = 1 - 0.01 / APART  # a pair 0.01 mm too near
    wrong: dict[str, Reduced] = {
        "nowhere": with_last(places, (math.nan, 1.0)),
        "far": with_last(places, (math.inf, -math.inf)),
        "twice": with_last(places, places[0]),
        "too near": with_last(places, (x + near * math.cos(way), y + near * math.sin(way))),
        "all in one": ((0.0, 0.0),) * 11,
        "smaller": tuple((x * 0.9, y * 0.9) for x, y in places),
        "one more": (*places, places[0]),
        "more than is possible": tuple((0.0, float(n)) for n in range(40)),
        "fewer than rows": places[:9],
        "none": (),
    }
    for why, known in wrong.items():
        found = pack_tins(*ELEVEN, known=[known])
        assert (found.count, found.by, found.places) == (10, "rows", ()), why
    taken = pack_tins(*ELEVEN, known=[*wrong.values(), places, *wrong.values()])
    assert taken == eleven


def test_of_what_is_known_the_most_is_taken_and_of_equals_the_first(eleven: Packed) -> None:
    other = pack_tins(*ELEVEN, stop_for=usual_stop, seed=1)
    assert other.count == 11
    assert pack_tins(*ELEVEN, known=[eleven.places, other.places]) == eleven
    assert pack_tins(*ELEVEN, known=[other.places, eleven.places]) == other
    # On a square pan a layout holds both ways round: it is taken as it was found.
    square: Kit = ((250.0, 250.0), 85.0, 0.0, 0.0)
    eight = pack_tins(*square, stop_for=usual_stop)
    assert eight.by == "search"
    assert pack_tins(*square, known=[eight.places]) == eight


@pytest.mark.parametrize(("short", "count"), [(0.0009, 3), (0.0012, 2), (0.01, 2)])
def test_what_is_taken_misses_no_distance_by_more_than_a_thousandth(
    short: float, count: int
) -> None:
    """Three in a square, two corners of the triangle 15 degrees off its sides."""
    long, off = math.cos(math.radians(15)), math.sin(math.radians(15))
    kit: Kit = ((100 * (1 + long) - short * long, 100 * (1 + long)), 100.0, 0.0, 0.0)
    size = 1 - short / 100
    known = ((0.0, 0.0), (long * size, off * size), (off, long))
    assert pack_tins(*kit, known=[known]).count == count


def test_a_tidy_pan_takes_nothing_that_is_known_and_is_not_searched(eleven: Packed) -> None:
    found = pack_tins(*ELEVEN, tidy=True, known=[eleven.places], stop_for=never)
    assert (found.count, found.by) == (10, "rows")


@pytest.mark.parametrize("more", [1e-6, 0.1, 1.0, 5.0])
def test_a_larger_pan_or_a_smaller_tin_gap_or_edge_takes_what_is_known(
    eleven: Packed, more: float
) -> None:
    (wide, deep), tin, gap, _ = ELEVEN
    larger: tuple[Kit, ...] = (
        ((wide + more, deep), tin, gap, 0.0),
        ((wide, deep + more), tin, gap, 0.0),
        ((deep + more, wide), tin, gap, 0.0),
        ((wide, deep), tin - more, gap, 0.0),
        ((wide, deep), tin, gap - more, 0.0),
        ((wide + 2 * more, deep + 2 * more), tin, gap, more),
    )
    for kit in larger:
        found = pack_tins(*kit, known=[eleven.places])
        assert found.count >= 11
        assert check_tins(*kit, found.at_mm, found.count) == []


@settings(max_examples=80)
@given(
    st.lists(
        st.lists(st.tuples(st.floats(-1, 5), st.floats(-1, 5)), max_size=14).map(tuple)
        | st.lists(st.tuples(st.floats(), st.floats()), max_size=14).map(tuple),
        max_size=4,
    )
)
def test_whatever_is_known_the_layout_is_valid(known: list[Reduced]) -> None:
    kit: Kit = ((250.0, 180.0), 76.0, 8.0, 0.0)
    found = pack_tins(*kit, known=known)
    assert check_tins(*kit, found.at_mm, found.count) == []
    assert found.most_possible is not None
    assert pack_tins(*kit).count <= found.count <= found.most_possible


@settings(max_examples=25)
@given(
    st.tuples(st.floats(130, 330), st.floats(110, 250)), st.floats(45, 90), st.floats(0, 10),
    st.floats(0, 5), st.integers(0, 2**40),
)  # fmt: skip
def test_the_same_question_has_the_same_answer_and_a_turned_pan_as_many(
    pan: tuple[float, float], tin: float, gap: float, edge: float, seed: int
) -> None:
    first = pack_tins(pan, tin, gap, edge, stop_for=few, seed=seed)
    random.seed(seed)  # what other parts of a program do with chance changes nothing
    assert pack_tins(pan, tin, gap, edge, stop_for=few, seed=seed) == first
    known = [first.places]
    again = pack_tins(pan, tin, gap, edge, stop_for=few, seed=seed, known=known)
    assert pack_tins(pan, tin, gap, edge, stop_for=few, seed=seed, known=known) == again
    assert again.count >= first.count
    turned = pack_tins(pan[::-1], tin, gap, edge, stop_for=few, seed=seed)
    assert (turned.count, turned.by) == (first.count, first.by)
    assert check_tins(pan[::-1], tin, gap, edge, turned.at_mm, turned.count) == []


def test_another_process_finds_the_same_to_the_last_bit(eleven: Packed) -> None:
    code = (
        "from benchplan.packing import *\n"
        f"print(pack_tins(*{ELEVEN!r}, stop_for=usual_stop).places)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == repr(eleven.places)


@pytest.mark.parametrize(
    "kit",
    [
        ((1e6, 1e6), 0.1, 0.0, 0.0),
        ((1e6, 1e6), 1e4, 0.0, 0.0),  # 10 000 tins of 10 m
        ((1e6, 60.0), 60.0, 0.0, 0.0),
        ((5_900.0, 61.0), 60.0, 0.0, 0.0),
        ((560.0, 520.0), 52.0, 0.0, 0.0),  # about as many as are searched
        ((0.34, 0.28), 0.1, 0.0, 0.0),
        ((100.0, 100.0), 0.1, 50.0, 0.0),
        ((3.4e5, 2.8e5), 1e5, 0.0, 0.0),
        ((100.0, 90.0), 0.1, 1e6, 0.0),
    ],
)
def test_absurd_sizes_get_an_answer_that_holds(kit: Kit) -> None:
    asked: list[int] = []

    def counted(count: int) -> Stop:
        assert count <= MOST_SEARCHED, "more are left to rows"
        asked.append(count)
        return Iterations(4)

    found = pack_tins(*kit, stop_for=counted)
    assert found.most_possible is not None
    assert pack_tins(*kit).count <= found.count <= found.most_possible
    assert len(asked) <= 2
    some = min(found.count, 300)
    assert check_tins(*kit, found.at_mm[:some], some) == []
