"""The record of a run as the JSON that ``benchplan record RUN --json`` prints."""

from __future__ import annotations

from collections import Counter

from benchplan import clock
from benchplan.model.plan import Span
from benchplan.model.record import Correction, Entry, Record, Stage, TrayRecord
from benchplan.model.run import AMOUNTS
from benchplan.model.run_words import item_words, why_words
from benchplan.papers.plan_json import Json

FORMAT = 1
UNITS = {"tins": "tins", "duration": "s", "temperature": "C"}


def record_to_dict(record: Record) -> Json:
    """Return a record as plain dicts and lists. A key without a value is left out, never null.

    Moments are local times with their offset, as ISO 8601 writes them.
    """
    return {
        "format": FORMAT,
        "run": record.run,
        "name": record.name,
        "file": record.file,
        "rehearsal": record.rehearsal,
        "start": _at(record, 0),
        "planned_finish": _at(record, record.planned_finish_s),
        **({} if record.finished_s is None else {"finished": _at(record, record.finished_s)}),
        "state": record.state,
        "totals": {
            "planned": record.totals.planned,
            "packed": record.totals.packed,
            "scrapped": record.totals.scrapped,
            "left_over": record.totals.left_over,
        },
        "people": [
            {"person": each, **({"name": record.names[each]} if each in record.names else {})}
            for each in record.people
        ],
        "preheats": [_stage(record, each) for each in record.preheats],
        "trays": [_tray(record, each) for each in record.trays],
        "marks": [_entry(record, each) for each in record.entries],
        "corrections": [_correction(record, each) for each in record.corrections],
    }


def _at(record: Record, seconds: float) -> str:
    return clock.at(record.start, seconds).isoformat()


def _span(record: Record, span: Span) -> list[str]:
    return [_at(record, span[0]), _at(record, span[1])]


def _stage(record: Record, stage: Stage) -> Json:
    found: Json = {"step": stage.step}
    if stage.planned is not None:
        found["planned"] = _span(record, stage.planned)
    if stage.real is not None:
        found["real"] = _span(record, stage.real)
    if stage.person is not None:
        found["person"] = stage.person
    if stage.place:
        found["place"] = stage.place
    return {**found, "marked": stage.marked}


def _tray(record: Record, tray: TrayRecord) -> Json:
    found: Json = {
        "tray": tray.number,
        "tins": tray.tins,
        "scents": dict(Counter(tray.scents)),
        "recipe": tray.recipe,
        "pan": tray.pan,
        "oven": tray.oven,
        "outcome": tray.outcome,
        "packed": tray.packed,
        "scrapped": tray.scrapped,
        "bake_for_s": tray.bake_for_s,
    }
    if tray.baked_s is not None:
        found["baked_s"] = tray.baked_s
    if tray.over_baked_s:
        found["over_baked_s"] = tray.over_baked_s
    found["bakes"] = [_span(record, each) for each in tray.bakes]
    found["steps"] = [_stage(record, each) for each in tray.stages]
    return found


def _entry(record: Record, entry: Entry) -> Json:
    mark = entry.mark
    found: Json = {
        "mark": mark.number,
        "what": mark.what,
        "happened": _at(record, mark.happened_s),
        "entered": _at(record, mark.entered_s),
        "person": mark.person,
        "counts": entry.counts,
    }
    action = mark.action
    if action is not None and action.what:
        found["action"] = {"what": action.what, "trays": list(action.trays)}
        if action.place:
            found["action"]["place"] = action.place
        if action.what == "preheat":
            found["action"]["turn"] = action.turn
    unit = UNITS.get(AMOUNTS.get(mark.what, ""), "")
    if unit:
        found |= {"amount": mark.amount, "unit": unit}
    for key, text in (
        ("item", item_words(mark.item)),
        ("item_id", mark.item.id),
        ("scent", mark.item.scent),
        ("note", why_words(mark)),
        ("reason", mark.reason),
    ):
        if text:
            found[key] = str(text)
    for key, number in (("takes_back", mark.takes_back), ("taken_back_by", entry.taken_back)):
        if number:
            found[key] = number
    return found


def _correction(record: Record, each: Correction) -> Json:
    old, new = each.old, each.new
    if each.field == "time":
        old, new = _at(record, int(old)), _at(record, int(new))
    return {
        "correction": each.number,
        "mark": each.mark,
        "field": each.field,
        "old": old,
        "new": new,
        "why": each.why,
        "entered": each.entered.astimezone(record.start.tzinfo).isoformat(),
    }
