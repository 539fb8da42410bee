"""Figures of other libraries for tests/tracing/homographies.rs: the projective map that fits marks best.

Run with Python 3, opencv-python-headless, scikit-image and scipy; prints versions and full digits.
"""

import cv2
import numpy as np
import scipy
import skimage
from scipy.optimize import least_squares
from skimage.transform import ProjectiveTransform

# The marks of layouts/turnstone.toml, y upwards, a wide square first.
HERE = np.array([
    [685.7, -2074.4],
    [2252.9, -1994.1],
    [748.8, -1232.9],
    [2028.7, -1191.8],
    [1229.4, -2814.7],
    [2169.2, -1499.1],
    [664.8, -1558.1],
    [1892.6, -2769.5],
])
THERE = np.array([
    [1097.0, 801.0],
    [1102.0, -799.0],
    [3103.0, 1049.0],
    [3098.0, -1051.0],
    [252.0, 249.0],
    [2101.0, -998.0],
    [2099.0, 1003.0],
    [249.0, -252.0],
])
PROBES = np.array([[1500.0, -3600.0], [900.0, -2000.0], [2500.0, -1200.0]])


def image(h, points):
    h = np.append(h, 1.0).reshape(3, 3) if h.size == 8 else h
    x = np.c_[points, np.ones(len(points))] @ h.T
    return x[:, :2] / x[:, 2:]


def normal(points):
    middle = points.mean(axis=0)
    scale = np.sqrt(2) / np.linalg.norm(points - middle, axis=1).mean()
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]])


def show(name, values):
    print(name, "[" + ", ".join(f"[{x!r}, {y!r}]" for x, y in np.asarray(values, float).tolist()) + "]")


print("cv2", cv2.__version__, "skimage", skimage.__version__, "scipy", scipy.__version__, "numpy", np.__version__)
for count in (4, 6, 8):
    here, there = HERE[:count], THERE[:count]
    show(f"cv2 findHomography {count}", image(cv2.findHomography(here, there, 0)[0], PROBES))
    t = ProjectiveTransform()
    t.estimate(here, there)
    show(f"skimage ProjectiveTransform {count}", t(PROBES))
    # Least squares in the plane, to the last digit, in normalised coordinates.
    a, b = normal(here), normal(there)
    start = b @ t.params @ np.linalg.inv(a)
    start = (start / start[2, 2]).ravel()[:8]
    p, q = image(a, here), image(b, there)
    fit = least_squares(lambda h: (image(h, p) - q).ravel(), start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    full = np.linalg.inv(b) @ np.append(fit.x, 1.0).reshape(3, 3) @ a
    show(f"scipy plane {count}", image(full, PROBES))
    if count > 4:
        # Standard deviations of the probes' images for a noise of 2 mm in the plane, in the worst direction.
        cofactors = np.linalg.inv(fit.jac.T @ fit.jac)
        deviations = []
        for probe in image(a, PROBES):
            step = 1e-6
            jac = np.array([
                (image(fit.x + step * e, probe[None])[0] - image(fit.x - step * e, probe[None])[0]) / (2 * step)
                for e in np.eye(8)
            ]).T
            deviations.append(2.0 * np.sqrt(np.linalg.eigvalsh(jac @ cofactors @ jac.T)[-1]))
        print(f"scipy deviations {count}", deviations)
    # Noise on both sides, the true points of the picture as further unknowns: 1.5 pixels and 3 mm.
    def both(v):
        h, true = v[:8], v[8:].reshape(-1, 2)
        return np.r_[((true - p) / (1.5 * a[0, 0])).ravel(), ((image(h, true) - q) / (3.0 * b[0, 0])).ravel()]
    fit = least_squares(both, np.r_[fit.x, p.ravel()], method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    full = np.linalg.inv(b) @ np.append(fit.x[:8], 1.0).reshape(3, 3) @ a
    show(f"scipy both {count}", image(full, PROBES))
