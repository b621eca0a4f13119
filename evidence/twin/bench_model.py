"""The bench of docs/flood-model.md as functions of its levels: stores, losses, outlets, media.

Written from that page, not from the Rust sources.
"""

import bisect
import math

from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G = 9.80665


class Curve:
    """A monotone cubic through points, straight beyond its ends; plain floats for speed."""

    def __init__(self, x, y):
        p = PchipInterpolator(x, y)
        self.x = [float(v) for v in x]
        self.c = [[float(v) for v in row] for row in p.c]
        self.ends = (float(p(x[0])), float(p.derivative()(x[0])), float(p(x[-1])), float(p.derivative()(x[-1])))

    def __call__(self, x):
        if x <= self.x[0]:
            return self.ends[0] + self.ends[1] * (x - self.x[0])
        if x >= self.x[-1]:
            return self.ends[2] + self.ends[3] * (x - self.x[-1])
        i = bisect.bisect_right(self.x, x) - 1
        u = x - self.x[i]
        c = self.c
        return ((c[0][i] * u + c[1][i]) * u + c[2][i]) * u + c[3][i]

    def slope(self, x):
        if x <= self.x[0]:
            return self.ends[1]
        if x >= self.x[-1]:
            return self.ends[3]
        i = bisect.bisect_right(self.x, x) - 1
        u = x - self.x[i]
        c = self.c
        return (3 * c[0][i] * u + 2 * c[1][i]) * u + c[2][i]


class Shape:
    """A vessel: volume and plan below a height; above the rim the walls go straight up."""

    def __init__(self, j):
        self.table = None
        if j["kind"] == "table":
            points = [p for p in j["depth_m_and_volume_m3"] if p[0] > 0]
            self.depth = points[-1][0]
            self.table = Curve([0.0] + [p[0] for p in points], [0.0] + [p[1] for p in points])
            return
        h = self.depth = j["depth_m"]
        if j["kind"] == "tapered_rectangle":
            (l0, w0), (l1, w1) = j["floor_m"], j["rim_m"]
            a, b = (l1 - l0) / h, (w1 - w0) / h
            self.c = (l0 * w0, l0 * b + w0 * a, a * b)
        else:
            r0, r1 = j["floor_m"] / 2, j["rim_m"] / 2
            k = (r1 - r0) / h
            self.c = (math.pi * r0 * r0, 2 * math.pi * r0 * k, math.pi * k * k)

    def area(self, y):
        if self.table:
            return max(self.table.slope(y), 1e-9)
        y = min(max(y, 0.0), self.depth)
        return self.c[0] + y * (self.c[1] + y * self.c[2])

    def volume(self, y):
        if self.table:
            return self.table(y)
        z = min(y, self.depth)
        v = z * (self.c[0] + z * (self.c[1] / 2 + z * self.c[2] / 3))
        return v + (self.area(self.depth) * (y - self.depth) if y > self.depth else 0.0)

    def least_area(self, a, b):
        return min(self.area(a + (b - a) * i / 64) for i in range(65))


class Floor:
    """Relief of a tray floor: G, water per floor area, and F, the wet share."""

    def __init__(self, knots):
        self.r = [k[0] for k in knots]
        self.f = [k[1] for k in knots]
        self.g = [k[2] for k in knots]

    def __call__(self, y):
        if not self.r:
            return (y, 1.0) if y > 0 else (0.0, 0.0)
        if y <= self.r[0]:
            return 0.0, 0.0
        if y >= self.r[-1]:
            return self.g[-1] + y - self.r[-1], 1.0
        i = bisect.bisect_right(self.r, y) - 1
        f = self.f[i] + (self.f[i + 1] - self.f[i]) * (y - self.r[i]) / (self.r[i + 1] - self.r[i])
        return self.g[i] + 0.5 * (self.f[i] + f) * (y - self.r[i]), f


class TrayStore:
    """Free water of a tray: relief, blocks and bed allowed for."""

    def __init__(self, t, displacement):
        self.shape, self.floor = Shape(t["shape"]), Floor(t["floor_relief"])
        rim = self.shape.depth
        self.lowest = self.floor.r[0] if self.floor.r else 0.0
        highest = min(max(self.floor.r[-1] if self.floor.r else 0.0, 0.0), rim)
        self.a0 = self.shape.least_area(0.0, highest)
        self.block = self.bed = None
        if t["bed"]:
            self.bed = (t["bed"]["depth_m"], t["bed"]["void_fraction"])
        elif t["blocks"]:
            b = t["blocks"]
            base, top = b["base_m"], b["base_m"] + b["height_m"]
            room = min(self.a0, self.shape.least_area(min(base, rim), min(top, rim)))
            self.block = (min(b["plan_area_m2"] * displacement, 0.98 * room), base, top)

    def room(self, y):
        up = max(y, 0.0)
        return self.shape.volume(up) + self.a0 * (self.floor(y)[0] - up)

    def volume(self, y):
        v = self.room(y)
        if self.block:
            area, base, top = self.block
            v -= area * (self.floor(min(max(y, base), top))[0] - self.floor(base)[0])
        if self.bed:
            v -= (1 - self.bed[1]) * self.room(min(y, self.bed[0]))
        return v

    def depth(self, v):
        if v <= 0:
            return self.lowest
        top = self.shape.depth + 0.5
        return brentq(lambda y: self.volume(y) - v, self.lowest, top, xtol=1e-12, rtol=1e-14)


class Line:
    """A hose: head over flow, and flow at a head."""

    def __init__(self, bore, length, roughness, loss, nu):
        self.d, self.l, self.e, self.k, self.nu = bore, length, roughness, loss, nu
        self.a = math.pi * bore * bore / 4

    def more(self, loss):
        return Line(self.d, self.l, self.e, self.k + loss, self.nu)

    def head(self, q):
        if q <= 0:
            return 0.0
        v = q / self.a
        re = v * self.d / self.nu
        if re < 1e-3:
            f = 64 / re
        else:
            a = (2.457 * math.log(1 / ((7 / re) ** 0.9 + 0.27 * self.e / self.d))) ** 16
            b = (37530 / re) ** 16
            f = 8 * ((8 / re) ** 12 + (a + b) ** -1.5) ** (1 / 12)
        return (f * self.l / self.d + self.k) * v * v / (2 * G)

    def top(self, h):
        """More than can flow at this head: friction of a smooth wall alone is at least f = 0.005."""
        return self.a * math.sqrt(2 * G * h / (0.005 * self.l / self.d + self.k))

    def flow(self, h):
        if h <= 0:
            return 0.0
        return brentq(lambda q: self.head(q) - h, 0.0, self.top(h), xtol=1e-16, rtol=1e-13)


def in_series(lines, h):
    """Flow that loses the head h over all lines."""
    if h <= 0:
        return 0.0
    top = min(l.top(h) for l in lines)
    return brentq(lambda q: sum(l.head(q) for l in lines) - h, 0.0, top, xtol=1e-16, rtol=1e-13)


class Pump:
    def __init__(self, p, knobs, fittings, nu):
        phi = knobs["flow_share"]
        self.qf, self.hf = p["speed_flow_factor"] * phi, p["speed_head_factor"] * math.sqrt(phi)
        c = p["curve"]
        if c["kind"] == "power":
            h0, qm, n = c["max_head_m"], c["open_flow_m3_s"], c["shape"] if p["curve_is_measured"] else knobs["shape"]
            self.curve = lambda q: h0 * (1 - (q / qm) ** n)
            self.open = qm * self.qf
        else:
            points = c["flow_m3_s_and_head_m"]
            self.curve = Curve([x[0] for x in points], [x[1] for x in points])
            self.open = points[-1][0] * self.qf
        self.push = self.head(0.0)
        self.check = p["check_valve"]
        self.prime = p["prime_depth_m"]
        self.inlet = p["inlet_height_m"]
        f = p["feed"]
        self.high_point = f["high_point_m"]
        self.regain = None if self.check or self.high_point is not None else self.prime + 0.015
        self.feed = hose(f, fittings, nu).more(p["throttle_loss"])
        self.reverse = self.feed.more(knobs["reverse_loss"])
        b = p["bypass"]
        self.bypass = Line(b["bore_m"], b["length_m"], f["roughness_m"], b["loss"], nu) if b else None

    def head(self, q):
        return self.hf * self.curve(q / self.qf)

    def forward(self, spare_from, lines):
        """Flow of the running pump through its feed and lines, against a lift."""
        if spare_from >= self.push:
            return 0.0
        lines = [self.feed, *lines]
        excess = lambda q: spare_from + sum(l.head(q) for l in lines) - self.head(q)
        top = self.open
        while excess(top) < 0:
            top *= 2
        return brentq(excess, 0.0, top, xtol=1e-16, rtol=1e-13)

    def at(self, difference, running):
        """Flow through pump and feed at (level behind the feed − reservoir surface)."""
        push = self.push if running else 0.0
        if difference > push:
            return 0.0 if self.check else -self.reverse.flow(difference - push)
        return self.forward(difference, []) if running else self.reverse.flow(-difference)


def hose(f, fittings, nu):
    loss = f["loss"] if f["loss_is_measured"] else f["loss"] * fittings
    return Line(f["bore_m"], f["length_m"], f["roughness_m"], loss, nu)


class Riser:
    def __init__(self, drain, asked, nu):
        r, back = drain["riser"], drain["return"]
        self.crest, self.bore, self.count = r["crest_m"], r["bore_m"], r["count"]
        self.weir, self.p = asked["weir"], asked["priming"]
        ratio, c = drain["strainer_open_ratio"], asked["orifice"]
        if asked["fouled"]:
            c, self.p = min(c, 0.4), 0.0
            ratio = ratio / 3 if ratio else ratio
        if back["vented"]:
            self.p = 0.0
        self.c = (c**-2 + (0.6 * ratio) ** -2) ** -0.5 if ratio else c
        pipe = Line(min(self.bore, back["bore_m"]), back["length_m"] + self.crest, 1.5e-6, 2.4, nu)
        fall = max(back["drop_m"] + self.crest, 0.0)
        self.q0, q1 = pipe.flow(fall) ** 2, pipe.flow(fall + 0.1) ** 2
        self.q_slope = (q1 - self.q0) / 0.1

    def flow(self, y):
        h = y - self.crest
        if h <= 0:
            return 0.0
        weir = self.weir * math.sqrt(2 * G) * math.pi * self.bore * h**1.5
        mouth = self.c * math.pi * self.bore**2 / 4 * math.sqrt(2 * G * h)
        full = math.sqrt(max(self.q0 + self.q_slope * h, 0.0))
        if full > mouth:
            mouth = mouth ** (1 - self.p) * full**self.p
        return self.count * min(weir, mouth, full)


class Media:
    """Water in blocks or bed: first order towards the retention curve's content."""

    def __init__(self, t, soak):
        j = t["bed"] or t["blocks"]
        m = j["medium"]
        span = m["theta_s"] - m["theta_r"]
        if not t["bed"]:
            self.base, self.height, area = j["base_m"], j["height_m"], j["plan_area_m2"]

            def effective(alpha, n, s):
                return (1 + (alpha * s) ** n) ** -(1 - 1 / n) if s > 0 else 1.0

            def saturation(s):
                first = effective(m["alpha_per_m"], m["n"], s)
                if not m["second"]:
                    return first
                share, alpha, n = m["second"]
                return (1 - share) * first + share * effective(alpha, n, s)

            h = self.height
            levels = [h * i / 16 for i in range(17)]
            steps = [quad(saturation, a, b, epsrel=1e-11)[0] for a, b in zip(levels, levels[1:])]
            held = [area * (w * m["theta_s"] + (h - w) * m["theta_r"] + span * sum(steps[: 16 - i])) for i, w in enumerate(levels)]
            self.target = Curve(levels, held)
            slower = 3.0 if j["wrapped"] else 1.0
            dry = area * h * m["dry_content"]
            self.start = dry if j["start"] == "dry" else self.target(0.0)
        else:
            self.base, self.height, slower = 0.0, j["depth_m"], 1.0
            area = Shape(t["shape"]).area(0.0)
            g = (m["second"][0] if m["second"] else 0.5) * span
            d = self.height
            self.target = lambda w: area * (w * g + 0.9 * (d - w) * g)
            self.start = self.target(0.0)
        knots = t["floor_relief"]
        self.wet_from = max(self.base, knots[0][0] if knots else 0.0)
        self.soak, self.release = m["soak_s"] * soak * slower, m["release_s"] * soak

    def uptake(self, held, y):
        want = self.target(min(max(y - self.base, 0.0), self.height)) - held
        if want > 0:
            return want / self.soak * min(max((y - self.wet_from) / 0.002, 0.0), 1.0)
        return want / self.release
