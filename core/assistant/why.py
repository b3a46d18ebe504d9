"""Why? Where the newest figure of a chat comes from, in two lines: how it came about, and its sources."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any, cast

from core import commands as say
from core import eggs, forecasts, reminders
from core.assistant import bath_reasons, card_reasons, shelf_reasons
from core.assistant.counts import book
from core.assistant.doses import sheet
from core.assistant.fry_reasons import (
    of_cups,
    of_kg,
    of_measure,
    of_sample,
    of_stocking,
    of_survival,
    uncounted,
)
from core.assistant.reasons import (
    FARM,
    OWN,
    Reason,
    Values,
    by_dose,
    joined,
    leaning,
    of_group,
    of_hatch,
    of_plan,
    ours,
    reason,
    run_of,
    spread,
    told,
    unknown,
)
from core.assistant.step_reasons import by_feeding, by_milt, of_step, since_start
from core.assistant.talk import Figured, Talk
from core.assistant.water import FAR
from core.assistant.windows import ALARM_BEFORE
from core.errors import BadRecord, NoFigure
from core.plain import from_plain
from core.records import Mark, Preparation, Run, StepKey
from core.replies import (
    Ask,
    BathMix,
    BestRun,
    BottleNow,
    BroodNumbers,
    BroodSeason,
    Comparison,
    Corrected,
    CountNeeded,
    Course,
    DoseSheet,
    EggsTaken,
    Fact,
    FemaleRuns,
    FertilisedShare,
    FishCard,
    Given,
    HatchedShare,
    HatchForecast,
    Hold,
    HormoneEnough,
    HormoneLedger,
    InjectPlan,
    LarvaeInWater,
    Mates,
    Measure,
    MiltNeed,
    MoneyTold,
    NightPlan,
    Noted,
    OnShelf,
    OrderPlan,
    OwnCounted,
    PerKg,
    ReadyFemales,
    Refused,
    RestTime,
    Result,
    ShelfNow,
    Source,
    SourceLine,
    Status,
    StepDue,
    StockPlan,
    StripForecast,
    Summary,
    Survival,
    VesselPlan,
    WaterOutside,
    WhyLow,
)
from core.runs import batch_of, group_of
from core.species import MARKS
from core.timing import BEYOND, HOUR

MOST_NAMED = 3
"""So many sources are named; of the others it is said how many they are."""

ABOUT = {
    "dose-sheet": "dose",
    "order-plan": "order",
    "course": "dose",
    "given": "given",
    "inject-plan": "plan",
    "plan": "plan",
    "strip-forecast": "strip",
    "hold": "hold",
    "rest": "rest",
    "bottle": "shelf",
    "shelf": "shelf",
    "ledger": "shelf",
    "enough": "shelf",
    "step": "step",
    "eggs": "eggs",
    "own-count": "own-count",
    "brood-numbers": "brood",
    "ready-females": "rest",
    "brood-fish": "brood-fish",
    "mates": "mates",
    "brood-season": "brood",
    "jars": "jars",
    "milt": "milt",
    "fertilised": "count",
    "hatch-forecast": "hatch",
    "hatched": "count",
    "larvae-count": "larvae",
    "sample-size": "sample",
    "measure": "measure",
    "survival": "survival",
    "stocking": "stocking",
    "per-kg": "per-kg",
    "bath": "bath",
    "result": "result",
    "summary": "summary",
    "money": "money",
    "best-run": "comparison",
    "comparison": "comparison",
    "female": "comparison",
    "differences": "differences",
    "noted": "noted",
    "corrected": "corrected",
    "status": "step",
    "ask": "asked",
    "refused": "refused",
}
FIGURES = tuple(ABOUT)
"""The kinds of messages that can hold a figure; whether one does, `holds_figure` says."""
OF_BOTTLES = ("bottle", "enough")
OF_FISH = ("brood-numbers", "ready-females", "brood-fish", "mates")
SOMETIMES = ("jars", "milt", *OF_FISH, *OF_BOTTLES, "noted", "ask", "refused", "status", "bath", "corrected")
NONE_KNOWN = ("no-figure", "no-hatch-hours", "outside-source")
SET_BY_US = ("trial",)


def recalled(kind: str, run: int, facts: Mapping[str, Any]) -> Figured:
    """A message that was sent, with its fact; `None` where it was written in a form that is no more."""
    told_then = {key: value for key, value in facts.items() if key != "candidates"}
    try:
        fact = cast("Fact | None", from_plain(Fact, {"kind": kind, **told_then}))
    except BadRecord:
        fact = None
    return Figured(kind, run, tuple(facts.get("basis") or ()), facts.get("mark"), fact)


def holds_figure(figure: Figured) -> bool:  # noqa: C901 - one line a kind
    """Whether there is a figure in the message that "why?" can be about."""
    match figure.fact:
        case Noted() as noted:
            numbers = (noted.next_at, noted.celsius, noted.number)
            timed = noted.at is not None and (noted.echo or noted.what in ("postponed", *SET_BY_US))
            return timed or any(each is not None for each in numbers)
        case Ask() as asked:
            return _asked_of(asked) != ""
        case Refused() as refused:
            known = (*NONE_KNOWN, *bath_reasons.FORBIDDEN, "too-late-for-hour")
            return refused.why in known
        case Status() as status:
            return any(line.next_at is not None for line in status.runs)
        case BathMix() as bath:
            return bath_reasons.holds_figure(bath)
        case Corrected() as corrected:
            return corrected.before != corrected.after
        case VesselPlan() as plan:
            return bool(plan.vessels)
        case BottleNow() | HormoneEnough() as of_the_shelf:
            return shelf_reasons.holds_figure(of_the_shelf)
        case MiltNeed() | BroodNumbers() | ReadyFemales() | FishCard() | Mates() as told_by:
            return bool(told_by.basis)
        case None:
            return figure.kind not in SOMETIMES
        case _:
            return True


def why(talk: Talk, said: say.Why) -> None:
    """How the newest figure of this chat came about, and its sources."""
    figure = talk.desk.figure
    if figure is None or said.about not in (None, figure.kind):
        talk.say(Ask("why", "no-figure-before"))
        return
    about = ABOUT[figure.kind]
    try:
        found = _reason(talk, figure)
    except NoFigure:
        found = unknown(about)
    run = run_of(talk, figure.run)
    lines, more = _lines(talk, found)
    celsius = next((each.value for each in found.values if each.name == "celsius"), None)
    talk.say(
        Source(
            about=found.about,
            species=run.species if run else None,
            lines=lines,
            basis=found.basis,
            mark=found.mark,
            celsius=celsius if isinstance(celsius, float) else None,
            run=figure.run,
            called=talk.called(run) if run else "",
            reasons=found.codes,
            values=found.values,
            rule=found.rule,
            more=more,
        )
    )


# Sources --------------------------------------------------------------------------------------------------


def _lines(talk: Talk, found: Reason) -> tuple[tuple[SourceLine, ...], int]:
    """All sources, the strongest first, those that only widen last; and how many are left unnamed."""
    known = talk.knowledge.sources

    def rank(source: str) -> tuple[bool, int]:
        cited = known.get(source)
        return bool(cited and cited.weak), -MARKS.index(_mark(talk, source, found.mark))

    lines = tuple(
        SourceLine(
            found.about,
            source,
            known[source].title if source in known else "",
            _mark(talk, source, found.mark),
            known[source].brief if source in known else "",
        )
        for source in sorted(found.basis, key=rank)
    )
    names = dict.fromkeys((line.brief, line.mark) for line in lines)
    return lines, max(len(names) - MOST_NAMED, 0)


def _mark(talk: Talk, source: str, mark: Mark | None) -> Mark:
    cited = talk.knowledge.sources.get(source)
    return cited.mark if cited else OWN if source == FARM else mark or OWN


# How each kind came about ---------------------------------------------------------------------------------


def _reason(talk: Talk, figure: Figured) -> Reason:  # noqa: C901 - one line a kind
    match figure.fact:
        case DoseSheet() as fact:
            return _dose_sheet(talk, fact)
        case Course() as fact:
            return _course(fact)
        case OrderPlan() as fact:
            return _order(fact)
        case Given() as fact:
            return _given(talk, fact)
        case InjectPlan(outside=WaterOutside()):
            return _hold(talk, figure)
        case RestTime() as fact:
            return _rest(fact)
        case InjectPlan() as fact:
            return _plan(talk, figure, fact)
        case NightPlan() as fact:
            return _night(talk, figure, fact)
        case StripForecast() as fact:
            return _strip(talk, figure, fact)
        case Hold() as fact:
            return _hold(talk, figure, fact.group, deadly=fact.lethal_celsius is not None)
        case StepDue(bottle=OnShelf()) as fact:
            return shelf_reasons.of_bell(fact.step)
        case BottleNow() as fact:
            return shelf_reasons.of_bottle(fact)
        case HormoneEnough() as fact:
            return shelf_reasons.of_enough(fact)
        case HormoneLedger() | ShelfNow():
            return shelf_reasons.of_ledger()
        case StepDue() as fact:
            key = StepKey(fact.step, fact.group, fact.batch, look=fact.look)
            return _step(talk, figure, fact.run, key, fact.due_at, fact.attempt)
        case EggsTaken() as fact:
            return _eggs(talk, fact)
        case VesselPlan() as fact:
            return _vessels(fact)
        case MiltNeed() as fact:
            return _milt(talk, fact)
        case BroodNumbers() as fact:
            return _brood(talk, fact)
        case BroodSeason() as fact:
            return _brood_season(fact)
        case ReadyFemales() as fact:
            return _ready(fact)
        case FishCard() | Mates() as fact:
            return _of_fish(talk, fact)
        case OwnCounted() as fact:
            return _own_count(talk, fact)
        case FertilisedShare() as fact:
            return _count(fact.good, fact.total, fact.low_percent, fact.high_percent)
        case HatchForecast() as fact:
            return _hatch(talk, figure, fact)
        case HatchedShare() as fact:
            return _hatched(talk, fact)
        case LarvaeInWater() as fact:
            return of_cups(fact)
        case Measure() as fact:
            return of_measure(fact)
        case StockPlan() as fact:
            return of_stocking(fact)
        case Survival() as fact:
            return of_survival(fact)
        case PerKg() as fact:
            return of_kg(fact)
        case CountNeeded() as fact:
            return of_sample(fact)
        case BathMix() as fact:
            return bath_reasons.of_bath(fact)
        case Result() as fact:
            return _result(talk, fact)
        case MoneyTold():
            return told("money", "money")
        case BestRun() | Comparison() | FemaleRuns() | WhyLow() as fact:
            return card_reasons.of_several(fact)
        case Summary() as fact:
            return _summary(fact)
        case Noted() as fact:
            return _noted(talk, figure, fact)
        case Status() as fact:
            return _status(talk, figure, fact)
        case Corrected() as fact:
            return _corrected(talk, fact)
        case Ask() as fact:
            return _asked(talk, fact)
        case Refused() as fact:
            return _refused(talk, fact)
        case _:
            return _over(figure)


def _over(figure: Figured) -> Reason:
    """What the message itself says it leaned on, where its run is not at hand any more."""
    return joined(reason(ABOUT[figure.kind], "over"), leaning("", figure.basis, figure.mark))


# Doses


def _dose_sheet(talk: Talk, fact: DoseSheet) -> Reason:
    if "no-dose-figure" in fact.warnings:
        return unknown("dose")
    leaned = leaning("dose", fact.basis, fact.mark)
    preparation = cast("Preparation", fact.preparation)
    return by_dose(talk.card_of(fact.species), preparation, fact.strength, fact.fish, leaned)


def _course(fact: Course) -> Reason:
    unit = fact.unit.removesuffix("/kg")
    bare = reason(
        "dose",
        "course",
        given=(fact.given, unit),
        coming=(fact.coming, unit),
        total=(fact.total_per_kg, unit),
        unit=(unit, "unit"),
        low=(fact.low, unit),
        high=(fact.high, unit),
    )
    return joined(bare, leaning("dose", fact.basis, fact.mark))


def _order(fact: OrderPlan) -> Reason:
    """From larvae back to eggs, from eggs to females, by all that the plan rests on."""
    need = fact.need
    shares = {each.what: (each.value, "%") for each in need.assumed}
    values: Values = {"larvae": (fact.larvae, ""), "eggs": (float(need.eggs), "egg")}
    code = "order"
    if "hatched" in shares:
        code = "order-eggs"
        values["hatched"] = shares["hatched"]
    if "hatched" in shares and "reared" in shares:
        code = "order-reared"
        values["reared"] = shares["reared"]
    parts = [leaning("order", fact.basis, fact.mark)]
    if need.females is not None:
        kilos: Values = {"per_kg": (shares["eggs-per-kg"][0], "egg"), "gave": shares["gave-eggs"]}
        parts.append(reason("order", "order-females", kg=(need.females.kg, "kg"), **kilos))
    found = joined(reason("order", code, **values), *parts)
    return ours(found) if any(each.origin == "rule" for each in need.assumed) else found


def _given(talk: Talk, fact: Given) -> Reason:
    """What the farm told went in, and what the bottle holds of it."""
    run = run_of(talk, fact.run)
    shot = next((each for each in fact.given if each.ml and each.amount is not None), None)
    if shot is None or shot.ml is None or shot.amount is None:
        return told("given")
    values: Values = {
        "tag": (shot.tag, ""),
        "ml": (shot.ml, "mL"),
        "held": (shot.amount / shot.ml, shot.unit),
        "amount": (shot.amount, shot.unit),
        "unit": (shot.unit, "unit"),
    }
    assumed = run is not None and run.strength_assumed
    label = leaning("given", ("common-label",), "from memory") if assumed else None
    return joined(told("given", "given", **values), label)


def _rest(fact: RestTime) -> Reason:
    if fact.low_days is None or fact.high_days is None:
        return unknown("rest")
    bare = reason("rest", "rest", low=(fact.low_days, "day"), high=(fact.high_days, "day"))
    return joined(bare, leaning("rest", fact.basis, fact.mark))


# Hours of the night


def _plan(talk: Talk, figure: Figured, fact: InjectPlan) -> Reason:
    run = run_of(talk, figure.run)
    if run is None:
        return _over(figure)
    free = reason("plan", "hour-yours" if fact.awake else "hour-free")
    return joined(of_plan(talk, run, fact.final_at), ours(free))


def _night(talk: Talk, figure: Figured, fact: NightPlan) -> Reason:
    """The hours of a plan hang on its window; the alarm is a little before what it wakes for."""
    run = run_of(talk, figure.run)
    if run is None:
        return _over(figure)
    group = next((each for each in run.groups if each.final_at), None)
    if group is not None:
        window = of_group(talk, run, group, "plan")
    elif run.planned is not None:
        window = of_plan(talk, run, run.planned.final_at)
    else:
        return _over(figure)
    alarm = ours(reason("plan", "alarm", before=(ALARM_BEFORE / timedelta(minutes=1), "min")))
    return joined(window, alarm)


def _strip(talk: Talk, figure: Figured, fact: StripForecast) -> Reason:
    run = run_of(talk, figure.run)
    group = group_of(run, fact.group) if run else None
    if run is None or group is None or group.final_at is None:
        return _over(figure)
    return of_group(talk, run, group)


def _hold(talk: Talk, figure: Figured, name: str = "", *, deadly: bool = False) -> Reason:
    """Which water the species bears, and in which hours were reported, to the group of that name."""
    run = run_of(talk, figure.run)
    if run is None:
        return _over(figure)
    card, group = talk.card(run), group_of(run, name)
    curve, _ = forecasts.group_curve(run, group, card) if group else card.strip_curve(run.preparation)
    borne = card.tolerated_celsius
    return ours(
        reason(
            "hold",
            "hold",
            borne,
            curve,
            card.lethal_celsius if deadly else None,
            borne_low=(borne.low, "C"),
            borne_high=(borne.high, "C"),
            low=(curve.min_celsius, "C"),
            high=(curve.max_celsius, "C"),
            beyond=(BEYOND, "C"),
            again=(reminders.WATER_AGAIN / HOUR, "h"),
        )
    )


# Steps


def _step(talk: Talk, figure: Figured, number: int, key: StepKey, due: datetime, attempt: int = 0) -> Reason:
    run = run_of(talk, number)
    return of_step(talk, run, key, due, attempt) if run else _over(figure)


def _coming(talk: Talk, figure: Figured, number: int, step: str, at: datetime) -> Reason:
    """A step that was only named with its hour: whose it is, the run's bells tell."""
    run = run_of(talk, number)
    found = [_key_of(talk, each, step, at) for each in ([run] if run else talk.live())]
    of, key = next((each for each in found if each[1].look), found[0] if found else (None, StepKey(step)))
    return of_step(talk, of, key, at) if of else _over(figure)


def _key_of(talk: Talk, run: Run, step: str, at: datetime) -> tuple[Run, StepKey]:
    planned = reminders.plan(run, talk.card(run), talk.farm, talk.zone, talk.desk.now)
    bells = [bell for key, series in planned.items() if key.step == step for bell in series.bells]
    of_that_hour = [bell for bell in bells if abs(bell.due_at - at) < timedelta(seconds=1)]
    return run, of_that_hour[0].key if of_that_hour else StepKey(step)


def _status(talk: Talk, figure: Figured, fact: Status) -> Reason:
    coming = [(line.next_at, line) for line in fact.runs if line.next_at is not None]
    if not coming:
        return _over(figure)
    at, line = min(coming, key=lambda each: each[0])
    return _coming(talk, figure, line.run, line.next_step, at)


def _noted(talk: Talk, figure: Figured, fact: Noted) -> Reason:
    """What comes next, the water reckoned with, or what the farm told."""
    run = run_of(talk, fact.run)
    if fact.next_step and fact.next_at is not None:
        return _coming(talk, figure, fact.run, fact.next_step, fact.next_at)
    if fact.what in SET_BY_US and run is not None and fact.at is not None:
        return of_step(talk, run, StepKey(fact.what), fact.at)
    if run is not None and (fact.what == "no-thermometer" or fact.word == "assumed"):
        best = talk.card(run).best_celsius
        values: Values = {
            "celsius": (fact.celsius or 0.0, "C"),
            "low": (best.low, "C"),
            "high": (best.high, "C"),
        }
        return reason("water", "water-assumed", best, **values)
    return told("noted")


# Eggs, counts, baths


def _eggs(talk: Talk, fact: EggsTaken) -> Reason:
    """Grams times eggs per gram, and the milt they want; of swollen eggs litres times eggs per mL."""
    if fact.litres is not None:
        return _litres(talk, fact)
    run = run_of(talk, fact.run)
    milt = by_milt(talk.card(run), fact.total_grams or 0.0) if run and fact.milt_ml else None
    if fact.total_eggs is None or fact.eggs_per_gram is None or fact.total_grams is None:
        return joined(told("eggs"), milt)
    own = fact.mark == OWN
    values: Values = {"grams": (fact.total_grams, "g"), "per_gram": (fact.eggs_per_gram, "egg")}
    bare = reason("eggs", "eggs-own" if own else "eggs", **values)
    figure = talk.card(run).eggs_per_gram if run and not own else None
    between = spread(figure, "egg") if figure else None
    return joined(bare, between, milt, leaning("eggs", fact.basis, fact.mark))


def _own_count(talk: Talk, fact: OwnCounted) -> Reason:
    """What the farm counted, and beside it what its card knows."""
    bare = told("own-count", "own-count", at=(fact.at, ""))
    if fact.low is None or fact.high is None:
        return bare
    card = talk.card_of(fact.species)
    figure = card.eggs_per_gram if fact.counted_in == "gram" else card.eggs_per_ml
    known = reason("own-count", "card-count", figure, low=(fact.low, "egg"), high=(fact.high, "egg"))
    return joined(bare, known)


def _brood(talk: Talk, fact: BroodNumbers) -> Reason:
    if fact.species is not None:
        figure = talk.card_of(fact.species).males_per_female
        if figure is None:
            return unknown("brood")
        return reason("brood", "brood-males", figure, low=(figure.low, ""), high=(figure.high, ""))
    advice: Values = {"most": (fact.most_percent or 0.0, "%"), "advised": (float(fact.advised or 0), "")}
    bare = reason("brood", "brood-told" if fact.effectives else "brood")
    return joined(bare, reason("brood", "brood-advice", **advice), leaning("brood", fact.basis, fact.mark))


def _brood_season(fact: BroodSeason) -> Reason:
    advice: Values = {"most": (fact.most_percent, "%"), "advised": (float(fact.advised), "")}
    counted, advised = reason("brood", "brood-season"), reason("brood", "brood-advice", **advice)
    return joined(counted, advised, leaning("brood", fact.basis, fact.mark))


def _ready(fact: ReadyFemales) -> Reason:
    """The days of the species that is shown, of several those of the first."""
    known = next((each for each in fact.rests if each.low_days is not None), None)
    if known is None or known.low_days is None or known.high_days is None:
        return unknown("rest")
    bare = reason("rest", "rest", low=(known.low_days, "day"), high=(known.high_days, "day"))
    return joined(bare, leaning("rest", known.basis, known.mark))


def _of_fish(talk: Talk, fact: FishCard | Mates) -> Reason:
    """The rest of a female, and the kin of fish by the parents that were told."""
    card = talk.knowledge.cards.get(fact.species) if fact.species else None
    parts: list[Reason] = []
    if isinstance(fact, FishCard) and fact.rested_at is not None and card and card.rest_days:
        days = card.rest_days
        parts.append(reason("rest", "rest", days, low=(days.low, "day"), high=(days.high, "day")))
    if isinstance(fact, Mates) or fact.inbred_percent is not None:
        parts.append(joined(reason("kin", "kin"), leaning("kin", fact.basis, "published")))
    return joined(*parts) if parts else unknown("brood-fish")


def _vessels(fact: VesselPlan) -> Reason:
    """What one vessel holds and how much water runs through it; the eggs told over that."""
    if not fact.vessels:
        return unknown("jars")
    first = fact.vessels[0]
    held: Values = {"each": (float(first.each), "egg"), "litres": (first.litres, "L")}
    code = "jars-each" if fact.eggs is None else "jars-for"
    if fact.eggs is not None:
        held["eggs"] = (float(fact.eggs), "egg")
    flow = None
    if first.flow_low is not None and first.flow_low == first.flow_high:
        flow = reason("jars", "jars-flow-one", flow=(first.flow_low, "L"), litres=(first.litres, "L"))
    elif first.flow_low is not None and first.flow_high is not None:
        through: Values = {"flow_low": (first.flow_low, "L"), "flow_high": (first.flow_high, "L")}
        flow = reason("jars", "jars-flow", **through, litres=(first.litres, "L"))
    parts = [flow] if fact.about == "flow" and flow else [reason("jars", code, **held), flow]
    return joined(*parts, leaning("jars", fact.basis, fact.mark))


def _milt(talk: Talk, fact: MiltNeed) -> Reason:
    card = talk.card_of(fact.species)
    figure, parts = card.milt_ml_per_kg_eggs, card.milt_parts
    told_ml = figure and reason("milt", "milt-need", low=(figure.low, "mL"), high=(figure.high, "mL"))
    thin = parts and reason("milt", "milt-thin", parts=(parts.usual_or_middle, ""))
    known = [each for each in (told_ml, thin) if each]
    return joined(*known, leaning("milt", fact.basis, fact.mark)) if known else unknown("milt")


def _litres(talk: Talk, fact: EggsTaken) -> Reason:
    if fact.eggs_per_ml is None:
        return unknown("eggs")
    own = fact.mark == OWN
    values: Values = {"litres": (fact.litres or 0.0, "L"), "per_ml": (fact.eggs_per_ml, "egg")}
    run = run_of(talk, fact.run)
    figure = talk.card(run).eggs_per_ml if run and not own else None
    between = spread(figure, "egg") if figure else None
    bare = reason("eggs", "litres-own" if own else "litres", **values)
    return joined(bare, between, leaning("eggs", fact.basis, fact.mark))


def _count(good: float | None, total: float | None, low: float | None, high: float | None) -> Reason:
    """A count of the farm, and the doubt that a small one leaves."""
    if good is None or total is None or low is None or high is None:
        return told("count", "count-told")
    values: Values = {"good": (good, ""), "total": (total, ""), "low": (low, "%"), "high": (high, "%")}
    return joined(told("count", "count", **values), leaning("count", (eggs.SHARE_SOURCE,), "published"))


def _hatched(talk: Talk, fact: HatchedShare) -> Reason:
    run = run_of(talk, fact.run)
    batch = batch_of(run, fact.batch) if run else None
    count = batch.hatched if batch else None
    good = None if count is None or count.good is None else count.good - (count.deformed or 0.0)
    found = _count(good, count.total if count else None, fact.low_percent, fact.high_percent)
    feeding = by_feeding(talk.card(run)) if run and fact.first_feed_at is not None else None
    return joined(found, feeding)


def _hatch(talk: Talk, figure: Figured, fact: HatchForecast) -> Reason:
    run = run_of(talk, figure.run)
    batch = batch_of(run, fact.batch) if run else None
    if run is None or batch is None:
        return _over(figure)
    count = talk.card(run).count_hours
    if fact.count_at is None or count is None:
        return of_hatch(talk, run, batch)
    counted = reason("hatch", "count-before", count, count=(count.usual_or_low, "h"))
    return joined(of_hatch(talk, run, batch), counted)


# The book


def _result(talk: Talk, fact: Result) -> Reason:
    """A run's card."""
    row = next((each for each in book(talk) if each.run == fact.run), None)
    return card_reasons.of_result(fact, row.hatched_at if row else None)


def _summary(fact: Summary) -> Reason:
    left_out = float(fact.runs - fact.counted)
    return told("summary", "summary", counted=(float(fact.counted), ""), left_out=(left_out, ""))


def _corrected(talk: Talk, fact: Corrected) -> Reason:
    run = run_of(talk, fact.run)
    if run is None or fact.dose_after_ml is None:
        return told("corrected")
    return _dose_sheet(talk, sheet(talk, run))


# Questions and refusals


def _asked_of(fact: Ask) -> str:
    """Which figure of ours a question rests on; empty where it only repeats what was told."""
    if fact.why == "implausible":
        return fact.about if fact.about in ("weights", "water") else ""
    known = ("long-before-count", "long-before-larvae", "eggs-may-come", "not-calibrated")
    return fact.why if fact.why in known else ""


def _asked(talk: Talk, fact: Ask) -> Reason:
    """Why something that was told was put in doubt."""
    run = run_of(talk, fact.run)
    about = _asked_of(fact)
    if about == "weights":
        card = talk.card_of(fact.words)
        female, male = card.female_kg, card.male_kg
        return reason(
            "weights",
            "weights",
            female,
            male,
            low=(female.low, "kg"),
            high=(female.high, "kg"),
            male_low=(male.low, "kg"),
            male_high=(male.high, "kg"),
        )
    if about == "not-calibrated":
        return uncounted(fact)
    if run is None:
        return told("asked")
    card = talk.card(run)
    if about == "water":
        borne = card.tolerated_celsius
        span: Values = {"low": (borne.low, "C"), "high": (borne.high, "C"), "beyond": (FAR, "C")}
        return ours(reason("water", "water-far", borne, **span))
    if about == "long-before-count" and card.count_hours is not None:
        soonest = (card.count_hours.low, "h")
        batch = run.batches[-1] if run.batches else None
        counted = reason("count", "count-soonest", card.count_hours, after=soonest)
        return joined(counted, since_start(run, batch))
    if about == "long-before-larvae" and run.batches:
        return of_hatch(talk, run, run.batches[-1])
    group = next((each for each in run.groups if each.final_at), None)
    return of_group(talk, run, group) if group else told("asked")


def _refused(talk: Talk, fact: Refused) -> Reason:
    """No figure known, or none for that water, or forbidden; an hour that cannot be reached any more."""
    if fact.why in bath_reasons.FORBIDDEN:
        return bath_reasons.of_forbidden(fact, talk.knowledge.sources[bath_reasons.FORBIDDEN[fact.why]])
    run = next(iter(reversed(talk.live())), None)
    if fact.why == "too-late-for-hour" and run is not None and fact.at is not None:
        return of_plan(talk, run, talk.desk.now)
    curve = talk.card(run).hatch if run and fact.why == "no-hatch-hours" else None
    if curve is None or fact.number is None:
        return unknown("refused")
    span: Values = {"low": (curve.min_celsius, "C"), "high": (curve.max_celsius, "C")}
    return unknown("hatch", curve, celsius=(fact.number, "C"), **span)
