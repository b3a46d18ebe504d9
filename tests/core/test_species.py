"""The cards against what was published, and faulty cards against the rules of a card."""

import dataclasses
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

import pytest

from core.errors import CardFault, NoFigure
from core.species import (
    Card,
    Citation,
    Curve,
    Report,
    StripCurve,
    by_word,
    check_all,
    cited,
    parse_card,
    parse_sources,
    weakest,
)
from core.timing import Water, first_feed_curve, window
from tests.core.cards import DATA, folder

EVENING = datetime(2025, 3, 1, 20, 30, tzinfo=UTC)
CARDS: Mapping[str, Card] = folder().cards
CATFISH, CARP = CARDS["african-catfish"], CARDS["common-carp"]


def curve_of(card: Card, report: Report) -> Curve:
    if report.event == "strip":
        assert report.preparation is not None
        curve, borrowed = card.strip_curve(report.preparation, report.shots)
        assert not borrowed
        return curve
    if report.event == "first-feed":
        return first_feed_curve(card)
    assert card.hatch is not None
    return card.hatch


REPORTS = [(card, report) for card in CARDS.values() for report in card.reports]
NAMES = [f"{card.slug}-{report.event}-{report.source}-{report.low_celsius}" for card, report in REPORTS]


@pytest.mark.parametrize(("card", "report"), REPORTS, ids=NAMES)
def test_each_report_lies_in_the_window_or_says_why_not(card: Card, report: Report) -> None:
    """The middle of the hours, in the middle of the water; untold water is the middle of the best range."""
    celsius = card.assumed_celsius
    if report.low_celsius is not None and report.high_celsius is not None:
        celsius = (report.low_celsius + report.high_celsius) / 2
    hours = (report.low_hours + report.high_hours) / 2
    curve = curve_of(card, report)
    found = window(curve, EVENING, Water((), celsius))
    earliest, latest = ((at - EVENING).total_seconds() / 3600 for at in (found.earliest, found.latest))
    assert (earliest <= hours <= latest) == (report.outside == "")
    if report.within is not None:
        assert abs(curve.hours(celsius) / hours - 1) <= report.within


def test_the_reports_are_there() -> None:
    """Both tables (11 rows each, from memory) and what stood apart from them."""
    tables = [r for r in CATFISH.reports if r.source == "hogendoorn-vismans-1980"]
    assert [r.low_hours for r in tables if r.event == "strip"][::5] == [21, 11, 7]
    assert [r.low_hours for r in tables if r.event == "hatch"][::5] == [57, 27, 20]
    assert {r.source for r in CATFISH.reports} >= {"okere-2015", "sharaf-2012", "adebayo-dry-wet", "trade"}
    assert {r.source for r in CARP.reports} >= {"trade", "fao-ftp-201", "kashmir-carp"}
    disputed = [r.source for r in (*CATFISH.reports, *CARP.reports) if r.outside]
    assert disputed == ["aquaculture-lesson-nepal", "kashmir-carp"]


def test_every_card_is_sound() -> None:
    """All faults of all cards and sources in one report; what is faulty is missing from the other tests."""
    found = folder()
    assert found.faults == (), "\n".join(found.faults)
    assert {card.slug for card in found.cards.values()} == set(found.texts)


def test_doses_as_published() -> None:
    # Sharaf 2012 and Gomina 2011: 0.5 mL/kg; common label: 20 ug + 10 mg per mL; trade: males half
    for card in (CATFISH, CARP):
        female, male = card.dose_rule("premix", "f"), card.dose_rule("premix", "m")
        assert female.ug_per_kg and female.mg_per_kg and male.ug_per_kg and male.mg_per_kg
        assert (female.ug_per_kg.usual, female.mg_per_kg.usual) == (0.5 * 20, 0.5 * 10)
        assert (male.ug_per_kg.usual, male.mg_per_kg.usual) == (5, 2.5)
        assert female.ug_per_kg.mark == "from memory"  # the label's strength was recalled
    # Brzuska: 0.3 + 2.7 mg/kg
    gland = CARP.dose_rule("pituitary", "f")
    assert gland.gland_mg_per_kg and gland.gland_mg_per_kg.usual
    assert [round(share * gland.gland_mg_per_kg.usual, 9) for share in gland.shares] == [0.3, 2.7]
    assert CARP.usual_shots("pituitary") == 2 and CATFISH.usual_shots("pituitary") == 1
    # trade: 0.3-0.4 mL/kg is often enough for catfish, so it is no dose to warn of
    assert CATFISH.doses[0].ug_per_kg and CATFISH.doses[0].ug_per_kg.low == 0.3 * 20


def test_nobody_published_it() -> None:
    with pytest.raises(NoFigure) as missing:
        CATFISH.dose_rule("pituitary", "m")  # Hogendoorn and Vismans 1980: males are not injected
    assert missing.value.code == "no-dose-figure"
    with pytest.raises(NoFigure) as none:
        dataclasses.replace(CATFISH, strip=()).strip_curve("premix")
    assert none.value.code == "no-strip-figure"
    assert CATFISH.milt_ml_per_kg_eggs is None


def test_plausible_weights() -> None:
    assert CARP.male_kg.high < 19 and CATFISH.female_kg.high < 24  # "24" for 2.4 kg
    # Nigerian training module: 0.8-1.5, survey 1.5-3 kg
    assert CATFISH.female_kg.low <= 0.8 and CATFISH.female_kg.high >= 3
    assert CARP.female_kg.low < 4 < CARP.female_kg.high  # FAO Training Series 8: females about 4 kg


def test_water_as_published() -> None:
    # Prokesova et al. 2015: optimum 22.9-30.3, survival 18.9-33.2, lethal below 17.5 and above 35.1
    assert CATFISH.lethal_celsius is not None
    figures = CATFISH.best_celsius, CATFISH.tolerated_celsius, CATFISH.lethal_celsius
    assert [(f.low, f.high) for f in figures] == [(22.9, 30.3), (18.9, 33.2), (17.5, 35.1)]
    assert CATFISH.assumed_celsius == pytest.approx(26.6)


def test_strip_curves_are_borrowed_from_the_nearest_and_widened() -> None:
    own, borrowed = CARP.strip_curve("pituitary", 2)
    assert not borrowed and own.degree_hours == 250
    one_shot, borrowed = CARP.strip_curve("pituitary", 1)  # same preparation before same number of shots
    assert borrowed and one_shot.degree_hours == 250
    hcg, borrowed = CARP.strip_curve("hcg")  # then the usual preparation
    assert borrowed and hcg.degree_hours == 148.5
    # ... before the same number of shots
    turned, _ = dataclasses.replace(CARP, strip=CARP.strip[::-1]).strip_curve("hcg", 2)
    assert turned == hcg
    catfish, borrowed = CATFISH.strip_curve("own")
    for curve in (one_shot, hcg, catfish):
        assert curve.latest / curve.earliest >= 2.0
        assert curve.earliest < curve.most_from < curve.likely < curve.most_to < curve.latest
    premix, _ = CATFISH.strip_curve("premix")
    assert catfish.earliest * catfish.latest == pytest.approx(premix.earliest * premix.latest)


def test_nearest_number_of_shots() -> None:
    usual = CARP.strip[0].curve
    shots = {n: dataclasses.replace(usual, degree_hours=float(n)) for n in (1, 4)}
    card = dataclasses.replace(CARP, strip=tuple(StripCurve("hcg", n, c) for n, c in shots.items()))
    assert card.strip_curve("hcg", 3)[0].degree_hours == 4.0
    assert card.strip_curve("hcg", 2)[0].degree_hours == 1.0


@pytest.mark.parametrize(
    ("word", "slugs"),
    [
        ("catfish", ["african-catfish"]),
        ("Carp", ["common-carp"]),
        ("african  catfish", ["african-catfish"]),
        ("African-catfish", ["african-catfish"]),
        ("Cyprinus carpio", ["common-carp"]),
        ("cá chép", ["common-carp"]),
        ("КАРП", ["common-carp"]),
        ("cat", []),
        ("", []),
    ],
)
def test_by_word(word: str, slugs: list[str]) -> None:
    """The likeliest of those that a word fits; what it fits besides stands on buttons."""
    assert [card.slug for card in by_word(CARDS.values(), word)][:1] == slugs


def test_by_word_likeliest_first() -> None:
    words = ("magur", "walking catfish", "catfish")
    magur = dataclasses.replace(CATFISH, slug="a-magur", names=(), words=words)
    named = dataclasses.replace(CATFISH, slug="z-named", names=(("en", ("catfish",)),), words=())
    assert by_word([magur, CATFISH], "catfish") == (CATFISH, magur)
    assert by_word([magur, CATFISH, named], "catfish") == (named, CATFISH, magur)
    assert by_word([CATFISH, magur], "magur") == (magur,)


def test_weakest() -> None:
    assert weakest(["published", "from memory", "common practice"]) == "from memory"
    assert weakest(["published", "common practice"]) == "common practice"
    assert weakest(["the farm's own", "published"]) == "published"
    assert weakest(["the farm's own"]) == "the farm's own"


# Faulty files ----------------------------------------------------------------------------------------------

CITATIONS = {
    "good": Citation("good", "A good one", "", "published"),
    "recalled": Citation("recalled", "A recalled one", "", "from memory"),
    "weak": Citation("weak", "A weak one", "", "published", weak=True),
}

KG = '{ low = "1 kg", high = "9 kg", sources = ["good"], mark = "published" }'
WATER = '{ low = "20 degC", high = "26 degC", sources = ["good"], mark = "published" }'
DOSE = '{ low = "8 ug/kg", usual = "10 ug/kg", high = "12 ug/kg", sources = ["good"], mark = "published" }'
MG = '{ low = "4 mg/kg", usual = "5 mg/kg", high = "6 mg/kg", sources = ["good"], mark = "published" }'
WHOLE = f"""
slug = "test-carp"
scientific = "Piscis probatus"
words = ["carp"]
ways = ["nest"]
sticky = "free"
male_cut = false
male_optional = false
usual_preparation = "premix"
names = {{ en = ["test carp"] }}
female_kg = {KG}
male_kg = {KG}
best_celsius = {WATER}
tolerated_celsius = {WATER}
egg_life_minutes = {{ low = "10 min", usual = "0.5 h", high = "1 h", sources = ["good"], mark = "published" }}

[[doses]]
preparation = "premix"
sex = "f"
shares = [0.25, 0.75]
ug_per_kg = {DOSE}
mg_per_kg = {MG}
interval_hours = {{ low = "6 h", high = "9 h", sources = ["good"], widened_by = ["weak"], mark="published" }}

[[strip]]
preparation = "premix"
shots = 1
degree_hours = "100 degree_hour"
zero_celsius = "12 degC"
zero_sources = ["good"]
celsius = ["20 degC", "26 degC"]
earliest = 0.8
most_from = 0.9
likely = 1
most_to = 1.2
latest = 1.5
sources = ["good", "recalled"]
widened_by = ["weak"]
mark = "from memory"

[hatch]
flat_hours = "20 h"
celsius = ["20 degC", "26 degC"]
earliest = 0.8
most_from = 0.9
likely = 1.0
most_to = 1.2
latest = 1.5
sources = ["recalled"]
mark = "from memory"

[[reports]]
event = "hatch"
source = "good"
table = [["20 degC", "24 h"], ["22 degC", "20 h"], ["24 degC", "20 h"]]
"""


def faults_of(text: str) -> list[str]:
    with pytest.raises(CardFault) as refused:
        parse_card(text, CITATIONS)
    faults = refused.value.params["faults"]
    assert isinstance(faults, tuple)
    return [f"{fault.where}: {fault.code}" for fault in faults]


def test_the_whole_test_card_is_sound() -> None:
    card = parse_card(WHOLE, CITATIONS)
    assert card.egg_life_minutes and card.egg_life_minutes.usual == 30
    assert card.doses[0].shares == (0.25, 0.75)
    assert card.doses[0].interval_hours and card.doses[0].interval_hours.sources == ("good", "weak")
    assert card.hatch and card.hatch.hours(10) == card.hatch.hours(30) == 20
    assert [r.high_hours for r in card.reports] == [24, 20, 20]
    assert cited(card) == {"good", "recalled", "weak"}


def swap(old: str, new: str) -> Callable[[str], str]:
    def done(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return done


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (swap('low = "10 min"', "low = 10"), "egg_life_minutes.low: no-unit"),
        (swap('low = "10 min"', 'low = "10"'), "egg_life_minutes.low: bad-quantity"),
        (swap('low = "10 min"', 'low = "10 mg"'), "egg_life_minutes.low: wrong-dimension"),
        (swap('low = "10 min", ', ""), "egg_life_minutes.low: missing-key"),
        (swap('high = "1 h", ', ""), "egg_life_minutes.high: missing-key"),
        (swap('low = "10 min"', 'low = "40 min"'), "egg_life_minutes: not-in-order"),
        (swap('usual = "0.5 h"', 'usual = "2 h"'), "egg_life_minutes: not-in-order"),
        (swap('low = "1 kg"', 'low = "10 kg"'), "female_kg: not-in-order"),
        (swap('"9 kg", sources = ["good"]', '"9 kg", sources = []'), "female_kg.sources: no-source"),
        (swap('"9 kg", sources = ["good"], ', '"9 kg", '), "female_kg.sources: missing-key"),
        (swap('sources = ["good"]', 'sources = ["nobody"]'), "female_kg.sources: unknown-source"),
        (swap(', mark = "published" }', " }"), "female_kg.mark: missing-key"),
        (swap('mark = "published"', 'mark = "certain"'), "female_kg.mark: not-one-of"),
        (swap('mark = "published"', 'mark = "the farm\'s own"'), "female_kg.mark: not-one-of"),
        (swap('sources = ["good"]', 'sources = ["recalled"]'), "female_kg.mark: stronger-than-its-sources"),
        (
            swap('"12 ug/kg", sources = ["good"]', '"12 ug/kg", sources = ["weak"]'),
            "doses.1.ug_per_kg.sources: weak-source-sets-default",
        ),
        (
            swap('sources = ["good", "recalled"]', 'sources = ["weak", "recalled"]'),
            "strip.1.sources: weak-source-sets-default",
        ),
        (swap("male_cut = false\n", ""), "male_cut: missing-key"),
        (swap(f"male_kg = {KG}\n", ""), "male_kg: missing-key"),
        (swap("male_cut = false", "male_cut = 0"), "male_cut: not-true-or-false"),
        (swap('slug = "test-carp"', 'slug = "test-carp"\nmilk = 1'), "milk: unknown-key"),
        (swap('low = "10 min"', 'lo = "1 h", low = "10 min"'), "egg_life_minutes.lo: unknown-key"),
        (swap('sticky = "free"', 'sticky = "glue"'), "sticky: not-one-of"),
        (swap('ways = ["nest"]', 'ways = ["nest", "bucket"]'), "ways: not-one-of"),
        (swap("shares = [0.25, 0.75]", "shares = [0.25, 0.7]"), "doses.1.shares: shares-not-one"),
        (swap("shares = [0.25, 0.75]", "shares = [-0.25, 1.25]"), "doses.1.shares: not-above-zero"),
        (swap(f"mg_per_kg = {MG}\n", ""), "doses.1.mg_per_kg: missing-key"),
        (swap("ug_per_kg =", "iu_per_kg ="), "doses.1.iu_per_kg: unit-does-not-fit"),
        (swap('low = "8 ug/kg", usual', "usual"), "doses.1.ug_per_kg.low: missing-key"),
        (swap('high = "12 ug/kg", ', ""), "doses.1.ug_per_kg.high: missing-key"),
        (swap('high = "12 ug/kg"', "high = 12"), "doses.1.ug_per_kg.high: no-unit"),
        (
            swap('"12 ug/kg", sources = ["good"], mark = "published"', '"12 ug/kg", sources = ["good"]'),
            "doses.1.ug_per_kg.mark: missing-key",
        ),
        (swap('high = "12 ug/kg"', 'high = "12 IU/kg"'), "doses.1.ug_per_kg.high: wrong-dimension"),
        (swap('high = "12 ug/kg"', 'high = "0.6 mL/kg"'), "doses.1.ug_per_kg.high: wrong-dimension"),
        (swap("interval_hours =", "interval ="), "doses.1.interval_hours: missing-key"),
        (swap("latest = 1.5", "latest = 1.2"), "strip.1: factors-not-in-order"),
        (swap("earliest = 0.8", "earliest = 0.9"), "strip.1: factors-not-in-order"),
        (swap("likely = 1\n", "likely = 1.3\n"), "strip.1: factors-not-in-order"),
        (swap("likely = 1\n", 'likely = "1"\n'), "strip.1.likely: not-a-number"),
        (swap("earliest = 0.8", "earliest = -0.8"), "strip.1.earliest: not-above-zero"),
        (swap('"12 degC"', '"20 degC"'), "strip.1.zero_celsius: not-below-source"),
        (
            swap('zero_sources = ["good"]', 'zero_sources = ["nobody"]'),
            "strip.1.zero_sources: not-among-sources",
        ),
        (swap('zero_sources = ["good"]\n', ""), "strip.1.zero_sources: missing-key"),
        (swap('"100 degree_hour"', "100"), "strip.1.degree_hours: no-unit"),
        (swap('degree_hours = "100 degree_hour"\n', ""), "strip.1.degree_hours: missing-key"),
        (swap('celsius = ["20 degC", "26 degC"]\n', ""), "strip.1.celsius: missing-key"),
        (swap("latest = 1.5\n", ""), "strip.1.latest: missing-key"),
        (
            swap('widened_by = ["weak"]\nmark = "from memory"\n', 'widened_by = ["weak"]\n'),
            "strip.1.mark: missing-key",
        ),
        (swap('sources = ["good", "recalled"]\n', ""), "strip.1.sources: missing-key"),
        (swap('sources = ["good", "recalled"]', 'sources = ["nobody"]'), "strip.1.sources: unknown-source"),
        (swap('widened_by = ["weak"]\n', 'widened_by = ["nobody"]\n'), "strip.1.widened_by: unknown-source"),
        (swap('"100 degree_hour"', '"100 h"'), "strip.1.degree_hours: wrong-dimension"),
        (swap('"100 degree_hour"', '"0 degree_hour"'), "strip.1: not-above-zero"),
        (
            swap('celsius = ["20 degC", "26 degC"]', 'celsius = ["26 degC", "20 degC"]'),
            "strip.1.celsius: not-in-order",
        ),
        (swap('celsius = ["20 degC", "26 degC"]', 'celsius = "23 degC"'), "strip.1.celsius: not-a-pair"),
        (swap("shots = 1", "shots = 0"), "strip.1.shots: not-above-zero"),
        (swap('["22 degC", "20 h"]', '["22 degC", "25 h"]'), "reports.1.table: not-monotone"),
        (swap('["22 degC", "20 h"]', '["20 degC", "20 h"]'), "reports.1.table: not-monotone"),
        (swap('["22 degC", "20 h"]', '[22, "20 h"]'), "reports.1.table: no-unit"),
        (swap('["22 degC", "20 h"]', '["22 degC"]'), "reports.1.table: not-a-pair"),
        (swap('source = "good"', 'source = "nobody"'), "reports.1.source: unknown-source"),
        (swap('source = "good"\n', ""), "reports.1.source: missing-key"),
        (swap('event = "hatch"', 'event = "spawn"'), "reports.1.event: not-one-of"),
        (swap('slug = "test-carp"', 'slug = "Test Carp"'), "slug: not-an-id"),
        (swap('names = { en = ["test carp"] }', 'names = { fr = ["carpe"] }'), "names.en: missing-key"),
    ],
)
def test_one_fault(change: Callable[[str], str], fault: str) -> None:
    assert fault in faults_of(change(WHOLE))


AMOUNTS = {"ug_per_kg": "ug/kg", "mg_per_kg": "mg/kg", "iu_per_kg": "IU/kg", "gland_mg_per_kg": "mg/kg"}
FITTING = {
    "premix": {"ug_per_kg", "mg_per_kg"},
    "pituitary": {"gland_mg_per_kg"},
    "hcg": {"iu_per_kg"},
    "lhrha": {"ug_per_kg", "mg_per_kg"},
}


@pytest.mark.parametrize("preparation", FITTING)
def test_a_dose_in_units_of_other_preparations(preparation: str) -> None:
    """Every amount is told; those that are not of this preparation are refused, each by its name."""
    amounts = "".join(
        f'{name} = {{ low = "1 {unit}", high = "2 {unit}", sources = ["good"], mark = "published" }}\n'
        for name, unit in AMOUNTS.items()
    )
    dose = f'[[doses]]\npreparation = "{preparation}"\nsex = "m"\nshares = [1.0]\n{amounts}\n[[strip]]'
    strange = sorted(AMOUNTS.keys() - FITTING[preparation])
    assert faults_of(swap("[[strip]]", dose)(WHOLE)) == [
        f"doses.2.{name}: unit-does-not-fit" for name in strange
    ]


def test_all_faults_at_once() -> None:
    text = WHOLE
    for old, new in {
        'low = "10 min"': 'low = "10 mg"',
        "latest = 1.5": "latest = 1.1",
        "shares = [0.25, 0.75]": "shares = [0.5, 0.6]",
        "male_optional = false\n": "",
        'source = "good"\n': 'source = "nobody"\nseen = true\n',
    }.items():
        text = swap(old, new)(text)
    assert sorted(faults_of(text)) == [
        "doses.1.shares: shares-not-one",
        "egg_life_minutes.low: wrong-dimension",
        "male_optional: missing-key",
        "reports.1.seen: unknown-key",
        "reports.1.source: unknown-source",
        "strip.1: factors-not-in-order",
    ]


def test_what_a_number_needs_is_named_at_once() -> None:
    """No unit, no range, no mark, no known source, a table that turns, a dose of another preparation."""
    text = WHOLE
    for old, new in {
        'low = "10 min"': 'low = "10"',
        'high = "1 h", ': "",
        '"12 ug/kg", sources = ["good"], mark = "published"': '"12 ug/kg", sources = ["nobody"]',
        "mg_per_kg = {": "gland_mg_per_kg = {",
        '["22 degC", "20 h"]': '["22 degC", "25 h"]',
    }.items():
        text = swap(old, new)(text)
    assert sorted(faults_of(text)) == [
        "doses.1.gland_mg_per_kg: unit-does-not-fit",
        "doses.1.mg_per_kg: missing-key",
        "doses.1.ug_per_kg.mark: missing-key",
        "doses.1.ug_per_kg.sources: unknown-source",
        "egg_life_minutes.high: missing-key",
        "egg_life_minutes.low: bad-quantity",
        "reports.1.table: not-monotone",
    ]


def test_the_faults_of_all_cards_are_one_report(tmp_path: Path) -> None:
    """Two faulty cards, a sound one, a source that nobody leans on."""
    for file in DATA.glob("*.toml"):
        (tmp_path / file.name).write_text(file.read_text("utf-8"), "utf-8")
    assert folder(tmp_path).faults == folder().faults
    for slug, old, new in (
        ("african-catfish", "male_cut = true\n", ""),
        ("common-carp", '["fao-ftp-201"', '["nobody"'),
    ):
        text = (tmp_path / f"{slug}.toml").read_text("utf-8")
        (tmp_path / f"{slug}.toml").write_text(swap(old, new)(text), "utf-8")
    (tmp_path / "sources-more.toml").write_text('[idle]\ntitle = "x"\naddress = ""\nmark = "published"\n')
    found = folder(tmp_path)
    assert set(found.cards) == set(CARDS) - {"african-catfish", "common-carp"}
    assert "african-catfish: male_cut: missing-key" in found.faults
    assert any(each.startswith("common-carp: ") and "unknown-source nobody" in each for each in found.faults)
    assert "together: idle: unused-source" in found.faults


def test_faulty_sources_are_reported_before_any_card(tmp_path: Path) -> None:
    (tmp_path / "sources.toml").write_text('[x]\ntitle = "x"\naddress = ""\n')
    (tmp_path / "odd.toml").write_text("slug = 1")
    assert folder(tmp_path).faults == ("sources: x.mark: missing-key",)


def test_a_card_that_is_no_toml() -> None:
    assert faults_of("slug = ") == ["file: not-toml"]


def test_an_empty_card_names_every_missing_key() -> None:
    missing = {fault.partition(":")[0] for fault in faults_of("")}
    assert missing == {
        "female_kg", "male_kg", "best_celsius", "tolerated_celsius", "slug", "scientific", "names", "words",
        "ways", "sticky", "male_cut", "male_optional", "usual_preparation",
    }  # fmt: skip


def test_faulty_sources() -> None:
    text = 'Bad = {title = "x", address = "", mark = "published"}\n[b]\ntitle = ""\nmark = "seen"\nextra = 1'
    with pytest.raises(CardFault) as refused:
        parse_sources(text)
    found = {str(fault) for fault in refused.value.params["faults"]}  # type: ignore[attr-defined]
    assert {"Bad: not-an-id Bad", "b.title: empty", "b.address: missing-key", "b.extra: unknown-key"} < found
    assert any(fault.startswith("b.mark: not-one-of 'seen'") for fault in found)


def test_unused_sources_and_doubled_slugs() -> None:
    card = parse_card(WHOLE, CITATIONS)
    idle = CITATIONS | {"idle": Citation("idle", "Nobody reads it", "", "published")}
    check_all([card], CITATIONS)
    with pytest.raises(CardFault) as refused:
        check_all([card, card], idle)
    assert [str(f) for f in refused.value.params["faults"]] == [  # type: ignore[attr-defined]
        "idle: unused-source",
        "test-carp: slug-used-twice",
    ]
