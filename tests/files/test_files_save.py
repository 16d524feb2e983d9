"""A day goes back into the maker's own text: nothing is lost, nothing else is touched."""

from __future__ import annotations

import difflib
import tempfile
import tomllib
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import plan_strategies as made
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_examples import FULL, LEAST, METRIC, put, read, with_line

from benchplan.errors import BenchplanError
from benchplan.files import PlanFile, read_plan, read_text, save_plan, snapshot
from benchplan.model import Break, Day, Display, QueuedTray


def open_at(folder: Path, text: str = FULL) -> PlanFile:
    return read_plan(put(folder, text), display=METRIC)


def changed_rows(before: str, after: str) -> tuple[list[str], list[str]]:
    """Return the rows that went and the rows that came."""
    rows = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return (
        [row[2:] for row in rows if row.startswith("- ")],
        [row[2:] for row in rows if row.startswith("+ ")],
    )


def remarks(text: str) -> list[str]:
    """Return the remarks of a text, in no order; its texts hold no other number sign."""
    return sorted(row[row.index("#") :].strip() for row in text.splitlines() if "#" in row)


def test_saving_what_was_read_changes_no_letter(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    again = save_plan(plan, plan.day)
    assert again.text == FULL
    assert (tmp_path / "plan.toml").read_bytes() == FULL.encode()


def test_the_makers_own_keys_are_no_part_of_a_day_that_is_saved(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    own = replace(plan.day, keys={"tick": ("f9",)}, keep_order=True)
    saved = save_plan(plan, own)
    assert saved.day == own
    assert "f9" not in saved.text


def test_only_what_differs_is_touched(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    first, second = plan.day.orders
    day = replace(
        plan.day, orders=(replace(first, tins=30, filled=0), replace(second, filled=3)),
        keep_order=True,
    )  # fmt: skip
    saved = save_plan(plan, day)
    went, came = changed_rows(FULL, saved.text)
    assert went == ["keep_order = false", "tins = 27", "filled = 9"]
    assert came == ["keep_order = true", "tins = 30", "filled = 0", "filled = 3"]
    assert saved.day == day
    assert read_plan(tmp_path / "plan.toml", display=METRIC).day == day


def test_remarks_go_with_their_trays(tmp_path: Path) -> None:
    text = with_line(
        FULL, '[[trays]]\nscent = ["Quince"', '# for Ana\n[[trays]]  # mixed\nscent = ["Quince"'
    )
    text = with_line(text, '[scents."Jun', '# What we know of scents.\n\n[scents."Jun')
    plan = open_at(tmp_path, text)
    new = QueuedTray(("Quince",) * 2, "standard", "small")
    day = replace(plan.day, queue=(plan.day.queue[1], new, plan.day.queue[0]))
    saved = save_plan(plan, day)
    assert remarks(saved.text) == remarks(text)
    assert '# for Ana\n[[trays]]  # mixed\nscent = ["Quince"' in saved.text
    assert saved.text.index("# for Ana") < saved.text.index("tins = 9\npan")
    assert '# What we know of scents.\n\n[scents."Jun' in saved.text
    assert saved.day == day
    none = save_plan(saved, replace(day, queue=()))
    assert "trays" not in tomllib.loads(none.text)
    assert "# What we know of scents." in none.text
    assert "\n\n\n" not in none.text


def test_a_first_queue_is_put_after_the_orders(tmp_path: Path) -> None:
    plan = open_at(tmp_path, LEAST)
    queue = (QueuedTray(("Quince",) * 4, "plain"), QueuedTray(("Quince",) * 3, "plain", "small"))
    saved = save_plan(plan, replace(plan.day, queue=queue, keep_order=True))
    went, came = changed_rows(LEAST, saved.text)
    assert went == []
    assert [row for row in came if row] == [
        "keep_order = true",
        *("[[trays]]", 'scent = "Quince"', 'recipe = "plain"', "tins = 4"),
        *("[[trays]]", 'scent = "Quince"', 'recipe = "plain"', "tins = 3", 'pan = "small"'),
    ]


def test_name_display_and_date_of_next_time(tmp_path: Path) -> None:
    plan = open_at(tmp_path, LEAST)
    start = plan.day.start.replace(month=12, day=12, hour=10)
    day = replace(plan.day, start=start, display=Display("us", 24), name="Twelfth")
    saved = save_plan(plan, day, tmp_path / "next.toml")
    data = tomllib.loads(saved.text)
    assert str(data["day"]["date"]) == "2026-12-12"
    assert str(data["day"]["start"]) == "10:00:00"
    assert (data["name"], data["display"]) == ("Twelfth", {"units": "us"})
    assert (tmp_path / "plan.toml").read_text() == LEAST


def test_a_name_that_was_never_written_follows_the_file(tmp_path: Path) -> None:
    plan = open_at(tmp_path, LEAST)
    saved = save_plan(plan, plan.day, tmp_path / "twelfth.toml")
    assert saved.text == LEAST
    assert saved.day.name == "twelfth"


def test_breaks_and_finish_are_written_as_clock_times(tmp_path: Path) -> None:
    plan = open_at(tmp_path, LEAST)
    breaks = (Break(3600, 600), Break(90_000, 61, 1))
    saved = save_plan(plan, replace(plan.day, breaks=breaks, finish_by_s=100_000))
    day = tomllib.loads(saved.text)["day"]
    assert [str(each["at"]) for each in day["breaks"]] == ["10:00:00", "2026-12-06 10:00:00"]
    assert [each["for"] for each in day["breaks"]] == ["10 min", "61 s"]
    assert str(day["finish_by"]) == "2026-12-06 12:46:40"
    assert saved.day.breaks == breaks


def test_the_kit_is_found_from_another_folder(tmp_path: Path) -> None:
    plan_text, kit = LEAST.split("[recipes")
    (tmp_path / "kits").mkdir()
    (tmp_path / "next" / "year").mkdir(parents=True)
    put(tmp_path / "kits", "[recipes" + kit, "kit.toml")
    plan = open_at(tmp_path, 'kit = "kits/kit.toml"  # ours\n' + plan_text)
    same = save_plan(plan, plan.day, tmp_path / "beside.toml")
    assert same.text == plan.text
    moved = save_plan(plan, plan.day, tmp_path / "next" / "year" / "plan.toml")
    assert 'kit = "../../kits/kit.toml"  # ours' in moved.text
    assert read_plan(tmp_path / "next" / "year" / "plan.toml", display=METRIC).day == plan.day
    (tmp_path / "way").symlink_to(tmp_path / "next" / "year", target_is_directory=True)
    other = replace(plan.day, name="Linked")
    linked = save_plan(plan, other, tmp_path / "way" / "linked.toml")
    assert read_plan(tmp_path / "way" / "linked.toml", display=METRIC).day == linked.day == other


@pytest.mark.parametrize("kit_now", ["[recipes.plain]\n", None])
def test_a_kit_that_was_changed_or_lost_since_keeps_no_day_from_being_saved(
    kit_now: str | None, tmp_path: Path
) -> None:
    plan_text, kit = LEAST.split("[recipes")
    put(tmp_path, "[recipes" + kit, "kit.toml")
    plan = open_at(tmp_path, 'kit = "kit.toml"\n' + plan_text)
    (tmp_path / "kit.toml").unlink()
    if kit_now is not None:
        put(tmp_path, kit_now, "kit.toml")
    saved = save_plan(plan, replace(plan.day, keep_order=True))
    assert "keep_order = true" in (tmp_path / "plan.toml").read_text()
    assert saved.day == replace(plan.day, keep_order=True)


def test_an_absolute_kit_stays_as_it_is(tmp_path: Path) -> None:
    plan_text, kit = LEAST.split("[recipes")
    put(tmp_path, "[recipes" + kit, "kit.toml")
    (tmp_path / "there").mkdir()
    plan = open_at(tmp_path, f'kit = "{tmp_path}/kit.toml"\n' + plan_text)
    moved = save_plan(plan, plan.day, tmp_path / "there" / "plan.toml")
    assert moved.text == plan.text


def refused(plan: PlanFile, day: Day, path: Path | None = None, **how: Any) -> str:
    with pytest.raises(BenchplanError) as caught:
        save_plan(plan, day, path, **how)
    assert all(each.what and each.cure for each in caught.value.problems)
    return str(caught.value)


def test_a_file_changed_by_someone_else_is_not_overwritten(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    day = replace(plan.day, keep_order=True)
    theirs = with_line(FULL, "people = 2", "people = 3")
    path = put(tmp_path, theirs)
    assert "changed elsewhere" in refused(plan, day)
    assert path.read_text() == theirs
    save_plan(plan, day, force=True)
    assert "keep_order = true" in path.read_text()


def test_another_file_is_not_overwritten_by_save_as(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    other = put(tmp_path, "mine", "other.toml")
    assert "Another file" in refused(plan, plan.day, other)
    assert other.read_text() == "mine"
    save_plan(plan, plan.day, other, force=True)
    assert other.read_text() == FULL


@pytest.mark.parametrize("kit", ["", 'kit = "kit.toml"\n'])
@pytest.mark.parametrize(
    ("target", "says"),
    [
        ("x" * 300, "name too long"),
        ("a\0b", "cannot be written"),
        ("none/plan.toml", "There is no folder"),
        ("other.toml/plan.toml", "There is no folder"),
        (".", "This is a folder"),
        ("/", "This is a folder"),
    ],
)
def test_places_that_take_no_plan_are_named(
    kit: str, target: str, says: str, tmp_path: Path
) -> None:
    put(tmp_path, "", "kit.toml")
    put(tmp_path, "", "other.toml")
    plan = open_at(tmp_path, kit + LEAST)
    assert says in refused(plan, plan.day, tmp_path / target)


def test_another_file_is_safe_from_a_plan_whose_own_is_gone(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    other = put(tmp_path, "mine", "other.toml")
    (tmp_path / "plan.toml").unlink()
    assert "Another file" in refused(plan, plan.day, other)
    assert other.read_text() == "mine"


def test_a_file_that_was_removed_is_written_again(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    (tmp_path / "plan.toml").unlink()
    save_plan(plan, plan.day)
    assert (tmp_path / "plan.toml").read_text() == FULL


def test_saving_twice_needs_the_file_as_it_was_saved(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    saved = save_plan(plan, replace(plan.day, keep_order=True))
    again = save_plan(saved, replace(saved.day, keep_order=False))
    assert again.text == FULL


def test_a_change_that_no_text_can_hold_is_refused(tmp_path: Path) -> None:
    plan = open_at(tmp_path)
    slower = replace(plan.day, times=replace(plan.day.times, fill_s=99))
    assert "Not all of this change" in refused(plan, slower)
    over = replace(plan.day, orders=(replace(plan.day.orders[0], tins=4), plan.day.orders[1]))
    assert "filled" in refused(plan, over)
    assert (tmp_path / "plan.toml").read_text() == FULL


def test_a_text_without_a_file_needs_a_name(tmp_path: Path) -> None:
    plan = read(FULL)
    assert "no file yet" in refused(plan, plan.day)
    save_plan(plan, plan.day, tmp_path / "new.toml")
    assert (tmp_path / "new.toml").read_text() == FULL


def test_ends_of_line_and_mark_are_kept(tmp_path: Path) -> None:
    text = "\ufeff" + FULL.replace("\n", "\r\n")
    plan = open_at(tmp_path, text)
    day = replace(plan.day, keep_order=True, queue=plan.day.queue[::-1], name="Pier")
    saved = save_plan(plan, day)
    raw = (tmp_path / "plan.toml").read_bytes()
    assert raw == saved.text.encode()
    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.count(b"\n") == raw.count(b"\r\n")


@settings(max_examples=60)
@given(st.data())
def test_open_and_save_lose_nothing(data: st.DataObject) -> None:
    before = data.draw(made.documents())
    text = data.draw(made.texts(before))
    with tempfile.TemporaryDirectory() as folder:
        plan = open_at(Path(folder), text)
        assert plan.document == before
        assert save_plan(plan, plan.day).text == text
        day = data.draw(made.changes(plan.day))
        saved = save_plan(plan, day)
        again = read_plan(Path(folder) / "plan.toml", display=METRIC)
        assert again.day == saved.day == replace(day, defaults=again.day.defaults)
        assert again.day.start.astimezone(UTC) == day.start.astimezone(UTC)
        assert again.document == saved.document
        kept = {"format", "recipes", "tins", "pans", "ovens", "cooling", "times", "checklist"}
        assert {k: v for k, v in again.document.items() if k in kept} == {
            k: v for k, v in before.items() if k in kept
        }
        untouched = {"mix_scents", "scales", "zone"} & set(before["day"])
        assert all(again.document["day"][key] == before["day"][key] for key in untouched)
        assert ("\r\n" in again.text) == ("\r\n" in text)
        if set(plan.day.queue) <= set(day.queue):  # only a tray that goes takes its remark along
            for remark in ("# a remark", "# two", "# lines", "# [[trays]] in words"):
                assert again.text.count(remark) == text.count(remark)
        whole = snapshot(plan, data.draw(made.with_breaks(day)))
        assert read_text(whole, "run").text == whole


@settings(max_examples=60)
@given(st.data())
def test_a_snapshot_reads_back_as_the_day_it_is_of(data: st.DataObject) -> None:
    plan = read(data.draw(made.documents()))
    day = data.draw(made.with_breaks(data.draw(made.changes(plan.day))))
    whole = read_text(snapshot(plan, day), "run", display=Display("us", 12))
    assert whole.day == replace(day, defaults=whole.day.defaults)
    assert whole.day.start.astimezone(UTC) == day.start.astimezone(UTC)
    assert read_text(snapshot(plan, plan.day), "run").day == plan.day  # with what it leans on


def test_a_snapshot_holds_the_kit(tmp_path: Path) -> None:
    plan_text, kit = LEAST.split("[recipes")
    put(tmp_path, "[recipes" + kit, "kit.toml")
    plan = open_at(tmp_path, 'kit = "kit.toml"\n' + plan_text)
    begun = plan.day.begun_at(datetime(2026, 12, 6, 9, 30, 7, tzinfo=UTC))
    whole = read_text(snapshot(plan, begun), "run")
    assert whole.day == begun
    assert whole.kit is None


ODD_FORMS = {
    "breaks under headers": with_line(
        FULL,
        'breaks = [ { at = 12:30:00, for = "30 min", away = 1 } ]\n',
        "# when\n[[day.breaks]]  # lunch\nat = 12:30:00\nfor = '30 min'\naway = 1\n\n[day2]\n",
    ).replace("[day2]\n", "")
    .replace('mix_scents = true\npack = "today"\nkeep_order = false\n', "")
    .replace("people = 2", "people = 2\nmix_scents = true\nkeep_order = false"),
    "lists on one line": "# top\n"
    + with_line(
        LEAST,
        'format = 1\n',
        'format = 1\norders = [  # all\n  { scent = "Quince", recipe = "plain", tins = 9 },  # a\n'
        '  { scent = "Fig", recipe = "plain", tins = 9, filled = 2 }\n]\ntrays = []\n',
    ).replace('[[orders]]\nscent = "Quince"\nrecipe = "plain"\ntins = 9\n', ""),
    "trays here and there": FULL.replace("[times]", '# later\n[[trays]]\nscent = "Quince"\n'
    'recipe = "standard"\ntins = 2\n\n[times]'),
    "no end of line": FULL.rstrip("\n"),
    "dotted": LEAST.replace("[day]\n", "").replace("date", "day.date").replace("start", "day.start")
    .replace("zone", "day.zone"),
    "odd spaces": FULL.replace(" = ", "\t=  ").replace("[[trays]]", "  [[ trays ]]  # q"),
}  # fmt: skip


@pytest.mark.parametrize("form", ODD_FORMS)
def test_every_way_of_writing_can_be_changed(form: str, tmp_path: Path) -> None:
    text = ODD_FORMS[form]
    plan = open_at(tmp_path, text)
    assert save_plan(plan, plan.day).text == text
    last = plan.day.orders[-1]
    day = replace(
        plan.day,
        orders=(*plan.day.orders[:-1], replace(last, tins=last.tins + 1, filled=1)),
        queue=(QueuedTray((last.scent,) * 2, last.recipe), *plan.day.queue[::-1]),
        breaks=(*plan.day.breaks, Break(600, 300)),
        keep_order=True,
    )
    saved = save_plan(plan, day)
    assert saved.day == replace(day, defaults=saved.day.defaults)
    assert remarks(saved.text) == remarks(text)
    back = save_plan(saved, plan.day)
    assert back.day == plan.day
    assert remarks(back.text) == remarks(text)


def test_a_snapshot_holds_nobodys_settings_and_strange_keys_refuse_no_file(tmp_path: Path) -> None:
    settings = '[bench]\nalarm_command = ["play", "x"]\n[keys]\ndone = "f1"\n'
    plan = open_at(tmp_path, LEAST + settings)  # F1 is the key of help
    assert plan.asks.keys == {"done": ("f1",)}
    whole = snapshot(plan, plan.day)
    assert "alarm_command" not in whole
    assert "f1" not in whole
    assert read_text(LEAST + settings, "run 3", kept=True).day.name
