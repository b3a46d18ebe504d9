"""Acts that are denied or still to come; running eggs, steps done, plans, deaths."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Literal

from core.commands import (
    USUAL_SNOOZE,
    Death,
    EggsRunning,
    Finished,
    Injection,
    LeftOut,
    NotYetSaid,
    Plan,
    Question,
    Reading,
    Snooze,
    StepSaid,
    Strip,
    Unclear,
)
from core.reading import moments, times
from core.reading.fishes import sex_of
from core.reading.items import Item
from core.reading.message import COMMA, Message
from core.reading.moments import moment_of

DENIES = ("deny.word", "deny.before", "deny.but")
NO_NEEDLE = (*DENIES, "say.not_yet")
NOT_YET = ("deny.word", "say.not_yet")


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
        if not moments.to_come(message):
            return read(message)
        planned_act = planned(message, what)
        ways = planned_act.candidates if isinstance(planned_act, Unclear) else (planned_act,)
        told = [one for one in read(message) if isinstance(one, Injection | Strip)]
        return [Unclear("ambiguous_intent", (*ways, *told))]

    return asking


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
    if moments.day_of(message) in ("tomorrow", "far") or message.has("cue.will"):
        return Unclear("ambiguous_intent", (NotYetSaid(), told))
    timed = ago is not None or at is not None
    return told if done is not None or timed else Unclear("ambiguous_intent", (told,))


def plan(message: Message) -> Reading:
    """An hour that is wanted; where it is but supposed, "if I inject at 8 when do I strip", a question."""
    what: Literal["strip", "inject"] = "strip" if message.has("cue.strip_plan") else "inject"
    if message.has("ask.when", "ask.how_long"):
        return Unclear("ambiguous_intent", (Question("strip_time"),))
    wanted, clock = planned(message, what), moments.hour(message)
    here = times.moment(message.context.now)
    if message.has("ask.mark") and isinstance(wanted, Plan):
        return Unclear("ambiguous_intent", (wanted,))
    later = message.has("cue.will", "may.must") or moments.day_of(message) in ("tomorrow", "far", "either")
    if not (message.has("cue.injecting") and isinstance(wanted, Plan)) or later:
        return wanted
    if clock is None or here is None or not moments.nearer_behind(clock, here):
        return wanted
    given = Injection(at=times.past(clock, message.context.now), tags=message.tags)
    return Unclear("ambiguous_intent", (given, wanted))


def planned(message: Message, what: Literal["strip", "inject"]) -> Reading:
    """The plan for that act at the hour in the message; a plan is for today or tomorrow."""
    told = moments.day_of(message)
    day: Literal["today", "tomorrow"] | None = told if told in ("today", "tomorrow") else None
    clock = moments.hour(message)
    if clock is None:
        return Unclear("no_number", (Plan(what, None, day),))
    if len(message.kinds("clock")) > 1 or any(item.high is not None for item in message.numbers):
        return Unclear("ambiguous_intent")
    far = told in ("tomorrow", "far", "either")
    at = times.said(clock.value) if far else times.coming(clock, message.context.now)
    wanted = Plan(what, at, day)
    other = moments.other_clock(message)
    if other is not None:
        return Unclear("ambiguous_intent", (Plan(what, other, day), wanted))
    return Unclear("ambiguous_intent", (wanted,)) if told in ("far", "either") else wanted


def left_out(message: Message) -> Reading | None:
    """Fish that take no part after all: "remove F3", "leave F2 out"."""
    if message.has("cue.injected", "cue.stripped") or message.numbers or message.has("ask.mark"):
        return None
    if not (message.has("cue.left_out") and message.tags):
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
