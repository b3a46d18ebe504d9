"""A night of chatter: nothing of it is booked, and a nod never tells that a needle was given."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bot.playing import Night, answers, at, newest, of_kind, played

CHATTER = (
    "ok",
    "👍",
    "👍🏽👍🏽",
    "thx",
    "haha 😂",
    "good night",
    "who is this",
    "test",
    "hello?",
    "lol",
    "wait",
    "no signal since 4, sorry",
    "my wife says hello",
    "it is raining since 3",
    "done?",
    "🙏",
)


def started() -> Night:
    return Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "17:01")


def injected() -> Night:
    return started()("20:30", "injected")("20:31", "27")


@pytest.mark.parametrize("words", CHATTER)
def test_chatter_books_nothing(words: str, tmp_path: Path) -> None:
    """Nothing moves: the next bell stays, and nothing is there to be taken back but the water."""
    night = injected()("23:00", words)("23:05", "undo")
    said = played(night.lines, tmp_path)
    assert newest(said, "ask")["about"] == "undo" or newest(said, "noted")["word"] == "water-read"


@pytest.mark.parametrize("nod", ["👍", "ok", "👌", "ok 👍"])
def test_a_nod_at_the_needle_is_asked_about(nod: str, tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")("17:02", nod)
    said = played(night("20:31", nod)("20:33", nod).lines, tmp_path)
    assert newest(said, "plan")["times"]
    assert not of_kind(said, "strip-forecast")
    assert newest(said, "ask")["about"] == "injected-yet"


def test_yes_to_that_is_the_injection(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")("17:02", "ok")
    said = played(night("20:31", "👍")("20:33", "yes").lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:33")


@pytest.mark.parametrize("nod", ["👍", "ok"])
def test_a_nod_at_a_plain_step_is_done(nod: str, tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")("17:02", "ok")
    lines = night.until("19:30")("19:31", nod).lines
    assert newest(answers(played(lines, tmp_path), at("19:31")), "noted")["step"] == "get-ready"


def test_a_nod_at_a_look_is_asked_what_was_seen(tmp_path: Path) -> None:
    lines = injected().until("2 04:50")("2 04:51", "👍").lines
    assert [line["kind"] for line in answers(played(lines, tmp_path), at("2 04:51"))] == ["ask"]


def test_among_people_a_nod_is_not_for_the_bot(tmp_path: Path) -> None:
    night = Night(chat="farm")("17:00", "catfish f 2.4 m 1.9")("17:01", "17:01")
    lines = night("20:30", "injected")("20:31", "27")("23:40", "👍")("23:41", "haha").lines
    said = played(lines, tmp_path)
    assert not answers(said, at("23:40")) + answers(said, at("23:41"))


# Several people, and words that come late ------------------------------------------------------------------


def of_two() -> Night:
    night = Night(chat="farm")("17:00", "catfish f 2.4 f 3 m 1.9").add("17:01", user="ben", text="hello all")
    return night.tap("17:02", "yes").tap("17:05", "start")("17:06", "ok")


def test_a_second_done_is_told_who_was_first(tmp_path: Path) -> None:
    """The needle is planned for 20:30: a second "done" an hour before it is none."""
    night = of_two().until("19:30")("19:31", "done").add("19:32", user="ben", text="done")
    said = played(night.lines, tmp_path)
    assert (newest(said, "answered")["by"], newest(said, "answered")["step"]) == ("ada", "get-ready")
    assert not of_kind(said, "strip-forecast")


def test_milt_told_by_a_second_person_moves_nothing(tmp_path: Path) -> None:
    night = of_two()("20:31", "injected").until("2 05:00")("2 05:30", "F1 210 g, F2 300 g")
    night = night("2 05:35", "milt is on").add("2 05:37", user="ben", text="milt is on")
    said = played(night.lines, tmp_path)
    assert newest(said, "answered")["by"] == "ada"
    assert newest(said, "answered")["at"] == at("2 05:35")
    assert len(of_kind(said, "hatch-forecast")) == 1


def test_done_long_before_the_planned_needle_is_asked_about(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")("17:02", "ok")
    said = played(night.until("19:30")("19:31", "done")("19:50", "done").lines, tmp_path)
    assert newest(said, "ask")["about"] == "injected-yet"
    assert not of_kind(said, "strip-forecast")


def test_just_now_counts_from_when_it_was_sent(tmp_path: Path) -> None:
    night = started().add("22:00", text="injected just now", sent_at=at("20:10"))
    assert newest(played(night.lines, tmp_path), "strip-forecast")["final_injection_at"] == at("20:10")


def test_later_that_came_late_counts_from_its_coming(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")("17:02", "ok").until("19:30")
    said = played(night.add("20:15", text="later", sent_at=at("19:32")).lines, tmp_path)
    assert newest(said, "noted")["at"] == at("20:45")


@pytest.mark.parametrize(
    ("caption", "kinds"), [("haha look", ["noted"]), ("F1 24", ["noted", "ask"]), ("", ["noted"])]
)
def test_a_caption_that_is_not_clear_is_asked_about(caption: str, kinds: list[str], tmp_path: Path) -> None:
    (tmp_path / "belly.jpg").write_bytes(b"\xff\xd8 a picture")
    lines = injected().add("23:00", photo="belly.jpg", caption=caption).lines
    assert [line["kind"] for line in answers(played(lines, tmp_path), at("23:00"))] == kinds
