"""Species cards: what is known of a species, every number with unit, range, source and mark.

`parse_sources` and `parse_card` read the TOML of `core/data`, handed in as text, and name all faults at once.
"""

from __future__ import annotations

import dataclasses
import math
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeVar, cast, get_args

from core import units
from core.errors import CardFault, HatchError, NoFigure
from core.records import Mark, Preparation, Sex, Vessel, Way

Hatching = Literal["strip", "hatch", "first-feed"]
Sticky = Literal["spread", "de-stick", "free"]
MARKS: tuple[Mark, ...] = ("from memory", "common practice", "published", "the farm's own")  # weakest first
BORROWED_SPREAD = 2.02  # latest over earliest of a borrowed curve: 2.0 also after rounding to 0.01 h


# "Surname A.B., Surname C. et al. 1980"; a title without authors ends at its first mark or bracket.
_NAME = r"(?:[a-z]+ )?[^\W\d_][\w'-]+(?: [A-Z][\w'-]+)?"
_AUTHOR = rf"{_NAME} (?:[A-Z]\.-?)+"
_WRITTEN_BY = re.compile(rf"(?P<who>{_AUTHOR}(?:, {_AUTHOR})*)(?P<others>,? et al\.)? ?(?P<year>\d{{4}})?")
_SURNAME = re.compile(rf"({_NAME}) (?:[A-Z]\.-?)+")
_YEAR = re.compile(r"(?:\(|[.,] |of )((?:19|20)\d{2})\b")
_FIRST_PART = re.compile(r"[:;,([]|\.\s|\.$")
_BRIEF = 44
_DANGLING = re.compile(r"( (a|and|in|of|on|the|to|with))+$")


def _cut(text: str) -> str:
    """At most `_BRIEF` signs, cut between words, where something is named."""
    text = text.strip()
    return text if len(text) <= _BRIEF else _DANGLING.sub("", text[:_BRIEF].rsplit(" ", 1)[0])


@dataclass(frozen=True, slots=True)
class Citation:
    """A published or recalled source. A `weak` one may widen a range, never set a default."""

    id: str
    title: str
    address: str
    mark: Mark
    weak: bool = False

    @property
    def brief(self) -> str:
        """A short name: who wrote it, and when; else the beginning of its title."""
        written = _WRITTEN_BY.match(self.title)
        if written is None:
            return self._brief_without_authors()
        surnames = _SURNAME.findall(written["who"])
        several = len(surnames) > 2 or written["others"]
        who = f"{surnames[0]} et al." if several else ", ".join(surnames)
        return f"{who} {written['year']}" if written["year"] else who

    def _brief_without_authors(self) -> str:
        begins = _cut(_FIRST_PART.split(self.title, maxsplit=1)[0])
        years = [year for year in _YEAR.findall(self.title)[-1:] if year not in begins]
        return " ".join([begins, *years])


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of a card: `usual` inside `low`..`high`, in `unit`. `usual` is `None` where only weak
    sources or a span are known. `celsius` is the water it was taken in, where that was told."""

    low: float
    high: float
    usual: float | None
    unit: str
    sources: tuple[str, ...]
    mark: Mark
    note: str = ""
    celsius: tuple[float, float] | None = None

    @property
    def usual_or_low(self) -> float:
        """For hours until something comes: the low end where only a span is known, so that what comes early
        is not missed."""
        return self.low if self.usual is None else self.usual

    @property
    def usual_or_high(self) -> float:
        """For how long before something else a thing must be begun: the high end where only a span is known,
        so that it is ready in time."""
        return self.high if self.usual is None else self.usual

    @property
    def usual_or_middle(self) -> float:
        """For what is told with both ends beside it, hours or a count: the arithmetic middle of a span."""
        return (self.low + self.high) / 2 if self.usual is None else self.usual

    @property
    def usual_or_mean(self) -> float:
        """For what is multiplied, as rates and weights of an order are: the geometric mean of a span whose
        ends may differ manyfold, as far from the one as from the other."""
        return math.sqrt(self.low * self.high) if self.usual is None else self.usual


@dataclass(frozen=True, slots=True)
class Curve:
    """Hours to an event in steady water: `degree_hours / (celsius - zero_celsius)`, times a factor.

    Rate is 1 / hours and adds up over changing water. The five factors give the window; they come from
    the scatter of published reports. `min_celsius`..`max_celsius` is where the sources were. Where warmth
    makes no difference there, `flat_hours` says the hours and the first two numbers are 0. `zero_sources`
    are those of its sources that the zero point came from.
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
    flat_hours: float | None = None
    zero_sources: tuple[str, ...] = ()

    def hours(self, celsius: float) -> float:
        """Hours in steady water of `celsius`, before any factor; infinite at the zero point and below."""
        if self.flat_hours is not None:
            return self.flat_hours
        warmth = celsius - self.zero_celsius
        return self.degree_hours / warmth if warmth > 0 else math.inf

    def widened(self, least_spread: float) -> Curve:
        """This curve with `latest / earliest` of at least `least_spread`, both ends moved by one ratio."""
        spread = self.latest / self.earliest
        if spread >= least_spread:
            return self
        pull = math.sqrt(least_spread / spread)
        return dataclasses.replace(self, earliest=self.earliest / pull, latest=self.latest * pull)


@dataclass(frozen=True, slots=True)
class StripCurve:
    """From the final injection to running eggs, for one preparation and number of shots."""

    preparation: Preparation
    shots: int
    curve: Curve


@dataclass(frozen=True, slots=True)
class Report:
    """What one source saw: `event` after `low_hours`..`high_hours` in water of `low_celsius`..`high_celsius`.

    Reports are the worked examples of a card, and what a curve is judged by. `celsius` values are `None`
    where no water was told. `within`: the share by which the card's bare curve may miss this report.
    `outside`: the code of why this report does not fit the card's window; empty for all that do.
    """

    event: Hatching
    preparation: Preparation | None
    shots: int | None
    low_celsius: float | None
    high_celsius: float | None
    low_hours: float
    high_hours: float
    source: str
    within: float | None = None
    outside: str = ""


@dataclass(frozen=True, slots=True)
class DoseRule:
    """Active substance per kg for one sex, summed over all shots; `shares` is how it is split (sum 1).

    A premix has `ug_per_kg` and `mg_per_kg`; `ml_per_kg` is of no card, but of a farm's own preparation.
    `interval_hours` lies between the shots, before the last one
    `last_interval_hours` where that is another.
    """

    preparation: Preparation
    sex: Sex
    shares: tuple[float, ...]
    ug_per_kg: Figure | None = None
    mg_per_kg: Figure | None = None
    iu_per_kg: Figure | None = None
    gland_mg_per_kg: Figure | None = None
    ml_per_kg: Figure | None = None
    interval_hours: Figure | None = None
    last_interval_hours: Figure | None = None


StockedIn = Literal["pond", "tank", "hapa", "bag"]
Young = Literal["larvae", "fry"]
Per = Literal["m2", "litre", "bag"]


@dataclass(frozen=True, slots=True)
class Stocking:
    """How densely larvae or fry are stocked, or packed, `per` square metre, litre of water or bag of
    `bag_litres`."""

    place: StockedIn
    young: Young
    per: Per
    density: Figure
    bag_litres: float | None = None


@dataclass(frozen=True, slots=True)
class Holding:
    """How many swollen `eggs` a vessel of `litres` holds, and the litres a minute that run through it. Both
    are of that size alone: a larger one takes more of both, by no rule that anybody printed."""

    vessel: Vessel
    litres: float
    eggs: Figure
    flow: Figure | None


@dataclass(frozen=True, slots=True)
class Card:
    """One species. A figure nobody published is `None`; the bot then says "no figure known".

    `ways` best known first. `sticky`: `spread`, `de-stick` or `free`. `male_optional`: his dose is
    optional since he will be cut (`male_cut`). `signs`, `cautions` and `count_stage` are codes of the wording
    room. `words` are what people call it, the likeliest first: of the cards that share a word, the one that
    has it further to the front is meant first. `eggs_per_ml` is of swollen eggs, for collecting by volume
    once they are firm, `firm_hours` after spawning. `gave_eggs_percent` is of injected females,
    `hatched_percent` of all eggs: both only for reckoning an order. `lethal_celsius` ends where eggs die, in
    the cold and in the warmth; `rest_days` is how long a female rests after she gave eggs. `milt_parts` are
    parts of saline of `saline_g_per_l` to one of milt.
    """

    slug: str
    scientific: str
    names: tuple[tuple[str, tuple[str, ...]], ...]
    words: tuple[str, ...]
    ways: tuple[Way, ...]
    sticky: Sticky
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
    count_stage: str = ""
    destick_minutes: Figure | None = None
    eggs_per_ml: Figure | None = None
    firm_hours: Figure | None = None
    gave_eggs_percent: Figure | None = None
    hatched_percent: Figure | None = None
    milt_parts: Figure | None = None
    saline_g_per_l: Figure | None = None
    holdings: tuple[Holding, ...] = ()
    reports: tuple[Report, ...] = ()
    stocking: tuple[Stocking, ...] = ()

    @property
    def assumed_celsius(self) -> float:
        """Water nobody told: the middle of the best range."""
        return (self.best_celsius.low + self.best_celsius.high) / 2

    def dose_rule(self, preparation: Preparation, sex: Sex) -> DoseRule:
        """The usual dose of one sex. Raises `NoFigure("no-dose-figure")`."""
        for rule in self.doses:
            if rule.preparation == preparation and rule.sex == sex:
                return rule
        raise NoFigure("no-dose-figure", species=self.slug, preparation=preparation, sex=sex)

    def usual_shots(self, preparation: Preparation) -> int:
        """Into how many shots this preparation is usually split for a female; 1 where nobody said."""
        for rule in self.doses:
            if rule.preparation == preparation and rule.sex == "f":
                return len(rule.shares)
        return next((found.shots for found in self.strip if found.preparation == preparation), 1)

    def strip_curve(self, preparation: Preparation, shots: int | None = None) -> tuple[Curve, bool]:
        """The curve from the final injection to running eggs, and whether it had to be borrowed.

        Without `shots` the usual number. A borrowed curve is the nearest of the card (same preparation first,
        then the usual one, then the nearest number of shots), widened to `latest / earliest` of 2 at least.
        Raises `NoFigure("no-strip-figure")` where the card has none at all.
        """
        wanted = self.usual_shots(preparation) if shots is None else shots
        if not self.strip:
            raise NoFigure("no-strip-figure", species=self.slug, preparation=preparation)

        def distance(found: StripCurve) -> tuple[bool, bool, int]:
            strange = found.preparation != preparation
            return strange, strange and found.preparation != self.usual_preparation, abs(found.shots - wanted)

        nearest = min(self.strip, key=distance)
        if (nearest.preparation, nearest.shots) == (preparation, wanted):
            return nearest.curve, False
        return nearest.curve.widened(BORROWED_SPREAD), True


def weakest(marks: Iterable[Mark]) -> Mark:
    """The weakest of `marks` (at least one): from memory, common practice, published, the farm's own."""
    return min(marks, key=MARKS.index)


def by_word(cards: Iterable[Card], word: str) -> tuple[Card, ...]:
    """The cards that a spoken word can mean, likeliest first; none where no card knows it.

    `word` is compared whole, without case, hyphens or doubled spaces, with slugs, names and words.
    """
    spoken = _plain(word)
    ranked = []
    for card in cards:
        own = {card.slug, card.scientific, *(name for _, names in card.names for name in names)}
        if spoken in map(_plain, own):
            ranked.append((-1, card.slug, card))
        elif spoken in (words := [_plain(known) for known in card.words]):
            ranked.append((words.index(spoken), card.slug, card))
    return tuple(card for _, _, card in sorted(ranked, key=lambda entry: entry[:2]))


def _plain(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").split())


def cited(card: Card) -> frozenset[str]:
    """The ids of all sources that a card leans on."""
    records: tuple[_Known, ...] = (card, *card.doses, *card.strip, *card.holdings, *card.stocking)
    numbers = [value for record in records for value in _values(record)]
    leaning = {name for known in numbers if isinstance(known, (Figure, Curve)) for name in known.sources}
    return frozenset(leaning | {report.source for report in card.reports})


_Known = Card | DoseRule | StripCurve | Holding | Stocking


def _values(record: _Known) -> Iterator[object]:
    return (getattr(record, field.name) for field in dataclasses.fields(record))


# Reading the files ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a file: `where` is the key, dotted and counted from 1; `code` a stable word."""

    where: str
    code: str
    value: str = ""

    def __str__(self) -> str:
        return f"{self.where}: {self.code}" + (f" {self.value}" if self.value else "")


def parse_sources(text: str) -> Mapping[str, Citation]:
    """The sources of a TOML text, by id: a table each with `title`, `address` (may be empty), `mark` and,
    where it may only widen, `weak = true`. Raises `CardFault("bad-sources", faults)` with every fault."""
    faults: list[Fault] = []
    found = {}
    for name, value in loaded(text, faults).items():
        table = Table(name, value, faults)
        if not _ID.fullmatch(name):
            table.fault("", "not-an-id", name)
        found[name] = Citation(
            name,
            title=table.text("title"),
            address=table.text("address", empty=True),
            mark=table.choice("mark", MARKS[:3]),
            weak=table.flag("weak", optional=True),
        )
        table.close()
    if faults:
        raise CardFault("bad-sources", faults=tuple(faults))
    return found


def parse_card(text: str, sources: Mapping[str, Citation]) -> Card:
    """A species card from its TOML text. Raises `CardFault("bad-card", species, faults)` with every fault.

    Quantities are strings ("0.5 h"), converted by pint to the unit that the name of the field says:
    `celsius` degC, `hours` h, `minutes` min, `days` day, `per_kg` per kg of body.
    """
    faults: list[Fault] = []
    table = Table("", loaded(text, faults), faults)
    table.sources = sources
    if faults:
        raise CardFault("bad-card", species="", faults=tuple(faults))
    card = _card(table)
    table.close()
    if faults:
        raise CardFault("bad-card", species=card.slug, faults=tuple(faults))
    return card


def check_all(
    cards: Iterable[Card], sources: Mapping[str, Citation], cited_elsewhere: Iterable[str] = ()
) -> None:
    """All cards together. Raises `CardFault("bad-cards", faults)`: a source unused, a slug used twice.

    `cited_elsewhere` are the sources that doses, baths and counts lean on, whatever the species.
    """
    known = list(cards)
    used = frozenset(cited_elsewhere).union(*(cited(card) for card in known))
    faults = [Fault(name, "unused-source") for name in sources if name not in used]
    slugs = [card.slug for card in known]
    faults += [Fault(slug, "slug-used-twice") for slug in sorted({s for s in slugs if slugs.count(s) > 1})]
    if faults:
        raise CardFault("bad-cards", faults=tuple(faults))


_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_Word = TypeVar("_Word", bound=str)
_WAYS: tuple[Way, ...] = get_args(Way)
_VESSELS: tuple[Vessel, ...] = get_args(Vessel)
_STICKY: tuple[Sticky, ...] = get_args(Sticky)
_PREPARATIONS: tuple[Preparation, ...] = get_args(Preparation)
_SEXES: tuple[Sex, ...] = get_args(Sex)
_EVENTS: tuple[Hatching, ...] = get_args(Hatching)
_FACTORS = ("earliest", "most_from", "likely", "most_to", "latest")
_ANY_SHARE = 1e-6  # how far shares of a dose may miss 1

# Field of a card -> its unit. The first four must be there; what nobody published is left out.
_NEEDED = {"female_kg": "kg", "male_kg": "kg", "best_celsius": "degC", "tolerated_celsius": "degC"}
_WHERE_KNOWN = {
    "lethal_celsius": "degC",
    "egg_life_minutes": "min",
    "eggs_per_gram": "egg/g",
    "eggs_per_kg": "egg/kg",
    "milt_ml_per_kg_eggs": "mL/kg_eggs",
    "count_hours": "h",
    "swell_minutes": "min",
    "care_hours": "h",
    "swim_free_hours": "h",
    "first_feed_hours": "h",
    "live_food_lead_hours": "h",
    "males_per_female": "male/female",
    "rest_days": "day",
    "destick_minutes": "min",
    "eggs_per_ml": "egg/mL",
    "firm_hours": "h",
    "gave_eggs_percent": "percent",
    "hatched_percent": "percent",
    "milt_parts": "mL/mL",
    "saline_g_per_l": "g/L",
}
_STOCKED_IN, _YOUNG = get_args(StockedIn), get_args(Young)
_PER: dict[Per, str] = {"m2": "larva/m2", "litre": "larva/L", "bag": "larva/bag"}
_MUST_SPAN = ("first_feed_hours",)  # a window is made of it, so its ends must lie apart
_DOSES = {"ug_per_kg": "ug/kg", "mg_per_kg": "mg/kg", "iu_per_kg": "IU/kg", "gland_mg_per_kg": "mg/kg"}
# What a dose of each preparation must say, and what it may say.
_DOSE_OF: Mapping[Preparation, tuple[frozenset[str], frozenset[str]]] = {
    "premix": (frozenset({"ug_per_kg", "mg_per_kg"}), frozenset()),
    "pituitary": (frozenset({"gland_mg_per_kg"}), frozenset()),
    "hcg": (frozenset({"iu_per_kg"}), frozenset()),
    "lhrha": (frozenset({"ug_per_kg"}), frozenset({"mg_per_kg"})),
    "own": (frozenset(), frozenset(_DOSES)),
}


def loaded(text: str, faults: list[Fault]) -> dict[str, Any]:
    """The tables of a TOML text; none, and a fault, where it is no TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        faults.append(Fault("file", "not-toml", str(fault)))
        return {}


class Table:
    """A TOML table being read: gives out each key once and writes down all that is wrong with it.

    A key with a fault is answered with a stand-in of the right type; the card is refused at the end.
    """

    def __init__(self, where: str, value: object, faults: list[Fault]) -> None:
        self.where = where
        self.faults = faults
        self.sources: Mapping[str, Citation] = {}
        self.left = dict(value) if isinstance(value, dict) else {}
        if not isinstance(value, dict):
            self.fault("", "not-a-table", str(value))

    def fault(self, key: str, code: str, value: str = "") -> None:
        self.faults.append(Fault(".".join(part for part in (self.where, key) if part), code, value))

    def has(self, key: str) -> bool:
        return key in self.left

    def take(self, key: str, form: type | tuple[type, ...], code: str) -> Any:
        """The value of `key` where it has that form, else `None` and a fault."""
        if key not in self.left:
            self.fault(key, "missing-key")
            return None
        value = self.left.pop(key)
        if not isinstance(value, form) or (isinstance(value, bool) and form is not bool):
            self.fault(key, code, str(value))
            return None
        return value

    def close(self) -> None:
        for key in self.left:
            self.fault(key, "unknown-key")

    def text(self, key: str, empty: bool = False) -> str:
        value = self.take(key, str, "not-text")
        if value == "" and not empty:
            self.fault(key, "empty")
        return value or ""

    def code(self, key: str) -> str:
        """A kebab-case word, empty where the key is left out."""
        return self._code(key, self.text(key)) if self.has(key) else ""

    def _code(self, key: str, word: str) -> str:
        if word and not _ID.fullmatch(word):
            self.fault(key, "not-a-code", word)
        return word

    def flag(self, key: str, optional: bool = False) -> bool:
        return bool(self.take(key, bool, "not-true-or-false")) if self.has(key) or not optional else False

    def number(self, key: str) -> float:
        value = self.take(key, (int, float), "not-a-number")
        if value is not None and not (math.isfinite(value) and value > 0):
            self.fault(key, "not-above-zero", str(value))
        return math.nan if value is None else float(value)

    def whole(self, key: str) -> int:
        value = self.take(key, int, "not-a-whole-number")
        if value is not None and value < 1:
            self.fault(key, "not-above-zero", str(value))
        return value or 1

    def words(self, key: str) -> tuple[str, ...]:
        values = self.take(key, list, "not-a-list") or []
        if not all(isinstance(value, str) and value.strip() for value in values):
            self.fault(key, "not-text", str(values))
            return ()
        return tuple(values)

    def codes(self, key: str) -> tuple[str, ...]:
        return tuple(self._code(key, word) for word in self.words(key)) if self.has(key) else ()

    def choice(self, key: str, allowed: tuple[_Word, ...]) -> _Word:
        return self.one_of(key, self.take(key, str, "not-text"), allowed)

    def one_of(self, key: str, value: str | None, allowed: tuple[_Word, ...]) -> _Word:
        for word in allowed:
            if word == value:
                return word
        if value is not None:
            self.fault(key, "not-one-of", f"{value!r} {allowed}")
        return allowed[0]

    def quantity(self, key: str, unit: str) -> float:
        return self.measured(key, self.take(key, str, "no-unit"), unit)

    def measured(self, key: str, value: object, unit: str) -> float:
        """A quantity string in `unit`; NaN and a fault where it has no unit or one of another dimension."""
        if value is None:
            return math.nan
        if not isinstance(value, str):
            self.fault(key, "no-unit", str(value))
            return math.nan
        try:
            return units.quantity(value, unit)
        except HatchError as fault:
            self.fault(key, fault.code, f"{value!r} as {unit}")
            return math.nan

    def span(self, key: str, unit: str) -> tuple[float, float]:
        """A pair of quantities, the lower one first."""
        values = self.take(key, list, "not-a-pair")
        if values is None or len(values) != 2:
            if values is not None:
                self.fault(key, "not-a-pair", str(values))
            return math.nan, math.nan
        low, high = (self.measured(key, value, unit) for value in values)
        if low > high:
            self.fault(key, "not-in-order", str(values))
        return low, high

    def inner(self, key: str) -> Table:
        return self._inner(key, self.left.pop(key))

    def inners(self, key: str) -> Iterator[Table]:
        """The tables of an array of tables, none where it is left out."""
        for n, value in enumerate(self.take(key, list, "not-a-list") or [] if self.has(key) else [], 1):
            yield self._inner(f"{key}.{n}", value)

    def _inner(self, key: str, value: object) -> Table:
        inner = Table(".".join(part for part in (self.where, key) if part), value, self.faults)
        inner.sources = self.sources
        return inner

    def cites(self, sets_default: bool) -> tuple[tuple[str, ...], Mark]:
        """`sources`, `widened_by` and `mark` of this table: the ids together, and the mark.

        A weak source stands under `widened_by` where the table gives more than a range.
        """
        leading = self._known("sources", self.words("sources"))
        widening = self._known("widened_by", self.words("widened_by")) if self.has("widened_by") else ()
        if sets_default:
            for name in leading:
                if self.sources[name].weak:
                    self.fault("sources", "weak-source-sets-default", name)
        mark = self.choice("mark", MARKS[:3])
        named = (*leading, *widening)
        if named and weakest((mark, weakest(self.sources[name].mark for name in named))) != mark:
            self.fault("mark", "stronger-than-its-sources", mark)
        return named, mark

    def _known(self, key: str, names: tuple[str, ...]) -> tuple[str, ...]:
        if not names:
            self.fault(key, "no-source")
        for name in names:
            if name not in self.sources:
                self.fault(key, "unknown-source", name)
        return tuple(name for name in names if name in self.sources)


def _card(table: Table) -> Card:
    figures = {
        name: figure_of(table.inner(name), unit, must_span=name in _MUST_SPAN) if table.has(name) else None
        for name, unit in (_NEEDED | _WHERE_KNOWN).items()
    }
    for name in _NEEDED:
        if figures[name] is None:
            table.fault(name, "missing-key")
    slug = table.text("slug")
    if slug and not _ID.fullmatch(slug):
        table.fault("slug", "not-an-id", slug)
    strip = tuple(_strip(inner) for inner in table.inners("strip"))
    return Card(
        slug=slug,
        scientific=table.text("scientific"),
        names=_names(table),
        words=table.words("words"),
        ways=tuple(table.one_of("ways", way, _WAYS) for way in table.words("ways")),
        sticky=table.choice("sticky", _STICKY),
        male_cut=table.flag("male_cut"),
        male_optional=table.flag("male_optional"),
        usual_preparation=table.choice("usual_preparation", _PREPARATIONS),
        doses=tuple(_dose(inner) for inner in table.inners("doses")),
        strip=strip,
        holdings=tuple(_holding(inner) for inner in table.inners("holdings")),
        hatch=_curve(table.inner("hatch")) if table.has("hatch") else None,
        signs=table.codes("signs"),
        cautions=table.codes("cautions"),
        count_stage=table.code("count_stage"),
        reports=tuple(report for inner in table.inners("reports") for report in _reports(inner)),
        stocking=tuple(_stocking(inner) for inner in table.inners("stocking")),
        **cast("dict[str, Any]", figures),
    )


def _names(table: Table) -> tuple[tuple[str, tuple[str, ...]], ...]:
    if not table.has("names"):
        table.fault("names", "missing-key")
        return ()
    inner = table.inner("names")
    names = tuple((lang, inner.words(lang)) for lang in list(inner.left))
    if "en" not in dict(names):
        inner.fault("en", "missing-key")
    return names


def figure_of(table: Table, unit: str, must_span: bool = False) -> Figure:
    """`low`, `high`, where known `usual`, each a quantity in `unit`, with sources and mark."""
    low, high = table.quantity("low", unit), table.quantity("high", unit)
    usual = table.quantity("usual", unit) if table.has("usual") else None
    middle = (low + high) / 2 if usual is None else usual
    if low > high or middle < low or middle > high:
        table.fault("", "not-in-order", f"{low:g} {middle:g} {high:g}")
    elif must_span and (low == middle or middle == high):
        table.fault("", "no-span", f"{low:g} {middle:g} {high:g}")
    sources, mark = table.cites(sets_default=usual is not None)
    celsius = table.span("celsius", "degC") if table.has("celsius") else None
    figure = Figure(low, high, usual, unit, sources, mark, table.code("note"), celsius)
    table.close()
    return figure


def _curve(table: Table) -> Curve:
    flat = table.quantity("flat_hours", "h") if table.has("flat_hours") else None
    degree_hours = table.quantity("degree_hours", "degree_hour") if flat is None else 0.0
    zero = table.quantity("zero_celsius", "degC") if flat is None else 0.0
    low, high = table.span("celsius", "degC")
    if (degree_hours if flat is None else flat) <= 0:
        table.fault("", "not-above-zero")
    if flat is None and zero >= low:
        table.fault("zero_celsius", "not-below-source", f"{zero:g} {low:g}")
    factors = earliest, most_from, likely, most_to, latest = [table.number(name) for name in _FACTORS]
    if not any(map(math.isnan, factors)) and not earliest < most_from <= likely <= most_to < latest:
        table.fault("", "factors-not-in-order", str(factors))
    zero_sources = () if flat is not None else table.words("zero_sources")
    sources, mark = table.cites(sets_default=True)
    for name in zero_sources:
        if name not in sources:
            table.fault("zero_sources", "not-among-sources", name)
    note = table.code("note")
    table.close()
    return Curve(
        degree_hours,
        zero,
        low,
        high,
        earliest,
        most_from,
        likely,
        most_to,
        latest,
        sources,
        mark,
        note,
        flat,
        zero_sources,
    )


def _strip(table: Table) -> StripCurve:
    preparation, shots = table.choice("preparation", _PREPARATIONS), table.whole("shots")
    return StripCurve(preparation, shots, _curve(table))


def _dose(table: Table) -> DoseRule:
    preparation, sex = table.choice("preparation", _PREPARATIONS), table.choice("sex", _SEXES)
    shares = _shares(table)
    told = {name for name in _DOSES if table.has(name)}
    needed, allowed = _DOSE_OF[preparation]
    for name in sorted(needed - told):
        table.fault(name, "missing-key")
    for name in sorted(told - needed - allowed):
        table.fault(name, "unit-does-not-fit", preparation)
    amounts = {name: figure_of(table.inner(name), _DOSES[name]) for name in _DOSES if name in told}
    interval, last_interval = (
        figure_of(table.inner(name), "h") if table.has(name) else None
        for name in ("interval_hours", "last_interval_hours")
    )
    if len(shares) > 1 and interval is None:
        table.fault("interval_hours", "missing-key")
    table.close()
    intervals = {"interval_hours": interval, "last_interval_hours": last_interval}
    return DoseRule(preparation, sex, shares, **intervals, **amounts)


def _holding(table: Table) -> Holding:
    vessel, litres = table.choice("vessel", _VESSELS), table.quantity("litres", "L")
    if litres <= 0:
        table.fault("litres", "not-above-zero", str(litres))
    eggs = figure_of(table.inner("eggs"), "egg")
    flow = figure_of(table.inner("flow"), "L/min") if table.has("flow") else None
    table.close()
    return Holding(vessel, litres, eggs, flow)


def _stocking(table: Table) -> Stocking:
    """A density, under the key of what it is counted by."""
    place, young = table.choice("place", _STOCKED_IN), table.choice("young", _YOUNG)
    told = [per for per in _PER if table.has(f"per_{per}")]
    if len(told) != 1:
        table.fault("", "one-density-wanted")
        table.left.clear()
    per = told[0] if told else "m2"
    name = f"per_{per}"
    density = figure_of(table.inner(name), _PER[per]) if len(told) == 1 else _NO_DENSITY
    litres = table.quantity("bag_litres", "L") if table.has("bag_litres") else None
    table.close()
    return Stocking(place, young, per, density, litres)


_NO_DENSITY = Figure(math.nan, math.nan, None, "larva/m2", (), "from memory")


def _shares(table: Table) -> tuple[float, ...]:
    values = table.take("shares", list, "not-a-list")
    if values is None:
        return ()
    if not all(type(value) in (int, float) and value > 0 for value in values):
        table.fault("shares", "not-above-zero", str(values))
        return ()
    if abs(sum(values) - 1) > _ANY_SHARE:
        table.fault("shares", "shares-not-one", str(values))
    return tuple(float(value) for value in values)


def _reports(table: Table) -> Iterator[Report]:
    """One report, or one for each row of a table of `[water, hours]`, which must rise and fall evenly."""
    event = table.choice("event", _EVENTS)
    preparation = table.choice("preparation", _PREPARATIONS) if event == "strip" else None
    shots = table.whole("shots") if event == "strip" else None
    source = table.text("source")
    if source and source not in table.sources:
        table.fault("source", "unknown-source", source)
    within = table.number("within") if table.has("within") else None
    outside = table.code("outside")
    rows = list(_rows(table) if table.has("table") else _single(table))
    table.close()
    for low_c, high_c, low_h, high_h in rows:
        yield Report(event, preparation, shots, low_c, high_c, low_h, high_h, source, within, outside)


_Row = tuple[float | None, float | None, float, float]


def _single(table: Table) -> Iterator[_Row]:
    water = table.span("celsius", "degC") if table.has("celsius") else (None, None)
    yield (*water, *table.span("hours", "h"))


def _rows(table: Table) -> Iterator[_Row]:
    before: tuple[float, float] | None = None
    for row in table.take("table", list, "not-a-list") or []:
        if not isinstance(row, list) or len(row) != 2:
            table.fault("table", "not-a-pair", str(row))
            continue
        celsius, hours = table.measured("table", row[0], "degC"), table.measured("table", row[1], "h")
        if before and (celsius <= before[0] or hours > before[1]):
            table.fault("table", "not-monotone", str(row))
        before = celsius, hours
        yield celsius, celsius, hours, hours
