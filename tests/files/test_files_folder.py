"""Several files into a folder: made where missing, ours replaced, anything else left alone."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchplan.errors import BenchplanError
from benchplan.files.folder import write_folder

HEAD = "<!-- ours -->\n"
TEXTS = {"one.svg": HEAD + "1 × 1", "two.svg": HEAD + "2"}


def refused(folder: Path) -> list[str]:
    with pytest.raises(BenchplanError) as caught:
        write_folder(folder, TEXTS, HEAD)
    return [str(problem) for problem in caught.value.problems]


def read_all(folder: Path) -> dict[str, str]:
    return {each.name: each.read_text(encoding="utf-8") for each in folder.iterdir()}


def test_a_missing_folder_is_made_with_all_above_it(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    assert write_folder(folder, TEXTS, HEAD) == (folder / "one.svg", folder / "two.svg")
    assert read_all(folder) == TEXTS


def test_nothing_to_write_makes_nothing(tmp_path: Path) -> None:
    assert write_folder(tmp_path / "a", {}, HEAD) == ()
    assert not (tmp_path / "a").exists()


def test_ours_are_replaced_and_other_files_stay(tmp_path: Path) -> None:
    (tmp_path / "one.svg").write_text(HEAD + "old", encoding="utf-8")
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    write_folder(tmp_path, TEXTS, HEAD)
    assert read_all(tmp_path) == {**TEXTS, "mine.txt": "mine"}


@pytest.mark.parametrize("text", ["", "<!-- ours", "<svg/>", "\ufeff" + HEAD])
def test_what_is_not_ours_stays_and_nothing_is_written(tmp_path: Path, text: str) -> None:
    (tmp_path / "two.svg").write_text(text, encoding="utf-8")
    (said,) = refused(tmp_path)
    assert str(tmp_path / "two.svg") in said
    assert "nothing has been written" in said
    assert read_all(tmp_path) == {"two.svg": text}


def test_folders_links_and_pipes_are_not_ours(tmp_path: Path) -> None:
    (tmp_path / "one.svg").mkdir()
    target = tmp_path / "target"
    target.write_text(HEAD, encoding="utf-8")
    (tmp_path / "two.svg").symlink_to(target)
    assert len(refused(tmp_path)) == 2
    assert target.read_text(encoding="utf-8") == HEAD
    (tmp_path / "two.svg").unlink()
    os.mkfifo(tmp_path / "two.svg")
    assert len(refused(tmp_path)) == 2


def test_a_file_or_a_dead_link_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for folder in (tmp_path / "file", tmp_path / "file" / "below", tmp_path / "link"):
        (said,) = refused(folder)
        assert str(folder) in said
        assert "no folder" in said
    assert (tmp_path / "file").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["\0", "x" * 300])
def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path, name: str) -> None:
    (said,) = refused(tmp_path / name)
    assert "cannot be made" in said


def test_a_write_that_fails_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = dict.fromkeys(TEXTS, HEAD + "old")
    write_folder(tmp_path, old, HEAD)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    (said,) = refused(tmp_path)
    assert "No space left" in said
    assert read_all(tmp_path) == old
