"""The facts of one step of a run: what its bell says, and what is said of it without a bell."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

from core import eggs, forecasts, reminders
from core.assistant.doses import lines_by_tag, makings_of, water_outside
from core.assistant.injecting import doubts_of, shot_of
from core.assistant.talk import Talk
from core.assistant.windows import strip_view
from core.dosing import DoseLine
from core.records import Group, Run, StepKey, Which
from core.replies import StepDue
from core.runs import LOOKS, batch_of, group_of, unsettled
from core.timing import HOUR


def step_fact(talk: Talk, run: Run, key: StepKey, due: datetime, **bell: Any) -> StepDue:
    """The step's facts; `bell` holds those of a bell alone (`attempt`, `late_minutes`, `next_at`)."""
    card = talk.card(run)
    group, batch = group_of(run, key.group), batch_of(run, key.batch)
    return StepDue(
        step=key.step,
        due_at=due,
        run=run.number,
        called=talk.part_called(run, key),
        species=run.species,
        way=run.way,
        group=key.group,
        batch=key.batch,
        place=(batch.place if batch else "") or (group.place if group else ""),
        look=key.look,
        bell=bool(bell),
        stickiness=card.sticky,
        stage=card.count_stage,
        destick_with="" if card.destick_minutes is None else card.destick_minutes.note,
        male_cut=card.male_cut,
        bath_order=talk.farm.bath_habit,
        live_food=card.live_food_lead_hours is not None,
        **_details(talk, run, key, due),
        **bell,
    )


def _details(talk: Talk, run: Run, key: StepKey, due: datetime) -> dict[str, Any]:
    """What only some steps tell."""
    group, batch = group_of(run, key.group), batch_of(run, key.batch)
    if key.step in LOOKS and group is not None:
        waited = unsettled(run, group.name)
        tags = tuple(fish.tag for fish in waited) if run.way == "stripped" else group.tags
        running = tuple(fish.tag for fish in waited if fish.state == "running")
        return {"tags": tags, "running": running, "last": _is_last(talk, run, key, due)}
    if key.step == "collect-eggs":
        figure = talk.card(run).firm_hours
        hours = reminders.eggs_firm_after(talk.card(run)) / HOUR
        return {"after_hours": hours, "rule": figure.mark if figure else "our-own"}
    if key.step in ("inject", "prime"):
        which: Which = "priming" if key.step == "prime" else "resolving"
        doses = _doses(talk, run, group, which)
        return {
            "doses": doses,
            "makings": makings_of(talk, run, which == "priming"),
            "outside": water_outside(talk, run, group.place if group else None),
            "doubts": tuple(doubts_of(talk, run, doses, which)),
        }
    if key.step == "fertilise" and batch is not None:
        grams = sum(one.grams or 0 for one in batch.eggs)
        return {"milt_ml": eggs.milt_ml(grams, talk.card(run)) if grams else None}
    if key.step == "disinfect":
        return {"minutes": reminders.BATH_MINUTES}
    if key.step == "check-water":
        return {"celsius": forecasts.celsius_now(run, group.place if group else "", talk.card(run))[0]}
    if key.step == "strip":
        return {"tags": tuple(fish.tag for fish in unsettled(run, key.group) if fish.state == "running")}
    return {}


def _is_last(talk: Talk, run: Run, key: StepKey, due: datetime) -> bool:
    group = group_of(run, key.group)
    view = strip_view(talk, run, group) if group else None
    return view is not None and due >= view.give_up_at


def _doses(talk: Talk, run: Run, group: Group | None, which: Which) -> tuple[DoseLine, ...]:
    """Who gets something at this injection, of one group where that is named: a fish of one dose has it with
    the final one."""
    lines = lines_by_tag(talk, run)
    shots = [
        (lines[fish.tag], shot_of(lines[fish.tag], fish, which))
        for fish in run.fish
        if fish.tag in lines and (group is None or group.place == fish.place)
    ]
    return tuple(replace(line, shots=(shot,)) for line, shot in shots if shot is not None)
