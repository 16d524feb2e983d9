"""A file is written whole or not at all, whatever stops it."""

from __future__ import annotations

import os
import subprocess
import sys
import textwrap
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


def test_a_crash_before_the_end_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, FULL)

    def crash(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(atomic.os, "replace", crash)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, "new", "plan.toml")
    assert path.read_text() == FULL
    assert spare_files(tmp_path) == []


@pytest.mark.parametrize(
    ("refusal", "says"),
    [
        (PermissionError(13, "Permission denied"), "You may not write this file."),
        (OSError(30, "Read-only file system"), "Read-only file system"),
        (OSError(28, "No space left on device"), "No space left"),
    ],
)
def test_what_the_system_refuses_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusal: OSError, says: str
) -> None:
    path = put(tmp_path, FULL)
    plan = read_plan(path, METRIC)

    def refuse(*_: object, **__: object) -> int:
        raise refusal

    monkeypatch.setattr(atomic.os, "open", refuse)
    with pytest.raises(BenchplanError) as caught:
        save_plan(plan, plan.day)
    (problem,) = caught.value.problems
    assert says in problem.what
    assert "old file is as it was" in problem.cure
    assert path.read_text() == FULL


def test_a_file_that_its_owner_locked_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, FULL)
    monkeypatch.setattr(atomic.os, "access", lambda *_: False)  # root may write anything
    with pytest.raises(BenchplanError, match="may not write"):
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
    sync, replace = os.fsync, os.replace

    def seen_sync(handle: int) -> None:
        order.append("sync")
        sync(handle)

    def seen_replace(old: Path, new: Path) -> None:
        order.append("replace")
        replace(old, new)

    monkeypatch.setattr(atomic.os, "fsync", seen_sync)
    monkeypatch.setattr(atomic.os, "replace", seen_replace)
    write_whole(tmp_path / "plan.toml", "new", "plan.toml")
    assert order == ["sync", "replace", "sync"]
