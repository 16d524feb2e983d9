"""What a file asks of the machine itself, whole: every word, and what cannot be seen spelt out."""

from __future__ import annotations

import unicodedata

from benchplan.keys import key_of, words_of
from benchplan.model import Settings
from benchplan.model.words import count_words, list_words

ASKED = "Take this over only if you know what it does: the program runs with all your rights."
_BLANKS = "\u115f\u1160\u2800\u3164\uffa0"  # letters and signs that look like nothing


def asked_words(asked: Settings) -> str:
    """Name what is asked for, in a few words that no file can make long."""
    said = ["a command at each alarm"] if asked.alarm_command else []
    said += [f"{count_words(len(asked.keys), 'key')} renamed"] if asked.keys else []
    return list_words(said)


def asked_lines(asked: Settings) -> list[str]:
    """Return everything that is asked for, nothing cut: a line a word of the command, and a key."""
    lines = []
    if asked.alarm_command:
        lines += ["Run at each alarm, this program with these words:"]
        lines += [
            f"{number:3}  {spelt(word)}" for number, word in enumerate(asked.alarm_command, start=1)
        ]
    if asked.keys:
        lines += ["Keys:"]
        lines += [
            f"     {name}: {words_of(keys)} (usually {key_of(name)})"
            for name, keys in asked.keys.items()
        ]
    return lines


def spelt(word: str) -> str:
    """Return a word in quotes, with an escape for whatever would not be seen as it is.

    That is what cannot be printed, what joins the sign before it, what looks like nothing, and
    letters that run from right to left: they would change places with what stands beside them.
    """
    return '"' + "".join(_spelt(char) for char in word) + '"'


def _spelt(char: str) -> str:
    if char in '"\\':
        return "\\" + char
    hidden = (
        not char.isprintable()
        or unicodedata.category(char).startswith("M")
        or unicodedata.bidirectional(char) in ("R", "AL", "AN")
        or char in _BLANKS
    )
    return f"\\U{ord(char):08x}" if hidden else char
