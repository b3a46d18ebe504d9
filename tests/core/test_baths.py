"""Baths against published dilutions and the pharmacopoeia; ids are of the reference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.baths import iodine_stock_ml, mix, salt_g
from core.errors import HatchError
from core.records import IodineBasis


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


@given(st.floats(0.1, 1000), st.none() | st.floats(1, 2000))
def test_eggs_get_no_millilitres_before_the_basis_is_tapped(litres: float, ppm: float | None) -> None:
    told = mix(purpose="iodine", on="eggs", litres=litres, ppm=ppm)
    assert (told.stock_ml, told.stock_basis, told.low_mg_per_l, told.powder_g) == (None, None, None, None)
    assert "basis-not-told" in told.warnings


def test_eggs_cautions() -> None:
    told = mix(purpose="iodine", on="eggs", litres=20, ppm=100, basis="available")
    assert told.warnings == ("not-unfertilised", "test-lot-first", "egg-bath-evidence", "rinse-after")
    assert "opute-aisirhiowen-2021" in told.basis


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
    assert told.warnings == ("nominal-stock",)


def test_what_for_is_asked() -> None:
    told = mix(purpose="iodine", litres=20, ppm=100, basis="available")
    assert told.stock_ml is None
    assert told.warnings == ("eggs-or-tools",)


def test_no_default_strength_for_a_farm_that_counts_something_else() -> None:
    told = mix(purpose="iodine", on="eggs", litres=20, basis="liquid")
    assert (told.target_mg_per_l, told.stock_ml) == (None, None)
    assert "ppm-not-told" in told.warnings


def test_litres_not_told() -> None:
    told = mix(purpose="iodine", on="tools", ppm=100)
    assert told.stock_ml is None
    assert "litres-not-told" in told.warnings


def test_iodine_is_not_for_fish() -> None:
    told = mix(purpose="iodine", on="fish", litres=20, ppm=100, basis="available")
    assert told.stock_ml is None
    assert "no-figure" in told.warnings


def test_salt() -> None:
    """FAO Training Series 8, published: 0.65 % salt is 6.5 g/L."""
    assert salt_g(1, 6500) == 6.5
    told = mix(purpose="salt", on="fish", litres=50, ppm=5000)
    assert (told.powder_g, told.stock_ml, told.warnings) == (250.0, None, ())


def test_salt_without_a_strength() -> None:
    told = mix(purpose="salt", litres=50)
    assert (told.powder_g, told.warnings) == (None, ("ppm-not-told",))


@pytest.mark.parametrize(
    "agent", ["formalin", "malachite-green", "clove-oil", "tricaine", "peroxide", "bleach"]
)
def test_agents_without_a_figure(agent: str) -> None:
    told = mix(purpose=None, agent=agent, on="eggs", litres=20, ppm=1000)
    assert (told.stock_ml, told.powder_g, told.minutes) == (None, None, None)
    assert told.warnings == ("no-figure",)


def test_the_agent_goes_before_the_purpose() -> None:
    assert mix(purpose="anaesthetic", agent="salt", litres=10, ppm=1000).powder_g == 10.0
    assert mix(purpose="anaesthetic", litres=10, ppm=1000).warnings == ("no-figure",)
    assert mix(purpose=None, litres=10, ppm=1000).warnings == ("agent-not-told",)


@pytest.mark.parametrize(("litres", "ppm"), [(0, 100), (-1, 100), (20, 0), (20, float("nan"))])
def test_amounts_that_are_none(litres: float, ppm: float) -> None:
    for agent in ("iodine", "salt", "formalin"):
        with pytest.raises(HatchError, match="not-positive"):
            mix(purpose=None, agent=agent, on="tools", litres=litres, ppm=ppm)


def test_stocks_that_are_none() -> None:
    with pytest.raises(HatchError, match="not-positive"):
        iodine_stock_ml(20, 100, 0)
    with pytest.raises(HatchError, match="bad-strength"):
        iodine_stock_ml(20, 100, 101)


@given(st.floats(1, 500), st.floats(10, 500))
def test_what_is_mixed_gives_back_the_strength(litres: float, ppm: float) -> None:
    """C1 V1 = C2 V2."""
    assert iodine_stock_ml(litres, ppm) * 10.0 / litres == pytest.approx(ppm, abs=0.51 / litres)
