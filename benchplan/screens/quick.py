"""What keeps a key from waiting for the interpreter's own work."""

from __future__ import annotations

import gc
import sys

SWITCH_S = 0.001
"""How long one thread works before another may. At the usual 5 ms a mark that is committed while
a plan is made waits for that several times over, once after each call that SQLite answers."""


def share_often() -> None:
    """Let the thread that answers keys in sooner, while others plan."""
    sys.setswitchinterval(SWITCH_S)


def put_aside() -> None:
    """Leave what is here to stay out of the interpreter's sweeps for what nobody needs any more.

    Each sweep of all that the app has loaded takes longer than a mark and its card.
    """
    gc.collect()
    gc.freeze()
