"""How many tins fit, how near the bound, and the processor time, over a fixed list of pans.

By hand: python tests/bench/packing_bench.py [--each]. The list was drawn once by a seed, before any
tuning: usual pans and mats with usual tins, then random ones by how many tins they take.
"""

from __future__ import annotations

import random
import statistics
import sys
import time

from benchplan.packing import pack_tins
from benchplan.packing.rows import best_rows

Case = tuple[tuple[float, float], float, float, float]

USUAL: tuple[Case, ...] = tuple(
    ((length, width), diameter, gap, edge)
    for length, width in (
        (230.0, 180.0),
        (260.0, 190.0),
        (285.0, 235.0),
        (310.0, 215.0),
        (330.0, 255.0),
        (375.0, 265.0),
        (440.0, 320.0),
    )
    for diameter, gap, edge in ((66.0, 6.0, 2.0), (51.0, 8.0, 3.0), (83.0, 6.0, 0.0))
)


def drawn(tins: int, cases: int) -> list[Case]:
    """Return random pans that take about ``tins`` tins."""
    draw = random.Random(tins)
    found = []
    for _ in range(cases):
        diameter, gap = draw.uniform(40, 90), draw.uniform(0, 12)
        area = tins * draw.uniform(0.8, 1.2) * (diameter + gap) ** 2 * 1.05
        ratio = draw.uniform(1.0, 2.2)
        pan = (round((area * ratio) ** 0.5, 1), round((area / ratio) ** 0.5, 1))
        found.append((pan, round(diameter, 1), round(gap, 1), 2.0))
    return found


def main() -> None:
    """Print a line a list: pans, tins in all, proven ones, mean gap to the bound, times."""
    print(
        f"{'':12}{'pans':>6}{'tins':>8}{'proven':>8}{'to bound':>10}{'median':>10}{'slowest':>10}"
    )
    lists = [("usual", list(USUAL))]
    lists += [(f"about {tins}", drawn(tins, 30)) for tins in (8, 16, 32, 64, 128, 256)]
    for name, cases in lists:
        counts, gaps, times = [], [], []
        for case in cases:
            best_rows.cache_clear()
            begin = time.process_time()
            packed = pack_tins(*case)
            times.append(1000 * (time.process_time() - begin))
            counts.append(packed.count)
            gaps.append((packed.most_possible or 0) - packed.count)
            if "--each" in sys.argv:
                print(f"    {case}: {packed.count} of {packed.most_possible}, {times[-1]:.1f} ms")
        print(
            f"{name:12}{len(cases):6}{sum(counts):8}{gaps.count(0):8}{statistics.mean(gaps):10.2f}"
            f"{statistics.median(times):7.1f} ms{max(times):7.1f} ms"
        )


if __name__ == "__main__":
    main()
