"""One row a run as a notebook would hold it: the columns of `season.csv`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, tzinfo
from statistics import fmean

from core.money import Sum
from core.records import Count, Event, Fish, FishWeighed, Injected, Opened, Run, RunRow, SetUp, Stripped, Told
from core.replies import Result
from core.runs import females

Cell = str | int | float | bool | date | datetime | None


def row(
    run: Run, counting: Sequence[Event], book: RunRow, card: Result | None, zone: tzinfo
) -> dict[str, Cell]:
    """The run; `counting` are its events that count, `book` its row of the results book, `card` what its card
    says, `None` for a run of no species."""
    read = [each.celsius for each in run.water if each.source == "measured"]
    return {
        "run": book.run,
        "date": book.begun_at.astimezone(zone).date(),
        "species": book.species,
        "way": book.way,
        "preparation": run.preparation if _is_prepared(counting) else None,
        "ug_per_ml": run.strength.ug_per_ml if run.strength else None,
        "mg_per_ml": run.strength.mg_per_ml if run.strength else None,
        "state": book.state,
        **_fish(run, counting),
        "hormone_ml": book.used_ml,
        "water_c": round(fmean(read), 2) if read else None,
        "stripped_at": min((each.at for each in counting if _is_timed(each, Stripped)), default=None),
        **_eggs(run, book),
        **_count(run, book),
        "larvae": book.larvae,
        "swim_up_larvae": book.swim_up,
        "sold_larvae": book.sold,
        **(_of_card(card) if card else {}),
        "note": "\n".join(_notes(counting)) or None,
    }


def _of_card(card: Result) -> dict[str, Cell]:
    """What its card works out."""
    hormone = card.hormone
    return {
        "eggs": card.eggs,
        "eggs_per_kg": card.eggs_per_kg,
        "hatched_of_all_percent": _rounded(card.percent_of_eggs),
        "hatched_of_good_percent": _rounded(card.percent_of_fertilised),
        "larvae_per_kg": card.larvae_per_kg,
        "water_to_strip_c": _rounded(card.water.mean if card.water else None, 2),
        "hormone_amount": hormone.amount if hormone else None,
        "hormone_unit": hormone.unit or None if hormone else None,
        **_money("spent", card.spent),
        **_money("earned", card.earned),
        "cost_per_thousand_larvae": card.cost.amount if card.cost else None,
    }


def _rounded(number: float | None, decimals: int = 1) -> float | None:
    return None if number is None else round(number, decimals)


def _money(name: str, sums: Sequence[Sum]) -> dict[str, Cell]:
    """An amount in the one currency it was told in; of several none."""
    if len(sums) != 1:
        return {}
    return {name: sums[0].amount, f"{name}_currency": sums[0].currency}


def _notes(counting: Sequence[Event]) -> list[str]:
    told = [each.what for each in counting if isinstance(each.what, Told)]
    return [what.text for what in told if what.what == "note" and what.text]


def _is_prepared(counting: Sequence[Event]) -> bool:
    """Whether somebody told what is injected."""
    frame = [each.what for each in counting if isinstance(each.what, Opened | SetUp)]
    assumed = any(isinstance(what, Opened) and what.preparation_assumed for what in frame)
    return not assumed or any(isinstance(what, SetUp) and what.preparation is not None for what in frame)


def _is_timed(event: Event, kind: type[Injected | Stripped]) -> bool:
    return isinstance(event.what, kind) and event.what.hour_told


def _fish(run: Run, counting: Sequence[Event]) -> dict[str, Cell]:
    mothers = females(run)
    together = {
        fish.tag
        for each in counting
        if isinstance(each.what, FishWeighed) and each.what.together
        for fish in each.what.fish
    }
    each_weighed = mothers and not any(fish.tag in together for fish in mothers)
    weights = " ".join(f"{fish.kg:.15g}" for fish in mothers)
    return {
        "females": len(mothers) or None,
        "female_kg": round(sum(fish.kg for fish in mothers), 6) if mothers else None,
        "weights_kg": weights if each_weighed else None,
        "females_injected": sum(bool(fish.shots) for fish in mothers) or None,
        "injected_at": min((each.at for each in counting if _is_timed(each, Injected)), default=None),
        "dose_ml": _dose(mothers),
    }


def _dose(mothers: Sequence[Fish]) -> float | None:
    """What went into all of them; `None` where that of any shot is not known."""
    told = [shot.ml for fish in mothers for shot in fish.shots]
    known = [ml for ml in told if ml is not None]
    return round(sum(known), 6) if told and len(known) == len(told) else None


def _eggs(run: Run, book: RunRow) -> dict[str, Cell]:
    bowls = [batch for batch in run.batches if batch.eggs]
    grams = [one.grams for batch in bowls for one in batch.eggs]
    known = [each for each in grams if each is not None]
    dry = all(batch.dry is not False for batch in bowls)
    return {
        "hours_to_strip": book.hours_to_strip,
        "females_gave_eggs": book.ovulated,
        "eggs_g": round(sum(known), 6) if known and len(known) == len(grams) and dry else None,
        "eggs_g_per_kg": _per_kg(book.egg_grams, book.gave_kg, 1),
        "eggs_l": book.egg_litres,
    }


def _per_kg(number: float | None, kg: float | None, decimals: int) -> float | None:
    return round(number / kg, decimals) if number is not None and kg else None


def _count(run: Run, book: RunRow) -> dict[str, Cell]:
    return {
        "fertilised_percent": book.fertilised_percent,
        **dict(_sample("fertilised", [batch.fertilised for batch in run.batches])),
        "hatched_percent": book.hatched_percent,
        **dict(_sample("hatched", [batch.hatched for batch in run.batches])),
        "hatched_of": None if book.hatched_percent is None else book.hatched_of,
    }


def _sample(stage: str, counts: Sequence[Count | None]) -> Iterator[tuple[str, Cell]]:
    """The numbers of a sample where the run has just one."""
    told = [count for count in counts if count is not None and count.share is not None]
    if len(told) == 1 and told[0].percent is None:
        yield f"{stage}_good", told[0].good
        yield f"{stage}_total", told[0].total
