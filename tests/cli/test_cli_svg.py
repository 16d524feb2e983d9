"""``benchplan fit FILE --svg DIR``: a drawing of each fit, and the same fits as the JSON has."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from benchplan import cli
from benchplan.papers.fit_svg import HEAD

Capture = pytest.CaptureFixture[str]
CIRCLE = "{http://www.w3.org/2000/svg}circle"
NAMES = [
    "tin_wide-low_on_pan_long.svg",
    "pan_long_on_shelf_countertop.svg",
    "tin_wide-low_on_mat.svg",
]


def centres(path: Path) -> list[list[float]]:
    root = ET.parse(path).getroot()
    return [[float(each.attrib["cx"]), float(each.attrib["cy"])] for each in root.iter(CIRCLE)]


def test_paths_are_printed_and_the_drawings_are_the_fits(
    sample: str, tmp_path: Path, capsys: Capture
) -> None:
    folder = tmp_path / "new" / "drawings"
    assert cli.main(["fit", sample, "--svg", str(folder)]) == 0
    said = capsys.readouterr()
    assert said.out.splitlines() == [str(folder / name) for name in NAMES]
    assert said.err == ""
    assert sorted(each.name for each in folder.iterdir()) == sorted(NAMES)

    assert cli.main(["fit", sample, "--json"]) == 0
    fits = json.loads(capsys.readouterr().out)["fits"]
    for fit, name in zip(fits, NAMES, strict=True):
        if fit["what"] != "pans on shelf":
            expected = [pytest.approx(place, abs=1e-3) for place in fit["at_mm"]]
            assert centres(folder / name) == expected


def test_beside_json_the_output_is_json_alone(sample: str, tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["fit", sample, "--json"]) == 0
    alone = capsys.readouterr().out
    assert cli.main(["fit", sample, "--json", "--svg", str(tmp_path)]) == 0
    said = capsys.readouterr()
    assert said.out == alone
    assert said.err.splitlines() == [str(tmp_path / name) for name in NAMES]


def test_a_second_time_draws_anew(sample: str, tmp_path: Path, capsys: Capture) -> None:
    stale = tmp_path / NAMES[0]
    stale.write_text(HEAD + "<svg/>", encoding="utf-8")
    for _ in range(2):
        assert cli.main(["fit", sample, "--svg", str(tmp_path)]) == 0
        assert len(centres(stale)) == 7


def test_a_drawing_of_your_own_is_never_written_over(
    sample: str, tmp_path: Path, capsys: Capture
) -> None:
    own = tmp_path / NAMES[1]
    own.write_text("<svg/>", encoding="utf-8")
    assert cli.main(["fit", sample, "--svg", str(tmp_path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert str(own) in said.err
    assert own.read_text(encoding="utf-8") == "<svg/>"
    assert list(tmp_path.iterdir()) == [own]


@pytest.mark.parametrize(
    ("folder", "words"),
    [
        ("", "a folder has a name"),
        ("/dev/null", "no folder"),
        ("/dev/null/below", "no folder"),
        ("/proc/nowhere", "cannot be made"),
    ],
)
def test_a_folder_that_will_not_do(sample: str, folder: str, words: str, capsys: Capture) -> None:
    assert cli.main(["fit", sample, "--svg", folder]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert folder in said.err
    assert words in said.err
    assert "Traceback" not in said.err


def test_a_plan_file_that_will_not_do_makes_no_folder(tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["fit", str(tmp_path / "none.toml"), "--svg", str(tmp_path / "new")]) == 2
    assert not (tmp_path / "new").exists()


def test_your_own_number_without_places_is_left_out_and_said(
    sample: str, tmp_path: Path, capsys: Capture
) -> None:
    text = Path(sample).read_text(encoding="utf-8")
    plan = tmp_path / "own.toml"
    plan.write_text(text.replace('mat = ["26 in", "11 in"]', "mat_tins = 30"), encoding="utf-8")
    folder = tmp_path / "drawings"
    assert cli.main(["fit", str(plan), "--svg", str(folder)]) == 0
    said = capsys.readouterr()
    assert said.out.splitlines() == [str(folder / name) for name in NAMES[:2]]
    assert said.err == (
        "Not drawn: wide low on the mat (30 fit, as you say): your own number says no places.\n"
    )
