"""Whatever happens in a run, its state and its plan say what a plain model of it says."""

from __future__ import annotations

from hypothesis import settings
from hypothesis.stateful import run_state_machine_as_test
from run_machine import RunMachine


def test_whatever_happens_the_run_is_what_was_marked() -> None:
    run_state_machine_as_test(
        RunMachine, settings=settings(max_examples=60, stateful_step_count=25)
    )
