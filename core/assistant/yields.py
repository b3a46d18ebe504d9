"""What a run came to: from eggs to fry, and larvae for each kg of female."""

from __future__ import annotations

from core import commands as say
from core import survival as chains
from core.assistant.card import eggs_of, share_of, uncounted
from core.assistant.counts import book
from core.assistant.talk import AskFirst, Talk
from core.records import RunRow, Span
from core.replies import Ask, PerKg, Reply, Survival, SurvivalLink
from core.survival import Reckoned, Stage, Told


def survival(talk: Talk, said: say.Question) -> None:
    """The share of each stage that reached the next, of the newest run with eggs."""
    row = _row_of(talk, said)
    eggs, basis, mark = eggs_of(talk, row)
    told = _told(row, eggs)
    found = chains.chain(told)
    whole = None if any(link.at_odds for link in found.links) else found.whole
    low, high = _ends(whole)
    talk.say(
        Survival(
            run=row.run,
            species=row.species,
            date=talk.day(row.begun_at),
            eggs=round(eggs.value) if eggs else None,
            links=tuple(_link(each) for each in found.links),
            missing=found.missing,
            first=found.first,
            last=found.last,
            whole_percent=_percent(whole),
            whole_low=low,
            whole_high=high,
            basis=basis,
            mark=mark,
            uncounted=uncounted(row),
        )
    )


def fry_per_kg(talk: Talk, said: say.Question) -> None:
    """Larvae for each kg of the injected females, at hatch, at swim-up and sold."""
    row = _row_of(talk, said)
    if not row.injected_kg:
        raise AskFirst(Reply(Ask("weights", "no-kilos", row.run)))
    kg = row.injected_kg

    def each(number: float | None) -> int | None:
        return None if number is None else round(chains.per_kg(number, kg))

    talk.say(
        PerKg(
            run=row.run,
            species=row.species,
            date=talk.day(row.begun_at),
            kg=kg,
            hatched=each(None if uncounted(row) else row.larvae),
            swim_up=each(row.swim_up),
            sold=each(row.sold),
            uncounted=uncounted(row),
        )
    )


def _row_of(talk: Talk, said: say.Question) -> RunRow:
    """The newest run with eggs, of the species asked."""
    rows = [
        row for row in book(talk) if row.had_eggs and row.took_place and said.species in (None, row.species)
    ]
    if not rows:
        raise AskFirst(Reply(Ask("no-run", "no-eggs-told")))
    return max(rows, key=lambda row: row.age)


def _told(row: RunRow, eggs: Reckoned | None) -> dict[Stage, Told]:
    fertilised = _share(row.fertilised_percent, row.fertilised_span)
    hatched = _share(row.hatched_percent, row.hatched_span)
    if row.hatched_of == "fertilised" and hatched is not None:
        hatched = _of_all(hatched, fertilised)
    elif row.hatched_of == "unknown":
        hatched = None
    larvae = None if uncounted(row) else _number(row.larvae, row.larvae_span)
    told: dict[Stage, Told] = {
        "eggs": Told(eggs),
        "fertilised": Told(None, fertilised),
        "hatched": Told(larvae, hatched),
        "swim-up": Told(_number(row.swim_up, row.swim_up_span)),
        "sold": Told(_number(row.sold, None)),
    }
    return told


def _of_all(hatched: Reckoned, fertilised: Reckoned | None) -> Reckoned | None:
    """A share of the good eggs as one of all, where their share is known."""
    return None if fertilised is None else chains.product(hatched, fertilised)


def _share(percent: float | None, span: Span | None) -> Reckoned | None:
    return None if percent is None else share_of(percent, span)


def _number(number: float | None, span: Span | None) -> Reckoned | None:
    if number is None:
        return None
    return Reckoned(number, span.low, span.high) if span else chains.exact(number)


def _link(link: chains.Link) -> SurvivalLink:
    low, high = _ends(link.share)
    number = None if link.number is None else round(link.number.value)
    return SurvivalLink(link.stage, number, link.of, _percent(link.share), low, high, link.at_odds)


def _percent(share: Reckoned | None) -> float | None:
    return None if share is None else round(100 * share.value, 1)


def _ends(share: Reckoned | None) -> tuple[int | None, int | None]:
    """Whole percents, outward; none where no doubt is known."""
    if share is None or share.low == share.high:
        return None, None
    return chains.whole_percents(share)
