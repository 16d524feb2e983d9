"""Single moments of a run: whose turn it is, what has begun, when the day ends."""

from __future__ import annotations

from live_days import FENNEL, ON, Bench, make_day, make_plan, one, paused_day, until_the_second_fill

from benchplan import clock
from benchplan.live import Coming, past, state
from benchplan.model import Mark, Order, UnderWay


def test_a_load_waits_for_its_planned_moment_and_a_preheat_comes_first() -> None:
    bench = Bench(*paused_day())
    assert bench.state.cards[0].action == ON
    assert bench.state.cards[0].words == "Switch counter on"
    bench.mark(ON)
    assert bench.state.cards[0].words == "Fill tray 1"
    bench.mark(one("fill"), 160)
    bench.mark(one("set"), 184)
    bench.now = 184
    card = bench.state.cards[0]
    assert card.action is None
    assert card.words == "Nothing for now; next: Load tray 1 into counter"
    assert card.end_s == 660
    bench.now = 660
    assert bench.state.cards[0].action == one("load")


def test_an_exit_takes_hands_from_a_fill_and_gives_them_back() -> None:
    bench = until_the_second_fill()
    bench.now = 1040
    card = bench.state.cards[0]
    assert (card.action, card.hurry, card.end_s) == (one("fill", 2), False, 1210)
    assert past(bench.day, bench.plan, bench.marks, 1040).under_way == (
        UnderWay(one("fill", 2), 1, 1005),
    )
    bench.now = 1065  # ready seconds before the bake ends
    card = bench.state.cards[0]
    assert (card.action, card.hurry) == (one("unload"), True)
    assert (card.begin_s, card.end_s) == (1095, 1110)
    assert bench.state.coming[0] == Coming(one("fill", 2), 1, 1110)  # not when it was begun
    bench.now = 1100
    assert past(bench.day, bench.plan, bench.marks, 1100).under_way == (
        UnderWay(one("fill", 2), 1, 1005),
        UnderWay(one("unload"), 1, 1095),
    )
    bench.now = 1110
    bench.mark(one("unload"))
    card = bench.state.cards[0]
    assert (card.action, card.hurry) == (one("fill", 2), False)
    assert past(bench.day, bench.plan, bench.marks, 1150).under_way == (
        UnderWay(one("fill", 2), 1, 1005),
    )


def test_a_break_says_until_when_and_an_exit_still_comes_first() -> None:
    bench = Bench(*paused_day())
    bench.follow()
    before = tuple(mark for mark in bench.marks if mark.happened_s <= 1920)
    found = state(bench.day, bench.plan, before, 2000)
    assert (found.cards[0].words, found.cards[0].end_s) == ("Break", 3600)
    assert [(away.person, away.until_s) for away in found.breaks] == [(1, 3600)]
    still_in = tuple(
        mark for mark in before if mark.action not in (one("unload", 2), one("transfer", 2))
    )
    assert state(bench.day, bench.plan, still_in, 2000).cards[0].action == one("unload", 2)
    # what should have been done when the break began can still be marked from the card
    forgot = tuple(mark for mark in before if mark.action != one("transfer", 2))
    assert state(bench.day, bench.plan, forgot, 2000).cards[0].action == one("transfer", 2)


def test_nobody_is_taken_to_be_working_during_a_break() -> None:
    bench = Bench(*paused_day())
    bench.follow()
    before = tuple(mark for mark in bench.marks if mark.happened_s <= 1920)
    assert past(bench.day, bench.plan, before, 3000).under_way == ()
    assert past(bench.day, bench.plan, before, 3650).under_way == (UnderWay(one("pack"), 1, 3600),)


def test_starts_follow_from_what_the_work_waited_for() -> None:
    bench = Bench(*paused_day())
    bench.follow()
    spans = {
        done.action: (done.start_s, done.end_s)
        for done in past(bench.day, bench.plan, bench.marks, bench.now).done
    }
    assert spans[one("set")] == (160, 184)
    assert spans[one("load")] == (660, 675)  # the oven's heat
    assert spans[one("unload")] == (1095, 1110)  # the bake's end
    assert spans[one("transfer")] == (1230, 1278)  # the rest
    assert spans[one("set", 2)] == (1278, 1302)  # the hands
    assert spans[one("pack")] == (3600, 3736)  # the break
    assert spans[one("pack", 2)] == (3900, 4036)  # the cooling


def test_a_mark_says_it_of_everything_before_it() -> None:
    bench = Bench(*paused_day())
    bench.mark(one("transfer"), 1278)
    done = {each.action: each.end_s for each in past(bench.day, bench.plan, bench.marks, 1300).done}
    assert done == {
        ON: 78,
        one("fill"): 738,
        one("set"): 738,
        one("load"): 738,
        one("unload"): 1158,
        one("transfer"): 1278,
    }
    bench.now = 1300
    assert bench.state.done == 6
    bench.take_back(1)
    assert bench.state.done == 0


def test_done_some_minutes_ago_counts_from_then() -> None:
    bench = until_the_second_fill()
    bench.take_back(4)
    bench.now = 900
    bench.mark(one("load"), 690)
    assert bench.state.hot[0].until_s == 1110


def test_the_first_of_two_marks_of_one_action_counts() -> None:
    bench = until_the_second_fill()
    bench.mark(one("load"), 700)
    assert bench.state.hot[0].until_s == 675 + 420


def test_the_finish_and_what_is_left_until_it() -> None:
    day = make_day(finish_by_s=6000)
    plan = make_plan(day, [FENNEL])
    bench = Bench(day, plan)
    found = bench.state
    assert (found.finish_s, found.slack_s) == (plan.finish_s, 6000 - plan.finish_s)
    assert found.coming[0] == Coming(one("fill"), 1, 0)
    bench.now = 7000
    assert (bench.state.finish_s, bench.state.slack_s) == (7000, -1000)
    for what in ("fill", "set", "load", "unload", "transfer", "pack"):
        bench.mark(one(what), 7000)
    assert bench.state.cards[0].words == "Check tray 1: say so once no tin is hot"
    bench.add(Mark("checked", 7000, 7000, one("pack")))
    assert bench.state.complete
    assert bench.state.cards[0].words == "Nothing more to do"


def test_a_state_of_sixty_trays_is_cheap() -> None:
    day = make_day(orders=(Order("Sea fennel", "standard", 480),))
    plan = make_plan(day, [FENNEL] * 60)
    bench = Bench(day, plan)
    done = ("fill", "set", "load", "unload", "transfer")
    marks = [one(what, tray) for tray in range(1, 31) for what in done]
    for number, action in enumerate(marks):
        bench.mark(action, number * 60)
    now = len(marks) * 60
    spent = []
    for _ in range(9):
        begun = clock.monotonic()
        state(day, plan, bench.marks, now)
        spent.append(clock.monotonic() - begun)
    # the fastest of several, so that a busy machine does not fail it
    assert min(spent) < 0.010
