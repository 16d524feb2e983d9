"""Stand places on a promise: a load goes in while the place that it lands on is still taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from benchplan.model.plan import Span
from benchplan.scheduling.bakes import Asked, Bake

if TYPE_CHECKING:
    from benchplan.scheduling.builder import Building

Hands = Sequence[tuple[int, Span]]  # who is at a door of an oven, and when


def promised(building: Building, index: int, asked: Asked, oven: str | None) -> Bake | None:
    """Return a bake during which the places that it lands on become free; None: not so.

    The hands for the load are taken first, so that the work that frees the places flows around
    it. Where that ends too late the load waits as much longer, once.
    """
    short, after = asked.trays - building.known_places(), asked.after
    for _ in range(2):
        asked = replace(asked, promised=short, after=after)
        bake = building.earliest(index, asked, oven)
        if bake is None:
            return None
        late = landing(building, asked.trays, building.hands_at(asked.trays, bake))
        if late <= 0:
            return bake
        after = bake.start + late
    return None


def landing(building: Building, trays: int, hands: Hands) -> int:
    """Take ``hands``, the last of them for unloading, then free places for as many trays around
    them. Return how many seconds too late the places are free; above 0, nothing has changed.
    """
    trial = _Trial(building)
    for person, part in hands:
        building.taken.take(person, [part])
    building.need_places(trays)
    unload_s = building.shop.day.times.unload_s
    out = hands[-1][1][1] - trays * unload_s
    places = sorted(building.taken.stand)[:trays]
    late = max([free - out - place * unload_s for place, free in enumerate(places)])
    if late > 0:
        trial.undo()
    building.moved_on_trial = None
    return late


class _Trial:
    """What moving and packing trays changes, kept so that it can be undone."""

    def __init__(self, building: Building) -> None:
        self._building = building
        taken = building.taken
        used = {building.jobs[job].pan for job in building.out}  # only these can be emptied
        self._pans = {name: taken.pans[name].copy() for name in used}
        self._kept: tuple[Any, ...] = (
            [line.copy() for line in taken.people],
            taken.stand.copy(),
            taken.cooling.copy(),
            taken.leaving.copy(),
        )
        self._out, self._resting = building.out.copy(), building.resting.copy()
        building.moved_on_trial = []

    def undo(self) -> None:
        building, taken = self._building, self._building.taken
        taken.people, taken.stand, taken.cooling, taken.leaving = self._kept
        taken.pans.update(self._pans)
        building.out, building.resting = self._out, self._resting
        for job, step in building.moved_on_trial or ():
            setattr(building.times[job], step, ())
            building.times[job].who.pop(step, None)
