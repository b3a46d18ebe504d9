"""What has a name or a number of its own: "tank 1", "tag 8", "F2", "8 no female"."""

from __future__ import annotations

from dataclasses import dataclass

from core.reading.cursor import LONGEST_CODE, Cursor, is_a_name
from core.reading.items import Item, Kind, tables_of
from core.reading.text import Token

FEW_WORDS = 2


@dataclass(slots=True)
class Names(Cursor):
    """Reads places and tags."""

    def _named(self) -> Item | None:
        _, senses = self._phrase(self.at)
        named = None
        if senses and "name" in tables_of(senses):
            named = self._after_noun("name.place", "place") or self._after_noun("name.tag", "tag")
        return named or self._coded()

    def _after_noun(self, sense: str, kind: Kind) -> Item | None:
        """A noun and the number or letter after it, with "no" or "#" between."""
        size, senses = self._phrase(self.at)
        if sense not in senses:
            return None
        at = self.at + size
        while at < len(self.tokens) and self._joins(at):
            at += 1
        token = self.tokens[at] if at < len(self.tokens) else None
        weight = self._is_measured(at + 1) or (at < len(self.tokens) and self._tells_an_hour(at + 1))
        if token is None or weight or not is_a_name(token) or (kind == "tag" and token.kind == "word"):
            return self._tag_noun(at, kind)
        start, self.at = self.at, at + 1
        return Item(kind, self._raw(start), text=token.raw if kind == "tag" else self._raw(start))

    def _tag_noun(self, at: int, kind: Kind) -> Item | None:
        """ "tag F2": the code after the noun is the tag."""
        if kind != "tag" or at >= len(self.tokens):
            return None
        kept, self.at = self.at, at
        coded = self._coded()
        if coded is None or coded.kind != "coded":
            self.at = kept
            return None
        return coded._replace(kind="tag", text=coded.raw)

    def _joins(self, at: int) -> bool:
        """Whether a sign or word may stand between noun and number; a full stop ends a short form."""
        if self.tokens[at].low == ".":
            glued = at + 1 < len(self.tokens) and self.tokens[at + 1].glued
            return glued or "name.number" in self._phrase(at - 1)[1]
        return self.tokens[at].low == "#" or "name.number" in self._phrase(at)[1]

    def _coded(self) -> Item | None:
        """Letters with glued whole digits: a tag, or a sex and a weight."""
        token, digits = self._peek(), self._peek(1)
        if token is None or token.kind != "word" or digits is None or not digits.glued:
            return None
        if digits.kind != "number" or not digits.raw.isdigit() or len(digits.raw) > LONGEST_CODE:
            return None
        known = self.view.letters.get(token.low)
        size, senses = self._phrase(self.at)
        stranger = (size == 0 and len(token.raw) <= LONGEST_CODE) or (
            len(token.raw) == 1 and "op.times" not in senses
        )
        if known is None and not stranger:
            return None
        if known is not None and self._mass_follows(2):
            return None
        self.at += 2
        raw = token.raw + digits.raw
        return Item("coded", raw, text=digits.raw, value=float(digits.raw), sex=known, glued=token.glued)

    def _numbered(self, token: Token) -> Item | None:
        """ "8 no female", "3 no. pond", "7 number wali mada": the number names what stands behind it."""
        size, senses = self._phrase(self.at)
        if not senses & {"name.number", "name.tag_after"} or not is_a_name(token):
            return None
        ahead = size
        while ahead < size + FEW_WORDS and self._passes(ahead):
            ahead += max(self._phrase(self.at + ahead)[0], 1)
        behind, after = self._phrase(self.at + ahead)
        start = self.at - 1
        if "name.place" in after:
            self.at += ahead + behind
            return Item("place", self._raw(start), text=self._raw(start))
        if after & {"sex.f", "sex.m", "noun.fish"}:
            self.at += ahead
            return Item("tag", self._raw(start), text=token.raw)
        return None

    def _passes(self, ahead: int) -> bool:
        token = self._peek(ahead)
        _, senses = self._phrase(self.at + ahead)
        return token is not None and (token.raw == "." or any(s.startswith("filler.") for s in senses))
