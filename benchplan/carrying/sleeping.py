"""Says before a run whether the machine is set to sleep by itself, and what keeps it awake.

Each system is asked with its own tool; where it cannot be known nothing is said. A countdown is
right after any sleep, but nothing rings during it. Names of tools and their output from memory.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable, Sequence

Ask = Callable[[Sequence[str]], str]
"""Runs a command and returns what it prints; an empty text where it cannot be run."""

LONGEST_S = 3.0  # so long one tool may take
DESKTOP = "org.gnome.settings-daemon.plugins.power"
LOGIN = (
    "busctl", "get-property", "org.freedesktop.login1", "/org/freedesktop/login1",
    "org.freedesktop.login1.Manager",
)  # fmt: skip


def ask(command: Sequence[str]) -> str:
    """Run a command of the system; whatever goes wrong, nothing is known."""
    try:
        found = subprocess.run(
            command, capture_output=True, text=True, timeout=LONGEST_S, check=True,
            stdin=subprocess.DEVNULL,
        )  # fmt: skip
    except (OSError, ValueError, subprocess.SubprocessError):
        return ""
    return found.stdout


def sleep_words(ask: Ask = ask, system: str = sys.platform) -> str:
    """Return a sentence when the machine sleeps by itself, with what would keep it awake."""
    known = {"darwin": _mac_s, "win32": _windows_s, "linux": _linux_s}.get(system)
    seconds = known(ask) if known else 0
    if not seconds:
        return ""
    keeps = {
        "darwin": "started with caffeinate -i in front, the run keeps it awake",
        "win32": "powercfg /change standby-timeout-ac 0 keeps it awake",
        "linux": "started with systemd-inhibit --what=idle:sleep in front, the run keeps it awake",
    }[system]
    minutes = max(1, round(seconds / 60))
    return (
        f"This machine is set to sleep after {minutes} min without a key, and nothing rings then: "
        f"{keeps}."
    )


def _mac_s(ask: Ask) -> int:
    found = re.search(r"^\s*sleep\s+(\d+)(.*)$", ask(("pmset", "-g")), re.MULTILINE)
    if not found or "prevented" in found[2]:
        return 0
    return 60 * int(found[1])


def _windows_s(ask: Ask) -> int:
    said = ask(("powercfg", "/query", "SCHEME_CURRENT", "SUB_SLEEP", "STANDBYIDLE"))
    found = re.search(r"0x([0-9a-fA-F]+)\s*\r?\n.*0x[0-9a-fA-F]+\s*$", said.rstrip())
    return int(found[1], 16) if found else 0  # the last two: on mains, then on battery


def _linux_s(ask: Ask) -> int:
    """The login manager's own setting, else the desktop's; the smaller where both sleep."""
    found = []
    action = ask((*LOGIN, "IdleAction")).split()
    if action and action[-1].strip('"') in ("suspend", "hibernate", "suspend-then-hibernate"):
        found.append(_number(ask((*LOGIN, "IdleActionUSec"))) // 1_000_000)
    if "suspend" in ask(("gsettings", "get", DESKTOP, "sleep-inactive-ac-type")):
        found.append(_number(ask(("gsettings", "get", DESKTOP, "sleep-inactive-ac-timeout"))))
    return min((seconds for seconds in found if seconds > 0), default=0)


def _number(said: str) -> int:
    found = re.search(r"\d+\s*$", said)
    return int(found[0]) if found else 0
