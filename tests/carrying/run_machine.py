"""A run that anything may happen in, beside a plain model of what must be so after each mark."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from run_model import BENCH, MAT, OUT, OVENS, PACKED, SHUT, Model, planned

from benchplan import live, planner
from benchplan.carrying.seeing import Moment, Seeing
from benchplan.model import Action, Item, ItemId, Mark, Plan, standing
from benchplan.model.run import ACTIONS, NOTED, moving


class RunMachine(RuleBasedStateMachine):
    """Marks at random, each followed by a replan as at the bench, and the model beside them."""

    @initialize(people=st.integers(1, 2), scents=st.integers(1, 2), on_pan=st.booleans())
    def begin(self, people: int, scents: int, on_pan: bool) -> None:
        self.day, self.base = planned(people, scents, on_pan)
        self.plan, self.now, self.marks = self.base, 0, ()
        self.planned_at = 0
        self.tins = {tray.number: tray.tins for tray in self.base.trays}
        here = set(range(1, people + 1))
        self.model = Model(dict.fromkeys(self.tins, BENCH), here, people)
        self.seeing = Seeing()
        self.trail: dict[tuple[int, ...], Plan] = {}
        self.before: list[Model] = []  # the model before each mark that stands

    marks: tuple[Mark, ...]

    # --- helpers --------------------------------------------------------------------------------

    def mark(self, what: str, action: Action | None = None, person: int = 1, **more: Any) -> None:
        number = len(self.marks) + 1
        mark = Mark(what, self.now, self.now, action, person=person, number=number, **more)
        self.marks += (mark,)
        self.before.append(deepcopy(self.model))
        self.see()  # before its plan is there
        if what not in NOTED:
            self.planned_at = self.now
            self.plan = planner.replan(self.day, self.plan, self.marks, self.now)
        self.trail[moving(self.marks)] = self.plan

    def see(self) -> None:
        """What is kept from moment to moment shows what is found anew, also a minute later."""
        for now in (self.now, self.now + 61):
            found = live.state(self.day, self.plan, self.marks, now)
            kept = self.seeing.state(Moment(self.day, self.plan, self.plan, self.marks, now))
            cards = []
            for shown, card in zip(kept.cards, found.cards, strict=True):
                # what is overdue stays so since it became it, whatever a later plan says
                since = shown.action in self.seeing._overdue
                spans = (card.begin_s, card.end_s) if since else (shown.begin_s, shown.end_s)
                cards.append(replace(shown, begin_s=spans[0], end_s=spans[1]))
            same = replace(kept, done=found.done, total=found.total, cards=tuple(cards))
            assert same == found

    def places(self, *places: str) -> list[int]:
        model = self.model
        return [
            tray
            for tray, place in model.place.items()
            if place in places and tray not in model.gone | model.left
        ]

    def a_person(self, data: st.DataObject) -> int:
        return data.draw(st.sampled_from(sorted(self.model.here)))

    # --- what happens ---------------------------------------------------------------------------

    @rule(seconds=st.sampled_from([1, 20, 90, 400, 2500]))
    def time_passes(self, seconds: int) -> None:
        self.now += seconds

    @precondition(lambda self: not self.model.complete)
    @rule(data=st.data())
    def something_is_done(self, data: st.DataObject) -> None:
        offered = live.possible(self.day, self.plan, self.marks)
        if offered:
            action = data.draw(st.sampled_from(offered))
            self.mark("done", action, self.a_person(data))
            self.model.done(action, self.now)

    @precondition(lambda self: not self.model.complete)
    @rule(times=st.integers(3, 15))
    def work_goes_on(self, times: int) -> None:
        for _ in range(times):
            offered = live.possible(self.day, self.plan, self.marks)
            if not offered:
                return
            # what is in an oven or on the stand goes first, so that a day gets somewhere
            action = max(offered, key=lambda each: ACTIONS.index(each.what))
            self.mark("done", action, min(self.model.here))
            self.model.done(action, self.now)
            self.now += 45

    @rule(data=st.data())
    def a_card_is_ticked(self, data: st.DataObject) -> None:
        for card in live.state(self.day, self.plan, self.marks, self.now).cards:
            open_items = [check.item for check in card.checklist if not check.seen]
            if card.action and open_items:
                what = data.draw(st.sampled_from(["tick", "pass over"]))
                self.mark(what, card.action, card.person, item=open_items[0])
                after = live.state(self.day, self.plan, self.marks, self.now)
                same = next((each for each in after.cards if each.person == card.person), None)
                if same and same.action == card.action:
                    assert {each.item: each.seen for each in same.checklist}[open_items[0]]
                return

    @precondition(lambda self: not self.model.complete)
    @rule(oven=st.sampled_from(OVENS), degrees=st.sampled_from([80.0, 166.5]))
    def a_thermometer_is_read(self, oven: str, degrees: float) -> None:
        before = live.state(self.day, self.plan, self.marks, self.now)
        self.mark("reading", Action("preheat", (), oven), amount=degrees)
        assert live.state(self.day, self.plan, self.marks, self.now) == before

    @rule(data=st.data(), amount=st.sampled_from([60, 180]))
    def a_bake_is_made_longer(self, data: st.DataObject, amount: int) -> None:
        ovens = [oven for oven in OVENS if self.model.inside(oven)]
        if self.model.ending == "abort" or not ovens:
            return
        oven = data.draw(st.sampled_from(ovens))
        trays = tuple(sorted(self.model.inside(oven)))
        before = self.until(oven)
        self.mark("longer", Action("unload", trays, oven), amount=float(amount))
        if oven in self.model.closed:  # it fails to bake any longer
            assert before <= self.until(oven) <= before + amount
        else:
            assert self.until(oven) == before + amount

    def until(self, oven: str) -> int:
        hot = live.state(self.day, self.plan, self.marks, self.now).hot
        return next(each.until_s for each in hot if each.kind == "oven" and each.place == oven)

    @rule(data=st.data(), amount=st.sampled_from([60, 300]))
    def a_tray_goes_back_in(self, data: st.DataObject, amount: int) -> None:
        trays = self.places(OUT)
        ovens = [
            oven for oven in OVENS if oven not in self.model.closed and not self.model.inside(oven)
        ]
        if self.model.ending == "abort" or not trays or not ovens:
            return
        tray, oven = data.draw(st.sampled_from(trays)), data.draw(st.sampled_from(ovens))
        self.mark("back in", Action("unload", (tray,), oven), amount=float(amount))
        self.model.place[tray] = oven
        assert self.until(oven) == self.now + amount

    @rule(data=st.data())
    def some_tins_are_filled(self, data: st.DataObject) -> None:
        fills = [
            each for each in live.possible(self.day, self.plan, self.marks) if each.what == "fill"
        ]
        if fills:
            action = data.draw(st.sampled_from(fills))
            tins = self.tins[action.trays[0]]
            self.mark("filled", action, amount=float(data.draw(st.integers(0, tins - 1))))

    @rule(data=st.data())
    def tins_are_scrapped(self, data: st.DataObject) -> None:
        trays = self.places(BENCH, OUT, MAT, *OVENS)
        if not trays or self.model.ending == "abort" or data.draw(st.integers(0, 1)):
            return
        tray = data.draw(st.sampled_from(trays))
        lost = self.model.lost.get(tray, 0)
        left = self.tins[tray] - lost
        count = data.draw(st.sampled_from(sorted({1, min(2, left), left})))
        self.mark("scrapped", Action("set", (tray,)), amount=float(count), note="dropped")
        self.model.lost[tray] = lost + count
        if lost + count == self.tins[tray]:
            self.model.leave({tray})

    @rule(data=st.data())
    def a_tray_leaves(self, data: st.DataObject) -> None:
        trays = self.places(BENCH, OUT, MAT, *OVENS)
        if trays and self.model.ending != "abort" and data.draw(st.integers(0, 2)) == 0:
            tray = data.draw(st.sampled_from(trays))
            self.mark("leaves", Action("load", (tray,)), note="fell down")
            self.model.leave({tray})

    @rule(data=st.data())
    def beads_are_wet(self, data: st.DataObject) -> None:
        if self.model.ending or data.draw(st.integers(0, 4)):
            return
        scent = data.draw(st.sampled_from([order.scent for order in self.day.orders]))
        own = {tray.number for tray in self.base.trays if scent in tray.scents}
        trays = tuple(sorted(own & set(self.places(BENCH))))
        item = Item(ItemId.BEADS_DRY, scent)
        self.mark("wet", Action("fill", trays) if trays else None, item=item)
        for oven in OVENS:
            inside = self.model.inside(oven)
            if inside & own:
                self.model.place |= dict.fromkeys(inside, SHUT)
                self.model.left |= inside
                self.model.closed.add(oven)
                self.model.lost |= {tray: self.tins[tray] for tray in inside}
        self.model.leave(set(trays))
        if self.model.closed == set(OVENS):
            self.model.leave(set(self.places(BENCH)))

    @precondition(lambda self: SHUT in self.model.place.values())
    @rule(data=st.data(), good=st.sampled_from([0, 2]))
    def what_was_shut_in_is_judged(self, data: st.DataObject, good: int) -> None:
        shut = sorted(tray for tray, place in self.model.place.items() if place == SHUT)
        tray = data.draw(st.sampled_from(shut))
        self.mark("judged", Action("unload", (tray,), "large"), amount=float(good))
        self.model.place[tray] = PACKED

    def unchecked(self) -> list[int]:
        """Return the trays of which somebody may say that they were checked."""
        hot = self.places(OUT, MAT, *OVENS) if self.model.ending == "abort" else []
        return sorted({*self.model.aside, *hot})

    @precondition(lambda self: self.unchecked())
    @rule(data=st.data())
    def tins_are_checked(self, data: st.DataObject) -> None:
        tray = data.draw(st.sampled_from(self.unchecked()))
        self.mark("checked", Action("pack", (tray,)))
        self.model.checked(tray)

    @rule()
    def the_door_or_the_phone(self) -> None:
        if self.model.ending:
            return
        self.mark("go on" if self.model.held else "hold")
        self.model.held = not self.model.held

    @rule(data=st.data(), amount=st.sampled_from([60, 900]))
    def somebody_is_late(self, data: st.DataObject, amount: int) -> None:
        if data.draw(st.integers(0, 1)):
            return
        self.mark("late", None, self.a_person(data), amount=float(amount))

    @rule()
    def somebody_comes(self) -> None:
        if self.model.people < 4:
            self.mark("person comes", note="Ada")
            self.model.people += 1
            self.model.here.add(self.model.people)

    @rule(data=st.data())
    def somebody_goes(self, data: st.DataObject) -> None:
        if len(self.model.here) > 1:
            person = self.a_person(data)
            self.mark("person goes", None, person)
            self.model.here.remove(person)

    @rule(data=st.data())
    def an_oven_fails(self, data: st.DataObject) -> None:
        ovens = [oven for oven in OVENS if oven not in self.model.closed]
        if not ovens or self.model.ending or data.draw(st.integers(0, 2)):
            return
        oven = data.draw(st.sampled_from(ovens))
        self.mark("oven out", Action("preheat", (), oven))
        self.model.closed.add(oven)
        if self.model.closed == set(OVENS):
            self.model.leave(set(self.places(BENCH)))

    @rule(data=st.data())
    def the_day_ends_early(self, data: st.DataObject) -> None:
        if self.model.ending or self.model.complete or data.draw(st.integers(0, 4)):
            return
        what = data.draw(st.sampled_from(["stop", "abort"]))
        self.mark(what)
        self.model.ending, self.model.held = what, False
        if what == "stop":
            self.model.leave(set(self.places(BENCH)))

    @rule(count=st.integers(1, 3))
    def marks_are_taken_back(self, count: int) -> None:
        for _ in range(min(count, len(self.before))):
            last = standing(self.marks)[-1]
            number = len(self.marks) + 1
            self.marks += (
                Mark("take back", self.now, self.now, takes_back=last.number, number=number),
            )
            self.model = self.before.pop()
        kept = standing(self.marks)
        self.planned_at = max(
            (mark.entered_s for mark in kept if mark.what not in NOTED), default=0
        )
        self.plan = planner.follow(self.day, self.base, kept)
        # plans that are known need not be made again, and come out the same
        assert self.plan == planner.follow(self.day, self.base, kept, self.trail)

    # --- what must be so ------------------------------------------------------------------------

    @invariant()
    def the_state_is_what_the_model_says(self) -> None:
        model, found = self.model, live.state(self.day, self.plan, self.marks, self.now)
        assert {card.person for card in found.cards} == model.here
        assert all(card.words for card in found.cards)
        assert found.complete == model.complete
        assert (found.held_s is not None) == model.held
        assert found.ending == model.ending
        hot = {each.place: set(each.trays) for each in found.hot if each.kind == "oven"}
        assert hot == {oven: model.inside(oven) for oven in OVENS if model.inside(oven)}
        resting = {
            tray for each in found.hot if each.kind in ("stand", "mat") for tray in each.trays
        }
        assert resting == {tray for tray, place in model.place.items() if place in (OUT, MAT)}
        for kind, wanted in (
            ("aside", model.aside),  # nothing that may be hot leaves the list unasked
            ("shut in", {tray for tray, place in model.place.items() if place == SHUT}),
        ):
            listed = {tray for each in found.hot if each.kind == kind for tray in each.trays}
            assert listed == wanted, kind
        for shown in [card.action for card in found.cards] + [each.action for each in found.coming]:
            if shown is not None and shown.trays and not model.complete:
                assert not model.gone & set(shown.trays), (
                    shown,
                    model,
                    self.plan.steps,
                    self.marks,
                )
        if not model.complete:  # there is something to do, or something to wait for
            assert any(card.action or card.end_s > self.now for card in found.cards) or found.hot

    @invariant()
    def what_is_kept_from_mark_to_mark_is_what_is_found_anew(self) -> None:
        self.see()

    @invariant()
    def the_plan_is_for_what_is_left(self) -> None:
        model = self.model
        if model.ending == "abort":
            return
        loaded = [tray for load in self.plan.loads for tray in load.trays]
        assert sorted(loaded) == sorted(set(self.tins) - model.gone)
        for tray in loaded:
            step = self.plan.step(tray, "unload")
            assert step is not None
            if model.place[tray] in (OUT, MAT, SHUT):
                assert step.end_s <= self.now
            elif model.place[tray] in OVENS:
                assert step.end_s >= self.planned_at
        for load in self.plan.loads:
            if all(model.place[tray] == BENCH for tray in load.trays):
                assert load.oven not in model.closed
        for offered in live.possible(self.day, self.plan, self.marks):
            assert not model.gone & set(offered.trays)
            assert offered.what != "load" or offered.place not in model.closed
            assert offered.what != "load" or not model.inside(offered.place)

    def teardown(self) -> None:
        if not hasattr(self, "day"):
            return
        for mark in reversed(standing(self.marks)):
            number = len(self.marks) + 1
            self.marks += (
                Mark("take back", self.now, self.now, takes_back=mark.number, number=number),
            )
        fresh = live.state(self.day, self.base, (), self.now)
        assert live.state(self.day, self.base, self.marks, self.now) == fresh
        again = planner.follow(self.day, self.base, standing(self.marks))
        assert again == self.base
