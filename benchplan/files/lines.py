"""On which line of a TOML text each key stands; the standard reader keeps no line numbers.

The text is known to be valid TOML before it is scanned, so the scanner only has to tell keys,
strings, brackets and remarks apart. It runs only when there is something to report.
"""

from __future__ import annotations

import re
import tomllib
from contextlib import suppress
from dataclasses import dataclass, field

from benchplan.errors import printable

Path = tuple[str | int, ...]
LONGEST_TEXT = 100
LONGEST_SENTENCE = 1000

_TOKEN = re.compile(
    r"""(?P<string>\"{3}(?:[^\\]|\\.)*?\"{3,5} | '{3}.*?'{3,5}
                   | "(?:[^"\\\n]|\\.)*" | '[^'\n]*')
      | (?P<remark>\#[^\n]*)
      | (?P<line>\n)
      | (?P<space>[ \t\r]+)
      | (?P<mark>[\[\]{},=.])
      | (?P<word>[^\s\[\]{},=.\#"']+)""",
    re.VERBOSE | re.DOTALL,
)
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def key_text(path: Path) -> str:
    """Return a path as people read it: ``tins."low 72".height``, ``orders[2].tins`` (from 1)."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += ("." if text else "") + (part if _BARE.fullmatch(part) else _quoted(part))
    return text


def shown(text: str, longest: int = LONGEST_SENTENCE) -> str:
    """Return a text as one line that can be printed, cut to at most ``longest`` characters."""
    text = text if len(text) <= longest else text[: longest - 1] + "…"
    return printable(text, kept="")


def key_path(text: str) -> Path:
    """Return the path that ``key_text`` shows as ``text``."""
    found: list[str | int] = []
    for number, quoted, bare in re.findall(r'\[(\d+)\]|("(?:[^"\\]|\\.)*")|([^.\[\]"]+)', text):
        found.append(int(number) - 1 if number else _unquoted(quoted) if quoted else bare)
    return tuple(found)


@dataclass(slots=True)
class Layout:
    """Where things stand in a text, by lines from 1.

    ``found`` has every key, table and list entry, ``headers`` the ``[table]`` and ``[[list]]``
    lines in order with the path of what they open, ``solid`` the lines that say something.
    """

    found: dict[Path, int] = field(default_factory=dict)
    headers: list[tuple[int, Path]] = field(default_factory=list)
    solid: set[int] = field(default_factory=set)


def layout(text: str) -> Layout:
    """Return where each thing stands in a valid TOML ``text``."""
    scanner = _Scanner(text)
    # Should it stop early, what was found still helps: a key's table stands in for the key.
    with suppress(IndexError, RecursionError):
        scanner.scan()
    return scanner.layout


def _quoted(part: str) -> str:
    plain = part.replace("\\", "\\\\").replace('"', '\\"')
    safe = "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in plain)
    return f'"{safe}"'


def _unquoted(token: str) -> str:
    try:
        return str(tomllib.loads(f"key = {token}")["key"])
    except ValueError:
        return token.strip("\"'")


class _Scanner:
    """Walks the tokens once; ``layout`` grows as it goes."""

    def __init__(self, text: str) -> None:
        self.layout = Layout()
        self._found = self.layout.found
        self._tokens: list[tuple[str, str, int]] = []
        self._next = 0
        self._counts: dict[Path, int] = {}
        line = 1
        for match in _TOKEN.finditer(text):
            self._tokens.append((match.lastgroup or "", match[0], line))
            end = line + match[0].count("\n")
            if match.lastgroup in ("string", "mark", "word"):
                self.layout.solid.update(range(line, end + 1))
            line = end

    def scan(self) -> None:
        table: Path = ()
        while self._skip("space", "line", "remark"):
            kind, token, _ = self._peek()
            if (kind, token) == ("mark", "["):
                table = self._header()
            else:
                self._pair(table)

    def _peek(self) -> tuple[str, str, int]:
        return self._tokens[self._next]

    def _take(self) -> tuple[str, str, int]:
        self._next += 1
        return self._tokens[self._next - 1]

    def _skip(self, *kinds: str) -> bool:
        """Pass over tokens of these kinds; return whether any token is left."""
        while self._next < len(self._tokens) and self._peek()[0] in kinds:
            self._next += 1
        return self._next < len(self._tokens)

    def _keys(self) -> list[str]:
        """Read ``a . "b c" . d`` up to what follows it."""
        keys = []
        while True:
            self._skip("space")
            kind, token, _ = self._take()
            keys.append(_unquoted(token) if kind == "string" else token)
            self._skip("space")
            if self._peek()[1] != ".":
                return keys
            self._take()

    def _header(self) -> Path:
        line = self._take()[2]
        many = self._peek()[1] == "["
        if many:
            self._take()
        keys = self._keys()
        for _ in range(2 if many else 1):
            self._take()
        path: Path = ()
        for place, key in enumerate(keys):
            path = (*path, key)
            self._found.setdefault(path, line)
            if many and place == len(keys) - 1:
                self._counts[path] = self._counts.get(path, 0) + 1
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        self._found.setdefault(path, line)
        self.layout.headers.append((line, path))
        return path

    def _pair(self, table: Path) -> None:
        line = self._peek()[2]
        path = table
        for key in self._keys():
            path = (*path, key)
            self._found.setdefault(path, line)
        self._take()  # the equals sign
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip("space")
        kind, token, _ = self._take()
        if kind == "mark" and token in "[{":
            self._inside(path, "]" if token == "[" else "}")
        elif kind != "string":
            while self._skip("space") and (self._peek()[0] == "word" or self._peek()[1] == "."):
                self._take()

    def _inside(self, path: Path, end: str) -> None:
        """Read a list or an inline table up to its ``end``."""
        count = 0
        while True:
            self._skip("space", "line", "remark")
            if self._peek()[1] == end:
                self._take()
                return
            if self._peek()[1] == ",":
                self._take()
            elif end == "}":
                self._pair(path)
            else:
                self._found[(*path, count)] = self._peek()[2]
                self._value((*path, count))
                count += 1
