"""Questions of brood fish by their numbers: the effective number, inbreeding, how many males."""

from __future__ import annotations

import dataclasses

from core import broodstock as brood_fish
from core import commands as say
from core.assistant import broodbook
from core.assistant.choosing import card_asked, pending, waited
from core.assistant.talk import AskFirst, Talk
from core.records import Run
from core.replies import Ask, BroodNumbers, Reply
from core.species import Card

MOST_GENERATIONS = 100
WAITING = "brood_numbers"


def brood(talk: Talk, said: say.AskBrood) -> None:
    """By the numbers told, else by those of the newest open run; asked without any, it waits for them."""
    said = _with_what_waited(talk, said)
    if _tells_nothing(said) and _newest(talk, None) is None and broodbook.say_seasons(talk):
        return
    if said.what in ("effective", "inbreeding"):
        talk.say(_drift(talk, said, *_counted(talk, said)))
    else:
        _of_males(talk, said)


def _tells_nothing(said: say.AskBrood) -> bool:
    """The effective number of no fish told: that of the season is meant, where no run is open."""
    return said.what == "effective" and not (
        said.females or said.males or said.effectives or said.generations
    )


def _with_what_waited(talk: Talk, said: say.AskBrood) -> say.AskBrood:
    """Numbers that were asked for are of the question that waits for them."""
    before = waited(talk, say.AskBrood, WAITING) if said.females and said.males else None
    if before is None or said.generations or said.species or said.species_word:
        return said
    return dataclasses.replace(before, females=said.females, males=said.males)


def _numbers_wanted(talk: Talk, said: say.AskBrood) -> AskFirst:
    return AskFirst(Reply(Ask("brood-numbers", "no-number")), pending(talk, WAITING, said))


def _counted(talk: Talk, said: say.AskBrood) -> tuple[float | None, float | None]:
    """The females and males told, those of the newest run where none were told at all."""
    if said.females or said.males or said.effectives:
        return said.females, said.males
    run = _newest(talk, None)
    return (None, None) if run is None else (_of_sex(run, "f"), _of_sex(run, "m"))


def _newest(talk: Talk, species: str | None) -> Run | None:
    runs = [run for run in talk.live() if run.fish and species in (None, run.species)]
    return runs[-1] if runs else None


def _of_sex(run: Run, sex: str) -> float:
    return float(sum(fish.sex == sex for fish in run.fish))


def _drift(talk: Talk, said: say.AskBrood, females: float | None, males: float | None) -> BroodNumbers:
    """The effective number, what one generation of it adds, and what several make."""
    effectives = said.effectives
    if not effectives:
        if not females or not males:
            raise _numbers_wanted(talk, said)
        effectives = (brood_fish.effective_number(females, males),)
    elif not all(each >= 1 for each in effectives):
        raise _numbers_wanted(talk, dataclasses.replace(said, effectives=()))
    generations = said.generations or float(len(effectives))
    if not 1 <= generations <= MOST_GENERATIONS:
        raise AskFirst(Reply(Ask("generations", "implausible", number=generations)))
    if len(effectives) not in (1, generations):
        raise AskFirst(Reply(Ask("generations", "generations-differ", number=float(len(effectives)))))
    each = list(effectives) * (int(generations) // len(effectives))
    effective = brood_fish.over_generations(each)
    return BroodNumbers(
        about=said.what,
        females=_whole(females),
        males=_whole(males),
        effective=round(effective, 1),
        percent=_percent(brood_fish.rate_of_inbreeding(effective)),
        effectives=tuple(effectives) if len(effectives) > 1 else (),
        generations=int(generations),
        total_percent=_percent(brood_fish.inbreeding(each)) if generations > 1 else None,
        most_percent=brood_fish.MOST_PERCENT,
        better_percent=brood_fish.BETTER_PERCENT,
        advised=brood_fish.ADVISED_NUMBER,
        wanted_males=_wanted(females, males, effective),
        basis=(*brood_fish.FORMULA_SOURCES, *brood_fish.ADVICE_SOURCES),
        mark="published",
    )


def _wanted(females: float | None, males: float | None, effective: float) -> int | None:
    """Males that bring too few fish to the number advised, where more males alone can."""
    if not females or not males or effective >= brood_fish.ADVISED_NUMBER:
        return None
    return brood_fish.males_to_reach(females, brood_fish.ADVISED_NUMBER)


def _whole(count: float | None) -> int | None:
    return None if count is None else round(count)


def _percent(share: float) -> float:
    return round(100 * share, 1)


# Males ----------------------------------------------------------------------------------------------------


def _of_males(talk: Talk, said: say.AskBrood) -> None:
    """How many males the females want by the card, and whether those told are enough."""
    card = card_asked(talk, said, said.species, said.species_word, lambda run: bool(run.fish))
    run = _newest(talk, card.slug)
    females = said.females or (_of_sex(run, "f") if run else None)
    males = said.males or (_of_sex(run, "m") if run and said.what == "enough" else None)
    if not females and said.what == "enough":
        raise _numbers_wanted(talk, said)
    females = females or 1.0
    talk.say(_by_card(said.what, card, females, males), cautions=_alone(males))


def _alone(males: float | None) -> tuple[str, ...]:
    return ("one-male",) if males == 1 else ()


def _by_card(what: str, card: Card, females: float, males: float | None) -> BroodNumbers:
    figure = card.males_per_female
    found = None if figure is None else brood_fish.males_for(females, figure)
    enough = ""
    if found is not None and males:
        least = found.low if found.usual is None else found.usual
        enough = "too-few" if males < found.low else "few" if males < least else "enough"
    return BroodNumbers(
        about=what,
        females=_whole(females),
        males=_whole(males),
        species=card.slug,
        usual_males=found.usual if found else None,
        low_males=found.low if found else None,
        high_males=found.high if found else None,
        enough=enough,
        basis=figure.sources if figure else (),
        mark=figure.mark if figure else None,
    )
