"""Why a day cannot be done: each reason names the thing and says what would make it possible."""

from __future__ import annotations

from benchplan import clock, units
from benchplan.model.words import list_words
from benchplan.scheduling.problem import Shop

DAY_S = 24 * 3600


def impossible(shop: Shop) -> tuple[str, ...]:
    """Return the reasons for which no plan exists; none when the day can be planned."""
    reasons: list[str] = []
    for name in dict.fromkeys(order.recipe for order in shop.day.orders if order.tins):
        reasons += _recipe(shop, name)
    if not reasons:
        reasons += _breaks(shop)
    return tuple(dict.fromkeys(reasons))


def _length(shop: Shop, millimetres: float) -> str:
    return units.show_length(millimetres, shop.day.display.units)


def _size(shop: Shop, size: tuple[float, float]) -> str:
    return f"{_length(shop, size[0])} × {_length(shop, size[1])}"


def _recipe(shop: Shop, name: str) -> list[str]:
    """Return why one recipe's tins cannot be baked or cooled at all."""
    day = shop.day
    recipe = day.recipes[name]
    tin = day.tins[recipe.tin]
    pans = [recipe.pan] if recipe.pan else list(day.pans)
    reasons = []
    if not any(shop.room.on_pan.get((tin.name, pan), 0) for pan in pans):
        need = tin.diameter_mm + 2 * min(day.pans[pan].edge_mm for pan in pans)
        sizes = list_words([f"{pan} is {_size(shop, day.pans[pan].inside_mm)}" for pan in pans])
        reasons.append(
            f"Not one {tin.name} tin ({_length(shop, tin.diameter_mm)} across) stands on a pan: "
            f"{sizes} inside. A pan at least {_length(shop, need)} both ways would take one."
        )
    elif not any(shop.ovens_for(tin.name, pan) for pan in pans):
        reasons += _ovens(shop, tin.name, pans)
    elif not any(
        shop.room.on_pan.get((tin.name, pan), 0) and shop.ovens_for(tin.name, pan) for pan in pans
    ):
        fits = [pan for pan in pans if shop.room.on_pan.get((tin.name, pan), 0)]
        reasons += _ovens(shop, tin.name, fits)
    if not day.on_pan and not shop.room.on_mat.get(tin.name, 0):
        size = _size(shop, day.cooling.mat_mm) if day.cooling.mat_mm else "too small"
        reasons.append(
            f"Not one {tin.name} tin stands on the mat, which is {size}. A mat at least "
            f"{_length(shop, tin.diameter_mm)} both ways, or tins that cool on their pan "
            '(cooling.where = "pan"), would do.'
        )
    return reasons


def _ovens(shop: Shop, tin_name: str, pans: list[str]) -> list[str]:
    """Return why no oven takes a tin on any of these pans."""
    day, tin = shop.day, shop.day.tins[tin_name]
    reasons = []
    for pan in (day.pans[name] for name in pans):
        for oven in day.ovens.values():
            if not shop.clears(tin_name, pan.name, oven.name):
                thing = f"A {tin_name} tin" if tin.height_mm >= pan.height_mm else f"Pan {pan.name}"
                tallest = max(tin.height_mm, pan.height_mm)
                reasons.append(
                    f"{thing} is {_length(shop, tallest)} tall and {oven.name} has "
                    f"{_length(shop, oven.headroom_mm)} of headroom above a shelf. "
                    f"Headroom of {_length(shop, tallest)} (one shelf fewer?) or a lower tin "
                    "would do."
                )
            elif not shop.room.on_shelf.get((pan.name, oven.name), 0):
                long = max(pan.outside_mm) + 2 * oven.air_mm
                wide = min(pan.outside_mm) + 2 * oven.air_mm
                reasons.append(
                    f"The shelf of {oven.name} takes no {pan.name} pan: the shelf is "
                    f"{_size(shop, oven.shelf_mm)}, the pan {_size(shop, pan.outside_mm)} outside "
                    f"with {_length(shop, oven.air_mm)} of air all round. A shelf of "
                    f"{_size(shop, (long, wide))}, or a smaller pan, would do."
                )
    return reasons


def _breaks(shop: Shop) -> list[str]:
    """Return why the breaks of the first day leave no time for any bake."""
    day, times = shop.day, shop.day.times
    needs = []
    for name in dict.fromkeys(order.recipe for order in day.orders if order.tins):
        preheat = min(oven.preheat_s for oven in day.ovens.values())
        bake = day.recipes[name].bake_for_s
        need = preheat + times.load_s + bake + times.unload_s
        if not any(end - begin >= need for begin, end in shop.attended if begin < DAY_S):
            needs.append((need, name))
    if not needs:
        return []
    need, name = max(needs)
    longest = max((end - begin for begin, end in shop.attended if begin < DAY_S), default=0)
    return [
        f"The breaks leave no room for one bake of {name}: with the oven to heat it takes "
        f"{clock.show_span(need)}, and the longest time with somebody there is "
        f"{clock.show_span(longest)}. A shorter break, or one that leaves somebody there, "
        "would make it possible."
    ]
