"""A day with given trays as a CP-SAT model (``ortools``): a third statement of the rules.

It is complete but for two choices that it takes from the plan it is given: which tins on a tray
are filled already, and in which order a mixed tray's scents are filled; and it does not know
keep_order. Pans of a kind and stand places are counted and numbered afterwards, which loses
nothing: spans of time can always be coloured with as many colours as overlap at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from benchplan.model import Day, Plan, Tray


@dataclass
class Work:
    """One hand step: its pieces (one a tin where it may pause) and who does it."""

    pieces: list[Any]
    lasts: int
    start: Any
    end: Any
    by: list[Any] = field(default_factory=list)


class Model:
    """The model of a day with these trays, to finish by ``horizon``."""

    def __init__(self, day: Day, plan: Plan, horizon: int) -> None:
        self.day, self.plan, self.horizon = day, plan, horizon
        self.cp = cp_model.CpModel()
        self.people: list[list[Any]] = [[] for _ in range(day.people)]
        self.work: dict[tuple[int, str], Work] = {}
        self.changes: list[tuple[Work, Tray, list[Any]]] = []
        self.slots: dict[tuple[str, int], dict[str, Any]] = {}
        self.inside: dict[tuple[int, str, int], Any] = {}
        self.on_scale: dict[tuple[int, int], Any] = {}
        self.finish = self.time("finish")
        self.away = [self._absence(each) for each in day.absences()]
        for tray in plan.trays:
            self._tray(tray)
        self._loads()
        self._scales()
        self._places()
        for person in self.people:
            self.cp.add_no_overlap(person)
        self._plainer()
        self._one_of_alike()
        self.cp.minimize(self.finish)

    def time(self, name: str) -> Any:
        return self.cp.new_int_var(0, self.horizon, name)

    def _absence(self, absence: Any) -> list[Any]:
        gone = [self.cp.new_bool_var("away") for _ in self.people]
        for person, flag in zip(self.people, gone, strict=True):
            person.append(
                self.cp.new_optional_fixed_size_interval_var(
                    absence.at_s, absence.for_s, flag, "away"
                )
            )
        self.cp.add(sum(gone) == (absence.away or 0))
        return gone

    def _work(self, pieces: int, each_s: int) -> Work:
        """Add pieces of work of one person, in order, with pauses between them at will."""
        starts = [self.time("start") for _ in range(max(1, pieces if each_s else 1))]
        if not pieces or not each_s:
            return Work(starts, 0, starts[0], starts[0])
        for one, two in pairwise(starts):
            self.cp.add(two >= one + each_s)
        done = Work(starts, each_s, starts[0], starts[-1] + each_s)
        done.by = [self.cp.new_bool_var("by") for _ in self.people]
        self.cp.add_exactly_one(done.by)
        for person, flag in zip(self.people, done.by, strict=True):
            for start in starts:
                person.append(
                    self.cp.new_optional_fixed_size_interval_var(start, each_s, flag, "work")
                )
        return done

    def _tray(self, tray: Tray) -> None:
        day, cp, n = self.day, self.cp, tray.tins
        times, recipe = day.times, day.recipes[tray.recipe]
        sizes = {
            "fill": (tray.fill_count, times.fill_s),
            "set": (1, n * times.set_s),
            "load": (1, times.load_s),
            "unload": (1, times.unload_s),
            "transfer": (n, times.transfer_s),
            "pack": (n, day.pack_each_s),
        }
        if day.on_pan:
            del sizes["transfer"]
        of = {name: self._work(*size) for name, size in sizes.items()}
        for name, each in of.items():
            self.work[tray.number, name] = each
        cp.add(of["set"].start >= of["fill"].end)
        cp.add(of["load"].start >= of["set"].end)
        cool = recipe.cool_for_s or 0
        if day.on_pan:
            cp.add(of["pack"].start >= of["unload"].end + cool)
        else:
            cp.add(of["transfer"].start >= of["unload"].end + recipe.rest_for_s)
            cp.add(of["pack"].start >= of["transfer"].end + cool)
        cp.add(self.finish >= of["pack"].end)

    def _loads(self) -> None:
        for oven in self.day.ovens:
            before: dict[str, Any] | None = None
            for number in range(len(self.plan.trays)):
                slot = self._slot(oven, number)
                if before is not None:
                    self._after(oven, before, slot)
                before = slot
        for tray in self.plan.trays:
            self.cp.add_exactly_one(
                flag for (number, *_), flag in self.inside.items() if number == tray.number
            )

    def _slot(self, name: str, number: int) -> dict[str, Any]:
        """Add the ``number``th load of an oven, which may stay empty."""
        cp, day, oven = self.cp, self.day, self.day.ovens[name]
        kinds = sorted(
            {(day.recipes[t.recipe].bake_at_c, day.recipes[t.recipe].bake_for_s, t.pan)
             for t in self.plan.trays}
        )  # fmt: skip
        slot: dict[str, Any] = {
            "used": cp.new_bool_var("used"),
            "start": self.time("start"),
            "baked": self.time("baked"),
            "end": self.time("end"),
            "kinds": [(kind, cp.new_bool_var("kind")) for kind in kinds],
        }
        self.slots[name, number] = slot
        cp.add(sum(flag for _, flag in slot["kinds"]) == slot["used"])
        shelf = {
            fit.pan: fit.count
            for fit in self.plan.fits
            if fit.what == "pans on shelf" and fit.oven == name
        }
        flags, tins, loading, unloading = [], [], [], []
        for tray in self.plan.trays:
            recipe = day.recipes[tray.recipe]
            flag = cp.new_bool_var("in")
            self.inside[tray.number, name, number] = flag
            flags.append(flag)
            tins.append(flag * tray.tins)
            kind = (recipe.bake_at_c, recipe.bake_for_s, tray.pan)
            cp.add_implication(flag, next(is_ for of, is_ in slot["kinds"] if of == kind))
            load, unload = self.work[tray.number, "load"], self.work[tray.number, "unload"]
            for work, list_ in ((load, loading), (unload, unloading)):
                list_.append(
                    cp.new_optional_fixed_size_interval_var(work.start, work.lasts, flag, "load")
                )
            cp.add(load.start >= slot["start"]).only_enforce_if(flag)
            cp.add(unload.start >= slot["baked"]).only_enforce_if(flag)
            cp.add(unload.start <= slot["baked"] + recipe.bake_late_s).only_enforce_if(flag)
            cp.add(unload.end <= slot["end"]).only_enforce_if(flag)
            tall = max(day.pans[tray.pan].height_mm, day.tins[recipe.tin].height_mm)
            if tall > oven.headroom_mm:
                cp.add(flag == 0)
            self._ready(tray, unload, slot, flag)
        count = sum(flags)
        cp.add(count >= slot["used"])
        cp.add(count <= len(flags) * slot["used"])
        for (_, _, pan), flag in slot["kinds"]:
            cp.add(count <= shelf.get(pan, 0) * oven.shelves).only_enforce_if(flag)
        if oven.most_tins is not None:
            cp.add(sum(tins) <= oven.most_tins)
        cp.add_no_overlap(loading)
        cp.add_no_overlap(unloading)
        load_s, unload_s = day.times.load_s, day.times.unload_s
        for tray, flag in zip(self.plan.trays, flags, strict=True):
            load = self.work[tray.number, "load"]
            cp.add(load.end <= slot["start"] + load_s * count).only_enforce_if(flag)
        for (_, bake, _), flag in slot["kinds"]:
            cp.add(slot["baked"] == slot["start"] + load_s * count + bake).only_enforce_if(flag)
        cp.add(slot["end"] == slot["baked"] + unload_s * count).only_enforce_if(slot["used"])
        cp.add(slot["start"] >= oven.preheat_s).only_enforce_if(slot["used"])
        for begin, end in day.nobody():
            out = cp.new_bool_var("out")
            cp.add(slot["end"] <= begin).only_enforce_if(out, slot["used"])
            cp.add(slot["start"] >= end + oven.preheat_s).only_enforce_if(~out, slot["used"])
        return slot

    def _ready(self, tray: Tray, unload: Work, slot: dict[str, Any], flag: Any) -> None:
        """Whoever unloads this tray as the load's first is free for ``ready`` seconds before."""
        ready = self.day.times.ready_s
        if not ready or not unload.by:
            return
        first = self.cp.new_bool_var("first")
        self.cp.add(unload.start == slot["baked"]).only_enforce_if(flag, first)
        self.cp.add(unload.start > slot["baked"]).only_enforce_if(flag, ~first)
        for person, by in zip(self.people, unload.by, strict=True):
            here = self.cp.new_bool_var("ready")
            self.cp.add_bool_or([~flag, ~first, ~by, here])
            length = self.cp.new_int_var(0, ready, "length")
            begin = self.time("ready")
            self.cp.add(begin + length == slot["baked"]).only_enforce_if(here)
            self.cp.add(length == ready).only_enforce_if(here, self._late(slot, ready))
            person.append(
                self.cp.new_optional_interval_var(begin, length, slot["baked"], here, "ready")
            )
            self.cp.add(begin == 0).only_enforce_if(here, ~self._late(slot, ready))

    def _late(self, slot: dict[str, Any], ready: int) -> Any:
        """Whether the bake ends late enough for all of ``ready`` to lie within the day."""
        if "late" not in slot:
            slot["late"] = self.cp.new_bool_var("late")
            self.cp.add(slot["baked"] >= ready).only_enforce_if(slot["late"])
            self.cp.add(slot["baked"] < ready).only_enforce_if(~slot["late"])
        return slot["late"]

    def _after(self, name: str, before: dict[str, Any], slot: dict[str, Any]) -> None:
        cp, oven = self.cp, self.day.ovens[name]
        cp.add_implication(slot["used"], before["used"])
        for one, first in before["kinds"]:
            for two, second in slot["kinds"]:
                kelvin = abs(one[0] - two[0])
                pause = oven.recover_s + math.ceil(oven.per_kelvin_s * kelvin - 1e-6)
                cp.add(slot["start"] >= before["end"] + pause).only_enforce_if(first, second)

    def _scales(self) -> None:
        """Each scale's line of fills is a circuit; an arc between two scents has a change on it."""
        cp, trays = self.cp, [t for t in self.plan.trays if self.work[t.number, "fill"].lasts]
        arcs_to: dict[int, list[tuple[Any, Tray]]] = {tray.number: [] for tray in trays}
        for tray in trays:
            for number in range(self.day.scales):
                self.on_scale[tray.number, number] = cp.new_bool_var("scale")
            cp.add_exactly_one(
                self.on_scale[tray.number, number] for number in range(self.day.scales)
            )
            self._inner_changes(tray)
        for number in range(self.day.scales):
            arcs = []
            empty = cp.new_bool_var("empty")
            arcs.append((0, 0, empty))
            for i, tray in enumerate(trays, 1):
                here = self.on_scale[tray.number, number]
                arcs.append((i, i, ~here))
                arcs += [(0, i, cp.new_bool_var("")), (i, 0, cp.new_bool_var(""))]
                cp.add_implication(here, ~empty)
                for j, other in enumerate(trays, 1):
                    if i == j:
                        continue
                    arc = cp.new_bool_var("arc")
                    arcs.append((i, j, arc))
                    arcs_to[other.number].append((arc, tray))
                    first = self.work[tray.number, "fill"]
                    second = self.work[other.number, "fill"]
                    cp.add(second.start >= first.end).only_enforce_if(arc)
            cp.add_circuit(arcs)
        for tray in trays:
            self._change_before(tray, arcs_to[tray.number])

    def _change(self, needed: list[Any]) -> Work:
        """Add a change of scent that is made when one of ``needed`` holds (or always)."""
        cp, lasts = self.cp, self.day.times.change_scent_s
        work = Work([self.time("change")], lasts, None, None)
        work.start = work.pieces[0]
        work.end = work.start + lasts
        made = cp.new_bool_var("made")
        if needed:
            cp.add_bool_or(needed).only_enforce_if(made)
            for each in needed:
                cp.add_implication(each, made)
        else:
            cp.add(made == 1)
        work.by = [cp.new_bool_var("by") for _ in self.people]
        cp.add(sum(work.by) == made)
        for person, flag in zip(self.people, work.by, strict=True):
            person.append(cp.new_optional_fixed_size_interval_var(work.start, lasts, flag, "clean"))
        return work

    def _inner_changes(self, tray: Tray) -> None:
        fill, done = self.work[tray.number, "fill"], 0
        for _, count in tray.to_fill[:-1]:
            done += count
            if self.day.times.change_scent_s:
                work = self._change([])
                self.cp.add(work.start >= fill.pieces[done - 1] + fill.lasts)
                self.cp.add(work.end <= fill.pieces[done])
                self.changes.append((work, tray, []))

    def _change_before(self, tray: Tray, arcs: list[tuple[Any, Tray]]) -> None:
        needed = [(a, t) for a, t in arcs if t.to_fill[-1][0] != tray.to_fill[0][0]]
        if not needed or not self.day.times.change_scent_s:
            return
        work = self._change([arc for arc, _ in needed])
        fill = self.work[tray.number, "fill"]
        for arc, before in needed:
            earlier = self.work[before.number, "fill"]
            self.cp.add(work.start >= earlier.end).only_enforce_if(arc)
            self.cp.add(work.end <= fill.start).only_enforce_if(arc)
        self.changes.append((work, tray, [arc for arc, _ in needed]))

    def _places(self) -> None:
        cp, day = self.cp, self.day
        pans: dict[str, list[Any]] = {}
        stand, mat, shares = [], [], []
        fits = {fit.tin: fit.count for fit in self.plan.fits if fit.what == "tins on mat"}
        whole = math.lcm(*fits.values()) if fits else 1
        for tray in self.plan.trays:
            last = self.work[tray.number, "pack" if day.on_pan else "transfer"].end
            begin = self.work[tray.number, "set"].start
            pans.setdefault(tray.pan, []).append(
                self._hold(begin, last + day.cooling.pan_for_s, day.cooling.pan_for_s)
            )
            stand.append(self._hold(self.work[tray.number, "unload"].start, last))
            if not day.on_pan:
                tin = day.recipes[tray.recipe].tin
                packed = self.work[tray.number, "pack"].end
                mat.append(self._hold(self.work[tray.number, "transfer"].start, packed))
                shares.append(tray.tins * whole // fits[tin])
        for pan, held in pans.items():
            cp.add_cumulative(held, [1] * len(held), day.pans[pan].count)
        cp.add_cumulative(stand, [1] * len(stand), day.cooling.stand)
        if mat:
            cp.add_cumulative(mat, shares, whole)

    def _plainer(self) -> None:
        """Say what follows from the rules once more, so that the solver sees it."""
        cp, day = self.cp, self.day
        hands, baking, most = [], [], 0
        for oven in day.ovens.values():
            shelf = [f.count for f in self.plan.fits if f.oven == oven.name]
            most += max(shelf) * oven.shelves
        again = min(oven.recover_s for oven in day.ovens.values())
        for tray in self.plan.trays:
            of = {name: self.work[tray.number, name] for name in ("load", "unload")}
            bake_s = day.recipes[tray.recipe].bake_for_s
            cp.add(of["unload"].start >= of["load"].end + bake_s)
            baking.append(self._hold(of["load"].start, of["unload"].end + again, again))
        cp.add_cumulative(baking, [1] * len(baking), most)
        for work in self.work.values():
            hands += [cp.new_fixed_size_interval_var(at, work.lasts, "") for at in work.pieces]
        needs = [1] * len(hands)
        for absence in day.absences():
            hands.append(cp.new_fixed_size_interval_var(absence.at_s, absence.for_s, ""))
            needs.append(absence.away or 0)
        cp.add_cumulative(hands, needs, day.people)

    def _one_of_alike(self) -> None:
        """Allow one plan of those that differ by which is which of things that are alike."""
        alike: dict[tuple[Any, ...], Tray] = {}
        for tray in self.plan.trays:
            key = (tuple(sorted(tray.scents)), tray.to_fill, tray.recipe, tray.pan)
            before = alike.get(key)
            if before is not None:
                first, second = (self.work[each.number, "load"] for each in (before, tray))
                self.cp.add(first.start <= second.start)
            alike[key] = tray
        somebody = next((work.by for work in self.work.values() if work.by), None)
        if somebody:
            self.cp.add(somebody[0] == 1)
        for flag in list(self.on_scale.values())[:1]:
            self.cp.add(flag == 1)

    def _hold(self, begin: Any, end: Any, more: int = 0) -> Any:
        length = self.cp.new_int_var(0, self.horizon + more, "length")
        return self.cp.new_interval_var(begin, length, end, "hold")
