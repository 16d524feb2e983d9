"""Measures of the mat: what fits together by its sizes fits by its weights."""

from __future__ import annotations

from itertools import combinations_with_replacement

from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.scheduling.bounds.shares import measures


@settings(max_examples=150)
@given(st.integers(1, 24).flatmap(lambda room: st.tuples(st.just(room), st.sets(
    st.integers(1, room), min_size=1, max_size=5))))  # fmt: skip
def test_what_fits_by_size_fits_by_weight(drawn: tuple[int, set[int]]) -> None:
    room, found = drawn
    sizes = tuple(sorted(found))
    together = [
        load
        for count in range(1, room // sizes[0] + 1)
        for load in combinations_with_replacement(range(len(sizes)), count)
        if sum(sizes[each] for each in load) <= room
    ]
    for measure in measures(room, sizes):
        assert all(weight >= 0 for weight in measure.weights)
        for load in together:
            assert sum(measure.weights[each] for each in load) <= measure.room, measure


def test_a_measure_counts_trays_of_which_no_two_fit() -> None:
    full = {each.weights[0] for each in measures(8, (7,)) if each.room == each.weights[0]}
    assert full


def test_a_measure_counts_three_to_a_mat() -> None:
    # Of trays of 6 on a mat of 23 there fit 3, though 4 would by area be 24/23 of it.
    assert any(3 * each.weights[0] == each.room for each in measures(23, (6,)))
