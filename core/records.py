"""The frozen records of the trade, without behaviour: names and shapes only.

Times are aware `datetime` in UTC. Weights are kg of body, grams of eggs; water is in degrees Celsius.
Empty strings stand for "the whole run" in `group` and `batch`; `None` always means "not told".
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

from core.crew import Duty

Sex = Literal["f", "m"]
Way = Literal["stripped", "nest", "hapa"]
Preparation = Literal["premix", "pituitary", "hcg", "lhrha", "own"]
DoseUnit = Literal["ug", "mg", "IU"]
OwnUnit = Literal["ug", "mg", "IU", "mL"]
UnitSystem = Literal["metric", "imperial", "kati", "viss"]
OWN_MASS: Mapping[UnitSystem, tuple[str, float]] = {
    "imperial": ("lb", 0.45359237),  # NIST Handbook 44 (2024), Appendix C
    "kati": ("kati", 0.6),
    "viss": ("viss", 1.63293),
}
"""What a farm weighs in where that is not kg, and how many kg one of it is: the reader's own factors."""
Which = Literal["priming", "resolving", "only"]
Quality = Literal["even", "clumped", "watery", "blood", "whitish"]
CountOf = Literal["all", "fertilised", "unknown"]
WaterSource = Literal["measured", "guessed", "assumed"]
Mark = Literal["published", "common practice", "from memory", "the farm's own"]
RunState = Literal["draft", "open", "closed", "not-reported", "cancelled"]
BathHabit = Literal["unknown", "after-swelling", "before-water", "own-order", "never"]
IodineBasis = Literal["available", "substance", "liquid"]
ScoopOf = Literal["spoon", "cup", "cap", "drop"]
StockUnit = Literal["mL", "ug", "mg", "IU"]


@dataclass(frozen=True, slots=True)
class Strength:
    """What labels say: of a premix what one millilitre holds (a GnRH analogue in ug, a dopamine blocker in
    mg), of an hCG vial its IU and the mL it is dissolved in."""

    ug_per_ml: float | None = None
    mg_per_ml: float | None = None
    iu_per_vial: float | None = None
    diluent_ml: float | None = None

    @property
    def told(self) -> dict[str, float]:
        """The parts that were told, by their names."""
        parts = ((field.name, getattr(self, field.name)) for field in dataclasses.fields(self))
        return {name: value for name, value in parts if value is not None}


@dataclass(frozen=True, slots=True)
class OwnDose:
    """A dose that the farm sets itself: `per_kg` of a female, all shots together, in `unit`, or in mL of what
    is in the bottle. `reason` is why it may be more than twice what is usual: it stays with the run."""

    per_kg: float
    unit: OwnUnit
    reason: str = ""


@dataclass(frozen=True, slots=True)
class FarmDose:
    """A farm's own dose of one preparation for one species."""

    species: str
    preparation: Preparation
    dose: OwnDose


@dataclass(frozen=True, slots=True)
class Syringe:
    """A syringe that holds `ml`, with a mark every `mark_ml`."""

    ml: float
    mark_ml: float


Vessel = Literal["jar", "tub"]
"""What eggs hatch in, with water running through."""

CountedIn = Literal["gram", "ml"]
"""What eggs were counted in: a gram of dry ones, a millilitre of swollen ones."""


@dataclass(frozen=True, slots=True)
class OwnCount:
    """How many eggs of a species the farm counted itself. It holds for eggs taken from `at` on, until it
    counts anew: what was reckoned before keeps its own figure."""

    species: str
    counted_in: CountedIn
    eggs: float
    at: datetime


@dataclass(frozen=True, slots=True)
class Scoop:
    """What one of the farm's own spoons, cups, caps or drops holds of a stuff: `grams`, or `ml`."""

    of: ScoopOf
    stuff: str
    grams: float | None = None
    ml: float | None = None


@dataclass(frozen=True, slots=True)
class BottleLabel:
    """The per cent on the farm's bottle of a stuff for baths."""

    agent: str
    percent: float


@dataclass(frozen=True, slots=True)
class Farm:
    """A farm and its habits. Without a `zone` local time is `offset_minutes` east of UTC; where nobody told
    either, `clock_told` is false and the clock is asked before it matters."""

    id: int
    name: str
    zone: str | None = None
    offset_minutes: int = 0
    strength: Strength | None = None
    bath_habit: BathHabit = "unknown"
    iodine_basis: IodineBasis | None = None
    unit_system: UnitSystem = "metric"
    gallon: Literal["us", "imperial"] | None = None
    clock_told: bool = True
    syringes: tuple[Syringe, ...] = ()
    gland_mg: float | None = None
    spawn_per_ml: float | None = None
    larvae_per_cup: float | None = None
    doses: tuple[FarmDose, ...] = ()
    vial_dissolved_at: datetime | None = None
    counts: tuple[OwnCount, ...] = ()
    scoops: tuple[Scoop, ...] = ()
    bottles: tuple[BottleLabel, ...] = ()
    duty: Duty | None = None
    goes_at: datetime | None = None
    """When all that is kept of it goes for good: it was deleted, and is silent until then."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who talks to the bot; `name` is only for addressing, identity is `id`."""

    id: int
    name: str
    lang: str = "en"


@dataclass(frozen=True, slots=True)
class FishWeight:
    """One fish on the scale. `tag` is the farm's own or F1, F2, M1, X1 in order of mention."""

    tag: str
    sex: Sex | None
    kg: float


@dataclass(frozen=True, slots=True)
class EggsOf:
    """Eggs of one female: grams of dry eggs, `None` where they ran but were not weighed."""

    tag: str
    grams: float | None = None
    quality: Quality | None = None
    partial: bool = False


@dataclass(frozen=True, slots=True)
class StepKey:
    """Which step of which part of a run: the name under which it is answered and a bell is kept."""

    step: str
    group: str = ""
    batch: str = ""
    fish: str = ""
    look: int = 0


BOOK = 0
"""The number that stands for a run where something is told of the farm itself: its bottles, its fish."""

# What happened on a run: the bodies of events -------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Opened:
    """A run begins as a draft; it is open once started, planned or injected. `preparation_assumed`: nobody
    told what was injected."""

    kind: ClassVar[str] = "opened"
    species: str
    way: Way
    preparation: Preparation
    strength: Strength | None
    strength_assumed: bool = False
    preparation_assumed: bool = False


@dataclass(frozen=True, slots=True)
class SetUp:
    """The run's frame was changed; `None` leaves as it was. A new species or preparation brings its strength
    and own dose or none."""

    kind: ClassVar[str] = "set-up"
    species: str | None = None
    way: Way | None = None
    strength: Strength | None = None
    male_dose: bool | None = None
    preparation: Preparation | None = None
    strength_assumed: bool = False
    dose: OwnDose | None = None


@dataclass(frozen=True, slots=True)
class FishWeighed:
    """Fish on the scale; `together`: only what they weigh in all was told, and each stands for the mean."""

    kind: ClassVar[str] = "weighed"
    fish: tuple[FishWeight, ...]
    place: str | None = None
    together: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """Fish were put into a place (their own water, so their own clock)."""

    kind: ClassVar[str] = "placed"
    tags: tuple[str, ...]
    place: str


@dataclass(frozen=True, slots=True)
class Retagged:
    """A fish was called by a wrong name or sex."""

    kind: ClassVar[str] = "retagged"
    tag: str
    new_tag: str | None = None
    sex: Sex | None = None


@dataclass(frozen=True, slots=True)
class FishLeftOut:
    """Fish that were weighed and take no part after all."""

    kind: ClassVar[str] = "left-out"
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Planned:
    """The hour of the final injection was agreed. `agreed` is false while it is only proposed."""

    kind: ClassVar[str] = "planned"
    final_at: datetime
    agreed: bool
    strip_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the sheet said for a fish when it was injected: mL to draw, `None` where no strength was known,
    and the active substance in `unit`."""

    tag: str
    ml: float | None
    amount: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Injected:
    """`tags` got an injection in one go: `drawn` by the sheet of that hour, or `ml` each where told, or
    `per_kg` of active substance, counted in `unit`. Without `hour_told` only its day is known, and no clock
    counts from it."""

    kind: ClassVar[str] = "injected"
    group: str
    tags: tuple[str, ...]
    which: Which
    place: str | None = None
    ml: float | None = None
    drawn: tuple[Drawn, ...] = ()
    per_kg: float | None = None
    unit: DoseUnit | None = None
    hour_told: bool = True


@dataclass(frozen=True, slots=True)
class WentIn:
    """What truly went into a fish at its newest injection, less or leaked: in mL, or as a share of what was
    planned, above 0 and below 1."""

    kind: ClassVar[str] = "went-in"
    tags: tuple[str, ...]
    ml: float | None
    share: float | None = None


@dataclass(frozen=True, slots=True)
class WaterRead:
    """`celsius` is `None` for "no thermometer": the source says whether it was read or guessed."""

    kind: ClassVar[str] = "water"
    celsius: float | None
    source: WaterSource = "measured"
    place: str | None = None


@dataclass(frozen=True, slots=True)
class NotYet:
    """A look found no running eggs. Empty `tags`: every female of the group that is not settled."""

    kind: ClassVar[str] = "not-yet"
    group: str
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class EggsRun:
    """Eggs run at a touch; `tags` empty where nobody said whose."""

    kind: ClassVar[str] = "eggs-run"
    group: str
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stripped:
    """Eggs were taken. `batch` names the bowl; a doubtful or dead female's eggs have one of their own.

    Eggs whose female was not named have the tag "" and lie on `shared`, the females they may come from;
    `all_gave` where it was said that they came from each of them. `dry`: whether the grams were of dry eggs,
    or of eggs after water, where that was said. Without `hour_told` only the day is known.
    """

    kind: ClassVar[str] = "stripped"
    batch: str
    eggs: tuple[EggsOf, ...]
    shared: tuple[str, ...] = ()
    all_gave: bool = False
    test_lot: bool = False
    place: str | None = None
    dry: bool | None = None
    hour_told: bool = True


@dataclass(frozen=True, slots=True)
class NoEggs:
    """Final: she gave none. Not the same as not yet."""

    kind: ClassVar[str] = "no-eggs"
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Died:
    """Fish that died; `cut`: a male, for his milt."""

    kind: ClassVar[str] = "died"
    tags: tuple[str, ...]
    cut: bool = False


@dataclass(frozen=True, slots=True)
class LooksStopped:
    """The farmer stopped looking at the females of this group."""

    kind: ClassVar[str] = "looks-stopped"
    group: str


@dataclass(frozen=True, slots=True)
class SpawnSeen:
    """In a nest or hapa: eggs are there (`yes`), not (`no`) or only a few (`some`)."""

    kind: ClassVar[str] = "spawn-seen"
    group: str
    batch: str
    answer: Literal["yes", "no", "some"]


@dataclass(frozen=True, slots=True)
class Collected:
    """Swollen eggs collected by volume from a hapa; `place` is the jar they went into, `group` whose they
    are."""

    kind: ClassVar[str] = "collected"
    batch: str
    litres: float
    eggs_per_ml: float | None = None
    place: str | None = None
    group: str = ""


@dataclass(frozen=True, slots=True)
class EggsCounted:
    """The farm counted its own eggs in a gram."""

    kind: ClassVar[str] = "eggs-counted"
    eggs_per_gram: float


@dataclass(frozen=True, slots=True)
class EggsWeighed:
    """Whether a batch's grams were of dry eggs, or of eggs after water."""

    kind: ClassVar[str] = "eggs-weighed"
    batch: str
    dry: bool


@dataclass(frozen=True, slots=True)
class StepDone:
    kind: ClassVar[str] = "done"
    key: StepKey


@dataclass(frozen=True, slots=True)
class StepSkipped:
    """Answered by "skip": no bell any more, and it stands as not done."""

    kind: ClassVar[str] = "skipped"
    key: StepKey


@dataclass(frozen=True, slots=True)
class Postponed:
    """A bell was asked to come again at `until`."""

    kind: ClassVar[str] = "postponed"
    key: StepKey
    until: datetime


@dataclass(frozen=True, slots=True)
class CupSample:
    """Larvae in each of several cups of `cup_ml`, dipped out of `litres` of stirred water."""

    counts: tuple[float, ...]
    cup_ml: float
    litres: float


@dataclass(frozen=True, slots=True)
class Counted:
    """A sample or a whole: good of total, a percent or a number of larvae, and of what.

    `place` where it was of one of several places of the batch."""

    kind: ClassVar[str] = "counted"
    batch: str
    stage: Literal["fertilised", "hatched"]
    good: float | None = None
    total: float | None = None
    percent: float | None = None
    larvae: float | None = None
    of: CountOf = "unknown"
    deformed: float | None = None
    place: str = ""
    sample: CupSample | None = None


@dataclass(frozen=True, slots=True)
class SwimUpCounted:
    """Larvae that swim up, counted by cups or as told: a number of its own beside hatched and sold. `place`
    where it was of one of several tanks."""

    kind: ClassVar[str] = "swim-up"
    larvae: float
    place: str = ""
    sample: CupSample | None = None


@dataclass(frozen=True, slots=True)
class TrialAsked:
    """Somebody wants to hear a bell now, to know whether it wakes them."""

    kind: ClassVar[str] = "trial-asked"


@dataclass(frozen=True, slots=True)
class Told:
    """Anything worth keeping with the run: a note, a photo's name, trouble."""

    kind: ClassVar[str] = "told"
    what: str
    text: str = ""
    amount: float | None = None


@dataclass(frozen=True, slots=True)
class LarvaeSold:
    """Larvae that left the farm, how old and at which price in all where that was told."""

    kind: ClassVar[str] = "sold"
    larvae: float
    age_days: float | None = None
    price: float | None = None
    currency: str | None = None


@dataclass(frozen=True, slots=True)
class Spent:
    """Money that was paid, for `what` in the words it was told with; of a run, or of the farm itself. Without
    a `currency` nobody said which."""

    kind: ClassVar[str] = "spent"
    amount: float
    currency: str | None = None
    what: str = ""


@dataclass(frozen=True, slots=True)
class Cancelled:
    kind: ClassVar[str] = "cancelled"


@dataclass(frozen=True, slots=True)
class Closed:
    kind: ClassVar[str] = "closed"
    reported: bool


@dataclass(frozen=True, slots=True)
class Retracted:
    """Takes back earlier events of the same farm, by id; taking back a retraction restores them."""

    kind: ClassVar[str] = "retracted"
    events: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FishTold:
    """Something of a brood fish, told of the fish and of no run: an event of the farm's book. `None` leaves
    as it was. `mother` and `father` are tags, `hatched` is a year."""

    kind: ClassVar[str] = "fish-told"
    tag: str
    sex: Sex | None = None
    species: str | None = None
    origin: str | None = None
    mother: str | None = None
    father: str | None = None
    hatched: int | None = None
    note: str | None = None
    kg: float | None = None


Loss = Literal["died", "cut", "sold", "escaped"]


@dataclass(frozen=True, slots=True)
class FishLost:
    """Brood fish that the farm has no longer, told outside of any run."""

    kind: ClassVar[str] = "fish-lost"
    tags: tuple[str, ...]
    how: Loss
    species: str | None = None


# The shelf: what is told of bottles of hormone, on the farm's book ------------------------------------------


@dataclass(frozen=True, slots=True)
class BottleIn:
    """A bottle came in, or several of one lot: `amount` is all they hold together, in the unit that
    `core.stock.UNITS` counts the preparation in. `bottle` is a counter of the farm, `expiry` the label's day
    or month ("2027-05-31", "2027-05"), "" where it was not told."""

    kind: ClassVar[str] = "bottle-in"
    bottle: int
    preparation: Preparation
    amount: float | None = None
    strength: Strength | None = None
    lot: str = ""
    expiry: str = ""


@dataclass(frozen=True, slots=True)
class BottleTold:
    """What was told of a bottle later; `None` leaves as it was."""

    kind: ClassVar[str] = "bottle-told"
    bottle: int
    amount: float | None = None
    strength: Strength | None = None
    lot: str | None = None
    expiry: str | None = None


@dataclass(frozen=True, slots=True)
class BottleOpened:
    kind: ClassVar[str] = "bottle-opened"
    bottle: int


@dataclass(frozen=True, slots=True)
class BottleKeeps:
    """How many days the label gives the bottle once it is opened."""

    kind: ClassVar[str] = "bottle-keeps"
    bottle: int
    days: float


@dataclass(frozen=True, slots=True)
class BottleWasted:
    """So much of it was spilled or thrown away; `None`: all that was left, and the bottle with it."""

    kind: ClassVar[str] = "bottle-wasted"
    bottle: int
    amount: float | None = None
    why: Literal["wasted", "broken", "thrown-away"] = "wasted"


@dataclass(frozen=True, slots=True)
class BottleCounted:
    """So much is left, as somebody saw; 0: it is empty."""

    kind: ClassVar[str] = "bottle-counted"
    bottle: int
    left: float


@dataclass(frozen=True, slots=True)
class DrawsFrom:
    """The bottle that a run draws from; 0: from none that was told."""

    kind: ClassVar[str] = "draws-from"
    bottle: int


Happening = (
    Opened
    | SetUp
    | FishWeighed
    | Placed
    | Retagged
    | FishLeftOut
    | Planned
    | Injected
    | WentIn
    | WaterRead
    | NotYet
    | EggsRun
    | Stripped
    | NoEggs
    | Died
    | LooksStopped
    | SpawnSeen
    | Collected
    | EggsCounted
    | EggsWeighed
    | StepDone
    | StepSkipped
    | Postponed
    | Counted
    | SwimUpCounted
    | TrialAsked
    | Told
    | LarvaeSold
    | FishTold
    | FishLost
    | Spent
    | Cancelled
    | Closed
    | Retracted
    | BottleIn
    | BottleTold
    | BottleOpened
    | BottleKeeps
    | BottleWasted
    | BottleCounted
    | DrawsFrom
)


@dataclass(frozen=True, slots=True)
class Event:
    """Something that was said of a run, or (`run` is BOOK) of the farm itself. `id` and `run` are counters of
    the farm.

    `said_at` is when the words reached us, `at` when the thing happened; `source` is the key of the
    message it came from, `by` the person.
    """

    id: int
    farm: int
    run: int
    said_at: datetime
    at: datetime
    what: Happening
    by: int | None = None
    source: str | None = None


# The run, as folded from its events (core.runs.fold) ------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Shot:
    """One injection of one fish; `event` told it. `sheet_ml` and `sheet_amount` (in `unit`) are what the
    sheet of that hour said, `amount` (in `unit`) the active substance that was told instead. Where a `share`
    of it went in, `ml` is that share and the amounts are the whole."""

    n: int
    which: Which
    at: datetime
    ml: float | None
    by: int | None
    event: int
    sheet_ml: float | None = None
    sheet_amount: float | None = None
    unit: str = ""
    amount: float | None = None
    share: float | None = None
    hour_told: bool = True

    @property
    def whole_ml(self) -> float | None:
        """What was to go in, in mL: by the sheet, else as told."""
        if self.sheet_ml is not None or self.ml is None:
            return self.sheet_ml
        return self.ml / (self.share or 1.0)


@dataclass(frozen=True, slots=True)
class Fish:
    """`state`: `waiting` (for injection or eggs), `running`, `stripped`, `none`, `died`, `stopped`. `cut`:
    dead, for his milt. `tagged`: the farm gave this name to a fish that had another."""

    tag: str
    sex: Sex | None
    kg: float
    place: str = ""
    group: str = ""
    shots: tuple[Shot, ...] = ()
    state: Literal["waiting", "running", "stripped", "none", "died", "stopped"] = "waiting"
    running_at: datetime | None = None
    settled_at: datetime | None = None
    last_look_at: datetime | None = None
    cut: bool = False
    tagged: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Fish injected in one go: one clock. `last_at` is their newest injection, `final_at` the final one,
    `None` while only priming shots were given; `told_at` is when the newest was said."""

    name: str
    tags: tuple[str, ...]
    place: str
    first_at: datetime
    final_at: datetime | None
    told_at: datetime
    last_at: datetime | None = None
    looks_stopped_at: datetime | None = None
    spawn_seen_at: datetime | None = None
    running_at: datetime | None = None
    running_told_at: datetime | None = None
    last_look_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Count:
    """A count as told; `place` where it is of one of several places of its batch."""

    stage: Literal["fertilised", "hatched"]
    at: datetime
    told_at: datetime
    good: float | None
    total: float | None
    percent: float | None
    larvae: float | None
    of: CountOf
    deformed: float | None
    event: int
    place: str = ""
    sample: CupSample | None = None

    @property
    def share(self) -> float | None:
        """The percent it tells: as said, or good of total; `None` where neither was told."""
        if self.percent is not None:
            return self.percent
        if self.good is not None and self.total:
            return round(100 * self.good / self.total, 1)
        return None


@dataclass(frozen=True, slots=True)
class Lot:
    """Swollen eggs collected in one go: `place` is the jar they went into, "" where none was named."""

    litres: float
    eggs_per_ml: float | None
    place: str
    at: datetime
    event: int


@dataclass(frozen=True, slots=True)
class Money:
    """An amount paid or taken at some time; `what` it was for, "" where nobody said. `larvae` that it was
    taken for."""

    at: datetime
    amount: float
    currency: str | None = None
    what: str = ""
    larvae: float | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """Eggs that go together. `begun_at` is when they were stripped or seen, `*told_at` when it was said.

    `begun_at` is `None` while only something later was told: a count, or milt. `lots` are what was collected
    by volume, `counts` what was counted of each place; `fertilised` and `hatched` are these taken together.
    """

    name: str
    eggs: tuple[EggsOf, ...]
    begun_at: datetime | None
    told_at: datetime
    shared: tuple[str, ...] = ()
    all_gave: bool = False
    place: str = ""
    group: str = ""
    test_lot: bool = False
    dry: bool | None = None
    lots: tuple[Lot, ...] = ()
    fertilised_at: datetime | None = None
    fertilised_told_at: datetime | None = None
    counts: tuple[Count, ...] = ()
    fertilised: Count | None = None
    hatched: Count | None = None

    @property
    def litres(self) -> float | None:
        """All that was collected of it; `None` where nothing was."""
        return round(sum(lot.litres for lot in self.lots), 3) if self.lots else None

    @property
    def places(self) -> tuple[str, ...]:
        """Where its eggs were put, in order of mention."""
        return tuple(dict.fromkeys(lot.place for lot in self.lots if lot.place))


@dataclass(frozen=True, slots=True)
class WaterReading:
    at: datetime
    celsius: float
    source: WaterSource
    place: str


@dataclass(frozen=True, slots=True)
class Run:
    """A run as it stands. `answered` holds every step that was done or skipped, with its time, `postponed`
    which bell was put off, until when, and when that was said, `swim_up` the larvae that swim, by place."""

    number: int
    farm: int
    species: str
    way: Way
    preparation: Preparation
    strength: Strength | None
    strength_assumed: bool
    state: RunState
    opened_at: datetime
    last_word_at: datetime
    male_dose: bool | None = None
    dose: OwnDose | None = None
    fish: tuple[Fish, ...] = ()
    groups: tuple[Group, ...] = ()
    batches: tuple[Batch, ...] = ()
    water: tuple[WaterReading, ...] = ()
    no_thermometer: bool = False
    planned: Planned | None = None
    planned_told_at: datetime | None = None
    answered: tuple[tuple[StepKey, datetime], ...] = ()
    skipped: tuple[StepKey, ...] = ()
    postponed: tuple[tuple[StepKey, datetime, datetime], ...] = ()
    eggs_per_gram: float | None = None
    ended_at: datetime | None = None
    notes: tuple[str, ...] = ()
    trials: tuple[datetime, ...] = ()
    sold: float | None = None
    swim_up: tuple[SwimUpCounted, ...] = ()
    preparation_assumed: bool = False
    bottle: int | None = None
    spent: tuple[Money, ...] = ()
    earned: tuple[Money, ...] = ()


# Bells ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Bell:
    """A bell a run should have. `wakes`: rings six times, 2 min apart; else twice, 30 min apart."""

    run: int
    key: StepKey
    due_at: datetime
    wakes: bool = False
    once: bool = False


BellState = Literal["waiting", "ringing", "rung-out", "answered", "withdrawn"]


@dataclass(frozen=True, slots=True)
class Reminder:
    """A bell as stored: how often it rang, when it rings next (`None`: no more)."""

    id: int
    farm: int
    bell: Bell
    state: BellState = "waiting"
    attempts: int = 0
    next_at: datetime | None = None
    last_rung_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One batch or jar of a run of several, in the results book: whose eggs, where, how many grams or litres,
    and what was counted."""

    name: str
    tags: tuple[str, ...]
    place: str
    fertilised_percent: float | None
    hatched_percent: float | None
    hatched_of: CountOf
    larvae: float | None
    grams: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class FishRow:
    """One fish of a run, in the results book. `first_at` is its first injection, `None` where it had none.
    `ml` and `amount` (in `unit`, all shots together) are what went in, `None` where one of them is not known.
    `gave_at` is when her eggs were told, `egg_grams` of dry ones, where all of hers were weighed. `state`,
    `cut` and `tagged` are as in `Fish`, `died_at` is when it died."""

    tag: str
    sex: Sex | None
    kg: float
    first_at: datetime | None = None
    ml: float | None = None
    amount: float | None = None
    unit: str = ""
    state: str = "waiting"
    gave_at: datetime | None = None
    egg_grams: float | None = None
    died_at: datetime | None = None
    cut: bool = False
    tagged: bool = False


@dataclass(frozen=True, slots=True)
class NeedleRow:
    """What one going with the needle took, all its fish together, in the unit their bottle is counted in;
    `None` where it was told of none of them, and `untold` of how many it was not."""

    at: datetime
    amount: float | None
    untold: int = 0


@dataclass(frozen=True, slots=True)
class Span:
    """Where a figure lies 19 times in 20."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class WaterRow:
    """The water of a stretch of a run, by the `readings` that tell of it: its mean over the hours, its lowest
    and highest. `guessed`: some were no readings of a thermometer."""

    mean: float
    low: float
    high: float
    readings: int
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class WindowRow:
    """When eggs should have come by the run's own water, in hours from the final injection; `assumed`: nobody
    told that water."""

    earliest: float
    most_from: float
    most_to: float
    latest: float
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class LookRow:
    """How the eggs of a female looked."""

    tag: str
    quality: Quality


@dataclass(frozen=True, slots=True)
class RunRow:
    """One row of the results book: a run as it stands, or as it closed. `begun_at` is its first injection,
    else its opening; `batches` only where there are several. `injected_kg` are kilos of all injected
    females, `gave_kg` of those whose `egg_grams` of dry eggs were all weighed. The spans are the doubt of
    larvae in cups and of counted shares, in percent; `eggs_per_gram`, `eggs_per_ml` the farm's own of that
    run. `used_ml` is what went into all fish, `None` where that is not known of every shot.
    `of_all_percent` and `of_fertilised_percent` are the hatch of all eggs and of the good ones, told or
    worked out from the fertilised share of the same batches. `water` is from the final injection to the first
    eggs, `hatch_water` from these to the hatching. `ran_minutes` is the longest that eggs ran before they
    were taken, `milt_minutes` that they lay before the milt. `spent` was told of this run, `earned` with what
    was sold of it."""

    run: int
    species: str
    begun_at: datetime
    ended_at: datetime | None
    state: RunState
    fertilised_percent: float | None = None
    hatched_percent: float | None = None
    hatched_of: CountOf = "unknown"
    hatched_at: datetime | None = None
    larvae: float | None = None
    hours_to_strip: float | None = None
    ovulated: int | None = None
    injected: int | None = None
    had_eggs: bool = False
    way: Way = "stripped"
    batches: tuple[BatchRow, ...] = ()
    sold: float | None = None
    injected_kg: float | None = None
    gave_kg: float | None = None
    egg_grams: float | None = None
    swim_up: float | None = None
    larvae_span: Span | None = None
    swim_up_span: Span | None = None
    fertilised_span: Span | None = None
    hatched_span: Span | None = None
    eggs_per_gram: float | None = None
    egg_litres: float | None = None
    eggs_per_ml: float | None = None
    fish: tuple[FishRow, ...] = ()
    preparation: Preparation | None = None
    strength: Strength | None = None
    used_ml: float | None = None
    bottle: int | None = None
    needles: tuple[NeedleRow, ...] = ()
    of_all_percent: float | None = None
    of_fertilised_percent: float | None = None
    water: WaterRow | None = None
    hatch_water: WaterRow | None = None
    window: WindowRow | None = None
    ran_minutes: float | None = None
    milt_minutes: float | None = None
    looks: tuple[LookRow, ...] = ()
    spent: tuple[Money, ...] = ()
    earned: tuple[Money, ...] = ()

    @property
    def age(self) -> tuple[datetime, int]:
        """What rows are put in order by: since when the run is, then its number."""
        return self.begun_at, self.run

    @property
    def took_place(self) -> bool:
        """Whether it is more than a draft and was not cancelled."""
        return self.state not in ("draft", "cancelled")


EXPORTED = (
    "README.txt",
    "farm.json",
    "season.csv",
    "runs.csv",
    "events.csv",
    "weights.csv",
    "injections.csv",
    "water.csv",
    "eggs.csv",
    "counts.csv",
    "treated.csv",
    "shelf.csv",
)
"""The files of an export beside its photos."""


@dataclass(frozen=True, slots=True)
class Advice:
    """Cautions already given: each once a run (`run` 0: once a farm)."""

    run: int
    code: str
