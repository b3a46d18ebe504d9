"""Acts with a time: injections, running eggs, steps done, plans, deaths."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Literal, cast, get_args

from core.commands import (
    USUAL_SNOOZE,
    Death,
    EggsRunning,
    Finished,
    Injection,
    LeftOut,
    NotYetSaid,
    Plan,
    Reading,
    Snooze,
    StepSaid,
    Strip,
    Unclear,
)
from core.reading import shares, times
from core.reading.fishes import sex_of
from core.reading.items import Item
from core.reading.message import COMMA, Message
from core.records import DoseUnit, Sex, Which

MOST_ML = 60.0
REACHED = ("cue.reached", "cue.injected", "topic.given")
AMOUNTS = {"ml", "ml_per_kg", "iu_per_kg", "mg_per_kg", "ug_per_kg", "iu", "mg", "ug"}
SUBSTANCE: Mapping[str, DoseUnit] = {"iu": "IU", "ug": "ug", "mg": "mg"}  # the first told counts
OF_DOSES = {"dose", "little", "strength", "activity", "days"}
NTH = {"third": 3, "fourth": 4}


def moment_of(
    message: Message, *, loose: bool = False, dotted: bool = False
) -> tuple[str | None, float | None, list[Item]]:
    """When it happened: clock, minutes ago, and the bare numbers that are neither.

    With `dotted` a number written as an hour is one, "spawned 5.40"; with `loose` any bare number that can
    be a clock: "injected 9".
    """
    now = message.context.now
    ago = next((item.value for item in message.kinds("ago")), None)
    clock = next(iter(message.kinds("clock")), None)
    left = [item for item in message.bare() if item.raw]
    if clock is None and ago is None:
        written = loose or dotted
        pointed = [item for item in left if item.has("time.at") or (written and "." in item.text)]
        for item in pointed or ([item for item in left if not _of_a_fish(message, item)] if loose else []):
            made = times.as_clock(item)
            if made is not None:
                part = message.any_of("part")
                clock = times.in_part(made, part) if part else made
                left = [other for other in left if other is not item]
                break
    return (times.past(clock, now) if clock is not None else None), ago, left


def _of_a_fish(message: Message, number: Item) -> bool:
    """A small number beside a word of sex or of fish, or before the act: "injected 2 females", "all four
    injected"."""
    items = message.items
    at = next(at for at, item in enumerate(items) if item is number)
    before, after = items[max(at - 1, 0) : at], items[at + 1 : at + 2]
    near = any(item.one_of("sex") is not None or item.has("noun.fish") for item in before + after)
    counted = near or _all(before) or any(item.has("cue.injected") for item in after)
    return number.whole and not number.has("time.at") and counted


def _all(before: Sequence[Item]) -> bool:
    return any(item.has("cue.every") for item in before)


def _counts_them_all(message: Message, number: Item) -> bool:
    """ "All four injected": a number of fish that leaves none out."""
    at = next(at for at, item in enumerate(message.items) if item is number)
    beside = message.items[max(at - 1, 0) : at + 2]
    sexed = any(item.one_of("sex") is not None for item in beside)
    every = _all(beside) or (number.value == len(message.context.tags) and not sexed)
    return every and _of_a_fish(message, number)


def injections(message: Message) -> list[Reading]:
    """The injections told: one a fish where each has its own amount, one a shot where each has its time."""
    clauses = message.clauses()
    shots = [_which(clause) for clause in clauses]
    timed = [bool(clause.kinds("clock", "ago")) or _pointed(clause) for clause in clauses]
    fish = [tag for clause in clauses for tag in clause.tags]
    apart = all(clause.tags for clause in clauses) and len(set(fish)) == len(fish)
    staged = None not in shots and len(set(shots)) == len(shots)
    if len(clauses) > 1 and all(timed) and (staged or apart):
        return [injected(clause) for clause in clauses]
    amounts = [item for item in message.numbers if item.unit == "ml"]
    tags = message.tags
    if len(amounts) > 1 and len(amounts) == len(tags):
        rest = [item for item in message.items if item not in amounts]
        told = injected(message.part(rest))
        if isinstance(told, Injection):
            return [
                replace(told, tags=(tag,), ml=item.value) for tag, item in zip(tags, amounts, strict=True)
            ]
    sexes = [sex for item in message.items if (sex := sex_of(item)) is not None]
    if len(amounts) == len(sexes) == len(set(sexes)) == 2 and not tags:
        told = injected(message.part([item for item in message.items if item not in amounts]))
        if isinstance(told, Injection):
            return [replace(told, sex=sex, ml=item.value) for sex, item in zip(sexes, amounts, strict=True)]
    return [injected(message)]


def _pointed(clause: Message) -> bool:
    """Whether its number is said as a time: "F2 at 11"."""
    return any(item.has("time.at") for item in clause.bare())


def injected(message: Message) -> Reading:
    """An injection that was given."""
    if shares.of_a_dose(message):
        at, ago, _ = moment_of(message)
        if at is None and ago is None and _told_as_given(message):
            ago = 0.0
        told = Injection(_which(message), at, ago, message.tags, sex=_sex(message), place=message.place)
        return shares.went_in(message, told, _leaked)
    if message.has("cue.leaked"):
        return _leaked(message)
    if message.has("cue.double") and (message.tags or _sex(message)):
        return Unclear("no_number", (Injection(None, tags=message.tags, sex=_sex(message)),))
    if message.has("cue.none", "zero.told"):
        return Unclear("ambiguous_intent", (NotYetSaid(about="injected", of_fish=message.tags),))
    at, ago, left = moment_of(message, loose=True)
    left = [item for item in left if not _counts_them_all(message, item)]
    ml = [item.value for item in message.numbers if item.unit == "ml"]
    if len(ml) > 1 or any(value > MOST_ML for value in ml):
        return Unclear("implausible" if len(ml) == 1 else "ambiguous_intent")
    odd = any(item.has("digits.odd") for item in message.items)
    units = message.lexicon.units
    strange = any(
        item.unit not in {"", "ml"} and units[item.unit].measures not in OF_DOSES for item in message.numbers
    )
    dose = _dose(message)
    if odd or left or strange or _doubtful(message) or _only_spoken_of(message, timed=bool(at or ago)):
        plain = Injection(_which(message), at, ago, message.tags)
        return dose if isinstance(dose, Unclear) else Unclear("ambiguous_intent", (_dosed(plain, dose),))
    if isinstance(dose, Unclear):
        return dose
    told = Injection(
        which=_which(message),
        at=at,
        minutes_ago=ago,
        tags=message.tags,
        ml=ml[0] if ml else None,
        per_kg=dose.per_kg,
        unit=dose.unit,
        nth=next((n for key, n in NTH.items() if message.has(f"nth.{key}")), None),
        sex=_sex(message),
        place=message.place,
    )
    ways = _one_of_them(message, told)
    return Unclear("ambiguous_intent", ways) if ways else told


def _told_as_given(message: Message) -> bool:
    """ "Injected F1 and half leaked": the needle itself is told, not only what became of it."""
    return any(
        item.has("cue.injected") and not item.has("cue.injected_noun", "cue.reached")
        for item in message.items
    )


def _dose(message: Message) -> Injection | Unclear:
    """The active substance told for each kg; of analogue and blocker the analogue counts. An amount without
    "per kg" may be that of the whole fish."""
    for unit, name in SUBSTANCE.items():
        told = [item for item in message.numbers if item.unit in (unit, f"{unit}_per_kg")]
        if not told:
            continue
        dose = Injection(_which(message), tags=message.tags, per_kg=told[0].value, unit=name)
        if len(told) > 1 or told[0].high is not None or told[0].value <= 0:
            return Unclear("ambiguous_intent", (replace(dose, per_kg=None, unit=None),))
        each = any(item.unit.endswith("_per_kg") for item in message.numbers)
        return dose if each else Unclear("ambiguous_intent", (dose, replace(dose, per_kg=None, unit=None)))
    return Injection()


def _dosed(told: Injection, dose: Injection) -> Injection:
    return replace(told, per_kg=dose.per_kg, unit=dose.unit)


def dose_alone(message: Message) -> Unclear | None:
    """ "2500 iu/kg", and nothing of a needle: given, perhaps. Never a label."""
    if not any(item.unit.endswith("_per_kg") for item in message.numbers):
        return None
    told = _dose(message)
    return told if isinstance(told, Unclear) else Unclear("ambiguous_intent", (told,) if told.per_kg else ())


def _sex(message: Message) -> Sex | None:
    """The sex that was injected, where no fish is named and one sex alone is."""
    several = "them" in message.words  # then "he" is whoever did it
    items = [item for item in message.items if not (several and item.one_of("pronoun"))]
    sexes = {sex for item in items if (sex := sex_of(item)) is not None}
    return sexes.pop() if len(sexes) == 1 and not message.tags else None


def _one_of_them(message: Message, told: Injection) -> tuple[Injection, ...]:
    """ "Injected the female", and there are several: which?"""
    if told.sex is None or message.has("number_of.many", "cue.every"):
        return ()
    known = [tag for tag in message.context.tags if message.view.letters.get(tag[:1].casefold()) == told.sex]
    if len(known) < 2:
        return ()
    return (*(replace(told, tags=(tag,), sex=None) for tag in known), told)


def _leaked(message: Message) -> Reading:
    """What truly went in where some leaked; how much leaked does not tell that."""
    at, ago, _ = moment_of(message)
    told = Injection(_which(message), at, ago, message.tags, sex=_sex(message), place=message.place)
    inside: list[Item] = []
    before = True
    for clause in message.clauses():
        before = before and not clause.has("cue.leaked")
        counts = ("cue.reached",) if before else (*REACHED, "which_weak.only")
        for n, item in enumerate(clause.items):
            if item.kind != "num" or (item.has("time.at") and not item.has("time.loose")):
                continue
            if item.unit == "percent" or (item.spoken and item.value < 1 and not item.unit):
                continue  # a share of the dose: nobody knows how much that is
            behind = clause.items[n + 1] if n + 1 < len(clause.items) else COMMA
            plain = not clause.has("cue.leaked") and clause.has(*counts)
            if not (plain or behind.has(*REACHED)) or item.has("time.loose"):
                return Unclear("ambiguous_intent", (told,))
            inside.append(item)
    if not inside:
        return Unclear("no_number", (told,))
    one = inside[0]
    if len(inside) > 1 or one.unit not in {"", "ml"} or one.high is not None or message.has("filler.more"):
        return Unclear("ambiguous_intent", (told,))
    if not 0 < one.value <= MOST_ML:
        return Unclear("implausible", (told,))
    told = replace(told, ml=one.value)
    return Unclear("ambiguous_intent", (told,)) if one.whole else told


def _only_spoken_of(message: Message, *, timed: bool) -> bool:
    """ "Double dose please", "skip the male dose": a dose is named, and nobody gave it."""
    acts = [item for item in message.items if item.has("cue.injected")]
    named = bool(acts) and all(item.has("cue.injected_noun") for item in acts)
    given = timed or message.has("time.just_now", "when.just_now", "say.done", "topic.given")
    return (named and not given) or message.has("say.cancel")


def _doubtful(message: Message) -> bool:
    if message.has("day.yesterday") and message.kinds("clock") and message.context.now:
        return times.past(message.kinds("clock")[0], message.context.now) <= message.context.now
    return any(item.high is not None for item in message.numbers) or len(message.kinds("clock", "ago")) > 1


def needle_now(message: Message) -> bool:
    """ "Inject now", "I inject F2 now": it is done as it is said; "want to inject now" is not."""
    plain = any(item.has("cue.inject_plan") and " " not in item.raw for item in message.items)
    asked = message.any_of("ask") is not None or message.any_of("may") is not None
    timed = message.numbers or message.kinds("clock", "span")
    later = message.has("cue.will", "cue.own_dose", "say.later", "join.or") or asked or timed
    return plain and message.has("time.now", "time.just_now") and not later


def _which(message: Message) -> Which | None:
    """The injection meant; "F2 only" limits the fish, not the scheme."""
    items = message.items
    for at, item in enumerate(items):
        key = item.one_of("which")
        if key is None:
            continue
        if key == "only" and item.has("which_weak.only"):
            near = [each for each in items[max(at - 1, 0) : at + 3] if not each.has("time.at")]
            some = any(each.kind in {"tag", "coded", "place"} or sex_of(each) is not None for each in near)
            if some or message.tags:
                continue
        if key in get_args(Which):
            return cast(Which, key)
    return None


DENIES = ("deny.word", "deny.before")
NO_NEEDLE = (*DENIES, "say.not_yet")


def denied(message: Message, by: Sequence[str] = DENIES, about: str = "") -> Reading | None:
    """What it means that an act is denied or only asked after: never that it happened."""
    if not message.has(*by):
        return None
    denial = NotYetSaid(about=about, of_fish=message.tags)
    return denial if message.has("deny.yet", "say.not_yet") else Unclear("ambiguous_intent", (denial,))


def unless_denied(
    told: Callable[[Message], bool],
    read: Callable[[Message], list[Reading]],
    by: Sequence[str] = DENIES,
    about: str = "",
) -> Callable[[Message], list[Reading]]:
    """A reader of the acts that `told` knows, which heeds "not", "never", "forgot"; `about` names the act."""

    def heeding(said: Message) -> list[Reading]:
        whole = _surely(said)
        others = _told_of_others(whole, by)
        message = others if others is not None and told(others) else whole
        denial = denied(message, by, about)
        return [denial] if denial is not None else read(message)

    return heeding


def _surely(message: Message) -> Message:
    """ "Already injected at 5, before he brought them": that "before" denies nothing."""
    if not (message.has("deny.already") and message.kinds("clock", "ago", "num")):
        return message
    return message.part([item for item in message.items if not item.has("deny.before")])


def _told_of_others(message: Message, by: Sequence[str]) -> Message | None:
    """ "F2 injected, male not": what is denied of some fish says nothing of the others."""
    clauses = message.clauses()
    items = message.items
    if (
        len(clauses) == 1
        and len(items) > 2
        and items[-1].has("deny.word")
        and _of_some(message.part(items[-2:]))
    ):
        clauses = [message.part(items[:-2]), message.part(items[-2:])]
    told = [clause for clause in clauses if not clause.has(*by)]
    if len(told) in (0, len(clauses)) or not all(map(_of_some, clauses)):
        return None
    return message.part([item for clause in told for item in (*clause.items, COMMA)][:-1])


def _of_some(clause: Message) -> bool:
    return bool(clause.tags) or any(sex_of(item) is not None for item in clause.items)


def unless_coming(
    what: Literal["strip", "inject"], read: Callable[[Message], list[Reading]]
) -> Callable[[Message], list[Reading]]:
    """A reader of acts that asks where the act may still be to come: "injected tomorrow", "will inject"."""

    def asking(message: Message) -> list[Reading]:
        if not _to_come(message):
            return read(message)
        planned_act = planned(message, what)
        ways = planned_act.candidates if isinstance(planned_act, Unclear) else (planned_act,)
        told = [one for one in read(message) if isinstance(one, Injection | Strip)]
        return [Unclear("ambiguous_intent", (*ways, *told))]

    return asking


def _to_come(message: Message) -> bool:
    """Whether the words, or an hour of today that has not come yet, speak of the future."""
    if message.has("day.tomorrow", "cue.will", "say.later") or (
        _hence(message) and not message.measured("mass")
    ):
        return True
    clock = hour(message)
    if clock is None or not message.has("day.today"):
        return False
    here = times.moment(message.context.now)
    if here is None or not clock.sure:
        return message.has("cue.injecting")
    return 0 < (clock.value - here) % times.DAY < times.HALF_DAY


def _hence(message: Message) -> Item | None:
    """A span that is still to pass: "in 2 hours"."""
    return next((item for item in message.kinds("span") if item.has("time.hence")), None)


def eggs_run(message: Message) -> Reading:
    """Eggs run at a touch. "2 running" may be a count of females or the name of one."""
    at, ago, _ = moment_of(message)
    strange = [tag for clause in message.clauses() if _says_no_running(clause) for tag in clause.tags]
    if strange:
        surely = tuple(tag for tag in message.tags if tag not in strange)
        ways = (EggsRunning(tags=surely, at=at, minutes_ago=ago),) if surely else ()
        return Unclear("ambiguous_intent", ways)
    if message.amounts:
        names = {f"f{item.raw}".casefold() for item in message.amounts}
        tags = tuple(tag for tag in message.context.tags if tag.casefold() in names)
        named = (EggsRunning(tags=tags),) if len(message.amounts) == 1 and tags else ()
        return Unclear("ambiguous_intent", (EggsRunning(at=at, minutes_ago=ago), *named))
    return EggsRunning(tags=message.tags, at=at, minutes_ago=ago, place=message.place)


def _says_no_running(clause: Message) -> bool:
    """ "F2 soft" beside "F1 flows": something is said of her, and nobody knows what."""
    runs = clause.has("cue.runs", "cue.run", "cue.eggs_run")
    return bool(clause.tags) and bool(clause.kinds("junk")) and not runs


def step(message: Message) -> Reading:
    """A step that was done, by its own word; asked where it may be to come, or is but named."""
    at, ago, _ = moment_of(message)
    done = message.any_of("step") or message.any_of("step_waited")
    name = done or message.any_of("step_noun") or ""
    perhaps = message.any_of("step") is None and done is not None
    told = StepSaid(name.replace("_", "-"), at, ago, message.place, perhaps=perhaps)
    if message.amounts or message.items[0].has("may.ask"):
        return Unclear("ambiguous_intent", (told,))
    spans = message.kinds("span")
    if spans or message.has("say.later"):
        return Unclear("ambiguous_intent", (Snooze(spans[0].value if spans else USUAL_SNOOZE), told))
    if message.has("day.tomorrow", "cue.will"):
        return Unclear("ambiguous_intent", (NotYetSaid(), told))
    timed = ago is not None or at is not None
    return told if done is not None or timed else Unclear("ambiguous_intent", (told,))


def plan(message: Message) -> Reading:
    """An hour that is wanted."""
    what: Literal["strip", "inject"] = "strip" if message.has("cue.strip_plan") else "inject"
    return planned(message, what)


def planned(message: Message, what: Literal["strip", "inject"]) -> Reading:
    """The plan for that act at the hour in the message."""
    day: Literal["today", "tomorrow"] | None = None
    if message.has("day.tomorrow"):
        day = "tomorrow"
    elif message.has("day.today"):
        day = "today"
    clock = hour(message)
    if clock is None:
        return Unclear("no_number", (Plan(what, None, day),))
    if len(message.kinds("clock")) > 1 or any(item.high is not None for item in message.numbers):
        return Unclear("ambiguous_intent")
    at = times.said(clock.value) if day == "tomorrow" else times.coming(clock, message.context.now)
    return Plan(what, at, day)


def hour(message: Message) -> Item | None:
    """The clock time of the message, bare hours included."""
    clock = next(iter(message.kinds("clock")), None)
    made = [c for item in message.bare() if (c := times.as_clock(item)) is not None] if clock is None else []
    clock = clock or (made[0] if made else None)
    hence, here = _hence(message), times.moment(message.context.now)
    if clock is None and hence is not None and here is not None:
        return Item("clock", hence.raw, value=(here + hence.value) % times.DAY, sure=True)
    part = message.any_of("part")
    return times.in_part(clock, part) if clock is not None and part else clock


def left_out(message: Message) -> Reading | None:
    """Fish that take no part after all: "remove F3", "leave F2 out"."""
    if not (message.has("cue.left_out") and message.tags) or message.numbers or message.has("ask.mark"):
        return None
    told = LeftOut(message.tags)
    return Unclear("ambiguous_intent", (told,)) if message.has(*DENIES) else told


def _is_a_thing(item: Item) -> bool:
    """ "Lost blood", "lost scales": no fish."""
    return item.kind == "junk" or item.one_of("quality") is not None


def died(message: Message) -> Reading:
    """Fish that died."""
    if message.has("zero.told"):
        return Unclear("ambiguous_intent", (Finished(well=True),))
    if any(one.has("cue.lost") and _is_a_thing(two) for one, two in pairwise(message.items)):
        return Unclear("ambiguous_intent", (Death(message.tags),))
    at, ago, left = moment_of(message)
    if left and message.has("deny.before"):
        return Unclear("ambiguous_intent", (Death(message.tags),))
    counts = [item for item in left if item.whole and 0 < item.value < 1000]
    if len(counts) > 1 or len(counts) < len(left) or message.measured("mass"):
        return Unclear("ambiguous_intent")
    when = next((item.raw.casefold() for item in message.items if item.one_of("when")), None)
    if when is None and at is not None:
        when = at
    elif when is None and ago is not None:
        when = f"{ago:g} min ago"
    return Death(message.tags, int(counts[0].value) if counts else None, when)
