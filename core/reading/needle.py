"""Injections: which, when, into which fish, how much, and whether one was given at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import cast, get_args

from core.commands import Injection, NotYetSaid, Reading, Unclear
from core.reading import moments, shares, times
from core.reading.fishes import sex_of
from core.reading.items import Item
from core.reading.message import COMMA, Message
from core.reading.moments import moment_of
from core.records import DoseUnit, Sex, Which

MOST_ML = 60.0
REACHED = ("cue.reached", "cue.injected", "topic.given")
AMOUNTS = {"ml", "ml_per_kg", "iu_per_kg", "mg_per_kg", "ug_per_kg", "iu", "mg", "ug"}
SUBSTANCE: Mapping[str, DoseUnit] = {"iu": "IU", "ug": "ug", "mg": "mg"}  # the first told counts
OF_DOSES = {"dose", "little", "strength", "activity", "days"}
NTH = {"third": 3, "fourth": 4}


def injections(message: Message) -> list[Reading]:
    """The injections told: one a fish where each has its own amount or hour, one a shot where each has its
    time."""
    if pieces := _given_and_shares(message):
        return [one for piece in pieces for one in injections(piece)]
    clauses = message.clauses()
    fish = [tag for clause in clauses for tag in clause.tags]
    shots = [_which(clause) for clause in clauses]
    apart = all(clause.tags for clause in clauses) and len(set(fish)) == len(fish)
    staged = None not in shots and len(set(shots)) == len(shots)
    if len(clauses) > 1 and all(map(_timed, clauses)) and (staged or apart):
        return [injected(clause) for clause in clauses]
    return _by_amount(message) or _by_hour(message) or [injected(message)]


def _given_and_shares(message: Message) -> list[Message]:
    """ "Injected 8 pm, m1 got only half": what was given, and what went into some of them, parted."""
    clauses = message.clauses()
    some = [clause for clause in clauses if _of_some(clause) and shares.of_a_dose(clause)]
    rest = [clause for clause in clauses if clause not in some]
    given = len(rest) == 1 and rest[0].has("cue.injected") and shares.alone(rest[0]) is None
    return [*rest, *some] if some and given else []


def _of_some(message: Message) -> bool:
    return bool(message.tags) or message.has("sex.f", "sex.m")


def _timed(clause: Message) -> bool:
    """Whether it tells when: by a clock, an ago, or a number said as a time, "F2 at 11"."""
    return bool(clause.kinds("clock", "ago")) or any(item.has("time.at") for item in clause.bare())


def _by_amount(message: Message) -> list[Reading]:
    """ "F1 1.2 ml F2 1 ml", "females 1 ml, males 0.5 ml": an injection for each amount."""
    amounts = [item for item in message.numbers if item.unit == "ml"]
    sexes = [sex for item in message.items if (sex := sex_of(item)) is not None]
    by_tag = len(amounts) > 1 and len(amounts) == len(message.tags)
    by_sex = len(amounts) == len(sexes) == len(set(sexes)) == 2 and not message.tags
    if not (by_tag or by_sex):
        return []
    told = injected(message.part([item for item in message.items if item not in amounts]))
    if not isinstance(told, Injection):
        return []
    if by_tag:
        return [
            replace(told, tags=(tag,), ml=item.value) for tag, item in zip(message.tags, amounts, strict=True)
        ]
    return [replace(told, sex=sex, ml=item.value) for sex, item in zip(sexes, amounts, strict=True)]


def _by_hour(message: Message) -> list[Reading]:
    """ "Injected F1 20:00 F2 20:10", "female 8 pm male 9 pm": an injection for each hour, its fish before."""
    times_told, fish = message.kinds("clock", "ago"), [item for item in message.items if _is_fish(item)]
    if len(times_told) < 2 or len(times_told) != len(fish) or message.numbers:
        return []
    first = next(item for item in message.items if item in times_told or _is_fish(item))
    if not _is_fish(first):
        return []
    pieces: list[list[Item]] = [[]]
    for item in message.items:
        if _is_fish(item) and any(each.kind in {"clock", "ago"} for each in pieces[-1]):
            pieces.append([])
        pieces[-1].append(item)
    return [injected(message.part(piece)) for piece in pieces] if len(pieces) == len(fish) else []


def _is_fish(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or item.one_of("sex") is not None


def _counts_fish(message: Message, number: Item) -> bool:
    """ "All four injected", "injected 3 females": a number of fish that leaves none of a known run out."""
    if not moments.counts(message, number):
        return False
    before, after = moments.beside(message, number)
    sexed = before.one_of("sex") is not None or after.one_of("sex") is not None
    several = after.one_of("sex") is not None or after.has("noun.fish") or number.has("counter.fish")
    known = message.context.tags
    every = before.has("cue.every") or (number.value == len(known) and not sexed)
    return every or (not known and (several or before.has("number_of.many")))


def _for_a_kilo(message: Message, amount: Item) -> bool:
    """ "Proti kg 0.5 ml": so much for each kilo, not what went in."""
    return any(item.has("topic.per_kg") for item in moments.beside(message, amount))


def _is_shot(message: Message, number: Item) -> bool:
    """ "1 shot at 20:00": the one of the course."""
    _, after = moments.beside(message, number)
    return number.whole and number.value == 1 and after.has("cue.injected_noun")


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
    left = [item for item in left if not (_counts_fish(message, item) or _is_shot(message, item))]
    ml = [item.value for item in message.numbers if item.unit == "ml" and not _for_a_kilo(message, item)]
    if len(ml) > 1 or any(value > MOST_ML for value in ml):
        return Unclear("implausible" if len(ml) == 1 else "ambiguous_intent")
    odd = any(item.has("digits.odd") for item in message.items) or _spans_tags(message) or _unnamed(message)
    units = message.lexicon.units
    strange = any(
        item.unit not in {"", "ml"} and units[item.unit].measures not in OF_DOSES for item in message.numbers
    )
    dose = _dose(message)
    if odd or left or strange or _doubtful(message) or _only_spoken_of(message, timed=bool(at or ago)):
        plain = Injection(_which(message), at, ago, message.tags)
        if isinstance(dose, Unclear):
            return dose
        other = moments.other_clock(message)
        hours = (plain,) if other is None else (replace(plain, at=other), plain)
        return Unclear("ambiguous_intent", tuple(_dosed(way, dose) for way in hours))
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


def _limits_shots(message: Message, at: int) -> bool:
    """Whether an "only" is said of the injections: "only an injection"; not of fish, nor "only at 8"."""
    near = message.items[max(at - 1, 0) : at + 3]
    some = any(each.kind in {"tag", "coded", "place"} or sex_of(each) is not None for each in near)
    return not some and not message.tags and any(each.has("cue.injected_noun") for each in near)


def _told_as_given(message: Message) -> bool:
    """ "Injected F1 and half leaked": the needle itself is told, not only what became of it."""
    return any(
        item.has("cue.injected") and not item.has("cue.injected_noun", "cue.reached")
        for item in message.items
    )


def _unnamed(message: Message) -> bool:
    """ "Sab ko 8:20 pe laga diya": given to fish at an hour, and nobody says what."""
    named = message.has("cue.injected", "cue.leaked", "topic.hormone", "cue.inject_plan", "cue.reached")
    measured = any(item.unit for item in message.numbers) or message.any_of("which") is not None
    given = message.has("topic.given") and message.context.awaiting != "injected"
    return given and not (named or measured)


def _spans_tags(message: Message) -> bool:
    """ "F1-F4": the first and the last, or all between them?"""
    items = message.items
    return any(
        two.raw == "-" and one.kind in {"coded", "tag"} and three.kind in {"coded", "tag"}
        for one, two, three in zip(items, items[1:], items[2:], strict=False)
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
    several = message.has("pronoun_all.them")  # then "he" is whoever did it
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
    for clause in _parted_at_the_rest(message):
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


def _parted_at_the_rest(message: Message) -> list[Message]:
    """Its clauses; one that tells what went in and that the rest leaked, parted between the two."""
    parts: list[Message] = []
    for clause in message.clauses():
        at = next(
            (at for at, item in enumerate(clause.items) if item.has("cue.rest", "cue.leaked")),
            len(clause.items),
        )
        before, after = clause.part(clause.items[:at]), clause.part(clause.items[at:])
        both = (
            clause.has("cue.rest") and clause.has("cue.leaked") and before.has("cue.reached", "topic.given")
        )
        parts.extend([before, after] if both and before.numbers and not after.numbers else [clause])
    return parts


def _only_spoken_of(message: Message, *, timed: bool) -> bool:
    """ "Double dose please", "skip the male dose": a dose is named, and nobody gave it."""
    acts = [item for item in message.items if item.has("cue.injected")]
    named = bool(acts) and all(item.has("cue.injected_noun") for item in acts)
    given = timed or message.has("time.just_now", "when.just_now", "say.done", "topic.given")
    return (named and not given) or message.has("say.cancel")


def _doubtful(message: Message) -> bool:
    if moments.day_of(message) == "yesterday" and message.kinds("clock") and message.context.now:
        return times.past(message.kinds("clock")[0], message.context.now) <= message.context.now
    moments_told = {(item.kind, item.value) for item in moments.told_moments(message)}
    unheard = any(item.has("time.unheard") for item in message.kinds("clock"))
    far = moments.day_of(message) == "far" or moments.other_clock(message) is not None
    return far or unheard or any(item.high is not None for item in message.numbers) or len(moments_told) > 1


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
        if key == "only" and item.has("which_weak.only") and not _limits_shots(message, at):
            continue
        if key in get_args(Which):
            return cast(Which, key)
    return "only" if any(_is_shot(message, item) for item in message.bare()) else None
