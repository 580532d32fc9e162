"""Pairs of views to teach the network of points with, drawn on the GPU with exact partners: torch.

A view of photographs in layers: a background, and shapes cut out of others before it, each a plane in space with its
own depth and slant. The second view is taken from another place, so layers move against each other and hide each other;
some layers are gone in it, or move on their own. And pairs of real photographs, with matches as partners, each seen
turned and slanted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
import torch.nn.functional as F
from points_light import grid_of, uniform

FOCAL = 0.9
LAYERS = 4


@dataclass
class Shelf:
    """Photographs on the GPU, with what the teacher says of them.

    Attributes: `gray` (n, side, side) uint8, upper left filled; `size` (n, 2) width and height; `group` (n,), the same
    number for photographs that may show one place; `points` (n, k, 2) pixels; `described` (n, k, 128); `there` (n, k)
    whether there is a point; `alone` (m,) which photographs serve as layers.
    """

    gray: torch.Tensor
    size: torch.Tensor
    group: torch.Tensor
    points: torch.Tensor
    described: torch.Tensor
    there: torch.Tensor
    alone: torch.Tensor


@dataclass
class Views:
    """Pairs of views: `first`, `second` (b, 1, h, w) in 0..1 and the same points in both.

    Attributes: `points` (b, 2, k, 2) pixels, `seen` (b, 2, k) where they show, `described` (b, k, 128), `told` (b, k)
    how far the teacher's words hold, `group` (b, k), `turn` and `growth` (b, k) in radians and as a logarithm, NaN
    where unknown.
    """

    first: torch.Tensor
    second: torch.Tensor
    points: torch.Tensor
    seen: torch.Tensor
    described: torch.Tensor
    told: torch.Tensor
    group: torch.Tensor
    turn: torch.Tensor
    growth: torch.Tensor


def through(matrix: torch.Tensor, points: torch.Tensor) -> torch.Tensor:
    """Points (b, ..., 2) through homographies (b, 3, 3); what lies behind goes far away."""
    shape = points.shape
    flat = points.reshape(shape[0], -1, 2)
    moved = flat @ matrix[:, :, :2].transpose(1, 2) + matrix[:, None, :, 2]
    depth = moved[..., 2:]
    out = moved[..., :2] / depth.clamp_min(1e-6)
    return torch.where(depth > 1e-4, out, torch.full_like(out, -1e5)).reshape(shape)


def read(shelf: Shelf, index: torch.Tensor, places: torch.Tensor) -> torch.Tensor:
    """Photographs (b,) at places (b, h, w, 2), mirrored beyond their edges: (b, h, w) in 0..1."""
    size = (shelf.size[index].float() - 1)[:, None, None]
    period = 2 * size
    folded = torch.remainder(places.clamp(-1e5, 1e5), period)
    folded = torch.where(folded > size, period - folded, folded)
    pictures = shelf.gray[index].float()[:, None] / 255
    side = pictures.shape[-1] - 1
    return F.grid_sample(pictures, folded / side * 2 - 1, align_corners=True)[:, 0]


def affine_onto(shelf: Shelf, index: torch.Tensor, wide: int, high: int, spread: float, upright: float) -> torch.Tensor:
    """From view pixels to pixels of photographs: (b, 3, 3), turned and grown at random, near the middle."""
    device, count = shelf.gray.device, len(index)
    size = shelf.size[index].float()
    fit = torch.minimum(size[:, 0] / wide, size[:, 1] / high)
    grow = fit * torch.exp(uniform((count,), -spread, 0.25, device))
    turn = turns(count, upright, device)
    c, s = grow * turn.cos(), grow * turn.sin()
    slack = (size - torch.stack([wide * grow, high * grow], 1)).clamp_min(0) / 2
    middle = (size - 1) / 2 + slack * uniform((count, 2), -1, 1, device)
    matrix = torch.zeros(count, 3, 3, device=device)
    matrix[:, 0, 0], matrix[:, 0, 1], matrix[:, 1, 0], matrix[:, 1, 1], matrix[:, 2, 2] = c, -s, s, c, 1
    half = torch.tensor([(wide - 1) / 2, (high - 1) / 2], device=device)
    matrix[:, :2, 2] = middle - (matrix[:, :2, :2] @ half[:, None])[..., 0]
    return matrix


def turns(count: int, upright: float, device: torch.device) -> torch.Tensor:
    """Angles in radians: so large a share near none, the others any."""
    near = torch.randn(count, device=device) * 0.2
    return torch.where(torch.rand(count, device=device) < upright, near, uniform((count,), -math.pi, math.pi, device))


def rotation(yaw: torch.Tensor, pitch: torch.Tensor, roll: torch.Tensor) -> torch.Tensor:
    zero, one = torch.zeros_like(yaw), torch.ones_like(yaw)

    def rows(*values: torch.Tensor) -> torch.Tensor:
        return torch.stack(values, -1).reshape(-1, 3, 3)

    by_yaw = rows(yaw.cos(), zero, yaw.sin(), zero, one, zero, -yaw.sin(), zero, yaw.cos())
    by_pitch = rows(one, zero, zero, zero, pitch.cos(), -pitch.sin(), zero, pitch.sin(), pitch.cos())
    by_roll = rows(roll.cos(), -roll.sin(), zero, roll.sin(), roll.cos(), zero, zero, zero, one)
    return by_roll @ by_pitch @ by_yaw


def camera(wide: int, high: int, device: torch.device) -> torch.Tensor:
    focal = FOCAL * max(wide, high)
    return torch.tensor([[focal, 0, (wide - 1) / 2], [0, focal, (high - 1) / 2], [0, 0, 1.0]], device=device)


def planes(count: int, wide: int, high: int, upright: float, device: torch.device) -> torch.Tensor:
    """Homographies (b, 1 + LAYERS, 3, 3) from the first view to the second, the background first, then ever nearer."""
    angle = 0.3 * torch.randn(2, count, device=device).clamp(-2.2, 2.2)
    turned = rotation(angle[0], angle[1], turns(count, upright, device))
    pivot = torch.zeros(count, 3, device=device)
    pivot[:, 2] = 1
    depth = torch.exp(0.35 * torch.randn(count, device=device)).clamp(0.42, 2.3)
    shift = 0.12 * torch.randn(count, 2, device=device)
    moved = torch.cat([shift * depth[:, None], depth[:, None]], 1) - (turned @ pivot[..., None])[..., 0]
    matrix, out = camera(wide, high, device), []
    back = torch.linalg.inv(matrix)
    near = uniform((count, LAYERS), 0.6, 1.0, device).sort(1, descending=True).values
    far = uniform((count, 1), 1.0, 1.5, device)
    for k, distance in enumerate(torch.cat([far, near], 1).unbind(1)):
        slant = (0.35 if k else 0.25) * torch.randn(count, 2, device=device).clamp(-2, 2)
        normal = torch.cat([slant, torch.ones(count, 1, device=device)], 1)
        own_move = moved
        if k:
            # One layer in eight moves on its own: a part that was bent aside.
            alone = (torch.rand(count, device=device) < 0.125)[:, None]
            own_move = torch.where(alone, moved + 0.15 * torch.randn(count, 3, device=device), moved)
        plane = turned + own_move[:, :, None] * normal[:, None] / distance[:, None, None]
        out.append(matrix @ plane @ back)
    return torch.stack(out, 1)


def shapes(count: int, side: int, device: torch.device) -> torch.Tensor:
    """Cut-outs (b, LAYERS, side, side) in 0..1: blobs, hoses, discs, boxes, or nothing.

    They reach over three views in each direction, so that a second camera finds what lies beside the first view.
    """
    n = count * LAYERS
    axis = torch.linspace(-1.5, 1.5, side, device=device)
    y, x = torch.meshgrid(axis, axis, indexing="ij")
    turn = uniform((n, 1, 1), 0, math.pi, device)
    cx, cy = uniform((n, 1, 1), -0.8, 0.8, device), uniform((n, 1, 1), -0.8, 0.8, device)
    u = (x - cx) * turn.cos() + (y - cy) * turn.sin()
    v = -(x - cx) * turn.sin() + (y - cy) * turn.cos()
    a, b = uniform((n, 1, 1), 0.12, 0.55, device), uniform((n, 1, 1), 0.12, 0.55, device)
    noise = F.interpolate(torch.randn(n, 1, 9, 9, device=device), size=(side, side), mode="bicubic")[:, 0]
    bend = 0.3 * torch.sin(u * uniform((n, 1, 1), 1, 5, device) + uniform((n, 1, 1), 0, 6, device))
    kinds = torch.stack(
        [
            noise - uniform((n, 1, 1), 0.6, 1.1, device),
            uniform((n, 1, 1), 0.03, 0.16, device) - (v - bend).abs(),
            1 - (u / a) ** 2 - (v / b) ** 2,
            torch.minimum(a - u.abs(), b - v.abs()),
            torch.full_like(noise, -1.0),
        ],
        1,
    )
    kind = torch.multinomial(torch.tensor([0.2, 0.2, 0.15, 0.15, 0.3], device=device), n, replacement=True)
    field = kinds[torch.arange(n, device=device), kind]
    return (field * 40 + 0.5).clamp(0, 1).reshape(count, LAYERS, side, side)


def cut(masks: torch.Tensor, places: torch.Tensor, wide: int, high: int) -> torch.Tensor:
    """Cut-outs (b, s, s) at places (b, ..., 2) of the first view."""
    half = torch.tensor([(wide - 1) / 2, (high - 1) / 2], device=places.device)
    at = (places / half - 1) / 1.5
    shape = at.shape[:-1]
    flat = at.reshape(len(at), -1, 1, 2).clamp(-9, 9)
    return F.grid_sample(masks[:, None], flat, align_corners=True)[:, 0, :, 0].reshape(shape)


def layered(shelf: Shelf, count: int, wide: int, high: int, upright: float) -> Views:
    """So many pairs of views of layers."""
    device = shelf.gray.device
    planar = planes(count, wide, high, upright, device)
    masks = shapes(count, 240, device)
    lone = shelf.alone[torch.randint(len(shelf.alone), (count, 1 + LAYERS), device=device)]
    grid = grid_of(high, wide, device)[None].expand(count, -1, -1, -1)
    onto = [affine_onto(shelf, lone[:, k], wide, high, 0.5 if k == 0 else 0.9, 0.8) for k in range(1 + LAYERS)]
    here = (torch.rand(2, count, 1 + LAYERS, device=device) > 0.12).float()
    here[:, :, 0] = 1
    pictures, tops = [], []
    backs = torch.linalg.inv(planar)
    for view in (0, 1):
        picture, top = None, torch.zeros(count, high, wide, device=device, dtype=torch.long)
        for k in range(1 + LAYERS):
            places = grid if view == 0 else through(backs[:, k], grid)
            layer = read(shelf, lone[:, k], through(onto[k], places))
            if picture is None:
                picture = layer
                continue
            alpha = cut(masks[:, k - 1], places, wide, high) * here[view, :, k, None, None]
            picture = layer * alpha + picture * (1 - alpha)
            top = torch.where(alpha > 0.5, k, top)
        assert picture is not None
        pictures.append(picture[:, None])
        tops.append(top)
    parts: dict[str, list[torch.Tensor]] = {n: [] for n in ("at", "seen", "desc", "told", "group", "turn", "growth")}
    for k in range(1 + LAYERS):
        from_photo = torch.linalg.inv(onto[k])
        first = through(from_photo, shelf.points[lone[:, k]])
        second = through(planar[:, k], first)
        inside = []
        for view, at in enumerate((first, second)):
            whole = at.round().long()
            ok = (at > 3).all(-1) & (at[..., 0] < wide - 4) & (at[..., 1] < high - 4) & shelf.there[lone[:, k]]
            x, y = whole[..., 0].clamp(0, wide - 1), whole[..., 1].clamp(0, high - 1)
            on_top = tops[view].reshape(count, -1).gather(1, y * wide + x) == k
            inside.append(ok & on_top)
        beside = torch.stack([first + torch.tensor(d, device=device) for d in ([1.0, 0.0], [0.0, 1.0])], 0)
        across, down = (through(planar[:, k], b) - second for b in beside)
        turn = torch.atan2(across[..., 1] - down[..., 0], across[..., 0] + down[..., 1])
        area = (across[..., 0] * down[..., 1] - across[..., 1] * down[..., 0]).abs().clamp(1e-4, 1e4)
        zoom = torch.linalg.det(from_photo[:, :2, :2]).abs().sqrt()
        parts["at"].append(torch.stack([first, second], 1))
        parts["seen"].append(torch.stack(inside, 1))
        parts["desc"].append(shelf.described[lone[:, k]])
        parts["told"].append(((zoom > 0.6) & (zoom < 1.8)).float()[:, None].expand(-1, first.shape[1]))
        parts["group"].append(shelf.group[lone[:, k]][:, None].expand(-1, first.shape[1]))
        parts["turn"].append(turn)
        parts["growth"].append(area.log() / 2)
    return Views(
        pictures[0],
        pictures[1],
        torch.cat(parts["at"], 2),
        torch.cat(parts["seen"], 2),
        torch.cat(parts["desc"], 1),
        torch.cat(parts["told"], 1),
        torch.cat(parts["group"], 1),
        torch.cat(parts["turn"], 1),
        torch.cat(parts["growth"], 1),
    )


@dataclass
class Matched:
    """Pairs of photographs: `pair` (n, 2) indices, `at` (n, m, 4) matches, `count` (n,) how many of them count."""

    pair: torch.Tensor
    at: torch.Tensor
    count: torch.Tensor


def real(shelf: Shelf, matched: Matched, count: int, wide: int, high: int, upright: float, keep: int) -> Views:
    """So many pairs of photographs, each seen turned and slanted; partners are matches, other points the teacher's."""
    device = shelf.gray.device
    drawn = torch.randint(len(matched.pair), (count,), device=device)
    rows = (torch.rand(count, keep, device=device) * matched.count[drawn][:, None]).long()
    at = matched.at[drawn].gather(1, rows[..., None].expand(-1, -1, 4))
    grid = grid_of(high, wide, device)[None].expand(count, -1, -1, -1)
    pictures = []
    others = shelf.points.shape[1]
    views = []
    for view in (0, 1):
        index = matched.pair[drawn, view]
        onto = affine_onto(shelf, index, wide, high, 0.4, upright)
        slant = torch.eye(3, device=device).repeat(count, 1, 1)
        slant[:, 2, :2] = 0.25 * torch.randn(count, 2, device=device).clamp(-2, 2) / wide
        middle = torch.eye(3, device=device).repeat(count, 1, 1)
        middle[:, 0, 2], middle[:, 1, 2] = -(wide - 1) / 2, -(high - 1) / 2
        onto = onto @ torch.linalg.inv(middle) @ slant @ middle
        back = torch.linalg.inv(onto)
        pictures.append(read(shelf, index, through(onto, grid))[:, None])
        partners = through(back, at[..., 2 * view : 2 * view + 2])
        own = through(back, shelf.points[index])
        views.append((index, partners, own))
    shape_far = torch.full((count, others, 2), -1e5, device=device)
    none = torch.zeros(count, others, dtype=torch.bool, device=device)

    def inside(p: torch.Tensor) -> torch.Tensor:
        return (p > 3).all(-1) & (p[..., 0] < wide - 4) & (p[..., 1] < high - 4)

    first = torch.cat([views[0][1], views[0][2], shape_far], 1)
    second = torch.cat([views[1][1], shape_far, views[1][2]], 1)
    there = [shelf.there[views[k][0]] for k in (0, 1)]
    seen_first = torch.cat([inside(views[0][1]), inside(views[0][2]) & there[0], none], 1)
    seen_second = torch.cat([inside(views[1][1]), none, inside(views[1][2]) & there[1]], 1)
    total = first.shape[1]
    blank = torch.zeros(count, keep, shelf.described.shape[-1], device=device, dtype=shelf.described.dtype)
    described = torch.cat([blank, shelf.described[views[0][0]], shelf.described[views[1][0]]], 1)
    told = torch.ones(count, total, device=device)
    told[:, :keep] = 0
    group = shelf.group[views[0][0]][:, None].expand(-1, total)
    unknown = torch.full((count, total), math.nan, device=device)
    return Views(
        pictures[0],
        pictures[1],
        torch.stack([first, second], 1),
        torch.stack([seen_first, seen_second], 1),
        described,
        told,
        group,
        unknown,
        unknown,
    )
