"""One wait as a sentence for people."""

from __future__ import annotations

from collections.abc import Mapping

from benchplan import clock, units
from benchplan.model.binding import Wait
from benchplan.model.day import Day
from benchplan.model.plan import Plan
from benchplan.model.words import at_clock

_STARTS = {
    "fill": "{tray} is filled from {at} on",
    "set": "{tray} is set on its pan at {at}",
    "load": "{tray} goes into {place} at {at}",
    "bake": "{tray} bakes from {at} on",
    "unload": "{tray} comes out of {place} at {at}",
    "rest": "{tray} stands from {at} on",
    "transfer": "{tray} is moved to the mat at {at}",
    "cool": "{tray} cools from {at} on",
    "pack": "{tray} is packed at {at}",
    "clear": "{tray} is cleared at {at}",
    "change_scent": "The change of scent before {tray} starts at {at}",
    "preheat": "The preheat of {place} starts at {at}",
}
_GOES_ON = {
    "fill": "The fill of {tray} goes on at {at}",
    "transfer": "The move of {tray} to the mat goes on at {at}",
    "pack": "The packing of {tray} goes on at {at}",
    "clear": "The clearing of {tray} goes on at {at}",
}
_AT_WORK = {
    "fill": "filling {tray}",
    "set": "setting {tray} on its pan",
    "load": "loading {tray}",
    "unload": "taking {tray} out",
    "transfer": "moving {tray} to the mat",
    "pack": "packing {tray}",
    "clear": "clearing {tray}",
    "change_scent": "cleaning scoop and scale before {tray}",
}
# What a step waits for when it waits for the one before it.
_OWN = {
    "fill": "as soon as its tins before are filled",
    "set": "as soon as it is filled",
    "load": "as soon as it is on its pan",
    "bake": "as soon as it is in",
    "rest": "as soon as it is out",
    "cool": "as soon as it is there",
}


def words(day: Day, plan: Plan, wait: Wait) -> str:
    """Say why some work starts when it does: a sentence, or two where nothing holds it up."""
    return Speaker(day, plan).words(wait)


class Speaker:
    """Says waits of one plan."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day = day
        self._trays = {tray.number: tray for tray in plan.trays}
        self._starts = {(step.tray, step.step): step.start_s for step in plan.steps}

    def words(self, wait: Wait) -> str:
        if not wait.binds:
            return self._idle(wait)
        told = {
            "start": self._start,
            "own": self._own,
            "load": self._load,
            "hands": self._hands,
            "exit": self._exit,
            "break": self._break,
            "scale": self._scale,
            "pan": self._pan,
            "stand": self._stand,
            "mat": self._mat,
            "oven": self._oven,
            "preheat": self._preheat,
            "order": self._order,
            "late": self._late,
        }[wait.what]
        return f"{told(wait)}."

    # -- parts of sentences -----------------------------------------------------------------

    def at(self, seconds: float, exactly: bool = False) -> str:
        return at_clock(self.day, seconds, exactly)

    def starts(self, wait: Wait, exactly: bool = False) -> str:
        """Say what starts when: "Tray 7 is moved to the mat at 11:40"."""
        forms: Mapping[str, str] = _GOES_ON if wait.part else _STARTS
        return forms[self._step(wait.step)].format(
            tray=f"{'Tray' if forms is _STARTS else 'tray'} {wait.tray}"
            if wait.step != "change_scent"
            else f"tray {wait.tray}",
            place=wait.place,
            at=self.at(wait.until_s, exactly),
        )

    def _step(self, step: str) -> str:
        return "clear" if step == "pack" and self.day.pack == "later" else step

    def _at_work(self, wait: Wait) -> str:
        """Say who is at what until then: "you are packing tray 4"."""
        who = self.who(wait)
        if wait.because == "break":
            return f"{who.replace(' are', ' have').replace(' is', ' has')} a break"
        return f"{who} {_AT_WORK[self._step(wait.because)].format(tray=f'tray {wait.for_tray}')}"

    def who(self, wait: Wait) -> str:
        return "you are" if self.day.people == 1 else f"person {wait.busy} is"

    # -- one sentence for each kind of wait -------------------------------------------------

    def _idle(self, wait: Wait) -> str:
        exactly = self.at(wait.could_s) == self.at(wait.until_s)
        return (
            f"{self.starts(wait, exactly)}. Nothing holds it up: it could start at "
            f"{self.at(wait.could_s, exactly)}."
        )

    def _start(self, wait: Wait) -> str:
        return f"{self.starts(wait)}, {'now' if wait.until_s else 'when the day begins'}"

    def _own(self, wait: Wait) -> str:
        return f"{self.starts(wait)}, {self._own_reason(wait)}"

    def _own_reason(self, wait: Wait) -> str:
        lag = clock.show_span(wait.could_s - wait.from_s)
        if wait.step == "unload":
            return f"when its bake of {lag} ends"
        if wait.step == "transfer" and not wait.part:
            return f"once it has rested {lag}" if wait.could_s > wait.from_s else _OWN["rest"]
        if wait.step == "pack" and not wait.part:
            return f"once it has cooled {lag}" if wait.could_s > wait.from_s else _OWN["cool"]
        return _OWN.get(wait.step, "as soon as that can be")

    def _load(self, wait: Wait) -> str:
        other = f"tray {wait.for_tray}"
        if wait.because == "set":
            return f"{self.starts(wait)}, together with {other}, which is on its pan only then"
        return f"{self.starts(wait)}, right after {other} of the same load"

    def _hands(self, wait: Wait) -> str:
        alone = self.day.people == 1
        nobody = "" if alone else ", and nobody else can do it sooner"
        return f"{self.starts(wait)}: until then {self._at_work(wait)}{nobody}"

    def _exit(self, wait: Wait) -> str:
        return (
            f"{self._in_to_come_out(wait)}, when hands are free: until "
            f"{self.at(wait.from_s)} {self._at_work(wait)}{self._kept_free()}"
        )

    def _kept_free(self) -> str:
        ready = self.day.times.ready_s
        return f", and hands stay free for {clock.show_span(ready)} before" if ready else ""

    def _in_to_come_out(self, wait: Wait) -> str:
        out = self._starts[wait.tray or 0, "unload"]
        if wait.step == "unload":
            return self.starts(wait)
        return f"{self.starts(wait)} to come out at {self.at(out)}"

    def _break(self, wait: Wait) -> str:
        if wait.step == "preheat" or not wait.busy:
            return f"{self.starts(wait)}, when the break is over"
        whose = "your break" if self.day.people == 1 else f"the break of person {wait.busy}"
        return f"{self.starts(wait)}, when {whose} is over"

    def _scale(self, wait: Wait) -> str:
        other = "it" if wait.for_tray == wait.tray else f"tray {wait.for_tray}"
        scale = "the scale" if self.day.scales == 1 else wait.place
        if wait.because == "change_scent":
            scale = scale.removeprefix("the ")
            return f"{self.starts(wait)}, as soon as scoop and {scale} are clean"
        if wait.step == "change_scent":
            done = (
                f"its tins before are filled at {scale}"
                if other == "it"
                else (
                    f"{other} is filled at {scale}" if self.day.scales > 1 else f"{other} is filled"
                )
            )
            return f"{self.starts(wait)}, as soon as {done}"
        return f"{self.starts(wait)}: until then {other} is on {scale}"

    def _pan(self, wait: Wait) -> str:
        pan = self._trays[wait.tray or 0].pan
        lag = wait.could_s - wait.from_s
        left = f"tray {wait.for_tray} is off one at {self.at(wait.from_s)}"
        if self.day.pans[pan].count == 1:
            left = f"tray {wait.for_tray} is off it at {self.at(wait.from_s)}"
        more = f", and it stays taken for {clock.show_span(lag)} more" if lag else ""
        return f"Tray {wait.tray} waits for pan {pan} until {self.at(wait.until_s)}: {left}{more}"

    def _stand(self, wait: Wait) -> str:
        place = "a place on the stand" if self.day.cooling.stand > 1 else "the stand"
        if wait.step == "unload":
            return (
                f"{self.starts(wait)} and no sooner, so that {place} is free: "
                f"tray {wait.for_tray} is there until then"
            )
        return (
            f"{self._in_to_come_out(wait)}, when {place} is free: "
            f"tray {wait.for_tray} is there until {self.at(wait.from_s)}"
        )

    def _mat(self, wait: Wait) -> str:
        packed = self._starts[wait.for_tray or 0, "pack"]
        done = "cleared" if self.day.pack == "later" else "packed"
        return (
            f"Tray {wait.tray} waits for room on the mat until {self.at(wait.until_s)}, because "
            f"tray {wait.for_tray} cools there until {self.at(packed)} and is {done} by "
            f"{self.at(wait.from_s)}"
        )

    def _oven(self, wait: Wait) -> str:
        lag = wait.could_s - wait.from_s
        if not lag:
            return f"{self.starts(wait)}, as soon as tray {wait.for_tray} is out"
        recover = self.day.ovens[wait.place].recover_s
        needs = f"the oven takes {clock.show_span(lag)} to recover"
        if lag > recover:
            recipe = self.day.recipes[self._trays[wait.tray or 0].recipe]
            heat = units.show_temperature(recipe.bake_at_c, self.day.display.units)
            needs = f"the oven takes {clock.show_span(lag)} to be at {heat}"
        out = self.at(wait.from_s)
        return f"{self.starts(wait)}: tray {wait.for_tray} is out at {out}, and {needs}"

    def _preheat(self, wait: Wait) -> str:
        return f"{self.starts(wait)}, when the oven is hot"

    def _order(self, wait: Wait) -> str:
        return (
            f"{self.starts(wait)}, not before tray {wait.for_tray}: the order of the queue is kept"
        )

    def _late(self, wait: Wait) -> str:
        return (
            f"{self.starts(wait)}, as late as possible: tray {wait.for_tray} goes in at "
            f"{self.at(wait.from_s)}"
        )
