"""A record as text and as JSON: the same facts, local clock times, nothing hidden."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from record_contract import MAY, NEEDED, record_faults
from record_examples import example

from benchplan.errors import printable
from benchplan.model import Action, Mark, Reason, Run
from benchplan.model.cells import cells
from benchplan.papers.plan_json import dumps
from benchplan.papers.record_json import record_to_dict
from benchplan.papers.record_text import record_text, runs_text
from benchplan.papers.record_words import mark_words

PAGE = Path(__file__).parents[2] / "docs" / "record.md"


def printed() -> dict:
    return json.loads(dumps(record_to_dict(example())))


def test_the_json_keeps_the_contract() -> None:
    assert record_faults(printed()) == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), 2),
        (("start",), "2026-12-05T09:00:00"),
        (("state",), "over"),
        (("totals", "packed"), 1),
        (("trays", 0, "bakes"), [["2026-12-05T23:00:00+00:00", "2026-12-05T23:00:01+00:00"]]),
        (("trays", 0, "outcome"), "eaten"),
        (("trays", 0, "steps", 1, "person"), None),
        (("trays", 1, "scents"), {"Cedar": 2}),
        (("marks", 0, "mark"), 2),
        (("marks", 4, "unit"), "F"),
        (("marks", 8, "counts"), True),
        (("marks", 0, "person"), 9),
        (("corrections", 0, "field"), "taste"),
        (("extra",), 1),
    ],
    ids=str,
)
def test_what_breaks_the_contract_is_found(path, value) -> None:
    data = copy.deepcopy(printed())
    inside = data
    for key in path[:-1]:
        inside = inside[key]
    inside[path[-1]] = value
    assert record_faults(data) != []


def test_the_page_names_every_key_and_word() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for keys in (*NEEDED.values(), *MAY.values()):
        for key in keys:
            assert f"`{key}`" in page, key


def test_the_text_says_when_by_the_clock_there_and_by_whom() -> None:
    text = " ".join(record_text(example()).split())
    assert "RUN 7: Night bake" in text
    assert "begun at 23:00; aborted at Sun 6 Dec 00:05" in text
    assert "11 tins planned: none packed, 2 scrapped, 9 left over." in text
    assert "By Rui, person 2 and Ines." in text
    assert "In the oven 10 min in 2 stretches; its recipe says 7 min." in text
    assert "Passed over: Vents open" in text
    assert "because: it has none" in text
    assert "Left the day: tray 2, because: beads still damp" in text


def test_why_a_tray_went_back_in_before_its_time_is_told() -> None:
    back = Mark("back in", 900, 900, Action("unload", (1,), "countertop"), amount=60,
                reason=Reason.WENT_IN_EARLY)  # fmt: skip
    assert mark_words(example(), back).endswith("because: it went in before the oven was ready")


def test_tins_of_a_run_that_is_on_are_not_left_over_yet() -> None:
    text = record_text(replace(example(), state="running", finished_s=None))
    assert "9 not packed yet." in text
    assert "left over" not in text


def test_what_was_taken_back_is_shown_as_that() -> None:
    lines = record_text(example(), width=200).splitlines()
    (line,) = [each for each in lines if "3 tins" in each]
    assert "[taken back by mark 10]" in line


def test_a_correction_shows_both_values_and_why() -> None:
    text = " ".join(record_text(example()).split())
    assert "counter showed 160 °C" in text
    assert "amount 166.5 °C, corrected to 160 °C, because: read it upside down" in text
    assert "person 1 is Rui" in text


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_asked(width: int) -> None:
    for record in (example(), replace(example(), clock=12, units="us", rehearsal=True)):
        assert max(cells(line) for line in record_text(record, width).splitlines()) <= width


def test_without_a_width_no_column_is_cut() -> None:
    record = example()
    far = tuple(replace(each, oven="the oven behind the door " * 4) for each in record.trays)
    stages = tuple(replace(each, place=far[0].oven) for each in record.preheats)
    long = replace(
        record, preheats=stages, trays=far, names={**record.names, 1: "Rui of the long name " * 4}
    )
    assert ".." in record_text(long, 80)
    whole = record_text(long, None)
    assert ".." not in whole
    assert stages[0].place in whole


def test_nothing_in_a_record_steers_a_terminal() -> None:
    evil = "\x1b[31mred\x9b2J"
    record = example()
    entries = tuple(replace(each, mark=replace(each.mark, note=evil)) for each in record.entries)
    said = record_text(replace(record, name=evil, file=evil, entries=entries, names={1: evil}))
    assert "?[31mred?2J" in said
    assert printable(said) == said


def test_runs_are_listed_by_number_with_how_they_ended() -> None:
    start = datetime(2026, 12, 5, 9, tzinfo=UTC)
    done = Run(3, "Fair", "", start, "", "", state="complete")
    trial = Run(2, "Trial", "", start, "", "", rehearsal=True, state="stopped")
    text = runs_text((done, trial), UTC)
    assert "3  2026-12-05 09:00  Fair   complete" in text
    assert "rehearsal, stopped before its end" in text
    assert "no run yet" in runs_text((), UTC)


def test_the_head_says_which_trays_were_over_baked() -> None:
    found = example()
    first, *rest = found.trays
    assert "Late exits" not in record_text(found)
    late = replace(found, trays=(replace(first, over_baked_s=130), *rest))
    head = " ".join(record_text(late).partition("OVENS ON")[0].split())
    assert "Late exits, over-baked: tray 1 by 2 min 10 s. Longest bake: tray 1, 10 min." in head
    assert record_faults(json.loads(dumps(record_to_dict(late)))) == []
