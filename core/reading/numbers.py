"""Numbers as written and as spoken. What a number counts is decided elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from core.reading.lexicon import Counted, View, standing
from core.reading.text import Token

MOST_DIGITS = 15
GROUP = 3
TEN = 10
HUNDRED = 100
THOUSAND = 1000


def from_digits(text: str, *, thousands: bool = False) -> float | None:
    """The value of digits with separators; with `thousands`, d.ddd and d,ddd are whole numbers.

    None where it is no number a person would write: dates, clocks, very long runs of digits.
    """
    if text.isdigit() and len(text) <= MOST_DIGITS:
        return float(text)
    if ":" in text or sum(sign.isdigit() for sign in text) > MOST_DIGITS:
        return None
    groups = text.replace(",", ".").split(".")
    if "" in groups[1:]:
        return None
    grouped = _grouped(groups)
    if len(groups) == 2:
        whole = thousands and grouped
        return float("".join(groups)) if whole else float("0" + ".".join(groups))
    if len({sign for sign in text if not sign.isdigit()}) == 1:
        return float("".join(groups)) if grouped else None
    return float("".join(groups[:-1]) + "." + groups[-1]) if _grouped(groups[:-1]) else None


def _grouped(groups: Sequence[str]) -> bool:
    """Whether separators part groups of three, as thousands do."""
    head, *rest = groups
    threes = len(head) <= GROUP and all(len(group) == GROUP for group in rest)
    return head != "0" and (threes or _in_lakhs(groups))


def _in_lakhs(groups: Sequence[str]) -> bool:
    """South Asian groups, 2,40,000: two digits each before the last three."""
    head, *middle, last = groups
    return (
        bool(middle) and len(head) < GROUP and len(last) == GROUP and all(len(g) == GROUP - 1 for g in middle)
    )


@dataclass(frozen=True, slots=True)
class Spoken:
    """A number in words: its value, and how many tokens it took."""

    value: float
    taken: int


def from_words(tokens: Sequence[Token], start: int, view: View) -> Spoken | None:
    """The longest number in words that begins at `start`."""
    before = fraction_before(tokens, start, view)
    if before is not None:
        rest = _digits_or_words(tokens, start + 1, view) or _scale_alone(tokens, start + 1, view)
        return Spoken(_with_part(rest[0], before), 1 + rest[1]) if rest else None
    whole = _whole(tokens, start, view)
    if whole is None:
        return None
    value, taken = whole
    value, more = with_fraction(
        value, tokens, start + taken, view, of=_scale_before(tokens, start, taken, view)
    )
    return Spoken(value, taken + more)


def _scale_before(tokens: Sequence[Token], start: int, taken: int, view: View) -> float:
    """The scale that a spoken number ends with: a half more than three hundred is fifty more."""
    last = [word for word in standing(view.counting, tokens, start + taken - 1) if word.value >= HUNDRED]
    if last:
        return last[0].value
    before = [word for word in standing(view.counting, tokens, start) if word.table == "scale_before"]
    return before[0].value if before and taken == len(before[0].words) + 1 else 1


def scaled(value: float, tokens: Sequence[Token], at: int, view: View) -> tuple[float, int]:
    """Digits that ended before `at` with the scale behind them, and how many tokens that is: 3 thousand,
    "3 vạn rưỡi", "2 ngàn tư"."""
    scale = view.value("scale", tokens[at]) or 1
    whole = value * scale
    more, taken = with_fraction(whole, tokens, at + 1, view, of=scale)
    if not taken:
        tenth = _tenth_of_scale(tokens, at, view)
        more, taken = whole + (tenth or 0) * scale / TEN, int(tenth is not None)
    return more, 1 + taken


def _tenth_of_scale(tokens: Sequence[Token], at: int, view: View) -> float | None:
    """ "Trăm hai": ones right behind a scale that are tenths of it in this language."""
    if not view.is_in_tenths(tokens[at]) or at + 1 >= len(tokens):
        return None
    behind = tokens[at + 1]
    ones = float(behind.raw) if behind.raw.isdigit() else view.value("number", behind)
    longer = any(len(word.words) > 1 for word in standing(view.counting, tokens, at + 1))
    further = longer or standing(view.counting, tokens, at + 2)
    return ones if ones in range(1, TEN) and not further else None


def fraction_before(tokens: Sequence[Token], at: int, view: View) -> float | None:
    """What a word such as "saadhe" adds to the number behind it."""
    return view.value("fraction_before", tokens[at]) if at < len(tokens) else None


SCALES = (1_000_000, 100_000, THOUSAND, HUNDRED)


def _with_part(value: float, part: float) -> float:
    """A part of what is counted: a half more than 3 is 3.5, than 300 is 350."""
    scale = next((scale for scale in SCALES if value >= scale and value % scale == 0), 1)
    return value + part * scale


def _digits_or_words(tokens: Sequence[Token], at: int, view: View) -> tuple[float, int] | None:
    if at < len(tokens) and tokens[at].kind == "number":
        return _few_digits(tokens[at])
    return _whole(tokens, at, view)


def _few_digits(token: Token) -> tuple[float, int] | None:
    return (float(token.raw), 1) if token.raw.isdigit() and len(token.raw) <= GROUP else None


def _scale_alone(tokens: Sequence[Token], at: int, view: View) -> tuple[float, int] | None:
    """ "Sava lakh": of one."""
    scale = view.value("scale", tokens[at]) if at < len(tokens) else None
    return (scale, 1) if scale is not None else None


def with_fraction(
    value: float, tokens: Sequence[Token], at: int, view: View, of: float = 1
) -> tuple[float, int]:
    """A number that ended before `at` with what words such as "and a half" or "point five" add, and how
    many they are; a half is one `of` the scale told last."""
    for part in standing(view.fractions, tokens, at):
        if part.value:
            return value + part.value * of, len(part.words)
        digits, taken = _point(tokens, at + len(part.words), len(part.words), view)
        if taken:
            return value + digits, taken
    return value, 0


def _point(tokens: Sequence[Token], at: int, size: int, view: View) -> tuple[float, int]:
    """The digits spoken after "point" (a fraction word of value 0)."""
    pair = _whole(tokens, at, view)
    if pair is not None and pair[0] in range(TEN, HUNDRED):
        return pair[0] / HUNDRED, size + pair[1]
    digits = ""
    while at < len(tokens) and len(digits) < GROUP:
        value = _digit(tokens[at], view)
        if value is None:
            break
        digits, at, size = digits + value, at + 1, size + 1
    return (float(f"0.{digits}"), size) if digits else (0.0, 0)


def _digit(token: Token, view: View) -> str | None:
    """The digits a spoken decimal goes on with: "five", "fifteen", 5."""
    if token.kind == "number":
        return token.raw if token.raw.isdigit() and len(token.raw) < GROUP else None
    value = view.value("number", token)
    whole = value is not None and value == int(value) and 0 <= value < HUNDRED
    return str(int(value)) if value is not None and whole else None


@dataclass(slots=True)
class _Sum:
    """A spoken number as it grows: what was added so far, and below what the next part must stay."""

    parts: list[float] = field(default_factory=list)
    room: float = float("inf")

    def add(self, value: float, *, open_ten: bool) -> bool:
        """Adds a part, where it may stand here."""
        if self.parts and not 1 <= value < self.room:
            return False
        self.parts.append(value)
        self.room = _room_behind(value, open_ten=open_ten)
        return True

    def add_teen(self, value: float) -> bool:
        """ "dua belas": ten more than the ones before."""
        if not self.parts or not 1 <= self.parts[-1] < TEN:
            return False
        self.parts[-1] += value
        self.room = 0
        return True

    def add_tenth(self, tenth: float | None, scale: float) -> int:
        """Adds tenths of a scale, if there are any; how many tokens they were."""
        if tenth is None:
            return 0
        self.parts.append(tenth * scale / TEN)
        self.room = 0
        return 1

    def multiply(self, scale: float) -> bool:
        """Multiplies what is smaller than the scale: "two hundred", "five hundred thousand"."""
        less = sum(part for part in self.parts if part < scale)
        if not less:
            return False
        self.parts = [*(part for part in self.parts if part >= scale), less * scale]
        self.room = scale
        return True


def _room_behind(value: float, *, open_ten: bool) -> float:
    """Below what a part must stay that follows a number word: ones after twenty, tens after two hundred."""
    if value < TEN * 2 and not open_ten:
        return 0
    room = 1
    while value == int(value) and value % (room * TEN) == 0 and room < value:
        room *= TEN
    return room if room > 1 else 0


def _whole(tokens: Sequence[Token], start: int, view: View) -> tuple[float, int] | None:
    """Number words added up and multiplied: "two hundred thirty five"."""
    told, at = _Sum(), start
    while at < len(tokens):
        skipped = _joined(tokens, at, told, view)
        taken = next(
            (
                n
                for word in standing(view.counting, tokens, at + skipped)
                if (n := _take(tokens, at + skipped, told, word, view))
            ),
            0,
        )
        if not taken:
            break
        at += skipped + taken
    return (sum(told.parts), at - start) if told.parts else None


def _joined(tokens: Sequence[Token], at: int, told: _Sum, view: View) -> int:
    """One, where a word such as "y" joins the tens or hundreds before it to what follows."""
    if not told.parts or told.room <= 1 or not view.joins_numbers(tokens[at]):
        return 0
    return int(
        any(
            each.table in {"number", "tens", "scale_before"}
            for each in standing(view.counting, tokens, at + 1)
        )
    )


def _take(tokens: Sequence[Token], at: int, told: _Sum, word: Counted, view: View) -> int:
    """How many tokens a number word takes, once it is added; 0 where it cannot stand there."""
    size = len(word.words)
    match word.table:
        case "scale":
            if not told.multiply(word.value):
                return 0
            return size + told.add_tenth(_tenth_of_scale(tokens, at + size - 1, view), word.value)
        case "teen":
            return size if told.add_teen(word.value) else 0
        case "scale_before":
            return _scaled_behind(tokens, at, told, word, view)
        case table:
            alone = not told.parts
            if not told.add(word.value, open_ten=table == "tens"):
                return 0
            tenth = _tenth_of_scale(tokens, at + size - 1, view) if alone and word.value >= HUNDRED else None
            return size + told.add_tenth(tenth, word.value)


def _scaled_behind(tokens: Sequence[Token], at: int, told: _Sum, word: Counted, view: View) -> int:
    """ "elfu tano": the scale stands before what it multiplies; alone it is one of it."""
    size = len(word.words)
    many, taken = _operand(tokens, at + size, word.value, view)
    value = word.value * (many or 1)
    if told.parts and value >= told.room:
        return 0
    told.parts.append(value)
    told.room = word.value
    return size + taken


def _operand(tokens: Sequence[Token], at: int, scale: float, view: View) -> tuple[float, int]:
    """What a scale before it multiplies: digits, or ones and tens, or a smaller scale with its own."""
    if at < len(tokens) and tokens[at].kind == "number":
        return _few_digits(tokens[at]) or (0.0, 0)
    told, start = _Sum(), at
    while at < len(tokens):
        skipped = _joined(tokens, at, told, view)
        parts = [
            each
            for each in standing(view.counting, tokens, at + skipped)
            if each.table != "scale_before" or (each.value < scale and not told.parts)
        ]
        taken = next((n for each in parts if (n := _take(tokens, at + skipped, told, each, view))), 0)
        if not taken:
            break
        at += skipped + taken
        if told.parts[-1] < TEN or any(each.table == "scale_before" for each in parts):
            break
    return sum(told.parts), at - start
