"""From what was told to what is to be mixed, or to why nothing is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from core.baths import stocks
from core.baths.iodine import iodine, stock_ml
from core.baths.mix import Amount, Asked, Choice, Mix, Verdict, per_l
from core.baths.shelf import Limit, Liquid, Part, Shelf
from core.errors import HatchError
from core.records import Mark
from core.species import Figure, weakest
from core.units import chain, positive, round_to

GRAM_STEP = 0.1
SMALL_STEP = 0.01
SMALL = 10.0
"""Amounts below this, in g or mL, are told to the hundredth: so little is weighed on a fine scale."""
FAMILIES = {"clove": ("clove-oil", "clove-extract")}
"""One word for several stuffs, which must not be taken for one another."""
ANYBODY = "anybody"
"""Stands for the species where none was told."""
SAME_STRENGTH = 0.02
"""A told strength this near to a figure, as a share of it, is that figure."""


def salt_g(litres: float, mg_per_l: float) -> float:
    """g of salt for `litres` at `mg_per_l`, to 0.1 g; raises `HatchError("not-positive", value, unit)`."""
    return round_to(_grams(litres, mg_per_l), GRAM_STEP)


def mix(asked: Asked, shelf: Shelf) -> Mix:
    """What to mix for a bath, or why not. An agent without a figure gives no amounts, and `no-figure`.

    Raises `HatchError("not-positive", value, unit)` for litres, ppm, grams or mL that are none, and
    `HatchError("bad-strength", percent)` for a label that cannot be.
    """
    told = ((asked.litres, "L"), (asked.ppm, "mg/L"), (asked.grams, "g"), (asked.ml, "mL"))
    for value, unit in told:
        if value is not None:
            positive(value, unit)
    if asked.percent is not None and not 0 < asked.percent <= 100:
        raise HatchError("bad-strength", percent=asked.percent)
    if (asked.agent or asked.purpose) == "iodine":
        return iodine(asked, shelf)
    named = _named(asked, shelf)
    return _of_shelf(asked, shelf, named) if named or asked.agent == "salt" else _unknown(asked)


def _named(asked: Asked, shelf: Shelf) -> list[Liquid]:
    """By its stuff, where that was told; else by what it is for, the first that fits the species."""
    if asked.agent is not None:
        stuffs = FAMILIES.get(asked.agent, (asked.agent,))
        return [each for each in shelf.liquids if each.agent in stuffs]
    if asked.use is not None:
        of_use = [each for each in shelf.liquids if each.use == asked.use]
        return [each for each in of_use if set(each.species) & set(asked.species)][:1] or of_use[:1]
    return [each for each in shelf.liquids if asked.purpose is not None and each.purpose == asked.purpose]


def _of_shelf(asked: Asked, shelf: Shelf, named: Sequence[Liquid]) -> Mix:
    asked = _with_strength_put_in(asked, shelf, named)
    fitting = _fitting(asked, named)
    if len(fitting) > 1 and asked.inside and all(each.purpose == "anaesthetic" for each in fitting):
        return replace(_bare(asked), verdict="out-now")
    if len(fitting) > 1:
        return _which(asked, fitting)
    if not fitting:
        return _as_told(asked, shelf) if asked.agent == "salt" else _elsewhere(asked, named)
    return _judged(asked, shelf, fitting[0])


def _fitting(asked: Asked, named: Sequence[Liquid]) -> list[Liquid]:
    """The liquids that the words fit: by use, by whom for, by species, and, of several, by the strength."""
    found = [each for each in named if asked.use is None or each.use in (None, asked.use)]
    found = [each for each in found if asked.on == each.on or asked.on is None or each.on is None]
    if asked.agent == "salt" and asked.on is None:
        return []
    of_species = [each for each in found if set(each.species) & set(asked.species)]
    others = [each for each in found if not each.species] if asked.species else found
    found = of_species or others or found
    if asked.agent in FAMILIES:
        return found
    by_strength = [each for each in found if asked.ppm is not None and _within(asked.ppm, each.strength)]
    return by_strength if len(by_strength) == 1 else found


def _within(mg_per_l: float, figure: Figure) -> bool:
    return figure.low * (1 - SAME_STRENGTH) <= mg_per_l <= figure.high * (1 + SAME_STRENGTH)


def _with_strength_put_in(asked: Asked, shelf: Shelf, named: Sequence[Liquid]) -> Asked:
    """Grams or mL that were put into so many litres tell the strength."""
    if asked.ppm is not None or asked.litres is None:
        return asked
    agent = asked.agent or named[0].agent
    if asked.grams is not None:
        return replace(asked, ppm=float(f"{asked.grams * 1000 / asked.litres:.4g}"))
    bottle = stocks.held(shelf, agent, asked.percent) if asked.ml is not None else None
    if bottle is None or asked.ml is None:
        return asked
    return replace(asked, ppm=float(f"{asked.ml * bottle.mg_per_ml / asked.litres:.4g}"))


def _which(asked: Asked, fitting: Sequence[Liquid]) -> Mix:
    """Several liquids of the same stuff: which of them is asked, and nothing is mixed."""
    choices = tuple(Choice(each.id, each.agent, each.use, each.on) for each in fitting)
    return replace(_bare(asked), verdict="ask", warnings=("which-liquid",), choices=choices)


# One liquid -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Case:
    """One liquid, as it was asked for, with the strength that counts."""

    asked: Asked
    shelf: Shelf
    liquid: Liquid
    target: float | None
    foreign: bool

    @property
    def agent(self) -> str:
        return self.liquid.agent


def _judged(asked: Asked, shelf: Shelf, liquid: Liquid) -> Mix:
    foreign = bool(liquid.species) and bool(asked.species) and not set(liquid.species) & set(asked.species)
    usual = None if foreign and liquid.elsewhere != "tell" else liquid.strength.usual
    case = _Case(asked, shelf, liquid, asked.ppm if asked.ppm is not None else usual, foreign)
    killed = _killed(case)
    verdict = _verdict(case, killed)
    told = _told(case, verdict)
    if killed is not None and verdict in ("kills", "too-strong", "out-now"):
        told = _with_limit(told, killed)
    return _mixed(case, told) if verdict == "mix" else told


def _verdict(case: _Case, killed: Limit | None) -> Verdict:
    target, figure, liquid = case.target, case.liquid.strength, case.liquid
    if liquid.purpose == "anaesthetic" and _must_come_out(case):
        return "out-now"
    if target is not None and killed is not None and target >= killed.strength.low:
        return "kills"
    if case.foreign and liquid.elsewhere == "refuse":
        return "other-species"
    if target is None or _within(target, figure) or case.asked.ppm is None:
        return "mix"
    if len(liquid.parts) > 1 and liquid.use is not None:
        return "wrong-jar"
    return "too-strong" if target > figure.high else "mix"


def _must_come_out(case: _Case) -> bool:
    """Fish lie in it now, and do not wake, or it is too strong or too long, or nobody knows otherwise."""
    asked, most = case.asked, case.liquid.minutes
    if asked.limp:
        return True
    strong = asked.ppm is not None and asked.ppm > case.liquid.strength.high
    long = asked.minutes is not None and most is not None and asked.minutes > most.high
    if asked.inside:
        return strong or long or asked.ppm is None or asked.minutes is None
    return asked.minutes is not None and asked.litres is None and (strong or long)


def _killed(case: _Case) -> Limit | None:
    """What is known to have killed: of the species told, else of any."""
    on = case.asked.on or case.liquid.on
    found = [each for each in case.shelf.limits if each.agent == case.agent and each.on == on]
    own = [each for each in found if each.species in case.asked.species]
    return next(iter([*own, *found]), None)


def _with_limit(told: Mix, limit: Limit) -> Mix:
    minutes = limit.minutes.high if limit.minutes is not None else None
    return replace(
        told,
        limit=limit.code,
        limit_mg_per_l=limit.strength.low,
        limit_minutes=minutes,
        limit_species=limit.species,
        basis=tuple(dict.fromkeys((*told.basis, *limit.strength.sources))),
        mark=weakest((told.mark, limit.strength.mark)),
    )


def _told(case: _Case, verdict: Verdict) -> Mix:
    """What is known of the liquid, without amounts."""
    asked, liquid = case.asked, case.liquid
    figures = [liquid.strength, *([liquid.minutes] if liquid.minutes is not None else [])]
    lasts = liquid.minutes is not None and verdict == "mix"
    return Mix(
        purpose=liquid.purpose or asked.purpose,
        agent=liquid.agent,
        on=asked.on or liquid.on,
        litres=asked.litres,
        target_mg_per_l=asked.ppm if verdict == "out-now" else case.target,
        minutes=round(liquid.minutes.usual_or_high) if lasts and liquid.minutes is not None else None,
        warnings=_warnings(case) if verdict == "mix" else (),
        at_most=lasts and liquid.minutes is not None and liquid.minutes.usual is None,
        basis=tuple(dict.fromkeys(source for figure in figures for source in figure.sources)),
        mark=weakest(figure.mark for figure in figures),
        verdict=verdict,
        liquid=liquid.id,
        use=liquid.use,
        species=asked.species[0] if len(asked.species) == 1 else None,
        reported_low=liquid.strength.low,
        reported_high=liquid.strength.high,
        known_for=liquid.species,
    )


def _warnings(case: _Case) -> tuple[str, ...]:
    target, figure = case.target, case.liquid.strength
    weak = target is not None and case.asked.ppm is not None and target < figure.low * (1 - SAME_STRENGTH)
    asked, most = case.asked, case.liquid.minutes
    borne = set(case.liquid.species or (*asked.species, ANYBODY))
    too_long = asked.minutes is not None and most is not None and asked.minutes > most.high
    said = {
        "litres-not-told": asked.litres is None,
        "strength-not-told": target is None,
        "other-species": case.foreign,
        "species-not-told": not case.foreign and not set(asked.species or (ANYBODY,)) <= borne,
        "weaker-than-reported": weak,
        "too-long": too_long,
    }
    missing = tuple(code for code, applies in said.items() if applies)
    return missing if target is None else (*missing, *case.liquid.warnings)


def _mixed(case: _Case, told: Mix) -> Mix:
    """The same with what to put in, where all that it needs is known."""
    if case.target is None:
        return told
    ratio = case.target / _usual(case.liquid.parts[0])
    bottle = stocks.held(case.shelf, case.agent, case.asked.percent)
    in_bottle = stocks.comes_in_bottles(case.shelf, case.agent)
    if in_bottle and bottle is None:
        code = "bottle-not-told" if case.asked.percent is None else "bottle-unknown"
        others = tuple(each for each in told.warnings if each not in case.liquid.warnings)
        return replace(told, warnings=(*others, code), stock_percent=case.asked.percent)
    per_ml = bottle.mg_per_ml if bottle is not None else None
    amounts = [_amount(case, part, _usual(part) * ratio, per_ml) for part in case.liquid.parts]
    first = amounts[0]
    more = [part.strength for part in case.liquid.parts[1:]]
    marks = [told.mark, *(each.mark for each in more), *([bottle.mark] if bottle is not None else [])]
    sources = [*told.basis, *(source for each in more for source in each.sources)]
    return replace(
        told,
        stock_ml=first.ml,
        powder_g=first.grams,
        parts=tuple(amounts),
        stock_percent=case.asked.percent,
        stock_mg_per_ml=per_ml,
        basis=tuple(dict.fromkeys([*sources, *(bottle.sources if bottle is not None else ())])),
        mark=_own(case, weakest(marks)),
    )


def _own(case: _Case, mark: Mark) -> Mark:
    """A strength that the farm told is the farm's own."""
    return "the farm's own" if case.asked.ppm is not None else mark


def _usual(part: Part) -> float:
    return part.strength.usual_or_middle


def _amount(case: _Case, part: Part, mg_per_l: float, per_ml: float | None) -> Amount:
    litres = case.asked.litres
    strengths = per_l(mg_per_l, by_gram=False), per_l(mg_per_l, by_gram=True)
    if litres is None:
        return Amount(part.stuff, None, None, *strengths)
    if part.stuff == case.agent and per_ml is not None:
        step = SMALL_STEP if litres * mg_per_l / per_ml < SMALL else GRAM_STEP
        return Amount(part.stuff, None, stock_ml(litres, mg_per_l, per_ml, step), *strengths)
    grams = _grams(litres, mg_per_l)
    return Amount(part.stuff, round_to(grams, SMALL_STEP if grams < SMALL else GRAM_STEP), None, *strengths)


def _grams(litres: float, mg_per_l: float) -> float:
    return chain("g", [(positive(mg_per_l, "mg/L"), "mg/L"), (positive(litres, "L"), "L")])


# No liquid of the shelf -----------------------------------------------------------------------------------


def _bare(asked: Asked) -> Mix:
    return Mix(
        purpose=asked.purpose,
        agent=asked.agent,
        on=asked.on,
        litres=asked.litres,
        target_mg_per_l=asked.ppm,
        use=asked.use,
        species=asked.species[0] if len(asked.species) == 1 else None,
    )


def _unknown(asked: Asked) -> Mix:
    code = "no-figure" if asked.agent or asked.purpose else "agent-not-told"
    return replace(_bare(asked), verdict="no-figure" if code == "no-figure" else "ask", warnings=(code,))


def _elsewhere(asked: Asked, named: Iterable[Liquid]) -> Mix:
    """Known, but not for what it is asked for."""
    uses = tuple(Choice(each.id, each.agent, each.use, each.on) for each in named)
    return replace(_bare(asked), verdict="no-figure", warnings=("no-figure",), choices=uses)


def _as_told(asked: Asked, shelf: Shelf) -> Mix:
    """Salt of a told strength: which strength is right for whom is not said here, what killed is."""
    found = replace(_bare(asked), purpose=asked.purpose or "salt", agent="salt", mark="the farm's own")
    limits = [each for each in shelf.limits if (each.agent, each.on) == ("salt", asked.on)]
    killed = next((each for each in limits if asked.ppm is not None and asked.ppm >= each.strength.low), None)
    if killed is not None:
        return _with_limit(replace(found, verdict="kills", mark="published"), killed)
    said = {"litres-not-told": asked.litres is None, "ppm-not-told": asked.ppm is None}
    missing = tuple(code for code, applies in said.items() if applies)
    if asked.litres is None or asked.ppm is None:
        return replace(found, warnings=missing)
    grams = salt_g(asked.litres, asked.ppm)
    parts = (Amount("salt", grams, None, asked.ppm, per_l(asked.ppm, by_gram=True)),)
    return replace(found, powder_g=grams, parts=parts, warnings=missing)
