"""Plan files and changes to them, made at random; each is one that may be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import tomli_w
from hypothesis import strategies as st

from benchplan.files.fields import TABLES, Field
from benchplan.model import Break, Day, Display, Order, QueuedTray

NAMES = ["Quince", "Juniper smoke", 'say "x"', "café", "a.b", "# x", "1", "[trays]"]
ZONES = ["Europe/Lisbon", "America/Denver", "Asia/Kolkata", "Australia/Lord_Howe", "UTC"]
REMARKS = ["# a remark\n", "\n", "  # [[trays]] in words\n", "\n# two\n# lines\n\n", ""]

spans = st.sampled_from(["0 s", "20 s", "1.5 min", "1 h 30 min", "7 min", "90 s"])
dates = st.dates(date(2025, 1, 1), date(2027, 12, 31))
times = st.times().map(lambda each: each.replace(microsecond=0))


def optional(field: Field) -> st.SearchStrategy[Any] | None:
    """Return values for a field that need not be there, or None where it is left to others."""
    if field.need or field.kind in ("text", "counts", "breaks", "scents", "zone", "moment"):
        return None
    if field.kind in ("duration", "exact_duration"):
        return spans if field.high >= 5400 else st.just("3.25 s")
    if field.kind == "span":
        return st.just(["2 day", "6.5 day"])
    if field.kind == "lines":
        return st.lists(st.sampled_from(NAMES), unique=True, max_size=3)
    if field.kind == "count":
        return st.integers(int(field.low), min(int(field.high), 5))
    if field.kind == "choice":
        return st.sampled_from(field.choices)
    if field.kind == "flag":
        return st.booleans()
    if field.kind == "size":
        return st.just(["300 mm", "13 1/2 in"])
    return st.just(field.like)


@st.composite
def fill_in(draw: st.DrawFn, key: str, given: dict[str, Any]) -> dict[str, Any]:
    """Add some of a table's optional keys to what is given."""
    found = dict(given)
    for field in TABLES[key].fields:
        values = optional(field)
        if values is not None and field.key not in given and draw(st.booleans()):
            found[field.key] = draw(values)
    return found


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """Return the data of a plan file that may be."""
    scents = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=3, unique=True))
    tin = draw(st.sampled_from(NAMES))
    recipe = draw(st.sampled_from(NAMES))
    pan = draw(st.sampled_from(NAMES))
    day = draw(fill_in("day", {"date": draw(dates)}))
    # From 4 h on: no zone here leaps over those, so every day has them.
    day["start"] = draw(st.times(time(4), time(23))).replace(microsecond=0)
    if draw(st.booleans()):
        day["zone"] = draw(st.sampled_from(ZONES))
    if draw(st.booleans()):
        day["finish_by"] = draw(st.times(time(4), time(23)))
    if draw(st.booleans()):
        day["breaks"] = [{"at": day["start"], "for": "20 min"}]
    orders = []
    for scent in scents:
        tins = draw(st.integers(1, 20))
        order = {"scent": scent, "recipe": recipe, "tins": tins}
        if draw(st.booleans()):
            order["filled"] = draw(st.integers(0, tins))
        orders.append(order)
    cooling = draw(fill_in("cooling", {"mat": 1, "mat_tins": 1}))
    for key in draw(st.sampled_from([("mat",), ("mat_tins",)])):
        del cooling[key]
    if "mat" in cooling:
        cooling["mat"] = ["680 mm", "440 mm"]
    found: dict[str, Any] = {
        "format": 1,
        "day": day,
        "orders": orders,
        "recipes": {
            recipe: draw(
                fill_in(
                    "recipes",
                    {"tin": tin, "fill": "1 oz", "bake_at": "330 degF", "bake_for": "7 min"},
                )
            )
        },
        "tins": {tin: draw(fill_in("tins", {"diameter": "72 mm", "height": "17 mm"}))},
        "pans": {pan: draw(fill_in("pans", {"inside": ["242 mm", "240 mm"]}))},
        "ovens": {"oven": draw(fill_in("ovens", {"shelf": ["345 mm", "320 mm"]}))},
        "cooling": cooling,
    }
    if draw(st.booleans()):
        found["name"] = draw(st.sampled_from(NAMES))
    if trays := [_tray(order, pan) for order in orders if draw(st.booleans())]:
        found["trays"] = trays
    for key in ("times", "display", "checklist"):
        if draw(st.booleans()):
            found[key] = draw(fill_in(key, {}))
    return found


def _tray(order: dict[str, Any], pan: str) -> dict[str, Any]:
    return {"scent": order["scent"], "recipe": order["recipe"], "tins": 1, "pan": pan}


@st.composite
def texts(draw: st.DrawFn, data: dict[str, Any]) -> str:
    """Return a document as a person may write it: headers, remarks, dotted keys, ends of line."""
    plain = draw(st.permutations([key for key in data if isinstance(data[key], int | str)]))
    parts = [tomli_w.dumps({key: data[key]}) for key in plain]
    blocks = []
    for key, held in data.items():
        if isinstance(held, list) and draw(st.booleans()):
            parts.append(tomli_w.dumps({key: held}))  # an array of inline tables
        elif isinstance(held, list):
            blocks += [f"[[{key}]]\n" + _remarked(draw, tomli_w.dumps(each)) for each in held]
        elif key == "day" and draw(st.booleans()):
            dotted = [f"day.{row}" for name in held for row in [tomli_w.dumps({name: held[name]})]]
            parts += dotted if all("[" not in row.split("=")[0] for row in dotted) else []
            if not dotted or parts[-len(dotted) :] != dotted:
                blocks.append(_remarked(draw, tomli_w.dumps({key: held})))
        elif isinstance(held, dict):
            blocks.append(_remarked(draw, tomli_w.dumps({key: held})))
    remark = st.sampled_from(REMARKS)
    text = "".join(draw(remark) + part for part in [*parts, *blocks]) + draw(remark)
    return text.replace("\n", "\r\n") if draw(st.booleans()) else text


def _remarked(draw: st.DrawFn, text: str) -> str:
    """Put a remark behind some value that stands on a line of its own."""
    rows = text.split("\n")
    for place, row in enumerate(rows):
        if " = " in row and row[-1:] not in "[{,(" and not row.startswith(" "):
            rows[place] += draw(st.sampled_from(["", "", "  # so"]))
    return "\n".join(rows)


@st.composite
def changes(draw: st.DrawFn, day: Day) -> Day:
    """Return the day changed in some of the ways that a person at the screens may change it."""
    orders = tuple(_changed_order(draw, order) for order in day.orders)
    found = replace(day, orders=orders, queue=draw(_queues(day, orders)))
    if draw(st.booleans()):
        found = replace(found, keep_order=draw(st.booleans()), name=draw(st.sampled_from(NAMES)))
    if draw(st.booleans()):
        units, clock = draw(st.sampled_from(["us", "metric"])), draw(st.sampled_from([12, 24]))
        found = replace(found, display=Display(units, clock))
    if draw(st.booleans()):
        found = replace(found, people=draw(st.integers(1, 4)), pack="later")
    if draw(st.booleans()):
        found = found.begun_at(draw(_instants(day)))
    return found


def _changed_order(draw: st.DrawFn, order: Order) -> Order:
    if draw(st.booleans()):
        return order
    tins = draw(st.integers(1, 30))
    return replace(order, tins=tins, filled=draw(st.integers(0, tins)))


@st.composite
def _queues(draw: st.DrawFn, day: Day, orders: tuple[Order, ...]) -> tuple[QueuedTray, ...]:
    """Return the queue as it is where the orders allow, reordered or made anew."""
    if not draw(st.booleans()):
        wanted = {order.scent: order.tins for order in orders}
        if all(tray.tins <= wanted[tray.scents[0]] for tray in day.queue):
            return tuple(draw(st.permutations(day.queue)))
    found = []
    for order in orders:
        left = order.tins
        while left > 0 and draw(st.booleans()):
            tins = draw(st.integers(1, left))
            pan = draw(st.sampled_from([None, *day.pans]))
            found.append(QueuedTray((order.scent,) * tins, order.recipe, pan))
            left -= tins
    if day.mix_scents and len(orders) > 1 and not found:
        found.append(QueuedTray((orders[0].scent, orders[1].scent), orders[0].recipe))
    return tuple(draw(st.permutations(found)))


def _instants(day: Day) -> st.SearchStrategy[datetime]:
    """Return moments at which a day may begin, hours twice told among them."""
    zone = day.start.tzinfo or ZoneInfo("UTC")
    any_time = st.datetimes(datetime(2025, 1, 1), datetime(2027, 12, 31), timezones=st.just(zone))
    back = datetime(2026, 10, 25, 0, 30, tzinfo=ZoneInfo("UTC"))
    told_twice = st.integers(0, 150).map(lambda each: back + timedelta(minutes=each))
    return any_time | told_twice


@st.composite
def with_breaks(draw: st.DrawFn, day: Day) -> Day:
    """Return the day with breaks and a finish of any kind."""
    breaks = tuple(
        Break(draw(st.integers(0, 200_000)), draw(st.integers(1, 80_000)), away)
        for away in draw(st.lists(st.sampled_from([None, day.people]), max_size=1))
    )
    finish = draw(st.none() | st.integers(0, 300_000))
    return replace(day, breaks=breaks, finish_by_s=finish)
