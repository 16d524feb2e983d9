"""One person's time, against a slow model that looks at every second."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchplan.scheduling.timeline import Timeline

SPANS = st.lists(
    st.tuples(st.integers(0, 60), st.integers(1, 9)).map(lambda each: (each[0], sum(each))),
    max_size=8,
)


def _busy(spans: list[tuple[int, int]]) -> set[int]:
    return {second for start, end in spans for second in range(start, end)}


@given(SPANS, st.integers(0, 80), st.integers(1, 12))
def test_earliest_is_the_first_free_stretch(
    spans: list[tuple[int, int]], after: int, lasts: int
) -> None:
    busy = _busy(spans)
    found = Timeline(tuple(spans)).earliest(after, lasts)
    slow = next(
        start
        for start in range(after, 200)
        if not any(second in busy for second in range(start, start + lasts))
    )
    assert found == slow


@given(SPANS, st.integers(0, 80), st.integers(1, 5), st.integers(1, 6))
def test_flow_takes_whole_units_as_early_as_they_fit(
    spans: list[tuple[int, int]], after: int, count: int, each: int
) -> None:
    busy = _busy(spans)
    parts = Timeline(tuple(spans)).flow(after, count, each)
    worked = [second for start, end in parts for second in range(start, end)]
    assert not busy & set(worked)
    assert sum(end - start for start, end in parts) == count * each
    assert all((end - start) % each == 0 for start, end in parts)
    slow, units = after, 0
    while units < count:
        if any(second in busy for second in range(slow, slow + each)):
            slow += 1
        else:
            slow, units = slow + each, units + 1
    assert parts[-1][1] == slow


def test_flow_does_not_start_a_unit_that_would_be_cut() -> None:
    assert Timeline(((25, 40),)).flow(0, 3, 10) == [(0, 20), (40, 50)]


@given(SPANS)
def test_taking_in_any_order_takes_the_same(spans: list[tuple[int, int]]) -> None:
    forward, backward = Timeline(tuple(spans)), Timeline(tuple(reversed(spans)))
    assert [forward.earliest(at, 1) for at in range(80)] == [
        backward.earliest(at, 1) for at in range(80)
    ]
