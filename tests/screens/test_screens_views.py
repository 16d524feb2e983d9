"""What the Bench says, word for word: pure rows of a small day made by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import example_day
import pytest

from benchplan import live
from benchplan.clock import at
from benchplan.keys import USUAL
from benchplan.live import Check
from benchplan.model import Action, Cannot, Item, Mark, Run, Settings
from benchplan.model.words import count_words
from benchplan.views import bench, frame, run_pages, start
from benchplan.views.help import help_rows
from benchplan.views.rows import Row, cells, plain, text_of

DAY, PLAN = example_day.day(), example_day.plan()
HEAT = Mark("done", 5, 5, Action("preheat", (), "countertop"), number=1)
ORDER = tuple(each.action for each in live.actions(PLAN))


def before(*about: Any, **more: Any) -> list[Row]:
    """Return the page before a run as one."""
    head, rest = run_pages.before_rows(*about, **more)
    return [*head, *rest]


def marks_until(last: Action, second: int) -> tuple[Mark, ...]:
    """Mark everything up to ``last`` done, the last one at ``second``."""
    done = ORDER[: ORDER.index(last) + 1]
    early = [
        Mark("done", second - len(done) + at, second, action, number=at)
        for at, action in enumerate(done, 1)
    ]
    return tuple(early)


def shown(view: bench.CardView) -> str:
    """Return a card as lines, its figures in brackets."""
    return "\n".join([plain(view.head), f"[{view.digits}]", plain(view.tail)])


def card(marks: tuple[Mark, ...], now_s: int, width: int = 40, height: int = 16) -> bench.CardView:
    state = live.state(DAY, PLAN, marks, now_s)
    return bench.card_view(DAY, PLAN, state, state.cards[0], width, height)


def test_the_first_card_of_the_day() -> None:
    assert (
        shown(card((), 0))
        == """\
Now
Switch countertop on
Set it to 158 °C
now, done by 09:00
[0:00]

[ ] Oven empty, vents open, nothing on
    top of it
[ ] Extinguisher at hand, way out clear"""
    )


def test_a_card_counts_down_to_its_begin_and_then_to_its_end() -> None:
    later = card((HEAT,), 5)
    assert (later.kind, later.digits) == ("later", "0:55")
    assert "begin at 09:01" in plain(later.head)
    now = card((HEAT,), 70)
    assert (now.kind, now.digits) == ("now", "1:50")
    assert "now, done by 09:03" in plain(now.head)


def test_an_overdue_card_counts_up_in_figures_and_in_words() -> None:
    late = card((HEAT,), 605)
    assert (late.kind, late.digits) == ("late", "+7:05")
    assert "OVERDUE by 7 min 05 s, since 09:03" in plain(late.head)


def test_an_ovens_exit_counts_from_the_moment_the_bake_ends() -> None:
    load = Action("load", (1,), "countertop")
    marks = marks_until(load, 700)
    before = card(marks, 1100)
    assert (before.kind, before.digits) == ("later", "0:20")
    assert "take out at 09:18" in plain(before.head)
    now = card(marks, 1121)
    assert (now.kind, now.digits) == ("soon", "+0:01")
    assert "TAKE OUT NOW, since 09:18" in plain(now.head)
    late = card(marks, 1160)
    assert (late.kind, late.digits) == ("late", "+0:40")
    assert "OVERDUE by 40 s, since 09:18" in plain(late.head)


def test_ticked_items_make_way_for_those_still_to_tick() -> None:
    items = tuple(
        Check(Item(own=words), seen=words in ("One", "Two"))
        for words in ("One", "Two", "Three", "Four")
    )
    assert plain(bench.checklist_rows(items, 20, 4)) == "[x] One\n[x] Two\n[ ] Three\n[ ] Four"
    assert plain(bench.checklist_rows(items, 20, 3)) == "[x] Two\n[ ] Three\n[ ] Four"
    assert plain(bench.checklist_rows(items, 20, 2)) == "[ ] Three\n[ ] Four"
    assert plain(bench.checklist_rows(items, 20, 1)) == "[ ] Three more"
    assert bench.checklist_rows(items, 20, 0) == ()


def test_a_card_without_room_drops_its_blank_row_before_its_checklist() -> None:
    full = card((), 0, height=30)
    assert full.tail[0] == ()
    state = live.state(DAY, PLAN, (), 0)
    high = bench.card_height(DAY, PLAN, state, state.cards[0], 40)
    assert high == len(full.head) + bench.FIGURES_HIGH + len(full.tail) - 1
    tight = card((), 0, height=high)
    assert tight.tail == full.tail[1:]
    assert "[ ] Oven empty" in plain(card((), 0, height=high - 2).tail)


@pytest.mark.parametrize("width", [20, 24, 36, 60])
@pytest.mark.parametrize("height", [10, 12, 16, 30])
def test_a_card_keeps_within_its_room(width: int, height: int) -> None:
    for now_s in (0, 300, 605):
        view = card((HEAT,), now_s, width, height)
        rows = (*view.head, *view.tail)
        assert len(rows) + view.digits_high <= height
        assert max(cells(text_of(row)) for row in rows) <= width


def test_figures_are_twice_as_high_where_there_is_room() -> None:
    assert card((HEAT,), 70, 40, 16).digits_high == 5
    assert card((HEAT,), 70, 70, 30).digits_high == 10


def test_everything_hot_has_its_own_countdown() -> None:
    marks = marks_until(Action("load", (1,), "countertop"), 700)
    state = live.state(DAY, PLAN, marks, 1100)
    assert plain(bench.hot_rows(DAY, state, 34, 8)) == (
        "Hot         tray\ncountertop     1 baking       0:20"
    )
    out = live.state(DAY, PLAN, marks, 1160)
    assert plain(bench.hot_rows(DAY, out, 34, 8)) == (
        "Hot         tray\ncountertop     1 out now     +0:40"
    )
    assert plain(bench.hot_rows(DAY, live.state(DAY, PLAN, (), 0), 34, 8)) == (
        "Hot\nNothing is hot."
    )


def test_what_does_not_fit_among_the_hot_is_counted() -> None:
    state = live.state(DAY, PLAN, marks_until(Action("load", (1,), "countertop"), 700), 1100)
    many = replace(state, hot=state.hot * 9)
    rows = plain(bench.hot_rows(DAY, many, 34, 5)).splitlines()
    assert len(rows) == 5
    assert rows[-1] == "and 6 more"


def test_what_comes_after_and_the_finish() -> None:
    state = live.state(DAY, PLAN, (HEAT,), 5)
    assert (
        plain(bench.coming_rows(DAY, PLAN, state, 78))
        == """\
After that
09:03  Clean scoop and scale for Fig and ash
09:08  Fill tray 3
09:10  Set tray 1 on its pan
Finish 10:40, 19 min before 11:00  1 of 19 done"""
    )


def test_clock_times_are_the_makers_own() -> None:
    day = example_day.day(clock=12)
    state = live.state(day, PLAN, (HEAT,), 5)
    rows = plain(bench.coming_rows(day, PLAN, state, 78))
    assert " 9:03 am  Clean scoop and scale" in rows
    assert "Finish 10:40 am" in rows


def test_the_header_says_rehearsal_and_a_day_that_is_late() -> None:
    day = replace(DAY, finish_by_s=PLAN.finish_s - 125)
    rows = frame.header(day, PLAN, at(day.start, 5), speed=60.0, changed=True, width=100)
    said = plain(rows)
    assert "Harbour fair *" in said
    assert "REHEARSAL 60x" in said
    assert "09:00:05" in said
    assert "2 min LATE" in said


@pytest.mark.parametrize(
    ("ending", "said"),
    [("", "done 10:40  19 min spare"), ("stop", "stopped 10:40"), ("abort", "aborted 10:40")],
)
def test_the_header_of_a_run_that_is_over_says_how_and_when(ending: str, said: str) -> None:
    over = replace(live.state(DAY, PLAN, (), 0), complete=True, finish_s=6044, ending=ending)
    later = replace(PLAN, finish_s=9000)  # what was planned for after the end tells nothing
    header = plain(
        frame.header(
            DAY, later, at(DAY.start, 9000), speed=None, changed=False, width=100, state=over
        )
    )
    assert header.rstrip().endswith(said)
    assert "ends" not in header


def test_the_header_cuts_the_name_before_the_time() -> None:
    day = replace(DAY, name="A name that goes on and on " * 4)
    said = plain(frame.header(day, PLAN, at(day.start, 5), speed=3600.0, changed=True, width=80))
    assert cells(said) <= 80
    assert "REHEARSAL 3600x  09:00:05  ends 10:40  19 min spare" in said


def test_the_footer_marks_the_open_screen_by_more_than_colour() -> None:
    shared = [("go('flow')", "3", "Flow"), ("go('bench')", "4", "Bench"), ("help", "?", "Help")]
    rows = frame.footer("bench", [("Enter", "Done")], shared, 80)
    assert plain(rows) == " Enter Done\n  3 Flow [4 Bench] ? Help"


def test_a_day_that_cannot_be_done_says_why() -> None:
    rows = before(DAY, Cannot(("No pan takes one low 72.",)), 78)
    assert plain(rows) == "This day cannot be done.\n\n· No pan takes one low 72."


def test_before_a_run_the_page_warns_and_says_what_enter_does() -> None:
    rows = before(DAY, PLAN, 76)
    assert "At each alarm" not in plain(rows)
    said = plain(before(DAY, PLAN, 76, settings=Settings(("play", "bell.wav"))))
    assert 'At each alarm this is run: "play bell.wav".' in said
    said = plain(rows)
    assert "Enter starts the real run" in said
    assert "flash point" in said
    assert "A hot tin looks like a cold one" in said
    assert len(rows) <= 20
    assert max(cells(text_of(row)) for row in rows) <= 76


def test_a_day_begun_long_after_its_start_says_when_it_would_end() -> None:
    said = " ".join(plain(before(DAY, PLAN, 76, now=at(DAY.start, 3600))).split())
    assert "It is 10:00: begun now, it ends about 11:40, late by 40 min for 11:00." in said
    for now, also in ((at(DAY.start, 600), {}), (at(DAY.start, 3600), {"speed": 60.0})):
        assert "begun now" not in plain(before(DAY, PLAN, 76, now=now, **also))
    said = plain(before(DAY, PLAN, 76, now=at(DAY.start, -7 * 86400)))
    assert "Planned for Sat 5 Dec; today is Sat 28 Nov." in said


def test_a_page_that_is_too_long_loses_blank_rows_first_and_is_read_on() -> None:
    head, rest = run_pages.before_rows(DAY, PLAN, 76)
    rows = [*head, *rest]
    assert run_pages.fitted(head, rest, len(rows)) == (rows, 0)
    blanks = sum(not text_of(row) for row in rows)
    close, _ = run_pages.fitted(head, rest, len(rows) - blanks)
    assert [row for row in rows if text_of(row)] == close
    seen: list[Row] = []
    for first in range(len(rows)):
        cut, at = run_pages.fitted(head, rest, 13, first)
        assert len(cut) == 13
        assert at <= first
        seen += cut
    assert set(rest) <= set(seen)
    assert "more lines: PgDn" in plain(run_pages.fitted(head, rest, 13)[0])
    assert "PgUp" in text_of(cut[-1])
    low, _ = run_pages.fitted(head, rest, 6)  # no room for both: all of it can be read on
    assert low[0] == head[0]
    assert len(low) == 6


def test_an_open_run_is_offered_by_name_and_time() -> None:
    run = Run(3, DAY.name, "fair.toml", DAY.start, "", "", rehearsal=True, speed=60.0)
    said = plain(before(DAY, PLAN, 100, offer=(run, (HEAT,))))
    assert (
        "A rehearsal of this day, begun on Sat 5 Dec at 09:00, is not complete: 1 action marked"
    ) in said
    assert "Enter resumes it." in said


def test_a_day_that_was_ended_says_how_and_what_is_hot() -> None:
    run = Run(3, DAY.name, "fair.toml", DAY.start, "", "")
    into = next(each for each in live.actions(PLAN) if each.action.what == "load")
    marks = (*marks_until(into.action, into.end_s), Mark("abort", 720, 720, number=90))
    state = live.state(DAY, PLAN, marks, 720)
    said = plain(run_pages.done_rows(DAY, PLAN, state, run, marks, 76))
    assert said.startswith("Aborted: switch every oven off now.\nHot at that moment: tray 1 in ")
    assert "Begun 09:00, aborted 09:12: 12 min." in said
    assert "0 tins on 0 trays packed." in said


def test_the_day_done_is_summed_up() -> None:
    over = PLAN.finish_s + 190
    look = [Mark("checked", over, over, Action("pack", (tray,)), number=90) for tray in (1, 2, 3)]
    marks = (*marks_until(ORDER[-1], over), *look)
    run = Run(3, DAY.name, "fair.toml", DAY.start, "", "", state="complete")
    state = live.state(DAY, PLAN, marks, PLAN.finish_s + 200)
    assert (
        plain(run_pages.done_rows(DAY, PLAN, state, run, marks, 76))
        == """\
The day is done.

16 tins on 3 trays packed.
Begun 09:00, done 10:43: 1 h 43 min.
3 min after the plan, 10:40.
16 min before what was wanted, 11:00.
19 actions marked done.

Switch every oven off, and stay until it is cool.

U undoes the last mark.
A saves the day under another name and date: next time's.
E puts the run away: the day is as in its file again."""
    )


def test_the_alarm_says_what_to_do_and_counts() -> None:
    marks = marks_until(Action("load", (1,), "countertop"), 700)

    def band(now_s: int) -> tuple[str, str]:
        rows, kind = frame.alarm(live.state(DAY, PLAN, marks, now_s), 80)
        return plain(rows), kind

    assert band(1000) == ("", "tell")
    assert band(1100) == (
        " Mitts on: tray 1 will come out of countertop".ljust(74) + " 0:20",
        "soon",
    )
    assert band(1121)[1] == "late"
    assert "Take tray 1 out of countertop now" in band(1121)[0]
    assert "Over-baked by 1 min 20 s" in band(1200)[0]
    assert band(1200)[0].splitlines()[0].endswith("+1:20")


def test_a_window_too_small_says_so_and_still_counts() -> None:
    marks = marks_until(Action("load", (1,), "countertop"), 700)
    state = live.state(DAY, PLAN, marks, 1100)
    said = plain(frame.bare(state, 60, 20, (80, 24)))
    assert "This window is 60 by 20; benchplan needs 80 by 24." in said
    assert "Take tray 1 out of countertop" in said
    assert "0:20" in said


def test_a_window_too_small_counts_as_the_bench_does_and_shows_what_is_left_to_tick() -> None:
    marks = marks_until(Action("load", (1,), "countertop"), 700)
    state = live.state(DAY, PLAN, marks, 1130)
    first, oven, *rest = plain(frame.bare(state, 60, 16, (80, 24), USUAL)).splitlines()
    assert first.endswith(card(marks, 1130).digits)
    assert oven.endswith(bench.hot_figures(state, state.hot[0]))
    assert rest[: len(rest) - 2] == plain(card(marks, 1130, width=60).tail).strip().splitlines()
    assert "Enter marks it done, Space ticks." in rest
    following = plain(frame.bare(state, 60, 16, (80, 24)))
    assert "marks it done" not in following


def test_what_only_waits_for_a_hand_counts_nothing_in_a_small_window_either() -> None:
    marks = marks_until(Action("preheat", (), "countertop"), 5)
    state = live.state(DAY, PLAN, marks, 900)
    (oven,) = state.hot
    assert (oven.state, bench.hot_figures(state, oven)) == ("at heat", "")
    assert "countertop at heat" in [
        line.rstrip() for line in plain(frame.bare(state, 60, 16, (80, 24))).splitlines()
    ]


def test_a_narrow_header_says_name_and_clock_before_the_slack() -> None:
    now = at(DAY.start, 60)
    said = [
        plain(frame.header(DAY, PLAN, now, speed=20.0, changed=False, width=width))
        for width in (60, 40, 100)
    ]
    assert all("09:01:00  ends 10:40" in line for line in said)
    assert [DAY.name in line for line in said] == [True, False, True]
    assert ["spare" in line for line in said] == [False, False, True]


def test_a_message_is_cut_at_eight_rows_and_says_so() -> None:
    rows = frame.message("\n".join(f"Line {at}." for at in range(12)), 80)
    assert len(rows) == 8
    assert plain(rows).splitlines()[-1] == " and 5 more lines"


def test_the_start_page_keeps_the_cursor_in_sight() -> None:
    entries = [start.Entry("Recent days", f"Day {at}", f"/home/day_{at}.toml") for at in range(30)]
    for at_line in range(30):
        rows = start.start_rows(entries, at_line, 76, 20)
        assert len(rows) <= 20
        assert f"→ Day {at_line}" in plain(rows)


def test_help_rows_keep_within_their_width() -> None:
    rows = help_rows([("Bench", [("Enter", "Marks the action of the card done. " * 4)])], 40)
    assert max(cells(text_of(row)) for row in rows) <= 40
    assert plain(rows).startswith("Bench\nEnter        Marks")


def test_what_should_have_begun_is_not_shown_at_a_time_that_is_past() -> None:
    state = live.state(DAY, PLAN, (), 1500)
    late = [each for each in state.coming if each.begin_s < state.now_s]
    assert late
    for each in late:
        assert plain([bench.coming_row(DAY, PLAN, state, each, 78)]).startswith("09:25")


def test_what_comes_after_says_whose_it_is_once_a_helper_is_there() -> None:
    alone = live.state(DAY, PLAN, (), 0)
    assert "(person 1)" not in plain(bench.coming_rows(DAY, PLAN, alone, 78))
    both = live.state(DAY, PLAN, (Mark("person comes", 0, 0, None, person=2, number=1),), 0)
    assert len(both.cards) == 2
    assert "(person 1)" in plain(bench.coming_rows(DAY, PLAN, both, 78))
    assert "(Ada)" in plain(bench.coming_rows(DAY, PLAN, both, 78, names={1: "Ada"}))


def test_trays_that_left_the_day_are_counted_where_its_finish_stands() -> None:
    state = live.state(DAY, PLAN, (), 0)
    assert "left the day" not in plain(bench.coming_rows(DAY, PLAN, state, 78))
    fewer = replace(PLAN, loads=PLAN.loads[:-1])
    gone = len(PLAN.loads[-1].trays)
    said = plain(bench.coming_rows(DAY, fewer, state, 78))
    assert f"{count_words(gone, 'tray')} left the day" in said


def test_an_oven_that_no_bake_needs_any_more_is_to_be_switched_off_and_is_still_hot() -> None:
    last = next(action for action in reversed(ORDER) if action.what == "unload")
    baked = live.state(DAY, PLAN, marks_until(last, 3900), 3900)
    assert not bench.oven_wanted(baked)
    said = " ".join(plain(bench.hot_rows(DAY, baked, 34, 14)).split())
    assert said.endswith(bench.OVENS_OFF)
    assert len(bench.hot_rows(DAY, baked, 34, 6)) <= 6
    none_left = replace(baked, hot=())
    assert "Nothing is hot" not in plain(bench.hot_rows(DAY, none_left, 34, 14))
    before = live.state(DAY, PLAN, marks_until(last, 3900)[:-1], 3840)
    assert bench.oven_wanted(before)
    assert "Nothing is hot." in plain(bench.hot_rows(DAY, live.state(DAY, PLAN, (), 0), 34, 14))


def test_nothing_is_overdue_in_the_first_minute_of_a_run() -> None:
    preheat = live.state(DAY, PLAN, (), 1).cards[0]
    assert preheat.end_s < 60
    for now_s in (1, 30, 60):
        state = live.state(DAY, PLAN, (), now_s)
        found = replace(preheat, begin_s=0, end_s=0)
        assert bench.card_kind(state, found) == "now"
        assert bench.count_of(state, found) == ("now, done by", 0)
    state = live.state(DAY, PLAN, (), 61)
    assert bench.card_kind(state, replace(preheat, begin_s=0, end_s=0)) == "late"


def test_only_an_alarm_looks_like_one() -> None:
    said = frame.beside(frame.message("The run is saved.", 40), 40)
    assert [[piece.tone for piece in line] for line in said] == [["tell"]]
    assert plain(said) == " The run is saved."
