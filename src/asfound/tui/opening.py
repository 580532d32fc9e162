"""Pictures opened for drawing, kept while they are likely to be looked at again. Used from worker threads."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from asfound.tui.service import Service

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

PREVIEW_PX = 1280
TILE_PX = 320
_KEPT = {"full": 3, "preview": 20, "tile": 240}


class OpenPictures:
    """Previews, tiles and full pictures as pyramids; the least recently used are let go."""

    def __init__(self, service: Service) -> None:
        self._service = service
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
        """Every pixel."""
        return self._open("full", picture_id)

    def _open(self, kind: str, picture_id: int) -> Pyramid:
        with self._lock:
            kept = self._kept[kind].get(picture_id)
        if kept is not None:
            return kept
        import cv2

        from asfound.output.cells.pyramid import Pyramid

        cv2.setNumThreads(1)
        picture = self._service.picture(picture_id).picture
        size = (float(picture.width_px), float(picture.height_px))
        if kind == "full":
            image = self._service.full_rgb(picture_id)
        else:
            image = self._service.preview_rgb(picture_id, TILE_PX if kind == "tile" else PREVIEW_PX)
        pyramid = Pyramid.build(image, size)
        with self._lock:
            self._kept[kind][picture_id] = pyramid
            while len(self._kept[kind]) > _KEPT[kind]:
                self._kept[kind].popitem(last=False)
        return pyramid
