"""The cooling handbook values. All are computed [C] in the trade handbook, none was measured."""

from __future__ import annotations

import pytest

from benchplan.heat import cool_for_s, cooling_estimate
from benchplan.heat.cooling import TOUCH_C
from benchplan.model import Cooling, Tin

SIXTY = Tin("round 60", 66.0, 19.0, 60.0)

# Trade handbook, minutes after the oven until the tin's wall is at most 45 °C, 60 ml tin, 22 °C,
# still air, four in five [C]
TABLE = {("mat", "mat"): 33, ("mat", "rack"): 27, ("mat", "fan"): 17, ("pan", "mat"): 23}
# the same: how much longer in another room [C]
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
        "handbook value: a 60 ml tin on an insulating mat"
    )
    big = Tin("round 120", 80.0, 28.0, 120.0)
    words = cooling_estimate(big, Cooling(where="pan", room_c=35.5)).words
    assert "left on its pan on an open stand" in words
    assert "room at 35.5 °C" in words
    assert "a guess" in words
    assert "round 120 holds 120 ml and will differ" in words


def test_a_forecast_of_cool_enough_stays_under_the_burn_thresholds_of_bare_metal() -> None:
    """ISO 13732-1 for uncoated metal, from memory: skin is burnt after 1 min at 51 °C, after 10 min
    at 48 °C, after 8 h at 43 °C. Tins are handled for seconds to minutes, never held for hours.
    """
    minute_c, ten_minutes_c, eight_hours_c = 51.0, 48.0, 43.0
    assert TOUCH_C < ten_minutes_c < minute_c
    assert eight_hours_c < TOUCH_C  # so it is called cold by nobody: the word is "check"
