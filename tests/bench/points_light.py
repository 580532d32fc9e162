"""Views in other light and by other cameras, for the network of points to learn from: torch."""

from __future__ import annotations

import torch
import torch.nn.functional as F


def uniform(shape: tuple[int, ...], low: float, high: float, device: torch.device) -> torch.Tensor:
    return torch.empty(shape, device=device).uniform_(low, high)


def grid_of(high: int, wide: int, device: torch.device) -> torch.Tensor:
    """Pixel places (h, w, 2)."""
    y, x = torch.meshgrid(torch.arange(high, device=device), torch.arange(wide, device=device), indexing="ij")
    return torch.stack([x, y], -1).float()


def smooth_noise(count: int, cells: int, high: int, wide: int, device: torch.device) -> torch.Tensor:
    return F.interpolate(torch.randn(count, 1, cells, cells, device=device), size=(high, wide), mode="bicubic")


def relight(x: torch.Tensor) -> torch.Tensor:
    """Views (n, 1, h, w) in other light and by other cameras: lamps, shadows, gloss, dirt, blur, grain, processing."""
    n, _, high, wide = x.shape
    device = x.device

    def u(low: float, up: float) -> torch.Tensor:
        return uniform((n, 1, 1, 1), low, up, device)

    def chance(share: float) -> torch.Tensor:
        return (torch.rand(n, 1, 1, 1, device=device) < share).float()

    grid = grid_of(high, wide, device)
    gx, gy = grid[..., 0] / wide, grid[..., 1] / wide

    def spot(reach: torch.Tensor) -> torch.Tensor:
        return torch.exp(-((gx - u(0, 1)) ** 2 + (gy - u(0, 0.8)) ** 2) / (2 * reach**2))

    plain = (x + u(0, 0.02) * torch.randn_like(x)).clamp(1e-3, 1) ** torch.exp(u(-0.3, 0.3))
    x = x.clamp(1e-3, 1) ** torch.exp(u(-0.5, 0.5))
    x = x * torch.exp(chance(0.5) * u(0, 0.5) * smooth_noise(n, 5, high, wide, device))
    shadow = (smooth_noise(n, 6, high, wide, device) * u(3, 20)).sigmoid()
    x = x * (1 - chance(0.4) * u(0.2, 0.75) * shadow)
    dirt = (smooth_noise(n, 24, high, wide, device) - 1).clamp_min(0)
    x = x * (1 - chance(0.25) * u(0.1, 0.5) * dirt.clamp_max(1))
    lamp = u(0.03, 0.25) + spot(u(0.12, 0.45)) * u(0.8, 1.6)
    x = torch.lerp(x, x * lamp, chance(0.25))
    gloss = sum(spot(u(0.005, 0.04)) * u(0, 0.8) for _ in range(3))
    x = x + chance(0.35) * gloss
    x = (x - 0.5) * torch.exp(u(-0.4, 0.3)) + 0.5 + u(-0.1, 0.1)
    soft = blur(x, 1.0)
    softer = blur(soft, 1.6)
    pick = torch.rand(n, 1, 1, 1, device=device)
    x = torch.where(pick < 0.2, soft, torch.where(pick < 0.3, softer, x))
    smeared = F.avg_pool2d(F.pad(x, (4, 4, 0, 0), mode="replicate"), (1, 9), 1)
    x = torch.where((pick > 0.3) & (pick < 0.34), smeared, x)
    # Depth of field: one side sharp, the other soft.
    side = (smooth_noise(n, 3, high, wide, device) * 3).sigmoid() * chance(0.2)
    x = torch.lerp(x, softer, side)
    x = x + u(0, 1) ** 2 * 0.05 * torch.randn_like(x)
    sharper = x + u(0.3, 1.5) * (x - blur(x, 1.2))
    x = torch.where(pick > 0.75, sharper, x)
    small = F.interpolate(x, scale_factor=0.6, mode="bilinear", antialias=True)
    x = torch.where((pick > 0.6) & (pick < 0.72), F.interpolate(small, size=(high, wide), mode="bilinear"), x)
    x = torch.lerp(x, plain, chance(0.3))
    return ((x.clamp(0, 1) * 255).round() / 255).detach()


def blur(x: torch.Tensor, sigma: float) -> torch.Tensor:
    reach = int(3 * sigma + 0.5)
    line = torch.exp(-(torch.arange(-reach, reach + 1, device=x.device).float() ** 2) / (2 * sigma**2))
    line = line / line.sum()
    x = F.conv2d(F.pad(x, (reach, reach, 0, 0), mode="replicate"), line[None, None, None])
    return F.conv2d(F.pad(x, (0, 0, reach, reach), mode="replicate"), line[None, None, :, None])
