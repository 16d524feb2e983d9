"""The JSON that the verbs print, stated from the text of the day model and nothing else.

``plan_faults``, ``cannot_faults`` and ``fits_faults`` return a sentence for everything that the
text does not allow: a key that is missing or not known, a value of another type, a wrong place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any

HANDS = {"fill", "set", "load", "unload", "transfer", "pack"}
STEPS = {"mat": (*HANDS, "bake", "rest", "cool"), "pan": (*(HANDS - {"transfer"}), "bake", "cool")}
RESOURCES = ("hands", "scale", "oven", "pans", "stand", "mat")


def whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def text(value: Any) -> bool:
    return isinstance(value, str) and bool(value)


def counted(value: Any) -> bool:
    """Numbered from 1."""
    return whole(value) and value >= 1


def pairs(value: Any) -> bool:
    return (
        isinstance(value, list)
        and bool(value)
        and all(
            isinstance(each, list) and len(each) == 2 and all(map(whole, each)) for each in value
        )
        and all(start <= end for start, end in value)
        and all(one[1] <= two[0] for one, two in pairwise(value))
    )


def points(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(each, list) and len(each) == 2 and all(map(number, each)) for each in value
    )


def corners(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(each, list)
        and len(each) == 3
        and all(map(number, each[:2]))
        and isinstance(each[2], bool)
        for each in value
    )


def texts(value: Any) -> bool:
    return isinstance(value, list) and all(map(text, value))


def scents(value: Any) -> bool:
    """One scent, or in a mixed tray a list, one entry a tin."""
    return text(value) or (texts(value) and len(set(value)) > 1)


def to_fill(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(each, list) and len(each) == 2 and text(each[0]) and counted(each[1])
        for each in value
    )


def rows(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(each, dict) for each in value)


def start(value: Any) -> bool:
    return isinstance(value, str) and datetime.fromisoformat(value).tzinfo is not None


def share(value: Any) -> bool:
    return number(value) and 0 <= value <= 1


def pace(value: Any) -> bool:
    """A pace without end is null: JSON has no infinity."""
    return value is None or (number(value) and value >= 0)


def by(value: Any) -> bool:
    return value in ("rows", "search", "maker")


PLAN = {
    "format": lambda value: value == 1,
    "name": text,
    "start": start,
    "trays": rows,
    "loads": rows,
    "steps": rows,
    "other": rows,
    "fits": rows,
    "finish_s": whole,
    "bound_s": whole,
    "bound_any_s": whole,
    "limits": lambda value: isinstance(value, dict),
    "warnings": texts,
    "defaults": texts,
}
TRAY = {
    "tray": counted,
    "scent": scents,
    "recipe": text,
    "pan": text,
    "pan_number": counted,
    "tins": counted,
    "at_mm": points,
    "to_fill": to_fill,
}
LOAD = {
    "oven": text,
    "number": counted,
    "trays": lambda value: isinstance(value, list) and bool(value) and all(map(counted, value)),
}
STEP = {"tray": counted, "step": text, "parts": pairs}
OTHER = {
    "preheat": {"what": text, "place": text, "parts": pairs},
    "change_scent": {
        "what": text, "place": text, "person": counted, "before_tray": counted, "parts": pairs,
    },
    "break": {"what": text, "person": counted, "parts": pairs},
}  # fmt: skip
LIMITS = {"limiting": text, "why": text, "resources": rows}
RESOURCE = {"what": text, "busy": share, "s_per_tray": pace, "tins_per_hour": pace}
ONE_MORE = {"what": text, "finish_s": whole}
WARNING = {
    "id": lambda value: value in (
        "hot_bake", "long_bake", "short_cooling", "over_brim", "no_air", "no_headroom",
        "zero_load", "zero_unload", "long_late", "short_rest", "short_preheat",
    ),
    "name": lambda value: isinstance(value, str),
    "value": number,
    "limit": number,
}  # fmt: skip
FITS = {
    "tins on pan": {
        "what": text, "tin": text, "pan": text, "count": whole, "most_possible": whole, "by": by,
    },
    "pans on shelf": {
        "what": text, "pan": text, "oven": text, "count": whole, "most_possible": whole,
    },
    "tins on mat": {"what": text, "tin": text, "count": whole},
}  # fmt: skip


def keys(
    name: str, data: Mapping[str, Any], rules: Mapping[str, Any], **more: Any
) -> Iterator[str]:
    """Yield what is wrong with the keys of one entry; ``more`` are keys that need not be there."""
    for key in rules.keys() - data.keys():
        yield f"{name} has no {key}."
    for key, value in data.items():
        rule = rules.get(key) or more.get(key)
        if rule is None:
            yield f"{name} has a key {key}, which the contract does not know."
        elif not rule(value):
            yield f"{name}: {key} is {value!r}."


def fits_faults(data: Mapping[str, Any]) -> list[str]:
    """Return what is wrong with what ``benchplan fit --json`` prints."""
    return [
        *keys("the answer", data, {"fits": rows}),
        *_fits(data.get("fits", []), places_too=True),
    ]


def _fits(fits: Sequence[Mapping[str, Any]], places_too: bool) -> Iterator[str]:
    for fit in fits:
        rules = FITS.get(fit.get("what", ""))
        if rules is None:
            yield f"a fit is {fit.get('what')!r}."
            continue
        places = corners if fit["what"] == "pans on shelf" else points
        more = {"at_mm": places, "by": by}
        if fit.get("by") == "rows" and fit.get("what") == "tins on pan":
            more["most_possible"] = whole
            rules = {key: rule for key, rule in rules.items() if key != "most_possible"}
        yield from keys(f"the fit {fit['what']}", fit, rules, **more)
        if places_too and "at_mm" not in fit:
            yield f"the fit {fit['what']} has no at_mm."
        if fit.get("by") != "maker" and len(fit.get("at_mm", [])) not in (0, fit.get("count")):
            yield f"the fit {fit['what']} has {len(fit['at_mm'])} places for {fit.get('count')}."


def cannot_faults(data: Mapping[str, Any]) -> list[str]:
    """Return what is wrong with what is printed for a day that cannot be done."""
    rules = {"format": PLAN["format"], "name": text, "cannot": lambda value: texts(value) and value}
    return list(keys("the answer", data, rules))


def plan_faults(
    data: Mapping[str, Any], where: str, more: bool = False, ovens: Sequence[str] = ()
) -> list[str]:
    """Return what is wrong with what ``benchplan plan --json`` prints; ``more``: with --more."""
    rules = {**PLAN, "one_more": rows} if more else PLAN
    if "start_by_s" in data and more:
        rules = {**rules, "start_by_s": whole}
    wrong = list(keys("the plan", data, rules, warning_ids=rows))
    return wrong or [
        *(fault for tray in data["trays"] for fault in _tray(tray)),
        *(fault for load in data["loads"] for fault in keys("a load", load, LOAD)),
        *(fault for step in data["steps"] for fault in _step(step, where, ovens)),
        *(fault for other in data["other"] for fault in _other(other)),
        *_fits(data["fits"], places_too=False),
        *_limits(data["limits"], where),
        *(
            fault
            for each in data.get("one_more", [])
            for fault in keys("one_more", each, ONE_MORE, kind=text)
        ),
        *(
            fault
            for each in data.get("warning_ids", [])
            for fault in keys("a warning id", each, WARNING)
        ),
    ]


def _tray(tray: Mapping[str, Any]) -> Iterator[str]:
    wrong = list(keys("a tray", tray, TRAY))
    if wrong:
        yield from wrong
        return
    if len(tray["at_mm"]) != tray["tins"]:
        yield f"tray {tray['tray']} has {len(tray['at_mm'])} places for {tray['tins']} tins."
    if isinstance(tray["scent"], list) and len(tray["scent"]) != tray["tins"]:
        yield f"tray {tray['tray']} has {len(tray['scent'])} scents for {tray['tins']} tins."


def _step(step: Mapping[str, Any], where: str, ovens: Sequence[str]) -> Iterator[str]:
    """A person where there is work, and the place that the step is at."""
    name = step.get("step", "")
    called = f"{name} of tray {step.get('tray')}"
    if name not in STEPS[where]:
        yield f"there is no {called} with cooling.where = {where!r}."
    moment = pairs(step.get("parts")) and step["parts"][0][0] == step["parts"][-1][1]
    works = name in HANDS and not moment
    rules = dict(STEP)
    if works:
        rules["person"] = counted
    place = step.get("place")
    stand = re.fullmatch(r"stand [1-9]\d*", place or "")
    if name == "fill" and moment:
        yield from keys(called, step, rules, place=text)
        return
    if name != "set":
        rules["place"] = text
    yield from keys(called, step, rules)
    if name == "fill":
        right = bool(re.fullmatch(r"scale [1-9]\d*", place or ""))
    elif name in ("load", "bake", "unload"):
        right = place in ovens if ovens else True
    elif name in ("rest", "transfer") or (name in ("cool", "pack") and where == "pan"):
        right = bool(stand)
    elif name in ("cool", "pack"):
        right = place == "mat"
    else:
        right = place is None
    if not right:
        yield f"{called} is at {place!r}."


def _other(other: Mapping[str, Any]) -> Iterator[str]:
    rules = OTHER.get(other.get("what", ""))
    if rules is None:
        yield f"other holds {other.get('what')!r}."
        return
    yield from keys(f"a {other['what']}", other, rules)
    place = other.get("place", "")
    if other["what"] == "change_scent" and not re.fullmatch(r"scale [1-9]\d*", place):
        yield f"a change of scent is at {place!r}."


def _limits(limits: Mapping[str, Any], where: str) -> Iterator[str]:
    wrong = list(keys("limits", limits, LIMITS))
    if wrong:
        yield from wrong
        return
    resources = limits["resources"]
    for each in resources:
        yield from keys("a resource", each, RESOURCE)
    found = [each.get("what") for each in resources]
    wanted = [what for what in RESOURCES if what != "mat" or where == "mat"]
    if sorted(map(str, found)) != sorted(wanted):
        yield f"the resources are {found}."
