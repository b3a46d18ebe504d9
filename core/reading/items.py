"""What a message is made of, once its words are known: numbers with units, tags, places, senses."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from core.reading.lexicon import Lexicon, Phrase, Unit, View
from core.reading.numbers import Spoken, fraction_before, from_digits, from_words, scaled, with_fraction
from core.reading.text import Token
from core.records import Sex

Kind = Literal["num", "coded", "tag", "place", "clock", "ago", "span", "word", "sign", "junk"]
GAP = "\x1e"
"""A space that parts clauses, in a script without spaces between words."""
NOTHING: frozenset[str] = frozenset()
NO_PHRASE = Phrase((), NOTHING, "")
LONGEST_CODE = 3
GROUP = 3
TEN = 10
EARLIEST_CLOCK, A_DAY = 5, 24  # "2h30" may be a female of 2 kg
FEW_WORDS = 2
MOST_OF_THOUSANDTHS = 30
SPACED = frozenset({"digits.spaced"})  # two digits said one behind the other
THOUSANDTHS = 100  # from here on digits behind a kilo are its grams
FISH_TABLES = ("sex.", "species", "cue.scale")
SEX_TABLES = ("sex.", "cue.scale")
WATER_TABLES = ("agent.", "cue.bath", "cue.collected")
YOUNG = frozenset({"noun.larvae", "noun.spawn", "cue.stock"})
COUNTED = frozenset({"unit.g", "unit.per_g", "unit.per_ml", "noun.eggs", "noun.larvae"})
OF_AN_HOUR = frozenset({"time.oclock", "time.behind_hour", "clock.noon", "clock.midnight"})
COUNTERS = frozenset({"counter.fish", "time.oclock_maybe"})
OF_ONE = ("unit.", "counter.", "sex.", "noun.fish", "noun.eggs", "noun.larvae", "time.oclock")
WARM_FAHRENHEIT = range(50, 105)


@lru_cache(maxsize=4096)
def _by_table(senses: frozenset[str]) -> dict[str, str]:
    """The first key of each table among senses."""
    return dict(reversed([(table, key) for table, _, key in (s.partition(".") for s in sorted(senses))]))


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of meaning.

    `num`: `value` in `unit` as told (`text`: its digits; `high`: end of a range). `coded`: a letter and
    digits, tag or weight is not settled yet. `clock`: `value` minutes after midnight, `sure` of the half of
    the day. `ago`, `span`: `value` minutes. `sex` on tags and coded items by their letter. `word`: `text` is
    the phrase rightly spelt. `said` is the unit as written. `high` of a word of the clock is the
    part of an hour told behind it.
    """

    kind: Kind
    raw: str
    senses: frozenset[str] = NOTHING
    text: str = ""
    value: float = 0.0
    unit: str = ""
    high: float | None = None
    sure: bool = False
    sex: Sex | None = None
    glued: bool = False
    spoken: bool = False
    said: str = ""

    def has(self, *senses: str) -> bool:
        """Whether it carries any of the senses."""
        return not self.senses.isdisjoint(senses)

    def one_of(self, table: str) -> str | None:
        """The key of a sense of that table: "f" for `sex.f` and table "sex"."""
        return _by_table(self.senses).get(table) if self.senses else None

    @property
    def whole(self) -> bool:
        """A number without unit and without decimals."""
        return (
            self.kind == "num"
            and not self.unit
            and self.high is None
            and self.value == int(self.value)
            and not any(sign in self.text for sign in ".,")
        )


def count_of(item: Item) -> float:
    """The value of a number that counts grams of eggs, eggs or larvae: d.ddd and d,ddd are thousands."""
    value = from_digits(item.text, thousands=True) if item.text else None
    return item.value if value is None else value


def items(tokens: tuple[Token, ...], view: View, lexicon: Lexicon) -> list[Item]:
    """The items of a message, in order. Times are still numbers and words.

    Where fish are told of, a letter of a sex and a digit ("m3") are no unit.
    """
    found = _Assembly(tokens, view, lexicon).run()
    if any(_like_a_fish(item, view) for item in found) and _fish_beside(found):
        return _Assembly(tokens, view, lexicon, of_fish=True).run()
    return found


def _like_a_fish(item: Item, view: View) -> bool:
    """Whether a unit is written as a sex and a weight would be."""
    return item.said[-1:].isdigit() and item.said[:-1].casefold() in view.letters


def _fish_beside(found: Sequence[Item]) -> bool:
    senses = senses_of(found)
    young = bool(senses & YOUNG)
    sexed = any(item.sex for item in found) or any(sense.startswith(SEX_TABLES) for sense in senses)
    fish = sexed or (not young and any(sense.startswith(FISH_TABLES) for sense in senses))
    if any(item.unit == "m2" for item in found):
        return sexed or not (young or any(sense.startswith("where.") for sense in senses))
    return fish and not any(sense.startswith(WATER_TABLES) for sense in senses)


@dataclass(slots=True)
class _Assembly:
    """One walk over the tokens. `at` is the next token to read."""

    tokens: tuple[Token, ...]
    view: View
    lexicon: Lexicon
    at: int = 0
    known: dict[int, Phrase] = field(default_factory=dict)
    of_fish: bool = False

    def run(self) -> list[Item]:
        found: list[Item] = []
        while self.at < len(self.tokens):
            gap = self.tokens[self.at].gap
            item = self._next()
            if gap and _parts_here(found, item):
                found.append(Item("sign", GAP))
            found.append(item)
        return found

    def _next(self) -> Item:
        token = self.tokens[self.at]
        phrase = self._longest(self.at)
        size, senses = len(phrase.words), phrase.senses
        if token.kind == "number" and not self._is_a_word(phrase):
            return self._number()
        named = self._named()
        if named is not None:
            return named
        spoken = from_words(self.tokens, self.at, self.view) if token.kind == "word" else None
        counts = spoken is not None and (spoken.taken > size or spoken.taken == size == 1)
        if spoken is not None and counts and not self._is_an_article(spoken, senses):
            return self._measured(self._spoken(spoken))
        one = (
            self._part_of_one() or self._one() or self._of_a_clock() or self._unit_first() or self._article()
        )
        if one is not None:
            return one
        start, self.at = self.at, self.at + max(size, 1)
        if "stranger.words" in senses:
            return Item("junk", self._raw(start), glued=token.glued)
        if senses:
            raw = self._raw(start)
            return Item(
                "word", raw, senses, phrase.text, high=self._part_of_an_hour(senses), glued=token.glued
            )
        return Item("junk" if token.kind == "word" else "sign", token.raw, glued=token.glued)

    def _is_a_word(self, phrase: Phrase) -> bool:
        """Whether digits are the head of a word ("2nd", "1ra"), or one by themselves: "555" laughs."""
        behind, token = self._peek(1), self.tokens[self.at]
        if len(phrase.words) > 1:
            return behind is not None and behind.glued and behind.kind == "word"
        joined = token.glued or (behind is not None and (behind.glued or self._measures_here(1)))
        return "say.greeting" in phrase.senses and not joined

    def _measures_here(self, ahead: int) -> bool:
        return any(
            sense.startswith(("unit.", "noun.", "counter.")) for sense in self._phrase(self.at + ahead)[1]
        )

    def _is_an_article(self, spoken: Spoken, senses: frozenset[str]) -> bool:
        """ "Une injection", "un problema": one, and nothing that is measured, counted or a clock's."""
        if spoken.taken != 1 or spoken.value != 1 or "filler.article" not in senses:
            return False
        if self.at and "time.at" in self._phrase(self.at - 1)[1]:
            return False
        _, after = self._phrase(self.at + 1)
        return not any(sense.startswith(OF_ONE) for sense in after)

    def _spoken(self, spoken: Spoken) -> Item:
        """The number that is spoken here, taken."""
        start, self.at = self.at, self.at + spoken.taken
        value, doubt = self._with_thousandths(spoken), self._second_digit(spoken)
        if doubt is not None:
            return Item("num", self._raw(start), SPACED, value=spoken.value + doubt / TEN, spoken=True)
        half = spoken.taken == 1 and self.view.value("half_to", self.tokens[start]) is not None
        senses = frozenset({"time.half_to"}) if half else NOTHING
        return Item("num", self._raw(start), senses, value=value, spoken=True)

    def _with_thousandths(self, spoken: Spoken) -> float:
        """ "Dos novecientos", "três e duzentos": 2.9 and 3.2, where no unit stands."""
        if spoken.value not in range(1, MOST_OF_THOUSANDTHS):
            return spoken.value
        kept = self.at
        self._skip_joint()
        behind = from_words(self.tokens, self.at, self.view) if self.at < len(self.tokens) else None
        if behind is None or behind.value not in range(THOUSANDTHS, THOUSANDTHS * TEN):
            self.at = kept
            return spoken.value
        if self._measures_here(behind.taken):
            self.at = kept
            return spoken.value
        self.at += behind.taken
        return spoken.value + behind.value / (THOUSANDTHS * TEN)

    def _second_digit(self, spoken: Spoken) -> float | None:
        """ "Hai ba": a digit said right behind another, 2.3 perhaps; taken, for nobody knows."""
        one = spoken.taken == 1 and spoken.value in range(1, TEN)
        behind = from_words(self.tokens, self.at, self.view) if one and self.at < len(self.tokens) else None
        if behind is None or behind.taken != 1 or behind.value not in range(TEN) or self._named_here():
            return None
        if self._measures_here(1) or behind.value == spoken.value:
            return None
        self.at += 1
        return behind.value

    def _raw(self, start: int) -> str:
        """The tokens from `start` up to here, as written."""
        piece = self.tokens[start : self.at]
        return "".join(("" if token.glued or n == 0 else " ") + token.raw for n, token in enumerate(piece))

    def _peek(self, ahead: int = 0) -> Token | None:
        at = self.at + ahead
        return self.tokens[at] if at < len(self.tokens) else None

    def _phrase(self, at: int) -> tuple[int, frozenset[str]]:
        """The longest known phrase at a token: how many tokens, and its senses."""
        found = self._longest(at)
        return len(found.words), found.senses

    def _longest(self, at: int) -> Phrase:
        found = self.known.get(at)
        if found is None:
            found = self.known[at] = self._searched(at)
        return found

    def _searched(self, at: int) -> Phrase:
        if at >= len(self.tokens):
            return NO_PHRASE
        best = NO_PHRASE
        for form in self.tokens[at].forms:
            for phrase in self.view.phrases(form):
                if len(phrase.words) <= len(best.words):
                    break
                if len(phrase.words) == 1 or self._stands(phrase, at):
                    best = phrase
                    break
        return best

    def _stands(self, phrase: Phrase, at: int) -> bool:
        """Whether all words of a phrase stand there."""
        tokens = self.tokens
        if at + len(phrase.words) > len(tokens):
            return False
        for place, word in enumerate(phrase.words[1:], 1):
            if word not in tokens[at + place].forms:
                return False
        if self._is_of_a_numbered_place(at + len(phrase.words) - 1):
            return False
        if tokens[at + len(phrase.words) - 1].kind == "number" and self._tells_an_hour(
            at + len(phrase.words)
        ):
            return False
        return all(tokens[at + place].glued for place in phrase.tight)

    def _tells_an_hour(self, at: int) -> bool:
        """Whether the number before belongs to a clock: "ฉีดเข็ม 2 ทุ่ม"."""
        return self.view.clock_word(self.tokens, at) is not None or "time.oclock" in self._phrase(at)[1]

    def _is_of_a_numbered_place(self, last: int) -> bool:
        """ "Eggs in the hapa 1": the last word belongs to the number behind it."""
        after = self.tokens[last + 1] if last + 1 < len(self.tokens) else None
        numbered = after is not None and after.kind == "number" and _names(after)
        return numbered and "name.place" in self._phrase(last)[1]

    # names: "tank 1", "tag 8", "F2" ---------------------------------------------------------------------

    def _named(self) -> Item | None:
        return self._after_noun("name.place", "place") or self._after_noun("name.tag", "tag") or self._coded()

    def _after_noun(self, sense: str, kind: Kind) -> Item | None:
        """A noun and the number or letter after it, with "no" or "#" between."""
        size, senses = self._phrase(self.at)
        if sense not in senses:
            return None
        at = self.at + size
        while at < len(self.tokens) and self._joins(at):
            at += 1
        token = self.tokens[at] if at < len(self.tokens) else None
        weight = self._mass_follows(at + 1 - self.at, "mass", "volume", "area", "temperature")
        if token is None or weight or not _names(token) or (kind == "tag" and token.kind == "word"):
            return self._tag_noun(at, kind)
        start, self.at = self.at, at + 1
        return Item(kind, self._raw(start), text=token.raw if kind == "tag" else self._raw(start))

    def _tag_noun(self, at: int, kind: Kind) -> Item | None:
        """ "tag F2": the code after the noun is the tag."""
        if kind != "tag" or at >= len(self.tokens):
            return None
        kept, self.at = self.at, at
        coded = self._coded()
        if coded is None or coded.kind != "coded":
            self.at = kept
            return None
        return replace(coded, kind="tag", text=coded.raw)

    def _joins(self, at: int) -> bool:
        """Whether a sign or word may stand between noun and number; a full stop ends a short form."""
        if self.tokens[at].low == ".":
            glued = at + 1 < len(self.tokens) and self.tokens[at + 1].glued
            return glued or "name.number" in self._phrase(at - 1)[1]
        return self.tokens[at].low == "#" or "name.number" in self._phrase(at)[1]

    def _coded(self) -> Item | None:
        """Letters with glued whole digits: a tag, or a sex and a weight."""
        token, digits = self._peek(), self._peek(1)
        if token is None or token.kind != "word" or digits is None or not digits.glued:
            return None
        if digits.kind != "number" or not digits.raw.isdigit() or len(digits.raw) > LONGEST_CODE:
            return None
        known = self.view.letters.get(token.low)
        size, senses = self._phrase(self.at)
        stranger = (size == 0 and len(token.raw) <= LONGEST_CODE) or (
            len(token.raw) == 1 and "op.times" not in senses
        )
        if known is None and not stranger:
            return None
        if known is not None and self._mass_follows(2):
            return None
        self.at += 2
        raw = token.raw + digits.raw
        return Item("coded", raw, text=digits.raw, value=float(digits.raw), sex=known, glued=token.glued)

    def _mass_follows(self, ahead: int, *measures: str) -> bool:
        """Whether a unit of mass, or of these measures, stands there."""
        size, senses = self._phrase(self.at + ahead)
        wanted = measures or ("mass",)
        behind = self._peek(ahead + size)
        if behind is not None and behind.kind == "number" and not behind.raw.isdigit():
            return False  # "J1 kilo 2.4": the unit is that of the number behind it
        if "order.unit_first" in senses and self._number_begins(self.at + ahead + size):
            return False
        if size == 1 and behind is not None and behind.glued and senses & {"sex.f", "sex.m"}:
            return False  # "tank 2 F7"
        return size > 0 and any(self._unit(s).measures in wanted for s in senses if s.startswith("unit."))

    # numbers ------------------------------------------------------------------------------------------------

    def _number(self) -> Item:
        token = self.tokens[self.at]
        self.at += 1
        value = None if self._after_a_dot() else from_digits(token.raw)
        if value is None:
            return self._odd(token)
        named = self._numbered(token)
        if named is not None:
            return named
        item = Item("num", token.raw, text=token.raw, value=value, glued=token.glued)
        item = self._spaced_thousands(self._mixed_fraction(item))
        item = self._scaled(item)
        return self._measured(item)

    def _numbered(self, token: Token) -> Item | None:
        """ "8 no female", "3 no. pond", "7 number wali mada": the number names what stands behind it."""
        size, senses = self._phrase(self.at)
        if not senses & {"name.number", "name.tag_after"} or not _names(token):
            return None
        ahead = size
        while ahead < size + FEW_WORDS and self._passes(ahead):
            ahead += max(self._phrase(self.at + ahead)[0], 1)
        behind, after = self._phrase(self.at + ahead)
        start = self.at - 1
        if "name.place" in after:
            self.at += ahead + behind
            return Item("place", self._raw(start), text=self._raw(start))
        if after & {"sex.f", "sex.m", "noun.fish"}:
            self.at += ahead
            return Item("tag", self._raw(start), text=token.raw)
        return None

    def _passes(self, ahead: int) -> bool:
        token = self._peek(ahead)
        _, senses = self._phrase(self.at + ahead)
        return token is not None and (token.raw == "." or any(s.startswith("filler.") for s in senses))

    def _after_a_dot(self) -> bool:
        """ "f.5": nobody knows whether the dot is a decimal point."""
        before = self.tokens[max(self.at - 3, 0) : self.at]
        return (
            len(before) == 3
            and before[1].raw in {".", ","}
            and all(token.glued for token in before[1:])
            and (before[0].kind == "word" and before[0].low in self.view.letters)
        )

    def _odd(self, token: Token) -> Item:
        """Digits that are no number: a clock, or nothing we know."""
        hour, _, minute = token.raw.partition(":")
        digits = minute.isdigit() and hour.isdigit() and len(hour) <= 2 and len(minute) == 2
        if digits and int(hour) < 24 and int(minute) < 60:
            sure = int(hour) > 12 or hour.startswith("0")
            return Item("clock", token.raw, value=int(hour) * 60 + int(minute), sure=sure)
        return Item("junk", token.raw, frozenset({"digits.odd"}), glued=token.glued)

    def _mixed_fraction(self, item: Item) -> Item:
        """ "2 1/2" and "2 and a half"."""
        if item.text.isdigit():
            value, taken = with_fraction(item.value, self.tokens, self.at, self.view)
            if taken and value != item.value:
                self.at += taken
                return replace(item, value=value, text="", spoken=True)
        piece = self.tokens[self.at : self.at + 3]
        if item.text.isdigit() and len(piece) == 3 and [t.raw for t in piece[1:]] in (["/", "2"], ["/", "4"]):
            top, bottom = piece[0].raw, int(piece[2].raw)
            if top in {"1", "3"} and int(top) < bottom and not piece[0].glued:
                self.at += 3
                return replace(item, value=item.value + int(top) / bottom, text="")
        if [t.raw for t in piece[:2]] in (["/", "2"], ["/", "4"]) and piece[0].glued:
            top, bottom = item.text, int(piece[1].raw)
            if top in {"1", "3"} and int(top) < bottom:
                self.at += 2
                return replace(item, value=int(top) / bottom, text="")
        return item

    def _spaced_thousands(self, item: Item) -> Item:
        """ "30 000 larvae": groups of three before grams, eggs or larvae."""
        at, text = self.at, item.text
        while (
            text.isdigit()
            and len(item.text) <= 3
            and at < len(self.tokens)
            and not self.tokens[at].glued
            and self.tokens[at].kind == "number"
            and len(self.tokens[at].raw) == 3
            and self.tokens[at].raw.isdigit()
        ):
            text, at = text + self.tokens[at].raw, at + 1
        _, senses = self._phrase(at)
        if at == self.at or not (senses & COUNTED or any(sense.startswith("currency.") for sense in senses)):
            return item
        self.at = at
        return replace(item, value=float(text), text=text)

    def _scaled(self, item: Item) -> Item:
        """ "30 thousand", and "20k" where eggs or larvae are counted; else k is a kilo."""
        token = self._peek()
        scale = self.view.value("scale", token) if token and token.kind == "word" else None
        if token is None or scale is None:
            return item
        if (
            "unit.kg" in self._phrase(self.at)[1]
            and not {"noun.larvae", "noun.eggs"} & self._phrase(self.at + 1)[1]
            and not (self.at > 1 and "noun.larvae" in self._phrase(self.at - 2)[1])
        ):
            return item
        value, taken = scaled(item.value, self.tokens, self.at, self.view)
        self.at += taken
        return self._smaller_scale(replace(item, value=value, text=""), scale)

    def _smaller_scale(self, item: Item, scale: float) -> Item:
        """ "2 lakh 50 thousand": what follows in a smaller scale is added."""
        kept = self.at
        self._skip_joint()
        number, word = self._peek(), self._peek(1)
        if number is None or word is None or number.kind != "number" or not number.raw.isdigit():
            self.at = kept
            return item
        less = self.view.value("scale", word) or scale
        if less >= scale or float(number.raw) * less >= scale:
            self.at = kept
            return item
        self.at += 2
        return self._smaller_scale(replace(item, value=item.value + float(number.raw) * less), less)

    def _measured(self, item: Item) -> Item:
        """The number with the unit that follows, and further smaller units: 2 kg 400 g, 5 lb 8 oz."""
        size, senses = self._phrase(self.at)
        if "counter.fish" in senses:
            self.at += size
            return replace(item, senses=item.senses | (senses & COUNTERS))
        unit, unit_senses = self._take_unit(item)
        if not unit:
            return item
        said = self._raw(self.at - 1)
        if said.isdigit():
            said = self._raw(self.at - 2)
        more = {"cue.later"} if "filler.more" in senses else set()
        more |= unit_senses & {"time.oclock"}
        told = replace(item, unit=unit, said=said, senses=item.senses | more)
        return self._per_unit(self._in_unit(told, unit_senses))

    def _in_unit(self, item: Item, unit_senses: frozenset[str]) -> Item:
        """A number whose unit was taken, with what goes on behind it: "and a half", 400 g, tenths."""
        value, taken = with_fraction(item.value, self.tokens, self.at, self.view)
        if taken and value != item.value:
            self.at += taken
            return replace(item, value=value, text="", spoken=True)
        kind = self._unit("unit." + item.unit)
        if kind.measures not in {"mass", "time"} or not kind.factor:
            return item
        more = self._compound(item, kind)
        tenths = f"tenths.{item.unit}" in unit_senses
        if more is item and kind.measures == "mass":
            more = self._less_a_smaller(item, kind)
        if more is item and (tenths or f"hundreds.{item.unit}" in unit_senses):
            before_sex = "tenths.even_before_sex" in unit_senses
            more = self._tenths(item, only_hundreds=not tenths, before_sex=before_sex)
        return more

    def _less_a_smaller(self, item: Item, kind: Unit) -> Item:
        """ "2 kilos menos 100 gramos", "kilo tatu kasoro gramu mia moja": less so much of a smaller unit."""
        kept, (size, senses) = self.at, self._phrase(self.at)
        if "time.minus" not in senses:
            return item
        self.at += size
        rest = self._unit_first()
        if rest is None and (rest := self._smaller(self._peek())) is not None:
            unit, _ = self._take_unit(rest)
            rest = replace(rest, unit=unit)
        small = self._unit("unit." + rest.unit) if rest is not None else kind
        if rest is None or not _parts_of_one(kind, small, rest.value):
            self.at = kept
            return item
        value = item.value - rest.value * small.factor / kind.factor
        return replace(item, value=round(value, 6), text="")

    def _tenths(self, item: Item, *, only_hundreds: bool, before_sex: bool) -> Item:
        """ "2 ký 4", "un kilo huit", "1 quilo e 750": tenths of the unit, or thousandths."""
        if item.value != int(item.value):
            return item
        kept = self.at
        joined = self._skip_joint() or only_hundreds
        part = self._less_than_one(before_sex=before_sex)
        plain = part is not None and part.value == int(part.value)
        if part is not None and plain and 1 <= part.value < TEN and not joined:
            return replace(item, value=round(item.value + part.value / TEN, 6), text="")
        if part is not None and plain and THOUSANDTHS <= part.value < THOUSANDTHS * TEN:
            return replace(item, value=round(item.value + part.value / (THOUSANDTHS * TEN), 6), text="")
        self.at = kept
        return item

    def _less_than_one(self, *, before_sex: bool) -> Item | None:
        """A bare number that stands here, taken: nothing is measured or counted by it."""
        token = self._peek()
        rest = self._smaller(token)
        if rest is None or len(rest.text) > GROUP:
            return None
        _, senses = self._phrase(self.at)
        counts: tuple[str, ...] = ("unit.", "counter.", "one.")
        if not before_sex and rest.value < THOUSANDTHS:
            counts = (*counts, "sex.", "noun.fish")
        measured = any(sense.startswith(counts) for sense in senses)
        more = self._peek()
        scaled = more is not None and self.view.value("scale", more) is not None
        return None if measured or scaled else rest

    def _skip_joint(self) -> bool:
        """Passes a word that joins the parts of a number."""
        token = self._peek()
        if token is None or not self.view.joins_numbers(token):
            return False
        self.at += 1
        return True

    def _part_of_one(self) -> Item | None:
        """ "Paune kilo": a part more or less than one."""
        part = fraction_before(self.tokens, self.at, self.view)
        _, senses = self._phrase(self.at + 1)
        if part is None or not any(sense.startswith("unit.") for sense in senses):
            return None
        self.at += 1
        return self._measured(Item("num", self._raw(self.at - 1), value=1 + part, spoken=True))

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

    def _one(self) -> Item | None:
        """ "Sekilo", "kí tám": one of a unit; where the word is the unit as well, only with its tenths."""
        size, senses = self._phrase(self.at)
        unit = _first_of_table(senses, "one")
        if unit is None or unit not in self.lexicon.units:
            return None
        kept, self.at = self.at, self.at + size
        one = Item("num", self._raw(kept), value=1.0, unit=unit, spoken=True, said=self._raw(kept))
        if "unit." + unit not in senses:
            return self._in_unit(one, senses)
        more = self._in_unit(one, senses | {f"tenths.{unit}"})
        if more is not one:
            return more
        self.at = kept
        return None

    def _unit_first(self) -> Item | None:
        """ "Kilo 2.85", "gramu mia tano", "kilo y medio": the unit stands before its number."""
        size, senses = self._phrase(self.at)
        unit = _first_of_table(senses, "unit")
        if unit is None or senses & {"sex.f", "sex.m", "time.at"} or len(self._longest(self.at).text) < 2:
            return None
        kept, self.at = self.at, self.at + size
        said = self._raw(kept)
        value, taken = with_fraction(1.0, self.tokens, self.at, self.view)
        if taken and value != 1:
            self.at += taken
            return Item("num", self._raw(kept), value=value, unit=unit, spoken=True, said=said)
        number = self._number_here()
        if number is None or number.unit or number.kind != "num" or self._owned_here(number):
            self.at = kept
            return None
        item = self._smaller_unit_first(replace(number, unit=unit, said=said))
        kind = self._unit("unit." + unit)
        return self._per_unit(self._less_a_smaller(item, kind) if kind.measures == "mass" else item)

    def _per_unit(self, item: Item) -> Item:
        """ "ml 0.5 kwa kilo": a unit for each of another."""
        size, senses = self._phrase(self.at)
        per = _first_of_table(senses, "per_unit")
        unit = f"{item.unit}_per_{per}"
        if per is None or unit not in self.lexicon.units:
            return item
        self.at += size
        return replace(item, unit=unit)

    def _number_here(self) -> Item | None:
        """The number that begins here, taken; None where something longer is spoken of."""
        token = self._peek()
        if token is None or token.kind == "sign" or self._named_here():
            return None
        if token.kind == "number":
            return self._number()
        spoken = from_words(self.tokens, self.at, self.view)
        return self._spoken(spoken) if spoken is not None else None

    def _owned_here(self, number: Item) -> bool:
        """Whether a number counts the fish that are named behind it."""
        _, senses = self._phrase(self.at)
        return "counter.fish" in number.senses | senses or bool(senses & {"sex.f", "sex.m"} and number.whole)

    def _smaller_unit_first(self, item: Item) -> Item:
        """ "Kilo mbili na gramu mia tano"."""
        kept = self.at
        self._skip_joint()
        rest = self._unit_first()
        big, small = self._unit("unit." + item.unit), self._unit("unit." + (rest.unit if rest else ""))
        if rest is not None and _parts_of_one(big, small, rest.value) and item.value == int(item.value):
            value = item.value + rest.value * small.factor / big.factor
            return replace(item, value=round(value, 6), text="")
        self.at = kept
        return item

    def _take_unit(self, item: Item) -> tuple[str, frozenset[str]]:
        """The unit at the next token, taken; words between as in "half an hour", "quarter of a kilo"."""
        size, senses = self._phrase(self.at)
        skipped = 0
        while "filler.more" in senses or (item.value < 1 and "filler.article" in senses):
            skipped += size
            size, senses = self._phrase(self.at + skipped)
        unit = _first_of_table(senses, "unit")
        if unit is None or (senses & {"sex.f", "sex.m"} and not self._means_no_sex(item, unit, size)):
            return "", NOTHING
        if self._is_before_an_hour(self.at + skipped, size, senses):
            return "", NOTHING
        if "order.unit_first" in senses and self._number_begins(self.at + skipped + size):
            return "", NOTHING
        if self.of_fish and size > 1 and self.tokens[self.at + skipped].low in self.view.letters:
            return "", NOTHING
        if size > 1 and self._begins_a_number(self.at + skipped + size):
            shorter = self._single_unit(self.at + skipped)
            if shorter is not None:
                unit, senses, size = *shorter, 1
        self.at += skipped + size
        return unit, senses

    def _number_begins(self, at: int) -> bool:
        if at >= len(self.tokens):
            return False
        return self.tokens[at].kind == "number" or from_words(self.tokens, at, self.view) is not None

    def _is_before_an_hour(self, at: int, size: int, senses: frozenset[str]) -> bool:
        """ "28,2 jam 4": a word that is a unit and stands before hours too, with a number behind it."""
        if "time.at" not in senses and self.view.clock_word(self.tokens, at) is None:
            return False
        return self._number_begins(at + size) and "unit.min" not in self._phrase(at + size + 1)[1]

    def _single_unit(self, at: int) -> tuple[str, frozenset[str]] | None:
        """The unit that the first word alone is: "gramu 50 kwa lita 10" measures in grams and in litres."""
        for form in self.tokens[at].forms:
            for phrase in self.view.phrases(form):
                unit = _first_of_table(phrase.senses, "unit") if len(phrase.words) == 1 else None
                if unit is not None:
                    return unit, phrase.senses
        return None

    def _begins_a_number(self, at: int) -> bool:
        """Whether digits stand there that have no unit of their own behind them."""
        if at >= len(self.tokens) or self.tokens[at].kind != "number":
            return False
        return _first_of_table(self._phrase(at + 1)[1], "unit") is None

    def _means_no_sex(self, item: Item, unit: str, size: int) -> bool:
        """Whether a letter that is a sex and a unit is the unit: "83 f", Spanish "hace 2 h", "18h30"."""
        if unit == "h":
            before = self._phrase(self.at - 2)[1] if self.at > 1 else NOTHING
            minutes = self._peek(size)
            glued = minutes is not None and minutes.glued and minutes.raw.isdigit() and len(minutes.raw) == 2
            timed = bool(before & {"time.ago_before", "time.hence", "time.at"})
            return item.whole and (timed or (glued and EARLIEST_CLOCK <= item.value < A_DAY))
        return int(min(item.value, 999)) in WARM_FAHRENHEIT and not self._digits_after(size)

    def _digits_after(self, ahead: int) -> bool:
        token = self._peek(ahead)
        return token is not None and token.kind == "number"

    def _unit(self, sense: str) -> Unit:
        return self.lexicon.units.get(sense.partition(".")[2], Unit("", 0))

    def _compound(self, item: Item, kind: Unit) -> Item:
        """Adds what follows in a smaller unit, or digits glued to the unit (2kg4 and 2kg400 are 2.4 kg)."""
        kept = self.at
        self._skip_joint()
        token = self._peek()
        rest = self._smaller(token)
        if token is None or rest is None:
            self.at = kept
            return item
        unit, _ = self._take_unit(rest)
        if (
            not unit
            and item.unit == "h"
            and token.glued
            and rest.text
            and item.text.isdigit()
            and item.value < 24
        ):
            return self._hour(item, rest, kept)
        less = self._unit("unit." + unit)
        if unit:
            value, taken = with_fraction(rest.value, self.tokens, self.at, self.view)
            self.at += taken
            rest = replace(rest, value=value)
        base = next(
            name for name, u in self.lexicon.units.items() if u.measures == kind.measures and u.factor == 1
        )
        whole = not item.text or item.text.isdigit()
        if whole and unit and _parts_of_one(kind, less, rest.value):
            value = item.value * kind.factor + rest.value * less.factor
            return replace(item, value=value, unit=base, text="")
        if (
            not unit
            and token.glued
            and rest.text
            and item.unit == "kg"
            and item.value == int(item.value)
            and len(token.raw) <= 3
            and kind.measures == "mass"
        ):
            return replace(item, value=item.value + float(f"0.{token.raw}"), text="")
        self.at = kept
        return item

    def _hour(self, item: Item, rest: Item, kept: int) -> Item:
        """ "21h30"."""
        if len(rest.text) != 2 or rest.value >= 60:
            self.at = kept
            return item
        return Item(
            "clock", f"{item.raw}h{rest.text}", value=item.value * 60 + rest.value, sure=item.value > 12
        )

    def _smaller(self, token: Token | None) -> Item | None:
        """The number after a unit, taken: digits, or words such as "six" in "five pound six ounces"."""
        if token is None or (token.kind == "number" and not token.raw.isdigit()):
            return None
        if token.kind == "number":
            self.at += 1
            return Item("num", token.raw, text=token.raw, value=float(token.raw))
        spoken = from_words(self.tokens, self.at, self.view) if token.kind == "word" else None
        if spoken is None or self._named_here():
            return None
        self.at += spoken.taken
        return Item("num", token.raw, value=spoken.value, spoken=True)

    def _named_here(self) -> bool:
        """Whether a longer phrase begins where a number word stands."""
        return self._phrase(self.at)[0] > 1

    def _article(self) -> Item | None:
        """ "an hour", "a kilo": one of it."""
        size, senses = self._phrase(self.at)
        unit_size, unit = self._phrase(self.at + size)
        if "filler.article" not in senses or not unit_size:
            return None
        if not any(
            self._unit(s).measures in {"time", "mass"} for s in unit if s.startswith("unit.")
        ) or unit & {"sex.f", "sex.m"}:
            return None
        self.at += size
        return self._measured(Item("num", self.tokens[self.at - 1].raw, value=1.0, spoken=True))


ACTS = ("cue.injected", "cue.stripped", "cue.runs", "cue.eggs_run", "say.done", "say.not_yet")
OPENS = ("sex.f", "sex.m", "cue.rest", "noun.water", "cue.injected", "cue.stripped", "cue.runs", "cue.water")


def _parts_here(found: Sequence[Item], item: Item) -> bool:
    """Whether a space before an item parts clauses: something was told of a fish, and something else is."""
    opens = item.has(*OPENS) or item.kind in {"tag", "coded"}
    if not opens:
        return False
    last = next((at for at in range(len(found) - 1, -1, -1) if found[at].raw == GAP), -1)
    since = found[last + 1 :]
    owner = next((at for at, each in enumerate(since) if _owns(each)), len(since))
    figure = any(each.kind in FIGURES for each in since[owner:])
    return figure or any(each.has(*ACTS) for each in since)


FIGURES = {"num", "clock", "ago", "coded"}


def _owns(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or item.one_of("sex") is not None


def _first_of_table(senses: frozenset[str], table: str) -> str | None:
    """The first key of a table among senses."""
    start = table + "."
    return min((sense.removeprefix(start) for sense in senses if sense.startswith(start)), default=None)


def _parts_of_one(big: Unit, small: Unit, many: float) -> bool:
    """Whether an amount may go on in a smaller unit: 2 kg 400 g, not 2 kg 5 lb."""
    alike = (small.measures, small.system) == (big.measures, big.system)
    return alike and 0 < small.factor < big.factor and many * small.factor < big.factor


def _names(token: Token) -> bool:
    if token.kind == "number":
        return token.raw.isdigit() and len(token.raw) <= LONGEST_CODE
    return token.kind == "word" and len(token.raw) == 1 and token.raw.isupper()


def senses_of(found: Iterable[Item]) -> frozenset[str]:
    """Every sense in the items."""
    return frozenset().union(*(item.senses for item in found))
