"""Units against the outside: NIST's factors, published conversions, and what must never reach the parser."""

import itertools
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import HatchError
from core.units import chain, positive, quantity, round_to, round_up


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        # NIST Handbook 44 (2024), Appendix C, and NIST SP 811 (2008), Appendix B.8: exact
        ("1 lb", "kg", 0.45359237),
        ("1 oz", "g_body", 28.349523125),
        ("1 gal_us", "L", 3.785411784),
        ("1 gal_imp", "L", 4.54609),
        # NIST SP 811 (2008), section 5.1.1: day and minute, exact
        ("2.5 day", "h", 60.0),
        ("90 s", "min", 1.5),
        # Tan-Fermin et al. 1997: 0.05 ug/g + 1 ug/g of body are 50 ug/kg + 1 mg/kg
        ("0.05 ug/g_body", "ug/kg", 50.0),
        ("1 ug/g_body", "mg/kg", 1.0),
        # Legendre & Oteme 1995: 1.5 IU/g of body are 1500 IU/kg
        ("1.5 IU/g_body", "IU/kg", 1500.0),
        # dilution by the pharmacopoeia strength: 1 % w/v, that is 10 g/L, of available iodine are 10 000 mg/L
        ("10 g/L", "mg/L", 10000.0),
    ],
)
def test_factors(text: str, unit: str, value: float) -> None:
    assert quantity(text, unit) == value


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("10 ug/kg", "ug/kg", 10.0),
        ("10 µg/kg", "ug/kg", 10.0),
        ("4 mg/kg", "ug/kg", 4000.0),
        ("0.5 mL/kg", "mL/kg", 0.5),
        ("0.5 ml/kg", "mL/kg", 0.5),
        ("3000 IU/kg", "IU/kg", 3000.0),
        ("650 egg/g", "egg/g", 650.0),
        ("120000 eggs/kg", "egg/kg", 120000.0),
        ("20 ug/mL", "ug/mL", 20.0),
        ("10 mL/kg_eggs", "mL/g", 0.01),
        ("22.9 degC", "degC", 22.9),
        ("-1.5 degC", "degC", -1.5),
        ("0.3 day", "h", 7.2),
        ("240 degree_hour", "degree_hour", 240.0),
        ("85 %", "percent", 85.0),
        (" 42 day ", "day", 42.0),
    ],
)
def test_a_card_string_keeps_its_number(text: str, unit: str, value: float) -> None:
    assert quantity(text, unit) == value


NO_QUANTITY = """
kg; 10; 2,4 kg; 2.4.1 kg; 9**9**9 kg; 9**9**9**9; 1e9 kg; -1 kg; -5 ug/kg; nan kg; inf kg; 1 2 kg; +1 kg
5 foo; 5 degC/h; 1 kg/kg/kg; 1 kg**2; 1 /kg; 1 kg/; ١ kg; 1 __class__; 0x10 kg; 11111111111111 kg; 1 ppm
2.4 kg kg; 1 cup; 10-14 ug/kg; lambda
"""


@pytest.mark.parametrize("text", ["", *(text.strip() for text in NO_QUANTITY.replace("\n", ";").split(";"))])
def test_what_is_no_quantity_is_refused(text: str) -> None:
    with pytest.raises(HatchError) as refused:
        quantity(text, "kg")
    assert (refused.value.code, refused.value.params) == ("bad-quantity", {"text": text})


def test_a_number_of_any_length_is_answered_at_once() -> None:
    began = time.perf_counter()
    for text in ("9" * 10**6 + " kg", "9**" * 10**5 + "9 kg", "1 " + "kg/" * 10**5):
        with pytest.raises(HatchError, match="bad-quantity"):
            quantity(text, "kg")
    assert time.perf_counter() - began < 1


KINDS = ["ug/kg", "ug/mL", "mL/kg", "IU/kg", "egg/g", "egg/kg", "kg", "g", "mL", "h", "degC", "degree_hour"]


@pytest.mark.parametrize(("given_in", "wanted"), list(itertools.permutations(KINDS, 2)))
def test_no_kind_passes_for_another(given_in: str, wanted: str) -> None:
    with pytest.raises(HatchError) as refused:
        quantity(f"10 {given_in}", wanted)
    assert refused.value.code == "wrong-dimension"
    assert refused.value.params == {"text": f"10 {given_in}", "expected": wanted}


def test_a_dose_is_no_pure_number() -> None:
    for unit in ("percent", "ug/g", "mg/L"):
        with pytest.raises(HatchError, match="wrong-dimension"):
            quantity("10 ug/kg", unit)


def test_chain_multiplies_and_divides() -> None:
    assert chain("mL", [(10, "ug/kg"), (2.4, "kg")], per=[(20, "ug/mL")]) == 1.2
    assert chain("egg", [(150, "g"), (650, "egg/g")]) == 97500


def test_chain_refuses_units_that_do_not_come_out() -> None:
    with pytest.raises(HatchError, match="wrong-dimension"):
        chain("mL", [(10, "ug/kg"), (2.4, "g")], per=[(20, "ug/mL")])
    with pytest.raises(HatchError, match="not-positive"):
        chain("mL", [(10, "ug/kg"), (2.4, "kg")], per=[(0, "ug/mL")])


@pytest.mark.parametrize("value", [0.0, -0.1, float("nan"), float("inf")])
def test_positive_refuses(value: float) -> None:
    with pytest.raises(HatchError, match="not-positive"):
        positive(value, "kg")


@pytest.mark.parametrize(
    ("value", "step", "nearest", "above"),
    [
        (0.475, 0.01, 0.48, 0.48),
        (0.29, 0.01, 0.29, 0.29),
        (1.24, 0.1, 1.2, 1.3),
        (1.25, 0.1, 1.3, 1.3),
        (0.3, 0.1, 0.3, 0.3),
        (9.13, 0.5, 9.0, 9.5),
        (4.1, 0.2, 4.2, 4.2),
        (0.0, 0.2, 0.0, 0.0),
    ],
)
def test_rounding_to_marks(value: float, step: float, nearest: float, above: float) -> None:
    assert round_to(value, step) == nearest
    assert round_up(value, step) == above


@given(st.floats(0, 1000), st.sampled_from([0.01, 0.1, 0.2, 0.5]))
def test_a_mark_is_never_far(value: float, step: float) -> None:
    assert abs(round_to(value, step) - value) <= step / 2 + 1e-9
    assert -1e-9 <= round_up(value, step) - value < step


@given(
    st.floats(0.001, 999999),
    st.sampled_from([("kg", "lb"), ("ug/kg", "mg/kg"), ("h", "day"), ("L", "gal_us")]),
)
def test_there_and_back(value: float, units: tuple[str, str]) -> None:
    one, other = units
    there = chain(other, [(value, one)])
    assert chain(one, [(there, other)]) == pytest.approx(value, rel=1e-11)
