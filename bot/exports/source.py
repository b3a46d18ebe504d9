"""What an export is made of: one farm of the store, its clock, and what its people are called.

People are named by name alone: what a messenger calls them, or a chat, leaves the store in no export.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bot.notebooks import is_table
from bot.store import Store
from core.assistant import local_zone
from core.broodbook import BroodFish, Treatment, brood_book, treatments
from core.records import BOOK, Event
from core.runs import standing

SOMEBODY, ROOM = "somebody", "room"
FORMATS = (
    (b"\xff\xd8\xff", "jpg"),
    (b"\x89PNG", "png"),
    (b"GIF8", "gif"),
    (b"RIFF", "webp"),
    (b"%PDF", "pdf"),
)
"""How a file of that kind begins, and what its name ends with."""


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody of the farm, or who spoke there; `role` is `None` for who is gone."""

    id: int
    key: str
    name: str
    role: str | None


class Source:
    """One farm to be read, within one moment of its store. Raises `KeyError` where there is none."""

    def __init__(self, store: Store, farm: int) -> None:
        self.store = store
        self.number = farm
        self.farm = store.farm(farm)
        self.zone: tzinfo = local_zone(self.farm)

    @functools.cached_property
    def people(self) -> tuple[Known, ...]:
        """In the order they came, no two of one name."""
        rows = self.store.file.rows(
            "SELECT people.id, key, name, role FROM people"
            " LEFT JOIN members ON members.person = people.id AND members.farm = ?1 WHERE people.id IN"
            " (SELECT person FROM members WHERE farm = ?1 UNION SELECT by FROM events WHERE farm = ?1)"
            " ORDER BY people.id",
            self.number,
        )
        found: list[Known] = []
        for row in rows:
            unnamed = row["name"] == row["key"] and row["key"].isdecimal()
            name = SOMEBODY if unnamed else row["name"]
            namesakes = sum(each.name.split(" (")[0] == name for each in found)
            called = f"{name} ({namesakes + 1})" if namesakes else name
            found.append(Known(row["id"], row["key"], called, row["role"]))
        return tuple(found)

    def name(self, person: int | None) -> str | None:
        """What somebody is called."""
        return self._names.get(person, SOMEBODY) if person is not None else None

    def chat(self, key: str) -> str:
        """Whose chat it is."""
        return self._chats.get(key, SOMEBODY)

    def runs(self) -> Iterator[tuple[int, tuple[Event, ...]]]:
        """Every run with all that was ever told of it; 0 is what belongs to none."""
        numbers = self.store.file.rows(
            "SELECT run FROM events WHERE farm = ?1 UNION SELECT number FROM runs WHERE farm = ?1 ORDER BY 1",
            self.number,
        )
        for row in numbers:
            yield row["run"], self.store.events(self.number, row["run"])

    @functools.cached_property
    def treated(self) -> Mapping[int, Sequence[tuple[BroodFish, Treatment]]]:
        """By run, the fish that got hormone in it, as they are followed by their tags."""
        told = standing(self.store.events(self.number, BOOK))
        found: dict[int, list[tuple[BroodFish, Treatment]]] = {}
        for fish, dose in treatments(brood_book(self.store.results(self.number), told)):
            found.setdefault(dose.run, []).append((fish, dose))
        return found

    def photo_files(self) -> dict[int, str]:
        """The photos that go out, by their numbers, and what their files are called."""
        return {
            photo.id: f"photos/run{photo.run}-{place}.{self._ending(photo.id, photo.name)}"
            for place, photo in enumerate(self.store.photo_rows(self.number), 1)
            if photo.goes_out
        }

    def time(self, at: datetime | None) -> str | None:
        """In the farm's own time, to the second."""
        return None if at is None else at.astimezone(self.zone).replace(microsecond=0).isoformat()

    @functools.cached_property
    def _names(self) -> dict[int, str]:
        return {each.id: each.name for each in self.people}

    @functools.cached_property
    def _chats(self) -> dict[str, str]:
        rooms = {chat.key: ROOM for chat in self.store.chats(self.number) if not chat.private}
        return {**rooms, **{each.key: each.name for each in self.people}}

    def _ending(self, photo: int, name: str) -> str:
        if is_table(name):
            return name.rpartition(".")[2].casefold()
        head = self.store.file.value(
            "SELECT substr(picture, 1, 8) FROM photos WHERE farm = ? AND id = ?", self.number, photo
        )
        return next((ending for start, ending in FORMATS if head.startswith(start)), "bin")
