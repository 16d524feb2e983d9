"""What a person with a pencil would say of a small day: where every tray is, and what is hot."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime

from benchplan import planner
from benchplan.model import Action, Cooling, Day, Order, Oven, Pan, Plan, Recipe, Tin
from benchplan.model.stop import Iterations

OVENS = ("large", "spare")
BENCH, OUT, MAT, PACKED, SHUT = "bench", "out", "mat", "packed", "shut in"
COOLS_S = 1980


def make_day(people: int, scents: int, on_pan: bool) -> Day:
    """Return a small day with two unlike ovens: the large one takes two pans."""
    return Day(
        name="Anything",
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=tuple(Order(name, "standard", 12) for name in ("Sea fennel", "Cedar")[:scents]),
        recipes={"standard": Recipe("standard", "round", 31.0, 158.0, 420, 30, 120, 1980)},
        tins={"round": Tin("round", 72.0, 17.0, 65.0)},
        pans={"small": Pan("small", (282.0, 206.0), (297.0, 221.0), count=3)},
        ovens={
            "large": Oven("large", (362.0, 292.0), shelves=2),
            "spare": Oven("spare", (362.0, 292.0)),
        },
        cooling=Cooling(where="pan", stand=3) if on_pan else Cooling(stand=3, mat_tins=24),
        people=people,
    )


PLANNED: dict[tuple[int, int, bool], tuple[Day, Plan]] = {}


def planned(people: int, scents: int, on_pan: bool) -> tuple[Day, Plan]:
    """Return a day and its plan, made once."""
    key = people, scents, on_pan
    if key not in PLANNED:
        day = make_day(*key)
        plan = planner.plan_day(day, Iterations(20))
        assert isinstance(plan, Plan)
        PLANNED[key] = day, plan
    return PLANNED[key]


@dataclass
class Model:
    """What a person with a pencil would say of the run: every tray is in one place.

    ``left`` are trays in an oven that are done with as soon as they are out. ``cool_s`` is when a
    tray's cooling time is over, ``aside`` what may be hot and nobody has checked.
    """

    place: dict[int, str]
    here: set[int]
    people: int
    gone: set[int] = field(default_factory=set)
    left: set[int] = field(default_factory=set)
    lost: dict[int, int] = field(default_factory=dict)
    closed: set[str] = field(default_factory=set)
    held: bool = False
    ending: str = ""
    cool_s: dict[int, int] = field(default_factory=dict)
    aside: set[int] = field(default_factory=set)

    @property
    def complete(self) -> bool:
        staying = {tray: place for tray, place in self.place.items() if tray not in self.gone}
        return self.ending == "abort" or (
            all(place == PACKED for place in staying.values())
            and SHUT not in self.place.values()
            and not self.aside
        )

    def inside(self, oven: str) -> set[int]:
        return {tray for tray, place in self.place.items() if place == oven}

    def leave(self, trays: set[int]) -> None:
        for tray in trays:
            if self.place[tray] == BENCH:
                self.gone.add(tray)
            elif self.place[tray] in OVENS:
                self.left.add(tray)
            elif self.place[tray] in (OUT, MAT):
                self.place[tray] = PACKED
                self.aside.add(tray)

    def checked(self, tray: int) -> None:
        self.aside.discard(tray)
        if self.ending == "abort":
            self.place[tray] = PACKED

    def done(self, action: Action, now_s: int) -> None:
        for tray in action.trays:
            if action.what == "load":
                self.place[tray] = action.place
            elif action.what == "unload" and self.place[tray] in OVENS:
                self.place[tray] = PACKED if tray in self.left else OUT
                if tray in self.left:
                    self.aside.add(tray)
                self.cool_s[tray] = now_s + COOLS_S
            elif action.what == "transfer":
                self.place[tray] = MAT
                self.cool_s[tray] = now_s + COOLS_S
            elif action.what == "pack":
                self.place[tray] = PACKED
                if now_s < self.cool_s[tray]:
                    self.aside.add(tray)
