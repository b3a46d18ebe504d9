"""Words for the command line: faults in one line, a forecast in two."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from babel.dates import format_datetime

from core.errors import HatchError
from core.wording.texts import NoWords, Value
from core.wording.voice import MARKS, Tongue, opening

RANGES = ("source_celsius",)  # values that are two ends of one range


def fault(t: Tongue, error: HatchError) -> str:
    """A code without words, or without the values its words need, is shown as it is."""
    values: dict[str, Value] = {name: _shown(t, name, value) for name, value in error.params.items()}
    try:
        if error.code == "bad-line":
            values["fault"] = t.coded("line", str(values.get("fault", "")), **values)
        return t.coded("fault", error.code, **values)
    except NoWords:
        return t.say("fault", error=str(error))


def _shown(t: Tongue, name: str, value: object) -> str:
    if isinstance(value, tuple | list):
        return ("-" if name in RANGES else "; ").join(_shown(t, name, each) for each in value)
    if isinstance(value, str) and t.is_species(value):
        return t.species(value)
    return f"{value:g}" if isinstance(value, float) else " ".join(str(value).split())


def forecast(t: Tongue, told: Mapping[str, object]) -> str:
    """The object of `hatchbell forecast --json` in two lines."""
    hours = {name: t.number(_float(told[f"{name}_hours"]), 1) for name in ("earliest", "likely", "latest")}
    window = t.say(
        f"forecast-{told['what']}",
        species=opening(t.species(str(told["species"]))),
        celsius=t.celsius(_float(told["celsius"])),
        **hours,
    )
    if "likely_at" in told:
        times = {name: _time(t, told[f"{name}_at"]) for name in ("earliest", "likely", "latest")}
        window += " " + t.say("forecast-times", **times)
    mark = next(slug for name, slug in MARKS.items() if name == told["mark"])
    source = t.say("forecast-source", basis=_listed(t, told["basis"]), mark=t.say(f"mark-{mark}"))
    note = t.say("forecast-note", note=str(told["note"])) if told["note"] else ""
    return f"{window}\n{source} {note}".rstrip()


def operating(t: Tongue, code: str, told: Mapping[str, object]) -> str:
    """A line for whoever runs the bot. Whole numbers count, others measure; times are shown as they stand."""
    return t.coded("operating", code, **{name: _measured(t, value) for name, value in told.items()})


def _measured(t: Tongue, value: object) -> str:
    match value:
        case timedelta():
            return age(t, value)
        case datetime():
            return value.isoformat(sep=" ", timespec="minutes")
        case int():
            return t.whole(value)
        case float():
            return t.number(value, 1)
        case _:
            return " ".join(str(value).split())


def age(t: Tongue, span: timedelta) -> str:
    """A span that may be long: from two days on in days."""
    if span >= timedelta(days=2):
        return t.say("duration-days", days=t.number(span / timedelta(days=1), 1))
    return t.duration(round(span / timedelta(minutes=1)))


def _float(value: object) -> float:
    return float(value) if isinstance(value, int | float) else float("nan")


def _time(t: Tongue, value: object) -> str:
    return format_datetime(datetime.fromisoformat(str(value)), "EEE HH:mm", locale=t.locale)


def _listed(t: Tongue, value: object) -> str:
    return t.names(str(each) for each in value) if isinstance(value, tuple | list) else str(value)
