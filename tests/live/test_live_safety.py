"""What may hurt: wet beads, things marked before their time, heat, and what is still hot."""

from __future__ import annotations

from dataclasses import replace

import pytest
from live_days import CEDAR, FENNEL, ON, Bench, make_day, make_plan, no_times, one

from benchplan import live
from benchplan.live import Ringing, Stage, alarms
from benchplan.model import Action, Item, ItemId, Mark, NotYet, Reason

COUNTER = "counter"
DRY = Item(ItemId.BEADS_DRY, "Sea fennel")


def at_oven(what: str, tray: int) -> Action:
    return Action(what, (tray,), COUNTER)


def bench_until(stage: str, *, at: int = 1320) -> Bench:
    """Return a bench whose first tray is past a stage; loaded at 900, out at 1320 or ``at``."""
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL, FENNEL]))
    bench.mark(ON, 0)
    for what, moment in (("load", 900), ("unload", at), ("transfer", at + 120)):
        action = one(what, 1) if what == "transfer" else at_oven(what, 1)
        bench.mark(action, moment)
        bench.now = moment
        if what == stage:
            break
    return bench


def unready(bench: Bench, action: Action, at_s: int) -> NotYet | None:
    found = live.as_marked(bench.day, bench.plan, bench.marks)
    said = live.not_yet(found, live.progress(found, bench.marks), action, at_s)
    return said.what if said else None


def test_a_load_into_an_oven_that_is_off_or_heating_is_not_due() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    load = at_oven("load", 1)
    assert unready(bench, load, 900) is NotYet.OVEN_OFF
    bench.mark(ON, 100)
    hot = 100 + day.ovens[COUNTER].preheat_s
    assert unready(bench, load, hot - 1) is NotYet.OVEN_HEATING
    assert unready(bench, load, hot) is None


@pytest.mark.parametrize(
    ("early", "said"),
    [(400, NotYet.BAKING), (61, NotYet.BAKING), (60, None), (0, None), (-90, None)],
)
def test_an_exit_is_asked_about_only_where_it_is_more_than_a_minute_early(
    early: int, said: NotYet | None
) -> None:
    bench = bench_until("load")
    due = 900 + bench.day.recipes["standard"].bake_for_s
    assert unready(bench, at_oven("unload", 1), due - early) is said


def test_a_transfer_before_the_rest_and_a_pack_before_the_cooling_are_not_due() -> None:
    bench = bench_until("unload")
    assert unready(bench, one("transfer", 1), 1320 + 119) is NotYet.RESTING
    assert unready(bench, one("transfer", 1), 1320 + 120) is None
    bench = bench_until("transfer")
    cool = 1440 + 1980
    assert unready(bench, one("pack", 1), cool - 1) is NotYet.COOLING
    assert unready(bench, one("pack", 1), cool) is None


def hot_kinds(bench: Bench, tray: int = 1) -> list[str]:
    return [hot.kind for hot in bench.state.hot if tray in hot.trays]


def test_what_was_packed_hot_stays_on_the_list_until_somebody_checked_it() -> None:
    bench = bench_until("transfer")
    bench.add(Mark("done", 1500, 1500, one("pack", 1), reason=Reason.NOT_CHECKED))
    assert hot_kinds(bench) == ["aside"]
    bench.now = 90_000  # time alone never takes it off
    assert [hot.state for hot in bench.state.hot if 1 in hot.trays] == ["check"]
    bench.add(Mark("checked", 90_000, 90_000, one("pack", 1)))
    assert hot_kinds(bench) == []


def test_what_was_checked_as_it_was_packed_is_off_the_list() -> None:
    bench = bench_until("transfer")
    bench.add(Mark("done", 1500, 1500, one("pack", 1), reason=Reason.CHECKED_COOL))
    assert hot_kinds(bench) == []


def test_tins_that_take_no_time_to_move_or_pack_stay_where_they_are_until_it_is_marked() -> None:
    day = make_day(times=no_times())
    bench = Bench(day, make_plan(day, [FENNEL]))
    for action in (ON, at_oven("load", 1), at_oven("unload", 1)):
        bench.mark(action, bench.now)
        bench.now += 900
    assert hot_kinds(bench) == ["stand"]
    bench.mark(one("transfer", 1))
    bench.now += 9000
    assert hot_kinds(bench) == ["mat"]
    assert not bench.state.complete
    bench.mark(one("pack", 1))
    assert hot_kinds(bench) == []
    assert bench.state.complete


def test_a_day_is_not_over_while_tins_are_set_aside_that_nobody_has_checked() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    for action in (ON, at_oven("load", 1), at_oven("unload", 1), one("transfer", 1)):
        bench.mark(action, bench.now)
        bench.now += 600
    bench.mark(one("pack", 1))
    assert hot_kinds(bench) == ["aside"]
    assert not bench.state.complete
    bench.add(Mark("checked", bench.now, bench.now, one("pack", 1)))
    assert bench.state.complete


def test_what_is_hot_at_an_abort_is_hot_until_it_is_checked() -> None:
    bench = bench_until("load")
    bench.now = 1000
    bench.add(Mark("abort", 1000, 1000))
    assert bench.state.complete
    assert [(hot.trays, hot.state) for hot in bench.state.hot] == [((), "off?"), ((1,), "check")]
    assert alarms(bench.state) == ()
    bench.add(Mark("checked", 1000, 1000, one("pack", 1)))
    assert [hot.trays for hot in bench.state.hot] == [()]


def test_an_oven_that_is_not_ready_is_asked_about_before_a_tray_goes_back_in() -> None:
    bench = bench_until("unload")
    out, heat_s = at_oven("unload", 1), bench.day.ovens[COUNTER].preheat_s

    def again(at_s: int) -> NotYet | None:
        found = live.as_marked(bench.day, bench.plan, bench.marks)
        said = live.not_yet_again(found, live.progress(found, bench.marks), out, at_s)
        return said.what if said else None

    assert again(1400) is None  # another tray needs it
    assert again(heat_s - 1) is NotYet.OVEN_HEATING
    bench.add(Mark("reading", 1330, 1330, at_oven("load", 1), amount=231.0))
    assert again(1340) is NotYet.OVEN_TOO_HOT
    bench = Bench(bench.day, make_plan(bench.day, [FENNEL]))
    for action, moment in ((ON, 0), (at_oven("load", 1), 900), (out, 1320)):
        bench.mark(action, moment)
    assert again(1330) is NotYet.OVEN_TOLD_OFF


@pytest.mark.parametrize("filled", [(), (1, 2)])
def test_zero_times_hide_neither_the_load_nor_the_exit(filled: tuple[int, ...]) -> None:
    day = make_day(times=replace(no_times()))
    bench = Bench(day, make_plan(day, [FENNEL, CEDAR], filled=filled))
    bench.mark(ON, 0)
    bench.now = day.ovens[COUNTER].preheat_s + 5
    card = bench.state.cards[0]
    assert card.action == at_oven("load", 1)
    required = [check.item for check in card.checklist if check.required]
    assert required == [DRY, Item(ItemId.OVEN_AT_HEAT), Item(ItemId.LANDING_FREE)]
    bench.mark(at_oven("load", 1))
    due = bench.now + day.recipes["standard"].bake_for_s
    bench.now = due + 31
    assert [each.stage for each in alarms(bench.state)] == [Stage.OVERDUE]
    assert bench.state.cards[0].action == at_oven("unload", 1)


# --- wet while it bakes -------------------------------------------------------------------------


def wet_while_baking() -> Bench:
    bench = bench_until("load")
    bench.now = 1000
    bench.add(Mark("wet", 1000, 1000, one("fill", 2), DRY))
    return bench


def test_a_load_whose_beads_are_wet_is_shut_in() -> None:
    bench = wet_while_baking()
    assert hot_kinds(bench) == ["shut in"]
    found = alarms(bench.state)
    assert [(each.stage, each.trays) for each in found] == [(Stage.SHUT_IN, (1,))]
    bench.now = 1320 + 600  # nobody is ever told to take it out
    assert [each.stage for each in alarms(bench.state)] == [Stage.SHUT_IN]
    assert not any(card.action and card.action.what == "unload" for card in bench.state.cards)
    offered = live.possible(bench.day, bench.plan, bench.marks)
    assert not [each for each in offered if each.place == COUNTER]  # its oven takes no more today


def test_what_is_shut_in_is_scrap_until_it_is_judged() -> None:
    bench = wet_while_baking()
    news = live.as_marked(bench.day, bench.plan, bench.marks).news
    assert news.lost == {1: 8}
    assert sum(order.tins for order in live.leftover(bench.day, bench.plan, bench.marks)) == 16
    bench.add(Mark("judged", 9000, 9000, at_oven("unload", 1), amount=5))
    bench.now = 9000
    assert hot_kinds(bench) == []
    assert alarms(bench.state) == ()
    assert live.as_marked(bench.day, bench.plan, bench.marks).news.lost[1] == 3
    assert sum(order.tins for order in live.leftover(bench.day, bench.plan, bench.marks)) == 11


def test_what_bakes_with_another_scent_goes_on_and_undo_opens_the_oven_again() -> None:
    bench = bench_until("load")
    bench.now = 1000
    bench.add(Mark("wet", 1000, 1000, None, Item(ItemId.BEADS_DRY, "Cedar")))
    assert hot_kinds(bench) == ["oven"]
    bench = wet_while_baking()
    bench.take_back(bench.marks[-1].number)
    assert hot_kinds(bench) == ["oven"]


def test_an_oven_that_is_to_be_off_is_not_also_told_to_be_turned_down() -> None:
    bench = bench_until("load")
    bench.add(Mark("reading", 950, 950, ON, amount=230.0))
    bench.now = 1000
    assert [each.stage for each in alarms(bench.state)] == [Stage.TOO_HOT]
    bench.add(Mark("wet", 1000, 1000, one("fill", 2), DRY))
    assert [each.stage for each in alarms(bench.state)] == [Stage.SHUT_IN]


def test_the_instruction_rings_once() -> None:
    bench, ringing = wet_while_baking(), Ringing()
    assert [ringing.rings(bench.state, at) is None for at in (1.0, 30.0, 300.0)] == [
        False, True, True,
    ]  # fmt: skip


# --- the thermometer ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bakes_at", "shown", "too_hot"),
    [(165.0, 190.0, False), (165.0, 191.0, True), (190.0, 201.0, True), (210.0, 230.0, False)],
)
def test_an_oven_that_shows_too_much_is_an_action_until_it_is_read_again(
    bakes_at: float, shown: float, too_hot: bool
) -> None:
    day = make_day()
    recipe = replace(day.recipes["standard"], bake_at_c=bakes_at)
    day = replace(day, recipes={"standard": recipe})
    bench = Bench(day, make_plan(day, [FENNEL]))
    bench.mark(ON, 0)
    bench.add(Mark("reading", 700, 700, ON, amount=shown))
    bench.now = 800
    assert [each.stage for each in alarms(bench.state)] == ([Stage.TOO_HOT] if too_hot else [])
    said = unready(bench, at_oven("load", 1), 800)
    assert said is (NotYet.OVEN_TOO_HOT if too_hot else None)
    bench.add(Mark("reading", 900, 900, ON, amount=bakes_at))
    assert alarms(bench.state) == ()


def two_heats(first_c: float, second_c: float) -> Bench:
    """Return a bench whose two trays bake at two heats; the first is loaded at 900, out at 1320."""
    day = make_day()
    recipe = day.recipes["standard"]
    day = replace(
        day,
        recipes={
            "standard": replace(recipe, bake_at_c=first_c),
            "second": replace(recipe, name="second", bake_at_c=second_c),
        },
    )
    plan = make_plan(day, [FENNEL, CEDAR])
    one_tray, other = plan.trays
    plan = replace(plan, trays=(one_tray, replace(other, recipe="second")))
    bench = Bench(day, plan)
    for action, moment in ((ON, 0), (at_oven("load", 1), 900), (at_oven("unload", 1), 1320)):
        bench.mark(action, moment)
    return bench


def shown(bench: Bench, at_s: int, degrees: float) -> None:
    bench.now = at_s
    bench.add(Mark("reading", at_s, at_s, ON, amount=degrees))


def test_a_reading_is_judged_by_the_heat_that_the_oven_was_set_to_when_it_was_read() -> None:
    bench = two_heats(180.0, 150.0)
    shown(bench, 1000, 178.0)
    bench.now = 1400  # what goes in next bakes cooler, and nobody has read it since
    assert alarms(bench.state) == ()
    shown(bench, 1400, 178.0)
    assert [each.stage for each in alarms(bench.state)] == [Stage.TOO_HOT]
    bench = two_heats(165.0, 205.0)
    shown(bench, 1000, 205.0)
    assert [each.stage for each in alarms(bench.state)] == [Stage.TOO_HOT]
    bench.now = 1400  # what goes in next bakes hotter: the alarm stays until it is read again
    assert [each.stage for each in alarms(bench.state)] == [Stage.TOO_HOT]


def test_an_oven_that_baked_hot_last_is_not_too_hot_by_that() -> None:
    bench = two_heats(205.0, 205.0)
    bench.mark(at_oven("load", 2), 1500)
    shown(bench, 1600, 206.0)
    bench.mark(at_oven("unload", 2), 1920)
    bench.now = 1930
    assert alarms(bench.state) == ()
    shown(bench, 1940, 206.0)
    assert alarms(bench.state) == ()


def test_a_day_with_a_load_that_is_shut_in_is_not_over() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    bench.mark(ON, 0)
    bench.mark(at_oven("load", 1), 900)
    bench.now = 1000
    bench.add(Mark("wet", 1000, 1000, None, DRY))
    assert not bench.state.complete
    assert [each.stage for each in alarms(bench.state)] == [Stage.SHUT_IN]
    assert "Judge tray 1 once the oven is cool" in bench.state.cards[0].words
    bench.add(Mark("judged", 9000, 9000, at_oven("unload", 1)))
    bench.now = 9000
    assert bench.state.complete


def test_a_thermometer_is_not_seen_before_its_oven_is_on() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    tick = Mark("tick", 5, 5, at_oven("load", 1), Item(ItemId.OVEN_AT_HEAT))

    def seen() -> bool:
        found = live.as_marked(bench.day, bench.plan, bench.marks)
        checks = live.checklist(found, live.progress(found, bench.marks), at_oven("load", 1))
        return next(each.seen for each in checks if each.item.id is ItemId.OVEN_AT_HEAT)

    bench.add(tick)
    assert not seen()
    bench.mark(ON, 10)
    assert not seen()
    bench.add(tick)
    assert seen()
