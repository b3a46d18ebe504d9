"""Baths against published dilutions, labels and trials, and the pharmacopoeias; ids are of the reference."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot import knowledge
from core.baths import Asked, Mix, iodine_stock_ml, parse_shelf, salt_g
from core.baths import mix as mixed
from core.baths.stocks import held
from core.errors import CardFault, HatchError
from core.records import IodineBasis

SHELF = knowledge.shelf()
LITRES = st.floats(0.1, 5000)


def mix(**told: Any) -> Mix:
    return mixed(Asked(**told), SHELF)


# Iodine -----------------------------------------------------------------------------------------------------


def test_the_trade_rule() -> None:
    """dilution by the pharmacopoeia strength, common practice (reference README): 100 ppm of available
    iodine from a 1 % stock is 10 mL/L.
    """
    assert iodine_stock_ml(1, 100) == 10.0
    assert iodine_stock_ml(20, 100) == 200.0


@pytest.mark.parametrize(
    ("litres_made_of_one", "mg_per_l"),
    [
        (100, 100.0),  # muskellunge iodophor paper: 1 % stock, 1:100 gives 100 mg/L
        (350, 28.57),  # muskellunge iodophor paper: 1:350 gives 28 mg/L as printed, truncated
        (750, 13.33),  # muskellunge iodophor paper: 1:750 gives 13 mg/L as printed, truncated
    ],
)
def test_published_dilutions(litres_made_of_one: float, mg_per_l: float) -> None:
    assert iodine_stock_ml(litres_made_of_one, mg_per_l) == pytest.approx(1000, abs=0.5)


def test_pharmacopoeia_spread() -> None:
    """British Pharmacopoeia 2013, dilution by the pharmacopoeia strength: 10 % povidone-iodine holds
    0.85-1.20 % of available iodine: 85-120 ppm for 100.
    """
    told = mix(purpose="iodine", on="eggs", litres=20, ppm=100, basis="available")
    assert (told.stock_ml, told.low_mg_per_l, told.high_mg_per_l) == (200.0, 85.0, 120.0)
    assert iodine_stock_ml(20, 85, 0.85) == iodine_stock_ml(20, 120, 1.20) == 200.0


@pytest.mark.parametrize(
    ("basis", "ml_per_litre", "iodine"),
    [
        ("available", 10.0, (85.0, 120.0)),
        # dilution by the pharmacopoeia strength: 1 mL/L gives 10 ppm of iodine
        ("substance", 1.0, (8.5, 12.0)),
        # dilution by the pharmacopoeia strength: 0.1 mL/L is 100 ppm of product, only 1 ppm of iodine
        ("liquid", 0.1, (0.85, 1.2)),
    ],
)
def test_a_hundredfold_between_bases(
    basis: IodineBasis, ml_per_litre: float, iodine: tuple[float, float]
) -> None:
    told = mix(purpose="iodine", on="eggs", litres=10, ppm=100, basis=basis)
    assert told.stock_ml == ml_per_litre * 10
    assert (told.low_mg_per_l, told.high_mg_per_l) == iodine
    assert told.stock_basis == basis


def test_minutes_of_the_egg_bath() -> None:
    """US FDA low regulatory priority list, published: 100 mg/L of active iodine for 10 min."""
    told = mix(purpose="iodine", on="eggs", litres=20, basis="available")
    assert (told.target_mg_per_l, told.minutes, told.stock_ml) == (100.0, 10, 200.0)
    assert "fda-low-priority" in told.basis


ANY_TOLD = st.fixed_dictionaries(
    {
        "litres": st.none() | LITRES,
        "ppm": st.none() | st.floats(0.1, 100_000),
        "percent": st.none() | st.floats(0.1, 100),
        "grams": st.none() | st.floats(0.1, 1000),
        "ml": st.none() | st.floats(0.1, 1000),
        "minutes": st.none() | st.floats(0.1, 600),
        "inside": st.booleans(),
        "limp": st.booleans(),
        "species": st.sampled_from([(), ("african-catfish",), ("common-carp", "rohu"), ("other",)]),
        "use": st.sampled_from([None, "fertilising", "de-sticking", "glands", "milt"]),
    }
)


@given(ANY_TOLD)
def test_eggs_get_no_millilitres_before_the_basis_is_tapped(told: dict[str, Any]) -> None:
    """Whatever else is told: bottle, amount, minutes, species."""
    found = mix(agent="iodine", on="eggs", **told)
    assert (found.stock_ml, found.stock_basis, found.low_mg_per_l, found.powder_g) == (None, None, None, None)
    assert found.parts == ()
    assert "basis-not-told" in found.warnings


def test_eggs_cautions() -> None:
    told = mix(purpose="iodine", on="eggs", litres=20, ppm=100, basis="available")
    assert told.warnings == (
        "not-unfertilised",
        "test-lot-first",
        "egg-bath-evidence",
        "iodine-water",
        "iodine-colour",
        "rinse-after",
    )
    assert {"opute-aisirhiowen-2021", "akintomide-eggs"} <= set(told.basis)


def test_what_is_known_of_iodine_on_african_catfish_eggs() -> None:
    """Opute 2021: 36.7 % hatch after 100 mg/L for 15 min. WOAH 2010, chapter 4.4: water of pH 6-8."""
    told = mix(agent="iodine", on="eggs", litres=20, basis="available", species=("rohu",))
    trial = (told.trial_hatched_percent, told.trial_mg_per_l, told.trial_minutes, told.trial_species)
    assert trial == (36.7, 100.0, 15.0, "african-catfish")
    assert (told.low_ph, told.high_ph) == (6.0, 8.0)


def test_millilitres_put_in_tell_the_strength_of_iodine() -> None:
    """dilution by the pharmacopoeia strength: 10 mL of the nominal stock in a litre are 100 mg/L."""
    assert mix(agent="iodine", on="tools", litres=20, ml=200).target_mg_per_l == 100.0
    assert mix(agent="iodine", on="eggs", litres=20, ml=200).stock_ml is None


def test_stronger_than_published_for_eggs() -> None:
    """trout egg trials: survival of trout eggs falls at 800 mg/L, near total loss at 1 600 (10 min)."""
    assert "over-strength" in mix(purpose="iodine", on="eggs", litres=1, ppm=800, basis="available").warnings
    assert (
        "over-strength" not in mix(purpose="iodine", on="eggs", litres=1, ppm=800, basis="substance").warnings
    )


def test_tools_by_the_nominal_stock() -> None:
    """Common practice (reference README; issue of doses): 100 ppm, 20 litres, tools: 200 mL."""
    told = mix(purpose="iodine", on="tools", litres=20, ppm=100)
    assert (told.stock_ml, told.stock_basis, told.mark) == (200.0, "available", "common practice")
    assert told.warnings == ("nominal-stock", "iodine-colour")


def test_what_for_is_asked_and_the_label_line() -> None:
    told = mix(purpose="iodine", litres=20, ppm=100)
    assert told.stock_ml is None
    assert told.warnings == ("eggs-or-tools", "label-line")
    assert mix(purpose="iodine", litres=20, ppm=100, basis="available").warnings == ("eggs-or-tools",)


def test_no_default_strength_for_a_farm_that_counts_something_else() -> None:
    told = mix(purpose="iodine", on="eggs", litres=20, basis="liquid")
    assert (told.target_mg_per_l, told.stock_ml) == (None, None)
    assert "ppm-not-told" in told.warnings


def test_litres_not_told() -> None:
    told = mix(purpose="iodine", on="tools", ppm=100)
    assert told.stock_ml is None
    assert "litres-not-told" in told.warnings


@pytest.mark.parametrize(("on", "code"), [("fish", "no-figure"), ("larvae", "not-larvae")])
def test_iodine_is_for_neither_fish_nor_larvae(on: str, code: str) -> None:
    told = mix(purpose="iodine", on=on, litres=20, ppm=100, basis="available")
    assert told.stock_ml is None
    assert code in told.warnings


@pytest.mark.parametrize(
    ("percent", "ml"),
    [
        (10, 200.0),  # British Pharmacopoeia 2013: 10 % povidone-iodine is nominally 1 % of available iodine
        (7.5, 266.7),  # three quarters of that
        (1, 200.0),  # tilapia extension note: stocks hold 0.5-1.0 % of available iodine
        (0.5, 400.0),
    ],
)
def test_the_label_of_the_bottle_counts(percent: float, ml: float) -> None:
    assert mix(agent="iodine", on="tools", litres=20, ppm=100, percent=percent).stock_ml == ml


def test_a_label_that_may_mean_either_is_asked() -> None:
    told = mix(agent="iodine", on="tools", litres=20, ppm=100, percent=3)
    assert told.stock_ml is None
    assert "bottle-unclear" in told.warnings


# Anaesthetics -----------------------------------------------------------------------------------------------


def test_clove_oil_is_told_in_ml_with_its_weight() -> None:
    """Hajek 2006: 30-50 mg/L, common carp; pharmacopoeias (recalled): 1.038-1.060 g per mL."""
    told = mix(agent="clove-oil", litres=20, species=("common-carp",))
    assert told.target_mg_per_l is not None and 30 <= told.target_mg_per_l <= 50
    assert told.stock_ml is not None
    assert 20 * 40 / 1060 - 0.01 <= told.stock_ml <= 20 * 40 / 1038 + 0.01
    assert "watch-gills" in told.warnings


def test_clove_oil_never_longer_than_it_was_borne() -> None:
    """Velisek 2005: 30 mg/L for 10 min was borne."""
    told = mix(agent="clove-oil", litres=20, ppm=30)
    assert (told.minutes, told.at_most) == (10, True)
    assert "too-long" in mix(agent="clove-oil", litres=20, ppm=30, minutes=15).warnings


@pytest.mark.parametrize(
    ("told", "verdict"),
    [
        ({"ppm": 75, "minutes": 10}, "out-now"),  # Velisek 2005: 10-min LC50 74.3 mg/L
        ({"ppm": 55, "minutes": 3}, "out-now"),  # Velisek 2005: LC0.1 51.6 mg/L
        ({"ppm": 40, "minutes": 20}, "out-now"),
        ({"ppm": 40, "minutes": 5}, "mix"),
        ({"inside": True}, "out-now"),
        ({"inside": True, "ppm": 40, "minutes": 3}, "mix"),
        ({"limp": True, "ppm": 40, "minutes": 3}, "out-now"),
        ({"ppm": 75, "litres": 20}, "kills"),
        ({"ppm": 60, "litres": 20}, "too-strong"),
        ({"ml": 5, "litres": 20}, "kills"),
        ({"ml": 0.8, "litres": 20}, "mix"),
    ],
)
def test_clove_oil_by_its_strength_and_minutes(told: dict[str, Any], verdict: str) -> None:
    found = mix(agent="clove-oil", **told)
    assert found.verdict == verdict
    if verdict != "mix":
        assert (found.stock_ml, found.powder_g, found.parts) == (None, None, ())


def test_half_of_the_carp_died_at_74_mg_in_10_min() -> None:
    """Velisek 2005: 10-min LC50 74.3 mg/L, common carp."""
    told = mix(agent="clove-oil", ppm=75, minutes=10)
    assert (told.limit, told.limit_mg_per_l, told.limit_minutes) == ("kills-half", 74.3, 10.0)
    assert told.limit_species == "common-carp"


def test_seed_extract_is_no_oil() -> None:
    """Diyaware 2015: 2.5-4.0 g/L of seed extract, African catfish."""
    extract = mix(agent="clove-extract", litres=20, ppm=3000, species=("african-catfish",))
    assert (extract.powder_g, extract.stock_ml) == (60.0, None)
    assert (extract.reported_low, extract.reported_high) == (2500.0, 4000.0)
    assert mix(agent="clove-oil", litres=20, ppm=3000).verdict == "kills"
    assert mix(agent="clove-extract", litres=20).powder_g is None


def test_clove_alone_is_asked() -> None:
    told = mix(agent="clove", litres=20)
    assert (told.verdict, told.stock_ml, told.powder_g) == ("ask", None, None)
    assert {each.liquid for each in told.choices} == {"clove-oil", "clove-extract"}


def test_tricaine_goes_with_its_weight_of_baking_soda() -> None:
    """Welker: 90-180 mg/L, channel catfish; general practice (recalled): 1-2 times its weight of soda."""
    told = mix(agent="tricaine", litres=50, ppm=150)
    assert [(each.stuff, each.grams) for each in told.parts] == [("tricaine", 7.5), ("baking-soda", 7.5)]
    assert (told.reported_low, told.reported_high) == (90.0, 180.0)
    assert mix(agent="tricaine", litres=50, ppm=300).verdict == "too-strong"


@given(LITRES, st.floats(50.5, 100_000))
def test_no_anaesthetic_is_mixed_above_what_is_reported(litres: float, ppm: float) -> None:
    told = mix(agent="clove-oil", litres=litres, ppm=max(ppm, 51.1))
    assert told.stock_ml is None and told.verdict in ("kills", "too-strong")


# Carp eggs --------------------------------------------------------------------------------------------------


def test_fertilising_liquid() -> None:
    """FAO Training Series 8: 40 g of salt and 30 g of urea in 10 L."""
    told = mix(use="fertilising", litres=10, species=("common-carp",))
    assert [(each.stuff, each.grams) for each in told.parts] == [("urea", 30.0), ("salt", 40.0)]
    assert (told.mark, told.basis) == ("published", ("fao-training-8",))


def test_de_sticking_liquid() -> None:
    """Billard 1995: 20 g/L of urea and 4 g/L of salt."""
    told = mix(use="de-sticking", litres=10, species=("common-carp",))
    assert [(each.stuff, each.grams) for each in told.parts] == [("urea", 200.0), ("salt", 40.0)]
    assert "jar-de-sticking" in told.warnings


@pytest.mark.parametrize(
    ("told", "verdict", "liquid"),
    [
        ({}, "ask", ""),
        ({"ppm": 3000}, "mix", "carp-fertilising"),
        ({"ppm": 20_000}, "mix", "carp-de-sticking"),
        ({"ppm": 20_000, "use": "fertilising"}, "wrong-jar", "carp-fertilising"),
        ({"ppm": 3000, "use": "de-sticking"}, "wrong-jar", "carp-de-sticking"),
        ({"grams": 200, "use": "fertilising"}, "wrong-jar", "carp-fertilising"),
        ({"grams": 30}, "mix", "carp-fertilising"),
        ({"ppm": 9000}, "ask", ""),
    ],
)
def test_the_two_urea_liquids_are_not_swapped(told: dict[str, Any], verdict: str, liquid: str) -> None:
    found = mix(agent="urea", litres=10, **told)
    assert (found.verdict, found.liquid) == (verdict, liquid)
    assert bool(found.parts) == (verdict == "mix")


@pytest.mark.parametrize("species", [("african-catfish",), ("rohu",), ("other",)])
def test_carp_liquids_are_for_carp_alone(species: tuple[str, ...]) -> None:
    told = mix(use="fertilising", litres=10, species=species)
    assert (told.verdict, told.parts, told.powder_g) == ("other-species", (), None)


def test_tannin_by_species() -> None:
    """striped catfish, Revista MVZ Cordoba e2220: 0.5 g/L for 5 min; common carp, FAO Training Series 8
    (recalled): 0.5-0.7 g/L, after swelling."""
    striped = mix(use="de-sticking", litres=5, species=("striped-catfish",))
    assert (striped.powder_g, striped.minutes, striped.mark) == (2.5, 5, "published")
    carp = mix(agent="tannin", litres=5, species=("common-carp",))
    assert (carp.reported_low, carp.reported_high, carp.mark) == (500.0, 700.0, "from memory")
    assert "tannin-after-swelling" in carp.warnings
    assert mix(agent="tannin", litres=5).verdict == "ask"


def test_tannin_that_spoilt_eggs_gets_no_amount() -> None:
    """Zibiene 2017: 1.4 g/L left 38 % hatch in common carp; pikeperch: 1 500 mg/L lowers hatch."""
    assert mix(agent="tannin", litres=5, ppm=1400, species=("common-carp",)).verdict == "too-strong"


# Peroxide and formalin --------------------------------------------------------------------------------------


def test_peroxide_for_african_catfish_eggs() -> None:
    """Akintomide: 250 ppm raised hatch; Opute 2021: 250 mg/L, 15 min; United States Pharmacopeia 31: a 3 %
    solution holds 2.5-3.5 g in 100 mL."""
    told = mix(agent="peroxide", on="eggs", litres=20, percent=3, species=("african-catfish",))
    assert (told.target_mg_per_l, told.minutes) == (250.0, 15)
    assert told.stock_ml is not None
    assert 20 * 250 / 35 <= told.stock_ml <= 20 * 250 / 25


def test_peroxide_of_35_percent() -> None:
    """US 21 CFR 529.1150: the 35 % product holds 396.1 mg in a mL."""
    told = mix(agent="peroxide", on="eggs", litres=100, ppm=750, percent=35)
    assert told.stock_ml == pytest.approx(100 * 750 / 396.1, abs=0.05)


def test_peroxide_label_for_other_eggs() -> None:
    """Veterinary manual, table of approved drugs: 750-1 000 mg/L, 15 min, warm-water eggs."""
    told = mix(agent="peroxide", on="eggs", litres=100, percent=35, species=("rohu",))
    assert (told.reported_low, told.reported_high, told.stock_ml) == (750.0, 1000.0, None)
    assert "strength-not-told" in told.warnings
    carp = mix(agent="peroxide", on="eggs", litres=1, ppm=6000, percent=35, species=("common-carp",))
    assert carp.verdict == "too-strong"


def test_peroxide_bottles_weigh_what_handbooks_say() -> None:
    """Handbook densities at 20 C: 30 % 1.111, 50 % 1.196 g/mL; percent by weight."""
    for percent, density in ((30, 1.111), (50, 1.196)):
        bottle = held(SHELF, "peroxide", percent)
        assert bottle is not None and bottle.mg_per_ml == pytest.approx(percent * 10 * density, rel=0.005)


@pytest.mark.parametrize("percent", [None, 60, 90])
def test_no_peroxide_from_a_bottle_that_nobody_knows(percent: float | None) -> None:
    told = mix(agent="peroxide", on="eggs", litres=20, percent=percent, species=("african-catfish",))
    assert told.stock_ml is None
    assert set(told.warnings) & {"bottle-not-told", "bottle-unknown"}


@pytest.mark.parametrize("ppm", [500, 750, 1000, 2000])
def test_formalin_that_killed_all_african_catfish_eggs(ppm: float) -> None:
    """J. Appl. Sci. Environ. Manage. 14(4): 0 % hatch at 500, 750 and 1 000 mg/L, 15 min."""
    told = mix(agent="formalin", on="eggs", litres=20, ppm=ppm, species=("african-catfish",))
    assert (told.verdict, told.limit_mg_per_l, told.limit_minutes) == ("kills", 500.0, 15.0)
    assert (told.stock_ml, told.parts) == (None, ())


def test_formalin_that_african_catfish_eggs_bore() -> None:
    """The same trial: 50-150 mg/L were borne. Federal Register 63: 38304: formalin is 37 % formaldehyde, and
    labels count it whole: one mL in a cubic metre is one ppm."""
    told = mix(agent="formalin", on="eggs", litres=1000, ppm=100, species=("african-catfish",))
    assert (told.stock_ml, told.minutes) == (100.0, 15)
    assert "formalin-as-whole" in told.warnings
    between = mix(agent="formalin", on="eggs", litres=1000, ppm=300, species=("african-catfish",))
    assert between.verdict == "too-strong"


@pytest.mark.parametrize("ppm", [None, 100.0])
def test_formalin_is_not_extrapolated_to_other_eggs(ppm: float | None) -> None:
    told = mix(agent="formalin", on="eggs", litres=20, ppm=ppm, species=("rohu",))
    assert (told.verdict, told.stock_ml) == ("other-species", None)


def test_formalin_for_fish_by_the_label() -> None:
    """Veterinary manual, approved drugs: 15-25 uL/L in ponds, up to 250 uL/L for an hour in tanks."""
    told = mix(agent="formalin", on="fish", litres=1000, ppm=25)
    assert (told.stock_ml, told.minutes, told.at_most) == (25.0, 60, True)
    assert mix(agent="formalin", on="fish", litres=1000, ppm=300).verdict == "too-strong"


def test_formalin_of_another_strength_is_not_taken_for_the_usual_one() -> None:
    assert mix(agent="formalin", on="fish", litres=1000, ppm=25, percent=40).stock_ml == 25.0
    assert mix(agent="formalin", on="fish", litres=1000, ppm=25, percent=10).stock_ml is None


# Salt and saline --------------------------------------------------------------------------------------------


def test_salt() -> None:
    """FAO Training Series 8, published: 0.65 % salt is 6.5 g/L."""
    assert salt_g(1, 6500) == 6.5
    told = mix(purpose="salt", agent="salt", on="fish", litres=50, ppm=5000)
    assert (told.powder_g, told.stock_ml, told.warnings) == (250.0, None, ())


def test_salt_without_a_strength() -> None:
    told = mix(agent="salt", litres=50)
    assert (told.powder_g, told.warnings) == (None, ("ppm-not-told",))


def test_salt_for_african_catfish_larvae() -> None:
    """Magondu 2011: 0.2-0.8 g/L for 15 min on yolk-sac larvae; none survived 10 g/L."""
    told = mix(agent="salt", on="larvae", litres=10, ppm=500, species=("african-catfish",))
    assert (told.powder_g, told.minutes) == (5.0, 15)
    dead = mix(agent="salt", on="larvae", litres=10, ppm=10_000, species=("african-catfish",))
    assert (dead.verdict, dead.powder_g) == ("kills", None)


def test_salt_for_african_catfish_eggs() -> None:
    """Gbulubo and Erondu 1998: hatch fine at 0-5 g/L, none at 8."""
    assert mix(agent="salt", on="eggs", litres=10, ppm=5000).powder_g == 50.0
    assert mix(agent="salt", on="eggs", litres=10, ppm=8000).verdict == "kills"


@pytest.mark.parametrize(
    ("use", "grams"),
    [
        ("glands", 6.5),  # FAO Training Series 8: 0.65 % salt as the carrier of pituitary
        ("milt", 9.0),  # AJOL 235365: normal saline is 9 g NaCl/L
    ],
)
def test_saline(use: str, grams: float) -> None:
    assert mix(agent="saline", use=use, litres=1).powder_g == grams
    assert mix(agent="saline", litres=1).verdict == "ask"


# Whatever the liquid ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("agent", ["malachite-green", "bleach"])
def test_agents_without_a_figure(agent: str) -> None:
    told = mix(agent=agent, on="eggs", litres=20, ppm=1000)
    assert (told.stock_ml, told.powder_g, told.minutes) == (None, None, None)
    assert (told.verdict, told.warnings) == ("no-figure", ("no-figure",))


def test_nothing_told() -> None:
    assert mix(litres=10, ppm=1000).warnings == ("agent-not-told",)
    assert mix(purpose="anaesthetic", litres=10).warnings == ("which-liquid",)


@pytest.mark.parametrize(("litres", "ppm"), [(0, 100), (-1, 100), (20, 0), (20, float("nan"))])
def test_impossible_amounts_are_refused(litres: float, ppm: float) -> None:
    with pytest.raises(HatchError, match="not-positive"):
        mix(purpose="iodine", on="tools", litres=litres, ppm=ppm)


@pytest.mark.parametrize("percent", [0, -1, 100.1, float("nan")])
@pytest.mark.parametrize("agent", ["iodine", "peroxide", "formalin", "clove-oil"])
def test_impossible_labels_are_refused(agent: str, percent: float) -> None:
    with pytest.raises(HatchError, match="bad-strength"):
        mix(agent=agent, on="tools", litres=20, ppm=100, percent=percent)
    with pytest.raises(HatchError, match="bad-strength"):
        iodine_stock_ml(20, 100, 101)


# Of each liquid what makes it be mixed; and one strength for each that the shelf takes.
MIXED: list[dict[str, Any]] = [
    {
        "agent": liquid.agent,
        "on": liquid.on,
        "use": liquid.use,
        "species": liquid.species[:1],
        "ppm": liquid.strength.usual_or_low,
        "percent": {"peroxide": 35.0}.get(liquid.agent),
    }
    for liquid in SHELF.liquids
] + [{"agent": "iodine", "on": "tools", "ppm": 100.0}, {"agent": "salt", "on": "fish", "ppm": 3000.0}]
EACH = st.sampled_from(MIXED)


def amount(told: Mix) -> float:
    found = told.stock_ml if told.stock_ml is not None else told.powder_g
    assert found is not None, told
    return found


@given(EACH, st.floats(1, 1000), st.integers(2, 9))
def test_amounts_grow_with_the_litres(told: dict[str, Any], litres: float, times: int) -> None:
    once, more = amount(mix(**told, litres=litres)), amount(mix(**told, litres=litres * times))
    assert more == pytest.approx(once * times, abs=0.051 * (times + 1))


@given(EACH, st.floats(10, 2000))
def test_what_is_mixed_gives_back_the_strength(told: dict[str, Any], litres: float) -> None:
    """strength = amount x what a mL or g of it holds / litres."""
    found = mix(**told, litres=litres)
    held_mg = found.stock_mg_per_ml if found.stock_ml is not None else 1000.0
    assert held_mg is not None
    back = amount(found) * held_mg / litres
    assert back == pytest.approx(told["ppm"], abs=0.051 * held_mg / litres)


@given(EACH, st.floats(10, 2000))
def test_what_was_put_in_tells_the_strength(told: dict[str, Any], litres: float) -> None:
    """Grams or mL in so many litres are read as the strength they were mixed for, as near as it is written:
    a small amount is up to 5 % off."""
    if told["agent"] == "iodine":
        return
    found = mix(**told, litres=litres)
    again = {key: value for key, value in told.items() if key != "ppm"}
    put_in = mix(**again, litres=litres, grams=found.powder_g, ml=found.stock_ml)
    assert put_in.target_mg_per_l == pytest.approx(told["ppm"], rel=0.05)


@given(st.sampled_from([None, "eggs", "fish", "larvae", "tools"]), EACH, ANY_TOLD)
def test_no_amounts_but_where_it_says_mix(on: str | None, each: dict[str, Any], told: dict[str, Any]) -> None:
    found = mix(**{**told, "agent": each["agent"], "on": on})
    if found.verdict != "mix":
        assert (found.stock_ml, found.powder_g, found.parts) == (None, None, ())


# The shelf --------------------------------------------------------------------------------------------------


def test_a_faulty_shelf_names_every_fault() -> None:
    text = """
[[liquids]]
id = "x"
agent = "salt"
elsewhere = "perhaps"
[[liquids.parts]]
stuff = "salt"
low = "3 g"
high = "3 g/L"
sources = ["nobody"]
mark = "published"
[[liquids]]
id = "x"
agent = "salt"
elsewhere = "tell"
"""
    with pytest.raises(CardFault) as fault:
        parse_shelf(text, knowledge.sources())
    found = {each.code for each in fault.value.params["faults"]}  # type: ignore[attr-defined]
    assert {"wrong-dimension", "unknown-source", "not-one-of", "missing-key", "used-twice"} <= found


def test_every_figure_of_the_shelf_has_a_known_source() -> None:
    assert SHELF.cited <= knowledge.sources().keys()
