"""What can go wrong, as data: a code and its values. Sentences are made in `wording`."""

from __future__ import annotations


class HatchError(Exception):
    """A fault a person can do something about.

    `code` is a stable kebab-case word; `params` are the offending values, ready for the sentence.
    """

    def __init__(self, code: str, **params: object) -> None:
        super().__init__(code, params)
        self.code = code
        self.params = params

    def __str__(self) -> str:
        values = ", ".join(f"{name}={value!r}" for name, value in self.params.items())
        return f"{self.code} ({values})" if values else self.code


class NoFigure(HatchError):
    """Nobody published the figure asked for, or the question lies outside its source."""


class CardFault(HatchError):
    """A species card is not fit to be used; `params["faults"]` lists every fault of it."""


class BadRecord(HatchError):
    """A stored or handed-in value does not have the shape it should have."""
