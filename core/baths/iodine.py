"""Iodine. No amount is given for eggs until it is known what the "ppm" counts.

A bottle of 10 % povidone-iodine solution holds nominally 1 % of available iodine, by the pharmacopoeia 0.85
to 1.20 % (British Pharmacopoeia 2013). "100 ppm" of available iodine, of povidone-iodine, of the liquid:
hundredfold apart (dilution by the pharmacopoeia strength).
"""

from __future__ import annotations

from dataclasses import replace

from core.baths.mix import Asked, Mix, On
from core.baths.shelf import Shelf
from core.errors import HatchError
from core.records import IodineBasis
from core.units import chain, positive, round_to

# mg of what is counted, in one mL of the usual bottle. For `liquid` the liquid is taken to weigh as water.
STOCK_MG_PER_ML: dict[IodineBasis, float] = {"available": 10.0, "substance": 100.0, "liquid": 1000.0}
NOMINAL_PERCENT = 1.0
OF_SUBSTANCE = 10.0  # povidone-iodine holds a tenth of its weight as available iodine, as labels count it
LEAST_SUBSTANCE_PERCENT = 5.0  # labels of 5 to 10 % tell povidone-iodine, those up to 2 % available iodine
MOST_AVAILABLE_PERCENT = 2.0
PERCENT_RANGE = (
    0.85,
    1.20,
)  # w/v available iodine of a 10 % solution: British Pharmacopoeia 2013 (British Pharmacopoeia 2013)

# available iodine, after hardening has begun: US FDA low regulatory priority list published, US FDA
# list, recalled from memory
EGG_BATH_MG_PER_L = 100.0
EGG_BATH_MINUTES = 10
# common practice; 50-250 mg/L for 10 min in an extension note (tilapia extension note, a weak source)
TOOLS_MG_PER_L = 100.0
TOOLS_MINUTES = 10

STOCK_SOURCES = ("british-pharmacopoeia-2013", "dilution")
EGG_SOURCES = ("fda-low-priority", "woah-2010", "opute-aisirhiowen-2021")


def iodine_stock_ml(
    litres: float, target_mg_per_l: float, available_percent: float = NOMINAL_PERCENT
) -> float:
    """mL of stock in `litres` of ready bath for `target_mg_per_l` of available iodine, to 0.1 mL.

    `available_percent` is w/v: 1 % is 10 mg/mL, so that 100 mg/L takes 10 mL for each litre (dilution by
    the pharmacopoeia strength, muskellunge iodophor paper).
    Raises `HatchError("not-positive", value, unit)`, and `HatchError("bad-strength", percent)` above 100 %.
    """
    if available_percent > 100:
        raise HatchError("bad-strength", percent=available_percent)
    return stock_ml(litres, target_mg_per_l, positive(available_percent, "percent") * 10.0)


def stock_ml(litres: float, target_mg_per_l: float, stock_mg_per_ml: float, step: float = 0.1) -> float:
    """mL of a stock in `litres` of ready bath, to `step` mL. Raises `HatchError("not-positive")`."""
    wanted = [(positive(target_mg_per_l, "mg/L"), "mg/L"), (positive(litres, "L"), "L")]
    return round_to(chain("mL", wanted, per=[(stock_mg_per_ml, "mg/mL")]), step)


def available_percent(percent: float) -> float | None:
    """Available iodine, in percent, of a bottle whose label says `percent`: povidone-iodine from 5 % on,
    available iodine up to 2 %; `None` between, where a label may mean either."""
    if percent >= LEAST_SUBSTANCE_PERCENT:
        return percent / OF_SUBSTANCE
    return percent if percent <= MOST_AVAILABLE_PERCENT else None


def iodine(asked: Asked, shelf: Shelf) -> Mix:
    """The mix of an iodine bath. Iodine for tools and nets is reckoned from the nominal stock where no basis
    was tapped, on eggs it is not."""
    on, basis = asked.on, asked.basis
    known = basis if on == "eggs" else (basis or "available") if on == "tools" else None
    target = (
        asked.ppm or _put_in(asked, known) or (_usual_mg_per_l(on) if basis in (None, "available") else None)
    )
    percent = NOMINAL_PERCENT if asked.percent is None else available_percent(asked.percent)
    held = _held(known, percent)
    low, high = _available(target, held, percent) if target and held and percent else (None, None)
    found = Mix(
        purpose=asked.purpose or "iodine",
        agent="iodine",
        on=on,
        litres=asked.litres,
        target_mg_per_l=target,
        stock_ml=stock_ml(asked.litres, target, held) if asked.litres and target and held else None,
        minutes={"eggs": EGG_BATH_MINUTES, "tools": TOOLS_MINUTES}.get(on or ""),
        stock_basis=known,
        low_mg_per_l=low,
        high_mg_per_l=high,
        warnings=_warnings(asked, target, percent, high),
        basis=STOCK_SOURCES if on != "eggs" else (*STOCK_SOURCES, *EGG_SOURCES),
        mark="published" if on == "eggs" else "common practice",
        stock_percent=asked.percent,
        stock_mg_per_ml=held,
        species=asked.species[0] if len(asked.species) == 1 else None,
    )
    return _with_evidence(found, asked, shelf) if on == "eggs" and held is not None else found


def not_now(found: Mix) -> Mix:
    """The same for eggs that are about to hatch: no amounts."""
    return replace(
        found,
        verdict="not-now",
        stock_ml=None,
        low_mg_per_l=None,
        high_mg_per_l=None,
        warnings=("not-unfertilised",),
    )


def _with_evidence(found: Mix, asked: Asked, shelf: Shelf) -> Mix:
    """What a trial found, of the species told where there is one, and what the water must be."""
    trials = [each for each in shelf.trials if each.agent == "iodine" and each.hatched_percent is not None]
    own = [each for each in trials if each.species in asked.species]
    trial, ph = next(iter([*own, *trials]), None), shelf.ph
    if trial is None or trial.hatched_percent is None:
        return found
    others = [source for each in shelf.trials if each.agent == "iodine" for source in each.strength.sources]
    return replace(
        found,
        trial=trial.found,
        trial_mg_per_l=trial.strength.high,
        trial_minutes=trial.minutes.high,
        trial_hatched_percent=trial.hatched_percent.high,
        trial_species=trial.species,
        low_ph=ph.low if ph is not None else None,
        high_ph=ph.high if ph is not None else None,
        basis=tuple(dict.fromkeys((*found.basis, *others))),
    )


def _put_in(asked: Asked, basis: IodineBasis | None) -> float | None:
    """The strength that so many mL in so many litres make."""
    percent = NOMINAL_PERCENT if asked.percent is None else available_percent(asked.percent)
    held = _held(basis, percent)
    if asked.ml is None or asked.litres is None or held is None:
        return None
    return float(f"{asked.ml * held / asked.litres:.4g}")


def _held(basis: IodineBasis | None, percent: float | None) -> float | None:
    """mg of what is counted, in one mL of a bottle of so much available iodine."""
    if basis is None or percent is None:
        return None
    return STOCK_MG_PER_ML[basis] if basis == "liquid" else STOCK_MG_PER_ML[basis] * percent / NOMINAL_PERCENT


def _usual_mg_per_l(on: On | None) -> float | None:
    """mg/L of *available* iodine: no default for a farm that counts anything else."""
    return {"eggs": EGG_BATH_MG_PER_L, "tools": TOOLS_MG_PER_L}.get(on or "")


def _available(target: float, held: float, percent: float) -> tuple[float, float]:
    """mg/L of available iodine, for the weakest and the strongest bottle the pharmacopoeia lets through."""
    stock_share = target / held  # mL of stock in a litre of bath
    low, high = (round_to(stock_share * each * percent * 10.0, 0.01) for each in PERCENT_RANGE)
    return low, high


def _warnings(
    asked: Asked, target: float | None, percent: float | None, high: float | None
) -> tuple[str, ...]:
    on, basis = asked.on, asked.basis
    mixed = on == "eggs" and basis is not None and percent is not None
    said = {
        "not-larvae": on == "larvae",
        "eggs-or-tools": on is None,
        "label-line": on is None and basis is None and asked.percent is None,
        "no-figure": on == "fish",
        "litres-not-told": asked.litres is None and on in ("eggs", "tools"),
        "ppm-not-told": target is None and on in ("eggs", "tools"),
        "basis-not-told": on == "eggs" and basis is None,
        "bottle-unclear": percent is None,
        "nominal-stock": on == "tools" and basis is None and asked.percent is None,
        "over-strength": on == "eggs" and high is not None and high > EGG_BATH_MG_PER_L * PERCENT_RANGE[1],
        "not-unfertilised": on == "eggs",
        "test-lot-first": mixed,
        "egg-bath-evidence": mixed,
        "iodine-water": mixed,
        "iodine-colour": on == "tools" or mixed,
        "rinse-after": mixed,
    }
    return tuple(code for code, applies in said.items() if applies)
