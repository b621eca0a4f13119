"""Days of heat and oxygen of a bench, solved a second time, and the comparison with ours.

    python climate_twin.py climate.json [N] [--only NAME] [--accounts] [--jobs 1]

Reads what the example `climate_cases` prints; of the water it takes our run's flows and contents as they are. Written
from docs/climate-model.md and the equations it names. In time another way: LSODA (an implicit multistep method where it
must be) within each piece, with the evaporation, the roots' C/(C + 0.43) and all that depends on temperature as they
are at every moment. Shares no code with the repository.

Allowed: temperature of the reservoir 0.02 K, of trays 0.05 K; oxygen of the reservoir 0.02 mg/L, of trays 0.10 mg/L
(where ours tells it). Exit code 1 if a case differs. `--accounts` adds what each kind brought in a day, ours and here
(by the trapezium, not counted).

Where the page leaves a choice:

- plastic of a tray: floor and walls up to the rim, its walls as 2 (l + w) · height with l, w at half of that height
- free floor: the floor less the plan of the blocks; free surface: the plan at the water's level less that of the blocks
- top area of the reservoir: the plan at the water's level, with a lid as without
- "all roots use" in the reservoir: of all trays together, with the end's factor, at the reservoir's temperature
- water that comes brings room temperature (reservoir) or its share of saturation, the latter at the temperature of the
  vessel it enters; a tray's capacity for heat that no flow explains comes and goes at the tray's own temperature
- the film of 10 mL is always there, beside the free water
- tops of blocks: the crop's demand as a height of water of the density at the site's temperature
- water falls from the end of the return to the reservoir's water, whatever stands there at that time
- cascade: what runs back reaches the reservoir, what falls over the riser the tray below
- the power of a heater is the same all through a piece; it has no part in the day's first moment
"""

import argparse
import json
import math
import multiprocessing
import sys
import time

from scipy.integrate import odeint

ALLOWED = {"reservoir [K]": 0.02, "trays [K]": 0.05, "reservoir [mg/L]": 0.02, "trays [mg/L]": 0.10}
ZERO = 273.15
GRAVITY = 9.80665
ATMOSPHERE = 101325.0  # [Pa]
HEAT_OF_WATER = 4183.0  # [J/(kg K)]
HEAT_OF_AIR = 1200.0  # [J/(m3 K)]
GAS_OF_VAPOUR = 461.5  # [J/(kg K)]
HALF = 0.43  # oxygen at which roots get half [mg/L]
LEAST = 1e-5  # film of every vessel [m3]
PLASTIC = 1.8e-3  # water that holds as much heat [m]
WET = 2e-3  # depth from which a tray is under water [m]
SURFACE = 0.0207 / 3600  # [m/s] at 20 degC
CONDUCTIVITY = 2000.0  # [uS/cm]
WALL = {"none": 6.0, "foil": 3.5, "foam": 1.3}  # [W/(m2 K)]
DAYS = 40
REPEATED = (2e-5, 2e-5)  # [K], [mg/L]
EXACT = {"rtol": 1e-9, "atol": 1e-7, "mxstep": 20000}
HELD = 1e-6  # [K]
LN2_10, LN_TRANSFER = math.log(2) / 10, math.log(1.024)


# Water and air


def density(t):
    """Water at one atmosphere [kg/m3], t in degC (Kell, J. Chem. Eng. Data 20 (1975) 97)."""
    return (
        999.83952
        + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t))))
    ) / (1 + 16.879850e-3 * t)


def saturated(k):
    """Pressure of saturated vapour over water [Pa] (Hyland & Wexler 1983; ASHRAE Fundamentals 2017, ch. 1, eq. 6)."""
    return math.exp(
        -5.8002206e3 / k
        + 1.3914993
        - 4.8640239e-2 * k
        + 4.1764768e-5 * k * k
        - 1.4452093e-8 * k * k * k
        + 6.5459673 * math.log(k)
    )


def latent(k):
    return (2.501 - 0.002361 * (k - ZERO)) * 1e6


def atmosphere(altitude):
    return ATMOSPHERE * (1 - 2.25577e-5 * altitude) ** 5.2559


SALINITY = 5.572e-4 * CONDUCTIVITY + 2.02e-9 * CONDUCTIVITY**2


def at_one_atmosphere(k):
    """Oxygen in water under one atmosphere of moist air [mg/L] (Benson & Krause 1984)."""
    i = 1 / k
    return math.exp(
        -139.34411
        + i * (1.575701e5 + i * (-6.642308e7 + i * (1.243800e10 - 8.621949e11 * i)))
        - SALINITY * (0.017674 - 10.754 * i + 2140.7 * i * i)
    )


def by_pressure(k, pa):
    """Factor of another pressure on that."""
    p, t = pa / ATMOSPHERE, k - ZERO
    u = math.exp(11.8571 - 3840.70 / k - 216961 / (k * k))
    theta = 0.000975 - 1.426e-5 * t + 6.436e-8 * t * t
    return (p - u) * (1 - theta * p) / ((1 - u) * (1 - theta))


def pool_w_kpa(over_m_s):
    """Heat that evaporates from a quiet pool [W/(m2 kPa)]; the formula's latent heat falls out."""
    return 0.74 * 1000 * (0.089 + 0.0782 * over_m_s)


def gameson(fall, k):
    """Ratio of what lacks before and behind a fall of clean water (1.8), free (1)."""
    return 1 + 0.38 * 1.8 * fall * (1 - 0.11 * fall) * (1 + 0.046 * (k - ZERO))


class Tapered:
    def __init__(self, floor, rim, height):
        self.floor, self.rim, self.height = floor, rim, height

    def plan(self, y):
        s = min(max(y / self.height, 0.0), 1.0)
        return [a + (b - a) * s for a, b in zip(self.floor, self.rim, strict=True)]

    def area(self, y):
        length, width = self.plan(y)
        return length * width

    def walls(self, y):
        return 2 * sum(self.plan(0.5 * y)) * y


# What drives a piece


class Tray:
    """Of one tray and one piece. All that does not change within the piece."""

    __slots__ = (
        "begin", "change", "media", "media_change", "beside", "feed", "back", "riser", "into", "comes", "ua", "open_ua",
        "pool", "tops", "lamps", "roots", "surface", "fall",
    )  # fmt: skip


class Piece:
    __slots__ = (
        "dt", "begin", "change", "air", "vapour_kpa", "ua", "open_ua", "pool", "pumps", "comes", "transfer", "middle",
        "blown", "vapour_density", "surface", "trays",
    )  # fmt: skip


class Bench:
    def __init__(self, case):
        self.case = case
        self.rho_c = density(case["site_water_k"] - ZERO) * HEAT_OF_WATER
        self.pressure = atmosphere(case["altitude_m"])
        self.trays = len(case["trays"])
        self.held = case["hold_k"] is not None and (case["heater_w"] > 0 or case["chiller_w"] > 0)
        r = case["reservoir"]
        end = case["end"]
        self.reservoir = Tapered(r["plan_floor_m"], r["plan_rim_m"], r["depth_m"])
        self.shapes = [Tapered(t["plan_floor_m"], t["plan_rim_m"], t["rim_m"]) for t in case["trays"]]
        self.counted = float(end["fall"])  # share of it; a flag in older cases
        self.others = end["others"] * end["roots"] * sum(t["roots_use_at_20_degc_g_s"] for t in case["trays"])
        self.pieces = [self.piece(n, p) for n, p in enumerate(case["pieces"])]
        self.power = 0.0
        self.calls = 0

    def room(self, at):
        return [s for s in self.case["room"] if s["from_s"] <= at][-1]

    def piece(self, n, p):
        case, r, blown = self.case, self.case["reservoir"], self.case["blown"]
        room = self.room(p["from_s"] + 0.5 * p["dt_s"])
        q = Piece()
        q.dt, q.air = p["dt_s"], room["air_k"]
        q.begin, q.change = p["water"][0][0], (p["water"][0][1] - p["water"][0][0]) / q.dt
        vapour = room["humidity"] * saturated(q.air)
        q.vapour_kpa = vapour / 1000
        depth = p["depth"][0]
        q.ua = WALL[case["jacket"]] * self.reservoir.walls(depth)
        q.open_ua = (3.5 if r["lid"] else 5.0) * self.reservoir.area(depth)
        q.pool = 0.0 if r["lid"] else pool_w_kpa(case["draught_m_s"]) * self.reservoir.area(depth)
        q.surface = (case["end"]["under_lid"] if r["lid"] else 1.0) * SURFACE * self.reservoir.area(depth)
        q.pumps = sum(w for w, on in zip(case["pumps_w"], p["pumps"], strict=True) if on)
        q.comes = max(p["rest"][0], 0.0)
        q.transfer = q.blown = 0.0
        q.middle = self.pressure
        # The same water's temperature for both vapours: what is blown in is brought to it first.
        q.vapour_density = vapour / GAS_OF_VAPOUR
        if blown:
            over = max(0.0, depth - r["rest_depth_m"] + blown["depth_m"])
            q.transfer = blown["transfer_m3_s"] * over / blown["depth_m"]
            q.middle += density(case["site_water_k"] - ZERO) * GRAVITY * 0.5 * over
            q.blown = blown["flow_m3_s"]
        q.trays = [self.tray(i, n, p, room) for i in range(self.trays)]
        return q

    def tray(self, i, n, p, room):
        case, t, shape = self.case, self.case["trays"][i], self.shapes[i]
        a = Tray()
        depth, dt = p["depth"][i + 1], p["dt_s"]
        begin, end = p["water"][i + 1]
        a.begin, a.change = begin, (end - begin) / dt
        a.media, a.media_change = p["media"][i][0], (p["media"][i][1] - p["media"][i][0]) / dt
        floor, wet = shape.area(0.0), depth > WET
        a.beside = PLASTIC * (floor + shape.walls(shape.height)) + LEAST
        a.feed, a.back, a.riser = (p["flows"][k][i] for k in ("feed", "back", "riser"))
        a.into = t["into"]
        a.comes = max(p["rest"][i + 1], 0.0)
        blocks = t["blocks"]
        plan = blocks["plan_m2"] if blocks else 0.0
        free = max(floor - plan, 0.0)
        sides = under = 0.0
        if blocks:
            under = min(max(depth - blocks["base_m"], 0.0), blocks["height_m"])
            sides = blocks["count"] * 2 * (blocks["length_m"] + blocks["width_m"]) * (blocks["height_m"] - under)
            under /= blocks["height_m"]
        a.ua = 2.5 * sides + (6.0 * (floor + shape.walls(depth)) if wet else 3.0 * max(plan, 0.1 * floor))
        a.open_ua = 5.0 * (plan + (free if wet else 0.0))
        a.pool = pool_w_kpa(case["draught_m_s"]) * free * (1 - 0.5 * case["cover"]) if wet else 0.0
        tops = t["evaporation_of_tops_m_s"]
        a.tops = density(case["site_water_k"] - ZERO) * plan * tops[n] if tops else 0.0
        a.lamps = room["photons_mol_m2_s"] / (4.7e-6 if case["lamps"] else 2.05e-6) * 0.8 * (1 - case["cover"]) * shape.area(shape.height)
        a.roots = under * case["end"]["roots"] * t["roots_use_at_20_degc_g_s"]
        onto = case["reservoir"]["elevation_m"] + p["depth"][0]
        a.fall = min(max(t["elevation_m"] - t["return_drop_m"] - onto, 0.0), 3.0) if t["into"] is None else 0.0
        a.surface = SURFACE * max(shape.area(depth) - plan, 0.0)
        return a

    # Rates

    def slope(self, y, at, p, power):
        """d/dt of temperatures [K/s] and oxygen [mg/L/s], reservoir first. Every vessel in the form
        X dC/dt = what comes in · (its C - C) + gain - loss, as what leaves takes the vessel's own."""
        self.calls += 1
        n = self.trays + 1
        rho_c = self.rho_c
        k, c = y[0], y[n]
        water = p.begin + p.change * at
        degc = k - ZERO
        faster = math.exp(LN_TRANSFER * (degc - 20))
        plain = at_one_atmosphere(k)
        full = plain * by_pressure(k, self.pressure)
        heat = p.pumps + power + (p.ua + p.open_ua) * (p.air - k) + rho_c * p.comes * (p.air - k)
        if p.pool or p.blown:
            pw = saturated(k)
            heat -= p.pool * (pw / 1000 - p.vapour_kpa)
            heat += p.blown * (
                HEAT_OF_AIR * (p.air - k) - (pw / GAS_OF_VAPOUR - p.vapour_density) / k * latent(k)
            )
        gas = p.surface * faster * (full - c) + p.comes * (full - c)
        if p.transfer:
            gas += p.transfer * faster * (plain * by_pressure(k, p.middle) - c)
        gas -= self.others * math.exp(LN2_10 * (degc - 20)) * c / (c + HALF)
        d = [0.0] * (2 * n)
        for i, a in enumerate(p.trays, 1):
            ki, ci = y[i], y[n + i]
            own = a.begin + a.change * at
            held = max(own, 0.0) + a.media + a.media_change * at + a.beside
            h = rho_c * a.feed * (k - ki) + (a.ua + a.open_ua) * (p.air - ki) + a.lamps - a.tops * latent(ki)
            if a.pool:
                h -= a.pool * (saturated(ki) / 1000 - p.vapour_kpa)
            full_i = at_one_atmosphere(ki) * by_pressure(ki, self.pressure)
            g = a.feed * (c - ci) + a.comes * (self.case["given_back"] * full_i - ci)
            g += a.surface * math.exp(LN_TRANSFER * (ki - ZERO - 20)) * (full_i - ci)
            if a.roots:
                g -= a.roots * math.exp(LN2_10 * (ki - ZERO - 20)) * ci / (ci + HALF)
            d[i] += h / (rho_c * held)
            d[n + i] += g / (max(own, 0.0) + LEAST)
            runs = a.back + (a.riser if a.into is None else 0.0)
            if runs:
                heat += rho_c * runs * (ki - k)
                gas += runs * (ci - c)
            if a.riser and a.into is not None:
                j, below = a.into + 1, p.trays[a.into]
                w = below.begin + below.change * at
                x = max(w, 0.0) + below.media + below.media_change * at + below.beside
                d[j] += a.riser * (ki - y[j]) / x
                d[n + j] += a.riser * (ci - y[n + j]) / (max(w, 0.0) + LEAST)
            if a.riser and a.fall:
                gas += self.counted * a.riser * (full_i - ci) * (1 - 1 / gameson(a.fall, k))
        d[0] = heat / (rho_c * max(water, LEAST))
        d[n] = gas / (max(water, 0.0) + LEAST)
        return d

    def over(self, y, p, power):
        return odeint(self.slope, y, (0.0, p.dt), args=(p, power), **EXACT)[-1].tolist()

    def step(self, y, p):
        """A piece, with the power that brings the reservoir to what is wanted at its end, as far as there is any."""
        if not self.held:
            return self.over(y, p, 0.0)
        wanted, least, most = self.case["hold_k"], -self.case["chiller_w"], self.case["heater_w"]
        per_k = self.rho_c * p.begin / p.dt
        power = min(max(self.power, least), most)
        for _ in range(30):
            ends = self.over(y, p, power)
            better = min(max(power + (wanted - ends[0]) * per_k, least), most)
            if better == power or abs(ends[0] - wanted) < HELD:
                break
            power = better
        self.power = power
        return ends

    def day(self, y):
        course = [(0.0, y, None)]
        at = 0.0
        for p in self.pieces:
            y = self.step(y, p)
            at += p.dt
            course.append((at, y, self.power))
        return course

    def repeated(self):
        n = self.trays + 1
        air = sum(p.air * p.dt for p in self.pieces) / sum(p.dt for p in self.pieces)
        y = [air] * n + [8.0] * n
        parts, before = (slice(n), slice(n, None)), None
        for days in range(1, DAYS + 1):
            course = self.day(y)
            end = course[-1][1]
            change = [[b - a for a, b in zip(y[s], end[s], strict=True)] for s in parts]
            ahead = [self.ahead(c, b) for c, b in zip(change, before or change, strict=True)] if before else None
            apart = [max(map(abs, c)) for c in change]
            left = [a * max(1.0, h) for a, h in zip(apart, ahead or (math.inf, math.inf), strict=True)]
            if all(a < b for a, b in zip(left, REPEATED, strict=True)):
                break
            before, y = change, end
            # What changes from day to day settles into one mode that dies away geometrically: go to its end at once.
            if days % 4 == 0:
                y = [
                    e + c * h
                    for s, cs, h in zip(parts, change, ahead, strict=True)
                    for e, c in zip(end[s], cs, strict=True)
                ]
                y[n:] = [max(c, 0.0) for c in y[n:]]
                before = None
        return course, days, apart

    @staticmethod
    def ahead(change, before):
        """What all days to come will change, as a multiple of the change of the last."""
        ratio = sum(a * b for a, b in zip(change, before, strict=True)) / (sum(b * b for b in before) or 1.0)
        ratio = min(max(ratio, 0.0), 0.99)
        return ratio / (1 - ratio)

    # What each kind brought, by the trapezium over each piece: to tell where a difference comes from

    def accounts(self, course):
        n, since = self.trays + 1, self.case["site_water_k"]
        heat = dict.fromkeys((k for k, _ in self.case["our_accounts"]["heat"]["brought"]), 0.0)
        gas = dict.fromkeys((k for k, _ in self.case["our_accounts"]["oxygen"]["brought"]), 0.0)
        steps = zip(self.pieces, self.case["pieces"], course[:-1], course[1:], strict=True)
        for p, raw, (_, y0, _), (_, y1, power) in steps:
            for y, half in ((y0, 0.5 * p.dt), (y1, 0.5 * p.dt)):
                k, c = y[0], y[n]
                plain, pw = at_one_atmosphere(k), saturated(k)
                full = plain * by_pressure(k, self.pressure)
                faster = 1.024 ** (k - ZERO - 20)
                heat["pumps"] += half * p.pumps
                heat["room, through walls"] += half * p.ua * (p.air - k)
                heat["room, open water"] += half * p.open_ua * (p.air - k)
                heat["evaporation"] -= half * p.pool * (pw / 1000 - p.vapour_kpa)
                heat["air blown in"] += half * p.blown * (
                    HEAT_OF_AIR * (p.air - k) - (pw / GAS_OF_VAPOUR - p.vapour_density) / k * latent(k)
                )
                heat["heater or chiller"] += half * power
                heat["water that comes and goes"] += half * self.rho_c * (
                    p.comes * (p.air - since) + min(raw["rest"][0], 0.0) * (k - since)
                )
                gas["bubbles"] += half * p.transfer * faster * (plain * by_pressure(k, p.middle) - c)
                gas["open surface"] += half * p.surface * faster * (full - c)
                used = self.others * 2 ** ((k - ZERO - 20) / 10) * c / (c + HALF)
                gas["microbes and roots in the reservoir"] -= half * used
                gas["water that comes and goes"] += half * (p.comes * full + min(raw["rest"][0], 0.0) * c)
                for i, a in enumerate(p.trays, 1):
                    ki, ci = y[i], y[n + i]
                    full_i = at_one_atmosphere(ki) * by_pressure(ki, self.pressure)
                    rest = raw["rest"][i]
                    heat["room, through walls"] += half * a.ua * (p.air - ki)
                    heat["room, open water"] += half * a.open_ua * (p.air - ki)
                    heat["evaporation"] -= half * (
                        a.pool * (saturated(ki) / 1000 - p.vapour_kpa) + a.tops * latent(ki)
                    )
                    heat["lamps"] += half * a.lamps
                    heat["water that comes and goes"] += half * self.rho_c * (rest + a.media_change) * (ki - since)
                    if a.begin + (a.change * p.dt if y is y1 else 0.0) >= SURFACE_FROM:
                        gas["open surface"] += half * a.surface * 1.024 ** (ki - ZERO - 20) * (full_i - ci)
                    gas["roots under water"] -= half * a.roots * 2 ** ((ki - ZERO - 20) / 10) * ci / (ci + HALF)
                    gas["water that comes and goes"] += half * (
                        a.comes * self.case["given_back"] * full_i + min(rest, 0.0) * ci
                    )
                    if a.fall:
                        gained = 1 - 1 / gameson(a.fall, k)
                        gas["falling water"] += half * self.counted * a.riser * (full_i - ci) * gained
        return heat, gas


def compare(job):
    case, accounts = job
    begun = time.perf_counter()
    bench = Bench(case)
    course, days, apart = bench.repeated()
    took = time.perf_counter() - begun
    n = bench.trays + 1
    worst = {q: (0.0, 0.0, 0) for q in ALLOWED}
    unlike = 0.0
    told = []

    def differs(quantity, here, ours, at, vessel):
        off = here - ours
        if not abs(off) <= abs(worst[quantity][0]):
            worst[quantity] = (off, at, vessel)

    j = 0
    for o in case["ours"]:
        at = o["t_s"]
        while j + 1 < len(course) and abs(course[j + 1][0] - at) <= abs(course[j][0] - at):
            j += 1
        if abs(course[j][0] - at) > 1e-6:
            told.append(f"no such moment here: {at} s")
            break
        y = course[j][1]
        differs("reservoir [K]", y[0], o["reservoir_k"], at, 0)
        differs("reservoir [mg/L]", y[n], o["oxygen_mg_l"], at, 0)
        full = at_one_atmosphere(o["reservoir_k"]) * by_pressure(o["reservoir_k"], bench.pressure)
        unlike = max(unlike, abs(full - o["saturation_mg_l"]))
        for i, k in enumerate(o["trays_k"]):
            differs("trays [K]", y[1 + i], k, at, i)
            if o["trays_mg_l"][i] is not None:
                differs("trays [mg/L]", y[n + 1 + i], o["trays_mg_l"][i], at, i)
    if days == DAYS:
        told.append(f"does not repeat itself: {apart[0]:.1e} K, {apart[1]:.1e} mg/L")
    if accounts:
        for kind, here in zip(("heat", "oxygen"), bench.accounts(course), strict=True):
            for name, ours in case["our_accounts"][kind]["brought"]:
                told.append(f"{kind:6} {name:36} ours {ours:14.6g} here {here[name]:14.6g}")
    return case["name"], worst, unlike, days, took, bench.calls, told


def main():
    asks = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    asks.add_argument("cases")
    asks.add_argument("first", nargs="?", type=int)
    asks.add_argument("--only")
    asks.add_argument("--accounts", action="store_true")
    asks.add_argument("--jobs", type=int, default=1)
    asked = asks.parse_args()
    with open(asked.cases) as file:
        cases = json.load(file)[: asked.first]
    jobs = [(c, asked.accounts) for c in cases if not asked.only or asked.only in c["name"]]
    overall = {q: (0.0, 0.0, 0, "none") for q in ALLOWED}
    failed, seconds, unlike = [], [], 0.0
    with multiprocessing.Pool(asked.jobs) as pool:
        for name, worst, full, days, took, calls, told in pool.imap(compare, jobs):
            fails = bool([t for t in told if "no such" in t or "does not" in t])
            print(f"{name}: {days} days, {took:.1f} s, {calls} slopes")
            for q, (off, at, vessel) in worst.items():
                over = not abs(off) <= ALLOWED[q]
                fails |= over
                where = f" of tray {vessel + 1}" if q.startswith("trays") else ""
                print(f"  {q:17} {off:+.5f} at {at:.1f} s{where}{'  DIFFERS' if over else ''}")
                if not abs(off) <= abs(overall[q][0]):
                    overall[q] = (off, at, vessel, name)
            for t in told:
                print(f"  {t}")
            sys.stdout.flush()
            if fails:
                failed.append(name)
            seconds.append(took)
            unlike = max(unlike, full)
    print(f"\n{len(seconds)} cases, worst of all (here less ours):")
    for q, (off, at, _, name) in overall.items():
        print(f"  {q:17} {off:+.5f} of {ALLOWED[q]} allowed: {name}, {at:.1f} s")
    print(f"  saturation at our temperature of the reservoir: {unlike:.1e} mg/L")
    if seconds:
        print(f"  seconds a case: {sum(seconds) / len(seconds):.1f}, at most {max(seconds):.1f}")
    print(f"{len(failed)} differ" + "".join(f"\n  {f}" for f in failed))
    return 1 if failed or not seconds else 0


if __name__ == "__main__":
    sys.exit(main())
