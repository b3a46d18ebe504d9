"""Money: larvae sold, what was spent, and prices, which are talk."""

from __future__ import annotations

from dataclasses import dataclass

from core.commands import Expense, Reading, Sold, Unclear
from core.reading import measures
from core.reading.items import Item, count_of
from core.reading.measures import LARVAE
from core.reading.message import Message

NO_CURRENCY = "any"
"""The key of money that several countries have: nobody knows which."""
K = "k"
THOUSAND = 1000
LEAST_BY_LETTER = 100
NEAR = 3  # items at most between larvae and their number
NO_GOODS = (*LARVAE, "noun.eggs", "noun.water", "noun.bottle", "cue.injected", "cue.scale", "ask.mark")
OF_A_DOSE = ("topic.dose", "ask.how_much", "ask.mark", "cue.injected", "cue.scale")
FISH_KINDS = ("coded", "tag")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount, the items it is told with, and its currency where one is certain."""

    amount: float
    items: tuple[Item, ...]
    currency: str | None = None
    named: bool = False


def of(message: Message) -> Money | None:
    """The money of a message: the number beside a currency, else one in thousands by a "k"."""
    items = message.items
    for at, item in enumerate(items):
        code = item.one_of("currency") or _by_letter(items, at)
        if code is None:
            continue
        order = (at + 1, at - 1) if item.has("order.unit_first") else (at - 1, at + 1)
        near = next((items[one] for one in order if 0 <= one < len(items) and items[one].kind == "num"), None)
        if near is not None:
            return Money(_amount(near), (near, item), None if code == NO_CURRENCY else code.upper(), True)
    short = [item for item in message.numbers if item.unit == "kg" and item.said.casefold() == K]
    return Money(_amount(short[0]), (short[0],)) if len(short) == 1 else None


def _by_letter(items: tuple[Item, ...], at: int) -> str | None:
    """ "5000 F": a letter that is a sex elsewhere, behind an amount that no fish weighs."""
    before = items[at - 1] if at else None
    large = before is not None and before.whole and before.value >= LEAST_BY_LETTER
    return items[at].one_of("money_letter") if large else None


def _amount(item: Item) -> float:
    return item.value * THOUSAND if item.said.casefold() == K else count_of(item)


def _rest(message: Message, money: Money | None) -> Message:
    """The message without its money."""
    return message if money is None else message.without(money.items)


def _of_fish(message: Message) -> bool:
    """Whether fish of the farm are told of."""
    return message.has("sex.f", "sex.m") or bool(message.kinds(*FISH_KINDS))


def sold(message: Message) -> Reading | None:
    """Larvae sold: how many, for how much, how old."""
    if not message.has("cue.sold") or message.has("cue.injected"):
        return None
    if message.has("ask.how_much", "ask.how_many") and not message.numbers:
        return None
    money = of(message)
    rest = _rest(message, money)
    if _of_fish(rest):
        return Unclear("ambiguous_intent") if rest.numbers else None
    if rest.measured("mass") and not rest.has(*LARVAE):
        return Unclear("not_ours")
    counts = [item for item in rest.bare() if not item.has("time.at")]
    if money is None and len(counts) == 2 and (price := _price_of_two(rest, counts)) is not None:
        money = Money(count_of(price), (price,))
        counts = [item for item in counts if item is not price]
    return _sale(message, money, counts)


def _sale(message: Message, money: Money | None, counts: list[Item]) -> Reading:
    days = next((item.value for item in message.numbers if item.unit == "day"), None)
    price, currency = (money.amount, money.currency) if money is not None else (None, None)
    measured = measures.amount_of(message)
    if measured is not None and len(counts) == (measured.each is not None):
        return Sold(None, price, currency, days, measured)
    if len(counts) != 1:
        return Unclear("ambiguous_intent") if counts else Unclear("no_number", (Sold(),))
    return Sold(count_of(counts[0]), price, currency, days)


def _price_of_two(message: Message, counts: list[Item]) -> Item | None:
    """The one of two bare numbers that counts no larvae: thousands, the other beside the word for larvae."""
    larvae = _counted(message, counts, ahead=True) or _counted(message, counts, ahead=False)
    if len(larvae) != 1 or message.kinds("junk") or message.has("cue.died", "cue.hatched"):
        return None
    (other,) = (number for number in counts if number is not larvae[0])
    return other if count_of(other) >= THOUSAND else None


def _counted(message: Message, counts: list[Item], *, ahead: bool) -> list[Item]:
    """The numbers that have larvae named right behind them, or else right before."""
    items = message.items
    found = []
    for at, item in enumerate(items):
        near = items[at + 1 : at + 1 + NEAR] if ahead else items[max(at - 2, 0) : at][::-1]
        if any(item is number for number in counts) and _leads_to(near):
            found.append(item)
    return found


def _leads_to(items: tuple[Item, ...]) -> bool:
    """Whether larvae are named there, behind nothing but small words."""
    for item in items:
        if item.has(*LARVAE):
            return True
        if item.one_of("filler") is None and item.one_of("counter") is None and not item.has("join.of"):
            return False
    return False


def expense(message: Message) -> Reading | None:
    """Money spent: "bought feed 1200", "diesel 800 rupees". Goods by the kilo and no money are none."""
    money = of(message)
    rest = _rest(message, money)
    spent = message.has("cue.spent")
    goods = message.has("noun.goods") or (spent and message.any_of("agent") is not None)
    if not (spent or (money is not None and money.named and goods and not message.has("money.price"))):
        return None
    if money is not None and not (_of_fish(rest) or rest.has(*OF_A_DOSE)):
        return Expense(_bought(rest), money.amount, money.currency)
    if _of_fish(rest) or rest.has(*NO_GOODS) or (rest.has("noun.fish") and not goods):
        return None
    bare = rest.bare()
    if goods and len(bare) == 1 and len(rest.numbers) <= 2 and bare[0].high is None:
        return Expense(_bought(rest), count_of(bare[0]))
    if goods and not bare and rest.measured("mass"):
        return Unclear("not_ours")
    return None


def _bought(message: Message) -> str | None:
    """The words of what was bought: goods, or words that nobody knows."""
    words: list[str] = []
    for item in message.items:
        if item.kind == "junk" or item.has("noun.goods") or item.one_of("agent"):
            words.append(item.raw)
        elif words:
            break
    return " ".join(words) or None


def price(message: Message) -> Reading | None:
    """What something costs, or fish by the kilo of a trader: talk, and no weighing."""
    money = of(message)
    rest = _rest(message, money)
    if _of_fish(rest) or message.tags or rest.has(*OF_A_DOSE, "topic.hormone", *LARVAE, "noun.eggs"):
        return None
    traded = message.has("cue.order", "cue.sold", "cue.spent") and rest.has("noun.fish")
    if traded and rest.measured("mass") and not message.has("money.price"):
        return Unclear("not_ours")
    told = message.has("money.price") and bool(message.numbers)
    named = money is not None and money.named and not message.kinds("clock", "ago")
    return Unclear("not_ours") if told or named else None
