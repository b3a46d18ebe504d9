"""Whether the clock may be believed: a small computer without one of its own starts in the past.

By a clock that is wrong nothing rings, nothing is taken in and nothing is deleted. What was not taken in
stays with the messenger.
"""

from __future__ import annotations

import logging

from bot.clock import FAR
from bot.house import House
from bot.saying import tell_operator

_log = logging.getLogger(__name__)


def believed(house: House) -> bool:
    """Whether our clock agrees with the messenger's. The operator hears once that it does not, and once that
    it does again. Never inside a transaction."""
    dial = house.dial
    if dial is None:
        return True
    off = dial.off(house.store.last_written())
    right = abs(off) < FAR
    if right == dial.told:
        _log.warning("the clock is %s: %d s behind", "right again" if right else "wrong", off.total_seconds())
        with house.store.transaction():
            now = house.clock.now()
            tell_operator(house, "clock-right" if right else "clock-wrong", at=now, next_at=now + off)
        dial.told = not right
    return right
