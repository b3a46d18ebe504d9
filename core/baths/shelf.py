"""The shelf: liquids and what they are made of, what killed, and what a mL of a bottle holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from core.baths.mix import On, Use
from core.errors import CardFault
from core.species import Citation, Fault, Figure, Table, figure_of, loaded

Elsewhere = Literal["tell", "told-only", "refuse"]
"""What a species gets that no source speaks of: the figure with a warning; a told strength only; nothing."""


@dataclass(frozen=True, slots=True)
class Part:
    """One stuff of a liquid, and how much of it stands in the ready bath, in mg/L."""

    stuff: str
    strength: Figure


@dataclass(frozen=True, slots=True)
class Liquid:
    """One liquid: the first part is what a told strength counts, the others go along with it.

    `species` are those the sources speak of, `elsewhere` what other species get. `warnings` are
    codes of `wording`.
    """

    id: str
    agent: str
    use: Use | None
    purpose: str | None
    on: On | None
    species: tuple[str, ...]
    elsewhere: Elsewhere
    parts: tuple[Part, ...]
    minutes: Figure | None
    warnings: tuple[str, ...]

    @property
    def strength(self) -> Figure:
        """Of the part it is named by."""
        return self.parts[0].strength


@dataclass(frozen=True, slots=True)
class Limit:
    """At so many mg/L of an agent and above, for `minutes` where told, fish or eggs died as `code` says."""

    code: str
    agent: str
    on: On
    species: str
    strength: Figure
    minutes: Figure | None


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial of an agent on eggs of a species: the share that hatched, as the code `found` judges it."""

    found: str
    agent: str
    species: str
    strength: Figure
    minutes: Figure
    hatched_percent: Figure | None


@dataclass(frozen=True, slots=True)
class Stock:
    """What one mL holds, in mg, of a bottle whose label says `percent`; `None`: the pure stuff."""

    agent: str
    percent: float | None
    mg_per_ml: Figure


@dataclass(frozen=True, slots=True)
class Shelf:
    liquids: tuple[Liquid, ...] = ()
    limits: tuple[Limit, ...] = ()
    stocks: tuple[Stock, ...] = ()
    trials: tuple[Trial, ...] = ()
    ph: Figure | None = None

    @property
    def cited(self) -> frozenset[str]:
        """Every source that anything on the shelf leans on."""
        figures = [part.strength for liquid in self.liquids for part in liquid.parts]
        figures += [liquid.minutes for liquid in self.liquids if liquid.minutes is not None]
        figures += [limit.strength for limit in self.limits]
        figures += [limit.minutes for limit in self.limits if limit.minutes is not None]
        figures += [stock.mg_per_ml for stock in self.stocks]
        figures += [each for trial in self.trials for each in (trial.strength, trial.minutes)]
        figures += [self.ph] if self.ph is not None else []
        return frozenset(source for figure in figures for source in figure.sources)


def parse_shelf(text: str, sources: Mapping[str, Citation]) -> Shelf:
    """The shelf of a TOML text: `[[liquids]]`, `[[limits]]`, `[[stocks]]`, `[[trials]]`, `[ph]`.

    Quantities are strings with units.

    Raises `CardFault("bad-shelf", faults)` with every fault.
    """
    faults: list[Fault] = []
    table = Table("", loaded(text, faults), faults)
    table.sources = sources
    shelf = Shelf(
        tuple(_liquid(inner) for inner in table.inners("liquids")),
        tuple(_limit(inner) for inner in table.inners("limits")),
        tuple(_stock(inner) for inner in table.inners("stocks")),
        tuple(_trial(inner) for inner in table.inners("trials")),
        _ph(table.inner("ph")) if table.has("ph") else None,
    )
    table.close()
    names = [liquid.id for liquid in shelf.liquids]
    faults += [
        Fault(name, "used-twice") for name in sorted({each for each in names if names.count(each) > 1})
    ]
    if faults:
        raise CardFault("bad-shelf", faults=tuple(faults))
    return shelf


_ONS: tuple[On, ...] = get_args(On)
_USES: tuple[Use, ...] = get_args(Use)
_ELSEWHERE: tuple[Elsewhere, ...] = get_args(Elsewhere)


def _liquid(table: Table) -> Liquid:
    liquid = Liquid(
        id=table.code("id"),
        agent=table.code("agent"),
        use=table.choice("use", _USES) if table.has("use") else None,
        purpose=table.code("purpose") or None,
        on=table.choice("on", _ONS) if table.has("on") else None,
        species=table.codes("species"),
        elsewhere=table.choice("elsewhere", _ELSEWHERE),
        parts=tuple(_part(inner) for inner in table.inners("parts")),
        minutes=figure_of(table.inner("minutes"), "min") if table.has("minutes") else None,
        warnings=table.codes("warnings"),
    )
    if not liquid.parts:
        table.fault("parts", "missing-key")
    table.close()
    return liquid


def _part(table: Table) -> Part:
    return Part(table.code("stuff"), figure_of(table, "mg/L"))


def _limit(table: Table) -> Limit:
    limit = Limit(
        code=table.code("code"),
        agent=table.code("agent"),
        on=table.choice("on", _ONS),
        species=table.code("species"),
        strength=figure_of(table.inner("strength"), "mg/L"),
        minutes=figure_of(table.inner("minutes"), "min") if table.has("minutes") else None,
    )
    table.close()
    return limit


def _stock(table: Table) -> Stock:
    agent = table.code("agent")
    percent = table.number("percent") if table.has("percent") else None
    return Stock(agent, percent, figure_of(table, "mg/mL"))


def _trial(table: Table) -> Trial:
    trial = Trial(
        found=table.code("found"),
        agent=table.code("agent"),
        species=table.code("species"),
        strength=figure_of(table.inner("strength"), "mg/L"),
        minutes=figure_of(table.inner("minutes"), "min"),
        hatched_percent=figure_of(table.inner("hatched"), "percent") if table.has("hatched") else None,
    )
    table.close()
    return trial


def _ph(table: Table) -> Figure:
    """From where to where: pH has no unit."""
    low, high = table.number("low"), table.number("high")
    sources, mark = table.cites(sets_default=False)
    table.close()
    return Figure(low, high, None, "pH", sources, mark)
