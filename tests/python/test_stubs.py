"""The committed types of the extension against the built module: names, order, defaults."""

import ast
import inspect
from pathlib import Path

import pytest

from enginewright import _core

STUB = Path(__file__).parent.parent.parent / "python" / "enginewright" / "_core.pyi"


def declared():
    """Functions of each submodule in the stub: name to list of (parameter, default or None)."""
    tree = ast.parse(STUB.read_text(encoding="utf-8"))
    found = {}
    for node in tree.body:
        if not isinstance(node, ast.ClassDef):
            continue
        for each in node.body:
            if isinstance(each, ast.FunctionDef):
                found[f"{node.name}.{each.name}"] = each.args
    return found


def parameters(args: ast.arguments):
    plain = [*args.posonlyargs, *args.args]
    if plain and plain[0].arg == "self":
        plain = plain[1:]
    gap = [None] * (len(plain) - len(args.defaults))
    listed = list(zip([a.arg for a in plain], [*gap, *args.defaults], strict=True))
    listed += [(a.arg, d) for a, d in zip(args.kwonlyargs, args.kw_defaults, strict=True)]
    return [(name, None if d is None else ast.unparse(d)) for name, d in listed]


def built():
    """Functions of the built extension that carry a readable signature."""
    for module_name in dir(_core):
        module = getattr(_core, module_name)
        if not inspect.ismodule(module):
            continue
        for name in dir(module):
            function = getattr(module, name)
            if inspect.isbuiltin(function) and function.__text_signature__:
                yield f"{module_name}.{name}", inspect.signature(function)


def test_the_stub_lists_every_function():
    names = {name for name, _ in built()}
    assert names
    missing = names - declared().keys()
    assert not missing, f"not in _core.pyi: {sorted(missing)}"


@pytest.mark.parametrize(
    "name, signature", list(built()), ids=lambda x: x if isinstance(x, str) else ""
)
def test_parameters_have_the_same_names_order_and_defaults(name, signature):
    wanted = [
        (p.name, None if p.default is p.empty else repr(p.default))
        for p in signature.parameters.values()
    ]
    assert parameters(declared()[name]) == wanted
