"""The answer: trays, loads and steps of a day, what limits it, and how good it is.

Times are whole seconds from ``Day.start``. ``parts`` are [start, end) pairs in order. Trays,
people, scales, pans of a kind and stand places are numbered from 1.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchplan.model.warning import ValueWarning

Span = tuple[int, int]

STEPS = ("fill", "set", "load", "bake", "unload", "rest", "transfer", "cool", "pack")
HAND_STEPS = ("fill", "set", "load", "unload", "transfer", "pack")


@dataclass(frozen=True, slots=True)
class Fit:
    """How many of one thing stand on another.

    ``what`` is "tins on pan" (``tin``, ``pan``), "pans on shelf" (``pan``, ``oven``) or "tins on
    mat" (``tin``). ``most_possible`` is a proven upper bound (None on the mat), ``by`` is "rows",
    "search" or "maker". ``at_mm`` are tin centres from the floor's corner, or for pans (x, y,
    turned): the corner, and whether the pan is turned a quarter.
    """

    what: str
    count: int
    most_possible: int | None = None
    by: str = "rows"
    tin: str | None = None
    pan: str | None = None
    oven: str | None = None
    at_mm: tuple[tuple[float, float] | tuple[float, float, bool], ...] = ()


@dataclass(frozen=True, slots=True)
class Margins:
    """How near a fit is to the next one. All in mm; None where there is no answer within reason.

    As many tins still fit when they are up to ``larger_tin`` wider, or the pan's floor is up to
    ``shorter`` shorter or ``narrower`` narrower. One more fits, in rows, when the floor is
    ``longer`` longer or ``wider`` wider, the gap is ``gap`` or the tin is ``smaller_tin`` smaller.
    """

    larger_tin: float
    shorter: float
    narrower: float
    longer: float | None
    wider: float | None
    gap: float | None
    smaller_tin: float | None


@dataclass(frozen=True, slots=True)
class Tray:
    """A pan with its tins: one entry of ``scents`` a tin, ``at_mm`` where each one stands.

    ``to_fill`` lists, in the order of filling, each scent with the number of its tins that still
    have to be filled; tins filled beforehand are not in it.
    """

    number: int
    scents: tuple[str, ...]
    recipe: str
    pan: str
    pan_number: int = 1
    at_mm: tuple[tuple[float, float], ...] = ()
    to_fill: tuple[tuple[str, int], ...] = ()

    @property
    def tins(self) -> int:
        return len(self.scents)

    @property
    def scent_names(self) -> tuple[str, ...]:
        """The scents on this tray, each once, in order."""
        return tuple(dict.fromkeys(self.scents))

    @property
    def fill_count(self) -> int:
        """How many of its tins still have to be filled."""
        return sum(count for _, count in self.to_fill)


@dataclass(frozen=True, slots=True)
class Load:
    """Trays in one oven together; ``number`` counts the loads of that oven from 1."""

    oven: str
    number: int
    trays: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of one tray. ``person`` is None for bake, rest and cool and for steps of 0 s."""

    tray: int
    step: str
    parts: tuple[Span, ...]
    person: int | None = None
    place: str | None = None

    @property
    def start_s(self) -> int:
        return self.parts[0][0]

    @property
    def end_s(self) -> int:
        return self.parts[-1][1]


@dataclass(frozen=True, slots=True)
class Other:
    """What belongs to no tray: "preheat" (an oven), "change_scent" (a scale, a person), "break"."""

    what: str
    parts: tuple[Span, ...]
    place: str | None = None
    person: int | None = None
    before_tray: int | None = None

    @property
    def start_s(self) -> int:
        return self.parts[0][0]

    @property
    def end_s(self) -> int:
        return self.parts[-1][1]


@dataclass(frozen=True, slots=True)
class Resource:
    """How busy one thing is (0 to 1) and the pace that it alone would allow."""

    what: str
    busy: float
    s_per_tray: float
    tins_per_hour: float


@dataclass(frozen=True, slots=True)
class Limits:
    """What limits the day, by name and in words, and every resource's share of it."""

    limiting: str
    why: str
    resources: tuple[Resource, ...]


@dataclass(frozen=True, slots=True)
class OneMore:
    """The finish with one more of ``what`` (``kind`` names the pan or oven)."""

    what: str
    kind: str | None
    finish_s: int


@dataclass(frozen=True, slots=True)
class InTime:
    """One change that makes a late day end in time: it was planned, and ends at ``finish_s``.

    ``what`` is "fewer tins" (``count`` of the scent ``kind``), "earlier start" (``count`` seconds;
    ``finish_s`` still counts from the day's own start) or a thing that one more of would do, as in
    ``OneMore``.
    """

    what: str
    kind: str | None
    count: int
    finish_s: int


@dataclass(frozen=True, slots=True)
class Chance:
    """How a plan fares when hand times vary, over ``days`` simulated days.

    ``on_time``: the share that end by finish_by (None without one). ``half_s``, ``nine_s`` and
    ``nineteen_s``: half, nine in ten and nineteen in twenty of them end by then. ``late_step`` (of
    ``late_tray``) made the day late more often than any other, in ``late_share`` of the days that
    ended after the plan.
    """

    days: int
    on_time: float | None
    half_s: int
    nine_s: int
    nineteen_s: int
    late_step: str
    late_tray: int | None
    late_share: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A day's plan. ``bound_s``: no earlier finish with these trays; ``bound_any_s``: with any.

    ``one_more``, ``start_by_s`` (the latest start that is in time), ``in_time`` (what would make a
    late day end in time) and ``chance`` are there when asked for.
    """

    trays: tuple[Tray, ...]
    loads: tuple[Load, ...]
    steps: tuple[Step, ...]
    other: tuple[Other, ...]
    fits: tuple[Fit, ...]
    finish_s: int
    bound_s: int
    bound_any_s: int
    limits: Limits
    one_more: tuple[OneMore, ...] = ()
    warnings: tuple[str, ...] = ()
    value_warnings: tuple[ValueWarning, ...] = ()
    start_by_s: int | None = None
    in_time: tuple[InTime, ...] = ()
    chance: Chance | None = None

    def staying(self) -> Plan:
        """Return this plan without trays that have left the day: those that are in no load."""
        here = {tray for load in self.loads for tray in load.trays}
        if all(tray.number in here for tray in self.trays):
            return self
        return replace(
            self,
            trays=tuple(tray for tray in self.trays if tray.number in here),
            steps=tuple(step for step in self.steps if step.tray in here),
            other=tuple(
                each for each in self.other if each.before_tray is None or each.before_tray in here
            ),
        )

    def tray(self, number: int) -> Tray:
        """Return the tray with this number; KeyError when there is none."""
        for tray in self.trays:
            if tray.number == number:
                return tray
        raise KeyError(number)

    def step(self, tray: int, step: str) -> Step | None:
        """Return one step of a tray, or None where the day has no such step."""
        for each in self.steps:
            if each.tray == tray and each.step == step:
                return each
        return None

    def load_of(self, tray: int) -> Load:
        """Return the load that a tray is in; KeyError when it is in none."""
        for load in self.loads:
            if tray in load.trays:
                return load
        raise KeyError(tray)


@dataclass(frozen=True, slots=True)
class Cannot:
    """A day that cannot be done: each reason names the thing and what would make it possible."""

    reasons: tuple[str, ...]
    fits: tuple[Fit, ...] = ()
