"""What is known of a machine that sleeps by itself, by its own tools (their output from memory)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from benchplan.carrying.sleeping import ask, sleep_words

Said = Callable[[Sequence[str]], str]
MAC = """System-wide power settings:
Currently in use:
 standby              1
 powernap             1
 sleep                {}
 displaysleep         10
"""
WINDOWS = """Subgroup GUID: 238c9fa8-0aad-41ed-83f4-97be242c8f20  (Sleep)
  Power Setting GUID: 29f6c1db-86da-48c5-9fdb-f2b67b1f44da  (Sleep after)
    Minimum Possible Setting: 0x00000000
    Maximum Possible Setting: 0xffffffff
    Possible Settings units: Seconds
  Current AC Power Setting Index: {}
  Current DC Power Setting Index: 0x00000384

"""


def says(text: str, value: str = "") -> Said:
    return lambda _: text.format(value)


def desk(kind: str = "nothing", timeout: str = "0", idle: str = "ignore", usec: str = "0") -> Said:
    def found(command: Sequence[str]) -> str:
        if command[0] == "busctl":
            return f"t {usec}\n" if command[-1] == "IdleActionUSec" else f's "{idle}"\n'
        return f"'{kind}'\n" if command[-1].endswith("type") else f"uint32 {timeout}\n"

    return found


@pytest.mark.parametrize(
    ("system", "said", "minutes"),
    [
        ("darwin", says(MAC, "15"), 15),
        ("darwin", says(MAC, "0"), 0),
        ("darwin", says(MAC, "1 (sleep prevented by caffeinate)"), 0),
        ("win32", says(WINDOWS, "0x00000708"), 30),
        ("win32", says(WINDOWS, "0x00000000"), 0),
        ("linux", desk("suspend", "1200"), 20),
        ("linux", desk("suspend", "0"), 0),
        ("linux", desk(), 0),
        ("linux", desk(idle="suspend", usec="1800000000"), 30),
        ("linux", desk("suspend", "1200", "suspend", "600000000"), 10),
        ("linux", says(""), 0),
        ("darwin", says(""), 0),
        ("win32", says(""), 0),
        ("plan9", says(MAC, "15"), 0),
    ],
)
def test_what_the_systems_tools_say_becomes_a_sentence(
    system: str, said: Said, minutes: int
) -> None:
    words = sleep_words(said, system)
    assert (f"after {minutes} min" in words) == bool(minutes)
    assert bool(words) == bool(minutes)


def test_a_tool_that_is_not_there_or_fails_says_nothing() -> None:
    assert ask(("no-such-tool-here",)) == ""
    assert ask(("false",)) == ""
    assert ask(("echo", "fine")) == "fine\n"
