"""Words of every fact: complete, without invented numbers, and as the farmer would read them.

The golden files hold what is said, a file a kind. After a wanted change write them anew with
`python -m tests.core.test_wording`, and read what changed.
"""

from __future__ import annotations

import ast
import dataclasses
import functools
import re
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import get_args

import pytest
from fluent.syntax import FluentParser

import core.wording
from core.assistant.cautions import CAUTIONS_AT
from core.commands import Nothing
from core.dosing import dosed_by
from core.errors import HatchError
from core.reading.talk import COMMANDS
from core.records import CountOf, Happening, Mark
from core.replies import Button, Fact, Noted, Reply, RunPaper, StepDue
from core.runs import ALWAYS, WAYS
from core.species import Card, parse_card, parse_sources
from core.wording import NoWords, Page, Wording
from core.wording.texts import Texts
from core.wording.voice import MARKS, Voice
from tests.core.cards import folder
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
    PAGES,
    PICKS,
    PICTURED,
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

DATA = Path(core.__file__).parent / "data"
SOURCES_KNOWN = parse_sources((DATA / "sources.toml").read_text(encoding="utf-8"))
GOLDEN = Path(__file__).parent / "golden"
SOURCES = sorted(Path(core.wording.__file__).parent.glob("*.py"))
LONG_KINDS = {
    "dose-sheet",
    "plan",
    "help",
    "source",
    "trouble",
    "bath",
    "given",
    "status",
    "ripe-signs",
    "order-plan",
    "imported",
    "ready-females",
    "brood-fish",
    "mates",
    "treated-fish",
    "brood-season",
    "shelf",
    "ledger",
    "result",
    "comparison",
    "female",
    "differences",
}
LONG_STEPS = {"get-ready", "fertilise", "inject", "prime"}


VOICE = Voice(Texts({"en": FTL}), "en", ZONE, EVENING)


def say(reply: Reply, now: datetime = EVENING) -> str:
    return WORDING.say(reply, lang="en", zone=ZONE, now=now)


def page_of(wording: Wording, paper: RunPaper, shows: Callable[[str], bool] = str.isascii) -> Page:
    return wording.page(paper, lang="en", zone=ZONE, now=EVENING, farm_name="Ana", shows=shows)


def label(button: Button) -> str:
    return WORDING.label(button, lang="en", zone=ZONE, now=EVENING)


def faults() -> dict[str, HatchError]:
    """Each fault with its values; each fault of a script line."""
    made = {}
    for each in codes("fault", ("fault-bad-line",)):
        made[each] = HatchError(each, **{name: name.upper() for name in IDS[f"fault-{each}"]})
    for each in codes("line"):
        more = {name: name.upper() for name in IDS[f"line-{each}"]}
        made[f"bad-line {each}"] = HatchError("bad-line", line=7, fault=each, **more)
    return made


TIMES = {f"{name}_at": "2026-11-26T05:30:00+06:00" for name in ("earliest", "likely", "latest")}
FORECAST_TOLD = {
    "species": "african-catfish",
    "what": "strip",
    "preparation": "premix",
    "celsius": 27.04,
    "earliest_hours": 8.93,
    "likely_hours": 10.7,
    "latest_hours": 14.25,
    "give_up_hours": 16.25,
    "basis": ["sharaf-2012", "okere-2015"],
    "mark": "from memory",
    "source_celsius": [20.0, 30.0],
}


def forecasts() -> list[str]:
    note = "; ".join(WORDING.note(code, "en") for code in codes("note"))
    return [
        WORDING.forecast({**FORECAST_TOLD, "note": ""}, "en"),
        WORDING.forecast({**FORECAST_TOLD, "note": note, "what": "hatch", **TIMES}, "en"),
        WORDING.forecast({**FORECAST_TOLD, "note": "", "what": "first-feed"}, "en"),
    ]


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
    files["forecast"] = [f"{each}\n" for each in forecasts()]
    inner = {"buttons", "readings", "faults", "forecast"}
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


def test_everything_that_can_be_taken_back_has_a_name() -> None:
    assert {what.kind for what in get_args(Happening)} - {"retracted"} <= set(codes("happening"))


def test_every_mark_and_species_has_words() -> None:
    assert set(MARKS) == set(get_args(Mark))
    assert {f"mark-{mark}" for mark in MARKS.values()} <= set(IDS)
    assert set(codes("species")) == set(folder().cards)


@pytest.mark.parametrize("card", folder().cards.values(), ids=lambda card: card.slug)
def test_what_takes_the_glue_off_has_its_words(card: Card) -> None:
    """Said with the milt, and again as a bell; a card that tells nothing of it has the words for any."""
    note = (card.destick_minutes.note if card.destick_minutes else "") or "any"
    assert {f"bell-then-destick-{note}", f"bell-destick-{note}"} <= set(IDS)


# What other modules say ------------------------------------------------------------------------------------


def literals(node: ast.expr | None) -> list[str]:
    """The codes that can be read off an argument."""
    if isinstance(node, ast.IfExp):
        return literals(node.body) + literals(node.orelse)
    return (
        [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value else []
    )


Called = tuple[str, dict[str | int, ast.expr]]


@functools.cache
def calls(folder: str) -> tuple[Called, ...]:
    """Every call in the modules of a folder: its name, its arguments by place and by name."""
    return tuple(
        (_name(node.func), {**dict(enumerate(node.args)), **_named(node)})
        for source in sorted((Path(core.__file__).parent.parent / folder).rglob("*.py"))
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
    )


def _name(called: ast.expr) -> str:
    return called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")


def _named(call: ast.Call) -> dict[str | int, ast.expr]:
    return {each.arg: each.value for each in call.keywords if each.arg}


CODED: dict[str, tuple[tuple[str, int | str], ...]] = {
    "Noted": (("noted", 0), ("noted", "what")),
    "Ask": (("ask-about", 0), ("ask-why", 1)),
    "Refused": (("refused", 0), ("refused", "why")),
    "Button": (("button", 2), ("button", "label")),
    "once": tuple(("caution", place) for place in range(1, 6)),
}


def test_every_code_of_the_assistant_has_words() -> None:
    wanted = set()
    for name, given in calls("core/assistant"):
        for family, place in (*CODED.get(name, ()), ("ask", "asks")):
            wanted |= {f"{family}-{code}" for code in literals(given.get(place))}
    assert "button-start" in wanted
    assert {each for each in wanted if each not in IDS and each != "button-candidate"} == set()


ERRORS = ("HatchError", "NoFigure", "CardFault", "BadRecord", "StoreFault", "ConfigFault", "TokenFault")


def test_every_error_has_words() -> None:
    wanted = set()
    for name, given in (*calls("core"), *calls("bot")):
        wanted |= {f"fault-{code}" for code in literals(given.get(0)) if name in ERRORS}
        wanted |= {f"line-{code}" for code in literals(given.get(1)) if name == "BadLine"}
    assert wanted - set(IDS) == set()


def test_every_command_of_the_menu_has_words() -> None:
    assert {name.removeprefix("/") for name in COMMANDS} == set(codes("command"))


def test_every_note_of_a_card_or_forecast_has_words() -> None:
    cards = "".join(path.read_text(encoding="utf-8") for path in DATA.glob("*.toml"))
    noted = set(re.findall(r'^note = "([a-z-]+)"', cards, re.MULTILINE))
    assert noted | {"borrowed-curve", "widened", "flat"} <= set(codes("note"))


@pytest.mark.parametrize("slug", sorted(path.stem for path in DATA.glob("*.toml") if path.stem != "sources"))
def test_every_code_of_a_card_has_words_and_every_caution_its_step(slug: str) -> None:
    """Else a card would warn of something, and nobody would ever hear it."""
    card = parse_card((DATA / f"{slug}.toml").read_text(encoding="utf-8"), SOURCES_KNOWN)
    told = [f"sign-{code}" for code in card.signs] + [f"caution-{code}" for code in card.cautions]
    told += [f"species-{slug}", *(f"stage-{code}" for code in (card.count_stage,) if code)]
    figures = [figure for rule in card.doses for figure in (dosed_by(rule)[0], rule.mg_per_kg) if figure]
    told += [f"warning-{figure.note}" for figure in figures if figure.note]
    assert set(told) - set(IDS) == set()
    assert set(card.cautions) <= {code for codes in CAUTIONS_AT.values() for code in codes}


# The texts ----------------------------------------------------------------------------------------------


def test_ftl_parses_whole_and_each_id_once() -> None:
    kinds = {type(each).__name__ for each in FluentParser().parse(FTL).body}
    assert kinds <= {"Message", "Comment", "GroupComment", "ResourceComment"}
    assert len(entries()) == len(IDS)


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


def words_of(letters: object) -> Iterator[str]:
    """Every word that stands on a picture."""
    if isinstance(letters, str):
        yield letters
    elif isinstance(letters, Mapping):
        for each in letters.values():
            yield from words_of(each)
    elif isinstance(letters, list):
        for each in letters:
            yield from words_of(each)


def test_every_text_is_used() -> None:
    wording = traced()
    said = [
        wording.say(reply, lang="en", zone=ZONE, now=EVENING, farm_name="Ana") for reply in REPLIES.values()
    ]
    said += [wording.label(button, lang="en", zone=ZONE, now=EVENING) for button in BUTTONS.values()]
    said += [wording.describe(reading, "en") for reading in READINGS]
    for shows in (str.isascii, str.isdigit):
        said += [str(page_of(wording, paper, shows)) for paper in PAGES.values()]
    said += [wording.note(code, "en") for code in codes("note")]
    said += [wording.command(name, "en") for name in codes("command")] + [wording.twin("04:45", 3, "en")]
    said += [wording.vital(code, 7, "en") for code in codes("vital")]
    said += [wording.no_picture(code, "en") for code in codes("no-picture")]
    for picture in PICTURED.values():
        letters = wording.letters(picture, lang="en", zone=ZONE, now=EVENING)
        said += [*words_of(letters["words"]), *words_of(letters["plain"])]
    for what in ("strip", "hatch", "first-feed"):
        said.append(wording.forecast({**FORECAST_TOLD, **TIMES, "note": "x", "what": what}, "en"))
    said += [f"<describe-act-{act.kind.replace('_', '-')}>" for act in ACTS]  # each exists: see above
    said += [f"<species-{slug}><step-{step}>" for slug in codes("species") for step in codes("step")]
    said += [f"<typed-{action}>" for action in codes("typed")]  # each is an action: see below
    said += [wording.fault(error, "en") for error in (*faults().values(), HatchError("never-heard-of"))]
    names = (names_of(message).values for message in entries() if message.id.name.startswith("operating-"))
    told = {name: timedelta(days=3) for values in names for name in values}
    said += [wording.operating(code, told, "en") for code in codes("operating")]
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


def test_every_number_is_a_fact() -> None:
    strange = {name: numbers_not_in_facts(say(reply), reply, ZONE) for name, reply in REPLIES.items()}
    assert {name: found for name, found in strange.items() if found} == {}


def test_every_number_of_a_button_is_a_value_of_it() -> None:
    for button in (*BUTTONS.values(), *PICKS):
        assert numbers_not_in_facts(label(button), button, ZONE) == []


def test_the_check_on_numbers_finds_strange_ones() -> None:
    assert numbers_not_in_facts("F1 2.4 kg: 1.3 mL, F9 at 04:46", Reply(CATFISH), ZONE) == [
        "04:46",
        "1.3",
        "9",
    ]
    assert numbers_not_in_facts("435-1,176 g of bowl 1", {"batch": "1", "low": 435.0, "high": 1176.0}) == []
    transcript = {"at": "2026-11-26T04:45:00+06:00", "n": 46800, "late_minutes": 130, "fish": [{"tag": "F1"}]}
    assert numbers_not_in_facts("04:45, Thu 04:45: 46,800 of F1, 2 h 10 min, Nov 26", transcript) == []
    assert numbers_not_in_facts("3 h, 2 h 11 min, Nov 27", transcript) == ["Nov 27", "3", "2", "11"]


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0, "21:45"),
        (14, "11:45"),
        (14.3, "Thu 12:03"),
        (-12.1, "09:39"),
        (-22, "Tue 23:45"),
        (24 * 7, "Dec 2 21:45"),
    ],
)
def test_the_day_is_named_only_where_needed(hours: float, said: str) -> None:
    note = Noted("plan", at=EVENING + timedelta(hours=hours))
    assert say(Reply(note)) == f"Agreed: inject at {said}."


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (("04:45 1", "05:30 1", "08:00 1", "10:30 1"), "04:45, 05:30, 08:00, 10:30"),
        (("13:00 1", "14:00 1", "04:45 2", "10:00 2"), "Thu 13:00, 14:00, Fri 04:45, 10:00"),
        (("13:00 1", "14:00 1", "23:30 0", "15:00 1"), "Thu 13:00, 14:00, Wed 23:30, Thu 15:00"),
        (("01:00 1", "03:00 1", "23:30 0"), "01:00, 03:00, Wed 23:30"),
    ],
)
def test_a_row_of_hours_names_the_day_wherever_it_changes(hours: tuple[str, ...], said: str) -> None:
    told = [at(clock, int(day)) for clock, day in map(str.split, hours)]
    assert ", ".join(Voice(Texts({"en": FTL}), "en", ZONE, EVENING).times(told)) == said


def test_the_hours_of_a_nest_stand_in_the_order_of_their_line() -> None:
    """At nine in the morning; the eggs come on the day after."""
    hours = {"first_look_at": at("00:45", 1), "most_from_at": at("02:00", 1), "most_to_at": at("08:30", 1)}
    morning = EVENING - timedelta(hours=12)
    nest = dataclasses.replace(FORECAST, way="nest", echo=False, latest_at=at("17:45", 1), **hours)
    plan = dataclasses.replace(INJECT_PLAN, way="nest", final_at=at("13:00"), **hours)
    said = [WORDING.say(Reply(fact), lang="en", zone=ZONE, now=morning) for fact in (nest, plan)]
    assert "most often Thu 02:00-08:30. First look, from outside, 00:45. After 17:45" in said[0]
    assert said[1] == "Inject 13:00, eggs on the mat most often Thu 02:00-08:30. OK?"


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
    assert say(REPLIES["late"]).startswith("LATE by 2 h 10 min. ")
    assert say(REPLIES["late, of one of two"]).splitlines()[1].startswith("Rohu, tank 2: Look at")
    assert "Again: Look at the females now: F1, F2. Press once, gently" in say(REPLIES["late"])
    two = Reply(dataclasses.replace(LOOK, called="rohu 3, tank 2"))
    assert say(two).startswith("Rohu 3, tank 2: Look at the females now")
    assert "82 %, roughly 76-87" in say(REPLIES["fertilised"])


def test_a_step_of_several_is_told_apart() -> None:
    bell = Button("pick:1", Nothing(), "step", (("step", "strip"), ("called", "rohu, tank 2")))
    assert label(bell) == "strip: rohu, tank 2"
    assert label(dataclasses.replace(bell, args=(("step", "strip"), ("called", "")))) == "strip"


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


def test_short_enough_for_three_in_the_morning() -> None:
    for name, reply in REPLIES.items():
        long_step = isinstance(reply.fact, StepDue) and reply.fact.step in LONG_STEPS
        parts = ("batches", "links")  # each is a line of its own
        lots = sum(len(getattr(reply.fact, part, ())) for part in parts)
        if reply.fact.kind not in LONG_KINDS and not long_step and not reply.cautions:
            assert len(say(reply).split()) <= 45 + 10 * lots, name


def test_a_label_fits_a_telephone() -> None:
    for button in (*BUTTONS.values(), *PICKS):
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
        assert "wrong" not in WORDING.fault(error, "en")
    assert (
        WORDING.fault(HatchError("never-heard-of", line=3), "en")
        == "Something is wrong: never-heard-of (line=3)."
    )
    assert WORDING.fault(HatchError("bad-percent"), "en") == "Something is wrong: bad-percent."
    assert WORDING.fault(HatchError("mixed-units", units=("IU", "mg")), "en") == (
        "different substances are not added up: IU; mg"
    )


def test_messages_are_quick() -> None:
    begun = time.perf_counter()
    for _ in range(200):
        say(Reply(CATFISH))
    assert time.perf_counter() - begun < 2


# As the farmer reads it ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", golden())
def test_golden(name: str) -> None:
    assert (GOLDEN / f"{name}.txt").read_text(encoding="utf-8") == golden()[name]


def test_no_golden_file_is_left_over() -> None:
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(golden())


if __name__ == "__main__":
    for stem, written in golden().items():
        (GOLDEN / f"{stem}.txt").write_text(written, encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "action", "label", "pressed"),
    [
        ("ok", "yes", "OK", True),
        ("Yes, please!", "yes", "Take it back", True),
        ("earlier", "earlier", "Earlier", True),
        ("LATER", "later-30", "In 30 min", True),
        ("for eggs", "pick:1", "For eggs", True),
        ("only f1", "fish:F1", "Only F1", True),
        ("no", "yes", "OK", False),
        ("27", "answer:2.7", "2.7 kg", False),
        ("", "yes", "", False),
        ("...", "start", "...", False),
    ],
)
def test_a_button_may_be_typed(text: str, action: str, label: str, pressed: bool) -> None:
    assert WORDING.presses(text, action, label, "en") is pressed


def test_typed_words_belong_to_real_actions() -> None:
    told = "".join(
        path.read_text("utf-8")
        for path in (Path(core.wording.__file__).parents[1] / "assistant").glob("*.py")
    )
    spelt = set(re.findall(r'Button\(\s*f?"([a-z0-9-]+)(?::([a-z0-9-]+))?', told))
    actions = {"-".join(filter(None, one)) for one in spelt} | {first for first, _ in spelt}
    actions |= {f"answer-{of}" for of in get_args(CountOf)}
    assert set(codes("typed")) <= actions
