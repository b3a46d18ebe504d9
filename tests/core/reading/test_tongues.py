"""Lists of fish in ten languages, put together at random: what is accepted is what was told."""

from __future__ import annotations

import random
from dataclasses import dataclass

import pytest

from core.commands import Unclear, Weigh
from core.reading import Context, read
from tests.core.reading.scoring import words

ANY = {"any": (0.02, 60.0)}
LISTS = 60
MOST_ASKED = 0.1  # of plain lists


@dataclass(frozen=True, slots=True)
class Tongue:
    """How fish are told of: names of the sexes (one, several), the unit, a count, and "each"."""

    female: tuple[str, str]
    male: tuple[str, str]
    kilo: str
    point: str
    counted: str
    each: str


TONGUES = {
    "en": Tongue(("female", "females"), ("male", "males"), "kg", ".", "{n} {sex}", "{n} {sex} {kg} each"),
    "es": Tongue(
        ("hembra", "hembras"), ("macho", "machos"), "kg", ",", "{n} {sex}", "{n} {sex} {kg} cada uno"
    ),
    "pt": Tongue(("fêmea", "fêmeas"), ("macho", "machos"), "kg", ",", "{n} {sex}", "{n} {sex} {kg} cada"),
    "fr": Tongue(("femelle", "femelles"), ("mâle", "mâles"), "kg", ",", "{n} {sex}", "{n} {sex} {kg} chacun"),
    "hi": Tongue(("मादा", "मादा"), ("नर", "नर"), "किलो", ".", "{n} {sex}", "{n} {sex} {kg} har ek"),
    "bn": Tongue(("স্ত্রী", "স্ত্রী"), ("পুরুষ", "পুরুষ"), "কেজি", ".", "{n}টা {sex}", "{n}টা {sex} {kg} করে"),
    "id": Tongue(
        ("betina", "betina"),
        ("jantan", "jantan"),
        "kg",
        ",",
        "{n} ekor {sex}",
        "{n} ekor {sex} masing-masing {kg}",
    ),
    "sw": Tongue(("jike", "majike"), ("dume", "madume"), "kg", ".", "{sex} {n}", "{sex} {n} {kg} kila mmoja"),
    "th": Tongue(("ตัวเมีย", "ตัวเมีย"), ("ตัวผู้", "ตัวผู้"), "โล", ".", "{sex} {n} ตัว", "{sex} {n} ตัว ตัวละ {kg}"),
    "vi": Tongue(
        ("con cái", "con cái"), ("con đực", "con đực"), "ký", ",", "{n} {sex}", "{n} {sex} mỗi con {kg}"
    ),
}

Fish = tuple[str, float]


def _weight(chance: random.Random, tongue: Tongue, *, unit: bool) -> tuple[float, str]:
    kg = round(chance.uniform(0.4, 9), chance.choice((1, 2)))
    return kg, f"{kg}".replace(".", tongue.point) + (" " + tongue.kilo if unit else "")


def _group(chance: random.Random, tongue: Tongue, *, unit: bool) -> tuple[list[Fish], str]:
    sex, names = chance.choice((("f", tongue.female), ("m", tongue.male)))
    many = chance.randint(2, 4)
    kind = chance.choice(("one", "each", "counted"))
    if kind == "one":
        kg, said = _weight(chance, tongue, unit=unit)
        return [(sex, kg)], f"{names[0]} {said}"
    if kind == "each":
        kg, said = _weight(chance, tongue, unit=True)
        return [(sex, kg)] * many, tongue.each.format(n=many, sex=names[1], kg=said)
    weights = [_weight(chance, tongue, unit=unit) for _ in range(many)]
    head = tongue.counted.format(n=many, sex=names[1])
    return [(sex, kg) for kg, _ in weights], f"{head}: " + ", ".join(said for _, said in weights)


@pytest.mark.parametrize("code", TONGUES)
def test_what_is_accepted_was_told(code: str) -> None:
    chance, tongue, asked = random.Random(f"fish {code}"), TONGUES[code], 0
    for _ in range(LISTS):
        unit = chance.random() < 0.5
        groups = [_group(chance, tongue, unit=unit) for _ in range(chance.randint(1, 3))]
        text = chance.choice((", ", "\n", " ")).join(said for _, said in groups)
        told = [fish for group, _ in groups for fish in group]
        reading = read(text, Context(lang=code), words(), ANY).main
        if isinstance(reading, Unclear):
            asked += 1
            continue
        assert isinstance(reading, Weigh), text
        assert [(fish.sex, round(fish.kg or 0, 3)) for fish in reading.fish] == told, text
    assert asked <= LISTS * MOST_ASKED
