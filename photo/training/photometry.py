"""From linear light to what a phone's camera keeps: framing, exposure, tone, few pixels, blur, noise, JPEG; and what is
still readable after that."""

from __future__ import annotations

import math
from typing import Any

import torch
from torch.nn import functional

from coaxtell.photo.reading import SIDE

SIZES = (24, 32, 40, 48, 64, 80, 96, 112, 128, 128, 128)
"""Sides to which a picture is reduced before it is enlarged again [px]: faces from about 15 px."""
LUMA = torch.tensor(
    [
        [16, 11, 10, 16, 24, 40, 51, 61],
        [12, 12, 14, 19, 26, 58, 60, 55],
        [14, 13, 16, 24, 40, 57, 69, 56],
        [14, 17, 22, 29, 51, 87, 80, 62],
        [18, 22, 37, 56, 68, 109, 103, 77],
        [24, 35, 55, 64, 81, 104, 113, 92],
        [49, 64, 78, 87, 103, 121, 120, 101],
        [72, 92, 95, 98, 112, 100, 103, 99],
    ]
).float()
"""Quantisation of brightness, ITU-T T.81, table K.1."""


def _uniform(n: int, low: float, high: float, like: Any) -> Any:
    return low + (high - low) * torch.rand(n, device=like.device)


def _shaped(v: Any) -> Any:
    return v.view(-1, 1, 1, 1)


def resampled(x: Any, side: int, sigma: Any) -> Any:
    """Pictures at another size, blurred by `sigma` [px of the result] each."""
    n = x.shape[-1]
    ratio = n / side
    centres = (torch.arange(side, device=x.device).float() + 0.5) * ratio - 0.5
    own = 0.4 * ratio if ratio > 1 else 0.05
    spread = (sigma.view(-1, 1, 1) * ratio) ** 2 + own**2
    weights = torch.exp(-((centres[None, :, None] - torch.arange(n, device=x.device).float()) ** 2) / (2 * spread))
    weights = (weights / weights.sum(2, keepdim=True))[:, None]
    return weights @ x @ weights.transpose(2, 3)


def jpeg(x: Any, quality: Any) -> Any:
    """What JPEG leaves of brightness in blocks of eight; colour is halved and kept."""
    k = torch.arange(8, device=x.device).float()
    basis = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) * 0.5
    basis[0] *= 2**-0.5
    y = (x * torch.tensor([0.299, 0.587, 0.114], device=x.device).view(1, 3, 1, 1)).sum(1, keepdim=True)
    colour = x - y
    colour = functional.interpolate(
        functional.avg_pool2d(colour, 2), scale_factor=2, mode="bilinear", align_corners=False
    )
    b, _, h, w = y.shape
    blocks = (y * 255 - 128).view(b, h // 8, 8, w // 8, 8).permute(0, 1, 3, 2, 4)
    table = LUMA.to(x.device) * (torch.where(quality < 50, 5000 / quality, 200 - 2 * quality) / 100).view(
        -1, 1, 1, 1, 1
    )
    table = table.clamp(1, 255)
    kept = torch.round((basis @ blocks @ basis.T) / table) * table
    back = ((basis.T @ kept @ basis).permute(0, 1, 3, 2, 4).reshape(b, 1, h, w) + 128) / 255
    return (back + colour).clamp(0, 1)


def photographed(linear: Any, truth: Any, counts: Any, train: bool = True) -> tuple[Any, dict[str, Any]]:
    """Pictures (n, 3, SIDE, SIDE) and what they still show, from linear light (n, side, side, 3).

    `truth` has the columns of `scenes.LABELS`, `counts` how many pixels show centre, plastic and coupling.
    """
    x = linear.permute(0, 3, 1, 2).float()
    n, side = len(x), x.shape[-1]
    angle = torch.where(_uniform(n, 0, 1, x) < 0.5, _uniform(n, -3.1416, 3.1416, x), _uniform(n, -0.2, 0.2, x))
    mirror = torch.where(_uniform(n, 0, 1, x) < 0.5, -1.0, 1.0)
    zoom = torch.exp(_uniform(n, -0.28, 0.1, x))
    move = 0.06 + (1 - zoom * SIDE / side).clamp(min=0)
    tx, ty = _uniform(n, -1, 1, x) * move, _uniform(n, -1, 1, x) * move
    if not train:
        angle, mirror, zoom, tx, ty = angle * 0, mirror * 0 + 1, zoom * 0 + 1, tx * 0, ty * 0
    k = zoom * (SIDE / side)
    cos, sin = torch.cos(angle), torch.sin(angle)
    theta = torch.stack(
        [torch.stack([cos * k * mirror, -sin * k, tx], 1), torch.stack([sin * k * mirror, cos * k, ty], 1)], 1
    )
    grid = functional.affine_grid(theta, (n, 3, SIDE, SIDE), align_corners=False)
    x = functional.grid_sample(x, grid, mode="bilinear", padding_mode="border", align_corners=False)
    ix, iy = truth[:, 5] - tx, truth[:, 6] - ty
    cx, cy, share = (cos * ix + sin * iy) / k * mirror, (-sin * ix + cos * iy) / k, truth[:, 7] / k
    light = x.amax(1).flatten(1)[:, ::5].sort(1)[0]
    at = (_uniform(n, 0.55, 0.985, x) * (light.shape[1] - 1)).long()
    white = light.gather(1, at[:, None])[:, 0].clamp(min=1e-3)
    x = x * _shaped(torch.exp(_uniform(n, math.log(0.2), math.log(1.6), x)) / white)
    x = x * torch.exp(torch.randn(n, 3, 1, 1, device=x.device) * 0.12)
    grey = x.mean(1, keepdim=True)
    x = (grey + (x - grey) * _shaped(_uniform(n, 0.3, 1.3, x))).clamp(min=0)
    glare = (_uniform(n, 0, 1, x) < 0.12).float() * _uniform(n, 0.05, 0.5, x)
    x = x + _shaped(glare)
    soft = _shaped(_uniform(n, 0, 1, x)) < 0.5
    x = torch.where(soft, 1 - torch.exp(-x * 1.2), x.clamp(max=1)).clamp(1e-4, 1) ** (
        1 / _shaped(_uniform(n, 1.7, 2.6, x))
    )
    contrast = _shaped(_uniform(n, -0.3, 0.6, x))
    x = (x + contrast * (x - 0.5) * x * (1 - x) * 3).clamp(0, 1)
    out, sides, blur = (
        torch.empty(n, 3, SIDE, SIDE, device=x.device),
        torch.empty(n, device=x.device),
        torch.empty(n, device=x.device),
    )
    step = max(1, n // 8)
    for i in range(0, n, step):
        size = SIZES[int(torch.randint(len(SIZES), (1,)))]
        y = x[i : i + step]
        m = len(y)
        sigma = torch.where(
            _uniform(m, 0, 1, x) < 0.55, _uniform(m, 0.05, 0.7, x), _uniform(m, 0, 1, x) ** 1.5 * 2.0
        ) * (0.5 + 0.5 * size / SIDE)
        y = resampled(y, size, sigma)
        noise = torch.where(_uniform(m, 0, 1, x) < 0.6, _uniform(m, 0, 0.015, x), _uniform(m, 0, 0.06, x))
        y = y + torch.randn_like(y) * _shaped(noise) * (0.4 + y.clamp(0, 1).sqrt())
        sharp = _shaped(_uniform(m, 0, 1.4, x) * (_uniform(m, 0, 1, x) < 0.4).float())
        y = (y + sharp * (y - resampled(y, size, torch.full((m,), 1.0, device=x.device)))).clamp(0, 1)
        if float(torch.rand(1)) < 0.8:
            y = jpeg(y, _uniform(m, 30, 97, x))
        if size != SIDE:
            y = functional.interpolate(y, size=(SIDE, SIDE), mode="bicubic", align_corners=False).clamp(0, 1)
        out[i : i + step], sides[i : i + step], blur[i : i + step] = y, size, sigma
    return out, _shown(
        truth, counts, side, k, sides, blur, torch.stack([cx, cy, torch.log(share.clamp(min=0.05))], 1), share
    )


def _shown(
    truth: Any, counts: Any, side: int, k: Any, sides: Any, blur: Any, circle: Any, share: Any
) -> dict[str, Any]:
    """What is true and still to be seen: labels, -1 where it is neither clearly so nor clearly not."""
    scale = (sides / (side * k)) ** 2
    centre, plastic, coupling = (counts[:, i] * scale for i in range(3))
    face, yes = truth[:, 0].clone(), torch.ones_like(truth[:, 0])
    radius = share * sides / 2
    face = torch.where((face == 1) & ((radius < 6) | (blur > 0.4 * radius)), -yes, face)
    is_face = face == 1
    wide = 2 * (centre / math.pi).sqrt()
    read = torch.where(
        is_face & (wide >= 3.4) & (blur < 0.3 * wide),
        yes,
        torch.where((face == 0) | (wide < 2.0) | (blur > 0.6 * wide), 0 * yes, -yes),
    )
    deep = truth[:, 3] == 2
    disc = torch.where(deep, radius * 0.8, 2 * (plastic / math.pi).sqrt())
    clear = (disc >= 5) & (blur < 0.3 * disc) & (~deep | (truth[:, 4] < 45))
    read_plastic = torch.where(
        is_face & clear, yes, torch.where((face == 0) | (disc < 2.5) | (blur > 0.7 * disc), 0 * yes, -yes)
    )
    # threads and studs show themselves; smooth flanks are known only from the side
    known = truth[:, 1].long()
    marked = (known == 0) | (known == 1) | (known == 2)
    flank = coupling / (math.pi * radius**2).clamp(min=1)
    fine = (coupling > 30) & (flank > 0.04) & (blur < 0.12 * radius)
    visible = torch.where(marked, fine, (truth[:, 4] > 18) & (radius > 12))
    hidden = torch.where(marked, (coupling < 8) | (flank < 0.008), truth[:, 4] < 8) | (radius < 8)
    seen = torch.where(is_face & visible, yes, torch.where((face == 0) | (is_face & hidden), 0 * yes, -yes))
    return {
        "face": face,
        "coupling": torch.where(seen == 1, truth[:, 1], -yes),
        "centre": torch.where(read == 1, truth[:, 2], -yes),
        "plastic": torch.where(read_plastic == 1, truth[:, 3], -yes),
        "coupling_visible": seen,
        "centre_readable": read,
        "plastic_readable": read_plastic,
        "circle": circle,
    }
