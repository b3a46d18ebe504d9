"""What the messenger's server answers, as plain values that can be kept, whatever stands in it.

The library's own reading of an answer ends in other faults than its own where the answer is nested too deep,
holds no result, or is no object; each would come again with the same answer after every start.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any

from telegram.error import NetworkError
from telegram.request import HTTPXRequest

DEEPEST = 64
"""No answer of the Bot API is nested half as deep."""
_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[\[{]|[\]}]|[^"\[\]{}]+', re.DOTALL)
_SURROGATE = re.compile(r"\\u[dD][89a-fA-F]")


class Answers(HTTPXRequest):
    """The library's client, but for how an answer is read."""

    @staticmethod
    def parse_json_payload(payload: bytes) -> dict[str, Any]:
        """The answer. Raises `NetworkError` for what is none."""
        found = plain(payload.decode("utf-8", "replace"))
        if not isinstance(found, dict) or not found.keys() & {"result", "description", "error_code"}:
            raise NetworkError("no answer of the messenger")
        return {"result": None, **found}


def plain(text: str) -> Any:
    """JSON as values that can be written again: no number without end, no half of a sign, nothing deeper than
    `DEEPEST`. Raises `NetworkError` for what is no JSON."""
    try:
        found = _loaded(text)
    except RecursionError:
        found = _loaded(_cut(text))
    except ValueError as fault:
        raise NetworkError("an answer that is no JSON") from fault
    if _SURROGATE.search(text):
        whole = json.dumps(found, ensure_ascii=False).encode("utf-8", "replace")
        found = json.loads(whole)
    return found


def _loaded(text: str) -> Any:
    return json.loads(text, parse_float=_finite, parse_constant=lambda _: None)


def _finite(written: str) -> float | None:
    number = float(written)
    return number if math.isfinite(number) else None


def _cut(text: str) -> str:
    """The same text with null for all that is nested too deep."""
    kept, depth = [], 0
    for token in _TOKEN.findall(text):
        depth += token in "[{"
        if depth <= DEEPEST:
            kept.append(token)
        elif depth == DEEPEST + 1 and token in "[{":
            kept.append("null")
        depth -= token in "]}"
    return "".join(kept)
