"""The farm and its habits, trouble, and the small talk around the work."""

from __future__ import annotations

import dataclasses
from zoneinfo import available_timezones

from core import commands as say
from core import reminders
from core.assistant.answering import step_done
from core.assistant.talk import Talk
from core.assistant.windows import say_coming
from core.records import Run, StepKey, Told, TrialAsked
from core.replies import Ask, HelpText, Noted, TroubleHelp
from core.runs import looks_open

QUARTER_MINUTES = 15


def help_text(talk: Talk, said: say.Help | say.Begin) -> None:
    """What to type."""
    talk.say(HelpText(welcome=isinstance(said, say.Begin)))


def greeting(talk: Talk, said: say.Greeting) -> None:
    """A greeting is answered with what can be told, or, while a run is open, with what comes next."""
    if any(run.state == "open" for run in talk.live()):
        say_coming(talk)
    else:
        talk.say(HelpText(welcome=not talk.desk.rows))


def zone(talk: Talk, said: say.Zone) -> None:
    """The farm's own time: a zone by name, or the clock on the wall. Words change, stored bells do not."""
    if said.place:
        name = _zone_named(said.place)
        if name is None:
            talk.expect("zone")
            talk.say(Ask("zone", "unknown-zone", words=said.place))
            return
        talk.change_farm(dataclasses.replace(talk.farm, zone=name, clock_told=True))
    elif said.clock:
        offset = _offset(talk, said.clock)
        talk.change_farm(dataclasses.replace(talk.farm, zone=None, offset_minutes=offset, clock_told=True))
    talk.say(Noted("zone", at=talk.desk.said_at, word=said.place or ""))


def _zone_named(place: str) -> str | None:
    """A zone of the tz database by its name ("Africa/Lagos"), however it is written."""
    wanted = place.strip().replace(" ", "_").casefold()
    return next((name for name in sorted(available_timezones()) if name.casefold() == wanted), None)


def _offset(talk: Talk, clock: str) -> int:
    """Minutes east of UTC at which a wall shows that clock, to the quarter of an hour, -12..+12 h."""
    hour, minute = (int(part) for part in clock.split(":"))
    utc = talk.desk.said_at
    minutes = hour * 60 + minute - (utc.hour * 60 + utc.minute)
    rounded = round(minutes / QUARTER_MINUTES) * QUARTER_MINUTES
    return (rounded + 12 * 60) % (24 * 60) - 12 * 60


def bath_habit(talk: Talk, said: say.SetBathHabit) -> None:
    """How the farm bathes its eggs, or that it does not: asked once, then followed."""
    talk.change_farm(dataclasses.replace(talk.farm, bath_habit=said.habit))
    cautions = talk.once(said.run_number, "bath-before-water") if said.habit == "before-water" else ()
    talk.say(Noted("bath-habit", word=said.habit), cautions=cautions)
    if said.habit == "after-swelling" and said.run_number:
        run = talk.run(said.run_number)
        step_done(talk, run, StepKey("disinfect", batch=said.batch), talk.desk.said_at)


def trouble(talk: Talk, said: say.Trouble) -> None:
    """Power, air, water, cold, smell or fungus: three lines, before all else; kept with the run."""
    live = [run for run in talk.live() if run.state == "open"]
    for run in live if talk.desk.role != "reader" else ():
        talk.tell(run.number, Told("trouble", said.what))
    talk.say(TroubleHelp(said.what, _stage(live[-1]) if live else "none"))


def _stage(run: Run) -> str:
    if any(batch.hatched for batch in run.batches):
        return "larvae"
    if run.batches:
        return "eggs"
    return "brood" if run.groups and any(looks_open(run, group) for group in run.groups) else "ready"


def kept_with_run(talk: Talk, what: str, text: str, amount: float | None = None) -> None:
    """A note, a photo, larvae sold: kept with the run that is open, else with the farm's talk alone."""
    live = [run for run in talk.live() if run.state == "open"]
    if live:
        talk.tell(live[-1].number, Told(what, text, amount))
    talk.say(
        Noted(what, live[-1].number if live else 0, talk.called(live[-1]) if live else "", number=amount)
    )


def trial(talk: Talk, said: say.TrialBell) -> None:
    """A bell in a minute, that only asks whether it is heard."""
    run = talk.run(said.run_number)
    event = talk.tell(run.number, TrialAsked())
    talk.say(Noted("trial", run.number, talk.called(run), at=event.said_at + reminders.TRIAL_AFTER))


def ask_again(talk: Talk, said: say.AskAgain) -> None:
    """A button that makes the chat ask: the next bare number or word is its answer."""
    if said.about == "act-time":
        talk.expect("injected", said.run_number, hours=1, events=said.events)
        talk.say(Ask("time", "act-time", said.run_number))
        return
    talk.expect(said.about, said.run_number, hours=1)
    talk.say(Ask(said.about, "asked", said.run_number))


def nothing(talk: Talk, said: say.Nothing) -> None:
    """ "No" where nothing follows."""
    talk.say(Noted("no-change", word=said.about, at=talk.desk.said_at))
