"""The maker's own settings: what is wrong in them stops nothing, and writing keeps every remark."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchplan.errors import BenchplanError
from benchplan.files.settings import confirm, read_settings, settings_path, take_over
from benchplan.keys import ACTIONS, keys_named
from benchplan.model import Settings


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file of settings, in a folder that is not there yet."""
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "settings.toml"


def write(path: Path, text: str) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")


def test_without_a_file_there_is_nothing_to_say(path: Path) -> None:
    assert read_settings() == (Settings(), ())
    assert settings_path() == str(path)
    assert not path.parent.exists()


@pytest.mark.parametrize(
    ("text", "line", "key", "what", "cure"),
    [
        ("[bench]\nalarm_command = 7", 2, "bench.alarm_command", "is 7", "alarm_command = ["),
        ("bench = 3", 1, "bench", "a table is needed", "[bench]"),
        ("[bench]\nalarm_comand = 'a'", 2, "bench.alarm_comand", "not known", "alarm_command"),
        ("[kyes]\ndone = 'f5'", 1, "kyes", "not known", '"keys"'),
        ("[keys]\ndone = 'f99'", 2, "keys.done", "no such key", "f12"),
        ("[keys]\n\ndone = 'space'", 3, "keys.done", "so is tick", "another key"),
        ("[confirmed]\nab12 = 4", 2, "confirmed.ab12", "is 4", "Delete"),
        ("confirmed = 4", 1, "confirmed", "is 4", "Delete"),
        ("[bench\n", 1, "", "not TOML", ""),
    ],
)
def test_what_is_wrong_is_said_with_its_place_and_counts_as_not_written(
    path: Path, text: str, line: int, key: str, what: str, cure: str
) -> None:
    write(path, text)
    settings, (problem,) = read_settings()
    assert settings == Settings()
    assert (problem.file, problem.line, problem.key) == (str(path), line, key)
    assert what in problem.what
    assert cure in problem.cure


def test_a_slip_in_one_key_leaves_the_others(path: Path) -> None:
    write(path, '[bench]\nalarm_command = "ring it"\n[keys]\ndone = "any"\ntick = "k"\n')
    settings, problems = read_settings()
    assert settings == Settings(("ring", "it"), {"tick": ("k", "K")})
    assert [each.key for each in problems] == ["keys.done"]


def test_a_folder_in_its_place_is_a_sentence(path: Path) -> None:
    path.mkdir(parents=True)
    settings, (problem,) = read_settings()
    assert settings == Settings()
    assert "folder" in problem.what


def test_a_data_folder_of_nobody_holds_no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHPLAN_HOME", "~nosuchuser-of-benchplan/x")
    assert read_settings() == (Settings(), ())
    with pytest.raises(BenchplanError, match="no such user"):
        take_over(Settings(("play",)))


def test_taking_over_keeps_remarks_and_what_was_there(path: Path) -> None:
    write(path, '# mine\n[keys]   # under my thumb\ndone = "f5"  # worn out\nhelp = "f1"\n')
    taken = take_over(Settings(("play", 'a "b".wav', "ü"), {"done": ("f7",), "tick": ("k", "K")}))
    assert taken == read_settings()[0]
    assert taken.alarm_command == ("play", 'a "b".wav', "ü")
    assert taken.keys == {"done": ("f7",), "help": ("f1",), "tick": ("k", "K")}
    text = path.read_text(encoding="utf-8")
    assert all(words in text for words in ("# mine", "# under my thumb"))
    confirm({"ab12": "Recipe plain bakes hot."})
    assert read_settings()[0].confirmed == {"ab12": "Recipe plain bakes hot."}
    assert read_settings()[0].alarm_command == taken.alarm_command


def test_every_key_comes_back_as_it_was_taken_over(path: Path) -> None:
    for action in ACTIONS:
        named = tuple(key for key in action.keys if keys_named(key))
        if named:
            write(path, "")
            assert take_over(Settings((), {action.name: named})).keys[action.name] == named


def test_keys_that_clash_with_ones_own_are_refused(path: Path) -> None:
    write(path, '[keys]\ndone = "f5"\n')
    with pytest.raises(BenchplanError, match="so is done"):
        take_over(Settings((), {"tick": ("f5",)}))
    assert path.read_text(encoding="utf-8") == '[keys]\ndone = "f5"\n'


def test_settings_that_are_no_toml_are_not_written_over(path: Path) -> None:
    write(path, "[keys\n")
    with pytest.raises(BenchplanError, match="not TOML"):
        confirm({"ab12": "so"})
    assert path.read_text(encoding="utf-8") == "[keys\n"


@pytest.mark.skipif(getattr(os, "geteuid", int)() == 0, reason="root may write everywhere")
def test_a_locked_folder_is_a_sentence(path: Path) -> None:
    path.parent.mkdir()
    path.parent.chmod(0o500)
    with pytest.raises(BenchplanError, match="You may not write"):
        confirm({"ab12": "so"})
