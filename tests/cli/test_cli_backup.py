"""``benchplan backup``: a whole copy, also while the book is in use, that a run goes on from."""

from __future__ import annotations

import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.book import BenchBook
from benchplan.book.connection import FILE
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.files import read_plan
from benchplan.planner import plan_day

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def refused(capsys: Capture, path: Path | str) -> str:
    assert cli.main(["backup", str(path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def window(file: Path, clock: ManualClock) -> tuple[Carrier, Session]:
    plan_file = read_plan(file)
    session = Session(clock)
    carrier = Carrier(session)
    session.open_file(plan_file)
    session.planned(plan_file.day, plan_day(plan_file.day))
    carrier.look_for_unfinished()
    return carrier, session


def test_a_run_goes_on_from_the_copy_on_another_machine(
    sample: str, tmp_path: Path, home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    here, there = tmp_path / "here" / "day.toml", tmp_path / "there" / "day.toml"
    here.parent.mkdir()
    shutil.copy(sample, here)
    clock = ManualClock(read_plan(here).day.start)
    carrier, session = window(here, clock)
    carrier.begin()
    state = session.state()
    assert state is not None
    assert state.cards[0].action is not None
    clock.move(60)
    carrier.done(state.cards[0].action, 1)
    copy = tmp_path / "stick.sqlite"
    assert cli.main(["backup", str(copy)]) == 0, "while the run is on"
    assert capsys.readouterr().out.startswith(f"{copy}\n")
    carrier.close()

    here.parent.rename(there.parent)
    other = tmp_path / "other home"
    other.mkdir()
    shutil.copy(copy, other / FILE)
    monkeypatch.setenv("BENCHPLAN_HOME", str(other))
    clock.move(60)
    second, again = window(there, clock)
    assert again.offer is not None
    second.go_on(*again.offer)
    assert again.marks == session.marks
    assert again.now_s() == 120
    assert not again.following, "the window of the other machine is none of this one's"
    assert second.mark("hold")
    assert len(second.book.marks(1)) == 2
    second.close()
    book = BenchBook.open(home)
    assert len(book.marks(1)) == 1, "the old book is as it was"
    book.close()


def test_into_a_folder_the_copy_has_a_dated_name(
    tmp_path: Path, home: Path, capsys: Capture
) -> None:
    BenchBook.open(home).close()
    folder = tmp_path / "copies"
    folder.mkdir()
    assert cli.main(["backup", str(folder)]) == 0
    (made,) = folder.iterdir()
    assert re.fullmatch(r"bench_book_\d{4}-\d\d-\d\d_\d{6}\.sqlite", made.name)
    said = capsys.readouterr().out
    assert said.startswith(f"{made}\n")
    assert str(home / FILE) in said
    with closing(sqlite3.connect(made)) as copy:
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_what_is_there_is_never_written_over(tmp_path: Path, home: Path, capsys: Capture) -> None:
    BenchBook.open(home).close()
    mine = tmp_path / "mine.txt"
    mine.write_text("mine", encoding="utf-8")
    assert "is there already" in refused(capsys, mine)
    assert mine.read_text(encoding="utf-8") == "mine"
    assert "is there already" in refused(capsys, home / FILE)
    assert "cannot be copied" in refused(capsys, tmp_path / "none" / "copy.sqlite")
    assert "a file or a folder has a name" in refused(capsys, "")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["home", "mine.txt"]


def test_without_a_book_there_is_nothing_to_copy(
    tmp_path: Path, home: Path, capsys: Capture
) -> None:
    assert f"no bench book in {home} yet" in refused(capsys, tmp_path / "copy.sqlite")
    assert not home.exists()
