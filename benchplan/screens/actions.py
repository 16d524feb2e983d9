"""What the screens make of the registry of keys (``benchplan/keys``): bindings, help, docs."""

from __future__ import annotations

from collections.abc import Iterable

from textual.binding import Binding, BindingType

from benchplan.keys import (
    ACTIONS,
    DIALOG,
    EVERYWHERE,
    SCREENS,
    SHEET,
    USUAL,
    KeyAction,
    Renamed,
    actions_of,
    footer_of,
    shared_footer,
)

__all__ = [
    "ACTIONS", "DIALOG", "EVERYWHERE", "SCREENS", "SHEET", "KeyAction", "actions_of", "bindings",
    "docs_table", "footer_of", "help_groups", "keymap", "shared_footer",
]  # fmt: skip


def bindings(where: str) -> list[BindingType]:
    """Return the Textual bindings of one screen."""
    return [
        Binding(key, action.id, action.text, show=False, tooltip=action.help, id=_id(where, action))
        for action in actions_of(where)
        for key in action.keys
    ]


def keymap(renamed: Renamed) -> dict[str, str]:
    """Return what Textual is to bind instead, by the ids of its bindings."""
    return {
        _id(where, action): ",".join(action.keys)
        for where in (EVERYWHERE, DIALOG, SHEET, "start", *(name for name, _, _ in SCREENS))
        for action in actions_of(where, renamed)
        if action.name in renamed
    }


def _id(where: str, action: KeyAction) -> str:
    return f"{where}.{action.name}"


def help_groups(here: str, renamed: Renamed = USUAL) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return every key under its screen's name, those of ``here`` first, for the help page."""
    names = {name: words for name, words, _ in SCREENS} | {"start": "Start page"}
    order = [here, EVERYWHERE, *(name for name in ("start", *names) if name != here), DIALOG, SHEET]
    titles = names | {
        EVERYWHERE: "On every screen", DIALOG: "In a question", SHEET: "In a long list or sheet",
    }  # fmt: skip
    return [
        (titles[where], [(each.key_words, each.help) for each in actions_of(where, renamed)])
        for where in dict.fromkeys(order)
        if actions_of(where)
    ]


def docs_table(actions: Iterable[KeyAction] = ACTIONS) -> str:
    """Return the keys as a Markdown table for the docs."""
    names = {name: words for name, words, _ in SCREENS} | {"start": "Start page"}
    lines = ["| where | key | what it does | in `[keys]` |", "| --- | --- | --- | --- |"]
    for action in actions:
        where = ", ".join(names.get(each, each) for each in action.where)
        lines.append(f"| {where} | {action.key_words} | {action.help} | {action.name} |")
    return "\n".join(lines) + "\n"
