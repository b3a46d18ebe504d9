"""The word files: a language is a file, a fault in one is named."""

from __future__ import annotations

import pytest

from core.commands import Understood, Weigh, Weighed
from core.errors import BadRecord
from core.reading import Context, lexicon, read
from core.reading.lexicon import Book
from tests.core.cards import folder
from tests.core.reading.scoring import LIMITS, WORDS, words

SLUGS = set(folder().cards)
INVENTED = """
[letters]
q = "f"
[sex]
f = ["quila"]
m = ["zorb"]
[number]
ut = 1
[fraction_before]
sav = 0.25
[unit]
kg = ["kilu"]
"""


def test_every_species_has_an_english_name() -> None:
    named = {
        sense.partition(".")[2]
        for phrases in words().books["en"].phrases.values()
        for phrase in phrases
        for sense in phrase.senses
        if sense.startswith("species.")
    }
    assert named == SLUGS


def test_every_kin_word_fits_known_species() -> None:
    assert {slug for fits in words().view("en").kin.values() for slug in fits} <= SLUGS


def test_every_unit_word_has_a_unit() -> None:
    known = words()
    used = {
        sense.partition(".")[2]
        for phrases in (every for book in known.books.values() for every in book.phrases.values())
        for phrase in phrases
        for sense in phrase.senses
        if sense.startswith("unit.")
    }
    assert used <= set(known.units)


def test_a_language_is_a_file() -> None:
    texts = {name: (WORDS / f"{name}.toml").read_text(encoding="utf-8") for name in ("common", "en")}
    known = lexicon({**texts, "qq": INVENTED})
    told = read("quila sav ut kilu, zorb 1.9, Q7 3.1", Context(lang="qq"), known, LIMITS)
    fish = (Weighed("f", 1.25), Weighed("m", 1.9), Weighed("f", 3.1, "Q7"))
    assert told == Understood(Weigh(fish))
    mixed = read("quila 2.4", Context(lang="en"), known, LIMITS)
    assert mixed == Understood(Weigh((Weighed("f", 2.4),)))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[sex", "Expected"),
        ("[sex]\nf = 'female'", "sex.f is no list"),
        ("[number]\none = 'x'", "number.one"),
    ],
)
def test_a_fault_names_the_file(text: str, fault: str) -> None:
    with pytest.raises(BadRecord) as caught:
        lexicon({"en": text})
    assert caught.value.params["language"] == "en"
    assert fault in str(caught.value.params["fault"])


OF_A_LANGUAGE = {
    *(
        "part.noon",
        "part_own.am",
        "part_own.pm",
        "part_own.night",
        "date.word",
        "counter.fish",
        "counter.one",
    ),
    *("time.plus", "time.minus", "time.ago_before", "time.hence_after", "time.oclock_maybe"),
    *("time.behind_hour", "ask.mark_end", "number_and.words", "ending.words", "doubled.words"),
    *("elided.words", "elided.before", "tenths.even_before_sex", "tenths.scale", "order.unit_first"),
    *("cue.came_to", "cue.past", "join.among", "day.either", "mend.not_after", "name.tag_after"),
    *("op.of_each", "say_alone.done", "say_alone.help", "stranger.any", "money_letter.xof"),
}
"""Senses that English has no use for."""
BY_UNIT = ("one", "tenths", "hundreds", "sixteenths", "unit", "per_unit")
BY_NAME = ("currency", "species_alone")


def _senses(book: Book) -> set[str]:
    return {sense for found in book.phrases.values() for phrase in found for sense in phrase.senses}


@pytest.mark.parametrize("code", sorted(words().books))
def test_no_sense_is_misspelt(code: str) -> None:
    """A sense that English and the common words do not have, and that is no table of a language's own, is one
    that nothing reads."""
    known = words()
    plain = _senses(known.books["en"]) | _senses(known.shared) | OF_A_LANGUAGE | {"species_word.kin"}
    for sense in _senses(known.books[code]) - plain:
        table, _, key = sense.partition(".")
        assert table in BY_NAME or (table in BY_UNIT and key in {*known.units, "l"}), sense
