"""What a person may say or press, as data. A button's action *is* one of these.

The first part mirrors the readings of the message reader (one class an intent, `kind` is the intent's
name, an absent field is `None`); clock times stay as spoken, "HH:MM" of the farm. The second part is what
only buttons say. Neither knows how it was said.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

from core.crew import CrewAct, CrewPress
from core.records import (
    BathHabit,
    CountOf,
    DoseUnit,
    IodineBasis,
    Loss,
    OwnUnit,
    Preparation,
    Quality,
    ScoopOf,
    Sex,
    StepKey,
    Strength,
    UnitSystem,
    Way,
    Which,
)
from core.species import Per, StockedIn, Young

# Readings -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Weighed:
    """One fish of a weighing; `kg` is missing only in a correction that mends sex or tag alone."""

    sex: Sex | None
    kg: float | None
    tag: str | None = None


@dataclass(frozen=True, slots=True)
class Weigh:
    """Fish on the scale, or a species alone. `grams`: numbers without a unit were taken for grams."""

    kind: ClassVar[str] = "weigh"
    fish: tuple[Weighed, ...] = ()
    species: str | None = None
    species_word: str | None = None
    tare_kg: float | None = None
    place: str | None = None
    group: str | None = None
    run: str | None = None
    preparation: Preparation | None = None
    grams: bool = False


@dataclass(frozen=True, slots=True)
class Prepared:
    """What is injected, or was: "pituitary", "we use hCG", "it was hCG"."""

    kind: ClassVar[str] = "preparation"
    preparation: Preparation
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Temperature:
    """`celsius` is `None` with `unknown`: there is no thermometer."""

    kind: ClassVar[str] = "temperature"
    celsius: float | None = None
    at: str | None = None
    unknown: bool | None = None
    guessed: bool | None = None
    place: str | None = None
    group: str | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Injection:
    """A needle that was given: `ml` into each fish, or `per_kg` of active substance, counted in `unit`;
    `share` of what was planned, above 0 and below 1, where that much of it went in."""

    kind: ClassVar[str] = "injected"
    which: Which | None = None
    at: str | None = None
    minutes_ago: float | None = None
    tags: tuple[str, ...] = ()
    ml: float | None = None
    nth: int | None = None
    sex: Sex | None = None
    place: str | None = None
    group: str | None = None
    run: str | None = None
    preparation: Preparation | None = None
    per_kg: float | None = None
    unit: DoseUnit | None = None
    share: float | None = None


@dataclass(frozen=True, slots=True)
class EggsTold:
    tag: str | None
    grams: float | None
    quality: Quality | None = None
    partial: bool | None = None


@dataclass(frozen=True, slots=True)
class Strip:
    """Eggs of females; `not_ready` may hold `None` for "the rest", `none` is final, unless its words are such
    as also say "not yet": "no eggs". `dry`: weighed before water, or after it, where that was said."""

    kind: ClassVar[str] = "stripped"
    eggs: tuple[EggsTold, ...] = ()
    not_ready: tuple[str | None, ...] = ()
    none: tuple[str | None, ...] = ()
    pooled: bool | None = None
    at: str | None = None
    minutes_ago: float | None = None
    place: str | None = None
    group: str | None = None
    run: str | None = None
    perhaps_not_yet: bool = False
    dry: bool | None = None


@dataclass(frozen=True, slots=True)
class EggCount:
    kind: ClassVar[str] = "egg_count"
    eggs_per_gram: float
    run: str | None = None
    species: str | None = None
    species_word: str | None = None


@dataclass(frozen=True, slots=True)
class Fertilised:
    kind: ClassVar[str] = "fertilised"
    good: float | None = None
    total: float | None = None
    percent: float | None = None
    place: str | None = None
    run: str | None = None
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hatched:
    kind: ClassVar[str] = "hatched"
    good: float | None = None
    total: float | None = None
    percent: float | None = None
    larvae: float | None = None
    of: CountOf | None = None
    deformed: float | None = None
    place: str | None = None
    run: str | None = None
    tags: tuple[str, ...] = ()


LarvaeStage = Literal["hatched", "swim_up"]


@dataclass(frozen=True, slots=True)
class ByMeasure:
    """So many mL of spawn or cups of larvae; `each` holds as many as were said, else as the farm counted."""

    amount: float
    of: Literal["ml", "cup"]
    each: float | None = None


@dataclass(frozen=True, slots=True)
class LarvaeCount:
    """Larvae in each of several cups of `cup_ml` out of `litres` of stirred water, or `larvae` in all; with
    neither, a part of a count that was told before. `stage` where it was said."""

    kind: ClassVar[str] = "larvae_count"
    counts: tuple[float, ...] = ()
    cup_ml: float | None = None
    litres: float | None = None
    larvae: float | None = None
    stage: LarvaeStage | None = None
    place: str | None = None
    run: str | None = None
    measured: ByMeasure | None = None


@dataclass(frozen=True, slots=True)
class SetMeasure:
    """How many larvae are in a mL of the farm's spawn, or in its cup."""

    kind: ClassVar[str] = "measure"
    of: Literal["ml", "cup"]
    larvae: float | None = None


@dataclass(frozen=True, slots=True)
class SampleSize:
    """How many to count for a figure that is sure to `percent`: a `share` of eggs, or `larvae` in cups;
    `None`: either."""

    kind: ClassVar[str] = "sample_size"
    percent: float | None = None
    of: Literal["share", "larvae"] | None = None


BathOn = Literal["eggs", "fish", "larvae", "tools"]
BathUse = Literal["fertilising", "de-sticking", "glands", "milt"]


@dataclass(frozen=True, slots=True)
class Stock:
    """How many larvae or fry go into so many square metres, litres or bags; or how many of these so many
    `larvae` want. `per`: what a density is asked for by."""

    kind: ClassVar[str] = "stocking"
    place: StockedIn | None = None
    young: Young | None = None
    per: Per | None = None
    m2: float | None = None
    litres: float | None = None
    bags: float | None = None
    larvae: float | None = None
    species: str | None = None
    species_word: str | None = None


@dataclass(frozen=True, slots=True)
class Bath:
    """Something to be mixed into water. `percent` is the label of the bottle; `grams` or `ml` what is put in;
    `inside`: fish lie in it now, `limp`: and do not breathe or wake. `scoops`: so many of the farm's own."""

    kind: ClassVar[str] = "bath"
    purpose: Literal["iodine", "anaesthetic", "salt"] | None = None
    litres: float | None = None
    ppm: float | None = None
    agent: str | None = None
    on: BathOn | None = None
    use: BathUse | None = None
    species: str | None = None
    species_word: str | None = None
    percent: float | None = None
    minutes: float | None = None
    grams: float | None = None
    ml: float | None = None
    inside: bool = False
    limp: bool = False
    scoops: float | None = None
    scoop: ScoopOf | None = None


@dataclass(frozen=True, slots=True)
class SetScoop:
    """What one of the farm's own spoons, cups, caps or drops holds; `of` and `stuff` are `None` where the
    question tells them."""

    kind: ClassVar[str] = "scoop"
    of: ScoopOf | None = None
    stuff: str | None = None
    grams: float | None = None
    ml: float | None = None


@dataclass(frozen=True, slots=True)
class SetBottle:
    """The per cent on the farm's bottle of a stuff for baths."""

    kind: ClassVar[str] = "bath_bottle"
    agent: str
    percent: float


@dataclass(frozen=True, slots=True)
class Question:
    """`whole`: how all of it went, and no single figure."""

    kind: ClassVar[str] = "question"
    topic: str
    species: str | None = None
    which_run: Literal["last", "current"] | None = None
    tags: tuple[str, ...] = ()
    period: Literal["last_month", "season"] | None = None
    run: str | None = None
    preparation: Preparation | None = None
    species_word: str | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Finished:
    """A bare "done": it belongs to the one bell ringing or replied to. `well`: said was only that all is
    well, which is an answer to no other bell than one that asks after it. `only_ok`: said was only "ok",
    which never tells that a needle was given."""

    kind: ClassVar[str] = "done"
    at: str | None = None
    minutes_ago: float | None = None
    key: StepKey | None = None
    run_number: int | None = None
    place: str | None = None
    well: bool = False
    run: str | None = None
    only_ok: bool = False


@dataclass(frozen=True, slots=True)
class StepSaid:
    """A step told done by its own word ("rinsed", "brood fish out"); `step` is its name. `perhaps`: its words
    ("water is on") tell of that step only while it is waited for."""

    kind: ClassVar[str] = "step_said"
    step: str
    at: str | None = None
    minutes_ago: float | None = None
    place: str | None = None
    run: str | None = None
    perhaps: bool = False


@dataclass(frozen=True, slots=True)
class NotYetSaid:
    """Not yet. `about` an act that was denied by its word ("not injected"), `of_fish` of which fish."""

    kind: ClassVar[str] = "not_yet"
    key: StepKey | None = None
    run_number: int | None = None
    about: str = ""
    of_fish: tuple[str, ...] = ()
    place: str | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Cancel:
    kind: ClassVar[str] = "cancel"
    run: str | None = None
    run_number: int | None = None


@dataclass(frozen=True, slots=True)
class Help:
    kind: ClassVar[str] = "help"


@dataclass(frozen=True, slots=True)
class Greeting:
    kind: ClassVar[str] = "greeting"


USUAL_SNOOZE = 30.0
"""Minutes of a "later" that says no number."""


@dataclass(frozen=True, slots=True)
class Snooze:
    kind: ClassVar[str] = "snooze"
    minutes: float
    key: StepKey | None = None
    run_number: int | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    kind: ClassVar[str] = "plan"
    what: Literal["strip", "inject"]
    at: str | None = None
    day: Literal["today", "tomorrow"] | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Death:
    kind: ClassVar[str] = "died"
    tags: tuple[str, ...] = ()
    count: int | None = None
    when: str | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Fish that take no part after all: not ripe, or weighed by mistake."""

    kind: ClassVar[str] = "left_out"
    tags: tuple[str, ...]
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Spawned:
    kind: ClassVar[str] = "spawned"
    answer: Literal["yes", "no", "some"]
    group: str | None = None
    place: str | None = None
    at: str | None = None
    minutes_ago: float | None = None
    key: StepKey | None = None
    run_number: int | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Collect:
    """Swollen eggs by volume; without `litres` a count of them in a millilitre, or the litres are missing."""

    kind: ClassVar[str] = "collected"
    litres: float | None = None
    eggs_per_ml: float | None = None
    place: str | None = None
    run: str | None = None
    at: str | None = None
    minutes_ago: float | None = None
    species: str | None = None
    species_word: str | None = None


VesselsTopic = Literal["jars", "flow", "spread"]


@dataclass(frozen=True, slots=True)
class AskVessels:
    """How many jars so many eggs take, or `litres` of swollen, `grams` of dry ones; how much water runs
    through them, through `jars` of them; how many lie on a tray."""

    kind: ClassVar[str] = "vessels"
    what: VesselsTopic
    eggs: float | None = None
    litres: float | None = None
    grams: float | None = None
    jars: float | None = None
    species: str | None = None
    species_word: str | None = None


@dataclass(frozen=True, slots=True)
class AskMilt:
    """How much milt so many grams of dry eggs take; with `thinned`, how it is thinned."""

    kind: ClassVar[str] = "milt_asked"
    grams: float | None = None
    thinned: bool = False
    species: str | None = None
    species_word: str | None = None


BroodTopic = Literal["effective", "inbreeding", "males", "enough"]


@dataclass(frozen=True, slots=True)
class AskBrood:
    """A question of brood fish by their numbers: the effective number, the inbreeding after `generations`,
    how many males, or whether they are enough. `effectives` are numbers told for several generations."""

    kind: ClassVar[str] = "brood"
    what: BroodTopic
    females: float | None = None
    males: float | None = None
    generations: float | None = None
    effectives: tuple[float, ...] = ()
    species: str | None = None
    species_word: str | None = None


@dataclass(frozen=True, slots=True)
class TellFish:
    """Something of a brood fish that is of no run: where it is from, its parents, its year, a weight that is
    for the book alone. `parents` are those of whom nobody said which is the mother."""

    kind: ClassVar[str] = "fish_told"
    tag: str
    sex: Sex | None = None
    origin: str | None = None
    mother: str | None = None
    father: str | None = None
    parents: tuple[str, ...] = ()
    hatched: int | None = None
    species: str | None = None
    kg: float | None = None


@dataclass(frozen=True, slots=True)
class GiveTag:
    """A fish that a run gave a name gets a tag of the farm's own."""

    kind: ClassVar[str] = "tag_given"
    tag: str
    new_tag: str
    run: str | None = None


@dataclass(frozen=True, slots=True)
class LoseFish:
    """Brood fish that the farm has no longer."""

    kind: ClassVar[str] = "fish_lost"
    tags: tuple[str, ...]
    how: Loss
    at: str | None = None
    minutes_ago: float | None = None
    species: str | None = None


@dataclass(frozen=True, slots=True)
class MaleCut:
    """A male was cut for his milt."""

    kind: ClassVar[str] = "male_cut"
    tags: tuple[str, ...] = ()
    at: str | None = None
    minutes_ago: float | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Label:
    kind: ClassVar[str] = "label"
    ug_per_ml: float | None = None
    mg_per_ml: float | None = None
    iu_per_vial: float | None = None
    diluent_ml: float | None = None


@dataclass(frozen=True, slots=True)
class Syringes:
    """The syringes at hand: mL each holds, and the mL between its marks where that was told."""

    kind: ClassVar[str] = "syringes"
    told: tuple[tuple[float, float | None], ...] = ()


@dataclass(frozen=True, slots=True)
class GlandWeight:
    """What one of the farm's pituitary glands weighs."""

    kind: ClassVar[str] = "gland_weight"
    mg: float | None = None


@dataclass(frozen=True, slots=True)
class VialDissolved:
    """A vial of hCG was dissolved: from then on its days are few."""

    kind: ClassVar[str] = "vial_dissolved"
    at: str | None = None
    minutes_ago: float | None = None


@dataclass(frozen=True, slots=True)
class Units:
    """What the farm weighs in, or which gallon it has."""

    kind: ClassVar[str] = "units"
    system: UnitSystem | None = None
    gallon: Literal["us", "imperial"] | None = None


@dataclass(frozen=True, slots=True)
class SetDose:
    """The farm sets a dose: `per_kg` of a female in `unit`, all shots together; "mL" of what is in the
    bottle."""

    kind: ClassVar[str] = "own_dose"
    per_kg: float | None = None
    unit: OwnUnit | None = None
    preparation: Preparation | None = None


@dataclass(frozen=True, slots=True)
class DoseReason:
    """Why a dose is to be more than twice what is usual."""

    kind: ClassVar[str] = "dose_reason"
    words: str = ""


@dataclass(frozen=True, slots=True)
class UsualDose:
    """The card's dose again, for this run and for the farm."""

    kind: ClassVar[str] = "usual-dose"
    run_number: int


@dataclass(frozen=True, slots=True)
class Zone:
    kind: ClassVar[str] = "zone"
    place: str | None = None
    clock: str | None = None


@dataclass(frozen=True, slots=True)
class Basis:
    kind: ClassVar[str] = "basis"
    basis: IodineBasis


NEXT_WEEK = "next_week"
"""Behind a weekday: not the coming one, but that of the week after this."""


@dataclass(frozen=True, slots=True)
class Order:
    """Larvae somebody wants. `by` is the day as typed, `day` what it means: a weekday's first three letters,
    "today", "tomorrow", "+5" (days from now), "06-12" (month and day) or "-12" (that day of the month).
    `stage` where it was said: `hatched` ones go before they feed. `at` is the hour of that day they must be
    ready by, "HH:MM", where it was said.
    Without `larvae` it is a day for an order told before."""

    kind: ClassVar[str] = "order"
    larvae: float | None = None
    by: str | None = None
    day: str | None = None
    stage: Literal["hatched", "feeding"] | None = None
    species: str | None = None
    species_word: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Trouble:
    kind: ClassVar[str] = "trouble"
    what: Literal["power", "aerator", "water_off", "cold", "smell", "fungus"]


@dataclass(frozen=True, slots=True)
class Sold:
    kind: ClassVar[str] = "sold"
    larvae: float | None = None
    price: float | None = None
    currency: str | None = None
    age_days: float | None = None
    measured: ByMeasure | None = None


@dataclass(frozen=True, slots=True)
class Expense:
    kind: ClassVar[str] = "expense"
    what: str | None = None
    amount: float | None = None
    currency: str | None = None


@dataclass(frozen=True, slots=True)
class Bottle:
    """A bottle that came in or was opened, or more of what its label says. `count` where there are several
    of one lot, each of `ml`; `mg` of what comes dry, `glands` where they were counted; `opened` a day."""

    kind: ClassVar[str] = "bottle"
    ml: float | None = None
    opened: str | None = None
    expiry: str | None = None
    lot: str | None = None
    count: float | None = None
    preparation: Preparation | None = None
    mg: float | None = None
    glands: float | None = None


@dataclass(frozen=True, slots=True)
class BottleGone:
    """Some of a bottle was spilled, or all of it is gone; which bottle by its lot, where that was said."""

    kind: ClassVar[str] = "bottle_gone"
    what: Literal["wasted", "broken", "thrown-away", "empty"]
    ml: float | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class BottleLeft:
    """So much is left in a bottle, as somebody sees."""

    kind: ClassVar[str] = "bottle_left"
    ml: float | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class BottleDays:
    """How many days a bottle's label gives it once it is opened."""

    kind: ClassVar[str] = "bottle_days"
    days: float | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class FromBottle:
    """Which bottle a run is drawn from, by its lot."""

    kind: ClassVar[str] = "from_bottle"
    lot: str | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class Undo:
    """Takes back the given events; without any, the farm's newest telling."""

    kind: ClassVar[str] = "undo"
    events: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Begin:
    """The greeting of a stranger: /start."""

    kind: ClassVar[str] = "start"


@dataclass(frozen=True, slots=True)
class Why:
    """Where the newest figures come from; `about` names the kind of message they stood in."""

    kind: ClassVar[str] = "why"
    about: str | None = None


# What only buttons say ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class StartRun:
    """Start on a dose sheet: species and bottle strength stood on the button."""

    kind: ClassVar[str] = "start-run"
    run_number: int


@dataclass(frozen=True, slots=True)
class ChangeRun:
    """Another species, way, preparation, strength or the male's dose for a run that is not injected yet."""

    kind: ClassVar[str] = "change-run"
    run_number: int
    species: str | None = None
    way: Way | None = None
    strength: Strength | None = None
    male_dose: bool | None = None
    preparation: Preparation | None = None


@dataclass(frozen=True, slots=True)
class AskAgain:
    """A button that only makes the chat ask for something: a label, a clock time, a weight."""

    kind: ClassVar[str] = "ask-for"
    about: str
    run_number: int = 0
    events: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class AgreePlan:
    """Yes to the proposed hour."""

    kind: ClassVar[str] = "agree-plan"
    run_number: int
    final_at: datetime


@dataclass(frozen=True, slots=True)
class MovePlan:
    """Earlier or later than the proposed hour, by `minutes`."""

    kind: ClassVar[str] = "move-plan"
    run_number: int
    final_at: datetime
    minutes: int


@dataclass(frozen=True, slots=True)
class InjectNow:
    kind: ClassVar[str] = "inject-now"
    run_number: int
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShiftTime:
    """Under the echo of an act's time: the event happened `minutes` earlier."""

    kind: ClassVar[str] = "shift-time"
    run_number: int
    events: tuple[int, ...]
    minutes: int


@dataclass(frozen=True, slots=True)
class NotGiven:
    """Those fish were not injected, whatever was told before."""

    kind: ClassVar[str] = "not-given"
    run_number: int
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EggsRunning:
    """Eggs run, told for one female or for the group that was looked at."""

    kind: ClassVar[str] = "eggs_run"
    run_number: int | None = None
    group: str | None = None
    tags: tuple[str, ...] = ()
    at: str | None = None
    minutes_ago: float | None = None
    place: str | None = None
    run: str | None = None


@dataclass(frozen=True, slots=True)
class StopLooking:
    kind: ClassVar[str] = "stop-looking"
    run_number: int
    group: str


@dataclass(frozen=True, slots=True)
class StrippingNow:
    kind: ClassVar[str] = "stripping-now"
    run_number: int
    group: str
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SkipStep:
    kind: ClassVar[str] = "skip-step"
    run_number: int
    key: StepKey


@dataclass(frozen=True, slots=True)
class SetBathHabit:
    kind: ClassVar[str] = "bath-habit"
    habit: BathHabit
    run_number: int = 0
    batch: str = ""


@dataclass(frozen=True, slots=True)
class CountWasOf:
    """Answers "of all eggs, or of the good ones?" for a batch's hatch count."""

    kind: ClassVar[str] = "count-of"
    run_number: int
    batch: str
    of: CountOf
    event: int


@dataclass(frozen=True, slots=True)
class Nothing:
    """ "No" to a question where nothing needs to follow."""

    kind: ClassVar[str] = "nothing"
    about: str = ""


@dataclass(frozen=True, slots=True)
class OfBottle:
    """What was said of a bottle, said of this one."""

    kind: ClassVar[str] = "of-bottle"
    said: Bottle | BottleGone | BottleLeft | BottleDays
    bottle: int


@dataclass(frozen=True, slots=True)
class AnotherBottle:
    """A bottle of a lot that is on the shelf already: it is one more."""

    kind: ClassVar[str] = "another-bottle"
    said: Bottle


@dataclass(frozen=True, slots=True)
class DrawFrom:
    """The bottle a run is drawn from; 0: none that was told."""

    kind: ClassVar[str] = "draw-from"
    run_number: int
    bottle: int


@dataclass(frozen=True, slots=True)
class BookBell:
    """An answer to a bell of the shelf: it is seen to, or it comes again the next morning."""

    kind: ClassVar[str] = "book-bell"
    key: StepKey
    later: bool = False


@dataclass(frozen=True, slots=True)
class TrialBell:
    """Ring once, to know whether it is heard."""

    kind: ClassVar[str] = "trial-bell"
    run_number: int


# What the reader may also give ----------------------------------------------------------------------------


Act = (
    Weigh
    | Prepared
    | Temperature
    | Injection
    | Strip
    | EggCount
    | Fertilised
    | Hatched
    | LarvaeCount
    | SetMeasure
    | SetScoop
    | SetBottle
    | SampleSize
    | Stock
    | Bath
    | Question
    | Finished
    | StepSaid
    | NotYetSaid
    | Cancel
    | Help
    | Greeting
    | Snooze
    | Plan
    | Death
    | LeftOut
    | Spawned
    | Collect
    | AskVessels
    | AskMilt
    | AskBrood
    | MaleCut
    | TellFish
    | LoseFish
    | GiveTag
    | Label
    | Zone
    | Basis
    | Order
    | Trouble
    | Sold
    | Expense
    | Bottle
    | BottleGone
    | BottleLeft
    | BottleDays
    | FromBottle
    | Syringes
    | GlandWeight
    | Units
    | VialDissolved
    | SetDose
    | DoseReason
    | Undo
    | Begin
    | Why
    | EggsRunning
    | CrewAct
)


@dataclass(frozen=True, slots=True)
class Correction:
    """`what` holds the corrected fields only; its class says which telling is meant. With `hour_alone` an
    hour was all that was said, in `what` as of an injection: of which act it is, the run tells."""

    kind: ClassVar[str] = "correction"
    what: Act
    hour_alone: bool = False


UnclearWhy = Literal["no_number", "implausible", "ambiguous_unit", "ambiguous_intent", "not_ours"]


@dataclass(frozen=True, slots=True)
class Unclear:
    """Not certain enough to act on; `candidates` are best first."""

    kind: ClassVar[str] = "unclear"
    why: UnclearWhy
    candidates: tuple[Act, ...] = ()


Reading = Act | Correction | Unclear


@dataclass(frozen=True, slots=True)
class Understood:
    """What a message says: the main reading, and what it says besides."""

    main: Reading
    also: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Awaiting:
    """What a chat was last asked for: an intent of the reader, the run it is of, until when it counts.

    `events` are those whose hour was asked for; `pending` is what was said and could not be acted on yet,
    `source` the message that said the first of it.
    """

    about: str
    run: int = 0
    batch: str = ""
    events: tuple[int, ...] = ()
    pending: tuple[Command, ...] = ()
    source: str = ""
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Pick:
    """One of the candidates of an `ask`: a whole command that was not certain enough to act on."""

    kind: ClassVar[str] = "pick"
    said: Reading
    run_number: int = 0
    group: str = ""
    batch: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Reweigh:
    """These fish in the place of all that were weighed for the run."""

    kind: ClassVar[str] = "reweigh"
    said: Weigh
    run_number: int


@dataclass(frozen=True, slots=True)
class TellSex:
    """The sex of a fish that was weighed without one."""

    kind: ClassVar[str] = "tell-sex"
    run_number: int
    tag: str
    sex: Sex


@dataclass(frozen=True, slots=True)
class LarvaeWere:
    """Hatched just now, or swimming up: the answer about a count of larvae that was told without it."""

    kind: ClassVar[str] = "larvae-were"
    run_number: int
    event: int
    stage: LarvaeStage


@dataclass(frozen=True, slots=True)
class WhoseEggs:
    """Whose the eggs of a batch were that came without a name; `tags` all females that gave them."""

    kind: ClassVar[str] = "whose-eggs"
    run_number: int
    batch: str
    tags: tuple[str, ...]
    event: int


@dataclass(frozen=True, slots=True)
class EggsWere:
    """Dry, or weighed after water: the answer about grams that are a large part of the female."""

    kind: ClassVar[str] = "eggs-were"
    run_number: int
    batch: str
    dry: bool


@dataclass(frozen=True, slots=True)
class NamedSpecies:
    """A word of a notebook, and the species that is meant by it."""

    word: str
    slug: str


@dataclass(frozen=True, slots=True)
class ImportNotebook:
    """The file that was sent as the farm's `paper` of that number is an old notebook; `order` says which
    number of a day is the month, where the file does not show it, `species` which one a word means that fits
    several ("": none of them)."""

    kind: ClassVar[str] = "import-notebook"
    paper: int
    order: Literal["day-first", "month-first"] | None = None
    species: tuple[NamedSpecies, ...] = ()


@dataclass(frozen=True, slots=True)
class UndoImport:
    """Takes back all that one file brought: the events of that source."""

    kind: ClassVar[str] = "undo-import"
    source: str


@dataclass(frozen=True, slots=True)
class SpentOn:
    """An expense that was kept with the run `run_number` (or BOOK) is of another, or of the farm."""

    kind: ClassVar[str] = "spent-on"
    run_number: int
    event: int
    to: int


Pressed = (
    StartRun
    | ChangeRun
    | AskAgain
    | AgreePlan
    | MovePlan
    | InjectNow
    | NotGiven
    | ShiftTime
    | StopLooking
    | StrippingNow
    | SkipStep
    | SetBathHabit
    | CountWasOf
    | Pick
    | Reweigh
    | TellSex
    | LarvaeWere
    | WhoseEggs
    | EggsWere
    | SpentOn
    | Nothing
    | UsualDose
    | OfBottle
    | AnotherBottle
    | DrawFrom
    | BookBell
    | TrialBell
    | ImportNotebook
    | UndoImport
    | CrewPress
)

Command = Reading | Pressed
