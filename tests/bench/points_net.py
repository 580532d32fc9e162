"""The dense network for points and descriptors as it is trained: torch."""

from __future__ import annotations

import torch
import torch.nn.functional as F
from torch import nn

WIDTH = 64
TEACHER_WIDTH = 128
CELL = 4
"""Descriptors are one to a square of so many pixels; so are the points."""
DIVISOR = 32
BOX = 31
DARK = 4.0 / 255
"""Levels that a stretch of even gray is divided by at least, so that its noise stays small."""


def prepare(gray: torch.Tensor) -> torch.Tensor:
    """Pictures (n, 1, h, w) in 0..1 as the network takes them, (n, 2, h, w): light evened as a whole, and by places."""
    mean, std = gray.mean((1, 2, 3), keepdim=True), gray.std((1, 2, 3), keepdim=True)
    local = F.avg_pool2d(gray, BOX, 1, BOX // 2, count_include_pad=False)
    square = F.avg_pool2d(gray * gray, BOX, 1, BOX // 2, count_include_pad=False)
    spread = (square - local * local).clamp_min(0).sqrt()
    return torch.cat([(gray - mean) / (std + DARK), (gray - local) / (spread + DARK)], 1)


def block(before: int, after: int, stride: int = 1, size: int = 3) -> nn.Sequential:
    """A convolution, its normalisation and a bend."""
    convolution = nn.Conv2d(before, after, size, stride, size // 2, bias=False)
    return nn.Sequential(convolution, nn.BatchNorm2d(after), nn.ReLU(inplace=True))


class PointsNet(nn.Module):
    """Points, descriptors, how far to trust them, their turn and growth, of a prepared picture (n, 2, h, w)."""

    def __init__(self) -> None:
        super().__init__()
        self.first = nn.Sequential(block(2, 16, 2), block(16, 24))
        self.second = nn.Sequential(block(24, 48, 2), block(48, 48))
        self.third = nn.Sequential(block(48, 96, 2), block(96, 96), block(96, 96))
        self.fourth = nn.Sequential(block(96, 128, 2), block(128, 128), block(128, 128))
        self.fifth = nn.Sequential(block(128, 128, 2), block(128, 128), block(128, 128))
        self.from_coarse, self.from_sixteenth = nn.Conv2d(128, 96, 1), nn.Conv2d(128, 96, 1)
        self.middle = block(96, 96)
        self.from_middle, self.from_quarter = nn.Conv2d(96, WIDTH, 1), nn.Conv2d(48, WIDTH, 1)
        self.fine = block(WIDTH, WIDTH)
        self.descriptor = nn.Conv2d(WIDTH, WIDTH, 1)
        by_cell = nn.Conv2d(2, WIDTH, CELL, CELL, bias=False)
        self.pixels = nn.Sequential(by_cell, nn.BatchNorm2d(WIDTH), nn.ReLU(inplace=True))
        self.points = nn.Sequential(block(2 * WIDTH, WIDTH, size=1), nn.Conv2d(WIDTH, CELL * CELL + 1, 1))
        self.extra = nn.Sequential(block(WIDTH, 32, size=1), nn.Conv2d(32, 4, 1))

    def forward(self, x: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
        """Descriptors (n, 64, h/4, w/4), points (n, 17, h/4, w/4) as logits, and (n, 4, h/4, w/4) more.

        The last are trust, as a logit; cosine and sine of the turn; growth, as a logarithm.
        """

        def up(small: torch.Tensor, times: int = 2) -> torch.Tensor:
            return F.interpolate(small, scale_factor=times, mode="bilinear", align_corners=False)

        quarter = self.second(self.first(x))
        eighth = self.third(quarter)
        sixteenth = self.fourth(eighth)
        far = up(up(self.from_coarse(self.fifth(sixteenth))) + self.from_sixteenth(sixteenth))
        middle = self.middle(F.relu(eighth + far))
        fine = self.fine(F.relu(up(self.from_middle(middle)) + self.from_quarter(quarter)))
        points = self.points(torch.cat([fine, self.pixels(x)], 1))
        return self.descriptor(fine), points, self.extra(fine)
