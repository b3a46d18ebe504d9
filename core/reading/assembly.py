"""The tokens of a message put together to items."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.reading.amounts import Amounts
from core.reading.items import GAP, NOTHING, Item, tables_of
from core.reading.lexicon import Lexicon, Phrase, View
from core.reading.numbers import Spoken, from_words, with_fraction
from core.reading.text import Token

FISH_TABLES = ("sex.", "species", "cue.scale")
SEX_TABLES = ("sex.", "cue.scale")
WATER_TABLES = ("agent.", "cue.bath", "cue.collected")
YOUNG = frozenset({"noun.larvae", "noun.spawn", "cue.stock"})
BEFORE_NUMBERS = frozenset({"one", "unit", "filler"})
OF_AN_HOUR = frozenset({"time.oclock", "time.behind_hour", "clock.noon", "clock.midnight"})
OF_ONE = ("unit.", "counter.", "sex.", "noun.fish", "noun.eggs", "noun.larvae", "time.oclock")
ACTS = ("cue.injected", "cue.stripped", "cue.runs", "cue.eggs_run", "say.done", "say.not_yet")
OPENS = ("sex.f", "sex.m", "cue.rest", "noun.water", "cue.injected", "cue.stripped", "cue.runs", "cue.water")
FIGURES = {"num", "clock", "ago", "coded"}


def items(tokens: tuple[Token, ...], view: View, lexicon: Lexicon) -> list[Item]:
    """The items of a message, in order. Times are still numbers and words.

    Where fish are told of, a letter of a sex and a digit ("m3") are no unit.
    """
    found = Assembly(tokens, view, lexicon).run()
    if any(_like_a_fish(item, view) for item in found) and _fish_beside(found):
        return Assembly(tokens, view, lexicon, of_fish=True).run()
    return found


def _like_a_fish(item: Item, view: View) -> bool:
    """Whether a unit is written as a sex and a weight would be."""
    return item.said[-1:].isdigit() and item.said[:-1].casefold() in view.letters


def _fish_beside(found: Sequence[Item]) -> bool:
    senses = NOTHING.union(*(item.senses for item in found))
    young = bool(senses & YOUNG)
    sexed = any(item.sex for item in found) or any(sense.startswith(SEX_TABLES) for sense in senses)
    fish = sexed or (not young and any(sense.startswith(FISH_TABLES) for sense in senses))
    if any(item.unit == "m2" for item in found):
        return sexed or not (young or any(sense.startswith("where.") for sense in senses))
    return fish and not any(sense.startswith(WATER_TABLES) for sense in senses)


@dataclass(slots=True)
class Assembly(Amounts):
    """One walk over the tokens."""

    def run(self) -> list[Item]:
        found: list[Item] = []
        while self.at < len(self.tokens):
            gap = self.tokens[self.at].gap
            item = self._next()
            if gap and _parts_here(found, item):
                found.append(Item("sign", GAP))
            found.append(Item("sign", ";") if self._parts_fish(found, item) else item)
        return found

    def _parts_fish(self, found: Sequence[Item], item: Item) -> bool:
        """ "F5 1980 g / M2 1320 g": a stroke between one fish and the next."""
        after = self._peek()
        weighed = bool(found) and self._unit(found[-1].unit).measures == "mass"
        return item.raw == "/" and weighed and after is not None and after.kind == "word" and not after.glued

    def _next(self) -> Item:
        token = self.tokens[self.at]
        phrase = self._longest(self.at)
        size, senses = len(phrase.words), phrase.senses
        if token.kind == "number" and not self._is_a_word(phrase):
            return self._number()
        figured = self._named() or self._counted(phrase) or self._alone(senses)
        if figured is not None:
            return figured
        start, self.at = self.at, self.at + max(size, 1)
        if "stranger.any" in senses:
            return Item("junk", self._raw(start), glued=token.glued)
        if senses:
            raw = self._raw(start)
            return Item(
                "word", raw, senses, phrase.text, high=self._part_of_an_hour(senses), glued=token.glued
            )
        return Item("junk" if token.kind == "word" else "sign", token.raw, glued=token.glued)

    def _counted(self, phrase: Phrase) -> Item | None:
        """A number in words, or a word of the clock."""
        token, size = self.tokens[self.at], len(phrase.words)
        if token.kind != "word" or not self.view.counts(token):
            return None
        spoken = from_words(self.tokens, self.at, self.view)
        counts = spoken is not None and (spoken.taken > size or spoken.taken == size == 1)
        if spoken is not None and counts and not self._is_an_article(spoken, phrase.senses):
            counts_fish = "counter.fish" in phrase.senses and spoken.taken == size
            return self._measured(self._spoken(spoken, counts_fish=counts_fish))
        return self._part_of_one() or self._one() or self._of_a_clock()

    def _alone(self, senses: frozenset[str]) -> Item | None:
        """A unit or an article without a number before it."""
        if not senses or BEFORE_NUMBERS.isdisjoint(tables_of(senses)):
            return None
        return self._one() or self._unit_first() or self._article()

    def _is_a_word(self, phrase: Phrase) -> bool:
        """Whether digits are the head of a word ("2nd", "1ra"), or one by themselves: "555" laughs."""
        behind, token = self._peek(1), self.tokens[self.at]
        if len(phrase.words) > 1:
            return behind is not None and behind.glued and behind.kind == "word"
        joined = token.glued or (behind is not None and (behind.glued or self._measures_here(1)))
        return "say.greeting" in phrase.senses and not joined

    def _is_an_article(self, spoken: Spoken, senses: frozenset[str]) -> bool:
        """ "Une injection", "un problema": one, and nothing that is measured, counted or a clock's."""
        if spoken.taken != 1 or spoken.value != 1 or "filler.article" not in senses:
            return False
        if self.at and "time.at" in self._phrase(self.at - 1)[1]:
            return False
        _, after = self._phrase(self.at + 1)
        return not any(sense.startswith(OF_ONE) for sense in after)

    def _of_a_clock(self) -> Item | None:
        """A word that stands beside the hours of a clock of its own; `value`: its hours from midnight's."""
        word = self.view.clock_word(self.tokens, self.at)
        if word is None:
            return None
        size, senses = self._phrase(self.at)
        if size > len(word.words):
            return None
        behind = "time.before_hour" if word.table == "clock_before" else "time.behind_hour"
        kept = senses if size == len(word.words) else NOTHING
        start, self.at = self.at, self.at + len(word.words)
        raw, senses = self._raw(start), kept | {behind}
        return Item("word", raw, senses, value=word.value, high=self._part_of_an_hour(senses))

    def _part_of_an_hour(self, senses: frozenset[str]) -> float | None:
        """What of an hour is told behind a word of the clock, taken: "six o'clock and a half"."""
        if senses.isdisjoint(OF_AN_HOUR):
            return None
        part, taken = with_fraction(0, self.tokens, self.at, self.view)
        self.at += taken
        return part if taken else None


PARTING = frozenset({GAP, ",", ";", "/", "\n"})


def _parts_here(found: Sequence[Item], item: Item) -> bool:
    """Whether a space before an item parts clauses: something was told of a fish, and something else is."""
    opens = item.has(*OPENS) or item.kind in {"tag", "coded"}
    if not opens:
        return False
    last = next((at for at in range(len(found) - 1, -1, -1) if found[at].raw in PARTING), -1)
    since = found[last + 1 :]
    owner = next((at for at, each in enumerate(since) if _owns(each)), len(since))
    figure = any(each.kind in FIGURES for each in since[owner:])
    return figure or any(each.has(*ACTS) for each in since)


def _owns(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or item.one_of("sex") is not None
