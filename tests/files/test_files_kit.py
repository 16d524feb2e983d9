"""A plan over its kit: key by key or whole, and each message points into the right file."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from plan_examples import FULL, LEAST, METRIC, put, read, with_line

from benchplan.errors import BenchplanError
from benchplan.files import PlanFile, read_plan, read_text

HEAD, TABLES = FULL.split('[scents."Juniper smoke"]')
KIT = '[scents."Juniper smoke"]' + TABLES + "\n[day]\npeople = 2\nscales = 3\n"
PLAN = with_line(HEAD, "format = 1\n", 'format = 1\nkit = "kit.toml"\n')
PLAN = with_line(with_line(PLAN, "people = 2\n", ""), "scales = 1\n", "")


def lay(folder: Path, plan: str, kit: str) -> PlanFile:
    put(folder, kit, "kit.toml")
    return read_plan(put(folder, plan), display=METRIC)


def faults(folder: Path, plan: str, kit: str) -> list[str]:
    with pytest.raises(BenchplanError) as caught:
        lay(folder, plan, kit)
    assert all(each.what and each.cure for each in caught.value.problems)
    return [str(each).replace(str(folder) + os.sep, "") for each in caught.value.problems]


def test_a_plan_and_its_kit_read_like_one_file(tmp_path: Path) -> None:
    split = lay(tmp_path, PLAN, KIT)
    whole = read(with_line(FULL, "scales = 1", "scales = 3"))
    assert split.day == whole.day
    assert split.kit == tmp_path / "kit.toml"
    assert split.document == {**whole.document, "kit": "kit.toml"}
    assert split.text == PLAN


def test_tables_of_one_are_laid_over_key_by_key(tmp_path: Path) -> None:
    plan = PLAN + (
        '[times]\nset = "9 s"\n[cooling]\nroom = "30 degC"\n[checklist]\nload = []\n'
        '[display]\nclock = 24\n'
    )  # fmt: skip
    day = lay(tmp_path, with_line(plan, "mix_scents", "people = 3\nmix_scents"), KIT).day
    assert (day.times.set_s, day.times.fill_s) == (9, 21)
    assert (day.cooling.room_c, day.cooling.gap_mm) == (30.0, 11.0)
    assert day.checklist["load"] == ()
    assert day.checklist["pack"] == ("Cool right through",)
    assert (day.display.units, day.display.clock) == ("us", 24)
    assert (day.people, day.scales) == (3, 3)


def test_a_named_table_is_taken_whole(tmp_path: Path) -> None:
    plan = PLAN + '[pans.small]\ninside = ["300 mm", "200 mm"]\n[tins.tall]\n'
    plan += 'diameter = "50 mm"\nheight = "40 mm"\n'
    day = lay(tmp_path, plan, KIT).day
    assert day.pans["small"].inside_mm == (300.0, 200.0)
    assert day.pans["small"].gap_mm == 6.0  # the default, not the kit's 7 mm
    assert set(day.tins) == {"low 72", "tall"}


@pytest.mark.parametrize(
    ("kit", "plan", "mat", "tins"),
    [
        ('mat = ["680 mm", "440 mm"]', "mat_tins = 9", None, 9),
        ("mat_tins = 9", 'mat = ["680 mm", "440 mm"]', (680.0, 440.0), None),
        ("mat_tins = 9", "mat_tins = 8", None, 8),
        ("mat_tins = 9", "stand = 3", None, 9),
    ],
)
def test_a_plans_own_mat_replaces_either_of_the_kits(
    tmp_path: Path, kit: str, plan: str, mat: tuple[float, float] | None, tins: int | None
) -> None:
    laid = lay(
        tmp_path,
        PLAN + f"[cooling]\n{plan}\n",
        with_line(KIT, 'mat = ["680 mm", "440 mm"]', kit),
    )
    assert (laid.day.cooling.mat_mm, laid.day.cooling.mat_tins) == (mat, tins)
    held = laid.document["cooling"]
    assert ("mat" in held, "mat_tins" in held) == (mat is not None, tins is not None)


def test_problems_point_into_the_file_that_says_it(tmp_path: Path) -> None:
    kit = with_line(KIT, '"21 mm"', "21")
    kit = with_line(kit, 'tin = "low 72"', 'tin = "low 7"')
    plan = with_line(PLAN, "tins = 27", "tins = 0") + '[pans.big]\ngap = "1 mm"\n'
    found = faults(tmp_path, plan, kit)
    rows = {each.split(":")[0:3][2].strip(): each.split(":")[:2] for each in found}
    assert rows["orders[1].tins"][0] == "plan.toml"
    assert rows["pans.big.inside"][0] == "plan.toml"
    assert rows["pans.small.height"][0] == "kit.toml"
    assert rows["recipes.standard.tin"][0] == "kit.toml"
    for key, (file, line) in rows.items():
        row = (plan if file == "plan.toml" else kit).splitlines()[int(line) - 1]
        assert key.split(".")[-1] in row or row == "[pans.big]"
    files = [each.split(":")[0] for each in found]
    assert files == sorted(files, reverse=True)  # the plan's first


def test_place_says_where_a_key_stands(tmp_path: Path) -> None:
    laid = lay(tmp_path, PLAN + '[cooling]\nroom = "30 degC"\n', KIT)
    kit, plan = str(tmp_path / "kit.toml"), str(tmp_path / "plan.toml")
    assert laid.place("cooling.room") == (plan, laid.text.splitlines().index("[cooling]") + 2)
    assert laid.place("cooling.gap") == (kit, KIT.splitlines().index('gap = "11 mm"') + 1)
    assert laid.place("pans.small.nothing") == (kit, KIT.splitlines().index("[pans.small]") + 1)
    assert laid.place("orders[2].tins")[0] == plan
    assert laid.place("nothing") == (plan, 0)
    assert laid.place("")[0] == plan


@pytest.mark.parametrize(
    ("kit", "says"),
    [
        ('kit = "other.toml"\n' + KIT, "kit.toml:1: kit: A kit may not name a kit itself."),
        ('name = "x"\n' + KIT, "kit.toml:1: name: A kit holds no name."),
        (KIT + "\n[[orders]]\n", "orders: A kit holds no orders."),
        (with_line(KIT, "scales = 3", "pack = 'later'"), "day.pack: A kit holds no pack."),
        (KIT + "\nx = [", "This is not TOML"),
        (with_line(KIT, "[ovens", "mat_tins = 4\n[ovens"), "mat_tins is not known"),
        (with_line(KIT, "where = ", "mat_tins = 4\nwhere = "), "cooling has both"),
    ],
)
def test_what_a_kit_may_not_hold(tmp_path: Path, kit: str, says: str) -> None:
    found = faults(tmp_path, PLAN, kit)
    assert len([each for each in found if says in each]) == 1
    assert all(each.startswith("kit.toml:") for each in found)


def test_a_kit_that_cannot_be_read_hides_no_problem_of_the_plan(tmp_path: Path) -> None:
    path = put(tmp_path, with_line(PLAN, "tins = 27", "tins = 0"))
    with pytest.raises(BenchplanError) as caught:
        read_plan(path)
    keys = {each.key: each for each in caught.value.problems}
    assert set(keys) == {"kit", "orders[1].tins"}  # and nothing is called missing that it may hold
    assert keys["kit"].line == 2
    assert "kit.toml" in keys["kit"].what


def test_a_plan_that_is_its_own_kit_is_told_so(tmp_path: Path) -> None:
    path = put(tmp_path, with_line(PLAN, "kit.toml", "plan.toml"))
    with pytest.raises(BenchplanError, match="names itself"):
        read_plan(path)
    (tmp_path / "link.toml").symlink_to(path)
    put(tmp_path, with_line(PLAN, "kit.toml", "link.toml"))
    with pytest.raises(BenchplanError, match="names itself"):
        read_plan(path)


@pytest.mark.parametrize("named", ["", ".", "a\\u0000b.toml", "nowhere/kit.toml"])
def test_odd_names_of_a_kit_are_answered(tmp_path: Path, named: str) -> None:
    path = put(tmp_path, with_line(PLAN, "kit.toml", named))
    with pytest.raises(BenchplanError) as caught:
        read_plan(path)
    assert [each.key for each in caught.value.problems] == ["kit"]


def test_a_kit_is_found_from_the_plans_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "kits").mkdir()
    (tmp_path / "days").mkdir()
    put(tmp_path / "kits", KIT, "kit.toml")
    put(tmp_path / "days", with_line(PLAN, "kit.toml", "../kits/kit.toml"))
    monkeypatch.chdir(tmp_path)
    found = read_plan(Path("days/plan.toml"), display=METRIC)
    assert found.day.scales == 3
    text = found.text
    assert read_text(text, "a text", tmp_path / "days", display=METRIC).day == found.day


def test_the_least_file_may_have_all_its_kit_elsewhere(tmp_path: Path) -> None:
    plan, kit = LEAST.split("[recipes")
    laid = lay(tmp_path, 'kit = "kit.toml"\n' + plan, "[recipes" + kit)
    assert laid.day == read(LEAST).day
