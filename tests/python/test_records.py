"""What all records have in common, whatever the bench: derived, no outside source is needed."""

import copy
import pickle

import numpy as np
import pytest

from enginewright import _core, balance, fits, measure, rings


@pytest.fixture
def year():
    """Six rings in two rows."""
    return rings.second_ring(np.array([[0.40, 0.42, 0.44], [0.46, 0.48, 0.50]]), 0.55)


def test_every_record_is_of_one_kind(year):
    assert isinstance(year, _core.Record)
    assert isinstance(rings.gap_rules()[0], _core.Record)
    assert not isinstance(measure.Quantity(1.0), _core.Record)


def test_elements_rows_and_length_follow_the_columns(year):
    assert year.array_shape == (2, 3)
    assert len(year) == 2
    assert year[1, 2].array_shape == ()
    assert year[1, 2] == rings.second_ring(0.50, 0.55)
    assert [row.array_shape for row in year] == [(3,), (3,)]
    assert next(iter(year)) == year[0]
    assert year[:, 1].difference.tolist() == [
        year[0, 1].difference,
        year[1, 1].difference,
    ]


def test_a_single_record_refuses_what_only_columns_have(year):
    single = year[0, 0]
    for act in (len, iter, lambda each: each[0]):
        with pytest.raises(TypeError, match="a single record"):
            act(single)
    assert hash(single) == hash(rings.second_ring(0.40, 0.55))
    with pytest.raises(TypeError, match="a record of columns is not hashable"):
        hash(year)


def test_columns_come_back_from_a_pickle_and_copies_are_the_record_itself(year):
    back = pickle.loads(pickle.dumps(year))
    assert back == year
    assert back.difference.tolist() == year.difference.tolist()
    assert copy.copy(year) is year
    assert copy.deepcopy(year) is year
    assert year != year[0]
    assert year != "a text"


def test_a_quantity_before_a_figure_goes_with_its_element_and_into_a_pickle():
    gap = measure.stack([measure.Quantity(0.40, 0.01), measure.Quantity(0.45, 0.02)])
    found = rings.second_ring(gap, 0.55)
    assert found[1].difference.standard_uncertainty == pytest.approx(0.02)
    back = pickle.loads(pickle.dumps(found))
    assert back.difference.standard_uncertainty.tolist() == pytest.approx([0.01, 0.02])


def test_what_a_field_holds_comes_back_from_a_pickle():
    """Words, lists, lists of vectors, records in records, dicts, what is missing."""
    record = balance.BalanceRecord(planes=[0.0, 400.0], tolerance=20.0, name="Dunlin V-twin")
    record = record.with_run([30 + 4j, 12 - 3j], note="as found")
    records = [record, record.entries[0], fits.fit("50H7/g6"), *rings.gap_rules()]
    for each in records:
        assert pickle.loads(pickle.dumps(each)) == each


def test_a_record_inside_a_record_becomes_a_dict():
    inside = fits.fit("50H7/g6").as_dict()["hole"]
    assert isinstance(inside, dict)
    assert inside["upper"] == pytest.approx(50.025)  # ISO 286-2: 50 H7 is +0.025, 0


def test_a_constructor_names_what_is_missing_unknown_or_wrong():
    with pytest.raises(TypeError, match=r"GapRule\(\) needs the argument 'per_bore'"):
        rings.GapRule("road", "top")
    with pytest.raises(TypeError, match=r"GapRule\(\) has no argument 'colour'"):
        rings.GapRule("road", "top", 0.004, colour="red")
    with pytest.raises(TypeError, match="per_bore must be a number"):
        rings.GapRule("road", "top", "wide")


def test_a_record_of_results_cannot_be_made_by_hand():
    with pytest.raises(TypeError, match="No constructor"):
        rings.SecondRing()


def test_a_record_that_was_never_filled_says_so():
    empty = rings.GapRule.__new__(rings.GapRule)
    with pytest.raises(TypeError, match="never made"):
        _ = empty.duty


def test_attributes_are_read_only_and_carry_their_meaning():
    rule = rings.gap_rules()[0]
    with pytest.raises(AttributeError):
        rule.duty = "other"
    assert rings.GapRule.duty.__doc__
    assert rings.GapRule.units["least"] == "mm"
