"""Carries the docstrings of the built module into its stub, where editors look for them.

    python tests/stub_docstrings.py --write

writes them anew; ``test_docstrings.py`` asks that nothing is left to write. The module says them, the stub
repeats them.
"""

import ast
import inspect
import sys
from pathlib import Path
from textwrap import indent

from wholestep import _native

STUB = Path(__file__).parents[1] / "python" / "wholestep" / "_native.pyi"


def carried(stub: str) -> str:
    """The stub with the docstrings of what it declares."""
    lines = stub.splitlines()
    # From the last to the first, so that the places of those before stay as they are.
    for node, said in sorted(documented(ast.parse(stub)), key=lambda found: -found[0].lineno):
        body = node.body
        has_docstring = ast.get_docstring(node) is not None
        text = quoted(said, " " * (node.col_offset + 4))
        first = body[0]
        if has_docstring:
            lines[first.lineno - 1 : first.end_lineno] = text
        elif first.lineno == signature_end(node):
            # `def f(self) -> int: ...` on one line.
            at = first.lineno - 1
            lines[at : at + 1] = [lines[at].removesuffix(" ..."), *text]
        else:
            lines[first.lineno - 1 : first.lineno - 1] = text
    return "\n".join(lines) + "\n"


Documented = ast.ClassDef | ast.FunctionDef


def documented(module: ast.Module) -> list[tuple[Documented, str]]:
    """Every public class, method and function with its docstring; the first of several overloads has it."""
    found: list[tuple[Documented, str]] = []
    for node in module.body:
        if isinstance(node, (ast.ClassDef, ast.FunctionDef)):
            look(node, _native, found, set())
    return found


def look(node: Documented, owner: object, found: list[tuple[Documented, str]], seen: set[str]) -> None:
    if node.name.startswith("_") or node.name in seen:
        return
    seen.add(node.name)
    value = inspect.getattr_static(owner, node.name)
    if isinstance(value, (staticmethod, classmethod)):
        value = value.__func__
    said = inspect.cleandoc(value.__doc__ or "")
    if said:
        found.append((node, said))
    if isinstance(node, ast.ClassDef):
        inside: set[str] = set()
        for member in node.body:
            if isinstance(member, ast.FunctionDef):
                look(member, value, found, inside)


def signature_end(node: Documented) -> int:
    """The line on which the declaration ends, before its body."""
    if isinstance(node, ast.ClassDef):
        return node.lineno
    after = [node.lineno, *(part.end_lineno or 0 for part in ast.walk(node.args) if hasattr(part, "end_lineno"))]
    return max([*after, node.returns.end_lineno or 0] if node.returns else after)


def quoted(said: str, margin: str) -> list[str]:
    raw = "r" if "\\" in said else ""
    text = f'{raw}"""{said}"""' if "\n" not in said else f'{raw}"""{said}\n"""'
    return indent(text, margin).splitlines()


if __name__ == "__main__":
    new = carried(STUB.read_text(encoding="utf-8"))
    if "--write" in sys.argv:
        STUB.write_text(new, encoding="utf-8")
    else:
        print(new, end="")
