"""The brood book in the talk: a fish's card, who is ready, mates, the season, the treated fish, losses.

Everything here reads the rows of the runs and the farm's book, never the events of a run that is over, so
that an answer takes no longer for a farm of many runs than those rows take to be looked through.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import TypeVar

from core import broodbook, broodstock
from core import commands as say
from core.assistant.choosing import run_for, word_fits
from core.assistant.periods import SEASON
from core.assistant.talk import AskFirst, Talk
from core.broodbook import BroodFish, Kin, Mate, Rest, Season, Treatment
from core.records import BOOK, FishLost, FishTold, Mark, Retagged
from core.replies import (
    Ask,
    BroodSeason,
    Button,
    FishCard,
    FishKept,
    MateLine,
    Mates,
    Noted,
    ReadyFemales,
    Refused,
    Reply,
    RestDays,
    RestLine,
    SpawningLine,
    TreatedFish,
    TreatedLine,
    UntaggedRest,
    WeightLine,
)
from core.runs import fish_of, plain_tag
from core.species import Card, Figure, weakest

READY, RESTING, NAMED = 4, 3, 8
"""So many of a kind are named; of the others their number is told."""
WEIGHTS, SPAWNINGS, TREATMENTS = 5, 4, 3
LISTED, MALES, KIN = 8, 5, 4
SIGNS = 2
DAY = timedelta(days=1)


def book_of(talk: Talk) -> tuple[BroodFish, ...]:
    """The farm's brood fish as they stand with what this message tells."""
    return broodbook.brood_book(talk.rows_now(), talk.book_events())


def species_asked(talk: Talk, said: say.Question) -> tuple[str, ...]:
    """The species that a question names, or may mean by its word; none: all."""
    return (said.species,) if said.species else word_fits(talk, said.species_word)


# Told of a fish -------------------------------------------------------------------------------------------


def told(talk: Talk, said: say.TellFish) -> None:
    """Where a fish is from, its parents, its year: kept with its tag, never with a name of one run."""
    names = (said.tag, said.mother, said.father, *said.parents)
    if nameless := [tag for tag in names if tag and broodbook.is_name_of_a_run(tag)]:
        talk.say(Refused("name-of-a-run", words=", ".join(nameless)))
        return
    if len({plain_tag(tag) for tag in names if tag}) < sum(tag is not None for tag in names):
        talk.say(Refused("own-parent", words=said.tag))
        return
    book = book_of(talk)
    said = _parents_by_sex(talk, book, _of_one_species(book, said, (said.tag,)))
    before = _newest(book, said.tag, said.species)
    if before is not None and said.sex is not None and before.sex not in (None, said.sex):
        raise AskFirst(Reply(Refused("sex-told-otherwise", words=said.tag)))
    event = talk.tell(
        BOOK,
        FishTold(
            said.tag,
            sex=said.sex,
            species=said.species,
            origin=said.origin,
            mother=said.mother,
            father=said.father,
            hatched=said.hatched,
            kg=said.kg,
        ),
    )
    after = book_of(talk)
    now = _newest(after, said.tag, said.species)
    if now is None or not _parents_taken(after, now, said):
        raise AskFirst(Reply(Refused("own-parent", words=said.tag)))
    fresh = before is None or before.number != now.number
    talk.say(
        FishKept(
            said.tag,
            said.sex,
            said.origin or "",
            said.mother or "",
            said.father or "",
            said.hatched,
            said.kg,
            fresh,
        ),
        Button("undo", say.Undo((event.id,)), "undo"),
    )


def _parents_taken(book: Sequence[BroodFish], fish: BroodFish, said: say.TellFish) -> bool:
    """Whether the parents that were told stand: none is, where a fish would be its own ancestor."""
    wanted = [(said.mother, fish.mother), (said.father, fish.father)]
    return all(
        tag is None or (n is not None and plain_tag(book[n].tag) == plain_tag(tag)) for tag, n in wanted
    )


def _parents_by_sex(talk: Talk, book: Sequence[BroodFish], said: say.TellFish) -> say.TellFish:
    """Parents without a role get one by the sex that is known of them, else it is asked."""
    if not said.parents:
        return said
    sexes = [_sex_of(book, tag) for tag in said.parents]
    if len(said.parents) == 2 and "f" in sexes and sexes.count(None) == 1:
        sexes = ["m" if sex is None else sex for sex in sexes]
    if len(said.parents) == 2 and "m" in sexes and sexes.count(None) == 1:
        sexes = ["f" if sex is None else sex for sex in sexes]
    if None not in sexes and len(set(sexes)) == len(sexes):
        return _with_parents(said, dict(zip(sexes, said.parents, strict=True)))
    raise AskFirst(Reply(Ask("parents", "sex-unknown", tags=said.parents), _roles(said)))


def _sex_of(book: Iterable[BroodFish], tag: str) -> str | None:
    """The sex that every fish with that tag has, as far as told."""
    sexes = {fish.sex for fish in broodbook.named(book, tag)} - {None}
    return next(iter(sexes)) if len(sexes) == 1 else None


def _with_parents(said: say.TellFish, by_sex: dict[str | None, str]) -> say.TellFish:
    return dataclasses.replace(
        said, mother=by_sex.get("f", said.mother), father=by_sex.get("m", said.father), parents=()
    )


def _roles(said: say.TellFish) -> tuple[Button, ...]:
    """A button for each way the parents may be mother and father."""
    first, *others = said.parents
    if not others:
        mother = dataclasses.replace(said, mother=first, parents=())
        father = dataclasses.replace(said, father=first, parents=())
        return Button("pick:1", mother, "mother"), Button("pick:2", father, "father")
    return tuple(
        Button(
            f"pick:{place}",
            dataclasses.replace(said, mother=one, father=other, parents=()),
            "parents",
            (("mother", one), ("father", other)),
        )
        for place, (one, other) in enumerate([(first, others[0]), (others[0], first)], 1)
    )


def _newest(book: Iterable[BroodFish], tag: str, species: str | None = None) -> BroodFish | None:
    return next(iter(broodbook.named(book, tag, species)), None)


Named = TypeVar("Named", say.TellFish, say.LoseFish)


def _of_one_species(book: Sequence[BroodFish], said: Named, tags: Sequence[str]) -> Named:
    """The same, of fish of one species: a tag that the farm has twice, on fish of two, is asked."""
    if said.species is not None:
        return said
    for tag in tags:
        alive = [fish.species for fish in broodbook.named(book, tag) if fish.lost is None and fish.species]
        if len(set(alive)) > 1:
            buttons = tuple(
                Button(
                    f"pick:{place}",
                    dataclasses.replace(said, species=species),
                    "species",
                    (("species", species),),
                )
                for place, species in enumerate(sorted(set(alive)), 1)
            )
            raise AskFirst(Reply(Ask("which-fish", "several-so-called", words=tag), buttons))
    return said


def give_tag(talk: Talk, said: say.GiveTag) -> None:
    """A fish of a run gets a tag, by which it is followed from then on: of the open run that has such a fish,
    else of the newest."""
    if broodbook.is_name_of_a_run(said.new_tag):
        talk.say(Refused("name-of-a-run", words=said.new_tag))
        return
    named = plain_tag(said.tag)
    rows = [row for row in talk.rows_now() if any(plain_tag(fish.tag) == named for fish in row.fish)]
    still = [row for row in rows if row.state in ("draft", "open")]
    if not rows:
        talk.say(Refused("unknown-fish", words=said.tag))
        return
    row = max(still or rows, key=lambda each: each.age)
    if len(still) > 1:
        number = run_for(talk, said, words=said.run, tags=(said.tag,)).number
        row = next(each for each in still if each.run == number)
    if any(plain_tag(fish.tag) == plain_tag(said.new_tag) for fish in row.fish):
        talk.say(Refused("tag-taken", words=said.new_tag))
        return
    old = next(fish.tag for fish in row.fish if plain_tag(fish.tag) == named)
    event = talk.tell(row.run, Retagged(old, said.new_tag))
    talk.say(
        Noted("fish-tagged", at=row.begun_at, tags=(said.new_tag,), word=old),
        Button("undo", say.Undo((event.id,)), "undo"),
    )


# Losses ---------------------------------------------------------------------------------------------------


def lost(talk: Talk, said: say.LoseFish) -> None:
    """The farm has these fish no longer: kept with their tags, outside of any run. What got hormone stays a
    treated fish, wherever it is."""
    tags, how = said.tags, said.how
    at = talk.moment(said.at, said.minutes_ago)
    if nameless := [tag for tag in tags if broodbook.is_name_of_a_run(tag)]:
        talk.say(Refused("name-of-a-run", words=", ".join(nameless)))
        return
    book = book_of(talk)
    species = _of_one_species(book, said, tags).species
    gone = [fish for tag in tags if (fish := _newest(book, tag, species)) is not None]
    already = next((fish for fish in gone if fish.lost is not None), None)
    if already is not None and already.lost is not None:
        talk.say(Refused("lost-already", words=already.tag, at=already.lost.at))
        return
    event = talk.tell(BOOK, FishLost(tags, how, species), at)
    word = f"{how}-treated" if any(fish.treated for fish in gone) else how
    talk.say(
        Noted("fish-lost", at=at, tags=tags, word=word),
        Button("undo", say.Undo((event.id,)), "undo"),
    )


def of_the_book(talk: Talk, tags: Sequence[str]) -> bool:
    """Whether fish that are told of are no fish of an open run, but such as the brood book knows."""
    if not tags or any(fish_of(run, tag) for run in talk.live() for tag in tags):
        return False
    if not talk.live() and not any(map(broodbook.is_name_of_a_run, tags)):
        return True
    book = book_of(talk)
    return all(broodbook.named(book, tag) for tag in tags)


# The card of a fish ---------------------------------------------------------------------------------------


def card(talk: Talk, said: say.Question) -> None:
    """All that is known of the fish that are named."""
    if not said.tags:
        raise AskFirst(Reply(Ask("which-fish", "not-named")))
    book = book_of(talk)
    for tag in said.tags:
        _card(talk, book, tag)


def _card(talk: Talk, book: Sequence[BroodFish], tag: str) -> None:
    found = broodbook.named(book, tag) or broodbook.of_runs(book, tag)[:1]
    if not found:
        talk.say(Refused("unknown-fish", words=tag))
        return
    alive = [fish for fish in found if fish.lost is None] or found[:1]
    for fish in alive[:2]:
        talk.say(_fish_card(talk, book, fish))


def _fish_card(talk: Talk, book: Sequence[BroodFish], fish: BroodFish) -> FishCard:
    begun = {row.run: row.begun_at for row in talk.rows_now()}
    weights = sorted(fish.weights, key=lambda each: each.at, reverse=True)
    spawnings = sorted(fish.spawnings, key=lambda each: each.at, reverse=True)
    treated = [(fish, each) for each in sorted(fish.treated, key=lambda each: each.at, reverse=True)]
    resting = _rest(talk, fish) if fish.sex == "f" and fish.lost is None else None
    inbred = Kin(book).inbreeding(fish.number)
    figure = _rest_figure(talk, fish.species)
    shown = figure is not None and resting is not None and resting.rested_at is not None
    basis = (*(figure.sources if figure and shown else ()), *(broodbook.PEDIGREE_SOURCES if inbred else ()))
    return FishCard(
        tag=fish.tag,
        species=fish.species,
        sex=fish.sex,
        run=fish.run,
        begun_at=begun.get(fish.run),
        origin=fish.origin,
        mother=_tag_of(book, fish.mother),
        father=_tag_of(book, fish.father),
        hatched=fish.hatched,
        note=fish.note,
        weights=tuple(WeightLine(each.at, each.kg, each.run) for each in weights[:WEIGHTS]),
        more_weights=max(len(weights) - WEIGHTS, 0),
        spawnings=tuple(
            SpawningLine(each.at, each.run, each.gave, each.grams) for each in spawnings[:SPAWNINGS]
        ),
        more_spawnings=max(len(spawnings) - SPAWNINGS, 0),
        treated=tuple(_treated_line(*each) for each in treated[:TREATMENTS]),
        more_treated=max(len(treated) - TREATMENTS, 0),
        lost=fish.lost.how if fish.lost else "",
        lost_at=fish.lost.at if fish.lost else None,
        rested_at=resting.rested_at if resting else None,
        left_days=_days_left(resting) if resting else None,
        inbred_percent=round(100 * inbred, 2) if inbred else None,
        basis=basis,
        mark=_weakest([figure.mark] if figure and shown else [], ["published"] if inbred else []),
    )


def _tag_of(book: Sequence[BroodFish], number: int | None) -> str:
    return "" if number is None else book[number].tag


def _weakest(*marks: Sequence[Mark]) -> Mark | None:
    told_marks = [mark for some in marks for mark in some]
    return weakest(told_marks) if told_marks else None


# Rest -----------------------------------------------------------------------------------------------------


def _rest_figure(talk: Talk, species: str | None) -> Figure | None:
    """The card's days of rest, `None` where there is no card or no figure."""
    known = talk.knowledge.cards.get(species) if species else None
    return known.rest_days if known else None


def _rest(talk: Talk, fish: BroodFish) -> Rest:
    figure = _rest_figure(talk, fish.species)
    return broodbook.rest_of(fish, figure.usual_or_low if figure else None, talk.desk.now)


def _days_left(rest: Rest) -> int | None:
    return None if rest.left is None else math.ceil(rest.left / DAY)


def ready(talk: Talk, said: say.Question) -> None:
    """Which females have rested by the card; ripeness is seen at the fish and stands in no book."""
    wanted = species_asked(talk, said)
    if said.species and said.species not in talk.knowledge.cards:
        talk.say(Refused("unknown-species", words=said.species))
        return
    book = [fish for fish in book_of(talk) if not wanted or fish.species in (None, *wanted)]
    females = broodbook.kept(book, "f")
    busy = [fish for fish in book if fish.busy and fish.sex == "f" and fish.lost is None]
    rests = [_rest(talk, fish) for fish in females if not fish.busy]
    rested, resting, untold = broodbook.by_rest(rests)
    untagged = _untagged(talk, book)
    spoken_of = [each.fish.species for each in (*rested, *resting)] + [each.species for each in untagged]
    figures = [_rest_days(talk, species) for species in dict.fromkeys(spoken_of) if species]
    alone = figures[0].species if len(figures) == 1 else None
    known = [each for each in figures if each.low_days is not None]
    talk.say(
        ReadyFemales(
            species=next(iter(wanted), None) if len(wanted) == 1 else alone,
            females=len(females),
            rested=len(rested),
            ready=tuple(map(_rest_line, rested[:READY])),
            more_ready=max(len(rested) - READY, 0),
            resting=tuple(map(_rest_line, resting[:RESTING])),
            more_resting=max(len(resting) - RESTING, 0),
            untold=tuple(each.fish.tag for each in untold[:NAMED]),
            more_untold=max(len(untold) - NAMED, 0),
            busy=tuple(fish.tag for fish in busy[:NAMED]),
            more_busy=max(len(busy) - NAMED, 0),
            untagged=tuple(untagged),
            rests=tuple(figures),
            signs=_signs(talk, alone) if rested or any(not each.left_days for each in untagged) else (),
            basis=tuple(dict.fromkeys(source for each in known for source in each.basis)),
            mark=_weakest([each.mark for each in known if each.mark]),
        )
    )


def _signs(talk: Talk, species: str | None) -> tuple[str, ...]:
    """The first signs of a ripe female on the card."""
    known: Card | None = talk.knowledge.cards.get(species) if species else None
    return tuple(code for code in (known.signs if known else ()) if not code.startswith("male-"))[:SIGNS]


def _rest_days(talk: Talk, species: str) -> RestDays:
    figure = _rest_figure(talk, species)
    if figure is None:
        return RestDays(species, None, None, None)
    return RestDays(species, figure.low, figure.usual, figure.high, figure.sources, figure.mark)


def _rest_line(rest: Rest) -> RestLine:
    weight, gave = rest.fish.weight, rest.gave
    assert gave is not None and rest.rested_at is not None
    return RestLine(
        tag=rest.fish.tag,
        species=rest.fish.species,
        kg=weight.kg if weight else None,
        weighed_at=weight.at if weight else None,
        gave_at=gave.at,
        surely=gave.gave is True,
        rested_at=rest.rested_at,
        left_days=_days_left(rest) or 0,
    )


def _untagged(talk: Talk, book: Iterable[BroodFish]) -> list[UntaggedRest]:
    """Females that have only a name of their run, by species: all of them rested when the last one did."""
    by_species: dict[str, list[BroodFish]] = {}
    for fish in book:
        if fish.run and fish.sex == "f" and fish.lost is None and fish.species and not fish.busy:
            by_species.setdefault(fish.species, []).append(fish)
    return [_untagged_of(talk, species, fish) for species, fish in sorted(by_species.items())]


def _untagged_of(talk: Talk, species: str, fish: Sequence[BroodFish]) -> UntaggedRest:
    newest = max((_rest(talk, each) for each in fish), key=_gave_at)
    return UntaggedRest(
        species=species,
        females=len(fish),
        runs=len({each.run for each in fish}),
        name=newest.fish.tag,
        gave_at=newest.gave.at if newest.gave else None,
        rested_at=newest.rested_at,
        left_days=_days_left(newest),
    )


def _gave_at(rest: Rest) -> float:
    return rest.gave.at.timestamp() if rest.gave else 0.0


# Mates ----------------------------------------------------------------------------------------------------


def mates(talk: Talk, said: say.Question) -> None:
    """Males for the females named, else for those of a run that is not injected yet, else for any: those used
    least and no kin come first."""
    book = book_of(talk)
    females = _females_meant(talk, book, said)
    species = _species_of_mates(talk, book, females, said)
    since = talk.desk.now - SEASON
    males = broodbook.kept(book, "m", species)
    found = broodbook.mates(book, [fish.number for fish in females], males, since)
    strangers = [each for each in found if not each.inbred]
    kin = [each for each in found if each.inbred]
    nameless = [fish for fish in book if fish.run and fish.sex == "m" and fish.species == species]
    gone = [
        fish.tag
        for fish in book
        if not fish.run
        and fish.sex == "m"
        and fish.species == species
        and fish.lost is not None
        and fish.lost.at >= since
    ]
    talk.say(
        Mates(
            females=tuple(fish.tag for fish in females),
            species=species,
            since=since,
            males=tuple(_mate_line(book, each) for each in strangers[:MALES]),
            more=max(len(strangers) - MALES, 0),
            kin=tuple(_mate_line(book, each) for each in kin[:KIN]),
            untold=any(each.relation == "untold" for each in strangers),
            gone=tuple(dict.fromkeys(gone))[:NAMED],
            untagged=sum(broodbook.used_since(fish, since) > 0 for fish in nameless),
            basis=broodbook.PEDIGREE_SOURCES if kin else (),
            mark="published" if kin else None,
        ),
        cautions=("one-male",) if len(found) == 1 and not nameless else (),
    )


def _females_meant(talk: Talk, book: Sequence[BroodFish], said: say.Question) -> list[BroodFish]:
    """Those named; without any name those of the newest run that is not injected yet. A male that is named is
    no female; a name of one run is refused."""
    if not said.tags:
        runs = [run for run in talk.live() if run.fish and not run.groups]
        numbers = {run.number for run in runs[-1:]}
        tags = [fish.tag for run in runs[-1:] for fish in run.fish if fish.sex == "f"]
        found = [each for tag in tags if (each := _newest(book, tag)) is not None]
        return [each for each in found if any(weight.run in numbers for weight in each.weights)]
    meant: list[BroodFish] = []
    for tag in said.tags:
        fish = _newest(book, tag)
        if fish is None:
            code = "name-of-a-run" if broodbook.of_runs(book, tag) else "unknown-fish"
            raise AskFirst(Reply(Refused(code, words=tag)))
        if fish.sex == "m":
            raise AskFirst(Reply(Refused("is-a-male", words=fish.tag)))
        if fish.lost is not None:
            raise AskFirst(Reply(Refused("lost-already", words=fish.tag, at=fish.lost.at)))
        meant.append(fish)
    return meant


def _species_of_mates(
    talk: Talk, book: Sequence[BroodFish], females: Sequence[BroodFish], said: say.Question
) -> str:
    """The species of the females, of the words, of the newest run, or of what the farm spawned last."""
    of_females = [fish.species for fish in females if fish.species]
    of_runs = [run.species for run in talk.live()][::-1]
    of_males = [fish.species for fish in book if fish.sex == "m" and fish.species][::-1]
    found = [*of_females, *species_asked(talk, said), *of_runs, *of_males]
    if not found:
        raise AskFirst(Reply(Refused("no-males-told")))
    return found[0]


def _mate_line(book: Sequence[BroodFish], mate: Mate) -> MateLine:
    weight = mate.fish.weight
    return MateLine(
        tag=mate.fish.tag,
        kg=weight.kg if weight else None,
        used=mate.used,
        relation=mate.relation or "",
        to=_tag_of(book, mate.to),
        inbred_percent=round(100 * mate.inbred, 2),
    )


# The season -----------------------------------------------------------------------------------------------


def season(talk: Talk, said: say.Question) -> None:
    """The effective number of the fish that gave offspring this season, and the inbreeding it adds."""
    if not say_seasons(talk, species_asked(talk, said)):
        talk.say(Refused("no-offspring-told"))


def say_seasons(talk: Talk, wanted: Sequence[str] = ()) -> bool:
    """The season of each species that is wanted, by default of all; false where none gave offspring."""
    since = talk.desk.now - SEASON
    found = [
        each
        for each in broodbook.seasons(book_of(talk), talk.rows_now(), since)
        if not wanted or each.species in wanted
    ]
    for each in found[:RESTING]:
        talk.say(_season_fact(each, since))
    return bool(found)


def _season_fact(each: Season, since: datetime) -> BroodSeason:
    """4NmNf over both together; more males are advised only where they alone can bring the number."""
    effective = percent = wanted = None
    if each.females and each.males:
        number = broodstock.effective_number(each.females, each.males)
        effective, percent = round(number, 1), round(100 * broodstock.rate_of_inbreeding(number), 1)
        if number < broodstock.ADVISED_NUMBER:
            wanted = broodstock.males_to_reach(each.females, broodstock.ADVISED_NUMBER)
    return BroodSeason(
        species=each.species,
        since=since,
        runs=each.runs,
        females=each.females,
        males=each.males,
        untagged=each.untagged,
        males_untold=each.males_untold,
        effective=effective,
        percent=percent,
        most_percent=broodstock.MOST_PERCENT,
        better_percent=broodstock.BETTER_PERCENT,
        advised=broodstock.ADVISED_NUMBER,
        wanted_males=wanted,
        basis=(*broodstock.FORMULA_SOURCES, *broodstock.ADVICE_SOURCES),
        mark="published",
    )


# The treated fish -----------------------------------------------------------------------------------------


def treated(talk: Talk, said: say.Question) -> None:
    """Every fish that got hormone: none of them is cleared by anything here."""
    wanted = {plain_tag(tag) for tag in said.tags}
    found = [
        each for each in broodbook.treatments(book_of(talk)) if not wanted or plain_tag(each[0].tag) in wanted
    ]
    talk.say(
        TreatedFish(
            of=", ".join(said.tags),
            total=len({fish.number for fish, _ in found}),
            lines=tuple(_treated_line(*each) for each in found[:LISTED]),
            more=max(len(found) - LISTED, 0),
        )
    )


def _treated_line(fish: BroodFish, dose: Treatment) -> TreatedLine:
    return TreatedLine(
        tag=fish.tag,
        run=dose.run,
        species=fish.species,
        at=dose.at,
        preparation=dose.preparation,
        ml=dose.ml,
        amount=dose.amount,
        unit=dose.unit,
        fate=fish.lost.how if fish.lost else "here",
    )


def eating(talk: Talk, said: say.Question) -> None:
    """Nothing here clears a fish; of one that is named, when it last got hormone."""
    book = book_of(talk) if said.tags else ()
    meant = [
        fish
        for tag in said.tags
        for fish in (broodbook.named(book, tag) or broodbook.of_runs(book, tag)[:1])
        if fish.treated
    ]
    if not meant:
        talk.say(Refused("clears-no-fish"))
        return
    newest = max(meant, key=lambda fish: max(each.at for each in fish.treated))
    at = max(each.at for each in newest.treated)
    talk.say(Refused("clears-no-fish", words=newest.tag, at=at))
