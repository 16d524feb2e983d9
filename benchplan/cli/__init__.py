"""The verbs: what a person types in a shell. Errors become exit codes and sentences here.

Exit 0: done. 1: the day cannot be done. 2: what was given cannot be used. Whatever a verb does not
need it does not import; only ``open`` and the start page reach for the screens.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from benchplan.cli.given import BAD_INPUT, DONE, STOPPED
from benchplan.cli.parser import act_of
from benchplan.errors import BenchplanError
from benchplan.shell import complain, drop, fault_words


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no exception leaves this function."""
    try:
        code = act_of(list(sys.argv[1:] if arguments is None else arguments))()
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
        what = error.filename or "The output could not be written"
        complain(f"{what}: {error.strerror or error}.")
    except SystemExit as leaving:  # argparse leaves this way after --help and --version
        return _finish_help(leaving)
    except Exception as fault:
        complain(fault_words(fault))
    return BAD_INPUT


def _finish_help(leaving: SystemExit) -> int:
    """Flush what ``--help`` or ``--version`` printed."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError:
        drop(sys.stdout)
    return leaving.code if isinstance(leaving.code, int) else DONE
