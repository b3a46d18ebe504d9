"""An old notebook taken into the record: runs of the past, no bells, and one undo for all of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, time

from core import commands as say
from core import results
from core.assistant.choosing import word_fits
from core.assistant.talk import AskFirst, Talk
from core.assistant.water import FAR
from core.eggs import SUSPICIOUS_SHARE
from core.notebook import Fault, Page, Pages, grid_of, pages_of, short
from core.records import (
    Closed,
    Collected,
    Counted,
    Drawn,
    EggsOf,
    Event,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    LarvaeSold,
    NoEggs,
    Opened,
    Preparation,
    Retracted,
    RunRow,
    Strength,
    Stripped,
    SwimUpCounted,
    Told,
    WaterRead,
    Way,
)
from core.replies import Ask, Button, Imported, Noted, NotTaken, Refused, Reply
from core.runs import fold
from core.species import Card

OF_IMPORT = "import:"
"""What the source of an imported event begins with, before the key of the message that brought the file."""
BOWL, GROUP = "1", "1"
MOST_SPECIES = 6
MOST_FAULTS, MOST_LINES = 12, 8
"""So many kinds of faults, and lines of each, are named; how many more there are is said."""
FIGURES = (
    *("injected", "injected_kg", "egg_grams", "egg_litres", "fertilised_percent", "hatched_percent"),
    *("larvae", "swim_up", "sold"),
)
"""By what a row of the file is known to be a run that stands already."""

NOON = time(12)

Telling = tuple[Happening, datetime]


def import_notebook(talk: Talk, said: say.ImportNotebook) -> None:
    """Each row that is understood becomes a run that is over; the others are named with what is wrong."""
    paper = talk.desk.paper
    if paper is None:
        raise AskFirst(Reply(Refused("no-paper")))
    today = talk.desk.now.astimezone(talk.zone).date()
    found = pages_of(grid_of(paper.text), talk.knowledge.columns, today, said.order)
    if found.asks_order:
        raise AskFirst(_which_order(said, found))
    meant = {each.word: each.slug for each in said.species}
    for page in found.pages:
        if page.species not in meant and len(fitting := _fitting(talk, page.species)) > 1:
            raise AskFirst(_which_species(said, page.species, fitting))
    faults = list(found.faults)
    read = [(page, _understood(talk, page, found.species, meant)) for page in found.pages]
    faults += [told for _, told in read if isinstance(told, Fault)]
    fresh = [(page, *told) for page, told in read if not isinstance(told, Fault)]
    known = _known(talk, [row for _, _, row in fresh])
    talk.source = f"{OF_IMPORT}{talk.desk.source}"
    taken = [each for each, stands in zip(fresh, known, strict=True) if not stands]
    for _, happenings, _ in taken:
        number = talk.new_run()
        for what, at in happenings:
            talk.tell(number, what, at)
    days = [talk.day(row.begun_at) for _, _, row in taken]
    gone = {fault.line for fault in faults if not fault.taken and fault.line}
    named = tuple(_named(faults))
    fact = Imported(
        file=paper.name,
        rows=found.rows,
        taken=len(taken),
        first=min(days, default=None),
        last=max(days, default=None),
        known=tuple(page.line for (page, _, _), stands in zip(fresh, known, strict=True) if stands),
        left=len(gone),
        faults=named[:MOST_FAULTS],
        more=len(named) - len(named[:MOST_FAULTS]),
        order=found.order,
    )
    undo = (Button("undo", say.UndoImport(talk.source), "undo"),) if taken else ()
    talk.say(fact, *undo)


def undo_import(talk: Talk, said: say.UndoImport) -> None:
    """All that one file brought goes."""
    events = [event for event in talk.desk.imported if event.source == said.source]
    if not events:
        talk.say(Refused("nothing-to-undo"))
        return
    runs: dict[int, list[int]] = {}
    for event in events:
        runs.setdefault(event.run, []).append(event.id)
    for number, told in runs.items():
        talk.tell(number, Retracted(tuple(told)))
    talk.say(Noted("import-undone", number=float(len(runs))))


def ask_undo(talk: Talk) -> AskFirst | None:
    """The question whether the newest telling, a whole notebook, is to be taken back; `None` where the newest
    is something else."""
    if not talk.desk.imported:
        return None
    source = talk.desk.imported[0].source or ""
    runs = len({event.run for event in talk.desk.imported})
    buttons = (
        Button("yes", say.UndoImport(source), "undo-yes"),
        Button("no", say.Nothing("undo"), "no-change"),
    )
    return AskFirst(Reply(Ask("undo", Imported.kind, number=float(runs)), buttons))


def _which_order(said: say.ImportNotebook, found: Pages) -> Reply:
    buttons = (
        Button("answer:day-first", dataclasses.replace(said, order="day-first"), "day-first"),
        Button("answer:month-first", dataclasses.replace(said, order="month-first"), "month-first"),
    )
    return Reply(Ask("day-or-month", "", words=found.example), buttons)


def _which_species(said: say.ImportNotebook, word: str, fitting: Sequence[str]) -> Reply:
    def named(slug: str) -> say.ImportNotebook:
        return dataclasses.replace(said, species=(*said.species, say.NamedSpecies(word, slug)))

    buttons = [
        Button(f"pick:{place}", named(slug), "species", (("species", slug),))
        for place, slug in enumerate(fitting[:MOST_SPECIES], 1)
    ]
    return Reply(
        Ask("notebook-species", "", words=short(word)), (*buttons, Button("no", named(""), "none-of-them"))
    )


# A row as a run -------------------------------------------------------------------------------------------


def _understood(
    talk: Talk, page: Page, heading: str, meant: Mapping[str, str]
) -> tuple[list[Telling], RunRow] | Fault:
    """The events that a row becomes and the line of the results book they make, or why it is not taken."""
    fitting = (meant[page.species],) if page.species in meant else _fitting(talk, page.species)
    if len(fitting) != 1 or fitting[0] not in talk.knowledge.cards:
        return Fault(page.line, heading, "no-species", short(page.species))
    card = talk.knowledge.cards[fitting[0]]
    if (odd := _odd(page, card)) is not None:
        return odd
    happenings = list(_happenings(talk, page, card))
    moment = talk.desk.now
    events = [
        Event(number, talk.farm.id, 0, moment, at, what, talk.desk.person.id)
        for number, (what, at) in enumerate(happenings, 1)
    ]
    return happenings, results.row_of(fold(events), card)


def _fitting(talk: Talk, words: str) -> tuple[str, ...]:
    """The species that a cell may mean, likeliest first."""
    slug = words.casefold().replace(" ", "-")
    if slug in talk.knowledge.cards:
        return (slug,)
    meanings = talk.desk.paper.meanings if talk.desk.paper else {}
    named, word = meanings.get(words, (None, None))
    return (named,) if named is not None else word_fits(talk, word)


def _odd(page: Page, card: Card) -> Fault | None:
    """What a run of this species surely is not: asked about where it is typed, and not taken here."""
    bears = card.tolerated_celsius
    for kg in page.weights:
        if not card.female_kg.low <= kg <= card.female_kg.high:
            return Fault(page.line, "kg", "no-brood-fish", f"{kg:.3g}")
    if page.water_c is not None and not bears.low - FAR <= page.water_c <= bears.high + FAR:
        return Fault(page.line, "C", "no-such-water", f"{page.water_c:g}")
    heaviest = SUSPICIOUS_SHARE * 1000 * sum(page.weights)
    if page.eggs_g is not None and page.weights and page.eggs_g > heaviest:
        return Fault(page.line, "g", "too-many-eggs", f"{page.eggs_g:g}")
    return None


def _happenings(talk: Talk, page: Page, card: Card) -> Iterator[Telling]:
    """What the row tells, in order; a day without its hour stands at noon."""
    began = datetime.combine(page.day, page.hour or NOON, talk.zone)
    strength = Strength(page.ug_per_ml, page.mg_per_ml)
    preparation = _preparation(page, card)
    opened = Opened(
        card.slug,
        _way(page, card),
        preparation,
        strength if strength.told else None,
        preparation_assumed=page.preparation is None and not strength.told,
    )
    yield opened, began
    tags = tuple(f"F{number}" for number in range(1, len(page.weights) + 1))
    if tags:
        fish = zip(tags, page.weights, strict=True)
        yield FishWeighed(tuple(FishWeight(tag, "f", kg) for tag, kg in fish), together=page.together), began
    if page.water_c is not None:
        yield WaterRead(page.water_c), began
    if page.injected:
        yield _injected(page, tags), began
    last = began
    for what in _eggs(page, tags):
        if page.stripped_at is not None:
            last = max(began, page.stripped_at.replace(tzinfo=talk.zone))
        yield what, last
    yield from ((what, last) for what in _counts(page))
    if page.note:
        yield Told("note", page.note), last
    yield Closed(reported=page.hatched is not None or page.larvae is not None or page.gave == 0), last


def _preparation(page: Page, card: Card) -> Preparation:
    if page.preparation is not None:
        return page.preparation
    return "premix" if page.ug_per_ml is not None or page.mg_per_ml is not None else card.usual_preparation


def _way(page: Page, card: Card) -> Way:
    """As told; else as its eggs tell, stripped by hand in grams; else as is usual."""
    if page.way is not None:
        return page.way
    if page.eggs_g is not None or page.stripped_at is not None:
        return "stripped"
    return "hapa" if page.eggs_l is not None and "hapa" in card.ways else card.ways[0]


def _injected(page: Page, tags: tuple[str, ...]) -> Injected:
    """The mL of all of them are shared out by their weights, as a dose is."""
    drawn: tuple[Drawn, ...] = ()
    if page.dose_ml is not None:
        each = page.dose_ml / sum(page.weights)
        drawn = tuple(Drawn(tag, round(each * kg, 9)) for tag, kg in zip(tags, page.weights, strict=True))
    return Injected(GROUP, tags, "only", drawn=drawn, hour_told=page.hour is not None)


def _eggs(page: Page, tags: tuple[str, ...]) -> Iterator[Happening]:
    if page.gave == 0:
        yield NoEggs(tags)
    elif page.eggs_g is not None or page.stripped_at is not None:
        one = len(tags) == 1
        yield Stripped(
            BOWL,
            (EggsOf(tags[0] if one else "", page.eggs_g),),
            shared=() if one else tags,
            all_gave=page.gave is not None,
            hour_told=page.stripped_hour,
        )
    if page.eggs_l is not None:
        yield Collected(BOWL, page.eggs_l, group=GROUP if page.injected else "")


def _counts(page: Page) -> Iterator[Happening]:
    if page.fertilised is not None:
        share = page.fertilised
        yield Counted(BOWL, "fertilised", share.good, share.total, share.percent)
    if page.hatched is not None:
        share = page.hatched
        yield Counted(BOWL, "hatched", share.good, share.total, share.percent, page.larvae, page.hatched_of)
    elif page.larvae is not None:
        yield Counted(BOWL, "hatched", larvae=page.larvae)
    if page.swim_up is not None:
        yield SwimUpCounted(page.swim_up)
    if page.sold is not None:
        yield LarvaeSold(page.sold)


# What stands already --------------------------------------------------------------------------------------


def _known(talk: Talk, fresh: Sequence[RunRow]) -> list[bool]:
    """Which of these runs stand already. The very same ones first, then those of the same species and day of
    which no figure says otherwise; each standing run is one of them at most."""
    standing = [row for row in talk.desk.rows if row.state != "cancelled"]
    known = [False] * len(fresh)
    for same in (_is_same, lambda one, other: _agrees(talk, one, other)):
        for place, row in enumerate(fresh):
            if not known[place] and (twin := next((each for each in standing if same(row, each)), None)):
                known[place] = True
                standing.remove(twin)
    return known


def _is_same(row: RunRow, standing: RunRow) -> bool:
    return row == dataclasses.replace(standing, run=row.run)


def _agrees(talk: Talk, row: RunRow, standing: RunRow) -> bool:
    if row.species != standing.species or talk.day(row.begun_at) != talk.day(standing.begun_at):
        return False
    if row.gave_kg is not None and standing.gave_kg is not None and row.gave_kg != standing.gave_kg:
        return False
    pairs = [(getattr(row, name), getattr(standing, name)) for name in FIGURES]
    told = [pair for pair in pairs if None not in pair]
    return bool(told) and all(one == other for one, other in told)


# What is wrong --------------------------------------------------------------------------------------------


def _named(faults: Sequence[Fault]) -> Iterator[NotTaken]:
    """The faults, those alike together: rows that were not taken first."""
    alike: dict[tuple[bool, str, str], list[Fault]] = {}
    for each in faults:
        alike.setdefault((each.taken, each.heading, each.why), []).append(each)
    for (taken, heading, why), those in sorted(alike.items(), key=lambda each: each[0][0]):
        lines = tuple(each.line for each in those if each.line)
        more = len(lines[MOST_LINES:])
        yield NotTaken(lines[:MOST_LINES], more, heading, why, those[0].words, taken)
