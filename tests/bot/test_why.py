""" "Why?" after any figure: one line of reasoning, one of sources, each number a fact, the mark told."""

from __future__ import annotations

import functools
import json
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from bot import house, knowledge, outbox, service
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming
from bot.play import transcript
from bot.store import Store
from core.assistant import Desk, decide, why
from core.assistant.step_reasons import STEPS
from core.commands import Why
from core.records import Farm, Mark, Person
from core.replies import Source, StripForecast
from core.species import MARKS, weakest
from tests.bot import contract, playing
from tests.bot.contract import breaches
from tests.bot.playing import Night, newest, of_kind, played, played_on

MOST_SIGNS = 215
"""About two hundred."""
FARM, MEMORY, TRADE, PUBLISHED = MARKS[3], MARKS[0], MARKS[1], MARKS[2]
OURS = ""
"""No source at all: a rule of this bot's own, or no figure."""


def catfish() -> Night:
    return Night()("17:00", "catfish f 2.4 f 2.6 m 1.8")


def agreed() -> Night:
    return catfish().tap("17:01", "start").tap("17:02", "yes")


def injected() -> Night:
    return agreed()("20:30", "injected")("20:31", "27")


def held() -> Night:
    return injected()("20:40", "12")


def stripped() -> Night:
    return injected()("2 05:30", "f1 300 g, f2 250 g")


def fertilised() -> Night:
    return stripped()("2 05:35", "milt on")


def hatched() -> Night:
    return fertilised()("2 18:00", "164 of 200 good")("3 06:00", "150 of 200 hatched")


def nest() -> Night:
    night = Night()("17:00", "common carp f 4 f 4.2 m 3 m 3").tap("17:01", "start").tap("17:02", "yes")
    return night("20:30", "injected")("20:31", "23")


def seen() -> Night:
    return nest()("2 08:00", "eggs on the mat")


def pituitary() -> Night:
    return Night()("07:00", "common carp pituitary f 4 m 3").tap("07:02", "start").tap("07:03", "yes")


def carp() -> Night:
    night = Night()("17:00", "common carp f 4 m 3").tap("17:01", "change:stripped").tap("17:02", "start")
    return night.tap("17:03", "yes")("20:30", "injected")("20:31", "23")("2 08:00", "f1 400 g")


def carp_milt() -> Night:
    return carp()("2 08:05", "milt on")


def hapa() -> Night:
    night = Night()("17:00", "rohu f 2 m 2").tap("17:02", "start").tap("17:03", "yes")
    return night("17:31", "injected")("2 02:00", "eggs in the hapa")


def book_of_fish() -> Night:
    """A night of tagged fish told to the larvae, and a son of one of them."""
    night = Night()("17:00", "catfish tag 8 female 2.4 tag 12 male 1.8").tap("17:01", "start")
    night = night("20:30", "injected")("20:31", "27")("2 07:00", "tag 8 210 g")("3 09:00", "9000 larvae")
    return night("8 09:00", "14 is a son of female 8 and male 12")


def shelved() -> Night:
    return Night()("10:00", "bottle 10 ml lot A3 exp 2026-06-16")


def drawn() -> Night:
    night = shelved()("17:00", "catfish f 2.4 f 2.6 m 1.8").tap("17:01", "start").tap("17:02", "yes")
    return night("20:30", "injected")


def asked(night: Night, clock: str, folder: Path, words: str = "why?") -> dict[str, Any]:
    """The answer to "why?" at that hour; it must be one."""
    *_, last = played(night(clock, words).lines, folder)
    assert last["kind"] == "source", last["text"]
    return last


def asked_of(night: Night, clock: str, of: str, folder: Path) -> dict[str, Any]:
    """The answer to a "why?" that replies to the newest message of that kind or step."""
    played_on(night.until(clock).lines, folder)
    store, when = Store.open(folder / playing.STORE), datetime.fromisoformat(playing.at(clock))
    found = store.file.row(
        "SELECT id FROM outbox WHERE kind = ?1 OR (kind = 'step' AND json_extract(facts, '$.step') = ?1)"
        " ORDER BY id DESC LIMIT 1",
        of,
    )
    assert found, of
    reply = Incoming("r1", "ada", True, "ada", "en", "text", when, text="why?", reply_to=found["id"])
    with store.transaction():
        service.answer(House(store, HandClock(when)), reply)
    (answer,) = outbox.unsent(store)
    store.close()
    told: dict[str, Any] = json.loads(json.dumps(transcript(answer, when)))
    return told


@dataclass(frozen=True)
class Case:
    """A night, the hour of the question, the reasons told, a source that must be among those told (`OURS`:
    there is none) and the mark. `of`: the kind or step of the message that the question replies to."""

    night: Callable[[], Night]
    clock: str
    reasons: str
    source: str
    mark: Mark | None
    of: str = ""


def after(night: Callable[[], Night], clock: str, words: str) -> Callable[[], Night]:
    return lambda: night()(clock, words)


def at(night: Callable[[], Night], clock: str) -> Callable[[], Night]:
    return lambda: night().until(clock)


def tapped(night: Callable[[], Night], clock: str, action: str) -> Callable[[], Night]:
    return lambda: night().tap(clock, action)


START = tapped(catfish, "17:01", "start")
BATHED = tapped(at(fertilised, "2 05:50"), "2 05:51", "done")
EARLY = "2 07:00"

CASES = {
    "dose sheet": Case(catfish, "17:01", "dose-ml range", "sharaf-2012", MEMORY),
    "dose sheet, glands": Case(
        pituitary, "07:04", "dose-amount shots dose-carrier range", "brzuska-carp", MEMORY, "dose-sheet"
    ),
    "no dose figure": Case(after(Night, "17:00", "mrigal hcg f 1.2 m 1"), "17:01", "no-figure", OURS, None),
    "a course of shots": Case(
        after(pituitary, "10:00", "primed"), "10:01", "course", "brzuska-carp", PUBLISHED, "course"
    ),
    "an order": Case(
        after(Night, "17:00", "50000 african catfish larvae by saturday"),
        "17:01",
        "order-reared order-females",
        "order-rule",
        MEMORY,
    ),
    "what was given": Case(after(injected, "20:40", "what did I give F1?"), "20:41", "given", "farm", FARM),
    "weight mended after the needle": Case(
        after(injected, "20:40", "no, f1 is 2.6"), "20:41", "dose-ml range", "sharaf-2012", MEMORY
    ),
    "grams mended": Case(
        after(stripped, "2 05:40", "no, f1 200 g"), "2 05:41", "eggs range", "dadebo-2000", MEMORY
    ),
    "order of hatchlings": Case(
        after(Night, "10:00", "need 50000 catfish hatchlings by friday"),
        "10:01",
        "order-eggs order-females",
        "de-graaf-1995",
        MEMORY,
    ),
    "proposed hour": Case(START, "17:02", "curve hour-free", "okere-2015", MEMORY),
    "hour that wakes somebody": Case(
        after(lambda: START(), "17:02", "inject at 18:00"), "17:03", "curve hour-yours", "okere-2015", MEMORY
    ),
    "hour asked for too late": Case(
        after(lambda: START(), "17:02", "strip at 18:00"), "17:03", "curve", "trade", MEMORY
    ),
    "plan of the night": Case(agreed, "17:03", "curve alarm", "hogendoorn-vismans-1980", MEMORY),
    "strip forecast": Case(injected, "20:32", "curve", "hogendoorn-vismans-1980", MEMORY),
    "rest of a female": Case(
        after(catfish, "17:01", "how long must she rest?"), "17:02", "rest", "fao-ftp-362", MEMORY
    ),
    "rest that nobody told": Case(
        after(Night, "17:00", "how long must a silver barb rest?"), "17:01", "no-figure", OURS, None
    ),
    "hold": Case(held, "20:41", "hold", "prokesova-2015", MEMORY),
    # bells
    "get ready": Case(at(agreed, "19:30"), "19:31", "get-ready", OURS, None),
    "evening word": Case(at(agreed, "20:00"), "20:01", "all-well", OURS, None),
    "trial": Case(tapped(agreed, "17:03", "answer:trial"), "17:03", "trial", OURS, None),
    "inject": Case(at(agreed, "20:30"), "20:30", "dose-ml range", "sharaf-2012", MEMORY),
    "prime": Case(
        at(pituitary, "09:30"),
        "09:30",
        "dose-amount shots dose-carrier range shot-after",
        "fao-ftp-201",
        MEMORY,
    ),
    "last of two shots": Case(
        at(after(pituitary, "09:40", "primed"), "19:40"),
        "19:40",
        "dose-amount shots dose-carrier range shot-before",
        "fao-ftp-201",
        MEMORY,
    ),
    "water on hold": Case(at(held, "2 00:40"), "2 00:41", "check-water", OURS, None),
    "first look": Case(at(injected, "2 04:30"), "2 04:30", "curve look-life", "memory", MEMORY),
    "rung again": Case(at(injected, "2 04:32"), "2 04:33", "curve look-life again", "okere-2015", MEMORY),
    "next look": Case(after(injected, "2 04:31", "not yet"), "2 04:32", "look-life range", "memory", MEMORY),
    "look into the nest": Case(
        at(nest, "2 08:00"), "2 08:00", "curve look-house again", "realis-2018", TRADE
    ),
    "eggs run": Case(
        at(after(injected, "2 04:31", "f1 eggs run"), "2 05:01"),
        "2 05:01",
        "strip-within egg-life range",
        "memory",
        MEMORY,
        "strip",
    ),
    "look while eggs run": Case(
        at(after(injected, "2 04:31", "f1 eggs run"), "2 05:01"),
        "2 05:01",
        "look-running",
        OURS,
        None,
        "check-females",
    ),
    "milt wanted": Case(at(stripped, "2 05:45"), "2 05:45", "fertilise", OURS, None),
    "so much milt": Case(at(carp, "2 08:15"), "2 08:15", "fertilise milt", "billard-1995", PUBLISHED),
    "de-stick": Case(at(carp_milt, "2 08:10"), "2 08:10", "destick", OURS, None),
    "load": Case(
        at(carp_milt, "2 09:05"), "2 09:05", "load range", "fao-training-8-recalled", MEMORY, "load"
    ),
    "egg bath": Case(
        at(fertilised, "2 05:50"), "2 05:50", "in-the-bath after-swelling", "fda-low-priority", MEMORY
    ),
    "bath begun": Case(BATHED, "2 05:52", "in-the-bath", "woah-2010", PUBLISHED),
    "rinse": Case(at(BATHED, "2 06:01"), "2 06:01", "in-the-bath", "fda-low-priority", PUBLISHED),
    "spent females": Case(at(fertilised, "2 07:30"), "2 07:30", "check-brood", OURS, None),
    "care": Case(at(fertilised, "2 11:35"), "2 11:35", "care range", "memory", MEMORY),
    "count hour": Case(at(fertilised, "2 17:35"), "2 17:35", "check-fertilised", "rurangwa-1998", PUBLISHED),
    "larvae": Case(
        at(fertilised, "3 05:00"), "3 05:00", "curve apart again", "adebayo-dry-wet", MEMORY, "check-hatch"
    ),
    "live food": Case(at(hatched, "5 06:00"), "5 06:00", "set-live-food first-feed", "behmene-2022", MEMORY),
    "first feed": Case(at(hatched, "6 06:00"), "6 06:00", "first-feed range", "behmene-2022", MEMORY),
    "first feed, hatching not told": Case(
        at(fertilised, "6 12:00"),
        "6 12:00",
        "first-feed range from-forecast again",
        "fao-ftp-362",
        MEMORY,
        "first-feed",
    ),
    "brood fish out": Case(at(seen, "2 09:00"), "2 09:00", "remove-brood", OURS, None),
    "collect eggs": Case(at(hapa, "2 08:00"), "2 08:00", "collect-eggs", OURS, None, "collect-eggs"),
    "lift the mat": Case(
        at(after(seen, "5 08:00", "about 20000 larvae"), "8 08:00"),
        "8 08:00",
        "swim-free range",
        "memory",
        MEMORY,
        "remove-substrate",
    ),
    # eggs, counts, baths
    "eggs": Case(stripped, "2 05:31", "eggs range", "dadebo-2000", MEMORY),
    "eggs and milt": Case(carp, "2 08:01", "eggs range milt", "fao-training-8", MEMORY),
    "eggs, own count": Case(
        after(stripped, "2 05:31", "640 eggs per gram"), "2 05:32", "eggs-own", "farm", FARM
    ),
    "jars": Case(
        at(lambda: Night()("17:00", "how many jars for 9 litres of rohu eggs?"), "17:01"),
        "17:01",
        "jars-for jars-flow",
        "icar-66877",
        MEMORY,
    ),
    "jars, flow": Case(
        at(lambda: Night()("17:00", "what flow for african catfish?"), "17:01"),
        "17:01",
        "jars-flow-one",
        "catfish-jars-2005",
        PUBLISHED,
    ),
    "milt": Case(
        at(lambda: Night()("17:00", "how much milt for 300 g of common carp eggs?"), "17:01"),
        "17:01",
        "milt-need",
        "fao-training-8",
        PUBLISHED,
    ),
    "milt, thinned": Case(
        at(lambda: Night()("17:00", "how do I thin the milt of african catfish?"), "17:01"),
        "17:01",
        "milt-thin",
        "catfish-milt-dilution",
        PUBLISHED,
    ),
    "brood": Case(
        at(lambda: Night()("17:00", "effective number of 20 females 5 males"), "17:01"),
        "17:01",
        "brood brood-advice",
        "us-broodstock-handbook",
        PUBLISHED,
    ),
    "brood, the season": Case(
        after(book_of_fish, "9 09:00", "effective number this season?"),
        "9 09:05",
        "brood-season brood-advice",
        "us-broodstock-handbook",
        PUBLISHED,
    ),
    "ready females": Case(
        after(book_of_fish, "9 09:00", "which females are ready?"), "9 09:05", "rest", "fao-ftp-362", MEMORY
    ),
    "the card of a fish": Case(
        after(book_of_fish, "9 09:00", "show tag 8"), "9 09:05", "rest", "fao-ftp-362", MEMORY
    ),
    "mates": Case(
        after(book_of_fish, "9 09:00", "who should I pair with tag 8?"),
        "9 09:05",
        "kin",
        "genetics-course-kin",
        PUBLISHED,
    ),
    "brood, generations told": Case(
        at(lambda: Night()("17:00", "inbreeding over 3 generations with 20 10 50"), "17:01"),
        "17:01",
        "brood-told brood-advice",
        "genetics-course",
        PUBLISHED,
    ),
    "males": Case(
        at(lambda: Night()("17:00", "how many males for 12 grass carp females?"), "17:01"),
        "17:01",
        "brood-males",
        "icar-81221",
        PUBLISHED,
    ),
    "rest left": Case(
        after(stripped, "2 05:31", "can i use F1 again?"), "2 05:32", "rest", "fao-ftp-362", MEMORY
    ),
    "own count": Case(
        at(lambda: Night()("17:00", "african catfish 820 eggs per gram"), "17:01"),
        "17:01",
        "own-count card-count",
        "dadebo-2000",
        MEMORY,
    ),
    "own count, no card": Case(
        at(lambda: Night()("17:00", "african catfish 1 ml is 180 eggs"), "17:01"),
        "17:01",
        "own-count",
        "farm",
        FARM,
    ),
    "hatch forecast": Case(fertilised, "2 05:36", "curve apart count-before", "adebayo-dry-wet", MEMORY),
    "fertilised": Case(
        after(fertilised, "2 18:00", "164 of 200 good"), "2 18:01", "count", "wilson-1927", PUBLISHED
    ),
    "fertilised, no counts": Case(
        after(fertilised, "2 18:00", "82 % fertilised"), "2 18:01", "count-told", "farm", FARM
    ),
    "hatched": Case(hatched, "3 06:01", "count first-feed", "wilson-1927", MEMORY),
    "larvae in cups": Case(
        after(Night, "10:00", "5 cups of 50 ml from 100 l: 12 15 11 14 13"),
        "10:01",
        "larvae-cups",
        "breslow-day-1987",
        MEMORY,
    ),
    "larvae in uneven cups": Case(
        after(Night, "10:00", "4 cups of 50 ml from 100 l: 10 30 12 8"),
        "10:01",
        "larvae-cups larvae-wider",
        "elliott-1977",
        MEMORY,
    ),
    "how many to count": Case(
        after(Night, "10:00", "how many must I count for 10 percent?"),
        "10:01",
        "sample-larvae sample-eggs",
        "cochran-1977",
        MEMORY,
    ),
    "a measure of the farm's own": Case(
        after(Night, "10:00", "1 ml of spawn is 420"),
        "10:01",
        "measure measure-surveyed",
        "world-aquaculture-2023",
        PUBLISHED,
    ),
    "a measure nobody counted": Case(
        after(Night, "10:00", "60 ml of spawn"),
        "10:01",
        "measure-surveyed measure-apart",
        "world-aquaculture-2023",
        PUBLISHED,
    ),
    "larvae by a measure": Case(
        after(after(Night, "10:00", "our cup is 650 fry"), "10:01", "40 cups of fry"),
        "10:02",
        "larvae-by",
        "farm",
        FARM,
    ),
    "survival": Case(
        after(hatched, "3 06:10", "survival?"),
        "3 06:11",
        "survival survival-eggs survival-doubt",
        "wilson-1927",
        MEMORY,
    ),
    "fry per kg": Case(
        after(after(hatched, "3 06:10", "26000 larvae"), "3 06:11", "fry per kg?"),
        "3 06:12",
        "per-kg",
        "farm",
        FARM,
    ),
    "stocking": Case(
        after(Night, "10:00", "stock 200 m2 pond with rohu spawn"),
        "10:01",
        "stocking",
        "icar-86163",
        PUBLISHED,
    ),
    "stocking nobody told": Case(
        after(Night, "10:00", "how many silver barb larvae per litre?"), "10:01", "no-figure", OURS, None
    ),
    "bath for tools": Case(
        after(Night, "07:00", "iodine bath 20 L 100 ppm for tools"),
        "07:01",
        "bath-ml",
        "british-pharmacopoeia-2013",
        TRADE,
    ),
    "salt bath": Case(after(Night, "07:00", "salt bath 20 L 5000 ppm"), "07:01", "bath-grams", "farm", FARM),
    "bath not told to the end": Case(
        after(Night, "07:00", "iodine bath 20 L 100 ppm for eggs"),
        "07:01",
        "bath-strength",
        "fda-low-priority",
        PUBLISHED,
    ),
    "bath without a figure": Case(
        after(Night, "07:00", "iodine bath 20 L for the fish"), "07:01", "no-figure", OURS, None
    ),
    "clove oil": Case(
        after(Night, "07:00", "clove oil 20 L"), "07:01", "bath-ml bath-reported", "hajek-2006", MEMORY
    ),
    "tricaine": Case(
        after(Night, "07:00", "tricaine 20 L"), "07:01", "bath-grams bath-reported", "tricaine-buffer", MEMORY
    ),
    "out of the bath": Case(
        after(Night, "07:00", "10 min in 75 mg/L clove oil"),
        "07:01",
        "bath-reported bath-kills-half",
        "velisek-2005",
        PUBLISHED,
    ),
    "what killed eggs": Case(
        after(Night, "07:00", "formalin 1000 ppm catfish eggs"),
        "07:01",
        "bath-reported bath-kills-all",
        "formalin-eggs-2010",
        PUBLISHED,
    ),
    "fertilising liquid": Case(
        after(Night, "07:00", "fertilising liquid 10 L"),
        "07:01",
        "bath-grams bath-reported-one",
        "fao-training-8",
        PUBLISHED,
    ),
    "no malachite green": Case(
        after(Night, "07:00", "malachite green 10 L"),
        "07:01",
        "malachite-green",
        "malachite-rules",
        PUBLISHED,
    ),
    # answers
    "last hatch rate": Case(
        after(hatched, "3 06:10", "what was the last hatch rate?"), "3 06:11", "result-told", "farm", FARM
    ),
    "last run": Case(
        after(hatched, "3 06:10", "show me last run"),
        "3 06:11",
        "result-counted-at result-eggs result-window",
        "okere-2015",
        MEMORY,
    ),
    "last run, of the good eggs": Case(
        after(lambda: hatched()("3 06:01", "good ones"), "3 06:10", "show me last run"),
        "3 06:11",
        "result-counted-at result-all-from-other result-eggs result-window",
        "wilson-1927",
        MEMORY,
    ),
    "last run, own count and untold water": Case(
        after(
            lambda: agreed()("20:30", "injected")("2 05:30", "f1 300 g, f2 250 g")(
                "2 05:31", "700 eggs per gram"
            )("3 06:00", "150 of 200 hatched, of all eggs"),
            "3 06:10",
            "show me last run",
        ),
        "3 06:11",
        "result-counted-at result-eggs-own result-window-assumed",
        "okere-2015",
        MEMORY,
    ),
    "cancelled": Case(after(catfish, "17:10", "cancel"), "17:11", "result", "farm", FARM),
    "season": Case(after(hatched, "3 06:10", "how was the season?"), "3 06:11", "summary", "farm", FARM),
    "best run": Case(
        after(lambda: hatched()("3 06:01", "good ones"), "3 06:10", "best hatch rate?"),
        "3 06:11",
        "best-run",
        "farm",
        FARM,
    ),
    "side by side": Case(
        after(lambda: hatched()("3 06:01", "good ones"), "3 06:10", "hatch by species"),
        "3 06:11",
        "comparison",
        "farm",
        FARM,
    ),
    "one female": Case(after(hatched, "3 06:10", "how did F1 do?"), "3 06:11", "female", "farm", FARM),
    "what differed": Case(
        after(hatched, "3 06:10", "why was the hatch so low?"),
        "3 06:11",
        "differences",
        "prokesova-2015",
        MEMORY,
    ),
    "money": Case(
        at(lambda: Night()("17:00", "bought feed 1200")("17:01", "what did this season cost?"), "17:02"),
        "17:02",
        "money",
        "farm",
        FARM,
    ),
    "run closed": Case(
        after(hatched, "6 06:10", "fed"),
        "6 06:11",
        "result-counted-at result-eggs result-window",
        "sharaf-2012",
        MEMORY,
    ),
    "status": Case(after(fertilised, "2 06:00", "status"), "2 06:00", "check-brood", OURS, None),
    "what next": Case(
        after(hatched, "3 08:00", "what next?"), "3 08:01", "set-live-food first-feed", "memory", MEMORY
    ),
    "greeting": Case(after(fertilised, "2 06:00", "hello"), "2 06:00", "check-brood", OURS, None),
    "water": Case(after(injected, "20:40", "water?"), "20:41", "told", "farm", FARM),
    "no thermometer": Case(
        after(catfish, "17:01", "no thermometer"), "17:02", "water-assumed", "prokesova-2015", PUBLISHED
    ),
    "implausible weight": Case(
        after(Night, "17:00", "catfish f 0.25 m 1.8"), "17:01", "weights", "memory", MEMORY
    ),
    "implausible water": Case(
        after(injected, "20:40", "water 5 C"), "20:41", "water-far", "prokesova-2015", PUBLISHED
    ),
    "counted too early": Case(
        after(fertilised, EARLY, "164 of 200 good"), "2 07:01", "count-soonest", "rurangwa-1998", PUBLISHED
    ),
    "larvae too early": Case(
        after(fertilised, EARLY, "150 of 200 hatched"), "2 07:01", "curve apart", "adebayo-dry-wet", MEMORY
    ),
    # the shelf
    "bottle": Case(shelved, "10:01", "ledger", "farm", FARM),
    "bottle opened": Case(
        after(shelved, "10:02", "opened bottle A3"), "10:03", "ledger bottle-keeps", "trade", TRADE
    ),
    "bottle counted": Case(
        after(after(Night, "10:00", "bottle lot A3 exp 2027-05"), "10:02", "6 ml left in bottle A3"),
        "10:03",
        "ledger ledger-reckoned",
        "farm",
        FARM,
    ),
    "on the shelf": Case(after(drawn, "21:00", "what is on the shelf?"), "21:01", "ledger", "farm", FARM),
    "ledger": Case(after(drawn, "21:00", "ledger"), "21:01", "ledger", "farm", FARM),
    "enough by the sheet": Case(
        after(after(shelved, "17:00", "catfish f 2.4 m 1.8"), "17:05", "enough hormone for tomorrow?"),
        "17:06",
        "ledger need-planned",
        "farm",
        FARM,
    ),
    "enough as usual": Case(
        after(drawn, "21:00", "enough hormone for tomorrow?"), "21:01", "ledger need-usual", "farm", FARM
    ),
    "bottle expires": Case(at(shelved, "2 09:00"), "2 09:01", "bottle-expires", "farm", FARM),
    "hormone runs low": Case(
        at(after(drawn, "20:40", "bottle A3 has 1 ml left"), "2 09:00"),
        "2 09:01",
        "bottle-low",
        "farm",
        FARM,
        "bottle-low",
    ),
}
EACH = pytest.mark.parametrize("name", CASES)


@functools.cache
def played_case(name: str) -> tuple[str, dict[str, Any]]:
    """The kind of message a case asks about, and the answer; played once for all tests."""
    case = CASES[name]
    with tempfile.TemporaryDirectory() as folder:
        if case.of:
            return case.of, asked_of(case.night(), case.clock, case.of, Path(folder))
        *said, last = played_on(case.night()(case.clock, "why?").lines, Path(folder))
    assert last["kind"] == "source", last["text"]
    told = (why.recalled(line["kind"], 0, line["facts"]) for line in said if line["kind"] in why.FIGURES)
    return [figure.kind for figure in told if why.holds_figure(figure)][-1], last


def answer(name: str) -> dict[str, Any]:
    """The answer of a case. To be looked at only."""
    return played_case(name)[1]


@EACH
def test_every_figure_tells_its_reason_its_source_and_its_mark(name: str) -> None:
    case, line = CASES[name], answer(name)
    facts = line["facts"]
    assert breaches(line) == []  # among others: every number of the text is a fact
    assert " ".join(facts["reasons"]) == case.reasons
    assert (case.source in facts["basis"]) if case.source else (facts["basis"] == [])
    assert facts["mark"] == case.mark
    assert facts["rule"] or facts["basis"] or facts["reasons"] == ["no-figure"]


@EACH
def test_the_answer_is_two_short_lines(name: str) -> None:
    line = answer(name)
    reasoning, *where = line["text"].split("\n")
    assert len(where) == (0 if line["facts"]["reasons"] == ["no-figure"] else 1)
    assert max(map(len, (reasoning, *where))) <= MOST_SIGNS
    names = [value["name"] for value in line["facts"]["values"]]
    assert len(names) == len(set(names))


@EACH
def test_the_strongest_sources_are_named_first_with_their_marks(name: str) -> None:
    line = answer(name)
    facts, text, known = line["facts"], line["text"].split("\n")[-1], knowledge.sources()
    strong = [one["mark"] for one in facts["lines"] if one["id"] in known and not known[one["id"]].weak]
    assert strong == sorted(strong, key=MARKS.index, reverse=True)
    assert {one["id"] for one in facts["lines"]} == set(facts["basis"])
    assert (f"and {facts['more']} more" in text) == bool(facts["more"])
    assert (f"({facts['mark']}" in text or f"The whole: {facts['mark']}" in text) == (
        facts["mark"] not in (None, FARM)
    )
    assert ("this bot's own" in text) == facts["rule"]
    for one in facts["lines"][:1]:
        assert (one["brief"] or "you") in text


@EACH
def test_nothing_is_surer_than_its_weakest_source(name: str) -> None:
    facts = answer(name)["facts"]
    cited = [one["mark"] for one in facts["lines"]]
    assert not cited or MARKS.index(facts["mark"]) <= min(map(MARKS.index, cited))


def test_every_kind_that_can_hold_a_figure_is_asked_about() -> None:
    """Whoever adds one adds a case above."""
    assert {played_case(name)[0] for name in CASES} >= set(why.FIGURES)


def test_every_step_with_a_bell_has_its_reason() -> None:
    assert set(STEPS) == contract.STEPS - contract.WITHOUT_A_BELL


# The reckoning can be done again from what is said ----------------------------------------------------------


def values_of(line: dict[str, Any]) -> dict[str, Any]:
    return {each["name"]: each["value"] for each in line["facts"]["values"]}


def test_a_dose_is_reckoned_out(tmp_path: Path) -> None:
    told = values_of(asked(catfish(), "17:01", tmp_path))
    assert told["per_kg"] * told["kg"] / told["held"] == pytest.approx(told["ml"])
    assert told["low"] <= told["per_kg"] <= told["high"]


def test_hours_follow_from_the_degree_hours(tmp_path: Path) -> None:
    said = played(injected()("20:32", "why?").lines, tmp_path)
    told, forecast = values_of(said[-1]), newest(said, "strip-forecast")
    bare = told["degree_hours"] / (told["celsius"] - told["zero"])
    assert bare * told["factor"] == pytest.approx(told["hours"], abs=0.25)  # shown to the quarter of an hour
    assert forecast["basis"] == said[-1]["facts"]["basis"]
    assert forecast["mark"] == said[-1]["facts"]["mark"]


def test_eggs_are_grams_times_eggs_per_gram(tmp_path: Path) -> None:
    said = played(stripped()("2 05:31", "why?").lines, tmp_path)
    told = values_of(said[-1])
    assert told["grams"] * told["per_gram"] == newest(said, "eggs")["total_eggs"]


def test_sources_that_disagree_are_named_with_the_range(tmp_path: Path) -> None:
    line = asked(fertilised(), "2 05:36", tmp_path)
    told = values_of(line)
    assert "Adebayo et al." in line["text"] and "Hogendoorn, Vismans 1980" in line["text"]
    assert told["low"] < told["hours"] < told["high"]


def test_the_mark_is_that_of_the_weakest(tmp_path: Path) -> None:
    facts = asked(injected()("20:40", "12"), "20:41", tmp_path)["facts"]
    assert facts["mark"] == weakest(one["mark"] for one in facts["lines"])


def test_a_hold_is_of_its_own_group(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish tank 1 f 2.4 m 1.9")("17:01", "tank 2 f 3.1 m 2.0")
    night = night("17:02", "tank 1 27")("17:03", "tank 2 27")("20:30", "injected")("20:40", "tank 2 12")
    said = played(night.lines, tmp_path)
    (second,) = {each["group"] for each in of_kind(said, "strip-forecast") if each["place"] == "tank 2"}
    assert newest(said, "hold")["group"] == second


def test_a_hold_names_the_water_in_which_eggs_die(tmp_path: Path) -> None:
    """African catfish: 17.5 and 35.1 C (Prokesova 2015)."""
    said = played(injected()("20:40", "12")("20:50", "35")("21:00", "16").lines, tmp_path)
    assert [fact["lethal_celsius"] for fact in of_kind(said, "hold")] == [17.5, 35.1, 17.5]
    assert "eggs die at 17.5 C" in [line["text"] for line in said if line["kind"] == "hold"][-1]


def test_an_order_is_reckoned_back(tmp_path: Path) -> None:
    told = values_of(asked(Night()("10:00", "need 50000 catfish hatchlings by friday"), "10:01", tmp_path))
    assert told["larvae"] / (told["hatched"] / 100) == pytest.approx(told["eggs"], rel=0.01)
    assert told["eggs"] / told["per_kg"] / (told["gave"] / 100) == pytest.approx(told["kg"], rel=0.01)


def test_each_shot_tells_its_own_wait(tmp_path: Path) -> None:
    """Striped catfish by hCG: three primings 23 h apart, and 10 h before the last one."""
    night = Night()("07:00", "striped catfish hcg f 4 m 3").tap("07:02", "start")("08:00", "primed")
    night = night("2 07:00", "why?")("2 07:05", "primed")("3 06:05", "why?")("3 06:10", "primed")
    said = played(night("3 16:10", "why?").lines, tmp_path)
    told = [
        (line["facts"]["reasons"][-1], values_of(line)["apart"]) for line in said if line["kind"] == "source"
    ]
    assert told == [("shot-after", 23), ("shot-after", 10), ("shot-before", 10)]


# Which figure is meant ------------------------------------------------------------------------------------


def test_a_message_without_a_figure_does_not_stand_in_the_way(tmp_path: Path) -> None:
    night = catfish()("17:01", "hello")("17:02", "note: rained all day")
    assert asked(night, "17:03", tmp_path)["facts"]["about"] == "dose"


def test_asked_again_the_same_is_told(tmp_path: Path) -> None:
    first, again = of_kind(played(catfish()("17:01", "why?")("17:02", "why?").lines, tmp_path), "source")
    assert first == again


def test_a_reply_asks_about_the_message_it_hangs_on(tmp_path: Path) -> None:
    assert asked_of(agreed(), "17:05", "dose-sheet", tmp_path)["facts"]["about"] == "dose"


def test_before_any_figure_it_is_asked_what_is_meant(tmp_path: Path) -> None:
    *_, last = played(Night()("17:00", "why?").lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("ask", "no-figure-before")


def test_of_several_runs_the_answer_names_its_own(tmp_path: Path) -> None:
    night = catfish().tap("17:01", "start")("17:05", "common carp f 4 m 3")
    line = asked(night, "17:06", tmp_path)
    assert line["facts"]["species"] == "common-carp"
    assert line["text"].startswith("Common carp: ")


def test_a_figure_of_a_run_that_is_over_keeps_its_sources(tmp_path: Path) -> None:
    """Its run is not on the desk any more: what stood in the message is told."""
    facts = newest(played(injected().lines, tmp_path), "strip-forecast")
    figure = why.recalled("strip-forecast", 1, facts)
    now = datetime.fromisoformat(playing.at("9 20:30"))
    desk = Desk(Farm(1, "ada"), Person(1, "ada", "en"), now, now, "m1", 1, 1, figure=figure)
    (told,) = decide(Why(), desk, house.known()).replies
    assert isinstance(told.fact, Source)
    assert (told.fact.reasons, told.fact.basis) == (("over",), tuple(facts["basis"]))
    assert told.fact.mark == facts["mark"]


WITH_FIGURES = (
    "why every 60 min?",
    "why 12 h?",
    "why 10 ug",
    "why 27 C?",
    "why 650 eggs per gram?",
    "why 82 %?",
    "why so late?",
    "why 04:45?",
    "how come 1.2 ml",
)


@pytest.mark.parametrize("words", WITH_FIGURES)
def test_a_figure_that_is_asked_about_is_not_told(words: str, tmp_path: Path) -> None:
    before = played(injected().lines, tmp_path)
    *_, last = played(Night()("20:40", words)("20:41", "water?").lines, tmp_path)
    assert last["facts"]["celsius"] == 27.0
    line = asked(Night(), "20:42", tmp_path, words)
    assert not set(line["buttons"])
    assert newest(before, "strip-forecast")["celsius"] == 27.0


def test_what_is_told_after_why_is_still_told(tmp_path: Path) -> None:
    said = played(injected()("20:40", "why? water 26").lines, tmp_path)
    assert newest(said, "strip-forecast")["celsius"] == 26.0


# Rows that older versions wrote -----------------------------------------------------------------------------


def test_a_row_of_an_older_form_is_read_with_what_it_has() -> None:
    old = {"basis": ["sharaf-2012"], "mark": "from memory", "celsius": 27.0}
    figure = why.recalled("strip-forecast", 1, old)
    assert (figure.fact, figure.basis, figure.mark) == (None, ("sharaf-2012",), "from memory")
    assert why.holds_figure(figure)


def test_a_row_with_facts_of_a_newer_form_is_read(tmp_path: Path) -> None:
    facts = newest(played(injected().lines, tmp_path), "strip-forecast")
    figure = why.recalled("strip-forecast", 1, {**facts, "of_tomorrow": 1})
    assert isinstance(figure.fact, StripForecast)


def test_a_noted_row_that_is_read_no_more_holds_no_figure() -> None:
    assert not why.holds_figure(why.recalled("noted", 1, {"what": 3}))


# Short names of sources -------------------------------------------------------------------------------------


def test_every_source_has_a_short_name() -> None:
    for cited in knowledge.sources().values():
        assert 3 < len(cited.brief) <= 50
        assert not re.search(r"[\[(:;]|\.$|\bof$", cited.brief.removesuffix("et al.")), cited.brief


@pytest.mark.parametrize(
    ("source", "brief"),
    [
        ("hogendoorn-vismans-1980", "Hogendoorn, Vismans 1980"),
        ("de-graaf-1995", "de Graaf et al. 1995"),
        ("adebayo-dry-wet", "Adebayo et al."),
        ("trade", "Facts of the trade"),
        ("gomina-2011", "Gomina Ozohu 2011"),
        ("british-pharmacopoeia-2013", "British Pharmacopoeia 2013"),
        ("catfish-teaching-note-2012", "Teaching note on African catfish breeding 2012"),
    ],
)
def test_a_short_name_is_who_wrote_it_and_when(source: str, brief: str) -> None:
    assert knowledge.sources()[source].brief == brief
