"""How the time for a plan grows with the day, beside n log n; run by hand, on a quiet machine.

``plan`` of orders of one tin each and of orders of twenty, text and all, in a process of its own:
the seconds of work, the ratio to the day of half the size, and what n log n would make of it. Then
a day with eighty alike pans, and a number of tins that no pan can hold.
"""

from __future__ import annotations

import math
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
MOST_S = 10
ORDERS = {1: (50, 100, 200, 400, 800, 1600), 20: (25, 50, 100, 200)}
PAN = """[pans.p{number}]
inside = ["270 mm", "200 mm"]
outside = ["285 mm", "215 mm"]
count = {count}
"""
KIT = """[recipes.plain]
tin = "tin"
fill = "31 g"
bake_at = "158 degC"
bake_for = "8 min"
cool_for = "32 min"
[tins.tin]
diameter = "61 mm"
height = "21 mm"
[ovens.oven]
shelf = ["350 mm", "280 mm"]
[cooling]
where = "mat"
mat_tins = 26
"""


def day(orders: int, tins: int, pans: int = 1, own: str = "tins = { tin = 8 }\n") -> str:
    """Return a plan file of so many orders, each a scent of its own, and kinds of alike pans."""
    head = 'format = 1\nname = "bench"\n[day]\ndate = 2026-12-05\nstart = 08:15:00\n'
    wanted = "".join(
        f'[[orders]]\nscent = "scent {number}"\nrecipe = "plain"\ntins = {tins}\n'
        for number in range(orders)
    )
    kinds = "".join(PAN.format(number=number, count=2) + own for number in range(pans))
    return head + wanted + KIT + kinds


def seconds(text: str, folder: Path, code: int = 0) -> float:
    """Return the seconds of work that ``plan`` takes for a day, start and text included."""
    path = folder / "day.toml"
    path.write_text(text, encoding="utf-8")
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    done = subprocess.run(
        [sys.executable, "-m", "benchplan", "plan", str(path)],
        cwd=ROOT,
        env={**os.environ, "BENCHPLAN_HOME": str(folder / "home")},
        capture_output=True,
        check=False,
    )
    assert done.returncode == code, done.stderr.decode()
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        seconds(day(1, 1), folder)  # warms the caches
        for tins, sizes in ORDERS.items():
            last_s, last = 0.0, 0
            for orders in sizes:
                found_s = seconds(day(orders, tins), folder)
                said = f"{orders:5} orders of {tins:2}: {found_s:6.2f} s"
                if last:
                    fair = orders * math.log(orders) / (last * math.log(last))
                    said += f", {found_s / last_s:.2f} times as long (n log n: {fair:.2f})"
                print(said, flush=True)
                last_s, last = found_s, orders
        print(f"400 orders of 1 and 100 of 20: at most {MOST_S} s")
        print(f"one order of 10 000 tins: {seconds(day(1, 10_000), folder):.2f} s")
        for pans in (1, 80):
            for turn in ("first", "again"):
                found_s = seconds(day(2, 40, pans, own=""), folder)
                print(f"{pans:2} alike pans, {turn}: {found_s:.2f} s")
        slip = day(1, 10, own="tins = { tin = 9000 }\n")
        print(f"9000 tins on a pan, refused after {seconds(slip, folder, code=2):.2f} s")


if __name__ == "__main__":
    main()
