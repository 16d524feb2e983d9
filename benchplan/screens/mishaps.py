"""What the keys of the Bench ask before something becomes a mark: how long, how many, which, why.

Each question is answered by a few keys; none stands in the way of an oven's exit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from benchplan.carrying import mishaps, safety
from benchplan.model import Action, MarkKind
from benchplan.model.words import tray_words
from benchplan.screens.dialogs import Field, Fields
from benchplan.screens.marking import Marking
from benchplan.views.bench import who_words
from benchplan.views.standing import still_hot

ENDS = (
    ("stop", "Stop for today: what is hot is finished, the rest is for another day"),
    ("abort", "Abort: all ends at once, every oven is switched off now"),
)


class Mishaps(Marking):
    """What the keys of one Bench ask, and mark."""

    # --- keys of their own ------------------------------------------------------------------

    def hold(self) -> None:
        """Hold the run, or go on with it."""
        self._make(
            lambda bench: mishaps.mark_of(
                bench, MarkKind.HOLD if bench.state.held_s is None else MarkKind.GO_ON
            )
        )

    def longer(self) -> None:
        """Bake a minute longer."""
        self._make(mishaps.longer)

    def happened(self) -> None:
        """Choose what happened from a list, which is always the same."""
        if self._bench() is None:
            return
        self._choose(
            "Something happened",
            "",
            [
                ("Late: away from the bench for some minutes", self._late),
                ("Interrupted: only so many tins of this tray are filled", self._filled),
                ("Under-baked: what is out goes back into the oven", self._back_in),
                ("Scrapped: tins over-baked, dropped or spilled", self._scrap),
                ("Thermometer: what the one in the oven shows", self.reading),
                ("Checked: the tins of a tray that was set aside are not hot", self._checked),
                ("Judged: an oven that had to stay shut is cool and open", self._judged),
                ("Oven failed: stop using it today", self._oven_out),
                ("Not dry: the beads of a scent fail the dry test after all", self._wet),
                ("A helper is here from now on", self._comes),
                ("The person of this card leaves for the day", self._goes),
                ("A name for the person of this card", self._name),
            ],
        )

    def end(self) -> None:
        """Stop for today or abort; a run that is ending already, or is over, is put away."""
        session, state = self._screen.session, self._screen.session.state()
        runs = self._screen.bench_app.runs
        if session.run is None or state is None or state.complete:
            runs.ask_to_end()
            return
        if state.ending and not any(hot.trays for hot in state.hot):
            runs.ask_to_end()
            return

        def take(how: str) -> None:
            if how == "stop":
                self._make(lambda bench: mishaps.mark_of(bench, MarkKind.STOP))
                return
            self._sure(
                lambda bench: mishaps.mark_of(bench, MarkKind.ABORT),
                "Abort: switch every oven off now",
                "Ovens are off: abort",
                f"All ends at once.{hot} Smoke or a sharp smell: leave the doors shut, air the "
                "room, leave. Otherwise stay until everything is cool.",
            )

        hot = f" Hot now: {still_hot(state)}." if state.hot else ""
        ends = ENDS[1:] if state.ending else ENDS
        names, said = [name for name, _ in ends], [words for _, words in ends]
        self._pick("End the run", "", names, said, take)

    def _who(self) -> str:
        """Name the person of the card, who is meant where a question is about a person."""
        return who_words(self._person(), self._screen.session.names)

    # --- what the list asks -----------------------------------------------------------------

    def _late(self) -> None:
        self._minutes("Late", "Away from now on, for how many minutes?", "5", mishaps.late)

    def _filled(self) -> None:
        self._number(
            "Interrupted", "How many tins of this tray are filled so far?", "Tins", mishaps.filled
        )

    def _back_in(self) -> None:
        bench = self._bench()
        if bench is None:
            return
        out: Sequence[Action | None] = mishaps.came_out(bench) or (None,)
        said = [tray_words(each.trays).capitalize() for each in out if each]
        self._one_of("Which goes back in?", out, said, self._back)

    def _wet(self) -> None:
        """Ask of which scent the beads are not dry, if there are several."""
        bench = self._bench()
        if bench is None:
            return
        scents = list(dict.fromkeys(each for tray in bench.plan.trays for each in tray.scents))

        def take(scent: str) -> None:
            self._sure(
                lambda bench: safety.wet(bench, scent),
                f"{scent} is not dry?",
                "It is not dry",
                "Its trays are removed from today. What bakes with it stays in, door shut.",
            )

        self._one_of("Which scent is not dry?", scents, scents, take)

    def last_look(self) -> bool:
        """Ask how what may be hot is, where nothing but that is left to do; say whether it was."""
        bench = mishaps.bench_of(self._screen.session)
        if bench is None or bench.state.coming or any(card.action for card in bench.state.cards):
            return False
        if safety.shut_in(bench):
            self._judged()
        elif trays := safety.unchecked(bench):
            words = "A hot tin looks like a cold one."
            choices: list[tuple[str, Callable[[], None]]] = [("Not yet", lambda: None)]
            choices += [
                (f"Tray {each}: checked, no tin is hot", partial(self._cool, each))
                for each in trays
            ]
            self._choose("Set aside: what did you check?", words, choices)
        else:
            return False
        return True

    def _cool(self, tray: int | None) -> None:
        self._make(lambda bench: safety.checked(bench, tray))

    def _checked(self) -> None:
        """Ask which tray was checked, if there are several."""
        bench = self._bench()
        if bench is None:
            return
        trays: Sequence[int | None] = safety.unchecked(bench) or (None,)
        said = [f"Tray {each}" for each in trays]
        self._one_of("Checked, and no tin is hot: which tray?", trays, said, self._cool)

    def _judged(self) -> None:
        """Ask how many tins of a tray that was shut in are good."""
        bench = self._bench()
        if bench is None:
            return

        def take(tray: int | None) -> None:
            self._number(
                f"Tray {tray}, shut in",
                "Only once the oven is cool and open. How many of its tins are good?",
                "Good tins",
                lambda bench, good: safety.judged(bench, tray, good),
            )

        trays = safety.shut_in(bench)
        if trays:
            self._pick("Judged: which tray?", "", trays, [f"Tray {each}" for each in trays], take)
        else:
            self._make(lambda bench: safety.judged(bench, None, None))

    def _comes(self) -> None:
        self._fields(
            "A helper is here",
            "From now on there is one more pair of hands.",
            [Field("Name (may stay empty)")],
            lambda bench, typed: mishaps.comes(bench, typed[0]),
        )

    def _goes(self) -> None:
        self._sure(mishaps.goes, f"{self._who()} leaves for the day?", "They leave")

    def _name(self) -> None:
        session, person = self._screen.session, self._person()

        def take(typed: tuple[str, ...] | None) -> None:
            if typed is not None:
                self._screen.bench_app.runs.name(person, typed[0])

        self.ask(
            Fields(
                f"Person {person}",
                "What is this person called? The name stands on the card.",
                [Field("Name", session.names.get(person, ""))],
            ),
            take,
        )

    def _oven_out(self) -> None:
        bench = self._bench()
        if bench is None:
            return

        def take(oven: str) -> None:
            self._sure(
                lambda bench: mishaps.oven_out(bench, oven),
                f"{oven} is out of the day?",
                "It is out",
                "Switch it off. What is planned for it goes into another oven, or leaves the day.",
            )

        ovens = list(bench.day.ovens)
        self._one_of("Which oven has failed?", ovens, ovens, take)
