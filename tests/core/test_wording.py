"""Words of every fact: complete, without invented numbers, and as the farmer would read them.

The golden files hold what is said, a file a kind. After a wanted change write them anew with
`python -m tests.core.test_wording`, and read what changed.
"""

from __future__ import annotations

import ast
import re
import time
from collections import defaultdict
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

import core.wording
from core.commands import Nothing
from core.errors import HatchError
from core.records import Mark
from core.replies import Button, Fact, Noted, Reply, StepDue
from core.runs import ALWAYS, WAYS
from core.species import Card
from core.wording import NoWords, Wording
from tests.core.saying import (
    ACTS,
    BUTTONS,
    CATFISH,
    EVENING,
    FORECAST,
    FTL,
    IDS,
    INJECT_PLAN,
    LOOK,
    NIGHT,
    PICKS,
    READINGS,
    REPLIES,
    WORDING,
    ZONE,
    at,
    codes,
    entries,
    names_of,
    numbers_not_in_facts,
)

GOLDEN = Path(__file__).parent / "golden"
SOURCES = sorted(Path(core.wording.__file__).parent.glob("*.py"))
LONG_KINDS = {"dose-sheet", "plan", "help", "source", "trouble", "bath", "given", "status"}
LONG_STEPS = {"get-ready", "fertilise", "inject", "prime"}


def say(reply: Reply, now: datetime = EVENING) -> str:
    return WORDING.say(reply, lang="en", zone=ZONE, now=now)


def label(button: Button) -> str:
    return WORDING.label(button, lang="en", zone=ZONE, now=EVENING)


def faults() -> dict[str, HatchError]:
    return {
        code: HatchError(code, **{name: name.upper() for name in IDS[f"fault-{code}"]})
        for code in codes("fault")
    }


@cache
def golden() -> dict[str, str]:
    """All golden texts by file name: every sample under its name."""
    files: dict[str, list[str]] = defaultdict(list)
    for name, reply in REPLIES.items():
        kind = "caution" if reply.cautions and isinstance(reply.fact, Noted) else reply.fact.kind
        files["asks" if reply.asks and isinstance(reply.fact, Noted) else kind].append(
            f"[{name}]\n{say(reply)}\n"
        )
    files["buttons"] = [f"{code}: {label(button)}\n" for code, button in BUTTONS.items()]
    files["readings"] = [f"{said.kind}: {WORDING.describe(said, 'en')}\n" for said in READINGS]
    files["faults"] = [f"{code}: {WORDING.fault(error, 'en')}\n" for code, error in faults().items()]
    inner = {"buttons", "readings", "faults"}
    return {name: ("" if name in inner else "\n").join(parts) for name, parts in files.items()}


# Complete -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fact", get_args(Fact))
def test_every_fact_has_words(fact: type[Fact]) -> None:
    said = [say(reply) for reply in REPLIES.values() if type(reply.fact) is fact]
    assert said
    assert all(said)


@pytest.mark.parametrize("act", ACTS)
def test_every_reading_can_stand_on_a_button(act: type) -> None:
    known = {type(said) for said in READINGS}
    assert act in known or f"describe-act-{act.kind.replace('_', '-')}" in IDS  # type: ignore[attr-defined]


def test_every_step_of_the_ways_has_words() -> None:
    for way, steps in WAYS.items():
        for step in (*steps, *ALWAYS):
            bell = StepDue(step.name, EVENING, 1, "", "african-catfish", way, "", "", "")
            assert say(Reply(bell))


def test_every_mark_and_species_has_words() -> None:
    assert {f"mark-{mark}" for mark in core.wording.voice.MARKS.values()} <= set(IDS)
    assert set(core.wording.voice.MARKS) == set(get_args(Mark))
    assert Card.__name__  # cards are read elsewhere; the slugs stand in the contract of the reader
    slugs = (
        "common-carp african-catfish walking-catfish rohu catla mrigal grass-carp silver-carp bighead-carp "
        "striped-catfish silver-barb stinging-catfish"
    )
    assert set(slugs.split()) == set(codes("species"))


# The texts ----------------------------------------------------------------------------------------------


def test_ftl_parses_whole_and_each_id_once() -> None:
    found = [each.id.name for each in entries()]
    assert len(found) == len(set(found))
    assert "Junk" not in {type(each).__name__ for each in core_body()}


def core_body() -> list[object]:
    from fluent.syntax import FluentParser

    return list(FluentParser().parse(FTL).body)


def test_no_digit_in_any_sentence() -> None:
    for line in FTL.splitlines():
        sentence = re.sub(r"^[a-z][\w-]* =", "", line)
        assert line.startswith("#") or not re.search(r"\d", sentence), line


def traced() -> Wording:
    """The same texts, but each says its own name and then its values."""
    lines = []
    for message in entries():
        names = names_of(message)
        values = "".join(f"{{ ${name} }}" for name in dict.fromkeys(names.values))
        others = "".join(f"{{ {name} }}" for name in names.texts)
        lines.append(f"{message.id.name} = <{message.id.name}>{values}{others}")
    return Wording({"en": "\n".join(lines)})


def test_every_text_is_used() -> None:
    wording = traced()
    said = [
        wording.say(reply, lang="en", zone=ZONE, now=EVENING, farm_name="Ana") for reply in REPLIES.values()
    ]
    said += [wording.label(button, lang="en", zone=ZONE, now=EVENING) for button in BUTTONS.values()]
    said += [wording.describe(reading, "en") for reading in READINGS]
    said += [f"<describe-act-{act.kind.replace('_', '-')}>" for act in ACTS]  # each exists: see above
    said += [f"<species-{slug}><step-{step}>" for slug in codes("species") for step in codes("step")]
    said += [wording.fault(error, "en") for error in (*faults().values(), HatchError("never-heard-of"))]
    assert set(IDS) - set(re.findall(r"<([a-z][\w-]*)>", " ".join(said))) == set()


def test_no_sentence_in_the_code() -> None:
    for source in SOURCES:
        tree = ast.parse(source.read_text(encoding="utf-8"))
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
                known = (*get_args(Mark), "EEE HH:mm")
                assert node.value in known or not re.search(r"[A-Za-z]{2} +[A-Za-z]", node.value), node.value


# Numbers and times --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", REPLIES)
def test_every_number_is_a_fact(name: str) -> None:
    assert numbers_not_in_facts(say(REPLIES[name]), REPLIES[name], ZONE) == []


@pytest.mark.parametrize("button", [*BUTTONS.values(), *PICKS], ids=lambda each: each.label)
def test_every_number_of_a_button_is_a_value_of_it(button: Button) -> None:
    assert numbers_not_in_facts(label(button), button, ZONE) == []


def test_the_check_on_numbers_finds_strange_ones() -> None:
    assert numbers_not_in_facts("F1 2.4 kg: 1.3 mL, F9 at 04:46", Reply(CATFISH), ZONE) == [
        "04:46",
        "1.3",
        "9",
    ]
    transcript = {"at": "2026-11-26T04:45:00+06:00", "n": 46800, "late_minutes": 130, "fish": [{"tag": "F1"}]}
    assert numbers_not_in_facts("04:45, Thu 04:45: 46,800 of F1, 2 h 10 min, Nov 26", transcript) == []
    assert numbers_not_in_facts("3 h, 2 h 11 min, Nov 27", transcript) == ["Nov 27", "3", "2", "11"]


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0, "21:45"),
        (20, "17:45"),
        (20.1, "Thu 17:51"),
        (-12, "09:45"),
        (-12.1, "Wed 09:39"),
        (24 * 7, "Dec 2 21:45"),
    ],
)
def test_the_day_is_named_only_where_needed(hours: float, said: str) -> None:
    note = Noted("plan", at=EVENING + timedelta(hours=hours))
    assert say(Reply(note)) == f"Agreed: inject at {said}."


def test_times_are_of_the_farms_clock() -> None:
    note = Reply(Noted("plan", at=at("04:45", 1)))
    assert WORDING.say(note, lang="en", zone=UTC, now=EVENING) == "Agreed: inject at 22:45."


@pytest.mark.parametrize(
    ("value", "said"),
    [(46800.0, "46,800 eggs per gram"), (640.5, "640.5 eggs per gram"), (640.0, "640 eggs per gram")],
)
def test_numbers_as_people_write_them(value: float, said: str) -> None:
    assert said in say(Reply(Noted("egg-count", number=value)))


# What must be said --------------------------------------------------------------------------------------


def test_the_words_that_were_agreed() -> None:
    assert say(Reply(FORECAST)).splitlines() == [
        "Injected 21:40, right?",
        "First look 04:45. Most give 05:30-08:00. After 10:30 unlikely.",
        "Water assumed 27 C: nobody told.",
    ]
    assert say(Reply(INJECT_PLAN)) == "Inject 20:30, first look 04:45. OK?"
    assert say(Reply(NIGHT)).endswith("Set your phone alarm for 04:40 too.")
    assert label(BUTTONS["start"]) == "Start: African catfish, bottle 20 ug + 10 mg per mL"
    assert "F1 2.4 kg: 1.2 mL" in say(Reply(CATFISH)).splitlines()
    assert "LATE by 2 h 10 min." in say(REPLIES["late"])
    assert "Again: Look at the females now: F1, F2. Press once, gently" in say(REPLIES["late"])
    several = Reply(REPLIES["noted kept Ana"].fact)
    assert say(several) == "Kept as it was."
    assert "82 %, roughly 76-87" in say(REPLIES["fertilised"])


def test_order_fact_cautions_question() -> None:
    reply = REPLIES["forecast with water asked"]
    blocks = WORDING.blocks(reply, lang="en", zone=ZONE, now=EVENING, farm_name="Upper ponds")
    assert (blocks[0], blocks[-1]) == ("Upper ponds:", "And the water now?")
    assert blocks[-2].startswith("A chat message wakes no sleeper")
    look = WORDING.blocks(REPLIES["look with a caution"], lang="en", zone=ZONE, now=EVENING)
    assert look[-1] == "No second dose tonight, whatever happens."
    hatch = Reply(REPLIES["bell check-hatch"].fact, cautions=("never-bath-larvae",))
    assert say(hatch).splitlines()[-1] == "How many hatched, of how many? Or not yet?"
    asked = Reply(hatch.fact, cautions=hatch.cautions, asks="how-many-hatched")
    assert say(asked).splitlines()[-1] == "How many hatched, of how many?"


@pytest.mark.parametrize("name", [n for n, r in REPLIES.items() if r.fact.kind not in LONG_KINDS])
def test_short_enough_for_three_in_the_morning(name: str) -> None:
    reply = REPLIES[name]
    if reply.cautions or (isinstance(reply.fact, StepDue) and reply.fact.step in LONG_STEPS):
        return
    assert len(say(reply).split()) <= 45


@pytest.mark.parametrize("button", [*BUTTONS.values(), *PICKS], ids=lambda each: each.label)
def test_a_label_fits_a_telephone(button: Button) -> None:
    assert "\n" not in label(button)
    assert len(label(button)) <= 80


def test_trouble_is_three_lines() -> None:
    troubles = [say(reply) for reply in REPLIES.values() if reply.fact.kind == "trouble"]
    assert {len(text.splitlines()) for text in troubles} == {3}


def test_nothing_promises_or_clears() -> None:
    assert not re.search(r"window closes|exactly|safe to eat|guarantee", FTL)


# Languages and faults -----------------------------------------------------------------------------------


@pytest.mark.parametrize("lang", ["en", "en-GB", "EN_us", "zz", "", "bn-BD"])
def test_an_unknown_language_is_answered_in_english(lang: str) -> None:
    assert WORDING.say(Reply(INJECT_PLAN), lang=lang, zone=ZONE, now=EVENING) == say(Reply(INJECT_PLAN))


def test_a_language_takes_its_own_numbers_and_falls_back_text_by_text() -> None:
    german = Wording({"en": FTL, "de": "dose-ml = { $ml } Milliliter\n"})
    text = german.say(Reply(CATFISH), lang="de-AT", zone=ZONE, now=EVENING)
    assert "F1 2,4 kg: 1,2 Milliliter" in text
    assert "waste included" in text


def test_what_has_no_words_is_an_error() -> None:
    with pytest.raises(NoWords) as caught:
        say(Reply(Noted("never-heard-of")))
    assert caught.value.params == {"id": "noted-never-heard-of", "lang": "en"}
    with pytest.raises(NoWords):
        say(Reply(LOOK, cautions=("never-heard-of",)))
    with pytest.raises(NoWords):
        label(Button("x", Nothing(), "kg"))
    with pytest.raises(NoWords):
        Wording({"de": FTL})


def test_faults_are_one_line_and_never_fail() -> None:
    for error in faults().values():
        assert "\n" not in WORDING.fault(error, "en")
    assert (
        WORDING.fault(HatchError("never-heard-of", line=3), "en")
        == "Something is wrong: never-heard-of (line=3)."
    )
    assert WORDING.fault(HatchError("bad-percent"), "en") == "Something is wrong: bad-percent."
    assert WORDING.fault(HatchError("unknown-syringe", ml=3.0, known=(1.0, 2.0)), "en") == (
        "no syringe of 3.0 mL; known are: 1.0; 2.0"
    )


def test_a_thousand_messages_are_quick() -> None:
    begun = time.perf_counter()
    for _ in range(1000):
        say(Reply(CATFISH))
    assert time.perf_counter() - begun < 3


# As the farmer reads it ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", golden())
def test_golden(name: str) -> None:
    assert (GOLDEN / f"{name}.txt").read_text(encoding="utf-8") == golden()[name]


def test_no_golden_file_is_left_over() -> None:
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(golden())


if __name__ == "__main__":
    for stem, written in golden().items():
        (GOLDEN / f"{stem}.txt").write_text(written, encoding="utf-8")
