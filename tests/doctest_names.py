"""Names that the examples of docstrings and of the README may use without an import."""

import pytest

import enginewright


@pytest.fixture(autouse=True)
def _names(doctest_namespace):
    doctest_namespace["ew"] = enginewright
