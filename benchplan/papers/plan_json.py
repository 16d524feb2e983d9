"""A plan as the JSON that ``benchplan plan --json`` prints, and back."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from benchplan.model import (
    Cannot,
    Chance,
    Day,
    Fit,
    InTime,
    Limits,
    Load,
    OneMore,
    Other,
    Plan,
    Resource,
    Step,
    Tray,
)
from benchplan.model.warning import ValueWarning, WarningId
from benchplan.model.words import plan_warnings

FORMAT = 1
Json = dict[str, Any]


def plan_to_dict(day: Day, plan: Plan) -> Json:
    """Return a plan as plain dicts and lists. A key without a value is left out, never null.

    ``one_more``, ``start_by_s``, ``in_time`` and ``chance`` are there only where they were asked
    for, ``warning_ids`` only where a value is past a limit.
    """
    found: Json = {
        "format": FORMAT,
        "name": day.name,
        "start": day.start.isoformat(),
        "trays": [_tray(tray) for tray in plan.trays],
        "loads": [
            {"oven": load.oven, "number": load.number, "trays": list(load.trays)}
            for load in plan.loads
        ],
        "steps": [
            _without_none(
                tray=step.tray,
                step=step.step,
                person=step.person,
                place=step.place,
                parts=[list(part) for part in step.parts],
            )
            for step in plan.steps
        ],
        "other": [
            _without_none(
                what=other.what,
                place=other.place,
                person=other.person,
                before_tray=other.before_tray,
                parts=[list(part) for part in other.parts],
            )
            for other in plan.other
        ],
        "fits": [_fit(fit) for fit in plan.fits],
        "finish_s": plan.finish_s,
        "bound_s": plan.bound_s,
        "bound_any_s": plan.bound_any_s,
        "limits": {
            "limiting": plan.limits.limiting,
            "why": plan.limits.why,
            "resources": [
                {
                    "what": each.what,
                    "busy": each.busy,
                    "s_per_tray": each.s_per_tray,
                    "tins_per_hour": each.tins_per_hour,
                }
                for each in plan.limits.resources
            ],
        },
    }
    if plan.one_more:
        found["one_more"] = [
            _without_none(what=each.what, kind=each.kind, finish_s=each.finish_s)
            for each in plan.one_more
        ]
    if plan.start_by_s is not None:
        found["start_by_s"] = plan.start_by_s
    if plan.in_time:
        found["in_time"] = [_without_none(**asdict(each)) for each in plan.in_time]
    if plan.chance is not None:
        found["chance"] = _without_none(**asdict(plan.chance))
    found["warnings"] = plan_warnings(day, plan)
    if plan.value_warnings:
        found["warning_ids"] = [asdict(each) for each in plan.value_warnings]
    found["defaults"] = list(day.defaults)
    return found


def fits_to_dict(fits: Sequence[Fit]) -> Json:
    """Return what ``benchplan fit --json`` prints."""
    return {"fits": [_fit(fit) for fit in fits]}


def cannot_to_dict(day: Day, cannot: Cannot) -> Json:
    """Return what the verbs print as JSON for a day that cannot be done."""
    return {"format": FORMAT, "name": day.name, "cannot": list(cannot.reasons)}


def plan_from_dict(data: Mapping[str, Any]) -> Plan:
    """Return the plan that ``plan_to_dict`` wrote down.

    Raises KeyError, TypeError or ValueError for anything else: the book, which keeps plans of
    runs, is the only caller, and reads only what it wrote.
    """
    if data["format"] != FORMAT:
        raise ValueError(f"a plan of format {data['format']}, not {FORMAT}")
    limits = data["limits"]
    return Plan(
        trays=tuple(_tray_from(each) for each in data["trays"]),
        loads=tuple(
            Load(each["oven"], each["number"], tuple(each["trays"])) for each in data["loads"]
        ),
        steps=tuple(
            Step(
                each["tray"],
                each["step"],
                _spans(each["parts"]),
                each.get("person"),
                each.get("place"),
            )
            for each in data["steps"]
        ),
        other=tuple(
            Other(
                each["what"],
                _spans(each["parts"]),
                each.get("place"),
                each.get("person"),
                each.get("before_tray"),
            )
            for each in data["other"]
        ),
        fits=tuple(_fit_from(each) for each in data["fits"]),
        finish_s=data["finish_s"],
        bound_s=data["bound_s"],
        bound_any_s=data["bound_any_s"],
        limits=Limits(
            limits["limiting"],
            limits["why"],
            tuple(
                Resource(
                    each["what"],
                    each["busy"],
                    each["s_per_tray"],
                    each["tins_per_hour"],
                )
                for each in limits["resources"]
            ),
        ),
        one_more=tuple(
            OneMore(each["what"], each.get("kind"), each["finish_s"])
            for each in data.get("one_more", ())
        ),
        # Sentences of values come first, and are made anew of their ids.
        warnings=tuple(data["warnings"][len(data.get("warning_ids", ())) :]),
        value_warnings=tuple(
            ValueWarning(WarningId(each["id"]), each["name"], each["value"], each["limit"])
            for each in data.get("warning_ids", ())
        ),
        start_by_s=data.get("start_by_s"),
        in_time=tuple(
            InTime(each["what"], each.get("kind"), each["count"], each["finish_s"])
            for each in data.get("in_time", ())
        ),
        chance=_chance(data.get("chance")),
    )


def _chance(data: Json | None) -> Chance | None:
    if data is None:
        return None
    return Chance(**{"on_time": None, "late_tray": None, **data})


def dumps(data: Json) -> str:
    """Return JSON text, one entry of each list a line, in ASCII so that any terminal takes it."""
    lines = []
    for key, value in data.items():
        text = _one_line(value)
        if isinstance(value, list) and value and isinstance(value[0], dict):
            text = "[\n  " + ",\n  ".join(_one_line(each) for each in value) + "\n ]"
        lines.append(f"{_one_line(key)}: {text}")
    return "{" + ",\n ".join(lines) + "}"


def _one_line(value: Any) -> str:
    return json.dumps(value, allow_nan=False)


def _without_none(**values: Any) -> Json:
    return {key: value for key, value in values.items() if value is not None}


def _spans(parts: Sequence[Sequence[int]]) -> tuple[tuple[int, int], ...]:
    return tuple((begin, end) for begin, end in parts)


def _tray(tray: Tray) -> Json:
    one = len(tray.scent_names) == 1
    return {
        "tray": tray.number,
        "scent": tray.scents[0] if one else list(tray.scents),
        "recipe": tray.recipe,
        "pan": tray.pan,
        "pan_number": tray.pan_number,
        "tins": tray.tins,
        "at_mm": [list(at) for at in tray.at_mm],
        "to_fill": [list(each) for each in tray.to_fill],
    }


def _tray_from(data: Mapping[str, Any]) -> Tray:
    scent = data["scent"]
    return Tray(
        number=data["tray"],
        scents=(scent,) * data["tins"] if isinstance(scent, str) else tuple(scent),
        recipe=data["recipe"],
        pan=data["pan"],
        pan_number=data["pan_number"],
        at_mm=tuple((x, y) for x, y in data["at_mm"]),
        to_fill=tuple((name, count) for name, count in data["to_fill"]),
    )


def _fit(fit: Fit) -> Json:
    """Return one fit. Tins on the mat stand in tidy rows or are the maker's number, so only the
    latter is said of them."""
    said = fit.by if fit.what != "tins on mat" or fit.by != "rows" else None
    return _without_none(
        what=fit.what,
        tin=fit.tin,
        pan=fit.pan,
        oven=fit.oven,
        count=fit.count,
        most_possible=fit.most_possible,
        by=said,
        at_mm=[list(at) for at in fit.at_mm],
    )


def _fit_from(data: Mapping[str, Any]) -> Fit:
    return Fit(
        what=data["what"],
        count=data["count"],
        most_possible=data.get("most_possible"),
        by=data.get("by", "rows"),
        tin=data.get("tin"),
        pan=data.get("pan"),
        oven=data.get("oven"),
        at_mm=tuple(tuple(at) for at in data["at_mm"]),
    )
