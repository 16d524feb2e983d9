"""The verb ``settings``: what is the maker's own, and what a plan file asks for, taken over."""

from __future__ import annotations

import argparse
import sys

from benchplan.cli.given import DONE
from benchplan.shell import complain, say


def settings(given: argparse.Namespace) -> int:
    """Show the maker's settings, or take over what a plan file asks for once it was shown."""
    from benchplan.files.settings import read_settings, settings_path
    from benchplan.papers.asked import asked_lines

    if given.take is not None:
        return _take(given.take)
    found, wrong = read_settings()
    for problem in wrong:
        complain(str(problem))
    say(f"{settings_path()}\n")
    _list(asked_lines(found) or ["It holds no command and no keys."])
    _list([f"Confirmed: {words}" for words in found.confirmed.values()])
    return DONE


def _take(file: str) -> int:
    """Show whole what a file asks for, and take it over when yes is typed."""
    from benchplan.files import read_plan
    from benchplan.files.settings import read_settings, settings_path, take_over
    from benchplan.papers.asked import ASKED, asked_lines

    found, wrong = read_settings()
    for problem in wrong:
        complain(str(problem))
    asks = found.lacking(read_plan(file).asks)
    if asks.empty:
        say("This file asks for nothing that your settings do not have.\n")
        return DONE
    _list([*asked_lines(asks), ASKED])
    say(f"Type yes to take it over into {settings_path()}: ")
    answer = sys.stdin.readline() if sys.stdin is not None else ""
    if answer.strip().lower() != "yes":
        say("Nothing was taken over.\n")
        return DONE
    take_over(asks)
    say("Taken over.\n")
    return DONE


def _list(lines: list[str]) -> None:
    for line in lines:
        say(f"{line}\n")
