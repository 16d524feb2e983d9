"""By plain lines: a stranger's command is ignored, and values past a limit are asked about."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from plain_world import BELL, SAMPLES, START, baking, told

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))
from limit_days import day_file

from benchplan.papers.cautions import DECIDES, SHORT


def settings() -> Path:
    return Path(os.environ["BENCHPLAN_HOME"]) / "settings.toml"


def writing(out: Path) -> str:
    code = f"import os; open({str(out)!r}, 'a').write(os.environ['BENCHPLAN_STAGE'] + ' ')"
    return f"[bench]\nalarm_command = {[sys.executable, '-c', code]!r}\n"


def test_a_strangers_command_is_named_and_ignored(tmp_path: Path) -> None:
    out = tmp_path / "said"
    path = day_file(tmp_path)
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{writing(out)}", encoding="utf-8")
    person, session = told(path, (0, "bell"), START, (1, "bell"), terminal=True)
    said = next(line for line in person.heard if "That is ignored" in line)
    assert "benchplan settings --take FILE" in said
    assert len(said) < 160
    assert person.heard.count(BELL) == 2
    assert not any("was started" in line for line in person.heard)
    assert session.settings is not None
    assert session.settings.empty
    assert not out.exists()


@pytest.mark.parametrize("speed", [1.0, 60.0])
def test_a_rehearsal_rings_and_runs_no_command(
    speed: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    run: list[str] = []
    monkeypatch.setattr(
        "benchplan.carrying.sounding.AlarmCommand.start",
        lambda _, command, words, stage, now: run.append(f"{command[0]}: {stage}"),
    )
    settings().write_text('[bench]\nalarm_command = "ring"\n', encoding="utf-8")
    tray = SAMPLES / "first_tray.toml"
    lines = baking()
    lines.insert(-3, (95, ""))  # at sixty times the speed a card must be there for a while
    person, _ = told(tray, *lines, (600, "bell"), (0, "leave"), speed=speed, terminal=True)
    assert person.heard.count(BELL) > 2
    assert run[-1] == "ring: check"
    assert (len(run) > 1) == (speed == 1.0)


def test_cautions_are_the_last_before_the_words_that_start(tmp_path: Path) -> None:
    person, _ = told(day_file(tmp_path, "hot", "no air"))
    places = [person.heard.index(line) for line in (*SHORT, DECIDES)]
    past = [at for at, line in enumerate(person.heard) if line.startswith("Past a limit: ")]
    assert len(past) == 2
    assert max(past) < min(places)
    assert max(places) < next(at for at, line in enumerate(person.heard) if "start begins" in line)


def test_values_past_a_limit_are_confirmed_once(tmp_path: Path) -> None:
    path = day_file(tmp_path, "hot", "uncooled")
    person, session = told(path, START, (1, "no"), START, (1, "done"), (1, "yes"))
    assert session.run is None
    assert "Is each of these what you mean? yes starts the run, no does not." in person.heard
    assert "Not started. Change the values in the plan file." in person.heard
    assert not settings().exists()
    person, session = told(path, START, (1, "yes"), (1, "stop"), (1, "yes"), (1, "end"))
    asked = person.after("start begins the re")
    assert any("bakes at 214 °C" in line for line in asked)
    assert any("cools for 0 s" in line for line in asked)
    assert "The run is on." in person.heard
    assert "214 °C" in settings().read_text(encoding="utf-8")
    person, session = told(path, START)
    assert session.run is not None
    assert not any("what you mean" in line for line in person.heard)


def test_a_rehearsal_says_them_and_asks_nothing(tmp_path: Path) -> None:
    person, session = told(day_file(tmp_path, "hot"), START, speed=60.0)
    assert any(line.startswith("Past a limit: ") for line in person.heard)
    assert session.run is not None
    assert not settings().exists()


def test_a_confirmation_that_cannot_be_kept_is_said(tmp_path: Path) -> None:
    settings().write_text("[keys\n", encoding="utf-8")
    person, session = told(day_file(tmp_path, "hot"), START, (1, "yes"))
    assert session.run is not None
    assert any("asked again next time" in line for line in person.heard)
