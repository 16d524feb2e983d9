"""The JSON of a record, stated from docs/record.md and nothing else.

``record_faults`` returns a sentence for everything that the page does not allow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

STATES = {"running", "held", "stopped", "aborted", "complete"}
STEPS = {
    "preheat", "fill", "set", "load", "bake", "unload", "rest", "transfer", "cool", "pack",
}  # fmt: skip
KINDS = {
    "done", "tick", "pass over", "take back", "filled", "longer", "back in", "scrapped", "leaves",
    "wet", "early", "checked", "judged", "hold", "go on", "late", "person comes", "person goes",
    "oven out", "reading", "stop", "abort",
}  # fmt: skip
UNITS = {
    "filled": "tins", "scrapped": "tins", "longer": "s", "back in": "s", "late": "s",
    "reading": "C", "judged": "tins",
}  # fmt: skip
OUTCOMES = {"packed", "left the day", "left over"}
FIELDS = {"time", "person", "amount", "note", "stands", "name"}

NEEDED = {
    "record": {
        "format": int, "run": int, "name": str, "file": str, "rehearsal": bool, "start": str,
        "planned_finish": str, "state": str, "totals": dict, "people": list, "preheats": list,
        "trays": list, "marks": list, "corrections": list,
    },
    "totals": {"planned": int, "packed": int, "scrapped": int, "left_over": int},
    "people": {"person": int},
    "step": {"step": str, "marked": bool},
    "tray": {
        "tray": int, "tins": int, "scents": dict, "recipe": str, "pan": str, "oven": str,
        "outcome": str, "packed": int, "scrapped": int, "bake_for_s": int, "bakes": list,
        "steps": list,
    },
    "mark": {
        "mark": int, "what": str, "happened": str, "entered": str, "person": int, "counts": bool,
    },
    "action": {"what": str, "trays": list},
    "correction": {
        "correction": int, "mark": int, "field": str, "old": str, "new": str, "why": str,
        "entered": str,
    },
}  # fmt: skip
MAY = {
    "record": {"finished": str},
    "people": {"name": str},
    "step": {"planned": list, "real": list, "person": int, "place": str},
    "tray": {"baked_s": int, "over_baked_s": int},
    "mark": {
        "action": dict, "amount": (int, float), "unit": str, "item": str, "note": str,
        "item_id": str, "scent": str, "reason": str,
        "takes_back": int, "taken_back_by": int,
    },
    "action": {"place": str, "turn": int},
}  # fmt: skip


def record_faults(data: Any) -> list[str]:
    """Return what is wrong with the JSON of a record."""
    try:
        return list(_record(data))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        return [f"unreadable: {error!r}"]


def _keys(kind: str, data: Mapping[str, Any]) -> Iterator[str]:
    needed, may = NEEDED[kind], MAY.get(kind, {})
    for key in needed.keys() - data.keys():
        yield f"{kind} without {key}"
    for key, value in data.items():
        wanted = {**needed, **may}.get(key)
        if wanted is None:
            yield f"{kind} with an unknown {key}"
        elif not isinstance(value, wanted) or (isinstance(value, bool) and wanted is not bool):
            yield f"{kind}.{key} is {value!r}"


def _record(data: Any) -> Iterator[str]:
    yield from _keys("record", data)
    if data["format"] != 1:
        yield f"format {data['format']}"
    if data["state"] not in STATES:
        yield f"state {data['state']}"
    for key in ("start", "planned_finish", "finished"):
        yield from _moment(data.get(key, data["start"]))
    totals = data["totals"]
    yield from _keys("totals", totals)
    if totals["planned"] != totals["packed"] + totals["scrapped"] + totals["left_over"]:
        yield "the totals do not add up"
    if totals["planned"] != sum(tray["tins"] for tray in data["trays"]):
        yield "the trays hold other tins than were planned"
    for person in data["people"]:
        yield from _keys("people", person)
    for preheat in data["preheats"]:
        yield from _step(preheat)
    for tray in data["trays"]:
        yield from _tray(tray)
    for place, mark in enumerate(data["marks"], start=1):
        if mark["mark"] != place:
            yield f"mark {mark['mark']} stands in place {place}"
        yield from _mark(mark, {person["person"] for person in data["people"]})
    for each in data["corrections"]:
        yield from _keys("correction", each)
        yield from _moment(each["entered"])
        if each["field"] not in FIELDS or (each["field"] == "name") != (each["mark"] == 0):
            yield f"a correction of {each['field']} of mark {each['mark']}"
        if not 0 <= each["mark"] <= len(data["marks"]):
            yield f"a correction of mark {each['mark']}"


def _moment(text: str) -> Iterator[str]:
    if datetime.fromisoformat(text).utcoffset() is None:
        yield f"{text} has no offset"


def _span(span: list[str]) -> Iterator[str]:
    begin, end = span
    yield from _moment(begin)
    yield from _moment(end)
    if datetime.fromisoformat(begin) > datetime.fromisoformat(end):
        yield f"{begin} is after {end}"


def _step(step: Mapping[str, Any]) -> Iterator[str]:
    yield from _keys("step", step)
    if step["step"] not in STEPS:
        yield f"step {step['step']}"
    for key in ("planned", "real"):
        if key in step:
            yield from _span(step[key])
    if step["marked"] and not {"real", "person"} <= step.keys():
        yield "marked, but not by whom or when"


def _tray(tray: Mapping[str, Any]) -> Iterator[str]:
    yield from _keys("tray", tray)
    if tray["outcome"] not in OUTCOMES:
        yield f"outcome {tray['outcome']}"
    if sum(tray["scents"].values()) != tray["tins"]:
        yield "a tray's scents are not its tins"
    if tray["packed"] + tray["scrapped"] > tray["tins"]:
        yield "a tray came out with more tins than it had"
    lasted = 0.0
    for span in tray["bakes"]:
        yield from _span(span)
        begin, end = (datetime.fromisoformat(each) for each in span)
        lasted += (end - begin).total_seconds()
    if tray["bakes"] and tray.get("baked_s") != lasted:
        yield f"baked for {tray.get('baked_s')} s in {lasted} s"
    if not 0 <= tray.get("over_baked_s", 0) <= lasted:
        yield f"over-baked by {tray['over_baked_s']} s in {lasted} s"
    for step in tray["steps"]:
        yield from _step(step)


def _mark(mark: Mapping[str, Any], people: set[int]) -> Iterator[str]:
    yield from _keys("mark", mark)
    if mark["what"] not in KINDS:
        yield f"a mark that says {mark['what']}"
    if mark["person"] not in people:
        yield f"nobody is person {mark['person']}"
    if mark.get("unit") != UNITS.get(mark["what"]) or ("unit" in mark) != ("amount" in mark):
        yield f"the amount of {mark['what']} counts {mark.get('unit')}"
    if (mark["what"] == "take back") != ("takes_back" in mark):
        yield "takes_back belongs to a take back"
    if "taken_back_by" in mark and mark["counts"]:
        yield "taken back, and yet it counts"
    for key in ("happened", "entered"):
        yield from _moment(mark[key])
    if "action" in mark:
        yield from _keys("action", mark["action"])
