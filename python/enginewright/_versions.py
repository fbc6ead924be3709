"""What a report of a fault needs to say about the machine."""

from __future__ import annotations

import importlib.metadata
import platform
import sys

_PACKAGES = (
    "numpy",
    "openpyxl",
    "jinja2",
    "matplotlib",
    "typst",
    "pandas",
    "pyarrow",
    "polars",
)


def show_versions() -> None:
    """Print the versions of the library, of Python and of the packages it may use.

    Examples
    --------
    >>> ew.show_versions()  # doctest: +ELLIPSIS
    enginewright ...
    """
    from enginewright._core import __version__

    print(f"enginewright {__version__}")
    print(f"python       {sys.version.split()[0]} on {platform.platform()}")
    for name in _PACKAGES:
        try:
            found = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            found = "not installed"
        print(f"{name:<12} {found}")
