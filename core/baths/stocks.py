"""What one mL of a bottle holds, by what its label says."""

from __future__ import annotations

from dataclasses import dataclass

from core.baths.shelf import Shelf, Stock
from core.errors import HatchError
from core.records import Mark
from core.species import Figure, weakest
from core.units import positive

NEAR_PERCENT = 3.0
"""A label this near to the one known bottle of an agent is that bottle: formalin of 37 to 40 %."""


@dataclass(frozen=True, slots=True)
class Held:
    """mg in one mL of the bottle, and on whose word."""

    mg_per_ml: float
    sources: tuple[str, ...]
    mark: Mark


def comes_in_bottles(shelf: Shelf, agent: str) -> bool:
    """Whether the agent is a liquid, measured in mL."""
    return bool(_of(shelf, agent))


def held(shelf: Shelf, agent: str, percent: float | None) -> Held | None:
    """What a mL of the agent's bottle holds; `None` where its label must be told first, or is out of all that
    is known. Between two known bottles it is reckoned evenly, below the weakest in proportion.

    Raises `HatchError("bad-strength", percent)` for what no label can say.
    """
    if percent is not None and not 0 < percent <= 100:
        raise HatchError("bad-strength", percent=percent)
    known = _of(shelf, agent)
    if len(known) == 1:
        return _only(known[0], percent)
    if percent is None or not known or percent > (known[-1].percent or 0.0):
        return None
    over = next(n for n, each in enumerate(known) if percent <= (each.percent or 0.0))
    above = known[over]
    if above.percent == percent:
        return _held(above.mg_per_ml)
    if over == 0:
        return _between(percent, 0.0, 0.0, above, ())
    below = known[over - 1]
    return _between(percent, below.percent or 0.0, _usual(below.mg_per_ml), above, (below,))


def _of(shelf: Shelf, agent: str) -> list[Stock]:
    return sorted(
        (each for each in shelf.stocks if each.agent == agent), key=lambda each: each.percent or 0.0
    )


def _only(stock: Stock, percent: float | None) -> Held | None:
    if percent is None:
        return _held(stock.mg_per_ml)
    near = stock.percent is not None and abs(percent - stock.percent) <= NEAR_PERCENT
    return _held(stock.mg_per_ml) if near else None


def _usual(figure: Figure) -> float:
    return figure.usual_or_middle


def _held(figure: Figure) -> Held:
    return Held(positive(_usual(figure), "mg/mL"), figure.sources, figure.mark)


def _between(
    percent: float, from_percent: float, from_mg: float, above: Stock, others: tuple[Stock, ...]
) -> Held:
    share = (percent - from_percent) / ((above.percent or 0.0) - from_percent)
    figures = [above.mg_per_ml, *(each.mg_per_ml for each in others)]
    sources = tuple(dict.fromkeys(source for figure in figures for source in figure.sources))
    mg = from_mg + share * (_usual(above.mg_per_ml) - from_mg)
    return Held(float(f"{mg:.4g}"), sources, weakest(figure.mark for figure in figures))
