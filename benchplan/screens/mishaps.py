"""What the keys of the Bench ask before something becomes a mark: how long, how many, which, why.

Each question is answered by a few keys; none stands in the way of an oven's exit.
"""

from __future__ import annotations

from collections.abc import Callable

from benchplan import live
from benchplan.carrying import mishaps
from benchplan.keys import key_of
from benchplan.model import Action
from benchplan.model.words import count_words, scent_words, tray_words
from benchplan.screens.dialogs import Field, Fields
from benchplan.screens.questions import Questions
from benchplan.views.bench import action_said, who_words
from benchplan.views.words import at_clock

WHY_SCRAPPED = (mishaps.OVER_BAKED, "dropped", "spilled", "wrong scent or label")
WHY_PASSED = ("seen to in another way", "not needed here", "no hand free")
LATER = "looked at later"

HAPPENED = (
    ("late", "Late: away from the bench for some minutes"),
    ("filled", "Interrupted: only so many tins of this tray are filled"),
    ("back_in", "Under-baked: what is out goes back into the oven"),
    ("scrap", "Scrapped: tins over-baked, dropped or spilled"),
    ("reading", "Thermometer: what the one in the oven shows"),
    ("comes", "A helper is here from now on"),
    ("goes", "The person of this card leaves for the day"),
    ("name", "A name for the person of this card"),
    ("oven_out", "An oven has failed: it is out of the day"),
)
ENDS = (
    ("stop", "Stop for today: what is hot is finished, the rest is for another day"),
    ("abort", "Abort: all ends at once, every oven is switched off now"),
)


class Mishaps(Questions):
    """What the keys of one Bench ask, and mark."""

    # --- done, and what belongs to it -------------------------------------------------------

    def in_the_way(self, action: Action, person: int) -> str:
        """Say what must come before the card's action can be marked done; often nothing."""
        bench = self._bench(person)
        if bench is None or action.what == "unload":
            return ""
        if bench.state.held_s is not None:
            since = at_clock(bench.day, bench.state.held_s)
            return f"Held since {since}: {key_of('hold', bench.day.keys)} resumes first."
        first = mishaps.unseen(bench, action)
        return self._must(first) if first and action == bench.action else ""

    def done(self, action: Action, person: int, happened_s: int | None = None) -> None:
        """Mark an action done, if nothing must be seen to before; ask what belongs to it after."""
        bench, runs = self._bench(person), self._screen.bench_app.runs
        if bench is None or self._gone(action):
            return
        if words := self.in_the_way(action, person):
            self._screen.session.tell(words)
        elif first := mishaps.unseen(bench, action):
            self._see_to(action, person, first[0], lambda: self.done(action, person, happened_s))
        elif action.what != "unload" and (out := mishaps.not_looked_at(bench, action.trays)):
            self._how_baked(out, person)
        elif runs.done(action, person, happened_s):
            self._screen.let_go()
            now = mishaps.bench_of(self._screen.session, person)
            if action.what == "load":
                self.reading(action, person)
            elif now and action.what == "unload" and mishaps.not_looked_at(now, action.trays):
                self._how_baked(action, person)

    def _must(self, items: tuple[str, ...]) -> str:
        """Say what must be seen to before the card's action is done, and by which keys."""
        keys = self._screen.session.keys
        tick, other = key_of("tick", keys), key_of("pass_over", keys)
        if items[0] == live.DRY_CHECK:
            return f"First: {items[0]}. {tick} ticks it; {other} if they are not dry."
        return f"First: {items[0]}. {tick} ticks what is next; {other} passes it over."

    def _see_to(
        self, action: Action, person: int, item: str, then: Callable[[], None] | None = None
    ) -> None:
        """Ask about an item of an action's checklist; ``then`` goes on once it is seen to."""
        go_on = then or (lambda: None)

        def ticked() -> None:
            if self._screen.bench_app.runs.tick(action, person, item):
                go_on()

        def passed(why: str) -> None:
            if self._make(lambda bench: mishaps.passed_over(bench, action, item, why), person):
                go_on()

        said = action_said(self._screen.session.plan, action)
        if item == live.DRY_CHECK:
            choices = [("Test again: nothing is marked", lambda: None)]
            choices += [("The beads are dry: tick it", ticked)] if then else []
            choices += [
                (
                    "They are not: the trays leave the day, the jar dries on",
                    lambda: self._wet(person),
                )
            ]
            self._choose("The dry test", f"{said}. {item}.", choices)
        elif then:
            over = ("Pass it over, and say why", lambda: self._why(item, WHY_PASSED, passed))
            self._choose(f"First: {item}", said, [("It is so: tick it", ticked), over])
        else:
            self._why(f"Pass over: {item}", WHY_PASSED, passed)

    def _wet(self, person: int) -> None:
        """Let the trays of a scent that is not dry leave the day; its jar goes on drying."""
        bench = self._bench(person)
        scents = mishaps.card_scents(bench) if bench else ()

        def leave(scent: str) -> None:
            self._make(lambda bench: mishaps.not_dry(bench, scent), person)

        if len(scents) == 1:
            leave(scents[0])
        elif scents:
            self._pick("Which scent is not dry?", "", scents, scents, leave)

    def pass_over(self) -> None:
        """Pass over what the card asks for next, or say that its beads are not dry."""
        bench = self._bench()
        if bench is None:
            return
        must = mishaps.unseen(bench, bench.action) if bench.action else ()
        item = must[0] if must else mishaps.to_pass_over(bench)
        if bench.action is None or not item:
            self._screen.session.tell("Nothing is left to tick.")
        else:
            self._see_to(bench.action, bench.person, item)

    def _how_baked(self, out: Action, person: int) -> None:
        """Ask how the trays of an unload are baked; without an answer it is asked again."""

        def looked() -> None:
            self._screen.bench_app.runs.tick(out, person, live.DONE_CHECK)

        def later(why: str) -> None:
            item = live.DONE_CHECK
            self._make(lambda bench: mishaps.passed_over(bench, out, item, why), person)

        self._choose(
            f"{tray_words(out.trays).capitalize()}: how baked?",
            "Let it rest first if it looks loose: the middle goes on warming.",
            [
                ("Baked: no loose beads", looked),
                ("Under-baked: back into the oven", lambda: self._back(out)),
                (
                    "Over-baked: tins are scrapped",
                    lambda: self._scrap(out.trays, mishaps.OVER_BAKED),
                ),
                (
                    "Not looked at now: passed over, and why",
                    lambda: self._why("Not looked at", (LATER, *WHY_PASSED[1:]), later),
                ),
            ],
            no="Ask again later",
        )

    # --- keys of their own ------------------------------------------------------------------

    def hold(self) -> None:
        """Hold the run, or go on with it."""
        self._make(
            lambda bench: mishaps.bare(bench, "hold" if bench.state.held_s is None else "go on")
        )

    def longer(self) -> None:
        """Bake a minute longer."""
        self._make(mishaps.longer)

    def happened(self) -> None:
        """Choose what happened from a list, which is always the same."""
        if self._bench() is None:
            return
        names = [name for name, _ in HAPPENED]
        said = [words for _, words in HAPPENED]
        asks: dict[str, Callable[[], None]] = {
            "late": self._late,
            "filled": self._filled,
            "back_in": self._back_in,
            "scrap": self._scrap,
            "reading": self.reading,
            "comes": self._comes,
            "goes": lambda: self._sure(
                mishaps.goes, f"{self._who()} leaves for the day?", "They leave"
            ),
            "name": self._name,
            "oven_out": self._oven_out,
        }
        self._pick("Something happened", "", names, said, lambda name: asks[name]())

    def end(self) -> None:
        """Stop for today or abort; a run that is ending already, or is over, is put away."""
        session, state = self._screen.session, self._screen.session.state()
        runs = self._screen.bench_app.runs
        if session.run is None or state is None or state.complete or state.ending:
            runs.ask_to_end()
            return

        def take(how: str) -> None:
            if how == "stop":
                self._make(lambda bench: mishaps.bare(bench, "stop"))
                return
            self._sure(
                lambda bench: mishaps.bare(bench, "abort"),
                "Abort: switch every oven off now",
                "Ovens are off: abort",
                "All ends at once. Smoke or a sharp smell: leave the doors shut, air the room, "
                "leave. Otherwise stay until everything is cool.",
            )

        names, said = [name for name, _ in ENDS], [words for _, words in ENDS]
        self._pick("End the run", "", names, said, take)

    def _who(self) -> str:
        """Name the person of the card, who is meant where a question is about a person."""
        return who_words(self._screen.focus_person(), self._screen.session.names)

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
        out = mishaps.came_out(bench)
        if len(out) == 1:
            self._back(out[0])
        elif out:
            said = [tray_words(each.trays).capitalize() for each in out]
            self._pick("Which goes back in?", "", out, said, self._back)
        else:
            self._make(lambda bench: mishaps.back_in(bench, None, 60))

    def _back(self, out: Action) -> None:
        self._minutes(
            f"{tray_words(out.trays).capitalize()}: back into {out.place}",
            "For how many minutes more?",
            "1",
            lambda bench, seconds: mishaps.back_in(bench, out, seconds),
        )

    def _scrap(self, trays: tuple[int, ...] = (), why: str = "") -> None:
        """Ask which tray, why and how many tins of it, as far as that is not known."""
        bench = self._bench()
        if bench is None:
            return
        if not trays:
            hot = [tray for each in bench.state.hot for tray in each.trays]
            near = [*(bench.action.trays if bench.action else ()), *hot]
            trays = tuple(dict.fromkeys((*near, *(each.number for each in bench.plan.trays))))
        said = []
        for number in trays:
            tray, left = bench.plan.tray(number), mishaps.tins_left(bench, number)
            said.append(f"Tray {number}: {scent_words(tray)}, {count_words(left, 'tin')}")

        def of(tray: int) -> None:
            if why:
                self._how_many(tray, why)
            else:
                self._why("Scrapped: why?", WHY_SCRAPPED, lambda why: self._how_many(tray, why))

        if len(trays) == 1:
            of(trays[0])
        else:
            self._pick("Scrapped: of which tray?", "", trays, said, of)

    def _how_many(self, tray: int, why: str) -> None:
        self._number(
            f"Tray {tray}: {why}",
            "How many tins are scrapped?",
            "Tins",
            lambda bench, count: mishaps.scrapped(bench, tray, count, why),
        )

    def reading(self, action: Action | None = None, person: int | None = None) -> None:
        """Ask what the oven's thermometer shows; nothing typed marks nothing."""
        bench = self._bench()
        if bench is None:
            return

        def check(text: str) -> str:
            now = self._bench()
            found = mishaps.reading(now, text, action) if text and now else ""
            return found if isinstance(found, str) else ""

        unit = "F" if bench.day.display.units == "us" else "C"
        asked = mishaps.bakes_at(bench, action)
        wanted = f"The recipe bakes at {asked}. " if asked else ""
        self._fields(
            "The oven's thermometer",
            f"{wanted}What does it show? Left empty, nothing is marked.",
            [Field(f"Degrees {unit}", "", check)],
            lambda bench, typed: mishaps.reading(bench, typed[0], action) if typed[0] else "",
            no="Skip",
            person=person,
        )

    def _comes(self) -> None:
        self._fields(
            "A helper is here",
            "From now on there is one more pair of hands.",
            [Field("Name (may stay empty)")],
            lambda bench, typed: mishaps.comes(bench, typed[0]),
        )

    def _name(self) -> None:
        session, person = self._screen.session, self._screen.focus_person()

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
        if len(ovens) == 1:
            take(ovens[0])
        else:
            self._pick("Which oven has failed?", "", ovens, ovens, take)
