"""What limits the day reads as pages of whole sentences, whatever the window."""

from __future__ import annotations

from dataclasses import replace

import example_day
import goldens
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan.model import OneMore, Plan
from benchplan.model.more_words import chance_words, in_time_words, one_more_words, start_words
from benchplan.model.plan import Chance, InTime
from benchplan.model.waits import chain_words, mat_words
from benchplan.views import limits
from benchplan.views.rows import cells, plain, text_of

SMALL, LARGE = (78, 21), (118, 37)
DAY = replace(example_day.day(), finish_by_s=5400)
PLAN = replace(
    example_day.plan(),
    one_more=(
        OneMore("pan", "small", 5400),
        OneMore("scale", None, 6044),
        OneMore("packing another day", None, 5900),
    ),
    start_by_s=-644,
    in_time=(
        InTime("earlier start", None, 660, 5384),
        InTime("fewer tins", "Fig and ash", 4, 4000),
    ),
    chance=Chance(400, 0.4, 6100, 6400, 6600, "pack", 3, 0.4),
)


def sentences(plan: Plan = PLAN) -> list[str]:
    return [
        *chain_words(DAY, plan),
        plan.limits.why,
        mat_words(DAY, plan),
        *in_time_words(DAY, plan),
        *one_more_words(DAY, plan),
        *chance_words(DAY, plan),
    ]


def unwrapped(rows: list[str]) -> list[str]:
    """Return rows with those that go on (indented by two) put to the one before."""
    found: list[str] = []
    for line in rows:
        if line.startswith("  ") and found:
            found[-1] += " " + line.strip()
        else:
            found.append(line)
    return found


@pytest.mark.parametrize("part", [0, 1])
def test_the_pages(part: int) -> None:
    goldens.check(f"flow_limits_{part + 1}", limits.page(DAY, PLAN, part, *SMALL), *SMALL)


def test_in_a_large_window_it_is_one_page() -> None:
    rows = limits.page(DAY, PLAN, 0, *LARGE)
    goldens.check("flow_limits_large", rows, *LARGE)
    assert "page" not in text_of(rows[0])


def test_a_page_beyond_the_last_is_the_last() -> None:
    assert limits.page(DAY, PLAN, 99, *SMALL) == limits.page(DAY, PLAN, 1, *SMALL)
    assert limits.page(DAY, PLAN, 0, *SMALL) != limits.page(DAY, PLAN, 1, *SMALL)


@given(st.integers(60, 200), st.integers(10, 60))
def test_every_sentence_is_whole_on_one_page_and_in_order(width: int, height: int) -> None:
    found = limits.pages(DAY, PLAN, width, height)
    lines = []
    for page in found:
        assert 0 < len(page) <= height - 2
        assert all(cells(text_of(line)) <= width for line in page)
        lines += unwrapped(plain(page).split("\n"))
    wanted = sentences()
    assert [line for line in lines if line in set(wanted)] == wanted


def test_a_heading_stands_with_its_first_sentence() -> None:
    for height in range(10, 40):
        for page in limits.pages(DAY, PLAN, 78, height):
            assert page[-1]
            assert page[-1][0].tone != "head"


def test_what_fits_on_a_page_of_its_own_is_not_torn_apart() -> None:
    first, second = limits.pages(DAY, PLAN, *SMALL)
    assert plain(second).startswith("What would help\n")
    assert "What would help" not in plain(first)


def test_the_latest_start_is_said_where_nothing_makes_the_day_in_time() -> None:
    early = replace(PLAN, in_time=())
    assert start_words(DAY, early) in plain(limits.page(DAY, early, 0, *LARGE))
    assert start_words(DAY, PLAN) not in plain(limits.page(DAY, PLAN, 0, *LARGE))


def test_what_is_not_known_is_left_out_or_said_to_be_under_way() -> None:
    bare = example_day.plan()
    text = plain(limits.page(example_day.day(), bare, 0, *LARGE))
    assert "What would help" not in text
    assert "How sure it is" not in text
    assert limits.WORKING in plain(limits.page(DAY, bare, 0, *LARGE, working=True))
    assert limits.WORKING not in plain(limits.page(DAY, PLAN, 0, *LARGE, working=True))


def test_the_thing_that_limits_is_marked_and_stale_pages_say_so() -> None:
    text = plain(limits.page(DAY, PLAN, 0, *LARGE, stale=True))
    assert "\n> oven    52%        10 min            36\n" in text
    assert "replanning" in text.splitlines()[0]


def test_a_table_longer_than_a_page_goes_on_on_the_next() -> None:
    each = PLAN.limits.resources[0]
    many = tuple(replace(each, what=f"thing {number}") for number in range(40))
    plan = replace(PLAN, limits=replace(PLAN.limits, resources=many))
    pages = limits.pages(DAY, plan, 78, 12)
    assert all(len(page) <= 10 for page in pages)
    text = "\n".join(plain(page) for page in pages)
    assert all(f"  thing {number} " in text for number in range(40))
