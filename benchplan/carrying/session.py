"""What the app is working on: the open day, its plan, and the run. It knows nothing of Textual.

Screens read it and change it only through its methods; whoever must hear of a change (the app)
sets ``on_day`` and ``on_change``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from operator import is_
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.clock import AnchoredClock, Clock
from benchplan.keys import USUAL, key_of
from benchplan.model.ids import MarkKind

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.carrying.seeing import Seeing
    from benchplan.files import PlanFile
    from benchplan.live.state import State
    from benchplan.model import Action, Cannot, Day, Mark, Plan, Run, Settings

MOST_BEHIND_S = 2.0  # so far a clock may stand before the last mark without having been set back

MakeClock = Callable[[datetime, float], Clock]


def _nothing() -> None:
    """Tell nobody."""


class Session:
    """The open day. ``plan`` is None while it is being planned; before a day is read all is None.

    ``plan`` follows the marks during a run, ``base_plan`` is the plan that the run began with.
    ``message`` is what the band says; ``changed`` whether the day differs from its file.
    ``following``: another window carries the run, and this one only shows it.
    """

    def __init__(
        self, wall: Clock, speed: float = 1.0, make_clock: MakeClock = clock.FastClock
    ) -> None:
        self.wall = wall
        self.speed = speed
        self.make_clock = make_clock
        self.path: Path | None = None
        self.plan_file: PlanFile | None = None
        self.day: Day | None = None
        self.settings: Settings | None = None  # read with each file that is opened
        self.plan: Plan | Cannot | None = None
        self.base_plan: Plan | None = None
        self.run: Run | None = None
        self.following = False
        self.offer: tuple[Run, tuple[Mark, ...]] | None = None  # begun earlier, not complete
        self.own_day: Day | None = None  # the day as its file has it, while a run has moved it
        self.marks: tuple[Mark, ...] = ()
        self.changed = False
        self.message = ""
        self.sleep_words = ""  # whether the machine is set to sleep by itself
        self.searching = ""  # what a search for more tins is looking for
        # Words that are typed in place of keys, by action, where there are some.
        self.typed: Mapping[str, str] = {}
        self.on_day: Callable[[], None] = _nothing
        self.on_change: Callable[[], None] = _nothing
        self._run_clock: Clock | None = None
        self.marked_plan: Plan | None = None  # the plan that followed the last mark
        self.given_names: dict[int, str] = {}  # typed while the run is on
        self._shown: tuple[tuple[object, ...], tuple[Day, Plan]] | None = None
        self._seeing: Seeing | None = None  # made with the first run: it brings the live run

    # --- time -------------------------------------------------------------------------------

    @property
    def rehearsal(self) -> bool:
        """Whether the clock is not the real one; said on every screen."""
        return self.run.rehearsal if self.run else self.speed != 1

    def now(self) -> datetime:
        """Return the present instant by the day's clock; a rehearsal stands at the day's start
        until its run begins."""
        if self._run_clock is not None:
            return self._run_clock.now()
        if self.rehearsal and self.day is not None:
            return self.day.start
        return self.wall.now()

    def local_now(self) -> datetime:
        """Return the present instant in the day's zone."""
        now = self.now()
        return now.astimezone(self.day.start.tzinfo) if self.day else now.astimezone()

    def now_s(self) -> int:
        """Return whole seconds since the day's start; 0 before a day is read."""
        if self.day is None:
            return 0
        return math.floor(clock.elapsed(self.day.start, self.now()))

    # --- the day ----------------------------------------------------------------------------

    def open_file(self, plan_file: PlanFile) -> None:
        """Take a plan file that has been read as the open day; it has no plan yet."""
        from benchplan.files.settings import read_settings  # with the first file: paint first

        self.plan_file = plan_file
        self.path = plan_file.path
        self.settings, wrong = read_settings()
        self.day = self._mine(plan_file.day)
        self.plan = self.base_plan = None
        self.run, self.marks, self._run_clock = None, (), None
        self.offer, self.following, self.own_day, self.given_names = None, False, None, {}
        self.changed = False
        self.message = "\n".join(map(str, wrong))
        self.on_day()

    def use(self, settings: Settings) -> None:
        """Go by other settings of the maker's from now on."""
        self.settings = settings
        self.day = self._mine(self.day) if self.day else None
        self.on_change()

    def _mine(self, day: Day) -> Day:
        """Return a day with the maker's own keys, whichever file it comes from."""
        return day if day.keys == self.keys else replace(day, keys=self.keys)

    @property
    def asks(self) -> Settings | None:
        """What the open file asks for and the maker's settings do not say; None: nothing."""
        if self.plan_file is None or self.settings is None:
            return None
        found = self.settings.lacking(self.plan_file.asks)
        return None if found.empty else found

    def change_day(self, day: Day) -> bool:
        """Replace the day by an edited one and have it planned; refused while a run is on.

        Returns whether the day was taken. The plan is None until the new one is there.
        """
        if not self.may_change():
            return False
        self.day = day
        self.plan = self.base_plan = None
        self.changed = True
        self.message = ""
        self.on_day()
        return True

    @property
    def done(self) -> bool:
        """Whether the run on the Bench is over: complete, stopped or aborted."""
        from benchplan.model.record import UNENDED  # with the first run: paint first

        return self.run is not None and self.run.state not in UNENDED

    @property
    def keys(self) -> Mapping[str, tuple[str, ...]]:
        """The keys that the maker's settings rename."""
        return self.settings.keys if self.settings else USUAL

    def key(self, action: str) -> str:
        """Return what to press for an action, or what to type where words take the keys' place."""
        return self.typed.get(action) or key_of(action, self.keys)

    def may_change(self) -> bool:
        """Say whether the day may be changed; not while a run is on, and the band says so."""
        if self.run is None:
            return True
        what = (
            "The day that is over is still on the Bench. Put it away"
            if self.done
            else "A run is on. End it"
        )
        keys = f"{self.key('bench')}, then {self.key('end_run')}"
        self.tell(f"{what} ({keys}) before you change the day.")
        return False

    def file_day(self) -> Day | None:
        """Return the day as its file should have it, not as a run has moved it."""
        return self.own_day or self.day

    def saved(self, plan_file: PlanFile) -> None:
        """Note that the day is in its file; ``plan_file`` is that file as it reads now."""
        self.plan_file = plan_file
        self.changed = False
        self.on_change()

    def good_plan(self) -> Plan | None:
        """Return the plan where there is one: the day is planned and can be done."""
        # The records are imported with the first day, after the first screen is painted.
        from benchplan.model import Plan

        return self.plan if isinstance(self.plan, Plan) else None

    def shown(self) -> tuple[Day | None, Plan | Cannot | None]:
        """Return the day and its plan as pages show them: who came, and only trays that stay."""
        plan = self.good_plan()
        if self.run is None or self.day is None or plan is None:
            return self.day, self.plan
        key = (self.day, plan, self.marks)
        if self._shown is None or not all(map(is_, self._shown[0], key)):
            from benchplan import live

            marked = live.as_marked(self.day, plan, self.marks)
            self._shown = (key, (marked.day, marked.plan.staying()))
        return self._shown[1]

    def planned(self, day: Day, plan: Plan | Cannot) -> None:
        """Take the plan of ``day``; one for a day that has been edited since is left aside."""
        if day is not self.day:
            return
        self.plan = plan
        self.base_plan = self.good_plan()
        self.on_change()

    def learned_more(self, plan: Plan, more: Plan) -> None:
        """Take a plan that more is known of, unless another one has come meanwhile."""
        if self.plan is plan and self.run is None:
            self.plan = self.base_plan = more
            self.on_change()

    def tell(self, words: str) -> None:
        """Show words in the band until something else is said; an empty text clears it."""
        self.message = words
        self.on_change()

    def sleeps(self, words: str) -> None:
        """Hold what is said before a run of a machine that is set to sleep."""
        self.sleep_words = words
        self.on_change()

    @property
    def names(self) -> dict[int, str]:
        """What people are called, by their numbers, as far as it was said."""
        from benchplan.model import standing

        came = [mark.note for mark in standing(self.marks) if mark.what == MarkKind.PERSON_COMES]
        first = self.day.people + 1 if self.day else 1
        named = dict(enumerate(came, first)) | self.given_names
        return {person: name for person, name in named.items() if name}

    # --- the run ----------------------------------------------------------------------------

    def take_run(
        self, run: Run, day: Day, plan: Plan, marks: tuple[Mark, ...], following: bool = False
    ) -> None:
        """Carry out ``plan`` of ``day`` as ``run``; a rehearsal goes on from its last mark."""
        if run.rehearsal:
            last = clock.at(run.start, _last_s(marks))
            self._run_clock = self.make_clock(last, run.speed)
        else:
            self._run_clock = self.wall
            behind = _last_s(marks) - clock.elapsed(run.start, self.wall.now())
            if behind > MOST_BEHIND_S and isinstance(self.wall, AnchoredClock):
                self.wall.skip(behind)
                self.message = (
                    "The machine's clock stands before the last mark: it was set back. Time goes "
                    "on from that mark; how long ago it was is not known: look into the oven."
                )
        self.offer, self.own_day = None, self.own_day or self.day
        self.run, self.plan, self.base_plan, self.marks = run, plan, plan, marks
        self.day = self._mine(day)
        self.marked_plan, self.following, self._seeing = plan, following, None
        self.on_change()

    def marked(self, mark: Mark) -> None:
        """Hold a mark that is in the book."""
        self.marks = (*self.marks, mark)
        self.on_change()

    def followed(self, run: Run, new: tuple[Mark, ...]) -> None:
        """Hold what another window did: marks that are in the book, and the run's state."""
        self.run, self.marks = run, (*self.marks, *new)
        last = clock.at(run.start, _last_s(self.marks))
        if run.rehearsal and last > self.now():
            self._run_clock = self.make_clock(last, run.speed)  # each window has its own
        self.on_change()

    def leave_run(self) -> None:
        """Put the run away and go back to the day as its file has it."""
        self.run, self.marks, self._run_clock, self.following = None, (), None, False
        self.given_names = {}
        if isinstance(self.wall, AnchoredClock):
            self.wall.anchor()  # whatever it was set to meanwhile
        self.day, self.own_day = self.own_day or self.day, None
        self.plan = self.base_plan = None
        self.on_day()

    def possible(self) -> tuple[Action, ...]:
        """Return what may be done now, whatever the plan's order says; nothing without a run."""
        plan = self.good_plan() if self.run else None
        if self.day is None or plan is None:
            return ()
        from benchplan import live

        return live.possible(self.day, plan, self.marks)

    def replanned(self, marks: tuple[Mark, ...], plan: Plan) -> None:
        """Take the plan that follows ``marks``, unless more that changes it was marked since."""
        if self.run is not None and _moving(marks) == _moving(self.marks):
            self.plan = self.marked_plan = plan
            self.on_change()

    def forecast(self, marks: tuple[Mark, ...], plan: Plan) -> None:
        """Take a plan that differs only by the time that passed without a mark.

        What is overdue stays overdue since the moment that the plan before gave it.
        """
        if self.run is not None and _moving(marks) == _moving(self.marks):
            self.plan = plan
            self.on_change()

    def state(self) -> State | None:
        """Return the state of the run at this moment, or None without a run."""
        plan = self.good_plan() if self.run else None
        if self.day is None or plan is None:
            return None
        from benchplan.carrying.seeing import Moment, Seeing

        self._seeing = self._seeing or Seeing()
        moment = Moment(self.day, plan, self.marked_plan or plan, self.marks, self.now_s())
        return self._seeing.state(moment)


def _last_s(marks: tuple[Mark, ...]) -> int:
    return max((mark.entered_s for mark in marks), default=0)


def _moving(marks: tuple[Mark, ...]) -> tuple[int, ...]:
    from benchplan.model.run import moving

    return moving(marks)
