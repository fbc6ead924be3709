"""Values with their doubt, readings and verdicts, as a user meets them."""

import copy
import json
import math
import multiprocessing
import pickle
import subprocess
import sys

import mpmath
import numpy as np
import pytest
import scipy.stats
from enginewright._core.measure import _numerics as numerics
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

Quantity = ew.Quantity


def clearance():
    """A bore and a piston set from one ring."""
    ring = Quantity(82.0, 0.002, source="test ring 82")
    return ring + Quantity(0.015, 0.001), ring + Quantity(-0.03, 0.0015)


# --- The quantity and its sources ---------------------------------------------------------------


def test_a_common_ring_drops_out_of_a_clearance():
    # derived: JCGM 100:2008, 5.2.2, by hand
    bore, piston = clearance()
    gap = bore - piston
    assert gap.value == pytest.approx(0.045, abs=1e-12)
    assert gap.standard_uncertainty == pytest.approx(math.hypot(0.001, 0.0015), rel=1e-12)
    assert "test ring 82" not in gap.sources


def test_less_itself_a_quantity_is_exactly_nothing():
    bore, _ = clearance()
    nothing = bore - bore
    assert (nothing.value, nothing.standard_uncertainty, nothing.sources) == (0.0, 0.0, ())


def test_the_name_of_a_source_is_its_identity():
    first = Quantity(1.0, 0.1, source="same name")
    second = Quantity(2.0, 0.2, source="same name")
    assert first.correlation(second) == 1.0
    assert first.correlation(Quantity(2.0, 0.2, source="other name")) == 0.0
    assert first.correlation(Quantity(2.0, 0.2)) == 0.0


def test_other_degrees_of_freedom_under_a_known_name_are_refused():
    Quantity(1.0, 0.1, source="certificate 7", degrees_of_freedom=18)
    with pytest.raises(ValueError, match="degrees_of_freedom must be 18.0, as source"):
        Quantity(1.0, 0.1, source="certificate 7")
    with pytest.raises(ValueError, match="kind must be B, as source"):
        Quantity(1.0, 0.1, source="certificate 7", degrees_of_freedom=18, kind="A")


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"value": math.nan}, "value must be a finite number, got nan"),
        ({"value": [1.0, math.inf]}, "value must be a finite number, got inf (element 1"),
        ({"value": []}, "value must not be empty"),
        ({"value": 1.0, "standard_uncertainty": -1}, "standard_uncertainty must be at least 0"),
        (
            {"value": 1.0, "degrees_of_freedom": 0},
            "degrees_of_freedom must be at least 0.1, got 0.0",
        ),
        ({"value": 1.0, "kind": "C"}, "kind must be one of A, B; got 'C'"),
        ({"value": 1.0, "source": "#1"}, "source must be a name"),
        ({"value": [1.0, 2.0], "source": "a[1]"}, "source must be a name without a number"),
        ({"value": [1.0, 2.0], "standard_uncertainty": [0.1] * 3}, "shapes must fit together"),
    ],
)
def test_what_cannot_be_is_refused_by_name(arguments, text):
    with pytest.raises(ValueError) as refused:
        Quantity(**{"standard_uncertainty": 0.1, **arguments})
    assert text in str(refused.value)


def test_arrays_have_a_fresh_error_an_element_or_one_for_all():
    each = Quantity([1.0, 2.0, 3.0], 0.1, source="each bore")
    assert each[1].sources == ("each bore[1]",)
    assert each[1].correlation(Quantity(5.0, 0.3, source="each bore[1]")) == 1.0
    assert each[0].correlation(each[1]) == 0.0
    ring = Quantity([1.0, 2.0, 3.0], 0.1, source="one ring", common=True)
    assert ring[0].correlation(ring[1]) == pytest.approx(1.0)


def test_the_mean_keeps_the_ring_and_averages_the_rest():
    # derived: 24 bores, u^2 = ring^2 + own^2 / 24
    bores = Quantity(np.full(24, 86.0), 0.003) + Quantity(0.0, 0.002)
    mean = bores.mean()
    assert mean.variance == pytest.approx(0.002**2 + 0.003**2 / 24, rel=1e-12)
    assert bores.sum().variance == pytest.approx(24**2 * mean.variance, rel=1e-12)
    off = bores - mean
    assert off.variance == pytest.approx(np.full(24, 0.003**2 * 23 / 24), rel=1e-12)
    assert off.sum().standard_uncertainty == pytest.approx(0, abs=1e-12)
    assert np.mean(bores).variance == mean.variance


def test_rows_are_jobs_and_are_not_mixed():
    jobs = Quantity(np.ones((3, 4)), 0.1)
    assert jobs.mean(axis=-1).standard_uncertainty == pytest.approx(np.full(3, 0.05))
    for mixing in (
        lambda: jobs.mean(axis=0),
        lambda: jobs - jobs[0],
        lambda: jobs[1:] - jobs[:-1],
        lambda: jobs - jobs.mean(),
    ):
        with pytest.raises(ValueError, match="axis 0 must not be mixed"):
            mixing()
    wide = Quantity(np.ones(65), 0.1)
    with pytest.raises(ValueError, match="axis 0 must be at most 64 long"):
        wide - wide.mean()


def test_a_common_error_may_be_summed_along_any_axis():
    ring = Quantity(np.ones((3, 4)), 0.1, common=True)
    assert ring.sum(axis=0).standard_uncertainty == pytest.approx(np.full(4, 0.3))


def test_covariance_matrix_against_plain_algebra():
    # derived: J V J^T with numpy
    own = np.array([0.1, 0.2, 0.3])
    ring = 0.5
    q = Quantity([1.0, 2.0, 3.0], own) * Quantity(2.0, ring)
    jacobian = np.hstack([2.0 * np.eye(3), np.array([[1.0], [2.0], [3.0]])])
    expected = jacobian @ np.diag([*own**2, ring**2]) @ jacobian.T
    assert q.covariance() == pytest.approx(expected, rel=1e-12)
    assert q.covariance(q) == pytest.approx(np.diag(expected), rel=1e-12)


def test_welch_and_satterthwaite_uses_net_contributions():
    # derived: 5^4 / (3^4 / 4 + 4^4 / 9), JCGM 100:2008, G.4
    a = Quantity(0.0, 3.0, degrees_of_freedom=4, kind="A")
    b = Quantity(0.0, 4.0, degrees_of_freedom=9, kind="A")
    assert (a + b).degrees_of_freedom == pytest.approx(12.835139760410724, rel=1e-13)
    assert ((a + b) - b).degrees_of_freedom == pytest.approx(4.0)
    assert Quantity(1.0, 0.1).degrees_of_freedom == math.inf


def test_the_end_gauge_of_the_guide():
    # published: JCGM 100:2008, H.1.4 to H.1.6: 50.000 838 mm, 32 nm, U99 = 93 nm; half a nanometre,
    # and 1 nm for U99 because the print cuts the degrees of freedom to 16.
    standard = Quantity(50000623, 25, degrees_of_freedom=18)
    difference = (
        Quantity(215, 5.8, degrees_of_freedom=24, kind="A")
        + Quantity(0, 3.9, degrees_of_freedom=5)
        + Quantity(0, 6.7, degrees_of_freedom=8)
    )
    expansion = Quantity(1.15e-5, 1.2e-6)
    expansions = Quantity(0, 5.8e-7, degrees_of_freedom=50)
    temperature = Quantity(-0.1, 0.2) + Quantity(0, 0.35)
    temperatures = Quantity(0, 0.029, degrees_of_freedom=2)
    length = (
        standard + difference - standard * (expansions * temperature + expansion * temperatures)
    )
    assert length.value == pytest.approx(50000838, abs=0.5)
    assert length.standard_uncertainty == pytest.approx(32, abs=0.5)
    assert length.expanded(0.99) == pytest.approx(93, abs=1)
    largest = length.budget().rows[0]
    assert largest.contribution == pytest.approx(25, abs=0.5)


def test_a_budget_is_sorted_and_its_shares_are_all():
    total = Quantity(1.0, 0.1, source="budget b") - Quantity(1.0, 0.3, source="budget a")
    budget = total.budget(level=0.99)
    assert [row.source for row in budget.rows] == ["budget a", "budget b"]
    assert [row.contribution for row in budget.rows] == pytest.approx([-0.3, 0.1])
    assert sum(row.share for row in budget.rows) == pytest.approx(1.0)
    assert budget.expanded == pytest.approx(total.expanded(0.99))
    with pytest.raises(TypeError, match="index the array first"):
        Quantity([1.0, 2.0], 0.1).budget()


def test_coverage_of_an_interval():
    q = Quantity(10.0, 1.0, degrees_of_freedom=10)
    # from memory: JCGM 100:2008, table G.2: t95(10) = 2.23
    assert q.coverage_factor() == pytest.approx(2.23, abs=0.005)
    assert q.interval() == pytest.approx((10 - q.expanded(), 10 + q.expanded()))
    assert q.expanded(coverage_factor=2) == 2.0
    with pytest.raises(ValueError, match="level must be above 0 and below 1"):
        q.expanded(1.0)


@pytest.mark.parametrize(
    "value, u, text",
    [
        (82.0153, 0.00102, "82.0153 ± 0.0020 (95 %, k = 1.96)"),
        (82.0153, 0.0, "82.0153"),
        (45678.9, 63.0, "45680 ± 120 (95 %, k = 1.96)"),
        (1.0, 0.0508, "1.00 ± 0.10 (95 %, k = 1.96)"),
        (-0.00001, 0.05, "0.000 ± 0.098 (95 %, k = 1.96)"),
        (1e-20, 1e-22, "1.000e-20 ± 2.0e-22 (95 %, k = 1.96)"),
        (0.0, 1e-22, "0e+00 ± 2.0e-22 (95 %, k = 1.96)"),
        (-4e20, 1e19, "-4.00e+20 ± 2.0e+19 (95 %, k = 1.96)"),
    ],
)
def test_text_has_two_digits_of_doubt_and_the_value_to_the_same_place(value, u, text):
    assert str(Quantity(value, u)) == text


# --- Arithmetic and NumPy ------------------------------------------------------------------------


FUNCTIONS = ["sqrt", "exp", "log", "sin", "cos", "tan", "arcsin", "arccos", "arctan", "absolute"]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_functions_have_the_slope_of_the_function(name):
    # derived: derivative by mpmath
    names = {"arcsin": "asin", "arccos": "acos", "arctan": "atan", "absolute": "fabs"}
    exact = getattr(mpmath, names.get(name, name))
    function = getattr(np, name)
    for x in (0.05, 0.3, 0.8):
        for result in (
            function(Quantity(x, 0.01)),
            function(Quantity([x, x], 0.01))[1],
        ):
            assert result.value == pytest.approx(float(exact(x)), rel=1e-14)
            slope = abs(float(mpmath.diff(exact, x)))
            assert result.standard_uncertainty == pytest.approx(slope * 0.01, rel=1e-12)


@given(
    st.floats(0.1, 100),
    st.floats(0.1, 100),
    st.floats(1e-6, 1),
    st.floats(1e-6, 1),
    st.floats(-3, 3),
)
@settings(max_examples=60, deadline=None)
def test_arrays_and_scalars_agree(x, y, ux, uy, power):
    a, b = Quantity(x, ux), Quantity(y, uy)
    aa, bb = ew.measure.stack([a, b]), ew.measure.stack([b, b])
    for one, many in (
        (a + b, aa + bb),
        (a - b, aa - bb),
        (a * b, aa * bb),
        (a / b, aa / bb),
        (a**power, aa**power),
        (2 - a, 2 - aa),
        (1 / a, 1 / aa),
        (-a, -aa),
    ):
        assert many[0].value == pytest.approx(one.value, rel=1e-14, abs=1e-300)
        assert many[0].variance == pytest.approx(one.variance, rel=1e-12, abs=1e-300)
    assert (aa - bb)[1].standard_uncertainty == 0


def test_arrays_broadcast_like_plain_ones():
    rows = Quantity(np.arange(6.0).reshape(2, 3) + 1, 0.1)
    product = rows * np.array([1.0, 2.0, 3.0])
    assert product.shape == (2, 3)
    assert product.value == pytest.approx((np.arange(6.0).reshape(2, 3) + 1) * [1, 2, 3])
    assert product.standard_uncertainty[0] == pytest.approx([0.1, 0.2, 0.3])
    assert (np.array([1.0, 2.0, 3.0]) * rows)[1, 2].standard_uncertainty == pytest.approx(0.3)
    with pytest.raises(ValueError, match="shapes must fit together"):
        rows + np.ones(4)


def test_slices_keep_their_sources():
    q = Quantity(np.arange(10.0), 0.1, source="slice me")
    assert (q[2:5] - q[2:5]).standard_uncertainty == pytest.approx(np.zeros(3))
    assert q[2:5][0].sources == ("slice me[2]",)
    assert q[::-1][0].sources == ("slice me[9]",)
    assert q[q.value > 7].value.tolist() == [8.0, 9.0]
    assert len(q) == 10
    assert [each.value for each in q][:3] == [0.0, 1.0, 2.0]
    with pytest.raises(IndexError):
        q[10]
    with pytest.raises(TypeError, match="no length"):
        len(q[0])


@pytest.mark.parametrize(
    "senseless",
    [
        lambda q: q < 1,
        lambda q: q >= q,
        lambda q: bool(q),
        lambda q: np.ones(3) > q,
        lambda q: np.maximum(q, 1.0),
        lambda q: np.floor(q),
        lambda q: np.concatenate([q, q]),
        lambda q: np.add.reduce(q),
        lambda q: np.asarray(q),
        lambda q: float(q),
        lambda q: math.sqrt(q),
        lambda q: q + "1",
        lambda q: q + None,
        lambda q: q // 2,
        lambda q: 2**q,
        lambda q: q + True,
    ],
)
def test_nothing_drops_the_doubt_silently(senseless):
    for q in (Quantity(1.0, 0.1), Quantity([1.0, 2.0, 3.0], 0.1)):
        with pytest.raises(TypeError):
            senseless(q)


def test_order_points_to_the_verdict():
    with pytest.raises(TypeError, match="use measure.check"):
        Quantity(1.0, 0.1) < Quantity(2.0, 0.1)  # noqa: B015


def test_equality_is_identity():
    q = Quantity(1.0, 0.1)
    assert q == q
    assert q != Quantity(1.0, 0.1)
    assert len({q, q}) == 1


@pytest.mark.parametrize(
    "outside, text",
    [
        (lambda: Quantity(1.0, 0.1) / 0, "divisor must be other than 0"),
        (lambda: 1 / Quantity([1.0, 0.0], 0.1), "divisor must be other than 0, got 0.0 (element 1"),
        (lambda: np.log(Quantity(0.0, 0.1)), "value must be above 0"),
        (
            lambda: np.sqrt(Quantity([1.0, -1.0], 0.1)),
            "value must be at least 0, got -1.0 (element",
        ),
        (lambda: np.sqrt(Quantity(0.0, 0.1)), "edge"),
        (lambda: np.arcsin(Quantity(1.5, 0.1)), "value must be between -1 and 1"),
        (lambda: Quantity(-1.0, 0.1) ** 0.5, "exponent must be a whole number"),
        (lambda: Quantity(0.0, 0.1) ** -1, "exponent must be at least 0"),
        (lambda: Quantity(1e308, 0.1) * 10, "result must be a finite number, got inf"),
        (lambda: np.exp(Quantity(1000.0, 0.1)), "result must be a finite number, got inf"),
        (lambda: Quantity(1.0, 0.1) + math.nan, "must be a finite number, got nan"),
    ],
)
def test_outside_a_domain_is_refused(outside, text):
    with pytest.raises(ValueError) as refused:
        outside()
    assert text in str(refused.value)


def test_an_exact_value_may_stand_at_an_edge():
    assert np.sqrt(Quantity(0.0)).value == 0.0
    assert np.arccos(Quantity([1.0, 0.5])).standard_uncertainty.tolist() == [0.0, 0.0]


def test_values_cannot_be_written_to():
    q = Quantity([1.0, 2.0], 0.1)
    with pytest.raises(ValueError, match="read-only"):
        q.value[0] = 5.0


# --- Storage -------------------------------------------------------------------------------------


def test_json_keeps_what_quantities_share():
    bore, piston = clearance()
    own = bore * 1.0 + Quantity(0.0, 0.0005)
    document = {}
    texts = [json.dumps(q.as_dict()) for q in (bore, piston, own)]
    back = [Quantity.from_dict(json.loads(text), document) for text in texts]
    for i in range(3):
        for j in range(3):
            originals = (bore, piston, own)
            assert back[i].correlation(back[j]) == pytest.approx(
                originals[i].correlation(originals[j]), rel=1e-12
            )
    # The ring has a name and is the same ring everywhere; unnamed sources are strangers elsewhere.
    assert back[0].covariance(bore) == pytest.approx(0.002**2, rel=1e-12)
    again = Quantity.from_dict(bore.as_dict())
    assert again.covariance(back[0]) == pytest.approx(0.002**2, rel=1e-12)


def test_the_dict_of_a_quantity():
    q = Quantity(1.5, 0.25, source="dict source", degrees_of_freedom=7.5, kind="A")
    assert q.as_dict() == {
        "value": 1.5,
        "sources": [
            {
                "source": "dict source",
                "contribution": 0.25,
                "degrees_of_freedom": 7.5,
                "kind": "A",
                "common": True,
            }
        ],
    }
    each = Quantity([1.0, 2.0], [0.1, 0.2], source="dict family").as_dict()
    assert each["sources"] == [
        {
            "source": "dict family",
            "contribution": [0.1, 0.2],
            "degrees_of_freedom": None,
            "kind": "B",
            "common": False,
        }
    ]
    assert Quantity(1.0, 0.1).as_dict()["sources"][0]["source"].startswith("#")


def test_mixed_and_sliced_arrays_survive_storage():
    q = Quantity(np.arange(6.0).reshape(2, 3), 0.1, degrees_of_freedom=4) + Quantity(0, 0.2)
    document = {}
    whole = Quantity.from_dict(q.as_dict(), document)
    for part, kept in ((q[1, ::-1], whole[1, ::-1]), (q - q.mean(axis=-1)[:, None], None)):
        back = Quantity.from_dict(part.as_dict(), document)
        assert back.value.tolist() == part.value.tolist()
        assert back.variance == pytest.approx(part.variance, rel=1e-12)
        assert back.degrees_of_freedom == pytest.approx(part.degrees_of_freedom, rel=1e-12)
        if kept is not None:
            assert (back - kept).variance == pytest.approx(np.zeros(3), abs=1e-30)


@pytest.mark.parametrize(
    "written",
    [
        {},
        {"value": 1.0},
        {"value": None, "sources": []},
        {"value": 1.0, "sources": {}},
        {"value": [1.0, [2.0]], "sources": []},
        {"value": 1.0, "sources": [{"source": 3}]},
    ],
)
def test_a_dict_that_is_none_is_refused(written):
    with pytest.raises(ValueError, match="d must be a quantity as as_dict writes it"):
        Quantity.from_dict(written)


def test_copies_and_pickles_keep_their_sources():
    bore, piston = clearance()
    assert copy.copy(bore) is bore
    assert copy.deepcopy(bore).correlation(bore) == pytest.approx(1.0)
    back, other = pickle.loads(pickle.dumps((bore, piston)))
    assert (back - bore).standard_uncertainty == 0
    assert other.covariance(bore) == pytest.approx(0.002**2)
    column = Quantity([1.0, 2.0], 0.1)
    assert (pickle.loads(pickle.dumps(column)) - column).variance.tolist() == [0.0, 0.0]


def _from_another_process(_):
    unnamed = Quantity(1.0, 0.1)
    return unnamed, unnamed * 2, Quantity(1.0, 0.1, source="known everywhere")


def test_pickles_from_elsewhere_stay_apart_from_ours_and_together_among_themselves():
    ours = [Quantity(1.0, 0.1) for _ in range(50)]
    named = Quantity(3.0, 0.3, source="known everywhere")
    for method in ("fork", "spawn"):
        with multiprocessing.get_context(method).Pool(2) as pool:
            theirs = pool.map(_from_another_process, range(4), chunksize=1)
        for first, second, known in theirs:
            assert first.correlation(second) == pytest.approx(1.0)
            assert known.correlation(named) == pytest.approx(1.0)
            assert all(first.correlation(each) == 0 for each in ours)
        firsts = [first for first, _, _ in theirs]
        assert all(a.correlation(b) == 0 for i, a in enumerate(firsts) for b in firsts[:i])


# --- Quantities through functions of the library -------------------------------------------------


def test_the_very_first_source_of_a_process_is_one_like_any_other():
    script = """
import pickle, enginewright as ew
first = ew.Quantity([1.0, 2.0], 0.1, common=True)
both = first + ew.Quantity([0.0, 0.0], 0.2)
assert len(both.sources) == 2, both.sources
back = pickle.loads(pickle.dumps(first))
assert abs(back[0].correlation(first[0]) - 1) < 1e-12
"""
    ended = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert ended.returncode == 0, ended.stderr


def test_a_broadcast_function_carries_the_doubt_of_its_arguments():
    length = Quantity(100.0, 0.01, source="through length")
    warm = Quantity(30.0, 0.5, source="through warm")
    size = ew.measure.size_at(length, 11.5e-6, from_temperature=warm)
    # derived: the formula written with quantities
    exact = length / (1 + 11.5e-6 * (warm - 20.0))
    assert size.value == exact.value
    for source in (length, warm):
        assert size.covariance(source) == pytest.approx(exact.covariance(source), rel=1e-9)


def test_shared_sources_cancel_through_a_function():
    room = Quantity(26.0, 1.0, source="one room")
    size = ew.measure.size_at(100.0, 11.5e-6, from_temperature=room, to_temperature=room)
    assert size.standard_uncertainty == pytest.approx(0, abs=1e-12)


def test_arrays_of_quantities_go_through_a_function():
    lengths = Quantity([100.0, 50.0], [0.01, 0.02])
    sizes = ew.measure.size_at(lengths, 11.5e-6, from_temperature=[[20.0], [30.0]])
    assert sizes.shape == (2, 2)
    assert sizes.standard_uncertainty[0] == pytest.approx([0.01, 0.02], rel=1e-9)
    listed = ew.measure.size_at([lengths[0], lengths[1]], 11.5e-6, from_temperature=20.0)
    assert (listed - lengths).standard_uncertainty == pytest.approx([0, 0], abs=1e-9)


def test_an_argument_at_the_edge_is_looked_at_from_inside():
    # An expansion of exactly 0 may be uncertain, but not below 0.
    size = ew.measure.size_at(100.0, Quantity(0.0, 1e-6), from_temperature=30.0)
    assert size.standard_uncertainty == pytest.approx(100 * 10 * 1e-6, rel=1e-4)


@pytest.mark.parametrize("reading", [0.0, 0.05, 0.1, 0.2, 359.95, 360.0, 720.0])
def test_an_angle_read_near_the_mark_keeps_its_doubt(reading):
    angle = ew.balance.rotor_angle(Quantity(reading, 1.0), 0)
    assert angle.standard_uncertainty == pytest.approx(1.0)
    turned = ew.measure.propagate(lambda x: x % 360, Quantity(reading, 1.0))
    assert turned.standard_uncertainty == pytest.approx(1.0)


def test_the_next_row_of_a_table_is_no_doubt():
    # The tensile strength of a class changes at 16 mm; a nominal size does not feel its doubt.
    found = ew.fasteners.property_class("8.8", Quantity(16, 0.05))
    assert found.tensile_strength.standard_uncertainty == 0
    split = ew.balance.allocate_tolerance(100, 0, 100, Quantity(0.0, 1.0))
    assert split.plane_a.standard_uncertainty == 0


def test_no_doubt_is_told_from_an_infinite_slope():
    away = "must stand away from the edge where the slope is infinite"
    with pytest.raises(ValueError, match=f"depth {away}"):
        ew.crank_train.angle_at_depth(Quantity(0, 0.01), stroke=80.0, rod_length=140.0)
    with pytest.raises(ValueError, match=f"height_difference {away}"):
        ew.journals.index_error(Quantity(40, 0.1), 40.0)
    with pytest.raises(ValueError, match="where the slope of function is infinite"):
        ew.measure.propagate(lambda x: ew.journals.index_error(x, 40.0), Quantity(40, 0.1))


# --- Readings ------------------------------------------------------------------------------------


def test_a_reading_shows_what_was_seen():
    card = ew.measure.gauge("micrometer R1", resolution=0.001, calibration_uncertainty=0.002)
    found = ew.measure.reading([49.981, 49.983, 49.982, 49.981, 49.983], card)
    assert isinstance(found, Quantity)
    assert found.count == 5
    assert found.mean_indication == pytest.approx(49.982, abs=1e-12)
    # derived: standard deviation with n - 1, by numpy
    assert found.standard_deviation == pytest.approx(0.001, rel=1e-9)
    assert found.notes == ()
    assert "micrometer R1: certificate" in found.sources
    assert type(found - 1.0) is Quantity
    assert pickle.loads(pickle.dumps(found)).notes == ()
    assert found.as_dict()["count"] == 5


def test_resolution_stands_in_for_a_small_scatter():
    card = ew.measure.gauge("micrometer R2", resolution=0.01)
    same = ew.measure.reading([10.01, 10.01, 10.01], card)
    # published: JCGM 100:2008, F.2.2.1: resolution / sqrt(12)
    assert same.standard_uncertainty == pytest.approx(0.01 / math.sqrt(12), rel=1e-12)
    one = ew.measure.reading([10.01])
    assert one.notes == ("repeatability not assessed",)
    assert one.standard_uncertainty == 0
    assert one.standard_deviation is None


def test_the_record_gives_way_when_the_readings_stand_out():
    # derived: the critical ratio by scipy
    limit = math.sqrt(scipy.stats.f.ppf(0.99, 2, 30)) * 0.001
    card = ew.measure.gauge("micrometer R3", repeatability=0.001, repeatability_freedom=30)
    for factor, noted in ((0.999, False), (1.001, True)):
        spread = limit * factor
        found = ew.measure.reading([10 - spread, 10.0, 10 + spread], card)
        assert (found.notes != ()) is noted
        expected = spread if noted else 0.001
        assert found.standard_uncertainty == pytest.approx(expected / math.sqrt(3), rel=1e-9)


def test_permissible_error_counts_without_a_correction_only():
    plain = ew.measure.gauge("m R4", maximum_permissible_error=0.004)
    corrected = ew.measure.gauge("m R5", maximum_permissible_error=0.004, correction=-0.002)
    # derived: uniform distribution, JCGM 100:2008, 4.3.7
    assert ew.measure.reading([25.0], plain).standard_uncertainty == pytest.approx(
        0.004 / math.sqrt(3), rel=1e-12
    )
    found = ew.measure.reading([25.0], corrected)
    assert (found.value, found.standard_uncertainty) == (24.998, 0.0)
    same = ew.measure.gauge("m R6", maximum_permissible_error=0.004, same_place=True)
    first, second = (ew.measure.reading([25.0], same) for _ in range(2))
    assert (first - second).standard_uncertainty == 0
    first, second = (ew.measure.reading([25.0], plain) for _ in range(2))
    assert (first - second).standard_uncertainty > 0


def test_one_room_for_part_and_gauge_nearly_cancels():
    # derived: first order, |a_g - a_p| u(T) L
    card = ew.measure.gauge("m R7")
    room = Quantity(24.0, 0.5, source="room R7")
    found = ew.measure.reading([100.0], card, temperature=room, expansion=10.5e-6)
    assert found.standard_uncertainty == pytest.approx(1e-6 * 0.5 * 100, rel=1e-3)


def test_a_comparator_carries_its_master_and_its_zero():
    card = ew.measure.gauge("bore gauge R8", resolution=0.002)
    ring = Quantity(82.0, 0.001, source="ring R8")
    common = {"master": ring, "zero": [0.0, 0.004], "setting": "Monday"}
    bore = ew.measure.reading([0.012], card, **common)
    assert bore.value == pytest.approx(82.010, abs=1e-12)
    assert {"ring R8", "bore gauge R8: zero Monday"} < set(bore.sources)
    piston = ew.measure.reading([-0.030], card, **common)
    gap = bore - piston
    assert not {"ring R8", "bore gauge R8: zero Monday"} & set(gap.sources)
    # derived: two resolutions of one indication each
    assert gap.standard_uncertainty == pytest.approx(0.002 / math.sqrt(6), rel=1e-9)
    known = ew.measure.reading([0.012], card, master=82.0, zero=Quantity(0.002, 0.003))
    assert known.value == pytest.approx(82.010)


@pytest.mark.parametrize(
    "options, text",
    [
        ({"temperature": 32.0}, "expansion must be given"),
        ({"temperature": Quantity(20.0, 0.5)}, "expansion must be given"),
        ({"zero": 0.001}, "zero must be 0 mm without a master"),
        ({"temperature": -300.0, "expansion": 1e-5}, "temperature must be at least -273.15"),
        ({"temperature": 30.0, "expansion": 11.5}, "expansion must be between 0 and 0.001 1/K"),
        ({"master": -82.0}, "master must be above 0 mm"),
    ],
)
def test_a_reading_that_cannot_be_corrected_is_refused(options, text):
    with pytest.raises(ValueError) as refused:
        ew.measure.reading([10.0], **options)
    assert text in str(refused.value)


@pytest.mark.parametrize("readings", [[], [math.nan], [[1.0, 2.0]]])
def test_readings_are_a_list_of_finite_numbers(readings):
    with pytest.raises(ValueError, match="readings"):
        ew.measure.reading(readings)


@pytest.mark.parametrize(
    "card",
    [
        {"name": "", "resolution": 0.1},
        {"name": "g", "resolution": -0.1},
        {"name": "g", "coverage_factor": 0.0},
        {"name": "g", "repeatability": math.nan},
        {"name": "g", "calibration_freedom": 0.0},
    ],
)
def test_a_gauge_that_cannot_be_is_refused(card):
    with pytest.raises(ValueError, match="must be"):
        ew.measure.gauge(**card)


# --- Verdicts ------------------------------------------------------------------------------------


@given(
    st.floats(-20, 20),
    st.floats(0.05, 5),
    st.one_of(st.just(math.inf), st.floats(1, 200)),
    st.floats(0.1, 10),
)
@settings(max_examples=200, deadline=None)
def test_probability_against_scipy(value, u, freedom, half):
    # derived: scipy.stats.t and norm
    q = Quantity(value, u, degrees_of_freedom=freedom)
    found = ew.measure.check(q, -half, half)
    law = scipy.stats.norm if freedom == math.inf else scipy.stats.t(freedom)
    expected = law.cdf((half - value) / u) - law.cdf((-half - value) / u)
    assert found.probability == pytest.approx(expected, rel=1e-9, abs=1e-14)
    want = "within" if expected >= 0.95 else "outside" if expected <= 0.05 else "unproven"
    if abs(expected - 0.95) > 1e-9 and abs(expected - 0.05) > 1e-9:
        assert found.verdict == want
    if found.accept_upper is not None:
        at_edge = Quantity(found.accept_upper, u, degrees_of_freedom=freedom)
        assert ew.measure.check(at_edge, -half, half).probability == pytest.approx(0.95, abs=1e-9)
        assert found.accept_lower == pytest.approx(-found.accept_upper, abs=1e-12)


def test_the_guard_of_one_limit():
    # derived: the t quantile times u; by scipy's cdf, since its ppf was once good to 2e-11 only
    q = Quantity(9.0, 0.1, degrees_of_freedom=5)
    found = ew.measure.check(q, upper=10.0, level=0.9)
    assert scipy.stats.t.cdf(found.guard / 0.1, 5) == pytest.approx(0.9, rel=1e-12)
    assert found.accept_lower is None
    assert found.capability is None


def test_a_plain_number_is_judged_at_face_value():
    found = ew.measure.check(10.0, 10.0, 10.1)
    assert (found.verdict, found.probability, found.margin) == ("within", 1.0, 0.0)
    assert "no uncertainty stated, judged at face value" in found.reason
    assert ew.measure.check(9.99, 10.0, 10.1).verdict == "outside"
    # 2.5 thou in doubles may lie one bit off 0.0635 mm.
    assert ew.measure.check(np.nextafter(0.0635, 1), upper=0.0635).verdict == "within"


def test_arrays_in_arrays_out():
    q = Quantity([82.046, 82.048, 82.054], 0.002)
    found = ew.measure.check(q, upper=82.05)
    assert found.verdict.tolist() == ["within", "unproven", "outside"]
    assert found.margin.tolist() == pytest.approx([0.004, 0.002, -0.004], abs=1e-9)
    assert found[1].reason == "2.0 µm below the upper limit, the gauge needs 3.3 µm"
    each = ew.measure.check(82.0, lower=[81.0, 83.0], upper=None)
    assert each.verdict.tolist() == ["within", "outside"]
    for i, one in enumerate(found):
        assert one == ew.measure.check(q[i], upper=82.05)


def test_a_gauge_too_coarse_leaves_no_zone():
    # from memory: JCGM 106:2012, 7.5, oil viscosity: P = 0.66
    found = ew.measure.check(Quantity(13.6, 1.8), 12.5, 16.3)
    assert found.probability == pytest.approx(0.66, abs=0.005)
    assert (found.accept_lower, found.accept_upper, found.guard) == (None, None, None)
    assert "too coarse" in found.reason


def test_other_rules():
    q = Quantity(10.003, 0.002)
    expanded = ew.measure.check(q, lower=10.0, rule="expanded")
    # derived: U = 1.96 u
    assert expanded.guard == pytest.approx(1.959963984540054 * 0.002, rel=1e-12)
    assert expanded.verdict == "unproven"
    assert ew.measure.check(q, lower=10.0, rule="simple").verdict == "within"
    assert ew.measure.check(q, lower=10.0, rule="simple").guard == 0.0


def test_without_a_limit_nothing_is_judged():
    found = ew.measure.check(Quantity(82.0, 0.002))
    assert found.verdict == "unlimited"
    assert found.value == 82.0
    for field in ("side", "lower", "margin", "guard", "probability", "capability"):
        assert getattr(found, field) is None


@pytest.mark.parametrize(
    "options, text",
    [
        ({"lower": 2.0, "upper": 1.0}, "upper must be at least lower"),
        ({"lower": 1.0, "level": 0.5}, "level must be above 0.5 and below 1"),
        ({"lower": 1.0, "rule": "fair"}, "rule must be one of guarded, expanded, simple"),
        ({"lower": math.nan}, "lower must be a finite number"),
        ({"lower": [0.0, 2.0], "upper": 1.0}, "(element 1 of the arrays)"),
    ],
)
def test_impossible_questions_are_refused(options, text):
    with pytest.raises(ValueError) as refused:
        ew.measure.check(Quantity(1.0, 0.1), **options)
    assert text in str(refused.value)


def test_the_sentence_speaks_of_the_unit():
    q = Quantity(9.0, 0.5)
    assert ew.measure.check(q, lower=10.0, unit="g").reason == (
        "1.00 g below the lower limit, the gauge needs 0.822 g"
    )


# --- Stack and size ------------------------------------------------------------------------------


def test_a_stack_keeps_every_correlation():
    bore, piston = clearance()
    column = ew.measure.stack([bore, piston, bore - piston])
    assert column.covariance() == pytest.approx(
        np.array(
            [
                [a.covariance(b) for b in (bore, piston, bore - piston)]
                for a in (bore, piston, bore - piston)
            ]
        ),
        rel=1e-12,
    )
    with pytest.raises(ValueError, match="quantities must not be empty"):
        ew.measure.stack([])
    with pytest.raises(TypeError, match="quantities"):
        ew.measure.stack(5.0)


@given(st.floats(1, 500), st.floats(0, 1e-4), st.floats(-40, 400), st.floats(-40, 400))
@settings(max_examples=50, deadline=None)
def test_a_part_warmed_and_cooled_has_its_old_size(length, expansion, first, second):
    there = ew.measure.size_at(length, expansion, from_temperature=first, to_temperature=second)
    back = ew.measure.size_at(there, expansion, from_temperature=second, to_temperature=first)
    assert back == pytest.approx(length, rel=1e-14)


# --- Distributions against other libraries -------------------------------------------------------

RANDOM = np.random.default_rng(20)  # seed 20


def probabilities(count):
    small = 10.0 ** RANDOM.uniform(-12, math.log10(0.5), count)
    return np.where(RANDOM.random(count) < 0.5, small, 1 - small)


def freedoms(count, most=9.0):
    return 10.0 ** RANDOM.uniform(math.log10(0.5), most, count)


def test_normal_against_mpmath():
    for p in [*probabilities(100), 1e-300, 1e-100, 0.5 - 1e-9]:
        z = numerics.normal_quantile(p)
        with mpmath.workdps(40):
            miss = (mpmath.ncdf(z) - mpmath.mpf(float(p))) / mpmath.npdf(z) / z
        assert abs(miss) < 1e-13, p


def t_share(x, freedom):
    """P(T < x) to 40 digits for negative x, by the hypergeometric series."""
    x, freedom = mpmath.mpf(float(x)), mpmath.mpf(float(freedom))
    total = freedom + x * x
    return beta_share(freedom / 2, mpmath.mpf(1) / 2, freedom / total, x * x / total) / 2


def beta_share(a, b, x, y):
    """Regularised incomplete beta function to 40 digits."""
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(b, a, y, x)
    logarithm = (
        a * mpmath.log(x)
        + b * mpmath.log(y)
        + mpmath.loggamma(a + b)
        - mpmath.loggamma(a)
        - mpmath.loggamma(b)
    )
    return mpmath.exp(logarithm) / a * mpmath.hyp2f1(1, a + b, a + 1, x)


def test_t_against_mpmath():
    with mpmath.workdps(40):
        for p, freedom in zip(probabilities(150), freedoms(150), strict=True):
            x = numerics.t_quantile(p, freedom)
            assert math.copysign(1, x) == math.copysign(1, p - 0.5)
            low = min(p, 1 - p)
            exact = t_share(-abs(x), freedom)
            density = (t_share(-abs(x) * (1 - 1e-15), freedom) - exact) / (abs(x) * 1e-15)
            assert abs((exact - low) / (density * abs(x))) < 1e-12, (p, freedom)
            assert abs(numerics.t_cdf(-abs(x), freedom) / exact - 1) < 1e-12, (p, freedom)


def test_f_against_mpmath():
    with mpmath.workdps(40):
        for p, a, b in zip(probabilities(100), freedoms(100, 6), freedoms(100, 6), strict=True):
            x = numerics.f_quantile(p, a, b)
            if not 1e-280 < x < 1e280:
                continue
            total = mpmath.mpf(a) * mpmath.mpf(x) + mpmath.mpf(b)
            share = beta_share(
                mpmath.mpf(a) / 2, mpmath.mpf(b) / 2, mpmath.mpf(a) * x / total, b / total
            )
            assert abs(numerics.f_cdf(x, a, b) / share - 1) < 1e-11, (p, a, b)
            assert numerics.f_cdf(x, a, b) == pytest.approx(p, rel=1e-10)


def test_chi_square_against_scipy():
    # derived: scipy.stats.chi2 (its own error is near 1e-14 in this range)
    p, freedom = probabilities(300), freedoms(300, 5)
    x = numerics.chi_square_quantile(p, freedom)
    keep = x > 1e-280
    assert scipy.stats.chi2.cdf(x[keep], freedom[keep]) == pytest.approx(p[keep], rel=1e-11)
    assert numerics.chi_square_cdf(x[keep], freedom[keep]) == pytest.approx(p[keep], rel=1e-11)


def test_log_gamma_against_mpmath():
    for z in 10.0 ** RANDOM.uniform(-5, 9, 200):
        exact = mpmath.loggamma(z)
        assert abs(numerics.log_gamma(z) - exact) <= 1e-13 * max(1, abs(exact)), z
