"""What cannot be read is refused at once, and nothing that is printed can steer a terminal."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.book import BenchBook

Capture = pytest.CaptureFixture[str]
Run = Callable[..., "subprocess.CompletedProcess[bytes]"]
OF_A_FILE = (["check"], ["plan"], ["fit"], ["open"], ["run"], ["run", "--plain"], ["test-bake"])
EVIL = "\x1b]0;evil\x07\x1b[31mred\x9b2J\u202e"


def pipe(path: Path) -> None:
    os.mkfifo(path)


def device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def listening(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as end:
        end.bind(str(path))


@pytest.fixture
def short() -> Iterator[Path]:
    """A folder with a short path: a socket's is limited."""
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


@pytest.mark.parametrize(
    ("make", "what"),
    [(pipe, "a pipe"), (device, "a device"), (listening, "a socket"), (Path.mkdir, "a folder")],
)
@pytest.mark.parametrize("verb", OF_A_FILE, ids=" ".join)
def test_what_is_no_file_is_refused_at_once(
    short: Path, make: Callable[[Path], None], what: str, verb: list[str], capsys: Capture
) -> None:
    path = short / "day.toml"
    make(path)
    assert cli.main([verb[0], str(path), *verb[1:]]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"{path}: This is {what}")
    assert len(said.err.splitlines()) == 1


@pytest.mark.parametrize(("make", "what"), [(pipe, "a pipe"), (device, "a device")])
def test_a_kit_that_is_no_file_is_refused_at_once(
    short: Path, sample: str, make: Callable[[Path], None], what: str, capsys: Capture
) -> None:
    make(short / "kit.toml")
    day = short / "day.toml"
    text = Path(sample).read_text(encoding="utf-8")
    day.write_text(text.replace("format = 1", 'format = 1\nkit = "kit.toml"'), encoding="utf-8")
    assert cli.main(["check", str(day)]) == 2
    assert f"This is {what}, not a file." in capsys.readouterr().err


WITHOUT_RIGHTS = """
import ctypes, os, sys
if os.geteuid() == 0:  # an administrator may read everything, until the right to is given away
    head, none = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
    assert ctypes.CDLL(None).capset(head, none) == 0  # capset(2), version 3
from benchplan import cli
sys.exit(cli.main(sys.argv[1:]))
"""


def without_rights(home: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", WITHOUT_RIGHTS, *arguments],
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
        env={**os.environ, "BENCHPLAN_HOME": str(home)},
    )


@pytest.mark.parametrize("verb", OF_A_FILE, ids=" ".join)
def test_a_file_in_a_closed_folder_says_which_folder(
    short: Path, sample: str, verb: list[str]
) -> None:
    short.chmod(0o755)
    closed = short / "closed"
    (closed / "below").mkdir(parents=True)
    path = closed / "below" / "day.toml"
    shutil.copy(sample, path)
    closed.chmod(0)
    done = without_rights(short / "home", verb[0], str(path), *verb[1:])
    closed.chmod(0o755)
    assert done.returncode == 2
    assert done.stderr == f"{path}: Permission denied. Change who may read the folder {closed}.\n"


def test_a_home_in_a_closed_folder_stops_only_what_needs_the_book(short: Path, sample: str) -> None:
    short.chmod(0o755)
    closed = short / "closed"
    closed.mkdir()
    day = short / "day.toml"
    shutil.copy(sample, day)
    closed.chmod(0)
    plan = without_rights(closed / "home", "plan", str(day))
    record = without_rights(closed / "home", "record")
    drawn = without_rights(closed / "home", "plan", str(day), "--svg", str(closed / "day.svg"))
    closed.chmod(0o755)
    assert (plan.returncode, plan.stderr) == (0, "")
    assert record.returncode == drawn.returncode == 2
    assert f"folder {closed / 'home'} cannot be made" in record.stderr
    assert "You may not write" in drawn.stderr
    assert "could not be written" not in record.stderr + drawn.stderr


@pytest.mark.parametrize(
    "line",
    [
        "name = " + "x" * 200_000,
        "x" * 200_000 + ' = "' + "y" * 200_000 + '"',
        "x" * 200_000,
        '["' + "x" * 200_000 + '"]\n["' + "x" * 200_000 + '"]',
        'name = "' + "x" * 200_000 + '"',
    ],
)
def test_a_line_without_end_is_not_echoed_whole(tmp_path: Path, line: str, capsys: Capture) -> None:
    day = tmp_path / "day.toml"
    day.write_text(f"{line}\n", encoding="utf-8")
    assert cli.main(["check", str(day)]) == 2
    err = capsys.readouterr().err
    assert "day.toml:" in err
    assert max(map(len, err.splitlines())) < 1500


def harmless(said: bytes) -> str:
    """Return what was printed; no character of it steers a terminal."""
    text = said.decode("utf-8")
    assert all(each.isprintable() or each in "\n\u00a0" for each in text), repr(text)
    return text


def test_file_names_steer_no_terminal(tmp_path: Path, sample: str, run: Run) -> None:
    day = tmp_path / f"day{EVIL}.toml"
    for verb in OF_A_FILE:
        done = run(verb[0], str(day), *verb[1:])
        assert "There is no such file" in harmless(done.stderr)
    shutil.copy(sample, day)
    for verb in ("check", "plan", "fit", "test-bake"):
        assert harmless(run(verb, str(day)).stdout)
    for words in (
        ["plan", str(day), "--svg", str(tmp_path / f"{EVIL}.svg")],
        [EVIL],
        ["record", EVIL],
    ):
        done = run(*words)
        harmless(done.stdout + done.stderr)


def test_what_is_typed_reaches_neither_terminal_nor_record_raw(
    tmp_path: Path, sample: str, run: Run
) -> None:
    day = tmp_path / f"day{EVIL}.toml"
    shutil.copy(sample, day)
    typed = ["start", f"scrap 1 of 1 {EVIL}", f"{EVIL} what", f"late 5 {EVIL}", f"hold {EVIL}"]
    done = subprocess.run(
        [sys.executable, "-m", "benchplan", "run", str(day), "--plain", "--speed", "20"],
        input="\n".join([*typed, "leave", ""]).encode(),
        capture_output=True,
        check=False,
        env={**os.environ, "BENCHPLAN_HOME": str(tmp_path)},
    )
    assert "The run is on" in harmless(done.stdout)
    assert harmless(done.stderr) == ""
    book = BenchBook.open(tmp_path)
    notes = [mark.note for mark in book.marks(1) if mark.note]
    book.close()
    assert any("evil" in note for note in notes)
    assert all(note.isprintable() for note in notes)
    for words in ([], ["1"], ["last", "--json"]):
        assert "day" in harmless(run("record", *words).stdout)
