"""Units as a user meets them: numbers with their unit, conversion, headings, figures on paper."""

import copy
import doctest
import math
import pickle
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import enginewright as ew
from enginewright import units

TABLE = units.table()
every_unit = pytest.mark.parametrize(
    "unit", TABLE, ids=[f"{unit.symbol} of {unit.dimension}" for unit in TABLE]
)
# Sizes of any workshop: far from the ends of what a double holds.
ordinary = st.floats(-1e12, 1e12).filter(lambda x: x == 0 or abs(x) > 1e-12)


# --- What a number may look like ---------------------------------------------------------------


def test_a_reading_in_thou_is_a_length_in_millimetres():
    amount = units.parse("2.5 thou")
    # published: NIST SP 811 (2008), B.8: mil (0.001 in) is 2.54 E-05 m, exact
    assert amount.value == 2.5 * 0.0254
    assert (amount.unit, amount.dimension) == ("mm", "length")
    assert (amount.number, amount.given_unit, amount.text) == (2.5, "thou", "2.5 thou")
    assert amount.resolution == pytest.approx(0.00254, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("12°30'", 12.5), ("12º30′", 12.5), ("12° 30' 15\"", 12 + 30 / 60 + 15 / 3600)],
)
def test_degrees_minutes_and_seconds_are_an_angle(text, degrees):
    assert units.parse(text).value == pytest.approx(degrees, rel=1e-15)
    assert units.parse(text).unit == "°"


@pytest.mark.parametrize("text", ["12°60'", "12°30'60\"", "12°30'15"])
def test_minutes_and_seconds_stay_below_sixty_and_are_marked(text):
    with pytest.raises(ew.UnitError):
        units.parse(text)


@pytest.mark.parametrize("text", ["3 1/2 in", "3-1/2 in", "3−1/2 in", "3½ in", "3 ½ in", "7/2 in"])
def test_a_fraction_of_an_inch_is_exact(text):
    # published: NIST SP 811 (2008), B.8: inch is 2.54 E-02 m, exact
    assert units.parse(text).value == 3.5 * 25.4
    assert units.parse(text).resolution is None


@given(
    whole=st.integers(0, 99),
    below=st.sampled_from([2, 3, 4, 8, 16, 32, 64]),
    data=st.data(),
    unit=st.sampled_from(["in", "ft", "turn"]),
)
def test_any_mixed_fraction_is_rounded_once(whole, below, data, unit):
    above = data.draw(st.integers(1, below - 1))
    exact = float(Fraction(whole * below + above, below))
    assert units.parse(f"{whole} {above}/{below} {unit}").number == exact
    assert units.parse(f"-{whole}-{above}/{below} {unit}").number == -exact


def test_nobody_writes_sixteenths_of_a_thou():
    for text in ("14/16 thou", "1/2 mm", "1/4 g"):
        with pytest.raises(ew.UnitError, match="a fraction goes with in, ft or a turn"):
            units.parse(text)
    with pytest.raises(ew.UnitError, match="over zero"):
        units.parse("1/0 in")


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("-0.02 mm", -0.02),
        ("−0.02 mm", -0.02),
        ("+3 mm", 3),
        ("1.5e-3 mm", 0.0015),
        ("82 005 mm", 82005),
        ("82\u00a0005 mm", 82005),
        ("82\u202f005 mm", 82005),
        ("82'005 mm", 82005),
        ("1,234.5 mm", 1234.5),
        ("1.234,5 mm", 1234.5),
        ("1.234.567 mm", 1234567),
        ("1,234,567 mm", 1234567),
        ("0,250 mm", 0.25),
        ("41,2 mm", 41.2),
        ("1234,567 mm", 1234.567),
    ],
)
def test_decimal_and_group_marks_of_two_countries_are_read(text, number):
    assert units.parse(text).value == number


@pytest.mark.parametrize(
    "text", ["1,23,456 mm", "1..2 mm", "12.3.4 mm", "1,2.3,4 mm", "1 234.567,8 mm", "12,34.5 mm"]
)
def test_marks_that_group_in_anything_but_threes_are_refused(text):
    with pytest.raises(ew.UnitError):
        units.parse(text)


def test_a_comma_that_can_be_either_mark_is_refused_with_the_way_out():
    with pytest.raises(ew.UnitError, match="82.005 or 82 005; pass decimal=") as refused:
        units.parse("82,005 mm")
    assert isinstance(refused.value, ValueError)
    assert units.parse("82,005 mm", decimal=",").value == 82.005
    assert units.parse("82,005 mm", decimal=".").value == 82005


def test_a_mark_that_is_told_leaves_the_other_to_group_in_threes():
    assert units.parse("1.234,5 mm", decimal=",").value == 1234.5
    for text, decimal in [("41,2 mm", "."), ("41.2 mm", ","), ("0,250 mm", ".")]:
        with pytest.raises(ew.UnitError):
            units.parse(text, decimal=decimal)
    with pytest.raises(ValueError, match="decimal must be one of"):
        units.parse("5 mm", decimal=";")


@pytest.mark.parametrize(
    "text", ["1 2 mm", "82.01 82.02 mm", "0 250 mm", "82005 123 mm", "82\n005 mm", "12-30 mm"]
)
def test_two_readings_are_never_taken_for_one(text):
    with pytest.raises(ew.UnitError, match="more than one number"):
        units.parse(text)


@given(st.decimals(-99999, 99999, places=4), st.sampled_from([".", ","]))
def test_a_decimal_is_read_to_the_last_bit_in_either_mark(number, mark):
    text = f"{number:f}".replace(".", mark) + " mm"
    amount = units.parse(text, decimal=mark)
    assert amount.value == float(number)
    assert amount.resolution == 1e-4


@given(st.text(max_size=40))
def test_any_text_is_a_finite_number_or_a_refusal(text):
    try:
        amount = units.parse(text)
    except ew.UnitError as refused:
        assert str(refused)
    else:
        assert math.isfinite(amount.value)
        assert amount.unit == units.canonical(amount.dimension)
        assert amount.text == text


@given(st.text("0123456789 .,'/-°\"½¼emthouincf", max_size=24))
def test_nearly_numbers_are_finite_or_refused(text):
    try:
        assert math.isfinite(units.parse(text).value)
    except ew.UnitError as refused:
        assert str(refused)


# --- What a unit may look like -----------------------------------------------------------------


def test_a_bare_number_is_refused_unless_it_is_a_number():
    with pytest.raises(ew.UnitError, match="no unit; write for example '5 mm'"):
        units.parse("5")
    assert units.parse("5", "number").value == 5
    assert units.parse("12.5 %").value == 0.125
    # With the symbol of the table behind it a ratio comes back from a file; else these are two.
    assert units.parse("9.3 1", "number").value == 9.3
    with pytest.raises(ew.UnitError, match="more than one number"):
        units.parse("9.3 1")


@every_unit
def test_a_number_with_the_symbol_of_its_unit_can_be_read_back(unit):
    amount = units.parse(f"9.25 {unit.symbol}", unit.dimension)
    assert (amount.number, amount.given_unit) == (9.25, unit.symbol)
    assert amount.value == units.convert(9.25, unit.symbol, None, unit.dimension)
    # "Bore (1)" is the first bore.
    named = None if unit.symbol == "1" else unit.symbol
    assert units.header(f"Any ({unit.symbol})", unit.dimension).unit == named


def test_the_wrong_dimension_is_refused_with_both_names():
    with pytest.raises(ew.UnitError, match="unit of length, mass is wanted"):
        units.parse("5 mm", "mass")
    with pytest.raises(ew.UnitError, match="dimension must be one of length, area"):
        units.parse("5 mm", "lenght")


def test_pounds_are_a_mass_until_a_spring_tester_says_force():
    assert units.parse("90 lb").dimension == "mass"
    # common practice: spring testers and scales marked lb show pounds-force
    force = units.parse("90 lb", "force")
    assert force.value == pytest.approx(90 * 4.4482216152605, rel=1e-14)
    assert force.given_unit == "lbf"
    assert units.parse("10 kg", "force").given_unit == "kgf"
    with pytest.raises(ew.UnitError, match="mass.*force"):
        units.convert(90, "lb", "N")
    assert units.convert(90, "lb", "N", "force") == pytest.approx(force.value)


def test_nothing_is_colder_than_absolute_zero():
    assert units.parse("-459.67 °F").value == pytest.approx(-273.15)
    for text in ("-300 °C", "-1 K", "-460 °F"):
        with pytest.raises(ew.UnitError, match="absolute zero"):
            units.parse(text)


def test_case_is_ignored_but_for_the_prefixes_milli_and_mega():
    for symbol, standard in [("MM", "mm"), ("THOU", "thou"), ("MPA", "MPa"), ("Kg", "kg")]:
        assert units.unit(symbol).symbol == standard
    for symbol in ("mPa", "mpa", "Mm", "Mg"):
        with pytest.raises(ew.UnitError, match="did you mean"):
            units.unit(symbol)


def test_small_nm_is_a_torque_only_where_torque_is_wanted():
    with pytest.raises(ew.UnitError):
        units.parse("90 nm")
    assert units.parse("90 nm", "torque").value == 90
    assert units.parse("90 Nm").given_unit == "N·m"


@pytest.mark.parametrize("spelling", ["oz·in", "oz*in", "oz.in", "oz-in", "oz in", "OZ IN"])
def test_a_product_is_written_in_any_of_its_ways(spelling):
    assert units.unit(spelling).symbol == "oz·in"


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("5 hundredths", "of a millimetre or of an inch"),
        ("2 fl oz", "US fl oz"),
        ("2 gr", "grams or grains"),
        ("5 minutes", "angle or of time"),
        ("5'", "length or of angle"),
    ],
)
def test_what_can_be_two_units_is_refused(text, reason):
    with pytest.raises(ew.UnitError, match=reason):
        units.parse(text)


def test_an_unknown_unit_is_refused_with_near_spellings():
    with pytest.raises(ew.UnitError, match="unknown unit 'thoo'; did you mean thou"):
        units.parse("5 thoo")
    with pytest.raises(ew.UnitError, match="unknown unit 'furlong'"):
        units.parse("5 furlong")
    with pytest.raises(ew.UnitError) as refused:
        units.unit("mn")
    assert str(refused.value).count(",") + str(refused.value).count(" or ") <= 2


# --- The table ---------------------------------------------------------------------------------


def test_the_table_is_a_tuple_of_units_by_dimension():
    assert isinstance(TABLE, tuple)
    dimensions = list(dict.fromkeys(unit.dimension for unit in TABLE))
    assert [unit.dimension for unit in TABLE] == sorted(
        (unit.dimension for unit in TABLE), key=dimensions.index
    )
    assert [units.canonical(dimension) for dimension in dimensions] == [
        next(unit.symbol for unit in TABLE if unit.dimension == dimension)
        for dimension in dimensions
    ]
    assert {unit.dimension for unit in TABLE if unit.symbol == "psi"} == {"stress", "gas pressure"}
    assert units.unit("psi").dimension == "stress"


# published: NIST SP 811 (2008), appendix B: the exact definitions, in mm, g, m/s²
INCH, POUND, GRAVITY = Fraction("25.4"), Fraction("453.59237"), Fraction("9.80665")
POUND_FORCE = POUND * GRAVITY / 1000  # N
PSI = POUND_FORCE / INCH**2 * 1000  # kPa
# derived: exact rational arithmetic from those definitions
FACTORS = {
    ("in", "length"): INCH,
    ("ft", "length"): 12 * INCH,
    ("thou", "length"): INCH / 1000,
    ("tenths", "length"): INCH / 10000,
    ("µin", "length"): INCH / 10**6,
    ("in²", "area"): INCH**2,
    ("in³", "volume"): INCH**3 / 1000,
    ("US fl oz", "volume"): 231 * INCH**3 / 1000 / 128,
    # from memory: the imperial gallon is 4.54609 L, exact; 160 fluid ounces
    ("imp fl oz", "volume"): Fraction("4546.09") / 160,
    ("oz", "mass"): POUND / 16,
    ("lb", "mass"): POUND,
    ("grain", "mass"): POUND / 7000,
    ("g·in", "unbalance"): INCH,
    ("oz·in", "unbalance"): POUND / 16 * INCH,
    ("lbf", "force"): POUND_FORCE,
    ("kgf", "force"): GRAVITY,
    ("lbf/in", "stiffness"): POUND_FORCE / INCH,
    ("kgf/mm", "stiffness"): GRAVITY,
    ("psi", "stress"): PSI / 1000,
    ("psi", "gas pressure"): PSI,
    ("ksi", "stress"): PSI,
    ("kgf/cm²", "gas pressure"): GRAVITY * 10,
    ("atm", "gas pressure"): Fraction("101.325"),
    ("inH2O", "gas pressure"): INCH * GRAVITY / 1000,
    ("mmH2O", "gas pressure"): GRAVITY / 1000,
    ("°F", "temperature"): Fraction(5, 9),
    ("Δ°F", "temperature difference"): Fraction(5, 9),
    ("lbf·ft", "torque"): POUND_FORCE * 12 * INCH / 1000,
    ("lbf·in", "torque"): POUND_FORCE * INCH / 1000,
    ("kgf·m", "torque"): GRAVITY,
    ("cfm", "flow"): (12 * INCH) ** 3 / 10**6,
    ("m³/h", "flow"): Fraction(1000, 60),
    ("1/°F", "expansion"): Fraction("1.8"),
    ("µin/(in·°F)", "expansion"): Fraction("1.8e-6"),
    ("lb/in³", "density"): POUND / (INCH**3 / 1000),
}


@pytest.mark.parametrize(("key", "exact"), FACTORS.items(), ids=lambda x: str(x)[:40])
def test_factors_are_the_doubles_next_to_the_exact_definitions(key, exact):
    assert units.unit(*key).factor == float(exact)
    assert units.unit(*key).exact


@every_unit
def test_a_unit_is_found_by_each_of_its_spellings(unit):
    assert units.unit(unit.symbol, unit.dimension) == unit
    for alias in unit.aliases:
        assert units.unit(alias, unit.dimension) == unit
    assert unit.source


# --- Conversion --------------------------------------------------------------------------------


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_the_same_unit_gives_the_number_back_bit_for_bit(value):
    for unit in TABLE:
        same = units.convert(value, unit.symbol, unit.symbol, unit.dimension)
        assert same.hex() == value.hex(), unit


@given(ordinary)
def test_a_number_goes_there_and_back_in_every_unit(value):
    for unit in TABLE:
        there = units.convert(value, unit.symbol, None, unit.dimension)
        canonical = units.canonical(unit.dimension)
        back = units.convert(there, canonical, unit.symbol, unit.dimension)
        # What an offset hides of a small number is lost: a few last digits of the offset.
        lost = 4 * math.ulp(abs(unit.offset)) if unit.offset else 0
        assert back == pytest.approx(value, rel=1e-15 * 4, abs=lost), unit


@given(value=ordinary, first=st.sampled_from(TABLE), data=st.data())
def test_two_steps_are_as_good_as_one(value, first, data):
    same = [unit for unit in TABLE if unit.dimension == first.dimension]
    second, third = data.draw(st.sampled_from(same)), data.draw(st.sampled_from(same))
    by = units.convert(value, first.symbol, second.symbol, first.dimension)
    two = units.convert(by, second.symbol, third.symbol, first.dimension)
    one = units.convert(value, first.symbol, third.symbol, first.dimension)
    # No scale of temperature starts further from another than 500 of its own degrees.
    lost = 8 * math.ulp(500.0) if first.dimension == "temperature" else 0
    assert two == pytest.approx(one, rel=1e-14, abs=lost)


@given(unit=st.sampled_from(TABLE), low=ordinary, high=ordinary)
def test_more_stays_more_in_every_unit(unit, low, high):
    low, high = sorted((low, high))
    assert units.convert(low, unit.symbol, None, unit.dimension) <= units.convert(
        high, unit.symbol, None, unit.dimension
    )


def test_fixed_points_of_the_scales_are_exact():
    # published: NIST SP 811 (2008), appendix B: t/°C = (t/°F - 32)/1.8
    assert units.convert(212, "°F", "°C") == 100.0
    assert units.convert(32, "°F", "°C") == 0.0
    assert units.convert(0, "°C", "K") == 273.15
    assert units.convert(9, "°F", "K", dimension="temperature difference") == pytest.approx(5)


def test_arrays_come_out_as_arrays_of_their_shape():
    thou = np.arange(12.0).reshape(3, 4)
    mm = units.convert(thou, "thou")
    assert mm.shape == (3, 4)
    np.testing.assert_array_equal(mm, thou * 0.0254)
    np.testing.assert_array_equal(units.convert(thou[:, ::2], "thou"), thou[:, ::2] * 0.0254)
    np.testing.assert_array_equal(units.convert([1, 2], "in", "mm"), [25.4, 50.8])
    assert units.convert([], "in").shape == (0,)
    assert isinstance(units.convert(np.float32(1), "in"), float)
    assert isinstance(units.convert(np.array(2), "in"), float)
    assert thou[0, 1] == 1


def test_an_element_that_is_no_number_is_named():
    with pytest.raises(ValueError, match=r"value must be a finite number, got nan \(element 2 of"):
        units.convert([1, 2, math.nan], "in")
    with pytest.raises(ValueError, match="value must be a finite number, got inf$"):
        units.convert(math.inf, "in")
    with pytest.raises(ValueError, match=r"value must be small enough .*mm, got 1e\+308"):
        units.convert(1e308, "m")
    with pytest.raises(TypeError, match="value"):
        units.convert("5", "mm")
    with pytest.raises(TypeError, match="from_unit"):
        units.convert(5, 3)
    with pytest.raises(ew.UnitError, match="length.*mass"):
        units.convert(5, "mm", "g")


def test_a_quantity_keeps_its_doubt_and_its_sources():
    thou = ew.Quantity(2.5, 0.1, source="feeler gauges")
    mm = units.convert(thou, "thou", "mm")
    assert mm.value == pytest.approx(0.0635)
    assert mm.standard_uncertainty == pytest.approx(0.00254)
    again = units.convert(thou, "thou", "mm") - mm
    assert again.standard_uncertainty == pytest.approx(0, abs=1e-15)
    warm = units.convert(ew.Quantity(68, 0.9), "°F", "°C")
    assert (warm.value, warm.standard_uncertainty) == pytest.approx((20, 0.5))


class WithUnit:
    """What a library of units hands out: a number that can be had in another unit."""

    def __init__(self, magnitude):
        self.magnitude = magnitude

    def to(self, unit):
        if unit != "mm":
            raise LookupError(f"no unit {unit}")
        return WithUnit(self.magnitude * 25.4)


class WithDoubt:
    """What a library of uncertainties hands out."""

    nominal_value, std_dev = 2.5, 0.1


def test_objects_of_other_libraries_are_taken_by_their_shape():
    assert units.convert(WithUnit(2.0), "mm") == 50.8
    np.testing.assert_array_equal(units.convert(WithUnit(np.array([1.0, 2.0])), "mm"), [25.4, 50.8])
    with pytest.raises(ew.UnitError, match="value cannot be had in 'g': .*no unit g"):
        units.convert(WithUnit(2.0), "g")
    mm = units.convert(WithDoubt(), "thou")
    assert (mm.value, mm.standard_uncertainty) == pytest.approx((0.0635, 0.00254))


# --- Headings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "name", "unit"),
    [
        ("Gap (thou)", "Gap", "thou"),
        ("Bore 1 [mm]", "Bore 1", "mm"),
        ("Weight, g", "Weight", "g"),
        ("Gap / thou", "Gap", "thou"),
        ("Torque Nm", "Torque", "N·m"),
        ("Torque lbf ft", "Torque", "lbf·ft"),
        ("Expansion (µm/(m·K))", "Expansion", "µm/(m·K)"),
    ],
)
def test_a_heading_says_its_unit(text, name, unit):
    header = units.header(text)
    assert (header.name, header.unit, header.note, header.text) == (name, unit, None, text)
    assert header.dimension == units.unit(unit).dimension


@pytest.mark.parametrize("note", ["front", "1", "F", "L", "min", "hundredths"])
def test_a_bracket_that_is_no_unit_is_a_note(note):
    header = units.header(f"Bore ({note})")
    assert (header.name, header.unit, header.note) == ("Bore", None, note)


@pytest.mark.parametrize("text", ["Bore 1", "Plug A", "Plug C", "Bore min", "Cylinder, 1", ""])
def test_a_name_is_never_taken_for_a_unit(text):
    header = units.header(text)
    assert (header.name, header.unit, header.dimension, header.note) == (text, None, None, None)


def test_a_note_behind_the_unit_loses_neither():
    header = units.header("Bore [mm] (front)")
    assert (header.name, header.unit, header.note) == ("Bore", "mm", "front")


def test_a_heading_of_another_dimension_is_refused():
    with pytest.raises(ew.UnitError, match="length, mass is wanted"):
        units.header("Mass (mm)", "mass")
    assert units.header("Load (lb)", "force").unit == "lbf"


@given(st.text(max_size=40))
def test_any_heading_has_a_name_or_an_answer(text):
    header = units.header(text)
    assert header.text == text
    assert (header.unit is None) == (header.dimension is None)


# --- Figures on paper --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (82.015, "length", "82.015 mm (3.2289 in)"),
        (0.0635, "length", "0.064 mm (2.5 thou)"),
        (41.2, "volume", "41.20 cc (2.514 in³)"),
        (453.59237, "mass", "453.6 g (16.00 oz)"),
        (100, "temperature", "100.0 °C (212 °F)"),
        (107.5, "angle", "107.50°"),
    ],
)
def test_a_value_is_shown_in_both_systems(value, dimension, text):
    assert units.show(value, dimension) == text


def test_one_system_or_other_decimals_are_shown_when_asked():
    assert units.show(82.015, "length", system="metric", digits=1) == "82.0 mm"
    assert units.show(82.015, "length", system="inch") == "3.2289 in"
    for wrong in ({"system": "imperial"}, {"digits": -1}, {"digits": 18}):
        with pytest.raises(ValueError, match=next(iter(wrong))):
            units.show(82.015, "length", **wrong)


@given(st.floats(-1e9, 1e9), st.integers(0, 12))
def test_figures_are_rounded_half_to_even_on_the_exact_binary_value(value, digits):
    shown = units.show(value, "length", system="metric", digits=digits).removesuffix(" mm")
    exact = Decimal(value).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_EVEN)
    assert Decimal(shown) == exact
    assert not (shown.startswith("-") and Decimal(shown) == 0)


def test_what_is_no_number_is_not_shown():
    for wrong in (math.nan, math.inf):
        with pytest.raises(ValueError, match="value must be a finite number"):
            units.show(wrong, "length")
    with pytest.raises(ew.UnitError, match="dimension must be one of"):
        units.show(1, "colour")


# --- Records and errors ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "record", [units.unit("psi"), units.parse("1/8 in"), units.header("Bore (front)")]
)
def test_records_are_equal_copied_pickled_and_listed(record):
    assert pickle.loads(pickle.dumps(record)) == record
    assert copy.deepcopy(record) == record
    assert hash(copy.copy(record)) == hash(record)
    assert list(record.as_dict()) == list(type(record).__match_args__)


def test_the_refusal_is_a_value_error_that_can_be_sent_to_another_process():
    assert issubclass(ew.UnitError, ValueError)
    assert ew.UnitError is units.UnitError
    sent = pickle.loads(pickle.dumps(ew.UnitError("no unit")))
    assert isinstance(sent, ew.UnitError)
    assert str(sent) == "no unit"


@pytest.mark.parametrize("name", units.__all__)
def test_every_public_name_explains_itself(name):
    text = getattr(units, name).__doc__
    assert text
    tests = doctest.DocTestParser().get_doctest(text, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner(verbose=False).run(tests).failed == 0
