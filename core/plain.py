"""Frozen records to plain JSON values and back, by their type hints alone.

A union of records is told apart by the class variable `kind` that each member carries. Times are ISO 8601
with offset, tuples are lists. Unknown keys of an older or newer writer are left aside; a missing key takes
the field's default.
"""

from __future__ import annotations

import dataclasses
import functools
import types
import typing
from datetime import date, datetime, tzinfo
from typing import Any, TypeVar, Union, cast

from core.errors import BadRecord

T = TypeVar("T")
Plain = Any
_ATOMS = (str, int, float, bool, type(None))


def to_plain(value: object, zone: tzinfo | None = None) -> Plain:
    """A record, tuple, time or atom as JSON values; times in `zone` where one is given, to the second.

    Raises `BadRecord` for anything else.
    """
    if isinstance(value, _ATOMS):
        return value
    if isinstance(value, datetime):
        return (value.astimezone(zone).replace(microsecond=0) if zone else value).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [to_plain(item, zone) for item in value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {f.name: to_plain(getattr(value, f.name), zone) for f in dataclasses.fields(value)}
        kind = getattr(value, "kind", None)
        return {"kind": kind, **fields} if isinstance(kind, str) else fields
    raise BadRecord("not-plain", type=type(value).__name__)


def from_plain(form: Any, value: Plain) -> Any:
    """The inverse of `to_plain`: `form` is the record class, union or hint that `value` should have."""
    origin = typing.get_origin(form)
    if origin in (Union, types.UnionType):
        return _from_union(form, value)
    if origin is tuple:
        return _from_list(form, value)
    if origin is typing.Literal:
        return _checked(value in typing.get_args(form), value, form)
    if dataclasses.is_dataclass(form):
        return _from_record(cast("type[Any]", form), value)
    if form is datetime:
        return datetime.fromisoformat(_checked(isinstance(value, str), value, form))
    if form is date:
        return date.fromisoformat(_checked(isinstance(value, str), value, form))
    if form is float and type(value) is int:
        return float(value)
    return _checked(type(value) is form, value, form)


def _checked(good: bool, value: Plain, form: Any) -> Any:
    if not good:
        raise BadRecord("wrong-shape", value=value, expected=getattr(form, "__name__", str(form)))
    return value


def _from_list(form: Any, value: Plain) -> tuple[Any, ...]:
    _checked(isinstance(value, list), value, form)
    (item, *_) = typing.get_args(form)
    return tuple(from_plain(item, each) for each in value)


def _from_union(form: Any, value: Plain) -> Any:
    members = typing.get_args(form)
    if value is None and type(None) in members:
        return None
    if isinstance(value, dict) and "kind" in value:
        found = _by_kind(form).get(value["kind"])
        return from_plain(_checked(found is not None, value["kind"], form) and found, value)
    for member in members:
        try:
            return from_plain(member, value)
        except BadRecord:
            continue
    raise BadRecord("wrong-shape", value=value, expected=str(form))


@functools.cache
def _by_kind(form: Any) -> dict[str, Any]:
    return {m.kind: m for m in typing.get_args(form) if hasattr(m, "kind")}


@functools.cache
def _hints(form: Any) -> dict[str, Any]:
    return typing.get_type_hints(form)


def _from_record(form: type[Any], value: Plain) -> Any:
    _checked(isinstance(value, dict), value, form)
    hints = _hints(cast("Any", form))
    known = {
        f.name: from_plain(hints[f.name], value[f.name]) for f in dataclasses.fields(form) if f.name in value
    }
    try:
        return form(**known)
    except TypeError as fault:
        raise BadRecord("missing-key", record=form.__name__, detail=str(fault)) from None
