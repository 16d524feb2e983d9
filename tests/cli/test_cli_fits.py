"""The verbs search for one tin more, keep what they find, and leave it on request."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.book import BenchBook
from benchplan.book.connection import FILE
from benchplan.errors import BenchplanError, Problem
from benchplan.files.samples import sample_paths
from benchplan.packing.search import usual_stop

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("benchplan.packing.usual_stop", usual_stop)
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def eleven(tmp_path: Path) -> str:
    """The first sample with tins of 76 mm and a pan on which rows leave one of eleven out."""
    new = {
        "diameter": '"76 mm"', "inside": '["318 mm", "243 mm"]', "outside": '["325 mm", "250 mm"]',
        "gap": '"8 mm"', "edge": '"0 mm"', "shelf": '["400 mm", "330 mm"]', "most_tins": "22",
    }  # fmt: skip
    lines = sample_paths()[0].read_text(encoding="utf-8").splitlines()
    keys = [line.split("=")[0].strip() for line in lines]
    changed = [
        f"{key} = {new[key]}" if key in new else line for key, line in zip(keys, lines, strict=True)
    ]
    path = tmp_path / "eleven.toml"
    path.write_text("\n".join(changed), encoding="utf-8")
    return str(path)


def on_pan(capsys: Capture, *arguments: str) -> tuple[int, str]:
    assert cli.main([*arguments, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["fits"][0]
    return found["count"], found["by"]


def test_fit_searches_and_keeps(eleven: str, home: Path, capsys: Capture) -> None:
    assert on_pan(capsys, "fit", eleven, "--quick") == (10, "rows")
    assert cli.main(["fit", eleven, "--json"]) == 0
    first = capsys.readouterr().out
    assert json.loads(first)["fits"][0]["count"] == 11
    book = BenchBook.open(home)
    assert len(book.known_fits()) == 1
    book.close()
    assert cli.main(["fit", eleven, "--json"]) == 0
    assert capsys.readouterr().out == first
    assert cli.main(["fit", eleven, "--json", "--quick"]) == 0
    assert capsys.readouterr().out == first, "known from before, to the last bit"


def test_plan_puts_eleven_on_a_tray(eleven: str, capsys: Capture) -> None:
    assert on_pan(capsys, "plan", eleven, "--quick") == (10, "rows")
    assert on_pan(capsys, "plan", eleven) == (11, "search")
    assert cli.main(["plan", eleven, "--json"]) == 0
    trays = json.loads(capsys.readouterr().out)["trays"]
    assert [tray["tins"] for tray in trays] in ([11, 3], [3, 11], [7, 7])


def test_check_searches_only_for_trays_that_are_asked_for(
    eleven: str, home: Path, capsys: Capture
) -> None:
    assert cli.main(["check", eleven]) == 0
    assert "10 fit" in capsys.readouterr().out
    text = Path(eleven).read_text(encoding="utf-8")
    order = '\n[[trays]]\nscent = "Night garden"\nrecipe = "standard"\ntins = 11\n'
    Path(eleven).write_text(text + order, encoding="utf-8")
    assert cli.main(["check", eleven]) == 0, capsys.readouterr().err
    assert "11 fit" in capsys.readouterr().out


def test_a_home_that_cannot_be_used_stops_no_verb(eleven: str, home: Path, capsys: Capture) -> None:
    home.write_text("a file where the folder should be", encoding="utf-8")
    assert on_pan(capsys, "fit", eleven) == (11, "search")
    assert on_pan(capsys, "plan", eleven) == (11, "search")
    assert cli.main(["check", eleven]) == 0


def test_a_book_that_is_spoiled_or_cannot_be_written_stops_no_verb(
    eleven: str, home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    home.mkdir()
    (home / FILE).write_bytes(b"no book at all" * 100)
    assert on_pan(capsys, "fit", eleven) == (11, "search")

    def refuse(*_: object) -> None:
        raise BenchplanError(
            Problem("The bench book cannot be written.", "Room on the disk would do.")
        )

    with BenchBook.open(home)._change() as book:
        book.execute("DELETE FROM fits")
    monkeypatch.setattr(BenchBook, "keep_fit", refuse)
    assert on_pan(capsys, "fit", eleven) == (11, "search")
    assert on_pan(capsys, "plan", eleven) == (11, "search")


def foreign(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE songs (title TEXT)")


def newer(path: Path) -> None:
    book = BenchBook.open(path.parent)
    book._ask("PRAGMA user_version = 99")
    book.close()


@pytest.mark.parametrize("spoil", [Path.mkdir, os.mkfifo, foreign, newer, Path.touch])
def test_whatever_lies_where_the_book_should_be_stops_no_verb(
    eleven: str, home: Path, capsys: Capture, spoil: Callable[[Path], object]
) -> None:
    home.mkdir()
    spoil(home / FILE)
    assert on_pan(capsys, "fit", eleven) == (11, "search")
    assert on_pan(capsys, "plan", eleven) == (11, "search")
    assert cli.main(["check", eleven]) == 0
    assert cli.main(["record"]) == (0 if spoil is Path.touch else 2)


def test_where_no_search_can_help_the_book_is_not_opened(
    home: Path, capsys: Capture, tmp_path: Path
) -> None:
    text = sample_paths()[0].read_text(encoding="utf-8")
    day = tmp_path / "tidy.toml"
    day.write_text(text.replace("inside =", 'pattern = "tidy"\ninside ='), encoding="utf-8")
    for verb in ("check", "plan", "fit"):
        assert cli.main([verb, str(day)]) == 0, capsys.readouterr().err
    assert not (home / FILE).exists()


def test_what_one_more_wins_is_said_when_asked(eleven: str, capsys: Capture) -> None:
    assert cli.main(["plan", eleven, "--quick", "--json"]) == 0
    assert "one_more" not in json.loads(capsys.readouterr().out)
    assert cli.main(["plan", eleven, "--quick", "--json", "--more"]) == 0
    plan = json.loads(capsys.readouterr().out)
    ends = [more["finish_s"] for more in plan["one_more"]]
    assert ends == sorted(ends)
    assert max(ends) <= plan["finish_s"]
    assert {"what": "pan", "kind": "long"}.items() <= plan["one_more"][0].items()
    assert cli.main(["plan", eleven, "--quick", "--more"]) == 0
    assert "One more long pan: finish" in capsys.readouterr().out
