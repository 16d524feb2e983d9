"""The checker itself: good layouts pass, every mutant of one is caught."""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_packings import RADIUS_IN_SQUARE

from benchplan.packing import check, pack_mat, pack_pans, pack_tins
from benchplan.packing.check import check_mat, check_pans, check_tins
from benchplan.packing.search import usual_stop

Places = list[tuple[float, ...]]

PANS = [
    ((282.0, 206.0), 72.0, 6.0, 2.0),
    ((239.0, 162.0), 72.0, 6.0, 2.0),  # a grid with not a hair to spare
    ((458.0, 327.0), 72.0, 0.0, 0.0),
    ((325.0, 77.0), 72.0, 6.0, 2.0),
    ((162.0, 162.0), 72.0, 6.0, 2.0),
]


def nearest(places: Places) -> tuple[int, int]:
    pairs = [(one, two) for two in range(len(places)) for one in range(two)]
    return min(pairs, key=lambda pair: math.dist(places[pair[0]][:2], places[pair[1]][:2]))


def towards(place: tuple[float, ...], goal: tuple[float, ...], apart: float) -> tuple[float, ...]:
    """Return the point beside ``goal``, ``apart`` from it, on the way to ``place``."""
    share = apart / math.dist(place, goal)
    return tuple(end + (start - end) * share for start, end in zip(place, goal, strict=True))


def mutants(
    places: Places, inside: tuple[float, float], size: float, gap: float, edge: float
) -> Iterator[tuple[str, Places]]:
    """Yield layouts that each break one rule, by 0.01 mm where a distance is broken."""
    last = len(places) - 1
    for index, place in enumerate(places):
        for side in (0, 1):
            for at in (edge + size / 2 - 0.01, inside[side] - edge - size / 2 + 0.01):
                moved = list(place)
                moved[side] = at
                yield f"{index} past the rim", _put(places, index, tuple(moved))
    for odd in (math.nan, math.inf, -math.inf):
        yield f"last at {odd}", _put(places, last, (odd, places[last][1]))
        yield f"first at {odd}", _put(places, 0, (places[0][0], odd))
    yield "one number", _put(places, last, places[last][:1])
    yield "three numbers", _put(places, last, (*places[last], 0.0))
    yield "no number", _put(places, 0, ())
    if last:
        one, two = nearest(places)
        near = size + gap - 0.01
        yield "nearest too near", _put(places, two, towards(places[two], places[one], near))
        yield "last on the one before", _put(places, last, places[last - 1])
        yield "last on the first", _put(places, last, places[0])
        yield (
            "last near the one before",
            _put(places, last, towards(places[last], places[last - 1], near)),
        )
        yield "first near the last", _put(places, 0, towards(places[0], places[last], near))


def _put(places: Places, index: int, place: tuple[float, ...]) -> Places:
    return [*places[:index], place, *places[index + 1 :]]


@pytest.mark.parametrize("pan", PANS)
def test_every_mutant_of_a_good_pan_is_caught(
    pan: tuple[tuple[float, float], float, float, float],
) -> None:
    packed = pack_tins(*pan)
    places: Places = list(packed.at_mm)
    assert check_tins(*pan, places, packed.count) == []
    for why, mutant in mutants(places, *pan):
        assert check_tins(*pan, mutant, packed.count), why
    for count in (packed.count - 1, packed.count + 1, 0):
        assert len(check_tins(*pan, places, count)) == 1
    assert check_tins(*pan, places[:-1], packed.count)
    assert check_tins(*pan, [*places, (1.0, 1.0)], packed.count)


SEARCHED = [
    (((318.0, 243.0), 76.0, 8.0, 0.0), 11),
    (((250.0, 250.0), 500 * RADIUS_IN_SQUARE[7], 0.0, 0.0), 8),
    (((250.0, 250.0), 500 * RADIUS_IN_SQUARE[12], 0.0, 0.0), 13),
]


@pytest.mark.parametrize(("pan", "count"), SEARCHED)
def test_every_mutant_of_a_layout_that_follows_no_rows_is_caught(
    pan: tuple[tuple[float, float], float, float, float], count: int
) -> None:
    packed = pack_tins(*pan, stop_for=usual_stop)
    assert (packed.count, packed.by) == (count, "search")
    places: Places = list(packed.at_mm)
    assert check_tins(*pan, places, count) == []
    for why, mutant in mutants(places, *pan):
        assert check_tins(*pan, mutant, count), why
    for index in range(count):
        assert check_tins(*pan, [*places, places[index]], count + 1), f"{index} twice"
        assert check_tins(*pan, places[:index] + places[index + 1 :], count), f"{index} left out"
    assert check_tins(*pan, places, count + 1), "one more claimed"


@settings(max_examples=50)
@given(
    st.tuples(st.floats(80, 300), st.floats(80, 300)),
    st.floats(40, 76),
    st.floats(0, 12),
    st.floats(0, 2),
)
def test_every_mutant_of_any_good_layout_is_caught(
    inside: tuple[float, float], size: float, gap: float, edge: float
) -> None:
    packed = pack_tins(inside, size, gap, edge)
    places: Places = list(packed.at_mm)
    assert check_tins(inside, size, gap, edge, places, packed.count) == []
    for why, mutant in mutants(places, inside, size, gap, edge):
        assert check_tins(inside, size, gap, edge, mutant, packed.count), why


def test_the_tolerance_is_a_thousandth_of_a_mm() -> None:
    pan = ((150.0, 72.0), 72.0, 6.0, 0.0)
    assert check_tins(*pan, [(36.0, 36.0), (114.0, 36.0)], 2) == []
    assert check_tins(*pan, [(36.0, 36.0), (113.9991, 36.0)], 2) == []
    assert check_tins(*pan, [(36.0, 36.0), (113.9989, 36.0)], 2)
    assert check_tins(*pan, [(35.9991, 36.0), (114.0, 36.0)], 2) == []
    assert check_tins(*pan, [(35.9989, 36.0), (114.0, 36.0)], 2)
    assert check_tins(*pan, [(36.0, 36.0), (114.0011, 36.0)], 2)


def test_faults_say_which_tin_and_how_far() -> None:
    pan = ((150.0, 72.0), 72.0, 6.0, 0.0)
    assert check_tins(*pan, [(36.0, 36.0), (111.0, 36.0)], 2) == [
        "Tins 1 and 2 are 3.0 mm apart, not 6.0 mm."
    ]
    assert check_tins(*pan, [(35.0, 36.0)], 1) == ["Tin 1 is -1.0 mm from the rim, not 0.0 mm."]
    assert check_tins(*pan, [(36.0, 36.0)], 2) == ["2 tins are said to fit, 1 are placed."]


@pytest.mark.parametrize("odd", [math.nan, 0.0, -1.0, math.inf])
def test_lengths_that_are_no_lengths_are_faults(odd: float) -> None:
    assert check_tins((odd, 100.0), 72.0, 6.0, 0.0, [], 0)
    assert check_tins((100.0, 100.0), odd, 6.0, 0.0, [(50.0, 50.0)], 1)
    assert check_pans((odd, 292.0), (297.0, 221.0), 25.0, [], 0)
    assert check_pans((362.0, 292.0), (odd, 221.0), 25.0, [], 0)


@pytest.mark.parametrize("odd", [math.nan, math.inf])
def test_gaps_that_are_no_numbers_are_faults(odd: float) -> None:
    at = [(50.0, 50.0), (150.0, 50.0)]
    assert check_tins((200.0, 100.0), 72.0, 6.0, 0.0, at, 2) == []
    assert check_tins((200.0, 100.0), 72.0, odd, 0.0, at, 2)
    assert check_tins((200.0, 100.0), 72.0, 6.0, odd, at, 2)
    assert check_pans((362.0, 292.0), (297.0, 221.0), odd, [(30.0, 30.0, False)], 1)


def test_every_mutant_of_a_good_mat_is_caught() -> None:
    mat = (760.0, 430.0)
    packed = pack_mat(mat, 72.0, 10.0)
    places: Places = list(packed.at_mm)
    assert check_mat(mat, 72.0, 10.0, places, packed.count) == []
    for why, mutant in mutants(places, mat, 72.0, 10.0, 0.0):
        assert check_mat(mat, 72.0, 10.0, mutant, packed.count), why


SHELVES = [
    ((362.0, 292.0), (297.0, 221.0), 25.0),
    ((600.0, 400.0), (260.0, 150.0), 20.0),
    ((80.0, 80.0), (50.0, 30.0), 0.0),  # a pinwheel
    ((95.0, 95.0), (45.0, 25.0), 5.0),
]

MOVES: list[tuple[str, Callable[[float, float, bool], tuple[object, ...]]]] = [
    ("nowhere", lambda x, y, turned: (math.nan, y, turned)),
    ("nowhere", lambda x, y, turned: (x, math.inf, turned)),
    ("past the low wall", lambda x, y, turned: (-0.01, y, turned)),
    ("past the left wall", lambda x, y, turned: (x, -0.01, turned)),
    ("far out", lambda x, y, turned: (x + 1e4, y, turned)),
    ("turned how", lambda x, y, turned: (x, y, math.nan)),
    ("turned how", lambda x, y, turned: (x, y, 2)),
    ("no third", lambda x, y, turned: (x, y)),
    ("no place", lambda x, y, turned: ()),
]


@pytest.mark.parametrize("shelf", SHELVES)
def test_every_mutant_of_a_good_shelf_is_caught(
    shelf: tuple[tuple[float, float], tuple[float, float], float],
) -> None:
    packed = pack_pans(*shelf)
    pans = list(packed.at_mm)
    assert packed.count
    assert check_pans(*shelf, pans, packed.count) == []
    for index, pan in enumerate(pans):
        for why, move in MOVES:
            mutant = [*pans[:index], move(*pan), *pans[index + 1 :]]  # type: ignore[misc]
            assert check_pans(*shelf, mutant, packed.count), why  # type: ignore[arg-type]
    for count in (packed.count - 1, packed.count + 1):
        assert check_pans(*shelf, pans, count)
    assert check_pans(*shelf, [*pans, pans[-1]], packed.count + 1)
    assert check_pans(*shelf, pans[:-1], packed.count)


def test_a_hundredth_too_near_is_caught_on_a_shelf_too() -> None:
    shelf = ((305.0, 130.0), (115.0, 80.0), 25.0)
    assert check_pans(*shelf, [(25.0, 25.0, False), (165.0, 25.0, False)], 2) == []
    assert check_pans(*shelf, [(25.0, 25.0, False), (164.99, 25.0, False)], 2)
    assert check_pans(*shelf, [(24.99, 25.0, False), (165.0, 25.0, False)], 2)
    assert check_pans(*shelf, [(25.0, 25.0, False), (165.01, 25.0, False)], 2)
    assert check_pans(*shelf, [(25.0, 25.01, False), (165.0, 25.0, False)], 2)
    assert check_pans(*shelf, [(25.0, 25.0, True), (165.0, 25.0, False)], 2)


def test_the_checker_shares_no_code_with_what_it_checks() -> None:
    tree = ast.parse(Path(check.__file__).read_text(encoding="utf-8"))
    names = {
        name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in [getattr(node, "module", None), *(alias.name for alias in node.names)]
    }
    assert not any("benchplan" in name for name in names if name)
