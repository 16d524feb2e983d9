"""Everything hot has its own countdown, and one alarm rings for the exit that cannot wait."""

from __future__ import annotations

from dataclasses import replace

from live_days import FENNEL, ON, Bench, make_day, make_plan, one, paused_day, until_the_second_fill

from benchplan.live import alarm, possible, state
from benchplan.model import Action, Cooling, Mark, Other, Oven


def test_an_exit_goes_by_the_mark_of_its_load_not_by_the_plan() -> None:
    bench = until_the_second_fill()
    bench.take_back(4)
    bench.now = 800
    bench.mark(one("load"))
    (hot,) = bench.state.hot
    assert (hot.kind, hot.place, hot.trays, hot.until_s) == ("oven", "counter", (1,), 1220)
    bench.now = 1190
    assert (bench.state.cards[0].begin_s, bench.state.cards[0].hurry) == (1220, True)


def test_the_alarm_is_soon_then_now_then_overdue() -> None:
    bench = until_the_second_fill()
    said = {}
    for moment in (1034, 1035, 1094, 1095, 1125, 1126, 5000):
        found = alarm(state(bench.day, bench.plan, bench.marks, moment))
        said[moment] = found and (found.stage, found.words)
    assert said == {
        1034: None,
        1035: ("soon", "Mitts on: tray 1 will come out of counter"),
        1094: ("soon", "Mitts on: tray 1 will come out of counter"),
        1095: ("now", "Take tray 1 out of counter now"),
        1125: ("now", "Take tray 1 out of counter now"),
        1126: ("overdue", "Over-baked: take tray 1 out of counter"),
        5000: ("overdue", "Over-baked: take tray 1 out of counter"),
    }
    bench.now = 1130
    bench.mark(one("unload"))
    assert alarm(bench.state) is None


def test_two_exits_ring_for_the_one_that_suffers_first() -> None:
    day = make_day(
        ovens={name: Oven(name, (362.0, 292.0)) for name in ("counter", "big")},
        recipes={
            "standard": make_day().recipes["standard"],
            "patient": replace(make_day().recipes["standard"], name="patient", bake_late_s=600),
        },
    )
    plan = make_plan(day, [FENNEL, FENNEL])
    plan = replace(
        plan,
        trays=(replace(plan.trays[0], recipe="patient"), plan.trays[1]),
        loads=(plan.loads[0], replace(plan.loads[1], oven="big")),
    )
    marks = tuple(
        Mark("done", at, at, Action(what, (tray,), place), number=number)
        for number, (at, what, tray, place) in enumerate(
            [(0, "load", 1, "counter"), (60, "load", 2, "big")], start=1
        )
    )
    found = alarm(state(day, plan, marks, 490))
    assert found is not None
    assert (found.oven, found.stage) == ("big", "now")


def test_everything_hot_counts_down_from_what_was_marked() -> None:
    bench = Bench(*paused_day())
    assert bench.state.hot == ()
    words = []
    script = [
        (10, ON), (670, None), (690, one("load")), (700, None), (1110, None), (1130, one("unload")),
        (1140, None), (1250, None), (1300, one("transfer")), (1310, None), (3280, None),
        (3700, one("pack")), (3700, None),
    ]  # fmt: skip
    for moment, action in script:
        bench.now = moment
        if action is not None:
            bench.mark(action)
        else:
            words.append([(h.kind, h.place, h.trays, h.until_s, h.state) for h in bench.state.hot])
    baked = 690 + 420
    assert words[0] == [("preheat", "counter", (), 670, "at heat")]
    assert words[1] == [("oven", "counter", (1,), baked, "baking")]
    assert words[2] == [("oven", "counter", (1,), baked, "out now")]
    again = ("preheat", "counter", (), 1130 + 90)
    assert words[3] == [(*again, "heating"), ("stand", "stand 1", (1,), 1250, "resting")]
    assert words[4] == [(*again, "at heat"), ("stand", "stand 1", (1,), 1250, "rested")]
    assert words[5] == [(*again, "at heat"), ("mat", "mat", (1,), 3280, "cooling")]
    assert words[6] == [(*again, "at heat"), ("mat", "mat", (1,), 3280, "check")]
    assert words[7] == [(*again, "at heat")]
    assert state(bench.day, bench.plan, bench.marks[:1], 100).hot[0].state == "heating"


def test_tins_that_cool_on_their_pan_stay_on_the_stand() -> None:
    day = make_day(cooling=Cooling(where="pan", stand=2))
    bench = Bench(day, make_plan(day, [FENNEL]))
    bench.mark(one("unload"), 1100)
    bench.now = 1101
    oven, hot = bench.state.hot
    assert (oven.kind, oven.place, oven.state) == ("idle", "counter", "off?")
    assert (hot.kind, hot.place, hot.until_s, hot.state) == ("stand", "stand 1", 3080, "cooling")
    assert possible(day, bench.plan, bench.marks) == (one("pack"),)


def test_no_forecast_ever_calls_a_tin_safe() -> None:
    bench = Bench(*paused_day())
    bench.follow()
    for moment in range(0, bench.now, 97):
        marks = tuple(mark for mark in bench.marks if mark.happened_s <= moment)
        for hot in state(bench.day, bench.plan, marks, moment).hot:
            assert hot.state in {
                "heating", "at heat", "baking", "out now", "resting", "rested", "cooling", "check",
                "off?",
            }  # fmt: skip


def test_an_oven_is_heated_again_after_everyone_was_away() -> None:
    day, plan = paused_day()
    second = Other("preheat", ((3600, 4260),), "counter")
    late = {"load": 4260, "bake": 4275, "unload": 4695, "rest": 4710, "transfer": 4830}
    steps = []
    for step in plan.steps:
        at = late.get(step.step) if step.tray == 2 else None
        if at is None:
            steps.append(step)
        else:
            steps.append(replace(step, parts=((at, at + step.end_s - step.start_s),)))
    plan = replace(plan, other=(*plan.other, second), steps=tuple(steps))
    again = Action("preheat", (), "counter", 2)
    bench = until_the_second_fill()
    bench.plan = plan
    assert again not in possible(day, plan, bench.marks)
    bench.mark(one("unload"), 1110)
    assert again in possible(day, plan, bench.marks)
    bench.now = 1200
    assert [hot.kind for hot in bench.state.hot] == [
        "idle",
        "stand",
    ]  # off until the second preheat
    bench.now = 3600
    assert bench.state.cards[0].action == again
    bench.mark(again)
    assert [hot.until_s for hot in bench.state.hot if hot.kind == "preheat"] == [4260]
