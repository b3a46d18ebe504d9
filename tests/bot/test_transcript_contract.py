"""Every line the bot prints keeps to the tables of the play contract, and the tables keep to the code."""

from __future__ import annotations

import copy
import dataclasses
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pytest

from bot import knowledge
from core import reminders
from core.records import Bell, StepKey
from core.replies import Fact
from core.runs import ALWAYS, WAYS, Step
from tests.bot import contract
from tests.bot.contract import breaches, ringing_breaches
from tests.bot.playing import bells, night, scripts, transcript_of

Spoil = Callable[[dict[str, Any]], object]
SCRIPTS = pytest.mark.parametrize("path", scripts(), ids=lambda path: path.stem)
STEPS: list[Step] = [*ALWAYS, *(step for way in WAYS.values() for step in way)]
FACTS: dict[str, Any] = {fact.kind: fact for fact in get_args(Fact)}


@SCRIPTS
def test_every_line_of_a_script_keeps_to_the_contract(path: Path) -> None:
    transcript = transcript_of(path)
    assert transcript
    assert [fault for line in transcript for fault in breaches(line)] == []


@SCRIPTS
def test_every_attempt_of_a_bell_rings_once_in_its_turn(path: Path) -> None:
    assert ringing_breaches(transcript_of(path)) == []


@SCRIPTS
def test_each_caution_is_said_once_a_run(path: Path) -> None:
    said = [
        (line["facts"]["farm"], line["chat"], line["facts"].get("run"), caution)
        for line in transcript_of(path)
        for caution in line["facts"].get("cautions", ())
    ]
    assert len(said) == len(set(said))


def test_the_scripts_show_every_kind_of_the_contract() -> None:
    seen = {line["kind"] for path in scripts() for line in transcript_of(path)}
    assert set(contract.KINDS) <= seen


# The tables and the code ----------------------------------------------------------------------------------


def test_the_table_has_every_kind_in_kebab_case() -> None:
    assert set(contract.KINDS) == set(FACTS)
    assert all(re.fullmatch("[a-z]+(-[a-z]+)*", kind) for kind in contract.KINDS)


@pytest.mark.parametrize("kind", contract.KINDS)
def test_each_kind_of_the_contract_has_its_facts(kind: str) -> None:
    fields = {field.name for field in dataclasses.fields(FACTS[kind])}
    assert set(contract.KINDS[kind].split()) <= fields


def test_no_step_has_a_bell_that_the_contract_does_not_name() -> None:
    of_runs, of_the_book = {step.name for step in STEPS if step.due}, set(reminders.BOOK_STEPS)
    assert of_runs | {"trial"} | of_the_book == contract.STEPS - contract.WITHOUT_A_BELL
    assert {step.name for step in STEPS if not step.due} == contract.WITHOUT_A_BELL


@pytest.mark.parametrize("step", [step for step in STEPS if step.due], ids=lambda step: step.name)
def test_a_step_rings_as_often_and_as_far_apart_as_the_contract_says(step: Step) -> None:
    bell = Bell(1, StepKey(step.name), contract.ANY_TIME, step.wakes, step.once)
    assert reminders.attempts(bell) == contract.ATTEMPTS[contract.step_class(step.name)]


def test_the_cards_bear_the_slugs_of_the_contract() -> None:
    assert set(knowledge.cards()) <= contract.SPECIES | contract.TOLD_APART


# The check finds what is wrong ----------------------------------------------------------------------------


def _line(kind: str) -> dict[str, Any]:
    script = "orders" if kind == "order-plan" else "catfish-stripped"
    return copy.deepcopy(next(line for line in night(script) if line["kind"] == kind))


def _bell(step: str) -> dict[str, Any]:
    return copy.deepcopy(bells(night("catfish-stripped"), step)[0])


def _without(key: str) -> Spoil:
    return lambda line: line["facts"].pop(key)


def _facts(**values: Any) -> Spoil:
    return lambda line: line["facts"].update(values)


def _set(**values: Any) -> Spoil:
    return lambda line: line.update(values)


def _told(**values: Any) -> Spoil:
    return lambda line: line["reminder"].update(values)


def _button(action: str, label: str = "go") -> Spoil:
    return lambda line: line["buttons"].append({"action": action, "label": label})


PLANTED: list[tuple[str, Spoil, str]] = [
    ("strip-forecast", _set(extra=1), "keys are"),
    ("strip-forecast", _set(kind="strip_forecast"), "unknown kind strip_forecast"),
    ("strip-forecast", _set(at="2026-06-01T20:33:00.250000+06:00"), "not to the second"),
    ("strip-forecast", _set(at="2026-06-01T14:33:00+00:00"), "not in the chat's offset"),
    ("strip-forecast", _facts(latest_at="2026-06-02T04:30:00Z"), "not to the second"),
    ("strip-forecast", _facts(latest_at="10:30"), "is no time"),
    ("strip-forecast", _without("give_up_at"), "lacks give_up_at"),
    ("strip-forecast", _without("farm"), "lacks farm"),
    ("strip-forecast", _facts(basis="memory"), "no list of source ids"),
    ("strip-forecast", _facts(celsius_source="felt"), "celsius_source is 'felt'"),
    ("strip-forecast", _facts(Celsius=27.0), "not snake_case"),
    ("strip-forecast", _facts(first_look_at="2026-06-02T04:00:00+06:00"), "first look"),
    ("strip-forecast", _facts(latest_at="2026-06-02T01:00:00+06:00"), "out of order"),
    ("strip-forecast", _facts(preparation="some brand"), "preparation is"),
    ("strip-forecast", _set(to=7), "to is 7"),
    ("strip-forecast", _set(text=""), "no text"),
    ("strip-forecast", _set(text="First look <b>soon</b>."), "markup"),
    ("strip-forecast", _set(text="First look **soon**."), "markup"),
    ("strip-forecast", _set(text="First look \u2068soon\u2069."), "markup"),
    ("strip-forecast", _set(text="First look 04:44."), "no facts: ['04:44']"),
    ("strip-forecast", _set(text="About 7 hours."), "no facts: ['7']"),
    ("strip-forecast", _button("press-me"), "unknown action press-me"),
    ("strip-forecast", _button("answer"), "unknown action answer"),
    ("strip-forecast", _button("answer:"), "unknown action answer:"),
    ("strip-forecast", _button("answer:-10"), "two buttons answer:-10"),
    ("strip-forecast", _button("skip", " "), "a button is"),
    ("dose-sheet", _facts(species="catfish"), "species is 'catfish'"),
    ("dose-sheet", _facts(warnings=["one_male"]), "not kebab-case: 'one_male'"),
    ("dose-sheet", lambda line: line["facts"]["fish"][0].pop("drawn_ml"), "lacks drawn_ml"),
    ("dose-sheet", lambda line: line["facts"]["fish"][0]["shots"][0].pop("unit"), "lacks unit"),
    ("dose-sheet", lambda line: line["facts"]["fish"][0].update(priming_ml=0.1), "has a priming_ml"),
    ("plan", lambda line: line["facts"]["times"][0].pop("at"), "lacks at"),
    ("result", _facts(state="finished"), "state is 'finished'"),
    ("eggs", lambda line: line["facts"]["fish"][0].pop("quality"), "lacks quality"),
    ("order-plan", lambda line: line["facts"]["need"].pop("eggs"), "lacks eggs"),
    (
        "order-plan",
        lambda line: line["facts"]["night"].update(eggs_at="2027-06-02T01:00:00+06:00"),
        "of order",
    ),
]
PLANTED_BELLS: list[tuple[str, Spoil, str]] = [
    ("check-females", _told(note=""), "reminder has the keys"),
    ("check-females", _told(step="look"), "unknown step look"),
    ("check-females", _told(step="spread"), "unknown step spread"),
    ("check-females", _told(attempt=7), "attempt 7"),
    ("check-females", _told(attempt=0), "attempt 0"),
    ("check-females", _told(due="2026-06-02T04:40:00+06:00"), "before its time"),
    ("check-females", _told(group="2"), "its facts differ"),
    ("check-females", _set(kind="noted"), "a bell is of kind noted"),
    ("check-hatch", _told(attempt=3), "attempt 3"),
    ("all-well", _told(attempt=2), "attempt 2"),
    ("all-well", _told(due="2026-06-01T19:00:00+06:00"), "all-well at"),
]


@pytest.mark.parametrize(("kind", "spoil", "fault"), PLANTED, ids=[fault for *_, fault in PLANTED])
def test_a_spoiled_line_is_found_out(kind: str, spoil: Spoil, fault: str) -> None:
    line = _line(kind)
    assert breaches(line) == []
    spoil(line)
    assert any(fault in found for found in breaches(line)), breaches(line)


@pytest.mark.parametrize(
    ("step", "spoil", "fault"), PLANTED_BELLS, ids=[fault for *_, fault in PLANTED_BELLS]
)
def test_a_spoiled_bell_is_found_out(step: str, spoil: Spoil, fault: str) -> None:
    line = _bell(step)
    assert breaches(line) == []
    spoil(line)
    assert any(fault in found for found in breaches(line)), breaches(line)


def test_a_bell_that_rings_twice_or_at_a_wrong_distance_is_found_out() -> None:
    first, second = bells(night("catfish-stripped"), "check-females")[:2]
    moved = {**second, "at": second["facts"]["due_at"].replace(":30:00", ":35:00")}
    assert ringing_breaches([first, second]) == []
    assert ringing_breaches([first, first]) != []
    assert ringing_breaches([second]) != []
    assert ringing_breaches([first, moved]) != []
    assert ringing_breaches([second, first]) != []
