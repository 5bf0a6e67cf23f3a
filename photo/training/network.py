"""The network that reads a face: a small residual net with one output for each look, and what it learns from."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import torch
from torch import nn
from torch.nn import functional

from coaxtell.photo.reading import HEADS, columns

WIDTHS = (32, 64, 112, 176, 256)


class Block(nn.Module):
    """Two convolutions round a short cut."""

    def __init__(self, one: int, two: int, stride: int) -> None:
        super().__init__()
        self.first = nn.Sequential(nn.Conv2d(one, two, 3, stride, 1, bias=False), nn.BatchNorm2d(two), nn.ReLU())
        self.second = nn.Sequential(nn.Conv2d(two, two, 3, 1, 1, bias=False), nn.BatchNorm2d(two))
        short: list[nn.Module] = [nn.AvgPool2d(2)] if stride == 2 else []
        short += [nn.Conv2d(one, two, 1, bias=False), nn.BatchNorm2d(two)] if one != two else []
        self.short = nn.Sequential(*short)

    def forward(self, x: Any) -> Any:
        return functional.relu(self.short(x) + self.second(self.first(x)))


class Reader(nn.Module):
    """Pictures (n, 3, SIDE, SIDE), sRGB 0 to 1, to the logits of all heads (n, 19)."""

    def __init__(self) -> None:
        super().__init__()
        layers: list[nn.Module] = [
            nn.Conv2d(3, WIDTHS[0], 5, 2, 2, bias=False),
            nn.BatchNorm2d(WIDTHS[0]),
            nn.ReLU(),
            Block(WIDTHS[0], WIDTHS[0], 1),
        ]
        for one, two in pairwise(WIDTHS):
            layers += [Block(one, two, 2), Block(two, two, 1)]
        layers.pop()
        self.body = nn.Sequential(*layers)
        self.head = nn.Sequential(nn.Dropout(0.2), nn.Linear(2 * WIDTHS[-1], sum(HEADS.values())))

    def forward(self, x: Any) -> Any:
        z = self.body((x - 0.45) / 0.25)
        return self.head(torch.cat([z.mean((2, 3)), z.amax((2, 3))], 1))


def loss(out: Any, truth: dict[str, Any]) -> Any:
    """What is wrong, over all heads; a label of -1 does not count."""
    at = columns()
    face = (truth["face"] == 1).float()

    def one_of(name: str) -> Any:
        wanted = truth[name].long()
        if (wanted >= 0).sum() == 0:
            return out.sum() * 0
        return functional.cross_entropy(out[:, at[name]], wanted, ignore_index=-1, label_smoothing=0.03)

    def yes(name: str) -> Any:
        known = (truth[name] >= 0).float()
        wrong = functional.binary_cross_entropy_with_logits(
            out[:, at[name]][:, 0], truth[name].clamp(min=0), reduction="none"
        )
        return (wrong * known).sum() / known.sum().clamp(min=1)

    circle = functional.smooth_l1_loss(out[:, at["circle"]], truth["circle"], reduction="none", beta=0.1).sum(1)
    return (
        one_of("coupling") + 1.3 * one_of("centre") + one_of("plastic")
        + 0.7 * yes("face") + 0.4 * yes("coupling_visible") + 0.5 * yes("centre_readable")
        + 0.4 * yes("plastic_readable") + (circle * face).sum() / face.sum().clamp(min=1)
    )  # fmt: skip
