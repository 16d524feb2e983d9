"""What the verbs say and where: output, messages, and whether there is a terminal."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TextIO

from benchplan.errors import BenchplanError, Problem


def unusable(what: str, cure: str) -> BenchplanError:
    """Return the error for something that was given and cannot be used, with what would do."""
    return BenchplanError(Problem(what, cure))


def need_a_terminal(path: Path | None) -> None:
    """Refuse, with what would do, where the screens could not be drawn or no key could be read."""
    shown = str(path) if path else "FILE"
    instead = (
        f"`benchplan run {shown} --plain` tells the day line by line, and "
        f"`benchplan plan {shown}` prints it as text."
    )
    if not (is_terminal(sys.stdin) and is_terminal(sys.stderr)):
        raise unusable("The screens need a terminal to draw on and a keyboard to read.", instead)
    if cannot_place_text():
        raise unusable(f"This terminal (TERM={os.environ['TERM']}) cannot place text.", instead)
    encoding = (sys.stderr.encoding or "ascii").lower().replace("-", "").replace("_", "")
    if encoding not in ("utf8", "cp65001"):
        raise unusable(
            f"This terminal's letters are {sys.stderr.encoding}; the screens draw with UTF-8.",
            f"Put PYTHONUTF8=1 before the command if the terminal can show it. {instead}",
        )


def cannot_place_text() -> bool:
    """Whether the terminal says of itself that it only writes one line after the other."""
    return os.environ.get("TERM", "").lower() in ("dumb", "unknown")


def is_terminal(stream: TextIO | None) -> bool:
    """Whether a person is at the other end of a stream."""
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # closed
        return False


def say(text: str) -> None:
    """Print to standard output in letters that it can take."""
    from benchplan.papers.letters import spelled_for

    if sys.stdout is None:
        raise BenchplanError(Problem("There is no standard output to print to."))
    sys.stdout.write(spelled_for(text, sys.stdout.encoding))
    sys.stdout.flush()


def ring() -> None:
    """Ring the bell of a terminal that listens at standard output."""
    sys.stdout.write("\a")
    sys.stdout.flush()


def page_width() -> int | None:
    """Return how wide a page on standard output may be; None where it goes to no terminal."""
    if not is_terminal(sys.stdout):
        return None
    return min(max(80, shutil.get_terminal_size().columns), 120)


def complain(text: str) -> None:
    """Print a message to standard error; where that is closed too, the exit code says it."""
    from benchplan.papers.letters import spelled_for

    if sys.stderr is None:
        return
    try:
        sys.stderr.write(spelled_for(text, sys.stderr.encoding) + "\n")
        sys.stderr.flush()
    except (OSError, ValueError):
        drop(sys.stderr)


def drop(stream: TextIO | None) -> None:
    """Point a stream that cannot be written any more at nothing, so that leaving stays quiet."""
    if stream is None:
        return
    try:
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, stream.fileno())
        os.close(nothing)
    except (OSError, ValueError):
        pass


def fault_words(fault: Exception) -> str:
    """Write a fault of the program into the log, and return the sentence about it.

    With BENCHPLAN_DEBUG=1 the traceback follows the sentence.
    """
    import traceback

    from benchplan.home.log_file import LOG, SEE_LOG, log_to_file

    log_to_file()
    LOG.error("internal error", exc_info=fault)
    last = traceback.extract_tb(fault.__traceback__)[-1:]
    place = "".join(f" ({Path(each.filename).name}, line {each.lineno})" for each in last)
    said = (
        f"Internal error in benchplan (not your fault): {type(fault).__name__}: {fault}{place}. "
        f"{SEE_LOG} Please report it together with the plan file."
    )
    if os.environ.get("BENCHPLAN_DEBUG") != "1":
        return said
    return f"{said}\n{''.join(traceback.format_exception(fault)).rstrip()}"
