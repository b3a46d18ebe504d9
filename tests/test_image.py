"""The image file by rules of our own, since an engine is not everywhere; the licences of what comes along."""

from __future__ import annotations

import importlib.util
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
FILE = ROOT / "deploy/Containerfile"
LOCKS = {"deploy/requirements.lock", "deploy/requirements-files.lock"}
NEEDED = {*LOCKS, "pyproject.toml", "README.md", "LICENSE", "core", "bot"}


def instructions(text: str) -> list[tuple[str, str]]:
    """Each instruction and what follows it, continued lines joined, comments left out."""
    lines = [line for line in text.splitlines() if not line.lstrip().startswith("#")]
    joined = re.sub(r"\\\n\s*", "", "\n".join(lines))
    found = [line.split(None, 1) for line in joined.splitlines() if line.strip()]
    return [(word.upper(), rest[0] if rest else "") for word, *rest in found]


def breaches(text: str) -> Iterator[str]:
    """What is wrong with an image file, a word a rule."""
    told = instructions(text)
    last = max(place for place, (word, _) in enumerate(told) if word == "FROM")
    stages = {rest.split()[2] for word, rest in told if word == "FROM" and " AS " in rest}
    if len(stages) < 1:
        yield "one-stage"
    users = [rest for word, rest in told[last:] if word == "USER"]
    if not users or users[-1].split(":")[0] in ("root", "0"):
        yield "root"
    if any(word == "ADD" for word, _ in told):
        yield "add"
    if any("TOKEN=" in rest for word, rest in told if word in ("ENV", "ARG")):
        yield "token"
    names = {word for word, _ in told[last:]}
    yield from (f"no-{word.lower()}" for word in ("HEALTHCHECK", "VOLUME", "ENTRYPOINT") if word not in names)
    yield from _images(told)
    yield from _commands(told)
    yield from _copies(told, last)


def _images(told: list[tuple[str, str]]) -> Iterator[str]:
    for _, rest in [each for each in told if each[0] in ("FROM", "ARG")]:
        image = rest.split("=")[-1].split()[0]
        if image.endswith(":latest") or (rest.startswith("BASE") and ":" not in image):
            yield "latest"
        if re.match(r"[\w-]+\.[\w.-]+/|localhost", image):
            yield "registry-host"


def _commands(told: list[tuple[str, str]]) -> Iterator[str]:
    for _, rest in [each for each in told if each[0] == "RUN"]:
        for install in re.findall(r"pip install [^&]+", rest):
            if "--require-hashes" not in install and "--no-deps" not in install:
                yield "no-hashes"
        if re.search(r"https?://|curl|wget", rest):
            yield "fetched"


def _copies(told: list[tuple[str, str]], last: int) -> Iterator[str]:
    for place, (word, rest) in enumerate(told):
        if word != "COPY":
            continue
        taken = [each for each in rest.split()[:-1] if not each.startswith("--")]
        if "--from=" not in rest and not set(taken) <= NEEDED:
            yield "copied-more"
        if place > last and "--from=" not in rest:
            yield "tree-in-the-image"


def test_the_image_file_keeps_every_rule() -> None:
    assert list(breaches(FILE.read_text(encoding="utf-8"))) == []


SPOILT = (
    ("USER 10001:10001", "USER root", "root"),
    ("USER 10001:10001", "USER 0:0", "root"),
    ("USER 10001:10001\n", "", "root"),
    ("COPY core", "ADD core", "add"),
    ("python:3.13-slim-bookworm", "python:latest", "latest"),
    ("python:3.13-slim-bookworm", "python", "latest"),
    ("python:3.13-slim-bookworm", "registry.example/python:3.13", "registry-host"),
    ("--require-hashes ", "", "no-hashes"),
    ("COPY bot /made/bot", "COPY . /made", "copied-more"),
    ("USER 10001", "COPY core /core\nUSER 10001", "tree-in-the-image"),
    ("HEALTHCHECK", "LABEL", "no-healthcheck"),
    ("VOLUME", "LABEL", "no-volume"),
    ("PYTHONUNBUFFERED=1", "HATCHBELL_TOKEN=1:a", "token"),
    ("RUN install", "RUN curl x; install", "fetched"),
)


@pytest.mark.parametrize(
    ("right", "wrong", "why"), SPOILT, ids=[f"{why}:{wrong}" for _, wrong, why in SPOILT]
)
def test_each_rule_finds_its_breach(right: str, wrong: str, why: str) -> None:
    text = FILE.read_text(encoding="utf-8")
    assert right in text
    assert why in breaches(text.replace(right, wrong))


def test_the_health_of_the_image_is_that_of_check() -> None:
    (check,) = [rest for word, rest in instructions(FILE.read_text("utf-8")) if word == "HEALTHCHECK"]
    assert json.loads(check[check.index("[") :]) == ["/opt/hatchbell/bin/hatchbell", "check"]


def test_the_page_of_licences_is_that_of_the_lock() -> None:
    spec = importlib.util.spec_from_file_location("licences", ROOT / "deploy/licences.py")
    assert spec is not None and spec.loader is not None
    licences = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(licences)
    page = (ROOT / "deploy/LICENCES.md").read_text(encoding="utf-8")
    rows = [
        [cell.strip() for cell in line.split("|")[1:-1]] for line in page.splitlines() if line[:2] == "| "
    ][2:]
    assert {name: versions.split(", ") for name, versions, _, _ in rows} == licences.pins()
    assert all(licence != "-" for _, _, licence, _ in rows), "each says under which licence it stands"
    assert page == licences.page(), "deploy/licences writes it anew"
