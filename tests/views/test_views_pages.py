"""The pages of the screens as plain text, at 80 by 24 and 120 by 40 less the frame around them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import example_day
import goldens
import pytest

from benchplan.book import Jar
from benchplan.live import Learned
from benchplan.mixing import jars_needed
from benchplan.model import Cannot, Fit, Load, Margins, Order, Plan, Run, Tray
from benchplan.views import book, edits, fit, flow, jars, lanes, orders
from benchplan.views.drawing import BOX, BRAILLE
from benchplan.views.rows import Row, plain

SMALL, LARGE = (78, 21), (118, 37)
SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
REASON = (
    "The tin low 72 is 90 mm high and the headroom of countertop is 80 mm: no pan can go in. "
    "A lower tin, or an oven with more headroom, would do."
)


def named(name: str, size: tuple[int, int]) -> str:
    return f"{name}_{'small' if size == SMALL else 'large'}"


def long_plan(count: int = 60) -> Plan:
    """The example plan drawn out to many trays, each a quarter of an hour after the one before."""
    plan = example_day.plan()
    trays, steps, loads = [], [], []
    for number in range(1, count + 1):
        later = (number - 1) * 900
        trays.append(replace(plan.trays[1], number=number))
        loads.append(Load("countertop", number, (number,)))
        steps += [
            replace(
                step,
                tray=number,
                parts=tuple((begin + later, end + later) for begin, end in step.parts),
            )
            for step in plan.steps
            if step.tray == 2
        ]
    return replace(
        plan,
        trays=tuple(trays),
        loads=tuple(loads),
        steps=tuple(steps),
        finish_s=3972 + (count - 1) * 900,
    )


@SIZES
def test_orders(size: tuple[int, int]) -> None:
    plan = example_day.plan(("The mat is full from 10:06 to 10:10.",))
    rows = orders.page(example_day.day(), plan, False, orders.Look(), *size)
    goldens.check(named("orders", size), rows, *size)


def test_orders_in_us_units_shows_a_twelve_hour_clock() -> None:
    look = orders.Look("queue", 0, 1)
    rows = orders.page(example_day.day("us", 12), example_day.plan(), False, look, *SMALL)
    goldens.check("orders_us", rows, *SMALL)


def test_orders_shows_a_changed_queue_before_its_plan_is_there() -> None:
    day = edits.move_tray(example_day.day(), example_day.plan(), 3, -1)
    rows = orders.page(day, example_day.plan(), True, orders.Look("queue", 0, 1), *SMALL)
    goldens.check("orders_replanning", rows, *SMALL)


def test_orders_without_a_plan_says_that_it_is_planning() -> None:
    rows = orders.page(example_day.day(), None, False, orders.Look(), *SMALL)
    goldens.check("orders_planning", rows, *SMALL)


def test_orders_says_why_a_day_cannot_be_done() -> None:
    rows = orders.page(example_day.day(), Cannot((REASON,)), False, orders.Look(), *SMALL)
    goldens.check("orders_cannot", rows, *SMALL)


def test_a_late_tray_has_a_mark_of_its_own() -> None:
    day = replace(example_day.day(), finish_by_s=3600)
    text = plain(orders.page(day, example_day.plan(), False, orders.Look(), *SMALL))
    assert text.count("!") == 2  # trays 2 and 3
    assert "late by" in text


def test_sixty_trays_scroll_with_the_cursor() -> None:
    plan = long_plan()
    for at in range(60):
        rows = orders.page(example_day.day(), plan, False, orders.Look("queue", 0, at), *SMALL)
        assert len(rows) <= SMALL[1]
        assert f">{at + 1:>5}  Sea fennel" in plain(rows)
    assert "more below" in plain(orders.page(example_day.day(), plan, False, orders.Look(), *SMALL))


def test_many_orders_leave_room_for_the_queue() -> None:
    day = replace(
        example_day.day(), orders=tuple(Order(f"Scent {n}", "standard", 4) for n in range(30))
    )
    text = plain(orders.page(day, example_day.plan(), False, orders.Look(order=20), *SMALL))
    assert "> Scent 20" in text
    assert "Fig and ash" in text


def fit_page(look: fit.Look, width: int, height: int, mode: str = BRAILLE) -> list[Row]:
    plan = example_day.plan()
    return fit.page(example_day.day(), example_day.FITS, plan, look, width, height, mode)


@SIZES
def test_fit_with_gaps_in_place_of_the_sizes_and_with_margins(size: tuple[int, int]) -> None:
    margins = Margins(5.5, 20.5, 19.8, 23.9, 21.8, None, 4.2)
    rows = fit_page(fit.Look(gaps=True, searching="looking for 9 on small", margins=margins), *size)
    goldens.check(named("fit_gaps", size), rows, *size)


@SIZES
@pytest.mark.parametrize("mode", [BRAILLE, BOX])
def test_fit_of_a_pan(size: tuple[int, int], mode: str) -> None:
    rows = fit_page(fit.Look(), *size, mode)
    goldens.check(named(f"fit_pan_{mode}", size), rows, *size)


def test_fit_of_a_tray_that_is_not_full() -> None:
    rows = fit.page(example_day.day(), example_day.FITS, example_day.plan(), fit.Look(0, 3), *SMALL)
    goldens.check("fit_tray", rows, *SMALL)


@SIZES
def test_fit_of_a_shelf_in_inches(size: tuple[int, int]) -> None:
    day = example_day.day("us", 12)
    rows = fit.page(day, example_day.FITS, example_day.plan(), fit.Look(1, 0), *size)
    goldens.check(named("fit_shelf", size), rows, *size)


def test_fit_of_a_load_names_its_tray() -> None:
    rows = fit_page(fit.Look(1, 3), *SMALL, BOX)
    goldens.check("fit_load", rows, *SMALL)


def test_fit_of_the_mat() -> None:
    rows = fit.page(example_day.day(), example_day.FITS, example_day.plan(), fit.Look(2, 0), *SMALL)
    goldens.check("fit_mat", rows, *SMALL)


def test_fit_says_what_is_not_ruled_out() -> None:
    fits = (replace(example_day.FITS[0], count=6, most_possible=8, by="search"),)
    text = plain(fit.page(example_day.day(), fits, None, fit.Look(0, 0), *SMALL))
    assert "6 fit, best found; 7 has not been" in text
    assert "More than 8 is proven impossible." in text


def test_a_makers_own_number_without_places_is_not_drawn() -> None:
    fits = (Fit("tins on mat", 24, None, "maker", tin="low 72"),)
    text = plain(fit.page(example_day.day(), fits, None, fit.Look(0, 0), *SMALL))
    assert "24 fit, as you say." in text
    assert "Your own number: where each one stands is" in text


def test_nothing_that_fits_is_said_in_words() -> None:
    fits = (Fit("tins on pan", 0, 0, "rows", tin="low 72", pan="small"),)
    assert "Not one of them fits." in plain(
        fit.page(example_day.day(), fits, None, fit.Look(0, 0), *SMALL)
    )


def test_a_mixed_tray_says_which_tin_holds_which_scent() -> None:
    plan = example_day.plan()
    mixed = Tray(
        1, ("Sea fennel",) * 2 + ("Fig and ash",) * 4, "standard", "small", 1, example_day.CENTRES
    )
    plan = replace(plan, trays=(mixed,))
    text = plain(fit.page(example_day.day(), example_day.FITS, plan, fit.Look(0, 1), *SMALL, BOX))
    assert "Tray 1: tins 1-2 Sea fennel; 3-6" in text
    assert "·1·" in text
    assert ":3:" in text


def test_a_turned_pan_lies_across_the_shelf() -> None:
    turned = replace(example_day.FITS[1], at_mm=((80.0, 10.0, True),))
    found = fit.drawing(example_day.day(), (example_day.FITS[0], turned), turned)
    assert found is not None
    assert (found.boxes[1].wide, found.boxes[1].deep) == (187.0, 263.0)
    for tin in found.rounds:
        assert 80 + 36 <= tin.x <= 80 + 187 - 36
        assert 10 + 36 <= tin.y <= 10 + 263 - 36


def test_the_list_of_fits_steps_by_group() -> None:
    fits = (*example_day.FITS, replace(example_day.FITS[0], pan="wide"))
    assert [each.what for each in fit.choices(fits)] == [
        "tins on pan", "tins on pan", "pans on shelf", "tins on mat",
    ]  # fmt: skip
    assert fit.group_step(fits, 1, 1) == 2
    assert fit.group_step(fits, 3, -1) == 2
    assert fit.group_step(fits, 3, 1) == 3
    assert fit.group_step((), 0, 1) == 0


@SIZES
def test_flow(size: tuple[int, int]) -> None:
    day, plan = example_day.day(), example_day.plan()
    found = lanes.lanes(day, plan)
    look = flow.Look(lane=2, bar=2)
    rows = flow.page(day, plan, found, lanes.levels(day, plan), look, None, *size)
    goldens.check(named("flow", size), rows, *size)


def test_flow_in_a_run_shows_now() -> None:
    day, plan = example_day.day("us", 12), example_day.plan(("The mat is full at 10:06.",))
    found = lanes.lanes(day, plan)
    rows = flow.page(day, plan, found, lanes.levels(day, plan), flow.Look(), 3000, *SMALL)
    goldens.check("flow_now", rows, *SMALL)


def runs_kept() -> list[book.PastRun]:
    run = Run(1, "Harbour fair", "fair.toml", example_day.START, "", "", state="complete")
    return [
        book.PastRun(replace(run, finished_s=6800), 6044),
        book.PastRun(replace(run, number=2, finished_s=6044, rehearsal=True, speed=60), 6044),
        book.PastRun(replace(run, number=3, state="stopped"), 6044),
        book.PastRun(replace(run, number=4, state="running"), None),
    ]


def test_book() -> None:
    learned = [Learned("fill", 18.4, "tin", 5), Learned("unload", 21.0, "pan", 1)]
    zone = example_day.START.tzinfo
    rows = book.page(example_day.day(), runs_kept(), learned, date(2026, 12, 6), zone, 2, *SMALL)
    goldens.check("book", rows, *SMALL)


def test_an_empty_book_says_how_to_fill_it() -> None:
    rows = book.page(None, [], [], date(2026, 12, 6), None, 0, *SMALL)
    goldens.check("book_empty", rows, *SMALL)


def test_jars() -> None:
    day = example_day.day("us", 12)
    kept = (
        Jar(1, "Sea fennel", date(2026, 11, 25), "blue lid"),
        Jar(2, "Fig and ash", date(2026, 11, 1)),
        Jar(3, "Pine tar", date(2026, 12, 1)),
    )
    look = jars.Look("jars", 0, 1)
    rows = jars.page(day, jars_needed(day), kept, date(2026, 11, 30), look, *SMALL)
    goldens.check("jars", rows, *SMALL)


def test_jars_of_a_day_that_is_all_filled() -> None:
    day = example_day.day()
    day = replace(day, orders=tuple(replace(each, filled=each.tins) for each in day.orders))
    rows = jars.page(day, jars_needed(day), (), date(2026, 11, 30), jars.Look(), *SMALL)
    goldens.check("jars_none", rows, *SMALL)


@pytest.mark.parametrize(
    ("today", "words"),
    [
        (date(2026, 11, 1), "in 4 days"),
        (date(2026, 11, 4), "tomorrow"),
        (date(2026, 11, 5), "today"),
        (date(2026, 11, 6), "1 day ago: is it dry?"),
        (date(2026, 11, 20), "a past day"),
    ],
)
def test_when_a_jar_must_be_started_is_said_as_seen_from_today(today: date, words: str) -> None:
    assert jars.start_words(date(2026, 11, 5), today, date(2026, 11, 19)) == words


def test_no_number_of_days_says_that_a_jar_is_dry() -> None:
    jar = Jar(1, "Sea fennel", date(2026, 11, 1))
    assert jars.jar_words(jar, 14, date(2026, 11, 5)) == "shake; 10 days to go"
    assert jars.jar_words(jar, 14, date(2027, 1, 1)) == "shake, then test"
    assert jars.jar_words(jar, None, date(2026, 11, 2)) == "shake, then test"


def test_orders_shows_a_tray_that_has_left_the_day_without_times() -> None:
    plan = example_day.plan()
    gone = plan.loads[-1].trays[0]
    steps = tuple(step for step in plan.steps if step.tray != gone)
    fewer = replace(plan, loads=plan.loads[:-1], steps=steps)
    text = plain(orders.page(example_day.day(), fewer, False, orders.Look(), *SMALL))
    order, tray = (line.split() for line in text.splitlines() if "Fig and ash" in line)
    assert order[-3:] == ["0", "-", "-"]  # none filled before, no trays, packed at no time
    assert tray[-4:] == ["-", "-", "-", "left"]
