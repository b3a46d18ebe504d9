"""Why a bell rings at its hour: a figure of the card, the farm's own word, or a rule of this bot's own."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from core import baths, forecasts, reminders
from core.assistant.doses import doses_of
from core.assistant.reasons import (
    Reason,
    by_dose,
    joined,
    leaning,
    of_group,
    of_hatch,
    ours,
    reason,
    spread,
)
from core.assistant.shelf_reasons import of_bell
from core.assistant.talk import Talk
from core.errors import NoFigure
from core.records import Batch, Bell, Group, Run, StepKey
from core.replies import Because
from core.runs import batch_of, group_of, step
from core.species import Card, Figure, weakest
from core.timing import HOUR, MINUTE


@dataclass(frozen=True, slots=True)
class Scene:
    """A step of a run: its group or batch, the only one where none was named, and when it is due."""

    talk: Talk
    run: Run
    card: Card
    key: StepKey
    due: datetime
    group: Group | None
    batch: Batch | None


def of_step(talk: Talk, run: Run, key: StepKey, due: datetime, attempt: int = 0) -> Reason:
    """Why a step is due at its hour, and why its bell rings again."""
    group = group_of(run, key.group) or next(iter(run.groups), None)
    batch = batch_of(run, key.batch) or next(iter(run.batches), None)
    scene = Scene(talk, run, talk.card(run), key, due, group, batch)
    explain = STEPS.get(key.step)
    found = explain(scene) if explain else _gone(scene)
    return joined(found, _again(scene) if attempt > 1 else None)


def _gone(scene: Scene) -> Reason:
    """What it was about is no more: a step, group or batch of before."""
    return reason(scene.key.step, "over")


def _again(scene: Scene) -> Reason:
    known = step(scene.run.way, scene.key.step)
    wakes, once = (known.wakes, known.once) if known else (False, False)
    times, apart = reminders.attempts(Bell(scene.run.number, scene.key, scene.due, wakes, once))
    minutes, most = (apart / MINUTE, "min"), (float(times), "")
    return ours(reason(scene.key.step, "again", again=minutes, times=most))


# Needle and looks -----------------------------------------------------------------------------------------


def _get_ready(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.GET_READY_BEFORE)


def _needle(scene: Scene) -> Reason:
    """What to draw, and how far it lies from the shot before or after."""
    run, card = scene.run, scene.card
    try:
        worked = doses_of(scene.talk, run)
    except NoFigure:
        return reason("dose", "no-figure")
    leaned = leaning("dose", worked.basis, worked.mark)
    return joined(by_dose(card, run.preparation, run.strength, worked.lines, leaned), _apart(scene))


def _apart(scene: Scene) -> Reason | None:
    """How long after the shot before the last one comes, or the next one after a priming."""
    run, card = scene.run, scene.card
    waits, primings = forecasts.waits(card, run.preparation), forecasts.primings_planned(run, card)
    if waits is None or not primings:
        return None
    between, last = waits
    if scene.key.step == "inject":
        return reason("dose", "shot-before", last, apart=(last.usual_or_low, "h"))
    tags = scene.group.tags if scene.group else ()
    more = primings - forecasts.primings_given(run, tags) > 1
    wait = between if more else last
    return reason("dose", "shot-after", wait, apart=(wait.usual_or_low, "h"))


def _look(scene: Scene) -> Reason:
    """The first look by the window; the others by the life of the eggs, or by the rules of the house."""
    run, group = scene.run, scene.group
    if group is None:
        return _gone(scene)
    view = forecasts.strip(run, group, scene.card)
    every = (view.look_every / MINUTE, "min")
    life = scene.card.egg_life_minutes
    if view.looks == "egg-life" and life is not None:
        bare = reason("look", "look-life", life, every=every, life=(life.usual_or_low, "min"))
        looks = joined(bare, spread(life, "min"))
    else:
        looks = ours(reason("look", "look-running" if view.looks == "running" else "look-house", every=every))
    begun = scene.key.look > 1 or group.last_look_at is not None or group.running_at is not None
    if begun:
        return looks
    return joined(of_group(scene.talk, run, group, "look"), _without_spread(looks))


def _without_spread(found: Reason) -> Reason:
    """Beside a window there is no room for a second span, and its words would be mistaken."""
    values = tuple(each for each in found.values if each.name not in ("low", "high"))
    return dataclasses.replace(found, codes=found.codes[:1], values=values)


# Eggs -----------------------------------------------------------------------------------------------------


def _strip(scene: Scene) -> Reason:
    within = (reminders.STRIP_WITHIN / MINUTE, "min")
    life = scene.card.egg_life_minutes
    bare = ours(reason("strip-now", "strip-within", within=within))
    if life is None:
        return bare
    kept = reason("strip-now", "egg-life", life, life=(life.usual_or_low, "min"))
    return joined(bare, kept, spread(life, "min"))


def _fertilise(scene: Scene) -> Reason:
    found = _after_rule(scene, reminders.MILT_WITHIN)
    grams = sum(one.grams or 0.0 for one in scene.batch.eggs) if scene.batch else 0.0
    return joined(found, by_milt(scene.card, grams))


def by_milt(card: Card, grams: float) -> Reason | None:
    """How much milt so many grams of eggs want; `None` where nobody published it."""
    figure = card.milt_ml_per_kg_eggs
    if figure is None or figure.usual is None or not grams:
        return None
    return reason("milt", "milt", figure, milt=(figure.usual, "mL"), grams=(grams, "g"))


def _destick(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.DESTICK_AFTER)


def _load(scene: Scene) -> Reason:
    if scene.run.way == "hapa":
        return _after_rule(scene, reminders.LOAD_WITHIN, "load-collected")
    return _of_card(scene.card.swell_minutes, "min", "load")


def _bath(scene: Scene) -> Reason:
    return joined(_in_bath(scene), _of_swelling(scene.card.swell_minutes))


def _of_swelling(figure: Figure | None) -> Reason | None:
    if figure is None:
        return None
    return reason("bath-eggs", "after-swelling", figure, swell=(figure.usual_or_low, "min"))


def _in_bath(scene: Scene) -> Reason:
    """How long eggs lie in the bath."""
    cited = [scene.talk.knowledge.sources[each] for each in baths.EGG_SOURCES]
    leaned = leaning("bath-eggs", baths.EGG_SOURCES, weakest(each.mark for each in cited))
    minutes = (float(reminders.BATH_MINUTES), "min")
    return joined(reason("bath-eggs", "in-the-bath", minutes=minutes), leaned)


def _care(scene: Scene) -> Reason:
    return _of_card(scene.card.care_hours, "h", "care")


def _count(scene: Scene) -> Reason:
    found = _of_card(scene.card.count_hours, "h", "check-fertilised")
    return joined(found, since_start(scene.run, scene.batch))


def since_start(run: Run, batch: Batch | None) -> Reason:
    """The step that the hours of a batch count from."""
    step_name = forecasts.first_step(run, batch) if batch else "fertilise"
    return Reason("count", (), (Because("since", step_name),))


def _hatch(scene: Scene) -> Reason:
    return of_hatch(scene.talk, scene.run, scene.batch) if scene.batch else _gone(scene)


def _spent(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.SPENT_LOOK_AFTER)


# Larvae ---------------------------------------------------------------------------------------------------


def by_feeding(card: Card) -> Reason | None:
    """When larvae first want food; `None` where nobody published it."""
    figure = card.first_feed_hours
    if figure is None:
        return None
    return reason("feed", "first-feed", figure, feed=(figure.usual_or_low, "h"))


def _live_food(scene: Scene) -> Reason:
    lead = scene.card.live_food_lead_hours
    hours = 0.0 if lead is None else lead.usual_or_high
    found = reason("feed", "set-live-food", lead, lead=(hours, "h"))
    return joined(found, by_feeding(scene.card), _of_water_then(scene))


def _first_feed(scene: Scene) -> Reason:
    figure = scene.card.first_feed_hours
    found = by_feeding(scene.card) or reason("feed", "no-figure")
    return joined(found, spread(figure, "h") if figure else None, _of_water_then(scene))


def _swim_free(scene: Scene) -> Reason:
    return joined(_of_card(scene.card.swim_free_hours, "h", "swim-free"), _of_water_then(scene))


def _of_water_then(scene: Scene) -> Reason | None:
    """Where no hatching was told, hours after it count from a forecast."""
    if scene.batch is None or scene.batch.hatched is not None or scene.card.hatch is None:
        return None
    return reason("feed", "from-forecast", scene.card.hatch)


# Rules of the house ---------------------------------------------------------------------------------------


def _brood_out(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.BROOD_OUT_AFTER)


def _eggs_firm(scene: Scene) -> Reason:
    """By the card where somebody told, else by a rule of ours."""
    if scene.card.firm_hours is None:
        return _after_rule(scene, reminders.EGGS_FIRM_AFTER)
    return _of_card(scene.card.firm_hours, "h", "collect-eggs")


def _water(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.WATER_AGAIN)


def _evening(scene: Scene) -> Reason:
    return ours(reason("all-well", "all-well", at=(scene.due, "")))


def _trial(scene: Scene) -> Reason:
    return _after_rule(scene, reminders.TRIAL_AFTER)


def _after_rule(scene: Scene, after: timedelta, code: str = "") -> Reason:
    """A time that this bot sets by itself."""
    hours = after % HOUR == timedelta()
    value, unit = (after / HOUR, "h") if hours else (after / MINUTE, "min")
    name = code or scene.key.step
    return ours(reason(name, name, after=(value, unit), unit=(unit, "unit")))


def _of_card(figure: Figure | None, unit: str, code: str) -> Reason:
    """A time by the card, with what the sources tell."""
    if figure is None:
        return reason(code, "no-figure")
    found = reason(code, code, figure, after=(figure.usual_or_low, unit), unit=(unit, "unit"))
    return joined(found, spread(figure, unit))


def _of_the_shelf(scene: Scene) -> Reason:
    return of_bell(scene.key.step)


STEPS: Mapping[str, Callable[[Scene], Reason]] = {
    "get-ready": _get_ready,
    "prime": _needle,
    "inject": _needle,
    "check-females": _look,
    "check-nest": _look,
    "strip": _strip,
    "fertilise": _fertilise,
    "destick": _destick,
    "load": _load,
    "disinfect": _bath,
    "rinse": _in_bath,
    "care": _care,
    "check-fertilised": _count,
    "check-hatch": _hatch,
    "check-brood": _spent,
    "set-live-food": _live_food,
    "first-feed": _first_feed,
    "remove-substrate": _swim_free,
    "remove-brood": _brood_out,
    "collect-eggs": _eggs_firm,
    "check-water": _water,
    "all-well": _evening,
    "trial": _trial,
    "bottle-expires": _of_the_shelf,
    "bottle-low": _of_the_shelf,
}
