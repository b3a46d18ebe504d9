"""Commands with a slash, and messages that are one set phrase: done, not yet, help, hello."""

from __future__ import annotations

from core.commands import (
    USUAL_SNOOZE,
    Act,
    Begin,
    Cancel,
    EggsRunning,
    Finished,
    Greeting,
    Help,
    NotYetSaid,
    Question,
    Reading,
    Snooze,
    Spawned,
    Strip,
    Temperature,
    Unclear,
    Undo,
    Why,
)
from core.crew import AskCrew, DeleteFarm, Export, Invite, Leave, SwitchFarm
from core.reading import times
from core.reading.items import Item
from core.reading.message import Message, breaks
from core.reading.moments import hour

WELL = Finished(well=True)
OK = Finished(only_ok=True)
SAID: dict[str, Reading] = {
    "done": Finished(),
    "seen": OK,
    "well": WELL,
    "not_yet": NotYetSaid(),
    "cancel": Cancel(),
    "help": Help(),
    "greeting": Greeting(),
    "undo": Undo(),
    "start": Begin(),
    "why": Why(),
    "later": Snooze(USUAL_SNOOZE),
}
COMMANDS: dict[str, Reading] = {
    "/start": Begin(),
    "/help": Help(),
    "/undo": Undo(),
    "/cancel": Cancel(),
    "/next": Question("next_step"),
    "/status": Question("run_status"),
    "/why": Why(),
    "/done": Finished(),
    "/invite": Invite(),
    "/crew": AskCrew(),
    "/leave": Leave(),
    "/export": Export(),
    "/delete": DeleteFarm(),
    "/farm": SwitchFarm(),
}
COURTESY = "greeting"
SEEN = "seen"
LATER = "later"  # among other words it means nothing: "see you later"
HOURS_WANTED = {"plan", "strip_hour"}
LONGEST_SNOOZE = 24 * 60
LONGEST_BARE = 60  # "wait 150" may be a count that is mended


def command(text: str) -> Reading | None:
    """A command of the messenger, read before all grammar: /start, /help@name."""
    if not text.startswith("/"):
        return None
    words = text.split(maxsplit=1)
    return COMMANDS.get(words[0].partition("@")[0].casefold()) if words else None


def phrase(message: Message) -> Reading | None:
    """What a message says that is made of set phrases and courtesies alone."""
    said: list[str] = []
    timed = [item for item in message.items if _tells_time(item)]
    if timed and (message.context.awaiting == "injected" or len(timed) > 1):
        return None
    for item in message.items:
        key = item.one_of("say") or item.one_of("say_alone")
        if key is not None:
            said.append(key)
        elif not (_tells_time(item) or _idle(item) or item.has("ask.mark")):
            return None
    key = _meant(said)
    if message.has("ask.mark") and key not in (COURTESY, "help"):
        return None
    if key == COURTESY and message.any_of("assent") is not None:
        return None
    if timed:
        return _done_then(message, timed[0]) if key == "done" else None
    if key == LATER and message.numbers:
        return None
    return SAID.get(key)


def _meant(said: list[str]) -> str:
    """The one phrase beside courtesies; "ok, done" is done. "" where there are several, or none."""
    keys = {key for key in said if key != COURTESY}
    if keys == {"done", SEEN}:
        return "done"
    if not keys:
        return COURTESY if said else ""
    return keys.pop() if len(keys) == 1 else ""


def reason(message: Message) -> Reading | None:
    """ "Why every 60 min?", "why 650 eggs per gram?": a figure that is asked about is not told."""
    items = [item for item in message.items if item.one_of("filler") is None]
    while items and items[-1].has("ask.mark"):
        items.pop()
    asked = bool(items) and items[0].one_of("say") == "why" and not any(i.has("ask.mark") for i in items)
    figures = message.kinds("num", "clock", "ago", "span")
    return Why() if asked and figures and len(message.clauses()) == 1 else None


def assent(message: Message) -> Reading | None:
    """A bare yes or no. What was asked tells what it answers, else it is asked."""
    said = {key for item in message.items if (key := item.one_of("assent"))}
    if len(said) != 1 or not all(item.one_of("assent") or _idle(item) for item in message.items):
        return None
    if message.kinds("clock", "ago") or message.has("ask.mark"):
        return None
    yes = said == {"yes"}
    awaited = message.context.awaiting
    if message.context.looking and not yes:
        return NotYetSaid()
    if awaited == "spawned":
        return Spawned("yes" if yes else "no")
    act: Act = NotYetSaid() if not yes else EggsRunning() if message.context.looking else OK
    return _unless_asked(message, act)


def looked(message: Message) -> list[Reading]:
    """Under a look at the females: "none", "nothing", "all females none", "F1 yes", "F1 not, F2 yes"."""
    if not message.context.looking or message.numbers or message.kinds("clock", "ago"):
        return []
    if message.has("zero.told", "cue.none") and all(map(_of_a_look, message.items)):
        perhaps = not message.has("cue.none_final")
        return [Strip(none=tuple(message.tags or (None,)), perhaps_not_yet=perhaps)]
    seen = [(clause.tags, _seen_in(clause)) for clause in message.clauses()]
    if not all(tags and answer for tags, answer in seen):
        return []
    runs = tuple(tag for tags, answer in seen for tag in tags if answer == "yes")
    waits = tuple(tag for tags, answer in seen for tag in tags if answer == "no")
    told: list[Reading] = [EggsRunning(tags=runs)] if runs else []
    return [*told, Strip(not_ready=waits)] if waits else told


def _seen_in(clause: Message) -> str:
    """What a clause says of its females: "yes", "no", or nothing plain."""
    said = {item.one_of("assent") or ("no" if item.has("deny.word") else "") for item in clause.items} - {""}
    plain = all(_of_a_look(item) or item.one_of("assent") or item.has("deny.word") for item in clause.items)
    return said.pop() if plain and len(said) == 1 else ""


def _of_a_look(item: Item) -> bool:
    return _idle(item) or _subject(item) or item.has("zero.told", "cue.none", "cue.every", "cue.is")


def well(message: Message) -> Reading | None:
    """ "All ok", "females fine": nobody died, nothing is wrong."""
    items = message.items
    at = max((at for at, item in enumerate(items) if item.has("well.said")), default=None)
    if at is None or message.kinds("clock", "ago") or not all(_of_wellness(item) for item in items):
        return None
    if not any(_subject(item) for item in items[:at]):
        plain = message.any_of("assent") is None and not message.tags
        return _unless_asked(message, Finished()) if plain and not any(map(_subject, items)) else None
    if message.has("ask.mark") or items[0].has("may.ask"):
        return Unclear("ambiguous_intent", (Question("run_status"), WELL))
    return Unclear("ambiguous_intent", (WELL,)) if message.tags else WELL


def _unless_asked(message: Message, act: Act) -> Reading:
    return act if message.context.awaiting == "done" else Unclear("ambiguous_intent", (act,))


def _subject(item: Item) -> bool:
    living = item.has("noun.fish", "noun.eggs", "noun.larvae", "hint.fish", "well.all")
    named = item.kind in {"tag", "coded"} or item.one_of("sex") is not None
    return living or named or item.has("pronoun.f", "pronoun.m")


def _of_wellness(item: Item) -> bool:
    return _idle(item) or _subject(item) or item.has("well.said", "cue.is", "ask.mark")


def _idle(item: Item) -> bool:
    """Signs, courtesies and times: they take nothing from a set phrase."""
    if item.kind in {"sign", "clock", "ago"} or breaks(item):
        return True
    return item.kind != "num" and (item.has("time.at") or item.one_of("filler") is not None)


def _tells_time(item: Item) -> bool:
    """A clock time, an ago, or a bare hour said as one: "done at 9"."""
    pointed = item.kind == "num" and item.has("time.at") and times.as_clock(item) is not None
    return item.kind in {"clock", "ago"} or pointed


def _done_then(message: Message, when: Item) -> Finished:
    """ "Done at 9:40", "done 10 min ago"."""
    if when.kind == "ago":
        return Finished(minutes_ago=when.value)
    clock = times.as_clock(when) or when
    return Finished(at=times.past(clock, message.context.now))


def snooze(message: Message) -> Reading | None:
    """Ask again later, in so many minutes."""
    spans = message.kinds("span")
    if message.context.awaiting == "snooze" and not spans and len(message.bare()) == 1:
        return Snooze(message.bare()[0].value)
    if not (message.has("cue.later") or _more_time(message)):
        return None
    clock, here = hour(message), times.moment(message.context.now)
    if not spans and clock is not None and (clock.kind == "clock" and _pointed(message)):
        if here is None:
            return None
        at = times.moment(times.coming(clock, message.context.now)) or 0
        return Snooze((at - here) % times.DAY or times.DAY)
    minutes = [item.value for item in spans] or [item.value for item in message.bare() if item.whole]
    if len(minutes) != 1 or not 0 < minutes[0] <= LONGEST_SNOOZE:
        return None
    told = Snooze(minutes[0])
    return told if spans or minutes[0] <= LONGEST_BARE else Unclear("ambiguous_intent", (told,))


def _more_time(message: Message) -> bool:
    """ "20 minutos más", "10 menit lagi": a span and a word of more, and nothing else."""
    spans = message.kinds("span")
    more = message.has("filler.more") and message.context.awaiting not in HOURS_WANTED
    return len(spans) == 1 and more and all(item.kind == "span" or _idle(item) for item in message.items)


def _pointed(message: Message) -> bool:
    """Whether a time is said as one: "at 9", "21:00"."""
    return bool(message.kinds("clock")) or any(item.has("time.at") for item in message.bare())


def no_thermometer(message: Message) -> Reading | None:
    """ "No thermometer", and "don't know" where the water was asked for."""
    if message.has("cue.no_thermometer"):
        return Temperature(unknown=True)
    if message.has("cue.unknown") and message.context.awaiting == "temperature" and not message.numbers:
        return Temperature(unknown=True)
    return None
