"""Pins handed to other programs as image regions: XMP beside the pictures, or in copies of them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from asfound.actions import views
from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures
from asfound.actions.progress import Progress, quiet
from asfound.actions.tag_card import TagCard, read_cards
from asfound.archive.atomic import save_bytes
from asfound.core.exchange.regions import ImageRegion, regions_xmp
from asfound.core.pins.numbering import sort_key
from asfound.errors import AsfoundError, Misused
from asfound.model.pictures import Picture
from asfound.model.tags import Pin
from asfound.store.pins import list_pins


@dataclass(frozen=True, slots=True)
class RegionReport:
    """What was written.

    Attributes
    ----------
    files : tuple of Path
        In the order in which the pictures were taken.
    pins : int
        Pins on all of them.
    left : mapping
        Pictures that got no file, with the reason.
    """

    files: tuple[Path, ...]
    pins: int
    left: dict[str, str]


def write_regions(
    archive: Archive, folder: Path, *, copies: bool = False, replace: bool = False, progress: Progress = quiet
) -> RegionReport:
    """Write the pins that a person made or confirmed; guesses are not handed on.

    Parameters
    ----------
    copies : bool
        Copies of the pictures, upright and with the regions in them, instead of files beside them.
    replace : bool
        Write over what has the name already.

    Raises
    ------
    Misused
        If there is no such folder.
    """
    if not folder.is_dir():
        raise Misused(f"There is no folder {folder}; make it first, or name another.")
    cards, by_picture = read_cards(archive), defaultdict(list)
    for pin in list_pins(archive.store, archive.job.job_id):
        by_picture[pin.picture_id].append(pin)
    some = [picture for picture in known_pictures(archive).values() if picture.picture_id in by_picture]
    files: list[Path] = []
    left: dict[str, str] = {}
    written = 0
    for done, picture in enumerate(some, 1):
        progress("writing regions", done, len(some))
        path = folder / _name(picture, files, copies=copies)
        if path.exists() and not replace:
            left[picture.file] = f"{path.name} is there already; write over it with --replace."
            continue
        pins = by_picture[picture.picture_id]
        try:
            save_bytes(path, _data(archive, picture, [_region(pin, cards[pin.tag_id]) for pin in pins], copies=copies))
        except (AsfoundError, OSError) as error:
            left[picture.file] = str(error)
            continue
        files.append(path)
        written += len(pins)
    return RegionReport(tuple(files), written, left)


def _data(archive: Archive, picture: Picture, regions: list[ImageRegion], *, copies: bool) -> bytes:
    ordered = sorted(regions, key=lambda region: sort_key(region.identity))
    packet = regions_xmp(ordered, picture.width_px, picture.height_px)
    if not copies:
        return packet
    from asfound.output.copies import encode_copy

    return encode_copy(views.load_rgb(views.source_of(archive, picture)), picture.taken_at, packet)


def _region(pin: Pin, card: TagCard) -> ImageRegion:
    tag = card.tag
    end = next((one for one in card.ends if one.end == pin.end), None)
    label = f"{card.label}{pin.end if tag.ends > 1 else ''}"
    place = f", {end.place}" if end is not None and end.place else ""
    return ImageRegion(
        label, label, f"{card.called}{place}", pin.x_frac, pin.y_frac, pin.w_frac, pin.h_frac
    )  # fmt: skip


def _name(picture: Picture, taken: list[Path], *, copies: bool) -> str:
    """The picture's own name, with its number where two pictures have one name."""
    ending = ".jpg" if copies else ".xmp"
    stem = Path(picture.file).stem if copies else picture.file
    name = f"{stem}{ending}"
    return name if name not in {path.name for path in taken} else f"{stem}_{picture.picture_id}{ending}"
