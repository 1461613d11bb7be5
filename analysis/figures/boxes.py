"""Plane geometry of labels, in pixels: which boxes, lines and boxes touch. Arrays in, arrays of truth out.

A box is (left, bottom, right, top); a segment is (x, y, x, y) of its ends. Touching counts as meeting.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

LEAST = 1e-6  # px: as good as touching


def boxes_about(centres: ArrayLike, size: tuple[float, float]) -> np.ndarray:
    """Boxes of one `size` (width, height) about many centres: (k, 2) → (k, 4)."""
    centres = np.asarray(centres, dtype=float).reshape(-1, 2)
    half = np.array(size) / 2
    return np.hstack([centres - half, centres + half])


def padded(boxes: ArrayLike, pad: float) -> np.ndarray:
    """The boxes grown by `pad` on each side."""
    return np.asarray(boxes, dtype=float).reshape(-1, 4) + np.array([-pad, -pad, pad, pad])


def boxes_meet(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Which boxes of `first` (k, 4) meet which of `second` (m, 4): (k, m)."""
    a, b = first[:, None, :], second[None, :, :]
    return (a[..., 0] <= b[..., 2]) & (b[..., 0] <= a[..., 2]) & (a[..., 1] <= b[..., 3]) & (b[..., 1] <= a[..., 3])


def segments_meet_boxes(segments: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """Which boxes (k, 4) are met by which segments (m, 4): (k, m). Clips each segment to the two slabs of a box."""
    start, along = segments[None, :, :2], segments[None, :, 2:] - segments[None, :, :2]
    along = np.where(np.abs(along) < 1e-9, 1e-9, along)  # far less than a pixel: never divides by zero
    low = (boxes[:, None, :2] - LEAST - start) / along
    high = (boxes[:, None, 2:] + LEAST - start) / along
    enter = np.minimum(low, high).max(axis=-1)
    leave = np.maximum(low, high).min(axis=-1)
    return (enter <= leave) & (enter <= 1) & (leave >= 0)


def segments_cross(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Which segments of `first` (k, 4) cross which of `second` (m, 4): (k, m); parallel ones do not."""
    p, r = first[:, None, :2], first[:, None, 2:] - first[:, None, :2]
    q, s = second[None, :, :2], second[None, :, 2:] - second[None, :, :2]
    turn = _cross(r, s)
    with np.errstate(divide="ignore", invalid="ignore"):
        t, u = _cross(q - p, s) / turn, _cross(q - p, r) / turn
        return (turn != 0) & (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
