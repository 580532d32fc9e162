"""What to call a camera: by what its pictures say, or by how their names begin."""

from __future__ import annotations

import re

_PREFIX = re.compile(r"([A-Za-z][A-Za-z0-9]{0,7}?)(?:[_\-. ]|\d{3,})")


def name_camera(make: str, model: str, file_name: str) -> str:
    """Make and model in one; without them the letters that the file's name begins with; empty when there are none.

    Examples
    --------
    >>> name_camera("Fieldcam", "Fieldcam F1", "x.jpg"), name_camera("", "", "K1_0016.jpg")
    ('Fieldcam F1', 'K1')
    """
    if model.casefold().startswith(make.casefold()):
        make = ""
    name = f"{make} {model}".strip()
    if name:
        return name
    stem = _stem(file_name)
    found = _PREFIX.match(stem)
    return found[1].upper() if found and any(c.isdigit() for c in stem) else ""


def _stem(file_name: str) -> str:
    """A file name without its suffix."""
    return file_name.rpartition(".")[0] or file_name
