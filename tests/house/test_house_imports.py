"""Which room may import what: the contract, the picture of the house, and fresh processes."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "benchplan"
FILES = sorted(PACKAGE.rglob("*.py"))


def names(path: Path) -> Iterator[str]:
    """Every module that a file imports, at the top or later."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def users(*modules: str) -> set[str]:
    """The files, from the package's folder, that import one of some modules."""
    return {
        path.relative_to(PACKAGE).as_posix()
        for path in FILES
        if any(name.split(".")[0] in modules for name in names(path))
    }


def test_only_the_screens_know_textual() -> None:
    assert {name.split("/")[0] for name in users("textual", "rich")} <= {"screens"}


def test_only_units_knows_pint() -> None:
    assert users("pint") == {"units.py"}


def test_only_the_clock_asks_the_time() -> None:
    assert users("time") == {"clock.py"}
    asking = re.compile(r"\b(datetime\.(now|utcnow|today)|date\.today)\(")
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in FILES
        if asking.search(path.read_text(encoding="utf-8"))
    }
    assert found == {"clock.py"}


def test_no_file_has_outgrown_its_room() -> None:
    long = {
        path.relative_to(ROOT).as_posix(): count
        for path in FILES
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}


def layers() -> list[list[str]]:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for contract in settings["tool"]["importlinter"]["contracts"]:
        if contract["type"] == "layers":
            return [
                [name.strip().removeprefix("benchplan.") for name in layer.split("|")]
                for layer in contract["layers"]
            ]
    raise AssertionError("no contract about layers")


def test_the_picture_of_the_house_is_the_contract() -> None:
    text = (ROOT / "docs" / "house.md").read_text(encoding="utf-8")
    picture = text.split("```text\n", 1)[1].split("```", 1)[0]
    floors = []
    for line in picture.splitlines():
        drawn = re.match(r"(\w+(?: \| \w+)*)(?:  |$)", line)
        if drawn:
            floors.append(drawn.group(1).split(" | "))
    assert floors == layers()


def test_every_room_is_in_the_contract() -> None:
    rooms = {
        path.name.removesuffix(".py") for path in PACKAGE.iterdir() if not path.name.startswith("_")
    }
    known = {name for floor in layers() for name in floor}
    assert rooms - {"py.typed", "sample_runs"} == known


def test_the_contracts_hold() -> None:
    # In a process of its own: it configures logging for everybody, and would silence our log.
    found = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from importlinter.cli import lint_imports; "
            "sys.exit(lint_imports(config_filename='pyproject.toml', no_cache=True))",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert found.returncode == 0, found.stdout + found.stderr


FIRST_PAINT_WITHOUT = (  # paint first: these come with the first day
    "benchplan.model.plan", "benchplan.planner", "benchplan.files", "benchplan.book", "pint",
    "sqlite3",
)  # fmt: skip


@pytest.mark.parametrize(
    ("module", "without"),
    [
        ("benchplan.cli", ("textual", "rich", "pint", "numpy", "tomlkit", "sqlite3")),
        ("benchplan.planner", ("textual", "rich", "pint", "numpy", "tomlkit", "sqlite3")),
        ("benchplan.views", ("textual", "rich", "pint", "numpy", "tomlkit")),
        ("benchplan.files", ("textual", "rich", "numpy", "tomlkit")),
        ("benchplan.screens.app", FIRST_PAINT_WITHOUT),
    ],
)
def test_a_fresh_process_loads_only_what_it_needs(module: str, without: tuple[str, ...]) -> None:
    program = f"import sys, {module}; print(*(n for n in {without} if n in sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, check=True, text=True
    )
    assert done.stdout.strip() == ""
