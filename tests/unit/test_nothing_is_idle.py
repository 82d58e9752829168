"""Nothing in the program is there for its tests alone."""

import ast
import re
from collections import Counter
from pathlib import Path

import spreadload

ROOT = Path(spreadload.__file__).parent
# Called by others than ourselves, each with by whom.
CALLED_FROM_OUTSIDE = {"on_solution_callback": "OR-Tools, on every better plan"}
# A command, a validator or the like is called by the library that decorates it.
REGISTERED = re.compile(r"\.(command|callback)\(|validator\(")

Definition = ast.FunctionDef | ast.ClassDef


def definitions(body: list[ast.stmt]) -> list[Definition]:
    """Return functions, classes and methods of a module, one level into classes."""
    found: list[Definition] = []
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.append(node)
        if isinstance(node, ast.ClassDef):
            found += definitions(node.body)
    return found


def is_registered(node: Definition) -> bool:
    """Whether a decorator hands it to a library."""
    return any(REGISTERED.search(f"{ast.unparse(each)}(") for each in node.decorator_list)


def test_every_function_and_class_is_used_by_the_program() -> None:
    """A name that only tests speak of is an oracle, and oracles live in the tests."""
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in ROOT.rglob("*.py")}
    used: Counter[str] = Counter()
    for tree in trees.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Name):
                used[node.id] += 1
            elif isinstance(node, ast.Attribute):
                used[node.attr] += 1
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                # Annotations of what is imported for types only.
                used.update(re.findall(r"\w+", node.value) if len(node.value) < 100 else ())
    for page in (ROOT / "report" / "pages").iterdir():
        used.update(re.findall(r"\w+", page.read_text(encoding="utf-8")))
    idle = {
        f"{path.relative_to(ROOT)}: {node.name}"
        for path, tree in trees.items()
        for node in definitions(tree.body)
        if not used[node.name]
        and not node.name.startswith("__")
        and not is_registered(node)
        and node.name not in CALLED_FROM_OUTSIDE
    }
    assert idle == set()
