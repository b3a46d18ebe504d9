"""The tables of the play contract as data, and what a transcript line breaks of them.

Whoever adds a kind, a step or an action writes it down here too; what stands here stays.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.core.saying import numbers_not_in_facts

Line = Mapping[str, Any]

LINE_KEYS = ("at", "chat", "to", "kind", "text", "buttons", "facts", "picture", "document", "reminder")
REMINDER_KEYS = ("step", "due", "run", "group", "batch", "fish", "look", "attempt")

KINDS: dict[str, str] = {
    "dose-sheet": "species preparation strength fish total_ml draw_ml warnings",
    "inject-plan": "strip_at priming_at final_at first_look_at",
    "plan": "times alarm_at",
    "order-plan": "species larvae feeding wanted_at why earliest_at need hormone night celsius celsius_source"
    " basis mark",
    "strip-forecast": "group place preparation final_injection_at first_look_at earliest_at most_from_at"
    " likely_at most_to_at latest_at look_every_minutes give_up_at egg_life_minutes celsius celsius_source"
    " basis mark",
    "hold": "why resume_when ask_again_at",
    "step": "step due_at run group batch place late_minutes",
    "bath-kept": "of stuff grams ml percent",
    "bath": "purpose litres target_mg_per_l stock_ml powder_g minutes stock_basis",
    "jars": "run species about eggs litres eggs_per_ml grams eggs_per_gram vessels basis mark",
    "milt": "run species grams ml low_ml high_ml parts saline_g_per_l male_cut basis mark",
    "brood-numbers": "about females males effective percent effectives generations total_percent most_percent"
    " better_percent advised wanted_males species usual_males low_males high_males enough basis mark",
    "export": "runs people at",
    "imported": "file rows taken first last known left faults more order",
    "run-sheet": "run species after missing",
    "season-table": "form runs first last missing",
    "ready-females": "species females rested ready more_ready resting more_resting untold more_untold busy"
    " untagged rests signs basis mark",
    "brood-fish": "tag species sex run begun_at origin mother father hatched weights spawnings treated lost"
    " lost_at rested_at left_days inbred_percent basis mark",
    "fish-told": "tag sex origin mother father hatched kg fresh",
    "mates": "females species since males more kin untold gone untagged basis mark",
    "brood-season": "species since runs females males untagged males_untold effective percent most_percent"
    " better_percent advised wanted_males basis mark",
    "treated-fish": "of total lines more",
    "own-count": "species counted_in eggs before low high far at basis mark",
    "eggs": "batch fish total_grams total_eggs eggs_per_gram milt_ml",
    "fertilised": "batch good total percent low_percent high_percent",
    "hatch-forecast": "batch earliest_at likely_at latest_at celsius celsius_source basis mark",
    "hatched": "batch larvae percent_of_fertilised percent_of_eggs low_percent high_percent of",
    "larvae-count": "stage larvae low high cups mean cup_ml litres uneven kept basis mark",
    "survival": "run species date eggs links missing first last whole_percent basis mark",
    "per-kg": "run species date kg hatched swim_up sold",
    "stocking": "species place young figures m2 litres bags larvae basis mark",
    "measure": "of larvae low high odd basis mark",
    "sample-size": "percent eggs larvae basis mark",
    "result": "run species date fertilised_percent hatched_percent hatched_of larvae hours_to_strip"
    " ovulated injected state percent_of_eggs percent_of_fertilised derived egg_grams body_percent eggs"
    " eggs_per_kg larvae_per_kg water window against_window hormone basis mark",
    "spent": "run of goods amount currency total entries",
    "money": "about asked run spent earned cost price",
    "best-run": "worst run species date percent of period of_species counted low_percent high_percent few"
    " left_out",
    "comparison": "by of period species counted enough groups left_out",
    "female": "tag runs earlier of_one_run of counted mean_percent low_percent high_percent",
    "differences": "run species date percent of others low_percent high_percent things basis mark",
    "summary": "period runs counted left_out",
    "given": "given total_per_kg",
    "course": "run tags given coming total_per_kg unit low high code",
    "ripe-signs": "species signs",
    "rest": "species low_days days high_days basis mark",
    "bottle": "what bottle amount found missing",
    "shelf": "bottles",
    "ledger": "preparation unit period since_at until_at lines whole left_out from_none runs_of_none",
    "enough": "verdict preparation unit left need of runs short expired unknown",
    "trouble": "what stage",
    "join-link": "role until link",
    "crew": "people night until",
    "night-picture": "run species date since until water assumed_celsius windows on_hold done more now_at",
    "season-picture": "period species runs counted shown mean_percent",
    "noted": "",
    "corrected": "of before after",
    "cancelled": "",
    "status": "",
    "help": "",
    "source": "",
    "answered": "by at",
    "ask": "about why candidates",
    "refused": "why",
}
IN_PARTS: dict[tuple[str, str], str] = {
    ("imported", "faults"): "lines more heading why words taken",
    ("dose-sheet", "fish"): "tag sex kg priming_ml final_ml drawn_ml shots",
    ("plan", "times"): "step at",
    ("jars", "vessels"): "vessel litres each low high count flow_low flow_high",
    ("eggs", "fish"): "tag grams eggs quality partial",
    ("given", "given"): "tag n at ml amount unit by",
    ("stocking", "figures"): "place per low usual high low_larvae high_larvae",
    ("survival", "links"): "stage number of percent low high at_odds",
    ("night-picture", "water"): "at celsius source place",
    ("night-picture", "windows"): "of called earliest_at most_from_at likely_at most_to_at latest_at",
    ("night-picture", "done"): "at what tags number called",
    ("season-picture", "shown"): "run date percent low high of why",
    ("bottle", "bottle"): "bottle name preparation strength unit left over untold good_until ends expired",
    ("shelf", "bottles"): "bottle name preparation strength unit left over untold good_until ends expired",
    ("ledger", "lines"): "name opening came used wasted closing found missing untold",
    ("order-plan", "need"): "eggs grams females assumed",
    ("order-plan", "hormone"): "preparation amount unit ml",
    ("comparison", "groups"): "name runs mean low high span_low span_high unit",
    ("comparison", "left_out"): "why dates",
    ("best-run", "left_out"): "why dates",
    ("female", "runs"): "run date species kg outcome grams body_percent fertilised_percent hatched_percent"
    " hatched_of others",
    ("differences", "things"): "thing verdict code value most low high unit others tags words basis mark",
    ("money", "spent"): "amount currency entries goods unnamed",
    ("order-plan", "night"): "shots eggs_at hatch_at feed_at ready_at",
}
SHOT_KEYS = "n role ml amount unit"


def _names(words: str) -> frozenset[str]:
    return frozenset(words.split())


ACTIONS = _names(
    "start change cancel undo inject-now earlier later done not-yet eggs-run stop-looking stripping-now"
    " later-30 skip yes no"
    " revoke"  # a link to join by
    " picture"
)
ACTIONS_WITH_A_VALUE = _names("answer fish pick change farm person hand species")

WAKING = _names("prime inject check-females check-nest rinse")
CALM = _names(
    "get-ready strip fertilise destick load disinfect care check-fertilised check-hatch check-brood"
    " set-live-food first-feed remove-brood collect-eggs remove-substrate check-water"
    " bottle-expires bottle-low"  # of the farm's book: run 0
)
ONCE = _names("all-well trial")
WITHOUT_A_BELL = _names("spread swell")  # said with `fertilise`; the end of swelling is `load`
STEPS = WAKING | CALM | ONCE | WITHOUT_A_BELL
ATTEMPTS = {"waking": (6, timedelta(minutes=2)), "calm": (2, timedelta(minutes=30)), "once": (1, timedelta())}

ANY_TIME = datetime(2026, 6, 1, tzinfo=UTC)

SPECIES = _names(
    "common-carp african-catfish walking-catfish rohu catla mrigal grass-carp silver-carp bighead-carp"
    " striped-catfish silver-barb stinging-catfish"
)
TOLD_APART = _names("bighead-catfish")  # Clarias macrocephalus: the contract knows one walking catfish
PREPARATIONS = _names("premix pituitary hcg lhrha own")
VALUES: dict[str, frozenset[str]] = {
    "species": SPECIES | TOLD_APART,
    "preparation": PREPARATIONS,
    "celsius_source": _names("measured guessed assumed"),
    "mark": frozenset({"published", "common practice", "from memory", "the farm's own"}),
    "hatched_of": _names("all fertilised unknown"),
    "state": _names("open closed not-reported cancelled"),
}
CODES = _names(
    "why step from_step next_step purpose agent stock_basis what about asks way stickiness destick_with stage"
    " bath_order role quality"
)
CODE_LISTS = _names("warnings cautions")
ORDERED: dict[tuple[str, str], str] = {
    (
        "strip-forecast",
        "",
    ): "final_injection_at earliest_at most_from_at likely_at most_to_at latest_at give_up_at",
    ("hatch-forecast", ""): "earliest_at likely_at latest_at",
    ("inject-plan", ""): "final_at first_look_at strip_at",
    ("order-plan", "night"): "eggs_at hatch_at ready_at",
}

_SNAKE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_KEBAB = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_TIME = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}[+-]\d{2}:\d{2}")
_LOOKS_LIKE_A_TIME = re.compile(r"\d{4}-\d{2}-\d{2}T.*")
_MARKUP = re.compile(
    r"</?[a-z]+>|&[a-z]+;|\*\*|__|`|\[[^\]]*\]\(|\{ ?\$|[\u2066-\u2069]|[ \t]$", re.MULTILINE
)


def step_class(step: str) -> str:
    """How a step's bell rings: `waking`, `calm` or `once`."""
    return "waking" if step in WAKING else "once" if step in ONCE else "calm"


# One line -------------------------------------------------------------------------------------------------


def breaches(line: Line) -> list[str]:
    """What a transcript line breaks of the contract, in words; empty where nothing."""
    if tuple(line) != LINE_KEYS:
        return [f"keys are {', '.join(line)}"]
    found = itertools.chain(
        _time_breaches(line), _text_breaches(line), _button_breaches(line), _fact_breaches(line),
        _value_breaches(line["facts"], ""), _reminder_breaches(line),
    )  # fmt: skip
    return list(found)


def _time_breaches(line: Line) -> Iterator[str]:
    offset = line["at"][-6:]
    for path, value in _leaves({"at": line["at"], "facts": line["facts"], "reminder": line["reminder"]}):
        if not isinstance(value, str) or not _LOOKS_LIKE_A_TIME.fullmatch(value):
            if path.endswith("_at") and value is not None:
                yield f"{path} is no time: {value!r}"
        elif not _TIME.fullmatch(value):
            yield f"{path} is not to the second with an offset: {value}"
        elif value[-6:] != offset:
            yield f"{path} is not in the chat's offset: {value}"


def _text_breaches(line: Line) -> Iterator[str]:
    text = line["text"]
    if not isinstance(text, str) or not text.strip():
        yield "no text"
        return
    if _MARKUP.search(text):
        yield f"markup in the text: {text!r}"
    zone = datetime.fromisoformat(line["at"]).tzinfo
    assert zone is not None
    strange = numbers_not_in_facts(text, line["facts"], zone)
    if strange:
        yield f"numbers that are no facts: {strange} in {text!r}"


def _button_breaches(line: Line) -> Iterator[str]:
    seen: set[str] = set()
    for button in line["buttons"]:
        if tuple(button) != ("action", "label") or not str(button.get("label", "")).strip():
            yield f"a button is {button}"
            continue
        action = button["action"]
        stem, colon, value = action.partition(":")
        if stem not in (ACTIONS_WITH_A_VALUE if colon else ACTIONS) or (colon and not value):
            yield f"unknown action {action}"
        if action in seen:
            yield f"two buttons {action}"
        seen.add(action)


def _fact_breaches(line: Line) -> Iterator[str]:
    kind, facts = line["kind"], line["facts"]
    if kind not in KINDS:
        yield f"unknown kind {kind}"
        return
    if line["to"] is not None and not isinstance(line["to"], str):
        yield f"to is {line['to']!r}"
    yield from _missing(kind, facts, f"farm {KINDS[kind]}")
    yield from _part_breaches(kind, facts)
    if kind == "dose-sheet":
        yield from _sheet_breaches(facts)
    if kind == "strip-forecast" and facts.get("first_look_at") != facts.get("earliest_at"):
        yield "the first look is not at the earliest time"


def _part_breaches(kind: str, facts: Mapping[str, Any]) -> Iterator[str]:
    """What the lists and records in the facts must hold, and which of their times follow one another."""
    for (of, key), wanted in IN_PARTS.items():
        parts = facts.get(key) if of == kind else None
        for part in parts if isinstance(parts, list) else [parts] if parts is not None else []:
            yield from _missing(f"{kind}.{key}", part, wanted)
    for (of, key), names in ORDERED.items():
        part = (facts.get(key) or {} if key else facts) if of == kind else {}
        times = [part[name] for name in names.split() if part.get(name) is not None]
        if times != sorted(times):
            yield f"times of {kind} are out of order: {times}"


def _sheet_breaches(facts: Mapping[str, Any]) -> Iterator[str]:
    for fish in facts.get("fish", ()):
        for shot in fish.get("shots", ()):
            yield from _missing("dose-sheet.fish.shots", shot, SHOT_KEYS)
        if len(fish.get("shots", ())) == 1 and fish.get("priming_ml") is not None:
            yield f"one injection of {fish['tag']} has a priming_ml"


def _missing(of: str, facts: Mapping[str, Any], wanted: str) -> Iterator[str]:
    gone = [key for key in wanted.split() if key not in facts]
    if gone:
        yield f"{of} lacks {', '.join(gone)}"


def _value_breaches(value: Any, path: str) -> Iterator[str]:
    """Keys, codes and lists, however deep; what people said (`candidates`) is the reader's own."""
    if isinstance(value, list):
        for n, each in enumerate(value):
            yield from _value_breaches(each, f"{path}[{n}]")
    elif isinstance(value, Mapping):
        for key, each in value.items():
            here = f"{path}.{key}" if path else key
            yield from _entry_breaches(key, each, here)
            if key != "candidates":
                yield from _value_breaches(each, here)


def _entry_breaches(key: str, value: Any, here: str) -> Iterator[str]:
    if not _SNAKE.fullmatch(key):
        yield f"key {here} is not snake_case"
    if key == "candidates" and not isinstance(value, list):
        yield f"{here} is no list"
    if key == "basis" and not (isinstance(value, list) and all(isinstance(one, str) for one in value)):
        yield f"{here} is no list of source ids"
    if key in VALUES and isinstance(value, str) and value not in VALUES[key]:
        yield f"{here} is {value!r}"
    codes = value if key in CODE_LISTS else [value] if key in CODES else []
    for code in codes:
        if isinstance(code, str) and code and not _KEBAB.fullmatch(code):
            yield f"code {here} is not kebab-case: {code!r}"


def _reminder_breaches(line: Line) -> Iterator[str]:
    told, facts = line["reminder"], line["facts"]
    if told is None:
        return
    if tuple(told) != REMINDER_KEYS:
        yield f"reminder has the keys {', '.join(told)}"
        return
    step = told["step"]
    if step not in STEPS - WITHOUT_A_BELL:
        yield f"a bell of the unknown step {step}"
    if line["kind"] != "step":
        yield f"a bell is of kind {line['kind']}"
    most, _ = ATTEMPTS[step_class(step)]
    if not 1 <= told["attempt"] <= most:
        yield f"attempt {told['attempt']} of {step}"
    if line["at"] < told["due"]:
        yield f"{step} rang before its time"
    same = ("step", "run", "group", "batch")
    if [told[key] for key in same] != [facts.get(key) for key in same] or told["due"] != facts.get("due_at"):
        yield f"the bell of {step} and its facts differ"
    if step == "all-well" and told["due"][11:19] != "20:00:00":
        yield f"all-well at {told['due']}"


def _leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, Mapping):
        for key, each in value.items():
            yield from _leaves(each, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for n, each in enumerate(value):
            yield from _leaves(each, f"{path}[{n}]")
    else:
        yield path, value


# A whole transcript ---------------------------------------------------------------------------------------


def ringing_breaches(transcript: Sequence[Line]) -> list[str]:
    """Bells that rang twice, out of turn or at a wrong distance; lines that go back in time."""
    found = [
        f"time goes back from {one['at']} to {two['at']}"
        for one, two in itertools.pairwise(transcript)
        if datetime.fromisoformat(two["at"]) < datetime.fromisoformat(one["at"])
    ]
    series: dict[tuple[Any, ...], list[Line]] = {}
    for line in transcript:
        if line["reminder"]:
            series.setdefault(_bell(line), []).append(line)
    for lines in series.values():
        rung = [(line["reminder"]["attempt"], line["chat"]) for line in lines]
        found += [f"attempt {n} rang twice in {chat}" for n, chat in set(rung) if rung.count((n, chat)) > 1]
        firsts = {line["reminder"]["attempt"]: line for line in reversed(lines)}
        found += _attempt_breaches([*reversed(firsts.values())])
    return found


def _bell(line: Line) -> tuple[Any, ...]:
    told = line["reminder"]
    keys = [key for key in REMINDER_KEYS if key not in ("due", "attempt")]
    return line["facts"]["farm"], *(told[key] for key in keys)


def _attempt_breaches(lines: Iterable[Line]) -> Iterator[str]:
    first = None
    for n, line in enumerate(lines, 1):
        told, at = line["reminder"], datetime.fromisoformat(line["at"])
        first = first or at
        _, apart = ATTEMPTS[step_class(told["step"])]
        if told["attempt"] != n:
            yield f"attempt {told['attempt']} of {told['step']} comes as number {n}, at {line['at']}"
        elif n == 1:
            late = (at - datetime.fromisoformat(told["due"])) // timedelta(minutes=1)
            if late != line["facts"]["late_minutes"]:
                yield f"{told['step']} is {late} minutes late and says {line['facts']['late_minutes']}"
        elif at != first + (n - 1) * apart and not line["facts"]["late_minutes"]:
            yield f"attempt {n} of {told['step']} rang {at - first} after the first"
