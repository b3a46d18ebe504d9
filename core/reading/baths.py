"""Baths: what is in them, how strong, how much water, for whom."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, cast

from core.commands import Bath, BathOn, BathUse, Reading, Unclear
from core.reading import scoops
from core.reading.items import Item
from core.reading.message import Message
from core.reading.stuffs import BOTTLED, stuff_named

Purpose = Literal["iodine", "anaesthetic", "salt"]
LEAST_ON_A_LABEL = 1.0
HOW = ("ask.what", "ask.how_long", "ask.how", "topic.dose")
LIQUIDS = (*BOTTLED, "clove-oil")
INSIDE = ("bathing.inside", "bathing.limp")
OIL_AT_MOST = 100.0
"""mg/L: clove of such a strength can only be the oil; more may be grams of seed extract, and is asked."""


def is_told(message: Message) -> bool:
    """Its own word, agent or use, with water, a strength, an amount, or "how much" of it."""
    if message.has("cue.fertilised", "cue.hatched") or _asks_for_milt(message):
        return False
    if message.context.awaiting == "bath" and _answers(message):
        return True
    named, used = _named(message), message.any_of("use") is not None
    if not (named or used or message.has("cue.bath") or message.any_of("purpose") is not None):
        return _asleep(message)
    if message.measured("volume", "concentration", "share", "per litre") or (named and _ratio(message)):
        return not used or named or message.has("cue.bath", "cue.mix", "ask.how_much", "noun.liquid")
    return _lying(message) or _asked(message) or _alone(message)


def _answers(message: Message) -> bool:
    """Of what, for whom or for what use, and nothing else."""
    tables = ("agent", "on", "use", "species", "species_word")
    return _alone(message) and any(message.any_of(table) is not None for table in tables)


def _asked(message: Message) -> bool:
    """How much of it, how strong, how long; or its word with a bare number."""
    named, used = _named(message), message.any_of("use") is not None
    if (named or used) and message.has("cue.bath", "cue.mix", "ask.how_much", "ask.how_many", "noun.liquid"):
        return True
    if (named or message.any_of("purpose") is not None) and message.has(*HOW):
        return True
    return bool(message.bare()) and message.has("cue.bath")


def _lying(message: Message) -> bool:
    """Fish lie in it, or it was said how long."""
    return _named(message) and (message.has(*INSIDE) or _minutes(message) is not None)


def _asleep(message: Message) -> bool:
    """Fish that were put to sleep and do not come round, whatever it was done with."""
    fish = message.has("noun.fish", "on.fish", "sex.f", "sex.m", "pronoun.f", "pronoun.m") or bool(
        message.tags
    )
    wrong = message.has(*INSIDE, "topic.still") or _minutes(message) is not None
    return fish and (message.has("bathing.limp") or (message.has("bathing.asleep") and wrong))


def _asks_for_milt(message: Message) -> bool:
    """ "How much saline for the milt": how far milt is thinned, and no liquid of so many litres."""
    of_milt = stuff_named(message) == "saline" and message.has("step_noun.fertilise", "bathing.milt")
    return of_milt and not message.measured("volume", "concentration", "share") and not message.has("cue.mix")


def _alone(message: Message) -> bool:
    """An agent, a use or the word of a bath, and nothing else."""
    tables = ("agent", "on", "purpose", "filler", "use", "species", "species_word", "bathing")
    known = (
        "cue.bath",
        "ask.mark",
        "cue.mix",
        "noun.liquid",
        "noun.gland",
        "step_noun.fertilise",
        "noun.bottle",
    )
    bare_use = message.any_of("use") is not None and not message.has("noun.liquid", "cue.mix")
    if bare_use and not _named(message) and message.context.awaiting != "bath":
        return False
    return all(
        item.has(*known) or item.kind == "sign" or any(item.one_of(table) for table in tables)
        for item in message.items
    )


def _named(message: Message) -> bool:
    return message.any_of("agent") is not None


def bath(message: Message) -> Reading:
    """A bath that is to be mixed, or that fish lie in."""
    if any(item.unit == "gallon" for item in message.numbers):
        return _of_either_gallon(message)
    figures = _figures(message)
    if isinstance(figures, Unclear):
        return figures
    agent = _agent(message, figures.ppm)
    percent, ppm = _percent_or_ppm(message, agent, figures)
    if percent is not None and not 0 < percent <= 100:
        return Unclear("implausible")
    told = Bath(
        purpose=_purpose(message, agent),
        litres=figures.litres,
        ppm=ppm,
        agent=agent,
        on=_on(message),
        use=_use(message, agent),
        species=message.species,
        species_word=_species_word(message),
        percent=percent,
        minutes=_minutes(message),
        grams=figures.grams,
        ml=figures.ml,
        inside=message.has(*INSIDE) or _asleep(message),
        limp=message.has("bathing.limp"),
        scoops=figures.scoops,
        scoop=scoops.named(message),
    )
    return told if message.context.awaiting == "bath" else scoops.bottle(told)


def _of_either_gallon(message: Message) -> Reading:
    """Gallons of which nobody knows the kind: a bath with each."""
    kinds = ("gal_us", "gal_imp")
    ways = [bath(message.part([_of_kind(item, kind) for item in message.items])) for kind in kinds]
    told = tuple(way for way in ways if isinstance(way, Bath))
    return Unclear("ambiguous_unit", told) if told else ways[0]


def _of_kind(item: Item, gallon: str) -> Item:
    return item._replace(unit=gallon) if item.unit == "gallon" else item


# Figures --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Figures:
    """Litres of water, strength in mg/L, percent as told, and what is put in."""

    litres: float | None = None
    ppm: float | None = None
    percents: tuple[float, ...] = ()
    grams: float | None = None
    ml: float | None = None
    scoops: float | None = None


def _figures(message: Message) -> _Figures | Unclear:
    scooped = scoops.counted(message)
    volume = [item for item in message.measured("volume") if not any(item is one for one in scooped)]
    mass, strength = message.measured("mass", "little"), message.measured("concentration")
    shares, per_litre = message.measured("share"), message.measured("per litre")
    units = message.lexicon.units
    if any(not units[item.unit].factor for item in [*volume, *mass]):
        return Unclear("ambiguous_unit")
    water, put_in = _water_and_stuff(message, volume)
    one_each = [water, strength, mass, scooped, per_litre]
    if any(len(each) > 1 or any(item.high is not None for item in each) for each in [*one_each, shares]):
        return Unclear("ambiguous_intent")
    litres, ppm = (_in_units(message, each[0]) if each else None for each in (water, strength))
    bare = _bare(message, litres, ppm)
    if isinstance(bare, Unclear):
        return bare
    grams = _grams(message, mass[0]) if mass else None
    ml = _in_units(message, put_in) * 1000 if put_in is not None else None
    told = _Figures(
        litres if litres is not None else bare.litres,
        round(ppm, 6) if ppm is not None else bare.ppm,
        tuple(item.value for item in shares),
        grams,
        ml,
        scooped[0].value if scooped else None,
    )
    figures = _by_the_litre(message, told, per_litre[0].value if per_litre else _ratio(message))
    counted = (figures.litres, figures.ppm, figures.grams, figures.ml, figures.scoops)
    return Unclear("implausible") if any(each is not None and each <= 0 for each in counted) else figures


def _bare(message: Message, litres: float | None, ppm: float | None) -> _Figures | Unclear:
    """A number without a unit: litres, where they were asked for; mg/L, where the unit stands before it."""
    bare = message.bare()
    if not bare:
        return _Figures()
    if len(bare) == 1 and ppm is None and message.has("unit.mg_per_l"):
        return _Figures(ppm=bare[0].value)
    if len(bare) > 1 or litres is not None or message.context.awaiting != "bath":
        return Unclear("ambiguous_unit")
    return _Figures(litres=bare[0].value)


def _by_the_litre(message: Message, told: _Figures, ml_per_l: float | None) -> _Figures:
    """ "5 g salt per litre", "10 ml in each litre", "25 ml per m3", "1:100": so much in every litre."""
    litres_each = _each(message)
    if told.grams is not None and litres_each is not None:
        return replace(told, grams=None, ppm=round(told.grams * 1000 / litres_each, 6))
    if ml_per_l is None:
        if told.ml is None or litres_each is None:
            return told
        ml_per_l = told.ml / litres_each
    litres = told.litres if told.litres is not None else litres_each or 1.0
    return replace(told, litres=litres, ml=round(ml_per_l * litres, 6))


PER = {"per.litre": 1.0, "per.m3": 1000.0}
"""Litres of what a thing is told to be put in each."""
UNITS_OF_WATER = {"unit.l": 1.0, "unit.m3": 1000.0}
PER_WORDS = ("op.each", "op.per", "cue.into")


def _each(message: Message) -> float | None:
    """The litres of which each gets so much: a litre or a m3 that is named without a number, behind "per",
    "each" or "in"."""
    told = [litres for sense, litres in PER.items() if message.has(sense)]
    pairs = zip(message.items, message.items[1:], strict=False)
    units = [then for first, then in pairs if first.has(*PER_WORDS) and then.kind == "word"]
    told += [litres for then in units for sense, litres in UNITS_OF_WATER.items() if then.has(sense)]
    return told[-1] if told else None


def _ratio(message: Message) -> float | None:
    """mL of the stuff in a litre of bath, of "1:100"."""
    parts = [item.raw.partition(":") for item in message.items if item.has("digits.odd")]
    made = [float(whole) for one, colon, whole in parts if one == "1" and colon and whole.isdigit()]
    return 1000 / made[0] if len(made) == 1 and made[0] else None


def _in_units(message: Message, item: Item) -> float:
    return item.value * message.lexicon.units[item.unit].factor


def _grams(message: Message, item: Item) -> float:
    """A mass in g, whether it was told in kilos or in milligrams."""
    unit = message.lexicon.units[item.unit]
    return item.value * unit.factor * (1000 if unit.measures == "mass" else 0.001)


def _water_and_stuff(message: Message, volume: list[Item]) -> tuple[list[Item], Item | None]:
    """ "5 ml clove oil in 20 litres": the mL beside a stuff, and the water it goes into."""
    if len(volume) == 1 and volume[0].unit == "ml" and _named(message):
        return ([], volume[0]) if _each(message) is not None or _is_put_in(message) else (volume, None)
    if len(volume) != 2:
        return volume, None
    small, large = sorted(volume, key=lambda item: _in_units(message, item))
    if small.unit == "ml" and large.unit != "ml" and _named(message):
        return [large], small
    return volume, None


def _is_put_in(message: Message) -> bool:
    """ "Formalin 25 ml": so few mL of what comes in bottles are no water."""
    return stuff_named(message) in LIQUIDS and not message.has("noun.water", "ask.how_much", "ask.how_many")


def _percent_or_ppm(
    message: Message, agent: str | None, figures: _Figures
) -> tuple[float | None, float | None]:
    """A percent is the label's of what comes in bottles, else a strength of the bath."""
    label: float | None = None
    ppm = figures.ppm
    for percent in figures.percents:
        bottled = agent in BOTTLED and (percent >= LEAST_ON_A_LABEL or message.has("noun.bottle"))
        waited = agent is None and message.context.awaiting == "bath" and percent >= LEAST_ON_A_LABEL
        if bottled or waited or not 0 < percent <= 100:
            label = percent
        elif ppm is None:
            ppm = round(percent * 10_000, 6)
    return label, ppm


def _minutes(message: Message) -> float | None:
    """How long: "10 min", as a time of its own or as a bare measure."""
    spans = [item.value for item in message.kinds("span")]
    measured = [_in_units(message, item) for item in message.measured("time")]
    told = [*spans, *measured, *(item.value for item in message.kinds("ago"))]
    return told[0] if len(told) == 1 else None


# Words ----------------------------------------------------------------------------------------------------


def _agent(message: Message, ppm: float | None) -> str | None:
    """Clove so weak can only be the oil."""
    stuff = stuff_named(message)
    return "clove-oil" if stuff == "clove" and ppm is not None and ppm <= OIL_AT_MOST else stuff


def _purpose(message: Message, agent: str | None) -> Purpose | None:
    named = message.lexicon.purposes.get(agent or "") or message.any_of("purpose")
    if named is None and agent is None and _asleep(message):
        return "anaesthetic"
    return cast(Purpose | None, named if named in {"iodine", "anaesthetic", "salt"} else None)


def _on(message: Message) -> BathOn | None:
    """Whom it is for; larvae before eggs, since what eggs bear kills larvae."""
    if message.has("noun.larvae", "stage.feeding", "stage.hatched"):
        return "larvae"
    named = {key for item in message.items if (key := item.one_of("on")) is not None}
    return cast(BathOn | None, next((on for on in ("tools", "eggs", "fish") if on in named), None))


def _use(message: Message, agent: str | None) -> BathUse | None:
    named = message.any_of("use")
    if named is not None:
        return cast(BathUse, named.replace("_", "-"))
    if agent != "saline":
        return None
    if message.has("noun.gland", "preparation.pituitary"):
        return "glands"
    return "milt" if message.has("step_noun.fertilise", "bathing.milt") else None


def _species_word(message: Message) -> str | None:
    """A word that fits several species, or one nobody has a card of."""
    named = (item.text for item in message.items if item.one_of("species_word") is not None)
    return None if message.species else next(named, None)
