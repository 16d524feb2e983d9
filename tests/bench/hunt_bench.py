"""The suite's property tests with fresh seeds, for what its fixed examples miss; run by hand.

``python tests/bench/hunt_bench.py --minutes 60`` goes through every test file with random examples
again and again, a new seed each time, and prints each failure with the line that repeats it. A
find becomes a test of its own beside the property, with the example written out. Names of files
(``tests/planning/test_days.py``) hunt in these alone.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from pathlib import Path
from random import SystemRandom

ROOT = Path(__file__).parents[2]
NONE_HERE = 5  # pytest's exit code where no test was chosen


def property_tests() -> list[str]:
    """Return the test files that draw examples."""
    tests = ROOT / "tests"
    return sorted(
        str(path.relative_to(ROOT))
        for path in tests.glob("*/test_*.py")
        if "hypothesis" in path.read_text(encoding="utf-8") or path.stem.endswith("anything")
    )


def tried(path: str, seed: int) -> str:
    """Return what pytest says of a file's property tests with a seed; empty where all pass."""
    command = [
        *("-m", "pytest", "-n", "0", "-q", "--tb=short", "-p", "no:cacheprovider"),
        *("-m", "hypothesis", "--hypothesis-profile=hunt", f"--hypothesis-seed={seed}", path),
    ]
    done = subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode in (0, NONE_HERE):
        return ""
    return f"{sys.executable} {' '.join(command)}\n{done.stdout}{done.stderr}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="*", help="test files; all with random examples if none")
    parser.add_argument("--minutes", type=float, default=10.0)
    given = parser.parse_args()
    paths = given.files or property_tests()
    end = time.monotonic() + 60 * given.minutes
    runs = failed = 0
    while time.monotonic() < end:
        seed = SystemRandom().getrandbits(64)
        for path in paths:
            if time.monotonic() >= end:
                break
            said = tried(path, seed)
            runs += 1
            failed += bool(said)
            if said:
                print(said, flush=True)
    print(f"{runs} runs of a file, {failed} of them with a failure")


if __name__ == "__main__":
    main()
