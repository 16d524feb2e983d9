"""A file is written whole or not at all, whatever stops it."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import textwrap
from dataclasses import replace
from pathlib import Path

import pytest
from plan_examples import FULL, METRIC, put

from benchplan.errors import BenchplanError
from benchplan.files import atomic, read_plan, save_plan
from benchplan.files.atomic import write_whole


def spare_files(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir() if each.name.endswith(".tmp"))


def test_permissions_are_kept(tmp_path: Path) -> None:
    path = put(tmp_path, FULL)
    path.chmod(0o640)
    save_plan(read_plan(path, METRIC), read_plan(path, METRIC).day)
    write_whole(path, "new", "plan.toml")
    assert path.stat().st_mode & 0o777 == 0o640
    assert path.read_text() == "new"
    assert spare_files(tmp_path) == []


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    usual = put(tmp_path, "x", "usual").stat().st_mode
    write_whole(tmp_path / "new.toml", "new", "new.toml")
    assert (tmp_path / "new.toml").stat().st_mode == usual


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    real = put(tmp_path, "old", "real.toml")
    link = tmp_path / "link.toml"
    link.symlink_to("real.toml")
    write_whole(link, "new", "link.toml")
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_a_full_disk_leaves_the_old_file_whole(tmp_path: Path) -> None:
    """A real limit on what the process may write: the kernel refuses the rest of the text."""
    path = put(tmp_path, FULL)
    code = textwrap.dedent(
        f"""
        import resource, signal
        from pathlib import Path
        from benchplan.errors import BenchplanError
        from benchplan.files.atomic import write_whole
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
        try:
            write_whole(Path({str(path)!r}), "x" * 5000, "plan.toml")
        except BenchplanError as error:
            print(error)
        """
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "plan.toml: This file cannot be written: File too large." in done.stdout
    assert path.read_text() == FULL
    assert spare_files(tmp_path) == []


@pytest.mark.parametrize("step", ["open", "fsync", "chmod", "replace"])
@pytest.mark.parametrize(
    "failure", [OSError(5, "Input/output error"), KeyboardInterrupt()], ids=["failure", "crash"]
)
def test_a_failure_at_any_step_leaves_the_old_file_whole(
    step: str, failure: BaseException, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, FULL)
    plan = read_plan(path, METRIC)

    def fail(*_: object, **__: object) -> None:
        raise failure

    monkeypatch.setattr(atomic.os, step, fail)
    expected = BenchplanError if isinstance(failure, OSError) else KeyboardInterrupt
    with pytest.raises(expected) as caught:
        save_plan(plan, replace(plan.day, keep_order=True))
    if isinstance(caught.value, BenchplanError):
        (problem,) = caught.value.problems
        assert "Input/output error" in problem.what
        assert "old file is as it was" in problem.cure
    assert path.read_text() == FULL
    assert spare_files(tmp_path) == []


def test_a_folder_that_cannot_be_synced_holds_the_new_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, FULL)
    sync, synced = os.fsync, []

    def only_files(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(22, "Invalid argument")
        synced.append(handle)
        sync(handle)

    monkeypatch.setattr(atomic.os, "fsync", only_files)
    write_whole(path, "new", "plan.toml")
    assert len(synced) == 1
    assert path.read_text() == "new"


@pytest.mark.parametrize(
    ("refusal", "says"),
    [
        (PermissionError(13, "Permission denied"), "You may not write in the folder of this file."),
        (OSError(30, "Read-only file system"), "Read-only file system"),
        (OSError(28, "No space left on device"), "No space left"),
    ],
)
def test_what_the_system_refuses_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusal: OSError, says: str
) -> None:
    """Feigned: a test may be run by someone whom no folder refuses."""

    def refuse(*_: object, **__: object) -> int:
        raise refusal

    monkeypatch.setattr(atomic.os, "open", refuse)
    with pytest.raises(BenchplanError, match=says) as caught:
        write_whole(tmp_path / "plan.toml", "new", "plan.toml")
    assert "in another folder" in caught.value.problems[0].cure


def test_a_file_that_its_owner_locked_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, FULL)
    monkeypatch.setattr(atomic.os, "access", lambda *_: False)  # root may write anything
    with pytest.raises(BenchplanError, match="You may not write this file"):
        write_whole(path, "new", "plan.toml")
    assert path.read_text() == FULL


@pytest.mark.parametrize(
    ("target", "says"),
    [
        ("none/plan.toml", "There is no folder"),
        ("file/plan.toml", "There is no folder"),
        ("folder", "This is a folder"),
        ("x" * 300, "cannot be written"),
        ("a\0b", "cannot be written"),
    ],
)
def test_places_that_take_no_file_are_named(tmp_path: Path, target: str, says: str) -> None:
    (tmp_path / "folder").mkdir()
    put(tmp_path, "x", "file")
    with pytest.raises(BenchplanError, match=says):
        write_whole(tmp_path / target, "new", target)


def test_what_is_written_is_on_the_disk_before_the_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    sync, rename = os.fsync, os.replace

    def seen_sync(handle: int) -> None:
        order.append("sync")
        sync(handle)

    def seen_replace(old: Path, new: Path) -> None:
        order.append("replace")
        rename(old, new)

    monkeypatch.setattr(atomic.os, "fsync", seen_sync)
    monkeypatch.setattr(atomic.os, "replace", seen_replace)
    write_whole(tmp_path / "plan.toml", "new", "plan.toml")
    assert order == ["sync", "replace", "sync"]
