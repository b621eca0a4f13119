"""A second program for the flood model of docs/flood-model.md, and its comparison with ours.

    python flood_twin.py cases.json [--jobs 2] [--only SEED] [--method LSODA]

Levels and volumes must agree to 1e-4 (or 0.02 mm, 2 mL; extremes of the reservoir, which each program
takes at its own steps, 0.05 mm), times to 1e-4 (or 0.05 s). Exit code 1 where they do not.
"""

import argparse
import json
import math
import multiprocessing
import sys
import time

from scipy.integrate import LSODA, Radau
from scipy.optimize import brentq

from bench_model import G, Line, Media, Pump, Riser, Shape, TrayStore, hose, in_series

MOST_CALLS = 400_000
FILLING, FULL, EMPTYING = "filling", "full", "emptying"


class Bench:
    def __init__(self, case):
        b, a = case["bench"], case["asked"]
        nu = b["water"]["kinematic_viscosity_m2_s"]
        self.lip_control, self.weir = a["lip_control"], a["weir"]
        self.pumps = [Pump(p, k, a["fittings"], nu) for p, k in zip(b["pumps"], a["pumps"])]
        r = b["reservoir"]
        self.reservoir, self.elevation, self.spill = Shape(r["shape"]), r["elevation_m"], r["spill_height_m"]
        self.fill = min(r["fill_m3"] * a["fill"], self.reservoir.volume(self.spill))
        self.float = r["top_up"]
        self.trays = []
        for t in b["trays"]:
            tray = type("Tray", (), {})()
            tray.store = TrayStore(t, a["displacement"])
            tray.floor, tray.rim = t["elevation_m"], tray.store.shape.depth
            e = t["entry"]
            tray.broken = e.get("break_hole_m") or 0.0
            if e["kind"] == "floor":
                tray.outlet, tray.back = 0.0, t["lip_m"] if self.lip_control else 0.0
            else:
                tray.outlet = e["end_m"]
                p = self.pumps[t["pump"]]
                bend = tray.floor + e["bend_m"]
                p.high_point = bend if p.high_point is None else max(p.high_point, bend)
                tray.back = max(e["end_m"], tray.broken)
            tray.pump, tray.into = t["pump"], t["drains_into"]
            branch = t["branch"]
            tray.branch = hose(branch["hose"], a["fittings"], nu) if branch else None
            tray.hold = branch["stays_open_s"] if branch else None
            tray.lip_bore = tray.branch.d if branch else self.pumps[tray.pump].feed.d
            d = t["drain"]
            tray.riser = Riser(d, a, nu) if d["riser"] and not a["risers_blocked"] else None
            tray.weep = math.pi * (d["weep_m"] or 0.0) ** 2 / 4
            tray.media = Media(t, a["soak"]) if t["blocks"] or t["bed"] else None
            j = t["blocks"]
            tray.block = (j["base_m"], j["base_m"] + j["height_m"]) if j else None
            tray.run = t["flood_run_s"]
            self.trays.append(tray)
        for i, p in enumerate(self.pumps):
            p.trays = [k for k, t in enumerate(self.trays) if t.pump == i]
            shared = len(p.trays) + (p.bypass is not None) > 1
            stub = Line(p.feed.d, 0.05, p.feed.e, 1.8, nu) if shared else None
            p.lines = [self.trays[k].branch or stub for k in p.trays]
            lines = [p.feed] + [self.trays[k].branch for k in p.trays if self.trays[k].branch]
            p.hose = sum(l.a * l.l for l in lines) if a["hose_holdup"] else 0.0


class Flood:
    """State: reservoir, floor, supply, hoses, trays, media; then fed, back, over riser, spilled of each tray."""

    def __init__(self, case, method):
        self.b = b = Bench(case)
        self.method, self.end = method, case["result"]["end_s"]
        self.np, self.nt = len(b.pumps), len(b.trays)
        self.tray0, self.media0 = 3 + self.np, 3 + self.np + self.nt
        self.meter0 = self.media0 + self.nt
        self.y = [0.0] * (self.meter0 + 4 * self.nt)
        self.y[0] = b.fill
        for i, t in enumerate(b.trays):
            self.y[self.media0 + i] = t.media.start if t.media else 0.0
        self.t = 0.0
        self.on, self.primed = [False] * self.np, [True] * self.np
        self.hose = [FILLING if p.hose > 0 else FULL for p in b.pumps]
        self.way, self.air, self.at_rim = [True] * self.nt, [True] * self.nt, [False] * self.nt
        self.full = self.supply_ended = False
        self.float_open = bool(b.float) and self.level(self.y[0]) < b.float["shuts_at_m"] - 0.005
        self.happened, self.calls = {}, 0
        self.highest = [0.0] * self.nt
        self.low = self.high = self.level(self.y[0])
        self.at_stop = [None] * self.nt
        self.watches = self.all_watches()
        for w in self.watches:
            w["above"] = self.y[w["at"]] >= w["level"]

    def level(self, v):
        if v <= 0:
            return 0.0
        s = self.b.reservoir
        return brentq(lambda y: s.volume(y) - v, 0.0, 2 * s.depth + 1, xtol=1e-12, rtol=1e-14)

    def running(self, p):
        return self.on[p] and self.primed[p]

    def all_watches(self):
        w = []

        def add(at, level, up, down, index):
            w.append({"at": at, "level": level, "up": up, "down": down, "index": index})

        for i, t in enumerate(self.b.trays):
            at, v = self.tray0 + i, t.store.volume
            if t.block:
                add(at, v(max(t.block[0], 0.0005)), "base_wet", None, i)
                add(at, v(t.block[1]), None, None, i)
            if t.riser:
                add(at, v(t.riser.crest), "crest_wet", "crest_dry", i)
                add(at, v(t.riser.crest + t.riser.c * t.riser.bore / (4 * t.riser.weir)), "drowned", None, i)
            add(at, v(0.005 if t.weep else max(0.005, t.back + 0.001)), None, "drained", i)
            add(at, v(t.rim), "rim", None, i)
            add(at, v(t.back + 0.0002), None, "puddle", i)
            add(at, v(t.back + 0.001), "covered", None, i)
        res = self.b.reservoir.volume
        for i, p in enumerate(self.b.pumps):
            add(0, res(p.prime), None, "prime_lost", i)
            if p.regain is not None:
                add(0, res(p.regain), "prime_regained", None, i)
            if p.hose > 0:
                add(3 + i, p.hose, "hose_full", None, i)
                add(3 + i, 1e-9, None, "hose_empty", i)
        add(0, res(self.b.spill), "full", None, 0)
        if self.b.float:
            shuts = self.b.float["shuts_at_m"]
            add(0, res(shuts - 0.005), None, "float_opens", 0)
            add(0, res(shuts), "float_shuts", None, 0)
            if self.b.float["tank_m3"] is not None:
                add(2, -self.b.float["tank_m3"], None, "supply_ends", 0)
        return w

    def manifold(self, p, running, level, ways):
        """Flow into each way (line, out, back) of several from one node."""
        pump = self.b.pumps[p]

        def into(way, node):
            line, out, back = way
            if node > out:
                return line.flow(node - out)
            return -line.flow(back - node) if back is not None and back > node else 0.0

        def excess(node):
            return sum(into(w, node) for w in ways) - pump.at(node - level, running)

        push = pump.push if running else 0.0
        levels = [level, level + push] + [w[1] for w in ways] + [w[2] for w in ways if w[2] is not None]
        node = brentq(excess, min(levels) - 1e-6, max(levels) + 1e-6, xtol=1e-14, rtol=1e-14)
        return [into(w, node) for w in ways]

    def single(self, p, running, level, way):
        pump, (line, out, back) = self.b.pumps[p], way
        lines = [line] if line else []
        push = pump.push if running else 0.0
        if out - level <= push:
            if running:
                return pump.forward(out - level, lines)
            return in_series([pump.reverse, *lines], level - out)
        if back is None or pump.check:
            return 0.0
        return -in_series([pump.reverse, *lines], back - level - push)

    def feeds(self, p, level, depth):
        """Flow into the hose, or into each tray of this pump."""
        pump, running, filling = self.b.pumps[p], self.running(p), self.hose[p] == FILLING
        if filling and not running:
            return 0.0, None
        if self.hose[p] == EMPTYING:
            lowest = min((self.b.trays[k].floor for k in pump.trays), default=0.0)
            return -pump.reverse.flow(max(lowest - level, 0.05)), None
        ways, open_trays = [], []
        for line, k in zip(pump.lines, pump.trays):
            t = self.b.trays[k]
            if not self.way[k]:
                continue
            surface = t.floor + depth[k]
            out = max(surface, t.floor + (t.outlet if running else max(t.outlet, t.broken)))
            back = surface if not self.air[k] and depth[k] > t.back else None
            if filling:
                out, back = max(out, pump.high_point if pump.high_point is not None else out), None
            ways.append((line, out, back))
            open_trays.append(k)
        if pump.bypass:
            ways.append((pump.bypass, level, level))
        if not ways:
            flows = []
        elif len(ways) == 1:
            flows = [self.single(p, running, level, ways[0])]
        else:
            flows = self.manifold(p, running, level, ways)
        if filling:
            return max(sum(flows[: len(open_trays)]), 0.0), None
        drawn = sum(flows)
        flows = [self.over_lip(k, q, depth) for k, q in zip(open_trays, flows)]
        forward, back = sum(q for q in flows if q > 0), -sum(q for q in flows if q < 0)
        if not running and forward > 0:
            reach = min(max((level - self.b.elevation - pump.inlet) / 0.002, 0.0), 1.0)
            share = min((back + reach * max(drawn, 0.0)) / forward, 1.0)
            flows = [q * share if q > 0 else q for q in flows]
        return None, dict(zip(open_trays, flows))

    def over_lip(self, k, q, depth):
        if q >= 0 or not self.b.lip_control:
            return q
        tray = self.b.trays[k]
        head = max(depth[k] - tray.back, 0.0)
        return max(q, -self.b.weir * math.sqrt(2 * G) * math.pi * tray.lip_bore * head**1.5)

    def rates(self, t, y):
        self.calls += 1
        b = self.b
        d = [0.0] * len(y)
        level = b.elevation + self.level(y[0])
        depth = [tr.store.depth(y[self.tray0 + i]) for i, tr in enumerate(b.trays)]
        for p, pump in enumerate(b.pumps):
            hose, flows = self.feeds(p, level, depth)
            if flows is None:
                d[3 + p] += hose
                d[0] -= hose
                continue
            for k, q in flows.items():
                d[0] -= q
                d[self.tray0 + k] += q
                d[self.meter0 + 4 * k + (0 if q > 0 else 1)] += abs(q)
        for k, tray in enumerate(b.trays):
            over = tray.riser.flow(depth[k]) if tray.riser else 0.0
            out = over + (0.62 * tray.weep * math.sqrt(2 * G * depth[k]) if depth[k] > 0 else 0.0)
            d[self.tray0 + k] -= out
            d[0 if tray.into is None else self.tray0 + tray.into] += out
            d[self.meter0 + 4 * k + 2] += over
            if tray.media:
                q = tray.media.uptake(y[self.media0 + k], depth[k])
                d[self.media0 + k] += q
                d[self.tray0 + k] -= q
        if self.float_open and not self.supply_ended:
            d[0] += b.float["flow_m3_s"]
            d[2] -= b.float["flow_m3_s"]
        self.surplus = [d[self.tray0 + k] for k in range(self.nt)] + [d[0]]
        for k in range(self.nt):
            if self.at_rim[k] and d[self.tray0 + k] > 0:
                d[1] += d[self.tray0 + k]
                d[self.meter0 + 4 * k + 3] += d[self.tray0 + k]
                d[self.tray0 + k] = 0.0
        if self.full and d[0] > 0:
            d[1] += d[0]
            d[0] = 0.0
        return d

    def falls(self, t, y):
        """Whether a vessel at its rim no longer gains."""
        self.rates(t, y)
        flags = self.at_rim + [self.full]
        return [f and s <= 0 for f, s in zip(flags, self.surplus)]

    def note(self, y):
        for i, t in enumerate(self.b.trays):
            self.highest[i] = max(self.highest[i], t.store.depth(y[self.tray0 + i]))
        z = self.level(y[0])
        self.low, self.high = min(self.low, z), max(self.high, z)

    def switch(self, t):
        flooding = [t < tr.run for tr in self.b.trays]
        for i, tr in enumerate(self.b.trays):
            self.way[i] = tr.hold is None or t < tr.run + tr.hold
            stopped = not self.way[i] or not any(flooding[k] for k in self.b.pumps[tr.pump].trays)
            if stopped and self.at_stop[i] is None:
                self.at_stop[i] = tr.store.depth(self.y[self.tray0 + i])
        z = self.level(self.y[0])
        for p, pump in enumerate(self.b.pumps):
            on = any(flooding[k] for k in pump.trays)
            if on == self.on[p]:
                continue
            self.on[p] = on
            if on:
                self.primed[p] = z > pump.prime
                if not self.primed[p]:
                    self.happened.setdefault(("prime_lost", p), t)
                if self.hose[p] == EMPTYING:
                    self.hose[p] = FILLING
            elif self.hose[p] == FILLING and pump.hose > 0:
                self.empty(p)
        self.release()

    def empty(self, p):
        kept = self.b.pumps[p].check or self.y[3 + p] <= 2e-9
        self.hose[p] = FILLING if kept else EMPTYING

    def release(self):
        for p, pump in enumerate(self.b.pumps):
            still = not self.running(p) and self.hose[p] == FULL and pump.hose > 0 and not pump.check
            if still and any(self.way[k] for k in pump.trays) and all(self.air[k] or not self.way[k] for k in pump.trays):
                self.empty(p)

    def cross(self, w):
        w["above"] = not w["above"]
        what, i = (w["up"] if w["above"] else w["down"]), w["index"]
        if what in ("base_wet", "crest_wet", "drowned", "drained", "rim", "puddle"):
            self.happened.setdefault((what, i), self.t)
        if what == "rim":
            self.at_rim[i] = True
        elif what == "puddle" and not self.running(self.b.trays[i].pump):
            self.air[i] = True
            self.release()
        elif what == "covered":
            self.air[i] = False
            p = self.b.trays[i].pump
            if not self.on[p] and self.way[i] and self.hose[p] == FILLING:
                self.hose[p] = FULL
        elif what == "prime_lost" and self.on[i] and self.primed[i]:
            self.primed[i] = False
            self.happened.setdefault((what, i), self.t)
        elif what == "prime_regained" and self.on[i]:
            self.primed[i] = True
            if self.hose[i] == EMPTYING:
                self.hose[i] = FILLING
        elif what == "full":
            self.full = True
        elif what in ("float_opens", "float_shuts"):
            self.float_open = what == "float_opens"
        elif what == "supply_ends":
            self.supply_ended = True
        elif what == "hose_full":
            self.hose[i] = FULL
        elif what == "hose_empty" and self.hose[i] == EMPTYING:
            self.hose[i] = FILLING

    def segment(self, until):
        atol = [1e-11] * self.meter0 + [1e-9] * (4 * self.nt)
        while self.t < until:
            first = min(1e-3, until - self.t)
            method = {"LSODA": LSODA, "Radau": Radau}[self.method]
            solver = method(self.rates, self.t, self.y, until, rtol=1e-8, atol=atol, first_step=first)
            self.integrate(solver)

    def integrate(self, solver):
        """Steps until a watch is crossed or a vessel leaves its rim."""
        while solver.status == "running":
            if self.calls > MOST_CALLS:
                raise RuntimeError(f"gives up at {solver.t} s")
            message = solver.step()
            if solver.status == "failed":
                raise RuntimeError(f"{message} at {solver.t}")
            dense = solver.dense_output()
            t, hit = solver.t, None
            for w in self.watches:
                at, level = w["at"], w["level"]
                v = solver.y[at]
                if (v < level - 1e-11) if w["above"] else (v > level + 1e-11):
                    g = lambda s: dense(s)[at] - level
                    a, b = solver.t_old, t
                    if g(a) * g(b) <= 0:
                        s = brentq(g, a, b, xtol=1e-10)
                    elif (g(a) < 0) == w["above"]:
                        s = a  # began on the level, a hair to the other side
                    else:
                        continue  # not before the crossing already found
                    if s <= t:
                        t, hit = s, w
            if (self.full or any(self.at_rim)) and any(self.falls(t, dense(t))):
                a, b = solver.t_old, t
                while b - a > 1e-7:
                    m = 0.5 * (a + b)
                    a, b = (a, m) if any(self.falls(m, dense(m))) else (m, b)
                t, hit = b, None
                leaves = self.falls(t, dense(t))
            else:
                leaves = None
            for share in (0.25, 0.5, 0.75, 1.0):
                self.note(dense(solver.t_old + share * (t - solver.t_old)))
            self.t, self.y = t, [float(v) for v in (solver.y if t == solver.t else dense(t))]
            if hit:
                at, level, side = hit["at"], hit["level"], hit["above"]
                for w in self.watches:
                    if w["at"] == at and w["above"] == side and abs(w["level"] - level) < 1e-10:
                        self.cross(w)
            if leaves:
                for k, gone in enumerate(leaves):
                    if gone:
                        self.leave(k)
            if hit or leaves:
                return

    def leave(self, k):
        if k < self.nt:
            self.at_rim[k] = False
        else:
            self.full = False
        at = self.tray0 + k if k < self.nt else 0
        for w in self.watches:
            if w["at"] == at and w["up"] in ("rim", "full"):
                w["above"] = False

    def go(self):
        times = {0.0, self.end}
        for t in self.b.trays:
            times |= {t.run, t.run + (t.hold or 0.0)}
        times = sorted(x for x in times if x <= self.end)
        for a, b in zip(times, times[1:]):
            self.switch(a)
            self.segment(b)
        # A pump that stops just as the run ends.
        self.switch(times[-1])
        return self


def compare(case, f):
    """(name, ours, theirs, error over allowance) of every quantity."""
    rows = []

    def one(name, a, b, floor, relative=1e-4):
        if b is None and a is not None and "_s[" in name and abs(a - f.end) < 0.5:
            return  # happened just as the run ended
        if a is None or b is None:
            rows.append((name, a, b, 0.0 if a is None and b is None else math.inf))
        else:
            rows.append((name, a, b, abs(a - b) / max(floor, relative * abs(a))))

    r, y = case["result"], f.y
    for i, t in enumerate(r["trays"]):
        for what in ("crest_wet", "base_wet", "drowned", "rim", "drained", "puddle"):
            one(f"{what}_s[{i}]", t[f"{what}_s"], f.happened.get((what, i)), 0.05)
        one(f"depth_at_stop_m[{i}]", t["depth_at_stop_m"], f.at_stop[i], 2e-5)
        one(f"highest_m[{i}]", t["highest_m"], f.highest[i], 2e-5)
        one(f"end_m3[{i}]", t["end_m3"], y[f.tray0 + i], 2e-6)
        one(f"media_end_m3[{i}]", t["media_end_m3"], y[f.media0 + i], 2e-6)
        for k, what in enumerate(("fed_m3", "back_m3", "over_riser_m3", "spilled_m3")):
            one(f"{what}[{i}]", t[what], y[f.meter0 + 4 * i + k], 2e-6)
    for i, t in enumerate(r["prime_lost_s"]):
        one(f"prime_lost_s[{i}]", t, f.happened.get(("prime_lost", i)), 0.05)
    one("reservoir_and_hoses_end_m3", r["reservoir_and_hoses_end_m3"], sum([y[0], *y[3 : 3 + f.np]]), 2e-6)
    one("floor_end_m3", r["floor_end_m3"], y[1], 2e-6)
    one("topped_up_m3", r["topped_up_m3"], -y[2], 2e-6)
    one("lowest_reservoir_m", r["lowest_reservoir_m"], f.low, 5e-5)
    one("highest_reservoir_m", r["highest_reservoir_m"], f.high, 5e-5)
    return rows


def job(arguments):
    case, method = arguments
    begun = time.perf_counter()
    try:
        f = Flood(case, method).go()
        rows, calls = compare(case, f), f.calls
    except Exception as e:  # a run that fails is a finding like any other
        rows, calls = [(f"failed: {e!r}", None, None, math.inf)], 0
    return case["seed"], rows, time.perf_counter() - begun, calls


def main():
    p = argparse.ArgumentParser()
    p.add_argument("cases")
    p.add_argument("--jobs", type=int, default=2)
    p.add_argument("--only", type=int)
    p.add_argument("--first", type=int)
    p.add_argument("--method", default="LSODA")
    a = p.parse_args()
    cases = json.load(open(a.cases))["cases"]
    cases = [c for c in cases if a.only is None or c["seed"] == a.only][: a.first]
    with multiprocessing.Pool(a.jobs) as pool:
        results = []
        for r in pool.imap_unordered(job, [(c, a.method) for c in cases]):
            results.append(r)
            worst_row = max(r[1], key=lambda x: x[3])
            print(f"seed {r[0]}: {r[2]:.1f} s, {r[3]} right-hand sides, worst {worst_row}", file=sys.stderr, flush=True)
    worst, bad = {}, {}
    for seed, rows, _, _ in results:
        for name, ours, theirs, error in rows:
            kind = name.split("[")[0]
            if kind not in worst or error > worst[kind][0]:
                worst[kind] = (error, seed, name, ours, theirs)
            if error > 1:
                bad.setdefault(seed, []).append((name, ours, theirs, error))
            if a.only is not None:
                print(f"{name:28} {ours!s:>24} {theirs!s:>24} {error:8.3f}")
    print(f"{'quantity':22} {'error/allowed':>13}  seed  ours  theirs")
    for kind, (error, seed, name, ours, theirs) in sorted(worst.items()):
        print(f"{kind:22} {error:13.4f}  {seed:4}  {ours}  {theirs}")
    for seed, rows in sorted(bad.items())[:60]:
        print(f"seed {seed}: " + "; ".join(f"{n} ours {x} theirs {y} ({e:.1f})" for n, x, y, e in rows[:4]))
    seconds = sorted(r[2] for r in results)
    calls = sum(r[3] for r in results)
    print(f"{len(results)} benches, {len(bad)} disagree; {sum(seconds) / len(seconds):.2f} s a cycle on average, "
          f"median {seconds[len(seconds) // 2]:.2f} s, {1e6 * sum(seconds) / max(calls, 1):.0f} µs a right-hand side")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
