"""What happened, in one typed line."""

from __future__ import annotations

import pytest

from asfound.core.log.happening import Happening, parse_happening
from asfound.errors import Misused


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("17 off bag 4 clip rusted", Happening(("17",), "off", bag="4", note="clip rusted")),
        ("17 off", Happening(("17",), "off")),
        ("17 came off, stiff, into bag B4", Happening(("17",), "off", bag="B4", note="stiff")),
        ("17 off back in place", Happening(("17",), "off", bag="back in place")),
        ("18, 19 and 20 on tight", Happening(("18", "19", "20"), "refitted", "tight")),
        ("18 by hand", Happening(("18",), "refitted", "by hand")),
        ("24a capped red bung", Happening(("24a",), "capped", note="red bung")),
        ("9 sent out to the injector shop", Happening(("9",), "sent out", note="to the injector shop")),
        ("17 off handbag of rags", Happening(("17",), "off", note="handbag of rags")),
        ("17 OFF Bag of bolts lost", Happening(("17",), "off", note="Bag of bolts lost")),
    ],
)
def test_line_is_read_field_by_field(line: str, read: Happening):
    assert parse_happening(line) == read


@pytest.mark.parametrize("line", ["", "17", "off", "hose is stiff", "17 stiff"])
def test_line_without_a_number_or_an_event_is_refused_with_an_example(line: str):
    with pytest.raises(Misused, match="17 off bag 4"):
        parse_happening(line)
