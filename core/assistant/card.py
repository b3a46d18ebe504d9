"""The card of a run: what it came to, number by number, and where the worked out ones come from."""

from __future__ import annotations

from datetime import timedelta

from core import commands as say
from core import money, results
from core import survival as chains
from core.assistant.choosing import paper_button
from core.assistant.talk import Talk
from core.eggs import own_count
from core.records import BatchRow, Mark, Run, RunRow, Span
from core.replies import BatchResult, Button, HormoneUsed, Result
from core.species import weakest
from core.survival import Reckoned

EGGS_WITHIN = timedelta(days=2)
"""After the first injection of a run its eggs are taken: what the farm had counted by then holds for them."""


def say_run(talk: Talk, run: Run) -> None:
    """The card of a run that ends."""
    row = results.row_of(run, talk.knowledge.cards.get(run.species))
    say_result(talk, row, closing=True)


def say_result(
    talk: Talk,
    row: RunRow,
    *,
    closing: bool = False,
    whole: bool = False,
    newer: tuple[RunRow, ...] = (),
) -> None:
    """A run's card, the whole of it where it closes or was asked for, and the offer of its picture and its
    page."""
    fact = result_fact(talk, row, closing=closing, whole=whole or closing, newer=newer)
    picture = Button("picture", say.Pick(say.Question("night_picture"), row.run), "picture")
    shown = (picture,) if row.had_eggs and row.state != "cancelled" else ()
    talk.say(fact, *shown, paper_button(row.run))


def result_fact(
    talk: Talk,
    row: RunRow,
    *,
    closing: bool = False,
    whole: bool = True,
    newer: tuple[RunRow, ...] = (),
) -> Result:
    """The facts of a run's card; dates are the farm's."""
    eggs, basis, mark = eggs_of(talk, row)
    also = _also(row)
    return Result(
        run=row.run,
        species=row.species,
        date=talk.day(row.begun_at),
        fertilised_percent=row.fertilised_percent,
        hatched_percent=row.hatched_percent,
        hatched_of=row.hatched_of,
        larvae=_whole(row.larvae),
        hours_to_strip=row.hours_to_strip,
        ovulated=row.ovulated,
        injected=row.injected,
        state=row.state,
        way=row.way,
        closing=closing,
        whole=whole,
        newer_without=tuple(talk.day(each.begun_at) for each in newer),
        batches=tuple(_batch_result(row, each) for each in row.batches),
        sold=_whole(row.sold),
        had_eggs=row.had_eggs,
        swim_up=_whole(row.swim_up),
        fertilised_low=_low(row.fertilised_span),
        fertilised_high=_high(row.fertilised_span),
        hatched_low=_low(row.hatched_span),
        hatched_high=_high(row.hatched_span),
        percent_of_eggs=results.hatched_of_all(row),
        percent_of_fertilised=results.hatched_of_good(row),
        derived=also[0],
        derived_low=also[1],
        derived_high=also[2],
        egg_grams=row.egg_grams,
        egg_litres=row.egg_litres,
        body_percent=_body_percent(row),
        eggs=None if eggs is None else round(eggs.value),
        eggs_low=_whole(eggs.low) if eggs else None,
        eggs_high=_whole(eggs.high) if eggs else None,
        eggs_per_kg=_eggs_per_kg(row, eggs),
        basis=basis if eggs else (),
        mark=mark if eggs else None,
        larvae_per_kg=_per_kg(row, None if uncounted(row) else row.larvae),
        swim_up_per_kg=_per_kg(row, row.swim_up),
        sold_per_kg=_per_kg(row, row.sold),
        water=row.water,
        window=row.window,
        against_window=results.against_window(row),
        hormone=_hormone(row),
        spent=money.sums(row.spent),
        earned=money.sums(row.earned),
        cost=money.cost_per_thousand(row, whole=not uncounted(row)),
        price=money.price_per_thousand(row.earned),
    )


def _whole(number: float | None) -> int | None:
    return None if number is None else round(number)


def _low(span: Span | None) -> int | None:
    return None if span is None else round(span.low)


def _high(span: Span | None) -> int | None:
    return None if span is None else round(span.high)


def _also(row: RunRow) -> tuple[str, int | None, int | None]:
    """Which of the two hatch rates was worked out from the other and the fertilised share (empty: neither),
    and its doubt where both counts have theirs."""
    other = {"all": results.hatched_of_good, "fertilised": results.hatched_of_all}.get(row.hatched_of)
    if row.hatched_percent is None or other is None or other(row) is None:
        return "", None, None
    which = "fertilised" if row.hatched_of == "all" else "all"
    if row.hatched_span is None or row.fertilised_span is None:
        return which, None, None
    hatched = share_of(row.hatched_percent, row.hatched_span)
    fertilised = share_of(row.fertilised_percent or 0.0, row.fertilised_span)
    return which, *chains.worked_out(row.hatched_of, hatched, fertilised)


def share_of(percent: float, span: Span | None) -> Reckoned:
    """A share (1 is all) with its doubt, where that is known."""
    ends = (span.low, span.high) if span else (percent, percent)
    return Reckoned(percent, *ends).times(0.01)


def _body_percent(row: RunRow) -> float | None:
    """Dry eggs in percent of the weight of the females that gave them."""
    grams = results.grams_per_kg(row)
    return None if grams is None else round(grams / 10, 1)


def _eggs_per_kg(row: RunRow, eggs: Reckoned | None) -> int | None:
    """Eggs for each kg of the females that gave them, or of all injected where they spawn by themselves."""
    kg = row.gave_kg if row.egg_grams else row.injected_kg
    return round(chains.per_kg(eggs.value, kg)) if eggs and kg else None


def _hormone(row: RunRow) -> HormoneUsed | None:
    """What went into all fish; `None` where none was injected."""
    given = [fish for fish in row.fish if fish.first_at is not None]
    if not given or row.preparation is None:
        return None
    told = results.substance(given)
    return HormoneUsed(
        preparation=row.preparation,
        fish=len(given),
        ml=row.used_ml,
        amount=round(told[0], 3) if told else None,
        unit=told[1] if told else "",
    )


def _per_kg(row: RunRow, number: float | None) -> int | None:
    """So many for each kg of injected females."""
    return None if number is None or not row.injected_kg else round(chains.per_kg(number, row.injected_kg))


def uncounted(row: RunRow) -> tuple[str, ...]:
    """The lots whose larvae nobody counted, by place or females, where those of others were: what was counted
    is then a part, and no share of all eggs or females."""
    left = [lot for lot in row.batches if lot.larvae is None]
    if len(left) == len(row.batches):
        return ()
    return tuple(dict.fromkeys(name for lot in left for name in ((lot.place,) if lot.place else lot.tags)))


def eggs_of(talk: Talk, row: RunRow) -> tuple[Reckoned | None, tuple[str, ...], Mark]:
    """How many eggs, by the farm's own count of them or the card's, whose span is their doubt."""
    card = talk.knowledge.cards.get(row.species)
    taken = row.begun_at + EGGS_WITHIN
    if row.egg_grams:
        amount, figure = row.egg_grams, card.eggs_per_gram if card else None
        own = row.eggs_per_gram or own_count(talk.farm.counts, row.species, "gram", taken)
    else:
        amount, figure = 1000 * (row.egg_litres or 0.0), card.eggs_per_ml if card else None
        own = row.eggs_per_ml or own_count(talk.farm.counts, row.species, "ml", taken)
    if not amount or (own is None and figure is None):
        return None, ("farm",), "the farm's own"
    if own is not None or figure is None:
        return chains.exact(amount * (own or 0.0)), ("farm",), "the farm's own"
    usual = Reckoned(figure.usual_or_middle, figure.low, figure.high)
    return usual.times(amount), ("farm", *figure.sources), weakest([figure.mark])


def _batch_result(row: RunRow, batch: BatchRow) -> BatchResult:
    """A batch is called by its place where that tells it from the others, else by its females."""
    alone = batch.place and [each.place for each in row.batches].count(batch.place) == 1
    return BatchResult(
        called=(batch.place if alone else ", ".join(batch.tags)) or batch.place or batch.name,
        fertilised_percent=batch.fertilised_percent,
        hatched_percent=batch.hatched_percent,
        hatched_of=batch.hatched_of,
        larvae=_whole(batch.larvae),
        grams=batch.grams,
        litres=batch.litres,
    )
