"""Numbers of a message, in digits and in words, with the scale behind them; their units come after."""

from __future__ import annotations

from dataclasses import dataclass

from core.reading.items import NOTHING, Item, tables_of
from core.reading.names import Names
from core.reading.numbers import HUNDRED, TEN, THOUSAND, Spoken, from_words, scaled, with_fraction
from core.reading.text import Token

MOST_OF_THOUSANDTHS = 30
COUNTING_FISH = frozenset({"counter.fish"})
GRAM_DIGITS = 5  # more are a row of weights: "250 280 300 g"
SPACED = frozenset({"digits.spaced"})  # two digits said one behind the other
COUNTED = frozenset({"unit.g", "unit.per_g", "unit.per_ml", "noun.eggs", "noun.larvae"})


@dataclass(slots=True)
class Figures(Names):
    """Reads bare numbers."""

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
                return item._replace(value=value, text="", spoken=True)
        piece = self.tokens[self.at : self.at + 3]
        if item.text.isdigit() and len(piece) == 3 and [t.raw for t in piece[1:]] in (["/", "2"], ["/", "4"]):
            top, bottom = piece[0].raw, int(piece[2].raw)
            if top in {"1", "3"} and int(top) < bottom and not piece[0].glued:
                self.at += 3
                return item._replace(value=item.value + int(top) / bottom, text="")
        if [t.raw for t in piece[:2]] in (["/", "2"], ["/", "4"]) and piece[0].glued:
            top, bottom = item.text, int(piece[1].raw)
            if top in {"1", "3"} and int(top) < bottom:
                self.at += 2
                return item._replace(value=int(top) / bottom, text="")
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
        if at == self.at:
            return item
        _, senses = self._phrase(at)
        weights = "unit.g" in senses and len(text) > GRAM_DIGITS
        if weights or not (senses & COUNTED or "currency" in tables_of(senses)):
            return item
        self.at = at
        return item._replace(value=float(text), text=text)

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
        return self._smaller_scale(item._replace(value=value, text=""), scale)

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
        return self._smaller_scale(item._replace(value=item.value + float(number.raw) * less), less)

    def _spoken(self, spoken: Spoken, *, counts_fish: bool = False) -> Item:
        """The number that is spoken here, taken; `counts_fish`: by a word for so many living things."""
        start, self.at = self.at, self.at + spoken.taken
        if (grams := self._in_hundreds(spoken)) is not None:
            return Item("num", self._raw(start), value=grams, spoken=True)
        value, doubt = self._with_thousandths(spoken), self._second_digit(spoken)
        if doubt is not None:
            return Item("num", self._raw(start), SPACED, value=spoken.value + doubt / TEN, spoken=True)
        half = spoken.taken == 1 and self.view.value("half_to", self.tokens[start]) is not None
        senses = frozenset({"time.half_to"}) if half else COUNTING_FISH if counts_fish else NOTHING
        return Item("num", self._raw(start), senses, value=value, spoken=True)

    def _in_hundreds(self, spoken: Spoken) -> float | None:
        """ "Three fifty grams": 350; what is said behind the hundreds is taken."""
        ones = spoken.taken == 1 and spoken.value in range(1, TEN)
        behind = from_words(self.tokens, self.at, self.view) if ones and self.at < len(self.tokens) else None
        if behind is None or behind.value not in range(TEN, HUNDRED):
            return None
        if "unit.g" not in self._phrase(self.at + behind.taken)[1]:
            return None
        self.at += behind.taken
        return spoken.value * HUNDRED + behind.value

    def _with_thousandths(self, spoken: Spoken) -> float:
        """ "Dos novecientos", "três e duzentos": 2.9 and 3.2, where no unit stands."""
        if spoken.value not in range(1, MOST_OF_THOUSANDTHS):
            return spoken.value
        kept = self.at
        self._skip_joint()
        behind = from_words(self.tokens, self.at, self.view) if self.at < len(self.tokens) else None
        if behind is None or behind.value not in range(HUNDRED, THOUSAND):
            self.at = kept
            return spoken.value
        if self._measures_here(behind.taken):
            self.at = kept
            return spoken.value
        self.at += behind.taken
        return spoken.value + behind.value / THOUSAND

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
        value = self._in_hundreds(spoken) or spoken.value
        return Item("num", token.raw, value=value, spoken=True)
