"""The texts of all languages, and the one place where a missing one falls back to English."""

from __future__ import annotations

import functools
from collections.abc import Mapping

from babel import Locale
from fluent.runtime import FluentBundle, FluentResource

from core.errors import HatchError

FALLBACK = "en"
Value = str | int


class NoWords(HatchError):
    """A text is missing in English too, or was not given a value it needs."""


class Texts:
    """Project Fluent texts by language, parsed when a language is first spoken."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        if FALLBACK not in texts:
            raise NoWords("no-words", id="", lang=FALLBACK)
        self._texts = {_plain(lang): text for lang, text in texts.items()}
        self._bundles: dict[str, FluentBundle] = {}
        self._locales = {lang: Locale.parse(lang, sep="-") for lang in self._texts}
        self._formatted = functools.lru_cache(maxsize=4096)(self._format)

    def known(self, lang: str) -> str:
        """The language the reader gets: as asked, else its parent ("pt" for "pt-BR"), else English."""
        asked = _plain(lang)
        candidates = (asked, asked.partition("-")[0], FALLBACK)
        return next(each for each in candidates if each in self._texts)

    def locale(self, lang: str) -> Locale:
        return self._locales[lang]

    def has(self, name: str) -> bool:
        return self._bundle(FALLBACK).has_message(name)

    def format(self, lang: str, name: str, values: Mapping[str, Value]) -> str:
        """The text of that name; `lang` is a known one. Raises `NoWords`."""
        return self._formatted(lang, name, tuple(values.items()))

    def _format(self, lang: str, name: str, values: tuple[tuple[str, Value], ...]) -> str:
        bundle = self._bundle(lang)
        if not bundle.has_message(name):
            bundle = self._bundle(FALLBACK)
        if not bundle.has_message(name):
            raise NoWords("no-words", id=name, lang=lang)
        pattern = bundle.get_message(name).value
        if pattern is None:
            raise NoWords("no-words", id=name, lang=lang)
        text, faults = bundle.format_pattern(pattern, dict(values))
        if faults or not isinstance(text, str):
            raise NoWords("no-words", id=name, lang=lang, detail="; ".join(str(fault) for fault in faults))
        return text

    def _bundle(self, lang: str) -> FluentBundle:
        if lang not in self._bundles:
            bundle = FluentBundle([lang], use_isolating=False)
            bundle.add_resource(FluentResource(self._texts[lang]))
            self._bundles[lang] = bundle
        return self._bundles[lang]


def _plain(lang: str) -> str:
    return lang.replace("_", "-").lower()
