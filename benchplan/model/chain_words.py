"""What sets the finish, as a few sentences: the chain of waits with its like links folded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from benchplan import clock
from benchplan.model.binding import Wait, chain
from benchplan.model.day import Day
from benchplan.model.plan import Plan
from benchplan.model.wait_words import Speaker
from benchplan.model.words import count_words, list_words, tray_words

MOST = 8  # sentences
_WITHIN = ("own", "load", "preheat")  # a tray or its load going on, not waiting for another
_SCARCE = {
    "oven": "the oven",
    "mat": "room on the mat",
    "stand": "the stand",
    "pan": "a pan",
    "scale": "the scale",
    "hands": "hands",
    "break": "a break",
    "order": "their turn in the queue",
}


@dataclass(frozen=True, slots=True)
class _Run:
    """Waits of one after another, all for the same thing (or, once merged, for several)."""

    waits: tuple[Wait, ...]
    kinds: tuple[str, ...]
    from_s: int  # since when the first of them was held up by what it waited for

    @property
    def lasts(self) -> int:
        return self.waits[-1].until_s - self.from_s

    def with_(self, later: _Run) -> _Run:
        kinds = tuple(dict.fromkeys(self.kinds + later.kinds))
        return _Run(self.waits + later.waits, kinds, self.from_s)


def chain_words(day: Day, plan: Plan, most: int = MOST, now_s: int = 0) -> list[str]:
    """Say what sets the finish, from the start of the day to it, in at most ``most`` sentences.

    Trays that follow each other for the same reason are one sentence; ``most`` is at least 3.
    """
    waits = tuple(reversed(chain(day, plan, now_s)))
    if not waits:
        return []
    tell = _Teller(day, plan)
    runs = _runs(waits)
    while len(runs) > max(1, most - 2):
        at = min(range(len(runs) - 1), key=lambda at: runs[at].lasts + runs[at + 1].lasts)
        runs[at : at + 2] = [runs[at].with_(runs[at + 1])]
    return [tell.head(waits), *(tell.run(run) for run in runs), tell.tail(waits)]


def _runs(waits: Sequence[Wait]) -> list[_Run]:
    """Fold what comes after the first wait: each run is of waits for one thing, what lies within a
    tray left out. Hands that wait for a bake, a rest or a cooling in between are not busy all
    along, so what comes after is a run of its own.
    """
    runs: list[_Run] = []
    idle = 0
    begun = waits[0].until_s
    for wait in waits[1:]:
        held = wait.what not in _WITHIN or not wait.binds
        if held:
            kind = _kind(wait)
            run = _Run((wait,), (f"{kind} {idle}" if kind == "hands" else kind,), begun)
            if runs and runs[-1].kinds == run.kinds and wait.binds:
                runs[-1] = runs[-1].with_(run)
            else:
                runs.append(run)
        elif wait.could_s > wait.from_s:
            idle += 1
        begun = wait.until_s
    return runs


def _kind(wait: Wait) -> str:
    if not wait.binds:
        return "hole"
    kind = "hands" if wait.what == "exit" else wait.what
    return f"oven {wait.place}" if kind == "oven" else kind


class _Teller:
    """Says the parts of one plan's chain."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan = day, plan
        self.speak = Speaker(day, plan)
        self.at = self.speak.at

    def head(self, waits: Sequence[Wait]) -> str:
        """Say with what the chain begins."""
        first = waits[0]
        told = self.speak.words(first)
        if first.step == "preheat" and len(waits) > 1:
            at = self.at(waits[1].until_s)
            return f"{told[:-1]}; it is hot at {at}, and tray {waits[1].tray} goes in."
        return told

    def tail(self, waits: Sequence[Wait]) -> str:
        """Say how the last tray of the chain comes to its end, which is the day's."""
        last = waits[-1]
        within = []
        for wait in reversed(waits):
            within.append(wait)
            if wait.what not in _WITHIN or wait.tray != last.tray:
                break
        # The first of them is told already, or begins the day.
        steps = [step for wait in reversed(within[:-1]) for step in self._steps(wait)]
        ends = self.at(self.plan.finish_s)
        done = "cleared" if self.day.pack == "later" else "packed"
        if not steps:
            return f"Tray {last.tray} is {done} by {ends}: that is the finish."
        then = list_words([*steps, f"is {done}"])
        return f"Then tray {last.tray} {then} by {ends}: that is the finish."

    def _steps(self, wait: Wait) -> list[str]:
        """Say what a tray does once it waits for nothing but itself."""
        lag = wait.could_s - wait.from_s
        span = clock.show_span(lag)
        if wait.step == "pack":
            return [f"cools for {span}"] if lag else []
        if wait.step == "transfer":
            return [f"rests for {span}"] * bool(lag) + ["is moved to the mat"]
        return {
            "set": ["is set on its pan"],
            "load": [f"goes into {wait.place}"],
            "unload": [f"bakes for {span}"] if wait.because == "load" else ["comes out"],
        }[wait.step]

    def run(self, run: _Run) -> str:
        """Say one run."""
        first, last = run.waits[0], run.waits[-1]
        if len(run.waits) == 1:
            return self.speak.words(first)
        if len(run.kinds) > 1:
            return self._mixed(run)
        kind = run.kinds[0].split()[0]
        trays = self._trays(run)
        until = f"tray {last.tray}"
        at = self.at(last.until_s)
        if kind == "oven":
            return (
                f"{trays} follow each other in {last.place}, each as soon as the one before is "
                f"out and the oven has recovered; {until} goes in at {at}."
            )
        if kind == "mat":
            done = "cleared" if self.day.pack == "later" else "packed"
            return (
                f"{trays} follow each other on the mat, each when one before has cooled and is "
                f"{done}; {until} is moved at {at}."
            )
        if kind == "stand":
            out = self.at(self._out(last))
            return (
                f"{trays} follow each other on the stand, each coming out when one before has "
                f"left it; {until} comes out at {out}."
            )
        if kind == "pan":
            pan = self.plan.tray(last.tray or 0).pan
            return (
                f"{trays} follow each other on pan {pan}, each when one before is off it; "
                f"{until} is set at {at}."
            )
        if kind == "scale":
            changes = sum(wait.because == "change_scent" for wait in run.waits)
            cleaned = f" with {count_words(changes, 'change')} of scent" if changes else ""
            return f"{trays} are filled one after another{cleaned}; the last is begun at {at}."
        if kind == "hands":
            whose = "your hands go" if self.day.people == 1 else "hands go"
            return (
                f"From {self.at(run.from_s)} to {at} {whose} from one thing to the next "
                f"without a pause, at {tray_words(self._numbers(run))}."
            )
        return self._mixed(run)

    def _out(self, wait: Wait) -> int:
        step = self.plan.step(wait.tray or 0, "unload")
        return step.start_s if step else wait.until_s

    def _mixed(self, run: _Run) -> str:
        counts = Counter(_kind(wait).split()[0] for wait in run.waits)
        parts = [
            _SCARCE[kind] + (f" ({count} times)" if count > 1 else "")
            for kind, count in counts.most_common()
            if kind in _SCARCE
        ]
        holes = "; some of it could start sooner" if counts["hole"] else ""
        times = f"From {self.at(run.from_s)} to {self.at(run.waits[-1].until_s)}"
        trays = self._trays(run)
        trays = trays[0].lower() + trays[1:]
        wait = "wait" if len(self._numbers(run)) > 1 else "waits"
        return f"{times} {trays} {wait} in turn for {list_words(parts)}{holes}."

    def _numbers(self, run: _Run) -> tuple[int, ...]:
        """Return the trays of a run; of a run in an oven, all that are in its loads."""
        found: list[int] = []
        for wait in run.waits:
            for tray in (wait.for_tray, wait.tray):
                if tray is None:
                    continue
                load = self.plan.load_of(tray).trays if wait.what == "oven" else (tray,)
                found += load
        return tuple(sorted(dict.fromkeys(found)))

    def _trays(self, run: _Run) -> str:
        numbers = self._numbers(run)
        first, last = numbers[0], numbers[-1]
        if len(numbers) > 2 and last - first == len(numbers) - 1:
            return f"Trays {first} to {last}"
        if len(numbers) > 6:
            return f"{len(numbers)} trays from {first} to {last}"
        return tray_words(numbers).capitalize()
