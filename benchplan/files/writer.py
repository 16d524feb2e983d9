"""Writing a day back: into the maker's own text, or as one whole text for the bench book."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import Any

from benchplan.errors import BenchplanError, Problem
from benchplan.files.atomic import write_whole
from benchplan.files.changes import changed, written_start
from benchplan.files.reader import PlanFile, read_source_plan
from benchplan.files.rewrite import rewrite
from benchplan.files.source import MARK, parse_source, read_text_of
from benchplan.model import Day


def save_plan(
    plan_file: PlanFile,
    day: Day,
    path: str | os.PathLike[str] | None = None,
    *,
    force: bool = False,
) -> PlanFile:
    """Write ``day`` into the text of ``plan_file`` and return the file as it now is.

    ``path`` saves as another file (a kit is found from there too). What the app may change is
    written: orders, queue, everything under ``[day]``, name and display; a remark stays where
    it is. Raises ``BenchplanError`` when the file has been changed by someone else since it was
    read, when another file of that name is there (``force`` overrides both), when it cannot be
    written, and when the day holds a change that the text cannot; the old file is whole in all.
    """
    target = Path(path) if path is not None else plan_file.path
    if target is None:
        raise BenchplanError(Problem("This day has no file yet.", "Save it under a name."))
    name = os.fspath(target)
    if not force:
        _refuse_other(plan_file, target, name)
    text = _new_text(plan_file, day, target, name)
    # By the kit as it was read: if that is changed or gone by now, the plan must not be lost too.
    source, kit = parse_source(text, name, target), plan_file.overlay.kit
    saved = read_source_plan(source, target, plan_file.machine, kit)
    expected = replace(day, name=saved.day.name) if day.name == plan_file.day.name else day
    if replace(saved.day, defaults=()) != replace(expected, defaults=()):
        raise BenchplanError(_not_all(name))
    write_whole(target, text, name)
    return saved


def snapshot(plan_file: PlanFile, day: Day) -> str:
    """Return the whole of ``day``, kit and all, as a text that ``read_text`` reads as ``day``.

    Its start, breaks and finish are the day's own, its zone and display are named.
    """
    import tomli_w

    data = changed(plan_file.document, plan_file.day, day)
    for other in ("kit", "bench", "keys"):  # settings are nobody's but the maker's
        data.pop(other, None)
    data["name"] = day.name
    data["day"] |= {"date": day.start.date(), "start": written_start(day.start)}
    if zone := getattr(day.start.tzinfo, "key", None):
        data["day"]["zone"] = zone
    data["display"] = {"units": day.display.units, "clock": day.display.clock}
    return tomli_w.dumps({"format": data.pop("format"), **data})


def _refuse_other(plan_file: PlanFile, target: Path, name: str) -> None:
    """Refuse to write over what this day was not read from."""
    if not os.path.exists(target) or os.path.isdir(target):
        return  # what is wrong with a place, writing there says
    own = plan_file.path
    if own is None or not os.path.exists(own) or not os.path.samefile(target, own):
        raise BenchplanError(
            Problem("Another file of this name is there.", "Choose another name.", file=name)
        )
    if read_text_of(target, name) != plan_file.text:
        raise BenchplanError(
            Problem(
                "This file was changed elsewhere since it was opened.",
                "Save under another name, or open the file again and lose what you changed here.",
                file=name,
            )
        )


def _new_text(plan_file: PlanFile, day: Day, target: Path, name: str) -> str:
    plan = plan_file.overlay.plan
    data = changed(plan.data, plan_file.day, day)
    if plan_file.kit is not None:
        data["kit"] = _kit_from(plan_file, target, data["kit"])
    plain = plan_file.text.removeprefix(MARK)
    try:
        text = rewrite(plain, data)
    except Exception:  # whatever an editing library makes of an odd text, the day is not lost
        raise BenchplanError(_not_all(name)) from None
    return MARK + text if plain != plan_file.text else text


def _kit_from(plan_file: PlanFile, target: Path, named: Any) -> str:
    """Return the kit's path as seen from the folder of ``target``."""
    assert plan_file.kit is not None
    if os.path.isabs(named):
        return str(named)
    folder, kit = os.path.realpath(target.parent), os.path.realpath(plan_file.kit)
    if os.path.realpath(os.path.join(folder, named)) == kit:
        return str(named)
    try:
        return Path(os.path.relpath(kit, folder)).as_posix()
    except ValueError:  # another drive
        return Path(kit).as_posix()


def _not_all(name: str) -> Problem:
    return Problem(
        "Not all of this change can be written into the text as it stands.",
        "The file is as it was; make the change in an editor.",
        file=name,
    )
