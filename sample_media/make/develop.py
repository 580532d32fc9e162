"""From a drawn PNG to a camera's JPEG: contrast, noise, warmth, and Exif as the camera would write it."""

import io

import numpy as np
from PIL import Image, ImageFilter

from . import days

MAKES = {"P1": ("Pocket", "P1"), "P2": ("Handset", "P2"), "K1": ("Compact", "K1")}
LIMIT = 118_000  # bytes a picture may take


def finish(png, f):
    """The camera's own developing; f as `plan.finish_of` made it."""
    r = np.random.default_rng(f["seed"])
    a = np.asarray(Image.open(png).convert("RGB"), np.float32) / 255
    a = a * np.array(f["warm"], np.float32) * f["gain"]
    h, w = a.shape[:2]
    yy, xx = np.mgrid[0:h, 0:w]
    a *= (1 - f["vignette"] * ((xx / w - 0.5) ** 2 + (yy / h - 0.5) ** 2) * 2)[..., None]
    b = np.clip(a - 0.012, 0, 1)
    a = np.where(a < 1, 0.7 * a + 0.3 * (b * b * (3 - 2 * b)), a)
    a = np.where(a > 0.84, 0.84 + 0.16 * np.tanh((a - 0.84) / 0.16), a)
    grain = r.normal(0, 1, (h, w, 1)) * 0.8 + r.normal(0, 1, (h, w, 3)) * 0.5
    a = a + grain * f["noise"] * np.sqrt(np.clip(a, 0.02, 1))
    im = Image.fromarray((np.clip(a, 0, 1) * 255 + 0.5).astype(np.uint8))
    if f["blur"]:
        im = im.filter(ImageFilter.GaussianBlur(f["blur"]))
    return im.filter(ImageFilter.UnsharpMask(1.1, f["sharpen"], 2))


def exif(shot, w, h):
    """Exif block: P1 writes offset and thousandths, P2 and K1 write neither. No place is ever written."""
    camera = shot["camera"]
    t = days.written(shot["time"], camera)
    text = t.strftime("%Y:%m:%d %H:%M:%S")
    make, model = MAKES[camera]
    x = Image.Exif()
    x[0x010F], x[0x0110], x[0x0112], x[0x0132] = make, model, shot["orientation"], text
    x[0x0131] = "rendered, invented"
    d = x.get_ifd(0x8769)
    d[0x9003] = d[0x9004] = text
    if camera == "P1":
        offset = t.strftime("%z")[:3] + ":" + t.strftime("%z")[3:]
        d[0x9010] = d[0x9011] = d[0x9012] = offset
        d[0x9291] = d[0x9290] = f"{t.microsecond // 1000:03d}"
    d[0xA405], d[0x920A] = round(shot["cam"].lens), round(shot["cam"].lens / 6.5, 2)
    d[0xA002], d[0xA003] = w, h
    return x


def stored(im, orientation):
    """Pixels as the sensor lay when the picture was taken."""
    turns = {6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270, 3: Image.Transpose.ROTATE_180}
    return im.transpose(turns[orientation]) if orientation in turns else im


def save(im, path, shot, limit=LIMIT):
    """Write a JPEG no larger than the limit."""
    im = stored(im, shot["orientation"])
    block = exif(shot, im.width, im.height).tobytes()
    for quality in range(88, 50, -3):
        data = io.BytesIO()
        im.save(data, "JPEG", quality=quality, subsampling=2, exif=block, optimize=True)
        if data.tell() <= limit:
            break
    path.write_bytes(data.getvalue())
