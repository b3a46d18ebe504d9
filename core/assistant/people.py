"""The people of the farm: who may what, joining and leaving, who has the night, and the end of a farm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from core import commands as say
from core import crew
from core.assistant.talk import Point, Talk
from core.crew import Member
from core.replies import Ask, Button, CrewList, CrewMember, Exported, JoinLink, Noted, Refused, Reply

LINK_LIVES = timedelta(hours=48)
DAYS_TO_UNDO = timedelta(days=7)
NIGHT_ENDS = "12:00"
"""The night is over at noon of the farm. A rule of our own."""
SHORTEST_HEAD, LONGEST_ENDING = 3, 3  # letters of a name that has an ending glued to it, and of the ending
READERS_ASK: tuple[type[Any], ...] = (
    say.Question,
    say.Help,
    say.Begin,
    say.Greeting,
    say.Why,
    say.Trouble,
    say.Bath,
    say.SampleSize,
    say.Stock,
    say.Order,
    say.AskVessels,
    say.AskMilt,
    say.AskBrood,
    say.Nothing,
    say.Pick,
    crew.AskCrew,
    crew.SwitchFarm,
)
READERS_CHANGE: tuple[type[Any], ...] = (crew.Leave, crew.TakeFarm)
OWNERS_ALONE: tuple[type[Any], ...] = (
    crew.Invite,
    crew.RevokeLinks,
    crew.Remove,
    crew.SendAway,
    crew.HandOver,
    crew.OfferFarm,
    crew.Export,
    crew.DeleteFarm,
    crew.SurelyDelete,
    crew.RestoreFarm,
    crew.Admit,
)
NOT_THEIRS = ("owner-alone", "reader", "not-yours")
"""Why a press is refused that somebody else may make."""
OF_A_DELETED_FARM: tuple[type[Any], ...] = (crew.RestoreFarm, crew.SwitchFarm, say.Undo)


# Who may --------------------------------------------------------------------------------------------------


def stopped(talk: Talk, command: say.Command) -> bool:
    """Whether this person may not say that on this farm, which is said then: the one gate of all commands."""
    role = talk.desk.role
    if talk.farm.goes_at is not None:
        return _of_no_farm(talk, command)
    if role == "owner" or (isinstance(command, say.Unclear) and not command.candidates):
        return False
    if isinstance(command, OWNERS_ALONE):
        talk.say(Refused("owner-alone", words=_owner(talk).name))
        return True
    meant = command.candidates if isinstance(command, say.Unclear) else (command,)
    if role == "hand" or all(isinstance(one, READERS_ASK + READERS_CHANGE) for one in meant):
        return False
    talk.say(Refused("reader", words=_owner(talk).name))
    return True


def hold_reader(talk: Talk, mark: Point, command: say.Command) -> None:
    """Of what a reader asks nothing stays. What would change anything is taken back, and said; a caution that
    a reader saw is still to be given to the hands."""
    if talk.desk.role != "reader":
        return
    if talk.changed_since(mark) and not isinstance(command, READERS_CHANGE):
        talk.return_to(mark)
        talk.say(Refused("reader", words=_owner(talk).name))
    talk.advice.clear()


def _of_no_farm(talk: Talk, command: say.Command) -> bool:
    """A deleted farm is silent; its owner alone may take that back."""
    if talk.desk.role == "owner" and isinstance(command, OF_A_DELETED_FARM):
        return False
    say_deleted(talk)
    return True


def say_deleted(talk: Talk) -> None:
    """The farm is deleted, and till when that can be undone; the owner has the button for it."""
    undo = (Button("undo", crew.RestoreFarm(), "restore-farm"),) if talk.desk.role == "owner" else ()
    talk.say(Noted("farm-deleted", at=talk.farm.goes_at), *undo)


# Joining --------------------------------------------------------------------------------------------------


def invite(talk: Talk, said: crew.Invite) -> None:
    """A link for somebody new."""
    until = talk.desk.now + LINK_LIVES
    talk.change(crew.LinkMade(said.role, until))
    talk.say(JoinLink(said.role, until), Button("revoke", crew.RevokeLinks(), "revoke-links"))


def revoke(talk: Talk, said: crew.RevokeLinks) -> None:
    """No link of the farm opens any more."""
    talk.change(crew.LinksRevoked())
    talk.say(Noted("links-revoked"))


def joined(talk: Talk, role: crew.Invited) -> None:
    """Whoever speaks opened a link: they read along from now on; a hand waits for the owner's word."""
    person, waits = talk.desk.person, role == "hand"
    talk.say(Noted("joined-waits" if waits else "joined", word=talk.farm.name))
    if not waits:
        talk.notify(_owner(talk).person, Reply(Noted("member-reads", word=person.name)))
        return
    talk.notify(_owner(talk).person, _put_to_owner(person.id, person.name, "opened-link", "reader"))


def put_to_founder(talk: Talk, person: int, name: str) -> None:
    """Somebody new speaks in a group: put to the founder once."""
    talk.replies.append(_put_to_owner(person, name, "new-voice", "refused"))


def _put_to_owner(person: int, name: str, why: str, otherwise: crew.Role) -> Reply:
    return Reply(
        Ask("member", why, words=name),
        (
            Button("yes", crew.Admit(person, name, True, otherwise), "member-yes"),
            Button("no", crew.Admit(person, name, False, otherwise), "member-no"),
        ),
    )


def admit(talk: Talk, said: crew.Admit) -> None:
    """The owner says whether somebody is a hand of the farm."""
    waits = _member(talk, said.person)
    if waits is None or waits.role not in ("asked", "refused", "reader"):
        talk.say(Refused("not-waiting", words=said.name))
        return
    talk.change(crew.RoleGiven(said.person, "hand" if said.admitted else said.otherwise))
    if said.otherwise == "reader":
        talk.notify(
            said.person, Reply(Noted("now-hand" if said.admitted else "only-reads", word=talk.farm.name))
        )
        talk.say(Noted("member-added" if said.admitted else "member-reads", word=said.name))
        return
    talk.say(Noted("member-added" if said.admitted else "member-refused", word=said.name))


# Leaving --------------------------------------------------------------------------------------------------


def leave(talk: Talk, said: crew.Leave) -> None:
    """Whoever says it goes; an owner hands over, or deletes, first."""
    person = talk.desk.person
    if talk.desk.role == "owner":
        talk.say(Refused("owner-stays"))
        return
    talk.change(crew.Gone(person.id))
    talk.notify(_owner(talk).person, Reply(Noted("member-left", word=person.name)))
    talk.say(Noted("left-farm", word=talk.farm.name))


def remove(talk: Talk, said: crew.Remove) -> None:
    """Which one is to go is settled by a press."""
    _ask_who(talk, "remove", said.name, _others(talk), lambda member: crew.SendAway(member.person))


def send_away(talk: Talk, said: crew.SendAway) -> None:
    """This member goes, and in a group is not asked about again."""
    member = _member(talk, said.person)
    if member is None or member.role not in ("hand", "reader"):
        talk.say(Refused("no-member"))
        return
    talk.change(crew.Gone(said.person, refused=True))
    talk.notify(said.person, Reply(Noted("sent-away", word=talk.farm.name)))
    talk.say(Noted("member-removed", word=member.name))


def hand_over(talk: Talk, said: crew.HandOver) -> None:
    """To whom the farm goes is settled by a press; then that one is asked."""
    _ask_who(talk, "hand-over", said.name, _others(talk), lambda member: crew.OfferFarm(member.person))


def offer(talk: Talk, said: crew.OfferFarm) -> None:
    """Whoever is to own the farm says yes or no."""
    member, owner = _member(talk, said.person), talk.desk.person
    if member is None or member.role not in ("hand", "reader"):
        talk.say(Refused("no-member"))
        return
    take = (
        Button("yes", crew.TakeFarm(owner.id, said.person, True), "take-farm-yes"),
        Button("no", crew.TakeFarm(owner.id, said.person, False), "take-farm-no"),
    )
    talk.notify(said.person, Reply(Ask("take-farm", "", words=owner.name), take))
    talk.say(Noted("farm-offered", word=member.name))


def take(talk: Talk, said: crew.TakeFarm) -> None:
    """The farm changes hands, where the one who offered it owns it still."""
    person = talk.desk.person
    if person.id != said.person:
        talk.say(Refused("not-yours", words=_name(talk, said.person)))
        return
    if _owner(talk).person != said.owner:
        talk.say(Refused("not-offered"))
        return
    if said.taken:
        talk.change(crew.RoleGiven(said.owner, "hand"))
        talk.change(crew.RoleGiven(person.id, "owner"))
        for member in talk.desk.crew:
            if member.person != person.id and member.role in crew.MEMBERS:
                talk.notify(member.person, Reply(Noted("new-owner", word=person.name)))
        talk.say(Noted("you-own", word=talk.farm.name))
        return
    talk.notify(said.owner, Reply(Noted("farm-not-taken", word=person.name)))
    talk.say(Noted("no-change"))


# The night ------------------------------------------------------------------------------------------------


def on_duty(talk: Talk, said: crew.OnDuty) -> None:
    """Who has the night until noon: whoever is named, whoever says so, or everybody."""
    if said.everybody:
        set_duty(talk, crew.SetDuty(()))
        return
    able = [member for member in talk.desk.crew if member.role in crew.RUNG]
    readers = [member for member in talk.desk.crew if member.role == "reader"]
    found = [talk.desk.person.id] if said.me else []
    for name in said.names:
        named = _named(able, name)
        if not named and (only_reads := _named(readers, name)):
            talk.say(Refused("reader-no-night", words=only_reads[0].name))
            return
        if len(named) != 1:
            buttons = tuple(
                _person_button(member, crew.SetDuty((member.person,))) for member in named or able
            )
            talk.say(Ask("duty", "" if named else "no-such-name", words=name), *buttons)
            return
        found.append(named[0].person)
    set_duty(talk, crew.SetDuty(tuple(dict.fromkeys(found))))


def set_duty(talk: Talk, said: crew.SetDuty) -> None:
    """These have the night; nobody alone where there are none."""
    if not said.people:
        talk.change_farm(replace(talk.farm, duty=None))
        talk.say(Noted("duty-everybody"))
        return
    members = [_member(talk, person) for person in said.people]
    if any(member is None or member.role not in crew.RUNG for member in members):
        talk.say(Refused("no-hand"))
        return
    until = _noon(talk)
    talk.change_farm(replace(talk.farm, duty=crew.Duty(said.people, until)))
    names = ", ".join(member.name for member in members if member)
    alone = all(member.rung_alone for member in members if member)
    talk.say(Noted("duty" if alone else "duty-in-room", word=names, at=until))
    for member in members:
        if member and member.person != talk.desk.person.id and member.rung_alone:
            talk.notify(member.person, Reply(Noted("you-have-duty", word=talk.desk.person.name, at=until)))


def _noon(talk: Talk) -> datetime:
    noon = talk.clock(NIGHT_ENDS, talk.desk.now)
    return noon if noon > talk.desk.now else talk.clock(NIGHT_ENDS, talk.desk.now + timedelta(days=1))


def who(talk: Talk, said: crew.AskCrew) -> None:
    """Who belongs to the farm, and who has the night."""
    people = tuple(
        CrewMember(member.name, member.role) for member in talk.desk.crew if member.role in crew.MEMBERS
    )
    duty = talk.farm.duty if talk.farm.duty and talk.desk.now < talk.farm.duty.until else None
    night = tuple(_name(talk, person) for person in duty.people) if duty else ()
    raised = tuple(
        Button(
            f"hand:{member.person}",
            crew.Admit(member.person, member.name, True, "reader"),
            "make-hand",
            (("name", member.name),),
        )
        for member in talk.desk.crew
        if member.role == "reader" and talk.desk.role == "owner"
    )
    talk.say(CrewList(people, night, duty.until if duty else None), *raised)


def private_bells(talk: Talk, said: crew.PrivateBells) -> None:
    """Whether whoever says it is rung in their own chat, beside the farm's room."""
    me = _member(talk, talk.desk.person.id)
    if said.wanted and (me is None or not me.has_chat):
        talk.say(Refused("no-private-chat"))
        return
    others = any(m.rung_alone and m.role in crew.RUNG for m in talk.desk.crew if m != me)
    if not said.wanted and not (talk.desk.has_room or others):
        talk.say(Refused("rings-nowhere"))
        return
    talk.change(crew.BellsWanted(talk.desk.person.id, said.wanted))
    talk.say(Noted("private-bells" if said.wanted else "no-private-bells"))


# The farm as a whole --------------------------------------------------------------------------------------


def export(talk: Talk, said: crew.Export) -> None:
    """All that is kept of the farm, as files: for the owner alone, in their own chat."""
    members = [member for member in talk.desk.crew if member.role in crew.MEMBERS]
    fact = Exported(talk.desk.next_run - 1, len(members), talk.desk.now)
    table = Button("pick:1", say.Question("season_table"), "season-table")
    reply = Reply(fact, (table,), document="export")
    if talk.desk.private:
        talk.replies.append(reply)
        return
    me = _member(talk, talk.desk.person.id)
    if me is None or not me.has_chat:
        talk.say(Refused("no-private-chat"))
        return
    talk.notify(me.person, reply)
    talk.say(Noted("export-in-private"))


def delete(talk: Talk, said: crew.DeleteFarm) -> None:
    """Asked once more: nobody deletes a farm by one word."""
    talk.say(
        Ask("delete-farm", "", at=talk.desk.now + DAYS_TO_UNDO),
        Button("yes", crew.SurelyDelete(), "delete-yes"),
        Button("no", say.Nothing("delete-farm"), "delete-no"),
    )


def surely_delete(talk: Talk, said: crew.SurelyDelete) -> None:
    """Silent from now on, and gone when the days to undo it are over; everybody of the farm hears it."""
    goes_at = talk.desk.now + DAYS_TO_UNDO
    talk.change_farm(replace(talk.farm, goes_at=goes_at))
    for member in talk.desk.crew:
        if member.person != talk.desk.person.id and member.role in crew.MEMBERS:
            talk.notify(
                member.person, Reply(Noted("farm-deleted-by", word=talk.desk.person.name, at=goes_at))
            )
    say_deleted(talk)


def restore(talk: Talk, said: crew.RestoreFarm | say.Undo) -> None:
    """The farm stays; its bells ring again."""
    if talk.farm.goes_at is None:
        talk.say(Refused("nothing-to-undo"))
        return
    talk.change_farm(replace(talk.farm, goes_at=None))
    for member in talk.desk.crew:
        if member.person != talk.desk.person.id and member.role in crew.MEMBERS:
            talk.notify(member.person, Reply(Noted("farm-restored")))
    talk.say(Noted("farm-restored"))


def switch_farm(talk: Talk, said: crew.SwitchFarm) -> None:
    """Which of their farms somebody means is settled by a press."""
    if len(talk.desk.farms) < 2:
        talk.say(Refused("one-farm", words=talk.farm.name))
        return
    talk.replies.append(which_farm(talk.desk.farms))


def which_farm(
    farms: Sequence[tuple[int, str]], text: str = "", key: str = "", said_at: datetime | None = None
) -> Reply:
    """Asks which of somebody's farms is meant; what was said, if anything, waits for it."""
    buttons = tuple(
        Button(f"farm:{place}", crew.PickFarm(farm, text, key, said_at), "farm", (("name", name),))
        for place, (farm, name) in enumerate(farms, 1)
    )
    return Reply(Ask("farm", ""), buttons)


# People by name -------------------------------------------------------------------------------------------


def _ask_who(talk: Talk, about: str, name: str | None, able: Sequence[Member], press: Any) -> None:
    """Asks with a button for each member that is meant; a name nobody has is said."""
    if not able:
        talk.say(Refused("alone"))
        return
    named = _named(able, name) if name else []
    unknown = bool(name) and not named
    talk.say(
        Ask(about, "no-such-name" if unknown else "", words=name if unknown and name else ""),
        *(_person_button(member, press(member)) for member in named or able),
        Button("no", say.Nothing(about), "nobody"),
    )


def plainly_of_the_crew(talk: Talk, said: say.Unclear) -> say.Act | None:
    """What may be said of a person or of something else, where somebody of the farm is called so."""
    meant = [one for one in said.candidates if isinstance(one, crew.Remove | crew.HandOver | crew.OnDuty)]
    if len(meant) != 1 or len(said.candidates) != 1:
        return None
    names = meant[0].names if isinstance(meant[0], crew.OnDuty) else (meant[0].name or "",)
    members = [member for member in talk.desk.crew if member.role in crew.MEMBERS]
    return meant[0] if names and all(_named(members, name) for name in names) else None


def _person_button(member: Member, command: say.Command) -> Button:
    return Button(f"person:{member.person}", command, "person", (("name", member.name),))


def _named(able: Sequence[Member], name: str) -> list[Member]:
    """The members of that name, however it is written; by a part of it where nobody has just that, or where
    an ending is glued to it."""
    wanted = name.casefold().strip()
    whole = [member for member in able if member.name.casefold() == wanted]
    part = [member for member in able if wanted in member.name.casefold().split()]
    return whole or part or [member for member in able if _is_head(member.name.casefold(), wanted)]


def _is_head(name: str, typed: str) -> bool:
    return (
        len(name) >= SHORTEST_HEAD and 0 < len(typed) - len(name) <= LONGEST_ENDING and typed.startswith(name)
    )


def _others(talk: Talk) -> list[Member]:
    return [member for member in talk.desk.crew if member.role in ("hand", "reader")]


def _member(talk: Talk, person: int) -> Member | None:
    return next((member for member in talk.desk.crew if member.person == person), None)


def _owner(talk: Talk) -> Member:
    return next(member for member in talk.desk.crew if member.role == "owner")


def _name(talk: Talk, person: int) -> str:
    member = _member(talk, person)
    return member.name if member else ""
