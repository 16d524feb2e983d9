"""The app: holds the session, ticks once a second, changes screens. Screens do the rest."""

from __future__ import annotations

import asyncio
import contextlib
import importlib
import math
import signal
import sys
from collections.abc import Callable
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.screen import Screen

from benchplan import clock as time
from benchplan.carrying.session import MakeClock, Session
from benchplan.carrying.watch import Watcher
from benchplan.carrying.work import plan as plan_of
from benchplan.clock import AnchoredClock, Clock, Reading
from benchplan.errors import BenchplanError
from benchplan.home.log_file import LOG, SEE_LOG, log_to_file
from benchplan.screens import jobs
from benchplan.screens.actions import DIALOG, EVERYWHERE, bindings, help_groups, keymap
from benchplan.screens.base import DayScreen
from benchplan.screens.bells import Bells
from benchplan.screens.messages import Failed, Finished
from benchplan.screens.quick import put_aside, share_often
from benchplan.screens.theme import LOOKS, theme

if TYPE_CHECKING:
    from benchplan.carrying.clumsy import Clumsy
    from benchplan.files import PlanFile
    from benchplan.model import Cannot, Day, Plan
    from benchplan.screens.runs import Runs
    from benchplan.screens.saving import Saving
    from benchplan.screens.searching import Searching

BAD_INPUT = 2
HELD_S = 0.6  # presses nearer to each other than this come from a key that is held down

HANGUP = getattr(signal, "SIGHUP", 1)  # Windows has no such signal


class BenchApp(App[None], inherit_bindings=False):
    """benchplan on a terminal. ``ticking`` False leaves the ticks to the caller (tests).

    ``first`` is the screen that a day opens on. A ``maker`` marks whatever runs at every tick.
    """

    CSS_PATH = Path(__file__).with_name("base.tcss")
    ENABLE_COMMAND_PALETTE = False
    BINDINGS = bindings(EVERYWHERE)
    AUTO_FOCUS = None

    def __init__(
        self,
        path: Path | None = None,
        speed: float = 1.0,
        clock: Clock | None = None,
        *,
        make_clock: MakeClock = time.FastClock,
        monotonic: Callable[[], float] = time.monotonic,
        readings: Callable[[], Reading] | None = None,
        ticking: bool = True,
        first: str = "orders",
        maker: Clumsy | None = None,
    ) -> None:
        super().__init__()
        log_to_file()
        self.session = Session(clock or AnchoredClock(), speed, make_clock)
        self._watcher = Watcher(self.session, readings) if readings else None
        self.session.on_change = self.show
        self.session.on_day = self._plan_day
        self.jobs = jobs.Jobs(self)
        self.refused: BenchplanError | None = None
        self.bells = Bells(self)
        self._keys = self.session.keys
        self.monotonic = monotonic
        self._path = path
        self._ticking = ticking
        self._first, self._maker = first, maker
        self._aside = False  # whether what is loaded by now is out of the interpreter's sweeps
        self._pressed = "", -math.inf  # the last key that marked or answered, and when
        self._in_terminal = _terminal()
        for name in LOOKS:
            self.register_theme(theme(name))
        self.theme = "without colour" if self.no_color else "dark"
        for name in list(self.available_themes):
            if name not in LOOKS:
                self.unregister_theme(name)

    # What a first screen does not need is imported when it is used: paint first.

    @cached_property
    def runs(self) -> Runs:
        """The run behind the Bench."""
        from benchplan.screens.runs import Runs

        return Runs(self)

    @cached_property
    def saving(self) -> Saving:
        """Save and save as."""
        from benchplan.screens.saving import Saving

        return Saving(self)

    @cached_property
    def searching(self) -> Searching:
        """The search for more tins on a pan."""
        from benchplan.screens.searching import Searching

        return Searching(self)

    # --- screens ----------------------------------------------------------------------------

    def get_default_screen(self) -> Screen[None]:
        """The first screen: the start page, or an empty frame until the named file is read."""
        return self._screen("start") if self._path is None else DayScreen()

    def _screen(self, name: str) -> DayScreen:
        """Return a screen, made at its first use; each lives in the module of its own name."""
        if name not in self._installed_screens:
            module = importlib.import_module(f"benchplan.screens.{name}")
            self.install_screen(getattr(module, f"{name.capitalize()}Screen")(), name)
        found = self.get_screen(name)
        assert isinstance(found, DayScreen)
        return found

    @property
    def given_a_file(self) -> bool:
        """Whether the app was started with a plan file: then there is no start page."""
        return self._path is not None

    @property
    def first_page(self) -> Screen[None]:
        """The screen that the app began with; it stays underneath all others."""
        return self.screen_stack[0]

    def action_go(self, name: str) -> None:
        """Open one of the six screens, if there is something for it to show."""
        if self.session.day is None and not self.given_a_file and name != "book":
            key = self.session.key("choose")
            self.session.tell(f"Open a day first: choose a line of the start page, press {key}.")
            return
        self.session.message = ""  # it was about what the screen before showed
        self._go(name)

    def action_to_start(self) -> None:
        """Clear the band and go back: to a screen's first page, or without a day to the start."""
        if isinstance(self.screen, DayScreen):
            self.screen.back()
        if self.session.day is None and not self.given_a_file and len(self.screen_stack) > 1:
            self.pop_screen()
        self.session.tell("")

    def _go(self, name: str) -> None:
        screen = self._screen(name)
        if len(self.screen_stack) == 1:
            self.push_screen(screen)  # the first screen stays underneath: it cannot be switched
        else:
            self.switch_screen(screen)

    def show(self) -> None:
        """Bring the open screen up to date, under a question too."""
        if self._keys is not self.session.keys:
            self._keys = self.session.keys
            self.set_keymap(keymap(self._keys))
        for screen in reversed(self.screen_stack):
            if isinstance(screen, DayScreen):
                screen.show()
                break
        else:
            return
        if self.screen is not screen:
            from benchplan.screens.dialogs import Dialog

            if isinstance(self.screen, Dialog):
                self.screen.show_band(*screen.band_words(self.size.width))

    # --- work -------------------------------------------------------------------------------

    def on_mount(self) -> None:
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, HANGUP):
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, self._ended_by, number)
        if self._ticking:
            self._arm()
        if self._path is not None:
            self.call_after_refresh(self.open_path, self._path, self._refuse)

    def open_path(
        self, path: Path, refused: Callable[[BenchplanError], None] | None = None
    ) -> None:
        """Read a plan file in a worker and make it the open day."""
        self.jobs.start("read", partial(jobs.read, path), self._opened, refused)

    def _refuse(self, error: BenchplanError) -> None:
        """End the app: the file that it was started with cannot be used."""
        self.refused = error
        self.leave(BAD_INPUT)

    def _opened(self, plan_file: PlanFile) -> None:
        """Take a day that has been read; a run of it that is not complete is offered first."""
        self.session.open_file(plan_file)
        if plan_file.path is not None:
            self.runs.remember(plan_file.path, plan_file.day.name)
        self.runs.look_for_unfinished()
        if self._watcher is not None:
            self.jobs.start("sleep", jobs.sleep_words, self.session.sleeps)
        if self.session.offer is not None:
            self._go("bench")
        elif self.screen is self.first_page or not self.given_a_file:
            self._go(self._first)
        else:
            self.show()  # a key has opened another screen meanwhile: that one was wanted

    def _plan_day(self) -> None:
        """Plan the session's day in a worker; called whenever the day changes."""
        day = self.session.day
        self.show()
        if day is not None:
            work = partial(plan_of, day, self.searching.known)
            self.jobs.start("plan", work, partial(self._planned, day))

    def _planned(self, day: Day, plan: Plan | Cannot) -> None:
        self.session.planned(day, plan)
        self.searching.begin()
        self.look_for_more()

    def look_for_more(self) -> None:
        """Plan with one more of each thing in a worker, once no search may change the plan."""
        day, plan = self.session.day, self.session.good_plan()
        self.jobs.cancel("more")
        if day is None or plan is None or self.session.run or self.searching.on:
            return
        work = partial(jobs.more, day, plan, self.searching.known)
        self.jobs.start("more", work, partial(self.session.learned_more, plan))

    def on_finished(self, message: Finished) -> None:
        message.take()

    def on_failed(self, message: Failed) -> None:
        self.session.tell(message.words)

    # --- time -------------------------------------------------------------------------------

    def _arm(self) -> None:
        """Wait for the next whole second of the clock; each tick arms the next."""
        part = self.session.wall.now().microsecond / 1_000_000
        self.set_timer(1.0 - part + 0.002, self._ticked)

    def _ticked(self) -> None:
        if self._in_terminal and not _terminal():
            # It went without a signal: nobody can see the count, and what is marked is in the book.
            self._ended_by(HANGUP)
            return
        self._arm()
        self.tick()

    def tick(self) -> None:
        """Show the present second. Whatever goes wrong is logged, and the count goes on."""
        try:
            if self._watcher is not None:
                self._watcher.look()
            if self.session.run is not None:
                self.runs.look_for_marks()
                if not self._aside:
                    put_aside()
                    self._aside = True
            self.show()
            state = self.session.state()
            if state is not None:
                if self._maker is not None:
                    self._maker.act(self.session, self.runs)
                self.runs.replanning.foresee()
            self.bells.tick(state)
        except Exception:
            LOG.exception("a tick failed")
            self.session.message = f"A tick failed; the count goes on. {SEE_LOG}"

    def held_down(self, key: str = "enter") -> bool:
        """Whether a key that marks or answers is one that is held down.

        Nobody reads as fast as a key repeats. Asked once for each press.
        """
        now, (last, before) = self.monotonic(), self._pressed
        self._pressed = key, now
        return key == last and now - before < HELD_S

    # --- keys that work everywhere ------------------------------------------------------------

    def action_save(self) -> None:
        self.saving.save()

    def action_save_as(self) -> None:
        self.saving.save_as()

    def action_look(self) -> None:
        names = list(LOOKS)
        self.theme = names[(names.index(self.theme) + 1) % len(names)]

    def action_help(self) -> None:
        from benchplan.screens.dialogs import Reading
        from benchplan.views.help import help_rows

        here = DIALOG
        if isinstance(self.screen, DayScreen):
            here = self.screen.NAME
        elif self.screen.name == "keys":
            return  # they are on show
        groups = help_groups(here, self.session.keys)
        self.push_screen(Reading("Keys", lambda width: help_rows(groups, width), name="keys"))

    # --- leaving ----------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Leave, asking first while a run is on or the day is not saved."""
        from benchplan.model.record import UNENDED
        from benchplan.screens.dialogs import Ask

        run, words = self.session.run, []
        on = run is not None and run.state in UNENDED
        if on:
            words.append(
                "The run goes on in the bench book: open the day again to go on where it is. "
                "While benchplan is closed nothing counts down."
            )
        if self.session.changed:
            words.append("The day has changes that are not saved: they will be lost.")
        if not words:
            self.leave(0)
            return
        title = "A run is on. Leave all the same?" if on else "Leave without saving?"
        ask = Ask(title, "\n".join(words), yes="Leave", no="Stay")
        self.push_screen(ask, lambda yes: self.leave(0) if yes else None)

    def leave(self, code: int) -> None:
        """End the app with a return code."""
        self.jobs.cancel_all()
        self.bells.close()
        if "runs" in self.__dict__:
            self.runs.close()
        self.exit(return_code=code)

    def _ended_by(self, number: int) -> None:
        self.leave(128 + number)


def _terminal() -> bool:
    """Whether the keys come from a terminal that is still there."""
    return sys.__stdin__ is not None and sys.__stdin__.isatty()


def run_app(
    path: Path | None = None,
    speed: float = 1.0,
    clock: Clock | None = None,
    *,
    first: str = "orders",
    seed: int | None = None,
) -> int:
    """Run the app to its end and return the exit code; a seed brings a clumsy maker.

    Raises ``BenchplanError`` when the plan file cannot be read.
    """
    maker = None
    if seed is not None:
        from benchplan.carrying.clumsy import Clumsy

        maker = Clumsy(seed)
    clock = clock if speed == 1 else None
    share_often()
    app = BenchApp(path, speed, clock, readings=time.reading, first=first, maker=maker)
    app.run(mouse=False)
    if app.refused is not None:
        raise app.refused
    return app.return_code or 0
