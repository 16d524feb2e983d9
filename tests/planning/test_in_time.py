"""What would make a late day end in time: each answer, done to the day, does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest
import small
from days import days
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan import in_time as room
from benchplan.errors import BenchplanError
from benchplan.in_time import in_time
from benchplan.model import Break, Day, InTime, OneMore, Plan, QueuedTray
from benchplan.model.more_words import in_time_words
from benchplan.model.stop import Iterations, Stop
from benchplan.one_more import richer_days
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan


def asked(day: Day) -> tuple[InTime, ...]:
    return in_time(day, small.planned(day), lambda _: Iterations(30))


def fewer(day: Day) -> list[tuple[str | None, int, int]]:
    found = asked(day)
    return [(each.kind, each.count, each.finish_s) for each in found if each.what == "fewer tins"]


def test_a_day_in_time_needs_nothing() -> None:
    assert asked(small.BASE) == ()
    assert asked(small.day(finish_by_s=3122)) == ()
    assert asked(small.day(finish_by_s=3121)) != ()


def test_two_trays_on_one_pan() -> None:
    """By hand: the second tray is set when the first is moved, at 1254, and packed by 3728, 28 too
    late. Begun a minute earlier it ends at 3668. With a second pan it is loaded 66 earlier. Four
    tins are cleared in 12, not packed in 68. Of 4 and 3 tins, the second tray is set by 1263, moved
    by 1851 and packed by 3702 (3 and 4 is worse); of 4 and 2 set by 1260, moved by 1842, packed by
    3676."""
    day = small.day(orders=small.order(8), count=1, finish_by_s=3700)
    assert asked(day) == (
        InTime("earlier start", None, 60, 3668),
        InTime("pan", "small", 1, 3662),
        InTime("packing another day", None, 1, 3672),
        InTime("fewer tins", "A", 2, 3676),
    )


def test_things_come_cheapest_first_and_are_taken_from_the_plan() -> None:
    day = small.day(finish_by_s=3100)
    names = ("packing another day", "oven", "person", "scale", "shelf", "pan", "stand place")
    more = tuple(OneMore(what, None, 3100 - at) for at, what in enumerate(names))
    plan = replace(small.planned(day), one_more=(*more, OneMore("tray's worth of mat", None, 3101)))
    found = [each.what for each in in_time(day, plan, lambda _: Iterations(1)) if each.count == 1]
    assert found[:7] == [
        "pan", "stand place", "shelf", "scale", "person", "oven", "packing another day",
    ]  # fmt: skip
    assert "tray's worth of mat" not in found


def test_a_start_early_enough_for_the_bake_before_a_break() -> None:
    """By hand: everyone is away from 600 to 1200, so one bakes after it and ends 1222 late. Begun
    300 earlier the oven is still hot when the break begins. Begun 600 earlier the tray is out by
    1110, moved after the break, at 1800 to 1824, and packed by 3692: that is 3092."""
    day = small.day(finish_by_s=3100, breaks=(Break(600, 600),))
    assert asked(day)[0] == InTime("earlier start", None, 600, 3092)


def test_a_start_on_the_day_before() -> None:
    """3122 long, to be ready at 1000: 2122 earlier, to the minute 2160."""
    day = small.day(start=datetime(2026, 12, 5, 0, 10, tzinfo=UTC), finish_by_s=1000)
    plan = small.planned(day)
    found = asked(day)
    assert found == (InTime("earlier start", None, 2160, 962),)
    assert in_time_words(day, replace(plan, in_time=found)) == [
        "To be ready by 00:26: start at 23:34 the day before."
    ]


def test_a_start_that_a_shorter_search_leaves_late_is_made_earlier_still() -> None:
    """The plan handed in says 3000; what is planned here takes 3122."""
    day = small.day(finish_by_s=2900)
    plan = replace(small.planned(day), finish_s=3000)
    assert in_time(day, plan, lambda _: Iterations(1))[0] == InTime(
        "earlier start", None, 240, 2882
    )


def test_a_latest_start_that_is_known_is_used() -> None:
    """As above: in time where it is enough, and gone beyond where it is not."""
    day = small.day(finish_by_s=3100, breaks=(Break(600, 600),))
    for known, count in ((-510, 540), (-1000, 1020), (-2000, 1260), (-60, 1260)):
        plan = replace(small.planned(day), start_by_s=known)
        found = in_time(day, plan, lambda _: Iterations(1))
        assert (found[0].what, found[0].count) == ("earlier start", count)


def test_the_scent_that_loses_the_fewest_tins_comes_first() -> None:
    """By hand: with one pan four trays of 4, 4, 4 and 1 end after 4800, three full ones at 4334. So
    one tray has to go: with one tin of B, or with four of A (with three, A's five are two trays).
    """
    day = small.day(orders=small.order(8, 5, scents="AB"), count=1, finish_by_s=4334)
    assert small.planned(day).finish_s > 4334
    found = fewer(day)
    assert [(kind, count) for kind, count, _ in found] == [("B", 1), ("A", 4)]


def test_where_no_scent_alone_does_it_all_lose_their_share() -> None:
    """By hand: two trays on one pan end at 3728 at the earliest if both are full: too late, so a
    scent alone does not do it. Half of all is two full trays again; of three trays' worth less, two
    of each are left: moved by 1242, set by 1248, moved by 1830 and packed by 3664."""
    day = small.day(orders=small.order(8, 8, scents="AB"), count=1, finish_by_s=3700)
    assert fewer(day) == [(None, 12, 3664)]


def test_nothing_is_cut_where_nothing_would_do() -> None:
    """One tin takes 3030 + 6 + 17; of one scent there is nothing to share."""
    assert fewer(small.day(finish_by_s=3053)) == [("A", 3, 3053)]
    assert fewer(small.day(finish_by_s=3052)) == []
    single = small.day(orders=small.order(1, 1, scents="AB"), finish_by_s=3052)
    assert fewer(single) == []


def test_a_queue_and_filled_tins_shrink_with_the_orders() -> None:
    """With three tins at most, as above; the queue would ask for four."""
    order = replace(small.BASE.orders[0], filled=4)
    tray = QueuedTray(("A",) * 4, "standard")
    day = small.day(orders=(order,), queue=(tray,), finish_by_s=3110)
    assert fewer(day) == [("A", 1, 3099)]
    planned: list[Day] = []

    def kept(day: Day) -> Stop:
        planned.append(day)
        return Iterations(1)

    two = replace(day, orders=(replace(order, filled=1), order), queue=(tray, tray))
    in_time(two, small.planned(two), kept)
    shrunk = [each for each in planned if each.tins_wanted < 8]
    assert {each.tins_wanted for each in shrunk} >= {1, 4}
    for each in shrunk:
        assert all(order.filled <= order.tins for order in each.orders)
        assert each.orders[0].tins == min(4, each.tins_wanted)  # the last order loses them first
        assert sum(tray.tins for tray in each.queue) == each.tins_wanted


def cuts_when(
    monkeypatch: pytest.MonkeyPatch, tins: tuple[int, ...], enough: Callable[[list[int]], bool]
) -> list[tuple[str | None, int]]:
    """Return the cuts found on a day that is in time only if ``enough`` of each scent's tins."""
    scents = "AB"[: len(tins)]
    day = small.day(orders=small.order(*tins, scents=scents), finish_by_s=3000)
    plan = replace(small.planned(day), start_by_s=-60, one_more=(OneMore("pan", "small", 9999),))

    def made(day: Day, *_: object) -> Plan:
        left = [sum(o.tins for o in day.orders if o.scent == scent) for scent in scents]
        return replace(plan, finish_s=3000 if enough(left) else 3001)

    monkeypatch.setattr(room, "plan_day", made)
    return [(each.kind, each.count) for each in in_time(day, plan) if each.what == "fewer tins"]


def test_the_least_number_of_tins_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    assert cuts_when(monkeypatch, (8,), lambda left: left[0] <= 6) == [("A", 2)]
    assert cuts_when(monkeypatch, (8,), lambda left: left[0] <= 1) == [("A", 7)]
    assert cuts_when(monkeypatch, (8,), lambda left: left[0] <= 0) == []
    # A whole tray of four, where five and six fewer are late: they would not be looked below.
    assert cuts_when(monkeypatch, (8,), lambda left: left[0] in (1, 4)) == [("A", 4)]
    either = cuts_when(monkeypatch, (16, 9), lambda left: left[0] <= 11 or left[1] <= 6)
    assert either == [("B", 3), ("A", 5)]


def test_the_least_share_of_all_is_found_tray_by_tray(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of eight trays of four; a tray's worth is two tins of each."""
    both = cuts_when(monkeypatch, (16, 16), lambda left: max(left) <= 13)
    assert both == [(None, 8)]
    assert cuts_when(monkeypatch, (16, 16), lambda left: max(left) <= 2) == [(None, 28)]
    assert cuts_when(monkeypatch, (16, 16), lambda left: max(left) <= 1) == []


def test_leaving_out_nothing_is_no_answer() -> None:
    """The plan handed in is worse than the one that is made here."""
    day = small.day(orders=small.order(1), finish_by_s=3053)
    plan = replace(small.planned(day), finish_s=3100)
    assert [each for each in in_time(day, plan, lambda _: Iterations(1)) if not each.count] == []


def test_it_ends_at_once_when_it_is_cancelled() -> None:
    def none(_: Day) -> Stop:
        raise AssertionError("a day was planned")

    for breaks in ((), (Break(600, 600),)):
        day = small.day(orders=small.order(8, 8, scents="AB"), finish_by_s=60, breaks=breaks)
        plan = small.planned(day)
        assert in_time(day, plan, none, cancelled=lambda: True) == ()


def test_what_was_found_before_it_was_cancelled_stands() -> None:
    day = small.day(orders=small.order(8), count=1, finish_by_s=3700)
    plan = small.planned(day)
    whole = asked(day)
    cut = [
        in_time(day, plan, lambda _: Iterations(30), cancelled=Iterations(most))
        for most in (0, 2, 6, 10, 60)
    ]
    assert cut[0] == ()
    assert [each[:1] for each in cut[1:]] == [whole[:1]] * 4
    assert [len(each) for each in cut] == sorted(len(each) for each in cut)
    assert cut[-1] == whole


@pytest.mark.parametrize("most", [1, 7, 20])
def test_no_more_days_are_planned_than_there_may_be(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    day = small.day(
        orders=small.order(*[12] * 6, scents="ABCDEF"), finish_by_s=6000, breaks=(Break(900, 600),)
    )
    plan = small.planned(day)
    assert plan.finish_s > 6000
    planned = []

    def counted(day: Day) -> Stop:
        planned.append(day)
        return Iterations(1)

    monkeypatch.setattr(room, "MOST_PLANS", most)
    in_time(day, plan, counted)
    assert len(planned) == most


def done(day: Day, plan: Plan, change: InTime) -> Day:
    """Return the day with a change made to it: worked out otherwise than the room does."""
    if change.what == "earlier start":
        begun = day.start - timedelta(seconds=change.count)
        late = [begun + timedelta(seconds=change.count + each.at_s) for each in day.breaks]
        pauses = [
            replace(pause, at_s=round((at - begun).total_seconds()))
            for pause, at in zip(day.breaks, late, strict=True)
        ]
        by = (day.finish_by_s or 0) + change.count
        return replace(day, start=begun, breaks=tuple(pauses), finish_by_s=by)
    if change.what != "fewer tins":
        (richer,) = (
            each
            for what, kind, each in richer_days(day, plan)
            if (what, kind) == (change.what, change.kind)
        )
        return richer
    scents = list(dict.fromkeys(order.scent for order in day.orders))
    sums = [sum(each.tins for each in day.orders if each.scent == scent) for scent in scents]
    if change.kind:
        cuts = [change.count if scent == change.kind else 0 for scent in scents]
    else:
        exact = [Fraction(tins * change.count, sum(sums)) for tins in sums]
        cuts = [int(each) for each in exact]
        while sum(cuts) < change.count:
            behind = [share - cut for share, cut in zip(exact, cuts, strict=True)]
            cuts[behind.index(max(behind))] += 1
    orders = list(day.orders)
    for scent, cut in zip(scents, cuts, strict=True):
        for _ in range(cut):  # a tin of the last order that still has one
            at = max(i for i, each in enumerate(orders) if each.scent == scent and each.tins)
            tins = orders[at].tins - 1
            orders[at] = replace(orders[at], tins=tins, filled=min(tins, orders[at].filled))
    return replace(day, orders=tuple(order for order in orders if order.tins)).settled()


@settings(max_examples=30)
@given(days(), st.sampled_from((50, 85, 97, 99)))
def test_every_answer_done_to_the_day_makes_it_end_in_time(day: Day, percent: int) -> None:
    def stop() -> Stop:
        return Iterations(1)

    day = replace(resolved(day), finish_by_s=None)
    try:
        plan = plan_day(day, stop())
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    assert in_time(day, plan, lambda _: stop()) == ()
    by = plan.finish_s * percent // 100
    day = replace(day, finish_by_s=by)
    found = in_time(day, plan, lambda _: stop())
    assert in_time(replace(day, finish_by_s=plan.finish_s), plan, lambda _: stop()) == ()
    for change in found:
        changed = done(day, plan, change)
        answer = plan_day(changed, stop(), like=plan)
        assert isinstance(answer, Plan)
        assert change.count > 0
        early = change.count if change.what == "earlier start" else 0
        assert answer.finish_s - early == change.finish_s <= by, change
        assert answer.finish_s <= (changed.finish_by_s or 0)
        assert check_plan(resolved(changed), answer) == []
    cuts = [each.count for each in found if each.what == "fewer tins"]
    assert cuts == sorted(cuts)
    scents = [each.kind for each in found if each.what == "fewer tins"]
    assert len(scents) == len(set(scents))
    assert None not in scents or len(scents) == 1


def test_in_words() -> None:
    day = small.day(finish_by_s=3600)
    plan = small.planned(day)
    found = (
        InTime("earlier start", None, 2400, 3590), InTime("pan", "small", 1, 3540),
        InTime("oven", "countertop", 1, 3000), InTime("mixed scents", None, 1, 3060),
        InTime("packing another day", None, 1, 3120), InTime("fewer tins", "Larch", 6, 3599),
        InTime("fewer tins", "Fig", 1, 3480),
    )  # fmt: skip
    assert in_time_words(day, replace(plan, in_time=found)) == [
        "To be ready by 10:00: start at 08:20.",
        "Or with one more small pan (09:59), with one more oven like countertop (09:50) or with "
        "mixed scents (09:51).",
        "Or leave out 6 tins of Larch (09:59) or 1 tin of Fig (09:58).",
    ]
    shares = InTime("fewer tins", None, 12, 3000)
    assert in_time_words(day, replace(plan, in_time=(found[4], shares))) == [
        "To be ready by 10:00: packing another day (09:52).",
        "Or leave out 12 tins in all, of each scent its share (09:50).",
    ]
    assert in_time_words(day, plan) == []
    assert in_time_words(small.BASE, replace(plan, in_time=found)) == []
