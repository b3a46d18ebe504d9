"""Facts and a language become sentences here, and nowhere else; the sentences are in `core/lang/*.ftl`.

A new kind of fact: a case in `_fact`, a writer in the module of its topic, a text. A new code (a caution, a
question, a kind of note): a text alone, `<family>-<code>`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, tzinfo
from typing import Any, assert_never

from core.commands import Reading
from core.errors import HatchError
from core.replies import (
    Answered,
    Ask,
    BathKept,
    BathMix,
    BestRun,
    BottleNow,
    BroodNumbers,
    BroodSeason,
    Button,
    Comparison,
    Corrected,
    CountNeeded,
    Course,
    CrewList,
    DoseSheet,
    EggsTaken,
    Exported,
    Fact,
    FemaleRuns,
    FertilisedShare,
    FishCard,
    FishKept,
    Given,
    HatchedShare,
    HatchForecast,
    HelpText,
    Hold,
    HormoneEnough,
    HormoneLedger,
    Imported,
    InjectPlan,
    JoinLink,
    LarvaeInWater,
    Mates,
    Measure,
    MiltNeed,
    MoneyTold,
    NightPicture,
    NightPlan,
    Noted,
    OrderPlan,
    OwnCounted,
    PerKg,
    ReadyFemales,
    Refused,
    Reply,
    RestTime,
    Result,
    RipeSigns,
    RunCancelled,
    RunPaper,
    RunSheet,
    SeasonPicture,
    SeasonTable,
    ShelfNow,
    Source,
    SpentKept,
    Status,
    StepDue,
    StockPlan,
    StripForecast,
    Summary,
    Survival,
    TreatedFish,
    TroubleHelp,
    VesselPlan,
    WhyLow,
)
from core.wording import (
    answers,
    baths,
    bottles,
    brood,
    broodbook,
    buttons,
    commandline,
    comparisons,
    crew,
    doses,
    eggs,
    fry,
    money,
    orders,
    papers,
    pictures,
    steps,
)
from core.wording.papers import Block, Page, Shows
from core.wording.texts import FALLBACK, NoWords, Texts
from core.wording.voice import Tongue, Voice, opening

__all__ = ["Block", "NoWords", "Page", "Wording"]


class Wording:
    """Built once from the texts of every language, as `{"en": "...the .ftl file..."}`."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        self._texts = Texts(texts)

    def say(self, reply: Reply, *, lang: str, zone: tzinfo, now: datetime, farm_name: str = "") -> str:
        """The whole message as plain text."""
        return "\n".join(self.blocks(reply, lang=lang, zone=zone, now=now, farm_name=farm_name))

    def blocks(
        self, reply: Reply, *, lang: str, zone: tzinfo, now: datetime, farm_name: str = ""
    ) -> tuple[str, ...]:
        """The message in pieces that may be cut apart: the fact, the cautions, the question."""
        v = self._voice(lang, zone, now)
        fact = reply.fact
        told = _fact(v, fact)
        called = getattr(fact, "called", "")
        if called and not (isinstance(fact, DoseSheet) and called == fact.species):
            first = 1 if isinstance(fact, StepDue) and fact.late_minutes else 0
            told[first] = v.say("called", called=opening(v.called(called)), text=told[first])
        cautions = [v.coded("caution", code) for code in reply.cautions]
        asks = v.coded("ask", reply.asks) if reply.asks else _own_question(v, fact)
        farm = v.say("farm", name=farm_name) if farm_name else ""
        return tuple(block for block in (farm, *told, *cautions, asks) if block)

    def page(
        self, paper: RunPaper, *, lang: str, zone: tzinfo, now: datetime, farm_name: str, shows: Shows
    ) -> Page:
        """What is printed on the page of a run, in letters that the printer `shows`."""
        return papers.page(self._voice(lang, zone, now), paper, farm_name, shows)

    def label(self, button: Button, *, lang: str, zone: tzinfo, now: datetime) -> str:
        return buttons.label(self._voice(lang, zone, now), button)

    def presses(self, text: str, action: str, label: str, lang: str) -> bool:
        """Whether these words, typed, mean the button of that action and label."""
        return buttons.presses(self._tongue(lang), text, action, label)

    def describe(self, said: Reading, lang: str) -> str:
        """A reading in a few words, as on the buttons of a question."""
        return buttons.describe(self._tongue(lang), said)

    def command(self, name: str, lang: str) -> str:
        """What a command of the messenger's menu does."""
        return self._tongue(lang).coded("command", name)

    def twin(self, at: str, run: int, lang: str) -> str:
        """What stands under a message that may come twice: which one it is."""
        return self._tongue(lang).say("twin", at=at, run=str(run))

    def letters(
        self, fact: NightPicture | SeasonPicture, *, lang: str, zone: tzinfo, now: datetime
    ) -> dict[str, Mapping[str, Any]]:
        """The words on a picture, as the reader reads them, and plain: in English, without names."""
        words = pictures.letters(self._voice(lang, zone, now), fact, names=True)
        plain = pictures.letters(self._voice(FALLBACK, zone, now), fact, names=False)
        return {"words": words, "plain": plain}

    def no_picture(self, code: str, lang: str) -> str:
        """Why a message comes without its picture."""
        return self._tongue(lang).coded("no-picture", code)

    def fault(self, error: HatchError, lang: str) -> str:
        """One line for the command line; a code without words is shown with its values."""
        return commandline.fault(self._tongue(lang), error)

    def vital(self, code: str, minutes: float, lang: str) -> str:
        """One line for the service manager: how we are, and for how long it has been so."""
        tongue = self._tongue(lang)
        return tongue.coded("vital", code, minutes=tongue.whole(minutes))

    def note(self, code: str, lang: str) -> str:
        """What to know of a forecast, by its code."""
        return self._tongue(lang).coded("note", code)

    def forecast(self, told: Mapping[str, object], lang: str) -> str:
        """The object of `hatchbell forecast` in two lines."""
        return commandline.forecast(self._tongue(lang), told)

    def operating(self, code: str, told: Mapping[str, object], lang: str) -> str:
        """A line of `backup`, `restore` or `check`."""
        return commandline.operating(self._tongue(lang), code, told)

    def _tongue(self, lang: str) -> Tongue:
        return Tongue(self._texts, self._texts.known(lang))

    def _voice(self, lang: str, zone: tzinfo, now: datetime) -> Voice:
        return Voice(self._texts, self._texts.known(lang), zone, now)


def _own_question(v: Voice, fact: Fact) -> str:
    return steps.question(v, fact) if isinstance(fact, StepDue) else ""


def _fact(v: Voice, fact: Fact) -> list[str]:  # noqa: C901 - one line a kind
    match fact:
        case DoseSheet():
            return doses.dose_sheet(v, fact)
        case InjectPlan():
            return doses.inject_plan(v, fact)
        case NightPlan():
            return doses.night_plan(v, fact)
        case OrderPlan():
            return orders.order_plan(v, fact)
        case StripForecast():
            return doses.strip_forecast(v, fact)
        case Hold():
            return doses.hold(v, fact)
        case StepDue():
            return steps.step(v, fact)
        case EggsTaken():
            return eggs.eggs_taken(v, fact)
        case OwnCounted():
            return eggs.own_count(v, fact)
        case VesselPlan():
            return eggs.vessels(v, fact)
        case MiltNeed():
            return eggs.milt(v, fact)
        case BroodNumbers():
            return brood.brood_numbers(v, fact)
        case BathKept():
            return baths.kept(v, fact)
        case BathMix():
            return baths.bath(v, fact)
        case FertilisedShare():
            return eggs.fertilised(v, fact)
        case HatchForecast():
            return eggs.hatch_forecast(v, fact)
        case HatchedShare():
            return eggs.hatched(v, fact)
        case LarvaeInWater():
            return fry.larvae_in_water(v, fact)
        case Measure():
            return fry.measure(v, fact)
        case StockPlan():
            return fry.stock_plan(v, fact)
        case Survival():
            return fry.survival(v, fact)
        case PerKg():
            return fry.per_kg(v, fact)
        case CountNeeded():
            return fry.count_needed(v, fact)
        case Result():
            return answers.result(v, fact)
        case Summary():
            return answers.summary(v, fact)
        case BestRun():
            return comparisons.best_run(v, fact)
        case Comparison():
            return comparisons.comparison(v, fact)
        case FemaleRuns():
            return comparisons.female(v, fact)
        case WhyLow():
            return comparisons.why_low(v, fact)
        case SpentKept():
            return money.spent_kept(v, fact)
        case MoneyTold():
            return money.money_told(v, fact)
        case RestTime():
            return answers.rest(v, fact)
        case RipeSigns():
            return answers.ripe_signs(v, fact)
        case BottleNow():
            return bottles.bottle_now(v, fact)
        case ShelfNow():
            return bottles.shelf(v, fact)
        case HormoneLedger():
            return bottles.ledger(v, fact)
        case HormoneEnough():
            return bottles.enough(v, fact)
        case Course():
            return doses.course(v, fact)
        case Given():
            return answers.given(v, fact)
        case Noted():
            return answers.noted(v, fact)
        case Corrected():
            return answers.corrected(v, fact)
        case RunCancelled():
            return answers.cancelled(v, fact)
        case Status():
            return answers.status(v, fact)
        case HelpText():
            return answers.help_text(v, fact)
        case Source():
            return answers.source(v, fact)
        case Answered():
            return answers.answered(v, fact)
        case Ask():
            return answers.ask(v, fact)
        case Refused():
            return answers.refused(v, fact)
        case TroubleHelp():
            return answers.trouble(v, fact)
        case JoinLink():
            return crew.join_link(v, fact)
        case CrewList():
            return crew.crew_list(v, fact)
        case Exported():
            return answers.exported(v, fact)
        case SeasonTable():
            return papers.season_table(v, fact)
        case Imported():
            return papers.imported(v, fact)
        case RunSheet():
            return papers.run_sheet(v, fact)
        case ReadyFemales():
            return broodbook.ready(v, fact)
        case FishCard():
            return broodbook.fish_card(v, fact)
        case FishKept():
            return broodbook.fish_kept(v, fact)
        case Mates():
            return broodbook.mates(v, fact)
        case BroodSeason():
            return broodbook.season(v, fact)
        case TreatedFish():
            return broodbook.treated(v, fact)
        case NightPicture():
            return pictures.night(v, fact)
        case SeasonPicture():
            return pictures.season(v, fact)
    assert_never(fact)
