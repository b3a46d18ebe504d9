"""Words that could mean several things, where the state of the run leaves only one of them possible.

Only acts that bear on no dose are settled so; a weight is always asked about.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from core import commands as say
from core import forecasts
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import hatch_view, strip_view
from core.records import Batch, Group, Run
from core.replies import Ask, Reply
from core.runs import batch_of, fish_named, fish_of, looks_open

EARLY_SHARE = 0.7
"""Before this share of the way to the first look, eggs are asked about. A rule of our own."""
TOLD_LATE = timedelta(hours=1)
"""Grams may be told so long after milt came on the eggs. A rule of our own."""
BEFORE_THE_NEEDLE = ("get-ready", "prime", "inject")


def settled(talk: Talk, said: say.Unclear) -> say.Act | say.ChangeRun | None:
    """The one candidate that fits how things stand; `None` where it is not one, or a dose hangs on it."""
    if said.why == "no_number":
        return _by_hand_after_all(talk, said)
    if said.why != "ambiguous_intent":
        return None
    live = [run for run in talk.live() if run.state == "open"]
    fitting = [one for one in said.candidates if any(_fits(talk, one, run) for run in live)]
    weighing = any(not run.groups and not run.batches for run in talk.live())
    if len(fitting) != 1 or isinstance(fitting[0], say.Weigh):
        return None
    if weighing and any(isinstance(one, say.Weigh) for one in said.candidates):
        return None
    return fitting[0]


def _by_hand_after_all(talk: Talk, said: say.Unclear) -> say.ChangeRun | None:
    """ "We strip them" of weighed fish that were to spawn by themselves: the way is meant, and no hour."""
    meant = bool(said.candidates) and all(
        isinstance(one, say.Plan) and one.what == "strip" for one in said.candidates
    )
    waiting = [run for run in talk.live() if not run.groups]
    if not meant or not waiting or waiting[-1].way == "stripped":
        return None
    able = "stripped" in talk.card(waiting[-1]).ways
    return say.ChangeRun(waiting[-1].number, way="stripped") if able else None


def possible(talk: Talk, said: say.Unclear) -> tuple[say.Act, ...]:
    """The candidates that can be, as things stand: no needle for fish that had theirs, no eggs before it."""
    return tuple(one for one in said.candidates if any(_can_be(one, run) for run in talk.live()))


def _can_be(one: say.Act, run: Run) -> bool:
    match one:
        case say.Injection(per_kg=float()) if run.groups:
            return True  # of those that had theirs it is how much that was
        case say.Injection():
            spoken_of = fish_named(run, one.tags) or run.fish
            return any(not fish.shots or fish.shots[-1].which == "priming" for fish in spoken_of)
        case say.Strip():
            weighed = any(each.grams and each.tag and fish_of(run, each.tag) for each in one.eggs)
            return bool(run.groups or run.batches) or weighed
        case say.EggsRunning():
            return bool(run.groups or run.batches)
        case _:
            return True


def _fits(talk: Talk, one: say.Act, run: Run) -> bool:
    match one:
        case say.Strip(eggs=eggs):
            seen = bool(eggs) and all(each.grams or each.quality for each in eggs)
            return seen and _eggs_wait(talk, run)
        case say.Temperature():
            return bool(run.groups or run.batches)
        case say.Fertilised():
            return _to_be_counted(talk, run, one.place)
        case say.Hatched():
            return _may_hatch(talk, run, one.place)
        case say.NotYetSaid(about="injected"):
            return any(fish.shots for fish in run.fish)
        case _:
            return False


def _eggs_wait(talk: Talk, run: Run) -> bool:
    return run.way == "stripped" and any(
        looks_open(run, group) and not is_early(talk, run, group) for group in run.groups
    )


def is_early(talk: Talk, run: Run, group: Group) -> bool:
    """Whether eggs of this group would come long before its first look: nobody strips then."""
    if group.final_at is None or group.running_at is not None:
        return False
    view = strip_view(talk, run, group)
    if view is None:
        return False
    first = view.window.earliest
    return talk.said_at < group.final_at + (first - group.final_at) * EARLY_SHARE


def _to_be_counted(talk: Talk, run: Run, place: str | None) -> bool:
    begun = [batch for batch in run.batches if forecasts.start(run, batch, talk.card(run))]
    return any(not _was_told(batch, "fertilised", place) and not batch.hatched for batch in begun)


def _may_hatch(talk: Talk, run: Run, place: str | None) -> bool:
    left = [batch for batch in run.batches if not _was_told(batch, "hatched", place)]
    return any(_is_near_hatching(talk, run, batch, place) for batch in left)


def _is_near_hatching(talk: Talk, run: Run, batch: Batch, place: str | None) -> bool:
    if _was_told(batch, "fertilised", place) or batch.hatched is not None:
        return True
    view = hatch_view(talk, run, batch)
    return view is None or view.window.earliest <= talk.said_at


def _was_told(batch: Batch, stage: str, place: str | None) -> bool:
    """Whether a batch was counted: the jar that is named, or the whole."""
    counted = {count.place.casefold() for count in batch.counts if count.stage == stage}
    return bool(counted & {"", place.casefold()}) if place else bool(counted)


def check_step_order(talk: Talk, run: Run, step: str, batch: str, at: datetime) -> None:
    """A step comes after the injection, and milt about when there were eggs: other hours are asked about."""
    if step not in BEFORE_THE_NEEDLE:
        check_after_needle(talk, run, at)
    eggs = batch_of(run, batch)
    begun = eggs.begun_at if eggs is not None and step == "fertilise" else None
    if begun is not None and at < begun - TOLD_LATE:
        raise AskFirst(Reply(Ask("time", "milt-before-eggs", run.number, talk.called(run), at=at)))


def check_after_needle(
    talk: Talk, run: Run, at: datetime, *, group: str = "", tags: Sequence[str] = ()
) -> None:
    """No eggs come before the injection: an hour that says so is asked about."""
    groups = {fish.group for fish in fish_named(run, tags)} or ({group} if group else set())
    needles = [each.first_at for each in run.groups if each.name in groups or not groups]
    if needles and at < min(needles):
        raise AskFirst(Reply(Ask("time", "before-needle", run.number, talk.called(run), at=at)))
