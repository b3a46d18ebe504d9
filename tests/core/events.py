"""Hypothesis strategies for records: every kind of event, every command, and whole runs told in any way.

`of` makes values of a record or union by its type hints, so that a new kind of event is tried the day it is
written. Names that the trade would use are likelier than others, so that events speak of the same fish.
"""

from __future__ import annotations

import dataclasses
import functools
import types
import typing
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from core.records import (
    Cancelled,
    Closed,
    Collected,
    Counted,
    EggsOf,
    EggsRun,
    Event,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    Opened,
    Planned,
    Postponed,
    Retagged,
    Retracted,
    SpawnSeen,
    StepDone,
    StepKey,
    Stripped,
    WaterRead,
)
from core.runs import WAYS, steps

T0 = datetime(2025, 10, 25, 18, 2, tzinfo=UTC)  # the evening before clocks change in Europe
MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
KINDS: tuple[type[Any], ...] = typing.get_args(Happening)

TAGS = st.sampled_from(("F1", "F2", "F3", "M1", "M1", "X1", "f1", "#12", "no 7", "", "রুই"))
GROUPS = st.sampled_from(("1", "1", "1", "2", "9", ""))
BATCHES = st.sampled_from(("1", "1", "1", "2", "7", ""))
PLACES = st.sampled_from(("", "tank 1", "tank 2", "bowl", "haul-out"))
STEPS = st.sampled_from(sorted({step.name for way in WAYS for step in steps(way)} | {"no-such-step"}))
SPECIES = st.sampled_from(("african-catfish", "african-catfish", "common-carp"))
SPANS = st.one_of(
    st.sampled_from((0, 1, 15, 30, 60, 600, 24 * 60)).map(lambda n: n * MINUTE),
    st.timedeltas(timedelta(0), 4 * DAY),
)
MOMENTS = st.one_of(
    st.sampled_from((T0, T0 + 6 * HOUR, T0 + 7 * HOUR, datetime(2026, 3, 29, 1, tzinfo=UTC))),
    SPANS.map(lambda span: T0 + span),
    st.timedeltas(-9000 * DAY, 5000 * DAY).map(lambda span: T0 + span),
)
AMOUNTS = st.one_of(
    st.sampled_from((0.0, 1.0, 2.4, 27.0, 82.0, 200.0)), st.floats(-10, 1e6, allow_nan=False, width=32)
)
BY_NAME: dict[str, st.SearchStrategy[Any]] = {
    "tag": TAGS,
    "tags": st.lists(TAGS, max_size=3).map(tuple),
    "shared": st.lists(TAGS, max_size=2).map(tuple),
    "group": GROUPS,
    "batch": BATCHES,
    "fish.tag": TAGS,
    "step": STEPS,
    "species": SPECIES,
    "kg": st.floats(0.3, 15),
    "celsius": st.one_of(st.floats(18, 32), st.floats(-5, 60), st.none()),
    "events": st.lists(st.integers(0, 14), max_size=3).map(tuple),
    "look": st.integers(0, 9),
}
_TEXT = st.text(max_size=12)


@functools.cache
def of(form: Any, name: str = "") -> st.SearchStrategy[Any]:
    """Values of a record class, a union, a tuple or an atom; `name` is the field they are for."""
    if name in BY_NAME and _takes(form, name):
        return BY_NAME[name]
    origin = typing.get_origin(form)
    arguments = typing.get_args(form)
    if origin in (typing.Union, types.UnionType):
        return st.one_of(*(st.none() if each is type(None) else of(each, name) for each in arguments))
    if origin is tuple:
        return st.lists(of(arguments[0], name.removesuffix("s")), max_size=3).map(tuple)
    if origin is typing.Literal:
        return st.sampled_from(arguments)
    if dataclasses.is_dataclass(form):
        return _record(form)
    return _ATOMS[form](name)


def _takes(form: Any, name: str) -> bool:
    """The field of that name is of the usual type, not a nested record that happens to be called so."""
    if name in ("tags", "shared"):
        return form == tuple[str, ...]
    if name == "events":
        return form == tuple[int, ...]
    kinds = typing.get_args(form) or (form,)
    if name == "celsius":
        return type(None) in kinds
    return not any(dataclasses.is_dataclass(kind) for kind in kinds)


def _record(form: Any) -> st.SearchStrategy[Any]:
    hints = typing.get_type_hints(form)
    fields = {each.name: of(hints[each.name], each.name) for each in dataclasses.fields(form)}
    return st.builds(form, **fields)


_ATOMS: dict[Any, Callable[[str], st.SearchStrategy[Any]]] = {
    str: lambda name: PLACES if name == "place" else _TEXT,
    int: lambda name: st.integers(0, 40),
    float: lambda name: AMOUNTS,
    bool: lambda name: st.booleans(),
    datetime: lambda name: MOMENTS,
}

# Events ---------------------------------------------------------------------------------------------------


@functools.cache
def happening() -> st.SearchStrategy[Any]:
    """Anything that an event may tell, however little sense it makes."""
    return st.one_of(*map(of, KINDS))


def told(number: int, what: Happening, said_at: datetime, at: datetime | None = None) -> Event:
    """An event of run 1 of farm 1."""
    return Event(number, 1, 1, said_at, at or said_at, what, by=1, source=f"m{number}")


@st.composite
def tellings(draw: st.DrawFn, least: int = 1, most: int = 12) -> tuple[Event, ...]:
    """Any events of one run, in order of telling; each may have happened long before, or be dated ahead."""
    return _dated(draw, draw(st.lists(happening(), min_size=least, max_size=most)), ahead=True)


def _dated(draw: st.DrawFn, what: list[Any], *, ahead: bool) -> tuple[Event, ...]:
    said = T0
    found = []
    for number, each in enumerate(what, 1):
        said += draw(SPANS)
        back = draw(st.one_of(st.just(timedelta(0)), SPANS))
        at = said + back if ahead and draw(st.integers(0, 9)) == 0 else said - back
        found.append(told(number, each, said, at))
    return tuple(found)


# What a night is mostly made of: likely enough that runs come to bells, odd enough to be out of order.
_NIGHT: st.SearchStrategy[Any] = st.one_of(
    st.builds(Injected, GROUPS, st.just(("F1", "F2")), st.sampled_from(("only", "priming", "resolving"))),
    st.builds(Injected, st.just("2"), st.just(("F3",)), st.just("only"), st.just("tank 2")),
    st.builds(WaterRead, st.floats(19, 31), st.just("measured"), st.sampled_from((None, "tank 2"))),
    st.builds(EggsRun, GROUPS, st.sampled_from(((), ("F1",), ("F2",)))),
    st.builds(
        Stripped,
        BATCHES,
        st.builds(EggsOf, TAGS, st.sampled_from((None, 310.0)), partial=st.booleans()).map(
            lambda one: (one,)
        ),
    ),
    st.builds(StepDone, of(StepKey)),
    st.builds(StepDone, st.builds(StepKey, st.sampled_from(("fertilise", "disinfect", "first-feed")),
                                  batch=BATCHES)),
    st.builds(Postponed, of(StepKey), SPANS.map(lambda span: T0 + span)),
    st.builds(SpawnSeen, GROUPS, BATCHES, st.sampled_from(("yes", "no", "some"))),
    st.builds(Counted, BATCHES, st.sampled_from(("fertilised", "hatched")), st.just(150.0), st.just(200.0)),
    of(Retracted),
    happening().filter(lambda what: not isinstance(what, Cancelled | Closed)),
)  # fmt: skip


@st.composite
def nights(draw: st.DrawFn, most: int = 12) -> tuple[Event, ...]:
    """A run that was opened, weighed, mostly planned or injected; then anything. Nothing is dated ahead."""
    slug, way = draw(
        st.sampled_from(
            (("african-catfish", "stripped"), ("common-carp", "nest"), ("common-carp", "stripped"))
        )
    )
    preparation = draw(st.sampled_from(("premix", "premix", "pituitary")))
    fish = tuple(
        FishWeight(tag, sex, 2.4) for tag, sex in (("F1", "f"), ("F2", "f"), ("F3", "f"), ("M1", "m"))
    )
    begun: list[Any] = [Opened(slug, way, preparation, None), FishWeighed(fish)]
    begun += draw(
        st.sampled_from(
            (
                [Planned(T0 + 3 * HOUR, True)],
                [Injected("1", ("F1", "F2"), "only")],
                [Injected("1", ("F1",), "only", "tank 1"), Injected("2", ("F2",), "only", "tank 2")],
                [Injected("1", ("F1", "F2"), "priming"), Injected("1", ("F1", "F2"), "resolving")],
                [],
            )
        )
    )
    return _dated(draw, begun + draw(st.lists(_NIGHT, max_size=most)), ahead=False)


def part_began(events: tuple[Event, ...], group: str, batch: str) -> datetime:
    """The earliest hour of anything told of this group or batch; of the run where neither is named."""
    times = [event.at for event in events if _speaks_of(event.what, group, batch)]
    return min(times)


def _speaks_of(what: Happening, group: str, batch: str) -> bool:
    key = what.key if isinstance(what, StepDone | Postponed) else None
    if batch:
        named = what.batch if isinstance(what, Stripped | SpawnSeen | Collected | Counted) else None
        return batch in (named, key.batch if key else None)
    if group:
        named = what.group if isinstance(what, Injected | EggsRun | SpawnSeen) else None
        return group == named
    return not isinstance(what, Retagged)
