"""README and docs: what they promise is there, and says what the program says."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from benchplan.cli.parser import VERBS, parser
from benchplan.files import read_text
from benchplan.files.samples import sample_paths
from benchplan.model import Plan
from benchplan.papers.cautions import CAUTIONS, DECIDES
from benchplan.planner import plan_day

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]


def squeezed(text: str) -> str:
    return " ".join(text.split())


def commands() -> list[list[str]]:
    """The two command lines, each as its parts between ``&&``."""
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv")]
    return [line.split(" && ") for line in lines]


def test_readme_carries_every_caution_in_order() -> None:
    part = squeezed(README.split("## Cautions first", 1)[1].split("\n## ", 1)[0])
    places = [part.find(caution) for caution in (*CAUTIONS, DECIDES)]
    assert -1 not in places
    assert places == sorted(places)


def test_the_two_command_lines_set_up_alike() -> None:
    opening, testing = commands()
    assert opening[0] == testing[0] == "python3 -m venv .venv"
    assert opening[1] == ".venv/bin/pip install -q -e ."
    assert testing[1] == '.venv/bin/pip install -q -e ".[test]"'
    assert testing[2] == ".venv/bin/pytest"


def test_the_first_command_line_opens_a_sample() -> None:
    program, *arguments = shlex.split(commands()[0][2])
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert program.removeprefix(".venv/bin/") in settings["project"]["scripts"]
    given = parser().parse_args(arguments)
    assert given.act.__name__ == "open_day"
    assert ROOT / given.file in sample_paths()


def test_ci_runs_the_readmes_test_command() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    pattern = re.search(r"grep -m 1 -E '(.*)' README.md", script)
    assert pattern
    found = [line for line in README.splitlines() if re.search(pattern.group(1), line)]
    assert found == [" && ".join(commands()[1])]


def test_every_sample_is_in_the_readme_with_its_plan() -> None:
    for path in sample_paths():
        assert f"(sample_runs/{path.name})" in README
        assert f"(sample_runs/{path.stem}.txt)" in README


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), f"{page.name} links to {target}"


def toml_blocks(page: Path) -> list[str]:
    return re.findall(r"```toml\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize("name", ["README.md", "docs/plan_file.md"])
def test_plan_files_in_the_docs_can_be_planned(name: str) -> None:
    (block,) = toml_blocks(ROOT / name)
    day = read_text(block, name).day
    assert isinstance(plan_day(day), Plan)


def test_the_docs_speak_of_every_verb() -> None:
    table = README.split("## The verbs", 1)[1].split("\n## ", 1)[0]
    assert [verb for verb in VERBS if f"| `benchplan {verb} " not in table] == []


def test_the_page_of_keys_is_the_registry() -> None:
    from benchplan.screens import actions

    page = (ROOT / "docs" / "keys.md").read_text(encoding="utf-8")
    assert page.endswith(actions.docs_table()), "write docs/keys.md again from docs_table()"


def test_the_wheel_holds_licence_and_cautions() -> None:
    # .ci/run builds the wheel and compares both files in it with these.
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert settings["project"]["license"] == "MIT"
    assert settings["project"]["license-files"] == ["docs/LICENSE"]
    text = (ROOT / "docs" / "LICENSE").read_text(encoding="utf-8")
    assert text.startswith("MIT License\n\nCopyright (c) ")
    assert 'THE SOFTWARE IS PROVIDED "AS IS"' in text
    included = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert included["docs/cautions.md"] == "benchplan/cautions.md"
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "licenses/docs/LICENSE" in script
    assert "benchplan/cautions.md" in script


def test_no_source_is_claimed_but_a_title_with_its_edition() -> None:
    word = "hand" + "book"  # a value has a source with a title and an edition, or none at all
    titles = ("NIST Handbook 44", "e-Handbook of Statistical Methods")
    folders = ("benchplan", "docs", "tests", "sample_runs")
    files = [path for name in folders for path in (ROOT / name).rglob("*.*") if path.is_file()]
    for path in (*files, ROOT / "README.md", ROOT / "DEVELOPERS.md"):
        if path.suffix in (".py", ".md", ".toml", ".txt", ".svg") and path != Path(__file__):
            text = path.read_text(encoding="utf-8")
            for title in titles:
                text = text.replace(title, "")
            assert word not in text.lower(), path
