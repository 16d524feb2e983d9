"""The registry as a file has renamed it, and what is wrong with such names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from benchplan.keys.footers import FOOTERS, WITHOUT_A_DAY
from benchplan.keys.names import ALWAYS_LEAVE, types, words_of
from benchplan.keys.registry import (
    ACTIONS,
    DIALOG,
    EVERYWHERE,
    ON_EVERY_SCREEN,
    SCREENS,
    SHEET,
    KeyAction,
)

Renamed = Mapping[str, tuple[str, ...]]
"""The keys of each action that a file renames, by the action's name."""

USUAL: Renamed = {}
NAMES = tuple(dict.fromkeys(action.name for action in ACTIONS))
TITLES = {name: words for name, words, _ in SCREENS} | {
    "start": "the start page",
    EVERYWHERE: "every screen",
    DIALOG: "a question",
    SHEET: "a long sheet",
}


def with_keys(action: KeyAction, renamed: Renamed = USUAL) -> KeyAction:
    """Return an action with the keys that it has by a file."""
    keys = renamed.get(action.name)
    if keys is None:
        return action
    return replace(action, keys=(*keys, *(key for key in action.keys if key in ALWAYS_LEAVE)))


def actions_of(where: str, renamed: Renamed = USUAL) -> tuple[KeyAction, ...]:
    """Return what the registry holds for one screen (or ``EVERYWHERE``, or ``DIALOG``)."""
    return tuple(with_keys(action, renamed) for action in ACTIONS if where in action.where)


def key_of(name: str, renamed: Renamed = USUAL) -> str:
    """Return the first key of the action of this name, in words."""
    found = next(action for action in ACTIONS if action.name == name)
    return words_of(with_keys(found, renamed).keys).split()[0]


def footer_of(where: str, moment: str = "", renamed: Renamed = USUAL) -> list[tuple[str, str]]:
    """Return keys and words of a screen's footer; some depend on the ``moment``."""
    own = actions_of(where, renamed)
    if (where, moment) in FOOTERS:
        keys = {each.id: each.key_words for each in (*actions_of(EVERYWHERE, renamed), *own)}
        return [(keys[name], words) for name, words in FOOTERS[where, moment]]
    return [(each.key_words, each.text) for each in own if each.text]


def shared_footer(day_open: bool, renamed: Renamed = USUAL) -> list[tuple[str, str, str]]:
    """Return (action id, keys, word) of what works everywhere, or does without an open day."""
    shared = (with_keys(each, renamed) for each in ON_EVERY_SCREEN)
    return [
        (each.id, each.key_words, each.text)
        for each in shared
        if each.text and (day_open or each.id in WITHOUT_A_DAY)
    ]


def faults(renamed: Renamed) -> Iterator[tuple[str, str, str]]:
    """Yield (name, what is wrong, what would do) of each renaming that cannot be."""
    told: set[frozenset[str]] = set()
    for where in (*(name for name in TITLES if name != EVERYWHERE),):
        around = {DIALOG: "", SHEET: DIALOG}.get(where, EVERYWHERE)
        shared = actions_of(around, renamed)
        holders: dict[str, str] = {}
        for action in (*shared, *actions_of(where, renamed)):
            for key in action.keys:
                other = holders.setdefault(key, action.name)
                pair = frozenset((other, action.name))
                if other == action.name or pair in told:
                    continue
                told.add(pair)
                name, also = sorted((action.name, other), key=lambda each: each not in renamed)
                yield (
                    name,
                    f'{name} is on the key "{words_of([key])}", and so is {also} '
                    f"on {TITLES[where]}.",
                    f"Give one of {name} and {also} another key.",
                )
    for action in actions_of(DIALOG, renamed):
        typing = [key for key in action.keys if types(key)]
        if action.name in renamed and typing:
            yield (
                action.name,
                f'{action.name} is on the key "{words_of(typing[:1])}", which types in a question.',
                f'Write a key that types nothing: {action.name} = "f5".',
            )
