"""The samples, and a way to run the command in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def sample() -> str:
    """The first sample day."""
    return str(ROOT / "sample_runs" / "first_tray.toml")


@pytest.fixture
def impossible(tmp_path: Path, sample: str) -> str:
    """A day whose tins are taller than the oven's headroom."""
    text = Path(sample).read_text(encoding="utf-8")
    path = tmp_path / "tall.toml"
    path.write_text(text.replace('height = "0.75 in"', 'height = "4 in"'), encoding="utf-8")
    return str(path)


@pytest.fixture
def run(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[bytes]]:
    """Run ``python -m benchplan`` with arguments; nothing to read, output as bytes."""

    def runs(*arguments: str, **changes: str) -> subprocess.CompletedProcess[bytes]:
        environment = {**os.environ, "BENCHPLAN_HOME": str(tmp_path), **changes}
        return subprocess.run(
            [sys.executable, "-m", "benchplan", *arguments],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            env=environment,
            check=False,
        )

    return runs
