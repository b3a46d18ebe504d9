"""Numbers as written and as spoken. What a number counts is decided elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.reading.lexicon import View
from core.reading.text import Token

MOST_DIGITS = 15
GROUP = 3
TEN = 10
HUNDRED = 100


def from_digits(text: str, *, thousands: bool = False) -> float | None:
    """The value of digits with separators; with `thousands`, d.ddd and d,ddd are whole numbers.

    None where it is no number a person would write: dates, clocks, very long runs of digits.
    """
    if ":" in text or sum(sign.isdigit() for sign in text) > MOST_DIGITS:
        return None
    groups = text.replace(",", ".").split(".")
    if "" in groups[1:]:
        return None
    if len(groups) == 1:
        return float(text)
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
    return head != "0" and len(head) <= GROUP and all(len(group) == GROUP for group in rest)


@dataclass(frozen=True, slots=True)
class Spoken:
    """A number in words: its value, how many tokens it took, and whether it is a bare fraction."""

    value: float
    taken: int
    fraction: bool


def from_words(tokens: Sequence[Token], start: int, view: View) -> Spoken | None:
    """The longest number in words that begins at `start`."""
    before = view.values["fraction_before"].get(tokens[start].low)
    if before is not None:
        rest = _whole(tokens, start + 1, view) if start + 1 < len(tokens) else None
        return Spoken(before + rest[0], 1 + rest[1], True) if rest else None
    whole = _whole(tokens, start, view)
    if whole is None:
        return None
    value, taken = whole
    extra, more = _fraction_after(tokens, start + taken, view)
    value, taken = value + extra, taken + more
    return Spoken(value, taken, value != int(value))


def fraction_after(tokens: Sequence[Token], at: int, view: View) -> tuple[float, int]:
    """What words such as "and a half" add to a number that ended before `at`, and how many they are."""
    return _fraction_after(tokens, at, view)


def _fraction_after(tokens: Sequence[Token], at: int, view: View) -> tuple[float, int]:
    table = view.values["fraction_after"]
    for size in (3, 2, 1):
        words = [token.low for token in tokens[at : at + size]]
        if len(words) == size and " ".join(words) in table:
            value = table[" ".join(words)]
            return (value, size) if value else _point(tokens, at + size, size, view)
    return 0.0, 0


def _point(tokens: Sequence[Token], at: int, size: int, view: View) -> tuple[float, int]:
    """The digits spoken after "point" (a fraction word of value 0)."""
    digits, ones = "", view.values["number"]
    while at < len(tokens) and len(digits) < GROUP:
        value = _digit(tokens[at], ones)
        if value is None:
            break
        digits, at, size = digits + value, at + 1, size + 1
    return (float(f"0.{digits}"), size) if digits else (0.0, 0)


def _digit(token: Token, ones: Mapping[str, float]) -> str | None:
    if token.kind == "number":
        return token.raw if token.raw.isdigit() and len(token.raw) < GROUP else None
    value = ones.get(token.low)
    return str(int(value)) if value is not None and value in range(TEN) else None


def _whole(tokens: Sequence[Token], start: int, view: View) -> tuple[float, int] | None:
    """Number words added up and multiplied: "two hundred thirty five"."""
    ones, scales = view.values["number"], view.values["scale"]
    total, part, at = 0.0, 0.0, start
    last: float | None = None
    while at < len(tokens):
        low = tokens[at].low
        if low in scales and last is not None:
            part *= scales[low]
            total, part = (total, part) if scales[low] <= HUNDRED else (total + part, 0.0)
            last = scales[low]
        elif low in ones and _may_follow(last, ones[low]):
            part, last = part + ones[low], ones[low]
        else:
            break
        at += 1
    return (total + part, at - start) if at > start else None


def _may_follow(last: float | None, value: float) -> bool:
    """Whether a number word goes on from the one before: "twenty five" does, "two five" does not."""
    return last is None or (last >= TEN * 2 and value < last and value >= 1)
