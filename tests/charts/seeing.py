"""What is in a picture's file, and how its colours look to different eyes."""

from __future__ import annotations

import numpy as np
from matplotlib.colors import to_rgb


def is_like(pixels: np.ndarray, colour: str, within: float = 0.05) -> np.ndarray:
    return np.abs(pixels - np.array(to_rgb(colour))).max(axis=-1) < within


def chunk_ends(data: bytes) -> list[int]:
    """Where each chunk's name ends in a PNG."""
    ends, at = [], 8
    while at < len(data):
        ends.append(at + 8)
        at += 12 + int.from_bytes(data[at : at + 4], "big")
    return ends


def luminance(colour: tuple[float, float, float]) -> float:
    """Relative luminance, WCAG 2.1."""
    return float(linear(np.array(colour)) @ [0.2126, 0.7152, 0.0722])


def linear(srgb: np.ndarray) -> np.ndarray:
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def contrast(one: str | tuple[float, float, float], two: str | tuple[float, float, float]) -> float:
    """Contrast ratio, WCAG 2.1: 1 to 21."""
    dark, light = sorted((luminance(to_rgb(one)), luminance(to_rgb(two))))
    return (light + 0.05) / (dark + 0.05)


def over(colour: str, alpha: float, ground: str) -> tuple[float, float, float]:
    red, green, blue = (alpha * a + (1 - alpha) * b for a, b in zip(to_rgb(colour), to_rgb(ground), strict=True))
    return red, green, blue


# Machado, Oliveira and Fernandes 2009, IEEE Trans. Visualization and Computer Graphics 15:1291, severity 1.0 (the
# figures from memory; each row adds up to 1, so that greys stay grey).
SIGHTS = {
    "full": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
}


def lab(colour: str, sight: np.ndarray) -> np.ndarray:
    """CIE L*a*b* (D65) of an sRGB colour as somebody with that sight sees it."""
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    seen = np.clip(sight @ linear(np.array(to_rgb(colour))), 0, 1)
    x, y, z = np.cbrt(to_xyz @ seen / np.array([0.9505, 1.0, 1.089]))
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])
