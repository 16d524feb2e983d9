"""Flow: the cursor says what a bar is, and every key moves the look."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from threading import Event

import example_day
import pytest
from page_app import LARGE, Opened, opened

from benchplan import balance as room
from benchplan.balance import Balance, Point
from benchplan.model import Cannot, Day, OneMore, Plan, Run
from benchplan.screens.widgets.lines import Lines
from benchplan.views.rows import plain

LONG = replace(
    example_day.plan(),
    one_more=tuple(OneMore("pan", kind, 5000) for kind in ("small", "wide", "long", "old")),
)


async def test_the_cursor_says_what_a_bar_is_from_when_to_when() -> None:
    async with opened("flow") as it:
        assert "Fill tray 2 (Sea fennel, 6 tins): 09:01 to 09:03 (2 min)." in it.text
        assert "Change of scent before tray 3: 09:03 to 09:07" in await it.press("right")
        assert "Fill tray 2" in await it.press("left", "left")
        assert "Lid and pack tray 3" in await it.press("end")
        assert "Tray 3 on the mat" in await it.press(*["down"] * 6)
        assert "Tray 1 on the mat" in await it.press("home")


async def test_zoom_shows_less_and_back_again_all() -> None:
    async with opened("flow") as it:
        whole = it.text
        await it.press("end")
        nearer = await it.press("plus", "plus")
        assert "here 09:42 to 10:40" in nearer
        assert "Lid and pack tray 3" in nearer
        await it.press("minus", "minus", "home")
        assert it.text == whole


async def test_paging_moves_the_window_and_the_cursor_with_it() -> None:
    async with opened("flow") as it:
        first = await it.press("plus", "plus")
        later = await it.press("pagedown")
        assert later != first
        assert "Fill tray 2" not in later
        assert "Fill tray 2" in await it.press("pageup", "pageup", "home")


async def test_the_cursor_says_why_a_bar_starts_when_it_does() -> None:
    async with opened("flow") as it:
        await it.press("down", "down")
        assert "Tray 1 goes into countertop at 09:11, when the oven is hot." in await it.press(
            "right"
        )


def footer(it: Opened) -> str:
    return plain(it.app.screen.query_one(".footer", Lines).rows).splitlines()[0]


async def test_w_reads_on_from_page_to_page_and_back_to_the_lanes() -> None:
    async with opened("flow") as it:
        lanes = it.text
        assert "W Limits" in footer(it)
        it.app.session.plan = LONG
        first = await it.press("w")
        assert "page 1 of 2" in first
        assert "What sets the finish" in first
        assert "Tins an hour" in first
        assert "W Read on" in footer(it)
        second = await it.press("W")
        assert "page 2 of 2" in second
        assert "One more small pan" in second
        assert "W Lanes" in footer(it)
        assert await it.press("left") == first
        assert await it.press("pagedown", "pagedown") == second
        assert await it.press("home") == first
        await it.press("w")
        it.app.session.plan = example_day.plan()
        assert await it.press("w") == lanes


async def test_a_page_that_is_open_stays_so_while_its_window_is_dragged() -> None:
    async with opened("flow") as it:
        it.app.session.plan = LONG
        await it.press("w", "w")
        await it.pilot.resize_terminal(*LARGE)
        await it.until(lambda: "page" not in it.text.splitlines()[0])
        assert "W Lanes" in footer(it)
        assert "Tins an hour" in it.text
        assert "Fill tray 2" in await it.press("w")


async def test_without_a_run_there_is_no_now() -> None:
    async with opened("flow") as it:
        await it.press("n")
        assert it.app.session.message.startswith("No run in progress")
        assert it.app.session.message.endswith("4: Bench.")


async def test_a_changed_day_keeps_the_old_lanes_marked() -> None:
    async with opened("flow") as it:
        day = example_day.day()
        it.app.session.change_day(day)
        await it.until(lambda: "replanning" in it.text)
        assert "bake" in it.text or "│b1" in it.text
        it.answer(example_day.plan())
        await it.until(lambda: "replanning" not in it.text)


async def test_a_day_that_cannot_be_done_says_why() -> None:
    async with opened("flow", plan=Cannot(("The shelf takes no pan.",))) as it:
        assert "The shelf takes no pan." in it.text
        await it.press("left", "right", "up", "down", "plus", "minus", "pageup", "end", "w")
        assert "The shelf takes no pan." in it.text


async def test_a_large_window_shows_bar_and_limits_together() -> None:
    async with opened("flow", LARGE) as it:
        assert "Tins an hour" in it.text
        assert "Fill tray 2" in it.text


# --- the balance ------------------------------------------------------------------------------


class Rooms:
    """Takes the planner's place behind the balance: the test says when a point is there."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.jobs: list[Rooms.Job] = []
        monkeypatch.setattr(room, "balance", self._balance)

    class Job:
        def __init__(self, day: Day, tell: Callable[[Balance], None]) -> None:
            self.day, self.tell = day, tell
            self.points: list[Point] = []
            self.go, self.ended = Event(), Event()

        def point(self, room: int, finish_s: int, done: bool = False) -> Balance:
            self.points = sorted(
                [*self.points, Point(room, finish_s, 36.0, 6.0, 9.0)], key=lambda each: each.room
            )
            known = len(self.points)
            return Balance("mat", None, 12, tuple(self.points), known, known if done else 9)

    def _balance(
        self,
        day: Day,
        plan: Plan,
        fits: object,
        *,
        cancelled: Callable[[], bool],
        tell: Callable[[Balance], None],
    ) -> Balance:
        job = Rooms.Job(day, tell)
        found = job.point(12, plan.finish_s)
        tell(found)
        self.jobs.append(job)
        while not cancelled() and not job.go.wait(0.001):
            pass
        job.ended.set()
        return found if cancelled() else job.point(24, 5400, done=True)


@pytest.fixture
def rooms(monkeypatch: pytest.MonkeyPatch) -> Rooms:
    return Rooms(monkeypatch)


async def test_b_shows_the_balance_as_it_is_found_and_the_cursor_changes_the_room(
    rooms: Rooms,
) -> None:
    async with opened("flow") as it:
        lanes = it.text
        await it.press("b")
        await it.until(lambda: "1 of 9 planned" in it.text)
        assert "With room for 12 tins on the mat the finish is 10:40" in it.text
        (job,) = rooms.jobs
        job.tell(job.point(6, 9000))
        await it.until(lambda: "2 of 9 planned" in it.text)
        assert "With room for 6 tins on the mat the finish is 11:30" in await it.press("left")
        assert "With room for 12 tins" in await it.press("up", "left", "right")
        job.go.set()
        await it.until(lambda: "planned" not in it.text.splitlines()[0])
        assert "The knee is at 24" in it.text
        assert "write mat_tins = 24 under [cooling]" in await it.press("end")
        assert "> " in next(line for line in it.text.splitlines() if line.endswith("knee"))
        assert "With room for 6 tins" in await it.press("home")
        assert "More room" in footer(it)
        assert await it.press("b") == lanes
        await it.press("B")
        assert len(rooms.jobs) == 1  # what is known is not found again
        assert "With room for 6 tins" in it.text


async def test_escape_goes_back_to_the_lanes_and_there_clears_the_band(
    rooms: Rooms,
) -> None:
    async with opened("flow") as it:
        lanes = it.text
        for key in ("w", "b"):
            assert await it.press(key) != lanes
            assert await it.press("escape") == lanes
        for job in rooms.jobs:
            job.go.set()
        await it.press("n")
        assert it.app.session.message
        await it.press("escape")
        assert not it.app.session.message


async def test_no_key_waits_for_the_balance(rooms: Rooms) -> None:
    async with opened("flow") as it:
        await it.press("b", "left", "right", "plus", "minus", "pageup", "pagedown", "end", "n")
        assert "Balance" in it.text
        assert "What sets the finish" in await it.press("w")
        assert "Fill tray 2" in await it.press("escape")
        rooms.jobs[0].go.set()


async def test_a_changed_day_ends_the_balance_and_its_own_is_found(rooms: Rooms) -> None:
    async with opened("flow") as it:
        await it.press("b")
        await it.until(lambda: "1 of 9 planned" in it.text)
        before = rooms.jobs[0]
        before.tell(before.point(18, 6000))
        assert "With room for 18 tins" in await it.press("end")
        it.app.session.change_day(example_day.day("us"))
        await it.until(lambda: "planned anew" in it.text)
        await it.until(before.ended.is_set)
        it.answer(example_day.plan())
        await it.until(lambda: len(rooms.jobs) == 2 and "1 of 9 planned" in it.text)
        assert rooms.jobs[1].day is it.app.session.day
        before.tell(before.point(6, 9000))  # too late: it is of another day
        await it.pilot.pause()
        assert "1 of 9 planned" in it.text
        rooms.jobs[1].tell(rooms.jobs[1].point(18, 6000))
        await it.until(lambda: "2 of 9 planned" in it.text)
        assert "With room for 12 tins" in it.text
        rooms.jobs[1].go.set()
        await it.until(lambda: "The knee is at" in it.text)


async def test_what_more_is_learned_of_a_plan_leaves_its_balance(rooms: Rooms) -> None:
    async with opened("flow") as it:
        await it.press("b")
        await it.until(lambda: "1 of 9 planned" in it.text)
        session = it.app.session
        plan = session.good_plan()
        assert plan is not None
        session.learned_more(plan, replace(plan, start_by_s=60))
        await it.pilot.pause()
        assert len(rooms.jobs) == 1
        assert not rooms.jobs[0].ended.is_set()
        rooms.jobs[0].go.set()
        await it.until(lambda: "The knee is at" in it.text)


async def test_another_screen_ends_it_and_a_question_does_not(rooms: Rooms) -> None:
    async with opened("flow") as it:
        await it.press("b")
        await it.until(lambda: "1 of 9 planned" in it.text)
        await it.pilot.press("question_mark")
        await it.pilot.press("escape")
        await it.until(lambda: "1 of 9 planned" in it.text)
        assert not rooms.jobs[0].ended.is_set()
        await it.press("1")
        await it.until(rooms.jobs[0].ended.is_set)
        await it.press("3")
        await it.until(lambda: len(rooms.jobs) == 2)
        rooms.jobs[1].go.set()
        await it.until(lambda: "The knee is at" in it.text)
        await it.press("1", "3")
        assert "The knee is at" in it.text
        assert len(rooms.jobs) == 2


async def test_in_a_run_there_is_no_balance_and_the_band_says_so(rooms: Rooms) -> None:
    async with opened("flow") as it:
        await it.press("b")
        await it.until(lambda: "1 of 9 planned" in it.text)
        session = it.app.session
        day, plan = session.day, session.good_plan()
        assert day is not None
        assert plan is not None
        run = Run(1, "Harbour fair", "", day.start, "", "")
        session.take_run(run, day, plan, ())
        await it.until(lambda: "Fill tray 2" in it.text)
        await it.until(rooms.jobs[0].ended.is_set)
        assert "Nothing holds it up: it could start at 09:00." in it.text
        it.app.runs.replanning.followed_s = 60  # the plan was made again then
        session.forecast((), replace(plan))
        await it.until(lambda: "Tray 2 is filled from 09:01 on, now." in it.text)
        await it.press("b")
        assert "A run is on" in session.message
        assert "Fill tray 2" in it.text


async def test_a_day_without_a_plan_has_no_balance(rooms: Rooms) -> None:
    async with opened("flow", plan=Cannot(("The shelf takes no pan.",))) as it:
        await it.press("b")
        assert "once the day has a plan" in it.app.session.message
        assert rooms.jobs == []
        assert "The shelf takes no pan." in await it.press("w")
