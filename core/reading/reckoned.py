"""What is asked with its numbers: jars for eggs, milt for grams, brood fish; a male that was cut.

None of it tells of fish on a scale. Where a number may be something else nothing is read here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.commands import AskBrood, AskMilt, AskVessels, BroodTopic, MaleCut, Reading, VesselsTopic
from core.reading import questions
from core.reading.items import Item, count_of
from core.reading.message import Message
from core.reading.moments import moment_of
from core.reading.plausible import named_species
from core.reading.stripping import grams

ASKING = ("ask.how_many", "ask.how_much", "ask.what", "ask.which", "ask.how", "ask.mark")
OTHERS = (
    "sex.f",
    "cue.injected",
    "cue.inject_plan",
    "cue.bath",
    "noun.larvae",
    "cue.collected",
    "noun.bottle",
)
FEWEST_EGGS, MOST_JARS = 1000, 1000
SEXES = ("f", "m")
BROOD_TABLES = ("ask", "filler", "sex", "reckon", "species", "species_word")
NOT_CUT = (
    *("ask.mark", "may.ask", "deny.word", "cue.will", "sex.f", "noun.eggs", "cue.stripped", "cue.eggs_run"),
    *("step_noun.fertilise", "cue.injected", "cue.scale"),
)


def asked(message: Message) -> Reading | None:
    """A question of the way from the bowl to the jar, with the eggs, litres or grams it names."""
    if not message.has(*ASKING) or message.has(*OTHERS) or message.tags:
        return None
    return _in_a_gram(message) or _milt(message) or _vessels(message)


def _in_a_gram(message: Message) -> Reading | None:
    """ "How many eggs in 1 gram?": the gram was asked with, and none was weighed."""
    gram = [item for item in message.measured("mass") if grams(message, item) == 1]
    if not message.has("ask.how_many", "ask.how_much"):
        return None
    plain = len(gram) == 1 == len(message.numbers) and message.has("noun.eggs")
    per_gram = message.has("cue.per_gram", "unit.per_g") and not message.numbers
    return questions.asked(message, "egg_count") if plain or per_gram else None


def brood(message: Message) -> AskBrood | None:
    """ "Effective number of 20 females 5 males", "inbreeding after 5 generations of 10 f 10 m", "how many
    males for 12 females?", "is 3 males enough?": whole numbers, and no weight among them."""
    what = _of_brood(message)
    if what is None or not all(item.whole and not item.unit for item in message.numbers):
        return None
    told = _numbers(message)
    if told is None or message.tags or message.kinds("clock", "ago"):
        return None
    species, word, _ = named_species(message)
    return AskBrood(
        what,
        females=told.females,
        males=told.males,
        generations=told.generations,
        effectives=told.others,
        species=species,
        species_word=word,
    )


def _of_brood(message: Message) -> BroodTopic | None:
    if message.has("reckon.inbreeding"):
        return "inbreeding"
    if message.has("reckon.effective"):
        return "effective"
    if not message.has("sex.m") or not all(_is_of_brood(item) for item in message.items):
        return None
    both = message.has("sex.f") and len(message.numbers) == len(SEXES)
    if message.context.awaiting == "brood_numbers" and both:
        return "effective"
    if not message.has("reckon.males"):
        return None
    if message.has("ask.how_many"):
        return "males"
    opens = message.items[0].has("may.ask", "cue.is")
    return "enough" if message.has("topic.left") and (opens or message.has("ask.mark")) else None


def _is_of_brood(item: Item) -> bool:
    """Whether an item can stand in a question of how many males: nothing else may be in it."""
    return (
        item.kind in {"num", "sign"}
        or item.has("may.ask", "cue.is", "topic.left", "join.of", "join.and", "noun.fish")
        or any(item.one_of(table) is not None for table in BROOD_TABLES)
    )


@dataclass(slots=True)
class _Told:
    females: float | None = None
    males: float | None = None
    generations: float | None = None
    others: tuple[float, ...] = ()


def _numbers(message: Message) -> _Told | None:
    """Each number with the word it belongs to: behind it, or before it where the words come first. `None`
    where one word has two numbers."""
    parts = [(item, _belongs(item)) for item in message.items if item.kind == "num" or _belongs(item)]
    if parts and parts[0][1] and _before_a_number(message, parts[0][0]):
        parts.reverse()
    told = _Told()
    for place, (item, _) in enumerate(parts):
        if item.kind != "num":
            continue
        name = parts[place + 1][1] if place + 1 < len(parts) else ""
        if not name:
            told.others = (*told.others, item.value)
        elif getattr(told, name) is not None:
            return None
        else:
            setattr(told, name, item.value)
    return told


def _belongs(item: Item) -> str:
    """What a number beside this word counts; "" where the word counts nothing."""
    names = {"sex.f": "females", "sex.m": "males", "reckon.generation": "generations"}
    return next((name for sense, name in names.items() if item.has(sense)), "")


def _before_a_number(message: Message, word: Item) -> bool:
    """Whether the words come first: "females 20 males 5"."""
    at = next(place for place, item in enumerate(message.items) if item is word)
    return at + 1 < len(message.items) and message.items[at + 1].kind == "num"


def _vessels(message: Message) -> AskVessels | None:
    """ "How many jars for 3 litres?", "what flow for 4 jars?", "how many eggs on a tray?"."""
    about, numbers = _about(message), message.numbers
    if about is None or len(numbers) > 1:
        return None
    species, word, _ = named_species(message)
    asked = AskVessels(about, species=species, species_word=word)
    if not numbers:
        return asked
    (number,) = numbers
    if number.high is not None:
        return None
    if number in message.measured("volume"):
        factor = message.lexicon.units[number.unit].factor
        return replace(asked, litres=round(number.value * factor, 6)) if factor else None
    if number in message.measured("mass"):
        of_eggs = about == "jars" or message.has("noun.eggs")
        return replace(asked, grams=grams(message, number)) if of_eggs else None
    if number.unit:
        return None
    if _before(message, number, "reckon.jars"):
        return replace(asked, jars=number.value) if number.whole and number.value < MOST_JARS else None
    count = count_of(number)
    return replace(asked, eggs=count) if message.has("noun.eggs") or count >= FEWEST_EGGS else None


def _before(message: Message, number: Item, sense: str) -> bool:
    """Whether the word behind a number has that sense."""
    at = next(place for place, item in enumerate(message.items) if item is number)
    return at + 1 < len(message.items) and message.items[at + 1].has(sense)


def _about(message: Message) -> VesselsTopic | None:
    jars = message.has("reckon.jars") or any(item.kind == "place" for item in message.items)
    if message.has("reckon.flow") and not message.has("fault.down"):
        return "flow"
    if jars and message.has("ask.how_much") and message.has("cue.water", "noun.water"):
        return "flow"
    if message.has("reckon.jars") and message.has("ask.how_many"):
        return "jars"
    per = message.has("noun.eggs") and message.has("ask.how_many", "ask.how_much")
    return "spread" if per and message.has("reckon.spread") else None


def _milt(message: Message) -> AskMilt | None:
    """ "How much milt for 300 g?", "how do I thin the milt?"."""
    if not message.has("reckon.milt", "step_noun.fertilise"):
        return None
    thinned = message.has("reckon.thin", "reckon.saline")
    mass = message.measured("mass")
    if len(mass) != len(message.numbers) or len(mass) > 1 or (mass and mass[0].high is not None):
        return None
    if not (thinned or message.has("ask.how_much", "ask.how_many")):
        return None
    species, word, _ = named_species(message)
    weighed = grams(message, mass[0]) if mass else None
    return AskMilt(weighed, thinned, species=species, species_word=word)


def male_cut(message: Message) -> MaleCut | None:
    """ "Cut the male", "M1 cut at 5.40": told, neither asked nor planned, and of no female."""
    if message.has(*NOT_CUT) or message.any_of("step") is not None:
        return None
    if any(not item.unit for item in message.amounts):
        return None
    named = [tag for tag in message.tags if tag[:1].upper() != "M"]
    own = not message.has("cue.died") and not any(tag[:1].upper() in "FX" for tag in named)
    of_male = message.has("cut.word") and (own or not named)
    if not message.has("cut.male") and not (of_male and (message.tags or message.has("sex.m"))):
        return None
    at, ago, _ = moment_of(message)
    return MaleCut(message.tags, at, ago)
