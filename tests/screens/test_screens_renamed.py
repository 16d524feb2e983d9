"""Keys that the maker's settings rename: the screens go by them and show them."""

from __future__ import annotations

import re
import shutil
import string
from pathlib import Path

import pytest
from screen_world import SAMPLES, world
from textual.keys import Keys, _character_to_key

from benchplan import keys
from benchplan.errors import BenchplanError, Problem
from benchplan.files import read_plan
from benchplan.files.settings import read_settings
from benchplan.keys.names import SIGNS
from benchplan.screens.dialogs import Dialog

pytestmark = pytest.mark.usefixtures("home")


def day_with(folder: Path, renamed: str) -> Path:
    """Copy the small sample day, with a table of keys."""
    path = Path(shutil.copy(SAMPLES / "first_tray.toml", folder))
    path.write_text(f"{path.read_text()}\n[keys]\n{renamed}\n")
    return path


def day_by(home: Path, renamed: str) -> Path:
    """Copy the small sample day, and write a table of keys into the maker's settings."""
    home.mkdir()
    (home / "settings.toml").write_text(f"[keys]\n{renamed}\n")
    return Path(shutil.copy(SAMPLES / "first_tray.toml", home.parent))


def problems(folder: Path, renamed: str) -> list[Problem]:
    with pytest.raises(BenchplanError) as caught:
        read_plan(day_with(folder, renamed))
    return list(caught.value.problems)


def test_the_signs_are_called_as_the_screens_call_them() -> None:
    assert {sign: _character_to_key(sign) for sign in string.punctuation + " "} == SIGNS


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("t", ("t", "T")), ("T", ("t", "T")), ("é", ("é", "É")), ("7", ("7",)), ("+", ("plus",)),
        (" ", ("space",)), ("Space", ("space",)), ("PgUp", ("pageup",)), ("f12", ("f12",)),
        ("Ctrl + T", ("ctrl+t",)), ("return", ("enter",)), ("question_mark", ("question_mark",)),
        ("ctrl+m", ()), ("ctrl+c", ()), ("f13", ()), ("any", ()), ("", ()), ("\t", ()),
    ],
)  # fmt: skip
def test_a_key_is_named_as_a_person_would(written: str, found: tuple[str, ...]) -> None:
    assert keys.keys_named(written) == found


def test_every_named_key_is_one_that_a_terminal_reports() -> None:
    reported = {each.value for each in Keys} | set(SIGNS.values())
    for name in ("enter", "tab", "shift+tab", "pageup", "del", "ins", "f1", "f12", "ctrl+t", "esc"):
        (key,) = keys.keys_named(name)
        assert key in reported, name


def test_names_in_a_file_are_plain_words() -> None:
    assert all(name.replace("_", "").isalpha() and name.islower() for name in keys.NAMES)


@pytest.mark.parametrize(
    ("renamed", "key", "what", "cure"),
    [
        ('dome = "f5"', "keys.dome", "dome is not known in keys", 'Did you mean "done"?'),
        ('done = "any"', "keys.done", 'done is "any"; there is no such key', "f12"),
        ('done = ["f5", "any"]', "keys.done[2]", "there is no such key", "space"),
        ('done = "ctrl+c"', "keys.done", "there is no such key", "always leave"),
        ("done = 5", "keys.done", "the name of a key is needed", "done = "),
        ("done = []", "keys.done", "an empty list", "done = "),
    ],
)
def test_what_cannot_be_is_said_with_file_and_line(
    tmp_path: Path, renamed: str, key: str, what: str, cure: str
) -> None:
    (found,) = problems(tmp_path, renamed)
    assert (found.key, what in found.what, cure in found.cure) == (key, True, True), found
    assert found.file.endswith("first_tray.toml")
    lines = Path(found.file).read_text().splitlines()
    assert lines[found.line - 1] == renamed


@pytest.mark.parametrize(
    ("renamed", "key", "what", "cure"),
    [
        (
            'done = "space"',
            "keys.done",
            'done is on the key "Space", and so is tick on Bench',
            "Give one of done and tick another key",
        ),
        ('done = "q"', "keys.done", "and so is leave on Bench", "another key"),
        ('save = "g"', "keys.save", 'key "G", and so is gaps on Fit', "another key"),
        ('accept = "y"', "keys.accept", "types in a question", 'accept = "f5"'),
    ],
)
def test_keys_that_clash_are_said_of_the_settings_and_refuse_no_plan(
    home: Path, tmp_path: Path, renamed: str, key: str, what: str, cure: str
) -> None:
    assert read_plan(day_with(tmp_path, renamed)).asks.keys  # what a plan asks for is ignored
    home.mkdir(exist_ok=True)
    (home / "settings.toml").write_text(f"[keys]\n{renamed}\n", encoding="utf-8")
    _, (found,) = read_settings()
    assert (found.key, found.line, what in found.what, cure in found.cure) == (key, 2, True, True)


def test_every_fault_of_the_table_is_said_at_once(tmp_path: Path) -> None:
    found = problems(tmp_path, 'dome = "f5"\ntick = "any"\nhelp = "s"')
    assert [each.key for each in found] == ["keys.dome", "keys.tick"]


def test_a_plan_has_its_own_key_over_its_kits(tmp_path: Path) -> None:
    path = day_with(tmp_path, 'done = "f8"')
    (tmp_path / "kit.toml").write_text('format = 1\n[keys]\ndone = "f7"\ntick = "f5"\n')
    path.write_text(path.read_text().replace("format = 1", 'format = 1\nkit = "kit.toml"', 1))
    assert read_plan(path).asks.keys == {"done": ("f8",), "tick": ("f5",)}


async def test_a_renamed_key_works_is_shown_and_the_usual_one_does_nothing(
    home: Path,
) -> None:
    path = day_by(
        home, 'done = "space"\ntick = ["enter", "k"]\nbench = "f4"\nleave = "x"\naccept = "f9"'
    )
    async with world(path, speed=60.0) as there:
        await there.planned()
        await there.press("4")
        assert there.screen_name() == "orders"
        await there.press("f4")
        assert "Space Start" in there.text()
        await there.press("space")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "cautions")
        await there.press("enter")
        assert "F9 More" in there.text() or "F9 I have read this" in there.text()
        while isinstance(there.app.screen, Dialog):
            await there.press("f9")
        await there.until(lambda: there.session.run, "begun")
        await there.quiet()
        assert "Space Done" in there.text()
        assert "Enter Tick" in there.text()
        assert " X Quit" in there.text()
        before = len(there.session.marks)
        await there.press("enter", "k", "K")
        assert {mark.what for mark in there.session.marks} <= {"tick"}
        await there.press("space")
        await there.until(
            lambda: any(mark.what == "done" for mark in there.session.marks), "marked"
        )
        assert len(there.session.marks) > before
        await there.press("question_mark")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "helped")
        assert "Space        Before a run" in there.text()
        await there.press("escape", "q")
        assert there.screen_name() == "bench"
        await there.press("ctrl+c")
        await there.until(lambda: "A run is on" in there.text(), "asked")
        assert "F9 Leave" in there.text()


async def test_a_question_with_something_to_type_goes_by_renamed_keys(home: Path) -> None:
    path = day_by(home, 'accept = "f9"\nfield_below = "f8"')
    async with world(path) as there:
        await there.planned()
        await there.press("enter")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "asked")
        await there.quiet()
        await there.press("end", *["backspace"] * 3, *"12", "f8", "f9")
        await there.until(lambda: not isinstance(there.app.screen, Dialog), "answered")
        assert there.session.day is not None
        assert there.session.day.orders[0].tins == 12


def every_key_renamed() -> str:
    """Return a table of keys in which no action keeps a key that it has by default."""
    letters = iter("абвгдежзиклмнопрстуфхцчшщъыьэюяαβγδεζηθικλμνξπρστυφχψωàáâäçèéêëìíîïñòóôöùúûü")
    numbers = iter(range(1, 13))
    found: dict[str, str] = {}
    for action in keys.ACTIONS:
        # A key of a question must type nothing there.
        of_questions = {keys.DIALOG, keys.SHEET} & set(action.where)
        if action.name not in found:
            found[action.name] = f"f{next(numbers)}" if of_questions else next(letters)
    return "\n".join(f'{name} = "{key}"' for name, key in found.items())


NAMED = r"Enter|Esc|Space|Tab|PgUp|PgDn|Up|Down|Home"
SAYS = "starts|opens|lists|goes|turns|takes|undoes|saves|puts|ends|resumes|rings|ticks|marks|shows"
ALONE = rf"\b(?:[B-Z]|A(?= saves)|[1-6](?= opens)) (?:{SAYS})\b"
OLD = re.compile(rf"\b(?:{NAMED})\b|{ALONE}|[Pp]ress [A-Z0-9]\b|: [A-Z]\.")


async def test_no_page_names_a_key_that_the_maker_has_renamed(home: Path) -> None:
    path = day_by(home, every_key_renamed())
    async with world(path, speed=60.0, size=(100, 30)) as there:
        await there.planned()
        session = there.session

        def key(name: str) -> str:
            return session.keys[name][0]

        async def look(*names: str) -> None:
            await there.press(*(key(name) for name in names))
            await there.quiet()
            assert not OLD.findall(there.text()), there.text()

        await look()
        await look("tray_earlier")
        for page in ("fit", "flow", "jars", "book", "bench"):
            await look(page)
        await look("flow")
        await look("to_now")
        await look("limits")
        await look("balance")
        await look("jars", "used_up")
        await look("bench")
        await look("help")
        await look("cancel")
        await look("done")  # the cautions
        while isinstance(there.app.screen, Dialog):
            await look("accept")
        await there.until(lambda: session.run, "begun")
        await look("tick")
        for _ in there.card.checklist:
            await look("tick")
        await look("hold")
        await look("hold")
        await look("happened")
        await look("page_on")
        await look("cancel")
        await look("other")
        await look("cancel")
        await look("end_run")
        await look("cancel")
        await look("orders", "more_tins")  # says how to change the day
        await look("bench", "done")
        there.app.simulate_key(key("tick"))
        await there.drawn()
        assert not OLD.findall(there.text())
        session.following = True
        await look("tick")
        session.following = False
        await look("end_run", "field_below", "accept", "accept")
        await there.until(lambda: session.done, "aborted")
        await look()
        await look("take_back", "end_run", "accept")
