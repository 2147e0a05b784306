"""From a screen colour to CIE Lab and back, and how far apart two colours look.

sRGB is IEC 61966-2-1; Lab is CIE 15 with the D65 white and the 2 degree observer; the difference is CIEDE2000
(CIE 142-2001), written after Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30. Arrays, so that the mixing
bench can ask about thousands of recipes at once; tests hold them against published pairs and a library.
"""

import re

import numpy as np

__all__ = [
    "WHITE",
    "ciede2000",
    "from_hex",
    "lab_of_hex",
    "lab_of_xyz",
    "srgb_of_xyz",
    "to_hex",
    "xyz_of_lab",
    "xyz_of_srgb",
]

WHITE = np.array([0.9504559270516716, 1.0, 1.0890577507598784])
"""XYZ of D65 from the sRGB standard's chromaticity x = 0.3127, y = 0.3290, with Y = 1."""
TO_XYZ = np.array(
    [
        [506752 / 1228815, 87881 / 245763, 12673 / 70218],
        [87098 / 409605, 175762 / 245763, 12673 / 175545],
        [7918 / 409605, 87881 / 737289, 1001167 / 1053270],
    ]
)
"""Linear sRGB to XYZ, exact rationals from the standard's primaries and white."""
TO_SRGB = np.linalg.inv(TO_XYZ)
_HEX = re.compile(r"#[0-9a-fA-F]{6}\Z")


def from_hex(text: str) -> np.ndarray:
    """sRGB in [0, 1], shape (3,), of "#rrggbb". Raises ValueError for anything else."""
    if not isinstance(text, str) or not _HEX.match(text):
        raise ValueError("A colour looks like #a1b2c3.")
    return np.array([int(text[i : i + 2], 16) for i in (1, 3, 5)]) / 255


def to_hex(srgb) -> str:
    """The nearest "#rrggbb" of sRGB values, clipped to what a screen can show."""
    levels = np.clip(np.rint(np.asarray(srgb, dtype=float) * 255), 0, 255).astype(int)
    return "#" + "".join(f"{level:02x}" for level in levels)


def xyz_of_srgb(srgb) -> np.ndarray:
    """XYZ, shape (..., 3), of sRGB in [0, 1], same shape."""
    srgb = np.asarray(srgb, dtype=float)
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((np.maximum(srgb, 0) + 0.055) / 1.055) ** 2.4)
    return linear @ TO_XYZ.T


def srgb_of_xyz(xyz) -> np.ndarray:
    """sRGB, shape (..., 3), of XYZ; values outside [0, 1] are colours that no screen shows."""
    linear = np.asarray(xyz, dtype=float) @ TO_SRGB.T
    size = np.abs(linear)
    curved = np.where(size <= 0.0031308, 12.92 * size, 1.055 * np.maximum(size, 1e-12) ** (1 / 2.4) - 0.055)
    return np.sign(linear) * curved


def lab_of_xyz(xyz) -> np.ndarray:
    """CIE L*a*b*, shape (..., 3), of XYZ under D65."""
    ratio = np.asarray(xyz, dtype=float) / WHITE
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def xyz_of_lab(lab) -> np.ndarray:
    """XYZ of CIE Lab, the reverse of `lab_of_xyz`."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    return WHITE * np.where(f**3 > 216 / 24389, f**3, (116 * f - 16) * 27 / 24389)


def lab_of_hex(text: str) -> np.ndarray:
    """CIE L*a*b* of "#rrggbb"."""
    return lab_of_xyz(xyz_of_srgb(from_hex(text)))


def ciede2000(first, second) -> np.ndarray:
    """CIEDE2000 difference of two arrays of Lab, shapes (..., 3) that broadcast; unit weights."""
    first, second = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    l1, a1, b1 = first[..., 0], first[..., 1], first[..., 2]
    l2, a2, b2 = second[..., 0], second[..., 1], second[..., 2]
    mean7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1 + 0.5 * (1 - np.sqrt(mean7 / (mean7 + 25.0**7)))
    c1, c2 = np.hypot(stretch * a1, b1), np.hypot(stretch * a2, b2)
    h1 = np.degrees(np.arctan2(b1, stretch * a1)) % 360
    h2 = np.degrees(np.arctan2(b2, stretch * a2)) % 360
    grey = c1 * c2 == 0
    turn = h2 - h1
    turn = np.where(grey, 0, np.where(turn > 180, turn - 360, np.where(turn < -180, turn + 360, turn)))
    delta_l, delta_c = l2 - l1, c2 - c1
    delta_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2)
    light, chroma, hues = (l1 + l2) / 2, (c1 + c2) / 2, h1 + h2
    around = np.where(hues < 360, hues + 360, hues - 360)
    hue = np.where(grey, hues, np.where(np.abs(h1 - h2) <= 180, hues, around) / 2)
    t = (
        1
        - 0.17 * np.cos(np.radians(hue - 30))
        + 0.24 * np.cos(np.radians(2 * hue))
        + 0.32 * np.cos(np.radians(3 * hue + 6))
        - 0.20 * np.cos(np.radians(4 * hue - 63))
    )
    s_l = 1 + 0.015 * (light - 50) ** 2 / np.sqrt(20 + (light - 50) ** 2)
    s_c, s_h = 1 + 0.045 * chroma, 1 + 0.015 * chroma * t
    twist = np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2)))
    r_t = -np.sin(twist) * 2 * np.sqrt(chroma**7 / (chroma**7 + 25.0**7))
    dl, dc, dh = delta_l / s_l, delta_c / s_c, delta_h / s_h
    return np.sqrt(np.maximum(0, dl**2 + dc**2 + dh**2 + r_t * dc * dh))
