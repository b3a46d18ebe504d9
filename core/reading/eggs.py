"""Eggs: taken from females, counted in a gram, seen in a nest, collected by volume."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from core.commands import Collect, EggCount, EggsTold, Injection, Reading, Spawned, Strip, Unclear
from core.reading.items import Item, count_of
from core.reading.message import COMMA, Message
from core.reading.moments import moment_of
from core.reading.plausible import named_species
from core.records import Quality

MOST_GRAMS = 6000.0
FEWEST_OF_A_BOWL = 100  # grams
QUALITIES: tuple[Quality, ...] = ("blood", "watery", "whitish", "clumped", "even")  # the worst first
FEWEST_PER_GRAM, MOST_PER_GRAM = 100, 6000
MOST_PER_ML = 2000
MOST_BARE_LITRES = 100
MOST_SAMPLE_ML = 200


def stripped(message: Message) -> Reading:
    """Eggs of females, those not ready, those that gave none. No female who is named is passed over."""
    if message.has("cue.water") and message.bare():
        return Unclear("ambiguous_intent")
    pooled = message.has("cue.pooled")
    parts = [_of_clause(clause, pooled) for clause in ([message] if pooled else _by_fish(message))]
    doubt = next((part for part in parts if isinstance(part, Unclear)), None)
    if doubt is not None:
        return doubt
    if _says_something_else(message) or _is_a_weight(message.place):
        return Unclear("ambiguous_intent")
    told = [part for part in parts if isinstance(part, Strip)]
    eggs = tuple(one for part in told for one in part.eggs)
    not_ready = tuple(tag for part in told for tag in part.not_ready)
    none = tuple(tag for part in told for tag in part.none)
    told_of = {*(one.tag for one in eggs), *not_ready, *none}
    if told_of - {None} and not set(message.tags) <= told_of:
        return Unclear("ambiguous_intent")
    if not told_of and _may_be_a_needle(message):
        return _needle_or_eggs(message)
    unsaid = () if told_of else tuple(EggsTold(tag, None) for tag in message.tags or (None,))
    at, ago, _ = moment_of(message)
    return Strip(
        eggs + unsaid,
        not_ready,
        none,
        pooled or None,
        at=at,
        minutes_ago=ago,
        place=message.place,
        perhaps_not_yet=any(part.perhaps_not_yet for part in told) and not message.has("cue.none_final"),
        dry=_were_dry(message),
    )


def _says_something_else(message: Message) -> bool:
    """ "F1 soft, F2 hard": of one female something unknown is said, which is not what is said of the next."""
    clauses = [clause for clause in message.clauses() if clause.tags]
    known = ("cue.not_ready", "cue.none", "cue.stripped", "cue.partial", "cue.pooled")
    strange = [
        clause.kinds("junk")
        and not clause.numbers
        and not clause.has(*known)
        and not clause.any_of("quality")
        for clause in clauses
    ]
    return len(clauses) > 1 and any(strange)


def _is_a_weight(place: str | None) -> bool:
    """ "Eggs with bowl 450, bowl 210": no bowl has such a number."""
    number = (place or "").rpartition(" ")[2]
    return number.isdigit() and int(number) >= FEWEST_OF_A_BOWL


def _were_dry(message: Message) -> bool | None:
    """Whether the grams were told to be of dry eggs, or of eggs after water."""
    told = {dry for sense, dry in (("weighed.dry", True), ("weighed.wet", False)) if message.has(sense)}
    return told.pop() if len(told) == 1 else None


def _of_clause(clause: Message, pooled: bool) -> Strip | Unclear:
    """What is said of one female, or of those named together."""
    told = _grams(clause)
    if isinstance(told, Unclear):
        return told
    whose: tuple[str | None, ...] = clause.tags or (None,)
    if clause.has("cue.none"):
        doubtful = Unclear("ambiguous_intent", (Strip((EggsTold(whose[0], told),)),))
        perhaps = not clause.has("cue.none_final")
        return Strip(none=whose, perhaps_not_yet=perhaps) if told is None else doubtful
    if clause.has("cue.not_ready") and told is None:
        return Strip(not_ready=whose)
    partial, look = clause.has("cue.partial"), quality_of(clause)
    if told is None and not look and not partial:
        return Strip()
    if len(whose) > 1 and not pooled and told is not None:
        return Unclear("ambiguous_intent")
    if clause.has("count.bad") and not look:
        seen: tuple[Quality, ...] = ("watery", "blood", "whitish")
        return Unclear("ambiguous_intent", tuple(Strip((EggsTold(whose[0], told, each),)) for each in seen))
    owners = (None,) if pooled else whose
    return Strip(tuple(EggsTold(tag, told, look, partial or None) for tag in owners))


def _may_be_a_needle(message: Message) -> bool:
    """ "Gave female at four": her eggs, or the hormone? Where her eggs are waited for, those."""
    waited = message.context.looking or message.context.awaiting == "stripped"
    return not waited and not message.has("noun.eggs", "cue.pooled") and "gave" in message.words


def _needle_or_eggs(message: Message) -> Unclear:
    at, ago, _ = moment_of(message, loose=True)
    eggs = Strip((EggsTold(next(iter(message.tags), None), None),), at=at, minutes_ago=ago)
    return Unclear("ambiguous_intent", (eggs, Injection(at=at, minutes_ago=ago, tags=message.tags)))


def eggs_with_a_point_lost(message: Message) -> Unclear:
    """ "F3 2450 g" where grams of eggs were asked for."""
    owner = next(iter(message.tags), None)
    ways = tuple(Strip((EggsTold(owner, grams(message, item) / 10),)) for item in message.amounts[:1])
    return Unclear("implausible", ways)


def _by_fish(message: Message) -> list[Message]:
    """One piece a female: a new tag, or "the rest", begins one; where amounts come first, one a clause."""
    kinds = [item.kind for item in message.items if item.kind in {"num", "tag", "coded"}]
    if len(message.tags) > 1 and kinds[0] == "num":
        return message.clauses()
    pieces: list[list[Item]] = [[]]
    owned = told = False
    for item in message.items:
        owner = item.kind in {"tag", "coded"} or item.has("cue.rest")
        if owner and told and (owned or pieces[-1][-1:] == [COMMA]):
            pieces.append([])
            owned = told = False
        owned = owned or owner
        told = (
            told
            or item.kind == "num"
            or item.has("cue.not_ready", "cue.none")
            or bool(item.one_of("quality"))
        )
        pieces[-1].append(item)
    return [message.part(piece) for piece in pieces if piece]


def _grams(message: Message) -> float | Unclear | None:
    """The grams of one female; None where nothing was weighed."""
    numbers = [item for item in message.numbers if not item.has("time.at")]
    mass = [item for item in numbers if item.unit and message.lexicon.units[item.unit].measures == "mass"]
    chosen = mass or [item for item in numbers if not item.unit]
    if not chosen:
        return None if not numbers else Unclear("ambiguous_unit")
    beside = [item for item in numbers if not item.unit and item not in chosen]
    if len(chosen) > 1 or beside or chosen[0].high is not None or message.has("join.or"):
        return Unclear(
            "ambiguous_intent",
            tuple(
                Strip((EggsTold(next(iter(message.tags), None), grams(message, item)),))
                for item in chosen[:3]
            ),
        )
    value = grams(message, chosen[0])
    if not 0 < value <= MOST_GRAMS:
        return Unclear("implausible")
    if not chosen[0].unit and value < 5:
        return Unclear("ambiguous_unit", (Strip((EggsTold(next(iter(message.tags), None), value * 1000),)),))
    return value


def grams(message: Message, item: Item) -> float:
    """Grams of eggs a number stands for."""
    unit = message.lexicon.units.get(item.unit)
    if unit is None or item.unit == "g":
        return count_of(item)
    return round(item.value * unit.factor * 1000, 3)


def quality_of(message: Message) -> Quality | None:
    """The look of eggs that is told, the worst of several."""
    return next((quality for quality in QUALITIES if message.has(f"quality.{quality}")), None)


def egg_count(message: Message) -> Reading:
    """Eggs in a gram, scaled from the sample."""
    mass = message.measured("mass")
    counts = message.bare()
    per = [item for item in message.numbers if item.unit == "per_g"]
    if per:
        counts, mass = per, []
    if len(counts) != 1 or len(mass) > 1 or counts[0].high is not None:
        return Unclear("ambiguous_intent" if counts else "no_number")
    sample = message.lexicon.units[mass[0].unit].factor * mass[0].value * 1000 if mass else 1.0
    if sample <= 0:
        return Unclear("implausible")
    value = round(count_of(counts[0]) / sample, 3)
    if not FEWEST_PER_GRAM <= value <= MOST_PER_GRAM:
        return Unclear("implausible")
    species, word, _ = named_species(message)
    return EggCount(value, species=species, species_word=word)


def spawned(message: Message) -> Reading:
    """Eggs seen in a nest or hapa."""
    answer: Literal["yes", "no", "some"] = "yes"
    if message.has("spawn.no"):
        answer = "no"
    elif message.has("spawn.some"):
        answer = "some"
    at, ago, left = moment_of(message, dotted=True)
    told = Spawned(answer, place=message.place, at=at, minutes_ago=ago)
    if at is not None or ago is not None or len(left) != 1 or not _behind_the_word(message, left[0]):
        return told
    hour, _, _ = moment_of(message, loose=True)
    return Unclear("ambiguous_intent", (told, replace(told, at=hour)) if hour else (told,))


def _behind_the_word(message: Message, number: Item) -> bool:
    """ "Spawned 5" may be an hour; "all four spawned" and "3 of 4 have spawned" count the fish."""
    at = next((at for at, item in enumerate(message.items) if item.one_of("spawn") is not None), None)
    behind = message.items[at + 1 :] if at is not None else ()
    return any(item is number for item in behind)


def spawned_then(message: Message) -> Spawned:
    """The hour at which they spawned, where that was asked for: a bare number is one."""
    at, ago, _ = moment_of(message, loose=True)
    return Spawned("yes", place=message.place, at=at, minutes_ago=ago)


def collected(message: Message) -> list[Reading]:
    """Swollen eggs collected by volume: one telling, or one a jar where several are named."""
    volume = message.measured("volume")
    if len(volume) < 2:
        return [_collected(message, message)]
    parts = [message.part(piece) for piece in _by_jar(message)]
    told = [_collected(part, message) for part in parts]
    if len(parts) == len(volume) == len({part.place for part in parts} - {None}):
        return told
    litres = [one.litres for one in told if isinstance(one, Collect) and one.litres]
    return [Unclear("ambiguous_intent", tuple(map(Collect, (*dict.fromkeys(litres), sum(litres)))))]


def _by_jar(message: Message) -> list[list[Item]]:
    """One piece a volume: from place to place, or, where the volumes come first, from volume to volume."""
    begins = [item for item in message.items if item.kind == "place" or _is_volume(message, item)][:1]
    by_place = bool(begins) and begins[0].kind == "place"
    pieces: list[list[Item]] = [[]]
    opened = False
    for item in message.items:
        begin = item.kind == "place" if by_place else _is_volume(message, item)
        if begin and opened:
            pieces.append([])
        opened = opened or begin
        pieces[-1].append(item)
    return pieces


def _jar_of(part: Message) -> str | None:
    """Where they went: the place named last, "from hapa 2 into jar 4"."""
    return next((item.text for item in reversed(part.items) if item.kind == "place"), None)


def _is_volume(message: Message, item: Item) -> bool:
    units = message.lexicon.units
    return item.kind == "num" and bool(item.unit) and units[item.unit].measures == "volume"


def _collected(part: Message, whole: Message) -> Reading:
    """What is told of one jar; a count in a millilitre, and the hour, may stand for all of them."""
    per = [item for item in (part.numbers or whole.numbers) if item.unit == "per_ml"]
    per = per or [item for item in whole.numbers if item.unit == "per_ml"]
    per_ml = count_of(per[0]) if per else None
    if len(per) > 1 or (per_ml is not None and not 0 < per_ml <= MOST_PER_ML):
        return Unclear("implausible")
    at, ago, _ = moment_of(whole)
    volume = part.measured("volume")
    rest = [item for item in part.amounts if not item.unit]
    if (sample := _sample(part, volume, rest)) is not None:
        return sample
    if not volume:
        if per_ml is not None and not rest:
            species, word, _ = named_species(whole)
            return Collect(None, per_ml, _jar_of(part), species=species, species_word=word)
        litres = rest[0].value if len(rest) == 1 and 0 < rest[0].value <= MOST_BARE_LITRES else None
        return Unclear(
            "ambiguous_unit" if rest else "no_number", (Collect(litres, per_ml, _jar_of(part), at=at),)
        )
    factor = part.lexicon.units[volume[0].unit].factor
    if not factor or rest:
        return Unclear("ambiguous_unit", (Collect(None, per_ml, _jar_of(part)),))
    if volume[0].high is not None:
        ends = (volume[0].value, volume[0].high)
        return Unclear(
            "ambiguous_intent", tuple(Collect(end * factor, per_ml, _jar_of(part)) for end in ends)
        )
    return Collect(round(volume[0].value * factor, 6), per_ml, _jar_of(part), at=at, minutes_ago=ago)


def _sample(part: Message, volume: Sequence[Item], rest: Sequence[Item]) -> Reading | None:
    """ "1 ml is 180 eggs": a counted sample, no eggs collected. More eggs in it than there can be: asked."""
    if len(volume) != 1 or len(rest) != 1 or part.has("cue.collected") or volume[0].high or rest[0].high:
        return None
    factor = part.lexicon.units[volume[0].unit].factor
    ml = volume[0].value * factor * 1000 if factor else 0.0
    if not 0 < ml <= MOST_SAMPLE_ML or not part.has("noun.eggs") or part.has("noun.larvae"):
        return None
    per_ml = round(count_of(rest[0]) / ml, 3)
    if not 0 < per_ml <= MOST_PER_ML:
        return Unclear("implausible")
    species, word, _ = named_species(part)
    return Collect(None, per_ml, species=species, species_word=word)
