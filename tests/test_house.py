"""The inside of the house: no module waits for itself through others, and a class name means one thing."""

from __future__ import annotations

import ast
from collections import defaultdict
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import grimp
import pytest

import asfound

SOURCE = Path(asfound.__file__).parent


def test_no_module_imports_itself_through_others():
    """Imports within functions and those for types alone count: a reader follows them all the same."""
    graph = grimp.build_graph("asfound", cache_dir=None)
    imports = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}

    try:
        list(TopologicalSorter(imports).static_order())
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


def test_class_names_stand_once():
    places: dict[str, list[str]] = defaultdict(list)
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(str(path.relative_to(SOURCE)))

    assert {name: where for name, where in places.items() if len(where) > 1} == {}
