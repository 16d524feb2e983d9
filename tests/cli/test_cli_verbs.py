"""What each verb prints and returns, and what it says to what it cannot use."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import benchplan
from benchplan import cli
from benchplan.cli import running
from benchplan.cli.parser import VERBS
from benchplan.clock import AnchoredClock, FastClock
from benchplan.files.samples import sample_paths
from benchplan.home.log_file import log_path

Capture = pytest.CaptureFixture[str]
OF_A_FILE = ("open", "check", "plan", "fit", "test-bake")


@pytest.fixture(autouse=True)
def no_keyboard(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test starts the screens by chance, even when the tests run in a terminal."""
    monkeypatch.setattr(sys, "stdin", io.StringIO())


def test_help_shows_every_verb_and_an_example(capsys: Capture) -> None:
    assert cli.main(["--help"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert all(f"benchplan {verb} " in said.out for verb in VERBS)
    assert all(f"benchplan {verb} FILE" in said.out for verb in OF_A_FILE)
    assert all(len(line) < 80 for line in said.out.splitlines())
    assert "example:" in said.out


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_has_help_with_an_example_that_exists(verb: str, capsys: Capture) -> None:
    assert cli.main([verb, "--help"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"usage: benchplan {verb} ")
    example = out.split("example:\n", 1)[1].split()
    assert example[:2] == ["benchplan", verb]
    if verb in OF_A_FILE:
        assert (Path(benchplan.__file__).parents[1] / example[2]).is_file()
    assert all(len(line) < 80 for line in out.splitlines())


def test_version(capsys: Capture) -> None:
    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out == f"benchplan {benchplan.__version__}\n"


def test_check_says_what_it_found(sample: str, capsys: Capture) -> None:
    assert cli.main(["check", sample]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert "wide low on pan long: 7 fit" in said.out
    assert "Nothing here stands in the way." in said.out


def test_plan_as_text_and_as_json_tell_the_same(sample: str, capsys: Capture) -> None:
    assert cli.main(["plan", sample]) == 0
    text = capsys.readouterr().out
    assert cli.main(["plan", "--json", sample]) == 0
    data = json.loads(capsys.readouterr().out)
    assert f"14 tins on {len(data['trays'])} trays" in text
    assert sum(tray["tins"] for tray in data["trays"]) == 14
    assert data["finish_s"] == max(step["parts"][-1][1] for step in data["steps"])


def test_fit_as_text_and_as_json_tell_the_same(sample: str, capsys: Capture) -> None:
    assert cli.main(["fit", sample]) == 0
    text = capsys.readouterr().out
    assert cli.main(["fit", sample, "--json"]) == 0
    fits = json.loads(capsys.readouterr().out)["fits"]
    assert [fit["what"] for fit in fits] == ["tins on pan", "pans on shelf", "tins on mat"]
    for fit in fits:
        assert len(fit["at_mm"]) == fit["count"]
        assert f"{fit['count']} fit" in text


def test_a_day_that_cannot_be_done_is_exit_1(impossible: str, capsys: Capture) -> None:
    assert cli.main(["plan", impossible]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "wide low" in said.err
    assert "countertop" in said.err

    assert cli.main(["plan", impossible, "--json"]) == 1
    said = capsys.readouterr()
    data = json.loads(said.out)
    assert set(data) == {"format", "name", "cannot"}
    assert all(reason in said.err for reason in data["cannot"])

    assert cli.main(["check", impossible]) == 1
    said = capsys.readouterr()
    assert "Nothing here stands in the way" not in said.out
    assert all(reason in said.err for reason in data["cannot"])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["chek", "x.toml"], ["chek", "`benchplan check`"]),
        (["bake"], ["bake", "open, run, check, plan, fit, record, backup, test-bake and settings"]),
        (["plan"], ["FILE", "--help"]),
        (["plan", "a", "b"], ["b", "--help"]),
        (["plan", "--jsn", "a"], ["--jsn", "--help"]),
        (["check", "--json", "a"], ["--json"]),
        (["--speed", "60"], ["--speed", "--help"]),
        (["--", "plan"], ["--help"]),
        (["open", "a", "--speed"], ["--speed"]),
        (["open", "a", "--speed", "fast"], ["fast", "60"]),
        (["open", "a", "--speed", "0"], ["0", "60"]),
        (["open", "a", "--speed", "-5"], ["-5"]),
        (["open", "a", "--speed", "nan"], ["nan"]),
        (["open", "a", "--speed", "inf"], ["inf"]),
        ([""], ["verbs"]),
    ],
)
def test_what_is_not_a_command(arguments: list[str], words: list[str], capsys: Capture) -> None:
    assert cli.main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert all(word in said.err for word in words), said.err
    assert "Traceback" not in said.err


def test_a_file_without_a_verb_is_answered_with_the_verb(sample: str, capsys: Capture) -> None:
    assert cli.main([sample]) == 2
    assert f"`benchplan open {sample}`" in capsys.readouterr().err


BAD_FILES = {
    "empty.toml": b"",
    "binary.toml": bytes(range(256)) * 8,
    "latin.toml": "name = 'Fête'".encode("latin-1"),
    "open.toml": b"[day\n",
    "list.toml": b"[" * 100_000,
    "other.toml": b"a = 1\n",
    "wrong.toml": b'format = "one"\nday = 3\norders = {}\nrecipes = []\npans = 1.5\n',
    "later.toml": b"format = 2\n",
    "kit.toml": b'kit = "nowhere.toml"\nformat = 1\n',
    "loop.toml": b'kit = "loop.toml"\nformat = 1\n',
}


@pytest.mark.parametrize("verb", ["check", "plan", "fit"])
@pytest.mark.parametrize("name", BAD_FILES)
def test_bad_files_are_exit_2_and_named(
    verb: str, name: str, tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / name
    path.write_bytes(BAD_FILES[name])
    assert cli.main([verb, str(path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert name in said.err
    assert "Traceback" not in said.err
    assert "Internal error" not in said.err


@pytest.mark.parametrize("verb", OF_A_FILE)
@pytest.mark.parametrize("name", ["", ".", "nowhere.toml", "a\0b", "x" * 5000, "no/such/x.toml"])
def test_paths_that_are_no_file(verb: str, name: str, tmp_path: Path, capsys: Capture) -> None:
    path = name if "\0" in name else str(tmp_path / name)
    assert cli.main([verb, path]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.strip()
    assert "Internal error" not in said.err


def test_stopping_by_hand(sample: str, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("benchplan.planner.plan_day", interrupted)
    assert cli.main(["plan", sample]) == 130
    assert capsys.readouterr().err == "Stopped.\n"


def test_a_fault_of_the_program_is_a_sentence(
    sample: str, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("out of cheese")

    monkeypatch.setattr("benchplan.planner.plan_day", broken)
    assert cli.main(["plan", sample]) == 2
    err = capsys.readouterr().err
    assert "not your fault" in err
    assert "RuntimeError: out of cheese (test_cli_verbs.py, line" in err
    assert "benchplan.log" in err
    assert len(err.splitlines()) == 1
    log = log_path().read_text(encoding="utf-8")
    assert "Traceback" in log
    assert log.endswith("RuntimeError: out of cheese\n")
    monkeypatch.setenv("BENCHPLAN_DEBUG", "1")
    assert cli.main(["plan", sample]) == 2
    assert capsys.readouterr().err.endswith("RuntimeError: out of cheese\n")


def test_the_clock_is_made_here(sample: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[object, float, object]] = []
    more: list[tuple[str, int | None]] = []

    def run_app(path: object, speed: float, clock: object, *, first: str, seed: int | None) -> int:
        asked.append((path, speed, clock))
        more.append((first, seed))
        return 0

    monkeypatch.setitem(sys.modules, "benchplan.screens.app", SimpleNamespace(run_app=run_app))
    monkeypatch.setattr(running, "need_a_terminal", lambda path: None)
    assert cli.main(["open", sample, "--speed", "60"]) == 0
    assert cli.main(["open", sample]) == 0
    assert cli.main([]) == 0
    assert cli.main(["run", sample]) == 0
    assert cli.main(["run", sample, "--clumsy", "7"]) == 0
    assert more[-2:] == [("bench", None), ("bench", 7)]
    assert [each[1] for each in asked[-2:]] == [1.0, 60.0]
    (path, speed, clock), real, start, *_ = asked
    assert (path, speed) == (Path(sample), 60.0)
    assert isinstance(clock, FastClock)
    assert clock.speed == 60.0
    assert isinstance(real[2], AnchoredClock)
    assert start[:2] == (None, 1.0)
    assert isinstance(start[2], AnchoredClock)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.one_of(
            st.sampled_from(
                [*VERBS, "--json", "--help", "--version", "--speed", "60", "-h", "--", "-", "."]
            ),
            st.text(max_size=8),
        ),
        max_size=5,
    )
)
def test_whatever_is_typed_ends_in_an_exit_code(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(arguments) in (0, 1, 2)


def test_what_the_planner_refuses_has_its_file_and_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = next(path for path in sample_paths() if path.stem == "first_tray").read_text("utf-8")
    lines = text.splitlines()
    line = next(at for at, each in enumerate(lines) if each.startswith("[pans.long]")) + 1
    lines.insert(line, 'tins = { "wide low" = 40 }')
    path = tmp_path / "day.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    for verb in ("check", "plan", "fit"):
        assert cli.main([verb, str(path)]) == 2
        said = capsys.readouterr().err
        assert f'{path}:{line + 1}: pans.long.tins."wide low": 40 wide low tins' in said
        assert " mm" not in said
