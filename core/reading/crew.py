"""What is told of the farm's people: who comes and goes, who has the night; and of the farm as a whole.

Names are what is left of a clause as typed. What is asked or denied sets nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from core.commands import Act, Reading, Unclear
from core.crew import (
    AskCrew,
    DeleteFarm,
    Export,
    HandOver,
    Invite,
    Leave,
    OnDuty,
    PrivateBells,
    Remove,
    RevokeLinks,
    SwitchFarm,
)
from core.reading.items import Item
from core.reading.message import Message, breaks

MOST_NAMES = 6
LONGEST_NAME = 4
FIGURES = frozenset({"num", "coded", "tag", "place", "clock", "ago", "span"})
HATCHERY = frozenset({"sex", "noun", "unit", "species", "species_word", "agent", "preparation", "device"})
"""Tables of words that are no name where nothing says that a person is meant."""
NO_NAMES = frozenset(
    {"say", "say_alone", "cue", "step", "ask", "assent", "deny", "mend", "may", "fault", "trouble", "filler"}
    | {"trouble_alone", "device", "spawn", "sex", "species", "species_word", "when", "part", "time", "join"}
)
"""Tables of words that are no name in a clause of their own, however they are written."""
NAMES_TOO = ("cue.rose", "cue.will")
UNNAMED = ("when.tonight", "when.today", "when.just_now", "day.today", "part.night", "time.at", "time.now")
LEFT_AT_ENDS = (
    *("filler", "cue.is", "cue.will", "may.must", "crew.tonight"),
    *("assent.yes", "say.greeting", "say.seen", "join.of", "join.to"),
)
"""Senses and tables of what is no part of a name that it stands beside."""
ANOTHER_DAY = (
    *("day.yesterday", "day.tomorrow", "day.far", "weekday.week"),
    *("when.last_night", "when.yesterday"),
)
PRONOUNS = ("pronoun", "pronoun_all", "pronoun_one")
ASKING = ("ask.mark", "ask.which", "ask.when", "ask.what", "crew.asked")
WHOLE: dict[str, Act] = {
    "crew.revoke": RevokeLinks(),
    "crew.leave": Leave(),
    "crew.bells_off": PrivateBells(wanted=False),
    "crew.bells_on": PrivateBells(),
}
SENSES = (
    *("crew.who", "crew.duty", "crew.invite", "crew.hand_over", "crew.remove", "crew.take"),
    *("crew.export", "crew.delete", "crew.switch", "crew.switch_to", "crew.leave_alone", *WHOLE),
)
"""A message without any of these tells nothing of the crew."""


class Told(NamedTuple):
    """An act or a doubt, and what else the message says; `alone`: the act wants a message of its own."""

    reading: Reading
    rest: Message
    alone: bool


def told(message: Message) -> Told | None:
    """What a message tells of the crew, and the clauses that tell something else."""
    at = next((n for n, one in enumerate(message.clauses()) if one.has(*SENSES)), None)
    if at is None:
        return None
    mine = message.clauses()[at]
    for sense, read in READERS:
        if mine.has(sense):
            found = read(message, at)
            if found is not None:
                return found
    return None


# One act a function -------------------------------------------------------------------------------------


def _who(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    plain = all(_quiet(item) or _asks(item) or item.has("crew.who") for item in mine.items)
    return Told(AskCrew(), _without(message, [mine]), False) if plain else None


def _on_duty(message: Message, at: int) -> Told | None:
    named = _named(message, at)
    if named is None:
        return None
    told = OnDuty(
        names=named.names,
        me=any(one.has("crew.me") for one in named.clauses),
        everybody=any(one.has("crew.everybody") for one in named.clauses),
    )
    if told.everybody:
        told = OnDuty(everybody=True)
    someone = told != OnDuty()
    if any(_asked(one) for one in named.clauses) or not (someone or _denied(message.clauses()[at])):
        return Told(AskCrew(), named.rest, False)
    doubted = any(_denied(one) or one.has("join.or", "cue.guess") for one in named.clauses)
    if doubted or any(_ragged(clause) for clause in named.clauses):
        return Told(Unclear("ambiguous_intent", (AskCrew(), OnDuty(everybody=True))), named.rest, True)
    if any(one.has(*ANOTHER_DAY) or _dated(one) for one in named.clauses):
        days = {item.raw for one in named.clauses for item in one.items if _of_a_date(item)}
        people = tuple(name for name in named.names if name not in days)
        return Told(Unclear("ambiguous_intent", (replace(told, names=people),)), named.rest, True)
    return Told(told, named.rest, False)


def _invite(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    named = _named(message, at)
    if named is None or _denied(mine):
        return None
    return Told(Invite("reader" if mine.has("crew.as_reader") else "hand"), named.rest, False)


def _remove(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    of_farm = mine.has("crew.of_farm")
    named = _named(message, at)
    if named is None or _denied(mine):
        return None
    if mine.has("crew.me"):
        return Told(_unless_asked(mine, Leave()), named.rest, True) if of_farm else None
    if not (of_farm or (mine.has("crew.remove") and (named.names or mine.has("crew.somebody")))):
        return None
    return Told(_of_one(mine, Remove, named.names, of_farm), named.rest, True)


def _hand_over(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    named = _named(message, at)
    if named is None or _denied(mine) or mine.has("crew.me"):
        return None
    return Told(_of_one(mine, HandOver, named.names, sure=True), named.rest, True)


def _switch(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    named = _named(message, at)
    if named is None or _denied(mine):
        return None
    of_farm = mine.has("crew.switch", "crew.farm")
    if not (named.names or of_farm):
        return None
    return Told(_of_one(mine, SwitchFarm, named.names, of_farm), named.rest, True)


def _export(message: Message, at: int) -> Told | None:
    mine = message.clauses()[at]
    plain = all(_quiet(item) or _asks(item) or item.has("crew.export", "may.ask") for item in mine.items)
    return Told(Export(), _without(message, [mine]), False) if plain else None


def _delete(message: Message, _: int) -> Told | None:
    """Of the whole message, and never of more than the phrase: all else is no wish to lose the farm."""
    if _denied(message):
        return None
    if not all(_quiet(item) or item.has("crew.delete", "ask.mark") for item in message.items):
        return Told(Unclear("not_ours"), message.part(()), True)
    return Told(_unless_asked(message, DeleteFarm()), message.part(()), True)


def _leave_alone(message: Message, _: int) -> Told | None:
    plain = all(item.kind == "sign" or item.has("crew.leave_alone") for item in message.items)
    return Told(Unclear("ambiguous_intent", (Leave(),)), message.part(()), True) if plain else None


def _whole(sense: str) -> Callable[[Message, int], Told | None]:
    """An act told by a phrase, beside which nothing stands in its clause."""

    def read(message: Message, at: int) -> Told | None:
        mine = message.clauses()[at]
        plain = all(_quiet(item) or _asks(item) or item.has(sense, "may.ask") for item in mine.items)
        act = WHOLE[sense]
        if not plain:
            return None
        return Told(_unless_asked(mine, act), _without(message, [mine]), not isinstance(act, PrivateBells))

    return read


READERS: tuple[tuple[str, Callable[[Message, int], Told | None]], ...] = (
    ("crew.delete", _delete),
    ("crew.who", _who),
    *((sense, _whole(sense)) for sense in WHOLE),
    ("crew.hand_over", _hand_over),
    ("crew.duty", _on_duty),
    ("crew.remove", _remove),
    ("crew.take", _remove),
    ("crew.invite", _invite),
    ("crew.export", _export),
    ("crew.switch", _switch),
    ("crew.switch_to", _switch),
    ("crew.leave_alone", _leave_alone),
)


def _of_one(mine: Message, act: Callable[[str | None], Act], names: Sequence[str], sure: bool) -> Reading:
    """The act about the one person or farm that is named; of several, and of a word that may be no name, it
    is asked."""
    ways = tuple(act(name) for name in names) or (act(None),)
    named = sure or all(any(letter.isupper() for letter in name) for name in names)
    asked = _asked(mine) or len(ways) > 1 or not named
    return Unclear("ambiguous_intent", ways) if asked else ways[0]


# Names --------------------------------------------------------------------------------------------------


class Named(NamedTuple):
    """The names in a clause and in those beside it that are nothing but names; and all other clauses."""

    names: tuple[str, ...]
    clauses: Sequence[Message]
    rest: Message


def _named(message: Message, at: int) -> Named | None:
    """The names told with the clause at that place, None where something there is none: a figure, a fish,
    a thing of the hatchery."""
    clauses = message.clauses()
    mine = clauses[at]
    if mine.kinds("coded", "tag") or any(item.kind == "num" and item.unit for item in mine.items):
        return None
    first, last = at, at
    while first and _only_names(clauses[first - 1], _joined(message, clauses[first])):
        first -= 1
    while last + 1 < len(clauses) and _only_names(clauses[last + 1], _joined(message, clauses[last + 1])):
        last += 1
    names: list[str] = []
    for clause in clauses[first : last + 1]:
        for piece in _pieces(clause, message.items[0]):
            if any(_no_name(item, len(piece) > 1) for item in piece) or len(piece) > LONGEST_NAME:
                return None
            if not all(any(item.has(table) or item.one_of(table) for table in PRONOUNS) for item in piece):
                names.append(_as_typed(message.text, piece))
    if len(names) > MOST_NAMES:
        return None
    own = clauses[first : last + 1]
    return Named(tuple(dict.fromkeys(names)), own, _without(message, own))


def _only_names(clause: Message, joined: bool) -> bool:
    """Whether a clause is names alone: unknown words, or such as are written as one. `joined` to another by
    an "and" it may be a word that elsewhere says nothing: "Ben" is one of French."""
    if joined and len(clause.items) == 1 and _capital(clause.items[0]) and clause.has("filler"):
        return True
    said = [item for item in clause.items if not _idle(item) or _may_be_a_name(item)]
    return bool(said) and all(item.has("crew.me") or _may_be_a_name(item) for item in said)


def _may_be_a_name(item: Item) -> bool:
    if item.kind != "word":
        return item.kind == "junk" or (item.kind == "num" and item.spoken and _capital(item))
    return _capital(item) and not _told_otherwise(item)


def _joined(message: Message, clause: Message) -> bool:
    """Whether an "and" stands before a clause."""
    at = next(n for n, item in enumerate(message.items) if item is clause.items[0])
    return at > 0 and message.items[at - 1].has("join.and")


def _capital(item: Item) -> bool:
    """Whether a word is written as a name is; in capitals throughout it tells nothing."""
    return item.raw[:1].isupper() and (len(item.raw) == 1 or not item.raw.isupper())


def _strange(item: Item) -> bool:
    return _told_otherwise(item) and item.one_of("filler") is None and item.one_of("join") is None


def _told_otherwise(item: Item) -> bool:
    """Whether a word tells of something else, so that it is no name but where it is written as one."""
    return not item.has(*NAMES_TOO) and any(item.one_of(table) for table in NO_NAMES)


def _pieces(clause: Message, opening: Item | None = None) -> list[Sequence[Item]]:
    """The runs of items between those that tell of the crew, without what is no part of a name. The word
    `opening` a message has a capital whatever it is."""
    runs: list[list[Item]] = [[]]
    for item in clause.items:
        if _of_crew(item) or item.kind == "sign" or item.has(*UNNAMED, *ANOTHER_DAY, *ASKING, "deny.word"):
            runs.append([])
        elif item.kind not in {"clock", "ago", "span"}:
            runs[-1].append(item)
    return [kept for run in runs if (kept := _trimmed(run, opening))]


def _trimmed(run: Sequence[Item], opening: Item | None) -> Sequence[Item]:
    """Without what stands at its ends and is no name; what alone is left may be one: "Will"."""
    kept = list(run)
    for end in (0, -1):
        while kept and _at_an_end(kept[end]) and (kept[end] is opening or not _capital(kept[end])):
            kept.pop(end)
    alone = len(run) == 1 and _capital(run[0])
    named = alone and (run[0].one_of("filler") is not None or not _told_otherwise(run[0]))
    return kept or (run if named else [])


def _of_crew(item: Item) -> bool:
    """Whether a word tells of the crew; "Farm" may be the end of a farm's name."""
    return item.one_of("crew") is not None and not (item.has("crew.farm") and item.raw[:1].isupper())


def _no_name(item: Item, of_several: bool) -> bool:
    """A word of the hatchery is a name where it is written as one, or glued to the rest of one."""
    if item.kind in FIGURES:
        return not (item.kind == "num" and item.spoken and item.raw[:1].isupper())
    written = _capital(item) or (item.glued and of_several)
    return not written and any(item.one_of(table) for table in HATCHERY)


def _ragged(clause: Message) -> bool:
    """Whether words that tell something else stand where names do, or with a capital and without: "Ben
    cannot have the night" is not understood."""
    pieces = [item for piece in _pieces(clause) for item in piece]
    if any(item.kind == "word" and not _capital(item) and _strange(item) for item in pieces):
        return True
    ends = [item.raw[:1] for piece in _pieces(clause) for item in (piece[0], piece[-1])]
    return any(end.isupper() for end in ends) and any(end.islower() for end in ends)


def _as_typed(text: str, piece: Sequence[Item]) -> str:
    """The words of a name as they stand in the text, hyphens and all."""
    words = "".join(("" if item.glued or n == 0 else " ") + item.raw for n, item in enumerate(piece))
    pattern = r"[\s\-]*".join(re.escape(item.raw) for item in piece)
    found = re.search(pattern, text)
    return re.sub(r"^\W+", "", found.group() if found is not None else words)


# What stands beside -------------------------------------------------------------------------------------


def _idle(item: Item) -> bool:
    return item.kind == "sign" or breaks(item) or _at_an_end(item) or item.has(*UNNAMED)


def _at_an_end(item: Item) -> bool:
    """Whether a word is none of a name that it stands beside: "please", "is", "will"."""
    return any(item.has(sense) or item.one_of(sense) is not None for sense in LEFT_AT_ENDS)


def _quiet(item: Item) -> bool:
    """Whether it changes nothing that is said; a "no" does, and a question mark."""
    return not item.has("deny.word", "ask.mark", "assent.no") and _idle(item)


def _asks(item: Item) -> bool:
    return item.has(*ASKING)


def _asked(clause: Message) -> bool:
    return clause.has(*ASKING) or (bool(clause.items) and clause.items[0].has("may.ask"))


def _denied(clause: Message) -> bool:
    return any(
        item.has("deny.word", "assent.no", "crew.denied") and not item.has("ask.mark")
        for item in clause.items
    )


def _unless_asked(clause: Message, act: Act) -> Reading:
    return Unclear("ambiguous_intent", (act,)) if _asked(clause) else act


def _dated(clause: Message) -> bool:
    """Whether an hour or another day is told, so that not this whole night is meant."""
    day = [item for item in clause.items if _of_a_date(item)]
    named = _pieces(clause)
    only = len(named) == 1 and len(day) == 1 and list(named[0]) == day
    return bool(clause.kinds("clock", "ago", "span")) or (bool(day) and not only)


def _of_a_date(item: Item) -> bool:
    return item.one_of("weekday") is not None or item.one_of("month") is not None


def _without(message: Message, mine: Sequence[Message]) -> Message:
    taken = {id(item) for clause in mine for item in clause.items}
    return message.part([item for item in message.items if id(item) not in taken])


def says_more(rest: Message) -> bool:
    """Whether what is left of a message says anything."""
    return not all(_quiet(item) for item in rest.items)
