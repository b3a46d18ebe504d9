"""Commands with a slash, and messages that are one set phrase: done, not yet, help, hello."""

from __future__ import annotations

from core.commands import (
    Begin,
    Cancel,
    Finished,
    Greeting,
    Help,
    NotYetSaid,
    Question,
    Reading,
    Snooze,
    Temperature,
    Undo,
    Why,
)
from core.reading.message import Message, breaks

SAID: dict[str, Reading] = {
    "done": Finished(),
    "not_yet": NotYetSaid(),
    "cancel": Cancel(),
    "help": Help(),
    "greeting": Greeting(),
    "undo": Undo(),
    "start": Begin(),
    "why": Why(),
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
}
COURTESY = "greeting"
LONGEST_SNOOZE = 24 * 60


def command(text: str) -> Reading | None:
    """A command of the messenger, read before all grammar: /start, /help@name."""
    if not text.startswith("/"):
        return None
    words = text.split(maxsplit=1)
    return COMMANDS.get(words[0].partition("@")[0].casefold()) if words else None


def phrase(message: Message) -> Reading | None:
    """What a message says that is made of set phrases and courtesies alone."""
    said: list[str] = []
    for item in message.items:
        key = item.one_of("say")
        if key is not None:
            said.append(key)
        elif not (item.kind == "sign" or breaks(item) or item.one_of("filler")):
            return None
    meant = [key for key in dict.fromkeys(said) if key != COURTESY]
    if len(meant) > 1:
        return None
    key = meant[0] if meant else COURTESY if said else ""
    return SAID.get(key)


def snooze(message: Message) -> Reading | None:
    """Ask again later, in so many minutes."""
    spans = message.kinds("span")
    if message.context.awaiting == "snooze" and not spans and len(message.bare()) == 1:
        return Snooze(message.bare()[0].value)
    if not message.has("cue.later"):
        return None
    minutes = [item.value for item in spans] or [item.value for item in message.bare() if item.whole]
    if len(minutes) == 1 and 0 < minutes[0] <= LONGEST_SNOOZE:
        return Snooze(minutes[0])
    return None


def no_thermometer(message: Message) -> Reading | None:
    """ "No thermometer", and "don't know" where the water was asked for."""
    if message.has("cue.no_thermometer"):
        return Temperature(unknown=True)
    if message.has("cue.unknown") and message.context.awaiting == "temperature" and not message.numbers:
        return Temperature(unknown=True)
    return None
