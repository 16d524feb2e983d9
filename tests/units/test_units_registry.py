"""Pint is loaded late and once, and its table on disk may be missing, broken or forbidden."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

READ = "from benchplan import units; print(units.parse('2.9 in', 'length'))"


def run(code: str, home: Path | str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "BENCHPLAN_HOME": str(home)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    assert done.returncode == 0
    return done.stdout.strip()


def test_importing_and_showing_load_no_pint(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom benchplan import units\nunits.show_length(72, 'us')\n"
        "units.show_mass(31, 'us')\nprint('pint' in sys.modules)\n"
        "units.parse('1 mm', 'length')\nprint('pint' in sys.modules)"
    )
    assert run(code, tmp_path).split() == ["False", "True"]


def test_the_table_is_kept_under_the_home_and_a_broken_one_is_made_anew(tmp_path: Path) -> None:
    def kept() -> list[Path]:
        return [each for each in tmp_path.rglob("*.pickle") if each.stat().st_size > 1000]

    assert run(READ, tmp_path) == "73.66"
    assert kept()
    for each in tmp_path.rglob("*.pickle"):
        each.write_bytes(each.read_bytes()[:100])
    assert run(READ, tmp_path) == "73.66"  # does without, and clears it away
    assert run(READ, tmp_path) == "73.66"
    assert kept()


@pytest.mark.parametrize("home", ["a file", "/proc/none", "nul\\here"])
def test_a_home_that_cannot_be_written_does_no_harm(tmp_path: Path, home: str) -> None:
    file = tmp_path / "a file"
    file.write_text("not a folder")
    assert run(READ, tmp_path / home) == "73.66"
    assert file.read_text() == "not a folder"
