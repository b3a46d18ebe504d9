"""What the wording tests share: the English texts, samples of every fact, and the check on numbers.

`numbers_not_in_facts` is for every test that sees a text with its facts, play transcripts among them.
"""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import Any, get_args

from babel.dates import format_skeleton
from fluent.syntax import FluentParser, ast, visitor

import core
from core.commands import (
    Act,
    Basis,
    Bath,
    ByMeasure,
    Collect,
    Correction,
    Death,
    EggCount,
    EggsRunning,
    EggsTold,
    Fertilised,
    GiveTag,
    Hatched,
    Injection,
    Label,
    LarvaeCount,
    LeftOut,
    LoseFish,
    Nothing,
    Pick,
    Reading,
    SetBottle,
    SetMeasure,
    SetScoop,
    Snooze,
    StepSaid,
    Strip,
    TellFish,
    Temperature,
    Unclear,
    Weigh,
    Weighed,
    Zone,
)
from core.comparing import RunGroup, Why
from core.crew import HandOver, Invite, OnDuty, PrivateBells, Remove, SwitchFarm
from core.differences import Difference, Thing
from core.dosing import DoseLine, DoseShot
from core.drawing import Making
from core.eggs import InVessels
from core.forecasts import ComingShot
from core.money import PerThousand, Sum
from core.orders import Assumed, Females, Hormone, Need, Night
from core.records import (
    EggsOf,
    FishWeight,
    Mark,
    OwnDose,
    Quality,
    RunState,
    Strength,
    Syringe,
    WaterRow,
    WindowRow,
)
from core.replies import (
    Answered,
    Ask,
    BatchResult,
    BathMix,
    Because,
    BestRun,
    BottleNow,
    BroodNumbers,
    BroodSeason,
    Button,
    Comparison,
    Corrected,
    CountNeeded,
    Course,
    CourseDoubt,
    CrewList,
    CrewMember,
    DoneShown,
    DoseSheet,
    EggsInPlace,
    EggsOfFish,
    EggsTaken,
    Exported,
    Fact,
    FemaleRuns,
    FertilisedShare,
    FishCard,
    FishKept,
    Given,
    GivenShot,
    HatchedShare,
    HatchForecast,
    HelpText,
    HerRunTold,
    Hold,
    HormoneEnough,
    HormoneLedger,
    HormoneUsed,
    Imported,
    InjectPlan,
    JoinLink,
    LarvaeInWater,
    LedgerLine,
    MateLine,
    Mates,
    Measure,
    Mended,
    MiltNeed,
    MoneyTold,
    NightPicture,
    NightPlan,
    Noted,
    NotTaken,
    OnShelf,
    OrderPlan,
    OutOfIt,
    OwnCounted,
    OwnWeight,
    PerKg,
    PlanTime,
    ReadyFemales,
    Refused,
    Reply,
    RestDays,
    RestLine,
    RestTime,
    Result,
    RipeSigns,
    RunCancelled,
    RunPaper,
    RunSheet,
    RunShown,
    SeasonPicture,
    SeasonTable,
    ShelfNow,
    Source,
    SourceLine,
    SpawningLine,
    SpentKept,
    Status,
    StatusLine,
    StepDue,
    StockFigure,
    StockPlan,
    StripForecast,
    Summary,
    Survival,
    SurvivalLink,
    TreatedFish,
    TreatedLine,
    TroubleHelp,
    UntaggedRest,
    VesselPlan,
    WaterOutside,
    WaterShown,
    WeightLine,
    WhyLow,
    WindowShown,
)
from core.timing import Window
from core.wording import Wording
from core.wording.answers import OF_PREPARATION
from core.wording.pictures import STEPS_SHOWN
from tests.core import bath_samples

FTL = (Path(core.__file__).parent / "lang" / "en.ftl").read_text(encoding="utf-8")
WORDING = Wording({"en": FTL})
ZONE = timezone(timedelta(hours=6))
EVENING = datetime(2026, 11, 25, 15, 45, tzinfo=UTC)  # 21:45 at the farm, a Wednesday

# The texts as data --------------------------------------------------------------------------------------


class _Names(visitor.Visitor):
    """The values a text needs, and the texts it refers to."""

    def __init__(self) -> None:
        self.values: list[str] = []
        self.texts: list[str] = []

    def visit_VariableReference(self, node: ast.VariableReference) -> None:  # noqa: N802
        self.values.append(node.id.name)

    def visit_MessageReference(self, node: ast.MessageReference) -> None:  # noqa: N802
        self.texts.append(node.id.name)


def entries(ftl: str = FTL) -> list[ast.Message]:
    return [each for each in FluentParser().parse(ftl).body if isinstance(each, ast.Message)]


def names_of(message: ast.Message) -> _Names:
    found = _Names()
    found.visit(message)
    return found


IDS: dict[str, tuple[str, ...]] = {
    each.id.name: tuple(dict.fromkeys(names_of(each).values)) for each in entries()
}


def codes(family: str, besides: Iterable[str] = ()) -> list[str]:
    """The codes that have words: what stands behind `family-`."""
    return [
        name.removeprefix(f"{family}-")
        for name in IDS
        if name.startswith(f"{family}-") and name not in besides
    ]


# Numbers of a text must be facts ------------------------------------------------------------------------

_NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
_CLOCK = re.compile(r"\b\d{1,2}:\d{2}\b")
_DAY = re.compile(r"\b[A-Z][a-z]{2} \d{1,2}(?:, \d{4})?")
_SPAN = re.compile(r"\b(\d+) h (\d+) min\b|\b(\d+) h\b")


def numbers_not_in_facts(text: str, facts: object, zone: tzinfo = UTC) -> list[str]:
    """Figures of an English text that are no fact: should be empty.

    `facts` are records, or the JSON of a transcript, whose times bear their own offset. A figure may be
    rounded, also to three figures; a time is HH:MM (or the day) of a fact's time, "2 h 10 min" is a fact's
    minutes.
    """
    leaves = list(_leaves(facts))
    times = [each.astimezone(zone) for each in leaves if isinstance(each, datetime)]
    words, dates = [], [each.date() for each in times]
    for each in leaves:
        if isinstance(each, str):
            when = _iso(each)
            times += [when] if isinstance(when, datetime) else []
            dates += [when.date() if isinstance(when, datetime) else when] if when else []
            words += [each] if re.search(r"\d", each) and not when else []
    numbers = [float(each) for each in leaves if isinstance(each, int | float) and not isinstance(each, bool)]
    numbers += [float(each) for each in words if _NUMBER.fullmatch(each) and "," not in each]
    for word in sorted((each for each in words if not _NUMBER.fullmatch(each)), key=len, reverse=True):
        text = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", " ", text, flags=re.IGNORECASE)
    strange: list[str] = []
    text = _strike(
        text, _CLOCK, {f"{each:%H:%M}" for each in times} | {w for w in words if _CLOCK.fullmatch(w)}, strange
    )
    text = _strike(text, _DAY, {form for each in dates for form in _forms(each)}, strange)
    spans = {form for each in numbers for form in _spans(each)}
    text = _SPAN.sub(lambda found: " " if found.group() in spans else found.group(), text)
    return strange + [found for found in _NUMBER.findall(text) if not _is_fact(found, numbers)]


def _leaves(value: object) -> Iterator[object]:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from _leaves(getattr(value, field.name))
    elif isinstance(value, dict):
        for each in value.values():
            yield from _leaves(each)
    elif isinstance(value, tuple | list):
        for each in value:
            yield from _leaves(each)
    elif value is not None:
        yield value


def _iso(text: str) -> datetime | date | None:
    """The time or day that a string of a transcript holds."""
    if not re.match(r"\d{4}-\d{2}-\d{2}", text):
        return None
    try:
        return date.fromisoformat(text) if len(text) == 10 else datetime.fromisoformat(text)
    except ValueError:
        return None


def _strike(text: str, form: re.Pattern[str], known: set[str], strange: list[str]) -> str:
    strange += [found for found in form.findall(text) if found not in known]
    return form.sub(" ", text)


def _forms(day: date) -> tuple[str, str]:
    short: str = format_skeleton("MMMd", day, locale="en")
    return short, format_skeleton("yMMMd", day, locale="en")


def _spans(minutes: float) -> set[str]:
    hours, rest = divmod(int(minutes), 60)
    return {f"{hours} h" if not rest else f"{hours} h {rest} min"} if hours else set()


def _is_fact(found: str, numbers: list[float]) -> bool:
    plain = found.replace(",", "")
    decimals = len(plain.partition(".")[2])
    near = any(abs(float(plain) - each) <= 0.5 * 10**-decimals + 1e-9 for each in numbers)
    return near or any(float(plain) == float(f"{each:.3g}") for each in numbers)


# Samples ------------------------------------------------------------------------------------------------


def at(clock: str, days: int = 0) -> datetime:
    """HH:MM at the farm, on the evening's day or `days` later."""
    hour, minute = (int(part) for part in clock.split(":"))
    return datetime(2026, 11, 25, hour, minute, tzinfo=ZONE) + timedelta(days=days)


BOTTLE = Strength(20.0, 10.0)


def one_shot(tag: str, sex: Any, kg: float, ml: float | None, drawn: float | None = None) -> DoseLine:
    drawn = ml if drawn is None else drawn
    shots = () if ml is None else (DoseShot(1, "only", ml, ml * 20, "ug", drawn, 2.0),)
    return DoseLine(tag, sex, kg, None, ml, drawn, shots)


def two_shots(tag: str, kg: float, first: float, then: float) -> DoseLine:
    shots = (
        DoseShot(1, "priming", first, first * 20, "ug", first, 1.0),
        DoseShot(2, "resolving", then, then * 20, "ug", then, 2.0),
    )
    return DoseLine(tag, "f", kg, first, then, first + then, shots)


CATFISH = DoseSheet(
    run=1,
    called="",
    species="african-catfish",
    way="stripped",
    preparation="premix",
    strength=BOTTLE,
    strength_assumed=True,
    ml_per_kg=0.5,
    fish=(
        one_shot("F1", "f", 2.4, 1.2),
        one_shot("F2", "f", 3.1, 1.55, 1.6),
        one_shot("M1", "m", 1.9, 0.48, 0.48),
    ),
    total_ml=3.28,
    draw_ml=3.8,
    syringe_ml=2.0,
    graduation_ml=0.1,
    warnings=("one-male", "male-optional", "strength-assumed", "rounding"),
)
CARP = dataclasses.replace(
    CATFISH,
    called="the carp",
    species="common-carp",
    way="nest",
    strength_assumed=False,
    fish=(two_shots("F1", 4.25, 0.21, 1.92), one_shot("M1", "m", 3.0, None)),
    total_ml=2.13,
    draw_ml=2.4,
    warnings=("under-range",),
)
PRIMED = Course(1, "", (), 500.0, 2000.0, 2500.0, "IU/kg", 2500.0, 4500.0, "", "inject", at("06:00", 1))
GLAND = (DoseShot(1, "priming", None, 2.0, "mg"), DoseShot(2, "resolving", None, 18.0, "mg"))
PITUITARY = dataclasses.replace(
    CARP,
    called="",
    preparation="pituitary",
    strength=None,
    ml_per_kg=None,
    fish=(DoseLine("F1", "f", 4.25, None, None, None, GLAND),),
    total_ml=None,
    draw_ml=None,
    warnings=("no-male",),
)
THRICE = dataclasses.replace(
    CATFISH,
    species="striped-catfish",
    fish=(
        DoseLine(
            "b7",
            "f",
            0.085,
            0.02,
            0.1,
            0.14,
            tuple(
                DoseShot(n, r, ml, 1.0, "ug")
                for n, r, ml in ((1, "priming", 0.02), (2, "priming", 0.02), (3, "resolving", 0.1))
            ),
        ),
    ),
    warnings=(),
)
INJECT_PLAN = InjectPlan(
    1, "", "stripped", at("06:30", 1), None, at("20:30"), at("04:45", 1), at("05:30", 1), at("08:00", 1)
)
NIGHT = NightPlan(
    1,
    "",
    (
        PlanTime("inject", at("22:30")),
        PlanTime("check-females", at("04:45", 1), about=True),
        PlanTime("check-fertilised", at("17:00", 1), about=True, called="tank 2"),
        PlanTime("check-hatch", at("05:30", 2)),
        PlanTime("first-feed", at("18:00", 5)),
    ),
    at("04:40", 1),
)
NEED = Need(
    eggs=129_000,
    grams=197.0,
    females=Females(number=4, each_kg=1.73, kg=5.92, low_kg=1.34, high_kg=19.67, males=2, male_kg=1.73),
    assumed=(
        Assumed("eggs-per-kg", 28_900.0, 8_700.0, 95_700.0, "card", ("de-graaf-1995",), "from memory"),
        Assumed("gave-eggs", 75.0, None, None, "rule", ("order-rule",), "from memory"),
        Assumed("hatched", 48.7, 28.4, 83.5, "card", ("okere-2015",), "from memory"),
        Assumed("reared", 80.0, None, None, "rule", ("order-rule",), "from memory"),
        Assumed("female-kg", 1.73, 0.3, 10.0, "rule", ("memory", "order-rule"), "from memory"),
        Assumed("eggs-per-gram", 650.0, 435.0, 1176.0, "card", ("dadebo-2000",), "from memory"),
    ),
    basis=("de-graaf-1995", "order-rule"),
    mark="from memory",
)
HORMONE = Hormone("premix", 95.2, "ug", None, ("sharaf-2012",), "from memory")
FOLLOWING = Night(
    shots=(ComingShot("resolving", at("20:00")),),
    eggs_at=at("06:00", 1),
    hatch_at=at("07:00", 2),
    feed_at=at("07:00", 5),
    ready_at=at("07:45", 5),
    strip=Window(
        at("20:00"),
        *(at("04:45", 1), at("05:30", 1), at("06:00", 1), at("07:15", 1), at("09:30", 1)),
        26.6,
        ("okere-2015",),
        "from memory",
        False,
    ),
    basis=("okere-2015",),
    mark="from memory",
)
ORDER = OrderPlan(
    species="african-catfish",
    way="stripped",
    larvae=50_000.0,
    feeding=True,
    wanted_at=at("08:00", 5),
    why="",
    earliest_at=None,
    need=NEED,
    hormone=HORMONE,
    night=FOLLOWING,
    asleep=False,
    celsius=26.6,
    celsius_source="assumed",
    basis=("de-graaf-1995", "order-rule"),
    mark="from memory",
)
MENDED: dict[str, tuple[Mended, Mended]] = {
    "weighed": ((FishWeight("F1", "f", 2.4),), (FishWeight("F1", "f", 2.6),)),
    "water": (28.2, 26.2),
    "injected": ((at("21:40"),), (at("21:10"),)),
    "stripped": ((EggsOf("F1", 210.0),), (EggsOf("F1", 250.0), EggsOf("F2"))),
    "collected": (
        (EggsInPlace("jar 1", 3.5, None),),
        (EggsInPlace("jar 1", 2.5, None), EggsInPlace("", 1.0, None)),
    ),
    "counted": (None, None),
    "other": ((FishWeight("F1", "f", 2.4),), ()),
}

FORECAST = StripForecast(
    run=1,
    called="",
    way="stripped",
    group="a",
    place="",
    preparation="premix",
    tags=("F1", "F2"),
    final_injection_at=at("21:40"),
    first_look_at=at("04:45", 1),
    earliest_at=at("04:45", 1),
    most_from_at=at("05:30", 1),
    likely_at=at("06:30", 1),
    most_to_at=at("08:00", 1),
    latest_at=at("10:30", 1),
    look_every_minutes=60,
    give_up_at=at("12:30", 1),
    egg_life_minutes=60,
    celsius=27.0,
    celsius_source="assumed",
    basis=("sharaf-2012",),
    mark="from memory",
    echo=True,
)
LOOK = StepDue(
    step="check-females",
    due_at=EVENING,
    run=1,
    called="",
    species="african-catfish",
    way="stripped",
    group="a",
    batch="",
    place="",
    look=1,
    attempt=1,
    tags=("F1", "F2"),
    next_at=at("22:45"),
)
EGGS = EggsTaken(
    run=1,
    called="",
    batch="a",
    fish=(EggsOfFish("F1", 180.0, 126000, "even", False),),
    total_grams=180.0,
    total_eggs=126000,
    eggs_per_gram=700.0,
    eggs_per_gram_low=550.0,
    eggs_per_gram_high=850.0,
    milt_ml=1.8,
    at=at("21:40"),
)
BATH = BathMix(
    "iodine",
    "iodine",
    "eggs",
    20.0,
    100.0,
    200.0,
    None,
    10,
    "available",
    85.0,
    120.0,
    ("not-unfertilised", "rinse-after"),
)
FERTILISED = FertilisedShare(1, "", "a", 164, 200, 82.0, 76.1, 86.7)
HATCH = HatchForecast(
    1,
    "",
    "a",
    "fertilise",
    at("19:30", 1),
    at("23:00", 1),
    at("04:30", 2),
    27.4,
    "measured",
    ("brzuska",),
    "from memory",
    at("16:00", 1),
)
HATCHED = HatchedShare(
    1, "", "a", 46800, 60.0, 73.2, 60.0, 53.1, 66.5, "all", 12, at("20:00", 3), at("18:00", 3)
)
RESULT = Result(
    1,
    "african-catfish",
    "2026-11-12",
    82.0,
    60.5,
    "all",
    46800,
    9.5,
    2,
    3,
    "closed",
    newer_without=("2026-11-20", "2025-12-30"),
)
WATERS = (
    WaterShown(at("21:40"), 27.4, "measured"),
    WaterShown(at("04:45", 1), 26.9, "guessed"),
)
WINDOWS = (
    WindowShown("eggs", "", at("04:45", 1), at("05:30", 1), at("06:15", 1), at("08:00", 1), at("10:30", 1)),
    WindowShown(
        "hatch", "F1, F2", at("06:00", 2), at("08:15", 2), at("10:00", 2), at("13:00", 2), at("20:00", 2)
    ),
)
DEEDS = (
    DoneShown(at("14:30"), "priming", ("F1", "F2")),
    DoneShown(at("21:40"), "injected", ("F1", "F2", "F3", "M1", "M2")),
    DoneShown(at("05:10", 1), "eggs-run", ("F1",)),
    DoneShown(at("05:12", 1), "spawned", called="hapa 1"),
    DoneShown(at("05:20", 1), "stripped", ("F1",), 210.0),
    DoneShown(at("05:25", 1), "stripped", ("F2",)),
    DoneShown(at("05:30", 1), "none", ("F3",)),
    DoneShown(at("05:32", 1), "died", ("M1",)),
    *(DoneShown(at("05:40", 1), step) for step in (*STEPS_SHOWN, "strip")),
    DoneShown(at("09:10", 1), "collected", (), 4.5, "jar 2"),
    DoneShown(at("17:00", 1), "fertilised", (), 82.5, "F1, F2"),
    DoneShown(at("09:00", 2), "hatched", (), 75.0),
    DoneShown(at("09:30", 2), "larvae", (), 46_812.0),
)
NIGHT_PICTURE = NightPicture(
    1,
    "",
    "african-catfish",
    "2026-11-25",
    at("14:30"),
    at("20:00", 2),
    WATERS,
    None,
    WINDOWS,
    True,
    DEEDS,
    3,
    at("09:45", 2),
)
SEASON_PICTURE = SeasonPicture(
    "season",
    "african-catfish",
    7,
    4,
    (
        RunShown(2, "2026-09-02", 75.0, 69.0, 80.0, "all"),
        RunShown(3, "2026-09-11", 15.5, 11.0, 21.0, "all"),
        RunShown(4, "2026-09-20", 91.1, 86.0, 94.0, "fertilised"),
        RunShown(5, "2026-10-01", 88.0, None, None, "unknown"),
        RunShown(6, "2026-10-12", None, None, None, "unknown", "no-figure"),
        RunShown(7, "2026-11-02", None, None, None, "unknown", "no-eggs"),
        RunShown(8, "2026-11-24", None, None, None, "unknown", "open"),
    ),
    None,
)
PICTURED: dict[str, NightPicture | SeasonPicture] = {
    "picture of a night": NIGHT_PICTURE,
    "picture of a night, one reading": dataclasses.replace(
        NIGHT_PICTURE, water=WATERS[:1], windows=(), on_hold=False, called="rohu 3", more=0, now_at=None
    ),
    "picture of a night, water assumed": dataclasses.replace(
        NIGHT_PICTURE, water=(), assumed_celsius=26.6, on_hold=False
    ),
    "picture of a season": SEASON_PICTURE,
    "picture of a season, of the newest": dataclasses.replace(
        SEASON_PICTURE, runs=44, counted=39, shown=SEASON_PICTURE.shown[:2], mean_percent=45.3
    ),
    "picture of a season, as told": dataclasses.replace(
        SEASON_PICTURE, runs=1, counted=1, shown=SEASON_PICTURE.shown[3:4], period="last_month"
    ),
}
CARD = dataclasses.replace(
    RESULT,
    newer_without=(),
    closing=True,
    whole=True,
    fertilised_low=76,
    fertilised_high=87,
    hatched_low=53,
    hatched_high=67,
    swim_up=41_250,
    sold=30_000,
    percent_of_eggs=60.5,
    percent_of_fertilised=73.8,
    derived="fertilised",
    derived_low=63,
    derived_high=85,
    egg_grams=435.0,
    body_percent=13.6,
    eggs=261_000,
    eggs_low=189_225,
    eggs_high=511_560,
    eggs_per_kg=81_562,
    basis=("farm", "memory"),
    mark="from memory",
    larvae_per_kg=8_509,
    swim_up_per_kg=7_500,
    sold_per_kg=5_454,
    water=WaterRow(26.4, 25.0, 27.5, 3),
    window=WindowRow(7.25, 8.0, 10.5, 13.0, ("okere-2015",), "published"),
    against_window="most",
    hormone=HormoneUsed("premix", 4, 3.23, 64.6, "ug"),
    spent=(Sum(1950.0, "INR", 3, ("feed", "diesel"), 1),),
    earned=(Sum(5400.0, "INR", 2),),
    cost=PerThousand(41.6667, "INR", 46_800, "hatched"),
    price=PerThousand(180.0, "INR", 30_000, "sold"),
)
SEASON_MONEY = MoneyTold(
    "season",
    "spent",
    0,
    "",
    None,
    None,
    (
        Sum(12_400.0, "INR", 7, ("feed", "diesel", "hormone"), 2),
        Sum(35.0, "USD", 1, ("nets",)),
        Sum(90.0, None, 1, ("salt",)),
    ),
    (Sum(30_000.0, "INR", 3), Sum(60.0, None, 1)),
    None,
    PerThousand(180.0, "INR", 166_667, "sold"),
    400_000,
)
RUN_MONEY = MoneyTold(
    "run",
    "spent",
    3,
    "",
    "rohu",
    "2026-11-20",
    (Sum(1950.0, "INR", 3, ("feed", "diesel"), 1),),
    (),
    PerThousand(41.6667, "INR", 46_800, "swim-up"),
)
LEFT = (
    OutOfIt("no-eggs", ("2026-11-20",)),
    OutOfIt("no-figure", tuple(f"2026-10-{day:02d}" for day in range(1, 11))),
)
BEST = BestRun(False, 7, "rohu", "2026-11-12", 84.0, "all", "season", None, 9, 8.0, 84.0, False, LEFT)
SPECIES_BESIDE = Comparison(
    "species",
    "all",
    "season",
    None,
    9,
    3,
    (
        RunGroup("rohu", 6, 61.7, 8.0, 84.0),
        RunGroup("catla", 2, None, 40.0, 55.0),
        RunGroup("mrigal", 1, None, 30.0, 30.0),
    ),
    LEFT,
)
HER_RUN = HerRunTold(
    7, "2026-11-12", "african-catfish", 2.4, "stripped", 210.0, 8.8, 82.0, 75.0, "all", ("F2", "F3")
)
HERS = FemaleRuns("8", (HER_RUN,), 0, False, "all", 1, None, 75.0, 75.0)
LOW = WhyLow(
    9,
    "african-catfish",
    "2026-11-20",
    25.0,
    "all",
    4,
    70.0,
    78.0,
    (
        Difference("rest", "differs", "short", 9.6, low=42.0, high=56.0, unit="day", tags=("8",)),
        Difference("dose", "same", "", 10.0, low=6.0, high=12.0, unit="ug/kg"),
        Difference("water", "differs", "cold", 22.0, 22.5, 22.9, 30.3, "C"),
        Difference("hours", "same", "", 14.0, low=15.0, high=19.25, unit="h"),
        Difference("ran", "not-told"),
        Difference("looks", "differs", "odd", tags=("8",), words=("watery", "blood")),
        Difference("males", "differs", "one", 1.0),
        Difference("milt", "same", "", 5.0, low=60.0, high=240.0, unit="min"),
        Difference("fertilised", "differs", "lower", 40.0, low=80.0, high=88.0, unit="%", others=4),
        Difference("hatch-water", "no-measure", "", 22.0, unit="C"),
    ),
    ("farm", "prokesova-2015"),
    "from memory",
)
WATER_THINGS: tuple[Thing, ...] = ("water", "hatch-water")
WATER_CODES = ("cold", "warm", "colder", "warmer")
SUMMARY = Summary("season", None, 14, 9, ("2026-11-20",), 61.7, 8.0, 84.0, 1250000)
SHOT = GivenShot("F2", 1, at("14:30"), 0.16, 3.2, "ug", "Ben")
OPEN = StatusLine(1, "", "african-catfish", "open", at("21:40"), "check-females", at("04:45", 1), 3, 1)
SOURCE = Source(
    "strip",
    "african-catfish",
    (
        SourceLine("strip", "okere-2015", "Okere and others, 2015, on glands", "published", "Okere 2015"),
        SourceLine("strip", "sharaf-2012", "Sharaf, 2012, on a premix", "published", "Sharaf 2012"),
        SourceLine(
            "strip", "trade", "Facts of the trade, unprinted", "common practice", "Facts of the trade"
        ),
        SourceLine("strip", "table-7", "A manual (1996), table 7", "from memory", "A manual 1996"),
        SourceLine("strip", "slides", "Slides", "published", "Slides"),
    ),
    ("okere-2015", "sharaf-2012", "trade", "table-7", "slides"),
    "from memory",
    27.4,
    1,
    "",
    ("curve", "widened"),
    (
        Because("degree_hours", 106.6, "degree-hours"),
        Because("zero", 15.05, "C"),
        Because("factor", 1.1),
        Because("hours", 9.75, "h"),
        Because("since", "inject"),
        Because("celsius", 27.4, "C"),
        Because("low", 8.0, "h"),
        Because("high", 13.75, "h"),
    ),
    more=2,
)
_WORDS: dict[str, tuple[Any, str]] = {
    "tag": ("F1", ""),
    "unit": ("ug", "unit"),
    "since": ("fertilise", ""),
    "short": ("Okere 2015", ""),
    "long": ("A manual 1996", ""),
    "at": (at("06:00"), ""),
    "kg": (2.4, "kg"),
    "celsius": (27.4, "C"),
}


def _because(code: str) -> tuple[Because, ...]:
    """Values for each name in the sentence of a reason."""
    named = [(name, _WORDS.get(name, (12.5, ""))) for name in IDS[f"reason-{code}"]]
    return tuple(Because(name, value, unit) for name, (value, unit) in named)


QUALITIES: tuple[Quality, ...] = get_args(Quality)
STATES: tuple[RunState, ...] = get_args(RunState)


def _but(fact: Any, **changes: Any) -> Any:
    return dataclasses.replace(fact, **changes)


def _bells() -> Iterator[tuple[str, StepDue]]:
    """Every step once as a bell, and the ways that differ."""
    for step in codes("step"):
        way = "nest" if step in ("check-nest", "remove-brood", "remove-substrate") else "stripped"
        yield f"bell {step}", _but(LOOK, step=step, way=way, next_at=None)
    for step in ("get-ready", "check-nest", "remove-brood", "collect-eggs", "load", "care"):
        yield f"bell {step}, hapa", _but(LOOK, step=step, way="hapa", tags=(), next_at=None)
    for rule in ("our-own", "published", "common practice", "from memory"):
        firm = _but(LOOK, step="collect-eggs", way="hapa", tags=(), next_at=None, after_hours=6.0, rule=rule)
        yield f"bell collect-eggs, {rule}", firm
    yield "bell first-feed, live", _but(LOOK, step="first-feed", tags=(), next_at=None, live_food=True)
    yield "last look from outside", _but(LOOK, step="check-nest", way="hapa", tags=(), last=True, look=6)
    yield "bell get-ready, nest", _but(LOOK, step="get-ready", way="nest", tags=(), next_at=None)
    for step in ("prime", "inject", "check-females", "check-brood", "strip", "disinfect", "swell"):
        yield f"bell {step}, other form", _but(LOOK, step=step, tags=(), minutes=10, male_cut=True)
    for step in ("check-hatch", "set-live-food", "first-feed", "check-nest", "care"):
        yield f"bell {step}, and the next", _but(LOOK, step=step, way="nest", tags=())
    yield "bell check-fertilised, stage", _but(LOOK, step="check-fertilised", stage="blastopore-closed")
    fertilise = _but(
        LOOK, step="fertilise", bell=False, due_at=at("22:00"), next_at=None, tags=(), milt_ml=1.8
    )
    yield "fertilise, spread", _but(fertilise, stickiness="spread", male_cut=True, bath_order="before-water")
    yield "fertilise, de-stick", _but(fertilise, stickiness="de-stick")
    for glue in ("urea-and-salt", "tannin"):
        yield (
            f"fertilise, de-stick with {glue}",
            _but(fertilise, stickiness="de-stick", destick_with=glue),
        )
        yield f"bell destick, {glue}", _but(LOOK, step="destick", next_at=None, destick_with=glue)
    yield "fertilise, free", _but(fertilise, stickiness="free")
    doses = (
        one_shot("F1", "f", 2.4, 1.2),
        one_shot("F2", "f", 3.1, 1.55, 1.6),
        one_shot("M1", "m", 1.9, None),
    )
    span = ("IU/kg", 2500.0, 6000.0)
    sums = {"over-range": (9954.5, 10556.8), "under-range": (600.0, 2400.0)}
    for code in codes("doubt"):
        doubt = CourseDoubt("F1", code, *span, *sums.get(code, ()))
        yield f"inject, {code}", _but(LOOK, step="inject", next_at=None, doses=doses, doubts=(doubt,))
    cold = WaterOutside("too-cold", 14.0, (18.9, 32.0))
    yield "inject, cold", _but(LOOK, step="inject", next_at=None, doses=doses, outside=cold)
    yield "inject with doses", _but(LOOK, step="inject", next_at=None, doses=doses)
    yield (
        "prime with doses",
        _but(LOOK, step="prime", tags=(), next_at=None, doses=(two_shots("F1", 4.25, 0.21, 1.92),)),
    )
    mixed = (Making("resolving", 19.8, "mg", 0.94),)
    yield (
        "inject, glands",
        _but(LOOK, step="inject", tags=(), next_at=None, doses=PITUITARY.fish, makings=mixed),
    )
    yield "late", _but(LOOK, late_minutes=130, due_at=at("19:35"), attempt=2)
    yield "late, of one of two", _but(LOOK, late_minutes=20, due_at=at("21:25"), called="rohu, tank 2")
    yield "late by minutes", _but(LOOK, late_minutes=20, due_at=at("21:25"))
    yield "late by hours", _but(LOOK, late_minutes=180, due_at=at("18:45"))
    yield "last look", _but(LOOK, last=True, look=6)
    yield "evening", _but(LOOK, step="all-well", next_at=at("04:45", 1))
    yield (
        "evening, unanswered",
        _but(LOOK, step="all-well", next_at=at("04:45", 1), unanswered=("check-females", "strip")),
    )
    yield "look, one running", _but(LOOK, running=("F1",), since=at("21:10"))
    yield "water again", _but(LOOK, step="check-water", celsius=19.5, next_at=None, called="tank 2")
    yield "what next", _but(LOOK, bell=False, due_at=at("04:45", 1))
    yield "look again, others tried", _but(LOOK, attempt=3, tried=("Ben", "Asha"))
    yield "what next, injection", _but(LOOK, step="inject", bell=False, due_at=at("22:30"), doses=doses)


def _facts() -> Iterator[tuple[str, Fact]]:
    yield from _sheets()
    yield from _windows()
    yield from _bells()
    yield from _eggs()
    yield from _fry()
    yield from _results()
    yield from _noted()
    yield from _answers()
    yield from _crew()
    yield from _shelf()


def _sheets() -> Iterator[tuple[str, Fact]]:
    yield "sheet", CATFISH
    weighed = (OwnWeight("F1", 5.29, "lb"), OwnWeight("F2", 5.17, "kati"), OwnWeight("M1", 1.16, "viss"))
    yield "sheet, own units", _but(CATFISH, weights=weighed)
    yield "sheet, two shots", CARP
    yield "sheet, glands", PITUITARY
    yield "sheet, three shots", THRICE
    wet = tuple(dataclasses.replace(shot, liquid_ml=0.85) for shot in GLAND)
    dissolved = (Making("priming", 2.2, "mg", 0.94), Making("resolving", 19.8, "mg", 0.94))
    fish = (DoseLine("F1", "f", 4.25, None, None, None, wet),)
    yield (
        "sheet, glands dissolved",
        _but(PITUITARY, fish=fish, makings=dissolved, unit="mg", total=20.0, make=22.0, glands=8),
    )
    small = DoseShot(1, "only", 0.03, 0.6, "ug", 0.03, 1.0, liquid_ml=0.06)
    coarse = DoseShot(1, "only", 0.01, 0.2, "ug", 0.0, 1.0, off=1.0)
    tiny = (
        DoseLine("F1", "f", 0.06, None, 0.03, 0.03, (small,)),
        DoseLine("M1", "m", 0.04, None, 0.01, 0.0, (coarse,)),
    )
    thin = (Making("", 0.05, "mL", 0.05),)
    yield "sheet, thinned", _but(CATFISH, fish=tiny, makings=thin, total_ml=0.03, draw_ml=0.05, warnings=())
    shared = dataclasses.replace(
        CATFISH.fish[0], shots=(dataclasses.replace(small, places=3, liquid_ml=None),)
    )
    yield "sheet, own dose", _but(CATFISH, own=OwnDose(0.8, "mL"), warnings=("over-range",))
    yield (
        "sheet, signed",
        _but(CATFISH, own=OwnDose(1.5, "mL", "our vet ordered it"), warnings=("over-range",)),
    )
    yield "sheet, a volume to share", _but(CATFISH, fish=(shared,), warnings=("big-volume",))
    vial = (DoseShot(1, "priming", None, 1200.0, "IU"), DoseShot(2, "resolving", None, 4800.0, "IU"))
    hcg = _but(PITUITARY, preparation="hcg", per_kg=2500.0, unit="IU", total=6000.0, make=6600.0)
    yield (
        "sheet, vial not told",
        _but(hcg, fish=(DoseLine("F1", "f", 2.4, None, None, None, vial),), warnings=("vial-not-told",)),
    )
    yield "sheet, vial told", _but(THRICE, strength=Strength(iu_per_vial=5000.0, diluent_ml=5.0), vials=2)
    yield "sheet, vial without its mL", _but(THRICE, strength=Strength(iu_per_vial=5000.0))
    two_vials = DoseShot(1, "only", None, 48.0, "ug", blocker_mg=12.0)
    yield (
        "sheet, two vials",
        _but(
            PITUITARY,
            preparation="lhrha",
            per_kg=20.0,
            unit="ug",
            fish=(DoseLine("F1", "f", 2.4, None, None, None, (two_vials,)),),
            makings=(Making("only", 52.8, "ug", 0.53, 13.2),),
        ),
    )
    unknown = DoseLine("F1", "f", 2.4, None, None, None)
    nothing = {"syringe_ml": None, "graduation_ml": None, "warnings": ("no-dose-figure",)}
    yield "sheet, no figure", _but(PITUITARY, preparation="own", fish=(unknown,), **nothing)
    yield "sheet, hcg alone", _but(PITUITARY, warnings=("hcg-alone-works-badly",))
    for blocker in ("metoclopramide", "domperidone"):
        yield f"sheet, {blocker}", _but(PITUITARY, warnings=(blocker,))
    yield "sheet, pimozide", _but(PITUITARY, warnings=("blocker-is-pimozide",))
    for kind in ("dried", "alcohol", "unknown"):
        yield f"sheet, glands {kind}", _but(PITUITARY, warnings=(f"gland-{kind}",))
    yield "sheet, ug only", _but(CARP, strength=Strength(20.0, None), warnings=())
    yield "sheet, mg only", _but(CARP, strength=Strength(None, 10.0), warnings=())
    yield "sheet, blank label", _but(CARP, strength=Strength(), ml_per_kg=None, warnings=())
    unknown = (DoseLine("X1", None, 3.0, None, None, None),)
    yield "sheet, all warnings", _but(CATFISH, fish=unknown, warnings=tuple(codes("warning")))
    for preparation in codes("preparation"):
        yield f"sheet, {preparation}", _but(PITUITARY, preparation=preparation, warnings=())


def _windows() -> Iterator[tuple[str, Fact]]:
    yield "proposal", INJECT_PLAN
    night = (PlanTime("prime", at("02:30")), PlanTime("check-females", at("04:45", 1), True))
    yield "proposal, primed", _but(INJECT_PLAN, priming_at=at("14:30"), primings=(at("14:30"),), awake=night)
    hours = dict.fromkeys(("strip_at", "first_look_at", "most_from_at", "most_to_at"))
    for why in codes("outside"):
        outside = WaterOutside(why, 14.0, (18.9, 32.0))
        yield f"proposal, {why}", _but(INJECT_PLAN, outside=outside, **hours)
    yield "course, primed", PRIMED
    yield "ripe signs", RipeSigns("rohu", codes("sign"))
    yield "rest", RestTime("common-carp", 30.0, 90.0, 365.0, ("memory",), "from memory")
    yield "rest, a span", RestTime("african-catfish", 42.0, None, 56.0, ("fao-ftp-362",), "from memory")
    left = RestTime("african-catfish", 42.0, None, 56.0, ("fao-ftp-362",), "from memory", "F1", at("05:30"))
    left = _but(left, rested_at=at("05:30") + timedelta(days=42), rested_by=at("05:30") + timedelta(days=56))
    yield "rest, left", _but(left, left_days=42)
    yield "rest, a day left", _but(left, left_days=1)
    yield "rest, over", _but(left, left_days=0)
    yield "rest, nobody told", RestTime("silver-barb", None, None, None)
    yield "ripe signs, none", RipeSigns("rohu", ())
    yield (
        "course, under range",
        _but(PRIMED, tags=("F2",), given=100.0, total_per_kg=2100.0, code="under-range"),
    )
    over = {"coming": 0.0, "next_at": None, "next_step": "", "given": 5000.0, "total_per_kg": 5000.0}
    yield "course, over range", _but(PRIMED, code="over-range", **over)
    yield "proposal, no earlier", _but(INJECT_PLAN, no_earlier=True)
    yield "proposal, nest", _but(INJECT_PLAN, way="nest")
    yield "proposal, hapa", _but(INJECT_PLAN, way="hapa", called="the rohu")
    yield "night", NIGHT
    yield "night, two alarms", _but(NIGHT, alarms=(at("22:25"), at("04:40", 1)))
    yield from _orders()
    yield "forecast", FORECAST
    for way in ("stripped", "nest", "hapa"):
        yield f"forecast, looks go on, {way}", _but(FORECAST, way=way, next_look_at=at("03:00", 1))
    yield "forecast of some", _but(FORECAST, tags=("F2",), rest=("F1", "M1"))
    yield "forecast, nest", _but(FORECAST, way="nest", celsius=22.5, celsius_source="measured", echo=False)
    yield "forecast, hapa", _but(FORECAST, way="hapa", celsius_source="guessed", wide=True, called="tank 2")
    for why in codes("hold", ("hold-meanwhile", "hold-again", "hold-tell", "hold-deadly")):
        yield f"hold {why}", Hold(1, "", why, 19.0, (20.0, 30.0), at("01:45", 1))
        yield f"hold {why}, asked no more", Hold(1, "", why, 19.0, (20.0, 30.0), None)
        yield f"hold {why}, before", Hold(1, "", why, 19.0, (20.0, 30.0), None, before=True)
    for why in ("too-cold", "too-warm"):
        yield f"hold {why}, deadly", Hold(1, "", why, 16.0, (20.0, 30.0), at("01:45", 1), "1", 17.5)


def _orders() -> Iterator[tuple[str, Fact]]:
    own = (
        Assumed("eggs-per-kg", 80_000.0, 70_000.0, 90_000.0, "own", (), "the farm's own", 2),
        Assumed("hatched", 41.0, 41.0, 41.0, "own", (), "the farm's own", 1),
        Assumed("gave-eggs", 90.0, 90.0, 90.0, "card", ("kashmir-carp",), "published"),
        Assumed("eggs-per-gram", 700.0, 700.0, 700.0, "own", (), "the farm's own"),
    )
    yield "order", ORDER
    one = Females(number=1, each_kg=1.73, kg=5.92, low_kg=5.9, high_kg=5.9, males=1, male_kg=1.73)
    yield "order, one female by own rates", _but(ORDER, need=_but(NEED, females=one, assumed=own))
    several = tuple(ComingShot("priming", at(clock)) for clock in ("10:00", "13:00", "16:30"))
    primed = _but(FOLLOWING, shots=(*several, *FOLLOWING.shots))
    yield "order, primed, in a nest", _but(ORDER, way="nest", night=primed, celsius_source="guessed")
    yield "order, too late", _but(ORDER, why="too-late", wanted_at=at("08:00", 1), earliest_at=at("08:00", 5))
    yield (
        "order, hatchlings at night",
        _but(
            ORDER,
            feeding=False,
            asleep=True,
            hormone=_but(HORMONE, ml=4.8),
            night=_but(FOLLOWING, feed_at=None),
            celsius_source="measured",
        ),
    )
    yield "order, no day", _but(ORDER, why="no-day", wanted_at=None, need=_but(NEED, grams=None), night=None)
    for why in ("too-cold", "no-hatch-figure"):
        yield f"order, {why}", _but(ORDER, why=why, hormone=None, night=None)
    unknown = _but(ORDER, hormone=None, need=_but(NEED, females=None))
    yield "order, no eggs per kilo", unknown
    yield "order, no eggs per kilo, hapa", _but(unknown, way="hapa")


def _brood() -> Iterator[tuple[str, Fact]]:
    twenty = BroodNumbers("effective", 20, 5, 16.0, 3.1, (), 1, None, 1.0, 0.5, 50, 34)
    twenty = _but(twenty, basis=("us-broodstock-handbook",), mark="published")
    yield "brood", twenty
    yield (
        "brood, one of each",
        _but(twenty, females=1, males=1, effective=2.0, percent=25.0, wanted_males=None),
    )
    yield "brood, enough", _but(twenty, males=100, effective=66.7, percent=0.7, wanted_males=None)
    later = _but(twenty, about="inbreeding", generations=5, total_percent=14.8)
    yield "brood, five generations", later
    yield (
        "brood, several told",
        _but(later, females=None, males=None, effectives=(20.0, 5.0), wanted_males=None),
    )
    males = BroodNumbers("males", 12, None, species="rohu", usual_males=24, low_males=12, high_males=24)
    yield "males", _but(males, basis=("icar-67103",), mark="from memory")
    yield "males, span", _but(males, usual_males=None)
    yield "males, one", _but(males, females=1, usual_males=1, low_males=1, high_males=2)
    yield "males, span of one", _but(males, females=1, usual_males=None, low_males=1, high_males=2)
    yield "males, nobody told", _but(males, usual_males=None, low_males=None, high_males=None)
    for code in ("too-few", "few", "enough"):
        yield f"males, {code}", _but(males, about="enough", males=6, enough=code)


def _brood_book() -> Iterator[tuple[str, Fact]]:
    gave, rested = at("05:30"), at("05:30") + timedelta(days=42)
    line = RestLine("8", "african-catfish", 2.4, at("20:30"), gave, True, rested, 0)
    days = RestDays("african-catfish", 42.0, None, 56.0, ("fao-ftp-362",), "from memory")
    signs = ("belly-soft-round", "eggs-even-loose")
    one = ReadyFemales(
        "african-catfish", 1, 1, (line,), rests=(days,), signs=signs, basis=days.basis, mark=days.mark
    )
    yield "ready, one", one
    waits = _but(line, tag="9", left_days=12)
    two = _but(
        one, females=9, rested=5, ready=(line, _but(line, tag="A12", kg=None, surely=False)), more_ready=3
    )
    untagged = UntaggedRest("african-catfish", 12, 4, "F2", gave, rested, 12)
    yield (
        "ready, many",
        _but(
            two,
            resting=(waits, _but(waits, tag="10", left_days=1)),
            more_resting=2,
            untold=("4", "7"),
            more_untold=30,
            busy=("3",),
            untagged=(untagged,),
        ),
    )
    none = ReadyFemales(None, 2)
    yield "ready, none yet", _but(none, resting=(waits,), rests=(days,))
    yield "ready, one of two species", _but(two, rests=(days, RestDays("silver-barb", None, None, None)))
    yield "ready, no signs", _but(one, signs=())
    yield "ready, nothing told of eggs", _but(none, untold=("4", "7"))
    yield "ready, all in a run", _but(none, busy=("4", "7"))
    yield "ready, no female", _but(none, females=0)
    yield "ready, no tags, in a run", _but(none, females=0, busy=("F1", "F2"))
    for code, left, since in (("left", 12, rested), ("rested", 0, rested), ("no figure", None, None)):
        alone = _but(untagged, left_days=left, rested_at=since)
        yield f"ready, no tags, {code}", _but(none, females=0, untagged=(alone,))
    no_eggs = _but(untagged, females=1, gave_at=None, rested_at=None, left_days=None)
    yield "ready, no tags, no eggs", _but(none, females=0, untagged=(no_eggs,))
    yield from _brood_fish()
    yield from _mates()
    treated = TreatedFish("", 2, (DOSE, _but(DOSE, tag="12", ml=None, amount=None, fate="cut")), 7)
    yield "treated", treated
    for fate in codes("fate"):
        yield f"treated, {fate}", TreatedFish("8", 1, (_but(DOSE, fate=fate, preparation=None),))
    yield "treated, none", TreatedFish("", 0)
    yield "treated, none of one", TreatedFish("8", 0)


DOSE = TreatedLine("8", 1, "african-catfish", at("20:30"), "premix", 1.2, 24.0, "ug", "here")


def _brood_fish() -> Iterator[tuple[str, Fact]]:
    rested = at("05:30") + timedelta(days=42)
    weights = (WeightLine(at("20:30"), 2.6, 3), WeightLine(at("20:30", -60), 2.4, 1))
    spawnings = (
        SpawningLine(at("05:30"), 3, True, 210.0),
        SpawningLine(at("05:30", -60), 2, True, None),
        SpawningLine(at("05:30", -120), 1, False, None),
        SpawningLine(at("05:30", -180), 1, None, None),
    )
    fish = FishCard(
        *("8", "african-catfish", "f", 0, None, "the river", "3", "12", 2023, "scar on the left"),
        *(weights, 2, spawnings, 1, (DOSE,), 1, "", None, rested, 12, 12.5, ("fao-ftp-362",), "from memory"),
    )
    yield "fish", fish
    bare = _but(fish, origin="", mother="", father="", hatched=None, note="", weights=(), spawnings=())
    bare = _but(bare, treated=(), rested_at=None, left_days=None, inbred_percent=None, species=None, sex=None)
    bare = _but(bare, more_weights=0, more_spawnings=0, more_treated=0)
    yield "fish, nothing told", bare
    yield "fish, mother alone", _but(bare, mother="3")
    yield "fish, father alone", _but(bare, father="12")
    yield "fish, a day left", _but(fish, left_days=1)
    yield "fish, rested", _but(fish, left_days=0)
    male = _but(fish, sex="m", rested_at=None, left_days=None, spawnings=spawnings[:2])
    for how in ("died", "cut", "sold", "escaped"):
        yield f"fish, {how}", _but(male, lost=how, lost_at=at("07:00"))
    yield "fish, of a run", _but(bare, tag="F1", run=3, begun_at=at("20:30"))
    kept = FishKept("8", "f", "the river", "3", "12", 2023, 2.6, True)
    yield "fish kept", kept
    yield "fish kept, known before", FishKept("8", None, "the river", "", "", None, None, False)
    yield "fish tagged", Noted("fish-tagged", at=at("20:30", -60), tags=("8",), word="F1")
    yield "fish gone", Noted("fish-lost", at=at("07:00"), tags=("8",), word="sold")
    for how in ("died", "cut", "escaped", "sold-treated", "died-treated", "cut-treated", "escaped-treated"):
        yield f"fish gone, {how}", Noted("fish-lost", at=at("07:00"), tags=("8",), word=how)


def _mates() -> Iterator[tuple[str, Fact]]:
    unused = MateLine("12", 1.9, 0, "untold", "8", 0.0)
    males = (unused, _but(unused, tag="14", kg=None, used=1), _but(unused, tag="A3", used=4))
    kin = tuple(
        _but(unused, tag=str(20 + n), relation=relation, inbred_percent=25.0)
        for n, relation in enumerate(codes("kin"))
    )
    mates = Mates(("8", "9"), "african-catfish", at("20:30", -182), males, 2, kin)
    mates = _but(mates, basis=("genetics-course-kin",), mark="published")
    yield "mates", _but(mates, untold=True, gone=("30",), untagged=3)
    yield "mates, for any", _but(mates, females=(), kin=(), untagged=1)
    yield "mates, all kin", _but(mates, males=(), more=0)
    yield "mates, none", _but(mates, males=(), kin=(), more=0)
    season = BroodSeason(
        *("african-catfish", at("20:30", -182), 4, 6, 3, 2, 1, 8.0, 6.3, 1.0, 0.5, 50, None),
        basis=("us-broodstock-handbook",),
        mark="published",
    )
    yield "season", season
    yield "season, more males", _but(season, females=20, males=5, wanted_males=34, untagged=1, males_untold=0)
    yield "season, one of each", _but(season, runs=1, females=1, males=1, untagged=0, males_untold=0)
    yield "season, enough", _but(season, effective=66.7, percent=0.7, untagged=0, males_untold=2)
    yield "season, no males", _but(season, males=0, effective=None, percent=None)
    for females, males in ((1, 0), (0, 1)):
        told = {"females": females, "males": males, "effective": None, "percent": None}
        yield f"season, {females} and {males}", _but(season, runs=1, **told)


def _eggs() -> Iterator[tuple[str, Fact]]:
    yield "eggs", EGGS
    several = (EggsOfFish("F1", 180.0, None, None, True), EggsOfFish("F3", None, None, "watery", False))
    yield "eggs, several", _but(EGGS, fish=several, waiting=("F2", "F4"), test_lot=True, milt_ml=None)
    qualities = tuple(EggsOfFish("F1", 40.5, None, quality, False) for quality in QUALITIES)
    yield "eggs, qualities", _but(EGGS, fish=qualities, total_eggs=None, eggs_per_gram=None)
    yield "eggs, own count", _but(EGGS, mark="the farm's own")
    yield "eggs, wet", _but(EGGS, total_eggs=None, eggs_per_gram=None, milt_ml=None, wet=True)
    yield "eggs, no range", _but(EGGS, eggs_per_gram_low=None, milt_ml=None)
    yield (
        "eggs, unweighed",
        _but(EGGS, total_grams=None, total_eggs=None, fish=(EggsOfFish("F1", None, None, None, False),)),
    )
    yield "eggs, count only", _but(EGGS, total_grams=None)
    litres = _but(EGGS, fish=(), total_grams=None, total_eggs=87_500, eggs_per_gram=None, milt_ml=None)
    jars = (EggsInPlace("jar 1", 2.0, 50_000), EggsInPlace("", 1.5, None))
    litres = _but(litres, litres=3.5, lots=jars[:1], eggs_per_ml=25.0, eggs_per_ml_low=20.0)
    litres = _but(litres, eggs_per_ml_high=30.0, next_step="load", next_at=at("21:55"))
    for mark in get_args(Mark):
        yield f"litres, {mark}", _but(litres, mark=mark)
    own = OwnCounted("rohu", "ml", 28.0, None, 10.0, 45.0, False, at("21:40"), ("farm",))
    yield "own count", own
    yield "own count, far", _but(own, eggs=280.0, before=28.0, far=True)
    yield "own count, no card", _but(own, species="mrigal", counted_in="gram", eggs=900.0, low=None)
    jar = InVessels("jar", 10.0, 100_000, 100_000, 100_000, 3, 0.6, 0.8, 1.8, 2.4)
    plan = VesselPlan(1, "", "rohu", "jars", 252_000, 9.0, 28.0, "", (jar,), ("icar-66877",), "published")
    yield "jars", plan
    yield "jars, flow asked", _but(plan, about="flow", litres=None, eggs_per_ml=None)
    yield (
        "jars, nobody knows the eggs",
        _but(plan, eggs=None, litres=None, eggs_per_ml=None, vessels=(_but(jar, count=None),)),
    )
    yield "jars, no eggs per mL", _but(plan, eggs=None, eggs_per_ml=None, vessels=(_but(jar, count=None),))
    span = _but(
        jar, litres=2.0, each=10_000, low=10_000, high=30_000, count=1, flow_low=0.985, flow_high=0.985
    )
    yield (
        "jars, span",
        _but(plan, litres=None, eggs_per_ml=None, eggs=9_000, sticky="spread", vessels=(span,)),
    )
    yield (
        "jars, span each",
        _but(plan, sticky="de-stick", litres=None, eggs=None, vessels=(_but(span, count=None),)),
    )
    yield "jars, no flow", _but(plan, vessels=(_but(jar, flow_low=None),))
    weighed = _but(plan, litres=None, eggs_per_ml=None, grams=360.0)
    yield "jars, grams", _but(weighed, species="common-carp", eggs_per_gram=700.0)
    yield "jars, no eggs per gram", _but(weighed, eggs=None, vessels=(_but(jar, count=None),))
    yield "jars, none known", _but(plan, vessels=(), basis=(), mark=None)
    yield "jars, tray", _but(plan, species=None, about="spread", vessels=(), basis=(), mark=None)
    tub = InVessels("tub", 8.7, 1000, 1000, 1000, 3, 0.2, 0.25, 0.6, 0.75)
    yield (
        "tubs",
        _but(plan, species="walking-catfish", litres=None, eggs_per_ml=None, eggs=2500, vessels=(tub,)),
    )
    yield "tubs, one", _but(plan, litres=None, eggs_per_ml=None, eggs=900, vessels=(_but(tub, count=1),))
    yield "tubs, each", _but(plan, litres=None, eggs=None, vessels=(_but(tub, count=None),))
    milt = MiltNeed(1, "", "common-carp", 300.0, 3.0, 0.3, 3.0, None, None, False, basis=("fao-training-8",))
    yield "milt", _but(milt, mark="published")
    yield "milt, nobody knows the grams", _but(milt, grams=None, ml=10.0, low_ml=1.0, high_ml=10.0)
    yield "milt, span", _but(milt, ml=None, male_cut=True)
    yield "milt, span of a kg", _but(milt, ml=None, grams=None)
    none = _but(milt, species="african-catfish", ml=None, low_ml=None, male_cut=True)
    yield "milt, thinned", _but(none, parts=10.0, saline_g_per_l=9.0)
    yield "milt, thinned asked", _but(none, parts=10.0, saline_g_per_l=9.0, thinned=True)
    yield "milt, nobody thinned", _but(none, thinned=True)
    yield from _brood()
    yield from _brood_book()
    yield "eggs, count kept", _but(EGGS, mark="the farm's own", kept_for="african-catfish")
    yield "litres, several jars", _but(litres, lots=jars)
    yield "litres alone", _but(litres, total_eggs=None, eggs_per_ml=None, next_step="")
    yield "bath", BATH
    yield (
        "bath, tools",
        _but(
            BATH,
            on="tools",
            litres=50.0,
            stock_ml=500.0,
            stock_basis="substance",
            low_mg_per_l=None,
            warnings=(),
        ),
    )
    yield (
        "bath, liquid",
        _but(BATH, on="fish", minutes=None, stock_basis="liquid", low_mg_per_l=None, warnings=()),
    )
    yield (
        "bath, no basis",
        _but(
            BATH,
            on=None,
            litres=None,
            stock_ml=None,
            stock_basis=None,
            target_mg_per_l=None,
            trial_species="african-catfish",
            trial_hatched_percent=36.7,
            trial_mg_per_l=100.0,
            trial_minutes=15.0,
            low_ph=6.0,
            high_ph=8.0,
            warnings=tuple(codes("bath-warning")),
        ),
    )
    yield "bath, salt", BathMix("salt", "salt", "fish", 100.0, 5000.0, None, 500.0, None, None)
    yield "bath, salt for no litres", BathMix("salt", "salt", None, None, 5000.0, None, 500.0, None, None)
    for agent in codes("agent", ("agent-unknown",)):
        yield f"bath, {agent}", BathMix(None, agent, None, None, None, None, None, None, None)
    yield from bath_samples.samples()
    yield from bath_samples.kept()
    yield "bath of nothing", BathMix(None, None, None, None, None, None, None, None, None)
    yield "fertilised", FERTILISED
    yield (
        "fertilised, one white",
        _but(FERTILISED, good=299, total=300, percent=99.7, low_percent=98, high_percent=100),
    )
    yield "fertilised, told", FertilisedShare(1, "", "a", None, None, 82.5, None, None)
    yield "fertilised, one jar", _but(FERTILISED, called="jar 1", whole_percent=79.0)
    yield "hatch", HATCH
    yield (
        "hatch forecast, reckoned",
        _but(HATCH, from_step="check-nest", from_at=at("23:30"), reckoned=True),
    )
    yield "hatch, from stripping", _but(HATCH, from_step="strip", count_at=None, celsius_source="assumed")
    yield "hatch, nest", _but(HATCH, from_step="check-nest", celsius_source="guessed", called="bowl 2")
    yield "hatched", HATCHED
    yield (
        "hatched, of the good",
        _but(HATCHED, of="fertilised", percent_as_told=73.2, deformed=None, first_feed_at=None),
    )
    yield (
        "hatched, of what",
        _but(HATCHED, of="unknown", percent_of_eggs=None, percent_of_fertilised=None, larvae=None),
    )
    yield "hatched, larvae", HatchedShare(1, "", "a", 46800, None, None, None, None, None, "unknown")
    yield "hatched, both with their doubt", _but(HATCHED, also_low=63, also_high=83)
    yield "hatched, worked out", _but(HATCHED, of="unknown", percent_as_told=None, larvae=None)
    yield "hatched, no figure", HatchedShare(1, "", "a", None, None, None, None, None, None, "unknown")


CUPS = LarvaeInWater(1, "", "hatched", 26_000, 20_000, 34_000, 5, 65.0, 13.0, 50.0, 100.0)


CHAIN = Survival(
    1,
    "african-catfish",
    "2026-11-20",
    156_000,
    (
        SurvivalLink("fertilised", 127_920, "eggs", 82.0, 76, 87, False),
        SurvivalLink("hatched", 78_000, "fertilised", 61.0, 31, 99, False),
        SurvivalLink("swim-up", 66_000, "hatched", 84.6, 57, 123, False),
        SurvivalLink("sold", 20_000, "swim-up", 30.3, 23, 41, False),
    ),
    (),
    "eggs",
    "sold",
    12.8,
    5,
    26,
)


def _yields() -> Iterator[tuple[str, Fact]]:
    yield "survival", CHAIN
    some = {"whole_percent": 50.0, "whole_low": 25, "whole_high": 81}
    yield "survival, until hatched", _but(CHAIN, links=CHAIN.links[:2], last="hatched", **some)
    yield "survival, until swim-up", _but(CHAIN, links=CHAIN.links[:3], last="swim-up", **some)
    fertilised, hatched, swim_up, sold = CHAIN.links
    few = _but(CHAIN, links=(fertilised,), missing=("hatched", "swim-up", "sold"), last="fertilised")
    yield (
        "survival, of eggs not counted",
        _but(few, eggs=None, whole_percent=82.0, whole_low=76, whole_high=87),
    )
    odd = (_but(sold, number=110_000, percent=166.7, low=127, high=225, at_odds=True),)
    yield "survival, more sold than swam", _but(CHAIN, links=(*CHAIN.links[:3], *odd), whole_percent=None)
    odd = (_but(swim_up, at_odds=True, low=110, high=140, percent=120.0),)
    yield (
        "survival, more swam than hatched",
        _but(CHAIN, links=(fertilised, hatched, *odd), whole_percent=None),
    )
    odd = (_but(hatched, of="eggs", at_odds=True, low=110, high=140, percent=120.0),)
    yield "survival, more hatched than eggs", _but(CHAIN, links=odd, missing=("fertilised",), last="hatched")
    odd = (_but(hatched, at_odds=True, low=110, high=140, percent=120.0),)
    yield (
        "survival, more hatched than were fertilised",
        _but(CHAIN, links=(fertilised, *odd), whole_percent=None),
    )
    alone = tuple(_but(link, percent=None, low=None, high=None) for link in CHAIN.links)
    nothing = {"whole_percent": None, "whole_low": None, "whole_high": None, "eggs": None}
    yield "survival, nothing to compare", _but(CHAIN, links=alone, missing=("eggs",), **nothing)
    yield "per kg", PerKg(1, "african-catfish", "2026-11-20", 2.4, 32_500, 27_500, None)
    yield "per kg, sold", PerKg(1, "rohu", "2026-11-20", 4.25, None, None, 8_333)
    yield "per kg, a lot not counted", PerKg(1, "rohu", "2026-11-20", 4.25, None, 900, None, ("F2",))
    yield "per kg, nothing told", PerKg(1, "rohu", "2026-11-20", 4.25, None, None, None)


POND = StockFigure("pond", "m2", 300.0, None, 500.0, 60_000, None, 100_000, note="carps-in-general")
STOCK = StockPlan("rohu", "pond", "larvae", (POND,), 200.0, None, None, None, ("icar-86163",), "published")


def _stocking() -> Iterator[tuple[str, Fact]]:
    yield "stocking, a pond", STOCK
    yield "stocking, a pond, density alone", _but(STOCK, m2=None, figures=(_but(POND, low_larvae=None),))
    wants = _but(POND, low_larvae=None, fewest=40, most=67, note="")
    yield "stocking, how large a pond", _but(STOCK, m2=None, larvae=20_000.0, figures=(wants,))
    tank = StockFigure("tank", "litre", 50.0, 50.0, 150.0, 25_000, 25_000, 75_000, note="far-apart")
    yield "stocking, a tank", _but(STOCK, species="african-catfish", litres=500.0, figures=(tank,))
    wants = _but(tank, low_larvae=None, fewest=134, most=400)
    yield "stocking, how large a tank", _but(STOCK, larvae=20_000.0, figures=(wants,))
    bag = StockFigure("bag", "bag", 2000.0, None, 10_000.0, 10_000, None, 50_000, note="bag", bag_litres=18.0)
    yield "stocking, bags", _but(STOCK, bags=5.0, figures=(bag,))
    wants = _but(bag, low_larvae=None, fewest=2, most=10)
    yield "stocking, how many bags", _but(STOCK, young="fry", larvae=20_000.0, figures=(wants,))
    hapa = StockFigure("hapa", "m2", 100.0, None, 100.0, note="frog-wall")
    yield "stocking, a hapa", _but(STOCK, figures=(hapa,))
    for place in ("pond", "tank", "hapa", "bag", ""):
        yield (
            f"stocking, no figure, {place}",
            _but(STOCK, place=place, young="fry" if place else "larvae", figures=()),
        )


def _fry() -> Iterator[tuple[str, Fact]]:
    yield "larvae in cups", CUPS
    yield "larvae in cups, uneven, of one tank", _but(CUPS, uneven=True, place="tank 2", whole=61_250)
    yield "larvae in cups, swim-up, more than eggs", _but(CUPS, stage="swim-up", eggs=18_200)
    one = _but(CUPS, cups=1, counted=13.0, low=13_000, high=45_000, stage="")
    yield "larvae in one cup, no run", _but(one, run=0, kept=False)
    told = _but(CUPS, low=None, high=None, cups=0, counted=None, mean=None, cup_ml=None, litres=None)
    yield "larvae, told", _but(told, stage="swim-up", larvae=18_000)
    yield "larvae, told, no run", _but(told, run=0, stage="", kept=False)
    yield "larvae by the cup", _but(told, amount=40.0, measure="cup", each=650.0, larvae=26_000)
    yield "larvae by the mL", _but(told, amount=60.0, measure="ml", each=420.0, larvae=25_200)
    yield "a mL of spawn", Measure("ml", 420.0, 370.0, 1000.0, False)
    yield "a mL of spawn, odd", Measure("ml", 120.0, 370.0, 1000.0, True)
    yield "a cup", Measure("cup", 650.0, None, None, False)
    yield "asks for a mL", Ask("larvae-per-ml", "not-calibrated", number=370.0, limit=1000.0)
    yield from _yields()
    yield from _stocking()
    both = CountNeeded(10.0, False, 96, 61, 80.4, 384, 30, 13.0, 5)
    yield "how many to count", both
    yield "how many eggs to count", CountNeeded(10.0, True, 96)
    yield "how many larvae to count", CountNeeded(5.0, False, larvae=1537, fewest_cups=5)


def _results() -> Iterator[tuple[str, Fact]]:
    yield "result", RESULT
    lots = (
        BatchResult("tank 1", 82.0, 75.0, "all", None, litres=2.5),
        BatchResult("F3, F4", None, 60.0, "fertilised", 21_000, 310.0),
        BatchResult("F5", 70.0, None, "unknown", None),
        BatchResult("F6", None, 55.0, "unknown", None),
    )
    spans = {"fertilised_low": 76, "fertilised_high": 87, "hatched_low": 53, "hatched_high": 67}
    yield "result, the whole card", CARD
    warm = WaterRow(27.0, 27.0, 27.0, 1, guessed=True)
    yield (
        "result, by volume",
        _but(
            CARD,
            species="rohu",
            way="hapa",
            egg_grams=None,
            body_percent=None,
            egg_litres=4.5,
            mark="the farm's own",
            water=warm,
            hatched_of="fertilised",
            derived="all",
            derived_low=None,
            derived_high=None,
            swim_up=None,
            swim_up_per_kg=None,
            eggs_per_kg=None,
            hormone=HormoneUsed("pituitary", 4, None, 38.0, "mg"),
        ),
    )
    bare = _but(RESULT, newer_without=(), whole=True)
    for against, hours in (("before", 6.0), ("early", 7.5), ("late", 12.0), ("after", 15.0)):
        for assumed in (False, True):
            window = _but(CARD.window, assumed=assumed)
            yield (
                f"result, {against}{', water not told' if assumed else ''}",
                _but(bare, hours_to_strip=hours, window=window, against_window=against),
            )
    yield "result, with its doubt", _but(RESULT, newer_without=(), **spans)
    yield "result, larvae alone", _but(RESULT, hatched_percent=None, newer_without=())
    yield "result, sold", _but(RESULT, swim_up=41_250, sold=30_000, newer_without=())
    yield "result, no eggs", _but(RESULT, hatched_percent=None, larvae=None, ovulated=0, had_eggs=False)
    yield (
        "result, untold",
        _but(RESULT, hatched_percent=None, larvae=None, state="not-reported", had_eggs=False),
    )
    yield "result, several lots", _but(RESULT, batches=lots, newer_without=())
    yield (
        "result, closing",
        _but(RESULT, hatched_of="fertilised", closing=True, newer_without=("tank 2",), hours_to_strip=None),
    )
    yield (
        "result, of what",
        _but(RESULT, hatched_of="unknown", date="2025-11-12", fertilised_percent=None, ovulated=None),
    )
    for state in STATES:
        yield (
            f"result, {state}",
            Result(2, "common-carp", "2026-11-20", None, None, "unknown", None, None, None, None, state),
        )
    yield "spent", SpentKept(1, "", "run", "feed", 1200.0, "INR", 1200.0, 1)
    yield "spent, more", SpentKept(1, "rohu", "run", "", 350.5, None, 1550.5, 3)
    yield "spent, for the farm", SpentKept(0, "", "farm", "diesel", 20.0, "USD", 20.0, 1)
    yield "spent, for the farm, more", SpentKept(0, "", "farm", "", 1.0, "USD", 21.0, 2)
    yield "money of the season", SEASON_MONEY
    yield "money of a month, taken", _but(SEASON_MONEY, about="last-month", asked="earned")
    yield "money of a run", RUN_MONEY
    sold = PerThousand(0.0125, "USD", 46_800, "sold")
    yield "money of a run, sold", _but(RUN_MONEY, spent=(Sum(12.5, "USD", 2),), earned=(), cost=sold)
    yield "money of a run, nothing told", _but(RUN_MONEY, spent=(), cost=None)
    yield "money of a season, nothing taken", _but(SEASON_MONEY, asked="earned", earned=(), price=None)
    yield from _of_several_runs()
    yield "summary", SUMMARY
    yield (
        "summary, sold and no eggs",
        _but(SUMMARY, sold=900_000, left_out=("2026-11-20", "2026-11-24"), no_eggs=("2026-11-24",)),
    )
    yield "summary, of other eggs", _but(SUMMARY, hatched_of="all", other_eggs=("2026-11-20",))
    yield "noted sold, of so many", Noted("sold", 1, number=20_000.0, total=50_000.0, whole=210_000.0)
    yield (
        "summary, one range",
        _but(
            SUMMARY, species="rohu", period="last_month", hatched_low_percent=None, left_out=(), larvae=None
        ),
    )
    yield (
        "summary, none",
        _but(SUMMARY, period="all", counted=0, hatched_mean_percent=None, larvae=None, left_out=()),
    )
    yield (
        "given",
        Given(1, "", (SHOT, _but(SHOT, n=2, at=at("21:40"), ml=1.4, amount=28.0, by=None)), 10.06, "ug/kg"),
    )
    yield (
        "given, long ago",
        Given(
            1,
            "",
            (
                _but(SHOT, at=at("21:40", -30)),
                _but(SHOT, at=at("21:40", -400), ml=None, unit="IU"),
                _but(SHOT, at=at("21:40", -3), ml=None, unit="mg"),
                _but(SHOT, ml=None, amount=None),
            ),
            None,
            "",
        ),
    )
    yield "given, odd units", Given(1, "", (_but(SHOT, unit="mL"), _but(SHOT, unit="g")), None, "")
    yield (
        "given, a part of it",
        Given(
            1,
            "",
            (_but(SHOT, sheet_ml=0.32, share_percent=50.0), _but(SHOT, ml=None, share_percent=66.7)),
            None,
            "",
        ),
    )
    yield "given, off the sheet", Given(1, "", (_but(SHOT, sheet_ml=9.0), _but(SHOT, sheet_ml=0.1)), None, "")
    yield "given, nothing", Given(1, "", (), None, "")


def _of_several_runs() -> Iterator[tuple[str, Fact]]:
    yield "best run", BEST
    yield "worst run, of one species", _but(BEST, worst=True, of_species="rohu", of="fertilised", left_out=())
    for counted in (1, 2):
        few = _but(BEST, counted=counted, few=True, left_out=(), of="unknown")
        yield f"best run of {counted}", few
    whys: tuple[Why, ...] = get_args(Why)
    left = tuple(OutOfIt(each, ("2026-11-20", "2026-11-24")) for each in whys)
    yield "runs by species", SPECIES_BESIDE
    yield "runs left out, whyever", _but(SPECIES_BESIDE, groups=(), of="unknown", left_out=left)
    females = (RunGroup("8", 3, 57.1, 25.0, 75.0), RunGroup("12", 1, None, 78.0, 78.0))
    yield "lots by female", _but(SPECIES_BESIDE, by="female", groups=females, left_out=())
    doses = (
        RunGroup("premix", 4, 70.0, 55.0, 78.0, 9.4, 10.2, "ug"),
        RunGroup("hcg", 3, 60.0, 50.0, 70.0, 2500.0, 2500.0, "IU"),
    )
    yield "runs by dose", _but(SPECIES_BESIDE, by="dose", species="rohu", groups=doses, left_out=())
    waters = (
        RunGroup("", 1, None, 25.0, 25.0, 22.0, 24.0, "C"),
        RunGroup("", 4, 74.0, 70.0, 78.0, 26.0, 28.0),
    )
    yield "runs by water", _but(SPECIES_BESIDE, by="water", species="rohu", groups=waters, of="fertilised")
    years = (RunGroup("2026", 5, 64.0, 25.0, 78.0),)
    yield "runs by year", _but(SPECIES_BESIDE, by="season", period="all", groups=years, left_out=())
    yield "a female, one run", HERS
    yield "a female, several", _but(HERS, counted=6, mean_percent=60.0, low_percent=25.0, earlier=2)
    yield "a female, several counts", _but(HERS, counted=2, of="unknown", low_percent=25.0)
    bare = _but(HER_RUN, hatched_percent=None, fertilised_percent=None, grams=None, others=())
    outcomes = ("none", "died", "stripped", "waiting", "running", "stopped")
    ended = tuple(_but(bare, outcome=outcome) for outcome in outcomes)
    told = {"counted": 0, "low_percent": None, "high_percent": None}
    yield "a female, no hatch told", _but(HERS, runs=ended, **told)
    yield "a female of one run", _but(HERS, tag="F2", of_one_run=True)
    yield "what differed", LOW
    yield from _of_differences()


def _of_differences() -> Iterator[tuple[str, Fact]]:
    things = (
        *(
            Difference(thing, "differs", code, 23.0, 31.0, 22.9, 30.3, "C", 4)
            for thing, code in itertools.product(WATER_THINGS, WATER_CODES)
        ),
        *(
            Difference("hours", "differs", code, 14.0, low=8.5, high=11.25, unit="h")
            for code in ("before", "late", "after")
        ),
    )
    nothing = tuple(Difference(thing, "not-told") for thing in get_args(Thing))
    yield "what differed, water and hours", _but(LOW, things=things)
    others = (
        Difference("dose", "differs", "under", 4.0, low=6.0, high=12.0, unit="ug/kg"),
        Difference("dose", "differs", "over", 5200.0, low=2500.0, high=4500.0, unit="IU/kg"),
        Difference("ran", "differs", "long", 95.0, low=60.0, high=240.0, unit="min"),
        Difference("milt", "differs", "long", 95.0, low=60.0, high=240.0, unit="min"),
        Difference("males", "differs", "few", 0.5, low=1.0, high=2.0, unit="each"),
    )
    yield "what differed, dose and waits", _but(LOW, things=others, others=2)
    yield "what differed, one other run", _but(LOW, things=nothing, others=1)
    alone = {"others": 0, "low_percent": None, "high_percent": None}
    yield "what differed, hatch not told", _but(LOW, things=nothing[:2], percent=None, **alone)


def _answers() -> Iterator[tuple[str, Fact]]:
    for of in ("weighed", "water", "injected", "stripped", "collected", "counted"):
        yield f"corrected {of}", Corrected(1, "", of, *MENDED[of])
    yield "corrected, nothing to show", Corrected(1, "", "set-up", None, None)
    yield "corrected, injected already", Corrected(1, "", "weighed", *MENDED["weighed"], ("F1",), 1.2, 1.3)
    yield "cancelled", RunCancelled(1, "", "common-carp")
    yield "cancelled, treated", RunCancelled(1, "", "common-carp", ("F1", "M1"))
    yield "status", Status((OPEN, StatusLine(2, "the rohu", "rohu", "draft", None, "", None, 2, 0)))
    for state in codes("status", ("status-nothing", "status-injected", "status-females")):
        yield f"status {state}", Status((_but(OPEN, state=state, injected_at=None, next_at=None),))
    yield "status, nothing", Status(())
    yield "help", HelpText()
    yield "help, welcome", HelpText(welcome=True)
    yield "source", SOURCE
    own = SourceLine("eggs", "farm", "", "the farm's own")
    yield "source, own", _but(SOURCE, lines=(own,), mark="the farm's own", more=0, reasons=("told",))
    yield "source, no title", _but(SOURCE, lines=(SourceLine("count", "X", "", "published"),), more=0)
    yield "source, all named", _but(SOURCE, lines=SOURCE.lines[:3], mark="common practice", more=0)
    yield "source and our own rule", _but(SOURCE, called="rohu 3", rule=True)
    yield (
        "our own rule",
        Source("look", None, (), (), None, reasons=("trial",), values=_because("trial"), rule=True),
    )
    for step in codes("since"):
        since = tuple(_but(each, value=step) if each.name == "since" else each for each in SOURCE.values)
        yield f"source, since {step}", _but(SOURCE, values=since)
    for code in codes("reason"):
        yield (
            f"reason {code}",
            Source("any", None, SOURCE.lines[:1], (), "published", reasons=(code,), values=_because(code)),
        )
    for unit in codes("unit"):
        values = tuple(_but(each, value=unit) if each.name == "unit" else each for each in _because("trial"))
        yield f"reason in {unit}", _but(SOURCE, reasons=("trial",), values=values)
    yield "answered", Answered("Ben", at("04:50"), "check-females")
    yield "answered by somebody", Answered(None, None)
    yield "export", Exported(2, 3, at("06:10"))
    yield from _imported()
    yield "run sheet before", RunSheet(1, "", "rohu", False)
    yield "run sheet after", RunSheet(1, "", "rohu", True)
    yield "run sheet that cannot be made", RunSheet(1, "", "rohu", False, True)
    yield "season as a workbook", SeasonTable("xlsx", 12, "2026-01-03", "2026-06-02")
    yield "season as csv", SeasonTable("csv", 1, "2026-06-02", "2026-06-02")
    yield "season as csv for want of more", SeasonTable("csv", 12, "2025-03-01", "2026-06-02", True)
    yield "export of one run", Exported(1, 1, at("06:10"))
    yield from PICTURED.items()
    yield from _asked()


def _imported() -> Iterator[tuple[str, Fact]]:
    lost = NotTaken((6, 9), 0, "Date", "no-day", "31/04/2025", False)
    known = Imported("old.csv", 3, 0, None, None, (2, 3, 4), 0, ())
    yield "notebook, all of it", Imported("old.csv", 40, 40, "2025-03-01", "2025-09-30", (), 0, ())
    yield "notebook that was taken before", known
    yield (
        "notebook, much of it",
        Imported("old.csv", 9, 6, "2025-03-01", "2025-09-30", (4,), 2, (lost,), 3, "day-first"),
    )
    yield (
        "notebook, the month first",
        Imported("a.csv", 1, 1, "2025-03-01", "2025-03-01", (), 0, (), 0, "month-first"),
    )
    for code in codes("notebook"):
        fault = NotTaken((2, 3), 7, "Eggs (g)", code, "a dozen", code == "unknown-column")
        yield f"notebook, {code}", Imported("old.csv", 9, 0, None, None, (), 9, (fault,))
    nothing = NotTaken((), 0, "", "no-table", "", False)
    yield "no notebook", Imported("old.csv", 0, 0, None, None, (), 0, (nothing,))
    yield "day or month", Ask("day-or-month", "", words="3/4/2025")
    yield "undo a notebook", Ask("undo", "imported", number=12.0)
    yield "notebook taken back", Noted("import-undone", number=12.0)


def _asked() -> Iterator[tuple[str, Fact]]:
    for about in codes("ask-about", ("ask-about-undo",)):
        yield f"ask {about}", Ask(about, about, words="tnak", number=900.0, tags=("F1",))
    for kind in codes("happening"):
        yield f"ask undo, {kind}", Ask("undo", kind, at=at("21:40"))
    for why in codes("ask-why"):
        yield f"ask, {why}", Ask("which-fish", why.replace("-", "_"), words="F9", number=31.0, at=at("21:40"))
    yield "ask, implausible without a number", Ask("count", "implausible")
    one, two = Weigh((Weighed("f", 2.6),)), Weigh((Weighed("f", 26.0),))
    yield "ask, over twice", Ask("dose-reason", "over-twice", 1, number=30.0, words="ug/kg", limit=12.0)
    yield "ask, dose unit", Ask("own-dose", "wrong-dose-unit", 1, number=5.0, words="premix")
    yield "ask, a candidate", Ask("weigh", "ambiguous-intent", candidates=(one,))
    yield "ask, candidates", Ask("weigh", "ambiguous_unit", candidates=(one, two))
    for why in codes("refused"):
        yield f"refused {why}", Refused(why, words="eel", at=at("21:40"))
    for what in codes("trouble"):
        for stage in ("none", "ready", "brood", "eggs", "larvae"):
            yield f"trouble {what}, {stage}", TroubleHelp(what.replace("-", "_"), stage)


# The shelf

SHELVED = OnShelf(1, "A3", "premix", BOTTLE, "mL", 6.72)
OPEN_BOTTLE = OnShelf(
    *(1, "A3", "premix", BOTTLE, "mL", 6.72, 0.0, 0, at("21:40", -2), 28.0, "2026-12-21", "opened")
)
VIALS = OnShelf(
    2, "2", "hcg", Strength(iu_per_vial=5000.0), "IU", 45_000.0, good_until="2027-03-31", ends="label"
)
LINE = LedgerLine("A3", 0.0, 10.0, 3.28, 0.5, 6.22)
LEDGER = HormoneLedger("premix", "mL", "season", at("08:00", -182), at("08:00", 1), (LINE,), LINE)
LASTS = HormoneEnough("yes", "premix", "mL", 14.0, 6.0, "planned", 1)


def _shelf() -> Iterator[tuple[str, Fact]]:
    """Bottles in every state, their ledger, whether it is enough, their bells."""
    yield "bottle in", BottleNow("in", OnShelf(1, "A3", "premix", BOTTLE, "mL", 10.0), usual_years=3)
    yield "bottle in, amount untold", BottleNow("in", _but(SHELVED, left=None, strength=None))
    yield "bottle in, vials", BottleNow("in", VIALS)
    yield "bottle told", BottleNow("told", _but(SHELVED, good_until="2027-05-31", ends="label"))
    yield "bottle opened", BottleNow("opened", _but(SHELVED, opened_at=at("21:40")), usual_days=28)
    yield "bottle keeps", BottleNow("keeps", OPEN_BOTTLE)
    yield "bottle wasted", BottleNow("wasted", SHELVED, 0.5)
    for what in ("broken", "thrown-away"):
        yield f"bottle {what}", BottleNow(what, _but(SHELVED, left=0.0, gone=what), 6.72)
        yield f"bottle {what}, amount untold", BottleNow(what, _but(SHELVED, left=None, gone=what))
    for named, found, missing in (("as told", 0.0, 0.0), ("more", 0.5, 0.0), ("less", 0.0, 0.72)):
        counted = _but(SHELVED, left=6.0, reckoned=named == "as told")
        yield f"bottle counted, {named}", BottleNow("counted", counted, 6.0, found, missing)
        empty = _but(SHELVED, left=0.0, gone="empty")
        yield f"bottle empty, {named}", BottleNow("empty", empty, 0.0, found, missing)
    yield "bottle drawn", BottleNow("drawn", SHELVED, run=1, called="the rohu")
    yield "bottle drawn, amount untold", BottleNow("drawn", _but(SHELVED, left=None))
    yield "bottle drawn, too much", BottleNow("drawn", _but(SHELVED, left=-1.2, over=1.2, untold=1))
    yield "bottle drawn, past its day", BottleNow("drawn", _but(OPEN_BOTTLE, expired=True, untold=2))
    yield "shelf", ShelfNow((OPEN_BOTTLE, VIALS, _but(SHELVED, bottle=3, name="3", left=None)))
    past = _but(SHELVED, expired=True, good_until="2026-10-31", ends="label", over=0.3, left=-0.3)
    yield "shelf, past its day", ShelfNow((past,))
    yield "ledger", LEDGER
    more = LedgerLine("B1", 4.0, 0.0, 1.0, 0.0, 2.75, 0.0, 0.25, 1)
    found = LedgerLine("", 4.0, 10.0, 4.28, 0.5, 9.42, 0.2, 0.0, 1)
    none = LedgerLine("", None, None, 2.5, None, None, untold=2)
    unknown = LedgerLine("C2", None, None, 1.5, 0.0, None)
    yield (
        "ledger, several",
        _but(
            LEDGER, lines=(LINE, more, unknown), whole=found, left_out=("C2",), from_none=none, runs_of_none=1
        ),
    )
    yield "ledger, none", _but(LEDGER, lines=(), from_none=_but(none, untold=0), runs_of_none=2)
    none_told = _but(LASTS, need=None, of="", runs=0)
    yield "enough", LASTS
    yield "enough, as usual", _but(LASTS, of="usual", runs=5)
    yield "enough, as the last", _but(LASTS, of="usual", verdict="no", left=4.0, short=2.0, expired=3.0)
    yield "enough, not told", _but(LASTS, verdict="not-told", left=0.0, unknown=("A3",))
    yield "enough, no bottle", _but(LASTS, verdict="no-bottle", left=0.0, others=("B1",))
    yield "enough, nothing told", _but(none_told, verdict="no-bottle", left=0.0)
    yield (
        "enough, no need",
        _but(LASTS, verdict="no-need", need=None, of="", runs=0, unknown=("A3",), untold=1),
    )
    for ends in ("label", "opened"):
        expires = _but(OPEN_BOTTLE, ends=ends)
        yield f"bell bottle-expires, {ends}", _but(_book_bell("bottle-expires"), bottle=expires)
    for runs in (1, 5):
        low = _but(_book_bell("bottle-low"), bottle=SHELVED, need=8.25, runs=runs)
        yield f"bell bottle-low, {runs}", low
    for why in (
        "which-drawn",
        "several",
        "unknown-lot",
        "same-lot",
        "how-much",
        "days-asked",
        "not-a-day",
        "none-told",
    ):
        yield f"ask bottle, {why}", Ask("bottle", why, words="A3")


def _book_bell(step: str) -> StepDue:
    return _but(LOOK, step=step, run=0, species=None, tags=(), next_at=None, batch="1", group="", place="")


def _crew() -> Iterator[tuple[str, Fact]]:
    for role in ("hand", "reader"):
        yield f"join-link {role}", JoinLink(role, at("21:40", days=2), "https://example.test/?start=abc")
    people = (CrewMember("Ada", "owner"), CrewMember("Ben", "hand"), CrewMember("Chi", "reader"))
    yield "crew", CrewList(people)
    yield "answered elsewhere", Answered("Ben", at("04:47"), "check-females", elsewhere=True)
    yield "crew with a night", CrewList(people, ("Ben", "Ada"), at("12:00", days=1))


NOTED_WORDS = {"noted-species": "african-catfish", "noted-placed": "tank 2"}
NOTED_WORDS |= {f"noted-{what}": "pituitary" for what in OF_PREPARATION}
VARIANTS = re.compile(r"^ +\*?\[([\w-]+)\]", re.MULTILINE)


def _noted() -> Iterator[tuple[str, Noted]]:
    """Every note once, and once for each word it knows."""
    texts = {each.id.name: FTL[each.span.start : each.span.end] for each in entries() if each.span}
    for what in codes("noted"):
        text = texts[f"noted-{what}"]
        words = VARIANTS.findall(text) if "$word ->" in text else [NOTED_WORDS.get(f"noted-{what}", "Ana")]
        words = codes("happening") if what == "undone" else words
        for word in words:
            yield (
                f"noted {what} {word}",
                Noted(what, 1, "", at("21:40"), ("F1", "F2"), "spread", 27.5, 640.0, word, BOTTLE),
            )
    yield (
        "noted injected, echo",
        Noted("injected", 1, at=at("21:40"), echo=True, next_step="check-females", next_at=at("04:45", 1)),
    )
    yield "noted priming, echo", Noted("priming", 1, "the carp", at=at("14:30"), echo=True)
    yield "noted done, echo", Noted("done", 1, step="spread", at=at("21:40"), echo=True)
    yield "noted not yet, bare", Noted("not-yet", 1)
    yield "noted syringes, two", Noted("syringes", syringes=(Syringe(1.0, 0.01), Syringe(5.0, 0.2)))


def _replies() -> Iterator[tuple[str, Reply]]:
    for name, fact in _facts():
        yield name, Reply(fact)
    first = ("gloves", "label-first")
    yield "sheet with cautions and a question", Reply(CATFISH, cautions=first, asks="label")
    yield "forecast moved", Reply(_but(FORECAST, echo=False, alarm_at=at("04:40", 1)))
    yield "forecast with water asked", Reply(FORECAST, cautions=("phone-alarm",), asks="temperature-again")
    yield "look with a caution", Reply(_but(LOOK, last=True), cautions=("no-second-dose",))
    for code in codes("caution"):
        yield f"caution {code}", Reply(Noted("kept"), cautions=(code,))
    for code in codes("ask"):
        if f"ask-{code}" not in IDS or code.startswith(("why-", "about-")):
            continue
        yield f"asks {code}", Reply(Noted("kept"), asks=code)


REPLIES: dict[str, Reply] = dict(_replies())
PAGES: dict[str, RunPaper] = {
    "before": RunPaper(1, "rohu", "stripped", "2026-06-01", True, CATFISH, None, NIGHT, None, ("gloves",)),
    "no dose": RunPaper(
        *(1, "rohu", "nest", "2026-06-01", True),
        *(_but(CATFISH, fish=(_but(CATFISH.fish[0], shots=()),)), None, None, None, ()),
    ),
    "after": RunPaper(
        *(1, "rohu", "hapa", "2026-06-01", False, None, None, None),
        Result(1, "rohu", "2026-06-01", 82.0, 91.5, "all", None, None, None, None, "closed"),
        ("treated-fish",),
    ),
    "after the needle": RunPaper(
        *(1, "rohu", "hapa", "2026-06-01", False, None),
        *(Given(1, "", (SHOT, _but(SHOT, hour_told=False)), None, ""), NIGHT, None, ("treated-fish",)),
    ),
}
"""What is printed for the wall."""

# Buttons and readings -----------------------------------------------------------------------------------

_ARGS: dict[str, Any] = {
    "species": "african-catfish",
    "preparation": "pituitary",
    "minutes": 30.0,
    "at": at("04:45", 1),
    "number": 2.6,
    "step": "check-females",
    "tag": "F2",
    "tags": "F1, F2",
    "name": "Ben",
    "called": "rohu 3, tank 2",
    "text": "the rohu",
    "mother": "3",
    "father": "12",
}


def _button(code: str) -> Button:
    args: list[tuple[str, Any]] = []
    for name in IDS[f"button-{code}"]:
        args += [("ug_per_ml", 20.0), ("mg_per_ml", 10.0)] if name == "strength" else [(name, _ARGS[name])]
    command = Snooze(30.0) if code == "later-30" else Nothing()
    return Button(code, command, code, () if code == "later-30" else tuple(args))


BUTTONS: dict[str, Button] = {code: _button(code) for code in codes("button")}
READINGS: tuple[Reading, ...] = (
    TellFish("8", origin="the river"),
    LoseFish(("8",), "sold"),
    GiveTag("F1", "8"),
    Basis("available"),
    Weigh((Weighed("f", 2.6),)),
    Weigh((Weighed("f", 6.0, "F2"),)),
    Weigh((Weighed("f", 2.4), Weighed("m", 1.9), Weighed(None, 0.085))),
    Weigh((Weighed("m", None, "F1"), Weighed("m", None), Weighed(None, None, "9"), Weighed(None, None))),
    Weigh(),
    Temperature(27.5),
    Temperature(unknown=True),
    Injection(at="21:40", tags=("F2",)),
    Injection(minutes_ago=20),
    Injection(),
    Injection(per_kg=2500.0, unit="IU"),
    Strip(eggs=(EggsTold("F1", 180.0), EggsTold(None, None)), not_ready=("F2", None), none=("F3",)),
    Strip(),
    EggCount(640.0),
    Fertilised(good=164, total=200),
    Fertilised(percent=82.5),
    Fertilised(),
    Hatched(good=150, total=200),
    Hatched(larvae=46800),
    Hatched(),
    LarvaeCount((12.0, 15.0), 50.0, 100.0),
    LarvaeCount(larvae=18000.0, stage="swim_up"),
    LarvaeCount(litres=100.0),
    LarvaeCount(measured=ByMeasure(40.0, "cup", 1000.0)),
    LarvaeCount(measured=ByMeasure(60.0, "ml")),
    SetMeasure("cup", 650.0),
    SetMeasure("ml"),
    SetScoop("spoon", "salt", 12.0),
    SetBottle("peroxide", 35.0),
    Collect(3.5),
    Bath(),
    Bath(litres=20, ppm=100),
    Death(("F1",)),
    Death(count=1),
    LeftOut(("F2",)),
    EggsRunning(tags=("F1",)),
    StepSaid("fertilise"),
    Label(20.0, 10.0),
    Zone(clock="19:00"),
    Snooze(150),
    Invite(),
    Remove("Ben"),
    HandOver("Ben"),
    OnDuty(),
    OnDuty(("Ben", "Asha"), me=True),
    OnDuty(me=True),
    OnDuty(everybody=True),
    PrivateBells(wanted=False),
    SwitchFarm("Pond End"),
    Correction(Weigh((Weighed("f", 2.6),))),
    Unclear("no_number"),
)
PICKS = tuple(Button("pick:1", Pick(said), "candidate") for said in READINGS)
ACTS: tuple[type[Any], ...] = get_args(Act)
