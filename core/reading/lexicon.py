"""The word files, read: phrases with their senses, number words, units. One view a language of the reader.

A word file is TOML without logic. Every table of lists gives senses: `[sex] f = ["female"]` lets the
phrase "female" carry the sense `sex.f`. `[number]`, `[scale]`, `[fraction_before]`, `[fraction_after]` and
`[letters]` map words to values; `[[kin]]` names words that fit several species. `[spelling]` lists other
spellings of a word; they count wherever the word stands in a phrase. Digits glued to a phrase ("m3") must be
glued in the message.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from core.errors import BadRecord
from core.reading.text import Script, Token, script
from core.records import Sex

VALUES = ("number", "scale", "fraction_before", "fraction_after", "ordinal")
GLUED = "\x1f"  # before the digits of a phrase that have no space before them
TAUGHT_ALONE = 2  # letters: shorter words count in their own language only


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words that mean something together, and what; `text` is the phrase as it is spelt rightly.

    `tight` are the places of words that have no space before them.
    """

    words: tuple[str, ...]
    senses: frozenset[str]
    text: str
    tight: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Unit:
    """What a unit measures, and how many kg, litres, minutes or mg/L one is. `factor` 0: nobody knows."""

    measures: str
    factor: float
    system: str = ""


@dataclass(frozen=True, slots=True)
class View:
    """All languages as a reader of one of them means them: own words win over foreign ones."""

    phrases: Mapping[str, tuple[Phrase, ...]]
    values: Mapping[str, Mapping[str, float]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Lexicon:
    """What the reader knows of words. `views` by language; "" serves a language without a file."""

    script: Script
    units: Mapping[str, Unit]
    purposes: Mapping[str, str]
    currencies: frozenset[str]
    views: Mapping[str, View]

    def view(self, lang: str) -> View:
        """The view of a language code such as "en" or "pt-BR"."""
        short = lang.replace("_", "-").partition("-")[0].casefold()
        return self.views.get(short) or self.views[""]


@dataclass(frozen=True, slots=True)
class _Words:
    """One language file, checked."""

    senses: Mapping[str, frozenset[str]]
    values: Mapping[str, Mapping[str, float]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    spelt: Mapping[str, str]


def lexicon(texts: Mapping[str, str]) -> Lexicon:
    """The lexicon of word files: language code -> TOML text; "common" holds what is no language's own."""
    files = {code: _parsed(code, text) for code, text in texts.items()}
    common = files.pop("common", {})
    writing = _table("common", common, "script")
    cut = script(
        str(writing.get("zeros", "")),
        _strings(_table("common", common, "plain")),
        str(writing.get("marks", "")),
    )
    shared = _words("common", common, cut)
    spoken = {code: _words(code, file, cut) for code, file in files.items()}
    views = {code: _view(cut, shared, words, _others(spoken, code)) for code, words in spoken.items()}
    nobody = _view(cut, shared, _Words({}, {}, {}, {}, {}), list(spoken.values()))
    views[""] = views.get(str(writing.get("fallback", "")), nobody)
    units = {name: _unit(name, unit) for name, unit in _table("common", common, "units").items()}
    purposes = _strings(_table("common", common, "purposes"))
    money = common.get("currency", {})
    return Lexicon(cut, units, purposes, frozenset(money) if isinstance(money, dict) else frozenset(), views)


def _others(spoken: Mapping[str, _Words], code: str) -> list[_Words]:
    return [words for other, words in spoken.items() if other != code]


def _parsed(code: str, text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise BadRecord("bad-word-file", language=code, fault=str(fault)) from fault


def _table(code: str, file: Mapping[str, object], name: str) -> dict[str, object]:
    table = file.get(name, {})
    if not isinstance(table, dict):
        raise BadRecord("bad-word-file", language=code, fault=f"[{name}] is no table")
    return table


def _strings(table: Mapping[str, object]) -> dict[str, str]:
    return {key: str(value) for key, value in table.items()}


def _unit(name: str, told: object) -> Unit:
    if not isinstance(told, dict):
        raise BadRecord("bad-word-file", language="common", fault=f"unit {name}")
    return Unit(str(told["measures"]), float(told.get("factor", 0)), str(told.get("system", "")))


NOT_SENSES = {*VALUES, "script", "plain", "units", "purposes", "letters", "kin", "spelling"}


def _words(code: str, file: Mapping[str, object], cut: Script) -> _Words:
    senses: dict[str, set[str]] = {}
    for name in file:
        if name in NOT_SENSES:
            continue
        for key, phrases in _table(code, file, name).items():
            if not isinstance(phrases, list):
                raise BadRecord("bad-word-file", language=code, fault=f"{name}.{key} is no list")
            for phrase in phrases:
                senses.setdefault(_key(cut, str(phrase)), set()).add(f"{name}.{key}")
    values = {name: _values(code, file, name, cut) for name in VALUES}
    kin: dict[str, tuple[str, ...]] = {}
    listed = file.get("kin", [])
    for group in listed if isinstance(listed, list) else []:
        for word in group["words"]:
            kin[_key(cut, word)] = tuple(group["fits"])
            senses.setdefault(_key(cut, word), set()).add("species_word.kin")
    letters: dict[str, Sex] = {}
    for letter, sex in _strings(_table(code, file, "letters")).items():
        letters[letter.casefold()] = "f" if sex == "f" else "m"
    spelt = _respelt(_spellings(code, file, cut), senses)
    senses.update({key: senses[right] for key, right in spelt.items()})
    return _Words({key: frozenset(names) for key, names in senses.items()}, values, letters, kin, spelt)


def _spellings(code: str, file: Mapping[str, object], cut: Script) -> dict[str, list[str]]:
    """A word and its other spellings."""
    found: dict[str, list[str]] = {}
    for word, others in _table(code, file, "spelling").items():
        if not isinstance(others, list):
            raise BadRecord("bad-word-file", language=code, fault=f"spelling.{word} is no list")
        found[_key(cut, word)] = [_key(cut, str(other)) for other in others]
    return found


def _respelt(spellings: Mapping[str, Sequence[str]], phrases: Iterable[str]) -> dict[str, str]:
    """Every phrase in its other spellings, and the phrase spelt rightly."""
    found: dict[str, str] = {}
    known = set(phrases)
    for phrase in known:
        words = phrase.split(" ")
        if not spellings.keys().isdisjoint(words):
            ways = product(*([word, *spellings.get(word, ())] for word in words))
            found.update({key: phrase for way in ways if (key := " ".join(way)) not in known})
    return found


def _values(code: str, file: Mapping[str, object], name: str, cut: Script) -> dict[str, float]:
    found = {}
    for word, value in _table(code, file, name).items():
        if not isinstance(value, int | float):
            raise BadRecord("bad-word-file", language=code, fault=f"{name}.{word} is no number")
        found[_key(cut, word)] = float(value)
    return found


def _key(cut: Script, phrase: str) -> str:
    tokens = cut.tokens(phrase)
    return " ".join((GLUED if _digits_glued(token) else "") + token.low for token in tokens)


def _digits_glued(token: Token) -> bool:
    return token.kind == "number" and token.glued


def _view(cut: Script, shared: _Words, own: _Words, others: Iterable[_Words]) -> View:
    senses: dict[str, frozenset[str]] = {}
    values: dict[str, dict[str, float]] = {name: {} for name in VALUES}
    kin: dict[str, tuple[str, ...]] = {}
    spelt: dict[str, str] = {}
    for words in others:
        senses.update({key: names for key, names in words.senses.items() if len(key) > TAUGHT_ALONE})
        for name, table in words.values.items():
            values[name].update({word: value for word, value in table.items() if len(word) > TAUGHT_ALONE})
        kin.update(words.kin)
        spelt.update(words.spelt)
    for words in (shared, own):
        for key, names in words.senses.items():
            senses[key] = names | senses[key] if words is own and key in shared.senses else names
        for name, table in words.values.items():
            values[name].update(table)
        kin.update(words.kin)
        spelt.update(words.spelt)
    return View(_by_first(senses, spelt), values, {**shared.letters, **own.letters}, kin)


def _by_first(
    senses: Mapping[str, frozenset[str]], spelt: Mapping[str, str]
) -> dict[str, tuple[Phrase, ...]]:
    grouped: dict[str, list[Phrase]] = {}
    for key, names in senses.items():
        told = key.split(" ")
        words = tuple(word.removeprefix(GLUED) for word in told)
        tight = tuple(at for at, word in enumerate(told) if word.startswith(GLUED))
        grouped.setdefault(words[0], []).append(Phrase(words, names, spelt.get(key, key), tight))
    return {
        first: tuple(sorted(phrases, key=lambda phrase: -len(phrase.words)))
        for first, phrases in grouped.items()
    }
