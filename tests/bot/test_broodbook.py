"""The brood book in the chat: who is ready on a farm of no run, one run and a hundred; a fish's card, mates,
the season, the treated fish; and that F1 of one run is nobody in another."""

from __future__ import annotations

import csv
import io
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bot import house, knowledge
from bot.exports.source import Source
from bot.exports.tables import written
from bot.store import Store
from core.assistant import Desk, decide
from core.commands import LoseFish, Question
from core.records import BOOK, Event, Farm, FishRow, FishTold, Person, RunRow
from core.replies import ReadyFemales, TreatedFish
from tests.bot.playing import STORE, Night, newest, of_kind, played

NOW = datetime(2026, 6, 1, 3, 0, tzinfo=UTC)
MOST_LINES, MOST_SIGNS = 11, 900
CLEARS = "Only the label, the law and a veterinarian can"


def days_ago(days: float) -> datetime:
    return NOW - timedelta(days=days)


def run(number: int, days: float, *fish: FishRow, **more: Any) -> RunRow:
    told: dict[str, Any] = {"state": "closed", "preparation": "premix", "had_eggs": True, "larvae": 9000}
    begun = days_ago(days)
    return RunRow(number, "african-catfish", begun, begun, **(told | {"fish": fish} | more))


def gave(tag: str, days: float, kg: float = 2.4) -> FishRow:
    at = days_ago(days)
    return FishRow(tag, "f", kg, first_at=at, ml=1.2, amount=24.0, unit="ug", state="stripped", gave_at=at)


def desk(rows: list[RunRow], book: tuple[Event, ...] = ()) -> Desk:
    return Desk(Farm(1, "ada"), Person(1, "ada"), NOW, NOW, "m1", 100, 200, rows=tuple(rows), book=book)


def asked(topic: str, rows: list[RunRow], *book: Event, tags: tuple[str, ...] = ()) -> tuple[Any, str]:
    """The fact of the answer, and how it reads."""
    (reply,) = decide(Question(topic, tags=tags), desk(rows, book), house.known()).replies
    return reply.fact, knowledge.wording().say(reply, lang="en", zone=UTC, now=NOW)


def ready(rows: list[RunRow], *book: Event) -> tuple[ReadyFemales, str]:
    fact, text = asked("ready_fish", rows, *book)
    assert isinstance(fact, ReadyFemales)
    assert len(text.splitlines()) <= MOST_LINES
    assert len(text) <= MOST_SIGNS
    return fact, text


# Which females are ready? ---------------------------------------------------------------------------------


def test_a_farm_with_no_run_hears_what_to_tell() -> None:
    fact, text = ready([])
    assert (fact.females, fact.ready, fact.untagged) == (0, (), ())
    assert "Weigh each with a tag of her own" in text


def test_a_farm_with_one_run(tmp_path: Path) -> None:
    """42 days by the card, african-catfish: fao-ftp-362, from memory."""
    rows = [run(1, 50, gave("8", 50), gave("9", 49.5), FishRow("10", "f", 2.0, state="none"))]
    fact, text = ready(rows)
    assert [(each.tag, each.left_days, each.rested_at) for each in fact.ready] == [
        ("8", 0, days_ago(8)),
        ("9", 0, days_ago(7.5)),
    ]
    assert (fact.females, fact.rested, fact.untold, fact.resting) == (3, 2, ("10",), ())
    assert (fact.basis, fact.mark) == (("fao-ftp-362",), "from memory")
    assert "look at her first" in text and "from memory" in text
    sooner, text = ready([run(1, 30, gave("8", 30))])
    assert (sooner.rested, [(each.tag, each.left_days) for each in sooner.resting]) == (0, [("8", 12)])
    assert "look at her" not in text


def test_a_farm_in_its_first_night_without_tags(tmp_path: Path) -> None:
    """Weighed, injected, and with eggs: each answer is true of that hour."""
    night = Night()("18:00", "catfish f 2.4 f 3.1 m 1.9")("18:01", "which females are ready?")
    night = night.tap("18:02", "start")("20:30", "injected")("20:31", "which females are ready?")
    night = night("2 07:00", "F1 200 g, F2 gave none")("2 07:01", "which females are ready?")
    said = of_kind(played(night.lines, tmp_path), "ready-females")
    assert [(each["busy"], each["females"]) for each in said] == [
        (["F1", "F2"], 0),
        (["F1", "F2"], 0),
        ([], 0),
    ]
    assert [(each["females"], each["left_days"], each["name"]) for each in said[2]["untagged"]] == [
        (2, 42, "F1")
    ]


def hundred() -> list[RunRow]:
    """A hundred runs, newest first: forty females with tags in turn, two without in each."""
    rows = []
    for n in range(100):
        days = 3.0 * (100 - n)
        tagged = [gave(str(20 + (4 * n + k) % 40), days) for k in range(4)]
        rows.append(run(n + 1, days, *tagged, gave("F1", days), gave("F2", days), FishRow("M1", "m", 1.9)))
    return rows[::-1]


def test_a_farm_with_a_hundred_runs() -> None:
    """Each tag comes every tenth run, so forty females gave eggs within the last 30 days: none has rested."""
    fact, text = ready(hundred())
    assert (fact.females, fact.rested, fact.more_resting) == (40, 0, 37)
    assert [(each.tag, each.left_days) for each in fact.resting] == [("20", 12), ("21", 12), ("22", 12)]
    (nameless,) = fact.untagged
    assert (nameless.females, nameless.runs, nameless.left_days) == (200, 100, 39)
    assert "F1 is only a name within one run" in text
    later = [run(row.run, (NOW - row.begun_at).days + 15, *row.fish) for row in hundred()]
    moved = [
        run(row.run, 0, *(gave(fish.tag, (NOW - row.begun_at).days) for fish in row.fish if fish.sex == "f"))
        for row in later
    ]
    fact, text = ready(moved)
    assert (fact.females, fact.rested, len(fact.ready), fact.more_ready) == (40, 8, 4, 4)
    assert [each.tag for each in fact.ready] == ["20", "21", "22", "23"]


def test_the_answer_grows_no_slower_than_its_rows() -> None:
    """A thousand runs are read in less than a second on a slow machine; the events of none of them are."""
    many = [run(n, n / 5, *(gave(str(10 + n % 40 + k), n / 5) for k in range(5))) for n in range(1, 1001)]
    begun = time.process_time()
    fact, _ = ready(many)
    assert time.process_time() - begun < 1.0
    assert fact.females == 44


def test_a_lost_female_and_one_in_a_run_tonight_are_not_ready() -> None:
    dead = gave("9", 60)
    rows = [
        run(
            1,
            60,
            gave("8", 60),
            FishRow("9", "f", 2.0, state="died", died_at=days_ago(60), gave_at=dead.gave_at),
        ),
        run(
            2, 0.2, FishRow("8", "f", 2.5, first_at=days_ago(0.2)), state="open", had_eggs=False, larvae=None
        ),
    ]
    fact, _ = ready(rows)
    assert (fact.females, fact.ready, fact.busy) == (1, (), ("8",))


def test_a_species_without_a_figure_says_so() -> None:
    rows = [run(1, 60, gave("8", 60))]
    barb = [RunRow(1, "silver-barb", row.begun_at, None, "closed", fish=row.fish) for row in rows]
    fact, text = ready(barb)
    assert (fact.untold, fact.mark) == (("8",), None)
    assert "8" in text


# The chat -------------------------------------------------------------------------------------------------


def season() -> Night:
    """One night with tags, and all of it to the larvae."""
    night = Night()("1 18:00", "catfish tag 8 female 2.4, tag 9 female 3.1, f 2.0, tag 12 male 1.9")
    night = night.tap("1 18:01", "start")("1 20:30", "injected")("1 20:31", "27")
    night = night("2 07:00", "tag 8 210 g")("2 07:01", "tag 9 gave none")("2 07:02", "F1 190 g")
    return night("2 07:03", "milt done")("2 07:05", "cut tag 12")("3 09:00", "30000 larvae")("6 09:00", "fed")


def test_a_card_tells_weights_eggs_rest_and_hormone(tmp_path: Path) -> None:
    card = newest(played(season()("9 09:00", "show tag 8").lines, tmp_path), "brood-fish")
    assert [each["kg"] for each in card["weights"]] == [2.4]
    assert [(each["gave"], each["grams"]) for each in card["spawnings"]] == [(True, 210.0)]
    assert [(each["ml"], each["amount"], each["unit"]) for each in card["treated"]] == [(1.2, 24.0, "ug")]
    assert (card["left_days"], card["run"], card["lost"]) == (35, 0, "")


def test_a_name_of_a_run_has_a_card_of_that_run_alone(tmp_path: Path) -> None:
    said = played(season()("9 09:00", "show F1")("9 09:01", "F1 is from the river").lines, tmp_path)
    assert newest(said, "brood-fish")["run"] == 1
    assert "only a name within the run" in said[-2]["text"]
    assert newest(said, "refused")["why"] == "name-of-a-run"


def test_origin_and_parents_are_kept_and_taken_back(tmp_path: Path) -> None:
    night = Night()("09:00", "tag 8 is from the river")("09:01", "8 is a daughter of 3 and 12")
    night = night.tap("09:02", "pick:1")("09:03", "show tag 8")
    said = played(night.tap("09:04", "undo")("09:05", "show tag 8").lines, tmp_path)
    assert newest(said, "ask")["why"] == "sex-unknown"
    first, second = of_kind(said, "brood-fish")
    assert (first["origin"], first["mother"], first["father"], first["sex"]) == ("the river", "3", "12", "f")
    assert (second["origin"], second["mother"]) == ("the river", "")


def test_known_sexes_need_no_question(tmp_path: Path) -> None:
    said = played(season()("9 09:00", "20 is a son of 12 and 8").lines, tmp_path)
    kept = newest(said, "fish-told")
    assert (kept["mother"], kept["father"], kept["sex"]) == ("8", "12", "m")


def test_a_sex_that_was_told_otherwise_is_no_second_fish(tmp_path: Path) -> None:
    night = Night()("09:00", "20 is a son of mother 3")("09:01", "20 is a daughter of mother 3")
    said = played(night("09:02", "show tag 20").lines, tmp_path)
    assert newest(said, "refused")["why"] == "sex-told-otherwise"
    assert newest(said, "brood-fish")["sex"] == "m"


def test_a_weight_for_the_book_begins_no_run(tmp_path: Path) -> None:
    night = Night()("09:00", "for the book: tag 8 female 2.6 kg, tag 9 female 3.1 kg")(
        "5 09:00", "for the book tag 8 2.8"
    )
    said = played(night("5 09:01", "show tag 8")("5 09:02", "status").lines, tmp_path)
    assert [(each["tag"], each["kg"], each["fresh"]) for each in of_kind(said, "fish-told")] == [
        *(("8", 2.6, True), ("9", 3.1, True), ("8", 2.8, False)),
    ]
    assert [(each["kg"], each["run"]) for each in newest(said, "brood-fish")["weights"]] == [
        (2.8, 0),
        (2.6, 0),
    ]
    assert newest(said, "status")["runs"] == []


@pytest.mark.parametrize("tag", ["21", "1", "A4"])
def test_a_fish_that_got_a_tag_is_followed_from_then_on(tag: str, tmp_path: Path) -> None:
    """Also one that is called 1: the farm gave her that name, no count of a night did."""
    night = season()("9 09:00", f"F1 is tag {tag}")("9 09:01", f"show tag {tag}")
    night = night("60 18:00", f"catfish tag {tag} female 2.3").tap("60 18:01", "start")
    night = night("60 20:30", "injected")
    said = played(night("61 07:00", f"tag {tag} 150 g")("61 07:01", f"show tag {tag}").lines, tmp_path)
    first, second = of_kind(said, "brood-fish")
    assert (first["run"], [each["grams"] for each in first["spawnings"]]) == (0, [190.0])
    assert [each["grams"] for each in second["spawnings"]] == [150.0, 190.0]
    assert [each["kg"] for each in second["weights"]] == [2.3, 2.0]


def test_a_tag_that_was_given_by_mistake_is_taken_back(tmp_path: Path) -> None:
    night = season()("9 09:00", "F1 is tag 21").tap("9 09:01", "undo")("9 09:02", "show tag 21")
    said = played(night("9 09:03", "F1 is tag 8")("9 09:04", "F9 is tag 30").lines, tmp_path)
    assert [each["why"] for each in of_kind(said, "refused")] == ["unknown-fish", "tag-taken", "unknown-fish"]


def test_a_circle_of_parents_is_refused(tmp_path: Path) -> None:
    night = Night()("09:00", "mother of 8 is 3")("09:01", "mother of 3 is 8")("09:02", "mother of 5 is 5")
    said = played(night("09:03", "show tag 3").lines, tmp_path)
    assert [each["why"] for each in of_kind(said, "refused")] == ["own-parent", "own-parent"]
    assert newest(said, "brood-fish")["mother"] == ""


@pytest.mark.parametrize(
    ("words", "how"), [("tag 8 died", "died"), ("tag 8 sold", "sold"), ("tag 8 escaped", "escaped")]
)
def test_a_fish_is_lost_outside_of_a_run(words: str, how: str, tmp_path: Path) -> None:
    said = played(season()("9 09:00", words)("9 09:01", "show tag 8")("9 09:02", words).lines, tmp_path)
    assert newest(said, "noted")["word"] == f"{how}-treated"
    assert newest(said, "brood-fish")["lost"] == how
    assert newest(said, "refused")["why"] == "lost-already"
    assert CLEARS in next(line["text"] for line in said if line["kind"] == "brood-fish")


def test_a_death_in_an_open_run_stays_of_that_run(tmp_path: Path) -> None:
    night = Night()("1 18:00", "catfish tag 8 female 2.4, tag 12 male 1.9").tap("1 18:01", "start")
    said = played(
        night("1 20:30", "injected")("1 23:00", "tag 8 died")("1 23:01", "show tag 8").lines, tmp_path
    )
    assert [each["run"] for each in of_kind(said, "noted") if each["what"] == "died"] == [1]
    assert newest(said, "brood-fish")["lost"] == "died"


def test_who_may_be_paired(tmp_path: Path) -> None:
    night = season()("9 09:00", "14 is a son of female 8 and male 30")(
        "9 09:01", "who should I pair with tag 8?"
    )
    said = played(night("9 09:02", "which males for tomorrow?").lines, tmp_path)
    first, second = of_kind(said, "mates")
    assert ([each["tag"] for each in first["males"]], first["gone"]) == (["30"], ["12"])
    assert [(each["tag"], each["relation"], each["inbred_percent"]) for each in first["kin"]] == [
        ("14", "child", 25.0)
    ]
    assert [each["tag"] for each in second["males"]] == ["14", "30"]


def test_mates_for_the_females_of_a_run_that_is_not_injected(tmp_path: Path) -> None:
    night = season()("9 09:00", "14 is a son of female 8 and male 30")
    night = night("50 18:00", "catfish tag 8 female 2.5").tap("50 18:01", "start")(
        "50 18:02", "which males for tonight?"
    )
    assert newest(played(night.lines, tmp_path), "mates")["females"] == ["8"]


def test_the_season_in_numbers(tmp_path: Path) -> None:
    """4 x 2 x 1 / 3 = 2.7: genetics-course. 8 and F1 gave larvae; 9 gave no eggs."""
    said = played(
        season()("9 09:00", "effective number this season?")("9 09:01", "effective number?").lines, tmp_path
    )
    for fact in of_kind(said, "brood-season"):
        assert (fact["females"], fact["males"], fact["untagged"], fact["runs"]) == (2, 1, 1, 1)
        assert (fact["effective"], fact["percent"]) == (2.7, 18.8)
    assert len(of_kind(said, "brood-season")) == 2


def test_without_larvae_there_is_no_season(tmp_path: Path) -> None:
    said = played(Night()("09:00", "effective number this season?").lines, tmp_path)
    assert newest(said, "refused")["why"] == "no-offspring-told"


# The treated fish -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["which fish were treated?", "treated fish list"])
def test_every_treated_fish_is_listed_and_none_is_cleared(words: str, tmp_path: Path) -> None:
    said = played(season()("9 09:00", words).lines, tmp_path)
    lines = [
        (each["tag"], each["preparation"], each["ml"], each["fate"])
        for each in newest(said, "treated-fish")["lines"]
    ]
    assert lines == [
        ("8", "premix", 1.2, "here"),
        ("9", "premix", 1.6, "here"),
        ("12", "premix", 0.48, "cut"),
        ("F1", "premix", 1.0, "here"),
    ]
    assert said[-1]["text"].endswith(CLEARS + ".")


def test_a_list_that_is_empty_clears_no_fish_either() -> None:
    fact, text = asked("treated_fish", [])
    assert isinstance(fact, TreatedFish)
    assert (fact.total, text.endswith(CLEARS + ".")) == (0, True)


def test_a_long_list_says_how_many_more() -> None:
    fact, text = asked("treated_fish", hundred())
    assert (fact.total, len(fact.lines), fact.more) == (240, 8, 592)
    assert len(text.splitlines()) == 11
    assert text.endswith(CLEARS + ".")


@pytest.mark.parametrize("words", ["may I eat tag 8?", "can I sell tag 8 now?", "may I eat F1?"])
def test_no_fish_is_cleared_and_its_hormone_is_named(words: str, tmp_path: Path) -> None:
    refused = newest(played(season()("9 09:00", words).lines, tmp_path), "refused")
    assert (refused["why"], refused["at"]) == ("clears-no-fish", "2026-06-01T20:30:00+06:00")


def test_a_fish_nobody_knows_is_not_cleared_either(tmp_path: Path) -> None:
    said = played(
        season()("9 09:00", "may I eat tag 77?")("9 09:01", "may I eat the female?").lines, tmp_path
    )
    assert [each["why"] for each in of_kind(said, "refused")] == ["clears-no-fish", "clears-no-fish"]


def test_a_tag_on_fish_of_two_species_is_asked() -> None:
    rohu = RunRow(2, "rohu", days_ago(60), None, "closed", fish=(gave("8", 60),))
    (reply,) = decide(
        LoseFish(("8",), "sold"), desk([run(1, 60, gave("8", 60)), rohu]), house.known()
    ).replies
    assert [button.action for button in reply.buttons] == ["pick:1", "pick:2"]


def test_what_the_book_tells_stands_beside_the_runs() -> None:
    told = Event(1, 1, BOOK, days_ago(5), days_ago(5), FishTold("8", origin="the river", sex="f"))
    fact, _ = asked("fish_card", [run(1, 60, gave("8", 60))], told, tags=("8",))
    assert (fact.origin, len(fact.weights)) == ("the river", 1)


# The export -----------------------------------------------------------------------------------------------


def test_the_export_lists_the_treated_fish_and_what_became_of_them(tmp_path: Path) -> None:
    played(season()("9 09:00", "tag 9 sold")("9 09:01", "tag 8 is from the river").lines, tmp_path)
    with closing(Store.open(tmp_path / STORE)) as store:
        tables = written(Source(store, 1))
    rows = {row["fish"]: row for row in csv.DictReader(io.StringIO(tables["treated.csv"].lstrip("\ufeff")))}
    assert [(tag, row["own_tag"], row["gone"]) for tag, row in sorted(rows.items())] == [
        ("12", "yes", "cut"),
        ("8", "yes", ""),
        ("9", "yes", "sold"),
        ("F1", "no", ""),
    ]
    eight = rows["8"]
    assert (eight["preparation"], eight["volume_ml"], eight["amount"], eight["amount_unit"]) == (
        *("premix", "1.2", "24", "ug"),
    )
    assert rows["9"]["gone_at"] == "2026-06-09T09:00:00+06:00"
    events = list(csv.DictReader(io.StringIO(tables["events.csv"].lstrip("\ufeff"))))
    assert [(row["kind"], row["fish"]) for row in events if row["run"] == "0"] == [
        ("fish-lost", "9"),
        ("fish-told", "8"),
    ]
