"""Small real files of every kind that is read, and ways to spoil them."""

from __future__ import annotations

import io
import json
import random
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path

import av
from PIL import Image

from tests.media import samples

Mutation = Callable[[random.Random, bytearray], None]
XMP = (
    b'http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF><rdf:Description '
    b'exif:DateTimeOriginal="2025-10-18T09:42:11+02:00"/></rdf:RDF></x:xmpmeta>'
)
TABLE = (
    "number;ends;kind;name;place a;place b;bag;off;note\n"
    '17;2;hose;bypass hose;heat exchanger;thermostat;B4;2025-10-18;"clamp rusted; replaced"\n'
    "112A;1;wire;starter cable;;;;2025-10-19 14:20;\n"
)
EXTREMES = (0, 1, 0x7F, 0x80, 0xFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF)


def seeds() -> dict[str, bytes]:
    """Name of a file and its bytes."""
    image = samples.scene(96, 72, 3)
    exif = samples.exif_bytes(time="2025:10:18 09:42:11", offset="+02:00", model="F1", orientation=6, focal_35mm=26)
    jpeg = samples.jpeg(image, exif=exif)
    with_xmp = jpeg[:2] + b"\xff\xe1" + (len(XMP) + 2).to_bytes(2, "big") + XMP + jpeg[2:]
    found = {
        "a.jpg": jpeg,
        "progressive.jpg": _saved(image, "JPEG", progressive=True, exif=exif),
        "xmp.jpg": with_xmp,
        "a.png": samples.png(image, exif=exif),
        "palette.png": _saved(image, "PNG", palette=True),
        "a.webp": samples.webp(image, exif=exif),
        "lossless.webp": _saved(image, "WEBP", lossless=True),
        "a.tif": samples.tiff(image, exif=exif),
        "packed.tif": _saved(image, "TIFF", compression="tiff_lzw"),
        "a.heic": samples.heic(image, exif=exif),
        "a.dng": samples.dng(image),
        "a.avif": _saved(image, "AVIF"),
        "a.mp4": _clip("mp4"),
        "a.mov": _clip("mov"),
        "tags.csv": TABLE.encode(),
        "first.json": json.dumps(
            {"stamp": [1, 2], "title": "Sallow", "rows": [["next", "", "Next", "look"]], "hints": [["a", "add"]],
             "bright": False}
        ).encode(),
    }  # fmt: skip
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as zipped:
        for name in ("a.jpg", "a.png", "a.heic"):
            zipped.writestr(f"DCIM/{name}", found[name])
    return found | {"a.zip": packed.getvalue()}


def spoil(rng: random.Random, data: bytes, others: list[bytes]) -> bytes:
    """One to four mutations of a file; mostly near its beginning, where headers are."""
    spoilt = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4))):
        if not spoilt:
            break
        rng.choice(MUTATIONS)(rng, spoilt)
    if rng.random() < 0.05:
        other = rng.choice(others)
        spoilt = spoilt[: _place(rng, spoilt)] + other[rng.randrange(len(other)) :]
    return bytes(spoilt)


def _place(rng: random.Random, data: bytearray) -> int:
    return rng.randrange(min(len(data), 600) if rng.random() < 0.6 else len(data))


def _flip(rng: random.Random, data: bytearray) -> None:
    for _ in range(rng.choice((1, 3, 20))):
        data[_place(rng, data)] ^= 1 << rng.randrange(8)


def _number(rng: random.Random, data: bytearray) -> None:
    size, at = rng.choice((1, 2, 4)), _place(rng, data)
    value = rng.choice(EXTREMES) & ((1 << 8 * size) - 1)
    data[at : at + size] = value.to_bytes(size, rng.choice(("big", "little")))


def _cut(rng: random.Random, data: bytearray) -> None:
    del data[rng.randrange(len(data)) :]


def _drop(rng: random.Random, data: bytearray) -> None:
    at = _place(rng, data)
    del data[at : at + rng.choice((1, 4, 64, 1000))]


def _double(rng: random.Random, data: bytearray) -> None:
    at = _place(rng, data)
    data[at:at] = data[at : at + rng.choice((1, 12, 200))] * rng.choice((1, 2, 50))


def _noise(rng: random.Random, data: bytearray) -> None:
    at, size = _place(rng, data), rng.choice((1, 8, 300))
    data[at : at + size] = rng.randbytes(size)


def _zero(rng: random.Random, data: bytearray) -> None:
    at, size = _place(rng, data), rng.choice((4, 64, 2000))
    data[at : at + size] = bytes(min(size, len(data) - at))


MUTATIONS: tuple[Mutation, ...] = (_flip, _flip, _number, _number, _cut, _drop, _double, _noise, _zero)


def _saved(image: samples.RGB, kind: str, *, palette: bool = False, **options: object) -> bytes:
    file = io.BytesIO()
    picture = Image.fromarray(image)
    (picture.quantize(16) if palette else picture).save(file, kind, **options)
    return file.getvalue()


def _clip(kind: str) -> bytes:
    with tempfile.TemporaryDirectory() as place:
        path = Path(place, f"clip.{kind}")
        samples.write_clip(path, seconds=1.0, size=(96, 64), turn=90, texts={"make": "Fieldcam"})
        with av.open(str(path)) as whole:
            assert whole.streams.video
        return path.read_bytes()
