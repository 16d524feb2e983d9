"""The chart of the balance: its figures, its marks in words, and what it says of each room."""

from __future__ import annotations

from dataclasses import replace

import example_day
import goldens
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan.balance import Balance, Point
from benchplan.model import Cooling, Day, Pan
from benchplan.views import balance as view
from benchplan.views.rows import cells, plain, text_of

SMALL, LARGE = (78, 21), (118, 37)
# By hand, of a day from 09:00 on: 18:00 and 9000 s is 11:30.
POINTS = (
    Point(6, 12000, 20.0, 3.0, 6.0),
    Point(12, 9600, 31.0, 4.2, 12.0),
    Point(18, 9050, 36.0, 4.6, 16.4),
    Point(24, 9000, 37.0, 4.7, 16.6),
)
FOUND = Balance("mat", None, 12, POINTS, 4, 4)
DAY = example_day.day()


def text(found: Balance | None = FOUND, room: int | None = None, day: Day = DAY) -> str:
    return plain(view.page(day, found, room, *SMALL))


def paragraph(found: Balance = FOUND, room: int | None = None, day: Day = DAY) -> str:
    """Return the sentences below the chart, without the ends of their lines."""
    return " ".join(plain(view.page(day, found, room, 300, 40)).split("\n\n")[1].split())


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_the_page(size: tuple[int, int]) -> None:
    name = "balance_small" if size == SMALL else "balance_large"
    goldens.check(name, view.page(DAY, FOUND, 18, *size), *size)


def test_a_row_has_room_finish_and_bake_rate_and_the_marks_are_words() -> None:
    rows = text().splitlines()
    assert rows[1].split()[:4] == ["Tins", "Finish", "Tins", "an"]
    assert rows[2].split()[:4] == ["6", "12:20", "20", "3.0"]
    assert rows[3].split()[:5] == [">", "12", "11:40", "31", "4.2"]
    assert rows[3].endswith(" yours")
    assert rows[4].endswith(" knee")
    assert text(replace(FOUND, own=18)).splitlines()[4].endswith(" yours, knee")


def test_bars_are_as_long_as_the_days_are() -> None:
    bars = [line.count("█") + line.count("▌") / 2 for line in text().splitlines()[2:6]]
    assert bars[0] == max(bars)
    for bar, point in zip(bars, POINTS, strict=True):
        assert bar == pytest.approx(bars[0] * point.finish_s / 12000, abs=0.26)


@pytest.mark.parametrize(
    ("room", "said"),
    [
        (
            None,
            "With room for 12 tins on the mat the finish is 11:40: this is your day as it is. "
            "At that pace 31 tins (4.2 trays) an hour come out of the oven, and 12 tins cool on "
            "the mat at a time. The knee is at 18: more than that wins less than a minute. You "
            "have 12: 6 more would win 9 min.",
        ),
        (
            24,
            "With room for 24 tins on the mat the finish is 11:30, 10 min earlier than with "
            "yours. At that pace 37 tins (4.7 trays) an hour come out of the oven, and 17 tins "
            "cool on the mat at a time. The knee is at 18: more than that wins less than a "
            "minute. You have 12: 6 more would win 9 min. To plan the day so, write mat_tins = "
            "24 under [cooling], in place of mat in your plan file.",
        ),
    ],
)
def test_the_sentences_say_finish_pace_knee_and_what_to_write(room: int | None, said: str) -> None:
    assert paragraph(room=room) == said


def test_less_room_is_later_and_room_that_wins_nothing_is_as_early() -> None:
    assert "the finish is 12:20, 40 min later than with yours." in paragraph(room=6)
    points = (*POINTS[:2], replace(POINTS[1], room=13))
    assert "11:40, as early as with yours." in paragraph(replace(FOUND, points=points), 13)


def test_where_yours_is_to_the_knee() -> None:
    assert "You have 24, 6 more than it takes." in paragraph(replace(FOUND, own=24))
    at = paragraph(replace(FOUND, own=18))
    assert "Yours is the knee: more than that wins less than a minute." in at
    assert "The knee is at" not in at


def test_until_all_is_planned_the_title_counts_and_no_knee_is_said() -> None:
    part = replace(FOUND, planned=4, wanted=11)
    assert "4 of 11 planned" in text(part)
    assert "is marked when all is planned" in paragraph(part)
    assert not any(line.endswith("knee") for line in text(part).splitlines())
    assert "planned" not in text().splitlines()[0]


@pytest.mark.parametrize(
    ("found", "named", "written"),
    [
        (
            replace(FOUND, what="pan", kind="small"),
            "With 24 pans (small) the",
            "count = 24 under [pans.small]",
        ),
        (
            replace(FOUND, what="stand place"),
            "With 24 places on the stand the",
            "stand = 24 under [cooling]",
        ),
        (
            replace(FOUND, by_size=True, kind="low 72"),
            "With room for 24 tins (low 72) on the mat the",
            "make mat under [cooling] as large",
        ),
    ],
)
def test_whatever_is_changed_it_is_named_and_said_how(
    found: Balance, named: str, written: str
) -> None:
    assert named in paragraph(found, 24)
    assert written in paragraph(found, 24)


def test_one_of_a_thing_is_one() -> None:
    one = replace(FOUND, what="stand place", points=(replace(POINTS[0], room=1), *POINTS))
    assert "With 1 place on the stand the" in paragraph(one, 1)


def test_a_mat_by_number_is_not_told_to_replace_its_size() -> None:
    day = replace(DAY, cooling=Cooling(mat_tins=12))
    assert "write mat_tins = 24 under [cooling] in your plan file." in paragraph(room=24, day=day)


def test_tins_on_their_pans_lie_on_no_mat_and_ovens_may_be_two() -> None:
    points = tuple(replace(point, cooling=0.0) for point in POINTS)
    day = replace(DAY, ovens={**DAY.ovens, "kitchen": DAY.ovens["countertop"]})
    said = paragraph(replace(FOUND, what="pan", kind="small", points=points), day=day)
    assert "an hour come out of the ovens. The knee" in said


def test_before_there_is_anything_the_page_says_why() -> None:
    assert "looked at" in text(None)
    assert "planned anew" in plain(view.page(DAY, None, None, *SMALL, stale=True))


def test_the_cursor_goes_from_point_to_point_and_no_farther() -> None:
    assert view.turned(FOUND, None, 1) == 18
    assert view.turned(FOUND, 18, 1) == 24
    assert view.turned(FOUND, 24, 1) == 24
    assert view.turned(FOUND, 12, -5) == 6
    assert view.chosen(FOUND, 99).room == 24
    assert view.chosen(FOUND, 17).room == 18


@st.composite
def balances(draw: st.DrawFn) -> Balance:
    rooms = sorted(draw(st.sets(st.integers(1, 9999), min_size=1, max_size=30)))
    ends = st.integers(1, 200_000)
    finishes = sorted(draw(st.lists(ends, min_size=len(rooms), max_size=len(rooms))), reverse=True)
    rate, few = st.floats(0.1, 999), st.floats(0, 999)
    points = tuple(
        Point(room, finish, draw(rate), draw(rate), draw(few))
        for room, finish in zip(rooms, finishes, strict=True)
    )
    what, kind = draw(
        st.sampled_from(
            [("mat", None), ("pan", "the large one from the market"), ("stand place", None)]
        )
    )
    planned = len(points)
    wanted = planned + draw(st.integers(0, 3))
    return Balance(what, kind, draw(st.sampled_from(rooms)), points, planned, wanted)


@given(balances(), st.data(), st.integers(60, 300), st.integers(10, 60), st.sampled_from([12, 24]))
def test_in_any_window_yours_the_knee_and_the_cursor_are_there_and_nothing_is_cut(
    found: Balance, data: st.DataObject, width: int, height: int, hours: int
) -> None:
    room = data.draw(st.sampled_from([None, *(point.room for point in found.points)]))
    day = replace(
        example_day.day(clock=hours), pans={"small": Pan("small", (1.0, 1.0), (1.0, 1.0))}
    )
    rows = view.page(day, found, room, width, height)
    lines = [text_of(line).rstrip() for line in rows]
    assert len(lines) <= height
    assert all(cells(line) <= width for line in lines)
    blank = lines.index("")
    chart, said = lines[2:blank], lines[blank + 1 :]
    marked = [line for line in chart if line.endswith(("yours", "yours, knee"))]
    assert [line.removeprefix(">").split()[0] for line in marked] == [str(found.own)]
    knees = [line.removeprefix(">").split()[0] for line in chart if line.endswith("knee")]
    assert knees == ([str(found.knee)] if found.knee is not None else [])
    here = [line.split()[1] for line in chart if line.startswith(">")]
    assert here == [str(found.own if room is None else room)]
    assert not said or said[-1].endswith(".")
