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
from collections.abc import Callable
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
    """The inverse of `to_plain`: `form` is the record class, union or hint that `value` should have.

    Raises `BadRecord` for a value of another shape.
    """
    return _reader(form)(value)


@functools.cache
def _reader(form: Any) -> Callable[[Plain], Any]:
    """What makes a `form` of a plain value: the hints are looked at once."""
    origin = typing.get_origin(form)
    if origin in (Union, types.UnionType):
        return _union_reader(form)
    if origin is tuple:
        return _tuple_reader(form)
    if origin is typing.Literal:
        allowed = typing.get_args(form)
        return lambda value: _checked(value in allowed, value, form)
    if dataclasses.is_dataclass(form):
        return _record_reader(cast("type[Any]", form))
    if form in (datetime, date):
        return lambda value: form.fromisoformat(_checked(isinstance(value, str), value, form))
    if form is float:
        return lambda value: float(_checked(type(value) in (int, float), value, form))
    return lambda value: _checked(type(value) is form, value, form)


def _checked(good: bool, value: Plain, form: Any) -> Any:
    if not good:
        raise BadRecord("wrong-shape", value=value, expected=getattr(form, "__name__", str(form)))
    return value


def _tuple_reader(form: Any) -> Callable[[Plain], tuple[Any, ...]]:
    (item, *_) = typing.get_args(form)
    read = _reader(item)
    return lambda value: tuple(map(read, _checked(isinstance(value, list), value, form)))


def _union_reader(form: Any) -> Callable[[Plain], Any]:
    members = typing.get_args(form)
    may_be_none = type(None) in members
    by_kind = {member.kind: member for member in members if hasattr(member, "kind")}

    def read(value: Plain) -> Any:
        if value is None and may_be_none:
            return None
        if isinstance(value, dict) and "kind" in value:
            kind = value["kind"]
            return _reader(by_kind[_checked(kind in by_kind, kind, form)])(value)
        for member in members:
            try:
                return _reader(member)(value)
            except BadRecord:
                continue
        raise BadRecord("wrong-shape", value=value, expected=str(form))

    return read


def _record_reader(form: type[Any]) -> Callable[[Plain], Any]:
    hints = typing.get_type_hints(form)
    names = [field.name for field in dataclasses.fields(form)]

    def read(value: Plain) -> Any:
        _checked(isinstance(value, dict), value, form)
        known = {name: _reader(hints[name])(value[name]) for name in names if name in value}
        try:
            return form(**known)
        except TypeError as fault:
            raise BadRecord("missing-key", record=form.__name__, detail=str(fault)) from None

    return read
