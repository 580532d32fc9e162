"""Which tags are a battery's earth lead, by their words, places and terminals."""

from __future__ import annotations

import pytest

from asfound.core.refit.earth_leads import find_earth_leads
from tests.core.log.makers import end, tag
from tests.scenario import load_sallow


def is_lead(kind: str, name: str, place: str = "", terminal: str = "") -> bool:
    one = tag(1, kind=kind, name=name)
    return find_earth_leads([one], [end(1, "A", place, terminal=terminal), end(1, "B", "hull")]) == [1]


@pytest.mark.parametrize(
    ("kind", "name", "place", "terminal"),
    [
        ("ground strap", "battery earth cable", "", ""),
        ("ground strap", "battery strap", "", ""),
        ("cable", "battery ground", "", ""),
        ("cable", "batt neg", "", ""),
        ("cable", "battery -ve", "", ""),
        ("cable", "battery minus lead", "", ""),
        ("cable", "neg cable", "", ""),
        ("cable", "batt -", "", ""),
        ("cable", "black cable (-)", "battery box", ""),
        ("cable", "black cable", "battery, minus post", ""),
        ("cable", "negative lead", "battery box", ""),
        ("cable", "thick black", "battery", "31"),
        ("wire", "bilge pump black", "batteries port", "B-"),
        ("cable", "thick red, earthed", "battery positive earth", ""),
    ],
)
def test_earth_lead_is_known_by_what_it_is(kind: str, name: str, place: str, terminal: str) -> None:
    """Names of the lead: common practice, no source. 31 and B-: DIN 72552 by secondary texts."""
    assert is_lead(kind, name, place, terminal)


@pytest.mark.parametrize(
    ("kind", "name", "place", "terminal"),
    [
        ("cable", "battery main cable to starter", "", ""),
        ("cable", "battery +ve", "battery", ""),
        ("cable", "batt pos, beside the neg", "battery", ""),
        ("cable", "main cable", "battery", "30"),
        ("ground strap", "hull bonding strap", "", ""),
        ("hose", "battery ground vent", "", ""),
        ("wire", "tacho earth", "instrument panel", "31"),
        ("wire", "gauge negative", "panel", ""),
        ("cable", "throttle cable", "lever", ""),
        ("wire", "battery-sensing wire", "alternator", ""),
    ],
)
def test_other_leads_are_not_taken_for_it(kind: str, name: str, place: str, terminal: str) -> None:
    """Names of leads: common practice, no source. 30 and 31: DIN 72552 by secondary texts."""
    assert not is_lead(kind, name, place, terminal)


def test_sallow_has_one() -> None:
    record = load_sallow()

    assert find_earth_leads(record.tags, record.ends) == [1]
