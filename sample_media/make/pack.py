"""Last step, without the renderer: clips from their frames, one picture as HEIC, everything copied to its place.

python -m make.pack WORK OUT     (needs pillow, pillow-heif and av)
"""

import argparse
import datetime as dt
import json
import shutil
import struct
from pathlib import Path

import av
import pillow_heif
from PIL import Image

RATE = 26  # constant rate factor of the clips


def clip(entry, frames, out):
    """H.264 file from JPEG frames. One kind keeps the moment with its offset, the other only UTC in its header."""
    turned, when = entry["rotation"] == 90, dt.datetime.fromisoformat(entry["creation_time"])
    kind = out.suffix[1:]
    box = av.open(str(out), "w", format=kind, options={"movflags": "faststart" + ("+use_metadata_tags" if kind == "mov" else "")})
    box.metadata["creation_time"] = when.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.000000Z")
    if entry["creationdate_key"]:
        box.metadata["com.apple.quicktime.creationdate"] = when.strftime("%Y-%m-%dT%H:%M:%S%z")
    stream = box.add_stream("libx264", rate=entry["fps"])
    stream.width, stream.height = (entry["height"], entry["width"]) if turned else (entry["width"], entry["height"])
    stream.pix_fmt, stream.options = "yuv420p", {"crf": str(RATE), "preset": "slow"}
    for path in frames:
        im = Image.open(path).convert("RGB")
        im = im.transpose(Image.Transpose.ROTATE_90) if turned else im
        box.mux(stream.encode(av.VideoFrame.from_image(im)))
    box.mux(stream.encode())
    box.close()
    if turned:
        turn_header(out, stream_height=entry["width"])


def turn_header(path, stream_height):
    """Write a quarter turn clockwise into the track header's matrix."""
    data = bytearray(path.read_bytes())
    start = data.index(b"tkhd") + 4
    matrix = start + (52 if data[start] == 1 else 40)
    one = 1 << 16
    data[matrix : matrix + 36] = struct.pack(">9i", 0, one, 0, -one, 0, 0, stream_height * one, 0, 1 << 30)
    path.write_bytes(data)


def heic(jpg, out):
    """The same picture as HEIC, its Exif kept."""
    pillow_heif.register_heif_opener()
    im = Image.open(jpg)
    im.save(out, quality=62, exif=im.info["exif"])


def main():
    """Read the command line and fill OUT."""
    ap = argparse.ArgumentParser(prog="make.pack", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("work", type=Path)
    ap.add_argument("out", type=Path)
    a = ap.parse_args()
    truth = json.loads((a.work / "manifest.json").read_text())
    for i in truth["images"]:
        drawn = a.work / Path(i["file"]).with_suffix(".jpg")
        if i["file"].endswith(".heic"):
            heic(drawn, a.out / i["file"])
        else:
            shutil.copyfile(drawn, a.out / i["file"])
    for c in truth["clips"]:
        frames = sorted((a.work / ("frames_" + Path(c["file"]).stem)).glob("*.jpg"))
        clip(c, frames, a.out / c["file"])
    text = json.dumps(truth, separators=(",", ":"))
    (a.out / "manifest.json").write_text(text.replace('{"file":', '\n{"file":').replace('{"spot":', '\n {"spot":') + "\n")


if __name__ == "__main__":
    main()
