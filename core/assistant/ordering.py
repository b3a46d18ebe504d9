"""An order of larvae: how many females, how much hormone, which night. It books nothing."""

from __future__ import annotations

import dataclasses
from datetime import date, datetime, time, timedelta

from core import commands as say
from core import eggs, forecasts, orders, results
from core.assistant.choosing import pending, species_for, waited
from core.assistant.counts import book
from core.assistant.doses import awake, is_night
from core.assistant.talk import AskFirst, Talk
from core.errors import NoFigure
from core.records import WaterSource
from core.replies import Ask, Button, OrderPlan, Reply
from core.species import Card, weakest

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MOST_OTHERS = 3


def order(talk: Talk, said: say.Order) -> None:
    """So many larvae by a day: what it takes and when to begin, with all that was assumed."""
    told = _with_what_waited(talk, said)
    if told.larvae is None:
        raise AskFirst(Reply(Ask("larvae", "no-number")))
    if told.day is not None:
        talk.need_clock(told)
    species, others = species_for(talk, told, told.species, told.species_word, lambda slug: True)
    fact = _plan(talk, told.larvae, told, talk.card_of(species))
    buttons = [
        Button(
            f"pick:{n}",
            say.Pick(dataclasses.replace(told, species=slug, species_word=None)),
            "other-species",
            (("species", slug),),
        )
        for n, slug in enumerate(others[:MOST_OTHERS], 1)
    ]
    if fact.why == "no-day":
        named = dataclasses.replace(told, species=species, species_word=None)
        talk.awaiting = pending(talk, "order_day", named)
    talk.say(fact, *buttons, asks="order-day" if fact.why == "no-day" else "")


def _with_what_waited(talk: Talk, said: say.Order) -> say.Order:
    """A day alone belongs to the order that was told without one."""
    before = waited(talk, say.Order, "order_day") if said.larvae is None else None
    return said if before is None else dataclasses.replace(before, by=said.by, day=said.day, at=said.at)


# The plan -------------------------------------------------------------------------------------------------


def _plan(talk: Talk, larvae: float, said: say.Order, card: Card) -> OrderPlan:
    stage = said.stage or "feeding"
    live = [run for run in talk.live() if run.species == card.slug]
    preparation = live[-1].preparation if live else card.usual_preparation
    celsius, source = _water(talk, card)
    wanted = _ready_by(talk, said)
    night, why, earliest = _night(talk, orders.Course(card, preparation, celsius, stage), wanted)
    need = orders.need(card, larvae, _own(talk, card), stage)
    hormone = None
    if need.females is not None:
        hormone = orders.hormone(card, need.females, preparation, talk.farm.strength)
    parts = [each for each in (need, hormone, night) if each]
    return OrderPlan(
        species=card.slug,
        way=live[-1].way if live else card.ways[0],
        larvae=larvae,
        feeding=stage == "feeding",
        wanted_at=wanted,
        why=why,
        earliest_at=earliest,
        need=need,
        hormone=hormone,
        night=night,
        asleep=night is not None and not awake(talk, night.strip),
        celsius=celsius,
        celsius_source=source,
        basis=tuple(dict.fromkeys(name for each in parts for name in each.basis)),
        mark=weakest(each.mark for each in parts),
    )


def _night(
    talk: Talk, course: orders.Course, wanted: datetime | None
) -> tuple[orders.Night | None, str, datetime | None]:
    """The night to inject; why it is none, or none in time; and the earliest morning there is instead."""
    now = talk.desk.now
    if wanted is None:
        return None, "no-day", None

    def trouble(each: orders.Night) -> int:
        return _trouble(talk, each)

    try:
        if night := orders.last_night(course, wanted, now, trouble):
            return night, "", None
        earliest = _morning(talk, orders.earliest_ready(course, now))
        return orders.last_night(course, earliest, now, trouble), "too-late", earliest
    except NoFigure as fault:
        return None, fault.code, None


def _trouble(talk: Talk, night: orders.Night) -> int:
    """Eggs at night are worse than a needle at night."""
    return 2 * (not awake(talk, night.strip)) + any(is_night(talk, shot.at) for shot in night.shots)


def _water(talk: Talk, card: Card) -> tuple[float, WaterSource]:
    """The water last told of this species' newest open run, else the middle of its best range."""
    told = [run for run in talk.live() if run.species == card.slug and run.water]
    return forecasts.celsius_now(told[-1], "", card) if told else (card.assumed_celsius, "assumed")


def _own(talk: Talk, card: Card) -> orders.Own:
    """What the farm's own runs of the species tell."""
    rows = book(talk)

    def mean(figure: results.OfRow) -> orders.OwnMean | None:
        found = results.usual(rows, card.slug, figure)
        return None if found is None else orders.OwnMean(found.mean, found.low, found.high, found.runs)

    return orders.Own(
        hatched_percent=mean(results.hatched_of_all),
        gave_percent=mean(results.gave_percent),
        grams_per_kg=mean(results.grams_per_kg),
        female_kg=mean(results.female_kg),
        eggs_per_gram=eggs.own_count(talk.farm.counts, card.slug, "gram", talk.desk.now),
    )


# The day --------------------------------------------------------------------------------------------------


def _ready_by(talk: Talk, said: say.Order) -> datetime | None:
    """The hour of the wanted day by which larvae must be ready, on the farm's clock: as told, else ours."""
    today = talk.desk.said_at.astimezone(talk.zone).date()
    wanted = day_of(said.day, today)
    told = None if said.at is None else time.fromisoformat(said.at)
    return None if wanted is None else _hour_of(talk, wanted, told)


def _hour_of(talk: Talk, day: date, hour: time | None = None) -> datetime:
    local = datetime.combine(day, hour or time(orders.READY_HOUR), talk.zone)
    return local.astimezone(talk.desk.now.tzinfo)


def _morning(talk: Talk, ready: datetime) -> datetime:
    """The first such hour that is not before `ready`."""
    same = _hour_of(talk, ready.astimezone(talk.zone).date())
    return same if same >= ready else _hour_of(talk, ready.astimezone(talk.zone).date() + timedelta(days=1))


def day_of(day: str | None, today: date) -> date | None:
    """The date of a day as the reader writes it: never before `today`, the weekday of today a week later."""
    if day is None or day in ("week", say.NEXT_WEEK):
        return None
    named, _, of_next_week = day.partition(" ")
    if of_next_week:
        return today + timedelta(days=7 - today.weekday() + WEEKDAYS.index(named))
    if day in WEEKDAYS:
        return today + timedelta(days=(WEEKDAYS.index(day) - today.weekday() - 1) % 7 + 1)
    if day in ("today", "tomorrow"):
        return today + timedelta(days=int(day == "tomorrow"))
    if day.startswith("+"):
        return today + timedelta(days=int(day[1:]))
    month, _, number = day.partition("-")
    return _coming(int(month), int(number), today) if month else _coming_in_month(int(number), today)


def _coming_in_month(number: int, today: date) -> date | None:
    """That day of this month, else of the next that has it."""
    months = [(today.month + ahead - 1) % 12 + 1 for ahead in range(3)]
    found = (_coming(month, number, today) for month in months)
    return next((each for each in found if each is not None), None)


def _coming(month: int, number: int, today: date) -> date | None:
    """That day of the year when it comes next; `None` where no calendar has it in the coming year."""
    for year in (today.year, today.year + 1):
        try:
            found = date(year, month, number)
        except ValueError:
            continue
        if found >= today:
            return found
    return None
