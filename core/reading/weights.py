"""Weighings: what is told of fish on a scale, or why it must be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import cast

from core.commands import Act, Prepared, Unclear, Weigh
from core.reading import suspects
from core.reading.fishes import TWO_DIGITS, Doubt, Entry, entries_of, sex_of
from core.reading.items import Item
from core.reading.message import COMMA, Message, breaks
from core.reading.plausible import settle, weighing
from core.records import Preparation

NAMES_OF_SPECIES = ("species", "species_word", "species_alone")
MOST_STRANGERS = 2  # words we do not know beside a species that was asked for


def weigh(message: Message) -> Weigh | Unclear:
    """The weighing told in these items."""
    if suspects.is_of_goods(message):
        return Unclear("not_ours")
    tare, rest = _tare(message)
    doubt = _said_doubt(rest)
    found = doubt or entries_of(rest)
    if isinstance(found, Doubt):
        return _unclear(rest, found)
    if not found:
        return Unclear("no_number", (weighing(rest),))
    if _idle(rest) or suspects.any_of(rest):
        return _unclear(rest, Doubt("ambiguous_intent", (found,)))
    settled = settle(rest, found)
    if isinstance(settled, Unclear) or tare is None:
        return settled
    return replace(settled, tare_kg=tare)


def told(message: Message) -> list[Weigh | Unclear]:
    """The weighing, or one a species and place where several are named."""
    weighed = [piece for piece in _by_species(message) if piece.amounts]
    return [each for piece in (weighed if len(weighed) > 1 else [message]) for each in _by_place(piece)]


def _species_of(item: Item) -> tuple[str | None, str | None] | None:
    """The species that an item names, by its slug or as it was spoken."""
    slug, word = item.one_of("species"), item.one_of("species_word")
    return (slug, None) if slug else (None, item.text) if word else None


def _by_species(message: Message) -> list[Message]:
    """One piece a species: from name to name, or, where the weights come first, one a clause."""
    names = {_species_of(item) for item in message.items} - {None}
    if len(names) < 2:
        return [message]
    clauses = message.clauses()
    if all(len({_species_of(item) for item in clause.items} - {None}) == 1 for clause in clauses):
        return _of_one_species(message, clauses)
    pieces: list[list[Item]] = [[]]
    for item in message.items:
        if _species_of(item) is not None and any(_species_of(each) for each in pieces[-1]):
            pieces.append([])
        pieces[-1].append(item)
    return [message.part(piece) for piece in pieces]


def _of_one_species(message: Message, clauses: Sequence[Message]) -> list[Message]:
    """Neighbours of one species together."""
    pieces: list[list[Item]] = []
    before = None
    for clause in clauses:
        name = next(filter(None, map(_species_of, clause.items)))
        pieces = (
            [*pieces[:-1], [*pieces[-1], COMMA, *clause.items]]
            if name == before
            else [*pieces, list(clause.items)]
        )
        before = name
    return [message.part(piece) for piece in pieces]


def _by_place(message: Message) -> list[Weigh | Unclear]:
    """The weighing, or one a place where several are named."""
    places = {item.text.casefold() for item in message.kinds("place")}
    clauses = message.clauses()
    if len(places) < 2:
        return [weigh(message)]
    if len(places) == len(clauses) and all(clause.place for clause in clauses):
        return [weigh(clause) for clause in clauses]
    return [Unclear("ambiguous_intent")]


def joined(weighings: Sequence[Weigh]) -> list[Weigh]:
    """Weighings of one message at one place as one."""
    found: list[Weigh] = []
    for one in weighings:
        same = next((at for at, other in enumerate(found) if _goes_with(other, one)), None)
        if same is None:
            found.append(one)
        else:
            other = found[same]
            found[same] = replace(
                other,
                fish=other.fish + one.fish,
                species=other.species or one.species,
                species_word=other.species_word or one.species_word,
            )
    return found


def _goes_with(one: Weigh, other: Weigh) -> bool:
    """Whether two weighings are of one place and species; one that names no species goes with any."""
    named = [(each.species, each.species_word) for each in (one, other) if each.species or each.species_word]
    return one.place == other.place and len(set(named)) < 2


def _unclear(message: Message, doubt: Doubt) -> Unclear:
    meant: list[Act] = []
    for way in doubt.ways:
        settled = settle(message, way)
        ways = (settled,) if isinstance(settled, Weigh) else settled.candidates
        meant += [one for one in ways if one not in meant]
    if doubt.why == "no_number" and not meant:
        meant.append(weighing(message))
    return Unclear(doubt.why, tuple(meant))


def species_alone(message: Message) -> Weigh | Unclear | None:
    """A species and nothing else: the answer where that was asked for, else a weighing without weights."""
    asked = message.context.awaiting == "species"
    if asked and message.place and all(item.kind in {"place", "sign"} for item in message.items):
        return weighing(message)
    named = [item for item in message.items if _names_species(item, asked)]
    if not named:
        return None
    others = [item for item in message.items if item not in named and not _says_nothing(item)]
    if len({item.text for item in named}) > 1 or message.has("deny.word", "deny.before", "ask.mark"):
        return None
    if len(others) > (MOST_STRANGERS if asked else 0) or any(item.kind != "junk" for item in others):
        return None
    told = weighing(message)
    short = named[0].one_of("species_alone")
    if told.species is None and told.species_word is None and short is not None:
        told = replace(told, species=short)
    return told if asked else Unclear("no_number", (told,))


def preparation(message: Message) -> Preparation | None:
    """What is injected, where the message names one thing."""
    if message.any_of("preparation") is None:
        return None
    denied = {id(after) for item, after in pairwise(message.items) if item.has("mend.not")}
    items = [item for item in message.items if id(item) not in denied]
    told = {key for item in items if (key := item.one_of("preparation")) is not None}
    return cast("Preparation", told.pop()) if len(told) == 1 else None


def preparation_alone(message: Message) -> Prepared | None:
    """What is injected, and nothing else: "pituitary", "we use hCG"."""
    told = preparation(message)
    if told is None:
        return None
    others = [item for item in message.items if not _says_nothing(item) and not item.has("topic.hormone")]
    if len(others) > sum(item.has("cue.use") for item in others):
        return None
    return Prepared(told)


def _names_species(item: Item, asked: bool) -> bool:
    tables = NAMES_OF_SPECIES if asked else NAMES_OF_SPECIES[:2]
    return any(item.one_of(table) is not None for table in tables)


def _says_nothing(item: Item) -> bool:
    filler = item.one_of("filler") is not None or item.one_of("say") == "greeting"
    if item.one_of("preparation") is not None:
        return True
    return (
        filler
        or item.one_of("assent") is not None
        or item.has("noun.fish", "cue.is", "cue.guess", "mend.mark", "mend.not")
        or item.kind == "sign"
        or breaks(item)
    )


def _idle(message: Message) -> bool:
    """Small whole numbers without unit beside words we do not know: talk, perhaps."""
    numbers = message.numbers
    small = bool(numbers) and all(item.whole and item.value < TWO_DIGITS.start for item in numbers)
    return small and bool(message.kinds("junk")) and not message.has("cue.scale")


def _tare(message: Message) -> tuple[float | None, Message]:
    """The weight of the bowl or net, and the message without it."""
    for at, item in enumerate(message.items):
        if item.has("cue.tare"):
            for ahead in range(at + 1, min(at + 4, len(message.items))):
                number = message.items[ahead]
                if number.kind == "num" and number.unit in {"kg", "g", "lb"}:
                    kg = number.value * message.lexicon.units[number.unit].factor
                    return kg, message.part([*message.items[:at], *message.items[ahead + 1 :]])
    return None, message


def _said_doubt(message: Message) -> Doubt | None:
    """Sums, choices and ranges: there is a number, but not one a fish."""
    if message.has("cue.total"):
        return Doubt("ambiguous_intent")
    several = message.has("cue.every") and message.has("number_of.many") and not message.has("op.each")
    if several and len(message.amounts) == 1:
        return Doubt("ambiguous_intent")
    ways = [entries_of(way) for way in suspects.choices(message)]
    kept = suspects.without_taken_back(message) if not ways else None
    if kept is not None:
        ways = [entries_of(kept)]
    if ways or any(item.high is not None for item in message.numbers):
        meant = [each for way in ways for each in (way.ways if isinstance(way, Doubt) else (way,)) if each]
        return Doubt("ambiguous_intent", tuple(meant))
    if message.has("join.or", "join.between"):
        one = message.amounts
        sexes = {sex for item in message.items if (sex := sex_of(item)) is not None}
        whose = sexes.pop() if len(sexes) == 1 else None
        return Doubt("ambiguous_intent", tuple((Entry(whose, item),) for item in one[:3]))
    return None
