"""The verb settings, and what check says of what a file asks for."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.files.settings import read_settings

Capture = pytest.CaptureFixture[str]
SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
LONG = "x" * 950


@pytest.fixture
def asking(tmp_path: Path) -> Path:
    """A day that asks for a command with a long word, and a key that its kit renames."""
    (tmp_path / "kit.toml").write_text('format = 1\n[keys]\ntick = "k"\n')
    text = SAMPLE.read_text(encoding="utf-8").replace(
        "format = 1", 'format = 1\nkit = "kit.toml"', 1
    )
    path = tmp_path / "day.toml"
    path.write_text(f'{text}\n[bench]\nalarm_command = ["rm", "-rf", "{LONG}"]\n', encoding="utf-8")
    return path


def answer(monkeypatch: pytest.MonkeyPatch, words: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(words))


def test_check_says_all_that_is_asked_for_and_how_to_take_it_over(
    asking: Path, capsys: Capture
) -> None:
    assert cli.main(["check", str(asking)]) == 0
    said = capsys.readouterr().out
    assert f'"{LONG}"' in said
    assert '"rm"' in said
    assert "tick: K (usually Space)" in said
    assert "benchplan settings --take FILE" in said
    assert said.index(LONG) < said.index("WHAT FITS") < said.index("Next:")
    assert read_settings()[0].empty


@pytest.mark.parametrize("typed", ["", "\n", "no\n", "yess\n"])
def test_nothing_is_taken_over_without_a_yes(
    asking: Path, typed: str, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    answer(monkeypatch, typed)
    assert cli.main(["settings", "--take", str(asking)]) == 0
    assert "Nothing was taken over." in capsys.readouterr().out
    assert read_settings()[0].empty


def test_yes_takes_over_what_was_shown(
    asking: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    answer(monkeypatch, "yes\n")
    assert cli.main(["settings", "--take", str(asking)]) == 0
    said = capsys.readouterr().out
    assert said.index(f'"{LONG}"') < said.index("Type yes")
    assert read_settings()[0].alarm_command == ("rm", "-rf", LONG)
    assert read_settings()[0].keys == {"tick": ("k", "K")}
    assert cli.main(["check", str(asking)]) == 0
    assert "IGNORED" not in capsys.readouterr().out
    assert cli.main(["settings", "--take", str(asking)]) == 0
    assert "asks for nothing" in capsys.readouterr().out
    assert cli.main(["settings"]) == 0
    said = capsys.readouterr().out
    assert os.environ["BENCHPLAN_HOME"] in said
    assert f'"{LONG}"' in said


@pytest.mark.parametrize("verb", ["check", "plan", "fit", "settings", "record"])
def test_bad_settings_stop_no_verb(verb: str, capsys: Capture) -> None:
    (Path(os.environ["BENCHPLAN_HOME"]) / "settings.toml").write_text("[keys]\ndone = 4\n")
    assert cli.main([verb, str(SAMPLE)] if verb in ("check", "plan", "fit") else [verb]) == 0
    said = capsys.readouterr().err
    assert ("settings.toml:2: keys.done" in said) == (verb in ("check", "settings"))


def test_a_file_that_cannot_be_read_is_named(capsys: Capture) -> None:
    assert cli.main(["settings", "--take", "nowhere.toml"]) == 2
    assert "nowhere.toml" in capsys.readouterr().err
