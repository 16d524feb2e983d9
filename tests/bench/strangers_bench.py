"""Strangers who type whatever comes to mind: is nothing wet let in, nothing hot forgotten? By hand.

    python tests/bench/strangers_bench.py 10000 1

The second number is the first stranger's seed. A sequence that fails is printed with its seed.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "plain"))

from strangers import KINDS, faults, let_in, lines


def main(count: int, first: int) -> int:
    """Let so many strangers in; return how many runs were not as they must be."""
    bad, marks, begun = 0, Counter[str](), time.monotonic()
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory() as home:
            os.environ["BENCHPLAN_HOME"] = home
            session, state, _ = let_in(KINDS[seed % len(KINDS)], lines(seed))
        marks.update(mark.what for mark in session.marks)
        if found := faults(session, state):
            bad += 1
            print(f"seed {seed}, {KINDS[seed % len(KINDS)]}: {found}", flush=True)
    took = time.monotonic() - begun
    print(f"{count} strangers, {sum(marks.values())} marks in {took:.0f} s, {bad} failed")
    print(dict(marks.most_common()))
    return bad


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:3]]
    sys.exit(bool(main(*(*given, *(10000, 1)[len(given) :]))))
