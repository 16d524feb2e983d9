"""The verbs that carry a day out or bring up the screens: ``open``, ``run``, and none at all."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan.cli.given import DONE, read, refuse
from benchplan.cli.planning import planned
from benchplan.shell import (
    cannot_place_text,
    complain,
    is_terminal,
    need_a_terminal,
    ring,
    say,
    unusable,
)

if TYPE_CHECKING:
    from benchplan.clock import Clock

CLUMSY_SPEED = 60.0  # a maker who plays needs no real time


def open_day(given: argparse.Namespace) -> int:
    """Show a day on the screen."""
    return _screens(_readable(given), given.speed or 1.0)


def run(given: argparse.Namespace) -> int:
    """Carry a day out, on the screens or line by line."""
    speed = given.speed or (1.0 if given.clumsy is None else CLUMSY_SPEED)
    if given.clumsy is not None and speed == 1.0:
        raise unusable("A clumsy maker only rehearses.", "Give --speed 60, or leave it out.")
    if not given.plain and cannot_place_text():
        complain("This terminal cannot place text: the day is told line by line.")
    elif not given.plain:
        return _screens(_readable(given), speed, first="bench", seed=given.clumsy)
    from benchplan.model import Cannot
    from benchplan.plain import tell_run

    plan_file = read(given)
    _, _, plan = planned(plan_file, search=False)
    if isinstance(plan, Cannot):
        return refuse(plan.reasons)
    bell = ring if is_terminal(sys.stdout) else None
    tell_run(plan_file, plan, speed, lambda line: say(f"{line}\n"), given.clumsy, bell)
    return DONE


def start(given: argparse.Namespace) -> int:
    """Show the start page."""
    return _screens(None, 1.0)


def _readable(given: argparse.Namespace) -> Path:
    path = Path(given.file)
    if not os.path.isfile(path):  # it raises nothing
        read(given)  # says what is wrong with it
    return path


def _screens(
    path: Path | None, speed: float, first: str = "orders", seed: int | None = None
) -> int:
    """Start the screens, or say what there is instead where no terminal can show them."""
    need_a_terminal(path)
    from benchplan.clock import AnchoredClock, FastClock
    from benchplan.screens.app import run_app

    real = AnchoredClock()
    clock: Clock = real if speed == 1.0 else FastClock(real.now(), speed)
    return run_app(path, speed, clock, first=first, seed=seed)
