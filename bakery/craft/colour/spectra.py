"""Reflectance curves for screen colours: 31 bands of 10 nm from 400 to 700 nm.

The curve is the smoothest one that shows the wanted colour: Burns, "Numerical methods for smoothest
reflectance reconstruction", Color Res. Appl. 45 (2020) 8-21, hyperbolic tangent form. The observer is CIE
1931, 2 degrees, under CIE D65, tabulated by the library colour-science 0.4.7 and normalised so that a perfect
white has Y = 1.
"""

from functools import lru_cache

import numpy as np

from .spaces import WHITE, from_hex, lab_of_xyz, srgb_of_xyz, xyz_of_srgb

__all__ = ["BANDS", "OBSERVER", "lab_of", "spectrum_of_hex", "srgb_of", "xyz_of"]

BANDS = np.arange(400, 701, 10)
"""Wavelengths of the bands [nm]."""
OBSERVER = np.array(
    [
        [0.00112088, 3.10182e-05, 0.0053146],
        [0.00376765, 0.000104777, 0.0179593],
        [0.0118838, 0.000353738, 0.0570933],
        [0.0232929, 0.000951734, 0.113683],
        [0.0345689, 0.00228289, 0.173407],
        [0.037234, 0.00420849, 0.196261],
        [0.0324273, 0.00669064, 0.186134],
        [0.0212391, 0.00989112, 0.139989],
        [0.0104939, 0.0152537, 0.0891991],
        [0.00329675, 0.0214242, 0.0479094],
        [0.000507175, 0.0334321, 0.0281534],
        [0.000948936, 0.0513242, 0.0161421],
        [0.00627545, 0.0704215, 0.00776124],
        [0.0168693, 0.0878629, 0.00429733],
        [0.0286976, 0.094275, 0.00200606],
        [0.0426866, 0.0979837, 0.000861709],
        [0.0562703, 0.0941781, 0.00036914],
        [0.0694895, 0.0868049, 0.000191481],
        [0.083076, 0.0788783, 0.000149597],
        [0.0861498, 0.0635442, 9.23364e-05],
        [0.0904911, 0.0537562, 6.81537e-05],
        [0.0850273, 0.0426578, 2.88343e-05],
        [0.0709262, 0.0316261, 1.57715e-05],
        [0.0506428, 0.020891, 3.94169e-06],
        [0.0354837, 0.0138639, 1.58445e-06],
        [0.0214741, 0.00810487, 1.60399e-23],
        [0.0125199, 0.00463138, 0],
        [0.00680646, 0.00249207, 0],
        [0.00346552, 0.00125965, 0],
        [0.00149802, 0.000541796, 0],
        [0.000769913, 0.000278029, 0],
    ]
)
"""Weights of the bands for X, Y, Z, shape (31, 3)."""
SCALE = WHITE / OBSERVER.sum(axis=0)
"""Brings a perfect white to the screen's white: the bands stop at 400 and 700 nm."""
WEIGHTS = OBSERVER * SCALE
DARKEST, LIGHTEST = 0.002, 0.985
"""Linear screen values that a surface is taken to reach: none is black or white to the last."""
ROUNDS = 60


def xyz_of(reflectance) -> np.ndarray:
    """XYZ, shape (..., 3), of reflectances in [0, 1], shape (..., 31), under D65."""
    return np.asarray(reflectance) @ WEIGHTS


def lab_of(reflectance) -> np.ndarray:
    """CIE Lab of reflectances."""
    return lab_of_xyz(xyz_of(reflectance))


def srgb_of(reflectance) -> np.ndarray:
    """sRGB of reflectances; it may lie outside [0, 1]."""
    return srgb_of_xyz(xyz_of(reflectance))


@lru_cache(maxsize=512)
def _spectrum(text: str) -> bytes:
    xyz = xyz_of_srgb(_tamed(from_hex(text)))
    size = len(BANDS)
    ends = np.full(size, 4.0)
    ends[0] = ends[-1] = 2.0
    smooth = np.diag(ends) - 2 * np.eye(size, k=1) - 2 * np.eye(size, k=-1)
    z, pull = np.zeros(size), np.zeros(3)
    for _ in range(ROUNDS):
        curve = (np.tanh(z) + 1) / 2
        slope = (1 - np.tanh(z) ** 2) / 2
        bend = -2 * np.tanh(z) * slope
        wanted = np.concatenate([smooth @ z + slope * (WEIGHTS @ pull), WEIGHTS.T @ curve - xyz])
        if np.abs(wanted).max() < 1e-9:
            break
        matrix = np.zeros((size + 3, size + 3))
        matrix[:size, :size] = smooth + np.diag(bend * (WEIGHTS @ pull))
        matrix[:size, size:] = slope[:, None] * WEIGHTS
        matrix[size:, :size] = matrix[:size, size:].T
        step = np.linalg.lstsq(matrix, -wanted, rcond=None)[0]
        step *= min(1.0, 3.0 / max(1e-12, np.abs(step[:size]).max()))
        z, pull = z + step[:size], pull + step[size:]
    return ((np.tanh(z) + 1) / 2).tobytes()


def spectrum_of_hex(text: str) -> np.ndarray:
    """The smoothest reflectance, shape (31,), that shows "#rrggbb". Raises ValueError for no colour."""
    return np.frombuffer(_spectrum(text))


def _tamed(srgb: np.ndarray) -> np.ndarray:
    """A screen value within what surfaces reach."""
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    linear = np.clip(linear, DARKEST, LIGHTEST)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
