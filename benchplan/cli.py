"""The verbs: what a person types in a shell. Errors become exit codes and sentences here.

Exit 0: done. 1: the day cannot be done. 2: what was given cannot be used. Whatever a verb does not
need it does not import; only ``open`` and the start page reach for the screens.
"""

from __future__ import annotations

import argparse
import math
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from benchplan import __version__
from benchplan.errors import BenchplanError
from benchplan.shell import (
    complain,
    drop,
    fault_words,
    is_terminal,
    need_a_terminal,
    say,
    unusable,
)

if TYPE_CHECKING:
    from benchplan.clock import Clock
    from benchplan.files import PlanFile
    from benchplan.fitting import KnownFits, Wanted
    from benchplan.model import Day, Fit

DONE, CANNOT, BAD_INPUT, STOPPED = 0, 1, 2, 130
MOST_SPEED = 3600.0

ABOUT = """\
benchplan plans a small maker's production day, and stands at the bench with
them while it runs.

  benchplan              start page: sample days, a new day, days you opened
  benchplan open FILE    the day on the screen, to change it and to run it
  benchplan check FILE   what a plan file says, what fits, what it leaves out
  benchplan plan FILE    the whole day as text, to follow on paper
  benchplan fit FILE     tins on each pan, pans on each shelf, tins on the mat

FILE is a plan file, such as sample_runs/first_tray.toml.
`benchplan VERB --help` says more."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise unusable(f"{self.prog}: {message}.", f"`{self.prog} --help` shows how.")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no exception leaves this function."""
    try:
        code = _run(list(sys.argv[1:] if arguments is None else arguments))
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except BenchplanError as error:
        for problem in error.problems:
            complain(str(problem))
    except KeyboardInterrupt:
        complain("Stopped.")
        return STOPPED
    except BrokenPipeError:
        drop(sys.stdout)  # whoever read the output has read enough
        return DONE
    except OSError as error:
        drop(sys.stdout)
        complain(f"The output could not be written: {error.strerror or error}.")
    except SystemExit as leaving:  # argparse leaves this way after --help and --version
        return _finish_help(leaving)
    except Exception as fault:
        complain(fault_words(fault))
    return BAD_INPUT


def _run(arguments: list[str]) -> int:
    _name_the_verb(arguments)
    given = _parser().parse_args(arguments)
    act: Callable[[argparse.Namespace], int] = given.act
    return act(given)


def _parser() -> argparse.ArgumentParser:
    def verb(name: str, act: Callable[[argparse.Namespace], int], about: str, example: str) -> Any:
        found = verbs.add_parser(
            name,
            prog=f"benchplan {name}",
            description=about,
            epilog=f"example:\n  {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        found.add_argument("file", metavar="FILE", help="a plan file (TOML)")
        found.set_defaults(act=act)
        return found

    parser = _Parser(
        prog="benchplan",
        usage="benchplan [VERB FILE]",
        description=ABOUT,
        epilog="example:\n  benchplan open sample_runs/first_tray.toml --speed 60",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
        add_help=False,
    )
    parser.set_defaults(act=_start)
    parser.add_argument("-h", "--help", action="help", help="show this and leave")
    parser.add_argument(
        "--version", action="version", version=f"benchplan {__version__}", help="say the version"
    )
    verbs = parser.add_subparsers(metavar="VERB", help=argparse.SUPPRESS)
    opened = verb(
        "open",
        _open,
        "Show a day on the screen: orders, fit, flow, and the bench while it runs.",
        "benchplan open sample_runs/first_tray.toml --speed 60",
    )
    opened.add_argument(
        "--speed",
        type=_speed,
        default=1.0,
        metavar="N",
        help="rehearse: the day's clock runs N times as fast, and nothing is learned from it",
    )
    verb(
        "check",
        _check,
        "Read a plan file: what fits, what it leaves to usual values, what cannot be done.",
        "benchplan check sample_runs/winter_fair.toml",
    )
    planned = verb(
        "plan",
        _plan,
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
        _fit,
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
    return parser


def _name_the_verb(arguments: list[str]) -> None:
    """Refuse an unknown verb with the nearest one, before argparse says it in its own way."""
    verbs = ("open", "check", "plan", "fit")
    if not arguments or arguments[0] in (*verbs, "-h", "--help", "--version"):
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

    near = get_close_matches(first.lower(), verbs, 1)
    cure = f"Did you mean `benchplan {near[0]}`?" if near else "`benchplan --help` lists them."
    raise unusable(f'"{first}" is not one of the verbs {list_words(verbs)}.', cure)


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


def _out_file(text: str) -> Path:
    if not Path(text).name:
        raise argparse.ArgumentTypeError("a file has a name, such as saturday.svg")
    return Path(text)


def _read(given: argparse.Namespace) -> PlanFile:
    from benchplan.files import read_plan

    return read_plan(Path(given.file))


@contextmanager
def _placing(plan_file: PlanFile) -> Iterator[Day]:
    """Give the day of a file, and give what the planner refuses in it its file and line."""
    try:
        yield plan_file.day
    except BenchplanError as error:
        raise BenchplanError(
            *(
                problem.at(*plan_file.place(problem.key)) if problem.key else problem
                for problem in error.problems
            )
        ) from None


def _check(given: argparse.Namespace) -> int:
    from benchplan.fitting import fit_day
    from benchplan.papers.fit_text import check_text
    from benchplan.planner import check_day

    with _placing(_read(given)) as day:
        # rows say all that a check needs, unless trays are asked for by their size
        fits = fit_day(day, _known_fits(day, search=bool(day.queue)))
        reasons = check_day(day, fits)
    say(check_text(day, fits, possible=not reasons))
    return _refuse(reasons) if reasons else DONE


def _fit(given: argparse.Namespace) -> int:
    from benchplan.fitting import fit_day, margins_of
    from benchplan.papers import fit_text, plan_json

    with _placing(_read(given)) as day:
        fits = fit_day(day, _known_fits(day, search=not given.quick, every=True))
    if given.svg:
        _draw(day, fits, given.svg, _teller(given))
    if given.json:
        say(plan_json.dumps(plan_json.fits_to_dict(fits)) + "\n")
    elif not given.svg:
        say(fit_text.fits_text(day, fits, [margins_of(day, fit) for fit in fits]))
    return DONE


def _known_fits(day: Day, search: bool, every: bool = False) -> KnownFits:
    """Return what is known to fit, after a search for what nobody has searched yet.

    A book that cannot be opened or written keeps nothing, and no verb fails for it.
    """
    from benchplan.book import BenchBook
    from benchplan.keeping import kept_fits, search_and_keep

    book = None
    try:
        book = BenchBook.open()
        known = kept_fits(book)
    except BenchplanError:
        known = {}
    try:
        tell = _say_search if is_terminal(sys.stderr) else None
        return search_and_keep(day, known, book, every=every, tell=tell) if search else known
    finally:
        if book is not None:
            book.close()


def _say_search(wanted: Wanted, count: int) -> None:
    complain(f"Looking for {count + 1} {wanted.tin} on pan {wanted.pan}: seconds, and only once.")


def _teller(given: argparse.Namespace) -> Callable[[str], None]:
    """Return what tells the path of a drawing: beside JSON that is no output."""
    return complain if given.json else lambda line: say(f"{line}\n")


def _draw(day: Day, fits: Sequence[Fit], folder: Path, tell: Callable[[str], None]) -> None:
    """Write the drawings of ``fits`` and tell their paths."""
    from benchplan.files.folder import write_folder
    from benchplan.papers.fit_svg import HEAD, fit_svgs

    drawn, left_out = fit_svgs(day, fits)
    for path in write_folder(folder, drawn, HEAD):
        tell(str(path))
    for sentence in left_out:
        complain(sentence)


def _plan(given: argparse.Namespace) -> int:
    from benchplan.model import Cannot
    from benchplan.more import more
    from benchplan.papers import plan_json, plan_text
    from benchplan.planner import plan_day, resolved

    with _placing(_read(given)) as asked:
        day = resolved(asked)
        fits = _known_fits(day, search=not given.quick)
        plan = plan_day(day, known_fits=fits)
    if isinstance(plan, Cannot):
        if given.json:
            say(plan_json.dumps(plan_json.cannot_to_dict(day, plan)) + "\n")
        return _refuse(plan.reasons)
    if given.more and (given.json or not given.svg):
        plan = more(day, plan, fits)
    if given.svg:
        from benchplan.files.folder import write_file
        from benchplan.papers import plan_svg

        write_file(given.svg, plan_svg.plan_svg(day, plan), plan_svg.HEAD)
        _teller(given)(str(given.svg))
    if given.json:
        say(plan_json.dumps(plan_json.plan_to_dict(day, plan)) + "\n")
    elif not given.svg:
        say(plan_text.plan_text(day, plan))
    return DONE


def _open(given: argparse.Namespace) -> int:
    path = Path(given.file)
    if not path.is_file():
        _read(given)  # says what is wrong with it
    return _screens(path, given.speed)


def _start(given: argparse.Namespace) -> int:
    return _screens(None, 1.0)


def _screens(path: Path | None, speed: float) -> int:
    """Start the screens, or say what there is instead where no terminal can show them."""
    need_a_terminal(path)
    from benchplan.clock import AnchoredClock, FastClock
    from benchplan.screens.app import run_app

    real = AnchoredClock()
    clock: Clock = real if speed == 1.0 else FastClock(real.now(), speed)
    return run_app(path, speed, clock)


def _refuse(reasons: Sequence[str]) -> int:
    complain("This day cannot be done:")
    for reason in reasons:
        complain(f"  - {reason}")
    return CANNOT


def _finish_help(leaving: SystemExit) -> int:
    """Flush what ``--help`` or ``--version`` printed."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError:
        drop(sys.stdout)
    return leaving.code if isinstance(leaving.code, int) else DONE


if __name__ == "__main__":
    sys.exit(main())
