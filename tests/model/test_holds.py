"""One person's line of work, and something of which there are so many units."""

from __future__ import annotations

from benchplan.model.holds import Doing, Hold, Line, Room

WORK = [Doing(100, 130, "load", 1), Doing(150, 160, "set", 2), Doing(160, 170, "pack", 3)]
OWN = (WORK[1],)


def test_what_somebody_is_at_until_a_moment() -> None:
    line = Line(WORK)
    assert line.ending(160) == WORK[1]
    assert line.ending(155) is None
    assert line.ending(999) is None
    assert line.ends(130, 170) == [160]


def test_the_first_time_free_for_work_in_one_piece() -> None:
    line = Line(WORK)
    assert line.earliest(0, 100, 500, ()) == 0
    assert line.earliest(1, 100, 500, ()) == 170
    assert line.earliest(110, 20, 500, ()) == 130
    assert line.earliest(110, 21, 500, ()) == 170
    assert line.earliest(110, 30, 500, OWN) == 130
    assert line.earliest(110, 30, 150, ()) == 150  # not before then


def test_free_between_two_moments() -> None:
    line = Line(WORK)
    assert line.free(0, 100, ())
    assert line.free(130, 150, ())
    assert not line.free(99, 101, ())
    assert not line.free(140, 151, ())
    assert line.free(140, 160, OWN)
    assert not line.free(140, 161, OWN)
    assert line.free(170, 999, ())


def test_work_that_may_pause_goes_around_the_rest() -> None:
    line = Line(WORK)
    # Three of 30 s by 90, the fourth from 170; with the set gone the fourth is done by 160.
    assert line.flow(0, 4, 30, 500, ()) == (0, 200)
    assert line.flow(0, 4, 30, 500, OWN) == (0, 160)
    assert line.flow(80, 1, 30, 500, ()) == (170, 200)
    assert line.flow(80, 2, 20, 500, ()) == (80, 150)
    assert line.flow(80, 9, 20, 140, ()) == (80, 140)  # not before then


def test_when_units_became_free() -> None:
    pan, other, third = (Doing(end - 5, end, "transfer", end) for end in (50, 80, 90))
    room = Room(2, [Hold(0, 50, 1, pan), Hold(10, 80, 1, other), Hold(60, 90, 1, third)])
    assert room.freed(60, 1, 0) == (50, Hold(0, 50, 1, pan))
    assert room.freed(60, 1, 50) is None  # there was room since then
    assert room.freed(60, 2, 0) is None  # there is not room for two even then
    assert room.freed(80, 1, 0) == (80, Hold(10, 80, 1, other))
    assert room.freed(95, 2, 0) == (90, Hold(60, 90, 1, third))
    assert room.freed(10, 1, 0) is None
    assert room.freed(85, 2, 0, besides=(60,)) == (80, Hold(10, 80, 1, other))
