"""The verbs that bring up the screens: ``open``, and none at all."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan.cli.given import read
from benchplan.shell import need_a_terminal

if TYPE_CHECKING:
    from benchplan.clock import Clock


def open_day(given: argparse.Namespace) -> int:
    """Show a day on the screen."""
    path = Path(given.file)
    if not path.is_file():
        read(given)  # says what is wrong with it
    return _screens(path, given.speed)


def start(given: argparse.Namespace) -> int:
    """Show the start page."""
    return _screens(None, 1.0)


def _screens(path: Path | None, speed: float) -> int:
    """Start the screens, or say what there is instead where no terminal can show them."""
    need_a_terminal(path)
    from benchplan.clock import AnchoredClock, FastClock
    from benchplan.screens.app import run_app

    real = AnchoredClock()
    clock: Clock = real if speed == 1.0 else FastClock(real.now(), speed)
    return run_app(path, speed, clock)
