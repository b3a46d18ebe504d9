"""What the bot may answer: the closed union of facts, and the buttons that go with them.

One frozen class a kind; `kind` is the kebab-case word of the transcript. Facts hold numbers, times and
codes, never sentences: `wording` makes those, in the reader's language. A `called` field is how a run,
place or batch is named where several are open, else empty: what is the only one is never mentioned.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

from core.baths import Mix, Shown
from core.commands import Act, Command
from core.comparing import By, RunGroup, Why
from core.crew import Invited, Role
from core.differences import Difference
from core.dosing import DoseLine
from core.drawing import Making
from core.eggs import InVessels
from core.money import PerThousand, Sum
from core.orders import Hormone, Need, Night
from core.records import (
    CountedIn,
    CountOf,
    EggsOf,
    FishWeight,
    Mark,
    OwnDose,
    Preparation,
    RunState,
    Sex,
    StockUnit,
    Strength,
    Syringe,
    WaterRow,
    WaterSource,
    Way,
    WindowRow,
)

# Doses and plan -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OwnWeight:
    """A fish's weight in what the farm weighs in: `lb`, `kati` or `viss`."""

    tag: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class DoseSheet:
    """Where no strength is known the `*_ml` are `None`, and `total` and `make` (with waste) are in `unit`.
    `makings` are mixed before the injection; `vials` or `glands` hold what is needed. `weights` where the
    farm does not weigh in kg.

    `warnings`: `male-optional`, `no-male`, `no-male-figure`, `no-female`, `sex-unknown`, `too-small`,
    `big-volume`, `strength-assumed`, `ratio-differs`, `under-range`, `over-range`, `rounding`,
    `vial-not-told`, `no-dose-figure`, and the notes of the card's figures (which glands, which blocker).
    """

    kind: ClassVar[str] = "dose-sheet"
    run: int
    called: str
    species: str
    way: Way
    preparation: str
    strength: Strength | None
    strength_assumed: bool
    ml_per_kg: float | None
    fish: tuple[DoseLine, ...]
    total_ml: float | None
    draw_ml: float | None
    syringe_ml: float | None
    graduation_ml: float | None
    warnings: tuple[str, ...]
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"
    per_kg: float | None = None
    unit: str = ""
    total: float | None = None
    make: float | None = None
    makings: tuple[Making, ...] = ()
    vials: int | None = None
    glands: int | None = None
    own: OwnDose | None = None
    weights: tuple[OwnWeight, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanTime:
    """`about`: it hangs on an hour not known yet. `called` names the group where there are several."""

    step: str
    at: datetime
    about: bool = False
    called: str = ""


@dataclass(frozen=True, slots=True)
class WaterOutside:
    """The water gives no hours: `why` is `too-cold`, `too-warm` or `outside-source`; between `resume_when`
    (C) there are hours again."""

    why: str
    celsius: float
    resume_when: tuple[float, float]


@dataclass(frozen=True, slots=True)
class InjectPlan:
    """One proposal. `strip_at` is the likely hour (in a nest: of the eggs), `priming_at` the first of the
    `primings`. `awake` are the steps that fall into the hours of sleep, with their hours. Where the water is
    `outside` what the card knows, all hours behind the injection are `None`. `no_earlier`: an earlier hour
    was asked for, and there is none."""

    kind: ClassVar[str] = "inject-plan"
    run: int
    called: str
    way: Way
    strip_at: datetime | None
    priming_at: datetime | None
    final_at: datetime
    first_look_at: datetime | None
    most_from_at: datetime | None
    most_to_at: datetime | None
    primings: tuple[datetime, ...] = ()
    awake: tuple[PlanTime, ...] = ()
    outside: WaterOutside | None = None
    no_earlier: bool = False


@dataclass(frozen=True, slots=True)
class NightPlan:
    """Every coming time, to copy on the wall; `alarm_at` is when a phone alarm should ring too, the first of
    the `alarms`: before each needle in the hours of sleep, and before the first look."""

    kind: ClassVar[str] = "plan"
    run: int
    called: str
    times: tuple[PlanTime, ...]
    alarm_at: datetime
    alarms: tuple[datetime, ...] = ()


@dataclass(frozen=True, slots=True)
class StripForecast:
    """The window of a group. `nest` forecasts speak of eggs on the mat, not of stripping. `next_look_at` is
    there where looks had begun while it was on hold, and go on; `alarm_at` where the first look moved away
    from the phone alarm that was told."""

    kind: ClassVar[str] = "strip-forecast"
    run: int
    called: str
    way: Way
    group: str
    place: str
    preparation: str
    tags: tuple[str, ...]
    final_injection_at: datetime
    first_look_at: datetime
    earliest_at: datetime
    most_from_at: datetime
    likely_at: datetime
    most_to_at: datetime
    latest_at: datetime
    look_every_minutes: int
    give_up_at: datetime
    egg_life_minutes: int | None
    celsius: float
    celsius_source: WaterSource
    basis: tuple[str, ...]
    mark: Mark
    echo: bool = False
    wide: bool = False
    rest: tuple[str, ...] = ()
    next_look_at: datetime | None = None
    alarm_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Hold:
    """No forecast of a group: the water left what the card knows. `why`: `too-cold`, `too-warm`,
    `outside-source`. `lethal_celsius` is where eggs die on that side, where somebody told.

    `ask_again_at` is when the bot asks the water, `None` where it asks no more. `before` the injection there
    are no looks yet.
    """

    kind: ClassVar[str] = "hold"
    run: int
    called: str
    why: str
    celsius: float
    resume_when: tuple[float, float]
    ask_again_at: datetime | None
    group: str = ""
    lethal_celsius: float | None = None
    before: bool = False


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """Larvae wanted, worked back, `feeding` or just hatched. `wanted_at` is `None` while no day was named,
    `night` where there is none to tell: `why` is then `no-day` or why nobody can. With `too-late` it is the
    night of the earliest day there is, `earliest_at`. `hormone` is `None` where nobody knows how many females
    or published a dose.

    `asleep`: eggs come when people sleep. `basis` and `mark` are of all its parts together.
    """

    kind: ClassVar[str] = "order-plan"
    species: str
    way: Way
    larvae: float
    feeding: bool
    wanted_at: datetime | None
    why: str
    earliest_at: datetime | None
    need: Need
    hormone: Hormone | None
    night: Night | None
    asleep: bool
    celsius: float
    celsius_source: WaterSource
    basis: tuple[str, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class CourseDoubt:
    """What speaks against a coming shot of a female, for each kg of her: `given` so far, `total` with this
    shot, beside the range. `code`: `over-range`, `under-range`, or `unknown` where nobody knows what she got;
    the figures are `None` then."""

    tag: str
    code: str
    unit: str
    low: float
    high: float
    given: float | None = None
    total: float | None = None


# Steps and bells ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class StepDue:
    """A bell, or what comes next.

    `after_hours` is how long after spawning eggs are firm, by `rule`: `our-own`, or the mark of the card's
    figure; `live_food`: the card says how long before the first feed it is set.

    `tags` are the fish it is about, `running` those of them that run already, `since` when eggs began to run
    if that was earlier; `doses` what to draw (injections), `minutes` how long a bath takes, `last` whether it
    is the last look, `tried` who was rung in vain before, `unanswered` the steps nobody answered (evening
    line), `bottle` what a bell of the shelf is about, `need` what a run usually takes by the newest `runs`,
    `destick_with` the code of what takes the glue off sticky eggs, `stage` that of how far good eggs
    are when they are counted, `outside` the
    water at an injection where it gives no hours, `doubts` what speaks against this shot.
    """

    kind: ClassVar[str] = "step"
    step: str
    due_at: datetime
    run: int
    called: str
    species: str | None
    way: Way
    group: str
    batch: str
    place: str
    late_minutes: int = 0
    look: int = 0
    attempt: int = 0
    bell: bool = True
    tags: tuple[str, ...] = ()
    doses: tuple[DoseLine, ...] = ()
    makings: tuple[Making, ...] = ()
    minutes: int | None = None
    celsius: float | None = None
    last: bool = False
    tried: tuple[str, ...] = ()
    running: tuple[str, ...] = ()
    since: datetime | None = None
    unanswered: tuple[str, ...] = ()
    next_at: datetime | None = None
    stickiness: str = ""
    destick_with: str = ""
    stage: str = ""
    milt_ml: float | None = None
    male_cut: bool = False
    bath_order: str = ""
    after_hours: float | None = None
    rule: str = ""
    live_food: bool = False
    outside: WaterOutside | None = None
    doubts: tuple[CourseDoubt, ...] = ()
    bottle: OnShelf | None = None
    need: float | None = None
    runs: int = 0


@dataclass(frozen=True, slots=True)
class EggsOfFish:
    tag: str
    grams: float | None
    eggs: int | None
    quality: str | None
    partial: bool


@dataclass(frozen=True, slots=True)
class EggsInPlace:
    """Swollen eggs of one jar; `place` is "" where none was named."""

    place: str
    litres: float
    eggs: int | None


@dataclass(frozen=True, slots=True)
class EggsTaken:
    """`test_lot`: these eggs stay in a bowl of their own and are decided on at the count.

    Eggs collected by volume have `litres`, all told, `lots` a jar or a going, and eggs in a millilitre.
    `kept_for` is the species whose own count was told just now: it is kept for the next runs. `wet`: the
    grams were weighed after water, so that they tell neither eggs nor milt.
    """

    kind: ClassVar[str] = "eggs"
    run: int
    called: str
    batch: str
    fish: tuple[EggsOfFish, ...]
    total_grams: float | None
    total_eggs: int | None
    eggs_per_gram: float | None
    eggs_per_gram_low: float | None
    eggs_per_gram_high: float | None
    milt_ml: float | None
    at: datetime
    test_lot: bool = False
    waiting: tuple[str, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"
    litres: float | None = None
    lots: tuple[EggsInPlace, ...] = ()
    eggs_per_ml: float | None = None
    eggs_per_ml_low: float | None = None
    eggs_per_ml_high: float | None = None
    next_step: str = ""
    next_at: datetime | None = None
    kept_for: str = ""
    wet: bool = False


@dataclass(frozen=True, slots=True)
class OwnCounted:
    """A count of eggs that the farm keeps for a species: `before` is the one it had, `low`..`high` what the
    card knows, `None` where it knows nothing. `far`: outside of that by more than half."""

    kind: ClassVar[str] = "own-count"
    species: str
    counted_in: CountedIn
    eggs: float
    before: float | None
    low: float | None
    high: float | None
    far: bool
    at: datetime
    basis: tuple[str, ...] = ()
    mark: Mark = "the farm's own"


@dataclass(frozen=True, slots=True)
class VesselPlan:
    """Eggs into jars or tubs. `eggs` are what was told, what `litres` of swollen ones hold at `eggs_per_ml`
    or `grams` of dry ones at `eggs_per_gram`, or those of the run, and `None` where nobody told. `about` what
    was asked: `spread`, how many lie on a tray or net, has no figure; nor has a species without `vessels`.
    `sticky`: how the card handles its eggs, "" where they are free."""

    kind: ClassVar[str] = "jars"
    run: int
    called: str
    species: str | None
    about: str
    eggs: int | None
    litres: float | None
    eggs_per_ml: float | None
    sticky: str
    vessels: tuple[InVessels, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark | None = None
    grams: float | None = None
    eggs_per_gram: float | None = None


@dataclass(frozen=True, slots=True)
class MiltNeed:
    """Milt for `grams` of dry eggs, for a kg where nobody told; the mL are `None` where nobody printed them.
    `parts` of saline with `saline_g_per_l` of salt go to one of milt, where that was tried. `thinned`: that
    was asked."""

    kind: ClassVar[str] = "milt"
    run: int
    called: str
    species: str
    grams: float | None
    ml: float | None
    low_ml: float | None
    high_ml: float | None
    parts: float | None
    saline_g_per_l: float | None
    male_cut: bool
    thinned: bool = False
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class BroodNumbers:
    """Brood fish by their numbers. `effective` is that of the females and males, or of several generations
    (`effectives`) together; `percent` how much inbreeding it adds in one generation, `total_percent` what
    `generations` make. `wanted_males` would bring these females to the `advised` number, `None` where none
    would. Of a species: `usual_males` for the females, `low_males`..`high_males` told; `enough` is `too-few`,
    `few` or `enough` by these."""

    kind: ClassVar[str] = "brood-numbers"
    about: str
    females: int | None
    males: int | None
    effective: float | None = None
    percent: float | None = None
    effectives: tuple[float, ...] = ()
    generations: int | None = None
    total_percent: float | None = None
    most_percent: float | None = None
    better_percent: float | None = None
    advised: int | None = None
    wanted_males: int | None = None
    species: str | None = None
    usual_males: int | None = None
    low_males: int | None = None
    high_males: int | None = None
    enough: str = ""
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class BathKept:
    """What one of the farm's own measures holds of a stuff, or the per cent on its bottle (`of`), as told."""

    kind: ClassVar[str] = "bath-kept"
    of: str
    stuff: str
    grams: float | None = None
    ml: float | None = None
    percent: float | None = None


@dataclass(frozen=True, slots=True)
class InScoops:
    """So many of the farm's own measures of a stuff."""

    stuff: str
    of: str
    count: float


@dataclass(frozen=True, slots=True)
class BathMix(Mix):
    """What to mix, or why nothing is mixed, with its strengths as they are spoken of. `told_grams`, `told_ml`
    and `told_minutes` are what the farm said it puts in, and for how long.
    """

    kind: ClassVar[str] = "bath"
    shown: Shown | None = None
    told_grams: float | None = None
    told_ml: float | None = None
    told_minutes: float | None = None
    told_scoops: float | None = None
    scoop: str | None = None
    in_scoops: tuple[InScoops, ...] = ()


@dataclass(frozen=True, slots=True)
class FertilisedShare:
    """`whole_percent` is of all places of the batch, where this is the count of one of them."""

    kind: ClassVar[str] = "fertilised"
    run: int
    called: str
    batch: str
    good: int | None
    total: int | None
    percent: float
    low_percent: float | None
    high_percent: float | None
    whole_percent: float | None = None


@dataclass(frozen=True, slots=True)
class HatchForecast:
    """`from_step` is what it counts from: `fertilise`, `strip` where fertilising was not told, `check-nest`
    where they spawn by themselves; at `from_at`, `reckoned` where nobody told that hour."""

    kind: ClassVar[str] = "hatch-forecast"
    run: int
    called: str
    batch: str
    from_step: str
    earliest_at: datetime
    likely_at: datetime
    latest_at: datetime
    celsius: float
    celsius_source: WaterSource
    basis: tuple[str, ...]
    mark: Mark
    count_at: datetime | None = None
    from_at: datetime | None = None
    reckoned: bool = False


@dataclass(frozen=True, slots=True)
class HatchedShare:
    """`percent_as_told` is what the farmer said of `of`; the two others only where they are known.
    `also_low`..`also_high` is the doubt of the one that was not told but worked out.

    `whole_percent` is of all places of the batch, where this is the count of one of them.
    """

    kind: ClassVar[str] = "hatched"
    run: int
    called: str
    batch: str
    larvae: int | None
    percent_as_told: float | None
    percent_of_fertilised: float | None
    percent_of_eggs: float | None
    low_percent: float | None
    high_percent: float | None
    of: CountOf
    deformed: int | None = None
    first_feed_at: datetime | None = None
    swim_up_at: datetime | None = None
    whole_percent: float | None = None
    also_low: int | None = None
    also_high: int | None = None


@dataclass(frozen=True, slots=True)
class LarvaeInWater:
    """Larvae by cups out of stirred water, `low`..`high` 19 times in 20; `mean` a cup. A number told without
    cups has no doubt and no cups. `stage`: `hatched` or `swim-up`, "" where it is not known.

    `amount` of a `measure` of the farm's own (`ml` of spawn, `cup`) with `each` in one of it, where it was so
    told. `kept`: with a run; else it is a sum alone. `uneven`: the cups differ more than chance makes them.
    `eggs`: of how many, where the larvae are more than these. `whole`: over all tanks, where this is of one.
    """

    kind: ClassVar[str] = "larvae-count"
    run: int
    called: str
    stage: str
    larvae: int
    low: int | None
    high: int | None
    cups: int
    counted: float | None
    mean: float | None
    cup_ml: float | None
    litres: float | None
    uneven: bool = False
    kept: bool = True
    place: str = ""
    eggs: int | None = None
    whole: int | None = None
    basis: tuple[str, ...] = ()
    mark: Mark = "the farm's own"
    amount: float | None = None
    measure: str = ""
    each: float | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """How many larvae the farm counted in its own measure, `of` a `ml` of spawn or a `cup`; `low`..`high` is
    where hatcheries lie, `odd` outside of it."""

    kind: ClassVar[str] = "measure"
    of: str
    larvae: float
    low: float | None
    high: float | None
    odd: bool
    basis: tuple[str, ...] = ()
    mark: Mark = "the farm's own"


@dataclass(frozen=True, slots=True)
class CountNeeded:
    """How many to count for `percent` either way, 19 times in 20: `eggs` for a share of them, `eggs_near`
    where about `near_percent` are good; `larvae` in cups, which are `cups` of `mean` where these were told.
    Those that were not asked are `None`."""

    kind: ClassVar[str] = "sample-size"
    percent: float
    assumed: bool
    eggs: int | None = None
    eggs_near: int | None = None
    near_percent: float | None = None
    larvae: int | None = None
    cups: int | None = None
    mean: float | None = None
    fewest_cups: int | None = None
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"


@dataclass(frozen=True, slots=True)
class SurvivalLink:
    """A stage (`fertilised`, `hatched`, `swim-up`, `sold`): how many, and what percent `of` the last told
    stage before it, `None` where the two cannot be compared. `at_odds`: surely more than before."""

    stage: str
    number: int | None
    of: str
    percent: float | None
    low: int | None
    high: int | None
    at_odds: bool


@dataclass(frozen=True, slots=True)
class Survival:
    """From eggs to fry; `missing` are the stages nobody told, `uncounted` the lots whose larvae at hatch were
    not counted where those of others were. The `whole` is the share of the `first` stage that reached the
    `last`."""

    kind: ClassVar[str] = "survival"
    run: int
    species: str
    date: str
    eggs: int | None
    links: tuple[SurvivalLink, ...]
    missing: tuple[str, ...]
    first: str
    last: str
    whole_percent: float | None
    whole_low: int | None
    whole_high: int | None
    basis: tuple[str, ...] = ()
    mark: Mark = "the farm's own"
    uncounted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PerKg:
    """Larvae for each kg of the females that were injected, `kg` in all; `None` where not told."""

    kind: ClassVar[str] = "per-kg"
    run: int
    species: str
    date: str
    kg: float
    hatched: int | None
    swim_up: int | None
    sold: int | None
    uncounted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StockFigure:
    """A published density `per` `m2`, `litre` or `bag`, and what it comes to: larvae in what was told, or
    `fewest`..`most` of these for a number of larvae. `note` is a code."""

    place: str
    per: str
    low: float
    usual: float | None
    high: float
    low_larvae: int | None = None
    usual_larvae: int | None = None
    high_larvae: int | None = None
    fewest: int | None = None
    most: int | None = None
    note: str = ""
    bag_litres: float | None = None


@dataclass(frozen=True, slots=True)
class StockPlan:
    """How densely `young` (`larvae` or `fry`) of a species are stocked, in `place` where one was named; no
    `figures` where nobody published any."""

    kind: ClassVar[str] = "stocking"
    species: str
    place: str
    young: str
    figures: tuple[StockFigure, ...]
    m2: float | None
    litres: float | None
    bags: float | None
    larvae: float | None
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"


# The hormone shelf ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OnShelf:
    """A bottle as it stands, in `unit` (mL; IU, mg or ug of what comes dry). `name` is its lot, else its
    number. `left` is `None` where nobody told what it held, below 0 where more was drawn than that: `over` is
    by how much. `untold`: of so many needles nobody told what they took. `good_until` is its last day by
    `ends`: its label, or that it was `opened`. `gone`: empty, broken or thrown away."""

    bottle: int
    name: str
    preparation: Preparation
    strength: Strength | None
    unit: StockUnit
    left: float | None
    over: float = 0.0
    untold: int = 0
    opened_at: datetime | None = None
    keeps_days: float | None = None
    good_until: str | None = None
    ends: Literal["", "label", "opened"] = ""
    expired: bool = False
    gone: str = ""
    reckoned: bool = False


@dataclass(frozen=True, slots=True)
class BottleNow:
    """What was told of a bottle (`what`: `in`, `told`, `opened`, `keeps`, `wasted`, `broken`, `thrown-away`,
    `counted`, `empty`, `drawn`) and how it stands now. `amount` is what was told; by how much a count `found`
    more than the ledger said, or how much was `missing`. `usual_days` is what some labels give an opened one,
    `usual_years` how long a closed one keeps, where its own label is not told."""

    kind: ClassVar[str] = "bottle"
    what: str
    bottle: OnShelf
    amount: float | None = None
    found: float = 0.0
    missing: float = 0.0
    usual_days: int | None = None
    usual_years: int | None = None
    run: int = 0
    called: str = ""


@dataclass(frozen=True, slots=True)
class ShelfNow:
    """The bottles that are not gone."""

    kind: ClassVar[str] = "shelf"
    bottles: tuple[OnShelf, ...]


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """opening + came - used - wasted + found - missing = closing, the last two by counts. `None` where what
    it held is not known, and of needles from no bottle told (`name` is "" then, as it is of the whole)."""

    name: str
    opening: float | None
    came: float | None
    used: float
    wasted: float | None
    closing: float | None
    found: float = 0.0
    missing: float = 0.0
    untold: int = 0


@dataclass(frozen=True, slots=True)
class HormoneLedger:
    """The bottles of a preparation over a period, in `unit`. `whole` is of those whose content is known,
    `left_out` names the others; `from_none` is what `runs_of_none` runs used of no bottle that was told,
    `None` where that was none."""

    kind: ClassVar[str] = "ledger"
    preparation: Preparation
    unit: StockUnit
    period: str
    since_at: datetime
    until_at: datetime
    lines: tuple[LedgerLine, ...]
    whole: LedgerLine
    left_out: tuple[str, ...] = ()
    from_none: LedgerLine | None = None
    runs_of_none: int = 0


@dataclass(frozen=True, slots=True)
class HormoneEnough:
    """Whether the hormone lasts for tomorrow. `verdict`: `yes`, `no`, `not-told` (what is left), `no-bottle`,
    `no-need` (nobody knows what tomorrow takes). `need` is `of` the `planned` runs' sheets, of which there
    are so many, or the `usual` of the newest. `unknown` are bottles of whom nobody told what they hold;
    `expired` is what more there is past its day; `short` is what is missing."""

    kind: ClassVar[str] = "enough"
    verdict: Literal["yes", "no", "not-told", "no-bottle", "no-need"]
    preparation: Preparation
    unit: StockUnit
    left: float
    need: float | None
    of: Literal["planned", "usual", ""]
    runs: int
    short: float = 0.0
    expired: float = 0.0
    untold: int = 0
    unknown: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


# Answers --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BatchResult:
    """One batch of several; `hatched_percent` as told of `hatched_of`, `None` where nobody told."""

    called: str
    fertilised_percent: float | None
    hatched_percent: float | None
    hatched_of: CountOf
    larvae: int | None
    grams: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class HormoneUsed:
    """What went into all `fish` of a run; `ml` or `amount` (in `unit`) are `None` where one shot's is not
    known."""

    preparation: Preparation
    fish: int
    ml: float | None
    amount: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Result:
    """A run's card. `date` is the day it was injected (else opened), ISO. `newer_without`: newer runs with no
    figure; `batches` where there are several.

    `derived`: which of `percent_of_eggs` ("all") and `percent_of_fertilised` ("fertilised") was worked out
    from the other. `eggs` by `basis`: the farm's own eggs per gram or mL, or the card's. `body_percent` is
    dry eggs in percent of the weight of the females that gave them, `eggs_per_kg` for each kg of these; the
    other `*_per_kg` are larvae for each kg of all injected females. `water` and `window` until the first
    eggs; `against_window`: `before`, `early`, `most`, `late`, `after` or `None`. `cost` and `price` are for
    each thousand larvae. `whole`: the card was asked for, and not the hatch alone.
    """

    kind: ClassVar[str] = "result"
    run: int
    species: str
    date: str
    fertilised_percent: float | None
    hatched_percent: float | None
    hatched_of: CountOf
    larvae: int | None
    hours_to_strip: float | None
    ovulated: int | None
    injected: int | None
    state: RunState
    way: Way = "stripped"
    closing: bool = False
    newer_without: tuple[str, ...] = ()
    batches: tuple[BatchResult, ...] = ()
    sold: int | None = None
    had_eggs: bool = True
    swim_up: int | None = None
    fertilised_low: int | None = None
    fertilised_high: int | None = None
    hatched_low: int | None = None
    hatched_high: int | None = None
    percent_of_eggs: float | None = None
    percent_of_fertilised: float | None = None
    derived: str = ""
    derived_low: int | None = None
    derived_high: int | None = None
    egg_grams: float | None = None
    egg_litres: float | None = None
    body_percent: float | None = None
    eggs: int | None = None
    eggs_low: int | None = None
    eggs_high: int | None = None
    eggs_per_kg: int | None = None
    basis: tuple[str, ...] = ()
    mark: Mark | None = None
    larvae_per_kg: int | None = None
    swim_up_per_kg: int | None = None
    sold_per_kg: int | None = None
    water: WaterRow | None = None
    window: WindowRow | None = None
    against_window: str | None = None
    hormone: HormoneUsed | None = None
    spent: tuple[Sum, ...] = ()
    earned: tuple[Sum, ...] = ()
    cost: PerThousand | None = None
    price: PerThousand | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class SpentKept:
    """An expense that was kept, with a run or (`of` is "farm") with the farm; `total` of all told of the same
    in that currency, in so many `entries`."""

    kind: ClassVar[str] = "spent"
    run: int
    called: str
    of: Literal["run", "farm"]
    goods: str
    amount: float
    currency: str | None
    total: float
    entries: int


@dataclass(frozen=True, slots=True)
class MoneyTold:
    """What was paid and taken, a sum for each currency: of a run (`about` is "run"), or of the whole farm in
    a period. `asked` is what it is about first. The two for each thousand larvae are `None` where the money
    or the larvae do not go together. `sold`: larvae of these runs that left."""

    kind: ClassVar[str] = "money"
    about: Literal["run", "season", "last-month"]
    asked: Literal["spent", "earned"]
    run: int
    called: str
    species: str | None
    date: str | None
    spent: tuple[Sum, ...]
    earned: tuple[Sum, ...]
    cost: PerThousand | None = None
    price: PerThousand | None = None
    sold: int | None = None


@dataclass(frozen=True, slots=True)
class Summary:
    """Several runs at once, by their hatch of `hatched_of` eggs; `left_out` names those in no mean, by date,
    `no_eggs` those of them that gave no eggs at all, `other_eggs` those whose hatch is of others."""

    kind: ClassVar[str] = "summary"
    period: str
    species: str | None
    runs: int
    counted: int
    left_out: tuple[str, ...]
    hatched_mean_percent: float | None
    hatched_low_percent: float | None
    hatched_high_percent: float | None
    larvae: int | None
    sold: int | None = None
    no_eggs: tuple[str, ...] = ()
    hatched_of: CountOf = "unknown"
    other_eggs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OutOfIt:
    """Runs of a comparison's species and time that stand in no mean, by date, and why."""

    why: Why
    dates: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BestRun:
    """The run with the best hatch (or the worst) of a period, and from where to where all go that have one.
    `few`: too few to say which is the best."""

    kind: ClassVar[str] = "best-run"
    worst: bool
    run: int
    species: str
    date: str
    percent: float
    of: CountOf
    period: str
    of_species: str | None
    counted: int
    low_percent: float
    high_percent: float
    few: bool
    left_out: tuple[OutOfIt, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Groups of runs side by side, by what they share; the `mean` of a group is `None` where its runs are too
    few to say. No cause is in it."""

    kind: ClassVar[str] = "comparison"
    by: By
    of: CountOf
    period: str
    species: str | None
    counted: int
    enough: int
    groups: tuple[RunGroup, ...]
    left_out: tuple[OutOfIt, ...]


@dataclass(frozen=True, slots=True)
class HerRunTold:
    """One run of a female; `others` whose eggs lie in the same lot, `outcome` as the state of a `Fish`."""

    run: int
    date: str
    species: str
    kg: float
    outcome: str
    grams: float | None
    body_percent: float | None
    fertilised_percent: float | None
    hatched_percent: float | None
    hatched_of: CountOf
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FemaleRuns:
    """What one female gave: her newest runs, `earlier` that are not named, and over the `counted` lots of
    hers alone and of one kind of eggs the mean (`None`: too few to say) and its ends. `of_one_run`: nobody
    can know whether the name means her in other runs."""

    kind: ClassVar[str] = "female"
    tag: str
    runs: tuple[HerRunTold, ...]
    earlier: int
    of_one_run: bool
    of: CountOf
    counted: int
    mean_percent: float | None
    low_percent: float | None
    high_percent: float | None


@dataclass(frozen=True, slots=True)
class WhyLow:
    """What differed in a run from others of the farm and from the card: a list, no cause. `others` runs of
    its species have a hatch of the same eggs, from `low_percent` to `high_percent`."""

    kind: ClassVar[str] = "differences"
    run: int
    species: str
    date: str
    percent: float | None
    of: CountOf
    others: int
    low_percent: float | None
    high_percent: float | None
    things: tuple[Difference, ...]
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class RipeSigns:
    """How ripe fish of a species are known; `signs` are codes of its card."""

    kind: ClassVar[str] = "ripe-signs"
    species: str
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RestTime:
    """Days from the eggs of a female until she is spawned again; all `None` where nobody told.

    `days` is the usual number, `None` where only a span is known. Of one female whose eggs were told: `tag`,
    `gave_at`, rested from `rested_at` (the usual number of days, else the fewest) to `rested_by`, and the
    days left until the first.
    """

    kind: ClassVar[str] = "rest"
    species: str
    low_days: float | None
    days: float | None
    high_days: float | None
    basis: tuple[str, ...] = ()
    mark: Mark | None = None
    tag: str = ""
    gave_at: datetime | None = None
    rested_at: datetime | None = None
    rested_by: datetime | None = None
    left_days: int | None = None


@dataclass(frozen=True, slots=True)
class GivenShot:
    """`sheet_ml`: what the sheet said, where something else was told to have gone in; `share_percent` of what
    was planned, where that was told. Without `hour_told` only the day of `at` is known."""

    tag: str
    n: int
    at: datetime
    ml: float | None
    amount: float | None
    unit: str
    by: str | None
    sheet_ml: float | None = None
    share_percent: float | None = None
    hour_told: bool = True


@dataclass(frozen=True, slots=True)
class Course:
    """Several shots, taken together, for each kg of a female: `given` so far, `coming` by the usual scheme,
    `total_per_kg` beside the range `low`..`high`. `code`: `under-range`, `over-range` or empty."""

    kind: ClassVar[str] = "course"
    run: int
    called: str
    tags: tuple[str, ...]
    given: float
    coming: float
    total_per_kg: float
    unit: str
    low: float
    high: float
    code: str
    next_step: str = ""
    next_at: datetime | None = None
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"


@dataclass(frozen=True, slots=True)
class Given:
    """What each fish got; `total_per_kg` of the active substance where one fish was asked for."""

    kind: ClassVar[str] = "given"
    run: int
    called: str
    given: tuple[GivenShot, ...]
    total_per_kg: float | None
    total_unit: str


@dataclass(frozen=True, slots=True)
class Noted:
    """Kept. `what` says what was kept (`started`, `injected`, `priming`, `water`, `no-thermometer`,
    `not-yet`, `eggs-run`, `none`, `died`, `done`, `skipped`, `postponed`, `looks-stopped`, `label`,
    `zone`, `bath-habit`, `photo`, `undone`, `egg-count`, `sold`, `spawned`, `all-settled`, `placed` ...);
    the other fields are filled where they apply."""

    kind: ClassVar[str] = "noted"
    what: str
    run: int = 0
    called: str = ""
    at: datetime | None = None
    tags: tuple[str, ...] = ()
    step: str = ""
    celsius: float | None = None
    number: float | None = None
    word: str = ""
    strength: Strength | None = None
    next_step: str = ""
    next_at: datetime | None = None
    next_called: str = ""
    echo: bool = False
    total: float | None = None
    whole: float | None = None
    syringes: tuple[Syringe, ...] = ()


Mended = (
    float
    | tuple[FishWeight, ...]
    | tuple[EggsOf, ...]
    | tuple[EggsInPlace, ...]
    | tuple[datetime, ...]
    | None
)


@dataclass(frozen=True, slots=True)
class Corrected:
    """`of` names what was mended; `before` and `after` are its values.
    `already_injected` lists fish whose dose was given by the old figure."""

    kind: ClassVar[str] = "corrected"
    run: int
    called: str
    of: str
    before: Mended
    after: Mended
    already_injected: tuple[str, ...] = ()
    dose_before_ml: float | None = None
    dose_after_ml: float | None = None


@dataclass(frozen=True, slots=True)
class RunCancelled:
    kind: ClassVar[str] = "cancelled"
    run: int
    called: str
    species: str
    treated: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StatusLine:
    run: int
    called: str
    species: str
    state: RunState
    injected_at: datetime | None
    next_step: str
    next_at: datetime | None
    females: int
    settled: int


@dataclass(frozen=True, slots=True)
class Status:
    """How things stand; `runs` is empty where nothing is open."""

    kind: ClassVar[str] = "status"
    runs: tuple[StatusLine, ...]


@dataclass(frozen=True, slots=True)
class HelpText:
    """`welcome`: somebody's first words."""

    kind: ClassVar[str] = "help"
    welcome: bool = False


@dataclass(frozen=True, slots=True)
class SourceLine:
    """Where one figure comes from. `title` is the source as printed, `brief` its short name; both are empty
    for the farm's own."""

    figure: str
    id: str
    title: str
    mark: Mark
    brief: str = ""


@dataclass(frozen=True, slots=True)
class Because:
    """A value of the reasoning, by the name it has in the sentence; `unit` says how it is written."""

    name: str
    value: float | datetime | str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """How a figure came about: `reasons` are codes of sentences, in which the `values` stand.

    `lines` are all its sources, the strongest first, of which `more` are not named; `rule` says that a rule
    of this bot's own has a part in it. `mark` is `None` where nothing but such a rule has.
    """

    kind: ClassVar[str] = "source"
    about: str
    species: str | None
    lines: tuple[SourceLine, ...]
    basis: tuple[str, ...]
    mark: Mark | None
    celsius: float | None = None
    run: int = 0
    called: str = ""
    reasons: tuple[str, ...] = ()
    values: tuple[Because, ...] = ()
    rule: bool = False
    more: int = 0


@dataclass(frozen=True, slots=True)
class Answered:
    """Somebody answered already (a spent button, a bell another hand took). `elsewhere`: said where the bell
    rang too, to whoever did not answer it."""

    kind: ClassVar[str] = "answered"
    by: str | None
    at: datetime | None
    step: str = ""
    elsewhere: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """One short question. `why` is the reader's or our own code; `words` are what was not certain."""

    kind: ClassVar[str] = "ask"
    about: str
    why: str
    run: int = 0
    called: str = ""
    candidates: tuple[Act, ...] = ()
    words: str = ""
    number: float | None = None
    tags: tuple[str, ...] = ()
    at: datetime | None = None
    limit: float | None = None


@dataclass(frozen=True, slots=True)
class Refused:
    """Not done, and why; nothing changed. `known` are the species there are cards of."""

    kind: ClassVar[str] = "refused"
    why: str
    words: str = ""
    known: tuple[str, ...] = ()
    number: float | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class JoinLink:
    """A link that opens the farm once, until then, for a hand or for one who reads along. `link` is "" here,
    and in the store once it was sent: only whoever is shown it knows it."""

    kind: ClassVar[str] = "join-link"
    role: Invited
    until: datetime
    link: str = ""


@dataclass(frozen=True, slots=True)
class CrewMember:
    """Somebody of the farm."""

    name: str
    role: Role


@dataclass(frozen=True, slots=True)
class CrewList:
    """Everybody of the farm, and who has the night until when (nobody alone: nobody named)."""

    kind: ClassVar[str] = "crew"
    people: tuple[CrewMember, ...]
    night: tuple[str, ...] = ()
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Exported:
    """All that is kept of the farm goes out in one ZIP: so many runs and people, as of `at`."""

    kind: ClassVar[str] = "export"
    runs: int
    people: int
    at: datetime


# Papers ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SeasonTable:
    """Every run of the farm, one row each, as a file in `form`; of the days `first` to `last`, ISO.
    `missing`: a workbook was wanted, and what makes one is not installed."""

    kind: ClassVar[str] = "season-table"
    form: Literal["xlsx", "csv"]
    runs: int
    first: str
    last: str
    missing: bool = False


@dataclass(frozen=True, slots=True)
class RunSheet:
    """A run on one page for the wall, as a file: before its eggs what to do and draw, `after` them what came
    of it. `missing`: what makes such a page is not installed."""

    kind: ClassVar[str] = "run-sheet"
    run: int
    called: str
    species: str
    after: bool
    missing: bool = False


@dataclass(frozen=True, slots=True)
class RunPaper:
    """What stands on the page of a run; `date` is its day, ISO. `sheet` is there before the injection,
    `given` behind it, `plan` while anything is to come, `result` once eggs or an end were told. `cautions`
    are codes."""

    run: int
    species: str
    way: Way
    date: str
    ready: bool
    sheet: DoseSheet | None
    given: Given | None
    plan: NightPlan | None
    result: Result | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotTaken:
    """What was not understood in some lines of a notebook, `more` besides: the heading as typed, the code of
    why, and the first such cell. `taken`: these rows were taken without it."""

    lines: tuple[int, ...]
    more: int
    heading: str
    why: str
    words: str
    taken: bool


@dataclass(frozen=True, slots=True)
class Imported:
    """An old notebook: `taken` of its `rows` are runs now, of the days `first` to `last` (ISO), the lines
    `known` were there already, `left` rows were not understood. `more` kinds of `faults` are not named.
    `order` is how its days were read where they could be read in two ways."""

    kind: ClassVar[str] = "imported"
    file: str
    rows: int
    taken: int
    first: str | None
    last: str | None
    known: tuple[int, ...]
    left: int
    faults: tuple[NotTaken, ...]
    more: int = 0
    order: Literal["day-first", "month-first"] | None = None


@dataclass(frozen=True, slots=True)
class TroubleHelp:
    """Three lines for power, air, water, cold, smell or fungus, before all else."""

    kind: ClassVar[str] = "trouble"
    what: str
    stage: str


# The brood book -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RestDays:
    """Days of rest of a species by its card, `days` the usual number; all `None` where nobody told."""

    species: str
    low_days: float | None
    days: float | None
    high_days: float | None
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class RestLine:
    """A female with a tag of her own: her newest weight, when she gave eggs (`surely`: they are hers for
    certain), rested from `rested_at` on, and the days left until then."""

    tag: str
    species: str | None
    kg: float | None
    weighed_at: datetime | None
    gave_at: datetime
    surely: bool
    rested_at: datetime
    left_days: int


@dataclass(frozen=True, slots=True)
class UntaggedRest:
    """Females of a species without tags of their own, in `runs` runs: nobody knows them apart. The newest
    eggs of any of them and what she was called, and when the last of them is rested, `None` where no figure
    or no eggs are known."""

    species: str
    females: int
    runs: int
    name: str
    gave_at: datetime | None
    rested_at: datetime | None
    left_days: int | None


@dataclass(frozen=True, slots=True)
class ReadyFemales:
    """Which females have rested; `females` are those with tags of their own that the farm has, `rested` so
    many of them. Rested ones, the longest first; those that rest, the soonest first; those of whom no eggs
    or no figure are known; those in a run tonight. `more_*` are left unnamed. `signs` are those of a ripe
    fish, of one species."""

    kind: ClassVar[str] = "ready-females"
    species: str | None
    females: int
    rested: int = 0
    ready: tuple[RestLine, ...] = ()
    more_ready: int = 0
    resting: tuple[RestLine, ...] = ()
    more_resting: int = 0
    untold: tuple[str, ...] = ()
    more_untold: int = 0
    busy: tuple[str, ...] = ()
    more_busy: int = 0
    untagged: tuple[UntaggedRest, ...] = ()
    rests: tuple[RestDays, ...] = ()
    signs: tuple[str, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class WeightLine:
    at: datetime
    kg: float
    run: int


@dataclass(frozen=True, slots=True)
class SpawningLine:
    """`gave` is `None` where there were eggs and nobody told whose."""

    at: datetime
    run: int
    gave: bool | None
    grams: float | None


@dataclass(frozen=True, slots=True)
class TreatedLine:
    """Hormone that a fish got in a run: `ml`, `amount` in `unit`, each `None` where not told. `fate` is
    "here", or how the farm lost the fish: `died`, `cut`, `sold`, `escaped`."""

    tag: str
    run: int
    species: str | None
    at: datetime
    preparation: Preparation | None
    ml: float | None
    amount: float | None
    unit: str
    fate: str


@dataclass(frozen=True, slots=True)
class FishCard:
    """All that is known of a brood fish. `run` is 0 for a tag of the farm's own, else the only run in which
    that name means this fish. The newest weights, spawnings and treatments come first, `more_*` are left out.
    `mother` and `father` are tags; `inbred_percent` by the parents told, `None` where they are no kin."""

    kind: ClassVar[str] = "brood-fish"
    tag: str
    species: str | None
    sex: Sex | None
    run: int
    begun_at: datetime | None
    origin: str
    mother: str
    father: str
    hatched: int | None
    note: str
    weights: tuple[WeightLine, ...]
    more_weights: int
    spawnings: tuple[SpawningLine, ...]
    more_spawnings: int
    treated: tuple[TreatedLine, ...]
    more_treated: int
    lost: str
    lost_at: datetime | None
    rested_at: datetime | None
    left_days: int | None
    inbred_percent: float | None
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class FishKept:
    """What was told of a brood fish, as it is kept; `parents` in the order mother, father. `fresh`: the book
    did not know this fish before."""

    kind: ClassVar[str] = "fish-told"
    tag: str
    sex: Sex | None
    origin: str
    mother: str
    father: str
    hatched: int | None
    kg: float | None
    fresh: bool


@dataclass(frozen=True, slots=True)
class MateLine:
    """A male: in how many runs with eggs he was this season, what he is to a female (`to`) by the parents
    told, and how inbred their offspring would be."""

    tag: str
    kg: float | None
    used: int
    relation: str
    to: str
    inbred_percent: float


@dataclass(frozen=True, slots=True)
class Mates:
    """Males for these females, the best first, those that are near kin apart; `gone` are males cut or lost in
    the season, `untagged` how many without tags of their own it used, whom nobody knows apart."""

    kind: ClassVar[str] = "mates"
    females: tuple[str, ...]
    species: str
    since: datetime
    males: tuple[MateLine, ...] = ()
    more: int = 0
    kin: tuple[MateLine, ...] = ()
    untold: bool = False
    gone: tuple[str, ...] = ()
    untagged: int = 0
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class BroodSeason:
    """The fish of a species that gave offspring since a day, each counted once, and what they come to.
    `effective` is `None` where of one sex none were told. `untagged` of them may be the same fish twice,
    `males_untold` runs told of no male. For the other fields see `BroodNumbers`."""

    kind: ClassVar[str] = "brood-season"
    species: str
    since: datetime
    runs: int
    females: int
    males: int
    untagged: int
    males_untold: int
    effective: float | None
    percent: float | None
    most_percent: float
    better_percent: float
    advised: int
    wanted_males: int | None
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class TreatedFish:
    """The fish that got hormone, the newest first; `more` are left out. `of`: the tags it was asked of."""

    kind: ClassVar[str] = "treated-fish"
    of: str
    total: int
    lines: tuple[TreatedLine, ...] = ()
    more: int = 0


# Pictures -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class WaterShown:
    """A reading of the water; `place` "" where none was named."""

    at: datetime
    celsius: float
    source: WaterSource
    place: str = ""


@dataclass(frozen=True, slots=True)
class WindowShown:
    """When `eggs` of a group should run, or larvae of a batch `hatch`."""

    of: Literal["eggs", "hatch"]
    called: str
    earliest_at: datetime
    most_from_at: datetime
    likely_at: datetime
    most_to_at: datetime
    latest_at: datetime


@dataclass(frozen=True, slots=True)
class DoneShown:
    """Something that was done or seen: `priming`, `injected`, `eggs-run`, `stripped` (g), `spawned`,
    `collected` (L), `none`, `died`, `fertilised` and `hatched` (%), `larvae`, or a step. `number` is `None`
    where nobody told it, `called` which of several parts it is of."""

    at: datetime
    what: str
    tags: tuple[str, ...] = ()
    number: float | None = None
    called: str = ""


@dataclass(frozen=True, slots=True)
class NightPicture:
    """Every number that is drawn of a night, from `since` to `until`; `date` is that of the first injection,
    ISO. `assumed_celsius` where nobody told the water, `on_hold` where it left what the card knows, `more`
    deeds that found no room, `now_at` while the run goes on."""

    kind: ClassVar[str] = "night-picture"
    run: int
    called: str
    species: str
    date: str
    since: datetime
    until: datetime
    water: tuple[WaterShown, ...]
    assumed_celsius: float | None
    windows: tuple[WindowShown, ...]
    on_hold: bool
    done: tuple[DoneShown, ...]
    more: int = 0
    now_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class RunShown:
    """The hatch rate of a run, in percent `of` what was counted; `low` and `high` where its doubt is known.
    Without a figure `why`: `no-eggs`, `no-figure` or, not yet, `open`."""

    run: int
    date: str
    percent: float | None
    low: float | None
    high: float | None
    of: CountOf
    why: str = ""


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """Every number that is drawn of a season: `runs` in it, `counted` of them with a figure, the newest of
    them `shown`. `mean_percent` only where all are of the same eggs."""

    kind: ClassVar[str] = "season-picture"
    period: str
    species: str
    runs: int
    counted: int
    shown: tuple[RunShown, ...]
    mean_percent: float | None


Fact = (
    DoseSheet
    | InjectPlan
    | NightPlan
    | OrderPlan
    | StripForecast
    | Hold
    | StepDue
    | EggsTaken
    | OwnCounted
    | VesselPlan
    | MiltNeed
    | BroodNumbers
    | BathMix
    | BathKept
    | FertilisedShare
    | HatchForecast
    | HatchedShare
    | LarvaeInWater
    | Measure
    | CountNeeded
    | Survival
    | PerKg
    | StockPlan
    | Result
    | SpentKept
    | MoneyTold
    | BestRun
    | Comparison
    | FemaleRuns
    | WhyLow
    | Summary
    | RipeSigns
    | RestTime
    | BottleNow
    | ShelfNow
    | HormoneLedger
    | HormoneEnough
    | Course
    | Given
    | Noted
    | Corrected
    | RunCancelled
    | Status
    | HelpText
    | Source
    | Answered
    | Ask
    | Refused
    | TroubleHelp
    | JoinLink
    | CrewList
    | Exported
    | SeasonTable
    | Imported
    | RunSheet
    | ReadyFemales
    | FishCard
    | FishKept
    | Mates
    | BroodSeason
    | TreatedFish
    | NightPicture
    | SeasonPicture
)

# The message around a fact --------------------------------------------------------------------------------

Document = str
"""What goes with a message as a file: `export`, `season.csv`, `season.xlsx`, or a name, "/" and the run's
number: `run-sheet/12`."""


@dataclass(frozen=True, slots=True)
class Button:
    """`action` is the word of the transcript; `label` names the words, `args` their values
    (an arg called `species` holds a slug, one called `at` a time)."""

    action: str
    command: Command
    label: str
    args: tuple[tuple[str, str | float | datetime], ...] = ()


@dataclass(frozen=True, slots=True)
class Reply:
    """One message to be sent: a fact, what it asks in the same breath, cautions that first apply here.

    `asks` and `cautions` are codes of `wording`; `asks` stands after the fact's own sentence. A `document` is
    made when the message is carried, and goes with it; so is a `picture`: its name, or its name, "/" and a
    run, drawn from the fact alone.
    """

    fact: Fact
    buttons: tuple[Button, ...] = ()
    asks: str = ""
    cautions: tuple[str, ...] = ()
    document: Document | None = None
    picture: str | None = None
