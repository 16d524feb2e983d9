"""What a plain terminal sounds like: bells, the maker's command, and a check of both."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from plain_world import BELL, SAMPLES, START, baking, told

from benchplan.plain.typed import HELP

TRAY = SAMPLES / "first_tray.toml"


def with_command(command: str) -> Path:
    """Write a command into the maker's settings, and return the sample day."""
    settings = Path(os.environ["BENCHPLAN_HOME"]) / "settings.toml"
    settings.write_text(f"[bench]\nalarm_command = {command}\n")
    return TRAY


def writing(out: Path) -> str:
    """Return a command that writes the stage of an alarm into a file."""
    code = f"import os; open({str(out)!r}, 'w').write(os.environ['BENCHPLAN_STAGE'])"
    return repr([sys.executable, "-c", code])


def test_the_sound_check_rings_before_a_run_and_says_what_to_hear() -> None:
    person, session = told(TRAY, (0.0, "bell"), terminal=True)
    at = person.heard.index(BELL)
    assert person.heard[at + 1].startswith("The bell has rung once. Nothing heard?")
    assert person.heard.count(BELL) == 1
    assert session.run is None
    assert any(line.startswith("bell sounds as an alarm does") for line in person.heard[:at])
    assert "bell" in HELP


def test_in_a_run_it_rings_too() -> None:
    person, _ = told(TRAY, START, (5.0, "bell"), terminal=True)
    assert person.after("The run is on.").count(BELL) == 1


def test_where_there_is_no_terminal_no_bell_is_said_to_have_rung() -> None:
    person, _ = told(TRAY, (0.0, "bell"))
    assert any(line.startswith("Nothing rings here") for line in person.heard)
    assert not any("has rung" in line for line in person.heard)


def test_the_makers_command_is_said_before_a_run_and_checked_with_the_bell(tmp_path: Path) -> None:
    out = tmp_path / "said"
    person, _ = told(with_command(writing(out)), (0.0, "bell"), terminal=True)
    shown = next(line for line in person.heard if line.startswith("At each alarm this is run: "))
    assert sys.executable in shown
    assert person.heard.index(shown) < person.heard.index(BELL)
    assert any("was started. Nothing heard?" in line for line in person.heard)


def test_a_command_that_cannot_be_started_is_said_at_the_check() -> None:
    person, _ = told(
        with_command('["/no/such/program"]'), (0.0, "bell"), (1.0, "bell"), terminal=True
    )
    assert any("could not be started: No such file" in line for line in person.heard)


def test_an_exit_rings_at_every_stage_as_on_the_screens() -> None:
    person, _ = told(TRAY, *baking(), (600, "leave"), terminal=True)
    for words in ("Mitts on", "Take tray 1 out", "Over-baked"):
        at = next(at for at, line in enumerate(person.heard) if f"Alarm. {words}" in line)
        assert person.heard[at - 1] == BELL, words
    assert person.heard.count(BELL) <= sum(line.startswith("Alarm.") for line in person.heard)


def test_what_is_said_at_once_is_a_line_each() -> None:
    person, _ = told(TRAY, START, (5.0, "stop"), (1.0, "yes"), (1.0, "back"), terminal=True)
    assert any("is removed" in line for line in person.heard)
    assert all("\n" not in line for line in person.heard)
