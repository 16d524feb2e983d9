"""Each margin is tried at its number, and a little beyond it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from published_packings import RADIUS_IN_SQUARE

from benchplan.model import Margins
from benchplan.model.stop import Iterations
from benchplan.packing import margins, pack_tins
from benchplan.packing.search import StopFor, usual_stop

Floor = tuple[float, float]


def of(floor: Floor, tin: float, gap: float, edge: float) -> tuple[int, Margins]:
    packed = pack_tins(floor, tin, gap, edge)
    found = margins(floor, tin, gap, edge, packed)
    assert found is not None
    return packed.count, found


def test_four_in_a_square_by_hand() -> None:
    """Two by two tins of 60 mm with 10 mm between on 135 mm: 5 mm to spare each way.

    Tins of 62.5 mm and the gap take all of it. A shorter floor also lets one of two lie askew by
    the 5 mm that are spare across: √(70² − 5²) = 69.82 mm, so 5.18 mm shorter will do.
    """
    count, found = of((135.0, 135.0), 60.0, 10.0, 0.0)
    assert count == 4
    assert (found.larger_tin, found.shorter, found.narrower) == (2.5, 5.1, 5.1)


def test_a_single_row_by_hand() -> None:
    """Five tins of 50 mm, 5 mm apart, want 270 mm of 290; a sixth 35 mm more, or a smaller gap."""
    count, found = of((290.0, 50.0), 50.0, 5.0, 0.0)
    assert count == 5
    assert (found.larger_tin, found.shorter, found.narrower) == (0.0, 20.0, 0.0)
    assert found.longer == 35.0
    assert found.gap is None


@settings(max_examples=40)
@given(
    st.floats(140, 380), st.floats(90, 260), st.integers(38, 90), st.floats(0, 10),
    st.integers(0, 5),
)  # fmt: skip
@example(317.7, 214.0, 59, 5.08, 2)  # a gap typed in inches lies between two tenths
@example(250.0, 180.0, 50, 0.04, 2)
def test_every_number_holds_and_no_better_one_does(
    length: float, width: float, tin: int, gap: float, edge: int
) -> None:
    def rows(floor: Floor, tin: float, gap: float) -> int:
        return pack_tins(floor, tin, gap, edge).count

    if not rows((length, width), tin, gap):
        return
    count, found = of((length, width), tin, gap, edge)
    more = 0.11  # a tenth and a hair
    assert rows((length, width), tin + found.larger_tin, gap) >= count
    if found.larger_tin < tin / 2 - 0.2:
        assert rows((length, width), tin + found.larger_tin + more, gap) < count
    assert rows((length - found.shorter, width), tin, gap) >= count
    assert rows((length, width - found.narrower), tin, gap) >= count
    if found.shorter < length / 2 - 0.2:
        assert rows((length - found.shorter - more, width), tin, gap) < count
    if found.longer is not None:
        assert rows((length + found.longer, width), tin, gap) > count
        assert rows((length + found.longer - more, width), tin, gap) <= count
    if found.wider is not None:
        assert rows((length, width + found.wider), tin, gap) > count
        assert rows((length, width + found.wider - more), tin, gap) <= count
    if found.gap is not None:
        assert 0 <= found.gap < gap
        assert rows((length, width), tin, found.gap) > count
        assert found.gap + more >= gap or rows((length, width), tin, found.gap + more) <= count
    if found.smaller_tin is not None:
        assert rows((length, width), tin - found.smaller_tin, gap) > count


@pytest.mark.parametrize(
    ("floor", "tin", "gap"), [((318.0, 243.0), 76.0, 8.0), ((226.0, 142.0), 50.0, 8.0)]
)
def test_what_a_search_found_has_its_own_margins(floor: Floor, tin: float, gap: float) -> None:
    """Where rows hold fewer, the search still finds as many at the margin that is given."""
    packed = pack_tins(floor, tin, gap, 0.0, stop_for=usual_stop)
    assert packed.by == "search"
    found = margins(floor, tin, gap, 0.0, packed)
    assert found is not None
    assert found.shorter > 0
    shorter = (floor[0] - found.shorter, floor[1])
    assert pack_tins(shorter, tin, gap, 0.0).count < packed.count
    assert pack_tins(shorter, tin, gap, 0.0, stop_for=usual_stop).count == packed.count


@pytest.mark.parametrize("n", [7, 8, 10, 11, 13, 14])
def test_no_tin_is_larger_than_the_best_packing_of_a_square_allows(n: int) -> None:
    """Published and proven best (sources there), on 250 mm, with tins 0.65 mm smaller than that.

    Rows have the best of 7 and 14, the search that of 13; the others are held otherwise.
    """
    tin = 500 * RADIUS_IN_SQUARE[n - 1] - 0.65
    packed = pack_tins((250.0, 250.0), tin, 0.0, 0.0, stop_for=below(n))
    found = margins((250.0, 250.0), tin, 0.0, 0.0, packed)
    assert packed.count == n
    assert found is not None
    assert found.larger_tin == 0.6 if n in (7, 13, 14) else 0 <= found.larger_tin <= 0.6


def below(most: int) -> StopFor:
    return lambda count: usual_stop(count) if count <= most else Iterations(3)


def test_a_pan_of_hundreds_of_tins_is_answered_at_once_without_margins() -> None:
    packed = pack_tins((1500.0, 1000.0), 60.0, 5.0, 5.0)
    assert packed.count > 100
    assert margins((1500.0, 1000.0), 60.0, 5.0, 5.0, packed) is None


def test_nothing_has_no_margins() -> None:
    assert margins((50.0, 50.0), 60.0, 5.0, 0.0, pack_tins((50.0, 50.0), 60.0, 5.0, 0.0)) is None
