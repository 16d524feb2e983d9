"""Every page shows a run in which a tray left, an oven failed, somebody came and somebody left."""

from __future__ import annotations

from pathlib import Path

import pytest
from screen_world import SAMPLES, world

from benchplan.model import Action, Mark


def mark(what: str, second: int, action: Action | None = None, **more: object) -> Mark:
    return Mark(what, second, second, action, **more)  # type: ignore[arg-type]


@pytest.fixture
def two_ovens(tmp_path: Path) -> Path:
    """The first sample with more tins and a second oven like its first."""
    text = (
        (SAMPLES / "first_tray.toml").read_text(encoding="utf-8").replace("tins = 14", "tins = 35")
    )
    oven = text[text.index("[ovens.countertop]") :].partition("\n\n")[0]
    path = tmp_path / "first_tray.toml"
    more = oven.replace("countertop", "spare")
    path.write_text(text.replace(oven, f"{oven}\n\n{more}"), encoding="utf-8")
    return path


async def test_pages_of_a_run_that_lost_a_tray_an_oven_and_a_person(two_ovens: Path) -> None:
    async with world(two_ovens, speed=60.0) as there:
        await there.begin()
        carrier, session = there.app.runs, there.session
        day = session.day
        assert day is not None
        first, *_ = day.ovens
        for what, action in (
            ("person comes", None),
            ("leaves", Action("load", (2,))),
            ("oven out", Action("preheat", (), first)),
            ("person goes", None),
            ("scrapped", Action("set", (3,))),
            ("late", None),
            ("hold", None),
        ):
            amount = {"scrapped": 1.0, "late": 60.0}.get(what, 0.0)
            second = session.now_s()
            assert carrier.add(mark(what, second, action, amount=amount, note="so it was")), what
            await there.quiet()
        for page in "123456":
            await there.press(page)
            await there.quiet()
            assert "did not work" not in there.text(), page
        await there.press("3")
        for key in (
            ("right",) * 12 + ("down", "right") * 6 + ("w", "w", "w", "b", "right", "escape")
        ):
            await there.press(key)
        await there.quiet()
        assert "did not work" not in there.text()
        await there.press("4", "h")
        assert "Held" not in there.text()


async def test_pages_of_a_run_that_lost_its_only_oven(tmp_path: Path) -> None:
    path = tmp_path / "first_tray.toml"
    path.write_text((SAMPLES / "first_tray.toml").read_text(encoding="utf-8"), encoding="utf-8")
    async with world(path) as there:
        await there.begin()
        out = Action("preheat", (), "countertop")
        assert there.app.runs.add(mark("oven out", 5, out))
        await there.quiet()
        assert "0 tins on 0 trays packed." in there.text()
        for page in "123456":
            await there.press(page)
            await there.quiet()
            assert "did not work" not in there.text(), page
        await there.press("3", "right", "w", "w", "b")
        await there.quiet()
        assert "did not work" not in there.text()
        await there.press("4", "u")
        await there.until(lambda: not there.state.complete, "on again")
