"""``benchplan plan FILE --svg OUT.svg``: the day as one picture, beside the same text and JSON."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from benchplan import cli
from benchplan.papers.plan_svg import HEAD

Capture = pytest.CaptureFixture[str]


def is_drawn(path: Path) -> bool:
    text = path.read_text(encoding="utf-8")
    root = ET.fromstring(text.encode("utf-8"))
    return text.startswith(HEAD) and (root.findtext("{*}title") or "").startswith("First small day")


def test_the_path_is_printed_and_the_day_is_drawn(
    sample: str, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "day.svg"
    assert cli.main(["plan", sample, "--svg", str(out)]) == 0
    said = capsys.readouterr()
    assert (said.out, said.err) == (f"{out}\n", "")
    assert is_drawn(out)
    assert list(tmp_path.iterdir()) == [out]


def test_beside_json_the_output_is_json_alone(sample: str, tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["plan", sample, "--json"]) == 0
    alone = capsys.readouterr().out
    out = tmp_path / "day.svg"
    assert cli.main(["plan", sample, "--json", "--svg", str(out)]) == 0
    said = capsys.readouterr()
    assert (said.out, said.err) == (alone, f"{out}\n")
    assert is_drawn(out)


def test_a_second_time_draws_anew(sample: str, tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "day.svg"
    out.write_text(HEAD + "<svg/>", encoding="utf-8")
    assert cli.main(["plan", sample, "--svg", str(out)]) == 0
    assert is_drawn(out)


def test_a_file_that_is_not_ours_is_never_written_over(
    sample: str, tmp_path: Path, capsys: Capture
) -> None:
    own = tmp_path / "plan.toml"
    own.write_bytes(Path(sample).read_bytes())
    assert cli.main(["plan", str(own), "--svg", str(own)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert str(own) in said.err
    assert "name another file; nothing has been written" in said.err
    assert own.read_bytes() == Path(sample).read_bytes()


def test_a_day_that_cannot_be_done_draws_nothing(
    impossible: str, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "day.svg"
    assert cli.main(["plan", impossible]) == 1
    alone = capsys.readouterr()
    assert cli.main(["plan", impossible, "--svg", str(out)]) == 1
    assert capsys.readouterr() == alone
    assert not out.exists()


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "a file has a name"),
        ("/", "a file has a name"),
        ("/dev/null", "not as benchplan writes it"),
        ("{tmp}", "not as benchplan writes it"),
        ("{tmp}/none/day.svg", "There is no folder"),
    ],
)
def test_a_file_that_will_not_do(
    sample: str, tmp_path: Path, name: str, words: str, capsys: Capture
) -> None:
    assert cli.main(["plan", sample, "--svg", name.format(tmp=tmp_path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert words in said.err
    assert "Traceback" not in said.err
    assert list(tmp_path.iterdir()) == []
