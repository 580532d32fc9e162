"""Values typed in one go."""

from __future__ import annotations

import pytest

from asfound.core.refit.typed_value import TypedValue, read_value
from asfound.errors import Misused


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tightening 45 Nm page 6-12", TypedValue("tightening", "45 Nm", page="6-12")),
        ("45 Nm, p. 12", TypedValue("tightening", "45 Nm", page="12")),
        ("Gap 0.25 to 0.35 mm", TypedValue("gap", "0.25 to 0.35 mm")),
        ("end float 0.1 mm, limit 0.25 mm page 2-9", TypedValue("end float", "0.1 mm", "0.25 mm", "2-9")),
        ("order from the middle outward page 3", TypedValue("order", "from the middle outward", page="3")),
        ("stages 40 Nm, then 90 degrees", TypedValue("stages", "40 Nm, then 90 degrees")),
        ("preload 12 N", TypedValue("preload", "12 N")),
        ("wear limit 0.4 mm", TypedValue("wear", "", "0.4 mm")),
        ("reached 44 Nm by yard engineer", TypedValue("", "44 Nm", by_whom="yard engineer", is_reached=True)),
        ("measured gap 0.3 mm", TypedValue("gap", "0.3 mm", is_reached=True)),
    ],
)
def test_value_is_read_as_it_is_said(text: str, said: TypedValue):
    assert read_value(text) == said


@pytest.mark.parametrize("text", ["", "tightening", "page 6-12", "reached", "0.3 mm"])
def test_what_is_no_value_is_asked_back(text: str):
    with pytest.raises(Misused):
        read_value(text)
