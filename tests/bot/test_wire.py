"""The wire: the real library over real HTTP, each fault by itself, and what the user sees of it."""

from __future__ import annotations

import asyncio
import io
import logging
import re
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from bot import inbox, outbox, presses, saying, service
from bot.doors import Doors
from bot.house import House
from bot.logs import Discreet
from bot.pace import Pace, unbounded
from bot.patience import Patience
from bot.serve import Parts
from bot.store import ChatRow, Store, StoreFault
from bot.telegram_app import reader
from bot.worker import work_some
from core.commands import Awaiting
from tests.bot.botapi import TOKEN
from tests.bot.wired import NOW, Wire, labels, wired, words

SHEET = "catfish f 2.4 3.1 m 1.9"
GROUP = -100200


async def told_the_clock(wire: Wire, user: int = 1) -> None:
    """A farm whose sheet is started and whose clock is known: the hour is proposed."""
    await wire.says(user, SHEET)
    await wire.presses(user, "Start: African catfish, bottle 20 ug + 10 mg per mL")
    await wire.says(user, "15:00")


# A night's talk -------------------------------------------------------------------------------------------


async def test_weights_are_answered_with_doses(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        (sheet,) = await wire.says(1, SHEET)
    assert "F1 2.4 kg: 1.2 mL" in sheet


async def test_the_clock_is_asked_once_it_matters(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        asked = await wire.presses(1, "Start: African catfish, bottle 20 ug + 10 mg per mL")
        then = await wire.says(1, "15:00")
    assert asked == ["I do not know your clock yet.\nWhat time is it where you are?"]
    assert then[0].startswith("Clock set: it is 15:00")
    assert then[1].startswith("Inject ")


async def test_an_injection_stands_before_the_clock_is_known(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        first = await wire.says(1, "injected")
        then = await wire.says(1, "15:00")
    assert first[0].startswith("Injected.")
    assert any("First look" in text for text in then)


async def test_an_hour_told_before_the_clock_waits_for_it(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        await wire.says(1, "injected 14:40")
        *_, forecast, _plan = await wire.says(1, "it is 15:00 here")
    assert forecast.startswith("Injected 14:40, right?")


async def test_a_press_is_answered_and_its_buttons_go(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        await wire.presses(1, "OK")
        assert len(wire.api.calls("answerCallbackQuery")) == 2
        assert all("OK" not in labels(each) for each in wire.api.sent(1))


async def test_a_press_twice_is_answered_and_changes_nothing(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        shown = dict(wire.api.sent(1)[-1])
        wire.api.press(1, shown, "OK")
        wire.api.press(1, shown, "OK")
        await wire.turn()
        said = [each["text"] for each in wire.api.sent(1)]
    assert sum(text.startswith("The night, to copy") for text in said) == 1
    assert said[-1].endswith("Nothing changed.")


@pytest.mark.parametrize("data", ["", "x", "1", "1.99", "99999.0", "1.0.0", "-1.0", "1.-1", "٣.0"])
async def test_a_forged_press_changes_nothing(tmp_path: Path, data: str) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        before = wire.house.store.latest_events(1, 99)
        wire.api.press_data(1, wire.api.sent(1)[-1], data)
        await wire.turn()
        assert wire.house.store.latest_events(1, 99) == before
        assert len(wire.api.calls("answerCallbackQuery")) == 2


async def test_a_press_from_another_chat_changes_nothing(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        await wire.says(2, "hello")
        stolen = wire.api.sent(1)[-1]["reply_markup"]["inline_keyboard"][0][0]["callback_data"]
        wire.api.press_data(2, wire.api.sent(2)[-1], stolen)
        await wire.turn()
        assert wire.api.sent(2)[-1]["text"].startswith("You do not belong")
        assert len(wire.house.store.latest_events(1, 99)) == 4


async def test_an_edit_is_an_edit(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        number = wire.api.say(1, "catfish f 25 m 1.9".replace("25", "2.5"))
        await wire.turn()
        wire.api.edit(1, number, "catfish f 2.7 m 1.9")
        await wire.turn()
        said = [each["text"] for each in wire.api.sent(1)]
    assert said[1].startswith("Corrected: F1 2.5 kg is now F1 2.7 kg")
    assert len(said) == 3


async def test_a_reply_to_a_bell_is_about_that_bell(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        await wire.presses(1, "OK")
        wire.pass_time(8 * 3600)
        wire.ring()
        await wire.send()
        rung = next(each for each in wire.api.sent(1) if "Get ready:" in each["text"])
        wire.api.say(1, "done", reply_to_message=rung)
        await wire.turn()
    assert "get ready" in wire.api.sent(1)[-1]["text"].lower()


async def test_a_photo_is_fetched_and_kept_with_the_run(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        wire.api.photo(1, b"a belly", "eggs?")
        await wire.turn()
        assert wire.house.store.photos(1, 1) == (("photo.jpg", b"a belly"),)
        assert wire.house.store.photos_to_fetch() == ()


async def test_a_photo_too_big_is_said(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.photo(1, b"x" * 1_200_000)
        await wire.turn()
        assert wire.api.sent(1)[-1]["text"] == "I could not keep that photo."


async def test_a_link_nobody_made_is_refused(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        (said,) = await wire.says(1, "/start abcdefghijklmnopqrstuv")
    assert said.startswith("I do not know this link")


async def test_a_link_opens_the_farm_once_and_is_not_kept(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        (shown,) = await wire.says(1, "invite")
        found = re.search(rf"https://t\.me/{wire.me.username}\?start=([A-Za-z0-9_-]{{22}})$", shown)
        assert found is not None
        assert (
            wire.house.store.file.value("SELECT count(*) FROM outbox WHERE text LIKE ?", f"%{found[1]}%") == 0
        )
        (welcome,) = await wire.says(2, f"/start {found[1]}")
        assert welcome.startswith("Welcome to ")
        assert labels(wire.api.sent(1)[-1]) == ["Yes", "No"]
        assert [words(each) for each in wire.api.sent(3)] == []
        (refused,) = await wire.says(3, f"/start {found[1]}")
        assert refused.startswith("I do not know this link")


async def test_markup_in_words_is_shown_as_it_was_typed(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        (said,) = await wire.says(1, "F9<b>&")
        assert "&lt;" not in said
        odd = "F9<b>& 5 < 7 kg &amp; </i>"
        with wire.house.store.transaction():
            outbox.put(wire.house.store, 0, outbox.Outgoing(0, "1", NOW, "noted", odd, {}))
        await wire.send()
        assert wire.api.sent(1)[-1]["text"] == odd
        assert {call.status for call in wire.api.calls("sendMessage")} == {200}, "at the first try"


async def test_a_trial_bell_rings_a_minute_later(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        await wire.presses(1, "OK")
        (said,) = await wire.presses(1, "Ring me once")
        assert said.startswith("A trial bell rings at 15:01")
        wire.pass_time(60)
        assert wire.ring() == 1
        await wire.send()
        assert wire.api.sent(1)[-1]["text"].startswith("This is a trial bell.")
        wire.pass_time(3600 * 2)
        wire.ring()
        await wire.send()
        assert sum("trial bell" in each["text"] for each in wire.api.sent(1)) == 2


# Groups ---------------------------------------------------------------------------------------------------


async def test_a_group_is_told_what_we_cannot_hear(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.membership(1, GROUP, "left", "member")
        await wire.turn()
        said = [each["text"] for each in wire.api.sent(GROUP)]
    assert said[0].startswith("I am Hatchbell.")
    assert "privacy mode" in said[1]


async def test_replies_in_a_group_hang_on_what_they_answer(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET, GROUP)
        wire.api.say(2, "good morning all", GROUP)
        (told,) = wire.api.sent(GROUP)
    assert told["answers"] == 1


@pytest.mark.parametrize(
    ("words", "answered"),
    [("/help@hatch_test_bot", True), ("/help@another_bot", False), ("@hatch_test_bot " + SHEET, True)],
)
async def test_a_group_calls_us_by_name(tmp_path: Path, words: str, answered: bool) -> None:
    async with wired(tmp_path) as wire:
        assert bool(await wire.says(1, words, GROUP)) is answered


async def test_channels_bots_and_nameless_speakers_are_ignored(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        said = wire.api._message(1, GROUP, text=SHEET)
        wire.api.raw({"message": {**said, "from": {**said["from"], "is_bot": True}}})
        wire.api.raw({"message": {**said, "message_id": 90, "sender_chat": said["chat"]}})
        wire.api.raw(
            {"message": {**said, "message_id": 91, "chat": {"id": -9, "type": "channel", "title": "x"}}}
        )
        await wire.turn()
        assert wire.api.sent() == []
        assert wire.left() == 0


async def test_a_group_that_moves_keeps_its_farm(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET, GROUP)
        wire.api.raw({"message": {**wire.api._message(1, GROUP), "migrate_to_chat_id": -100999}})
        await wire.turn()
        await wire.says(1, "dose?", -100999)
    assert wire.api.sent(-100999)[-1]["text"].startswith("African catfish")


async def test_a_group_that_moved_unheard_keeps_its_farm(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET, GROUP)
        wire.api.fail(
            "sendMessage", 400, migrate_to=-100999, description="Bad Request: group chat was upgraded"
        )
        wire.api.say(1, "dose?", GROUP)
        await wire.turn()
        assert [each["text"][:15] for each in wire.api.sent(-100999)] == ["African catfish"]
        chat = wire.house.store.chat("-100999")
        assert chat is not None and chat.farm == 1


# Updates --------------------------------------------------------------------------------------------------


async def test_an_update_is_on_disk_before_it_is_confirmed(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.say(1, SHEET)
        await wire.poller.ask(0)
        assert wire.left() == 1
        assert len(wire.api.updates) == 1
        await wire.poller.ask(0)
        assert wire.api.updates == []


async def test_an_update_given_twice_has_one_effect(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.say(1, SHEET)
        again = dict(wire.api.updates[0])
        await wire.turn()
        wire.api.updates.append({**again, "update_id": 7_000_000})
        await wire.turn()
        assert len(wire.api.sent(1)) == 1


async def test_numbers_of_updates_may_jump(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.next_id = 9_000_000
        await wire.says(1, SHEET)
        wire.api.next_id = 500
        assert await wire.says(1, "dose?")


async def test_an_update_nobody_can_read_is_set_aside_alone(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        wire.api.raw({"message": {"message_id": 5, "from": {"id": 1}, "chat": {"id": 1, "type": "private"}}})
        wire.api.raw({"edited_message": 5})
        wire.api.say(1, SHEET)
        await wire.turn()
        said = [each["text"] for each in wire.api.sent(1)]
        assert said[0].startswith("I could not read this.")
        assert said[-1].startswith("African catfish")
        assert "set aside" in wire.api.sent(77)[0]["text"]


@pytest.mark.parametrize(
    ("fault", "most"),
    [
        ({"status": 401}, 30.0),
        ({"status": 404}, 30.0),
        ({"status": 409}, 5.0),
        ({"status": 500}, 5.0),
        ({"status": 502, "html": True}, 5.0),
        ({"status": 200, "html": True}, 5.0),
        ({"status": 429, "retry_after": 4}, 5.0),
        ({"reset": "before"}, 5.0),
        ({"reset": "after"}, 5.0),
    ],
)
async def test_no_fault_ends_the_asking(tmp_path: Path, fault: dict[str, object], most: float) -> None:
    """A captive portal answers 200 with a page of its own."""
    async with wired(tmp_path) as wire:
        wire.api.say(1, SHEET)
        if "reset" in fault:
            wire.api.lose("getUpdates", str(fault["reset"]))
        else:
            wire.api.fail("getUpdates", **fault)  # type: ignore[arg-type]
        assert 0 < await wire.poller.ask(0) <= most
        assert await wire.poller.ask(0) == 0
        await wire.turn()
        assert len(wire.api.sent(1)) == 1


async def test_the_operator_hears_of_a_token_that_stays_refused(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        wire.api.fail("getUpdates", 401, times=5)
        for _ in range(5):
            await wire.poller.ask(0)
        await wire.send()
        assert [each["text"] for each in wire.api.sent(77)] == [
            "The messenger refuses our token. I go on asking."
        ]


@pytest.mark.parametrize(("status", "word"), [(401, "refuses our token"), (409, "a second bot runs")])
async def test_the_operator_hears_of_it_also_after_other_faults(
    tmp_path: Path, status: int, word: str
) -> None:
    """The network was away first: those faults are none of the refusals that are counted."""
    async with wired(tmp_path, operator="77") as wire:
        wire.api.fail("getUpdates", 502, times=4)
        wire.api.fail("getUpdates", status, times=5)
        for _ in range(9):
            await wire.poller.ask(0)
        await wire.send()
        (told,) = wire.api.sent(77)
        assert word in told["text"]


@pytest.mark.parametrize("status", [401, 404])
async def test_the_log_calls_a_refused_token_by_one_name(
    tmp_path: Path, caplog: pytest.LogCaptureFixture, status: int
) -> None:
    """`hatchbell check` and deploy/OPERATING.md send whoever reads the log to this word."""
    async with wired(tmp_path) as wire:
        wire.api.fail("getUpdates", status)
        await wire.poller.ask(0)
    assert [each.getMessage() for each in caplog.records if "getUpdates" in each.getMessage()] == [
        "getUpdates: InvalidToken (1 in a row)"
    ]


async def test_after_a_long_absence_farms_are_told(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        since = wire.clock.now()
        wire.pass_time(26 * 3600)
        with wire.house.store.transaction():
            service.tell_absence(wire.house, since)
        await wire.send()
        assert "I was away from" in wire.api.sent(1)[-1]["text"]


async def test_a_start_after_a_day_away_tells_the_farms(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        for hours, told in ((19, 0), (26, 1)):
            before = len(wire.api.sent(1))
            wire.pass_time(hours * 3600)
            Parts(wire.house, wire.bot, reader(wire.me), unbounded())._greet()
            await wire.send()
            assert len(wire.api.sent(1)) == before + told
            await wire.poller.ask(0)
        assert "I was away from" in wire.api.sent(1)[-1]["text"]


# Sending --------------------------------------------------------------------------------------------------


async def rung(wire: Wire) -> None:
    """A waking bell is in the outbox of user 1."""
    await told_the_clock(wire)
    await wire.presses(1, "OK")
    wire.pass_time(60 * 60 * 8)
    with wire.house.store.transaction():
        wire.house.store.pulse("poll", wire.clock.now())
    wire.ring()


async def test_a_message_whose_answer_was_lost_comes_again_and_says_so(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.lose("sendMessage", "after")
        first = await wire.says(1, SHEET)
        assert len(first) == 1
        wire.pass_time(2)
        await wire.send()
        twins = [each["text"] for each in wire.api.sent(1)]
    assert len(twins) == 2
    assert twins[1].startswith(twins[0])
    assert "if it came twice, it is one" in twins[1]


async def test_a_message_that_never_left_comes_once(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.lose("sendMessage", "before")
        assert await wire.says(1, SHEET) == []
        wire.pass_time(2)
        await wire.send()
        assert len(wire.api.sent(1)) == 1


async def test_one_chats_flood_wait_delays_nobody_else(tmp_path: Path) -> None:
    """A 6 s wait for one chat; another farm's bell goes out in the same second."""
    async with wired(tmp_path) as wire:
        await rung(wire)
        wire.api.fail("sendMessage", 429, chat=2, retry_after=6)
        wire.api.say(2, SHEET)
        await wire.poller.ask(0)
        work_some(wire.house, lambda row: None)
        with wire.house.store.transaction():
            outbox.put(wire.house.store, 0, _note("2", wire))
        asked = wire.seconds.at
        await wire.send()
        assert wire.api.sent(2) == []
        assert any(each["text"].startswith("LATE") for each in wire.api.sent(1))
        with wire.house.store.transaction():
            outbox.put(wire.house.store, 0, _note("3", wire))
        await wire.send()
        assert len(wire.api.sent(3)) == 1, "nor what is written while that chat waits"
        assert wire.seconds.at - asked < 1
        wire.pass_time(7)
        await wire.send()
        assert len(wire.api.sent(2)) == 1


def _note(chat: str, wire: Wire) -> outbox.Outgoing:
    return outbox.Outgoing(0, chat, wire.clock.now(), "noted", "a note", {})


async def test_alarms_overtake_and_others_keep_their_order(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        store = wire.house.store
        with store.transaction():
            for text in ("one", "two"):
                outbox.put(store, 0, outbox.Outgoing(0, "1", NOW, "noted", text, {}))
            outbox.put(store, 0, outbox.Outgoing(0, "1", NOW, "step", "wake up", {}, alarm=True))
        await wire.send()
        assert [each["text"] for each in wire.api.sent(1)] == ["wake up", "one", "two"]


async def test_a_chat_hears_three_at_once_then_one_a_second(tmp_path: Path) -> None:
    async with wired(tmp_path, pace=Pace()) as wire:
        store = wire.house.store
        with store.transaction():
            for number in range(6):
                outbox.put(store, 0, outbox.Outgoing(0, "1", NOW, "noted", f"note {number}", {}))
        heard = []
        for _ in range(4):
            await wire.send()
            heard.append(len(wire.api.sent(1)))
            wire.pass_time(1)
        assert heard == [3, 4, 5, 6]


async def test_all_chats_together_hear_no_more_than_allowed(tmp_path: Path) -> None:
    async with wired(tmp_path, pace=Pace()) as wire:
        store = wire.house.store
        with store.transaction():
            for number in range(60):
                outbox.put(store, 0, outbox.Outgoing(0, str(number + 1), NOW, "noted", "note", {}))
        await wire.send()
        assert len(wire.api.sent()) == 25
        wire.pass_time(1)
        await wire.send()
        assert len(wire.api.sent()) == 50


async def test_several_chats_told_to_wait_park_all(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        store = wire.house.store
        wire.api.fail("sendMessage", 429, times=3, retry_after=5)
        with store.transaction():
            for number in range(3):
                outbox.put(store, 0, outbox.Outgoing(0, str(number + 1), NOW, "noted", "note", {}))
        await wire.send()
        with store.transaction():
            outbox.put(store, 0, outbox.Outgoing(0, "9", NOW, "noted", "note", {}))
        await wire.send()
        assert wire.api.sent() == []
        wire.pass_time(6)
        await wire.send()
        assert len(wire.api.sent()) == 4


async def test_who_blocked_us_is_left_in_peace_and_others_hear_of_it(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        await told_the_clock(wire)
        with wire.house.store.transaction():
            wire.house.store.add_chat(1, str(GROUP), False)
        wire.api.blocked.add(1)
        await wire.says(1, "dose?")
        chat = wire.house.store.chat("1")
        assert chat is not None and chat.unreachable_at is not None
        assert next(each["text"] for each in wire.api.sent(GROUP)).startswith("1 cannot be reached")
        assert len(wire.api.sent(77)) == 1
        wire.api.blocked.clear()
        await wire.says(1, "dose?")
        chat = wire.house.store.chat("1")
        assert chat is not None and chat.unreachable_at is None


async def test_alarms_are_tried_for_ever_and_replies_are_not(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        store = wire.house.store
        with store.transaction():
            outbox.put(store, 0, outbox.Outgoing(0, "1", NOW, "step", "wake up", {}, alarm=True))
            outbox.put(store, 0, outbox.Outgoing(0, "2", NOW, "noted", "note", {}))
        wire.api.fail("sendMessage", 500, times=26)
        for _ in range(16):
            await wire.send()
            wire.pass_time(61)
        await wire.send()
        await wire.send()
        assert [each["text"].splitlines()[0] for each in wire.api.sent(1)] == ["wake up"]
        assert wire.api.sent(2) == []
        assert "was refused" in wire.api.sent(77)[-1]["text"]


async def test_a_refused_token_holds_everything_back_and_loses_nothing(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.fail("sendMessage", 401)
        assert await wire.says(1, SHEET) == []
        wire.pass_time(21)
        await wire.send()
        assert len(wire.api.sent(1)) == 1


async def test_what_the_messenger_will_never_take_is_given_up(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        wire.api.fail("sendMessage", 400, description="Bad Request: no such thing")
        await wire.says(1, SHEET)
        await wire.send()
        assert wire.api.sent(1) == []
        assert "No such thing" in wire.api.sent(77)[0]["text"]


async def test_markup_the_messenger_refuses_is_sent_without(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.fail("sendMessage", 400, description="Bad Request: can't parse entities: odd tag")
        (said,) = await wire.says(1, SHEET)
    assert said.startswith("African catfish")


async def test_a_slow_answer_holds_up_no_other_chat(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.hold("sendMessage")
        wire.api.say(1, SHEET)
        wire.api.say(2, SHEET)
        await wire.poller.ask(0)
        work_some(wire.house, reader(wire.me))
        wire.sender.start()
        await wire.api.until(lambda: len(wire.api.sent()) == 2)
        wire.api.release()
        await wire.sender.settle()


async def test_a_press_the_messenger_forgot_is_not_answered_for_ever(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        with wire.house.store.transaction():
            presses.put(wire.house.store, "old", wire.clock.now())
        wire.api.fail("answerCallbackQuery", 400, description="Bad Request: query is too old")
        await wire.send()
        assert presses.waiting(wire.house.store, wire.clock.now()) == ()


async def test_a_long_text_comes_in_parts(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        said = await wire.says(1, "catfish " + " ".join(f"f 2.{number % 90 + 10}" for number in range(60)))
        units = [len(text.encode("utf-16-le")) // 2 for text in said]
    assert all(length <= 3500 for length in units)
    assert saying.in_parts(["x" * 3000, "y" * 3000]) == ["x" * 3000, "y" * 3000]
    assert saying.in_parts(["🐟" * 2000]) == ["🐟" * 1750, "🐟" * 250]


# The open door --------------------------------------------------------------------------------------------


async def test_who_writes_too_fast_is_told_once(tmp_path: Path) -> None:
    async with wired(tmp_path, doors=Doors(a_minute=3)) as wire:
        said = [await wire.says(1, "dose?") for _ in range(6)]
        wire.pass_time(61)
        later = await wire.says(1, "dose?")
    assert [len(each) for each in said] == [1, 1, 1, 1, 0, 0]
    assert said[3][0].startswith("Too many messages at once.")
    assert len(later) == 1 and not later[0].startswith("Too many")


async def test_who_writes_too_much_in_one_breath_is_answered_and_told_once(tmp_path: Path) -> None:
    """A hundred messages in one answer of getUpdates: they were counted against the first of them."""
    async with wired(tmp_path, doors=Doors(a_minute=3)) as wire:
        for _ in range(9):
            wire.api.say(1, "dose?")
        await wire.turn()
        said = [each["text"] for each in wire.api.sent(1)]
    assert [text.startswith("Too many messages at once.") for text in said] == [False, False, False, True]


async def test_before_a_run_there_is_a_most_a_day(tmp_path: Path) -> None:
    async with wired(tmp_path, doors=Doors(a_day=2)) as wire:
        said = [await wire.says(1, "help") for _ in range(4)]
    assert [len(each) for each in said] == [1, 1, 1, 0]


async def test_a_private_bot_answers_its_people_only(tmp_path: Path) -> None:
    async with wired(tmp_path, doors=Doors(allow=frozenset({"1"}))) as wire:
        assert await wire.says(1, SHEET)
        assert await wire.says(2, SHEET) == ["This bot is private."]
        assert await wire.says(2, SHEET) == []
        assert wire.house.store.chat("2") is None


async def test_a_person_founds_so_many_farms(tmp_path: Path) -> None:
    async with wired(tmp_path, doors=Doors(farms=1)) as wire:
        assert await wire.says(1, SHEET)
        assert await wire.says(1, SHEET, GROUP) == []
        assert wire.house.store.chat(str(GROUP)) is None


async def test_a_person_has_so_many_runs_open(tmp_path: Path) -> None:
    async with wired(tmp_path, doors=Doors(runs=1)) as wire:
        await wire.says(1, SHEET)
        await wire.says(1, "injected")
        said = await wire.says(1, "common carp f 4 m 3")
    assert said == ["As many runs are open as one may have. Close or cancel one first."]


# What is kept, and what is not said -----------------------------------------------------------------------


async def test_the_token_stands_in_no_line_of_the_log(tmp_path: Path) -> None:
    raw, clean = logging.StreamHandler(io.StringIO()), logging.StreamHandler(io.StringIO())
    clean.setFormatter(Discreet("%(message)s"))
    root = logging.getLogger()
    level = root.level
    root.setLevel(logging.DEBUG)
    for handler in (raw, clean):
        root.addHandler(handler)
    try:
        async with wired(tmp_path) as wire:
            wire.api.fail("getUpdates", 500)
            await wire.poller.ask(0)
            wire.api.lose("sendMessage", "before")
            await wire.says(1, SHEET)
            try:
                raise RuntimeError(f"https://x/bot{TOKEN}/getMe")
            except RuntimeError:
                logging.getLogger("bot").exception("planted")
    finally:
        root.setLevel(level)
        for handler in (raw, clean):
            root.removeHandler(handler)
    assert TOKEN in raw.stream.getvalue(), "else this test could not fail"
    assert TOKEN not in clean.stream.getvalue()
    assert "planted" in clean.stream.getvalue()


async def test_a_part_that_fails_ends_the_process_and_loses_nothing(tmp_path: Path) -> None:
    """A torn file: whoever watches over us starts us anew, and the message is still there."""
    async with wired(tmp_path) as wire:

        def torn(row: object) -> None:
            raise StoreFault("torn", path="farm.db", detail="")

        wire.api.say(1, SHEET)
        with pytest.raises(StoreFault):
            await Parts(wire.house, wire.bot, torn, unbounded()).run(asyncio.Event())
        assert wire.left() == 1


async def test_a_full_disk_is_waited_out_and_said_at_once(tmp_path: Path) -> None:
    async with wired(tmp_path, operator="77") as wire:
        await told_the_clock(wire)
        file, ended = wire.house.store.file, asyncio.Event()
        pages = file.value("PRAGMA page_count")
        file.change(f"PRAGMA max_page_count = {pages}")
        parts = Parts(wire.house, wire.bot, reader(wire.me), unbounded())
        parts.patience.again = 0.01
        running = asyncio.ensure_future(parts.run(ended))
        for _ in range(40):
            wire.api.say(2, "x" * 4000)
        await wire.api.until(lambda: bool(wire.api.sent(77)))
        assert wire.api.sent(77)[0]["text"].startswith("The disk is full.")
        wire.api.say(1, "dose?")
        file.change("PRAGMA max_page_count = 100000")
        await wire.api.until(lambda: "1.2 mL" in wire.api.sent(1)[-1]["text"] and len(wire.api.sent(77)) == 2)
        assert wire.api.sent(77)[1]["text"].startswith("There is room on the disk again")
        ended.set()
        await running
        assert wire.left() == 0


async def test_the_log_says_that_a_trouble_is_over_when_it_is(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Each try to say so fails on a disk that is still full: none of them stands in the log."""
    async with wired(tmp_path, operator="77") as wire:
        store = wire.house.store
        store.file.change(f"PRAGMA max_page_count = {store.file.value('PRAGMA page_count')}")
        with pytest.raises(StoreFault, match="full"):
            while True:
                with store.transaction():
                    saying.write_to_operator(wire.house, "full-over")
        tries: list[str] = []

        async def full() -> None:
            if not tries:
                tries.append("full")
                raise StoreFault("full", path="farm.db", detail="")

        async def tell(what: str) -> None:
            tries.append(what)

        patience = Patience(wire.house, tell, again=0.01)
        await patience.through(full)
        await asyncio.sleep(0.1)
        assert (patience.trouble, tries) == ("full", ["full", "full"])
        said = [each.getMessage().strip() for each in caplog.records]
        assert "operator: full-over" not in said
        store.file.change("PRAGMA max_page_count = 100000")
        async with asyncio.timeout(5):
            while patience.trouble:
                await asyncio.sleep(0.01)
        said = [each.getMessage().strip() for each in caplog.records]
        assert said.count("operator: full-over") == 1


async def test_what_was_sent_and_not_marked_is_not_sent_again(tmp_path: Path) -> None:
    """Another program holds the database: others are still spoken to, each once, and marked later."""
    async with wired(tmp_path) as wire:
        store = wire.house.store
        store.file.change("PRAGMA busy_timeout = 0")
        with store.transaction():
            for chat in ("1", "1", "2"):
                outbox.put(store, 0, _note(chat, wire))
        with closing(sqlite3.connect(store.file.path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            await wire.send()
            await wire.send()
            assert [len(wire.api.sent(chat)) for chat in (1, 2)] == [1, 1]
            assert isinstance(wire.sender.fault, StoreFault)
            other.execute("ROLLBACK")
        wire.sender.fault = None
        wire.sender.stopping = True
        await wire.sender.run()
        await wire.send()
        assert [len(wire.api.sent(chat)) for chat in (1, 2)] == [2, 1]
        assert outbox.unsent(store) == ()


async def test_a_process_that_cannot_write_says_nothing(tmp_path: Path) -> None:
    """It would be started again and again, and each time say what it cannot mark as said."""
    async with wired(tmp_path) as wire:
        store = wire.house.store
        with store.transaction():
            outbox.put(store, 0, _note("1", wire))
        store.file.change("PRAGMA query_only = ON")
        with pytest.raises(StoreFault):
            await Parts(wire.house, wire.bot, reader(wire.me), unbounded()).run(asyncio.Event())
        store.file.change("PRAGMA query_only = OFF")
        assert wire.api.sent() == []


async def test_farms_hear_of_an_absence_once(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await told_the_clock(wire)
        wire.pass_time(26 * 3600)
        for _ in range(2):  # killed before the first answer of getUpdates
            Parts(wire.house, wire.bot, reader(wire.me), unbounded())._greet()
        await wire.send()
        assert sum("I was away from" in each["text"] for each in wire.api.sent(1)) == 1


async def test_a_sender_that_cannot_write_down_ends_the_process(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        parts = Parts(wire.house, wire.bot, reader(wire.me), unbounded())
        wire.api.say(1, SHEET)
        wire.api.fail("sendMessage", 400, description="Bad Request: chat not found")
        parts.sender.house = House(_Broken(wire.house.store), wire.clock)
        with pytest.raises(StoreFault):
            await parts.run(asyncio.Event())


class _Broken(Store):
    """A store that gives up chats no more: what a disk may do at any call."""

    def __init__(self, whole: Store) -> None:
        super().__init__(whole.file)

    def chat(self, key: str) -> ChatRow | None:
        raise StoreFault("torn", path="farm.db", detail="")


async def test_what_was_dealt_with_is_not_kept_for_ever(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        store = wire.house.store
        wire.pass_time(40 * 24 * 3600)
        with store.transaction():
            assert inbox.prune(store, wire.clock.now() - timedelta(days=3)) == 1
            assert outbox.prune(store, wire.clock.now() - timedelta(days=30)) == 1
        assert store.file.value("SELECT count(*) FROM inbox") == 0


def test_what_waits_for_the_clock_comes_back_from_the_store(tmp_path: Path) -> None:
    """A press may wait for an answer: it is kept like any other command."""
    from core.commands import StartRun

    store = Store.open(tmp_path / "farm.db")
    ada = store.add_person("1", "ada", "en")
    farm = store.add_farm("ada", None, ada.id).id
    store.add_chat(farm, "1", True)
    waits = Awaiting("zone", pending=(StartRun(1),))
    store.set_awaiting(farm, "1", waits)
    chat = store.chat("1")
    assert chat is not None and chat.awaiting == waits
    assert store.farm(farm).clock_told is False
    store.close()
