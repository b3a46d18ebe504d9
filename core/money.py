"""Money as it was told: sums by currency, never mixed, and what a thousand larvae cost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from core.records import Money, RunRow

THOUSAND = 1000
LarvaeOf = Literal["hatched", "swim-up", "sold"]


@dataclass(frozen=True, slots=True)
class Sum:
    """What was paid or taken in one currency, in so many `entries`; the `goods` it was for, in order of
    telling, and how many entries were `unnamed`. `currency` is `None` where nobody said which."""

    amount: float
    currency: str | None
    entries: int
    goods: tuple[str, ...] = ()
    unnamed: int = 0


@dataclass(frozen=True, slots=True)
class PerThousand:
    """Money for each thousand larvae, and at which stage they were counted."""

    amount: float
    currency: str | None
    larvae: int
    of: LarvaeOf


def sums(told: Iterable[Money]) -> tuple[Sum, ...]:
    """A sum for each currency, the one told first before the others."""
    by_currency: dict[str | None, list[Money]] = {}
    for each in told:
        by_currency.setdefault(each.currency, []).append(each)
    return tuple(_sum(currency, entries) for currency, entries in by_currency.items())


def _sum(currency: str | None, entries: Sequence[Money]) -> Sum:
    words = [each.what for each in entries]
    return Sum(
        amount=round(sum(each.amount for each in entries), 2),
        currency=currency,
        entries=len(entries),
        goods=tuple({word.casefold(): word for word in words if word}.values()),
        unnamed=words.count(""),
    )


def cost_per_thousand(row: RunRow, whole: bool) -> PerThousand | None:
    """What a thousand larvae of a run cost, by all that was told of it, in the one currency it was told in.

    Of those that hatched where all were counted (`whole`), else at swim-up, else of those that were sold;
    `None` where nothing was told to be paid, in several currencies, or no larvae are known.
    """
    found = sums(row.spent)
    stages: tuple[tuple[LarvaeOf, float | None], ...] = (
        ("hatched", row.larvae if whole else None),
        ("swim-up", row.swim_up),
        ("sold", row.sold),
    )
    counted = next(((of, number) for of, number in stages if number), None)
    if len(found) != 1 or counted is None:
        return None
    of, larvae = counted
    return PerThousand(_per(found[0].amount, larvae), found[0].currency, round(larvae), of)


def price_per_thousand(earned: Sequence[Money]) -> PerThousand | None:
    """What a thousand larvae were sold at; `None` where it was in several currencies or never told."""
    found, larvae = sums(earned), sum(each.larvae or 0.0 for each in earned)
    if len(found) != 1 or not larvae:
        return None
    return PerThousand(_per(found[0].amount, larvae), found[0].currency, round(larvae), "sold")


def _per(amount: float, larvae: float) -> float:
    return round(THOUSAND * amount / larvae, 4)
