"""Tables to and from the frame libraries, through the Arrow stream and without it."""

import datetime as dt
import gc
import math
import os
import subprocess
import sys
import warnings

import duckdb
import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings
from table_samples import columns

import enginewright as ew

SAMPLE = {
    "job": ["J1", "J1", "J2"],
    "stage": ["as received"] * 3,
    "feature": ["bore", "bore", "main journal"],
    "number": [1, None, 3],
    "quantity": ["diameter"] * 3,
    "value": [86.04, math.nan, 59.97],
    "unit": ["mm"] * 3,
    "observation": [None, "scored", None],
    "date": [dt.date(2026, 3, 2), None, dt.date(1969, 12, 31)],
    "note": ["first", None, ""],
}


def sample():
    return ew.Readings(**SAMPLE)


def to_duckdb(table_here):
    return duckdb.sql("from table_here")


WAYS = {
    "pandas": lambda table: table.to_pandas(),
    "pandas as text": lambda table: table.to_pandas(categories=False),
    "pandas from arrow": lambda table: pd.DataFrame.from_arrow(table),
    "polars": lambda table: pl.DataFrame(table),
    "pyarrow": lambda table: pa.table(table),
    "pyarrow batches": lambda table: pa.table(table).to_reader(max_chunksize=2),
    "duckdb": to_duckdb,
    "arrays": lambda table: table.as_dict(),
}
if not hasattr(pd.DataFrame, "from_arrow"):
    del WAYS["pandas from arrow"]  # pandas before 3


@pytest.mark.parametrize("way", WAYS)
def test_readings_go_through_every_library_and_back(way):
    assert ew.Readings.from_frame(WAYS[way](sample())) == sample()


@pytest.mark.parametrize("way", WAYS)
def test_an_empty_and_a_sliced_table_go_through_every_library(way):
    assert ew.Readings.from_frame(WAYS[way](ew.Readings.empty())) == ew.Readings.empty()
    assert ew.Readings.from_frame(WAYS[way](sample()[1:])) == sample()[1:]


@pytest.mark.parametrize("way", sorted(set(WAYS) - {"arrays"}))
@given(given_columns=columns())
@settings(max_examples=40, deadline=None)
def test_any_readings_go_through_every_library_and_back(way, given_columns):
    readings = ew.Readings(**given_columns)
    again = ew.Readings.from_frame(WAYS[way](readings))
    for name in readings.columns:
        assert again[name].tolist() == readings[name].tolist(), name


@given(given_columns=columns(least=2))
@settings(max_examples=40, deadline=None)
def test_any_readings_come_from_frames_that_others_made(given_columns):
    wanted = ew.Readings(**given_columns)
    plain = {k: v for k, v in given_columns.items() if k != "shop flag"}
    for made in (
        pl.DataFrame(plain, strict=False, nan_to_null=True),
        pd.DataFrame(plain).astype({"job": "category", "axis": "category"}),
        pa.table(plain),
    ):
        found = ew.Readings.from_frame(made)
        for name in ("job", "number", "axis", "value", "date", "observation", "row"):
            assert found[name].tolist() == wanted[name].tolist(), (type(made), name)


def test_every_library_sees_the_schema_and_the_types():
    table = pa.table(sample())
    assert table.schema.metadata[b"schema"] == b"enginewright.readings/1"
    assert table.schema.field("job").type == pa.dictionary(pa.int32(), pa.string())
    assert table.schema.field("value").type == pa.float64()
    assert table.schema.field("number").type == pa.int32()
    assert table.schema.field("date").type == pa.date32()
    assert table.column("number").to_pylist() == [1, None, 3]
    table.validate(full=True)
    frame = pl.DataFrame(sample())
    assert frame.filter(pl.col("feature") == "bore").height == 2
    assert frame["value"].null_count() == 1
    counted = to_duckdb(sample()).filter("number is null").count("*").fetchall()
    assert counted == [(1,)]


def test_findings_limits_and_gauges_stream_too():
    limits = ew.Limits.read("examples/linnet/limits.toml")
    findings = ew.inspect(sample(), limits)
    assert pl.DataFrame(findings).height == len(findings)
    assert pa.table(findings).schema.metadata[b"schema"] == b"enginewright.findings/1"
    assert pa.table(findings).column("basis").to_pylist() == findings["basis"].tolist()
    assert pl.DataFrame(limits).height == len(limits)
    assert pa.table(ew.Gauges.read("examples/linnet/gauges.toml")).num_rows == 10


def test_types_of_a_data_frame_do_not_depend_on_what_it_holds():
    for categories in (True, False):
        full = sample().to_pandas(categories=categories).dtypes
        empty = ew.Readings.empty().to_pandas(categories=categories).dtypes
        assert [getattr(a, "name", a) for a in full] == [getattr(a, "name", a) for a in empty]


def test_float64_and_codes_of_int32_are_not_copied():
    value = pa.array([86.0, 86.1, 86.2])
    codes = pa.array(np.array([0, 1, 0], dtype=np.int32))
    table = pa.table({
        "job": pa.DictionaryArray.from_arrays(codes, pa.array(["J1", "J2"])),
        "stage": ["s"] * 3, "feature": ["bore"] * 3, "quantity": ["gap"] * 3, "unit": ["mm"] * 3,
        "value": value,
    })  # fmt: skip
    readings = ew.Readings.from_frame(table)
    assert np.shares_memory(readings["value"].values, value.to_numpy())
    assert np.shares_memory(readings["job"].codes, codes.to_numpy())
    sliced = ew.Readings.from_frame(table.slice(1))
    assert np.shares_memory(sliced["value"].values, value.to_numpy())
    assert sliced["value"].tolist() == [86.1, 86.2]
    assert sliced["job"].tolist() == ["J2", "J1"]


def test_batches_with_dictionaries_of_their_own_are_merged_by_word():
    def batch(jobs, values):
        return pa.record_batch({
            "job": pa.array(jobs).dictionary_encode(), "stage": pa.array(["s"] * len(jobs)),
            "feature": pa.array(["bore"] * len(jobs)), "quantity": pa.array(["gap"] * len(jobs)),
            "unit": pa.array(["mm"] * len(jobs)), "value": pa.array(values, pa.float64()),
            "number": pa.array(range(1, len(jobs) + 1), pa.int64()),
        })  # fmt: skip

    table = pa.Table.from_batches([batch(["A", "B"], [1, 2]), batch(["B", "C", "A"], [3, 4, 5])])
    readings = ew.Readings.from_frame(table)
    assert readings["job"].words == ("A", "B", "C")
    assert readings["job"].tolist() == ["A", "B", "B", "C", "A"]
    assert readings["value"].tolist() == [1, 2, 3, 4, 5]


def frame_of(**more):
    given = {
        "job": ["J1"] * 3, "stage": ["s"] * 3, "feature": ["bore"] * 3, "number": [1, 2, 3],
        "quantity": ["gap"] * 3, "value": [1.0, 2.0, 3.0], "unit": ["mm"] * 3,
    }  # fmt: skip
    return pa.table({**given, **more})


@pytest.mark.parametrize(
    ("column", "written", "type_said"),
    [
        ("value", pa.array(["1", "2", "3"]), "column value must hold numbers, got utf8"),
        ("value", pa.array([True, False, True]), "column value must hold numbers, got bool"),
        ("value", pa.array(np.array([1, 2, 3], np.float16)),
         "column value has a type that is not taken, float16"),
        ("value", pa.array([1, 2, 3], pa.decimal128(5, 2)),
         "column value has a type that is not taken, decimal"),
        ("job", pa.array([1.0, 2.0, 3.0]), "column job must hold words, got float64"),
        ("note", pa.array([[1], [2], [3]]), "column note has a type that is not taken, list"),
        ("date", pa.array([1, 2, 3]), "column date must hold dates, got int64"),
        ("shop", pa.array([{"a": 1}] * 3), "column shop has a type that is not taken, struct"),
        ("shop", pa.array([b"x"] * 3), "column shop has a type that is not taken, binary"),
        ("shop", pa.array([dt.time(1)] * 3), "column shop has a type that is not taken, time"),
    ],
)  # fmt: skip
def test_a_type_that_is_not_taken_is_refused_by_column_and_type(column, written, type_said):
    with pytest.raises(TypeError) as caught:
        ew.Readings.from_frame(frame_of(**{column: written}))
    assert str(caught.value) == type_said


@pytest.mark.parametrize("index_type", [pa.int8(), pa.uint8(), pa.int16(), pa.uint32(), pa.int64()])
@pytest.mark.parametrize("text_type", [pa.string(), pa.large_string(), pa.string_view()])
def test_every_way_to_write_words_is_taken(index_type, text_type):
    words = pa.array(["Größe", "a text of more than twelve letters"], text_type)
    codes = pa.array([1, None, 0], index_type)
    plain = pa.array(["a text of more than twelve letters", None, "Größe"], text_type)
    for written in (pa.DictionaryArray.from_arrays(codes, words), plain):
        found = ew.Readings.from_frame(frame_of(axis=written, note=written))
        assert found["axis"].tolist() == ["a text of more than twelve letters", None, "Größe"]
        assert found["note"].tolist() == found["axis"].tolist()


@pytest.mark.parametrize("unit", ["s", "ms", "us", "ns"])
def test_timestamps_become_dates_and_are_carried_where_they_are_not_ours(unit):
    moments = pa.array([dt.datetime(2026, 3, 2, 23, 59), None, dt.datetime(1969, 12, 31, 1)],
                       pa.timestamp(unit))  # fmt: skip
    readings = ew.Readings.from_frame(frame_of(date=moments, seen=moments))
    assert readings["date"].tolist() == [dt.date(2026, 3, 2), None, dt.date(1969, 12, 31)]
    assert pa.table(readings).column("seen").to_pylist() == moments.to_pylist()


def test_columns_of_the_shops_own_pass_through_untouched():
    zoned = pa.array([1, None, 3], pa.timestamp("us", "Europe/London"))
    given = {
        "shop count": pa.array([2**62, None, -1]), "shop small": pa.array([1, 2, 3], pa.int8()),
        "shop flag": pa.array([True, None, False]), "shop text": pa.array(["", None, "x"]),
        "shop mark": pa.array(["red", None, "red"]).dictionary_encode(),
        "shop time": zoned, "shop number": pa.array([1.5, None, math.nan]),
        "shop nothing": pa.nulls(3), "shop day": pa.array([1, None, 3], pa.date32()),
    }  # fmt: skip
    out = pa.table(ew.Readings.from_frame(frame_of(**given)))
    for name, column in given.items():
        found, wanted = out.column(name).to_pylist(), column.to_pylist()
        if name == "shop number":
            assert found[:2] == wanted[:2]
            assert math.isnan(found[2])
        else:
            assert found == wanted, name
    assert out.schema.field("shop time").type == zoned.type


@pytest.mark.parametrize("way", sorted(set(WAYS) - {"arrays"}))
def test_thousands_of_rows_come_in_several_batches(way):
    rows = 10_000
    readings = ew.Readings(
        job=[f"J{i // 100}" for i in range(rows)], stage="s", feature="bore", quantity="gap",
        number=np.arange(rows) % 100 + 1, value=np.arange(rows, dtype=float), unit="mm",
        axis=[None if i % 7 == 0 else "xyz"[i % 3] for i in range(rows)],
        uncertainty=np.where(np.arange(rows) % 5, 0.1, np.nan),
        note=[None if i % 11 == 0 else f"a note of row {i}" for i in range(rows)],
    )  # fmt: skip
    assert ew.Readings.from_frame(WAYS[way](readings)) == readings


def test_frames_in_chunks_come_as_one_table():
    parts = [sample()[i : i + 1] for i in range(3)]
    polars = pl.concat([pl.DataFrame(part) for part in parts], rechunk=False)
    arrow = pa.concat_tables([pa.table(part) for part in parts])
    assert arrow.column("value").num_chunks == 3
    assert ew.Readings.from_frame(polars) == sample()
    assert ew.Readings.from_frame(arrow) == sample()


def test_the_index_of_a_data_frame_is_no_column():
    frame = sample().to_pandas()
    part = frame[frame["feature"] == "bore"]
    assert ew.Readings.from_frame(part).columns == sample().columns
    named = frame.set_index("job")
    assert ew.Readings.from_frame(named)["job"].tolist() == ["J1", "J1", "J2"]


def test_a_column_of_nan_is_missing_whatever_it_should_hold():
    frame = sample().to_pandas(categories=False)
    frame["engine"] = np.nan
    frame["note"] = np.nan
    frame["number"] = [1.0, np.nan, 3.0]
    readings = ew.Readings.from_frame(frame)
    assert readings["engine"].missing.all()
    assert readings["note"].missing.all()
    assert readings["number"].tolist() == [1, None, 3]


def test_infinity_in_a_frame_is_refused_with_its_row():
    with pytest.raises(ValueError, match=r"value must be a finite number, got inf \(row 2\)"):
        ew.Readings.from_frame(frame_of(value=[1.0, 2.0, math.inf]))


def test_mixed_objects_are_read_column_by_column():
    frame = sample().to_pandas(categories=False)
    frame["job"] = pd.Series([2041, "J1", "J2"], dtype=object)
    assert ew.Readings.from_frame(frame)["job"].tolist() == ["2041", "J1", "J2"]
    frame["value"] = pd.Series([1.0, "two", 3.0], dtype=object)
    with pytest.raises(TypeError, match=r"column value must hold numbers, got str \(row 1\)"):
        ew.Readings.from_frame(frame)


def test_a_newer_schema_and_another_table_are_refused():
    table = pa.table(sample()).replace_schema_metadata({"schema": "enginewright.readings/2"})
    with pytest.raises(ValueError, match="written by a newer version of this program"):
        ew.Readings.from_frame(table)
    with pytest.raises(ValueError, match="schema must be enginewright.readings/1"):
        ew.Readings.from_frame(ew.Findings.empty())
    with pytest.raises(ValueError, match="schema must be enginewright.findings/1"):
        ew.Findings.from_frame(sample())


@pytest.mark.parametrize("given", [None, 3, "readings", [1, 2]])
def test_what_is_no_table_at_all_is_refused(given):
    with pytest.raises(TypeError, match="readings must be a table, a data frame"):
        ew.Readings.from_frame(given)


def test_a_stream_that_was_read_before_is_refused():
    class Spent:
        def __arrow_c_stream__(self, requested_schema=None):
            return self.capsule

    spent = Spent()
    spent.capsule = pa.table(sample()).__arrow_c_stream__()
    assert ew.Readings.from_frame(spent) == sample()
    with pytest.raises(ValueError, match="stream must not have been read before"):
        ew.Readings.from_frame(spent)


def test_a_stream_that_breaks_off_says_why():
    def batches():
        yield pa.table(sample()).to_batches()[0]
        raise OSError("disk is gone")

    reader = pa.RecordBatchReader.from_batches(pa.table(sample()).schema, batches())
    with pytest.raises(RuntimeError, match="disk is gone"):
        ew.Readings.from_frame(reader)


def test_parquet_keeps_readings_and_their_schema(tmp_path):
    path = tmp_path / "jobs.parquet"
    sample().write_parquet(path)
    assert ew.Readings.read_parquet(path) == sample()
    assert pq.read_schema(path).metadata[b"schema"] == b"enginewright.readings/1"
    newer = pa.table(sample()).replace_schema_metadata({"schema": "enginewright.readings/9"})
    pq.write_table(newer, path)
    with pytest.raises(ValueError, match="newer version"):
        ew.Readings.read_parquet(path)


def test_no_buffer_is_left_behind():
    def round_trip():
        readings = ew.Readings.from_frame(frame_of())
        again = ew.Readings.from_frame(pa.table(readings))
        del readings
        with pytest.raises(TypeError):
            ew.Readings.from_frame(frame_of(value=pa.array(["1", "2", "3"])))
        return len(again)

    round_trip()
    gc.collect()
    before = pa.total_allocated_bytes()
    for _ in range(50):
        round_trip()
    gc.collect()
    assert pa.total_allocated_bytes() == before


def test_a_stream_outlives_its_table():
    stream = sample().__arrow_c_stream__()
    gc.collect()

    class Held:
        def __arrow_c_stream__(self, requested_schema=None):
            return stream

    assert pa.table(Held()).column("number").to_pylist() == [1, None, 3]


def test_a_stream_that_nobody_reads_is_let_go():
    value = np.arange(1.0, 101.0)
    before = sys.getrefcount(value)
    readings = ew.Readings(job="J1", stage="s", feature="bore", quantity="gap", unit="mm",
                           value=value, number=np.arange(1, 101))  # fmt: skip
    readings.__arrow_c_stream__()
    readings.__arrow_c_schema__()
    del readings
    gc.collect()
    assert sys.getrefcount(value) == before


def test_pandas_without_pyarrow_is_read_column_by_column():
    code = """
import sys
sys.modules["pyarrow"] = None
import numpy as np, pandas as pd, enginewright as ew
frame = pd.DataFrame({"job": ["J1", "J1", None or "J2"], "stage": "s", "feature": "bore",
    "quantity": "diameter", "value": [1.0, np.nan, 3.0], "unit": "mm",
    "observation": [None, "scored", None],
    "number": pd.array([1, None, 3], dtype="Int64"),
    "date": pd.to_datetime(["2026-03-02 10:00", None, "1969-12-31 23:00"]).tz_localize("UTC"),
    "axis": pd.Categorical(["x", None, "y"]), "shop": [True, False, True]})
readings = ew.Readings.from_frame(frame)
print(readings["job"].tolist(), readings["number"].tolist(), readings["axis"].tolist(),
      [str(d) for d in readings["date"].tolist()], readings["value"].missing.tolist(),
      readings["shop"].tolist())
assert ew.Readings.from_frame(readings.to_pandas()) == readings
assert ew.Readings.from_frame(readings.to_pandas(categories=False)) == readings
"""
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, env=os.environ
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.strip() == (
        "['J1', 'J1', 'J2'] [1, None, 3] ['x', None, 'y'] "
        "['2026-03-02', 'None', '1969-12-31'] [False, True, False] [True, False, True]"
    )


def test_dask_partitions_are_pandas_frames():
    import dask.dataframe as dd

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        frame = dd.from_pandas(sample().to_pandas(categories=False), npartitions=2)
        parts = [ew.Readings.from_frame(part.compute()) for part in frame.partitions]
    assert sum(len(part) for part in parts) == 3
