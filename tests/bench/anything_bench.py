"""Random sequences of marks beside a plain model of a run: how many went how; run by hand.

    python tests/bench/anything_bench.py 10000 1

The machine of tests/carrying marks whatever may be marked, replans after each mark, and compares
the run with what a person with a pencil would say of it. Nothing is shrunk: a sequence that fails
is printed with its seed, and the next batch goes on. The second number is the first batch's seed.
"""

from __future__ import annotations

import sys
import time
import traceback
from collections import Counter
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import run_state_machine_as_test

sys.path.insert(0, str(Path(__file__).parents[1] / "carrying"))

from run_machine import RunMachine

from benchplan.model import Mark, standing
from benchplan.model.ids import MarkKind

BATCH = 250
STEPS = 25
LAST_S = 600.0  # real seconds between two lines about how far it is


class Figures:
    """What the sequences of all batches had in them."""

    def __init__(self) -> None:
        self.sequences = 0
        self.marks: Counter[str] = Counter()
        self.taken_back: Counter[str] = Counter()
        self.outcomes: Counter[str] = Counter()
        self.longest = 0

    def count(self, machine: RunMachine) -> None:
        """Count a sequence as it stands before all of it is taken back."""
        marks: tuple[Mark, ...] = machine.marks
        self.sequences += 1
        self.longest = max(self.longest, len(marks))
        self.marks.update(mark.what for mark in marks)
        kept = {mark.number for mark in standing(marks)}
        self.taken_back.update(
            mark.what for mark in marks if mark.number not in kept and mark.what != "take back"
        )
        self.outcomes[_outcome(machine)] += 1


def _outcome(machine: RunMachine) -> str:
    model = machine.model
    if model.ending == "abort":
        return "aborted"
    if model.complete:
        return "stopped, all that was hot packed" if model.ending else "all packed"
    return {"stop": "stopping", "": "held" if model.held else "still on"}[model.ending]


def counted(figures: Figures, last: list[RunMachine]) -> type[RunMachine]:
    """Return the machine, counting; ``last`` holds the one that runs now."""

    class Counted(RunMachine):
        def __init__(self) -> None:
            super().__init__()
            last[:] = [self]

        def teardown(self) -> None:
            if hasattr(self, "day"):
                figures.count(self)
                last[:] = [self]
                super().teardown()

    return Counted


def told(machine: Any) -> str:
    """Say the sequence of a machine so that a hand test can be made of it."""
    if not hasattr(machine, "day"):
        return "no day was begun"
    day = machine.day
    where = "pan" if day.on_pan else "mat"
    head = f"make_day(people={day.people}, scents={len(day.orders)}, on_pan={where == 'pan'})"
    return "\n".join([head, f"now {machine.now} s", *(f"    {mark!r}" for mark in machine.marks)])


def main() -> None:
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    number = first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    figures, last, failed = Figures(), list[RunMachine](), 0
    begin = said = time.perf_counter()
    while figures.sequences < wanted and failed < 20:
        batch = settings(
            max_examples=min(BATCH, wanted - figures.sequences),
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
            print_blob=False,
        )
        test = counted(figures, last)
        before = figures.sequences
        try:
            seed(number)(run_state_machine_as_test)(test, settings=batch)
        except Exception:
            failed += 1
            print(f"FAILED in the batch of seed {number}:\n{traceback.format_exc()}")
            print("\n".join(told(machine) for machine in last), flush=True)
        if figures.sequences == before:
            print(f"seed {number} made no sequence", flush=True)
        number += 1
        if time.perf_counter() - said > LAST_S / 10:
            said = time.perf_counter()
            print(f"{figures.sequences} sequences, {failed} failed", flush=True)
    seconds = time.perf_counter() - begin
    print(f"sequences: {figures.sequences}, seeds {first} to {number - 1}, in {seconds:.0f} s")
    print(f"failed: {failed}")
    print(f"marks: {figures.marks.total()}, at most {figures.longest} in one sequence")
    for what in MarkKind:
        print(f"  {what}: {figures.marks[what]}, taken back {figures.taken_back[what]}")
    for outcome, times in figures.outcomes.most_common():
        print(f"ended {outcome}: {times}")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
