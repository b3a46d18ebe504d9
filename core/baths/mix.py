"""What is asked of a bath, and what is answered: shapes only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.commands import BathOn, BathUse
from core.records import IodineBasis, Mark

On = BathOn
Use = BathUse
Verdict = Literal[
    "mix", "ask", "no-figure", "other-species", "wrong-jar", "too-strong", "kills", "not-now", "out-now"
]
"""`mix`: amounts, where all they need is known; `ask`: something is still to be told; `other-species`: known
for others only; `wrong-jar`: the strength is that of another liquid; `too-strong`: above all that is
reported; `kills`: at or above what killed; `not-now`: the eggs are about to hatch; `out-now`: fish lie in it,
and must come out."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A bath as it was told. `ppm` is mg/L; `percent` what the label of the bottle says; `grams` and `ml` are
    what was, or is to be, put in; `species` all that the word for them fits. `inside`: fish lie in it now,
    `limp`: and do not breathe or wake. `basis` is what the farm's own ppm of iodine count, once tapped."""

    purpose: str | None = None
    agent: str | None = None
    on: On | None = None
    litres: float | None = None
    ppm: float | None = None
    use: Use | None = None
    species: tuple[str, ...] = ()
    percent: float | None = None
    minutes: float | None = None
    grams: float | None = None
    ml: float | None = None
    inside: bool = False
    limp: bool = False
    basis: IodineBasis | None = None


@dataclass(frozen=True, slots=True)
class Amount:
    """One stuff of a bath: `grams` of a powder or `ml` of a liquid, both `None` where litres are not known;
    `mg_per_l`, or `g_per_l`, of it in the ready bath."""

    stuff: str
    grams: float | None
    ml: float | None
    mg_per_l: float
    g_per_l: float


@dataclass(frozen=True, slots=True)
class Shown:
    """The strengths of a bath in the unit they are spoken of, `mg` or `g` a litre: the wanted one, what is
    reported, and what killed."""

    unit: Literal["mg", "g"]
    target: float | None
    low: float | None
    high: float | None
    limit: float | None


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several liquids that the words fit: by its agent, its use or whom it is for."""

    liquid: str
    agent: str
    use: Use | None
    on: On | None


@dataclass(frozen=True, slots=True)
class Mix:
    """What to put into `litres`; `stock_ml` and `powder_g` are `None` until all they need is known.

    `minutes` are `at_most` where only their end is known. `target_mg_per_l` counts what `stock_basis` says;
    `low_mg_per_l`..`high_mg_per_l` is the *available* iodine that a bottle within the pharmacopoeia's limits
    then gives. `reported_low`..`reported_high` (mg/L) is what the sources tell, `known_for` of whom, and
    `limit_mg_per_l` in `limit_minutes` is what killed, as the code `limit` says, fish or eggs of
    `limit_species`. `trial` is what a trial of it on eggs of `trial_species` found; `low_ph`..`high_ph` is
    what the water must be. `warnings` are codes of `wording`.
    """

    purpose: str | None
    agent: str | None
    on: On | None
    litres: float | None
    target_mg_per_l: float | None
    stock_ml: float | None = None
    powder_g: float | None = None
    minutes: int | None = None
    stock_basis: IodineBasis | None = None
    low_mg_per_l: float | None = None
    high_mg_per_l: float | None = None
    warnings: tuple[str, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"
    at_most: bool = False
    verdict: Verdict = "mix"
    liquid: str = ""
    use: Use | None = None
    species: str | None = None
    parts: tuple[Amount, ...] = ()
    stock_percent: float | None = None
    stock_mg_per_ml: float | None = None
    reported_low: float | None = None
    reported_high: float | None = None
    known_for: tuple[str, ...] = ()
    limit: str = ""
    limit_mg_per_l: float | None = None
    limit_minutes: float | None = None
    limit_species: str = ""
    trial: str = ""
    trial_mg_per_l: float | None = None
    trial_minutes: float | None = None
    trial_hatched_percent: float | None = None
    trial_species: str = ""
    low_ph: float | None = None
    high_ph: float | None = None
    choices: tuple[Choice, ...] = ()


BY_GRAM = ("salt", "urea", "tannin", "saline", "clove-extract")


def per_l(mg_per_l: float, by_gram: bool) -> float:
    """A strength in g/L or mg/L, without the binary dust."""
    return float(f"{mg_per_l / 1000 if by_gram else mg_per_l:.6g}")


def shown(mix: Mix) -> Shown:
    """Its strengths; those of powders that go in by the gram are spoken of in g/L."""
    by_gram = mix.agent in BY_GRAM
    told = (mix.target_mg_per_l, mix.reported_low, mix.reported_high, mix.limit_mg_per_l)
    strengths = [None if one is None else per_l(one, by_gram) for one in told]
    return Shown("g" if by_gram else "mg", *strengths)
