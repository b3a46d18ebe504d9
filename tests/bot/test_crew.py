"""People of a farm: joined by a link, rung in turn, answered once, handed over, gone; and a farm's end.

The night `tests/nights/crew.jsonl` tells it in one go: chi has a farm of her own, ada's is joined by ben and
chi, and in a room ben is a hand of chi's. What stands on its own is played below it.

Left open by the design, and taken so here: a removed person is told once, and so is whoever leaves; a message
that waited for its farm counts from when it was written; a bell whose one on duty cannot be reached goes to
the others at once; after a farm is gone for good, whoever has no other founds one by the next word.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.bot.invariants import check
from tests.bot.playing import actions, answers, bells, night
from tests.bot.village import DAY, MINUTE, Village

LOOKS = "check-females"


def at(day: int, clock: str) -> str:
    return f"2026-06-{day:02d}T{clock}:00+06:00"


def told(day: int, clock: str, chat: str = "") -> list[dict[str, Any]]:
    """What was said at that minute and is no bell, in one chat or in all."""
    return [line for line in answers(night("crew"), at(day, clock)) if chat in ("", line["chat"])]


def rang(day: int, clock: str, farm: str = "Ada") -> list[tuple[str, int, list[str]]]:
    """The looks of a farm that rang at that minute: where, at which attempt, and who was tried before."""
    return [
        (line["chat"], line["reminder"]["attempt"], line["facts"]["tried"])
        for line in bells(night("crew"), LOOKS)
        if line["at"] == at(day, clock) and line["facts"]["farm"] == farm
    ]


def whats(lines: list[dict[str, Any]]) -> list[tuple[str, str, str | None]]:
    """Chat, kind, and what exactly."""
    keys = ("what", "why", "about")
    return [
        (
            line["chat"],
            line["kind"],
            next((line["facts"][key] for key in keys if line["facts"].get(key)), None),
        )
        for line in lines
    ]


def of_kind(lines: list[dict[str, Any]], kind: str) -> dict[str, Any]:
    return next(line for line in lines if line["kind"] == kind)


# The night ------------------------------------------------------------------------------------------------


def test_a_link_is_shown_once_and_can_be_revoked() -> None:
    (shown,) = told(1, "18:06")
    assert shown["kind"] == "join-link"
    assert shown["facts"]["link"]
    assert shown["facts"]["until"] == at(3, "18:06")
    assert actions(shown) == ["revoke"]


def test_who_opens_a_link_reads_along_until_the_owner_says_yes() -> None:
    opened = told(1, "18:08")
    assert {line["chat"] for line in opened} == {"ada", "ben"}
    assert actions(of_kind(opened, "ask")) == ["yes", "no"]
    (refused,) = told(1, "18:09")
    assert whats([refused]) == [("ben", "refused", "reader")]
    assert whats(told(1, "18:10")) == [
        ("ben", "noted", "now-hand"),
        ("ada", "noted", "member-added"),
    ] or whats(told(1, "18:10")) == [("ada", "noted", "member-added"), ("ben", "noted", "now-hand")]


@pytest.mark.parametrize("clock", ["18:11", "18:14"], ids=["spent", "revoked"])
def test_a_link_that_does_not_open_says_the_same_whatever_is_wrong(clock: str) -> None:
    (said,) = told(1, clock)
    assert whats([said]) == [("chi", "refused", "link-unknown")]
    assert said["text"] == told(1, "18:11")[0]["text"]


def test_the_one_who_has_the_night_hears_of_it() -> None:
    said = told(1, "20:35")
    assert {line["chat"] for line in said} == {"ada", "ben"}
    (crew,) = told(1, "20:36")
    assert crew["kind"] == "crew"
    assert [(each["name"], each["role"]) for each in crew["facts"]["people"]] == [
        ("ada", "owner"),
        ("ben", "hand"),
        ("chi", "hand"),
    ]
    assert crew["facts"]["night"] == ["ben"]
    assert crew["facts"]["until"] == at(2, "12:00")


def test_a_look_rings_who_has_the_night_then_the_next_then_the_owner() -> None:
    assert rang(2, "04:45", "ada") == [("ben", 1, [])]
    assert rang(2, "04:47", "ada") == [("ben", 2, ["ben"])] or rang(2, "04:47", "ada") == [("ben", 2, [])]
    assert sorted(rang(2, "04:49", "ada")) == [("ben", 3, ["ben"]), ("chi", 3, ["ben"])]
    assert sorted(chat for chat, _, _ in rang(2, "04:51", "ada")) == ["ben", "chi"]
    fifth = rang(2, "04:53", "ada")
    assert sorted(chat for chat, _, _ in fifth) == ["ada", "ben", "chi"]
    assert all(sorted(tried) == ["ben", "chi"] for _, _, tried in fifth)


def test_one_answer_ends_the_bell_for_all_and_the_others_hear_who_and_when() -> None:
    said = [line for line in told(2, "04:54") if line["kind"] == "answered"]
    assert {line["chat"] for line in said} == {"ben", "chi"}
    assert {(line["facts"]["by"], line["facts"]["step"]) for line in said} == {("ada", LOOKS)}
    assert all(line["facts"]["at"] for line in said)
    assert rang(2, "04:55", "ada") == []


def test_in_a_room_who_wants_it_is_rung_in_their_own_chat_too() -> None:
    looks = [line for line in bells(night("crew"), LOOKS) if line["facts"]["farm"] == "pondside"]
    assert {line["chat"] for line in looks} == {"pondside", "ben"}
    assert all(line["text"].startswith("pondside") for line in looks if line["chat"] == "ben")
    said = [line for line in told(2, "05:00") if line["kind"] == "answered"]
    assert [(line["chat"], line["facts"]["by"]) for line in said] == [("pondside", "ben")]


def test_what_is_told_after_another_farm_rang_is_asked_about_and_then_read_for_the_one_picked() -> None:
    (asked,) = told(2, "05:46")
    assert (asked["kind"], asked["facts"]["about"]) == ("ask", "farm")
    assert actions(asked) == ["farm:1", "farm:2"]
    assert [button["label"] for button in asked["buttons"]] == ["ada", "pondside"]
    read = told(2, "05:47", "ben")
    assert read and all(line["facts"]["farm"] == "ada" for line in read)
    assert of_kind(read, "strip-forecast")["facts"]["celsius"] == 27


def test_a_bare_answer_belongs_to_the_one_farm_whose_bell_rings_in_the_chat() -> None:
    said = told(2, "06:46", "ben")
    assert said and all(line["facts"]["farm"] == "ada" for line in said)
    assert {line["kind"] for line in said}.isdisjoint({"ask"})


def test_an_adviser_of_several_farms_is_asked_which_one_and_sees_its_name() -> None:
    """The room's farm is none of those that speak in chi's own chat: she wants no bells there."""
    (asked,) = told(2, "09:00")
    assert [button["label"] for button in asked["buttons"]] == ["chi", "ada"]
    (given,) = told(2, "09:01")
    assert (given["kind"], given["facts"]["farm"]) == ("given", "ada")
    assert given["text"].startswith("ada")


def test_a_farm_is_handed_over_when_the_other_takes_it_and_all_hear_it() -> None:
    assert actions(told(2, "13:00")[0])[0] == "person:3"
    offered = told(2, "13:01")
    assert actions(next(line for line in offered if line["chat"] == "ben")) == ["yes", "no"]
    assert {line["chat"] for line in told(2, "13:02")} == {"ada", "ben", "chi"}


def test_who_leaves_is_told_and_the_owner_too() -> None:
    left = whats(told(2, "13:06"))
    assert ("chi", "noted", "left-farm") in left
    assert ("ben", "noted", "member-left") in left


def test_who_is_removed_is_told_and_has_a_farm_of_their_own_from_the_next_word() -> None:
    assert actions(told(2, "13:10")[0])[0] == "person:2"
    gone = whats(told(2, "13:11"))
    assert ("ada", "noted", "sent-away") in gone
    assert ("ben", "noted", "member-removed") in gone
    (pressed,) = told(2, "13:12")
    assert whats([pressed]) == [("ada", "refused", "not-member")]
    own = told(2, "13:13")
    assert [line["chat"] for line in own] == ["ada"]
    assert "2.4" not in str(own)


def test_all_that_is_kept_is_handed_out_to_the_owner() -> None:
    (export,) = told(2, "13:15")
    assert (export["chat"], export["kind"]) == ("ben", "export")


def test_a_farm_is_deleted_when_that_was_pressed_too_and_is_silent_then() -> None:
    (asked,) = told(2, "13:16")
    assert (asked["facts"]["about"], actions(asked)[0]) == ("delete-farm", "yes")
    (gone,) = told(2, "13:17")
    assert actions(gone) == ["undo"]
    later = [
        line
        for line in night("crew")
        if at(2, "13:17") < line["at"] < at(3, "13:31")
        and line["facts"]["farm"] == "ada"
        and line["reminder"]
    ]
    assert later == []


def test_a_deleted_farm_comes_back_by_one_word_and_is_gone_for_good_after_a_week() -> None:
    back = told(3, "13:31", "ben")
    assert ("ben", "noted", "farm-restored") in whats(back)
    assert told(3, "13:33")
    after = [line for line in night("crew") if line["at"] > at(3, "13:33")]
    assert {line["facts"]["farm"] for line in after} == {"pondside"}


def test_nothing_of_another_farm_stands_in_any_chat() -> None:
    """Weights 2.2 and 1.8 are the room's, 2.4, 3.1 and 1.9 ada's, 4 and 3 chi's."""
    for line in night("crew"):
        fish = [
            each["kg"] for each in line["facts"].get("fish", ()) if isinstance(each, dict) and "kg" in each
        ]
        theirs = {"pondside": {2.2, 1.8}, "ada": {2.4, 3.1, 1.9}, "chi": {4.0, 3.0}}.get(
            line["facts"]["farm"], set()
        )
        assert set(fish) <= theirs, line


# On their own ---------------------------------------------------------------------------------------------


@pytest.fixture
def village(tmp_path: Path) -> Iterator[Village]:
    """Ada's farm, with ben and chi as hands, and fish injected."""
    with closing(Village(tmp_path / "village.db")) as found:
        found.says("ada", "catfish f 2.4 3.1 m 1.9")
        for hand in ("ben", "chi"):
            found.opens(hand, found.invites("ada").code)
            found.presses("ada", "yes")
        found.says("ada", "injected")
        yield found


def looks(village: Village, chat: str) -> list[int]:
    """The attempts of looks that this chat was rung at."""
    return [
        (row.reminder or {})["attempt"]
        for row in village.shown
        if row.chat == chat and (row.reminder or {}).get("step") == LOOKS
    ]


def to_the_first_look(village: Village, more: timedelta = timedelta(0)) -> None:
    due = village.store.file.value("SELECT min(due_at) FROM reminders WHERE step = ?", LOOKS)
    from bot.store import moment

    check(village, village.passes(moment(due) - village.clock.now() + more))


def test_without_a_duty_everybody_is_rung_at_once(village: Village) -> None:
    to_the_first_look(village)
    assert [looks(village, user) for user in ("ada", "ben", "chi")] == [[1], [1], [1]]


def test_the_duty_ends_at_noon(village: Village) -> None:
    village.says("ada", "Ben has the night")
    duty = village.store.farm(1).duty
    assert duty is not None
    assert (duty.until.hour, duty.until > village.clock.now()) == (6, True)  # noon at UTC+6


def test_everybody_has_the_night_again(village: Village) -> None:
    village.says("ada", "Ben has the night")
    village.says("ben", "everybody has the night")
    to_the_first_look(village)
    assert [looks(village, user) for user in ("ada", "ben", "chi")] == [[1], [1], [1]]


def test_who_has_the_night_and_cannot_be_reached_is_no_reason_for_silence(village: Village) -> None:
    """Ben blocked us after he took the night: somebody who can hear it is rung at the first attempt."""
    village.says("ben", "I have the night")
    village.blocks("ben")
    to_the_first_look(village)
    assert looks(village, "ada") + looks(village, "chi")


def test_who_has_the_night_and_was_removed_is_no_reason_for_silence(village: Village) -> None:
    village.says("ben", "I have the night")
    village.says("ada", "remove Ben")
    village.presses("ada", f"person:{village.person('ben')}")
    to_the_first_look(village)
    assert [looks(village, user) for user in ("ada", "ben", "chi")] == [[1], [], [1]]


def test_a_next_one_without_a_chat_of_their_own_is_called_in_the_room(tmp_path: Path) -> None:
    """Ben has the night and a chat; chi, the next, is in the room alone: the third attempt must reach her."""
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ben", "hello")
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        for hand in ("ben", "chi"):
            village.says(hand, "water 27", "pondside")
            village.presses("ada", "yes", "pondside")
        village.says("ben", "ring me privately too", "pondside")
        village.says("ada", "injected", "pondside")
        village.says("ada", "Ben has the night", "pondside")
        to_the_first_look(village, 2 * MINUTE)
        assert looks(village, "ben") == [1, 2]
        village.passes(2 * MINUTE)
        assert 3 in looks(village, "pondside")


def test_from_the_fifth_attempt_on_the_room_hears_it_too(tmp_path: Path) -> None:
    """Four who may be rung, each in a chat of their own: that is not everybody at the fifth attempt."""
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        for hand in ("ben", "chi", "dan"):
            village.says(hand, "water 27", "pondside")
            village.presses("ada", "yes", "pondside")
        for user in ("ada", "ben", "chi", "dan"):
            village.says(user, "hello")
            village.says(user, "ring me privately too", "pondside")
        village.says("ada", "injected", "pondside")
        village.says("ada", "Ben has the night", "pondside")
        to_the_first_look(village, 7 * MINUTE)
        assert looks(village, "pondside") == []
        village.passes(3 * MINUTE)
        assert looks(village, "pondside") == [5, 6]
        assert looks(village, "ada") == [5, 6]


def test_whoever_is_gone_gets_nothing_that_was_still_to_be_sent_but_the_goodbye(village: Village) -> None:
    to_the_first_look(village, -MINUTE)
    village.online = False
    village.passes(2 * MINUTE)
    step = village.says("ada", "remove Ben")
    ask = next(row for row in step.rows if row.buttons)
    village.taps("ada", ask.id, f"person:{village.person('ben')}")
    heard = len([row for row in village.shown if row.chat == "ben"])
    village.goes_online()
    after = [row for row in village.shown if row.chat == "ben"][heard:]
    assert [(row.kind, row.facts.get("what")) for row in after] == [("noted", "sent-away")]


OWNERS_WORDS = ("invite", "revoke the links", "remove Chi", "hand over to Chi", "export", "delete everything")


@pytest.mark.parametrize("words", OWNERS_WORDS)
def test_what_is_the_owners_alone_is_refused_to_a_hand(village: Village, words: str) -> None:
    stood = village.stands()
    step = check(village, village.says("ben", words))
    assert village.stands() == stood
    assert [(row.chat, row.kind, row.facts.get("why")) for row in step.rows] == [
        ("ben", "refused", "owner-alone")
    ]


@pytest.mark.parametrize("words", ["injected", "F1 310 g", "water 27", "Ben has the night", "undo", "cancel"])
def test_a_reader_tells_nothing(village: Village, words: str) -> None:
    village.opens("dan", village.invites("ada").code)
    stood = village.stands()
    step = check(village, village.says("dan", words))
    assert village.stands() == stood
    assert [(row.kind, row.facts.get("why")) for row in step.rows] == [("refused", "reader")]


def test_a_reader_may_ask(village: Village) -> None:
    village.opens("dan", village.invites("ada").code)
    assert check(village, village.says("dan", "what did I give F1?")).kinds("dan") == ["given"]


def test_a_press_counts_once_whoever_presses_it_again(village: Village) -> None:
    """In the one chat twice; and beside it, under the same bell, by another."""
    to_the_first_look(village)
    check(village, village.presses("ben", "not-yet"))
    stood = village.stands()
    for user in ("ben", "chi", "ada"):
        step = check(village, village.presses(user, "not-yet"))
        assert village.stands() == stood
        assert [(row.chat, row.kind, row.facts["by"]) for row in step.rows] == [(user, "answered", "Ben")]


def test_a_press_that_was_never_shown_to_whoever_presses_it_changes_nothing(village: Village) -> None:
    """Ada's own undo, by a hand of hers from their own chat, where it does not hang."""
    row = next(row for row in village.shown if any(button.action == "undo" for button in row.buttons))
    stood = village.stands()
    step = check(village, village.taps("ben", row.id, "undo"))
    assert village.stands() == stood
    assert [(row.chat, row.kind) for row in step.rows] == [("ben", "refused")]


def test_the_buttons_of_whoever_is_gone_change_nothing(village: Village) -> None:
    to_the_first_look(village)
    village.says("ada", "remove Ben")
    village.presses("ada", f"person:{village.person('ben')}")
    stood = village.stands()
    step = village.presses("ben", "not-yet")
    assert village.stands() == stood
    assert [(row.chat, row.kind) for row in step.rows] == [("ben", "refused")]


def test_a_link_is_not_kept_once_it_was_shown(village: Village) -> None:
    code = village.invites("ada").code
    assert code not in str(village.everything())


def test_five_wrong_links_a_day_and_a_good_one_opens_no_more(village: Village) -> None:
    link = village.invites("ada")
    for number in range(5):
        assert village.opens("dan", f"guess-{number}").kinds() == ["refused"]
    assert village.opens("dan", link.code).kinds() == ["refused"]
    assert village.store.chat("dan") is None
    village.passes(DAY + MINUTE)
    assert "refused" not in village.opens("dan", link.code).kinds("dan")


def test_a_link_opens_two_days_and_no_longer(village: Village) -> None:
    early, late = village.invites("ada"), village.invites("ada")
    village.passes(2 * DAY - MINUTE)
    assert "refused" not in village.opens("dan", early.code).kinds("dan")
    village.passes(MINUTE)
    assert village.opens("eli", late.code).kinds("eli") == ["refused"]


def test_an_offer_falls_when_the_owner_is_another(village: Village) -> None:
    """Ada offers the farm to ben and to chi; ben takes it. Chi's yes is too late."""
    for hand in ("ben", "chi"):
        village.says("ada", f"hand over to {hand.capitalize()}")
        village.presses("ada", f"person:{village.person(hand)}")
    check(village, village.presses("ben", "yes"))
    step = village.presses("chi", "yes")
    check(village, step)
    assert village.state.owner(1) == village.person("ben")
    assert [row.kind for row in step.rows if row.chat == "chi"] == ["refused"]


def test_a_link_of_a_deleted_farm_opens_nothing_and_opens_again_with_it(village: Village) -> None:
    link = village.invites("ada")
    village.says("ada", "delete everything")
    village.presses("ada", "yes")
    assert check(village, village.opens("dan", link.code)).kinds() == ["refused"]
    assert village.store.chat("dan") is None
    village.says("ada", "undo")
    assert "refused" not in check(village, village.opens("dan", link.code)).kinds("dan")


def test_what_hangs_in_ones_own_chat_is_not_pressed_in_the_room(tmp_path: Path) -> None:
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        village.says("ben", "water 27", "pondside")
        village.presses("ada", "yes", "pondside")
        village.says("ben", "hello")
        village.says("ben", "ring me privately too", "pondside")
        village.says("ada", "injected", "pondside")
        to_the_first_look(village)
        rung = next(row for row in reversed(village.shown) if row.chat == "ben" and row.reminder)
        stood = village.stands()
        for user, chat in (("ada", "pondside"), ("ada", ""), ("ben", "pondside")):
            check(village, village.taps(user, rung.id, "not-yet", chat))
            assert village.stands() == stood


def test_in_a_room_nobody_takes_a_farm_that_was_offered_to_another(tmp_path: Path) -> None:
    """Chi has no chat of her own, so that she is asked where all can press."""
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        for hand in ("ben", "chi"):
            village.says(hand, "water 27", "pondside")
            village.presses("ada", "yes", "pondside")
        village.says("ada", "hand over to Chi", "pondside")
        village.presses("ada", f"person:{village.person('chi')}", "pondside")
        stood = village.stands()
        step = check(village, village.presses("ben", "yes", "pondside"))
        assert village.stands() == stood
        assert [(row.kind, row.facts.get("why")) for row in step.rows] == [("refused", "not-yours")]
        check(village, village.presses("chi", "yes", "pondside"))
        assert village.state.owner(1) == village.person("chi")


def test_a_hand_who_presses_what_is_the_owners_leaves_it_to_the_owner(tmp_path: Path) -> None:
    """Dan waits to be let in: ben's press is refused, and ada's counts still."""
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        village.says("ben", "water 27", "pondside")
        village.presses("ada", "yes", "pondside")
        village.says("dan", "water 27", "pondside")
        step = check(village, village.presses("ben", "yes", "pondside"))
        assert [(row.kind, row.facts.get("why")) for row in step.rows] == [("refused", "owner-alone")]
        check(village, village.presses("ada", "yes", "pondside"))
        assert village.state.role(1, village.person("dan")) == "hand"


def test_an_edit_of_what_another_told_takes_nothing_back(village: Village) -> None:
    """No messenger lets anybody edit another's message; a forged one is a message of its own."""
    village.says("ada", "water 27")
    key = village.said[-1][1]
    stood = village.told_by(key)
    assert stood[1]
    check(village, village.edits("ben", key, "water 24"))
    assert village.told_by(key) == stood


def test_which_farm_is_asked_and_whoever_is_gone_by_then_tells_nothing(village: Village) -> None:
    """Ben has a farm of his own beside; he is asked, removed, and then presses ada's."""
    village.says("dan", "hello")
    link = village.invites("dan")
    village.opens("ben", link.code)
    village.presses("dan", "yes")
    village.passes(timedelta(hours=4))
    asked = village.says("ben", "what did I give F1?")
    (action,) = [b.action for row in asked.rows for b in row.buttons if b.command.get("farm") == 1]
    village.says("ada", "remove Ben")
    village.presses("ada", f"person:{village.person('ben')}")
    stood = village.stands()
    step = check(village, village.presses("ben", action))
    assert village.stands() == stood
    assert [row.kind for row in step.rows] == ["refused"]


def test_nothing_of_a_deleted_farm_is_left_in_the_file(village: Village) -> None:
    """Not in a table, and not in a page that was freed: the weights are looked for in the bytes."""
    village.says("eli", "catfish f 4.4 m 3.3")
    village.says("ada", "catfish f 2.987 m 1.983")
    village.markers = {1: ("2.987", "1.983", "2.99 kg", "1.98 kg")}
    village.says("ada", "delete everything")
    village.presses("ada", "yes")
    check(village, village.passes(8 * DAY))
    assert 1 not in village.state.farms
    held = village.bytes()
    assert b"4.4" in held
    assert not [marker for marker in village.markers[1] if marker.encode() in held]


def test_words_said_on_another_farm_go_with_it_too(village: Village) -> None:
    """Eli advises ada's farm and has one of his own: what he said and was told of hers goes with hers."""
    village.says("eli", "catfish f 4.4 m 3.3")
    village.opens("eli", village.invites("ada").code)
    village.presses("ada", "yes")
    village.says("eli", "rohu f 2.987 m 1.983")
    village.markers = {1: ("2.987", "1.983")}
    village.says("ada", "delete everything")
    village.presses("ada", "yes")
    village.passes(8 * DAY)
    assert not [row for row in village.everything() if "2.987" in str(row) or "1.983" in str(row)]
    assert 2 in village.state.farms
    assert not [kg for kg in (b"2.987", b"1.983") if kg in village.bytes()]


def test_a_deleted_farm_rings_nobody_and_comes_back_with_its_bells(village: Village) -> None:
    village.says("ada", "delete everything")
    village.presses("ada", "yes")
    step = village.passes(timedelta(hours=12))
    assert step.rows == []
    assert check(village, village.says("ben", "what did I give F1?")).kinds() == ["noted"]
    check(village, village.says("ada", "undo"))
    assert village.store.farm(1).goes_at is None
    village.says("ada", "catfish f 2.2 m 1.8")
    assert village.passes(2 * DAY).rows
