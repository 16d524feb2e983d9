"""How many tins the usual search fits on the fixed pans, and how long it takes.

Run by hand: ``python tests/bench/fit_bench.py [40|60] [seed]``. A line for each pan on which rows
and search differ, or the search misses the number in ``pans``; then the counts and the times.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from pans import UP_TO_40, UP_TO_60  # noqa: E402

from benchplan.packing import pack_tins, usual_stop  # noqa: E402
from benchplan.packing.check import check_tins  # noqa: E402


def main(pans: tuple[tuple[int, ...], ...], seed: int) -> None:
    """Fit every pan with rows, then with the usual search, and print how that went."""
    rows_s, searched_s = [], {True: [], False: []}
    reached = beaten = 0
    for *sides, tin, gap, edge, most in pans:
        begin = time.process_time()
        rows = pack_tins(sides, tin, gap, edge)
        middle = time.process_time()
        found = pack_tins(sides, tin, gap, edge, stop_for=usual_stop, seed=seed)
        end = time.process_time()
        assert check_tins(sides, tin, gap, edge, found.at_mm, found.count) == []
        rows_s.append(middle - begin)
        if rows.count < rows.most_possible:
            searched_s[rows.count <= 20].append(end - middle)
        reached += found.count >= most
        beaten += found.count > most
        if found.count != rows.count or found.count != most:
            pan = f"{sides} tin {tin} gap {gap} edge {edge}"
            told = f"rows {rows.count}, search {found.count}, known {most}"
            print(f"{pan}: {told}, bound {rows.most_possible}, {end - middle:.1f} s", flush=True)
    print(f"{reached} of {len(pans)} reached, {beaten} of them beaten")
    middle, longest = statistics.median(rows_s) * 1e3, max(rows_s) * 1e3
    print(f"rows: median {middle:.1f} ms, most {longest:.0f} ms")
    for few, times in searched_s.items():
        if times:
            name = "up to 20 tins" if few else "more"
            middle, longest = statistics.median(times), max(times)
            print(f"search, {name}: {len(times)} pans that rows do not prove")
            print(f"  median {middle:.1f} s, most {longest:.1f} s")


if __name__ == "__main__":
    chosen = UP_TO_60 if sys.argv[1:2] == ["60"] else UP_TO_40
    main(chosen, int(sys.argv[2]) if len(sys.argv) > 2 else 0)
