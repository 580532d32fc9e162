"""Pictures opened for drawing, kept while they are likely to be looked at again. Used from worker threads."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from asfound.actions import views
from asfound.actions.archive import Archive, SharedArchive
from asfound.actions.views import RgbImage
from asfound.model.pictures import Picture
from asfound.store.pictures import get_picture

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

PREVIEW_PX = 1280
TILE_PX = 320
_KEPT = {"full": 3, "preview": 20, "tile": 240}
_LONGEST_PX = {"full": None, "preview": PREVIEW_PX, "tile": TILE_PX}


class OpenPictures:
    """Previews, tiles and full pictures as pyramids; the least recently used are let go."""

    def __init__(self, shared: SharedArchive) -> None:
        self._shared = shared
        self._kept: dict[str, OrderedDict[int, Pyramid]] = {kind: OrderedDict() for kind in _KEPT}
        self._lock = Lock()

    def at_hand(self, picture_id: int) -> Pyramid | None:
        """The best that is open already, without any work."""
        with self._lock:
            for kind in ("full", "preview"):
                if picture_id in self._kept[kind]:
                    self._kept[kind].move_to_end(picture_id)
                    return self._kept[kind][picture_id]
        return None

    def has_full(self, picture_id: int) -> bool:
        with self._lock:
            return picture_id in self._kept["full"]

    def tile_at_hand(self, picture_id: int) -> Pyramid | None:
        with self._lock:
            return self._kept["tile"].get(picture_id)

    def open_tile(self, picture_id: int) -> Pyramid:
        """A very small picture, for sheets of many."""
        return self._open("tile", picture_id)

    def open_preview(self, picture_id: int) -> Pyramid:
        """A quick picture, in pixels of the full one."""
        return self._open("preview", picture_id)

    def open_full(self, picture_id: int) -> Pyramid:
        """Open every pixel of a picture, as displayed."""
        return self._open("full", picture_id)

    def _open(self, kind: str, picture_id: int) -> Pyramid:
        with self._lock:
            kept = self._kept[kind].get(picture_id)
        if kept is not None:
            return kept
        import cv2

        from asfound.output.cells.pyramid import Pyramid

        cv2.setNumThreads(1)
        picture = get_picture(self._shared.here.store, picture_id)
        size = (float(picture.width_px), float(picture.height_px))
        pyramid = Pyramid.build(load_pixels(self._shared.here, picture, _LONGEST_PX[kind]), size)
        with self._lock:
            self._kept[kind][picture_id] = pyramid
            while len(self._kept[kind]) > _KEPT[kind]:
                self._kept[kind].popitem(last=False)
        return pyramid


def load_pixels(archive: Archive, picture: Picture, longest_px: int | None) -> RgbImage:
    """A picture as displayed, all its pixels or, from the cache, so many along its longer side."""
    from asfound.media.thumbnails import decode_jpeg

    source = views.source_of(archive, picture)
    if longest_px is None:
        return views.load_rgb(source)
    return decode_jpeg(views.load_preview(archive, source), longest_px)
