"""Frozen records: the problem (day), the answer (plan), the outcome (run). Names, never indices.

The records are made at their first use: making so many dataclasses takes long enough to delay the
first screen, which needs none of them.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchplan.model.day import Break, Day, Order, QueuedTray
    from benchplan.model.ids import Item, ItemId, MarkKind, NotYet, Outcome, Reason
    from benchplan.model.kit import (
        Cooling,
        Display,
        Oven,
        Pan,
        Recipe,
        Scent,
        Settings,
        Times,
        Tin,
    )
    from benchplan.model.plan import (
        Cannot,
        Chance,
        Fit,
        InTime,
        Limits,
        Load,
        Margins,
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
    "Chance",
    "Cooling",
    "Day",
    "Display",
    "Done",
    "Fit",
    "InTime",
    "Item",
    "ItemId",
    "Limits",
    "Load",
    "Margins",
    "Mark",
    "MarkKind",
    "NotYet",
    "OneMore",
    "Order",
    "Other",
    "Outcome",
    "Oven",
    "Pan",
    "Past",
    "Plan",
    "QueuedTray",
    "Reason",
    "Recipe",
    "Resource",
    "Run",
    "Scent",
    "Settings",
    "Step",
    "Times",
    "Tin",
    "Tray",
    "UnderWay",
    "standing",
]


def __getattr__(name: str) -> object:
    """Import the records when the first of them is asked for."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    for part in ("ids", "kit", "day", "plan", "run"):
        module = import_module(f"{__name__}.{part}")
        globals().update((each, vars(module)[each]) for each in __all__ if each in vars(module))
    found: object = globals()[name]
    return found
