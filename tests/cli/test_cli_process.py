"""The command as a process: closed pipes, full disks, other encodings, no terminal, few imports."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., "subprocess.CompletedProcess[bytes]"]
SCREENS = ("textual", "rich")


def test_a_reader_that_has_read_enough(sample: str) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "benchplan", "plan", sample],
        stdin=subprocess.DEVNULL,
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert done.returncode == 0
    assert done.stderr == b""


@pytest.mark.parametrize(
    ("where", "code"), [(">&-", 2), ("2>&-", 0), (">&- 2>&-", 2), ("<&-", 0), ("> /dev/full", 2)]
)
def test_streams_that_are_closed_or_full(sample: str, where: str, code: int) -> None:
    words = [sys.executable, "-m", "benchplan", "plan", sample]
    done = subprocess.run(
        ["/bin/sh", "-c", f'"$@" {where}', "sh", *words], capture_output=True, check=False
    )
    assert done.returncode == code
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr


def test_a_full_disk_is_said(sample: str) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "benchplan", "plan", sample],
            stdin=subprocess.DEVNULL,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 2
    assert b"could not be written" in done.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_terminals_with_few_letters(run: Run, sample: str, tmp_path: Path, encoding: str) -> None:
    named = tmp_path / "named.toml"
    text = Path(sample).read_text(encoding="utf-8")
    named.write_text(text.replace("Night garden", "Crème 冬"), encoding="utf-8")
    done = run("plan", str(named), PYTHONIOENCODING=encoding)
    assert done.returncode == 0
    assert "7 tins of Cr" in done.stdout.decode(encoding)
    done = run("check", str(tmp_path / "冬.toml"), PYTHONIOENCODING=encoding)
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


def test_a_file_name_that_is_not_text(run: Run, tmp_path: Path) -> None:
    done = run("check", os.fsdecode(os.fsencode(tmp_path) + b"/\xff\xfe.toml"))
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("arguments", [[], ["open", "SAMPLE"]])
def test_the_screens_need_a_terminal(run: Run, sample: str, arguments: list[str]) -> None:
    done = run(*(sample if word == "SAMPLE" else word for word in arguments))
    assert done.returncode == 2
    assert done.stdout == b""
    assert b"terminal" in done.stderr
    assert b"benchplan plan" in done.stderr


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"TERM": "dumb"}, b"TERM=dumb"),
        ({"TERM": "xterm", "PYTHONIOENCODING": "latin-1"}, b"PYTHONUTF8=1"),
    ],
)
def test_a_terminal_that_cannot_draw(sample: str, changes: dict[str, str], words: bytes) -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-m", "benchplan", "open", sample],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env={**os.environ, **changes},
        check=False,
    )
    os.close(theirs)
    said = os.read(ours, 10_000)
    os.close(ours)
    assert done.returncode == 2
    assert words in said
    assert b"benchplan plan" in said
    assert b"\x1b" not in said


@pytest.mark.parametrize(
    "verb", ["check", "plan", "fit", "record", "test-bake", "--help", "--version", "oops", "open"]
)
def test_no_verb_of_the_shell_loads_the_screens(sample: str, verb: str) -> None:
    program = (
        "import sys; from benchplan.cli import main; main(sys.argv[1:]); "
        f"print([name for name in sys.modules if name.split('.')[0] in {SCREENS}], file=sys.stderr)"
    )
    arguments = [verb, sample] if verb in ("check", "plan", "fit", "open", "test-bake") else [verb]
    if verb == "test-bake":
        arguments.append("--found")  # there is none, so that nothing is written beside the sample
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=True,
        text=True,
    )
    assert done.stderr.splitlines()[-1] == "[]"


def test_a_data_folder_of_nobody_stops_only_what_needs_it(sample: str, run: Run) -> None:
    for verb in ("check", "plan", "fit"):
        done = run(verb, sample, BENCHPLAN_HOME="~nosuchuser")
        assert (done.returncode, done.stderr) == (0, b""), done.stderr
    done = run("record", BENCHPLAN_HOME="~nosuchuser")
    assert done.returncode == 2
    assert b"BENCHPLAN_HOME is '~nosuchuser'" in done.stderr
    assert b"unset it" in done.stderr
    assert len(done.stderr.splitlines()) == 1
