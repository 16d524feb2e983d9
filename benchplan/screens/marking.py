"""What the keys of the Bench ask around an action that is done: what comes before it, and after."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from benchplan import live
from benchplan.carrying import mishaps, safety
from benchplan.carrying.mishaps import Bench
from benchplan.carrying.safety import LOOKED_AT
from benchplan.keys import key_of
from benchplan.model import Action, Item, ItemId, Reason
from benchplan.model.run_words import REASONS, item_words
from benchplan.model.words import count_words, scent_words, tray_words
from benchplan.screens.dialogs import Field
from benchplan.screens.questions import Questions
from benchplan.views import asking
from benchplan.views.bench import action_said
from benchplan.views.words import at_clock

WHY_SCRAPPED = (Reason.OVER_BAKED, Reason.DROPPED, Reason.SPILLED, Reason.WRONG_LABEL)
WHY_PASSED = (Reason.SEEN_OTHERWISE, Reason.NOT_NEEDED, Reason.NO_HAND_FREE)
WHY_LATER = (Reason.LOOKED_LATER, Reason.NOT_NEEDED, Reason.NO_HAND_FREE)


class Marking(Questions):
    """Marks actions of one Bench done, and asks what must be known before and after."""

    # --- done, and what belongs to it -------------------------------------------------------

    def in_the_way(self, action: Action, person: int) -> str:
        """Say what must come before the card's action can be marked done; often nothing."""
        bench = self._bench(person)
        if bench is None or action.what == "unload":
            return ""
        if bench.state.held_s is not None:
            since = at_clock(bench.day, bench.state.held_s)
            return f"Held since {since}: {key_of('hold', bench.day.keys)} resumes first."
        first = safety.unseen(bench, action)
        return self._must(first) if first and action == bench.action else ""

    def done(
        self,
        action: Action,
        person: int,
        happened_s: int | None = None,
        reason: Reason | None = None,
    ) -> None:
        """Mark an action done, if nothing must be seen to before; ask what belongs to it after.

        What is not due yet may have happened all the same: then ``reason`` says why.
        """
        bench, runs = self._bench(person), self._screen.bench_app.runs
        if bench is None or self._gone(action):
            return
        at_s = bench.state.now_s if happened_s is None else happened_s
        out = action.what == "unload"
        early = safety.too_early(bench, action, at_s)
        if words := early or self.in_the_way(action, person):
            self._screen.session.tell(words)
        elif not out and not reason and (found := safety.unready(bench, action, at_s)):
            self._too_soon(bench, found, lambda why: self.done(action, person, happened_s, why))
        elif first := safety.unseen(bench, action):
            go_on = partial(self.done, action, person, happened_s, reason)
            self._see_to(action, person, first[0], go_on)
        elif not out and (before := safety.not_looked_at(bench, action.trays)):
            go_on = partial(self.done, action, person, happened_s, reason)
            self._after_an_exit(before, person, go_on)
        elif runs.done(action, person, happened_s, reason):
            self._screen.let_go()
            if action.what == "load":
                self.reading(action, person)
            elif out:
                self._after_an_exit(action, person)

    def _too_soon(self, bench: Bench, found: live.Unready, take: Callable[[Reason], None]) -> None:
        """Ask why something was done before its time, if it was."""
        choices: list[tuple[str, Callable[[], None]]] = [(asking.MARK_NOTHING, lambda: None)]
        choices += [(words, partial(take, reason)) for words, reason in asking.reasons_of(found)]
        words = asking.unready_words(bench.day, found, bench.state.now_s)
        self._choose("Before its time", words, choices)

    def _after_an_exit(
        self, action: Action, person: int, then: Callable[[], None] = lambda: None
    ) -> None:
        """Ask why a tray came out early, if it did, and how it is baked; ``then`` goes on."""
        bench = mishaps.bench_of(self._screen.session, person)
        if bench is None:
            return
        found = safety.early_exit(bench, action)
        if found is None:
            if safety.not_looked_at(bench, action.trays):
                self._how_baked(action, person, then)
            else:
                then()
            return

        def why(reason: Reason) -> None:
            if self._make(lambda bench: safety.why_early(bench, action, reason), person):
                self._after_an_exit(action, person, then)

        choices: list[tuple[str, Callable[[], None]]] = []
        if safety.is_last(bench, action):
            choices = [("It is still in the oven: undo the mark", self._take_back)]
        if action in mishaps.came_out(bench):
            choices.append(("It goes back in", lambda: self._back(action)))
        choices += [(words, partial(why, reason)) for words, reason in asking.reasons_of(found)]
        words = asking.unready_words(bench.day, found, bench.state.now_s)
        self._choose("Out early", words, choices, no="Ask again later")

    def _take_back(self) -> None:
        self._screen.bench_app.runs.take_back()

    def _must(self, items: tuple[Item, ...]) -> str:
        """Say what must be seen to before the card's action is done, and by which keys."""
        keys = self._screen.session.keys
        tick, other = key_of("tick", keys), key_of("pass_over", keys)
        said = item_words(items[0])
        if items[0].id is ItemId.BEADS_DRY:
            return f"First: {said}. {tick} ticks it; {other} if they are not dry."
        return f"First: {said}. {tick} ticks what is next; {other} passes it over."

    def _see_to(
        self, action: Action, person: int, item: Item, then: Callable[[], None] | None = None
    ) -> None:
        """Ask about an item of an action's checklist; ``then`` goes on once it is seen to."""
        go_on = then or (lambda: None)

        def ticked() -> None:
            if self._screen.bench_app.runs.tick(action, person, item):
                go_on()

        def passed(why: Reason | str) -> None:
            if self._make(lambda bench: safety.passed_over(bench, action, item, why), person):
                go_on()

        def wet() -> None:
            self._make(lambda bench: safety.wet(bench, item.scent), person)

        said, words = action_said(self._screen.session.plan, action), item_words(item)
        if item.id is ItemId.BEADS_DRY:
            choices = [("Test again: nothing is marked", lambda: None)]
            choices += [("The beads are dry: tick it", ticked)] if then else []
            choices += [
                (
                    "Not dry: remove these trays from today; the jar keeps drying",
                    wet,
                )
            ]
            self._choose("The dry test", f"{said}. {words}.", choices)
        elif then:
            over = ("Pass it over, and say why", lambda: self._why(words, WHY_PASSED, passed))
            self._choose(f"First: {words}", said, [("It is so: tick it", ticked), over])
        else:
            self._why(f"Pass over: {words}", WHY_PASSED, passed)

    def pass_over(self) -> None:
        """Pass over what the card asks for next, or say that its beads are not dry."""
        bench = self._bench()
        if bench is None:
            return
        must = safety.unseen(bench, bench.action) if bench.action else ()
        item = must[0] if must else safety.to_pass_over(bench)
        if bench.action is None or item == Item():
            self._screen.session.tell("Nothing is left to tick.")
        else:
            self._see_to(bench.action, bench.person, item)

    def _how_baked(self, out: Action, person: int, then: Callable[[], None]) -> None:
        """Ask how the trays of an unload are baked; without an answer it is asked again."""

        def looked() -> None:
            if self._screen.bench_app.runs.tick(out, person, LOOKED_AT):
                then()

        def later(why: Reason | str) -> None:
            if self._make(lambda bench: safety.passed_over(bench, out, LOOKED_AT, why), person):
                then()

        self._choose(
            f"{tray_words(out.trays).capitalize()}: how baked?",
            "Let it rest first if it looks loose: the middle goes on warming.",
            [
                ("Baked: no loose beads", looked),
                ("Under-baked: back into the oven", lambda: self._back(out)),
                (
                    "Over-baked: tins are scrapped",
                    lambda: self._scrap(out.trays, Reason.OVER_BAKED),
                ),
                (
                    "Not looked at now: passed over, and why",
                    lambda: self._why("Not looked at", WHY_LATER, later),
                ),
            ],
            no="Ask again later",
        )

    def _back(self, out: Action | None, reason: Reason | None = None) -> None:
        """Ask how long an unload's trays go back in; first why, where their oven is not ready."""
        bench = self._bench()
        if bench is None:
            return
        back = mishaps.back_in(bench, out, 0, reason)
        if out is None or isinstance(back, str):
            self._make(lambda bench: back)
        elif found := safety.unready_again(bench, back):
            self._too_soon(bench, found, lambda why: self._back(out, why))
        else:
            self._minutes(
                f"{tray_words(out.trays).capitalize()}: back into {out.place}",
                "For how many minutes more?",
                "1",
                lambda bench, seconds: mishaps.back_in(bench, out, seconds, reason),
            )

    def _scrap(self, trays: tuple[int, ...] = (), why: Reason | None = None) -> None:
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

        self._one_of("Scrapped: of which tray?", trays, said, of)

    def _how_many(self, tray: int, why: Reason | str) -> None:
        self._number(
            f"Tray {tray}: {why if not isinstance(why, Reason) else REASONS[why]}",
            "How many tins are scrapped?",
            "Tins",
            lambda bench, count: mishaps.scrapped(bench, tray, count, why),
        )

    def reading(self, action: Action | None = None, person: int | None = None) -> None:
        """Ask what the oven's thermometer shows; nothing typed marks nothing."""
        bench = self._bench()
        if bench is None:
            return
        ovens, about = list(bench.day.ovens), action or bench.action
        if len(ovens) > 1 and (about is None or not about.place):
            of = [Action("preheat", (), oven) for oven in ovens]
            self._pick("The thermometer of which oven?", "", of, ovens, self.reading)
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
