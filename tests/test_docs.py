"""What README.md and DEVELOPERS.md show is what happens.

Blocks after a mark (`<!-- play: SCRIPT 1-2 6 -->`, `<!-- chat: typed | typed -->`, `<!-- file: NAME -->`,
`<!-- layers: core -->`) and every console block are made anew, in this process, and compared. After a wanted
change write them with `python -m tests.test_docs`, and read what changed.
"""

from __future__ import annotations

import contextlib
import functools
import itertools
import json
import re
import shlex
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import TextIO, cast

import click
import pytest
import sqlite_utils.cli
from click.testing import CliRunner

from bot.cli import cli
from bot.clock import HandClock
from bot.console import chat
from bot.play import play
from bot.store import Store
from core.runs import fold
from demo.moved import moved

ROOT = Path(__file__).resolve().parent.parent
README, DEVELOPERS = "README.md", "DEVELOPERS.md"
NIGHT = ROOT / "demo/night.jsonl"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROGRAMS: dict[str, click.Command] = {"hatchbell": cli, "sqlite-utils": sqlite_utils.cli.cli}
BLOCK = re.compile(
    r"(?:^<!-- (?P<mark>\w+): (?P<words>[^\n]*) -->\n)?^```(?P<form>\w*)\n(?P<body>.*?)^```$", re.M | re.S
)

ENTRY = re.compile(r"(?P<at>\d\d:\d\d) +(?P<who>\S+) ")


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


# Blocks, made anew ----------------------------------------------------------------------------------------


def renewed(text: str) -> str:
    """The document with every block as it comes out now. Files and databases lie in one passing folder."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        return BLOCK.sub(_renewed_block, text)


def _renewed_block(found: re.Match[str]) -> str:
    body = found["body"]
    make = MAKERS.get(found["mark"] or found["form"])
    made = body if make is None else make(found["words"] or "", body)
    start = found.start("body") - found.start()
    return found[0][:start] + made + "```"


def _file(words: str, body: str) -> str:
    Path(words).write_text(body, encoding="utf-8")
    return body


def _console(words: str, body: str) -> str:
    """A dollar begins a command; what stands between is its output."""
    return "".join(f"$ {command}\n{shell(command)}" for command in commands_of(body))


def _chat(words: str, body: str) -> str:
    """The typed lines among what is answered. The clock shows 19:00 wherever this runs."""
    (command,) = commands_of(body)
    _, options = _options(command)
    said: list[str] = []
    clock = HandClock(datetime(2026, 6, 1, 19).astimezone())
    typed = Typing(words.split(" | "), said.append)
    chat(Path(options["--db"]), options.get("--as"), clock, cast("TextIO", typed), said.append)
    return "\n".join([f"$ {command}", *said, ""])


def _play(words: str, body: str) -> str:
    """The log of some lines of a script, by their numbers: what rang before each, the line, the answers."""
    name, *ranges = words.split()
    parts = parts_of(log_of(tuple(moved_to_its_own_end(text_of(name).splitlines()))))
    shown = []
    for each in ranges:
        first, _, last = each.partition("-")
        wanted = parts[int(first) - 1 : int(last or first)]
        shown += ["...", *itertools.chain.from_iterable(wanted)]
    return "\n".join([*shown[1:], ""])


def parts_of(log: Sequence[str]) -> list[list[str]]:
    """A log cut after the answers to each line: they carry its minute."""
    parts: list[list[str]] = [[]]
    said = ""
    for row in log:
        entry = ENTRY.match(row)
        if row.startswith("---") or (entry and (entry["who"] != "bot" or entry["at"] != said)):
            if said:
                parts.append([])
            said = entry["at"] if entry and entry["who"] != "bot" else ""
        parts[-1].append(row)
    return parts


def _layers(words: str, body: str) -> str:
    contracts = PROJECT["tool"]["importlinter"]["contracts"]
    (layers,) = (each["layers"] for each in contracts if each.get("containers") == [words])
    return "\n".join([*layers, ""])


MAKERS: dict[str, Callable[[str, str], str]] = {
    "file": _file,
    "console": _console,
    "chat": _chat,
    "play": _play,
    "layers": _layers,
}


class Typing:
    """A keyboard whose lines are shown as they are typed, as a terminal does."""

    def __init__(self, lines: Sequence[str], show: Callable[[str], None]) -> None:
        self._lines, self._show = lines, show

    def isatty(self) -> bool:
        return False

    def __iter__(self) -> Iterator[str]:
        for line in self._lines:
            self._show(line)
            yield line + "\n"


def commands_of(body: str) -> list[str]:
    return [line[2:] for line in body.splitlines() if line.startswith("$ ")]


def moved_to_its_own_end(lines: Sequence[str]) -> list[str]:
    """A template with its own times, and the places for times filled."""
    return moved(lines, datetime.fromisoformat(json.loads(lines[-1])["at"]))


@functools.cache
def log_of(lines: tuple[str, ...]) -> list[str]:
    """The chat log of a script's lines."""
    out: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "script.jsonl"
        script.write_text("\n".join(lines), encoding="utf-8")
        play(script, Path(folder) / "store.db", out.append, pretty=True)
    return out


# A very small shell, in this process ----------------------------------------------------------------------


def shell(command: str) -> str:
    """The output of a command of the documents: our programs, echo, head and tail, joined by pipes."""
    text = ""
    for part in _parts(command):
        text = _run(part, text)
    return text


def _parts(command: str) -> Iterator[list[str]]:
    lexer = shlex.shlex(command, posix=True, punctuation_chars="|")
    lexer.whitespace_split = True
    part: list[str] = []
    for word in lexer:
        if word == "|":
            yield part
            part = []
        else:
            part.append(word)
    yield part


def _run(part: Sequence[str], text: str) -> str:
    name, *words = part
    if name == "echo":
        return " ".join(words) + "\n"
    if name in ("head", "tail"):
        count = -int(words[0])
        lines = text.splitlines(keepends=True)
        return "".join(lines[:count] if name == "head" else lines[-count:])
    result = CliRunner().invoke(PROGRAMS[name], words, input=text)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.output


def _options(command: str) -> tuple[list[str], dict[str, str]]:
    """The words of a command, and its options that take a value."""
    words = shlex.split(command)
    return words, {word: value for word, value in itertools.pairwise(words) if word[0] == "-"}


# README.md ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [README, DEVELOPERS])
def test_what_is_shown_is_what_happens(name: str) -> None:
    assert renewed(text_of(name)) == text_of(name)


def test_every_command_and_option_is_in_the_readme() -> None:
    readme = text_of(README)
    assert set(cli.commands) == {
        *("backup", "chat", "check", "forecast", "import", "play", "read", "restore", "serve"),
    }
    for name, command in cli.commands.items():
        assert f"**`hatchbell {name}`**" in readme
        for option in command.params:
            if isinstance(option, click.Option):
                assert any(word in readme for word in option.opts), (name, option.opts)


def test_the_chat_command_of_the_readme_runs(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The block itself is made with a clock that stands; here the command line runs as it is written."""
    monkeypatch.chdir(tmp_path)
    chats = [found for found in BLOCK.finditer(text_of(README)) if found["mark"] == "chat"]
    assert chats
    for found in chats:
        words, _ = _options(*commands_of(found["body"]))
        result = CliRunner().invoke(cli, words[1:], input=found["words"].replace(" | ", "\n"))
        assert result.exit_code == 0
        assert result.output.splitlines()[0] == found["body"].splitlines()[1]


# DEVELOPERS.md --------------------------------------------------------------------------------------------


def test_the_map_names_every_module_and_no_other() -> None:
    (tree,) = (found["body"] for found in BLOCK.finditer(text_of(DEVELOPERS)) if found["mark"] == "tree")
    assert sorted(_paths(tree)) == sorted(
        path.relative_to(ROOT).as_posix()
        for room in ("core", "bot")
        for path in (ROOT / room).rglob("*")
        if path.suffix in (".py", ".toml", ".ftl") and path not in MARKERS
    )


MARKERS = (ROOT / "core/__init__.py", ROOT / "bot/__init__.py")


def _paths(tree: str) -> Iterator[str]:
    """Files of an indented tree; what a file is for stands two blanks after its name."""
    folders: list[str] = []
    for line in tree.splitlines():
        depth = (len(line) - len(line.lstrip())) // 2
        name = line.split()[0]
        del folders[depth:]
        if name.endswith("/"):
            folders.append(name)
        else:
            yield "".join(folders) + name


def test_every_file_named_by_the_developers_page_exists() -> None:
    named = set(re.findall(r"`((?:core|bot|tests|demo|deploy|\.ci)/[^`\s<*]*)`", text_of(DEVELOPERS)))
    assert len(named) > 20
    assert [path for path in sorted(named) if not (ROOT / path).exists()] == []


def test_every_dependency_has_its_reason() -> None:
    wanted = PROJECT["project"]["dependencies"] + PROJECT["dependency-groups"]["test"]
    names = [re.split(r"[^\w.-]", each)[0] for each in wanted]
    assert [name for name in names if f"**{name}**" not in text_of(DEVELOPERS)] == []


def test_nothing_in_the_documents_is_of_one_machine() -> None:
    for name in (README, DEVELOPERS, "deploy/CHANGES.md"):
        assert re.findall(r"(?<![\w.])/(?:home|tmp|work|root|Users|var|opt)/\S*", text_of(name)) == []


# demo/night.jsonl -----------------------------------------------------------------------------------------


def test_the_demo_night_plays_to_its_end_whenever_now_is(tmp_path: Path) -> None:
    now = datetime.fromisoformat("2027-02-28T16:52:00-05:00")
    lines = moved(NIGHT.read_text(encoding="utf-8").splitlines(), now)
    script, database = tmp_path / "night.jsonl", tmp_path / "farm.db"
    script.write_text("\n".join(lines), encoding="utf-8")
    out: list[str] = []
    play(script, database, out.append)
    sent = [json.loads(line) for line in out]
    assert not [line for line in sent if line["kind"] in ("ask", "refused")]
    last, told = sent[-1], sent[-1]["facts"]
    assert (last["kind"], told["species"], told["state"]) == ("result", "african-catfish", "closed")
    assert (told["hatched_percent"], told["hatched_of"]) == (75, "all")
    _ends_with_an_open_run(database, now)


def _ends_with_an_open_run(database: Path, now: datetime) -> None:
    store = Store.open(database)
    try:
        (open_run,) = store.active_runs(1)
        run = fold(store.events(1, open_run))
        due = store.next_due()
    finally:
        store.close()
    assert (run.species, run.way, run.state) == ("common-carp", "nest", "open")
    assert run.groups
    assert due is not None
    assert now < due < now + timedelta(days=1)


def test_the_demo_night_tells_the_whole_story() -> None:
    texts = NIGHT.read_text(encoding="utf-8").splitlines()
    lines = [json.loads(text) for text in texts]
    log = log_of(tuple(moved_to_its_own_end(texts)))
    assert lines[0]["text"] == "catfish f 2.4 3.1 m 1.9"
    assert lines[-1]["text"] == "what was the last hatch rate?"
    assert {line["at"][-6:] for line in lines} == {"+03:00"}
    assert len(log) < 300


if __name__ == "__main__":
    for document in (README, DEVELOPERS):
        (ROOT / document).write_text(renewed(text_of(document)), encoding="utf-8")
