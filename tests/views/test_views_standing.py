"""What the Bench shows while hands are held, a run is ending, or an item was passed over."""

from __future__ import annotations

from dataclasses import replace

from example_day import day, plan

from benchplan import live
from benchplan.keys import key_of
from benchplan.live import Check
from benchplan.live.state import State
from benchplan.model import Action, Day, Mark
from benchplan.model.ids import Item
from benchplan.views import bench, standing
from benchplan.views.marks import back_words, mark_words
from benchplan.views.rows import plain

DAY, PLAN = day(), plan()
ON, LOAD = Action("preheat", (), "countertop"), Action("load", (1,), "countertop")
UNLOAD = Action("unload", (1,), "countertop")


def standing_lines(day: Day, state: State) -> list[str]:
    return standing.standing_lines(day, state, lambda action: key_of(action, day.keys))


def at(now_s: int, *marks: Mark) -> State:
    numbered = tuple(replace(mark, number=number) for number, mark in enumerate(marks, 1))
    return live.state(DAY, PLAN, numbered, now_s)


def mark(what: str, second: int, action: Action | None = None, **more: object) -> Mark:
    return replace(Mark(what, second, second, action), **more)  # type: ignore[arg-type]


def card_of(state: State, height: int = 16) -> bench.CardView:
    return bench.card_view(DAY, PLAN, state, state.cards[0], 40, height)


def test_a_held_card_counts_up_and_says_the_key_that_goes_on() -> None:
    held = card_of(at(700, mark("done", 10, ON), mark("hold", 630)))
    assert (held.kind, held.digits) == ("held", "+1:10")
    assert "held since 09:10" in plain(held.head)
    assert plain(held.tail).strip() == "H resumes. The oven does not wait."
    gone_on = card_of(at(760, mark("done", 10, ON), mark("hold", 630), mark("go on", 720)))
    assert gone_on.kind != "held"


def test_an_exit_is_never_held() -> None:
    marks = mark("done", 600, LOAD), mark("hold", 630)
    state = at(1025, *marks)
    (oven,) = [hot for hot in state.hot if hot.kind == "oven"]
    due = card_of(at(oven.until_s, *marks))
    assert due.kind == "soon"
    assert "TAKE OUT NOW" in plain(due.head)


def test_the_clock_time_of_what_is_overdue_is_never_cut() -> None:
    marks = mark("done", 600, LOAD), mark("tick", 610)
    (oven,) = [hot for hot in at(640, *marks).hot if hot.kind == "oven"]
    state = at(oven.until_s + 1000, *marks)
    for width in range(20, 60):
        shown = plain(bench.card_view(DAY, PLAN, state, state.cards[0], width, 20).head)
        assert "OVERDUE by" in shown
        assert "09:17" in shown, shown


def test_what_goes_wrong_first_while_hands_are_held() -> None:
    marks = mark("done", 600, LOAD), mark("hold", 630)
    (oven,) = [hot for hot in at(640, *marks).hot if hot.kind == "oven"]
    assert (oven.until_s, oven.late_s) == (1020, 1050)  # loaded at 600 for 420 s, 30 s to spare
    assert standing_lines(DAY, at(900, *marks)) == [
        "Held since 09:10: hands stop, the oven does not. H resumes.",
        "Most urgent: take tray 1 out of countertop at 09:17:00, in 2 min; "
        "over-baked from 09:17:30.",
    ]
    assert standing_lines(DAY, at(1030, *marks))[1] == (
        "Most urgent: take tray 1 out of countertop now; over-baked in 20 s."
    )
    assert len(standing_lines(DAY, at(1100, *marks))) == 1  # the alarm above says the rest
    hot = at(300, mark("done", 0, ON), mark("hold", 200))
    assert standing_lines(DAY, hot)[1] == "Nothing bakes, but countertop is on: stay with it."
    cold = at(300, mark("hold", 200))
    assert standing_lines(DAY, cold)[1].startswith("Nothing is in an oven: nothing spoils")
    assert standing_lines(DAY, at(300)) == []


def test_keys_in_words_are_the_ones_the_day_has() -> None:
    renamed = replace(DAY, keys={"hold": ("f5",), "end_run": ("f6",)})
    held, _ = standing_lines(renamed, at(300, mark("hold", 200)))
    state = at(300, mark("hold", 200), mark("stop", 210))
    assert state.ending == "stop"
    (stopping,) = standing_lines(renamed, state)  # who stops the day holds it no longer
    assert stopping.endswith("Then F6 ends the run, U undoes it.")
    assert held.endswith("F5 resumes.")
    assert "Nothing bakes any more: switch every oven off." in stopping
    still = at(700, mark("done", 5, ON), mark("done", 600, LOAD), mark("stop", 650))
    assert any(hot.kind == "oven" for hot in still.hot)
    assert "switch every oven off" not in " ".join(standing_lines(DAY, still))
    abort = standing_lines(renamed, at(300, mark("stop", 210), mark("abort", 220)))
    assert abort == [
        "Aborted. Switch every oven off now, and stay until it is cool. F6 ends the run, "
        "U undoes it."
    ]


def test_a_checklist_tells_ticked_passed_over_and_what_must_be_seen_to_apart() -> None:
    items = (
        Check(Item(own="Clean"), seen=True),
        Check(Item(own="Level"), seen=True, passed=True),
        Check(Item(own="Landing"), required=True),
        Check(Item(own="Mitts")),
    )
    rows = bench.checklist_rows(items, 30, 9)
    assert plain(rows) == "[x] Clean\n[-] Level\n[!] Landing\n[ ] Mitts"


def test_what_was_passed_over_is_on_the_card_it_belongs_to() -> None:
    state = at(
        0, mark("pass over", 0, ON, item=Item(own="Extinguisher at hand, way out clear"), note="x")
    )
    passed = [each.item.own for each in state.cards[0].checklist if each.passed]
    assert passed == ["Extinguisher at hand, way out clear"]
    assert "[-] Extinguisher at hand" in plain(card_of(state).tail)


def test_people_are_called_by_their_names_where_there_are_several() -> None:
    state = at(0)
    two = replace(state, cards=(state.cards[0], replace(state.cards[0], person=2)))
    names = {2: "Ada of the very long second name"}
    shown = bench.card_view(DAY, PLAN, two, two.cards[1], 27, 16, True, names)
    (first, *_) = plain(shown.head).splitlines()
    assert first.startswith("→ Person 2, Ada")
    assert first.endswith("Now")
    assert len(first) <= 27
    assert bench.who_words(1, names) == "Person 1"
    assert "Person 2, Ada" in plain(bench.other_rows(two, 1, 60, names))
    held = replace(two, held_s=0)
    assert plain(bench.other_rows(held, 1, 60, names)).splitlines()[0].endswith("held")


def test_a_mark_taken_back_is_said_by_what_it_was() -> None:
    done, tick = mark("done", 5, ON), mark("tick", 5, ON, item=Item(own="Mitts on"))
    held, gone = mark("hold", 5), mark("scrapped", 5, UNLOAD, amount=2.0, note="dropped")
    assert [back_words(DAY, PLAN, each) for each in (done, tick, held, gone)] == [
        "Switch countertop on",
        "Mitts on",
        "Held: hands stop, the oven does not",
        "Scrapped: 2 tins of tray 1, because: dropped",
    ]
    assert (
        mark_words(DAY, PLAN, mark("person comes", 5, note="Ada"))
        == "One more person is here: Ada."
    )
