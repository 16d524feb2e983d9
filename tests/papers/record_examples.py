"""A record made by hand in which everything that a record can hold is there once."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from benchplan.model import Action, Mark
from benchplan.model.ids import Item
from benchplan.model.record import Correction, Entry, Record, Stage, Totals, TrayRecord

START = datetime(2026, 12, 5, 23, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
NOTED = datetime(2026, 12, 7, 8, 30, tzinfo=UTC)
ON, LOAD, OUT = (
    Action("preheat", (), "counter"),
    Action("load", (1,), "counter"),
    Action("unload", (1,), "counter"),
)
READ = Mark("reading", 1200, 1300, LOAD, person=2, number=5, amount=160.0)
CORRECTED = Correction(5, "amount", "166.5", "160.0", "read it upside down", NOTED, 1)
NAMED = Correction(0, "name", "1", "Rui", "", NOTED, 2)

MARKS = (
    Mark("done", 0, 0, ON, number=1),
    Mark("tick", 700, 700, LOAD, Item(own="Mitts on"), number=2),
    Mark("pass over", 710, 710, LOAD, Item(own="Vents open"), number=3, note="it has none"),
    Mark("done", 900, 900, LOAD, number=4),
    READ,
    Mark("longer", 1250, 1250, OUT, number=6, amount=60),
    Mark("done", 1395, 1395, OUT, number=7),
    Mark("back in", 1455, 1455, OUT, number=8, amount=120),
    Mark("scrapped", 1500, 1500, OUT, number=9, amount=3, note="wrong tray"),
    Mark("take back", 1510, 1510, takes_back=9, number=10),
    Mark("scrapped", 1520, 1520, OUT, number=11, amount=2, note="dropped"),
    Mark("hold", 1600, 1600, number=12),
    Mark("go on", 1700, 1700, number=13),
    Mark("late", 1800, 1800, number=14, amount=300, person=2),
    Mark("person comes", 1900, 1900, number=15, note="Ines"),
    Mark("person goes", 2000, 2000, number=16, person=2),
    Mark("oven out", 2100, 2100, ON, number=17),
    Mark("leaves", 3700, 3700, Action("fill", (2,)), number=18, note="beads still damp"),
    Mark("filled", 3710, 3710, Action("fill", (2,)), number=19, amount=4),
    Mark("stop", 3800, 3800, number=20),
    Mark("abort", 3900, 3900, number=21),
)


def example() -> Record:
    """Return a run over midnight that was aborted, with a correction and a name given later."""
    entries = tuple(
        Entry(
            mark,
            first=Mark("reading", 1200, 1300, LOAD, person=2, number=5, amount=166.5)
            if mark is READ
            else None,
            taken_back=10 if mark.number == 9 else 0,
            corrections=(CORRECTED,) if mark is READ else (),
        )
        for mark in MARKS
    )
    stages = (
        Stage("fill", (0, 160), (0, 180), None, "scale 1", False),
        Stage("load", (885, 900), (885, 900), 1, "counter", True),
        Stage("bake", (900, 1320), (900, 1575), None, "counter"),
        Stage("unload", (1320, 1335), (1575, 1590), 1, "counter", True),
        Stage("pack", (3300, 3400), None, None, "mat"),
    )
    one = TrayRecord(
        1, ("Sea fennel",) * 8, "standard", "small", "counter", 8, stages, 420,
        ((900, 1380), (1455, 1575)), "left over", 0, 2,
    )  # fmt: skip
    two = TrayRecord(
        2, ("Cedar", "Cedar", "Plum"), "standard", "small", "counter", 3,
        (Stage("fill", (300, 360), None),), 420, (), "left the day", 0, 0,
    )  # fmt: skip
    return Record(
        run=7,
        name="Night bake",
        file="/home/rui/night.toml",
        start=START,
        state="aborted",
        rehearsal=False,
        planned_finish_s=3400,
        finished_s=3900,
        trays=(one, two),
        preheats=(Stage("preheat", (0, 660), (0, 0), 1, "counter", True),),
        entries=entries,
        totals=Totals(11, 0, 2, 9),
        people=(1, 2, 3),
        names={1: "Rui", 3: "Ines"},
        corrections=(CORRECTED, NAMED),
    )
