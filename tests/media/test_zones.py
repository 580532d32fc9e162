"""The system's time zone is told by its IANA name, or not at all: a made-up one would shift every picture."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from asfound.media import zones


@pytest.fixture(autouse=True)
def nothing_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A computer that tells nothing."""
    monkeypatch.delenv("TZ", raising=False)
    monkeypatch.setattr(zones, "TEXT", tmp_path / "timezone")
    monkeypatch.setattr(zones, "LINK", tmp_path / "localtime")


def test_computer_that_tells_nothing_has_no_zone():
    assert zones.read_system_zone() is None


@pytest.mark.parametrize("said", ["Europe/Amsterdam", ":Europe/Amsterdam"])
def test_variable_goes_first(monkeypatch: pytest.MonkeyPatch, said: str):
    zones.TEXT.write_text("Asia/Tokyo\n")
    monkeypatch.setenv("TZ", said)

    assert zones.read_system_zone() == "Europe/Amsterdam"


def test_file_then_link_tell_it(tmp_path: Path):
    zones.LINK.symlink_to("/usr/share/zoneinfo/America/New_York")
    assert zones.read_system_zone() == "America/New_York"

    zones.TEXT.write_text("Asia/Tokyo\n")
    assert zones.read_system_zone() == "Asia/Tokyo"


@pytest.mark.parametrize("said", ["", "CEST-1CEST", "/etc/localtime", "../../etc/passwd", "Nowhere/Town", "a\0b"[:1]])
def test_what_is_no_zone_is_passed_over_for_the_next_that_is(monkeypatch: pytest.MonkeyPatch, said: str):
    """POSIX rules such as CEST-1CEST are allowed in TZ, and ZoneInfo has none by that name."""
    monkeypatch.setenv("TZ", said)
    zones.LINK.symlink_to("/usr/share/zoneinfo/Europe/Oslo")

    assert zones.read_system_zone() == "Europe/Oslo"


def test_file_that_is_no_text_is_passed_over():
    zones.TEXT.write_bytes(b"\xff\xfe\0")
    zones.LINK.symlink_to("/usr/share/zoneinfo/Europe/Oslo")

    assert zones.read_system_zone() == "Europe/Oslo"


def test_whatever_is_told_here_can_be_used(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.undo()

    told = zones.read_system_zone()

    assert told is None or ZoneInfo(told).key == told
