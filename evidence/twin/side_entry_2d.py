"""How fast does water enter a block through its wetted sides? A section in two dimensions against a column in one.

    python side_entry_2d.py      # about two minutes

A block of growing medium, 100 mm wide and 100 mm high and long in the third direction, stands on a tray floor. At
t = 0 water stands 60 mm deep around it and stays for 15 minutes. The water enters through the base and through both
sides up to 60 mm; above that, and on top, nothing enters or leaves. Half the width is solved, for symmetry.

Section: Richards' equation in two dimensions. At the base and at the wetted side the head is that of the water
outside, level - z, at the face itself, half a cell from the nearest cell centre.
Column: the same equation over the height alone, on the same cells in z, with the same base. The side is a source per
volume of block,

    S = f(z) c / a^2 K_side (level - z - h),    K_side = (K(h) + Ks) / 2,

where f is the wetted share of the cell and a the width. c = 12 is the linear driving force (the mean of a parabola
across the slab), c = pi^2 the slowest decay of a slab open on both sides. "At once": the cells below the level are
full from the start.

Printed are the mean water contents of the whole block, the errors of the columns, and which c fits best: the errors
between the tabulated c are interpolated. Errors as shares are of what the section takes up in 900 s.

Method: the mixed form (content in the storage term, head in the flow), so water is conserved to the tolerance of the
iteration; backward Euler; Newton with halving of steps that make the residual worse, and a stop at the steepest point
of the retention curve; arithmetic mean conductivity at every face, boundary faces included (cell and Ks). Cells grow
from 0.25 mm at the wetted faces to 2.5 mm inside; time steps are up to 4 % of the time gone by. Air leaves freely.

L. A. Richards, Physics 1 (1931) 318-333: the equation.
M. A. Celia, E. T. Bouloutas, R. L. Zarba, Water Resour. Res. 26 (1990) 1483-1496: the mixed form conserves water.
M. Th. van Genuchten, Soil Sci. Soc. Am. J. 44 (1980) 892-898: retention and conductivity.
Y. Mualem, Water Resour. Res. 12 (1976) 513-522: conductivity from retention.
"""

import sys
import time

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.linalg import solve_banded
from scipy.optimize import minimize_scalar

WIDTH, HEIGHT, LEVEL = 0.100, 0.100, 0.060  # m
TIMES = (1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 900.0)  # s
# theta_r, theta_s, alpha [1/m], n, Ks [m/s]; uniform head of the dried block [m]
MEDIA = {
    "stone wool": ((0.03, 0.95, 8.0, 4.0, 5e-4), -0.15),
    "fibre": ((0.03, 0.93, 40.0, 3.0, 1e-2), -0.12),
    "coir": ((0.10, 0.92, 20.0, 1.6, 5e-4), -0.15),
    "peat": ((0.098, 0.918, 7.2, 1.371, 3.3e-6), -0.5),
}
CANDIDATES = {"c=12": 12.0, "c=pi^2": np.pi**2}
SCAN = (1.5, 3.0, 5.0, 7.5, np.pi**2, 12.0, 16.0, 22.0, 30.0, 45.0, 70.0, 120.0, 200.0)
CHECKED = (("peat", "dry"), ("stone wool", "rest"))  # solved again with the cells halved; peat changes most of all
FIRST_STEP, GROWTH, SHARE = 1e-4, 1.4, 0.04  # s; of the step; of the time gone by
TOLERANCE, MOST_ITERATIONS = 1e-9, 25  # largest residual of a cell, as content


def medium(p, h):
    """Content, its slope, conductivity and its slope at heads h."""
    theta_r, theta_s, alpha, n, ks = p
    m = 1 - 1 / n
    s = np.maximum(-h, 1e-9)
    x = (alpha * s) ** n
    se = (1 + x) ** -m
    bracket = -np.expm1(-m * np.log1p(1 / x))  # 1 - (x/(1+x))^m
    slope_se = m * n * x / s * se / (1 + x)
    slope_bracket = m * n * (1 - bracket) / (s * (1 + x))
    k = ks * np.sqrt(se) * bracket**2
    slope_k = ks * np.sqrt(se) * bracket * (0.5 * slope_se / se * bracket + 2 * slope_bracket)
    wet = h >= 0
    return (
        np.where(wet, theta_s, theta_r + (theta_s - theta_r) * se), np.where(wet, 0, (theta_s - theta_r) * slope_se),
        np.where(wet, ks, k), np.where(wet, 0, np.minimum(slope_k, 1e5 * ks)),
    )


def graded(length, first, most, ratio=1.25):
    """Edges of cells that grow from the first to the largest size, scaled to fill the length."""
    sizes = [first]
    while sum(sizes) < length:
        sizes.append(min(sizes[-1] * ratio, most))
    return np.append(0.0, np.cumsum(sizes)) * length / sum(sizes)


def halved(edges):
    return np.sort(np.append(edges, (edges[1:] + edges[:-1]) / 2))


def section_grid():
    """Edges in x from the open side to the middle, and in z from the floor; a face lies at the level."""
    above = np.linspace(LEVEL, HEIGHT, round((HEIGHT - LEVEL) / 2.5e-3) + 1)
    return graded(WIDTH / 2, 0.25e-3, 2.5e-3), np.append(graded(LEVEL, 0.25e-3, 2.5e-3), above[1:])


class Block:
    """Half a block in cells, numbered along x first. With c given it is one cell wide: the column."""

    def __init__(self, p, x, z, c=None):
        self.p, self.ks = p, p[4]
        if c is not None:
            x = np.array([0.0, WIDTH / 2])
        dx, dz = np.diff(x), np.diff(z)
        nx, nz = self.nx, self.nz = len(dx), len(dz)
        self.n = nx * nz
        self.volume = np.outer(dz, dx).ravel()
        zc = (z[1:] + z[:-1]) / 2
        self.z = np.repeat(zc, nx)
        wetted = np.clip((LEVEL - z[:-1]) / dz, 0, 1)
        # faces between neighbours: (first cell, distance in numbering, area over distance)
        number = np.arange(self.n).reshape(nz, nx)
        self.inner = []
        if nx > 1:
            g = np.outer(dz, 2 / (dx[1:] + dx[:-1]))
            self.inner.append((number[:, :-1].ravel(), 1, g.ravel()))
        g = np.outer(2 / (dz[1:] + dz[:-1]), dx)
        self.inner.append((number[:-1].ravel(), nx, g.ravel()))
        # faces to the water outside: cells, area over distance, head outside plus z
        side = wetted * dz / (dx[0] / 2) if c is None else wetted * dz * (WIDTH / 2) * c / WIDTH**2
        cells = np.append(number[0], number[:, 0])
        self.outer = (cells, np.append(dx / (dz[0] / 2), side))
        self.bend = -((1 - 1 / p[3]) ** (1 / p[3])) / p[2]  # head where the retention curve is steepest

    def residual(self, h, old, dt, slopes=True):
        """Excess of content over old + inflow, its derivatives in bands, and the inflow from outside."""
        theta, c, k, dk = medium(self.p, h)
        head = h + self.z
        net = np.zeros(self.n)
        bands = np.zeros((2 * self.nx + 1, self.n)) if slopes else None
        w, mid = dt / self.volume, self.nx
        for i, step, g in self.inner:
            j = i + step
            mean, drop = g * (k[i] + k[j]) / 2, head[i] - head[j]
            flow = mean * drop
            net[i] -= flow  # each cell occurs once as i and once as j in each list
            net[j] += flow
            if slopes:
                by_i, by_j = mean + g * dk[i] * drop / 2, -mean + g * dk[j] * drop / 2
                bands[mid, i] += w[i] * by_i
                bands[mid, j] -= w[j] * by_j
                bands[mid - step, j] += w[i] * by_j
                bands[mid + step, i] -= w[j] * by_i
        i, g = self.outer
        mean, drop = g * (k[i] + self.ks) / 2, LEVEL - head[i]
        inflow = mean * drop
        np.add.at(net, i, inflow)
        if slopes:
            np.add.at(bands[mid], i, w[i] * (mean - g * dk[i] * drop / 2))
            bands[mid] += c
        return theta - old - w * net, bands, inflow.sum(), theta

    def step(self, h, old, dt):
        """One implicit step by Newton; None where it does not converge."""
        r, bands, inflow, theta = self.residual(h, old, dt)
        for _ in range(MOST_ITERATIONS):
            if np.abs(r).max() < TOLERANCE:
                return h, theta, inflow
            bands[self.nx] += 1e-14
            change = solve_banded((self.nx, self.nx), bands, -r, overwrite_ab=True, check_finite=False)
            stop = (h < self.bend) & (h + change > self.bend)
            change[stop] = self.bend - h[stop] + 1e-12
            size, norm = 1.0, self.norm(r)
            for _ in range(6):
                trial = h + size * change
                if not self.norm(self.residual(trial, old, dt, False)[0]) > norm * (1 - 1e-3 * size):
                    break
                size /= 2
            h = trial
            r, bands, inflow, theta = self.residual(h, old, dt)
            if not np.isfinite(r).all():
                return None
        return None

    def norm(self, r):
        return np.sqrt((self.volume * r * r).sum())

    def mean(self, theta):
        return (self.volume * theta).sum() / self.volume.sum()

    def flood(self, h, share=SHARE):
        """Mean contents at TIMES from heads h; error of the balance as a share of the uptake; number of steps."""
        theta = medium(self.p, h)[0]
        start, entered, t, dt, steps, out = self.mean(theta), 0.0, 0.0, FIRST_STEP, 0, []
        for until in TIMES:
            while t < until:
                left = until - t
                now = left if dt >= left else min(dt, left / 2) if dt > left / 2 else dt
                new = self.step(h, theta, now)
                if new is None:
                    dt = now / 3
                    if dt < 1e-9:
                        sys.exit("no convergence")
                    continue
                h, theta, inflow = new
                entered += now * inflow / self.volume.sum()
                t = until if now == left else t + now
                dt = min(max(now, dt) * GROWTH, max(share * t, FIRST_STEP)) if now == dt else dt
                steps += 1
            out.append(self.mean(theta))
        balance = abs(out[-1] - start - entered) / max(out[-1] - start, 1e-12)
        return np.array(out), balance, steps


def heads(block, dry, at_once=False):
    """At rest above the floor, or the uniform head of the dried block; at once: full below the level."""
    h = -block.z if dry is None else np.full(block.n, dry)
    return np.where(block.z < LEVEL, LEVEL - block.z, h) if at_once else h


def columns(p, z, dry):
    """Mean contents of the columns: for every c of SCAN, and at once."""
    found = [Block(p, None, z, c) for c in SCAN]
    filled = Block(p, None, z, 1e6)
    return np.array([b.flood(heads(b, dry))[0] for b in found]), filled.flood(heads(filled, dry, True))[0]


def best(misfit):
    """The c with the least misfit, which is a function of log c."""
    grid = np.linspace(np.log(SCAN[0]), np.log(SCAN[-1]), 400)
    i = int(np.argmin([misfit(v) for v in grid]))
    around = grid[max(i - 1, 0)], grid[min(i + 1, len(grid) - 1)]
    return float(np.exp(minimize_scalar(misfit, bounds=around, method="bounded").x))


def main():
    began = time.perf_counter()
    x, z = section_grid()
    cases = []
    print("mean water content of the block")
    print(f"{'medium':<11}{'start':<6}{'t [s]':>6}{'2-D':>9}{'c=12':>9}{'c=pi^2':>9}{'at once':>9}")
    for medium_name, (p, dry_head) in MEDIA.items():
        for start, dry in (("rest", None), ("dry", dry_head)):
            block = Block(p, x, z)
            section, balance, steps = block.flood(heads(block, dry))
            first = block.mean(medium(p, heads(block, dry))[0])
            scan, at_once = columns(p, z, dry)
            shown = [scan[SCAN.index(c)] for c in CANDIDATES.values()] + [at_once]
            print(f"{medium_name:<11}{start:<6}{0:>6}" + f"{first:>9.4f}" * 3)
            for row in zip(TIMES, section, *shown):
                print(f"{medium_name:<11}{start:<6}{row[0]:>6.0f}" + "".join(f"{v:>9.4f}" for v in row[1:]))
            cases.append((medium_name, start, first, section, scan, shown, balance, steps))

    print("\nlargest errors: content (at time), share of the uptake in 900 s; c that fits the case best")
    names = "".join(f"{v:>23}" for v in (*CANDIDATES, "at once"))
    print(f"{'medium':<11}{'start':<6}{'uptake':>7}{names}{'best c':>8}")
    curves, uptakes = [], []
    for name, start, first, section, scan, shown, _, _ in cases:
        uptake = section[-1] - first
        line = f"{name:<11}{start:<6}{uptake:>7.4f}"
        for column in shown:
            i = int(np.argmax(np.abs(column - section)))
            e = column[i] - section[i]
            line += f"{e:>+9.4f} ({TIMES[i]:>3.0f}){100 * e / uptake:>+7.1f} %"
        curves.append(PchipInterpolator(np.log(SCAN), (scan - section) / uptake, axis=0))
        print(line + f"{best(lambda v: np.square(curves[-1](v)).mean()):>8.1f}")

    errors = lambda v: np.array([curve(v) for curve in curves])
    print("\nshare errors over all rows: root mean square, largest")
    for c in SCAN:
        e = errors(np.log(c))
        print(f"  c = {c:<7.4g}{100 * np.sqrt(np.square(e).mean()):>6.1f} %{100 * np.abs(e).max():>6.1f} %")
    once = np.array([(s[5][-1] - s[3]) / (s[3][-1] - s[2]) for s in cases])
    print(f"  at once    {100 * np.sqrt(np.square(once).mean()):>6.1f} %{100 * np.abs(once).max():>6.1f} %")
    others = [i for i, case in enumerate(cases) if case[:2] != ("peat", "dry")]
    for text, misfit in (
        ("root mean square", lambda v: np.sqrt(np.square(errors(v)).mean())),
        ("largest", lambda v: np.abs(errors(v)).max()),
        ("root mean square without dry peat", lambda v: np.sqrt(np.square(errors(v)[others]).mean())),
        ("largest without dry peat", lambda v: np.abs(errors(v)[others]).max()),
    ):
        c = best(misfit)
        print(f"best c by {text}: {c:.1f}, misfit {100 * misfit(np.log(c)):.1f} %")

    print(f"\nwater balance of the sections: largest error {max(s[6] for s in cases):.1e} of the uptake")
    print(f"time steps {min(s[7] for s in cases)} to {max(s[7] for s in cases)}; {len(x) - 1} by {len(z) - 1} cells")
    for name, start in CHECKED:
        p, dry = MEDIA[name]
        section, first = next((s[3], s[2]) for s in cases if s[:2] == (name, start))
        fine = Block(p, halved(x), halved(z))
        fine = fine.flood(heads(fine, None if start == "rest" else dry))[0]
        change = np.abs(fine - section).max()
        share = 100 * change / (section[-1] - first)
        print(f"cells halved, {name} {start}: content changes by up to {change:.4f}, {share:.2f} % of the uptake")
    print(f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
