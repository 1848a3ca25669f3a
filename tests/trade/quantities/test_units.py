"""Unit factors are exact and agree with published tables and with pint.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.trade.quantities.kinds import KINDS, kind_of_unit
from tagbench.trade.quantities.units import Quantity, Range, convert
from tests.trade.published import examples, rows

_PINT = {
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "µm": "um",
    "in": "inch",
    "ft": "foot",
    "thou": "thou",
    "N·m": "N*m",
    "N·cm": "N*cm",
    "daN·m": "daN*m",
    "lbf·ft": "lbf*ft",
    "lbf·in": "lbf*inch",
    "ozf·in": "force_ounce*inch",
    "kgf·m": "kgf*m",
    "kgf·cm": "kgf*cm",
    "kPa": "kPa",
    "bar": "bar",
    "psi": "psi",
    "kgf/cm²": "kgf/cm**2",
    "°": "degree",
    "′": "arcminute",
}
_UNITS = [(unit, factor) for kind in KINDS.values() for unit, factor in kind.factors.items()]
_TABLE_UNITS = {"inch": "in", "foot": "ft", "N.m": "N·m"} | {
    unit.replace("·", "."): unit for unit in KINDS["torque"].factors
}


def test_every_factor_agrees_with_pint() -> None:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    for unit, factor in _UNITS:
        kind = kind_of_unit(unit)
        assert kind is not None
        there = registry.Quantity(1, _PINT[unit]).to(_PINT[next(iter(kind.factors))])
        assert float(factor) == pytest.approx(there.magnitude, rel=1e-14), unit


@pytest.mark.parametrize(
    "row",
    [r for r in rows("units") if {r["from_unit"], r["to_unit"]} <= set(_TABLE_UNITS) | {"mm", "m"}],
    ids=lambda row: f"{row['from_unit']} in {row['to_unit']}",
)
def test_the_conversion_table_is_met(row: dict[str, str]) -> None:
    """MIL-HDBK-1004/6 App. B and force tables, rebuilt from 0.45359237, 9.80665 and 25.4."""
    unit, to = (_TABLE_UNITS.get(row[name], row[name]) for name in ("from_unit", "to_unit"))
    found = convert(Fraction(1), unit, to)
    if row["from_unit"] in ("kgf.m", "kgf.cm", "inch", "foot"):
        assert found == Fraction(row["factor"])
    assert float(found) == pytest.approx(float(row["factor"]), rel=1e-15)


def test_a_foot_pound_is_the_exact_product_of_its_definitions() -> None:
    """NIST SP 811 definitions: 0.45359237 kg, 9.80665 m/s², 0.3048 m."""
    exact = Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.3048")
    assert convert(Fraction(1), "lbf·ft", "N·m") == exact


def test_a_foot_pound_in_kilogram_metres_prints_as_0_138255() -> None:
    """Worked example UN-04, a torque glossary page."""
    example = examples("units")["UN-04"]
    found = float(convert(Fraction(1), "lbf·ft", "kgf·m"))
    assert found == pytest.approx(example["exact"], abs=1e-15)
    assert found == pytest.approx(example["expected"], abs=example["tolerance"])


def test_the_misprinted_newton_metre_of_one_public_page_is_not_ours() -> None:
    """data_traps.csv: one page prints 8.50745782 for 8.85074579."""
    assert float(convert(Fraction(1), "N·m", "lbf·in")) == pytest.approx(8.85074579, abs=1e-8)


@given(
    st.fractions(min_value=0, max_value=10_000),
    st.sampled_from(sorted(KINDS["torque"].factors)),
    st.sampled_from(sorted(KINDS["torque"].factors)),
)
def test_there_and_back_is_exact(value: Fraction, unit: str, to: str) -> None:
    assert convert(convert(value, unit, to), to, unit) == value


def test_a_length_is_not_a_torque() -> None:
    with pytest.raises(BadInput, match="mm measures length and cannot be shown in N·m"):
        convert(Fraction(1), "mm", "N·m")
    with pytest.raises(BadInput, match="cubit"):
        convert(Fraction(1), "cubit", "mm")


def test_the_typed_text_stays_with_the_converted_value() -> None:
    assert Quantity(Fraction(3, 8), "in", "3/8 in").to("mm").typed == "3/8 in"
    converted = Range(Fraction(43), Fraction(58), "lbf·ft", "43-58 ft-lb").to("N·m")
    assert converted.typed == "43-58 ft-lb"
    assert float(converted.low) == pytest.approx(58.3002, abs=1e-4)
    assert Quantity(Fraction(3, 8), "in").number("mm") == 9.525
