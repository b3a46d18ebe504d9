"""The word files, read: phrases with their senses, number words, units; and which language a message is in.

A word file is TOML without logic. Every table of lists gives senses: `[sex] f = ["female"]` lets the
phrase "female" carry the sense `sex.f`. The tables of `VALUES` and `[letters]` map words to values; `[[kin]]`
names words that fit several species. `[spelling]` lists other spellings of a word; they count wherever the
word stands in a phrase, and so do phrases without their accents. Digits glued to a phrase ("m3") must be
glued in the message.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from core.errors import BadRecord
from core.reading.text import Script, Token, bare, script
from core.records import Sex

VALUES = (
    "number",
    "tens",
    "scale",
    "scale_before",
    "teen",
    "fraction_before",
    "fraction_after",
    "half_to",
    "ordinal",
    "clock_before",
    "clock_after",
)
COUNTING = ("number", "tens", "scale", "scale_before", "teen")
"""The tables whose words are put together to one number."""
GLUED = "\x1f"  # before the digits of a phrase that have no space before them
TAUGHT_ALONE = 2  # letters: shorter words count in their own language only
FOREIGN_FROM = 4  # letters of a word that is understood in a message of any language
FOREIGN = {"sex", "unit", "species", "species_word", "noun", "agent", "quality", "preparation", "which"}
"""Tables of a language that is neither the message's nor the reader's: things, nothing that counts."""
OF_THE_READER = 0.75
"""Words of their own by which another language must lead to be taken for the message's."""
LOOKED_AT = 80  # tokens by which a language is told


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
class Counted:
    """Words of one part of a spoken number: which table they stand in, and their value."""

    words: tuple[str, ...]
    table: str
    value: float


@dataclass(frozen=True, slots=True)
class Book:
    """The words of one language: phrases by their first word, values by table, and every single word."""

    phrases: Mapping[str, tuple[Phrase, ...]]
    values: Mapping[str, Mapping[str, float]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    words: frozenset[str]


@dataclass(frozen=True, slots=True)
class View:
    """All languages as one message means them: its own, the reader's, the one that all fall back to, and of
    the others what is plain in any."""

    books: tuple[Book, ...]
    values: Mapping[str, Mapping[str, float]]
    counting: Mapping[str, tuple[Counted, ...]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    _met: dict[str, tuple[Phrase, ...]] = field(default_factory=dict)

    def joins_numbers(self, token: Token) -> bool:
        """Whether it may stand between the parts of one spoken number."""
        return any(
            "number_and.words" in phrase.senses
            for phrase in self.phrases(token.low)
            if len(phrase.words) == 1
        )

    def phrases(self, word: str) -> tuple[Phrase, ...]:
        """The phrases that begin with a word, the longest first, of equals the message's own."""
        found = self._met.get(word)
        if found is None:
            each = {
                (phrase.words, phrase.tight): phrase
                for book in reversed(self.books)
                for phrase in book.phrases.get(word, ())
            }
            found = tuple(sorted(each.values(), key=lambda phrase: -len(phrase.words)))
            if found:
                self._met[word] = found
        return found


@dataclass(frozen=True, slots=True)
class Lexicon:
    """What the reader knows of words; `books` by language, `codes` of languages that share a file,
    `spoken_in` the languages of each word."""

    script: Script
    units: Mapping[str, Unit]
    purposes: Mapping[str, str]
    currencies: frozenset[str]
    books: Mapping[str, Book]
    codes: Mapping[str, str]
    fallback: str
    shared: Book
    abroad: Book
    spoken_in: Mapping[str, tuple[str, ...]]
    _views: dict[tuple[str, str], View] = field(default_factory=dict)

    def view(self, lang: str, tokens: Sequence[Token] = ()) -> View:
        """The view of a message read by somebody of a language code such as "en" or "pt-BR"."""
        short = lang.replace("_", "-").partition("-")[0].casefold()
        reader = self.codes.get(short, short)
        if reader not in self.books:
            reader = self.fallback
        own = self._told_in(tokens, reader)
        found = self._views.get((own, reader))
        if found is None:
            found = self._views[own, reader] = self._seen(own, reader)
        return found

    def _told_in(self, tokens: Sequence[Token], reader: str) -> str:
        """The language of a message: that of most of its words, words of several counting for less."""
        score = {reader: OF_THE_READER}
        for token in tokens[:LOOKED_AT]:
            if token.kind == "word":
                langs = self.spoken_in.get(token.low) or self.spoken_in.get(token.bare, ())
                for lang in langs:
                    score[lang] = score.get(lang, 0.0) + 1 / len(langs)
        return max(score, key=lambda lang: (round(score[lang], 6), lang == reader, lang))

    def _seen(self, own: str, reader: str) -> View:
        order = [lang for lang in dict.fromkeys((own, reader, self.fallback)) if lang in self.books]
        near = [self.books[lang] for lang in order if lang in (own, reader)]
        far = [_of_more_letters(self.books[lang]) for lang in order if lang not in (own, reader)]
        books = (*near, self.shared, *far, self.abroad)
        values: dict[str, dict[str, float]] = {name: {} for name in VALUES}
        letters: dict[str, Sex] = {}
        kin: dict[str, tuple[str, ...]] = {}
        for book in reversed(books):
            for name, table in book.values.items():
                values[name].update(table)
            kin.update(book.kin)
        for book in (self.shared, *reversed(near)):
            letters.update(book.letters)
        return View(books, values, _counting(values), letters, kin)


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
    writing = {key: str(value) for key, value in _table("common", common, "script").items()}
    fallback = writing.pop("fallback", "")
    cut = script(
        writing.get("zeros", ""),
        _strings(_table("common", common, "plain")),
        writing.get("marks", ""),
        *(writing.get(name, "") for name in ("unspaced", "inside", "opens")),
    )
    shared = _words("common", common, cut)
    spoken = {code: _words(code, file, cut) for code, file in files.items()}
    books = {code: _book(words, shared) for code, words in spoken.items()}
    units = {name: _unit(name, unit) for name, unit in _table("common", common, "units").items()}
    money = common.get("currency", {})
    langs: dict[str, tuple[str, ...]] = {}
    for code, book in books.items():
        langs.update({word: (*langs.get(word, ()), code) for word in book.words})
    return Lexicon(
        cut.knowing(langs),
        units,
        _strings(_table("common", common, "purposes")),
        frozenset(money) if isinstance(money, dict) else frozenset(),
        books,
        _strings(_table("common", common, "languages")),
        fallback,
        _book(shared, _Words({}, {}, {}, {}, {})),
        _book(_abroad(spoken.values()), _Words({}, {}, {}, {}, {})),
        langs,
    )


def _book(own: _Words, shared: _Words) -> Book:
    """The book of a file; a phrase that stands in the shared file too has both senses."""
    senses = {
        key: names | shared.senses[key] if key in shared.senses else names
        for key, names in own.senses.items()
    }
    told = [*own.senses, *(word for table in own.values.values() for word in table)]
    words = {word for key in told for word in key.split(" ") if len(word) > 1 and word[0] != GLUED}
    return Book(
        _by_first(senses, own.spelt),
        own.values,
        own.letters,
        own.kin,
        frozenset(words - {word for key in shared.senses for word in key.split(" ")}),
    )


def _abroad(files: Iterable[_Words]) -> _Words:
    """What is understood in a message of any language: things, by words long enough and of one meaning."""
    senses: dict[str, frozenset[str]] = {}
    kin: dict[str, tuple[str, ...]] = {}
    spelt: dict[str, str] = {}
    for words in files:
        for key, names in words.senses.items():
            kept = frozenset(name for name in names if name.partition(".")[0] in FOREIGN)
            if kept and len(key) >= FOREIGN_FROM:
                senses[key] = senses.get(key, kept) & kept
        kin.update(words.kin)
        spelt.update(words.spelt)
    return _Words({key: names for key, names in senses.items() if names}, {}, {}, kin, spelt)


def _of_more_letters(book: Book) -> Book:
    """A book without its shortest words: elsewhere they may mean anything."""
    phrases = {
        first: kept
        for first, found in book.phrases.items()
        if (kept := tuple(phrase for phrase in found if len(" ".join(phrase.words)) > TAUGHT_ALONE))
    }
    values = {
        name: {word: value for word, value in table.items() if len(word) > TAUGHT_ALONE}
        for name, table in book.values.items()
    }
    return Book(phrases, values, book.letters, book.kin, book.words)


def _counting(values: Mapping[str, Mapping[str, float]]) -> dict[str, tuple[Counted, ...]]:
    """The words of spoken numbers by their first, the longest first."""
    grouped: dict[str, list[Counted]] = {}
    for table in COUNTING:
        for key, value in values[table].items():
            words = tuple(key.split(" "))
            grouped.setdefault(words[0], []).append(Counted(words, table, value))
    return {
        first: tuple(sorted(found, key=lambda each: -len(each.words))) for first, found in grouped.items()
    }


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


NOT_SENSES = {*VALUES, "script", "plain", "units", "purposes", "languages", "letters", "kin", "spelling"}


def _words(code: str, file: Mapping[str, object], cut: Script) -> _Words:
    values = {name: _values(code, file, name, cut) for name in VALUES}
    senses = _senses(code, file, cut)
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
    taken = {*senses, *(word for table in values.values() for word in table)}
    for key in [key for key in senses if not key.isascii()]:
        plain = bare(key)
        if plain not in taken:
            senses.setdefault(plain, set()).update(senses[key])
            spelt.setdefault(plain, spelt.get(key, key))
    values = {name: {**_bared(table, taken), **table} for name, table in values.items()}
    return _Words({key: frozenset(names) for key, names in senses.items()}, values, letters, kin, spelt)


def _senses(code: str, file: Mapping[str, object], cut: Script) -> dict[str, set[str]]:
    """Each phrase of the tables of lists, and its senses."""
    senses: dict[str, set[str]] = {}
    for name in file:
        if name in NOT_SENSES:
            continue
        for key, phrases in _table(code, file, name).items():
            if not isinstance(phrases, list):
                raise BadRecord("bad-word-file", language=code, fault=f"{name}.{key} is no list")
            for phrase in phrases:
                senses.setdefault(_key(cut, str(phrase)), set()).add(f"{name}.{key}")
    return senses


def _bared(table: Mapping[str, float], taken: set[str]) -> dict[str, float]:
    """Words of values without their accents, where that is no other word."""
    return {plain: value for key, value in table.items() if (plain := bare(key)) not in taken}


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
