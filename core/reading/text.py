"""A message cut into tokens: numbers, words and single signs. Knows scripts, no words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

LONGEST = 4096
GROUP = 3

TokenKind = Literal["number", "word", "sign"]


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of the message; `low` is what word files are searched for, `glued`: no space before it."""

    kind: TokenKind
    raw: str
    low: str
    glued: bool


@dataclass(frozen=True, slots=True)
class Script:
    """How signs are written: digits of every script made plain, and which marks belong to a word."""

    plain: Mapping[int, str]
    cut: re.Pattern[str]

    def tokens(self, text: str) -> tuple[Token, ...]:
        """Cut `text`; hyphens inside a word part it, apostrophes vanish."""
        plain = text.translate(self.plain)
        found: list[Token] = []
        end = 0
        for match in self.cut.finditer(plain):
            raw, glued = match.group(), match.start() == end and end > 0
            end = match.end()
            if match.lastgroup == "hyphen":
                continue
            if match.lastgroup == "number" and _two_in_one(raw):
                found.extend(_parted(raw, glued))
                continue
            kind: TokenKind = {"number": "number", "word": "word"}.get(match.lastgroup or "", "sign")  # type: ignore[assignment]
            found.append(Token(kind, raw, raw.replace("'", "").casefold() if kind == "word" else raw, glued))
        return tuple(found)


def _two_in_one(raw: str) -> bool:
    """Whether it is "2.4,3.1": decimals parted by commas without a space."""
    pieces = raw.split(",")
    return len(pieces) > 1 and all(
        piece.count(".") == 1 and len(piece.partition(".")[2]) < GROUP for piece in pieces
    )


def _parted(raw: str, glued: bool) -> list[Token]:
    found: list[Token] = []
    for piece in raw.split(","):
        if found:
            found.append(Token("sign", ",", ",", True))
        found.append(Token("number", piece, piece, glued or bool(found)))
    return found


def script(zeros: str, plain: Mapping[str, str], marks: str) -> Script:
    """A script from data: the zero of each digit row, signs to replace, and combining marks as ranges."""
    table = {ord(sign): instead for sign, instead in plain.items()}
    for zero in zeros:
        table.update({ord(zero) + n: str(n) for n in range(10)})
    letter = rf"[^\W\d_]|[{marks}]" if marks else r"[^\W\d_]"
    cut = re.compile(
        rf"(?P<number>(?:(?<=\s)[.])?[0-9]+(?:[.,:]+[0-9]+)*)"
        rf"|(?P<hyphen>(?<=[^\W\d_])-(?=[^\W\d_]))"
        rf"|(?P<word>(?:{letter})+(?:'(?:{letter})+)*)"
        rf"|(?P<line>\n)"
        rf"|(?P<sign>[^\s])"
    )
    return Script(table, cut)
