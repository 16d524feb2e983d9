"""Random small days in which every feature of the day model may meet every other."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import strategies as st

from benchplan.model import (
    Break,
    Cooling,
    Day,
    Order,
    Oven,
    Pan,
    QueuedTray,
    Recipe,
    Scent,
    Times,
    Tin,
)

TINS = (Tin("low 72", 72.0, 17.0), Tin("tall", 50.0, 45.0))
SHELVES = ((362.0, 292.0), (400.0, 400.0), (700.0, 300.0))
FLOORS = ((282.0, 206.0), (162.0, 162.0), (173.0, 86.0))


def some(*values: object) -> st.SearchStrategy:
    return st.sampled_from(values)


@st.composite
def recipes(draw: st.DrawFn, pans: tuple[str, ...]) -> tuple[Recipe, ...]:
    count = draw(some(1, 1, 2, 3))
    return tuple(
        Recipe(
            name=f"recipe {number}",
            tin=draw(some("low 72", "low 72", "tall")),
            fill_g=31.0,
            bake_at_c=draw(some(158.0, 158.0, 165.55555555555554, 146.5)),
            bake_for_s=draw(some(420, 420, 300, 60, 0)),
            bake_late_s=draw(some(30, 30, 0, 15, 120)),
            rest_for_s=draw(some(120, 0, 60)),
            cool_for_s=draw(some(1800, 600, 0, 2100, None)),
            pan=draw(some(None, None, *pans)),
        )
        for number in range(1, count + 1)
    )


@st.composite
def kits_of_pans(draw: st.DrawFn) -> tuple[Pan, ...]:
    found = []
    for number in range(1, draw(some(1, 1, 2)) + 1):
        floor = draw(some(*FLOORS))
        own = {}
        if draw(some(False, False, False, True)):
            own = {"low 72": draw(some(1, 2))}
        found.append(
            Pan(
                name=f"pan {number}",
                inside_mm=floor,
                outside_mm=(floor[0] + 15, floor[1] + 15),
                height_mm=draw(some(20.0, 20.0, 60.0)),
                count=draw(some(2, 1, 3, 4)),
                pattern=draw(some("most", "tidy")),
                tins=own,
            )
        )
    return tuple(found)


@st.composite
def kits_of_ovens(draw: st.DrawFn) -> tuple[Oven, ...]:
    return tuple(
        Oven(
            name=f"oven {number}",
            shelf_mm=draw(some(*SHELVES)),
            shelves=draw(some(1, 1, 2, 3)),
            headroom_mm=draw(some(80.0, 80.0, 80.0, 50.0, 30.0)),
            preheat_s=draw(some(660, 0, 300)),
            recover_s=draw(some(90, 0, 200)),
            per_kelvin_s=draw(some(6.0, 0.0, 2.35)),
            most_tins=draw(some(None, None, 24, 9, 4)),
        )
        for number in range(1, draw(some(1, 1, 2)) + 1)
    )


@st.composite
def coolings(draw: st.DrawFn) -> Cooling:
    where = draw(some("mat", "mat", "pan"))
    tins = draw(some(None, None, 5, 12, 40))
    size = draw(some((750.0, 430.0), (376.0, 322.0), (248.0, 172.0)))
    return Cooling(
        where=where,
        stand=draw(some(1, 2, 3)),
        mat_mm=size if where == "mat" and tins is None else None,
        mat_tins=tins if where == "mat" else None,
        pan_for_s=draw(some(0, 0, 240, 45)),
    )


@st.composite
def hand_times(draw: st.DrawFn) -> Times:
    return Times(
        fill_s=draw(some(20, 0, 7)),
        set_s=draw(some(3, 0)),
        ready_s=draw(some(0, 30, 60, 200)),
        load_s=draw(some(15, 0)),
        unload_s=draw(some(15, 0)),
        transfer_s=draw(some(6, 0, 11)),
        pack_s=draw(some(17, 0)),
        clear_s=draw(some(3, 0)),
        change_scent_s=draw(some(240, 0, 60)),
    )


@st.composite
def orders(draw: st.DrawFn, names: tuple[str, ...]) -> tuple[Order, ...]:
    found = []
    for _ in range(draw(some(1, 2, 3, 4))):
        tins = draw(st.integers(1, 12))
        filled = draw(st.integers(0, tins)) if draw(some(False, True)) else 0
        found.append(Order(draw(some("A", "B", "C")), draw(some(*names)), tins, filled))
    return tuple(found)


@st.composite
def absences(draw: st.DrawFn, people: int) -> tuple[Break, ...]:
    """Breaks of which any that overlap take at most everyone."""
    left, found = people, []
    for _ in range(draw(some(0, 0, 1, 2, 3))):
        away = draw(some(None, *range(left + 1)))
        left -= away or 0
        at = draw(st.integers(0, 90)) * 60 + draw(some(0, 0, 17))
        found.append(Break(at, draw(some(600, 1800, 60, 3600, 1)), away))
    return tuple(found)


@st.composite
def queues(
    draw: st.DrawFn, wanted: tuple[Order, ...], pans: tuple[str, ...], mix: bool, most: int
) -> tuple[QueuedTray, ...]:
    """Trays that ask for no more tins than are ordered, each of at most ``most`` tins."""
    left: dict[str, list[str]] = {}
    for order in wanted:
        left.setdefault(order.recipe, []).extend([order.scent] * order.tins)
    found = []
    for _ in range(draw(some(0, 0, 1, 2, 4))):
        choice = [recipe for recipe, tins in left.items() if tins]
        if not choice:
            break
        recipe = draw(some(*choice))
        tins = left[recipe]
        if mix and draw(st.booleans()):
            tins[:] = draw(st.permutations(tins))
        same = next((i for i, scent in enumerate(tins) if scent != tins[0]), len(tins))
        take = draw(st.integers(1, min(most, len(tins) if mix else same)))
        found.append(QueuedTray(tuple(tins[:take]), recipe, draw(some(None, None, *pans))))
        del tins[:take]
    return tuple(found)


@st.composite
def days(draw: st.DrawFn) -> Day:
    """Return a small day; most can be done, some cannot."""
    pans = draw(kits_of_pans())
    names = tuple(pan.name for pan in pans)
    known = draw(recipes(names))
    people = draw(some(1, 1, 2, 3))
    wanted = draw(orders(tuple(recipe.name for recipe in known)))
    mix = draw(some(False, False, True))
    most = draw(some(2, 4))
    return Day(
        name="a random day",
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=wanted,
        recipes={recipe.name: recipe for recipe in known},
        tins={tin.name: tin for tin in TINS},
        pans={pan.name: pan for pan in pans},
        ovens={oven.name: oven for oven in draw(kits_of_ovens())},
        cooling=draw(coolings()),
        times=draw(hand_times()),
        scents={"A": Scent("A", strength=1), "B": Scent("B", strength=5)},
        queue=draw(queues(wanted, names, mix, most)),
        breaks=draw(absences(people)),
        finish_by_s=draw(some(None, None, 3600, 20000)),
        people=people,
        scales=draw(some(1, 1, 2)),
        mix_scents=mix,
        pack=draw(some("today", "today", "later")),
        keep_order=draw(some(False, False, True)),
    )
