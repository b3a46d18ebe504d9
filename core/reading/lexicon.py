"""The word files, read: phrases with their senses, number words, units; and which language a message is in.

A word file is TOML without logic. Every table of lists gives senses: `[sex] f = ["female"]` lets the
phrase "female" carry the sense `sex.f`. The tables of `VALUES` and `[letters]` map words to values; `[[kin]]`
names words that fit several species. `[spelling]` lists other spellings of a word; they count wherever the
word stands, and so does a word without its accents. Digits glued to a phrase ("m3") must be glued in the
message. `[elided]`, `[ending]` and `[doubled]` tell what may be glued to a word and part from it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Final

from core.errors import BadRecord
from core.reading.text import Script, Token, bare, script, word_of
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
    "clock_before",
    "clock_after",
)
COUNTING = ("number", "tens", "scale", "scale_before", "teen")
"""The tables whose words are put together to one number."""
GLUED = "\x1f"  # before the digits of a phrase that have no space before them
BINDING = ("join.", "deny.", "time.", "mend.", "ask.", "number_and.")
GLUED_TO = ("elided.words", "elided.before", "ending.words", "doubled.words")
"""What is glued to a word and is none of it, and the letters before which words are elided."""
ACCENTS_FROM = 4  # letters of a word that is known even with accents that are not its own
SHORTEST_HEAD = 3  # letters of a word that something is glued to
SHORT_WORD = 2  # letters: words no longer count in their own language only
FOREIGN_FROM = 4  # letters of a word that is understood in a message of any language
FOREIGN = {"sex", "unit", "species", "species_word", "noun", "agent", "quality", "preparation", "which"}
"""Tables of a language that is neither the message's nor the reader's: things, nothing that counts."""
OF_THE_READER = 1.5
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
    """What a unit measures, and how many kg, litres, minutes or mg/L one is. `factor` 0: nobody knows; `ways`
    are then what one may be, best first, and `within` what it is where a system of units is in use.
    """

    measures: str
    factor: float
    system: str = ""
    ways: tuple[float, ...] = ()
    within: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Counted:
    """Words of one part of a spoken number: which table they stand in, and their value."""

    words: tuple[str, ...]
    table: str
    value: float


@dataclass(frozen=True, slots=True)
class Book:
    """The words of one language: phrases by their first word, values by table, and every single word.

    `alone`: those that mean something by themselves. `spelt`: what a spelling may stand for. `glued`: what is
    glued to words, by its sense.
    """

    phrases: Mapping[str, tuple[Phrase, ...]]
    values: Mapping[str, Mapping[str, float]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    words: frozenset[str]
    alone: frozenset[str]
    spelt: Mapping[str, tuple[str, ...]]
    glued: Mapping[str, tuple[str, ...]]
    bared: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Starts:
    """The phrases that begin with one word: all, the longest first; the word alone; the others by their
    second word."""

    phrases: tuple[Phrase, ...]
    alone: Phrase | None
    longer: Mapping[str, Sequence[Phrase]]


NO_STARTS: Final = Starts((), None, {})


def _starts(phrases: Sequence[Phrase]) -> Starts:
    longer: dict[str, list[Phrase]] = {}
    for phrase in phrases:
        if len(phrase.words) > 1:
            longer.setdefault(phrase.words[1], []).append(phrase)
    alone = next((phrase for phrase in phrases if len(phrase.words) == 1), None)
    return Starts(tuple(phrases), alone, longer)


@dataclass(frozen=True, slots=True)
class View:
    """All languages as one message means them: its own, the reader's, the one that all fall back to, and of
    the others what is plain in any."""

    books: tuple[Book, ...]
    values: Mapping[str, Mapping[str, float]]
    counting: Mapping[str, tuple[Counted, ...]]
    fractions: Mapping[str, tuple[Counted, ...]]
    clocks: Mapping[str, tuple[Counted, ...]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    glued: Mapping[str, tuple[str, ...]]
    _met: dict[str, Starts] = field(default_factory=dict)
    _seen: dict[tuple[str, bool], tuple[str, ...]] = field(default_factory=dict)

    def spelt(self, tokens: Sequence[Token]) -> tuple[Token, ...]:
        """The tokens with all that each may be a spelling of; what is glued to a word is parted from it."""
        found: list[Token] = []
        unaccented = all(each.low.isascii() for each in tokens if each.kind == "word")
        for each in tokens:
            if each.kind != "word":
                if not (each.raw in self.glued["doubled.words"] and each.glued and self._doubles(found)):
                    found.append(each)
                continue
            forms = self._seen.get((each.low, unaccented))
            if forms is not None:
                found.append(each._replace(forms=forms) if len(forms) > 1 else each)
                continue
            pieces = self._parted(each)
            if pieces == (each,) and self.means(each.low):
                self._seen[each.low, unaccented] = self._forms(each.low, unaccented)
            found.extend(piece._replace(forms=self._forms(piece.low, unaccented)) for piece in pieces)
        return tuple(self._without_elisions(found)) if self.glued["elided.words"] else tuple(found)

    def _without_elisions(self, found: Sequence[Token]) -> Iterable[Token]:
        """The tokens but for elided words that were typed apart: "l eau"."""
        elided = self.glued["elided.words"]
        for at, each in enumerate(found):
            after = found[at + 1] if at + 1 < len(found) else None
            apart = each.low in elided and after is not None and after.low[0] in self.glued["elided.before"]
            if not (apart and (at == 0 or found[at - 1].kind != "number")):
                yield each

    def _forms(self, low: str, unaccented: bool = False) -> tuple[str, ...]:
        """What a word may be: itself, what it is a spelling of, and in a message without any accent every
        word that it is without its own."""
        forms = [low, *(form for book in self.books for form in book.spelt.get(low, ()))]
        if unaccented:
            forms += [form for book in self.books for form in book.bared.get(low, ())]
        plain = bare(low)
        strange = plain != low and not self.knows(low)
        if strange and len(plain) >= ACCENTS_FROM and not self._joins(plain):
            forms += [plain, *(form for book in self.books for form in book.spelt.get(plain, ()))]
        if not self.means(low) and (head := self._head(low)) is not None:
            forms.append(head)
        return tuple(dict.fromkeys(forms))

    def _joins(self, word: str) -> bool:
        """Whether a word binds others together, so that nothing else may be taken for it."""
        return any(sense.startswith(BINDING) for phrase in self.phrases(word) for sense in phrase.senses)

    def knows(self, word: str) -> bool:
        """Whether it is a word of one of the languages."""
        return any(word in book.words or word in book.spelt for book in self.books)

    def means(self, word: str) -> bool:
        """Whether it means something by itself."""
        return any(word in book.alone or word in book.spelt for book in self.books)

    def _doubles(self, before: Sequence[Token]) -> bool:
        """Whether the "2" behind a word doubles it: "telur2", not "jantan2"."""
        word = before[-1] if before else None
        if word is None or word.kind != "word" or len(word.raw) < SHORTEST_HEAD:
            return False
        senses = [sense for form in word.forms for each in self.phrases(form) for sense in each.senses]
        measuring = any(sense.startswith(("sex.", "unit.", "name.", "op.")) for sense in senses)
        return self.knows(word.low) and not measuring

    def _parted(self, word: Token) -> Sequence[Token]:
        """The word, or a known one and what is glued to it: "l'eau", "airnya", "সাতটায়"."""
        if self.means(word.low):
            return (word,)
        head, mark, tail = word.raw.partition("'")
        if mark and head.casefold() in self.glued["elided.words"]:
            return (word_of(tail, glued=word.glued),)
        known = None if self.knows(word.low) else self._head(word.low)
        if known is None:
            return (word,)
        cut = len(word.raw) - (len(word.low) - len(known))
        ending = word_of(word.raw[cut:], glued=True)
        return (word_of(word.raw[:cut], glued=word.glued), *((ending,) if self._told(ending) else ()))

    def _head(self, low: str) -> str | None:
        """The known word that an ending is glued to."""
        for ending in self.glued["ending.words"]:
            head = low.removesuffix(ending)
            long = len(head) >= (SHORTEST_HEAD if head.isascii() else SHORTEST_HEAD - 1)
            if long and len(head) < len(low) and self.means(head):
                return head
        return None

    def _told(self, ending: Token) -> bool:
        """Whether an ending means something of its own: an o'clock, a scale."""
        if any(sense != "ending.words" for phrase in self.phrases(ending.low) for sense in phrase.senses):
            return True
        return any(ending.low in table for table in self.values.values())

    def joins_numbers(self, word: Token) -> bool:
        """Whether it may stand between the parts of one spoken number."""
        return self._means(word, "number_and.words")

    def is_in_tenths(self, scale: Token) -> bool:
        """Whether ones behind a scale are tenths of it: "trăm hai" is 120."""
        return self._means(scale, "tenths.scale")

    def _means(self, word: Token, sense: str) -> bool:
        alone = (self.starts(form).alone for form in word.forms)
        return any(phrase is not None and sense in phrase.senses for phrase in alone)

    def counts(self, word: Token) -> bool:
        """Whether a spoken number, a part of one or an hour may begin with a word."""
        for form in word.forms:
            if form in self.counting or form in self.clocks or form in self.values["fraction_before"]:
                return True
        return False

    def clock_word(self, tokens: Sequence[Token], at: int) -> Counted | None:
        """The longest word there that stands beside the hours of a clock of its own."""
        return next(iter(standing(self.clocks, tokens, at)), None)

    def value(self, table: str, word: Token) -> float | None:
        """The value of a word in a table of values."""
        values = self.values[table]
        return next((values[form] for form in word.forms if form in values), None)

    def phrases(self, word: str) -> tuple[Phrase, ...]:
        """The phrases that begin with a word, the longest first, of equals the message's own."""
        return self.starts(word).phrases

    def starts(self, word: str) -> Starts:
        """What begins with a word."""
        found = self._met.get(word)
        if found is None:
            if not any(word in book.phrases for book in self.books):
                return NO_STARTS
            each = {
                (phrase.words, phrase.tight): phrase
                for book in reversed(self.books)
                for phrase in book.phrases.get(word, ())
            }
            found = self._met[word] = _starts(sorted(each.values(), key=lambda phrase: -len(phrase.words)))
        return found


@dataclass(frozen=True, slots=True)
class Lexicon:
    """What the reader knows of words; `books` by language, `codes` of languages that share a file,
    `spoken_in` the languages of each word."""

    script: Script
    units: Mapping[str, Unit]
    purposes: Mapping[str, str]
    books: Mapping[str, Book]
    codes: Mapping[str, str]
    fallback: str
    shared: Book
    abroad: Book
    spoken_in: Mapping[str, tuple[str, ...]]
    _views: dict[tuple[str, str], View] = field(default_factory=dict)

    def view(self, lang: str, tokens: Sequence[Token] = ()) -> View:
        """The view of a message, whose tokens tell its language, for a reader of a code such as "pt-BR"."""
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
        """The language of a message: that of most of its words, words of several counting for less. The
        reader's leads, but for one that knows all of the words that the reader's knows, and more."""
        words = [word.low for word in tokens[:LOOKED_AT] if word.kind == "word"]
        spoken = {word: langs for word in words if (langs := self.spoken_in.get(word))}
        if all(reader in langs for langs in spoken.values()):
            return reader
        score: dict[str, float] = {}
        known: dict[str, set[str]] = {}
        for word in words:
            langs = spoken.get(word, ())
            for lang in langs:
                score[lang] = score.get(lang, 0.0) + 1 / len(langs)
                if word not in self.shared.phrases:
                    known.setdefault(lang, set()).add(word)
        own = known.get(reader, set())
        if own or max(score.values(), default=0.0) < 1:
            fuller = [lang for lang, words in known.items() if own < words]
            score = {lang: score[lang] for lang in fuller} or score
            score[reader] = score.get(reader, 0.0) + (0 if fuller else OF_THE_READER)
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
        return View(
            books,
            values,
            counting=_indexed(values, COUNTING),
            fractions=_indexed(values, ("fraction_after",)),
            clocks=_indexed(values, ("clock_before", "clock_after")),
            letters=letters,
            kin=kin,
            glued={
                table: tuple(each for book in books for each in book.glued.get(table, ()))
                for table in GLUED_TO
            },
        )


@dataclass(frozen=True, slots=True)
class _Words:
    """One language file, checked."""

    senses: Mapping[str, frozenset[str]]
    values: Mapping[str, Mapping[str, float]]
    letters: Mapping[str, Sex]
    kin: Mapping[str, tuple[str, ...]]
    right: Mapping[str, str]
    spelt: Mapping[str, tuple[str, ...]]


NOWHERE: tuple[int, ...] = ()
NO_WORDS: Final = _Words({}, {}, {}, {}, {}, {})


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
    langs: dict[str, tuple[str, ...]] = {}
    for code, words in spoken.items():
        langs.update({word: (*langs.get(word, ()), code) for word in _single(words)})
    proper = frozenset(langs)
    for code, book in books.items():
        langs.update({word: (*langs.get(word, ()), code) for word in book.spelt if word not in proper})
    return Lexicon(
        cut.knowing(langs),
        units,
        _strings(_table("common", common, "purposes")),
        books,
        _strings(_table("common", common, "languages")),
        fallback,
        _book(shared, NO_WORDS),
        _book(_abroad(spoken.values()), NO_WORDS),
        langs,
    )


def _book(own: _Words, shared: _Words) -> Book:
    """The book of a file; a phrase that stands in the shared file too has both senses."""
    senses = {
        key: names | shared.senses[key] if key in shared.senses else names
        for key, names in own.senses.items()
    }
    elsewhere = _single(shared)
    alone = {key for key in (*own.senses, *(w for t in own.values.values() for w in t)) if " " not in key}
    words = {word: None for word in _single(own) if word not in elsewhere}
    spelt = {word: forms for word, forms in own.spelt.items() if word not in alone}
    bared: dict[str, tuple[str, ...]] = {}
    for word in words:
        if not word.isascii() and (plain := bare(word)) != word:
            table = bared if plain in words else spelt
            table[plain] = (*table.get(plain, ()), word)
    parts: dict[str, list[str]] = {sense: [] for sense in GLUED_TO}
    for key, names in senses.items():
        for sense in names.intersection(GLUED_TO):
            parts[sense].append(key)
    glued = {sense: tuple(sorted(keys, key=len, reverse=True)) for sense, keys in parts.items()}
    return Book(
        _by_first(senses, own.right),
        own.values,
        own.letters,
        own.kin,
        words=frozenset(words),
        alone=frozenset(alone),
        spelt=spelt,
        glued=glued,
        bared=bared,
    )


def _single(file: _Words) -> dict[str, None]:
    """Every single word of a file, but letters alone."""
    told = [*file.senses, *(word for table in file.values.values() for word in table)]
    return {word: None for key in told for word in key.split(" ") if len(word) > 1 and word[0] != GLUED}


def _abroad(files: Iterable[_Words]) -> _Words:
    """What is understood in a message of any language: things, by words long enough and of one meaning."""
    senses: dict[str, frozenset[str]] = {}
    kin: dict[str, tuple[str, ...]] = {}
    right: dict[str, str] = {}
    spelt: dict[str, tuple[str, ...]] = {}
    for words in files:
        for key, names in words.senses.items():
            kept = frozenset(name for name in names if name.partition(".")[0] in FOREIGN)
            if kept and len(key) >= FOREIGN_FROM and not any(sign.isdigit() for sign in key):
                senses[key] = senses.get(key, kept) & kept
        kin.update(words.kin)
        right.update(words.right)
        spelt.update({word: forms for word, forms in words.spelt.items() if len(word) >= FOREIGN_FROM})
    return _Words({key: names for key, names in senses.items() if names}, {}, {}, kin, right, spelt)


def _of_more_letters(book: Book) -> Book:
    """A book without its shortest words: elsewhere they may mean anything."""
    phrases = {
        first: kept
        for first, found in book.phrases.items()
        if (kept := tuple(phrase for phrase in found if len(" ".join(phrase.words)) > SHORT_WORD))
    }
    values = {
        name: {word: value for word, value in table.items() if len(word) > SHORT_WORD}
        for name, table in book.values.items()
    }
    return replace(book, phrases=phrases, values=values, glued={})


def standing(index: Mapping[str, Sequence[Counted]], tokens: Sequence[Token], at: int) -> list[Counted]:
    """The words of an index that stand at a place of the tokens, the longest first of each spelling."""
    if at >= len(tokens):
        return []
    return [
        each
        for form in tokens[at].forms
        for each in index.get(form, ())
        if at + len(each.words) <= len(tokens)
        and all(word in tokens[at + n].forms for n, word in enumerate(each.words))
    ]


def _indexed(
    values: Mapping[str, Mapping[str, float]], tables: Iterable[str]
) -> dict[str, tuple[Counted, ...]]:
    """The words of these tables by their first, the longest first."""
    grouped: dict[str, list[Counted]] = {}
    for table in tables:
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
    ways, within = tuple(map(float, told.get("ways", ()))), dict(told.get("within", {}))
    return Unit(
        str(told["measures"]), float(told.get("factor", 0)), str(told.get("system", "")), ways, within
    )


NOT_SENSES = {*VALUES, "script", "plain", "units", "purposes", "languages", "letters", "kin", "spelling"}


def _words(code: str, file: Mapping[str, object], cut: Script) -> _Words:
    values = {name: _values(code, file, name, cut) for name in VALUES}
    senses = _senses(code, file, cut)
    kin: dict[str, tuple[str, ...]] = {}
    as_written: dict[str, str] = {}
    listed = file.get("kin", [])
    for group in listed if isinstance(listed, list) else []:
        for word in group["words"]:
            key = _key(cut, word)
            as_written[key] = word
            kin[key] = kin[word] = tuple(group["fits"])
            senses.setdefault(key, set()).add("species_word.kin")
    letters: dict[str, Sex] = {}
    for letter, sex in _strings(_table(code, file, "letters")).items():
        letters[letter.casefold()] = "f" if sex == "f" else "m"
    spellings = _spellings(code, file, cut)
    right = _respelt(spellings, senses)
    senses.update({key: senses[phrase] for key, phrase in right.items()})
    kept = {key: frozenset(names) for key, names in senses.items()}
    return _Words(kept, values, letters, kin, {**right, **as_written}, _meant(spellings))


def _meant(spellings: Mapping[str, Sequence[str]]) -> dict[str, tuple[str, ...]]:
    """Each other spelling of one word, with the words it may stand for."""
    found: dict[str, tuple[str, ...]] = {}
    for word, others in spellings.items():
        for other in others:
            if " " not in other and " " not in word:
                found[other] = (*found.get(other, ()), word)
                if (plain := bare(other)) != other:
                    found[plain] = (*found.get(plain, ()), word)
    return found


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


def _spellings(code: str, file: Mapping[str, object], cut: Script) -> dict[str, list[str]]:
    """A word and its other spellings."""
    found: dict[str, list[str]] = {}
    for word, others in _table(code, file, "spelling").items():
        if not isinstance(others, list):
            raise BadRecord("bad-word-file", language=code, fault=f"spelling.{word} is no list")
        found[_key(cut, word)] = [_key(cut, str(other)) for other in others]
    return found


def _respelt(spellings: Mapping[str, Sequence[str]], phrases: Iterable[str]) -> dict[str, str]:
    """Every phrase in such other spellings as have several words, and the phrase spelt rightly."""
    found: dict[str, str] = {}
    spellings = {
        word: more for word, others in spellings.items() if (more := [one for one in others if " " in one])
    }
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
    plain = cut.plainly(phrase)
    if plain is not None:
        return plain
    tokens = cut.tokens(phrase)
    return " ".join((GLUED if _digits_glued(token) else "") + token.low for token in tokens)


def _digits_glued(token: Token) -> bool:
    return token.kind == "number" and token.glued


def _by_first(
    senses: Mapping[str, frozenset[str]], right: Mapping[str, str]
) -> dict[str, tuple[Phrase, ...]]:
    grouped: dict[str, list[Phrase]] = {}
    for key, names in senses.items():
        words, tight = tuple(key.split(" ")), NOWHERE
        if GLUED in key:
            tight = tuple(at for at, word in enumerate(words) if word.startswith(GLUED))
            words = tuple(word.removeprefix(GLUED) for word in words)
        grouped.setdefault(words[0], []).append(Phrase(words, names, right.get(key, key), tight))
    return {
        first: tuple(sorted(phrases, key=lambda phrase: -len(phrase.words)))
        for first, phrases in grouped.items()
    }
