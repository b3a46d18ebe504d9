"""A message with everything a recogniser may ask about it, and its clauses."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar, cast

from core.reading.context import Context, Limits
from core.reading.items import GAP, MOST_FISH, Item, marks_of
from core.reading.lexicon import Lexicon, View

BREAKS = frozenset({",", ";", "\n", ".", "!", "?", "|", "&", "+", "।", "،", "。", "、", "\x00", GAP})

T = TypeVar("T")


class lazily(Generic[T]):  # noqa: N801
    """A property found when first asked for, and kept: as in `functools`, without the lock of Python 3.11."""

    def __init__(self, find: Callable[[Message], T]) -> None:
        self.find = find
        self.name = find.__name__
        self.__doc__ = find.__doc__

    def __get__(self, message: Message, _: type[Message]) -> T:
        found: T
        found = message.__dict__[self.name] = self.find(message)
        return found


COMMA = Item("sign", ",")


@dataclass(eq=False)
class Message:
    """The items of a message, or of a part of it, and what is known around it.

    What many recognisers ask is found out once. `marks`: what its items are known by, as `items.marks_of`
    tells.
    """

    text: str
    items: tuple[Item, ...]
    context: Context
    limits: Limits
    lexicon: Lexicon
    view: View
    marks: frozenset[str]
    _found: dict[object, object] = field(default_factory=dict, compare=False, repr=False)

    def has(self, *senses: str) -> bool:
        """Whether any item carries any of the senses."""
        return not self.marks.isdisjoint(senses)

    def any_of(self, table: str) -> str | None:
        """The key of the first item's sense of that table."""
        if table not in self.marks:
            return None
        return next(key for item in self.items if (key := item.one_of(table)) is not None)

    def kinds(self, *kinds: str) -> list[Item]:
        """The items of these kinds, in order."""
        return [item for item in self.items if item.kind in kinds]

    def once(self, find: Callable[[Message], T]) -> T:
        """What a function finds in it, found once."""
        if find not in self._found:
            self._found[find] = find(self)
        return cast(T, self._found[find])

    def part(self, items: Sequence[Item]) -> Message:
        """The same with only some of the items; itself where they are all of its."""
        some = tuple(items)
        if some == self.items:
            return self
        return Message(self.text, some, self.context, self.limits, self.lexicon, self.view, marks_of(some))

    def without(self, items: Iterable[Item]) -> Message:
        """The rest of it, beside these items."""
        gone = {id(item) for item in items}
        return self.part([item for item in self.items if id(item) not in gone])

    def under(self, context: Context) -> Message:
        """The same in another context."""
        return replace(self, context=context, _found={})

    def clauses(self) -> list[Message]:
        """The pieces between commas, full stops, "and" and the like; breaks at the ends are dropped."""
        return [*self.once(_clauses)]

    @lazily
    def numbers(self) -> list[Item]:
        """The plain numbers of it."""
        return self.kinds("num")

    @lazily
    def amounts(self) -> list[Item]:
        """Its numbers but those said as a time: "at 5.40"."""
        return [item for item in self.numbers if not item.has("time.at")]

    @lazily
    def place(self) -> str | None:
        """The place it names."""
        return next((item.text for item in self.items if item.kind == "place"), None)

    @lazily
    def tags(self) -> tuple[str, ...]:
        """The tags it names, coded ones among them, each once."""
        return tuple(dict.fromkeys(tag_of(item) for item in self.kinds("tag", "coded")))

    def names_only(self, tags: Iterable[str]) -> bool:
        """Whether it names fish, and none but these."""
        named = {tag.casefold() for tag in self.tags}
        return bool(named) and named <= {tag.casefold() for tag in tags}

    @lazily
    def species(self) -> str | None:
        """The species its words name."""
        return self.any_of("species")

    @lazily
    def words(self) -> frozenset[str]:
        """Its words as they were typed, without case."""
        return frozenset(item.raw.casefold() for item in self.items)

    @property
    def counted(self) -> list[Item]:
        """Its numbers that say how many fish."""
        return [item for at, item in enumerate(self.items) if counts_fish(self.items, at)]

    def measured(self, *measures: str) -> list[Item]:
        """Its numbers whose unit measures one of these."""
        units = self.lexicon.units
        return [item for item in self.numbers if item.unit and units[item.unit].measures in measures]

    def bare(self) -> list[Item]:
        """Its numbers without a unit."""
        return [item for item in self.numbers if not item.unit]


def counts_fish(items: Sequence[Item], at: int) -> bool:
    """Whether a number says how many fish: "3 females", "females 3", "3 con"."""
    number = items[at]
    if number.kind != "num" or not number.whole or number.unit:
        return False
    before, after = items[at - 1] if at else None, items[at + 1] if at + 1 < len(items) else None
    counted = at > 1 and items[at - 2].kind == "num"
    behind = before is not None and before.has("number_of.many") and not counted and number.value <= MOST_FISH
    fish = after is not None and (after.has("noun.fish") or after.one_of("sex") is not None)
    return number.has("counter.fish") or behind or fish


def _clauses(message: Message) -> list[Message]:
    pieces: list[list[Item]] = [[]]
    for item in message.items:
        if breaks(item):
            pieces.append([])
        else:
            pieces[-1].append(item)
    return [message.part(piece) for piece in pieces if piece]


def breaks(item: Item) -> bool:
    """Whether an item parts clauses."""
    return (item.kind == "sign" and item.raw in BREAKS) or item.has("join.and", "join.then")


def tag_of(item: Item) -> str:
    """The tag as written; the noun before it ("tag 8") is no part of it."""
    return item.text if item.kind == "tag" else item.raw
