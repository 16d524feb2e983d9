"""What keys are called: by a person in a file, by the screens, and in words on a screen."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

# What the screens call the key that types a sign; a test compares with what Textual says.
SIGNS = {
    "!": "exclamation_mark", '"': "quotation_mark", "#": "number_sign", "$": "dollar_sign",
    "%": "percent_sign", "&": "ampersand", "'": "apostrophe", "(": "left_parenthesis",
    ")": "right_parenthesis", "*": "asterisk", "+": "plus", ",": "comma", "-": "minus",
    ".": "full_stop", "/": "slash", ":": "colon", ";": "semicolon", "<": "less_than_sign",
    "=": "equals_sign", ">": "greater_than_sign", "?": "question_mark", "@": "at",
    "[": "left_square_bracket", "\\": "backslash", "]": "right_square_bracket",
    "^": "circumflex_accent", "_": "underscore", "`": "grave_accent", "{": "left_curly_bracket",
    "|": "vertical_line", "}": "right_curly_bracket", "~": "tilde", " ": "space",
}  # fmt: skip

_WORDS = {
    "enter": "Enter",
    "space": "Space",
    "escape": "Esc",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "backspace": "Backspace",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
    "insert": "Ins",
    "delete": "Del",
}
_ALSO = {"return": "enter", "esc": "escape", "pgup": "pageup", "pgdn": "pagedown", "ins": "insert",
         "del": "delete"}  # fmt: skip

# A sign that needs no Shift beside one that does: the footer names the one it stands for.
_INSTEAD = {"equals_sign": "plus", "comma": "less_than_sign", "full_stop": "greater_than_sign"}

# What a terminal sends for other keys too (Tab, Enter, Backspace), or what always leaves.
_NOT_WITH_CTRL = "hijmcq"
ALWAYS_LEAVE = ("ctrl+c", "ctrl+q")

_TYPES = {"backspace", "delete", "left", "right", "home", "end", *SIGNS.values()}


def keys_named(text: str) -> tuple[str, ...]:
    """Return the screens' names for a key that a file names; nothing where there is no such key.

    A letter stands for both its cases: Caps Lock must not make a key dead.
    """
    if len(text) == 1:
        if text.isalnum():
            both = (text.lower(), text.upper())
            return tuple(dict.fromkeys(each for each in both if len(each) == 1))
        return (SIGNS[text],) if text in SIGNS else ()
    plain = "".join(text.lower().split())
    plain = _ALSO.get(plain, plain)
    if plain in _WORDS or plain in SIGNS.values() or re.fullmatch(r"f([1-9]|1[0-2])", plain):
        return (plain,)
    letter = plain.removeprefix("ctrl+")
    if re.fullmatch(r"ctrl\+[a-z]", plain) and letter not in _NOT_WITH_CTRL:
        return (plain,)
    return ()


def words_of(keys: Iterable[str]) -> str:
    """Return keys as the footer and the help screen show them."""
    return _words_of(tuple(keys))


@lru_cache(maxsize=512)
def _words_of(held: tuple[str, ...]) -> str:
    # a footer is asked for at every tick
    shown = [_word(key) for key in held if _INSTEAD.get(key) not in held]
    return " ".join(dict.fromkeys(shown))


def _word(key: str) -> str:
    for sign, name in SIGNS.items():
        if key == name != "space":
            return sign
    if key.startswith("ctrl+"):
        return f"Ctrl+{key[5:].upper()}"
    return _WORDS.get(key, key.upper())


def types(key: str) -> bool:
    """Whether a key does something of its own where letters are typed."""
    return len(key) == 1 or key in _TYPES
