"""Tables as pandas data frames; pandas is imported when one is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from enginewright._column import Column
    from enginewright._table import Table

__all__ = ["read_parquet", "to_pandas", "write_parquet"]


def _needed(module: str, purpose: str) -> Any:
    import importlib

    try:
        return importlib.import_module(module)
    except ImportError as error:
        package = module.partition(".")[0]
        raise ImportError(
            f"{purpose} needs {package}: pip install 'enginewright[frames]'"
        ) from error


def to_pandas(table: Table, categories: bool) -> Any:
    """Return a data frame with the columns of a table."""
    pandas = _needed("pandas", "to_pandas")
    series = {name: _series(pandas, table[name], categories) for name in table.columns}
    return pandas.DataFrame(series, index=pandas.RangeIndex(len(table)))


def _series(pandas: Any, column: Column, categories: bool) -> Any:
    if column.kind == "word" and categories:
        words = pandas.Index(list(column.words), dtype=_text_type(pandas))
        return pandas.Series(pandas.Categorical.from_codes(column.codes, categories=words))
    if column.kind in ("word", "text"):
        return pandas.Series(column.values, dtype=_text_type(pandas))
    if column.kind in ("count", "whole"):
        # Nullable whatever it holds: the type must not depend on whether something is missing.
        return pandas.Series(
            pandas.arrays.IntegerArray(column.values.copy(), column.missing.copy())
        )
    if column.kind == "truth":
        return pandas.Series(
            pandas.arrays.BooleanArray(column.values.copy(), column.missing.copy())
        )
    if column.kind == "date":
        return pandas.Series(column.values.astype("datetime64[s]"))
    if column.kind == "moment":
        return pandas.Series(np.array(column.values))
    return pandas.Series(np.array(column.values))


def _text_type(pandas: Any) -> Any:
    # From pandas 3 on text has a type of its own; before that it is object.
    if int(pandas.__version__.partition(".")[0]) >= 3:
        return pandas.StringDtype(na_value=np.nan)
    return object


def read_parquet(path: Any) -> Any:
    """Return what a parquet file holds, as something that streams."""
    return _needed("pyarrow.parquet", "read_parquet").read_table(path)


def write_parquet(table: Table, path: Any) -> None:
    """Write a table with its schema in the file's metadata, whole or not at all."""
    import io

    from enginewright._files import write_whole

    arrow = _needed("pyarrow", "write_parquet")
    parquet = _needed("pyarrow.parquet", "write_parquet")
    made = io.BytesIO()
    parquet.write_table(arrow.table(table), made, compression="zstd")
    write_whole(path, made.getvalue())
