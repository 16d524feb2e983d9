"""Two windows on one run: one token holds it, the other follows, and a crash locks nobody out."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchplan.book import BenchBook, HeldElsewhereError
from benchplan.book.window import Window
from benchplan.model import Action, Mark, Run

START = datetime(2026, 12, 5, 9, tzinfo=UTC)
DONE = Mark("done", 190, 200, Action("fill", (3,)))

HOLDER = """
import sys
from pathlib import Path
from benchplan.book import BenchBook
book = BenchBook.open(Path(sys.argv[1]))
book.hold(1, "theirs")
print("held", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def windows(tmp_path: Path) -> Iterator[tuple[BenchBook, BenchBook, Run]]:
    """Two open books and a run that the first one holds as "one"."""
    one, two = BenchBook.open(tmp_path), BenchBook.open(tmp_path)
    run = one.start_run("Fair", "fair.toml", START, "day", "plan", token="one")
    yield one, two, run
    one.close()
    two.close()


Windows = tuple[BenchBook, BenchBook, Run]


def locks(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.glob("window-*"))


def test_only_the_holder_adds_marks_and_ends_the_run(windows: Windows) -> None:
    one, two, run = windows
    assert one.add_mark(run, DONE, "one").number == 1
    for refused in (
        lambda: two.add_mark(run, DONE, "two"),
        lambda: two.end_run(run, "stopped", 1, "two"),
    ):
        with pytest.raises(HeldElsewhereError, match="Another window carries this run"):
            refused()
    two.hold(run, "two")
    assert two.add_mark(run, DONE, "two").number == 2
    with pytest.raises(HeldElsewhereError):
        one.add_mark(run, DONE, "one")
    assert one.run(run.number).state == "running"
    assert len(one.marks(run)) == 2
    one.hold(run, "one")
    assert one.add_mark(run, DONE, "one").number == 3
    assert one.holder(run) == two.holder(run) == "one"


def test_other_runs_are_not_concerned(windows: Windows) -> None:
    one, two, _ = windows
    other = two.start_run("Other", "other.toml", START, "day", "plan", token="two")
    assert two.add_mark(other, DONE, "two").number == 1
    with pytest.raises(HeldElsewhereError):
        one.add_mark(other, DONE, "one")


def test_who_follows_reads_only_what_is_new(windows: Windows) -> None:
    one, two, run = windows
    two.changed_elsewhere()
    assert not two.changed_elsewhere()
    kept = [one.add_mark(run, DONE, "one") for _ in range(3)]
    assert two.changed_elsewhere()
    assert not two.changed_elsewhere()
    assert two.marks_since(run, 1) == tuple(kept[1:])
    assert two.marks_since(run, 3) == ()
    one.changed_elsewhere()
    one.add_mark(run, DONE, "one")
    assert not one.changed_elsewhere(), "what it writes itself is no news"


def test_a_window_that_is_closed_holds_nothing(windows: Windows, tmp_path: Path) -> None:
    one, two, run = windows
    assert two.held_elsewhere(run, "two")
    assert not one.held_elsewhere(run, "one")
    assert locks(tmp_path) == ["window-one.lock"]
    one.close()
    assert two.holder(run) == ""
    assert not two.held_elsewhere(run, "two")
    assert locks(tmp_path) == []


def test_a_window_that_was_killed_holds_its_run_for_nobody(
    windows: Windows, tmp_path: Path
) -> None:
    _, two, run = windows
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        assert two.held_elsewhere(run, "two"), "it lives"
        other.kill()
    assert two.holder(run) == "theirs"
    assert locks(tmp_path) == ["window-one.lock", "window-theirs.lock"]
    assert not two.held_elsewhere(run, "two")
    two.hold(run, "two")
    assert two.add_mark(run, DONE, "two").number == 1
    assert locks(tmp_path) == ["window-one.lock", "window-two.lock"]


def test_without_locks_a_window_counts_as_closed(tmp_path: Path) -> None:
    (tmp_path / "window-a.lock").mkdir()
    with closing(Window(tmp_path, "a")) as window:
        window.show()
        assert not window.is_open()
    assert not Window(tmp_path / "nowhere", "b").is_open()


@pytest.mark.parametrize("token", ["", "../up", "a/b", "x" * 65])
def test_a_token_is_part_of_a_files_name(tmp_path: Path, token: str) -> None:
    with pytest.raises(ValueError, match="no token"):
        Window(tmp_path, token)
