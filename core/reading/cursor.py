"""Where the walk over a message's tokens stands, and which known words stand there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from core.reading.items import NOTHING, first_of_table
from core.reading.lexicon import Lexicon, Phrase, Unit, View
from core.reading.numbers import from_words, with_fraction
from core.reading.text import Token

NO_PHRASE = Phrase((), NOTHING, "")
NO_UNIT = Unit("", 0)
LONGEST_CODE = 3


@dataclass(slots=True)
class Cursor:
    """A place in the tokens. `at` is the next one to read; `of_fish`: a letter and a digit are no unit."""

    tokens: tuple[Token, ...]
    view: View
    lexicon: Lexicon
    at: int = 0
    known: dict[int, Phrase] = field(default_factory=dict)
    of_fish: bool = False

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
        seconds = self.tokens[at + 1].forms if at + 1 < len(self.tokens) else ()
        best = NO_PHRASE
        for form in self.tokens[at].forms:
            starts = self.view.starts(form)
            for second in seconds:
                for phrase in starts.longer.get(second, ()):
                    if len(phrase.words) > len(best.words) and self._stands(phrase, at):
                        best = phrase
                        break
            if starts.alone is not None and not best.words:
                best = starts.alone
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
        behind = at + len(phrase.words)
        if tokens[behind - 1].kind == "number" and (self._tells_an_hour(behind) or self._is_measured(behind)):
            return False
        return all(tokens[at + place].glued for place in phrase.tight)

    def _tells_an_hour(self, at: int) -> bool:
        """Whether the number before belongs to a clock: "ฉีดเข็ม 2 ทุ่ม"."""
        return self.view.clock_word(self.tokens, at) is not None or "time.oclock" in self._phrase(at)[1]

    def _is_of_a_numbered_place(self, last: int) -> bool:
        """ "Eggs in the hapa 1": the last word belongs to the number behind it; not "in one bowl 620 g"."""
        after = self.tokens[last + 1] if last + 1 < len(self.tokens) else None
        if after is None or after.kind != "number" or not is_a_name(after):
            return False
        if "name.place" not in self._phrase(last)[1]:
            return False
        return not self._is_measured(last + 2)

    def _is_measured(self, at: int) -> bool:
        """Whether a number before that place is told in a unit, so that it names nothing."""
        return self._mass_follows(at - self.at, "mass", "volume", "area", "temperature")

    def _unit(self, name: str) -> Unit:
        return self.lexicon.units.get(name, NO_UNIT)

    def _is_unit_of(self, senses: frozenset[str], measures: Collection[str]) -> bool:
        """Whether senses tell a unit that measures one of these."""
        return any(
            self._unit(sense.removeprefix("unit.")).measures in measures
            for sense in senses
            if sense.startswith("unit.")
        )

    def _measures_here(self, ahead: int) -> bool:
        return any(
            sense.startswith(("unit.", "noun.", "counter.")) for sense in self._phrase(self.at + ahead)[1]
        )

    def _named_here(self) -> bool:
        """Whether a longer phrase begins where a number word stands."""
        return self._phrase(self.at)[0] > 1

    def _digits_after(self, ahead: int) -> bool:
        token = self._peek(ahead)
        return token is not None and token.kind == "number"

    def _number_begins(self, at: int) -> bool:
        if at >= len(self.tokens):
            return False
        return self.tokens[at].kind == "number" or from_words(self.tokens, at, self.view) is not None

    def _begins_a_number(self, at: int) -> bool:
        """Whether digits stand there that have no unit of their own behind them."""
        if at >= len(self.tokens) or self.tokens[at].kind != "number":
            return False
        return first_of_table(self._phrase(at + 1)[1], "unit") is None

    def _skip_joint(self) -> bool:
        """Passes a word that joins the parts of a number."""
        token = self._peek()
        if token is None or not self.view.joins_numbers(token):
            return False
        self.at += 1
        return True

    def _mass_follows(self, ahead: int, *measures: str) -> bool:
        """Whether a unit of mass, or of these measures, stands there."""
        size, senses = self._phrase(self.at + ahead)
        behind = self._peek(ahead + size)
        if behind is not None and behind.kind == "number" and not behind.raw.isdigit():
            return False  # "J1 kilo 2.4": the unit is that of the number behind it
        if "order.unit_first" in senses and self._number_begins(self.at + ahead + size):
            return False
        if size and with_fraction(0, self.tokens, self.at + ahead + size, self.view)[1]:
            return False  # "M1 kilo y cuarto"
        if size == 1 and behind is not None and behind.glued and senses & {"sex.f", "sex.m"}:
            return False  # "tank 2 F7"
        return self._is_unit_of(senses, measures or ("mass",))


def is_a_name(token: Token) -> bool:
    if token.kind == "number":
        return token.raw.isdigit() and len(token.raw) <= LONGEST_CODE
    return token.kind == "word" and len(token.raw) == 1 and token.raw.isupper()
