"""The estimates of cooling: computed once from a model of our own, and none was measured."""

from __future__ import annotations

import pytest

from benchplan.heat import cool_for_s, cooling_estimate
from benchplan.model import Cooling, Tin

SIXTY = Tin("round 60", 66.0, 19.0, 60.0)

# Minutes after the oven until the wall of four tins in five is at most 45 °C: 60 ml, still air of
# 22 °C. What the model gave; there is no source to compare it with.
TABLE = {("mat", "mat"): 33, ("mat", "rack"): 27, ("mat", "fan"): 17, ("pan", "mat"): 23}
# the same: how much longer in another room
ROOMS = {16.0: 0.8, 22.0: 1.0, 28.0: 1.3, 32.0: 1.6}


@pytest.mark.parametrize(("where", "surface"), TABLE)
def test_the_table(where: str, surface: str) -> None:
    cooling = Cooling(where=where, surface=surface, room_c=22.0)
    assert cool_for_s(SIXTY, cooling) == TABLE[where, surface] * 60


@pytest.mark.parametrize("room_c", ROOMS)
def test_the_room(room_c: float) -> None:
    assert cool_for_s(SIXTY, Cooling(room_c=room_c)) == round(1980 * ROOMS[room_c])


def test_between_the_rooms_a_straight_line_and_never_less_in_a_warmer_one() -> None:
    assert cool_for_s(SIXTY, Cooling(room_c=25.0)) == round(1980 * 1.15)
    times = [cool_for_s(SIXTY, Cooling(room_c=room / 2)) for room in range(0, 90)]
    assert times == sorted(times)
    assert times[0] == round(1980 * 0.8)
    assert times[-1] > 1980 * 1.6


def test_the_words_say_where_it_comes_from_and_what_it_leaves_out() -> None:
    assert cooling_estimate(SIXTY, Cooling()).words == (
        "our estimate (computed, not measured): 60 ml tin on an insulating mat"
    )
    big = Tin("round 120", 80.0, 28.0, 120.0)
    words = cooling_estimate(big, Cooling(where="pan", room_c=35.5)).words
    assert "left on its pan on an open stand" in words
    assert "room at 35.5 °C" in words
    assert "a guess" in words
    assert "round 120 holds 120 ml and will differ" in words
