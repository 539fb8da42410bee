"""Areas and lengths on decks with camber and sheer, by a general-purpose library: tests/surface.rs holds spile to
the digits printed here. Run with numpy 2.4.6 and scipy 1.17.1:

    python -m venv /tmp/reference && /tmp/reference/bin/pip install numpy==2.4.6 scipy==1.17.1
    /tmp/reference/bin/python tests/references/surface.py
"""

import numpy as np
import scipy
from scipy.integrate import dblquad, quad
from scipy.interpolate import CubicSpline

print(f"numpy {np.__version__}, scipy {scipy.__version__}")

# The sheer: a natural cubic spline through heights; the camber: a circle that rises 90 over 3000, and a parabola.
SHEER = CubicSpline([0, 1200, 2500, 4000], [310, 150, 60, 40], bc_type="natural")
SLOPE = SHEER.derivative()
RADIUS = (1500**2 + 90**2) / (2 * 90)
CAMBERS = {
    "circular": lambda y: -y / np.sqrt(RADIUS**2 - y**2),
    "parabolic": lambda y: -2 * 90 / 1500**2 * y,
}
KNOTS = [1200, 2500]

for name, camber in CAMBERS.items():
    def factor(y, x):
        return np.sqrt(1 + SLOPE(x) ** 2 + camber(y) ** 2)

    def over(low, high, ends):
        """The area between y = low(x) and y = high(x), from knot to knot."""
        stops = [ends[0], *[k for k in KNOTS if ends[0] < k < ends[1]], ends[1]]
        return sum(
            dblquad(factor, a, b, low, high, epsabs=1e-7, epsrel=1e-13)[0]
            for a, b in zip(stops, stops[1:])
        )

    # A disc of radius 600 about (1900, 700), by the angle from its middle, so that nothing has an upright tangent.
    def of_angle(t):
        x, half = 1900 + 600 * np.sin(t), 600 * np.cos(t)
        inner = quad(lambda y: factor(y, x), 700 - half, 700 + half, epsabs=1e-10, epsrel=1e-13)[0]
        return inner * 600 * np.cos(t)

    stops = [-np.pi / 2, *[np.arcsin((k - 1900) / 600) for k in KNOTS if abs(k - 1900) < 600], np.pi / 2]
    disc = sum(
        quad(of_angle, a, b, epsabs=1e-7, epsrel=1e-13)[0] for a, b in zip(stops, stops[1:])
    )
    # A triangle from (300, -200) to (3800, -1300) to (3800, 1400).
    triangle = over(
        lambda x: -200 - 1100 * (x - 300) / 3500, lambda x: -200 + 1600 * (x - 300) / 3500, (300, 3800)
    )

    def slanted(t):
        x, y = 300 + 3500 * t, -200 + 1600 * t
        return np.sqrt(3500**2 + 1600**2 + (SLOPE(x) * 3500 + camber(y) * 1600) ** 2)

    stops = [0, *[(k - 300) / 3500 for k in KNOTS], 1]
    line = sum(quad(slanted, a, b, epsrel=1e-13)[0] for a, b in zip(stops, stops[1:]))
    print(f"{name}: disc {disc:.6f}, triangle {triangle:.6f}, line {line:.9f}")
