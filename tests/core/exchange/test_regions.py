"""Pins as XMP regions: by the check values of the two standards, and read back by exiv2 (and ExifTool, where it is)."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pyexiv2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from asfound.core.exchange.regions import ImageRegion, regions_xmp
from asfound.output.copies import encode_copy

BOX = ImageRegion("17B", "17B", "bypass hose, thermostat", 0.35, 0.25, 0.2, 0.1)
"""4000 x 3000, box 1000, 600, 800, 300: MWG .35, .25, .2, .1; IPTC .25, .2, .2, .1 (sections 3.5 of the two standards,
worked out by hand; the same conversion as ExifTool's convert_regions)."""

POINT = ImageRegion("9", "9", "", 0.02, 0.98)


def read_back(packet: bytes) -> dict[str, str]:
    file = io.BytesIO()
    Image.fromarray(np.zeros((30, 40, 3), np.uint8)).save(file, "JPEG", xmp=packet)
    with pyexiv2.ImageData(file.getvalue()) as image:
        return {name.removeprefix("Xmp."): value for name, value in image.read_xmp().items()}


def test_a_box_counts_from_its_corner_in_one_standard_and_from_its_middle_in_the_other() -> None:
    found = read_back(regions_xmp([BOX], 4000, 3000))

    iptc = "iptcExt.ImageRegion[1]/Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:"
    mwg = "mwg-rs.Regions/mwg-rs:RegionList[1]/mwg-rs:Area/stArea:"
    assert [found[iptc + name] for name in ("rbX", "rbY", "rbW", "rbH")] == ["0.25", "0.2", "0.2", "0.1"]
    assert (found[iptc + "rbShape"], found[iptc + "rbUnit"]) == ("rectangle", "relative")
    assert [found[mwg + name] for name in ("x", "y", "w", "h")] == ["0.35", "0.25", "0.2", "0.1"]
    assert found[mwg + "unit"] == "normalized"


def test_a_point_is_a_circle_of_one_size_in_both() -> None:
    """IPTC counts a radius in the width, MWG a diameter in the shorter side: 2 x .02 x 4000 / 3000."""
    found = read_back(regions_xmp([POINT], 4000, 3000))

    boundary = "iptcExt.ImageRegion[1]/Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:"
    assert (found[boundary + "rbShape"], found[boundary + "rbRx"]) == ("circle", "0.02")
    assert float(found["mwg-rs.Regions/mwg-rs:RegionList[1]/mwg-rs:Area/stArea:d"]) == pytest.approx(0.053333, abs=1e-6)


def test_the_regions_say_of_what_size_of_picture_they_are_and_have_no_type() -> None:
    """MWG 2.0, 5.9: the types are Face, Pet, Focus and BarCode, and a tag is none of them."""
    found = read_back(regions_xmp([BOX, POINT], 4000, 3000))

    size = "mwg-rs.Regions/mwg-rs:AppliedToDimensions/stDim:"
    assert [found[size + name] for name in ("w", "h", "unit")] == ["4000", "3000", "pixel"]
    assert not any(name.endswith("mwg-rs:Type") for name in found)
    assert found["mwg-rs.Regions/mwg-rs:RegionList[2]/mwg-rs:Name"] == "9"


@given(name=st.text(min_size=1, max_size=40), x=st.floats(0, 1), y=st.floats(0, 1))
def test_whatever_a_person_wrote_the_packet_can_be_read(name: str, x: float, y: float) -> None:
    packet = regions_xmp([ImageRegion("1", name, name, x, y)], 400, 300)

    root = ET.fromstring(packet.decode("utf-8").split("?>", 1)[1].rsplit("<?xpacket", 1)[0])
    places = [float(one.text or "") for one in root.iter() if one.tag.endswith(("#}x", "#}y"))]
    assert places == pytest.approx([x, y], abs=1e-6)


@pytest.mark.skipif(shutil.which("exiftool") is None, reason="ExifTool is not installed")
def test_exiftool_reads_both(tmp_path: Path) -> None:
    path = tmp_path / "P1_0001.jpg"
    path.write_bytes(encode_copy(np.zeros((300, 400, 3), np.uint8), None, regions_xmp([BOX], 400, 300)))

    done = subprocess.run(["exiftool", "-json", "-struct", "-n", "-XMP:all", path], capture_output=True, check=True)

    [found] = json.loads(done.stdout)
    assert found["ImageRegion"][0]["RegionBoundary"] == {
        "RbShape": "rectangle", "RbUnit": "relative", "RbX": 0.25, "RbY": 0.2, "RbW": 0.2, "RbH": 0.1
    }  # fmt: skip
    assert found["RegionInfo"]["RegionList"][0]["Area"] == {
        "X": 0.35,
        "Y": 0.25,
        "W": 0.2,
        "H": 0.1,
        "Unit": "normalized",
    }
