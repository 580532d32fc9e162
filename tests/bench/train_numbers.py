"""Train the small reader of tape numbers that ships with the package; needs torch, so it is run apart.

    python tests/bench/train_numbers.py --fonts FOLDER --others others.npz --out numbers.npz

Every number is drawn: from the fonts of a folder, and by a pen that follows the digits' own lines, shaken anew each
time. `others.npz` holds array `x`, (n, 32, 96) uint8: what places that hold no number look like.
"""

from __future__ import annotations

import argparse
import io
import json
import math
import random
import time
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as F
from PIL import Image, ImageDraw, ImageFont
from torch import nn

HIGH, WIDE = 32, 96
MASK_HIGH, MASK_WIDE = 64, 224
INK_HIGH = 40
FLIPS = set("01689")

PEN: dict[str, list[list[list[tuple[float, float]]]]] = {
    "0": [
        [[(0.5, 0), (0.1, 0.3), (0.1, 0.7), (0.5, 1), (0.9, 0.7), (0.9, 0.3), (0.5, 0)]],
        [[(0.5, 0), (0.1, 0.3), (0.1, 0.7), (0.5, 1), (0.9, 0.7), (0.9, 0.3), (0.5, 0)], [(0.8, 0.15), (0.2, 0.85)]],
    ],
    "1": [
        [[(0.5, 0), (0.5, 1)]],
        [[(0.2, 0.3), (0.55, 0)], [(0.55, 0), (0.55, 1)]],
        [[(0.1, 0.45), (0.6, 0)], [(0.6, 0), (0.6, 1)]],
        [[(0.25, 0.25), (0.55, 0)], [(0.55, 0), (0.55, 1)], [(0.2, 1), (0.9, 1)]],
    ],
    "2": [
        [[(0.1, 0.25), (0.35, 0.02), (0.75, 0.08), (0.85, 0.3), (0.6, 0.6), (0.1, 1)], [(0.1, 1), (0.9, 1)]],
        [[(0.1, 0.2), (0.45, 0), (0.85, 0.2), (0.55, 0.65), (0.15, 0.95), (0.3, 0.85), (0.6, 0.95), (0.95, 0.9)]],
    ],
    "3": [
        [
            [(0.1, 0.12), (0.5, 0), (0.85, 0.2), (0.7, 0.42), (0.4, 0.48)],
            [(0.4, 0.48), (0.8, 0.55), (0.9, 0.78), (0.5, 1), (0.08, 0.88)],
        ],
        [
            [(0.1, 0), (0.85, 0)],
            [(0.85, 0), (0.45, 0.42)],
            [(0.45, 0.42), (0.85, 0.55), (0.85, 0.85), (0.45, 1), (0.08, 0.88)],
        ],
    ],
    "4": [
        [[(0.65, 0), (0.05, 0.65)], [(0.05, 0.65), (0.95, 0.65)], [(0.68, 0.35), (0.66, 1)]],
        [[(0.7, 0), (0.05, 0.68)], [(0.05, 0.68), (0.95, 0.68)], [(0.7, 0), (0.7, 1)]],
        [[(0.15, 0), (0.1, 0.55)], [(0.1, 0.55), (0.9, 0.55)], [(0.75, 0.05), (0.72, 1)]],
    ],
    "5": [
        [
            [(0.85, 0), (0.2, 0)],
            [(0.2, 0), (0.15, 0.45)],
            [(0.15, 0.45), (0.6, 0.38), (0.9, 0.65), (0.6, 0.98), (0.08, 0.9)],
        ]
    ],
    "6": [[[(0.75, 0), (0.3, 0.3), (0.1, 0.7), (0.35, 1), (0.8, 0.9), (0.85, 0.65), (0.5, 0.5), (0.15, 0.72)]]],
    "7": [
        [[(0.08, 0), (0.9, 0)], [(0.9, 0), (0.4, 1)]],
        [[(0.08, 0), (0.9, 0)], [(0.9, 0), (0.4, 1)], [(0.3, 0.5), (0.8, 0.5)]],
    ],
    "8": [
        [
            [
                (0.7, 0.12),
                (0.45, 0),
                (0.2, 0.2),
                (0.5, 0.46),
                (0.85, 0.72),
                (0.5, 1),
                (0.12, 0.75),
                (0.5, 0.46),
                (0.8, 0.2),
                (0.7, 0.12),
            ]
        ]
    ],
    "9": [
        [[(0.85, 0.2), (0.5, 0), (0.12, 0.25), (0.4, 0.5), (0.85, 0.25)], [(0.85, 0.2), (0.75, 1)]],
        [
            [(0.85, 0.2), (0.5, 0), (0.12, 0.25), (0.4, 0.5), (0.85, 0.25)],
            [(0.85, 0.2), (0.8, 0.75), (0.5, 1), (0.15, 0.9)],
        ],
    ],
}


def smooth(points: np.ndarray) -> np.ndarray:
    """Catmull-Rom through the points."""
    if len(points) < 3:
        return points
    padded = np.concatenate([points[:1], points, points[-1:]])
    t = np.linspace(0, 1, 8, endpoint=False)[:, None]
    pieces = []
    for p0, p1, p2, p3 in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        pieces.append(
            0.5 * (2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2 + (3 * p1 - p0 - 3 * p2 + p3) * t**3)
        )
    return np.concatenate([*pieces, points[-1:]])


def draw_pen(rng: np.random.Generator, text: str) -> Image.Image:
    size = 120
    image = Image.new("L", (size * (len(text) + 1), size * 2), 0)
    draw = ImageDraw.Draw(image)
    pen = rng.uniform(5, 19)
    x = size * 0.5
    slant, habit = rng.normal(0, 0.12), rng.integers(0, 9)
    for ch in text:
        strokes = PEN[ch][(habit if rng.random() < 0.8 else rng.integers(0, 9)) % len(PEN[ch])]
        wide, high = size * rng.uniform(0.42, 0.7), size * rng.uniform(0.85, 1.1)
        wobble, turn = rng.uniform(0.01, 0.06), rng.normal(0, 0.08)
        shake = {p: rng.normal(0, wobble, 2) for stroke in strokes for p in stroke}
        y = size * 0.5 + rng.normal(0, 4)
        for stroke in strokes:
            points = smooth(np.array([np.add(p, shake[p]) for p in stroke]))
            px = (points[:, 0] - 0.5) * wide + (0.5 - points[:, 1]) * high * (slant + turn)
            py = (points[:, 1] - 0.5) * high + (points[:, 0] - 0.5) * wide * turn
            line = [(float(a + x + wide / 2), float(b + y + high / 2)) for a, b in zip(px, py, strict=True)]
            draw.line(line, fill=255, width=round(pen), joint="curve")
            for a, b in (line[0], line[-1]):
                r = pen / 2
                draw.ellipse((a - r, b - r, a + r, b + r), fill=255)
        x += wide * (0.55 if ch == "1" else 1) + size * rng.uniform(0.08, 0.3)
    return image


def draw_font(rng: np.random.Generator, text: str, fonts: list[str]) -> Image.Image:
    font = ImageFont.truetype(fonts[rng.integers(len(fonts))], 90)
    left, top, right, bottom = font.getbbox(text)
    gap = rng.choice([0, 0, rng.uniform(-4, 14)])
    image = Image.new("L", (int(right - left + 60 + abs(gap) * len(text)), int(bottom - top) + 60), 0)
    draw, x = ImageDraw.Draw(image), 30.0 - left
    for ch in text:
        draw.text((x, 30 - top), ch, font=font, fill=255)
        x += font.getlength(ch) + gap
    return image


def draw_shape(rng: np.random.Generator) -> Image.Image:
    """Bolts, bars, blobs and arcs: dark things on plain ground that are no digits."""
    image = Image.new("L", (220, 160), 0)
    draw = ImageDraw.Draw(image)
    for _ in range(rng.integers(1, 4)):
        cx, cy, r, kind = rng.uniform(60, 160), rng.uniform(50, 110), rng.uniform(15, 50), rng.integers(5)
        if kind == 0:
            draw.ellipse((cx - r, cy - r, cx + r, cy + r), outline=255, width=int(rng.uniform(3, 14)))
            a = np.arange(6) * math.pi / 3 + rng.uniform(0, 1)
            draw.polygon([(cx + r * 0.6 * math.cos(q), cy + r * 0.6 * math.sin(q)) for q in a], outline=255, width=4)
        elif kind == 1:
            a = rng.uniform(0, 3.2)
            draw.line(
                (
                    cx - 2 * r * math.cos(a),
                    cy - 2 * r * math.sin(a),
                    cx + 2 * r * math.cos(a),
                    cy + 2 * r * math.sin(a),
                ),
                fill=255,
                width=int(rng.uniform(4, 30)),
            )
        elif kind == 2:
            points = [(cx + rng.normal(0, r * 0.7), cy + rng.normal(0, r * 0.7)) for _ in range(rng.integers(3, 8))]
            draw.polygon(points, fill=255)
        elif kind == 3:
            start = rng.uniform(0, 360)
            draw.arc(
                (cx - r, cy - r, cx + r, cy + r),
                start,
                start + rng.uniform(40, 200),
                fill=255,
                width=int(rng.uniform(3, 14)),
            )
        else:
            draw.rectangle(
                (cx - r, cy - r * rng.uniform(0.2, 1), cx + r, cy + r * 0.6), outline=255, width=int(rng.uniform(3, 14))
            )
    return image


def number(rng: np.random.Generator) -> str:
    count = rng.choice([1, 2, 3], p=[0.22, 0.58, 0.2])
    return "".join(str(d) for d in rng.integers(0, 10, count))


def fit_mask(image: Image.Image) -> np.ndarray:
    box = image.getbbox() or (0, 0, 4, 4)
    cut = image.crop(box)
    scale = INK_HIGH / max(cut.height, 1)
    wide = min(MASK_WIDE - 4, max(3, round(cut.width * scale)))
    cut = cut.resize((wide, INK_HIGH), Image.Resampling.BOX if scale < 1 else Image.Resampling.BICUBIC)
    mask = Image.new("L", (MASK_WIDE, MASK_HIGH), 0)
    mask.paste(cut, ((MASK_WIDE - wide) // 2, (MASK_HIGH - INK_HIGH) // 2))
    return np.asarray(mask)


def make(job: tuple[int, int, list[str]]) -> tuple[np.ndarray, list[str], np.ndarray]:
    """`count` masks; kind 0 is a number, 1 nothing to read."""
    seed, count, fonts = job
    rng = np.random.default_rng(seed)
    masks, texts, kinds = [], [], []
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZabcdefghkmnprstuvwxyz"
    while len(masks) < count:
        draw, text, kind = rng.random(), "", 1
        if draw < 0.40:
            text, kind = number(rng), 0
            image = draw_font(rng, text, fonts)
        elif draw < 0.76:
            text, kind = number(rng), 0
            image = draw_pen(rng, text)
        elif draw < 0.86:
            image = draw_font(rng, "".join(rng.choice(list(letters), rng.integers(1, 7))), fonts)
        elif draw < 0.92:
            word = "".join(rng.choice(list(letters), rng.integers(1, 4)))
            digits = number(rng)
            image = draw_font(
                rng,
                str(
                    rng.choice(
                        [
                            word + digits,
                            digits + word,
                            word + " " + digits,
                            digits + " " + word,
                            digits + "-" + digits,
                            digits * 2 + "7",
                        ]
                    )
                ),
                fonts,
            )
        else:
            image = draw_shape(rng)
        masks.append(fit_mask(image))
        texts.append(text)
        kinds.append(kind)
    return np.array(masks), texts, np.array(kinds)


class Reader(nn.Module):
    """Convolutions with pooling, then one column of scores for every fourth pixel: CTC."""

    def __init__(self, wide: tuple[int, ...] = (20, 40, 48, 72, 88, 112)) -> None:
        super().__init__()
        a, b, c, d, e, f = wide
        self.layers = nn.ModuleList()
        plan = [
            (1, a, (2, 2), 3),
            (a, b, (1, 1), 3),
            (b, c, (2, 2), 3),
            (c, d, (1, 1), 3),
            (d, d, (2, 1), 3),
            (d, e, (2, 1), 3),
        ]
        for i, o, pool, k in plan:
            self.layers.append(
                nn.Sequential(
                    nn.Conv2d(i, o, k, padding=1, bias=False),
                    nn.BatchNorm2d(o),
                    nn.ReLU(),
                    nn.MaxPool2d(pool) if pool != (1, 1) else nn.Identity(),
                )
            )
        self.last = nn.Sequential(
            nn.Conv2d(e, f, (2, 5), padding=(0, 2), bias=False), nn.BatchNorm2d(f), nn.ReLU(), nn.Dropout(0.1)
        )
        self.out = nn.Conv2d(f, 11, 1)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        for layer in self.layers:
            x = layer(x)
        return self.out(self.last(x))[:, :, 0]


def normalise(x: torch.Tensor) -> torch.Tensor:
    mean, std = x.mean((2, 3), keepdim=True), x.std((2, 3), keepdim=True, unbiased=False)
    return (x - mean) / (std + 4.0)


def noise_field(n: int, high: int, wide: int, cells: int, device: str) -> torch.Tensor:
    small = torch.randn(n, 1, max(2, high // cells), max(2, wide // cells), device=device)
    return F.interpolate(small, (high, wide), mode="bicubic", align_corners=False)


def paint(masks: torch.Tensor, kinds: torch.Tensor, flips: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Masks as a camera would see them, (n, 1, 32, 96) in 0..255, and which of them still hold a readable number."""
    n, device = len(masks), str(masks.device)

    def u(lo: float, hi: float, *shape: int) -> torch.Tensor:
        return torch.rand(n, *shape, device=device) * (hi - lo) + lo

    readable = kinds == 0
    turn = u(-0.22, 0.22) + torch.randn(n, device=device) * 0.06
    turned = torch.rand(n, device=device)
    around = readable & (turned < 0.10) & ~flips
    aside = readable & (turned >= 0.10) & (turned < 0.16)
    turn = turn + around * math.pi + aside * (math.pi / 2) * torch.where(u(-1, 1) > 0, 1.0, -1.0)
    loose = ~readable & (turned < 0.5)
    turn = torch.where(loose, u(-math.pi, math.pi), turn)
    readable = readable & ~around & ~aside
    fill = u(0.50, 0.74)
    stretch, shear = torch.exp(u(-0.3, 0.3)), u(-0.35, 0.35)
    cos, sin = torch.cos(turn), torch.sin(turn)
    # Output pixel -> mask pixel, both measured from the middle, in units of the ink's height.
    ys, xs = torch.meshgrid(torch.arange(2 * HIGH, device=device), torch.arange(2 * WIDE, device=device), indexing="ij")
    px = ((xs + 0.5) / 2 - WIDE / 2)[None] / (HIGH * fill)[:, None, None] + u(-0.22, 0.22)[:, None, None]
    py = ((ys + 0.5) / 2 - HIGH / 2)[None] / (HIGH * fill)[:, None, None] + u(-0.12, 0.12)[:, None, None]
    depth = 1 + u(-0.12, 0.12)[:, None, None] * px + u(-0.12, 0.12)[:, None, None] * py
    px, py = px / depth, py / depth
    qx = (cos[:, None, None] * px + sin[:, None, None] * py) * stretch[:, None, None]
    qy = -sin[:, None, None] * px + cos[:, None, None] * py
    qx = qx + shear[:, None, None] * qy
    grid = torch.stack([qx * INK_HIGH / (MASK_WIDE / 2), qy * INK_HIGH / (MASK_HIGH / 2)], -1)
    ink = F.grid_sample(masks[:, None].float() / 255, grid, align_corners=False)
    # Thicker or thinner pens.
    swell = u(-1, 1)[:, None, None, None]
    thick = F.max_pool2d(ink, 3, 1, 1)
    ink = torch.where(swell > 0.4, thick, ink)
    patchy = (noise_field(n, 2 * HIGH, 2 * WIDE, 6, device) * u(0, 0.25, 1, 1, 1) + 1).clamp(0.3, 1)
    ground = u(60, 250)[:, None, None, None]
    tone = ground * torch.exp(
        u(-0.25, 0.25)[:, None, None, None] * (px[:, None] / 2) + u(-0.3, 0.3)[:, None, None, None] * py[:, None]
    )
    tone = tone * (1 + noise_field(n, 2 * HIGH, 2 * WIDE, 10, device) * u(0, 0.05, 1, 1, 1))
    dark = u(0.05, 0.72)[:, None, None, None]
    image = tone * (1 - ink * patchy * (1 - dark))
    # The flag ends, and something else begins: beyond a line beside the number.
    for _ in range(3):
        angle = u(-math.pi, math.pi)
        side = torch.cos(angle)[:, None, None] * qx + torch.sin(angle)[:, None, None] * qy
        extent = (ink[:, 0] > 0.3) * side
        limit = extent.flatten(1).amax(1)[:, None, None] + u(0.08, 1.3)[:, None, None]
        beyond = (side > limit)[:, None] & (u(0, 1) < 0.55)[:, None, None, None]
        other = u(5, 255)[:, None, None, None] + noise_field(n, 2 * HIGH, 2 * WIDE, 4, device) * u(0, 45, 1, 1, 1)
        wave = torch.sin(side * u(4, 30)[:, None, None] + u(0, 6)[:, None, None])[:, None] * u(0, 50, 1, 1, 1)
        image = torch.where(beyond, other + wave, image)
    # A hose or another flag over the number: no longer readable.
    covered = (torch.rand(n, device=device) < 0.07) & (kinds == 0)
    angle, limit = u(-math.pi, math.pi), u(-0.15, 0.12)
    side = torch.cos(angle)[:, None, None] * qx + torch.sin(angle)[:, None, None] * qy
    hide = (side > limit[:, None, None])[:, None] & covered[:, None, None, None]
    before = ink.flatten(1).sum(1)
    after = (ink * ~hide).flatten(1).sum(1)
    image = torch.where(
        hide, u(5, 255)[:, None, None, None] + noise_field(n, 2 * HIGH, 2 * WIDE, 4, device) * 20, image
    )
    readable = readable & (~covered | (after > 0.97 * before))
    unsure = covered & (after > 0.72 * before) & (after <= 0.97 * before)
    image = F.avg_pool2d(image, 2)
    # Blur and coarse pixels: the number was small in the picture.
    coarse = torch.rand(n, device=device)
    for level, size in enumerate(((24, 72), (16, 48), (13, 39), (11, 33))):
        small = F.interpolate(
            F.interpolate(image, size, mode="area"), (HIGH, WIDE), mode="bicubic", align_corners=False
        )
        image = torch.where(
            ((coarse > 0.4 + 0.13 * level) & (coarse <= 0.53 + 0.13 * level))[:, None, None, None], small, image
        )
    kernel = torch.tensor([1.0, 4, 6, 4, 1], device=device) / 16
    soft = F.conv2d(
        F.conv2d(F.pad(image, (2, 2, 2, 2), mode="replicate"), kernel.view(1, 1, 1, 5)), kernel.view(1, 1, 5, 1)
    )
    image = torch.where((u(0, 1) < 0.45)[:, None, None, None], soft, image)
    softer = F.avg_pool2d(F.pad(soft, (1, 1, 1, 1), mode="replicate"), 3, 1)
    image = torch.where((u(0, 1) < 0.12)[:, None, None, None], softer, image)
    image = image * torch.exp(u(-0.4, 0.15))[:, None, None, None]
    grain = torch.randn_like(image)
    grain = torch.where((u(0, 1) < 0.5)[:, None, None, None], grain, F.avg_pool2d(F.pad(grain, (1, 1, 1, 1)), 3, 1) * 2)
    image = (image + grain * u(0, 10, 1, 1, 1)).clamp(0, 255)
    # 0: no number, 1: number, 2: leave out of the loss.
    state = torch.where(unsure, 2, readable.long())
    return image, state


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__)
    ap.add_argument("--fonts", type=Path, required=True)
    ap.add_argument("--others", type=Path)
    ap.add_argument("--out", type=Path, default=Path("numbers.npz"))
    ap.add_argument("--masks", type=int, default=64000)
    ap.add_argument("--seconds", type=float, default=240)
    ap.add_argument("--batch", type=int, default=1024)
    ap.add_argument("--wide", type=int, nargs=6, default=(20, 40, 48, 72, 88, 112))
    a = ap.parse_args()
    torch.manual_seed(0)
    random.seed(0)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    fonts = [str(p) for p in sorted(a.fonts.iterdir())]
    started = time.time()
    with Pool() as pool:
        made = pool.map(make, [(seed, a.masks // 64, fonts) for seed in range(64)])
    masks = torch.from_numpy(np.concatenate([m[0] for m in made])).to(device)
    texts = [t for m in made for t in m[1]]
    kinds = torch.from_numpy(np.concatenate([m[2] for m in made])).to(device)
    flips = torch.tensor([bool(t) and set(t) <= FLIPS for t in texts], device=device)
    lengths = torch.tensor([len(t) for t in texts], device=device)
    codes = torch.tensor([[int(ch) + 1 for ch in t.ljust(3, "0")[:3]] for t in texts], device=device)
    print(f"{len(masks)} masks in {time.time() - started:.0f} s", flush=True)
    others = torch.from_numpy(np.load(a.others)["x"]).to(device) if a.others else None
    net = Reader(tuple(a.wide)).to(device)
    print(sum(p.numel() for p in net.parameters()), "weights", flush=True)
    best = torch.optim.AdamW(net.parameters(), lr=3e-3, weight_decay=1e-3)
    held = torch.arange(len(masks), device=device) % 20 == 0
    pool_ids = torch.nonzero(~held)[:, 0]
    ctc = nn.CTCLoss(zero_infinity=True, reduction="none")
    began, step = time.time(), 0
    while (spent := time.time() - began) < a.seconds:
        share = spent / a.seconds
        rate = 3e-3 * min(1, step / 200) * 0.5 * (1 + math.cos(math.pi * share)) + 1e-6
        for group in best.param_groups:
            group["lr"] = rate
        ids = pool_ids[torch.randint(len(pool_ids), (a.batch,), device=device)]
        with torch.no_grad():
            image, state = paint(masks[ids], kinds[ids], flips[ids])
            length = torch.where(state == 1, lengths[ids], 0)
            code = codes[ids]
            if others is not None:
                pick = others[torch.randint(len(others), (a.batch // 6,), device=device)][:, None].float()
                lit = torch.exp(torch.randn(len(pick), 1, 1, 1, device=device) * 0.2)
                shift = torch.roll(pick, shifts=(random.randint(-2, 2), random.randint(-5, 5)), dims=(2, 3))
                shift = torch.flip(shift, (3,)) if random.random() < 0.5 else shift
                pick = (shift * lit + torch.randn_like(shift) * 4).clamp(0, 255)
                image = torch.cat([image, pick])
                state = torch.cat([state, torch.zeros(len(pick), dtype=torch.long, device=device)])
                length = torch.cat([length, torch.zeros(len(pick), dtype=torch.long, device=device)])
                code = torch.cat([code, code[: len(pick)]])
        net.train()
        with torch.autocast(device, torch.bfloat16, enabled=device == "cuda"):
            scores = net(normalise(image))
        logs = scores.float().log_softmax(1).permute(2, 0, 1)
        loss = ctc(logs, code, torch.full((len(image),), logs.shape[0], device=device), length)
        loss = (loss * (state != 2)).mean()
        best.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        best.step()
        step += 1
        if step % 500 == 0:
            print(f"{spent:.0f} s step {step} loss {loss.item():.4f}", flush=True)
    net.eval()
    ids = torch.nonzero(held)[:, 0]
    right = wrong = silent = told = none = 0
    with torch.no_grad():
        for part in ids.split(1024):
            image, state = paint(masks[part], kinds[part], flips[part])
            said = net(normalise(image)).argmax(1).cpu().numpy()
            for k, row in enumerate(said):
                word = "".join(str(c - 1) for i, c in enumerate(row) if c and (i == 0 or row[i - 1] != c))
                if state[k] == 1:
                    right += word == texts[part[k]]
                    silent += word == ""
                    wrong += word not in ("", texts[part[k]])
                elif state[k] == 0:
                    none += 1
                    told += word != ""
    total = max(1, right + wrong + silent)
    print(
        f"held out: right {right / total:.4f} wrong {wrong / total:.4f} silent {silent / total:.4f}; "
        f"said something where nothing is {told / max(1, none):.4f}; {step} steps",
        flush=True,
    )
    packed: dict[str, np.ndarray] = {}
    for name, block in [*((f"c{i}", s) for i, s in enumerate(net.layers)), ("c6", net.last)]:
        conv, norm = block[0], block[1]
        gain = norm.weight / torch.sqrt(norm.running_var + norm.eps)
        packed[f"{name}_w"] = (conv.weight * gain[:, None, None, None]).detach().cpu().numpy().astype(np.float16)
        packed[f"{name}_b"] = (norm.bias - norm.running_mean * gain).detach().cpu().numpy().astype(np.float32)
    packed["c7_w"] = net.out.weight.detach().cpu().numpy().astype(np.float16)
    packed["c7_b"] = net.out.bias.detach().cpu().numpy().astype(np.float32)
    buffer = io.BytesIO()
    np.savez_compressed(buffer, **packed)
    a.out.write_bytes(buffer.getvalue())
    shown = [int(k) for k in ids[:160]]
    image, _ = paint(masks[shown], kinds[shown], flips[shown])
    rows = image[:, 0].byte().cpu().numpy()
    Image.fromarray(np.vstack([np.hstack(list(rows[k : k + 10])) for k in range(0, 160, 10)])).save(
        a.out.with_suffix(".png")
    )
    print(json.dumps({"bytes": a.out.stat().st_size}))


if __name__ == "__main__":
    main()
