"""The verb run, line by line as a real process: typed words, a clumsy maker, a dumb terminal."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.book import BenchBook

SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"


def told(home: Path, *arguments: str, typed: str = "", term: str = "xterm") -> tuple[int, str, str]:
    env = {**os.environ, "BENCHPLAN_HOME": str(home), "TERM": term}
    found = subprocess.run(
        [sys.executable, "-m", "benchplan", "run", str(SAMPLE), *arguments],
        input=typed,
        capture_output=True,
        text=True,
        env=env,
        timeout=120,
        check=False,
    )
    return found.returncode, found.stdout, found.stderr


def test_a_run_is_told_and_steered_line_by_line(tmp_path: Path) -> None:
    code, said, wrong = told(tmp_path, "--plain", typed="start\nyes\nhold\non\nskip busy\nleave\n")
    assert (code, wrong) == (0, "")
    lines = said.splitlines()
    assert any(line.startswith("start begins the re") for line in lines)
    assert "Held. The oven does not wait. Type on to go on." in lines
    assert lines[-1] == "Left. The run stays in the book: the same command goes on with it."
    with_marks = BenchBook.open(tmp_path)
    (run,) = with_marks.runs()
    assert [mark.what for mark in with_marks.marks(run)][:2] == ["hold", "go on"]
    with_marks.close()
    again = told(tmp_path, "--plain", typed="on\nleave\n")[1]
    assert "has not ended" in again


def test_a_terminal_that_cannot_place_text_is_told_the_same(tmp_path: Path) -> None:
    code, said, wrong = told(tmp_path, typed="leave\n", term="dumb")
    assert code == 0
    assert "told line by line" in wrong
    assert "start begins the re" in said


def test_a_clumsy_maker_plays_the_day_to_its_end(tmp_path: Path) -> None:
    ours, theirs = os.pipe()  # nobody types, and nobody hangs up
    command = [sys.executable, "-m", "benchplan", "run", str(SAMPLE), "--plain", "--clumsy", "3"]
    found = subprocess.run(
        [*command, "--speed", "3600"],
        stdin=ours,
        capture_output=True,
        text=True,
        env={**os.environ, "BENCHPLAN_HOME": str(tmp_path)},
        timeout=120,
        check=False,
    )
    os.close(ours)
    os.close(theirs)
    said = found.stdout
    assert (found.returncode, found.stderr) == (0, "")
    assert re.search(r"^The day is done at ", said, re.MULTILINE)
    assert re.search(r"^The maker: Done", said, re.MULTILINE)


def test_a_clumsy_maker_begins_no_real_run(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["run", str(SAMPLE), "--plain", "--clumsy", "3", "--speed", "1"]) == 2
    assert "A clumsy maker only rehearses." in capsys.readouterr().err


def test_a_seed_is_a_whole_number(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["run", str(SAMPLE), "--clumsy", "seven"]) == 2
    assert '"seven" is no whole number' in capsys.readouterr().err
