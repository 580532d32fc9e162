"""Pictures and clips with known content, made as the tests need them."""

from __future__ import annotations

import io
import struct
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image

RGB = NDArray[np.uint8]


def scene(width: int = 320, height: int = 240, seed: int = 0) -> RGB:
    """A picture with real content: broad shapes, edges, some grain. Different seeds look nothing like each other."""
    rng = np.random.default_rng(seed)
    broad = cv2.resize(rng.normal(0, 1, (6, 8, 3)), (width, height), interpolation=cv2.INTER_CUBIC) * 45 + 128
    fine = cv2.resize(rng.normal(0, 14, (height // 3 + 1, width // 3 + 1, 3)), (width, height))
    image = np.clip(broad + fine, 0, 255).astype(np.uint8)
    for _ in range(6):
        x, y = int(rng.integers(width)), int(rng.integers(height))
        colour = tuple(int(c) for c in rng.integers(0, 255, 3))
        cv2.circle(image, (x, y), int(rng.integers(8, 8 + width // 8)), colour, 4)
    return image


def exif_bytes(**fields: object) -> bytes:
    """Exif with the fields named: orientation, time, offset, fraction, digitized, make, model, focal_35mm."""
    exif = Image.Exif()
    main = {"orientation": 0x0112, "make": 0x010F, "model": 0x0110, "edited": 0x0132}
    inner = {"time": 0x9003, "digitized": 0x9004, "offset": 0x9011, "fraction": 0x9291, "focal_35mm": 0xA405}
    inside = exif.get_ifd(0x8769)
    for name, value in fields.items():
        if name in main:
            exif[main[name]] = value
        else:
            inside[inner[name]] = value
    return exif.tobytes()


def jpeg(image: RGB | None = None, *, exif: bytes = b"", quality: int = 90) -> bytes:
    return _saved(image, "JPEG", exif=exif, quality=quality)


def png(image: RGB | None = None, *, exif: bytes = b"") -> bytes:
    return _saved(image, "PNG", **({"exif": exif} if exif else {}))


def webp(image: RGB | None = None, *, exif: bytes = b"") -> bytes:
    return _saved(image, "WEBP", exif=exif, quality=90, method=0)


def tiff(image: RGB | None = None, *, exif: bytes = b"") -> bytes:
    return _saved(image, "TIFF", **({"exif": exif} if exif else {}))


def heic(image: RGB | None = None, *, exif: bytes = b"") -> bytes:
    file = io.BytesIO()
    heif = pillow_heif.from_pillow(Image.fromarray(scene() if image is None else image))
    heif.save(file, quality=80, exif=exif or None)
    return file.getvalue()


def dng(image: RGB | None = None, *, orientation: int = 1, thumbnail: bool = True) -> bytes:
    """A little-endian DNG: a thumbnail first, the preview below it, raw pixels that nobody should show."""
    preview = jpeg(image)
    small = np.full((16, 16, 3), 200, np.uint8).tobytes() if thumbnail else b""
    make, time = b"Fieldcam\0", b"2025:10:18 09:42:11\0"
    main = [
        (0x00FE, 4, 1, 1),
        (0x0100, 4, 1, 16),
        (0x0101, 4, 1, 16),
        (0x0102, 3, 1, 8),
        (0x0103, 3, 1, 1),
        (0x0106, 3, 1, 2),
        (0x010F, 2, len(make), "make"),
        (0x0111, 4, 1, "small"),
        (0x0112, 3, 1, orientation),
        (0x0115, 3, 1, 3),
        (0x0117, 4, 1, len(small)),
        (0x014A, 4, 2, "subs"),
        (0x8769, 4, 1, "exif"),
        (0xC612, 1, 4, 0x00000401),
    ]
    raw = [(0x00FE, 4, 1, 0), (0x0100, 4, 1, 8), (0x0101, 4, 1, 8), (0x0103, 3, 1, 1), (0x0106, 3, 1, 32803)]
    shown = [
        (0x00FE, 4, 1, 1),
        (0x0103, 3, 1, 7),
        (0x0106, 3, 1, 6),
        (0x0111, 4, 1, "preview"),
        (0x0117, 4, 1, len(preview)),
    ]
    inner = [(0x9003, 2, len(time), "time")]
    at, places = 8, {}
    for name, entries in (("main", main), ("raw", raw), ("shown", shown), ("exif", inner)):
        places[name], at = at, at + 6 + 12 * len(entries)
    places["subs"], at = at, at + 8
    chunks = {"make": make, "time": time, "small": small, "preview": preview}
    for name, chunk in chunks.items():
        places[name], at = at, at + len(chunk)
    out = b"II*\0" + struct.pack("<I", 8)
    for entries in (main, raw, shown, inner):
        out += struct.pack("<H", len(entries))
        for number, kind, count, value in entries:
            out += struct.pack("<HHII", number, kind, count, places[value] if isinstance(value, str) else value)
        out += struct.pack("<I", 0)
    out += struct.pack("<II", places["raw"], places["shown"])
    return out + b"".join(chunks.values())


def write_clip(
    path: Path,
    *,
    seconds: float = 2.0,
    rate: int = 10,
    size: tuple[int, int] = (320, 240),
    gop: int = 10,
    turn: int = 0,
    moving: bool = True,
    texts: dict[str, str] | None = None,
    blurred: frozenset[int] = frozenset(),
) -> list[RGB]:
    """Write a clip of a camera that moves over a big picture; gives the frames as they were before encoding.

    `turn` is the anticlockwise display rotation in degrees, as the container stores it.
    """
    width, height = size
    big = scene(width * 3, height * 2, seed=3)
    frames = []
    # Without the second flag a clip written as MP4 drops the keys that phones use.
    with av.open(str(path), "w", options={"movflags": "use_metadata_tags"} if texts else {}) as container:
        container.metadata.update(texts or {})
        stream = container.add_stream("libx264", rate=Fraction(rate))
        stream.width, stream.height, stream.pix_fmt, stream.gop_size = width, height, "yuv420p", gop
        stream.options = {"preset": "ultrafast", "crf": "18", "sc_threshold": "0"}
        if turn:
            stream.set_display_rotation(turn)
        for number in range(round(seconds * rate)):
            at = number / rate if moving else 0.0
            x = int((1 - np.cos(at / 5)) * width)
            y = int((1 - np.cos(at / 7)) * height / 2)
            image = np.ascontiguousarray(big[y : y + height, x : x + width])
            if number in blurred:
                image = cv2.GaussianBlur(image, (0, 0), 6)
            frames.append(image)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(image, format="rgb24")))
        container.mux(stream.encode())
    return frames


def likeness(first: RGB, second: RGB) -> float:
    """Mean absolute difference in grey levels; under 8 is the same picture recompressed."""
    assert first.shape == second.shape
    return float(np.abs(first.astype(int) - second.astype(int)).mean())


def _saved(image: RGB | None, kind: str, **options: object) -> bytes:
    file = io.BytesIO()
    Image.fromarray(scene() if image is None else image).save(file, kind, **options)
    return file.getvalue()
