"""What the tests of the screens share: a home and a sample of their own, the views' small day."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "views"))
SAMPLES = Path(__file__).parents[2] / "sample_runs"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of the bench book, beside the days that are written into the working folder."""
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path / "home"


@pytest.fixture
def first_tray(tmp_path: Path) -> Path:
    """A copy of the first sample day."""
    return Path(shutil.copy(SAMPLES / "first_tray.toml", tmp_path))
