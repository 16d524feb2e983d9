"""What goes otherwise than planned, typed: the mark that comes of it, or what would do."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from plain_world import SAMPLES, day_of, told

from benchplan import live
from benchplan.book import BenchBook
from benchplan.carrying import mishaps, safety
from benchplan.model import Action, Item, ItemId, Mark
from benchplan.model.ids import MarkKind
from benchplan.model.words import tray_words
from benchplan.papers.plan_json import plan_from_dict
from benchplan.plain.mishaps import MISHAPS, Bench, mishap
from benchplan.views.marks import mark_words

TRAY = SAMPLES / "first_tray.toml"
PLAN_FILE, PLAN = day_of(TRAY)
DAY = PLAN_FILE.day
LOAD, UNLOAD = Action("load", (1,), "countertop"), Action("unload", (1,), "countertop")


def bench(*done: Action, now_s: int = 1000) -> Bench:
    """Return the bench at a moment after some actions, each a hundred seconds after another."""
    marks = tuple(
        Mark("done", at * 100, at * 100, action, number=at) for at, action in enumerate(done, 1)
    )
    state = live.state(DAY, PLAN, marks, now_s)
    return Bench(DAY, PLAN, state, marks, state.cards[0], 1)


AT_HEAT, LANDING = Item(ItemId.OVEN_AT_HEAT), Item(ItemId.LANDING_FREE)
DRY = Item(ItemId.BEADS_DRY, PLAN.tray(1).scents[0])
HEATING = Action("preheat", (), "countertop")
FILLING = bench(HEATING, now_s=110)
BAKING = bench(LOAD, now_s=150)
OVERDUE = bench(LOAD, now_s=900)
OUT = bench(LOAD, UNLOAD, now_s=210)
CARD = FILLING.state.cards[0]
TWO = replace(FILLING, state=replace(FILLING.state, cards=(CARD, replace(CARD, person=2))))
AWAY = replace(TWO, state=replace(TWO.state, breaks=(live.Away(2, 900, late=True),)))


@pytest.mark.parametrize(
    ("at", "word", "rest", "wanted"),
    [
        (FILLING, "filled", "3", ("filled", Action("fill", (1,)), 3, "")),
        (BAKING, "longer", "", ("longer", UNLOAD, 60, "")),
        (BAKING, "longer", "2 minutes", ("longer", UNLOAD, 120, "")),
        (OUT, "under", "2", ("back in", UNLOAD, 120, "")),
        (OUT, "scrap", "2 of 2 Fell down", ("scrapped", Action("fill", (2,)), 2, "Fell down")),
        (OUT, "scrap", "1 of tray 1 scorched", ("scrapped", Action("pack", (1,)), 1, "scorched")),
        # a bare number is in the unit that the day's makers read
        (FILLING, "reading", "340", ("reading", HEATING, 171, "")),
        (FILLING, "reading", "158 C", ("reading", HEATING, 158, "")),
        (FILLING, "wet", "", ("wet", Action("fill", (1, 2)), 0, "")),
        (FILLING, "away", "5", ("late", None, 300, "")),
        (FILLING, "comes", "Ada", ("person comes", None, 0, "Ada")),
        (TWO, "goes", "", ("person goes", None, 0, "")),
        (FILLING, "broken", "", ("oven out", Action("preheat", (), "countertop"), 0, "")),
        (FILLING, "stop", "", ("stop", None, 0, "")),
        (FILLING, "abort", "", ("abort", None, 0, "")),
    ],
)  # fmt: skip
def test_a_word_becomes_one_mark(
    at: Bench, word: str, rest: str, wanted: tuple[str, Action | None, float, str]
) -> None:
    found = mishap(word, rest, at)
    assert isinstance(found, Mark), found
    assert (found.what, found.action, round(found.amount), found.note) == wanted
    assert found.happened_s == found.entered_s == at.state.now_s
    assert found.what in MarkKind


def test_passing_over_names_the_item_and_keeps_the_reason() -> None:
    found = mishap("skip", "Scale is a spring one", FILLING)
    assert isinstance(found, Mark)
    assert (found.what, found.note) == ("pass over", "Scale is a spring one")
    assert FILLING.card is not None
    assert FILLING.card.checklist[0].item == DRY
    assert found.item == FILLING.card.checklist[1].item


def test_the_dry_test_cannot_be_passed_over() -> None:
    assert FILLING.card is not None
    only = replace(FILLING.card, checklist=FILLING.card.checklist[:1])
    found = mishap("skip", "no time", replace(FILLING, card=only))
    assert isinstance(found, str)
    assert "The dry test can't be skipped" in found


def test_what_must_be_seen_to_comes_first_but_never_at_an_exit() -> None:
    assert safety.unseen(FILLING, Action("fill", (1,))) == (DRY,)
    assert safety.unseen(FILLING, LOAD) == (DRY, AT_HEAT, LANDING)
    assert safety.unseen(OVERDUE, UNLOAD) == ()
    seen = tuple(
        Mark("tick", 105, 105, LOAD, item, number=at) for at, item in enumerate((DRY, LANDING), 2)
    )
    assert safety.unseen(replace(FILLING, marks=(*FILLING.marks, *seen)), LOAD) == (AT_HEAT,)
    assert FILLING.card is not None
    checks = live.checklist(*FILLING.looked_up(), LOAD)
    loading = replace(FILLING, card=replace(FILLING.card, action=LOAD, checklist=checks))
    assert safety.to_pass_over(loading) == AT_HEAT


def test_how_trays_are_baked_is_asked_until_it_is_said() -> None:
    assert safety.not_looked_at(OUT, (1,)) == UNLOAD
    assert safety.not_looked_at(OUT, (2,)) is None
    back = Mark("back in", 205, 205, UNLOAD, number=9, amount=60)
    for what in ("tick", "pass over"):
        said = Mark(what, 204, 204, UNLOAD, safety.LOOKED_AT, number=8, note="later")
        assert safety.not_looked_at(replace(OUT, marks=(*OUT.marks, said)), (1,)) is None
        marks = (*OUT.marks, said, back, Mark("done", 300, 300, UNLOAD, number=10))
        assert safety.not_looked_at(replace(OUT, marks=marks), (1,)) == UNLOAD
    assert safety.not_looked_at(replace(OUT, marks=(*OUT.marks, back)), (1,)) is None


@pytest.mark.parametrize(
    ("at", "word", "rest", "said"),
    [
        (OVERDUE, "filled", "3", "No tray is being filled."),
        (FILLING, "filled", "7", "Of this tray 0 to 6 tins"),
        (FILLING, "filled", "", "Of this tray 0 to 6 tins"),
        (FILLING, "longer", "", "No bake is on"),
        (BAKING, "longer", "soon", '"soon" is no number of minutes.'),
        (BAKING, "under", "", "No tray that came out"),
        (OUT, "scrap", "2 of 9 dropped", "Say of which tray."),
        (OUT, "scrap", "99 of 1 dropped", "Type 1 to 7: tray 1 holds 7 tins."),
        (FILLING, "skip", "", "Say why"),
        (FILLING, "reading", "hot", '"hot" is not a temperature.'),
        (FILLING, "away", "", "no number of minutes"),
        (FILLING, "goes", "", "Nobody else is here"),
        (AWAY, "goes", "", "Nobody else is here"),
        (OUT, "wet", "Fig", "Say which scent: Night garden."),
    ],
)
def test_what_cannot_be_says_what_would_do(at: Bench, word: str, rest: str, said: str) -> None:
    found = mishap(word, rest, at)
    assert isinstance(found, str)
    assert said in found


@pytest.mark.parametrize(
    ("at", "word", "rest"),
    [
        (BAKING, "longer", "soon"), (OUT, "scrap", "some"), (OUT, "scrap", "1 of 1"),
        (FILLING, "skip", ""), (FILLING, "away", ""),
    ],
)  # fmt: skip
def test_what_was_typed_wrong_is_said_as_it_is_typed(at: Bench, word: str, rest: str) -> None:
    found = mishap(word, rest, at)
    assert isinstance(found, str)
    assert found.endswith(f"Type it so: {MISHAPS[word].partition(':')[0]}.")


def test_every_kind_of_mark_is_said_in_words() -> None:
    action = Action("unload", (1,), "countertop")
    for what in MarkKind:
        mark = Mark(what, 60, 120, action, Item(own="Mitts on"), amount=2, note="why")
        said = mark_words(DAY, PLAN, mark)
        assert said.endswith(".")
        assert said[0].isupper() or said.startswith("countertop") or said[0].isdigit()


def test_stopping_and_aborting_ask_first() -> None:
    person, session = told(TRAY, (0, "start"), (5, "abort"), (5, "no"), (5, "stop"), (5, "what"))
    assert any(line.endswith("yes does it, no goes on.") for line in person.heard)
    assert session.marks == ()


def test_one_minute_more_is_a_minute_from_now_where_the_bake_is_overdue() -> None:
    (oven,) = [hot for hot in OVERDUE.state.hot if hot.kind == "oven"]
    found = mishap("longer", "1", OVERDUE)
    assert isinstance(found, Mark)
    assert oven.until_s + found.amount == OVERDUE.state.now_s + 60
    due = live.state(DAY, PLAN, (*OVERDUE.marks, replace(found, number=9)), OVERDUE.state.now_s)
    assert [hot.until_s for hot in due.hot if hot.kind == "oven"] == [OVERDUE.state.now_s + 60]


def test_an_only_oven_that_fails_says_that_its_trays_leave_the_day() -> None:
    person, session = told(TRAY, (0, "start"), (5, "broken"))
    said = person.heard.index("countertop is out of the day. Leaves the day: trays 1 and 2.")
    assert person.heard[said + 1].startswith("Still to make: 14 tins.")  # this does not hide it
    assert session.done


@pytest.mark.parametrize("broken", ["countertop", "kitchen"])  # only the second takes wide pans
def test_an_oven_that_fails_says_which_trays_go_elsewhere_or_leave(broken: str) -> None:
    person, session = told(SAMPLES / "two_ovens.toml", (0, "start"), (5, f"broken {broken}"))
    plan = session.good_plan()
    assert session.run is not None
    assert plan is not None
    before = plan_from_dict(json.loads(session.run.plan_text))  # as the run began
    was = {tray: load.oven for load in before.loads for tray in load.trays}
    now = {tray: load.oven for load in plan.loads for tray in load.trays}
    wanted = [f"{broken} is out of the day."]
    if moved := tuple(sorted(tray for tray, oven in now.items() if oven != was[tray])):
        (other,) = {"countertop", "kitchen"} - {broken}
        wanted.append(f"Into {other}: {tray_words(moved)}.")
    if gone := tuple(sorted(set(was) - set(now))):
        wanted.append(f"Leaves the day: {tray_words(gone)}.")
    assert len(wanted) > 1
    assert " ".join(wanted) in person.heard


def test_a_mark_that_leaves_something_over_is_said_before_that() -> None:
    person, _ = told(TRAY, (0, "start"), (5, "stop"), (1, "yes"))
    at = person.heard.index("Stopping: what is hot is finished first.")
    assert person.heard[at + 1].startswith("Still to make: 14 tins.")


def test_beads_that_are_wet_are_under_jars_as_on_the_screens() -> None:
    person, _ = told(TRAY, (0, "start"), (5, "done"), (160, "wet"))
    assert "Its jar is under Jars, drying since today." in person.heard
    book = BenchBook.open()
    assert [jar.scent for jar in book.jars()] == ["Night garden"]
    book.close()


def test_tins_that_were_judged_to_be_scrap_are_not_scrapped_again() -> None:
    shut = (Mark("wet", 220, 220, None, DRY, number=9),)
    at = replace(BAKING, marks=(*BAKING.marks, *shut))
    assert "scrapped already" in str(mishap("scrap", "2 of 1 fell", at))
    judged = (*shut, Mark("judged", 9000, 9000, UNLOAD, amount=3, number=10))
    at = replace(BAKING, marks=(*BAKING.marks, *judged))
    assert "tray 1 holds 3 tins" in str(mishap("scrap", "5 of 1 fell", at))


def test_the_longest_name_of_an_oven_is_the_one_that_was_typed() -> None:
    (only,) = OUT.day.ovens.values()
    names = ("oven", "big oven")
    at = replace(
        OUT, day=replace(OUT.day, ovens={name: replace(only, name=name) for name in names})
    )
    found = mishap("reading", "158 C big oven", at)
    assert isinstance(found, Mark)
    assert found.action is not None
    assert found.action.place == "big oven"


def test_a_name_is_the_one_that_was_typed_whatever_its_case_where_that_leaves_no_doubt() -> None:
    assert mishaps.named(["Rose", "rose"], "Rose") == "Rose"
    assert mishaps.named(["Rose", "rose"], "rose") == "rose"
    assert mishaps.named(["Rose", "rose"], "ROSE") == ""
    assert mishaps.named(["Zed ", "Pine"], "zed") == "Zed "
    assert mishaps.named(["Zed ", "Pine"], "fig") == ""


def test_wet_alone_means_no_scent_that_the_card_does_not_ask_for() -> None:
    card = replace(OUT.state.cards[0], checklist=())
    trays = (PLAN.trays[0], replace(PLAN.trays[1], scents=("Cedar",) * PLAN.trays[1].tins))
    at = replace(OUT, card=card, plan=replace(PLAN, trays=trays))
    assert str(mishap("wet", "", at)).startswith("Say which scent: ")


def test_a_reading_that_would_be_too_hot_in_the_other_unit_is_asked_about() -> None:
    assert str(mishap("reading", "230", FILLING)).startswith("230 what?")  # 110 °C, or 230 °C
    assert isinstance(mishap("reading", "230 F", FILLING), Mark)


@pytest.mark.parametrize("typed", ["5", "150 K", "1000 C"])
def test_no_oven_shows_what_no_oven_can(typed: str) -> None:
    assert str(mishap("reading", typed, FILLING)).startswith("No oven here shows")


def test_nothing_is_out_before_it_went_in() -> None:
    assert safety.too_early(BAKING, UNLOAD, 99) != ""
    assert safety.too_early(BAKING, UNLOAD, 100) == ""
    assert safety.too_early(BAKING, LOAD, 99) == ""
    move = Action("transfer", (1,))
    assert safety.too_early(OUT, move, 199) == "Tray 1 was not out yet then. Nothing was marked."
    assert safety.too_early(OUT, move, 200) == ""


def test_an_undo_that_may_hurt_says_what_is_at_stake() -> None:
    assert safety.undo_asks(FILLING.marks) == ""
    assert safety.undo_asks(BAKING.marks).startswith("Tray 1 would count as not in countertop")
    back = Mark("back in", 160, 160, UNLOAD, amount=60, number=9)
    assert safety.undo_asks((*OUT.marks, back)).startswith("Tray 1 would count as not in")
    wet = Mark("wet", 160, 160, None, DRY, number=9)
    assert "found wet" in safety.undo_asks((*BAKING.marks, wet))


def test_what_was_attacked_is_refused_with_what_would_do() -> None:
    broken = Mark("oven out", 205, 205, HEATING, number=9)
    at = replace(OUT, marks=(*OUT.marks, broken))
    assert "not used any more today" in str(mishap("under", "2", at))
    held = replace(OUT, state=replace(OUT.state, held_s=200))
    assert "Resume it first" in str(mishap("under", "2", held))
    assert "at most 30 min" in str(mishap("longer", "200", BAKING))
    assert "at most 30 min" in str(mishap("under", "200", OUT))
    assert isinstance(mishap("longer", "30", BAKING), Mark)
    found = mishap("reading", "165 C countertop", OUT)
    assert isinstance(found, Mark)
    assert found.action is not None
    assert found.action.place == "countertop"
