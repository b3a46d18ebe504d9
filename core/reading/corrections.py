"""Corrections in words: "no, F1 is 2.6", "sorry, I meant 2.4 not 24", "water was 26 not 28"."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from core.commands import Act, Correction, Injection, Reading, Strip, Temperature, Unclear, Weigh, Weighed
from core.reading.awaited import OF_HOURS
from core.reading.items import Item
from core.reading.message import Message, breaks, tag_of
from core.records import Sex

FIGURES = {"num", "clock", "coded"}
SEXES = ("sex.f", "sex.m")
TELLABLE = {
    "weigh",
    "temperature",
    "injected",
    "stripped",
    "egg_count",
    "fertilised",
    "hatched",
    "bath",
    "died",
    "collected",
}


def mended(message: Message) -> tuple[Message, bool]:
    """The message without what it takes back, and whether it takes anything back."""
    if not message.has("mend.mark", "mend.no", "mend.not", "mend.not_after"):
        return message, False
    kept: list[Item] = []
    marked = False
    items = message.items
    at = 0
    while at < len(items):
        item = items[at]
        if item.has("mend.mark") and message.has("cue.no_signal"):
            pass
        elif item.has("mend.mark") or (item.has("mend.no") and _opens(items, at)):
            marked = True
        elif item.has("mend.not") and (taken := _taken_back(items, at)):
            marked = marked or bool(kept) or _another_behind(items, at + taken)
            at += taken
        elif item.has("mend.not_after") and (dropped := _taken_before(items, at, kept)):
            marked = True
            del kept[-dropped:]
        else:
            kept.append(item)
        at += 1
    while kept and breaks(kept[0]):
        kept.pop(0)
    return message.part(kept), marked


def _opens(items: tuple[Item, ...], at: int) -> bool:
    """ "No," at the beginning: a break or a fish follows."""
    nxt = items[at + 1] if at + 1 < len(items) else None
    return at == 0 and nxt is not None and (breaks(nxt) or nxt.kind in {"coded", "tag"})


def _taken_back(items: tuple[Item, ...], at: int) -> int:
    """How many items after "not" are what it takes back: a figure, or a sex."""
    for ahead in range(1, 4):
        if at + ahead >= len(items):
            return 0
        item = items[at + ahead]
        counted = item.spoken and item.value == 1 and items[at + ahead + 1 : at + ahead + 2]
        if counted and counted[0].has(*SEXES):
            continue
        if item.kind in FIGURES:
            return ahead
        if item.has(*SEXES):
            weighed = at + ahead + 1 < len(items) and items[at + ahead + 1].kind == "num"
            return 0 if weighed else ahead
        if not item.has("filler.article", "filler.any", "time.at", "cue.is"):
            return 0
    return 0


def _another_behind(items: Sequence[Item], at: int) -> bool:
    """ "Not male, female", "not 2.4 but 2.6": whether one of its kind stands behind what is taken back."""
    return any(_alike(items[at], item) for item in items[at + 1 :])


def _alike(one: Item, other: Item) -> bool:
    """Whether one may stand in the place of the other: both sexes, both figures."""
    if one.has(*SEXES):
        return other.has(*SEXES)
    return other.kind in FIGURES and "coded" not in {one.kind, other.kind}


def _taken_before(items: tuple[Item, ...], at: int, kept: Sequence[Item]) -> int:
    """How many items before a "not" that stands behind are what it takes back: "145 nahi, 154 gram".

    Something of its kind must stand elsewhere. A word that may mean "or" takes back only before a break.
    """
    told = next((n for n in range(1, 4) if n <= len(kept) and not _light(kept[-n])), 0)
    item = kept[-told] if told else None
    if item is None or not (item.kind in FIGURES - {"coded"} or item.has(*SEXES)):
        return 0
    behind = items[at + 1 :]
    ends = not behind or breaks(behind[0])
    if not ends and (items[at].has("join.or") or not any(_alike(item, one) for one in behind[:2])):
        return 0
    others = [*kept[: len(kept) - told], *behind]
    return told if any(_alike(item, other) for other in others) else 0


def _light(item: Item) -> bool:
    return item.kind == "word" and not item.has(*SEXES)


def sex_alone(message: Message) -> Correction | None:
    """ "Not male, female", "wrong, B3 is a male", "5 is no male, a female": what is left is a sex, with a
    tag or none."""
    sexes = {key for item in message.items if (key := item.one_of("sex"))}
    named = message.kinds("coded", "tag", "num")
    if len(sexes) != 1 or len(named) > 1 or not all(map(_of_a_sex, message.items)):
        return None
    tag = (tag_of(named[0]) if named[0].kind != "num" else named[0].text) if named else None
    sex: Sex = "f" if sexes == {"f"} else "m"
    return Correction(Weigh((Weighed(sex, None, tag),)))


def _of_a_sex(item: Item) -> bool:
    """What a sex that is mended is told with: its own word, a name, courtesies."""
    if item.kind == "num":
        return item.whole and bool(item.text)
    plain = item.has("cue.is", "mend.was", "noun.fish", "join.then", "join.and", "deny.already")
    tables = ("filler", "sex", "pronoun", "pronoun_one", "say", "assent")
    return item.kind in {"coded", "tag", "sign"} or plain or any(item.one_of(table) for table in tables)


def sex_of_tag(message: Message) -> Correction | None:
    """ "F3 is a male": only its sex is mended."""
    tags = message.kinds("coded", "tag")
    sexes = [key for item in message.items if (key := item.one_of("sex"))]
    if len(tags) != 1 or len(sexes) != 1 or message.numbers or not message.has("cue.is"):
        return None
    if any(item.kind not in {"coded", "tag", "sign", "word"} for item in message.items):
        return None
    sex: Sex = "f" if sexes[0] == "f" else "m"
    return Correction(Weigh((Weighed(sex, None, tag_of(tags[0])),)))


HOURS_ASKED_FOR = OF_HOURS | {"injected", "spawned"}
OF_AN_HOUR = {"sign", "clock", "ago"}


def of_an_hour(message: Message) -> bool:
    """ "No 20:10", "it was 20:10": nothing but an hour of something past, where no hour was asked for."""
    if message.context.awaiting in HOURS_ASKED_FOR or not message.items:
        return False
    first, *rest = message.items
    spoken = ("mend.was", "filler.any", "cue.is", "cue.guess", "time.at", "time.loose")
    plain = all(item.kind in OF_AN_HOUR or item.has(*spoken) or item.one_of("part") for item in rest)
    taken_back = first.has("mend.no") or (message.has("mend.was") and first.has("filler.any", "cue.guess"))
    return taken_back and plain and _tells_an_hour(message)


def _tells_an_hour(message: Message) -> bool:
    pointed = [item for item in message.numbers if item.has("time.at")]
    return len(message.kinds("clock", "ago")) + len(pointed) == 1


def correction(
    message: Message,
    tell: Callable[[Message], list[Reading]],
    as_of: Callable[[Message, str], Reading | None],
) -> Reading:
    """The correction in the kept part; `tell` reads it by its own words, `as_of` as a given intent."""
    sex = sex_of_tag(message) or sex_alone(message)
    if sex is not None:
        return sex
    read = tell(message)
    if len(read) == 1:
        return _wrapped(read[0])
    if len(read) > 1:
        return Unclear("ambiguous_intent", _acts(read))
    message = message.part([item for item in message.items if not item.has("mend.no")])
    of = message.context.last or message.context.awaiting
    if message.any_of("part") is not None or _tells_an_hour(message):
        if message.context.awaiting in OF_HOURS:
            return as_of(message, message.context.awaiting) or Unclear("ambiguous_intent")
        of = "injected"
    elif message.context.by_volume and message.measured("volume"):
        of = "collected"
    told = as_of(message, of) if of in TELLABLE else None
    if isinstance(told, Injection) and told == Injection(at=told.at, minutes_ago=told.minutes_ago):
        if message.kinds("junk") and not message.has("mend.was", "cue.is"):
            return Unclear("not_ours")  # "no signal since 4, sorry"
        return Correction(told, hour_alone=True)
    if told is not None:
        return _wrapped(told)
    ways = _acts([as_of(message, name) for name in ("weigh", "temperature")])
    return (
        Unclear("ambiguous_intent", ways)
        if ways
        else Unclear("not_ours" if not message.numbers else "ambiguous_intent")
    )


def _acts(readings: Sequence[Reading | None]) -> tuple[Act, ...]:
    return tuple(one for one in readings if isinstance(one, Weigh | Temperature | Injection | Strip))


def _wrapped(reading: Reading) -> Reading:
    if isinstance(reading, Correction | Unclear):
        return reading
    what: Act = reading
    return Correction(what)
