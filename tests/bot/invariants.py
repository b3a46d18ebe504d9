"""What no step of a village may break, read off the tables and the messages alone.

Each check gives the faults it finds. Left open by the design, and taken so here: a deleted farm may still say
notes, refusals, answers and questions without any figure of its fish; with a night set, attempts one and two
of a bell go to nobody else's own chat; a goodbye to whoever has just left names the farm and nothing of it.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.messages import Outgoing
from tests.bot.village import DAY, MEMBERS, State, Step, Village, command_of

TELLERS = ("owner", "hand")
ATTEMPTS, WITH_NEXT, WITH_OWNER = 6, 3, 5
QUIET_KINDS = {"noted", "refused", "answered", "cancelled", "ask"}
OF_NO_FARM = ("link-unknown", "not-member", "could-not-read")
"""Refusals that no farm says: they tell the same whichever was meant."""
OWNERS_KINDS = ("join-link", "export")

Check = Callable[[Village, Step], Iterator[object]]


def check(village: Village, step: Step) -> Step:
    """All invariants after one step, which is given back."""
    for each in CHECKS:
        faults = list(each(village, step))
        assert not faults, f"{each.__name__}: {faults[0]}\n{step}"
    return step


def nothing_fails(village: Village, step: Step) -> Iterator[object]:
    yield from village.store.file.rows("SELECT body FROM inbox WHERE state = 'aside' OR tries > 0")


# Messages -------------------------------------------------------------------------------------------------


def messages_stay_at_home(village: Village, step: Step) -> Iterator[object]:
    """A farm speaks to its members and in its rooms, and tells nothing of another farm."""
    for row in step.rows:
        for farm in village.markers:
            if farm != row.farm and has_marker(village, row, farm):
                yield f"tells of farm {farm}", row
        if "farm" not in row.facts:
            yield "no farm in the facts", row
        if not row.farm:
            continue
        person = village.store.person(row.chat)
        if person is None:
            if row.chat not in step.before.rooms(row.farm) | step.after.rooms(row.farm):
                yield "a room that is not the farm's", row
        else:
            yield from _in_private(village, step, row, person.id)


def _in_private(village: Village, step: Step, row: Outgoing, person: int) -> Iterator[object]:
    """To members alone, but for a goodbye; the farm is named to whoever has several."""
    then, now = step.before.role(row.farm, person), step.after.role(row.farm, person)
    if now not in MEMBERS:
        village.goodbyes.add(row.id)
        if then not in MEMBERS:
            yield "no member of the farm", row
        if has_marker(village, row, row.farm):
            yield "a goodbye that tells of the farm", row
        return
    states = (step.before, step.after)
    several = all(len(state.farms_of(person)) > 1 for state in states)
    going = any(step.after.is_deleted(farm) for farm in step.after.farms_of(person))
    named = row.text.startswith(step.after.farms[row.farm].name) or row.facts.get("why") in OF_NO_FARM
    if several and not going and not named:
        yield "does not name its farm", row


def has_marker(village: Village, row: Outgoing, farm: int) -> bool:
    """Whether a message holds what only that farm's may."""
    buttons = [(button.label, button.command) for button in row.buttons]
    told = json.dumps([row.text, row.facts, buttons, row.reminder], default=str)
    return any(marker in told for marker in village.markers.get(farm, ()))


# Acts -----------------------------------------------------------------------------------------------------


def acts_have_an_actor(village: Village, step: Step) -> Iterator[object]:
    """An owner or hand of then records and changes; a reader and a stranger nothing."""
    for event in step.events:
        role = step.role_then(event.farm, event.by) if event.by else None
        if event.by and role not in TELLERS:
            yield f"told by {role}", event
        by_time = str(event.source).startswith("bell-")  # what was due rings before anything is answered
        if step.actor and not by_time and event.by != step.actor:
            yield "told by somebody who was silent", event
    for farm, now in step.after.farms.items():
        was, role = step.before.farms.get(farm), step.before.role(farm, step.actor)
        if was is None or was == now:
            continue
        if step.actor and role not in TELLERS:
            yield f"the farm was changed by {role}", (was, now)
        if was.goes_at != now.goes_at and role != "owner":
            yield f"deleted or restored by {role}", now
    for row in step.rows:
        if row.kind in OWNERS_KINDS and step.role_then(row.farm, step.actor) != "owner":
            yield f"{row.kind} for somebody who is not the owner", row


def roles_have_a_giver(village: Village, step: Step) -> Iterator[object]:
    """Nobody becomes more than they were by themselves, and only the owner changes others."""
    for key in {*step.before.members, *step.after.members}:
        was, now = step.before.members.get(key), step.after.members.get(key)
        if was != now and key[0] in step.after.farms and not _is_given(village, step, key, was, now):
            yield f"farm and person {key}: {was} became {now} by {step.actor}"


def _is_given(village: Village, step: Step, key: tuple[int, int], was: str | None, now: str | None) -> bool:
    """Founded; taken from who offered it; changed by the owner; by oneself only asked, read or left."""
    (farm, person), actor = key, step.before.role(key[0], step.actor)
    if farm not in step.before.farms:
        return now == "owner"
    if "owner" in (was, now):
        pressed = command_of(village.store, step.incoming) if step.incoming else {}
        took = pressed.get("kind") == "take-farm" and pressed["person"] == step.actor
        return took and pressed["owner"] == step.before.owner(farm) and actor in MEMBERS
    if step.incoming is not None and step.incoming.what == "open":
        return person == step.actor and was not in MEMBERS and now == "reader"
    by_oneself = (was, now) == (None, "asked") or (was in MEMBERS and now is None)
    return actor == "owner" or (person == step.actor and by_oneself)


def farms_have_one_owner(village: Village, step: Step) -> Iterator[object]:
    for farm in step.after.farms:
        owners = [key for key, role in step.after.members.items() if key[0] == farm and role == "owner"]
        if len(owners) != 1:
            yield f"farm {farm} has {len(owners)} owners", owners


# The end of a farm ----------------------------------------------------------------------------------------


def deleted_farms_are_silent(village: Village, step: Step) -> Iterator[object]:
    """No bell, nothing of its fish, nothing recorded."""
    deleted = {
        farm for farm in step.after.farms if step.before.is_deleted(farm) and step.after.is_deleted(farm)
    }
    for row in step.rows:
        tells = row.reminder or row.kind not in QUIET_KINDS or has_marker(village, row, row.farm)
        if row.farm in deleted and tells:
            yield "a deleted farm speaks", row
    yield from (("a deleted farm records", event) for event in step.events if event.farm in deleted)


def gone_farms_leave_nothing(village: Village, step: Step) -> Iterator[object]:
    """A farm goes when its days are over, not before and not long after, and takes everything along."""
    now = village.clock.now()
    for farm in set(step.before.farms) - set(step.after.farms):
        goes_at = step.before.farms[farm].goes_at
        if goes_at is None or now < goes_at:
            yield "gone before its time", farm
        yield from left_of(village, farm)
    for farm, kept in step.after.farms.items():
        if step.actor == 0 and kept.goes_at is not None and now >= kept.goes_at + DAY:
            yield "not gone in time", farm


def left_of(village: Village, farm: int) -> Iterator[object]:
    """Whatever a table still holds of a farm that is gone: by its number, and by its markers."""
    markers = village.markers.get(farm, ())
    for table, row in village.everything():
        if row.get("farm") == farm:
            yield "left", (table, row)
        if any(marker in str(value) for value in row.values() for marker in markers):
            yield "its fish are left", (table, row)


# Bells ----------------------------------------------------------------------------------------------------


def no_bell_falls_silent(village: Village, step: Step) -> Iterator[object]:
    """One that wakes and rang was answered, withdrawn, replaced by its next look, or tried six times."""
    yield from village.store.file.rows(
        "SELECT * FROM reminders AS bell WHERE wakes = 1 AND next_at IS NULL AND attempts BETWEEN 1 AND ?"
        " AND state NOT IN ('answered', 'withdrawn') AND NOT EXISTS (SELECT 1 FROM reminders AS later"
        " WHERE later.farm = bell.farm AND later.run = bell.run AND later.step = bell.step"
        " AND later.grp = bell.grp AND later.batch = bell.batch AND later.due_at > bell.due_at"
        " AND later.attempts > 0)",
        ATTEMPTS - 1,
    )


def bells_reach_whom_they_are_for(village: Village, step: Step) -> Iterator[object]:
    """Everybody who may be rung, where nobody has the night; else who has it, from the third attempt one
    more, from the fifth the owner and the rooms. What is due when somebody speaks rings before it is heard:
    it may go by what was, or by what is since."""
    rung: dict[tuple[int, int], list[Outgoing]] = defaultdict(list)
    for row in step.rows:
        if row.reminder_id and row.reminder:
            rung[row.reminder_id, row.reminder["attempt"]].append(row)
    for (bell, attempt), rows in rung.items():
        wakes = village.store.file.value("SELECT wakes FROM reminders WHERE id = ?", bell)
        chats = {row.chat for row in rows}
        states = [step.before, step.after] if rows[0].farm in step.before.farms else [step.after]
        reaches = [_reach(village, state, rows[0].farm, rows[0].at, bool(wakes)) for state in states]
        reach = next((each for each in reaches if not [*each.faults(chats, attempt)]), reaches[-1])
        if len({row.unique for row in rows}) != len(rows):
            yield "rung twice in a chat", rows
        yield from ((f"attempt {attempt}: {fault}", chats, reach) for fault in reach.faults(chats, attempt))


@dataclass(frozen=True)
class Reach:
    """Who of a farm can be rung where: own chats by person, of those who have the night, the owner, rooms."""

    own: dict[int, str]
    on: tuple[int, ...]
    owner: int
    rooms: set[str]
    alone: bool
    """Whether somebody has the night, and this bell wakes."""

    def faults(self, chats: set[str], attempt: int) -> Iterator[str]:
        able = {*self.own.values(), *self.rooms}
        told = {person for person, chat in self.own.items() if chat in chats}
        watch = {person for person in self.on if person in self.own}
        if not chats <= able:
            yield "rings somebody who is not to be rung"
        if not self.alone:
            yield from ["is not for everybody"] * (not able <= chats)
            return
        if not watch <= told:
            yield "passes over who has the night"
        if attempt < WITH_NEXT:
            yield from self._early(chats, told, watch)
        elif attempt < WITH_OWNER:
            yield from ["calls nobody else"] * (told == watch != set(self.own) and not self.rooms & chats)
        elif not self.rooms <= chats or (self.owner in self.own and self.owner not in told):
            yield "is not for the owner and the rooms"

    def _early(self, chats: set[str], told: set[int], watch: set[int]) -> Iterator[str]:
        if watch and told != watch:
            yield "wakes others"
        if len(watch) < len(self.on) and not self.rooms <= chats:
            yield "passes over who cannot be rung alone"


def _reach(village: Village, state: State, farm: int, at: datetime, wakes: bool) -> Reach:
    rows = village.store.file.rows(
        "SELECT members.person, people.key FROM members JOIN people ON people.id = members.person"
        " JOIN chats ON chats.key = people.key WHERE members.farm = ? AND role IN ('owner', 'hand')"
        " AND members.private_bells = 1 AND chats.private = 1 AND chats.unreachable_at IS NULL",
        farm,
    )
    duty = state.farms[farm].duty
    on = duty.people if duty and at < duty.until else ()
    on = tuple(person for person in on if state.role(farm, person) in TELLERS)
    own = {row["person"]: row["key"] for row in rows}
    return Reach(own, on, state.owner(farm), state.rooms(farm), bool(on) and wakes)


CHECKS: Sequence[Check] = (
    nothing_fails,
    messages_stay_at_home,
    acts_have_an_actor,
    roles_have_a_giver,
    farms_have_one_owner,
    deleted_farms_are_silent,
    gone_farms_leave_nothing,
    no_bell_falls_silent,
    bells_reach_whom_they_are_for,
)
