"""A message cut into tokens: numbers, words and single signs. Knows scripts, and no words but to cut at."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal, NamedTuple

LONGEST = 4096
GROUP = 3
LONGEST_RUN = 600  # letters without a space: more of them are no message, and stay one word

THRICE = re.compile(r"(.)\1\1")
DRAWN_OUT = re.compile(r"(?<=[^\W\d_])([^\W\d_])\1{2,}")  # "sooo", "มากกก", but not "kkk"

LATIN = re.compile(r"(?!.*(.)\1\1)[a-z]+(?: [a-z]+)*")  # words that need no change

TokenKind = Literal["number", "word", "sign"]


class Token(NamedTuple):
    """A piece of the message; `low` is how word files write it, `glued`: no space before it.

    `forms` are all the words that it may be a spelling of, itself the first. `gap`: a space stands before it
    in a script that has none between words.
    """

    kind: TokenKind
    raw: str
    low: str
    glued: bool
    forms: tuple[str, ...]
    gap: bool = False


def word_of(raw: str, *, glued: bool, gap: bool = False) -> Token:
    """A word before its other spellings are known."""
    low = raw.casefold() if "'" not in raw else raw.replace("'", "").casefold()
    return Token("word", raw, low, glued, (low,), gap)


def _plain(kind: TokenKind, raw: str, glued: bool) -> Token:
    return Token(kind, raw, raw, glued, (raw,))


@dataclass(frozen=True, slots=True)
class Script:
    """How signs are written: digits of every script made plain, and which marks belong to a word.

    Words of a script without spaces are cut into the `pieces` known, `inside` being the signs that no word
    begins with and `opens` those that none ends with.
    """

    plain: Mapping[int, str]
    pairs: Mapping[str, str]
    cut: re.Pattern[str]
    words: re.Pattern[str]
    unspaced: re.Pattern[str]
    inside: re.Pattern[str]
    opens: str = ""
    pieces: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def tokens(self, text: str) -> tuple[Token, ...]:
        """Cut `text`; hyphens inside a word part it, apostrophes vanish."""
        plain = text.translate(self.plain) if text.isascii() else self._plain(text)
        if THRICE.search(plain):
            plain = DRAWN_OUT.sub(r"\1", plain)
        found: list[Token] = []
        end, latin = 0, plain.isascii()
        for match in (CUT_ASCII if latin else self.cut).finditer(plain):
            kind, raw, start = match.lastgroup, match.group(), match.start()
            glued = start == end and end > 0
            gap = not latin and bool(end) and not glued and self._unspaced_at(plain, end - 1, start)
            end = match.end()
            if kind == "word":
                first, *rest = (raw,) if latin else self._cut_up(raw)
                found.append(word_of(first, glued=glued, gap=gap))
                found.extend(word_of(piece, glued=True) for piece in rest)
            elif kind == "number":
                found.extend(
                    _parted(raw, glued)
                    if "," in raw and _two_in_one(raw)
                    else (_plain("number", raw, glued),)
                )
            elif kind != "hyphen":
                found.append(_plain("sign", raw, glued))
        return tuple(found)

    def _plain(self, text: str) -> str:
        """The text with the digits and signs that are replaced, and accents as parts of their letters."""
        plain = unicodedata.normalize("NFC", text).translate(self.plain)
        for pair, instead in self.pairs.items():
            plain = plain.replace(pair, instead)
        return plain

    def _unspaced_at(self, text: str, *places: int) -> bool:
        return all(self.unspaced.match(text[at]) for at in places)

    def plainly(self, text: str) -> str | None:
        """Words of letters and single spaces as `low` of their tokens, None where there is more to cut."""
        if LATIN.fullmatch(text):
            return text
        plain = unicodedata.normalize("NFC", text)
        if DRAWN_OUT.search(plain) or not self.words.fullmatch(plain) or plain.translate(self.plain) != plain:
            return None
        return None if any(pair in plain for pair in self.pairs) else plain.casefold()

    def knowing(self, words: Collection[str]) -> Script:
        """The same, cutting what has no spaces into these words."""
        pieces: dict[str, list[str]] = {}
        for word in words:
            if len(word) > 1 and " " not in word and self.unspaced.match(word):
                pieces.setdefault(word[:2], []).append(word)
        return replace(self, pieces={head: tuple(found) for head, found in pieces.items()})

    def _cut_up(self, run: str) -> tuple[str, ...]:
        """A run of letters as words, in a script without spaces: the fewest unknown letters, then pieces."""
        size = len(run)
        if size > LONGEST_RUN or not self.pieces or not self.unspaced.match(run):
            return (run,)
        whole = [n == size or not self._within(run, n) for n in range(size + 1)]
        best: list[tuple[int, int, int]] = [(0, 0, 0)] * (size + 1)  # unknown letters, pieces, next cut
        for at in range(size - 1, -1, -1):
            unknown, pieces, _ = best[at + 1]
            best[at] = (unknown + 1, pieces, -1)
            if not whole[at]:
                continue
            for word in self.pieces.get(run[at : at + 2], ()):
                end = at + len(word)
                if end <= size and whole[end] and run.startswith(word, at):
                    unknown, pieces, _ = best[end]
                    best[at] = min(best[at], (unknown, pieces + 1, end))
        return tuple(_walked(run, best))

    def _within(self, run: str, at: int) -> bool:
        """Whether a cut at that place would tear a syllable."""
        return self.inside.match(run[at]) is not None or (at > 0 and run[at - 1] in self.opens)


def _walked(run: str, best: list[tuple[int, int, int]]) -> list[str]:
    """The words of the best cut; unknown letters that stand together are one."""
    found: list[str] = []
    at = start = 0
    while at < len(run):
        end = best[at][2]
        if end < 0:
            at += 1
            continue
        found.extend(filter(None, (run[start:at], run[at:end])))
        at = start = end
    return [*found, run[start:]] if start < len(run) else found


ACCENTS = re.compile("[\u0300-\u036f\u093c]")  # the last is the dot under Devanagari letters
STROKES = str.maketrans({"đ": "d", "œ": "oe", "æ": "ae", "ø": "o", "ł": "l", "ı": "i", "\u0901": "\u0902"})


@lru_cache(maxsize=8192)
def bare(word: str) -> str:
    """A word without the accents and strokes of its Latin letters, as phones often leave them out."""
    return unicodedata.normalize(
        "NFC", ACCENTS.sub("", unicodedata.normalize("NFD", word)).translate(STROKES)
    )


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
            found.append(_plain("sign", ",", True))
        found.append(_plain("number", piece, glued or bool(found)))
    return found


NEVER = re.compile(r"(?!)")


def _cutter(letters: str, before: str) -> re.Pattern[str]:
    """Cuts a text at its words, which are made of `letters`; before a hyphen inside of a word stands a letter
    or one of `before`."""
    return re.compile(
        rf"(?P<word>{letters}(?:'{letters})*+)"
        r"|(?P<number>(?:(?<=\s)[.])?[0-9]+(?:[.,:]+[0-9]+)*)"
        rf"|(?P<hyphen>-(?:(?<=[^\W\d_]-)|(?<=[{before or ' '}]-))(?=[^\W\d_]))"
        r"|(?P<line>\n)"
        r"|(?P<sign>[^\s])"
    )


CUT_ASCII = _cutter("[A-Za-z]++", "")


def script(
    zeros: str, plain: Mapping[str, str], marks: str, unspaced: str = "", inside: str = "", opens: str = ""
) -> Script:
    """A script from data: the zero of each digit row, signs to replace, and ranges of signs: marks, letters
    of scripts without spaces, and in those the signs no word begins with, or ends with."""
    table = {ord(sign): instead for sign, instead in plain.items() if len(sign) == 1}
    pairs = {signs: instead for signs, instead in plain.items() if len(signs) > 1}
    for zero in zeros:
        table.update({ord(zero) + n: str(n) for n in range(10)})
    letters = rf"(?:[^\W\d_]++|[{marks}]++)++" if marks else r"[^\W\d_]++"
    return Script(
        table,
        pairs,
        _cutter(letters, marks),
        re.compile(rf"{letters}(?: {letters})*"),
        re.compile(f"[{unspaced}]") if unspaced else NEVER,
        re.compile(f"[{marks}{inside}]") if marks or inside else NEVER,
        opens,
    )
