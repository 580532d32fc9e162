"""Load every module of a folder, so that a new format, method or screen is found by being there."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import ModuleType


@cache
def load_folder(package: str, name: str) -> dict[str, object]:
    """Collect the value called `name` from every module of a package.

    Parameters
    ----------
    package : str
        Dotted name of the package, such as ``asfound.media.formats``.
    name : str
        The module-level name to take, such as ``FORMAT``.

    Returns
    -------
    dict
        Module name (last part) to value, in alphabetical order. Modules without the name, and modules whose name
        begins with an underscore, are passed over.
    """
    found: dict[str, object] = {}
    parent: ModuleType = importlib.import_module(package)
    for info in sorted(pkgutil.iter_modules(parent.__path__), key=lambda module: module.name):
        if info.name.startswith("_"):
            continue
        module = importlib.import_module(f"{package}.{info.name}")
        if hasattr(module, name):
            found[info.name] = getattr(module, name)
    return found
