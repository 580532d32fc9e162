"""Train the descriptor network that ships with the package; needs torch and a GPU, so it is run apart.

    python tests/bench/train_patches.py --bays FOLDER... --held FOLDER... --photos PICTURE... --out patches.npz

Folders and photographs are those of `patch_pairs`; the `--held` ones are only measured on, at the end. Seeded: the same
material gives the same pairs, and the same tables as far as the GPU adds up in the same order.

The tables in the package were learnt by a forerunner of this script from twelve rendered bays of 45 pictures, with two
more held back, and 38 photographs, desktop backgrounds packaged by Debian and the pictures of scikit-image: 10,188
pairs of views. With those held back that is 5.9 million keypoints, whose patches (12 GB) lie on the GPU. 6,759 steps
took 450 s on one GPU that trained another network beside it. Distances were products of matrices rounded to ten bits
there (TF32): done over in that rounding for one bay, over half of the partners lie more than 4 pixels off. They are
exact here. This form has not been run to its end yet.
"""

from __future__ import annotations

import argparse
import itertools
import math
import time
from collections.abc import Mapping
from multiprocessing import Pool
from pathlib import Path

import cv2
import numpy as np
import torch
import torch.nn.functional as F
from patch_pairs import Pair, View, choose_pairs, views_of_bay, views_of_photo
from torch import nn

from asfound.core.match.patch_network import CELLS, DARK, ROOT_GAIN, SQUARE, WIDTH
from asfound.core.match.patch_sampling import REACHES

CHANNELS = (64, 64)
HIDDEN = 256
STEPS, WARM_UP = 6759, 300
PAIRS, MATCHED, OTHERS = 24, 256, 256
"""Pairs of pictures in a step; in each picture of a pair, keypoints with a partner in the other, and any."""
RATE = 2e-3
PHOTO_SHARE = 0.25
TOO_NEAR_PX, RIGHT_PX = 5.0, 4.0
BINS = ((400, "more than 400"), (100, "101 to 400"), (0, "25 to 100"))
MEASURED = 400

Material = list[tuple[list[View], list[Pair]]]


class PatchNet(nn.Module):
    """What `PatchNetwork` is once batch normalisation is folded into it."""

    def __init__(self) -> None:
        super().__init__()
        layers: list[nn.Module] = [nn.PixelUnshuffle(SQUARE)]
        for before, after in itertools.pairwise((len(REACHES) * SQUARE**2, *CHANNELS)):
            layers += [nn.Conv2d(before, after, 3, padding=1, bias=False), nn.BatchNorm2d(after), nn.ReLU()]
        flat = nn.Linear(CHANNELS[-1] * CELLS**2, WIDTH, bias=False)
        self.patch = nn.Sequential(*layers, nn.Flatten(), nn.Dropout(0.1), flat, nn.BatchNorm1d(WIDTH))
        self.head = nn.Sequential(
            nn.Linear(2 * WIDTH, HIDDEN), nn.BatchNorm1d(HIDDEN), nn.ReLU(), nn.Linear(HIDDEN, WIDTH)
        )
        self.skip = nn.Linear(2 * WIDTH, WIDTH)
        self.log_sharpness = nn.Parameter(torch.tensor(math.log(14.0)))

    def forward(self, descriptors: torch.Tensor, patches: torch.Tensor) -> torch.Tensor:
        """Unit vectors (n, 128) of SIFT descriptors (n, 128) and patches (n, 2, 32, 32) in 0..255."""
        x = patches.float()
        x = x - x.mean((2, 3), keepdim=True)
        x = x / (x.std((2, 3), keepdim=True) + DARK)
        both = torch.cat([rooted(descriptors) * ROOT_GAIN, self.patch(x)], 1)
        return F.normalize(self.head(both) + self.skip(both), dim=1)


def rooted(descriptors: torch.Tensor) -> torch.Tensor:
    """RootSIFT: unit vectors."""
    values = descriptors.float()
    return (values / values.sum(1, keepdim=True).clamp_min(1e-7)).sqrt()


def augment(patches: torch.Tensor) -> torch.Tensor:
    """Each keypoint's patches in other light, some of them softened, with grain: 0..255."""
    count, kinds, high, wide = patches.shape

    def u(lo: float, hi: float) -> torch.Tensor:
        return torch.empty(count, 1, 1, 1, device=patches.device).uniform_(lo, hi)

    x = (patches.float() / 255).clamp_min(1e-3) ** u(-0.5, 0.5).exp()
    kernel = torch.tensor([1.0, 2.0, 1.0], device=patches.device) / 4
    padded = F.pad(x, (1, 1, 1, 1), mode="replicate").reshape(-1, 1, high + 2, wide + 2)
    soft = F.conv2d(padded, (kernel[:, None] * kernel)[None, None]).reshape(count, kinds, high, wide)
    x = torch.where(u(0, 1) < 0.3, soft, x)
    x = x + torch.randn_like(x) * u(0, 0.03)
    return x.clamp(0, 1) * 255


class Keypool:
    """All keypoints of all views in one row on the GPU, and all pairs to draw from."""

    def __init__(self, material: Material, weights: list[float], device: str) -> None:
        views = [view for views, _ in material for view in views]
        counts = [len(view.patches) for view in views]

        def joined(parts: list[np.ndarray]) -> torch.Tensor:
            return torch.cat([torch.from_numpy(part).to(device) for part in parts])

        self.patches = joined([view.patches for view in views])
        self.descriptors = joined([view.keypoints.descriptors for view in views])
        self.reduced_px = joined([view.keypoints.points_px * np.float32(view.reduced) for view in views])
        starts = np.concatenate([[0], np.cumsum(counts)])
        first_view = np.cumsum([0, *(len(views) for views, _ in material)])
        rows = [
            (first_view[k] + pair.first, first_view[k] + pair.second, pair.matches)
            for k, (_, pairs) in enumerate(material)
            for pair in pairs
        ]
        ends = np.array([(first, second) for first, second, _ in rows])
        self.start, self.count = (torch.from_numpy(np.asarray(x)[ends]).to(device) for x in (starts[:-1], counts))
        self.matches = joined([matches + starts[[first, second]] for first, second, matches in rows])
        sizes = np.array([len(matches) for *_, matches in rows])
        self.size = torch.from_numpy(sizes).to(device)
        self.match_start = torch.from_numpy(np.cumsum(sizes) - sizes).to(device)
        self.weights = torch.tensor(weights, device=device, dtype=torch.float32)

    def draw(self) -> tuple[torch.Tensor, torch.Tensor]:
        """Rows of keypoints in the first and in the second pictures, both (PAIRS, MATCHED + OTHERS): partners first."""
        picked = torch.multinomial(self.weights, PAIRS, replacement=True)

        def below(most: torch.Tensor, count: int) -> torch.Tensor:
            return (torch.rand(PAIRS, count, device=most.device) * most[:, None]).long()

        partners = self.matches[self.match_start[picked][:, None] + below(self.size[picked], MATCHED)]
        sides = [
            torch.cat([partners[..., k], self.start[picked, k][:, None] + below(self.count[picked, k], OTHERS)], dim=1)
            for k in (0, 1)
        ]
        return sides[0], sides[1]


def loss_of(net: PatchNet, pool: Keypool) -> torch.Tensor:
    """How surely each keypoint's partner is told among all of the other picture, both ways: cross entropy."""
    first, second = pool.draw()
    rows = torch.cat([first, second]).reshape(-1)
    described = net(pool.descriptors[rows], augment(pool.patches[rows])).reshape(2 * PAIRS, MATCHED + OTHERS, WIDTH)
    alike = torch.bmm(described[:PAIRS], described[PAIRS:].transpose(1, 2)) * net.log_sharpness.exp()
    partner = torch.eye(MATCHED, MATCHED + OTHERS, device=rows.device, dtype=torch.bool)[None]
    wanted = torch.arange(MATCHED, device=rows.device).repeat(PAIRS)
    loss = torch.zeros((), device=rows.device)
    for likeness, others in ((alike, second), (alike.transpose(1, 2), first)):
        # What lies beside the partner, or is the partner drawn twice, is not wrong: left out.
        places = pool.reduced_px[others]
        # Not by products of matrices: in TF32 places of some hundred pixels would come out many pixels off.
        away = torch.cdist(places[:, :MATCHED], places, compute_mode="donot_use_mm_for_euclid_dist")
        beside = (away < TOO_NEAR_PX) & ~partner
        scores = likeness[:, :MATCHED].masked_fill(beside, -50).reshape(PAIRS * MATCHED, -1)
        loss = loss + F.cross_entropy(scores, wanted) / 2
    return loss


def measure(net: PatchNet, held: Material, device: str) -> None:
    """Print how often the nearest descriptor is right where a keypoint has a partner, for SIFT and for the network."""
    all_pairs = [(views[p.first], views[p.second], p.matches) for views, pairs in held for p in pairs]
    right: dict[str, list[list[float]]] = {name: [] for _, name in BINS}
    net.eval()
    for k in np.random.default_rng(5).permutation(len(all_pairs))[:MEASURED]:
        first, second, matches = all_pairs[k]
        at = torch.from_numpy(second.keypoints.points_px).to(device)
        rows = torch.from_numpy(matches).to(device).long()
        told = []
        for by_network in (False, True):
            both = []
            for view in (first, second):
                descriptors = torch.from_numpy(view.keypoints.descriptors).to(device)
                with torch.no_grad():
                    both.append(
                        net(descriptors, torch.from_numpy(view.patches).to(device))
                        if by_network
                        else rooted(descriptors)
                    )
            nearest = (both[0][rows[:, 0]] @ both[1].T).argmax(1)
            off = (at[nearest] - at[rows[:, 1]]).norm(dim=1) * second.reduced
            told.append((off < RIGHT_PX).float().mean().item())
        right[next(name for least, name in BINS if len(matches) > least)].append(told)
    for name, shares in right.items():
        if shares:
            sift, network = np.mean(shares, axis=0)
            print(f"{name} partners, {len(shares)} pairs: SIFT {sift:.3f} network {network:.3f}", flush=True)


def fold(state: Mapping[str, np.ndarray]) -> dict[str, np.ndarray]:
    """The tables of `PatchNetwork`, float16, of a trained network's: batch normalisation becomes part of them."""

    def norm(name: str) -> tuple[np.ndarray, np.ndarray]:
        gain = state[f"{name}.weight"] / np.sqrt(state[f"{name}.running_var"] + 1e-5)
        return gain, state[f"{name}.bias"] - state[f"{name}.running_mean"] * gain

    layers = sorted({int(name.split(".")[1]) for name in state if name.startswith("patch.") and "weight" in name})
    *convolutions, (flat, last_norm) = zip(layers[::2], layers[1::2], strict=True)
    tables = {}
    for k, (layer, after) in enumerate(convolutions):
        gain, tables[f"bias{k}"] = norm(f"patch.{after}")
        kernel = state[f"patch.{layer}.weight"] * gain[:, None, None, None]
        tables[f"kernel{k}"] = kernel.transpose(2, 3, 1, 0).reshape(-1, len(kernel))
    gain, tables["flat_bias"] = norm(f"patch.{last_norm}")
    weights = (state[f"patch.{flat}.weight"] * gain[:, None]).reshape(WIDTH, -1, CELLS**2)
    tables["flat"] = weights.transpose(2, 1, 0).reshape(-1, WIDTH)
    gain, shift = norm("head.1")
    tables["hidden"] = (state["head.0.weight"] * gain[:, None]).T
    tables["hidden_bias"] = state["head.0.bias"] * gain + shift
    tables["out"], tables["skip"] = state["head.3.weight"].T, state["skip.weight"].T
    tables["bias"] = state["head.3.bias"] + state["skip.bias"]
    return {name: np.ascontiguousarray(table).astype(np.float16) for name, table in tables.items()}


def gather(job: tuple[Path, int]) -> tuple[list[View], list[Pair]]:
    """The views of one folder or photograph and the pairs among them."""
    path, seed = job
    views = views_of_bay(path) if path.is_dir() else views_of_photo(path, seed)
    return views, choose_pairs(views, np.random.default_rng(seed))


def weigh(material: Material, is_photo: list[bool]) -> list[float]:
    """Weights of all pairs; those of photographs together make up `PHOTO_SHARE`."""
    kinds = [photo for (_, pairs), photo in zip(material, is_photo, strict=True) for _ in pairs]
    weights = np.array([pair.weight for _, pairs in material for pair in pairs])
    of_photo = np.array(kinds, bool)
    if of_photo.any() and not of_photo.all():
        weights[of_photo] *= PHOTO_SHARE / weights[of_photo].sum()
        weights[~of_photo] *= (1 - PHOTO_SHARE) / weights[~of_photo].sum()
    return [float(weight) for weight in weights / weights.sum()]


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--bays", type=Path, nargs="+", required=True)
    ap.add_argument("--held", type=Path, nargs="*", default=[])
    ap.add_argument("--photos", type=Path, nargs="*", default=[])
    ap.add_argument("--out", type=Path, default=Path("patches.npz"))
    ap.add_argument("--steps", type=int, default=STEPS)
    ap.add_argument("--seed", type=int, default=1)
    a = ap.parse_args()
    torch.manual_seed(a.seed)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    device = "cuda" if torch.cuda.is_available() else "cpu"
    paths = [*a.bays, *a.photos, *a.held]
    started = time.time()
    with Pool(initializer=cv2.setNumThreads, initargs=(1,)) as pool:
        material = pool.map(gather, [(path, 1000 * a.seed + k) for k, path in enumerate(paths)], chunksize=1)
    material, held = material[: len(paths) - len(a.held)], material[len(paths) - len(a.held) :]
    print(f"{sum(len(pairs) for _, pairs in material)} pairs, {time.time() - started:.0f} s", flush=True)
    keypool = Keypool(material, weigh(material, [path in a.photos for path in paths[: len(material)]]), device)
    net = PatchNet().to(device)
    optimiser = torch.optim.AdamW(net.parameters(), lr=RATE, weight_decay=1e-3)
    began, running = time.time(), 0.0
    for step in range(a.steps):
        rate = RATE * min(1.0, step / WARM_UP) * 0.5 * (1 + math.cos(math.pi * step / a.steps))
        for group in optimiser.param_groups:
            group["lr"] = rate
        loss = loss_of(net, keypool)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        optimiser.step()
        if step % 100 == 0:
            running = loss.item() if step == 0 else running + 0.2 * (loss.item() - running)
        if (step + 1) % 1000 == 0:
            print(f"{time.time() - began:.0f} s step {step + 1} loss {running:.3f}", flush=True)
    net.eval()
    np.savez_compressed(a.out, **fold({name: table.cpu().numpy() for name, table in net.state_dict().items()}))
    print(f"{a.out.stat().st_size} bytes", flush=True)
    measure(net, held, device)


if __name__ == "__main__":
    main()
