"""The people of a farm: what each may do, who has the night, and who is rung at which attempt.

Also what they say of one another, as commands, and the changes that follow, as data. Roles: an owner may do
all; a hand tells and answers; a reader asks. `asked` and `refused` are no members.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

Role = Literal["owner", "hand", "reader", "asked", "refused"]
Invited = Literal["hand", "reader"]
MEMBERS: tuple[Role, ...] = ("owner", "hand", "reader")
RUNG: tuple[Role, ...] = ("owner", "hand")
"""Whom bells may wake."""
ATTEMPTS_ALONE = 2
ATTEMPTS_WITH_NEXT = 4
"""Up to this attempt of a bell that wakes: who has the night and the next; from then on the owner too."""


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody of the farm. `private_bells`: to be rung in their own chat with the bot; `has_chat`: there is
    one, and it can be reached."""

    person: int
    name: str
    role: Role
    private_bells: bool = False
    has_chat: bool = False

    @property
    def rung_alone(self) -> bool:
        """Whether a bell can reach this one and nobody else."""
        return self.private_bells and self.has_chat


@dataclass(frozen=True, slots=True)
class Duty:
    """Who has the night, and until when."""

    people: tuple[int, ...]
    until: datetime


# What is said ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Invite:
    """A link for somebody new, who is to be a hand, or only to read along."""

    kind: ClassVar[str] = "invite"
    role: Invited = "hand"


@dataclass(frozen=True, slots=True)
class RevokeLinks:
    """No link that was made opens any more."""

    kind: ClassVar[str] = "revoke_links"


@dataclass(frozen=True, slots=True)
class Leave:
    """Whoever says it belongs to the farm no more."""

    kind: ClassVar[str] = "leave"


@dataclass(frozen=True, slots=True)
class Remove:
    """Somebody is to belong to the farm no more; `name` as typed, `None` where none was told."""

    kind: ClassVar[str] = "remove"
    name: str | None = None


@dataclass(frozen=True, slots=True)
class HandOver:
    """The farm is to be somebody else's."""

    kind: ClassVar[str] = "hand_over"
    name: str | None = None


@dataclass(frozen=True, slots=True)
class OnDuty:
    """Who has the night: names as typed, `me`: whoever says it, `everybody`: no one alone."""

    kind: ClassVar[str] = "on_duty"
    names: tuple[str, ...] = ()
    me: bool = False
    everybody: bool = False


@dataclass(frozen=True, slots=True)
class AskCrew:
    """Who belongs to the farm, and who has the night."""

    kind: ClassVar[str] = "ask_crew"


@dataclass(frozen=True, slots=True)
class PrivateBells:
    """Whoever says it wants bells in their own chat, or no more."""

    kind: ClassVar[str] = "private_bells"
    wanted: bool = True


@dataclass(frozen=True, slots=True)
class Export:
    """All that is kept of the farm, as files."""

    kind: ClassVar[str] = "export"


@dataclass(frozen=True, slots=True)
class DeleteFarm:
    """All that is kept of the farm is to go."""

    kind: ClassVar[str] = "delete_farm"


@dataclass(frozen=True, slots=True)
class SwitchFarm:
    """Another of the speaker's farms is meant from now on; `name` as typed."""

    kind: ClassVar[str] = "switch_farm"
    name: str | None = None


CrewAct = (
    Invite
    | RevokeLinks
    | Leave
    | Remove
    | HandOver
    | OnDuty
    | AskCrew
    | PrivateBells
    | Export
    | DeleteFarm
    | SwitchFarm
)


# What is pressed ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Admit:
    """An owner answers whether somebody is to be a hand of the farm; else they are `otherwise`."""

    kind: ClassVar[str] = "admit"
    person: int
    name: str
    admitted: bool
    otherwise: Role = "refused"


@dataclass(frozen=True, slots=True)
class SendAway:
    """This member belongs to the farm no more."""

    kind: ClassVar[str] = "send-away"
    person: int


@dataclass(frozen=True, slots=True)
class OfferFarm:
    """The farm is offered to this member, who says yes or no."""

    kind: ClassVar[str] = "offer-farm"
    person: int


@dataclass(frozen=True, slots=True)
class TakeFarm:
    """Whoever was offered the farm takes it, or does not; it stands while the one who offered owns it."""

    kind: ClassVar[str] = "take-farm"
    owner: int
    person: int
    taken: bool


@dataclass(frozen=True, slots=True)
class SetDuty:
    """These members have the night."""

    kind: ClassVar[str] = "set-duty"
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SurelyDelete:
    """All that is kept of the farm goes after the days to undo it."""

    kind: ClassVar[str] = "surely-delete"


@dataclass(frozen=True, slots=True)
class RestoreFarm:
    """The farm is not deleted after all."""

    kind: ClassVar[str] = "restore-farm"


@dataclass(frozen=True, slots=True)
class PickFarm:
    """Which farm is meant, in a chat of somebody who has several. What was said before that was known waits:
    its `text` ("": nothing), the `key` of that message and when it was said."""

    kind: ClassVar[str] = "pick-farm"
    farm: int
    text: str = ""
    key: str = ""
    said_at: datetime | None = None


CrewPress = Admit | SendAway | OfferFarm | TakeFarm | SetDuty | SurelyDelete | RestoreFarm | PickFarm


# What follows ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RoleGiven:
    """From now on this person is that on the farm."""

    person: int
    role: Role


@dataclass(frozen=True, slots=True)
class Gone:
    """This person belongs to the farm no more; `refused`: and is not asked about again."""

    person: int
    refused: bool = False


@dataclass(frozen=True, slots=True)
class LinkMade:
    """A link that opens once, until then."""

    role: Invited
    until: datetime


@dataclass(frozen=True, slots=True)
class LinksRevoked:
    """None of the farm's links opens any more."""


@dataclass(frozen=True, slots=True)
class BellsWanted:
    """Whether this person is rung in their own chat."""

    person: int
    wanted: bool


CrewChange = RoleGiven | Gone | LinkMade | LinksRevoked | BellsWanted


# Who may, and who is rung ---------------------------------------------------------------------------------


def rung(
    crew: Sequence[Member], duty: Duty | None, wakes: bool, attempt: int, now: datetime
) -> tuple[int, ...]:
    """The people whom an attempt of a bell is for, by the number of the person.

    Everybody who may be rung, where nobody has the night or the bell wakes nobody. Else who has it, from the
    third attempt on the next of the crew too, from the fifth on the owner too.
    """
    able = [member for member in crew if member.role in RUNG]
    on = [member for member in able if duty and now < duty.until and member.person in duty.people]
    if not on or not wakes:
        return tuple(member.person for member in able)
    called = [member.person for member in on]
    if attempt > ATTEMPTS_ALONE:
        called += next_after(able, called)
    if attempt > ATTEMPTS_WITH_NEXT:
        called += [member.person for member in able if member.role == "owner"]
    return tuple(dict.fromkeys(called))


def next_after(able: Sequence[Member], called: Sequence[int]) -> list[int]:
    """The next of the crew behind those called, hands before the owner, in the order they came."""
    last = max(at for at, member in enumerate(able) if member.person in called)
    turn = [*able[last + 1 :], *able[:last]]
    hands = [member for member in turn if member.role == "hand"]
    ahead = [member.person for member in (*hands, *turn) if member.person not in called]
    return ahead[:1]


def tried(crew: Sequence[Member], duty: Duty | None, attempt: int, now: datetime) -> tuple[str, ...]:
    """The names of those whom a bell that wakes has rung in vain, where not everybody was: () else."""
    if attempt <= 1:
        return ()
    before = rung(crew, duty, True, attempt - 1, now)
    everybody = rung(crew, None, True, 1, now)
    return () if set(before) == set(everybody) else tuple(m.name for m in crew if m.person in before)
