"""``benchplan record``: runs listed, one read back as text and JSON, corrected, people named."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.book import BenchBook
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.files import read_plan
from benchplan.planner import plan_day

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def carried(sample: str) -> Iterator[Carrier]:
    """A run of the sample that has just begun, in the book of this test."""
    plan_file = read_plan(sample)
    session = Session(ManualClock(plan_file.day.start))
    carrier = Carrier(session)
    session.open_file(plan_file)
    session.planned(plan_file.day, plan_day(plan_file.day))
    carrier.begin()
    yield carrier
    carrier.close()


def mark_all(carrier: Carrier) -> None:
    """Carry the run out as planned, with one tin scrapped."""
    session = carrier._session
    clock = session.wall
    assert isinstance(clock, ManualClock)
    while not session.done:
        state = session.state()
        assert state is not None
        card = state.cards[0]
        clock.move(max(0, card.end_s - state.now_s))
        if card.action is None:
            continue  # what it waited for has come
        if card.action.what == "pack" and not any(
            mark.what == "scrapped" for mark in session.marks
        ):
            assert carrier.mark("scrapped", card.action, amount=1, note="cracked")
        for each in card.checklist:
            if each.required and not each.seen:
                assert carrier.tick(card.action, 1, each.item), session.message
        assert carrier.done(card.action, 1), session.message


def ok(capsys: Capture, *arguments: str) -> str:
    assert cli.main(list(arguments)) == 0, capsys.readouterr().err
    said = capsys.readouterr()
    assert said.err == ""
    return said.out


def refused(capsys: Capture, *arguments: str) -> str:
    assert cli.main(list(arguments)) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Internal error" not in said.err
    return said.err


def number_of(carrier: Carrier, what: str) -> str:
    return str(next(mark.number for mark in carrier._session.marks if mark.what == what))


def test_an_empty_book_lists_nothing_and_has_no_last_run(capsys: Capture) -> None:
    assert "no run yet" in ok(capsys, "record")
    assert "no run yet" in refused(capsys, "record", "last")
    assert "has no run 3" in refused(capsys, "record", "3")


def test_a_run_is_listed_and_read_back_as_text_and_json(carried: Carrier, capsys: Capture) -> None:
    assert "still running" in ok(capsys, "record")
    mark_all(carried)
    assert re.search(r"^ *1 +2026-\S+ \S+ +First small day.* complete$", ok(capsys, "record"), re.M)
    text = ok(capsys, "record", "1")
    assert text == ok(capsys, "record", "last")
    assert "14 tins planned: 13 packed, 1 scrapped, none left over" in text
    assert "Scrapped: 1 tin of tray 1, because: cracked" in text
    data = json.loads(ok(capsys, "record", "1", "--json"))
    assert data == json.loads(ok(capsys, "record", "last", "--json"))
    assert data["state"] == "complete"
    assert data["totals"] == {"planned": 14, "packed": 13, "scrapped": 1, "left_over": 0}
    assert len(data["marks"]) == len(carried._session.marks)


def test_all_runs_are_listed_and_no_column_is_cut_in_a_pipe(
    run: Callable[..., subprocess.CompletedProcess[bytes]], tmp_path: Path
) -> None:
    book = BenchBook.open(tmp_path)
    name = "A market that goes on for two days with a very long name indeed, " * 2
    for _ in range(130):
        book.start_run(name, "", datetime(2026, 12, 5, 9, tzinfo=UTC), "", "")
    book.close()
    listed = run("record").stdout.decode().splitlines()
    assert sum(name in line for line in listed) == 130
    assert listed[-1] == "130 runs. `benchplan record 130` reads run 130 back."


def test_a_correction_is_kept_beside_what_it_corrects(carried: Carrier, capsys: Capture) -> None:
    mark_all(carried)
    mark = number_of(carried, "scrapped")
    words = ["record", "1", "--correct", mark, "amount", "3", "--why", "two more had cracked"]
    said = ok(capsys, *words)
    assert f"Run 1, mark {mark}: " in said
    assert "amount 1 tin, corrected to 3 tins, because: two more had cracked" in said
    data = json.loads(ok(capsys, "record", "1", "--json"))
    assert data["totals"]["scrapped"] == 3
    (correction,) = data["corrections"]
    assert (correction["old"], correction["new"]) == ("1", "3")
    assert "is that already" in refused(capsys, *words)
    ok(capsys, "record", "last", "--correct", mark, "stands", "no", "--why", "the tray before")
    data = json.loads(ok(capsys, "record", "1", "--json"))
    assert data["totals"]["scrapped"] == 0
    assert [each["correction"] for each in data["corrections"]] == [1, 2]
    assert "amount 1 tin, corrected to 3 tins" in ok(capsys, "record", "1")
    book = BenchBook.open()
    assert [each.amount for each in book.marks(1) if each.what == "scrapped"] == [1.0]
    book.close()


def test_people_get_names_also_while_the_run_is_on(carried: Carrier, capsys: Capture) -> None:
    state = carried._session.state()
    assert state is not None
    assert state.cards[0].action is not None
    carried.done(state.cards[0].action, 1)
    assert "person 1 is Rui" in ok(capsys, "record", "1", "--name", "1", "Rui")
    assert "By Rui." in ok(capsys, "record", "1")
    assert "is Rui already" in refused(capsys, "record", "1", "--name", "1", "Rui")
    assert "is not over" in refused(
        capsys, "record", "1", "--correct", "1", "note", "x", "--why", "y"
    )


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["7"], ["no run 7"]),
        (["first"], ["first", "`benchplan record`"]),
        (["-1"], ["--help"]),
        (["9" * 30], ["is no run"]),
        (["--json"], ["which run"]),
        (["--correct", "1", "note", "x", "--why", "y"], ["which run"]),
        (["--name", "1", "Rui"], ["which run"]),
        (["1", "--why", "because"], ["--correct"]),
        (["1", "--correct", "1", "note"], ["--correct", "--help"]),
        (["1", "--correct", "one", "note", "x", "--why", "y"], ["one", "number of a mark"]),
        (["1", "--correct", "99", "note", "x", "--why", "y"], ["no mark 99"]),
        (["1", "--correct", "1", "colour", "x", "--why", "y"], ["colour", "time, person"]),
        (["1", "--correct", "1", "note", "x"], ["--why"]),
        (["1", "--name", "me", "Rui"], ["me", "person"]),
        (["1", "--name", "5", "Rui"], ["person 5"]),
        (["1", "--json", "--name", "1", "Rui"], ["--name", "--json"]),
    ],
)
def test_what_cannot_be_done_to_a_record_is_said(
    carried: Carrier, capsys: Capture, arguments: list[str], words: list[str]
) -> None:
    carried.mark("hold")
    book = BenchBook.open()
    book.end_run(1, "stopped", 10)
    book.close()
    said = refused(capsys, "record", *arguments)
    assert all(word in said for word in words), said
