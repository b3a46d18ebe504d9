"""Words plainly of the hatchery where nothing was understood: asked about, never called "not ours"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core.commands import (
    USUAL_SNOOZE,
    Act,
    Bath,
    Cancel,
    Death,
    EggsRunning,
    EggsTold,
    Fertilised,
    Hatched,
    Injection,
    NotYetSaid,
    Snooze,
    StepSaid,
    Strip,
    Trouble,
    Unclear,
    UnclearWhy,
    Weigh,
)
from core.reading import acts, stripping
from core.reading.message import Message

FEW = 2
LOOKS = "quality.even quality.clumped quality.watery quality.whitish quality.blood"
MOST_STRANGERS = 5  # words that nobody knows: more of them are talk


@dataclass(frozen=True, slots=True)
class Hint:
    """Senses that must meet, one of each group, why it is asked, and what is most likely meant."""

    groups: tuple[frozenset[str], ...]
    why: UnclearWhy
    meant: Callable[[Message], tuple[Act, ...]]
    strangers: int = MOST_STRANGERS


def likely(message: Message) -> Unclear | None:
    """The question about the likeliest act."""
    strangers = len(message.kinds("junk"))
    if message.has("ask.how_much") and message.measured("volume") and strangers <= MOST_STRANGERS:
        return Unclear("no_number", _bath(message))
    for hint in HINTS:
        if strangers <= hint.strangers and all(message.has(*group) for group in hint.groups):
            return Unclear(hint.why, hint.meant(message))
    known = {tag.casefold() for tag in message.context.tags}
    if strangers <= MOST_STRANGERS and known & {tag.casefold() for tag in message.tags}:
        seen = (EggsRunning(tags=message.tags), Strip(not_ready=message.tags))
        return Unclear("ambiguous_intent", seen)
    return None


def _hint(
    *groups: str, why: UnclearWhy = "no_number", strangers: int = MOST_STRANGERS
) -> Callable[[Callable[[Message], tuple[Act, ...]]], Hint]:
    return lambda meant: Hint(tuple(frozenset(group.split()) for group in groups), why, meant, strangers)


def _eggs(message: Message) -> tuple[EggsTold, ...]:
    look = stripping.quality_of(message)
    return tuple(EggsTold(tag, None, look) for tag in message.tags or (None,))


def _bath(message: Message) -> tuple[Act, ...]:
    volume = message.measured("volume")
    factor = message.lexicon.units[volume[0].unit].factor if len(volume) == 1 else 0
    return (Bath(litres=volume[0].value * factor if factor else None),)


def _needle(message: Message) -> tuple[Act, ...]:
    """A word of the needle: told, or denied."""
    denied = message.has(*acts.DENIES)
    return (NotYetSaid(about="injected", of_fish=message.tags) if denied else Injection(tags=message.tags),)


def _step(message: Message) -> tuple[Act, ...]:
    return (StepSaid((message.any_of("step_noun") or "").replace("_", "-")),)


HINTS: tuple[Hint, ...] = (
    _hint("pronoun_one.that", why="ambiguous_intent")(lambda _: ()),
    _hint("hint.cancel", why="ambiguous_intent", strangers=0)(lambda _: (Cancel(),)),
    _hint("hint.cold", why="ambiguous_intent")(lambda _: (Trouble("cold"),)),
    _hint("hint.die", why="ambiguous_intent", strangers=FEW)(lambda m: (Death(m.tags),)),
    _hint("noun.eggs", "count.bad")(lambda _: (Fertilised(),)),
    _hint("step_noun.fertilise step_noun.rinse", why="ambiguous_intent")(_step),
    _hint("cue.fertilised")(lambda _: (Fertilised(),)),
    _hint("cue.hatched noun.larvae")(lambda _: (Hatched(),)),
    _hint("hint.strip noun.eggs")(lambda m: (Strip(_eggs(m)),)),
    _hint(LOOKS, why="ambiguous_intent", strangers=0)(lambda m: (Strip(_eggs(m)),)),
    _hint("hint.inject", why="ambiguous_intent")(_needle),
    _hint("say.later")(lambda _: (Snooze(USUAL_SNOOZE),)),
    _hint("hint.fish")(lambda _: (Weigh(),)),
)
