"""Records to JSON and back: every event, every command, by their type hints alone."""

from __future__ import annotations

import dataclasses
import json
import typing
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.commands import Act, Awaiting, Command, Pressed, Reading
from core.errors import BadRecord
from core.plain import from_plain, to_plain
from core.records import Farm, Happening, RunRow, StepDone, StepKey, Strength, WaterRead
from tests.core.events import KINDS, of

COMMANDS: tuple[type[Any], ...] = typing.get_args(Command)
PRECISE = settings()


def through_json(value: object) -> Any:
    """As the store does it: whole text, no NaN."""
    return json.loads(json.dumps(to_plain(value), ensure_ascii=False, allow_nan=False))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_every_event_comes_back_from_json(kind: type[Any]) -> None:
    @PRECISE
    @given(what=of(kind))
    def comes_back(what: Any) -> None:
        assert from_plain(Happening, through_json(what)) == what
        assert type(from_plain(Happening, through_json(what))) is kind

    comes_back()


@pytest.mark.parametrize("kind", COMMANDS, ids=lambda kind: kind.kind)
def test_every_command_comes_back_from_json(kind: type[Any]) -> None:
    @PRECISE
    @given(command=of(kind))
    def comes_back(command: Any) -> None:
        assert from_plain(Command, through_json(command)) == command
        assert type(from_plain(Command, through_json(command))) is kind

    comes_back()


@PRECISE
@given(st.one_of(of(Farm), of(RunRow), of(Awaiting)))
def test_what_the_store_keeps_as_json_comes_back(record: Any) -> None:
    assert from_plain(type(record), through_json(record)) == record


@pytest.mark.parametrize("union", [Happening, Act, Reading, Pressed, Command])
def test_no_two_members_of_a_union_have_the_same_kind(union: Any) -> None:
    kinds = [member.kind for member in typing.get_args(union)]
    assert len(kinds) > 1
    assert sorted(kinds) == sorted(set(kinds))


def test_no_member_has_a_field_that_its_kind_would_hide() -> None:
    for member in (*KINDS, *COMMANDS):
        assert "kind" not in {field.name for field in dataclasses.fields(member)}, member


def test_a_water_reading_as_it_is_written() -> None:
    assert to_plain(WaterRead(27.0, "measured", "tank 2")) == {
        "kind": "water",
        "celsius": 27.0,
        "source": "measured",
        "place": "tank 2",
    }


def test_what_an_older_writer_did_not_know_takes_its_default() -> None:
    assert from_plain(Happening, {"kind": "water", "celsius": 27}) == WaterRead(27.0)


def test_what_a_newer_writer_added_is_left_aside() -> None:
    plain = {"kind": "done", "key": {"step": "rinse", "batch": "1", "colour": "blue"}, "mood": "good"}
    assert from_plain(Happening, plain) == StepDone(StepKey("rinse", batch="1"))


@pytest.mark.parametrize(
    ("form", "value"),
    [
        (Happening, {"kind": "no-such-kind"}),
        (Happening, {"kind": "water", "celsius": "27"}),
        (Happening, {"kind": "water", "celsius": True}),
        (Happening, {"kind": "water", "celsius": 27.0, "source": "guesswork"}),
        (Happening, {"kind": "injected", "tags": ["F1"], "which": "only"}),
        (Happening, {"kind": "injected", "group": "1", "tags": "F1", "which": "only"}),
        (Happening, {"kind": "planned", "final_at": 1700000000, "agreed": True}),
        (Happening, {"kind": "retracted", "events": [1.5]}),
        (Happening, ["water"]),
        (Happening, None),
        (StepKey, []),
        (Strength | None, "20 ug"),
        (int, True),
        (bool, 1),
        (Literal["f", "m"], "x"),
        (date, 20250301),
    ],
)
def test_another_shape_is_refused_by_name(form: Any, value: object) -> None:
    with pytest.raises(BadRecord) as refused:
        from_plain(form, value)
    assert refused.value.code in ("wrong-shape", "missing-key")


@pytest.mark.parametrize("value", [["a list"], {"a": "dict"}, {1, 2}, timedelta(1), b"bytes", Strength])
def test_only_plain_records_are_written(value: object) -> None:
    with pytest.raises(BadRecord) as refused:
        to_plain(value)
    assert refused.value.code == "not-plain"


def test_times_keep_their_offset_or_are_told_in_the_zone_asked_for_to_the_second() -> None:
    at = datetime(2025, 10, 26, 0, 30, 15, 123456, tzinfo=UTC)
    assert to_plain(at) == "2025-10-26T00:30:15.123456+00:00"
    assert to_plain(at, timezone(timedelta(hours=3))) == "2025-10-26T03:30:15+03:00"
    assert from_plain(datetime, "2025-10-26T03:30:15+03:00") == datetime(2025, 10, 26, 0, 30, 15, tzinfo=UTC)


def test_days_and_whole_numbers_where_a_fraction_may_stand() -> None:
    assert from_plain(date, to_plain(date(2025, 3, 1))) == date(2025, 3, 1)
    assert from_plain(float, 3) == 3.0 and type(from_plain(float, 3)) is float
