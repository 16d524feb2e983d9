"""Margins in words: always on the safe side, in the maker's units."""

from __future__ import annotations

from dataclasses import replace

from benchplan.model import Day, Display, Fit, Margins
from benchplan.papers.margin_words import margin_words

FIT = Fit("tins on pan", 8, 9, tin="low 72", pan="small")
MARGINS = Margins(1.6, 16.7, 6.5, 26.6, None, 5.0, 2.0)


def test_metric(small_day: Day) -> None:
    day = replace(small_day, display=Display("metric", 24))
    assert margin_words(day, FIT, MARGINS) == (
        "With tins up to 1.6 mm larger, a floor up to 16.7 mm shorter or a floor up to 6.5 mm "
        "narrower, still 8.",
        "One more, in rows, needs 26.6 mm more length, a gap of 5 mm or tins 2 mm smaller.",
    )


def test_inches_are_rounded_to_the_safe_side(small_day: Day) -> None:
    """1.6 mm are 0.0630 in, 16.7 mm 0.6575 in, 26.6 mm 1.0472 in: 25.4 mm to the inch, exact."""
    day = replace(small_day, display=Display("us", 12))
    spare, needs = margin_words(day, FIT, MARGINS)
    assert "up to 0.06 in larger" in spare
    assert "up to 0.65 in shorter" in spare
    assert "1.05 in more length" in needs
    assert "a gap of 0.19 in" in needs


def test_nothing_to_spare_and_nothing_that_would_do(small_day: Day) -> None:
    none = Margins(0.0, 0.0, 0.0, None, None, None, None)
    assert margin_words(small_day, FIT, none) == ("With this layout there is nothing to spare.",)


def test_less_than_a_hundredth_of_an_inch_is_nothing_to_spare(small_day: Day) -> None:
    day = replace(small_day, display=Display("us", 12))
    spare, *_ = margin_words(day, FIT, replace(MARGINS, larger_tin=0.2, shorter=0.0))
    assert spare == "With a floor up to 0.25 in narrower, still 8."
