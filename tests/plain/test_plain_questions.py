"""What is asked line by line: it waits while somebody looks, and is asked again when it is due."""

from __future__ import annotations

from dataclasses import replace

from plain_world import SAMPLES, START, baking, day_of, other_window, told

from benchplan import live
from benchplan.carrying.session import Session
from benchplan.model import Action, Reason, standing
from benchplan.plain.news import News

TRAY = SAMPLES / "first_tray.toml"


def kinds(session: Session) -> list[str]:
    """Return the kind of each mark that stands, done by what was done."""
    return [
        mark.action.what if mark.what == "done" and mark.action else mark.what
        for mark in standing(session.marks)
    ]


def test_a_question_waits_while_somebody_only_looks() -> None:
    person, session = told(
        TRAY, START, (5, "other"), (5, "hot"), (5, "nonsense"), (5, "1"), (5, "1")
    )
    which = "Which was done? Type its number."
    assert person.heard.count(which) == 3
    assert kinds(session) == ["preheat"]
    assert any('"1" is no word here.' in line for line in person.heard)  # answered once, it is gone


def test_a_word_that_changes_something_makes_a_question_void() -> None:
    person, session = told(TRAY, START, (5, "other"), (5, "hold"), (5, "1"))
    assert any('"1" is no word here.' in line for line in person.heard)
    assert kinds(session) == ["hold"]


def test_what_is_asked_of_a_held_run_says_that_it_is_held() -> None:
    person, _ = told(TRAY, START, (5, "hold"), (5, "what"))
    said = person.heard[person.heard.index("Held. The oven does not wait. Type on to go on.") + 1 :]
    assert any(line.startswith("Held since 9:00") and line.endswith("on resumes.") for line in said)


def test_why_a_tray_was_early_is_asked_again_before_its_tins_are_moved() -> None:
    person, session = told(
        TRAY, *baking(), (30, "other"), (2, "1"), (5, "what"), (180, "tick all"), (5, "done"),
        (1, "1"), (1, "1"),
    )  # fmt: skip
    asked = [line for line in person.heard if "was planned to end at" in line]
    assert len(asked) == 3  # at the exit, after a look, and before the move
    assert kinds(session)[-3:] == ["early", "tick", "transfer"]
    early = next(mark for mark in session.marks if mark.what == "early")
    assert early.reason is Reason.LOOKED_DONE


def test_a_window_that_follows_does_not_end_the_run() -> None:
    other, _ = other_window(TRAY)
    person, mine = told(TRAY, (0, "on"), (5, "end"), (5, "what"))
    assert any(line.startswith("stop finishes what is hot") for line in person.heard)
    assert mine.run is not None
    other.close()


def test_an_abort_says_what_is_hot_before_it_and_until_it_was_checked() -> None:
    person, session = told(TRAY, *baking(), (30, "abort"), (5, "yes"), (5, "end"), (5, "no"),
                           (5, "longer"), (5, "checked 1"), (5, "hot"))  # fmt: skip
    hot = [line for line in person.heard if "tray 1 in countertop" in line]
    assert hot[0].endswith("Hot now: tray 1 in countertop. yes does it, no goes on.")
    assert hot[1].startswith("Hot at that moment: tray 1 in countertop. Check each")
    assert hot[2].startswith("End this run? It can't be resumed then. Not checked yet: tray 1")
    assert any(line.startswith("Nothing more can be marked") for line in person.heard)
    assert "countertop: not needed. Switch it off: it stays hot for long." in person.heard
    assert session.marks[-1].what == "checked"


def test_a_tray_goes_back_into_an_oven_that_is_too_hot_only_after_a_question() -> None:
    person, session = told(
        TRAY, *baking(), (430, "done"), (5, "reading 240 C"), (5, "under 1"), (5, "no"),
        (5, "under 1"), (5, "1"),
    )  # fmt: skip
    assert sum("is too hot: its thermometer showed" in line for line in person.heard) == 2
    back = [mark for mark in session.marks if mark.what == "back in"]
    assert [mark.reason for mark in back] == [Reason.WENT_IN_EARLY]


def test_a_list_that_was_asked_for_gives_way_to_another_question() -> None:
    person, session = told(
        TRAY, START, (5, "done"), (5, "tick"), (5, "back 2"), (5, "other 1"), (5, "yes"), (5, "yes")
    )
    assert "take back" not in [mark.what for mark in session.marks]
    assert len(session.marks) >= 2
    assert (
        person.heard.count(next(line for line in person.heard if "Take back 2 marks" in line)) == 1
    )


def test_undo_is_offered_only_for_the_mark_that_is_meant() -> None:
    person, session = told(
        TRAY, *baking(), (30, "other"), (2, "1"), (5, "hold"), (5, "on"), (200, "tick all"),
        (5, "done"),
    )  # fmt: skip
    asked = [line for line in person.heard if "was planned to end at" in line]
    assert ["back undoes the mark" in line for line in asked] == [True, False]
    assert "take back" not in [mark.what for mark in session.marks]


def test_a_load_into_an_oven_that_nobody_switched_on_is_asked_about() -> None:
    person, session = told(
        TRAY, START, (5, "other"), (1, "2"), (1, "yes"), (5, "other 2"), (5, "other 2"),
        *[(5, line) for line in ("other 2", "1", "yes")],
    )  # fmt: skip
    assert any("has not been switched on, as far as the marks say" in line for line in person.heard)
    (load,) = [mark for mark in session.marks if mark.action and mark.action.what == "load"
               and mark.what == "done"]  # fmt: skip
    assert load.reason is Reason.HOT_ALREADY


def test_a_run_on_offer_is_ended_with_a_word_of_what_is_in_the_oven() -> None:
    told(TRAY, *baking(), (30, "leave"))
    person, _ = told(TRAY, (5, "end"), (5, "no"))
    assert any("Not checked yet: tray 1 in countertop." in line for line in person.heard)


def test_a_day_that_was_aborted_is_offered_until_what_was_hot_is_checked() -> None:
    told(TRAY, *baking(), (30, "abort"), (5, "yes"), (5, "leave"))
    person, session = told(TRAY, (5, "on"), (5, "hot"), (5, "checked 1"))
    assert any("Not checked yet: tray 1 in countertop." in line for line in person.heard)
    assert any(line.startswith("countertop: tray 1 check") for line in person.heard)
    assert session.run is not None
    assert session.run.state == "aborted"
    person, session = told(TRAY, START)
    assert "The run is on." in person.heard


def test_a_reason_that_is_given_later_is_marked_at_that_moment() -> None:
    _, session = told(
        TRAY, *baking(), (430, "done"), (5, "reading 240 C"), (5, "under 1"), (100, "1")
    )
    back, reading = session.marks[-1], session.marks[-2]
    assert back.what == "back in"
    assert back.entered_s - reading.entered_s == 105


def test_every_alarm_is_said_not_only_the_first() -> None:
    state = live.State(
        now_s=1000, cards=(), coming=(), finish_s=0, slack_s=None, done=0, total=9, complete=False,
        focus=1, breaks=(),
        hot=(
            live.Hot("oven", "large", (1,), 990, "out now", 930, 1020),
            live.Hot("shut in", "spare", (2,), 995, "shut in"),
        ),
    )  # fmt: skip
    plan_file, plan = day_of(TRAY)
    said = News().lines(plan_file.day, plan, state, 50.0, asked=True)
    assert [line.split(".")[0] for line in said[:2]] == ["Alarm", "Alarm"]
    assert "Keep its door shut" in said[1]


def test_a_word_marks_no_card_that_was_not_said_yet() -> None:
    plan_file, plan = day_of(TRAY)
    state = live.state(plan_file.day, plan, (), 0)
    news = News()
    (card,) = state.cards
    assert not news.told(card)
    news.lines(plan_file.day, plan, state, 0.0, asked=False)
    assert news.told(card)
    other = replace(card, action=Action("fill", (1,)))
    assert not news.told(other)


def test_undoing_a_load_is_asked_about() -> None:
    person, session = told(TRAY, *baking(), (30, "back"), (5, "no"), (5, "back"), (5, "yes"))
    asked = "Take back Load tray 1 into countertop? Tray 1 would count as not in countertop"
    assert sum(line.startswith(asked) for line in person.heard) == 2
    assert "Nothing taken back." in person.heard
    assert "load" not in kinds(session)


def test_a_figure_does_not_say_that_beads_are_dry() -> None:
    person, session = told(TRAY, START, (5, "done"), (5, "other"), (1, "1"), (1, "1"))
    assert any("beads dry" in line and line.startswith("First: ") for line in person.heard)
    assert kinds(session) == ["preheat"]


def test_a_load_that_is_shut_in_keeps_its_instruction_through_an_abort() -> None:
    person, _ = told(TRAY, *baking(), (30, "wet"), (5, "abort"), (5, "yes"), (5, "what"))
    said = "Alarm. Wet beads in countertop. Switch it off. Keep its door shut."
    assert (
        sum(line.startswith(said) for line in person.heard) == 3
    )  # when found, at the abort, asked
    assert not any("checked 1 says" in line for line in person.heard)
