"""Numbers with their units, on either side of them, and what goes on behind: 2 kg 400 g, "kilo y medio"."""

from __future__ import annotations

from dataclasses import dataclass

from core.reading.figures import SPACED, Figures
from core.reading.items import MOST_FISH, NOTHING, Item, first_of_table
from core.reading.lexicon import Unit
from core.reading.numbers import (
    GROUP,
    HUNDRED,
    TEN,
    THOUSAND,
    fraction_before,
    from_digits,
    from_words,
    with_fraction,
)

EARLIEST_CLOCK, A_DAY = 5, 24  # "2h30" may be a female of 2 kg
COUNTERS = frozenset({"counter.fish", "time.oclock_maybe"})
SIXTEEN = 16
WARM_FAHRENHEIT = range(50, 105)


@dataclass(slots=True)
class Amounts(Figures):
    """Reads numbers that measure something."""

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

    def _number_here(self) -> Item | None:
        """The number that begins here, taken; None where something longer is spoken of."""
        token = self._peek()
        if token is None or token.kind == "sign" or self._named_here():
            return None
        if token.kind == "number":
            return self._number()
        spoken = from_words(self.tokens, self.at, self.view)
        return self._spoken(spoken) if spoken is not None else None

    def _measured(self, item: Item) -> Item:
        """The number with the unit that follows, and further smaller units: 2 kg 400 g, 5 lb 8 oz."""
        size, senses = self._phrase(self.at)
        if "counter.fish" in senses and (item.whole or "time.oclock_maybe" in senses):
            self.at += size
            return item._replace(senses=item.senses | (senses & COUNTERS))
        unit, unit_senses = self._take_unit(item)
        if not unit:
            return item
        said = self._raw(self.at - 1)
        if said.isdigit():
            said = self._raw(self.at - 2)
        more = {"cue.later"} if "filler.more" in senses else set()
        more |= unit_senses & {"time.oclock"}
        told = item._replace(unit=unit, said=said, senses=item.senses | more)
        return self._per_unit(self._in_unit(told, unit_senses))

    def _in_unit(self, item: Item, unit_senses: frozenset[str]) -> Item:
        """A number whose unit was taken, with what goes on behind it: "and a half", 400 g, tenths."""
        value, taken = with_fraction(item.value, self.tokens, self.at, self.view)
        if taken and value != item.value:
            self.at += taken
            return item._replace(value=value, text="", spoken=True)
        kind = self._unit(item.unit)
        if kind.measures not in {"mass", "time"} or not kind.factor:
            return item
        more = self._compound(item, kind)
        tenths = f"tenths.{item.unit}" in unit_senses
        if more is item and kind.measures == "mass":
            more = self._less_a_smaller(item, kind)
        if more is item and f"sixteenths.{item.unit}" in unit_senses:
            more = self._sixteenths(item)
        if more is item and (tenths or f"hundreds.{item.unit}" in unit_senses):
            before_sex = "tenths.even_before_sex" in unit_senses
            more = self._tenths(item, only_hundreds=not tenths, before_sex=before_sex)
        return more

    def _sixteenths(self, item: Item) -> Item:
        """ "Six pound four": ounces that are not named."""
        kept = self.at
        part = self._less_than_one(before_sex=False) if item.value == int(item.value) else None
        if part is not None and part.spoken and part.value in range(1, SIXTEEN):
            return item._replace(value=item.value + part.value / SIXTEEN, text="")
        self.at = kept
        return item

    def _take_unit(self, item: Item) -> tuple[str, frozenset[str]]:
        """The unit at the next token, taken; words between as in "half an hour", "quarter of a kilo"."""
        size, senses = self._phrase(self.at)
        skipped = 0
        while "filler.more" in senses or (item.value < 1 and "filler.article" in senses):
            skipped += size
            size, senses = self._phrase(self.at + skipped)
        unit = first_of_table(senses, "unit")
        if unit is None and size == 1 and (other := self._single_unit(self.at + skipped)) is not None:
            unit, senses = other
        if unit is None or (senses & {"sex.f", "sex.m"} and not self._means_no_sex(item, unit, size)):
            return "", NOTHING
        if self._is_before_an_hour(self.at + skipped, size, senses):
            return "", NOTHING
        if senses & {"order.unit_first", "name.place"} and self._number_begins(self.at + skipped + size):
            return "", NOTHING
        if self.of_fish and size > 1 and self.tokens[self.at + skipped].low in self.view.letters:
            return "", NOTHING
        if size > 1 and self._begins_a_number(self.at + skipped + size):
            shorter = self._single_unit(self.at + skipped)
            if shorter is not None:
                unit, senses, size = *shorter, 1
        self.at += skipped + size
        return unit, senses

    def _single_unit(self, at: int) -> tuple[str, frozenset[str]] | None:
        """The unit that the first word alone is: "gramu 50 kwa lita 10" measures in grams and in litres."""
        for form in self.tokens[at].forms:
            phrase = self.view.starts(form).alone
            unit = first_of_table(phrase.senses, "unit") if phrase is not None else None
            if phrase is not None and unit is not None:
                return unit, phrase.senses
        return None

    def _is_before_an_hour(self, at: int, size: int, senses: frozenset[str]) -> bool:
        """ "28,2 jam 4": a word that is a unit and stands before hours too, with a number behind it."""
        if "time.at" not in senses and self.view.clock_word(self.tokens, at) is None:
            return False
        return self._number_begins(at + size) and "unit.min" not in self._phrase(at + size + 1)[1]

    def _means_no_sex(self, item: Item, unit: str, size: int) -> bool:
        """Whether a letter that is a sex and a unit is the unit: "83 f", Spanish "hace 2 h", "18h30"."""
        if unit == "h":
            before = self._phrase(self.at - 2)[1] if self.at > 1 else NOTHING
            minutes = self._peek(size)
            glued = minutes is not None and minutes.glued and minutes.raw.isdigit() and len(minutes.raw) == 2
            timed = bool(before & {"time.ago_before", "time.hence", "time.at"})
            return item.whole and (timed or (glued and EARLIEST_CLOCK <= item.value < A_DAY))
        return int(min(item.value, 999)) in WARM_FAHRENHEIT and not self._digits_after(size)

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
            and item.value < A_DAY
        ):
            return self._hour(item, rest, kept)
        less = self._unit(unit)
        if unit:
            value, taken = with_fraction(rest.value, self.tokens, self.at, self.view)
            self.at += taken
            rest = rest._replace(value=value)
        whole = not item.text or item.text.isdigit()
        if whole and unit and _parts_of_one(kind, less, rest.value):
            alike = (name for name, u in self.lexicon.units.items() if u.measures == kind.measures)
            base = next(name for name in alike if self._unit(name).factor == 1)
            value = item.value * kind.factor + rest.value * less.factor
            return item._replace(value=value, unit=base, text="")
        if (
            not unit
            and token.glued
            and rest.text
            and item.unit == "kg"
            and item.value == int(item.value)
            and len(token.raw) <= 3
            and kind.measures == "mass"
        ):
            return item._replace(value=item.value + float(f"0.{token.raw}"), text="")
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

    def _tenths(self, item: Item, *, only_hundreds: bool, before_sex: bool) -> Item:
        """ "2 ký 4", "un kilo huit", "1 quilo e 750": tenths of the unit, or thousandths."""
        if item.value != int(item.value):
            return item
        kept = self.at
        joined = self._skip_joint() or only_hundreds
        part = self._less_than_one(before_sex=before_sex)
        plain = part is not None and part.value == int(part.value)
        counts = before_sex and part is not None and self._counts_the_next(part)
        if part is not None and plain and 1 <= part.value < TEN and not joined and not counts:
            return item._replace(value=round(item.value + part.value / TEN, 6), text="")
        if part is not None and plain and HUNDRED <= part.value < THOUSAND:
            return item._replace(value=round(item.value + part.value / THOUSAND, 6), text="")
        self.at = kept
        return item._replace(senses=item.senses | SPACED) if counts else item

    def _counts_the_next(self, part: Item) -> bool:
        """Whether as many weights as this stand behind the sex named next, or one each."""
        size, senses = self._phrase(self.at)
        if not senses & {"sex.f", "sex.m"} or part.value == 1:
            return False
        fewest = most = 0
        at, behind_unit = self.at + size, False
        while at < len(self.tokens):
            size, senses = self._phrase(at)
            if senses & {"sex.f", "sex.m"}:
                break
            if "op.each" in senses:
                return True
            taken = self._figure_at(at)
            most += taken > 0
            fewest += taken > 0 and not behind_unit
            behind_unit = not taken and "unit.kg" in senses
            at += taken or max(size, 1)
        return fewest <= part.value <= most

    def _figure_at(self, at: int) -> int:
        """How many tokens a number takes that stands there."""
        if self.tokens[at].kind == "number":
            return 1
        spoken = from_words(self.tokens, at, self.view) if self.tokens[at].kind == "word" else None
        return spoken.taken if spoken is not None else 0

    def _less_than_one(self, *, before_sex: bool) -> Item | None:
        """A bare number that stands here, taken: nothing is measured or counted by it."""
        token = self._peek()
        rest = self._smaller(token)
        if rest is None or len(rest.text) > GROUP:
            return None
        _, senses = self._phrase(self.at)
        counts: tuple[str, ...] = ("unit.", "counter.", "one.")
        if not before_sex and rest.value < HUNDRED:
            counts = (*counts, "sex.", "noun.fish")
        measured = any(sense.startswith(counts) for sense in senses)
        more = self._peek()
        scaled = more is not None and self.view.value("scale", more) is not None
        return None if measured or scaled else rest

    def _less_a_smaller(self, item: Item, kind: Unit) -> Item:
        """ "2 kilos menos 100 gramos", "kilo tatu kasoro gramu mia moja": less so much of a smaller unit."""
        kept, (size, senses) = self.at, self._phrase(self.at)
        if "time.minus" not in senses:
            return item
        self.at += size
        rest = self._unit_first()
        if rest is None and (rest := self._smaller(self._peek())) is not None:
            unit, _ = self._take_unit(rest)
            rest = rest._replace(unit=unit)
        small = self._unit(rest.unit) if rest is not None else kind
        if rest is None or not _parts_of_one(kind, small, rest.value):
            self.at = kept
            return item
        value = item.value - rest.value * small.factor / kind.factor
        return item._replace(value=round(value, 6), text="")

    def _part_of_one(self) -> Item | None:
        """ "Paune kilo": a part more or less than one."""
        part = fraction_before(self.tokens, self.at, self.view)
        _, senses = self._phrase(self.at + 1)
        if part is None or not any(sense.startswith("unit.") for sense in senses):
            return None
        self.at += 1
        return self._measured(Item("num", self._raw(self.at - 1), value=1 + part, spoken=True))

    def _one(self) -> Item | None:
        """ "Sekilo", "kí tám": one of a unit; where the word is the unit as well, only with its tenths."""
        size, senses = self._phrase(self.at)
        unit = first_of_table(senses, "one")
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

    def _article(self) -> Item | None:
        """ "an hour", "a kilo": one of it."""
        size, senses = self._phrase(self.at)
        unit_size, unit = self._phrase(self.at + size)
        if "filler.article" not in senses or not unit_size:
            return None
        if not self._is_unit_of(unit, ("time", "mass")) or unit & {"sex.f", "sex.m"}:
            return None
        self.at += size
        return self._measured(Item("num", self.tokens[self.at - 1].raw, value=1.0, spoken=True))

    def _unit_first(self) -> Item | None:
        """ "Kilo 2.85", "gramu mia tano", "kilo y medio": the unit stands before its number."""
        size, senses = self._phrase(self.at)
        unit = first_of_table(senses, "unit")
        if unit is None or senses & {"sex.f", "sex.m", "time.at"} or len(self._longest(self.at).text) < 2:
            return None
        kept, self.at = self.at, self.at + size
        said = self._raw(kept)
        value, taken = with_fraction(1.0, self.tokens, self.at, self.view)
        if taken and value != 1:
            self.at += taken
            return Item("num", self._raw(kept), value=value, unit=unit, spoken=True, said=said)
        number = self._number_here()
        if number is not None and number.unit and f"{unit}_{number.unit}" in self.lexicon.units:
            return number._replace(unit=f"{unit}_{number.unit}", said=f"{said} {number.said}")
        weighed = self._unit(unit).measures == "mass" and "order.unit_first" not in senses
        owned = weighed and number is not None and self._owned_here(number)
        if number is None or number.unit or number.kind != "num" or owned:
            self.at = kept
            return None
        item = self._smaller_unit_first(number._replace(unit=unit, said=said))
        kind = self._unit(unit)
        return self._per_unit(self._less_a_smaller(item, kind) if kind.measures == "mass" else item)

    def _owned_here(self, number: Item) -> bool:
        """Whether a number counts the fish that are named behind it."""
        _, senses = self._phrase(self.at)
        few = number.whole and number.value < MOST_FISH
        return "counter.fish" in number.senses | senses or bool(senses & {"sex.f", "sex.m"} and few)

    def _smaller_unit_first(self, item: Item) -> Item:
        """ "Kilo mbili na gramu mia tano"."""
        kept = self.at
        self._skip_joint()
        rest = self._unit_first()
        big, small = self._unit(item.unit), self._unit(rest.unit if rest else "")
        if rest is not None and _parts_of_one(big, small, rest.value) and item.value == int(item.value):
            value = item.value + rest.value * small.factor / big.factor
            return item._replace(value=round(value, 6), text="")
        self.at = kept
        return item

    def _per_unit(self, item: Item) -> Item:
        """ "ml 0.5 kwa kilo": a unit for each of another."""
        size, senses = self._phrase(self.at)
        per = first_of_table(senses, "per_unit")
        unit = f"{item.unit}_per_{per}"
        if per is None or unit not in self.lexicon.units:
            return item
        self.at += size
        return item._replace(unit=unit)


def _parts_of_one(big: Unit, small: Unit, many: float) -> bool:
    """Whether an amount may go on in a smaller unit: 2 kg 400 g, not 2 kg 5 lb."""
    alike = (small.measures, small.system) == (big.measures, big.system)
    return alike and 0 < small.factor < big.factor and many * small.factor < big.factor
