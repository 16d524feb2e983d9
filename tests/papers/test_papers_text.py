"""The plan on paper: what it says, in which order, in which units, and how wide it is."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from benchplan.model import Day, Display, OneMore, Order, Plan, Recipe, Scent, Step
from benchplan.model.cells import cells, left, right, wrap
from benchplan.model.words import bound_words, finish_words, fit_words
from benchplan.papers.cautions import CAUTIONS, DECIDES, SHORT, day_cautions
from benchplan.papers.fit_text import check_text, default_lines, fits_text
from benchplan.papers.letters import spelled_for
from benchplan.papers.page import paragraph
from benchplan.papers.plan_text import plan_text
from benchplan.papers.timeline import timeline

NO_MARGINS = (None,) * 3


def squeezed(text: str) -> str:
    return " ".join(text.split())


def section(text: str, head: str) -> list[str]:
    return text.split(head + "\n", 1)[1].split("\n\n", 1)[0].splitlines()


def test_head_says_when_and_how_good(small_day: Day, small_plan: Plan) -> None:
    text = squeezed(plan_text(small_day, small_plan))
    assert text.startswith(
        "Two by two Saturday 5 December 2026, 9:00 am to 10:02 am (1 h 02 min) "
        "4 tins on 2 trays: 1 person, 1 scale, 1 oven, 1 pan "
        "Finish 10:02 am, 57 min before 11:00 am. With these trays, none can finish earlier; "
        "no plan can before 10:00 am."
    )


def test_the_day_in_the_order_of_hands(small_day: Day, small_plan: Plan) -> None:
    lines = timeline(small_day, small_plan)
    starts = [line.start_s for line in lines]
    assert starts == sorted(starts)
    said = [line.words.split(":")[0].split(",")[0].split(" (")[0] for line in lines]
    assert said == [
        "Switch countertop on",
        "Fill tray 1",
        "Set tray 1 on pan small 1",
        "Load tray 1 into countertop",
        "Clean scoop and scale for Sea fennel",
        "Fill tray 2",
        "Mitts on",
        "Take tray 1 out of countertop",
        "Go on filling tray 2",
        "Move tray 1 to the mat",
        "Set tray 2 on pan small 1",
        "Load tray 2 into countertop",
        "Mitts on",
        "Take tray 2 out of countertop",
        "Switch countertop off",
        "Move tray 2 to the mat",
        "Lid and pack tray 1",
        "Go on packing tray 1",
        "Lid and pack tray 2",
    ]


def test_a_line_carries_all_that_a_reader_needs(small_day: Day, small_plan: Plan) -> None:
    text = squeezed(plan_text(small_day, small_plan))
    for words in (
        "9:00 am Switch countertop on, set it to 330 °F: hot at 9:11 am by a thermometer",
        "9:00 am Fill tray 1: 2 tins of Night garden, 1.3 oz each (40 s)",
        "Load tray 1 into countertop, shut the door (15 s). Bake 5 min 30 s: out at 9:16 am",
        "Mitts on, hands free: tray 1 comes out at 9:16 am",
        "onto stand 1 (15 s). Leave 2 min before the tongs",
        "They cool 34 min 30 s: lids on from 9:53 am, once checked",
        "Lid and pack tray 1: tin 1 of 2 (17 s)",
        "10:02 am 4 tins packed.",
    ):
        assert words in text


def test_two_people_each_see_their_turn(pair_day: Day, pair_plan: Plan) -> None:
    day = section(plan_text(pair_day, pair_plan), "THE DAY, IN ORDER")
    text = squeezed(" ".join(day))
    for words in (
        "09:00 1 Fill tray 1: 2 tins of Night garden, 37 g each; 1 is filled already (40 s)",
        "09:00 2 Clean scoop and scale 2 for Sea fennel",
        "09:01 1 Go on filling tray 1: 1 tin of Sea fennel, 37 g each (20 s)",
        "09:10 2 Break until 09:15",
        "09:50 1+2 Break until 10:00",
        "onto stand 2 (15 s). The tins stay on the pan: into the box from 09:55, once checked",
        "Clear tray 1 into a box, lids another day: 4 tins",
        "4 tins cleared.",
    ):
        assert words in text
    assert "mat" not in text.replace("Mitts", "")


def test_a_tray_filled_beforehand_has_no_fill_line(small_day: Day, small_plan: Plan) -> None:
    day = replace(small_day, orders=(Order("Night garden", "standard", 2, 2), small_day.orders[1]))
    trays = (replace(small_plan.trays[0], to_fill=()), small_plan.trays[1])
    steps = tuple(
        Step(1, "fill", ((0, 0),)) if (each.tray, each.step) == (1, "fill") else each
        for each in small_plan.steps
    )
    text = squeezed(plan_text(day, replace(small_plan, trays=trays, steps=steps)))
    assert "Fill tray 1" not in text
    assert "Set tray 1 on pan small 1: 2 tins, filled already" in text
    assert "Night garden: 0 tins to fill; 2 filled already" in text


def test_the_oven_is_set_anew_when_the_next_load_bakes_at_another_heat(
    small_day: Day, small_plan: Plan
) -> None:
    cooler = Recipe("gentle", "low 72", 37.0, 146.0, 330, 30, 120, 2070)
    day = replace(small_day, recipes={**small_day.recipes, "gentle": cooler})
    trays = (small_plan.trays[0], replace(small_plan.trays[1], recipe="gentle"))
    text = squeezed(plan_text(day, replace(small_plan, trays=trays)))
    assert "9:17 am Set countertop to 295 °F for tray 2" in text
    assert text.count("Switch countertop off") == 1


def test_an_oven_that_heats_twice_is_switched_off_in_between(
    small_day: Day, small_plan: Plan
) -> None:
    again = replace(small_plan.other[0], parts=((1030, 1158),))
    text = plan_text(small_day, replace(small_plan, other=(*small_plan.other, again)))
    assert text.count("Switch countertop off") == 2
    assert text.count("Switch countertop on") == 2


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_asked(
    small_day: Day, small_plan: Plan, pair_day: Day, pair_plan: Plan, width: int
) -> None:
    wide = "A scent whose name goes on and on, 冬の海 and beyond, until nobody reads it any more"
    long = replace(
        pair_plan,
        trays=(replace(pair_plan.trays[0], scents=(wide,) * 4, to_fill=((wide, 3),)),),
    )
    orders = (Order(wide, "standard", 4, 1),)
    texts = (
        plan_text(small_day, small_plan, width),
        plan_text(replace(pair_day, orders=orders), long, width),
        check_text(small_day, small_plan.fits, True, width),
        fits_text(small_day, small_plan.fits, NO_MARGINS, width),
    )
    for text in texts:
        assert max(cells(line) for line in text.splitlines()) <= width
        assert all(line == line.rstrip() for line in text.splitlines())


@pytest.mark.parametrize("width", range(60, 100, 4))
def test_a_number_stays_with_its_unit(small_day: Day, small_plan: Plan, width: int) -> None:
    lines = plan_text(small_day, small_plan, width).split("THE DAY, IN ORDER")[1].splitlines()
    for line in lines:
        assert not re.match(r" {10,}(min|s|am|°F|oz)\b", line), line
    assert paragraph("It takes 8 min 30 s in all", 16) == ["  It takes", "  8 min 30 s in", "  all"]


def test_us_units_everywhere(small_day: Day, small_plan: Plan) -> None:
    def units_in(day: Day) -> set[str]:
        text = plan_text(day, small_plan) + fits_text(day, small_plan.fits, NO_MARGINS)
        found = re.findall(r"\d (mm|g|kg|in|oz|°C|°F|am|pm)\b(?! \d)", text)
        return set(found)

    assert units_in(small_day) == {"in", "oz", "°F", "am"}
    assert units_in(replace(small_day, display=Display("metric", 24))) == {"mm", "g", "°C"}


def test_how_good_in_the_allowed_words(small_day: Day, small_plan: Plan) -> None:
    best = replace(small_plan, bound_any_s=3754)
    assert bound_words(small_day, best) == "No plan can finish earlier."
    assert bound_words(small_day, small_plan).startswith(
        "With these trays, none can finish earlier"
    )
    loose = replace(small_plan, bound_s=3000, bound_any_s=2400)
    assert bound_words(small_day, loose) == (
        "With these trays, none can finish before 9:50 am; no plan can before 9:40 am."
    )
    assert "finish earlier" not in bound_words(small_day, loose)


def test_slack_late_and_just_in_time(small_day: Day, small_plan: Plan) -> None:
    late = replace(small_day, finish_by_s=3600)
    assert finish_words(late, small_plan) == "Finish 10:02 am, late by 2 min for 10:00 am"
    exact = replace(small_day, finish_by_s=3754)
    assert finish_words(exact, small_plan) == "Finish 10:02 am, just by 10:02 am"
    none = replace(small_day, finish_by_s=None)
    assert finish_words(none, small_plan) == "Finish 10:02 am"


def test_what_limits_and_what_one_more_brings(small_day: Day, small_plan: Plan) -> None:
    lines = section(plan_text(small_day, small_plan), "WHAT LIMITS THE DAY")
    assert lines[3].split() == ["scale", "0%", "any", "number"]
    assert lines[0].strip() == "Pans limit the day: one pan goes round in 8 min 18 s."
    assert "One more small pan: finish 9:57 am, 5 min earlier." in lines[-2]
    assert lines[-1].strip() == "No minute is won by one more of these alone: person."
    more = (OneMore("scale", None, 3800),)
    assert "No minute is won" in plan_text(small_day, replace(small_plan, one_more=more))


def test_every_sheet_carries_every_caution(small_day: Day, small_plan: Plan) -> None:
    text = squeezed(plan_text(small_day, small_plan))
    for caution in (*CAUTIONS, DECIDES):
        assert caution in text
    assert all(cells(line) <= 76 for line in SHORT)


def test_flash_points_below_the_oven_are_named(small_day: Day) -> None:
    assert day_cautions(small_day) == (
        "Night garden (176 °F) has its flash point below the oven's temperature: only beads that "
        "are dry to the touch go in.",
    )
    high = {name: Scent(name, 200.0) for name in ("Night garden", "Sea fennel")}
    assert day_cautions(replace(small_day, scents=high)) == ()


def test_check_says_what_it_found(small_day: Day, small_plan: Plan) -> None:
    text = check_text(small_day, small_plan.fits)
    assert section(text, "WHAT FITS") == [
        "  low 72 on pan small: 4 fit, best found; 5 has not been ruled out",
        "  pan small on a shelf of countertop: 1 fits, no more can",
        "  low 72 on the mat: 12 fit, in tidy rows",
    ]
    assert "Nothing here stands in the way." in text
    assert "Nothing here stands" not in check_text(small_day, small_plan.fits, possible=False)


def test_defaults_are_listed_with_their_values(small_day: Day) -> None:
    assert default_lines(small_day) == [
        "day: people 1",
        "cooling: gap 0.39 in",
        "times: set 3 s",
        "ovens.countertop: recover 1 min 30 s",
    ]


def test_fit_words(small_plan: Plan) -> None:
    on_pan = small_plan.fits[0]
    assert fit_words(on_pan) == "4 fit, best found; 5 has not been ruled out"
    assert fit_words(replace(on_pan, count=6)) == "6 fit, no more can"
    assert fit_words(replace(on_pan, by="maker")) == "4 fit, as you say"


def test_letters_for_any_terminal() -> None:
    text = "158 °C, 10 × 20, Fête, naïve, 冬"
    assert spelled_for(text, "utf-8") == text
    assert spelled_for(text, "ascii") == "158 deg C, 10 x 20, Fete, naive, ?"
    assert spelled_for(text, "latin-1") == "158 °C, 10 × 20, Fête, naïve, ?"
    assert (
        spelled_for(text, "no such code") == spelled_for(text, None) == spelled_for(text, "ascii")
    )
    assert spelled_for("bad \udcff byte", "utf-8") == "bad ? byte"


def test_cells() -> None:
    assert cells("冬の海") == 6
    assert cells("e\u0301") == 1
    assert left("冬", 4) == "冬  "
    assert right("abc", 5) == "  abc"
    assert left("too long by far", 8) == "too lo.."
    assert wrap("one two three", 7) == ["one two", "three"]
    assert wrap("abcdefghij", 4) == ["abcd", "efgh", "ij"]
    assert wrap("a long word: abcdefghij", 8, "  ") == ["a long", "  word:", "  abcdef", "  ghij"]
    assert wrap("bake it 30\u00a0s long", 10) == ["bake it", "30\u00a0s long"]
    assert wrap("", 10) == []
