"""Which clauses of a message tell what: each gets a topic, neighbours of one topic become one telling."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from core.commands import Reading
from core.reading import acts, counts, eggs, moments, needle, shares, stripping, water, weights
from core.reading.items import MOST_FISH, Item, count_of
from core.reading.message import COMMA, Message, counts_fish

EGGS_FROM, EGGS_TO = 10, 1000
COOLEST, HOTTEST = 10, 40
FEW = 5
MOST_SAMPLE_G, FEWEST_IN_A_SAMPLE = 2, 50  # of eggs that are counted, not taken
PARTING = ("cue.injected", "cue.water", "cue.stripped")
FIGURES = {"num", "clock", "ago"}
CARRIES_ON = {"num", "coded", "tag", "clock", "ago", "span", "place"}


@dataclass(frozen=True, slots=True)
class Topic:
    """What a clause may tell: how it is known, and who reads it.

    `needs`: no clause tells it that has none of these marks (`items.marks_of`); empty: always looked for.
    """

    name: str
    told: Callable[[Message], bool]
    read: Callable[[Message], Sequence[Reading]]
    needs: frozenset[str] = frozenset()

    def is_told(self, clause: Message) -> bool:
        """Whether a clause tells it."""
        return not (self.needs and self.needs.isdisjoint(clause.marks)) and self.told(clause)


def one(read: Callable[[Message], Reading]) -> Callable[[Message], list[Reading]]:
    """A reader of one reading as a reader of several."""
    return lambda message: [read(message)]


def _numbers(message: Message) -> bool:
    return bool(message.numbers)


def _count(message: Message) -> bool:
    if message.has("noun.larvae") and message.bare() and not message.measured("mass"):
        return True
    if counts.none_hatched(message) or (counts.is_pair(message) and not message.has("cue.water")):
        return True
    if message.has("sex.f", "sex.m") and not message.has("cue.fertilised", "cue.hatched"):
        return False
    if message.has("cue.fertilised", "cue.hatched", "count.good", "count.bad", "cue.deformed"):
        return any(item.unit in {"", "percent"} for item in message.numbers)
    return False


def _egg_count(message: Message) -> bool:
    if not _numbers(message):
        return False
    per = message.has("cue.per_gram") or any(item.unit == "per_g" for item in message.numbers)
    return per or (message.has("noun.eggs") and bool(message.bare()) and bool(message.measured("mass")))


def _stripped(message: Message) -> bool:
    if message.context.awaiting == "spawned" and not message.amounts and not message.tags:
        return False
    owner = bool(message.tags) or message.has("cue.rest")
    both = message.has("sex.f") and message.has("sex.m") and bool(message.measured("mass"))
    if both or (message.any_of("ask") is not None and not message.numbers):
        return False
    if message.has("cue.partial", "cue.pooled") or (message.any_of("quality") and _looked_at(message, owner)):
        return True
    if message.has("cue.hatched") and not message.measured("mass"):
        return False
    if message.has("noun.bottle"):
        return False
    if message.has("weighed.dry", "weighed.wet") and any(item.unit == "g" for item in message.numbers):
        return not message.has("sex.m", "cue.scale")
    if (message.has("cue.none") and (owner or not message.has("weak.none"))) or (
        message.has("cue.not_ready") and owner
    ):
        return True
    if message.has("cue.stripped"):
        return True
    return message.has("noun.eggs") and bool(message.measured("mass"))


def _looked_at(message: Message, owner: bool) -> bool:
    """Whether a look is that of eggs: they or a female are spoken of, or were asked for."""
    if any(item.unit in {"kg", "lb"} for item in message.numbers) and not message.has("noun.eggs"):
        return False
    eggs = message.has("noun.eggs", "sex.f", "pronoun.f", "cue.stripped") or bool(message.measured("mass"))
    return owner or eggs or message.context.awaiting == "stripped"


def _eggs_run(message: Message) -> bool:
    some = bool(message.amounts)
    if some and not all(item.whole and 0 < item.value < MOST_FISH for item in message.amounts):
        return False
    owner = bool(message.tags) or message.has("pronoun.f", "sex.f", "noun.eggs", "cue.every")
    runs = message.has("cue.runs") and (owner or some) and not message.has("sex.m")
    runs = runs or (message.has("cue.run") and bool(message.tags) and not some)
    return message.has("cue.eggs_run") or (runs and not message.kinds("junk"))


def _step(message: Message) -> bool:
    """A step's own word; a single word counts only where no stranger stands beside it."""
    item = next((item for item in message.items if item.one_of("step")), None)
    if item is None or message.measured("mass"):
        back = message.has("topic.again") or message.any_of("device") is not None  # of the supply
        waited = message.any_of("step_waited") is not None and not back
        noun = message.any_of("step_noun") is not None or waited
        return noun and not message.numbers and not message.kinds("junk")
    return " " in item.raw or not message.kinds("junk")


def _water(message: Message) -> bool:
    if any(
        message.lexicon.units[item.unit].measures == "temperature" for item in message.numbers if item.unit
    ):
        return True
    if message.has("cue.water", "cue.no_thermometer"):
        return True
    if message.has("noun.water") and message.place is not None and message.bare():
        return True
    alone = not message.has("sex.f", "sex.m") and len(message.bare()) == 1 == len(message.numbers)
    number = message.numbers[0] if alone else None
    placed = message.place is not None or message.has("name.place")
    return number is not None and placed and COOLEST <= number.value < HOTTEST and not number.whole


def of_several_places(message: Message) -> bool:
    """ "Tank 1 27, tank 2 24": a reading for each place, and nothing of fish."""
    places = len(message.kinds("place"))
    each = places > 1 and places == len(message.bare()) == len(message.numbers)
    fish = message.has("sex.f", "sex.m") or message.kinds("tag", "coded", "clock", "ago")
    return each and not fish and all(COOLEST <= item.value < HOTTEST for item in message.numbers)


def _answers_of_a_run(message: Message) -> bool:
    """ "Rohu 150 of 200", "catfish 210 g": with the run it is of, the figure that was asked for."""
    amounts, awaited = message.amounts, message.context.awaiting
    if len(amounts) == 2 and not message.measured("mass") and awaited in ("fertilised", "hatched"):
        return any(item.has("join.of") or item.raw == "/" for item in message.items)
    if len(amounts) != 1 or message.kinds("junk"):
        return False
    one = amounts[0]
    if awaited == "stripped":
        return one.unit == "g"
    return awaited == "temperature" and not one.unit and COOLEST <= one.value < HOTTEST


def _weigh(message: Message) -> bool:
    if message.has("ask.how_much", "ask.how_many") and not message.numbers:
        return False
    if message.has("cue.scale"):
        return True
    owner = message.has("sex.f", "sex.m") or bool(message.kinds("coded", "tag"))
    if not owner and message.has("ask.how_much", "ask.how_many"):
        return False
    pronoun = message.has("pronoun.f", "pronoun.m") and bool(message.measured("mass"))
    fish = message.species is not None or message.any_of("species_word") is not None
    if not owner and not pronoun and fish and _answers_of_a_run(message):
        return False
    if owner and any(item.has("digits.odd") for item in message.items):
        return True
    heavy = bool(message.measured("mass"))
    if message.has("noun.fish") and heavy:
        return True
    return (owner or pronoun or fish) and (
        heavy or bool(message.bare()) or (message.has("sex.f", "sex.m") and message.tags != ())
    )


def _died(message: Message) -> bool:
    counted = any(item.has("counter.fish") for item in message.bare())
    fish = message.has("sex.f", "sex.m") or message.tags or message.has("noun.fish") or counted
    if (not fish and message.has("noun.eggs", "noun.larvae")) or message.once(shares.of_a_dose):
        return False
    return message.has("cue.died") and (bool(fish) or not _count(message))


def _injected(message: Message) -> bool:
    if message.once(shares.of_a_dose):
        return True
    if _asked_of(message):
        return False
    if message.has("cue.injected") and not message.has("noun.eggs", "cue.scale"):
        return True
    if _hormone_given(message) or _needle_denied(message) or _given_to_fish(message):
        return True
    if message.has("cue.leaked") and not message.has("noun.eggs"):
        some = message.context.open_run and not message.kinds("place") and not message.has(*shares.THINGS)
        return bool(message.tags) or message.has("sex.f", "sex.m") or some
    if any(_owns(item) and after.has("cue.stripped") for item, after in pairwise(message.items)):
        return False
    if _shot_by_number(message) or needle.needle_now(message):
        return True
    into = bool(message.tags) and message.has("cue.into", "which_weak.only")
    given = message.has("topic.given") or into
    return (
        given
        and any(item.unit in needle.AMOUNTS for item in message.numbers)
        and not message.has("step_noun.fertilise")
    )


ASKS = ("ask.when", "ask.which", "ask.where", "ask.how_many", "ask.how_much", "ask.how", "ask.how_long")


def _asked_of(message: Message) -> bool:
    """ "Who injected F2", "which hour the second shot": asked after, and nothing told of when or how much."""
    figures = message.kinds("num", "clock", "ago") or message.has("time.just_now")
    return message.has(*ASKS) and not figures


def _hormone_given(message: Message) -> bool:
    """ "Gave F2 the hormone at 8 pm": no needle is named."""
    given = message.has("topic.hormone") and message.has("cue.gave", "cue.given", "topic.given")
    others = ("noun.bottle", "cue.opened", "cue.spent", "topic.left", "cue.sold")
    return given and not message.has(*others, *OTHERS_GIVEN) and not message.measured("mass")


def _given_to_fish(message: Message) -> bool:
    """ "Sab ko 8:20 pe laga diya", "C2 được 0,8 ml": given to fish, at an hour or in millilitres."""
    others = (*OTHERS_GIVEN, "noun.bottle", "cue.opened", "cue.spent", "cue.sold", "cue.stripped", "cue.died")
    if message.has(*others) or message.any_of("step") is not None or message.measured("mass"):
        return False
    male = message.has("sex.m") or any(item.sex == "m" for item in message.items)
    amounts = message.numbers and all(item.unit == "ml" for item in message.numbers)
    if amounts and message.tags and message.has("cue.came_to") and not male:
        return True
    fish = bool(message.tags) or message.has("sex.f", "sex.m", "cue.every")
    timed = message.kinds("clock", "ago") and not message.numbers
    return bool(message.has("topic.given") and fish and timed)


def _needle_denied(message: Message) -> bool:
    """ "Forgot to inject F2", "no inyectes todavía": an act that is named and denied."""
    named = message.has("cue.inject_plan", "topic.given") and bool(message.tags)
    waits = message.has("cue.inject_plan") and message.has("deny.yet") and len(message.items) < FEW
    denied = message.has(*acts.NO_NEEDLE) and (named or waits)
    return denied and not message.has("ask.mark") and not message.kinds("num", "clock", "ago")


OTHERS_GIVEN = ("noun.eggs", "noun.larvae", "topic.task", "cue.bath", "cue.none", "step_noun.fertilise")


def _shot_by_number(message: Message) -> bool:
    """ "Final one given 19:30": which of the shots, and that it was given."""
    numbered = message.any_of("which") is not None and message.has("cue.given")
    others = message.has(*OTHERS_GIVEN) or message.any_of("agent") is not None
    return numbered and not others and not message.measured("mass", "volume")


def _owns(item: Item) -> bool:
    """A fish that may be the one that gave: "M1 gave 3 ml" is milt."""
    return item.kind in {"tag", "coded"} or any(item.one_of(table) for table in ("sex", "pronoun"))


PLANNED = ("tomorrow", "far", "either")


def _plan(message: Message) -> bool:
    if message.has("cue.stripped", "cue.injected") and not message.has("cue.will", "may.must"):
        return False
    if message.has("noun.eggs") and message.measured("mass"):
        return False
    hours = message.has("time.hence") and bool(message.kinds("span"))
    hours = hours or bool(message.kinds("clock")) or any(item.has("time.at") for item in message.bare())
    wanted = message.has("cue.strip_plan", "cue.inject_plan") and not message.has("deny.word", "cue.partial")
    return wanted and (hours or (moments.day_of(message) in PLANNED and bool(message.bare())))


def _collected(message: Message) -> bool:
    """Swollen eggs by volume: collected, or so many litres of eggs, or so many in a millilitre."""
    if not message.numbers or message.measured("mass") or message.tags:
        return False
    if message.context.awaiting in ("fertilised", "hatched") and not message.measured("volume"):
        return False
    others = (
        "cue.fertilised",
        "cue.hatched",
        "cue.injected",
        "cue.bath",
        "step_noun.fertilise",
        "noun.bottle",
    )
    if message.has(*others, "sex.f", "sex.m", "noun.larvae") or message.any_of("agent") is not None:
        return False
    if message.has("cue.collected") or message.any_of("step") == "collect-eggs":
        return True
    counted = any(item.unit == "per_ml" for item in message.numbers)
    jars = message.context.by_volume and message.place is not None
    return counted or ((message.has("noun.eggs") or jars) and bool(message.measured("volume")))


def _spawned(message: Message) -> bool:
    """Eggs seen, by their own word; "eggs in hapa 1" where fish of an open run are in one."""
    there = message.context.by_volume and message.place is not None and message.has("noun.eggs")
    if message.any_of("spawn") is not None:
        return True
    return there and not moments.moment_of(message, loose=True)[2] and not message.kinds("junk")


def _of(*marks: str) -> frozenset[str]:
    return frozenset(marks)


EGGS = _of("noun.eggs")
SPAWNINGS = EGGS | {"spawn"}
COLLECTED = EGGS | {"cue.collected", "step", "in.per_ml", "is.place"}
COUNTS = _of("is.num", "noun.larvae", "cue.hatched")
PLANS = _of("cue.strip_plan", "cue.inject_plan")
RUNNING = ("cue.runs", "cue.run", "cue.eggs_run")
STEPS = _of("step", "step_noun", "step_waited")
STRIPPED = EGGS | {
    *("cue.partial", "cue.pooled", "cue.none", "cue.not_ready", "cue.stripped"),
    *("quality", "weighed"),
}
INJECTED = _of(
    *("cue.leaked", "cue.reached", "cue.lost", "cue.injected", "cue.inject_plan", "cue.given", "cue.gave"),
    *("cue.came_to", "cue.into", "topic.given", "which_weak.only"),
)
TOPICS = (
    Topic(
        "collected", _collected, acts.unless_denied(_collected, eggs.collected, by=acts.NO_NEEDLE), COLLECTED
    ),
    Topic("died", _died, acts.unless_denied(_died, one(acts.died), by=acts.NOT_YET), _of("cue.died")),
    Topic("egg_count", _egg_count, one(eggs.egg_count), EGGS | {"cue.per_gram", "in.per_g"}),
    Topic("count", _count, counts.counted, COUNTS),
    Topic("plan", _plan, one(acts.plan), PLANS),
    Topic(
        "injected",
        _injected,
        acts.unless_denied(
            _injected, acts.unless_coming("inject", needle.injections), by=acts.NO_NEEDLE, about="injected"
        ),
        INJECTED,
    ),
    Topic(
        "stripped",
        _stripped,
        acts.unless_denied(_stripped, acts.unless_coming("strip", one(stripping.stripped))),
        STRIPPED,
    ),
    Topic("eggs_run", _eggs_run, acts.unless_denied(_eggs_run, one(acts.eggs_run)), _of(*RUNNING)),
    Topic("spawned", _spawned, one(eggs.spawned), SPAWNINGS),
    Topic("temperature", _water, water.temperature),
    Topic("weigh", _weigh, weights.told),
    Topic("step_said", _step, acts.unless_denied(_step, one(acts.step), by=acts.NO_NEEDLE), STEPS),
)
WELL = Topic("well", lambda _: False, lambda _: [])
"""What is well of some fish tells nothing, but it is not what is told of the others."""
BY_NAME = {topic.name: topic for topic in TOPICS}


@dataclass(frozen=True, slots=True)
class Telling:
    """A part of the message about one topic."""

    topic: Topic
    message: Message


def tellings(message: Message) -> list[Telling]:
    """The parts of the message, in order. Clauses of numbers alone belong to what is told before them,
    else after."""
    return message.once(_tellings)


def _tellings(message: Message) -> list[Telling]:
    labelled = _absorbed(
        [(_topic(clause), clause) for whole in message.clauses() for clause in _pieces(whole)]
    )
    if all(topic is None for topic, _ in labelled):
        return []
    labelled = [(topic or (WELL if _is_well(clause) else None), clause) for topic, clause in labelled]
    return _merged(message, _claimed(message, labelled))


def _pieces(clause: Message) -> list[Message]:
    """A clause parted before an act's word that stands between two figures, and around a temperature by its
    unit: "f 2.4 m 1.9 injected 21.40", "stripped 210 g 27 c"."""
    items = clause.items
    degrees = [item for item in clause.numbers if item.unit in {"c", "deg"}]
    if len(degrees) == 1 and len(clause.numbers) > 1 and not clause.has("cue.water", "cue.rose"):
        at = next(at for at, item in enumerate(items) if item is degrees[0])
        parts = (items[:at], items[at : at + 1], items[at + 1 :])
        return [piece for part in parts if part for piece in _pieces(clause.part(part))]
    females = _by_female(clause)
    if len(females) > 1:
        return females
    for at in range(1, len(items)):
        if not items[at].has(*PARTING):
            continue
        cut = at - 1 if _belongs_behind(items[at - 1], items[at]) else at
        before, after = items[:cut], items[at:]
        if _tells_another(before, items[at]) and any(item.kind in FIGURES for item in after):
            return [clause.part(before), *_pieces(clause.part(items[cut:]))]
    return [clause]


def _belongs_behind(item: Item, word: Item) -> bool:
    """Whether an item before an act's word is of it: "tank 1 water", "first injection", "1 shot"."""
    one = item.kind == "num" and item.whole and item.value == 1 and word.has("cue.injected_noun")
    return one or item.kind == "place" or item.one_of("which") is not None


def _tells_another(before: Sequence[Item], word: Item) -> bool:
    """Whether something else than that word's act is told before it: a figure, or an hour of another act."""
    acts_told = {sense for item in before for sense in PARTING if item.has(sense)}
    timed = any(item.kind in FIGURES for item in before)
    figured = any(item.kind == "num" and not counts_fish(before, at) for at, item in enumerate(before))
    return figured or (timed and bool(acts_told) and not word.has(*acts_told))


WAITING = ("cue.not_ready", "cue.none")


def _by_female(clause: Message) -> list[Message]:
    """A clause that says of one female that her eggs run and of another that they do not, parted."""
    trailing = bool(clause.items) and _named(clause.items[-1])
    if not clause.has(*RUNNING) or not (clause.has(*WAITING) or clause.measured("mass") or trailing):
        return []
    pieces: list[list[Item]] = [[]]
    before = None
    named = told = False
    for item in clause.items:
        owner = _named(item)
        says = item.has(*RUNNING, *WAITING) or item.kind == "num"
        before = before or ("owner" if owner else "state" if says else None)
        if (owner if before == "owner" else says) and named and told:
            pieces.append([])
            named = told = False
        named, told = named or owner, told or says
        pieces[-1].append(item)
    parts = [clause.part(piece) for piece in pieces]
    whole = all(any(_named(item) for item in part.items) for part in parts)
    return parts if whole else []


def _named(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or item.has("cue.rest")


def _absorbed(labelled: list[tuple[Topic | None, Message]]) -> list[tuple[Topic | None, Message]]:
    """Clauses that read one way alone and another beside their neighbours: tags with grams beside eggs,
    "fertilised" beside a count."""
    names = {topic.name for topic, _ in labelled if topic is not None}
    sample = any(_is_a_sample(topic, clause) for topic, clause in labelled)
    few = any(_is_a_few_grams(*one) for one in labelled) and any(clause.bare() for _, clause in labelled)
    settled: list[tuple[Topic | None, Message]] = []
    for topic, clause in labelled:
        name = topic.name if topic is not None else ""
        if _is_of_a_stripping(name, clause, names):
            settled.append((BY_NAME["stripped"], clause))
        elif name == "weigh" and "injected" in names and _names_fish_alone(clause):
            settled.append((BY_NAME["injected"], clause))
        elif sample and _tells_of_a_sample(topic, clause, few):
            settled.append((BY_NAME["egg_count"], clause))
        elif name == "step_said" and "count" in names and clause.has("cue.fertilised", "cue.hatched"):
            settled.append((BY_NAME["count"], clause))
        else:
            settled.append((topic, clause))
    return settled


def _is_of_a_stripping(name: str, clause: Message, names: set[str]) -> bool:
    """Tags with grams beside eggs or a word of stripping, and how the eggs look that were told of before."""
    if name == "weigh" and only_tagged(clause):
        named = clause.has("cue.strip_plan") and not clause.kinds("clock", "span")
        return named or bool(names & {"stripped", "eggs_run"})
    look = clause.any_of("quality") is not None and not clause.numbers and not clause.tags
    return look and name in {"", "spawned", "eggs_run"} and "stripped" in names


def _is_a_sample(topic: Topic | None, clause: Message) -> bool:
    """Grams that may be of a sample."""
    plain = topic is None and bool(clause.measured("mass")) and not clause.tags
    return plain or _is_a_few_grams(topic, clause)


def _is_a_few_grams(topic: Topic | None, clause: Message) -> bool:
    """ "Weighed 0.5 g of eggs": so few are no female's."""
    mass = clause.measured("mass")
    told = topic is None or topic.name in {"stripped", "weigh"}
    eggs = told and clause.has("noun.eggs") and not clause.tags and len(mass) == 1
    return eggs and stripping.grams(clause, mass[0]) <= MOST_SAMPLE_G


def _tells_of_a_sample(topic: Topic | None, clause: Message, few: bool) -> bool:
    """How many eggs were in the sample, or its grams beside that."""
    bare = clause.bare()
    if few and len(bare) == 1 == len(clause.numbers) and count_of(bare[0]) >= FEWEST_IN_A_SAMPLE:
        return topic is None
    return (few and _is_a_few_grams(topic, clause)) or (
        topic is None and clause.has("noun.eggs") and bool(bare)
    )


def _claimed(
    message: Message, labelled: list[tuple[Topic | None, Message]]
) -> list[tuple[Topic | None, Message]]:
    """ "F1 running, F2 and F3 tight": F2 belongs to what is told of F3, for so does F1 stand before it."""
    settled = labelled[:]
    for at in range(len(labelled) - 2, 0, -1):
        topic, clause = labelled[at]
        after, telling = settled[at + 1]
        if topic is not None or after is None or not _only_names(clause):
            continue
        near, far = (_joint(message, one) is not COMMA for one in (clause, telling))
        alike = near == far and _names_first(labelled[at - 1][1]) and _names_first(telling)
        if alike or (far and not near):
            settled[at] = (after, clause)
    return settled


def _is_well(clause: Message) -> bool:
    """ "F2 and F3 alive", beside what is told of another."""
    well = clause.has("well.said", "count.good")
    return well and all(
        _named(item) or item.has("well.said", "count.good", "cue.is") or item.one_of("filler") is not None
        for item in clause.items
    )


def _only_names(clause: Message) -> bool:
    named = any(map(_named, clause.items))
    return named and all(_named(item) or item.one_of("filler") is not None for item in clause.items)


def _names_first(clause: Message) -> bool:
    """Whether the first thing it says is whom it tells of."""
    return next((_named(item) for item in clause.items if item.one_of("filler") is None), False)


def _names_fish_alone(clause: Message) -> bool:
    """Tags, or how many fish, without a weight: "5 females and 3 males injected"."""
    if clause.measured("mass"):
        return False
    counted = [at for at, item in enumerate(clause.items) if item.kind == "num"]
    all_counted = bool(counted) and all(counts_fish(clause.items, at) for at in counted)
    return (bool(clause.tags) and not clause.amounts) or (all_counted and not clause.tags)


def only_tagged(message: Message) -> bool:
    """Tags with grams a female may give, and no word of sex or scale: a weight or eggs."""
    if message.has("sex.f", "sex.m", "cue.scale") or not message.tags or not message.numbers:
        return False
    amounts = message.amounts
    if not amounts or any(item.unit not in {"", "g"} for item in amounts):
        return False
    return all(EGGS_FROM <= count_of(item) < EGGS_TO for item in amounts)


def too_heavy_for_eggs(message: Message) -> bool:
    """Tags with more grams than a female gives: a point was lost, perhaps."""
    alone = bool(message.tags) and not message.has("sex.f", "sex.m", "cue.scale")
    amounts = message.amounts
    return alone and bool(amounts) and all(item.unit == "g" and item.value >= EGGS_TO for item in amounts)


def _topic(clause: Message) -> Topic | None:
    return next((topic for topic in TOPICS if topic.is_told(clause)), None)


def _merged(message: Message, labelled: Sequence[tuple[Topic | None, Message]]) -> list[Telling]:
    first = next(topic for topic, _ in labelled if topic not in (None, WELL))
    current = first
    grouped: list[tuple[Topic, list[Item]]] = []
    for topic, clause in labelled:
        if topic is None and not _carries_on(clause):
            continue
        current = topic or current
        if grouped and grouped[-1][0] is current:
            grouped[-1][1].extend([_joint(message, clause), *clause.items])
        else:
            grouped.append((current, list(clause.items)))
    return [Telling(topic, message.part(items)) for topic, items in grouped if topic is not WELL]


def _joint(message: Message, clause: Message) -> Item:
    """What stands before a clause: "and", else a comma."""
    at = next(at for at, item in enumerate(message.items) if item is clause.items[0])
    return message.items[at - 1] if at and message.items[at - 1].has("join.and") else COMMA


def _carries_on(clause: Message) -> bool:
    return any(
        item.kind in CARRIES_ON
        or item.has(
            "cue.not_ready",
            "cue.none",
            "cue.leaked",
            "which_weak.only",
            "cue.total",
            "cue.of_good",
            "cue.of_all",
        )
        or item.one_of("which")
        or item.one_of("pronoun")
        or item.one_of("species")
        or item.one_of("species_word")
        or item.one_of("quality")
        or item.one_of("sex")
        for item in clause.items
    )
