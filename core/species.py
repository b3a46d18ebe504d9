"""Species cards: what is known of a species, every number with unit, range, source and mark."""

from __future__ import annotations

from dataclasses import dataclass

from core.records import Mark, Preparation, Sex, Way


@dataclass(frozen=True, slots=True)
class Citation:
    """A published or recalled source. A `weak` one may widen a range, never set a default."""

    id: str
    title: str
    address: str
    mark: Mark
    weak: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of a card: `usual` inside `low`..`high`, in `unit`. `usual` is `None` where only weak
    sources or a span are known."""

    low: float
    high: float
    usual: float | None
    unit: str
    sources: tuple[str, ...]
    mark: Mark
    note: str = ""


@dataclass(frozen=True, slots=True)
class Curve:
    """Hours to an event in steady water: `degree_hours / (celsius - zero_celsius)`, times a factor.

    Rate is 1 / hours and adds up over changing water. The five factors give the window; they come from
    the scatter of published reports. `min_celsius`..`max_celsius` is where the sources were.
    """

    degree_hours: float
    zero_celsius: float
    min_celsius: float
    max_celsius: float
    earliest: float
    most_from: float
    likely: float
    most_to: float
    latest: float
    sources: tuple[str, ...]
    mark: Mark
    note: str = ""


@dataclass(frozen=True, slots=True)
class StripCurve:
    """From the final injection to running eggs, for one preparation and number of shots."""

    preparation: Preparation
    shots: int
    curve: Curve


@dataclass(frozen=True, slots=True)
class DoseRule:
    """Active substance per kg for one sex, summed over all shots; `shares` is how it is split (sum 1).

    A premix has `ug_per_kg` and `mg_per_kg`. `interval_hours` lies between the shots.
    """

    preparation: Preparation
    sex: Sex
    shares: tuple[float, ...]
    ug_per_kg: Figure | None = None
    mg_per_kg: Figure | None = None
    iu_per_kg: Figure | None = None
    gland_mg_per_kg: Figure | None = None
    interval_hours: Figure | None = None


@dataclass(frozen=True, slots=True)
class Card:
    """One species. A figure nobody published is `None`; the bot then says "no figure known".

    `ways` best known first. `sticky`: `spread`, `de-stick` or `free`. `male_optional`: his dose is
    optional since he will be cut (`male_cut`). `signs` and `cautions` are codes of the wording room.
    """

    slug: str
    scientific: str
    names: tuple[tuple[str, tuple[str, ...]], ...]
    words: tuple[str, ...]
    ways: tuple[Way, ...]
    sticky: str
    male_cut: bool
    male_optional: bool
    female_kg: Figure
    male_kg: Figure
    best_celsius: Figure
    tolerated_celsius: Figure
    lethal_celsius: Figure | None
    usual_preparation: Preparation
    doses: tuple[DoseRule, ...]
    strip: tuple[StripCurve, ...]
    hatch: Curve | None
    egg_life_minutes: Figure | None
    eggs_per_gram: Figure | None
    eggs_per_kg: Figure | None
    milt_ml_per_kg_eggs: Figure | None
    count_hours: Figure | None
    swell_minutes: Figure | None
    care_hours: Figure | None
    swim_free_hours: Figure | None
    first_feed_hours: Figure | None
    live_food_lead_hours: Figure | None
    males_per_female: Figure | None
    rest_days: Figure | None
    signs: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def assumed_celsius(self) -> float:
        """Water nobody told: the middle of the best range."""
        return (self.best_celsius.low + self.best_celsius.high) / 2
