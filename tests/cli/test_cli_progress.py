"""What a long search says, and what is refused before any search begins."""

from __future__ import annotations

from itertools import count
from pathlib import Path

import pytest

from benchplan import cli, clock
from benchplan.cli import planning

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "is_terminal", lambda _: True)


def seconds_a_look(monkeypatch: pytest.MonkeyPatch, seconds: float) -> None:
    looks = count()
    monkeypatch.setattr(clock, "monotonic", lambda: next(looks) * seconds)


@pytest.mark.usefixtures("at_a_terminal")
def test_a_search_says_how_far_it_is_ever_less_often(
    sample: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    seconds_a_look(monkeypatch, 0.5)
    assert cli.main(["plan", "--quick", sample]) == 0
    told = [line for line in capsys.readouterr().err.splitlines() if "tries" in line]
    assert told[:3] == [f"Planning: {done} of 304 tries done." for done in (1, 3, 7)]
    assert len(told) < 12


@pytest.mark.usefixtures("at_a_terminal")
def test_a_search_within_the_first_second_says_nothing(
    sample: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    seconds_a_look(monkeypatch, 0.0001)
    assert cli.main(["plan", "--quick", sample]) == 0
    assert capsys.readouterr().err == ""


def test_without_a_terminal_nothing_is_said(
    sample: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    seconds_a_look(monkeypatch, 10)
    assert cli.main(["plan", "--quick", sample]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("verb", ["plan", "check", "fit"])
def test_a_count_no_pan_can_hold_is_refused_before_any_search(
    verb: str, tmp_path: Path, sample: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is laid out for it either: rows of ever smaller tins took a quarter of a minute."""

    def never(*_: object, **__: object) -> None:
        raise AssertionError("a search was begun")

    monkeypatch.setattr("benchplan.keeping.search_and_keep", never)
    monkeypatch.setattr("benchplan.fitting._as_maker_says", never)
    text = Path(sample).read_text(encoding="utf-8")
    path = tmp_path / "slip.toml"
    slip = text.replace("[pans.long]", '[pans.long]\ntins = { "wide low" = 9000 }', 1)
    path.write_text(slip, encoding="utf-8")
    assert cli.main([verb, str(path)]) == 2
    assert "9000 wide low tins cannot stand on pan long" in capsys.readouterr().err


@pytest.mark.parametrize("verb", ["plan", "check"])
def test_a_queued_tray_no_pan_can_hold_is_refused_before_any_search(
    verb: str, tmp_path: Path, sample: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("a search was begun")

    monkeypatch.setattr("benchplan.keeping.search_and_keep", never)
    text = Path(sample).read_text(encoding="utf-8")
    path = tmp_path / "queue.toml"
    scent = next(line for line in text.splitlines() if line.startswith("scent = "))
    queue = f'[[trays]]\n{scent}\nrecipe = "standard"\ntins = 13\n\n'
    path.write_text(text.replace("[recipes.standard]", f"{queue}[recipes.standard]", 1), "utf-8")
    assert cli.main([verb, str(path)]) == 2
    assert "Tray 1 of [[trays]] asks for 13 tins" in capsys.readouterr().err
