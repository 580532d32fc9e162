"""Pins as image regions in XMP, in both forms that programs read.

References
----------
IPTC Photo Metadata Standard 2019.1, Image Region (`Iptc4xmpExt:ImageRegion`): a rectangle's x and y are its top left
corner, a circle's its centre; relative units. Metadata Working Group, Guidelines for Handling Image Metadata 2.0
(2010), 5.9 (`mwg-rs`): x and y are the centre of every area. Both count from the top left of the picture. Programs
disagree whether that is the stored or the displayed picture; with a copy that is stored upright there is no question.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
XML = "http://www.w3.org/XML/1998/namespace"
DC = "http://purl.org/dc/elements/1.1/"
IPTC = "http://iptc.org/std/Iptc4xmpExt/2008-02-29/"
MWG = "http://www.metadataworkinggroup.com/schemas/regions/"
AREA = "http://ns.adobe.com/xmp/sType/Area#"
DIM = "http://ns.adobe.com/xap/1.0/sType/Dimensions#"
META = "adobe:ns:meta/"

_PREFIXES = {
    "rdf": RDF, "dc": DC, "Iptc4xmpExt": IPTC, "mwg-rs": MWG, "stArea": AREA, "stDim": DIM, "x": META,
}  # fmt: skip

POINT_RADIUS = 0.02
"""Radius of the circle that a point becomes, as a share of the picture's width."""

_HEAD = b'<?xpacket begin="\xef\xbb\xbf" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
_FOOT = b'\n<?xpacket end="w"?>'


@dataclass(frozen=True, slots=True)
class ImageRegion:
    """A named place on a picture as displayed; fractions from the top left.

    Attributes
    ----------
    identity : str
        Tells it from the others of its picture: "17B".
    x_frac, y_frac : float
        The point, or the centre of the box.
    w_frac, h_frac : float or None
        The box, None for a point.
    """

    identity: str
    name: str
    description: str
    x_frac: float
    y_frac: float
    w_frac: float | None = None
    h_frac: float | None = None


def regions_xmp(regions: Sequence[ImageRegion], width_px: int, height_px: int) -> bytes:
    """An XMP packet with the regions of an upright picture, UTF-8.

    Parameters
    ----------
    width_px, height_px : int
        Size of the picture as displayed, to which the MWG regions say that they apply.
    """
    for prefix, uri in _PREFIXES.items():
        ET.register_namespace(prefix, uri)
    root = ET.Element(f"{{{META}}}xmpmeta")
    said = ET.SubElement(ET.SubElement(root, f"{{{RDF}}}RDF"), f"{{{RDF}}}Description", {f"{{{RDF}}}about": ""})
    bag = ET.SubElement(ET.SubElement(said, f"{{{IPTC}}}ImageRegion"), f"{{{RDF}}}Bag")
    for region in regions:
        _iptc(bag, region)
    mwg = _struct(said, f"{{{MWG}}}Regions")
    size = _struct(mwg, f"{{{MWG}}}AppliedToDimensions")
    _texts(size, DIM, {"w": str(width_px), "h": str(height_px), "unit": "pixel"})
    listed = ET.SubElement(ET.SubElement(mwg, f"{{{MWG}}}RegionList"), f"{{{RDF}}}Bag")
    for region in regions:
        _mwg(listed, region, width_px, height_px)
    packet: bytes = ET.tostring(root, encoding="utf-8")
    return _HEAD + packet + _FOOT


def _iptc(bag: ET.Element, region: ImageRegion) -> None:
    one = _item(bag)
    boundary = _struct(one, f"{{{IPTC}}}RegionBoundary")
    if region.w_frac is None or region.h_frac is None:
        shape, place = "circle", {"rbX": region.x_frac, "rbY": region.y_frac, "rbRx": POINT_RADIUS}
    else:
        left, top = region.x_frac - region.w_frac / 2, region.y_frac - region.h_frac / 2
        shape, place = "rectangle", {"rbX": left, "rbY": top, "rbW": region.w_frac, "rbH": region.h_frac}
    numbers = {name: _number(value) for name, value in place.items()}
    _texts(boundary, IPTC, {"rbShape": shape, "rbUnit": "relative", **numbers})
    _texts(one, IPTC, {"rId": region.identity})
    names = ET.SubElement(ET.SubElement(one, f"{{{IPTC}}}Name"), f"{{{RDF}}}Alt")
    ET.SubElement(names, f"{{{RDF}}}li", {f"{{{XML}}}lang": "x-default"}).text = _clean(region.name)
    if region.description:
        told = ET.SubElement(ET.SubElement(one, f"{{{DC}}}description"), f"{{{RDF}}}Alt")
        ET.SubElement(told, f"{{{RDF}}}li", {f"{{{XML}}}lang": "x-default"}).text = _clean(region.description)


def _mwg(listed: ET.Element, region: ImageRegion, width_px: int, height_px: int) -> None:
    """Without a type: the standard knows faces, pets, focus and bar codes, and a tag is none of these."""
    one = _item(listed)
    texts = {"Name": region.name, "Description": region.description}
    _texts(one, MWG, {name: _clean(text) for name, text in texts.items() if text})
    area = _struct(one, f"{{{MWG}}}Area")
    place = {"x": region.x_frac, "y": region.y_frac}
    if region.w_frac is not None and region.h_frac is not None:
        place |= {"w": region.w_frac, "h": region.h_frac}
    else:
        # A diameter counts in the shorter side of the picture (5.9).
        place |= {"d": 2 * POINT_RADIUS * width_px / min(width_px, height_px)}
    _texts(area, AREA, {**{name: _number(value) for name, value in place.items()}, "unit": "normalized"})


def _struct(parent: ET.Element, name: str) -> ET.Element:
    return ET.SubElement(parent, name, {f"{{{RDF}}}parseType": "Resource"})


def _item(bag: ET.Element) -> ET.Element:
    return ET.SubElement(bag, f"{{{RDF}}}li", {f"{{{RDF}}}parseType": "Resource"})


def _texts(parent: ET.Element, namespace: str, texts: dict[str, str]) -> None:
    for name, text in texts.items():
        ET.SubElement(parent, f"{{{namespace}}}{name}").text = text


def _number(value: float) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _clean(text: str) -> str:
    """Without what XML 1.0 cannot hold."""
    return "".join(one for one in text if one in "\t\n\r" or (ord(one) >= 32 and not 0xD800 <= ord(one) <= 0xDFFF
                   and one not in "\ufffe\uffff"))  # fmt: skip
