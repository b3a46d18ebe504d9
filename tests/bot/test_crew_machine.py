"""Three farms, five people, a room, and every button, link and message ever shown, in any order.

A machine of rules over the real service and store: whoever says, presses, edits, replies to or opens whatever
was ever shown, rightly or not, while time passes and the network comes and goes. After each step all of
`tests/bot/invariants.py` is checked. The weights told at the beginning are each farm's markers: no message of
another farm may ever hold one.

Left open by the design, and taken so here: a link may be opened by anybody who is no member of its farm, also
by whoever was removed; a reply hangs on a message of its own chat, everything else counts as no reply.
"""

from __future__ import annotations

import functools
import shutil
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from bot.store import moment
from tests.bot.invariants import check
from tests.bot.playing import empty_store
from tests.bot.village import DAY, MINUTE, Link, Step, Village, row_of

PEOPLE = ("ada", "ben", "chi", "dan", "eli")
ROOM = "pondside"
STORE = "village.db"
WEIGHTS = {1: ("2.113", "2.117"), 2: ("3.179", "3.184"), 3: ("4.231", "4.237")}
MARKERS = {farm: (*each, *(f"{float(kg):.2f} kg" for kg in each)) for farm, each in WEIGHTS.items()}
"""As facts hold them, and as they are said."""
WRONG_A_DAY = 5
LIVES = timedelta(hours=48)

REPORTS = (
    "injected", "eggs run", "F1 310 g", "water 27", "what next?", "done", "not yet", "last hatch rate?", "27",
    "dose?", "undo", "catfish f 2.5 m 2.1", "what did I give F1?", "cancel", "ok", "hello", "why?",
)  # fmt: skip
CREW_WORDS = (
    "invite", "leave the farm", "{name} has the night", "I have the night", "everybody has the night",
    "remove {name}", "hand over to {name}", "delete everything", "undo", "export", "crew",
    "ring me privately too", "no private bells", "revoke the links", "other farm",
)  # fmt: skip
SPANS = [MINUTE, 3 * MINUTE, 61 * MINUTE, timedelta(hours=4), timedelta(hours=11), 3 * DAY, 8 * DAY]

BUSINESS = (
    ("remove {name}", "person:"),
    ("hand over to {name}", "person:", "yes"),
    ("hand over to {name}", "person:", "no"),
    ("delete everything", "yes"),
    ("delete everything", "yes", "undo"),
    ("delete everything", "no"),
    ("undo",),
    ("{name} has the night",),
    ("{name} has the night",),
    ("everybody has the night",),
    ("export",),
    ("revoke the links",),
    ("injected",),
)
"""What an owner says, and what is pressed then."""

FATES = ("yes", "yes", "no", "late", "revoked", "deleted")

people = st.sampled_from(PEOPLE)
places = st.sampled_from(("", "", ROOM))
farms = st.sampled_from((0, 1, 1, 2, 3))
picks = st.integers(0, 40)
"""Counted back from the newest."""


@functools.cache
def founded() -> Path:
    """A store where three farms live: one with a hand and a reader by link; a room's with two hands, where
    one hand is rung in the room alone; one whose adviser owns another. In each a run is under way."""
    folder = Path(tempfile.mkdtemp(prefix="village-"))
    shutil.copyfile(empty_store(), folder / STORE)
    village = Village(folder / STORE)
    try:
        _found(village)
    finally:
        village.close()
    return folder / STORE


def _found(village: Village) -> None:
    for owner, chat, (female, male) in (
        ("ada", "", WEIGHTS[1]),
        ("chi", ROOM, WEIGHTS[2]),
        ("eli", "", WEIGHTS[3]),
    ):
        village.says(owner, f"catfish f {female} m {male}", chat)
        village.presses(owner, "start", chat)
    for owner, other in (("ada", "ben"), ("ada", "chi"), ("eli", "ada")):
        link = village.invites(owner)
        assert "join-link" not in village.opens(other, link.code).kinds(other)
        if other != "chi":
            village.presses(owner, "yes")
    for hand in ("ben", "dan"):
        village.says(hand, "water 27", ROOM)
        village.presses("chi", "yes", ROOM)
    for user in ("ben", "chi"):
        village.says(user, "ring me privately too", ROOM)
    wanted = {
        (1, "ada"): "owner", (1, "ben"): "hand", (1, "chi"): "reader", (2, "chi"): "owner",
        (2, "ben"): "hand", (2, "dan"): "hand", (3, "eli"): "owner", (3, "ada"): "hand",
    }  # fmt: skip
    assert dict(village.state.members) == {
        (farm, village.person(user)): role for (farm, user), role in wanted.items()
    }


class Crew(RuleBasedStateMachine):
    """The village; each rule is a step, and after each step everything is checked."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        shutil.copyfile(founded(), Path(self.folder.name) / STORE)
        self.village = Village(Path(self.folder.name) / STORE, MARKERS)
        self.wrong: dict[str, list[Any]] = {}

    def teardown(self) -> None:
        self.village.close()
        self.folder.cleanup()

    def checked(self, step: Step) -> Step:
        return check(self.village, step)

    @initialize(started=st.sampled_from([(), (1,), (1, 2), (1, 2, 3)]))
    def runs_begin(self, started: tuple[int, ...]) -> None:
        """Some of the farms have injected, so that looks wake people from the night on."""
        for farm in started:
            owner, chat = {1: ("ada", ""), 2: ("chi", ROOM), 3: ("eli", "")}[farm]
            self.checked(self.village.says(owner, "injected", chat))

    # Words.

    @rule(user=people, chat=places, text=st.sampled_from(REPORTS))
    def reports(self, user: str, chat: str, text: str) -> None:
        self.checked(self.village.says(user, text, chat))

    @rule(user=people, chat=places, text=st.sampled_from(CREW_WORDS), name=people)
    def speaks_of_people(self, user: str, chat: str, text: str, name: str) -> None:
        self.checked(self.village.says(user, text.format(name=name.capitalize()), chat))

    @rule(user=people, pick=picks, text=st.sampled_from(REPORTS))
    def replies(self, user: str, pick: int, text: str) -> None:
        """To any message ever shown, in any chat."""
        if self.village.shown:
            row = self.newest(pick)
            chat = row.chat if row.chat == ROOM else ""
            self.checked(self.village.says(user, text, chat, reply_to=row.id))

    @rule(user=people, chat=places, pick=picks, text=st.sampled_from((*REPORTS[:6], "catfish f 2.6 m 2.1")))
    def edits(self, user: str, chat: str, pick: int, text: str) -> None:
        """One's own message, or forged somebody else's: what that one told stands while it is kept who did.
        (No messenger lets anybody edit what another wrote.)"""
        village = self.village
        told = village.store.file.rows(
            "SELECT key, user FROM inbox WHERE key IN (SELECT source FROM events) ORDER BY id"
        )
        if not told:
            return
        key, whose = told[-1 - pick % len(told)]
        stood = village.told_by(key)
        step = self.checked(village.edits(user, key, text, chat))
        if whose != user:
            assert stood.items() <= village.told_by(key).items(), step

    # Presses.

    def newest(self, pick: int) -> Any:
        return self.village.shown[-1 - pick % len(self.village.shown)]

    @rule(user=people, pick=picks, place=st.integers(0, 5), times=st.sampled_from((1, 1, 2)), forged=places)
    def presses_what_was_shown(self, user: str, pick: int, place: int, times: int, forged: str) -> None:
        """In the chat where it hangs, where the presser can see it; else forged into another."""
        rows = [row for row in self.village.shown if row.buttons]
        if rows:
            row = rows[-1 - pick % len(rows)]
            chat = row.chat if row.chat in (ROOM, user) else forged
            for _ in range(times):
                self.taps(user, row.id, row.buttons[place % len(row.buttons)].action, chat)

    @rule(pick=picks, place=st.integers(0, 5))
    def presses_rightly(self, pick: int, place: int) -> None:
        """The one in whose chat it hangs, or the room's owner, so that talk gets on."""
        rows = [row for row in self.village.shown if row.buttons and row.spent_at is None]
        if rows:
            row = rows[-1 - (pick % min(4, len(rows)))]
            user = row.chat if row.chat != ROOM else "chi"
            self.taps(
                user,
                row.id,
                row.buttons[place % len(row.buttons)].action,
                row.chat if row.chat == ROOM else "",
            )

    @rule(pick=picks, others=st.permutations(PEOPLE))
    def press_the_same(self, pick: int, others: list[str]) -> None:
        """Two people press one button in the room."""
        rows = [row for row in self.village.shown if row.buttons and row.chat == ROOM]
        if rows:
            row = rows[-1 - pick % len(rows)]
            for user in others[:2]:
                self.taps(user, row.id, row.buttons[0].action, ROOM)

    @rule(
        user=people,
        chat=places,
        message=st.one_of(st.integers(-3, 400), st.sampled_from((2**31, 2**63 - 1, -(2**63)))),
        action=st.sampled_from(("yes", "done", "undo", "farm:1", "revoke", "not-yet", "")),
        button=st.integers(-2, 6),
    )
    def forges_a_press(self, user: str, chat: str, message: int, action: str, button: int) -> None:
        self.taps(user, message, action, chat, button)

    def taps(self, user: str, message: int, action: str, chat: str, button: int = -1) -> Step:
        """A press that is not rightful changes nothing at all."""
        village = self.village
        chat = "" if chat == user else chat
        self.checked(village.passes(timedelta(0)))  # what is due now rings first
        rightful = village.is_rightful(user, message, chat or user)
        stood = village.stands()
        step = self.checked(village.taps(user, message, action, chat, button))
        if not rightful:
            row = row_of(village.store, message)
            assert village.stands() == stood, f"a press that was not rightful: {step} on {row}"
        return step

    # Links.

    @rule(user=people, pick=picks)
    def opens_a_link(self, user: str, pick: int) -> None:
        links = self.village.links
        if links:
            self.opens(user, links[-1 - pick % len(links)])

    @rule(user=people, code=st.sampled_from(("", "x", "ada", "A" * 22, "A" * 400, "1", "' OR 1=1 --")))
    def guesses_a_link(self, user: str, code: str) -> None:
        self.opens(user, Link(code, 0, self.village.clock.now(), spent=True))

    def opens(self, user: str, link: Link) -> None:
        """A link opens once, in its time, to somebody without a role; any other one changes nothing and is
        answered as every other."""
        village, now = self.village, self.village.clock.now()
        self.checked(village.passes(timedelta(0)))
        known = village.store.person(user)
        role = village.state.role(link.farm, known.id) if known else None
        wrong = [at for at in self.wrong.get(user, ()) if now - at < DAY]
        stale = link.spent or now >= link.until or village.state.is_deleted(link.farm)
        fresh = not stale and link.farm in village.state.farms
        must = fresh and role is None and len(wrong) < WRONG_A_DAY
        may = fresh and role in (None, "asked", "refused") and len(wrong) <= WRONG_A_DAY
        stood = village.stands()
        step = self.checked(village.opens(user, link.code))
        person = village.store.person(user)
        now_is = step.after.role(link.farm, person.id) if person else None
        joined = now_is == "reader" and role != "reader"
        assert joined or not must, f"a good link did not open: {step}"
        assert may or not joined, f"a link opened that should not have: {step}"
        if joined:
            link.spent = True
            return
        self.wrong.setdefault(user, []).append(now)
        assert village.stands() == stood, f"a wrong link changed something: {step}"
        said = [(row.kind, row.facts.get("why")) for row in step.rows if row.chat == user]
        assert said == [("refused", "link-unknown")], step

    # Business that takes several steps, rightly done, so that deep states are reached.

    def place_of(self, farm: int, user: str) -> str:
        """Where somebody speaks of a farm: in its room, else in their own chat."""
        rooms = [key for key, (of, private) in self.village.state.chats.items() if of == farm and not private]
        return rooms[0] if rooms else user

    def owner_of(self, farm: int) -> str:
        return self.village.key_of(self.village.state.owner(farm))

    def means(self, user: str, text: str, farm: int) -> Step:
        """Say it of that farm: where it is asked which one is meant, that one is pressed."""
        step = self.checked(self.village.says(user, text, self.place_of(farm, user)))
        for row in step.rows:
            for button in row.buttons:
                if button.command.get("kind") == "pick-farm" and button.command["farm"] == farm:
                    return self.taps(user, row.id, button.action, row.chat)
        return step

    def follows(self, step: Step, *actions: str) -> None:
        """Press these, one after the other, each by whoever it was shown to: in the room by the owner."""
        for action in actions:
            shown = [
                (row, button.action)
                for row in step.rows
                for button in row.buttons
                if button.action.startswith(action)
            ]
            if not shown:
                return
            row, pressed = shown[0]
            user = self.owner_of(row.farm) if row.chat == ROOM else row.chat
            step = self.taps(user, row.id, pressed, row.chat)

    @rule(pick=farms, name=people, act=st.sampled_from(BUSINESS))
    def does_business(self, pick: int, name: str, act: tuple[str, ...]) -> None:
        farm = self.farm(pick)
        text, *presses = act
        self.follows(self.means(self.owner_of(farm), text.format(name=name.capitalize()), farm), *presses)

    @rule(pick=farms, user=people, other=people, fate=st.sampled_from(FATES))
    def brings_somebody_in(self, pick: int, user: str, other: str, fate: str) -> None:
        """A link, and what becomes of it: somebody opens it and is or is not made a hand, somebody else tries
        it too, or it is late, revoked, or of a farm that is deleted by then."""
        village, had = self.village, len(self.village.links)
        farm = self.farm(pick)
        asked = self.means(self.owner_of(farm), "invite", farm)
        if len(village.links) == had:
            return
        link = village.links[-1]
        if fate == "late":
            self.checked(village.passes(LIVES + MINUTE))
        elif fate == "revoked":
            self.follows(asked, "revoke")
        elif fate == "deleted":
            self.follows(self.means(self.owner_of(farm), "delete everything", farm), "yes")
        self.opens(user, link)
        if fate in ("yes", "no"):
            self.follows(village.steps[-1], fate)
        self.opens(other, link)

    @rule(pick=farms, name=people, more=st.sampled_from((0, 4, 10)))
    def somebody_has_the_night(self, pick: int, name: str, more: int) -> None:
        """Whoever of the farm may, and the farm's next bell that wakes rings."""
        village, farm = self.village, self.farm(pick)
        able = [
            of for (f, of), role in village.state.members.items() if f == farm and role in ("owner", "hand")
        ]
        on = village.key_of(able[PEOPLE.index(name) % len(able)])
        self.means(self.owner_of(farm), f"{on.capitalize()} has the night", farm)
        due = village.store.file.value(
            "SELECT min(next_at) FROM reminders WHERE farm = ? AND wakes = 1 AND next_at IS NOT NULL", farm
        )
        until = moment(due) - village.clock.now() if due else None
        if until is not None and until < DAY:
            self.checked(village.passes(max(until, timedelta(0)) + more * MINUTE))

    @rule(pick=farms, name=people, leaves=st.booleans())
    def somebody_goes_while_messages_wait(self, pick: int, name: str, leaves: bool) -> None:
        """A bell rings while the network is away; then a member is gone; then it is back."""
        village, farm = self.village, self.farm(pick)
        village.online = False
        self.rings(farm)
        if leaves:
            self.means(name, "leave the farm", farm)
        else:
            self.follows(self.means(self.owner_of(farm), f"remove {name.capitalize()}", farm), "person:")
        village.goes_online()

    @rule(pick=farms, names=st.permutations(PEOPLE), presser=people)
    def the_farm_is_offered_twice(self, pick: int, names: list[str], presser: str) -> None:
        """To two of its people; both say yes, or in the room somebody else does."""
        farm, offers = self.farm(pick), []
        for name in names[:3]:
            self.follows(
                self.means(self.owner_of(farm), f"hand over to {name.capitalize()}", farm), "person:"
            )
            offers += [row for row in self.village.steps[-1].rows if row.facts.get("about") == "take-farm"]
        for row in offers:
            self.taps(presser if row.chat == ROOM else row.chat, row.id, "yes", row.chat)

    @rule(pick=farms, name=people)
    def is_asked_which_farm_and_then_gone(self, pick: int, name: str) -> None:
        """The answer comes when its farm is none of theirs any more."""
        village, farm = self.village, self.farm(pick)
        self.checked(village.passes(timedelta(hours=4)))
        step = self.checked(village.says(name, "F1 310 g"))
        self.follows(self.means(self.owner_of(farm), f"remove {name.capitalize()}", farm), "person:")
        for row in step.rows:
            for button in row.buttons:
                if button.command.get("farm") == farm:
                    self.taps(name, row.id, button.action, "")

    @rule(pick=farms, span=st.sampled_from((*3 * (timedelta(hours=12),), 8 * DAY)))
    def a_farm_is_deleted_for_a_while(self, pick: int, span: timedelta) -> None:
        """For a night, and back again; or for good."""
        farm = self.farm(pick)
        self.follows(self.means(self.owner_of(farm), "delete everything", farm), "yes")
        gone = self.village.steps[-1]
        self.checked(self.village.passes(span))
        if farm in self.village.state.farms:
            self.follows(gone, "undo")

    def farm(self, pick: int) -> int:
        if not self.village.state.farms:
            self.checked(self.village.says("ada", "catfish f 2.5 m 2.1"))
        known = sorted(self.village.state.farms)
        return known[pick % len(known)]

    def rings(self, farm: int) -> None:
        """Time passes to the farm's next bell, if one is near."""
        due = self.village.store.file.value("SELECT min(next_at) FROM reminders WHERE farm = ?", farm)
        if due and timedelta(0) <= moment(due) - self.village.clock.now() < DAY:
            self.checked(self.village.passes(moment(due) - self.village.clock.now()))

    @rule(pick=picks, place=st.integers(0, 1), twice=st.booleans(), other=people)
    def answers_a_bell(self, pick: int, place: int, twice: bool, other: str) -> None:
        """One of the newest that rang, perhaps by two people, each where they heard it."""
        rung = [row for row in self.village.shown if row.reminder and row.buttons]
        if not rung:
            return
        row = rung[-1 - pick % min(4, len(rung))]
        users = [row.chat if row.chat != ROOM else other] * (1 + twice)
        same = [each for each in rung if each.reminder_id == row.reminder_id and each.chat == other]
        for user, each in zip([*users, other], [row, *[row] * twice, *same[-1:]], strict=False):
            action = each.buttons[place % len(each.buttons)].action
            self.taps(user, each.id, action, each.chat)

    @rule(more=st.sampled_from((0, 2, 4, 6, 8, 10)))
    def the_next_bell_rings(self, more: int) -> None:
        due = self.village.store.next_due()
        if due is not None and self.village.clock.now() <= due < self.village.clock.now() + 2 * DAY:
            self.checked(self.village.passes(due - self.village.clock.now() + more * MINUTE))

    # Time and network.

    @rule(span=st.sampled_from(SPANS))
    def time_passes(self, span: timedelta) -> None:
        self.checked(self.village.passes(span))

    @precondition(lambda self: self.village.online)
    @rule()
    def the_network_goes(self) -> None:
        self.village.online = False

    @precondition(lambda self: not self.village.online)
    @rule(after=st.sampled_from((timedelta(0), timedelta(hours=5))))
    def the_network_comes(self, after: timedelta) -> None:
        self.checked(self.village.passes(after))
        self.village.goes_online()


def tried(examples: int, steps: int) -> settings:
    """Without `Phase.shrink`, which takes minutes where a step is slow: add it to find the shortest way."""
    return settings(
        max_examples=examples,
        stateful_step_count=steps,
        derandomize=True,
        deadline=None,
        database=None,
        phases=(Phase.generate,),
        report_multiple_bugs=False,
        suppress_health_check=list(HealthCheck),
    )


def test_no_step_crosses_a_farm_or_loses_an_act() -> None:
    run_state_machine_as_test(Crew, settings=tried(12, 20))


@pytest.mark.long
def test_no_step_of_many_crosses_a_farm_or_loses_an_act() -> None:
    run_state_machine_as_test(Crew, settings=tried(200, 40))
