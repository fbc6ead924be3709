"""What a paper needs that is not installed: said in one line, with the command that gets it."""

from __future__ import annotations

import importlib
from types import ModuleType

__all__ = ["need"]


def need(module: str, purpose: str) -> ModuleType:
    """Import a module of the extra `shop`.

    Raises
    ------
    ImportError
        Naming what it is for and how to install it.
    """
    try:
        return importlib.import_module(module)
    except ImportError as missing:
        if missing.name is None or missing.name.partition(".")[0] != module.partition(".")[0]:
            raise
        raise ImportError(
            f"{purpose} needs {module}; install it with: pip install 'enginewright[shop]'",
            name=module,
        ) from None
