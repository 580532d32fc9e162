"""What a dump costs per photo, beside plain loops. Run: python tests/bench/ingest.py [PHOTOS] [ROUNDS]

Processor time per generated 12-megapixel JPEG in alternating runs, so that a busy machine burdens all alike. Trust the
ratios. Columns: lean = this program's put + details + derive; plain = Pillow, imagehash.phash, exifread; plain with
copy = the same, which also copies, hashes and makes a working picture. Then HEIC, and clips per minute of 1080p30.
"""

from __future__ import annotations

import hashlib
import io
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import cv2
import exifread
import imagehash
import numpy as np
import pillow_heif
from PIL import Image

from asfound.archive.cache import put_cached
from asfound.archive.layout import Layout, make_layout
from asfound.archive.put import put_original
from asfound.media.clips import decode_frames, open_clip
from asfound.media.frames import pick_frames
from asfound.media.inspect import Inspection, inspect


def photo(seed: int) -> Image.Image:
    """12 megapixels that compress to about 3 MB, as a phone's do."""
    rng = np.random.default_rng(seed)
    image = cv2.resize(rng.normal(0, 1, (30, 40, 3)), (4032, 3024), interpolation=cv2.INTER_CUBIC) * 40 + 128
    image += cv2.resize(rng.normal(0, 22, (756, 1008, 3)), (4032, 3024))
    image += rng.normal(0, 2, (3024, 4032, 1))
    return Image.fromarray(np.clip(image, 0, 255).astype(np.uint8))


def write_photos(folder: Path, count: int) -> list[Path]:
    paths = []
    for seed in range(count):
        exif = Image.Exif()
        exif.get_ifd(0x8769)[0x9003] = f"2025:10:18 09:{seed % 60:02d}:11"
        path = folder / f"P1_{seed:04d}.jpg"
        photo(seed).save(path, quality=90, exif=exif.tobytes())
        paths.append(path)
    return paths


def write_clip(path: Path, gop: int) -> None:
    """A minute of 1080p30 at about 8 Mbit a second: a camera that moves over a big picture."""
    big = np.asarray(photo(1).resize((5760, 2160)))
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=Fraction(30))
        stream.width, stream.height, stream.pix_fmt, stream.gop_size = 1920, 1080, "yuv420p", gop
        stream.options = {"preset": "veryfast", "b": "8M", "maxrate": "10M", "bufsize": "10M", "sc_threshold": "0"}
        for number in range(1800):
            x = int(3839 * (0.5 - 0.5 * np.cos(number / 30 * 2 * np.pi / 20)))
            y = int(1079 * (0.5 - 0.5 * np.cos(number / 30 * 2 * np.pi / 33)))
            crop = np.ascontiguousarray(big[y : y + 1080, x : x + 1920])
            container.mux(stream.encode(av.VideoFrame.from_ndarray(crop, format="rgb24")))
        container.mux(stream.encode())


def lean(path: Path, layout: Layout) -> None:
    with open(path, "rb") as file:
        put = put_original(layout, file, ".jpg")
    found = inspect(Inspection(str(put.path), path.name, "Europe/Amsterdam"))
    assert found.derived is not None
    put_cached(layout, "preview", f"{put.digest_sha256}.jpg", found.derived.preview_jpeg)
    put_cached(layout, "thumb", f"{put.digest_sha256}.jpg", found.derived.thumbnail_jpeg)


def plain(path: Path, layout: Layout) -> None:
    with open(path, "rb") as file:
        exifread.process_file(file, details=False)
    imagehash.phash(Image.open(path))


def plain_with_copy(path: Path, layout: Layout) -> None:
    plain(path, layout)
    target = layout.originals / f"{hashlib.sha256(path.read_bytes()).hexdigest()}.plain"
    shutil.copy2(path, target)
    image = Image.open(path)
    image.thumbnail((1008, 1008), Image.Resampling.LANCZOS)
    image.save(layout.cache / "preview" / target.name, "JPEG", quality=85)


def cpu_ms(work: Callable[[], object]) -> float:
    begin = time.process_time()
    work()
    return (time.process_time() - begin) * 1000


def measure_jpegs(folder: Path, count: int, rounds: int) -> None:
    paths = write_photos(folder, count)
    print(f"{count} photos, mean {statistics.mean(p.stat().st_size for p in paths) / 1e6:.1f} MB, {rounds} rounds")
    ways = {"lean": lean, "plain": plain, "plain with copy": plain_with_copy}
    taken: dict[str, list[float]] = {name: [] for name in ways}
    for turn in range(rounds):
        for path in paths:
            for name, way in ways.items():
                layout = make_layout(folder / f"{name} {turn}")
                taken[name].append(cpu_ms(lambda way=way, path=path, layout=layout: way(path, layout)))
        for name in ways:
            shutil.rmtree(folder / f"{name} {turn}")
    lean_ms = statistics.mean(taken["lean"])
    print(f"{'way':20}{'CPU ms a photo':>16}{'times lean':>12}")
    for name, values in taken.items():
        print(f"{name:20}{statistics.mean(values):16.1f}{statistics.mean(values) / lean_ms:12.2f}")


def measure_heic(folder: Path, rounds: int) -> None:
    file = io.BytesIO()
    pillow_heif.from_pillow(photo(3)).save(file, quality=70)
    path = folder / "x.heic"
    path.write_bytes(file.getvalue())
    print(f"peak memory of a worker: JPEG {peak_mib(folder / 'P1_0000.jpg')} MiB, HEIC {peak_mib(path)} MiB")
    values = [cpu_ms(lambda: inspect(Inspection(str(path)))) for _ in range(rounds)]
    print(f"HEIC of {len(file.getvalue()) / 1e6:.1f} MB: {statistics.mean(values):.0f} CPU ms")


def peak_mib(path: Path) -> int:
    """Peak memory of a fresh process that inspects one file."""
    # Not getrusage: a child's figure begins with its parent's.
    program = (
        "import sys; from asfound.media.inspect import Inspection, inspect; inspect(Inspection(sys.argv[1]));"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    return int(subprocess.run([sys.executable, "-c", program, path], capture_output=True, check=True).stdout) // 1024


def measure_clips(folder: Path) -> None:
    for gop in (30, 250):
        path = folder / f"gop{gop}.mp4"
        write_clip(path, gop)
        picked: list[float] = []
        choosing = cpu_ms(lambda path=path, picked=picked: picked.extend(f.seconds for f in pick_frames(path)))
        with open_clip(path) as (container, stream):
            decoding = cpu_ms(lambda c=container, s=stream: sum(1 for _ in decode_frames(c, s)))
        size = path.stat().st_size / 1e6
        print(
            f"a minute of 1080p30, {size:.0f} MB, keyframe every {gop}: {len(picked)} frames chosen in "
            f"{choosing / 1000:.2f} CPU s; decoding it all {decoding / 1000:.2f} CPU s"
        )


if __name__ == "__main__":
    arguments = [int(word) for word in sys.argv[1:]]
    photos, turns = (arguments + [12, 3][len(arguments) :])[:2]
    cv2.setNumThreads(1)
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        measure_jpegs(place, photos, turns)
        measure_heic(place, 3)
        measure_clips(place)
