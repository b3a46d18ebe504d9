"""Words for the people of a farm: links to join by, who belongs to it, who has the night."""

from __future__ import annotations

from core.replies import CrewList, JoinLink
from core.wording.voice import Voice


def join_link(v: Voice, fact: JoinLink) -> list[str]:
    """The link stands alone on its line, to be copied."""
    return [v.coded("join-link", fact.role, until=v.time(fact.until)), fact.link]


def crew_list(v: Voice, fact: CrewList) -> list[str]:
    """One line a person, then who has the night."""
    lines = [v.coded("crew", member.role, name=member.name) for member in fact.people]
    if fact.until is None:
        return [*lines, v.say("crew-night-everybody")]
    return [*lines, v.say("crew-night", names=v.names(fact.night), until=v.time(fact.until))]
