"""Short phrases for records, so that screens, papers and messages all say the same."""

from __future__ import annotations

from benchplan.model.plan import Fit, Tray
from benchplan.model.run import Action


def fit_words(fit: Fit) -> str:
    """Say how good a fit is: "9 fit, no more can", "12 fit, 13 not ruled out", "8 fit, as you say"."""
    if fit.by == "maker":
        return f"{fit.count} fit, as you say"
    if fit.most_possible is None:
        return f"{fit.count} fit, in tidy rows"
    if fit.count >= fit.most_possible:
        return f"{fit.count} fit, no more can"
    return f"{fit.count} fit, {fit.count + 1} not ruled out"


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
    """Say an action as an instruction, such as "Move tray 3 to the mat"; ``scent``: the next one."""
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
