"""Water in a block, solved a second time: SciPy's banded solver under Alexander's two-stage SDIRK method.

    .venv/bin/python block_twin.py      # cases, blocks and columns of ../roots; about a minute

Richards' equation in mixed form in even cells (1 mm for blocks), arithmetic face conductivity, van Genuchten and Mualem
with l = 0.5, compressibility 1e-6 1/m. Shares no code with the repository. Exit code 1 if a row differs by more
than its tolerance. Method: Alexander, SIAM J. Numer. Anal. 14 (1977) 1006-1021.
"""

import pathlib
import sys
import tomllib

import numpy as np
from scipy.linalg import solve_banded

# theta_r, theta_s, alpha [1/m], n, Ks [m/s]
MEDIA = {
    "wool": (0.03, 0.95, 8.0, 4.0, 5e-4),
    "coir": (0.10, 0.92, 20.0, 1.6, 5e-4),
    "fibre": (0.03, 0.93, 40.0, 3.0, 1e-2),
}
DZ = 1e-3
STORAGE = 1e-6
GAMMA = 1 - 1 / np.sqrt(2)


def medium(p, h):
    """Content, capacity, conductivity and its slope at heads h; p holds one row of parameters per cell."""
    theta_r, theta_s, alpha, n, ks = p
    m = 1 - 1 / n
    s = np.maximum(-h, 1e-12)
    x = (alpha * s) ** n
    se = (1 + x) ** -m
    bracket = -np.expm1(-m * np.log1p(1 / x))
    slope_se = m * n * x / s * (1 + x) ** (-m - 1)
    slope_bracket = m * (1 - bracket) * n / (s * (1 + x))
    k = ks * np.sqrt(se) * bracket**2
    slope_k = ks * np.sqrt(se) * bracket * (0.5 * slope_se / se * bracket + 2 * slope_bracket)
    wet = h >= 0
    content = np.where(wet, theta_s, theta_r + (theta_s - theta_r) * se) + STORAGE * h
    capacity = np.where(wet, 0, (theta_s - theta_r) * slope_se) + STORAGE
    return content, capacity, np.where(wet, ks, k), np.where(wet, 0, np.minimum(slope_k, 1e5 * ks))


def rational(p, h):
    """Haverkamp's sand: theta_r, theta_s, a, beta, Ks, A, gamma; suction in cm."""
    theta_r, theta_s, a, beta, ks, big_a, gamma = p
    s = np.maximum(-100 * h, 1e-9)
    se, kr = a / (a + s**beta), big_a / (big_a + s**gamma)
    slope = lambda value, power, x, c: 100 * value * power * x / s / (c + x)
    return (
        theta_r + (theta_s - theta_r) * se, (theta_s - theta_r) * slope(se, beta, s**beta, a), ks * kr,
        ks * slope(kr, gamma, s**gamma, big_a),
    )


def exponential(p, h):
    """Gardner's: theta_r, theta_s, alpha, Ks."""
    theta_r, theta_s, alpha, ks = p
    e = np.exp(alpha * np.minimum(h, 0))
    return theta_r + (theta_s - theta_r) * e, (theta_s - theta_r) * alpha * e, ks * e, ks * alpha * e


class Column:
    def __init__(self, layers, law=medium, dz=DZ):
        """Layers from below: (parameters, cells)."""
        rows = [p for p, cells in layers for _ in range(cells)]
        self.p = np.array(rows, float).T
        self.law, self.dz = law, dz
        self.z = (np.arange(len(rows)) + 0.5) * dz
        self.head = -self.z

    def flux(self, h, base, top):
        """Upwards over each face, and its slopes by the heads below and above; contents and capacities."""
        DZ = self.dz
        content, capacity, k, slope = self.law(self.p, h)
        mean, pull = 0.5 * (k[1:] + k[:-1]), (h[1:] - h[:-1]) / DZ + 1
        q, below, above = np.zeros(h.size + 1), np.zeros(h.size + 1), np.zeros(h.size + 1)
        q[1:-1] = -mean * pull
        below[1:-1] = -0.5 * slope[:-1] * pull + mean / DZ
        above[1:-1] = -0.5 * slope[1:] * pull - mean / DZ
        if isinstance(top, tuple):
            edge = self.law(self.p[:, -1:], np.array([top[1]]))[2][0]
            mean, pull = 0.5 * (edge + k[-1]), (top[1] - h[-1]) / (0.5 * DZ) + 1
            q[-1], below[-1] = -mean * pull, -0.5 * slope[-1] * pull + mean / (0.5 * DZ)
        else:
            q[-1] = top
        kind, level = base
        edge = self.law(self.p[:, :1], np.array([level]))[2][0]
        mean, pull = 0.5 * (edge + k[0]), (h[0] - level) / (0.5 * DZ) + 1
        if kind == "standing" or -mean * pull < 0:
            q[0], above[0] = -mean * pull, -0.5 * slope[0] * pull - mean / (0.5 * DZ)
        return content, capacity, q, below, above

    def stage(self, h, target, share, base, top, roots):
        """Heads at which content + share (dq/dz + roots) is the target; none where Newton does not settle."""
        DZ = self.dz

        def residual(h):
            at = self.flux(h, base, top)
            return at[0] - target + share * (np.diff(at[2]) / DZ + roots), at

        r, at = residual(h)
        for _ in range(40):
            if np.abs(r).max() < 1e-14:
                break
            _, capacity, _, below, above = at
            bands = np.zeros((3, h.size))
            bands[1] = capacity + share / DZ * (below[1:] - above[:-1])
            bands[0, 1:] = share / DZ * above[1:-1]
            bands[2, :-1] = -share / DZ * below[1:-1]
            step = solve_banded((1, 1), bands, -r)
            for _ in range(8):
                tried, tried_at = residual(h + step)
                if np.abs(tried).max() < np.abs(r).max():
                    break
                step = 0.5 * step
            else:
                break
            h, r, at = h + step, tried, tried_at
        return (h, at) if np.abs(r).max() < 1e-11 else None

    def run(self, seconds, base=("seeping", 0.0), top=0.0, roots=0.0, tolerance=2e-5, held=None):
        """Goes on; what came through the base [m]. Cells below `held` stand in water."""
        if held is not None:
            return self.run_held(seconds, held, tolerance)
        content, through, t, dt = self.law(self.p, self.head)[0], 0.0, 0.0, 1e-4
        rate = lambda at: -np.diff(at[2]) / self.dz - roots
        while t < seconds - 1e-9:
            d = min(dt, seconds - t)
            first = self.stage(self.head, content, GAMMA * d, base, top, roots)
            second = first and self.stage(
                first[0], content + (1 - GAMMA) * d * rate(first[1]), GAMMA * d, base, top, roots
            )
            if not second:
                dt = d / 4
                assert dt > 1e-14, "stuck"
                continue
            error = GAMMA * d * np.abs(rate(second[1]) - rate(first[1])).max() / (50 * tolerance)
            if error > 1:
                dt = d * max(0.2, 0.9 / np.sqrt(error))
                continue
            content = content + d * ((1 - GAMMA) * rate(first[1]) + GAMMA * rate(second[1]))
            through += d * ((1 - GAMMA) * first[1][2][0] + GAMMA * second[1][2][0])
            self.head, t = second[0], t + d
            dt = max(dt, d) * min(3.0, 0.9 / np.sqrt(error + 1e-12)) if error > 0 else 3 * d
        return through

    def run_held(self, seconds, level, tolerance):
        """An open block in water: cells below the level hold h = level - z, the rest stands on them."""
        wet = int(round(level / DZ))
        upper = Column([(tuple(self.p[:, i]), 1) for i in range(wet, self.z.size)])
        upper.head = self.head[wet:].copy()
        before = medium(self.p, self.head)[0].sum()
        # The topmost wet cell's middle lies half a cell below the upper part's base, at half a cell of water.
        upper.run(seconds, ("standing", 0.0), tolerance=tolerance)
        self.head = np.concatenate([level - self.z[:wet], upper.head])
        return (medium(self.p, self.head)[0].sum() - before) * DZ


def course(given):
    """The reference block: flooded to 60 mm for 15 min, drained, drunk from."""
    block = Column([((given["theta_r"], given["theta_s"], given["alpha_per_m"], given["n"], given["ks_m_s"]), 100)])
    taken = block.run(900.0, held=0.06)
    roots = 0.02e-3 / 3600 / 0.01 / 0.1
    out = block.run(given["after_s"], roots=roots)
    content = medium(block.p, block.head)[0]
    return {
        "taken_l": 10 * taken, "drained_l": -10 * out, "mean": content.mean(), "top": content[-1],
        "middle": content[49:51].mean(), "base": content[0],
    }


def case(given):
    layers = [(MEDIA[given["lower"]], given["lower_mm"])]
    if "upper" in given:
        layers.append((MEDIA[given["upper"]], given["upper_mm"]))
    block = Column(layers)
    if "start_head_mm" in given:
        block.head[:] = 1e-3 * given["start_head_mm"]
    mm_h = 1e-3 / 3600
    height = block.z.size * DZ
    through = block.run(
        given["time_s"],
        (given["base"], 1e-3 * given.get("level_mm", 0.0)),
        given.get("evaporation_mm_h", 0.0) * mm_h,
        given.get("roots_mm_h", 0.0) * mm_h / height,
    )
    content = medium(block.p, block.head)[0]
    cut = given["lower_mm"]
    upper = content[cut:].mean() if content.size > cut else float("nan")
    return {
        "through_base_mm": 1e3 * through, "lower_mean": content[:cut].mean(), "upper_mean": upper, "top": content[-1],
    }


LAWS = {
    "van-genuchten": (medium, ("theta_r", "theta_s", "alpha_per_m", "n", "ks_m_s")),
    "rational": (rational, ("theta_r", "theta_s", "a", "beta", "ks_m_s", "big_a", "gamma")),
    "exponential": (exponential, ("theta_r", "theta_s", "alpha_per_m", "ks_m_s")),
}
RUNS = {}


def column(given):
    """A column with given ends for a time; runs that rows share are made once."""
    asked = {k: v for k, v in given.items() if k not in ("depth_cm", "front_content")}
    key = str(sorted(asked.items()))
    height, cells = 0.01 * given["height_cm"], given["cells"]
    if key not in RUNS:
        law, names = LAWS[given["form"]]
        block = Column([(tuple(given[n] for n in names), cells)], law, height / cells)
        if "start_flow_cm_h" in given:
            a, q = given["alpha_per_m"], given["start_flow_cm_h"] / 3.6e5 / given["ks_m_s"]
            block.head = np.log(q - (q - 1) * np.exp(-a * block.z)) / a
        else:
            block.head[:] = 0.01 * given["start_head_cm"]
        flow = "top_flow_cm_h" in given
        top = -given["top_flow_cm_h"] / 3.6e5 if flow else ("head", 0.01 * given["top_head_cm"])
        before = law(block.p, block.head)[0].sum()
        block.run(3600 * given["time_h"], ("standing", 0.01 * given["base_head_cm"]), top)
        content = law(block.p, block.head)[0]
        RUNS[key] = block.z, block.head, content, 100 * (content.sum() - before) * block.dz
    z, head, content, gained = RUNS[key]
    got = {"gained_cm": gained}
    if "depth_cm" in given:
        at = height - 0.01 * given["depth_cm"]
        got |= {"head_cm": 100 * np.interp(at, z, head), "content": np.interp(at, z, content)}
    if "front_content" in given:
        i = np.flatnonzero((content[:-1] < given["front_content"]) & (content[1:] >= given["front_content"]))[-1]
        got["front_cm"] = 100 * (height - np.interp(given["front_content"], content[i : i + 2], z[i : i + 2]))
    return got


def main():
    worst = 0
    for name, solve in [("cases", case), ("blocks", course), ("columns", column)]:
        sheet = tomllib.loads((pathlib.Path(__file__).parent.parent / "roots" / f"{name}.toml").read_text())
        for row in sheet["case"]:
            if row.get("kind", sheet["kind"]) not in ("twin", "exact"):
                continue
            got = solve(row["given"])
            for quantity, expected in row["expect"].items():
                allowed = row.get("tolerance_abs", {}).get(quantity, row.get("tolerance", 0) * abs(expected))
                off = abs(got[quantity] - expected)
                worst += off > allowed
                sign = "differs" if off > allowed else "holds"
                print(f"{name}/{row['id']} {quantity}: {got[quantity]:.6g}, expected {expected:.6g}, {sign}", flush=True)
    return 1 if worst else 0


if __name__ == "__main__":
    sys.exit(main())
