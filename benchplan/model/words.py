"""Short phrases for records, so that screens, papers and messages all say the same."""

from __future__ import annotations

from benchplan import clock
from benchplan.model.day import Day
from benchplan.model.plan import Fit, Plan, Tray
from benchplan.model.run import Action
from benchplan.model.warning import warning_words


def fit_words(fit: Fit) -> str:
    """Say how good a fit is: "9 fit, no more can", "8 fit, as you say",
    "12 fit, best found; 13 has not been ruled out".

    A fit without a bound is in tidy rows: that is how tins stand on the mat.
    """
    fits = f"{fit.count} {'fits' if fit.count == 1 else 'fit'}"
    if fit.by == "maker":
        return f"{fits}, as you say"
    if fit.most_possible is None:
        return f"{fits}, in tidy rows"
    if fit.count >= fit.most_possible:
        return f"{fits}, no more can"
    return f"{fits}, best found; {fit.count + 1} has not been ruled out"


def plan_warnings(day: Day, plan: Plan) -> list[str]:
    """Return every warning of a plan as a sentence: values past a limit first."""
    said = [warning_words(each, day.display) for each in plan.value_warnings]
    return [*said, *plan.warnings]


def count_words(count: int, one: str, many: str = "") -> str:
    """Return "1 tin", "8 tins"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def list_words(parts: tuple[str, ...] | list[str]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + " and " + parts[-1]


def tray_words(trays: tuple[int, ...]) -> str:
    """Return "tray 3" or "trays 1 and 2"."""
    numbers = [str(number) for number in trays]
    return ("tray " if len(numbers) == 1 else "trays ") + list_words(numbers)


def scent_words(tray: Tray) -> str:
    """Return the tray's scents, with counts where it holds more than one."""
    names = tray.scent_names
    if len(names) == 1:
        return names[0]
    return ", ".join(f"{tray.scents.count(name)} {name}" for name in names)


def action_words(action: Action, scent: str = "") -> str:
    """Say an action as an instruction: "Move tray 3 to the mat"; ``scent`` is the next one."""
    trays = tray_words(action.trays) if action.trays else ""
    return {
        "preheat": f"Switch {action.place} on",
        "change_scent": "Clean scoop and scale" + (f" for {scent}" if scent else ""),
        "fill": f"Fill {trays}",
        "set": f"Set {trays} on its pan",
        "load": f"Load {trays} into {action.place}",
        "unload": f"Take {trays} out of {action.place}",
        "transfer": f"Move {trays} to the mat",
        "pack": f"Lid and pack {trays}",
    }[action.what]


def either_words(parts: tuple[str, ...] | list[str]) -> str:
    """Return "a", "a or b", "a, b or c"."""
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + " or " + parts[-1]


def at_clock(day: Day, seconds: float, with_seconds: bool = False) -> str:
    """Return the clock time ``seconds`` after the day's start, as its maker reads clocks."""
    return clock.show_time(clock.at(day.start, seconds), day.display.clock, with_seconds)


def hours_told_twice(day: Day, hours: int = 48) -> tuple[int, ...]:
    """Return half hours from the day's start on whose clock times are told twice that night."""
    halves = range(0, hours * 3600, 1800)
    return tuple(at for at in halves if clock.told_twice(clock.at(day.start, at)))


def slack_words(day: Day, finish_s: int) -> str:
    """Say how a finish stands to ``finish_by``: "25 min before 15:30", "late by 5 min" or ""."""
    if day.finish_by_s is None:
        return ""
    by = at_clock(day, day.finish_by_s)
    slack = day.finish_by_s - finish_s
    if slack < 0:
        return f"late by {clock.show_minutes(-slack)} for {by}"
    return f"{clock.show_minutes(slack)} before {by}" if slack else f"just by {by}"


def finish_words(day: Day, plan: Plan) -> str:
    """Say when a plan ends: "Finish 14:05, 25 min before 14:30"."""
    slack = slack_words(day, plan.finish_s)
    return f"Finish {at_clock(day, plan.finish_s)}" + (f", {slack}" if slack else "")


def bound_words(day: Day, plan: Plan) -> str:
    """Say how good a plan's finish is, from its proven bounds."""
    if plan.finish_s <= plan.bound_any_s:
        return "No plan can finish earlier."
    anyhow = at_clock(day, plan.bound_any_s)
    if plan.finish_s <= plan.bound_s:
        return f"With these trays, none can finish earlier; no plan can before {anyhow}."
    if plan.bound_s <= plan.bound_any_s:
        return f"No plan can finish before {anyhow}."
    these = at_clock(day, plan.bound_s)
    return f"With these trays, none can finish before {these}; no plan can before {anyhow}."


def whole_number(text: str) -> int | None:
    """Return the number that at most nine figures say; None for anything else.

    Nothing that is counted here needs more, and Python refuses to read some thousand of them.
    """
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else None
