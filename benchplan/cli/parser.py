"""What can be typed after ``benchplan``, and what it is taken for."""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from textwrap import fill
from typing import Any, NoReturn

from benchplan import __version__
from benchplan.cli import baking, planning, records, running, settings
from benchplan.shell import unusable

MOST_SPEED = 3600.0
VERBS = ("open", "run", "check", "plan", "fit", "record", "backup", "test-bake", "settings")

ABOUT = """\
benchplan plans a small maker's production day, and stands at the bench with
them while it runs.

  benchplan              start page: sample days, a new day, days you opened
  benchplan open FILE    the day on the screen, to change it and to run it
  benchplan run FILE     the day at the bench; --plain tells it line by line
  benchplan check FILE   what a plan file says, what fits, what it leaves out
  benchplan plan FILE    the whole day as text, to follow on paper
  benchplan fit FILE     tins on each pan, pans on each shelf, tins on the mat
  benchplan record       the runs in the bench book; record 7 reads run 7 back
  benchplan backup PATH  the bench book copied, also while it is in use
  benchplan test-bake FILE RECIPE
                         a bake of two tins, to find a recipe's minutes
  benchplan settings     your own alarm command and keys

FILE is a plan file, such as sample_runs/first_tray.toml.
`benchplan VERB --help` says more."""

TAKE_OVER = """\
The copy is one file, and whole. To go on from it on another machine:
  1. leave benchplan on both machines, so that nothing is marked any more;
  2. there, move every file whose name begins with bench_book.sqlite out of
     the folder of the bench book: BENCHPLAN_HOME, else the one that
     `benchplan backup .` names;
  3. copy this one there, under the name bench_book.sqlite;
  4. open the plan file there: its run is offered to go on with.

"""

CORRECTING = """\
A correction stands beside what it corrects. MARK is a mark's number in the
record; FIELD is time, person, amount, note or stands (yes or no).

"""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise unusable(f"{self.prog}: {message}.", f"`{self.prog} --help` shows how.")


def act_of(arguments: list[str]) -> Callable[[], int]:
    """Return what does as it was told; raises ``BenchplanError`` for what is no command."""
    _name_the_verb(arguments)
    given = parser().parse_args(arguments)
    act: Callable[[argparse.Namespace], int] = given.act
    return partial(act, given)


def parser() -> argparse.ArgumentParser:
    """Return what reads a command line."""

    def verb(
        name: str,
        act: Callable[[argparse.Namespace], int],
        about: str,
        example: str,
        file: bool = True,
        more: str = "",
    ) -> Any:
        found = verbs.add_parser(
            name,
            prog=f"benchplan {name}",
            description=fill(about, 79),
            epilog=f"{more}example:\n  {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        if file:
            found.add_argument("file", metavar="FILE", help="a plan file (TOML)")
        found.set_defaults(act=act)
        return found

    whole = _Parser(
        prog="benchplan",
        usage="benchplan [VERB ...]",
        description=ABOUT,
        epilog="example:\n  benchplan open sample_runs/first_tray.toml --speed 60",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
        add_help=False,
    )
    whole.set_defaults(act=running.start)
    whole.add_argument("-h", "--help", action="help", help="show this and leave")
    whole.add_argument(
        "--version", action="version", version=f"benchplan {__version__}", help="say the version"
    )
    verbs = whole.add_subparsers(metavar="VERB", help=argparse.SUPPRESS)
    opened = verb(
        "open",
        running.open_day,
        "Show a day on the screen: orders, fit, flow, and the bench while it runs.",
        "benchplan open sample_runs/first_tray.toml --speed 60",
    )
    carried = verb(
        "run",
        running.run,
        "Carry a day out: the screens, beginning with the Bench, or with --plain line by line, for "
        "screen readers, pipes and terminals that cannot place text. Type help there.",
        "benchplan run sample_runs/first_tray.toml --plain --speed 20",
    )
    for each in (opened, carried):
        each.add_argument(
            "--speed",
            type=_speed,
            metavar="N",
            help="rehearse: the day's clock runs N times as fast, and nothing is learned from it",
        )
    carried.add_argument(
        "--plain", action="store_true", help="say each thing as a line, and read typed words"
    )
    carried.add_argument(
        "--clumsy",
        type=_seed,
        metavar="SEED",
        help="rehearse with a clumsy maker who does the marking; the same seed, the same day",
    )
    verb(
        "check",
        planning.check,
        "Read a plan file: what fits, what it leaves to usual values, what cannot be done.",
        "benchplan check sample_runs/winter_fair.toml",
    )
    planned = verb(
        "plan",
        planning.plan,
        "Print the whole day as text that can be followed on paper.",
        "benchplan plan sample_runs/two_ovens.toml > saturday.txt",
    )
    planned.add_argument(
        "--more",
        action="store_true",
        help="say the latest start, and what one more pan, oven, place or person would win",
    )
    fitted = verb(
        "fit",
        planning.fit,
        "Say how many tins fit on each pan, pans on each oven shelf, and tins on the mat.",
        "benchplan fit sample_runs/first_tray.toml --svg drawings",
    )
    fitted.add_argument(
        "--svg",
        type=_folder,
        metavar="DIR",
        help="draw each fit into this folder, to print at 100 %% and set tins down by",
    )
    planned.add_argument(
        "--svg",
        type=_out_file,
        metavar="OUT.svg",
        help="draw the day into this file, as lanes by clock time, to print",
    )
    for each in (planned, fitted):
        each.add_argument("--json", action="store_true", help="the same as JSON")
        each.add_argument(
            "--quick",
            action="store_true",
            help="tins in rows or as found before; no search for one more",
        )
    _book_verbs(verb)
    _settings_verb(verb)
    return whole


def _book_verbs(verb: Callable[..., Any]) -> None:
    """Add the verbs around the bench book."""
    recorded = verb(
        "record",
        records.record,
        "List the runs in the bench book, or read one back: planned beside real, every mark.",
        'benchplan record 7 --correct 12 time 9:42 --why "by the wall clock"',
        file=False,
        more=CORRECTING,
    )
    recorded.usage = (
        "benchplan record [RUN] [--json]\n"
        "       benchplan record RUN --correct MARK FIELD VALUE --why WHY\n"
        "       benchplan record RUN --name PERSON NAME"
    )
    recorded.add_argument(
        "run", metavar="RUN", nargs="?", type=records.run_number, help="a run's number, or last"
    )
    either = recorded.add_mutually_exclusive_group()
    either.add_argument("--json", action="store_true", help="the same as JSON")
    either.add_argument(
        "--correct",
        nargs=3,
        metavar=("MARK", "FIELD", "VALUE"),
        help="correct one mark of a run that is over; with --why",
    )
    either.add_argument(
        "--name", nargs=2, metavar=("PERSON", "NAME"), help="say who person 1, 2, ... was"
    )
    recorded.add_argument("--why", metavar="WHY", default="", help="the reason of a correction")
    copied = verb(
        "backup",
        records.backup,
        "Copy the bench book, with every mark up to this moment, also while a run is on.",
        "benchplan backup .",
        file=False,
        more=TAKE_OVER,
    )
    copied.add_argument(
        "path",
        metavar="PATH",
        type=_path,
        help="a new file, or a folder for a file with the date in its name",
    )
    baked = verb(
        "test-bake",
        baking.test_bake,
        "Write the day of a test bake of two tins beside the plan; after its run, write the "
        "minutes found into the plan.",
        "benchplan test-bake sample_runs/winter_fair.toml standard",
    )
    baked.add_argument(
        "recipe", metavar="RECIPE", nargs="?", help="a recipe of the plan, if it has several"
    )
    baked.add_argument(
        "--found", action="store_true", help="the bake was run: write its minutes as bake_for"
    )


def _settings_verb(verb: Callable[..., Any]) -> None:
    own = verb(
        "settings",
        settings.settings,
        "Show your own alarm command, keys and confirmed values. What a plan file says of them is "
        "ignored until you take it over: --take shows all of it, and asks.",
        "benchplan settings --take sample_runs/first_tray.toml",
        file=False,
    )
    own.add_argument(
        "--take",
        metavar="FILE",
        type=_path,
        help="show the command and keys that this plan file asks for, and take them over",
    )


def _seed(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{text}" is no whole number') from None


def _name_the_verb(arguments: list[str]) -> None:
    """Refuse an unknown verb with the nearest one, before argparse says it in its own way."""
    if not arguments or arguments[0] in (*VERBS, "-h", "--help", "--version"):
        return
    first = arguments[0]
    if first.startswith("-"):
        raise unusable(
            f'"{first}" cannot come first: a verb does.', "`benchplan --help` lists them."
        )
    if os.path.exists(first):
        raise unusable(f"What shall be done with {first}?", f"`benchplan open {first}` shows it.")
    from difflib import get_close_matches

    from benchplan.model.words import list_words

    near = get_close_matches(first.lower(), VERBS, 1)
    cure = f"Did you mean `benchplan {near[0]}`?" if near else "`benchplan --help` lists them."
    raise unusable(f'"{first}" is not one of the verbs {list_words(VERBS)}.', cure)


def _speed(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 1 <= value <= MOST_SPEED:  # false for nan too
        raise argparse.ArgumentTypeError(
            f'"{text}" is no speed; 60 makes a minute of each hour, 1 to {MOST_SPEED:.0f} will do'
        )
    return value


def _folder(text: str) -> Path:
    if not text:
        raise argparse.ArgumentTypeError("a folder has a name; . is this one")
    return Path(text)


def _path(text: str) -> Path:
    if not text:
        raise argparse.ArgumentTypeError("a file or a folder has a name; . is this folder")
    return Path(text)


def _out_file(text: str) -> Path:
    if not Path(text).name:
        raise argparse.ArgumentTypeError("a file has a name, such as saturday.svg")
    return Path(text)
