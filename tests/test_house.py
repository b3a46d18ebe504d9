"""The house itself: the wheel, the two commands, the locks, the visible top level."""

import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from datetime import datetime
from fnmatch import fnmatch
from pathlib import Path

import pytest

from demo.moved import moved

ROOT = Path(__file__).resolve().parent.parent
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
FOLDERS = {"bot", "core", "tests", "demo", "deploy"}
CHORES = ("deploy/lock", "deploy/install", "deploy/licences", "deploy/audit", "deploy/trouble")
SCRIPTS = ("demo/run", "tests/run", "deploy/venv.sh", ".ci/run", *CHORES)
LOCKS = ("deploy/requirements.lock", "deploy/requirements-files.lock", "tests/requirements.lock")
BASH = shutil.which("bash") or "bash"


def pins(lock: str) -> dict[str, str]:
    """Each pin of a lock, marker included, with its hashes."""
    entries = re.split(r"\n(?=\S)", (ROOT / lock).read_text(encoding="utf-8").strip())
    return {entry.partition(" \\\n")[0]: entry.partition(" \\\n")[2] for entry in entries}


def test_visible_top_level() -> None:
    ignored = [line.rstrip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()]
    visible = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert {name for name in visible if not any(fnmatch(name, word) for word in ignored)} == FILES | FOLDERS


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """The names in a wheel built without network from a copy of the tree."""
    tree = tmp_path_factory.mktemp("tree")
    for name in FILES:
        shutil.copy(ROOT / name, tree)
    for name in FOLDERS:
        shutil.copytree(ROOT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__", ".farm"))
    build = ["-m", "pip", "wheel", ".", "-qq", "--no-index", "--no-deps", "--no-build-isolation"]
    subprocess.run([sys.executable, *build], cwd=tree, check=True)
    (built,) = tree.glob("hatchbell-*-py3-none-any.whl")
    return set(zipfile.ZipFile(built).namelist())


def test_wheel_carries_code_and_data(wheel: set[str]) -> None:
    wanted = {
        path.relative_to(ROOT).as_posix()
        for package in ("core", "bot")
        for suffix in ("py", "toml", "ftl")
        for path in (ROOT / package).rglob(f"*.{suffix}")
    }
    for cards_words_texts in ("core/data/*.toml", "core/reading/words/*.toml", "core/lang/*.ftl"):
        assert any(fnmatch(name, cards_words_texts) for name in wanted), cards_words_texts
    assert {name for name in wheel if ".dist-info/" not in name} == wanted
    assert "hatchbell-0.1.0.dist-info/licenses/LICENSE" in wheel


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_has_hashes_and_no_index(lock: str) -> None:
    assert pins(lock)
    for pin, hashes in pins(lock).items():
        assert re.match(r"[a-z0-9-]+==\S+( ; .*)?$", pin), pin
        assert re.fullmatch(r"(\s*--hash=sha256:[0-9a-f]{64}( \\)?)+", hashes), pin


def test_each_lock_holds_the_one_before() -> None:
    run_time, files, tests = (pins(lock) for lock in LOCKS)
    assert run_time.items() < files.items() < tests.items()
    assert any(pin.startswith("setuptools==") for pin in run_time)


def test_scripts_can_be_started() -> None:
    assert all(os.access(ROOT / name, os.X_OK) for name in SCRIPTS if not name.endswith(".sh"))


def test_no_python_is_one_line(tmp_path: Path) -> None:
    for name in ("demo/run", "deploy/venv.sh"):
        (tmp_path / name).parent.mkdir()
        shutil.copy(ROOT / name, tmp_path / name)
    programs = tmp_path / "bin"
    programs.mkdir()
    (programs / "dirname").symlink_to(shutil.which("dirname") or "dirname")
    started = subprocess.run(
        [BASH, "demo/run"],
        cwd=tmp_path,
        env={"PATH": str(programs)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert started.returncode == 1
    assert started.stdout == ""
    assert started.stderr == (
        "hatchbell: install Python 3.11 or later (Debian, Ubuntu: python3 and python3-venv), "
        "then start this again\n"
    )


def test_moved_night_ends_now_and_keeps_offsets() -> None:
    script = [
        {"at": "2026-03-01T21:50:30+06:00", "user": "ana", "chat": "ana", "text": "injected {t:-10}"},
        {"at": "2026-03-01T22:00:00+06:00", "sent_at": "2026-03-01T21:55:00+06:00", "text": "at {t:0}"},
        {"at": "2026-03-02T00:00:00+05:30", "edit": {"edit": 1, "text": "injected {t:-30}, strip {t:+600}"}},
        {"at": "2026-03-02T01:00:00+05:30", "photo": "eggs.jpg", "caption": "{t:-5}"},
    ]
    night = moved(["", *map(json.dumps, script)], datetime.fromisoformat("2026-11-25T10:12:40+0000"))
    assert [json.loads(line) for line in night] == [
        {"at": "2026-11-25T12:32:30+06:00", "user": "ana", "chat": "ana", "text": "injected 12:22"},
        {"at": "2026-11-25T12:42:00+06:00", "sent_at": "2026-11-25T12:37:00+06:00", "text": "at 12:42"},
        {"at": "2026-11-25T14:42:00+05:30", "edit": {"edit": 1, "text": "injected 14:12, strip 00:42"}},
        {"at": "2026-11-25T15:42:00+05:30", "photo": "eggs.jpg", "caption": "15:37"},
    ]


def test_the_demo_night_can_be_moved() -> None:
    lines = (ROOT / "demo/night.jsonl").read_text(encoding="utf-8").splitlines()
    now = datetime.fromisoformat("2026-11-25T10:12:00+00:00")
    night = moved(lines, now)
    assert datetime.fromisoformat(json.loads(night[-1])["at"]) == now
    assert "{t:" not in "".join(night)
