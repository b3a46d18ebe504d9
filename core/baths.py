"""What to mix into how much water. No amount is given for eggs until it is known what the "ppm" counts.

A bottle of 10 % povidone-iodine solution holds nominally 1 % of available iodine, by the pharmacopoeia 0.85
to 1.20 % (British Pharmacopoeia 2013). "100 ppm" of available iodine, of povidone-iodine, of the liquid:
hundredfold apart (dilution by the pharmacopoeia strength).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.errors import HatchError
from core.records import IodineBasis, Mark
from core.units import chain, positive, round_to

On = Literal["eggs", "fish", "tools"]

# mg of what is counted, in one mL of the usual bottle. For `liquid` the liquid is taken to weigh as water.
STOCK_MG_PER_ML: dict[IodineBasis, float] = {"available": 10.0, "substance": 100.0, "liquid": 1000.0}
NOMINAL_PERCENT = 1.0
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


@dataclass(frozen=True, slots=True)
class Mix:
    """What to put into `litres`; `stock_ml` and `powder_g` are `None` until all they need is known.

    `target_mg_per_l` counts what `stock_basis` says; `low_mg_per_l`..`high_mg_per_l` is the *available*
    iodine that a bottle within the pharmacopoeia's limits then gives. `warnings` are codes of `wording`.
    """

    purpose: str | None
    agent: str | None
    on: On | None
    litres: float | None
    target_mg_per_l: float | None
    stock_ml: float | None
    powder_g: float | None
    minutes: int | None
    stock_basis: IodineBasis | None
    low_mg_per_l: float | None
    high_mg_per_l: float | None
    warnings: tuple[str, ...]
    basis: tuple[str, ...]
    mark: Mark


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
    return _stock_ml(litres, target_mg_per_l, positive(available_percent, "percent") * 10.0)


def salt_g(litres: float, mg_per_l: float) -> float:
    """g of salt for `litres` at `mg_per_l`, to 0.1 g; raises `HatchError("not-positive", value, unit)`."""
    amount = [(positive(mg_per_l, "mg/L"), "mg/L"), (positive(litres, "L"), "L")]
    return round_to(chain("g", amount), 0.1)


def mix(
    *,
    purpose: str | None,
    agent: str | None = None,
    on: On | None = None,
    litres: float | None = None,
    ppm: float | None = None,
    basis: IodineBasis | None = None,
) -> Mix:
    """What to mix for a bath. `ppm` is mg/L; `basis` is what the farm's own ppm of iodine count, once tapped.

    Iodine for tools and nets is reckoned from the nominal stock where no basis was tapped, on eggs it is not.
    An agent without a figure gives a mix without amounts, and `no-figure`.
    Raises `HatchError("not-positive", value, unit)` for `litres` or `ppm` that are none.
    """
    for value, unit in ((litres, "L"), (ppm, "mg/L")):
        if value is not None:
            positive(value, unit)
    stuff = agent or purpose
    if stuff == "iodine":
        return _iodine(purpose, on, litres, ppm, basis)
    if stuff == "salt":
        return _salt(purpose, on, litres, ppm)
    return _without_amounts(purpose, agent, on, litres, ppm)


def _iodine(
    purpose: str | None, on: On | None, litres: float | None, ppm: float | None, basis: IodineBasis | None
) -> Mix:
    known = basis if on == "eggs" else (basis or "available") if on == "tools" else None
    target = ppm or (_usual_mg_per_l(on) if basis in (None, "available") else None)
    low, high = _available(target, known) if target and known else (None, None)
    return Mix(
        purpose=purpose or "iodine",
        agent="iodine",
        on=on,
        litres=litres,
        target_mg_per_l=target,
        stock_ml=_stock_ml(litres, target, STOCK_MG_PER_ML[known]) if litres and target and known else None,
        powder_g=None,
        minutes={"eggs": EGG_BATH_MINUTES, "tools": TOOLS_MINUTES}.get(on or ""),
        stock_basis=known,
        low_mg_per_l=low,
        high_mg_per_l=high,
        warnings=_iodine_warnings(on, litres, target, basis, high),
        basis=STOCK_SOURCES if on != "eggs" else (*STOCK_SOURCES, *EGG_SOURCES),
        mark="published" if on == "eggs" else "common practice",
    )


def _usual_mg_per_l(on: On | None) -> float | None:
    """mg/L of *available* iodine: no default for a farm that counts anything else."""
    return {"eggs": EGG_BATH_MG_PER_L, "tools": TOOLS_MG_PER_L}.get(on or "")


def _stock_ml(litres: float, target_mg_per_l: float, stock_mg_per_ml: float) -> float:
    wanted = [(positive(target_mg_per_l, "mg/L"), "mg/L"), (positive(litres, "L"), "L")]
    return round_to(chain("mL", wanted, per=[(stock_mg_per_ml, "mg/mL")]), 0.1)


def _available(target: float, basis: IodineBasis) -> tuple[float, float]:
    """mg/L of available iodine, for the weakest and the strongest bottle the pharmacopoeia lets through."""
    stock_share = target / STOCK_MG_PER_ML[basis]  # mL of stock in a litre of bath
    low, high = (round_to(stock_share * percent * 10.0, 0.01) for percent in PERCENT_RANGE)
    return low, high


def _iodine_warnings(
    on: On | None, litres: float | None, target: float | None, basis: IodineBasis | None, high: float | None
) -> tuple[str, ...]:
    said = {
        "eggs-or-tools": on is None,
        "no-figure": on == "fish",
        "litres-not-told": litres is None,
        "ppm-not-told": target is None and on in ("eggs", "tools"),
        "basis-not-told": on == "eggs" and basis is None,
        "nominal-stock": on == "tools" and basis is None,
        "over-strength": on == "eggs" and high is not None and high > EGG_BATH_MG_PER_L * PERCENT_RANGE[1],
        "not-unfertilised": on == "eggs",
        "test-lot-first": on == "eggs",
        "egg-bath-evidence": on == "eggs",
        "rinse-after": on == "eggs",
    }
    return tuple(code for code, applies in said.items() if applies)


def _salt(purpose: str | None, on: On | None, litres: float | None, ppm: float | None) -> Mix:
    """Grams for the strength that was told; which strength is right for whom is not said here."""
    said = {"litres-not-told": litres is None, "ppm-not-told": ppm is None}
    return Mix(
        purpose=purpose or "salt",
        agent="salt",
        on=on,
        litres=litres,
        target_mg_per_l=ppm,
        stock_ml=None,
        powder_g=salt_g(litres, ppm) if litres and ppm else None,
        minutes=None,
        stock_basis=None,
        low_mg_per_l=None,
        high_mg_per_l=None,
        warnings=tuple(code for code, applies in said.items() if applies),
        basis=(),
        mark="the farm's own",
    )


def _without_amounts(
    purpose: str | None, agent: str | None, on: On | None, litres: float | None, ppm: float | None
) -> Mix:
    return Mix(
        purpose=purpose,
        agent=agent,
        on=on,
        litres=litres,
        target_mg_per_l=ppm,
        stock_ml=None,
        powder_g=None,
        minutes=None,
        stock_basis=None,
        low_mg_per_l=None,
        high_mg_per_l=None,
        warnings=("no-figure",) if agent or purpose else ("agent-not-told",),
        basis=(),
        mark="from memory",
    )
