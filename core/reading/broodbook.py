"""The brood book: where a fish is from, its parents, that it was sold; its card, mates, the treated fish.

A bare number is a tag only beside a word that leaves no other meaning: "8 is a daughter of 3 and 12". What is
weighed, injected or stripped is read elsewhere: a message with any such figure tells nothing of this here.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from core.commands import GiveTag, LoseFish, Question, Reading, TellFish, Unclear
from core.reading import questions, weights
from core.reading.items import Item
from core.reading.message import Message, tag_of
from core.reading.moments import moment_of
from core.reading.plausible import named_species
from core.records import Loss, Sex

TOLD = (
    "brood.daughter",
    "brood.son",
    "brood.child",
    "brood.mother",
    "brood.father",
    "brood.from",
    "brood.born",
)
LOSSES: tuple[tuple[str, Loss], ...] = (("brood.sold", "sold"), ("brood.escaped", "escaped"))
ASKED = (
    "ask.where",
    "brood.show",
    "brood.pair",
    "brood.which_males",
    "brood.treated",
    "reckon.effective",
    "reckon.inbreeding",
)
ASKS = ("ask.mark", "ask.where", "ask.when", "ask.who", "ask.which", "ask.how", "ask.what")
OF_OTHERS = (
    *(
        "noun.larvae",
        "noun.eggs",
        "cue.injected",
        "cue.inject_plan",
        "cue.stripped",
        "cue.hatched",
        "deny.word",
    ),
    *("cue.scale", "cue.bath", "noun.bottle", "topic.dose", "topic.given", "cue.fertilised", "currency"),
)
NAMES = 2
YEARS = range(1980, 2100)
MOST_PARENTS = 2
CHILDREN: tuple[tuple[str, Sex | None], ...] = (
    ("brood.daughter", "f"),
    ("brood.son", "m"),
    ("brood.child", None),
)


def told(message: Message) -> Reading | None:
    """Something of a fish by its tag, that belongs to no run."""
    if message.has(*ASKS) or message.items[0].has("may.ask"):
        return None
    found = _child(message) or _parents_named(message) or _year(message) or _origin(message) or _gone(message)
    species, _, _ = named_species(message)
    return replace(found, species=species) if found is not None and species else found


# Parents --------------------------------------------------------------------------------------------------


def _is_a_name(item: Item) -> bool:
    """A tag, or a whole number that can be nothing else here."""
    return item.kind in ("tag", "coded") or (item.whole and item.value > 0 and not item.has("time.at"))


def _name(item: Item) -> str:
    return item.raw if item.kind == "num" else tag_of(item)


def _only_names(message: Message) -> bool:
    """Whether every figure may be a name, and nothing of a run is told."""
    figures = message.kinds("num", "clock", "ago", "span")
    return all(map(_is_a_name, figures)) and not message.has(*OF_OTHERS) and not message.kinds("place")


def _child(message: Message) -> TellFish | None:
    """ "8 is a daughter of 3 and 12": the fish before the word, its parents behind it."""
    at = next((at for at, item in enumerate(message.items) if item.has(*(key for key, _ in CHILDREN))), None)
    if at is None or not _only_names(message):
        return None
    before = [item for item in message.items[:at] if _is_a_name(item)]
    behind = message.items[at + 1 :]
    parents = [item for item in behind if _is_a_name(item)]
    if len(before) != 1 or not 1 <= len(parents) <= MOST_PARENTS:
        return None
    word = message.items[at]
    sex = next(sex for key, sex in CHILDREN if word.has(key))
    roles = [_role(behind, each) for each in parents]
    if all(roles) and len(set(roles)) == len(roles):
        by_role = dict(zip(roles, map(_name, parents), strict=True))
        return TellFish(_name(before[0]), sex, mother=by_role.get("f"), father=by_role.get("m"))
    if len(parents) == MOST_PARENTS and sum(role is not None for role in roles) == 1:
        roles = ["m" if (role or _other(roles)) == "m" else "f" for role in roles]
        by_role = dict(zip(roles, map(_name, parents), strict=True))
        return TellFish(_name(before[0]), sex, mother=by_role["f"], father=by_role["m"])
    return TellFish(_name(before[0]), sex, parents=tuple(map(_name, parents)))


def _other(roles: Sequence[str | None]) -> str:
    return "m" if "f" in roles else "f"


def _role(items: Sequence[Item], name: Item) -> str | None:
    """The sex that stands just before a parent: "female 3", "mother 3"."""
    at = next(at for at, item in enumerate(items) if item is name)
    before = items[at - 1] if at else None
    if before is None:
        return None
    if before.has("sex.f", "brood.mother"):
        return "f"
    return "m" if before.has("sex.m", "brood.father") else None


def _parents_named(message: Message) -> TellFish | None:
    """ "Mother of 8 is 3", "8 mother 3 father 12"."""
    if not message.has("brood.mother", "brood.father") or not _only_names(message):
        return None
    names = [item for item in message.items if _is_a_name(item)]
    roles = [item for item in message.items if item.has("brood.mother", "brood.father")]
    if len(names) != len(roles) + 1 or len(roles) > MOST_PARENTS:
        return None
    child, parents = names[0], [_name(each) for each in names[1:]]
    by_role = {
        "f" if role.has("brood.mother") else "m": tag for role, tag in zip(roles, parents, strict=True)
    }
    if len(by_role) < len(roles):
        return None
    return TellFish(_name(child), mother=by_role.get("f"), father=by_role.get("m"))


# Origin, year, losses -------------------------------------------------------------------------------------


def _one_tag(message: Message) -> Item | None:
    tags = message.kinds("tag", "coded")
    return tags[0] if len(tags) == 1 else None


def _year(message: Message) -> TellFish | None:
    """ "Tag 8 was born in 2023"."""
    tag, years = _one_tag(message), message.numbers
    alone = len(years) == 1 and years[0].whole and int(years[0].value) in YEARS
    if tag is None or not alone or not message.has("brood.born") or message.has("noun.larvae", "noun.eggs"):
        return None
    return TellFish(_name(tag), hatched=int(years[0].value))


def _origin(message: Message) -> TellFish | None:
    """ "Tag 8 is from the river": the words behind, as they were typed; where none are, those between the tag
    and the word, as in languages that say it last."""
    tag = _one_tag(message)
    at = next((at for at, item in enumerate(message.items) if item.has("brood.from")), None)
    if tag is None or at is None or message.has(*OF_OTHERS) or message.kinds("place", "clock", "ago", "span"):
        return None
    if any(item is tag for item in message.items[at:]) or any(
        item.kind == "num" for item in message.items[:at]
    ):
        return None
    start = next(n for n, item in enumerate(message.items) if item is tag)
    behind, between = message.items[at + 1 :], message.items[start + 1 : at]
    words = " ".join(item.raw for item in behind or between).strip(" .!,")
    sex: Sex | None = "f" if message.has("sex.f") else "m" if message.has("sex.m") else None
    return TellFish(_name(tag), sex, origin=words) if words else None


def _gone(message: Message) -> LoseFish | None:
    """ "Tag 8 was sold": a fish by its tag, and no number of larvae, price or buyer's wish."""
    how = next((how for sense, how in LOSSES if message.has(sense)), None)
    tags = message.tags
    if how is None or not tags or message.numbers or message.has(*OF_OTHERS) or message.kinds("place"):
        return None
    at, ago, _ = moment_of(message)
    return LoseFish(tags, how, at, ago)


# A tag for a fish ------------------------------------------------------------------------------------------

OF_A_RUN = re.compile(r"[fmx][1-9]\d*")
"""What the bot calls a fish without a tag."""


def tag_given(message: Message) -> GiveTag | None:
    """ "F1 is tag 8", "F1 got tag 8": a name that a run gave, and a tag of the farm's own."""
    names = message.kinds("tag", "coded")
    verb = message.has("cue.is", "brood.tagged")
    if len(names) != NAMES or message.numbers or not verb or message.has(*ASKS, "deny.word"):
        return None
    if not all(item.kind in ("tag", "coded") or _says_nothing(item) for item in message.items):
        return None
    own = [item for item in names if not OF_A_RUN.fullmatch(_name(item).casefold())]
    given = [item for item in names if item not in own]
    return GiveTag(_name(given[0]), _name(own[0])) if len(own) == 1 else None


def _says_nothing(item: Item) -> bool:
    return item.has("cue.is", "brood.tagged") or item.one_of("filler") is not None


# Weights --------------------------------------------------------------------------------------------------


def weighed(message: Message) -> list[Reading]:
    """ "For the book: tag 8 2.6 kg": weights that begin no run, of fish by their tags. Without a tag it is
    asked whether a run is meant."""
    if not message.has("brood.book") or not message.numbers:
        return []
    found = weights.weigh(message.part([item for item in message.items if not item.has("brood.book")]))
    if isinstance(found, Unclear):
        return [found]
    if not all(fish.tag and fish.kg for fish in found.fish) or not found.fish:
        return [Unclear("ambiguous_intent", (found,))]
    return [TellFish(fish.tag or "", fish.sex, species=found.species, kg=fish.kg) for fish in found.fish]


# Questions ------------------------------------------------------------------------------------------------

PLAIN = ("ask", "filler", "sex", "species", "species_word", "day", "may", "brood", "pronoun")
PLAIN_WORDS = (
    *("join.of", "join.and", "noun.fish", "cue.is", "reckon.males", "topic.next", "topic.reuse"),
    "topic.from",
    "crew.tonight",
)
"""Tables, and single words, that may stand in a question of the brood book and change nothing of it."""


def asked(message: Message) -> Question | None:
    """A card, mates, the treated fish, or the season's fish by their numbers."""
    if message.numbers or message.kinds("clock", "ago", "span", "place"):
        return None
    if _of_the_season(message):
        return questions.asked(message, "brood_season")
    if not all(map(_is_plain, message.items)):
        return None
    if message.has("brood.treated"):
        return questions.asked(message, "treated_fish")
    if message.has("brood.which_males") or (message.has("brood.pair") and _asks_for_mates(message)):
        return questions.asked(message, "mates")
    from_where = message.has("ask.where") and message.has("topic.from", "join.of", "brood.from")
    if message.tags and (message.has("brood.show") or from_where):
        return questions.asked(message, "fish_card")
    return None


def _of_the_season(message: Message) -> bool:
    return message.has("reckon.effective", "reckon.inbreeding") and message.any_of("period") == "season"


def _asks_for_mates(message: Message) -> bool:
    return bool(message.tags) or message.has("sex.m", "sex.f")


def _is_plain(item: Item) -> bool:
    return (
        item.kind in ("tag", "coded", "sign")
        or item.has(*PLAIN_WORDS)
        or any(item.one_of(table) is not None for table in PLAIN)
    )
