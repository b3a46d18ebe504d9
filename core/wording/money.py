"""Words for money: what was paid and taken, by currency."""

from __future__ import annotations

from core.money import PerThousand, Sum
from core.replies import MoneyTold, SpentKept
from core.wording.voice import Voice, opening, yes


def spent_kept(v: Voice, fact: SpentKept) -> list[str]:
    amount = v.money(fact.amount, fact.currency)
    blocks = [v.say("spent-kept", amount=amount, of=fact.of, named=yes(fact.goods), goods=fact.goods)]
    if fact.entries > 1:
        total = v.money(fact.total, fact.currency)
        blocks.append(v.say("spent-total", of=fact.of, total=total, entries=v.whole(fact.entries)))
    return blocks


def money_told(v: Voice, fact: MoneyTold) -> list[str]:
    """What was asked first; a line a currency."""
    spent, earned = _lines(v, "money-spent", fact.spent), _lines(v, "money-earned", fact.earned)
    both = [*earned, *spent] if fact.asked == "earned" else [*spent, *earned]
    if not (earned if fact.asked == "earned" else spent):
        both = [v.say(f"money-none-{fact.asked}"), *both]
    if fact.about == "run" and fact.species is not None and fact.date is not None:
        head = v.say("money-run", species=opening(v.species(fact.species)), date=v.iso_day(fact.date))
    else:
        head = opening(v.coded("period", fact.about))
    blocks = [v.say("money-head", head=head, told=both[0]), *both[1:]]
    sold = [] if fact.sold is None else [v.say("result-sold", larvae=v.whole(fact.sold))]
    return blocks + sold + per_thousand(v, fact.cost, fact.price)


def _lines(v: Voice, name: str, found: tuple[Sum, ...]) -> list[str]:
    return [sum_of(v, name, each) for each in found]


def sum_of(v: Voice, name: str, each: Sum) -> str:
    """A sum with what it was for: "Paid 2,400 rupees: feed, diesel, 1 not named." """
    goods = [*each.goods]
    if each.goods and each.unnamed:
        goods.append(v.say("money-unnamed", count=v.whole(each.unnamed)))
    values = {"amount": v.money(each.amount, each.currency), "goods": v.names(goods)}
    entries = v.whole(each.entries)
    return v.say(name, named=yes(goods), several=yes(each.entries > 1), entries=entries, **values)


def per_thousand(v: Voice, cost: PerThousand | None, price: PerThousand | None) -> list[str]:
    """What a thousand larvae cost, and at what they were sold."""
    told = (("money-cost", cost), ("money-price", price))
    return [
        v.say(name, amount=v.money(each.amount, each.currency, fine=True), of=each.of)
        for name, each in told
        if each is not None
    ]
