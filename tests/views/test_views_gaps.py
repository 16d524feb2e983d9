"""How near tins stand: in words, and written into the drawing where there is room."""

from __future__ import annotations

import math

import example_day
import pytest

from benchplan.model import Margins
from benchplan.views import fit
from benchplan.views.drawing import BOX, BRAILLE
from benchplan.views.gaps import gap_notes, gap_words, to_nearest, to_rim
from benchplan.views.rows import plain

FLOOR, PLACES = (260.0, 100.0), ((40.0, 50.0), (120.0, 50.0), (195.0, 60.0))
SMALL, LARGE = (78, 21), (118, 37)
MARGINS = Margins(5.5, 20.5, 19.8, 23.9, 21.8, None, 4.2)


def page(look: fit.Look, size: tuple[int, int], mode: str = BRAILLE, system: str = "metric") -> str:
    day, plan = example_day.day(system), example_day.plan()
    return plain(fit.page(day, example_day.FITS, plan, look, *size, mode))


def test_gaps_by_hand() -> None:
    """Tins of 60 mm: 80 − 60 = 20; √(75² + 10²) − 60 = 15.664 mm; the rim is 10 mm off each."""
    assert to_nearest(60.0, PLACES) == pytest.approx([20.0, 15.664, 15.664], abs=1e-3)
    assert to_rim(60.0, FLOOR, PLACES) == [10.0, 20.0, 10.0]
    assert to_nearest(60.0, PLACES[:1]) == [math.inf]


def test_the_nearest_two_and_the_rim() -> None:
    assert gap_words("metric", 60.0, FLOOR, PLACES) == (
        "Nearest to each other: tins 2 and 3, 15.6 mm.",
        "Nearest the rim: tin 1, 10 mm.",
    )
    assert gap_words("us", 60.0, FLOOR, PLACES, "border") == (
        "Nearest to each other: tins 2 and 3, 0.61 in.",
        "Nearest the border: tin 1, 0.39 in.",
    )
    assert gap_words("metric", 60.0, FLOOR, PLACES[:1]) == ("Nearest the rim: tin 1, 10 mm.",)
    assert gap_words("metric", 60.0, FLOOR, ()) == ()


def test_a_gap_that_is_missed_by_the_tolerance_is_that_gap() -> None:
    near = ((40.0, 50.0), (105.9992, 50.0))
    assert "5.9 mm" not in gap_words("metric", 60.0, FLOOR, near)[0]
    assert gap_notes("metric", 60.0, FLOOR, near) == (("6 mm", "10 mm"), ("6 mm", "20 mm"))


@pytest.mark.parametrize("mode", [BRAILLE, BOX])
@pytest.mark.parametrize("size", [SMALL, LARGE])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_gaps_are_written_into_the_tins(mode: str, size: tuple[int, int], system: str) -> None:
    """Six tins of 72 mm, all 6 mm from the nearest and four of them 2 mm from the rim."""
    side = 36 if size == SMALL else 44
    near, rim = ("0.23 in", "0.07 in") if system == "us" else ("6 mm", "2 mm")
    for gaps in (False, True):
        lines = page(fit.Look(gaps=gaps), size, mode, system).splitlines()[:-1]
        drawn = "".join(line[side:] for line in lines).replace("·", " ")
        assert drawn.count(near) == 6 * gaps
        assert drawn.count(rim) == 4 * gaps
        assert ("Below each number" in "".join(lines)) == gaps


def test_where_there_is_less_room_the_unit_is_said_once() -> None:
    text = page(fit.Look(gaps=True), (70, 17), BOX)
    assert "6 mm 2 mm" not in " ".join(text.split())
    assert "rim are, in mm." in text
    assert text.replace("·", " ").split().count("18") == 1


def test_small_tins_say_no_gaps_but_the_words_do() -> None:
    text = page(fit.Look(at=2, gaps=True), SMALL)
    assert "Nearest the border" in text
    assert "Below each number" not in text


def test_gaps_of_a_shelf_are_not_shown() -> None:
    assert "Gaps are shown for tins." in page(fit.Look(at=1, gaps=True), LARGE)


def test_margins_are_the_first_to_go_where_there_is_no_room() -> None:
    look = fit.Look(margins=MARGINS)
    assert "5.5 mm larger" in page(look, LARGE)
    assert "One more, in rows," in page(look, LARGE)
    small = page(look, SMALL)
    assert "One more, in rows," not in small
    assert "The plan has 3 trays of these" in small
    assert "5.5 mm larger" not in page(fit.Look(sight=1, margins=MARGINS), LARGE)
