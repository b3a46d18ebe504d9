"""Eggs counted in a gram, seen in a nest, collected by volume."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from core.commands import Collect, EggCount, Reading, Spawned, Unclear
from core.reading.items import Item, count_of
from core.reading.message import Message
from core.reading.moments import moment_of
from core.reading.plausible import named_species

FEWEST_PER_GRAM, MOST_PER_GRAM = 100, 6000
MOST_PER_ML = 2000
MOST_BARE_LITRES = 100
MOST_SAMPLE_ML = 200
SAMPLED, LEAST_TIMES = 2, 5  # two volumes, and how much more than the sample was collected


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
    if (sampled := _with_a_sample(message, volume)) is not None:
        return [sampled]
    parts = [message.part(piece) for piece in _by_jar(message)]
    told = [_collected(part, message) for part in parts]
    if len(parts) == len(volume) == len({part.place for part in parts} - {None}):
        return told
    litres = [one.litres for one in told if isinstance(one, Collect) and one.litres]
    return [Unclear("ambiguous_intent", tuple(map(Collect, (*dict.fromkeys(litres), sum(litres)))))]


def _with_a_sample(message: Message, volume: Sequence[Item]) -> Reading | None:
    """ "4 litres of eggs, 1 ml has 38": what was collected, and a counted sample of it."""
    bare, ml = message.bare(), sorted(_millilitres(message, item) for item in volume)
    if len(volume) != SAMPLED or len(bare) != 1 or any(item.high for item in (*volume, *bare)):
        return None
    if not 0 < ml[0] <= MOST_SAMPLE_ML or ml[1] < LEAST_TIMES * ml[0]:
        return None
    per_ml = round(count_of(bare[0]) / ml[0], 3)
    at, ago, _ = moment_of(message)
    told = Collect(round(ml[1] / 1000, 6), per_ml, _jar_of(message), at=at, minutes_ago=ago)
    return told if 0 < per_ml <= MOST_PER_ML else Unclear("implausible", (replace(told, eggs_per_ml=None),))


def _millilitres(message: Message, item: Item) -> float:
    return 1000 * item.value * message.lexicon.units[item.unit].factor


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
