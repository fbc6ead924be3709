"""Turn the comments of the public headers into docstrings for the extension.

Reads `///` comments above declarations and writes one header a module with a constant for each
documented name: `doc::rings::gap_at_bore`, `doc::measure::Quantity_expanded` for a member. The
bindings name these constants, so a missing comment is a compile error.

    python docstrings.py INCLUDE_FOLDER OUTPUT_FOLDER
"""

import re
import sys
from pathlib import Path

FIELD = re.compile(r'Field\{\s*"(\w+)",\s*"([^"]*)",\s*&[\w:]+,\s*((?:"[^"]*"\s*)+)\}', re.S)
ARGUMENT = re.compile(r"^(\w+(?:, \w+)*) {2,}(\S.*)$")


def declared_name(text: str) -> str | None:
    """Name of the thing that a declaration declares; None when it declares nothing of ours."""
    text = re.sub(r"\[\[\w+\]\]", " ", text)
    text = re.sub(r"template\s*<[^{;]*?>\s*(?=\w)", " ", text, count=1)
    if match := re.search(r"\b(?:struct|class|enum(?: class)?)\s+(\w+)", text):
        return match.group(1)
    if "(" in text:
        head = text.split("(")[0].split()
        return head[-1].lstrip("&*") if head else None
    if match := re.search(r"(\w+)\s*(?:=|\{|;|$)", text):
        return match.group(1)
    return None


def documented(lines: list[str]) -> dict[str, list[str]]:
    """Comment lines of each documented name; members are called Class_member."""
    found: dict[str, list[str]] = {}
    comment: list[str] = []
    scopes: list[str | None] = []
    position = 0
    while position < len(lines):
        line = lines[position].strip()
        if line.startswith("///") and not line.startswith("///<"):
            comment.append(line[3:].removeprefix(" ").rstrip())
            position += 1
            continue
        declaration = line
        if comment and line and not line.startswith("#"):
            while not re.search(r"[;{]", declaration) and position + 1 < len(lines):
                position += 1
                declaration += " " + lines[position].strip()
            name = declared_name(re.split(r"[;{]", declaration)[0])
            owner = next((s for s in reversed(scopes) if s), None)
            if name and name.isidentifier() and "namespace" not in declaration:
                found.setdefault(f"{owner}_{name}" if owner else name, comment)
        if line or not comment:
            comment = []
        kind = re.search(r"\b(?:struct|class)\s+(\w+)[^;(]*\{", declaration)
        code = re.sub(r'"(?:[^"\\]|\\.)*"|//.*', "", declaration)
        for mark in re.findall(r"[{}]", code):
            if mark == "{":
                scopes.append(kind.group(1) if kind else None)
                kind = None
            elif scopes:
                scopes.pop()
        position += 1
    return found


def fields_of(text: str) -> dict[str, list[tuple[str, str, str]]]:
    """Fields of each record: name, unit, meaning, read from its list."""
    found = {}
    for match in re.finditer(r"struct (\w+) \{(.*?)\n\};", text, re.S):
        rows = [
            (n, u, "".join(re.findall(r'"([^"]*)"', m)))
            for n, u, m in FIELD.findall(match.group(2))
        ]
        if rows:
            found[match.group(1)] = rows
    return found


def headed(title: str) -> list[str]:
    """Return a numpydoc heading."""
    return [title, "-" * len(title)]


def numpydoc(comment: list[str], fields: list[tuple[str, str, str]]) -> str:
    """Arrange a comment under the headings that numpydoc knows."""
    body: list[str] = []
    parameters: list[str] = []
    tail: dict[str, list[str]] = {"Raises": [], "Source": [], "Examples": []}
    into: list[str] = body
    for line in comment:
        argument = ARGUMENT.match(line)
        if line.startswith(">>>"):
            into = tail["Examples"]
            into.append(line)
        elif line.startswith("Source:"):
            into = tail["Source"]
            into.append(line.removeprefix("Source:").strip())
        elif line.startswith("Throws"):
            into = tail["Raises"]
            exception = "ValueError" if "invalid_argument" in line else "UnitError"
            rest = re.sub(r"^Throws [\w:]+[:,.]?\s*", "", line)
            into += [exception, "    " + (rest or "an impossible argument, by name, rule, value.")]
        elif argument and into in (body, parameters):
            into = parameters
            into += [argument.group(1), "    " + argument.group(2)]
        elif into is parameters and line.startswith("   "):
            into.append("    " + line.strip())
        elif not line and into is not tail["Examples"]:
            into = body
            into.append("")
        elif into is tail["Raises"]:
            into.append("    " + line.strip())
        elif into is parameters:
            into = body
            into.append(line)
        else:
            into.append(line)
    out = "\n".join(body).strip("\n")
    out = re.sub(r"\n{3,}", "\n\n", out)
    blocks = [out]
    if parameters:
        blocks.append("\n".join(headed("Parameters") + parameters))
    if fields:
        rows = [x for n, u, m in fields for x in (n, f"    {m}{', ' + u if u else ''}")]
        blocks.append("\n".join(headed("Attributes") + rows))
    for title, lines in tail.items():
        if lines:
            blocks.append("\n".join(headed(title) + lines).rstrip())
    return "\n\n".join(blocks) + "\n"


def literal(text: str) -> str:
    """Text as C++ raw string literals, cut so that no compiler's limit is met."""
    pieces = [text[i : i + 8000] for i in range(0, len(text), 8000)] or [""]
    return "\n".join(f'R"~doc~({piece})~doc~"' for piece in pieces)


def main(include: str, output: str) -> None:
    """Write one header of docstrings for each public header."""
    folder = Path(output)
    folder.mkdir(parents=True, exist_ok=True)
    for header in sorted(Path(include).glob("*.hpp")):
        # A large module keeps further rooms in a folder of its name.
        rooms = sorted((header.parent / header.stem).glob("*.hpp"))
        text = "\n".join(room.read_text(encoding="utf-8") for room in [header, *rooms])
        fields = fields_of(text)
        constants = [
            f"inline constexpr const char* {name} =\n"
            f"{literal(numpydoc(lines, fields.get(name, [])))};"
            for name, lines in documented(text.splitlines()).items()
        ]
        content = (
            "#pragma once\n\n"
            f"namespace enginewright::doc::{header.stem} {{\n\n"
            + "\n\n".join(constants)
            + f"\n\n}}  // namespace enginewright::doc::{header.stem}\n"
        )
        target = folder / header.name
        # Unchanged text keeps its time, so that nothing is compiled again for nothing.
        if not target.exists() or target.read_text(encoding="utf-8") != content:
            target.write_text(content, encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:3])
