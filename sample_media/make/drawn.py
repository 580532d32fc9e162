"""Pictures that surfaces wear: dirt masks, tape faces with numbers, placards, a clock on a screen.

Everything written here is invented. Arrays are RGB, 0 to 1, first row on top.
"""

import os

import numpy as np
from PIL import Image, ImageDraw, ImageFont

FONT_FOLDERS = [os.environ.get("SALLOW_FONTS", ""), "", "/usr/share/fonts/truetype/dejavu"]


def font(size, name="DejaVuSans-Bold.ttf"):
    """Font of a pixel size, from the first folder that has it."""
    for folder in FONT_FOLDERS:
        try:
            return ImageFont.truetype(os.path.join(folder, name), size)
        except OSError:
            continue
    return ImageFont.load_default(size)


def noise(rng, n, fall, low=1, high=None):
    """Tileable noise of n x n pixels between `low` and `high` cycles, 0 to 1."""
    f = np.hypot(np.fft.fftfreq(n)[:, None] * n, np.fft.rfftfreq(n)[None] * n)
    amp = np.where((f >= low) & (f <= (high or n)), 1.0 / np.maximum(f, 1) ** fall, 0)
    x = np.fft.irfft2(amp * np.exp(1j * rng.uniform(0, 2 * np.pi, f.shape)), s=(n, n))
    return np.clip(x / (x.std() * 5.2) + 0.5, 0, 1)


def step(x, a, b):
    """0 below a, 1 above b, smooth between."""
    t = np.clip((x - a) / (b - a), 0, 1)
    return t * t * (3 - 2 * t)


def masks(rng, n=1024):
    """Two tileable masks: (grain, blotch, chips) and (scratches, runs, specks)."""
    grain = 0.6 * noise(rng, n, 0.8, 16, 420) + 0.4 * noise(rng, n, 1.4, 5, 300)
    blotch = noise(rng, n, 1.7, 1, 260)
    where = step(noise(rng, n, 1.6, 2, 60), 0.5, 0.72)
    chips = step(noise(rng, n, 1.1, 10, 260) + 0.24 * where, 0.72, 0.78)
    lines = Image.new("L", (n, n), 0)
    pen = ImageDraw.Draw(lines)
    for _ in range(260):
        (x, y), a, ln = rng.uniform(0, n, 2), rng.normal(0.4, 0.9), rng.exponential(40) + 8
        ink = int(rng.uniform(40, 255))
        for ox in (-n, 0, n):
            for oy in (-n, 0, n):
                pen.line([x + ox, y + oy, x + ox + ln * np.cos(a), y + oy + ln * np.sin(a)], fill=ink)
    fine = noise(rng, n, 1.2, 3, 200)
    runs = step(np.mean([np.roll(fine, k * 5, 0) for k in range(28)], 0), 0.535, 0.64)
    specks = step(noise(rng, n, 0.6, 50, 420), 0.68, 0.8) * (0.3 + 0.7 * where)
    return np.stack([grain, blotch, chips], -1), np.stack([np.asarray(lines, float) / 255, runs, specks], -1)


def soiled(rng, a, amount):
    """A drawn face with grease and thumb marks on it."""
    h, w = a.shape[:2]
    k = step(noise(rng, 512, 1.5, 2, 200)[:h, :w], 0.5, 0.85)[..., None] * amount
    g = (0.9 + 0.2 * noise(rng, 512, 0.8, 20, 250)[:h, :w])[..., None]
    return np.clip((a * (1 - k) + np.array([0.2, 0.16, 0.11]) * k) * g, 0, 1)


def placard(rng, lines, size=(384, 224), ground=(238, 234, 220), band=(176, 40, 30)):
    """A plate or sticker: the first line on a coloured band, the others below it."""
    im = Image.new("RGB", size, ground)
    d = ImageDraw.Draw(im)
    w, h = size
    ink = (245, 243, 232) if sum(ground) < 240 else (24, 24, 28)
    d.rectangle([4, 4, w - 5, h - 5], outline=ink, width=3)
    d.rectangle([8, 8, w - 9, 66], fill=band)
    d.text((w / 2, 37), lines[0], font=font(36), fill=(250, 248, 240), anchor="mm")
    for i, text in enumerate(lines[1:]):
        d.text((w / 2, 96 + i * 36), text, font=font(25, "DejaVuSansCondensed-Bold.ttf"), fill=ink, anchor="mm")
    return soiled(rng, np.asarray(im, float) / 255, 0.4)


def clock_screen(text, date, size=(480, 960)):
    """A phone's lock screen: a large clock, a date, nothing else."""
    w, h = size
    y = np.linspace(0, 1, h)[:, None, None]
    ground = np.array([0.03, 0.07, 0.14]) * (1 - y) + np.array([0.02, 0.2, 0.22]) * y
    im = Image.fromarray((np.broadcast_to(ground, (h, w, 3)) * 255).astype(np.uint8))
    d = ImageDraw.Draw(im)
    d.text((w / 2, h * 0.27), text, font=font(94), fill=(245, 248, 250), anchor="mm")
    d.text((w / 2, h * 0.37), date, font=font(34, "DejaVuSans.ttf"), fill=(225, 232, 236), anchor="mm")
    d.rounded_rectangle([w * 0.35, h * 0.965, w * 0.65, h * 0.972], 4, fill=(200, 205, 210))
    return np.asarray(im, float) / 255


def hose_print(rng, bore_mm):
    """Mask of the line printed along a hose; follows the hose's own uv."""
    im = Image.new("L", (1024, 128), 0)
    text = f"{bore_mm} MM  >>  MARINE HOSE  {rng.integers(10, 53)}-{rng.integers(82, 99)}   "
    ImageDraw.Draw(im).text((8, 52), text * 4, font=font(22, "DejaVuSansMono-Bold.ttf"), fill=255)
    return np.repeat((np.asarray(im, float) / 255)[..., None], 3, -1)
