"""Frozen records: the problem (day), the answer (plan), the outcome (run). Names, never indices."""

from benchplan.model.day import Break, Day, Order, QueuedTray
from benchplan.model.kit import Cooling, Display, Oven, Pan, Recipe, Scent, Times, Tin
from benchplan.model.plan import (
    Cannot,
    Fit,
    Limits,
    Load,
    OneMore,
    Other,
    Plan,
    Resource,
    Step,
    Tray,
)
from benchplan.model.run import Action, Done, Mark, Past, Run, UnderWay, standing

__all__ = [
    "Action",
    "Break",
    "Cannot",
    "Cooling",
    "Day",
    "Display",
    "Done",
    "Fit",
    "Limits",
    "Load",
    "Mark",
    "OneMore",
    "Order",
    "Other",
    "Oven",
    "Pan",
    "Past",
    "Plan",
    "QueuedTray",
    "Recipe",
    "Resource",
    "Run",
    "Scent",
    "Step",
    "Times",
    "Tin",
    "Tray",
    "UnderWay",
    "standing",
]
