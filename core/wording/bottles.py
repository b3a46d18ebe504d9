"""Words for bottles of hormone: as they stand, their ledger, whether it is enough, their bells."""

from __future__ import annotations

from core.replies import BottleNow, HormoneEnough, HormoneLedger, LedgerLine, OnShelf, ShelfNow, StepDue
from core.wording.voice import Voice, yes

EXACT = 3
"""Decimals of an amount of a ledger: it is exact, and adds up as it is written."""


def amount(v: Voice, value: float, unit: str) -> str:
    """An amount with its unit, as exact as the ledger has it."""
    return v.say("bottle-amount", amount=v.number(value, EXACT), unit=v.unit(unit))


def bottle_now(v: Voice, fact: BottleNow) -> list[str]:
    """What was told, what is left, how long it is good."""
    bottle = fact.bottle
    told = fact.amount if fact.what not in ("in", "keeps") else bottle.left if fact.what == "in" else None
    lines = [
        v.say(
            f"bottle-{fact.what}",
            name=bottle.name,
            preparation=v.preparation(bottle.preparation),
            amounted=yes(told is not None),
            amount="" if told is None else amount(v, told, bottle.unit),
            days=v.whole(bottle.keeps_days or 0),
            left="" if bottle.left is None else amount(v, bottle.left, bottle.unit),
            known=yes(bottle.left is not None),
            when=v.when(bottle.opened_at) if fact.what == "opened" else "",
            found=_found(fact),
            difference=amount(v, fact.found or fact.missing, bottle.unit),
        )
    ]
    if fact.what == "in" and bottle.strength is not None:
        lines.append(v.say("bottle-strength", strength=v.strength(bottle.strength)))
    if fact.what in ("told", "opened", "keeps", "wasted") and bottle.left is not None:
        lines.append(v.say("bottle-left", left=amount(v, bottle.left, bottle.unit)))
    lines += _doubts(v, bottle)
    if fact.what in ("in", "told", "opened", "keeps") or bottle.expired:
        lines += _good_until(v, bottle)
    if fact.usual_days is not None:
        lines.append(v.say("bottle-usual-days", days=v.whole(fact.usual_days)))
    if fact.usual_years is not None:
        lines.append(v.say("bottle-usual-years", years=v.whole(fact.usual_years)))
    return lines


def _found(fact: BottleNow) -> str:
    return "more" if fact.found else "less" if fact.missing else "same"


def _doubts(v: Voice, bottle: OnShelf) -> list[str]:
    lines = []
    if bottle.over:
        lines.append(v.say("bottle-over", amount=amount(v, bottle.over, bottle.unit)))
    if bottle.untold:
        lines.append(v.say("bottle-untold", count=v.whole(bottle.untold), count_is=bottle.untold))
    if bottle.reckoned:
        lines.append(v.say("bottle-reckoned"))
    return lines


def _good_until(v: Voice, bottle: OnShelf) -> list[str]:
    if bottle.good_until is None:
        return []
    name = "bottle-expired" if bottle.expired else f"bottle-good-{bottle.ends}"
    return [v.say(name, day=v.iso_day(bottle.good_until), name=bottle.name)]


def shelf(v: Voice, fact: ShelfNow) -> list[str]:
    """A line a bottle."""
    return [_on_shelf(v, each) for each in fact.bottles]


def _on_shelf(v: Voice, bottle: OnShelf) -> str:
    parts = [
        v.say(
            "shelf-bottle",
            name=bottle.name,
            preparation=v.preparation(bottle.preparation),
            known=yes(bottle.left is not None),
            left="" if bottle.left is None else amount(v, bottle.left, bottle.unit),
        )
    ]
    if bottle.strength is not None:
        parts.append(v.strength(bottle.strength))
    if bottle.opened_at is not None:
        day = bottle.opened_at.astimezone(v.zone).date().isoformat()
        parts.append(v.say("shelf-opened", day=v.iso_day(day)))
    if bottle.good_until is not None:
        name = "shelf-expired" if bottle.expired else "shelf-good"
        parts.append(v.say(name, day=v.iso_day(bottle.good_until)))
    line = v.say("shelf-line", line=v.names(parts))
    return v.joined("shelf-and", [line, *_doubts(v, bottle)])


def ledger(v: Voice, fact: HormoneLedger) -> list[str]:
    """Each bottle from its opening to its closing, then all of them, and what came from no bottle told."""
    head = v.say(
        "ledger-head",
        preparation=v.preparation(fact.preparation),
        unit=v.unit(fact.unit),
        since=v.iso_day(fact.since_at.astimezone(v.zone).date().isoformat()),
    )
    lines = [_line(v, each, v.say("ledger-bottle", name=each.name)) for each in fact.lines]
    if len(fact.lines) - len(fact.left_out) > 1:
        lines.append(_line(v, fact.whole, v.say("ledger-all")))
    if fact.left_out:
        lines.append(v.say("ledger-left-out", names=v.names(fact.left_out)))
    if fact.from_none is not None:
        lines.append(
            v.say(
                "ledger-none",
                used=v.number(fact.from_none.used, EXACT),
                runs=v.whole(fact.runs_of_none),
                runs_are=fact.runs_of_none,
                untold=_untold(v, fact.from_none.untold),
            )
        )
    return [head, *lines]


def _line(v: Voice, line: LedgerLine, name: str) -> str:
    if line.closing is None or line.opening is None:
        used = v.number(line.used, EXACT)
        return v.say("ledger-unknown", name=name, used=used, untold=_untold(v, line.untold))
    return v.say(
        "ledger-line",
        name=name,
        opening=v.number(line.opening, EXACT),
        came=v.number(line.came or 0.0, EXACT),
        used=v.number(line.used, EXACT),
        wasted=v.number(line.wasted or 0.0, EXACT),
        counted=_counted(v, line),
        closing=v.number(line.closing, EXACT),
        untold=_untold(v, line.untold),
    )


def _counted(v: Voice, line: LedgerLine) -> str:
    parts = {"ledger-more": line.found, "ledger-less": line.missing}
    return "".join(" " + v.say(name, counted=v.number(each, EXACT)) for name, each in parts.items() if each)


def _untold(v: Voice, count: int) -> str:
    return " " + v.say("bottle-untold", count=v.whole(count), count_is=count) if count else ""


def enough(v: Voice, fact: HormoneEnough) -> list[str]:
    """Yes or no first, then what it rests on."""
    need = "" if fact.need is None else amount(v, fact.need, fact.unit)
    usual = (
        "" if fact.of != "usual" else " " + v.say("enough-usual", runs=v.whole(fact.runs), runs_are=fact.runs)
    )
    lines = [
        v.say(
            f"enough-{fact.verdict}",
            left=amount(v, fact.left, fact.unit),
            need=need,
            needed=yes(fact.need is not None),
            usual=usual,
            short=amount(v, fact.short, fact.unit),
            preparation=v.preparation(fact.preparation),
            names=v.names(fact.unknown),
        )
    ]
    if fact.unknown and fact.verdict != "not-told":
        lines.append(v.say("enough-unknown", names=v.names(fact.unknown)))
    if fact.expired:
        lines.append(v.say("enough-expired", amount=amount(v, fact.expired, fact.unit)))
    if fact.untold:
        lines.append(v.say("bottle-untold", count=v.whole(fact.untold), count_is=fact.untold))
    if fact.others:
        lines.append(v.say("enough-others", names=v.names(fact.others)))
    return lines


def bell(v: Voice, fact: StepDue) -> list[str]:
    """A bell of the shelf."""
    bottle = fact.bottle
    if bottle is None:
        return [v.step(fact.step)]
    if fact.step == "bottle-low":
        return [
            v.say(
                "bell-bottle-low",
                left=amount(v, bottle.left or 0.0, bottle.unit),
                preparation=v.preparation(bottle.preparation),
                need=amount(v, fact.need or 0.0, bottle.unit),
                runs=v.whole(fact.runs),
                runs_are=fact.runs,
            )
        ]
    day = "" if bottle.good_until is None else v.iso_day(bottle.good_until)
    first = v.say("bell-bottle-expires", name=bottle.name, day=day, ends=bottle.ends or "label")
    held = [] if bottle.left is None else [v.say("bottle-left", left=amount(v, bottle.left, bottle.unit))]
    return [first, *held]
