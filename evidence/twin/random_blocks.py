"""Random blocks and days, solved a second time, and the comparison with ours.

    python random_blocks.py blocks.json [--only SEED] [--content 2e-5] [--jobs 1]

Reads what the example `random_blocks` prints. Same cells, same faces (arithmetic mean of K), same edges; in time
another way: implicit Euler in mixed form, a step gone over in one, two and three parts and extrapolated to third order
(Deuflhard, Numer. Math. 41 (1983) 399-422, from memory). Shares no code with the repository.

Mean content must agree to 1e-4, water taken in to 0.5 % and 0.02 mm. Exit code 1 if a block differs.
"""

import argparse
import json
import multiprocessing
import sys
import time

import numpy as np
from scipy.linalg.lapack import dgtsv

MEAN, SHARE, FLOOR_M = 1e-4, 5e-3, 2e-5
STORAGE = 1e-6  # of a saturated cell, per metre of head over nil
AIR_DRY = -10.0
SHORTEST, SHARPEST, LONGEST = 1e-9, 2e-4, 1800.0
BALANCED, ENOUGH = 1e-11, 1e-9  # left of a cell's content by a search
VOLUMES = ("taken_m", "given_back_m", "drunk_m", "evaporated_m")


def law(p, h):
    """Content, capacity, conductivity and its slope; van Genuchten and Mualem, pore connection 0.5."""
    theta_r, span, alpha, n, m, ks = p
    wet = h >= 0
    s = np.where(wet, 1.0, np.maximum(-h, 1e-12))
    x = (alpha * s) ** n
    over = 1 + x
    se = over**-m
    part = (x / over) ** m  # (1 - Se^(1/m))^m
    bracket = 1 - part
    to_dry = n / (s * over)  # -(d ln x/(1+x))/dh
    root = np.sqrt(se)
    k = ks * root * bracket**2
    d_se = m * x * se * to_dry
    d_k = ks * bracket * (0.5 * d_se / root * bracket + 2 * root * m * part * to_dry)
    return (
        np.where(wet, theta_r + span + STORAGE * h, theta_r + span * se),
        np.where(wet, STORAGE, span * d_se),
        np.where(wet, ks, k),
        np.where(wet, 0.0, d_k),
    )


class Block:
    def __init__(self, case):
        rows, dz = [], []
        for layer in case["layers"]:
            n = layer["n"]
            row = (
                layer["theta_r"], layer["theta_s"] - layer["theta_r"], layer["alpha_per_m"], n, 1 - 1 / n,
                layer["ks_m_s"],
            )
            rows += [row] * layer["cells"]
            dz += [layer["height_m"] / layer["cells"]] * layer["cells"]
        self.p, self.dz = np.array(rows).T.copy(), np.array(dz)
        self.faces = np.concatenate([[0.0], np.cumsum(self.dz)])
        self.z = 0.5 * (self.faces[1:] + self.faces[:-1])
        self.way = np.diff(self.z)
        self.height = self.faces[-1]
        self.beta = case["side_per_m2"] or 0.0
        self.stress = case["stress_m"]
        self.head = -self.z
        self.content = law(self.p, self.head)[0]
        self.k_dry = law(self.p[:, -1], np.array(AIR_DRY))[2]
        self.solves = self.steps = 0

    def surround(self, level, roots, evaporation):
        """Level over the underside [m], none where the floor is drained; demands [m/s]."""
        self.level, self.evaporation = level, evaporation
        self.roots = roots * self.dz / self.height
        if self.beta:
            stands = level or 0.0
            under = np.clip(stands - self.faces[:-1], 0, self.dz)
            self.by_wet = self.beta * under
            self.by_bare = self.beta * (self.dz - under)
            self.outside = stands - (self.faces[:-1] + 0.5 * under)

    def drunk(self, h):
        h1, h2, h3, h4 = self.stress
        wet, dry = (h1 - h) / (h1 - h2), (h - h4) / (h3 - h4)
        share = np.clip(np.minimum(wet, dry), 0, 1)
        slope = np.where((share > 0) & (share < 1), np.where(wet < dry, -1 / (h1 - h2), 1 / (h3 - h4)), 0)
        return self.roots * share, self.roots * slope

    def gains(self, h):
        """What each cell gains and the three diagonals of its slopes; contents and capacities; what crosses bounds."""
        content, capacity, k, slope = law(self.p, h)
        ks = self.p[5]
        q, below, above = np.zeros(h.size + 1), np.zeros(h.size + 1), np.zeros(h.size + 1)
        mean, pull = 0.5 * (k[1:] + k[:-1]), np.diff(h) / self.way + 1
        q[1:-1] = -mean * pull
        below[1:-1] = -0.5 * slope[:-1] * pull + mean / self.way
        above[1:-1] = -0.5 * slope[1:] * pull - mean / self.way
        # Underside: standing water both ways; a drained floor lets out only.
        half = 0.5 * self.dz[0]
        mean, pull = 0.5 * (k[0] + ks[0]), (h[0] - (self.level or 0.0)) / half + 1
        if self.level is not None or pull > 0:
            q[0], above[0] = -mean * pull, -0.5 * slope[0] * pull - mean / half
        # Top: what is asked for, or what comes up to a dry surface.
        half = 0.5 * self.dz[-1]
        mean, pull = 0.5 * (k[-1] + self.k_dry), (AIR_DRY - h[-1]) / half + 1
        most = -mean * pull
        if most < self.evaporation:
            q[-1], below[-1] = most, -0.5 * slope[-1] * pull + mean / half
        else:
            q[-1] = self.evaporation
        drunk, by_drunk = self.drunk(h)
        gain = q[:-1] - q[1:] - drunk
        own = above[:-1] - below[1:] - by_drunk
        sides = 0.0
        if self.beta:
            mean = 0.5 * (k + ks)
            wet, bare = self.by_wet * (self.outside - h), self.by_bare * np.minimum(-h, 0)
            entered = mean * (wet + bare)
            gain += entered
            own += 0.5 * slope * (wet + bare) - mean * (self.by_wet + np.where(h > 0, self.by_bare, 0))
            sides = entered.sum()
        crossed = np.array([q[0], sides, drunk.sum(), q[-1]])
        return gain, below[1:-1], own, above[1:-1], content, capacity, crossed

    def euler(self, content, guess, dt):
        """One implicit step: heads, contents by the fluxes, what crossed; none where the search does not settle."""
        h = guess
        share = dt / self.dz
        at = self.gains(h)
        left = at[4] - content - share * at[0]
        worst = np.abs(left).max()
        for _ in range(60):
            if worst < BALANCED:
                break
            self.solves += 1
            diagonal = at[5] - share * at[2]
            *_, step, fault = dgtsv(-share[1:] * at[1], diagonal, share[:-1] * at[3], -left)
            if fault:
                return None
            # No cell goes further than three times its suction, nor far past saturation, in one round.
            aim = np.maximum(h + step, 3 * np.minimum(h, 0) - 0.02)
            aim = np.where((h < -1e-3) & (aim > 0), 0.05 * h, aim)
            step = aim - h
            for _ in range(6):
                tried = h + step
                new = self.gains(tried)
                left = new[4] - content - share * new[0]
                now = np.abs(left).max()
                if now < worst or worst < ENOUGH:
                    break
                step *= 0.4
            if not now < worst and worst < ENOUGH:
                break
            h, at, worst = tried, new, now
        if not worst < ENOUGH:
            return None
        return h, content + share * at[0], dt * at[6]

    def over(self, dt, parts):
        """`dt` in so many equal parts."""
        h, content, crossed = self.head, self.content, np.zeros(4)
        for _ in range(parts):
            done = self.euler(content, h, dt / parts)
            if done is None:
                return None
            h, content = done[:2]
            crossed = crossed + done[2]
        return h, content, crossed

    def advance(self, seconds, allowed):
        """Goes on; what crossed underside (in), sides (in), to roots and over the top (out) [m]."""
        done, dt, total = 0.0, 0.01, np.zeros(4)
        while done < seconds - 1e-9:
            d = min(dt, seconds - done)
            d = d if d > 0.6 * (seconds - done) else min(d, 0.5 * (seconds - done))
            one = self.over(d, 1)
            two = one and self.over(d, 2)
            three = two and self.over(d, 3)
            if not three:
                dt = 0.3 * d
                if dt < SHORTEST:
                    raise RuntimeError(f"stuck after {done} s")
                continue
            second = 3 * three[1] - 2 * two[1]
            off = 0.5 * (second - (2 * two[1] - one[1]))
            factor = 0.9 * (allowed / max(np.abs(off).max(), 1e-15)) ** (1 / 3)
            if factor < 0.85 and d > SHARPEST:
                dt = d * min(max(factor, 0.15), 0.7)
                continue
            self.head, self.content = three[0], second + off
            second = 3 * three[2] - 2 * two[2]
            total += second + 0.5 * (second - (2 * two[2] - one[2]))
            done += d
            self.steps += 1
            dt = min(max(d, dt if factor > 1 else d) * min(max(factor, 0.4), 4.0), LONGEST)
        return total


def solve(case, allowed):
    """The day as the case's rows ask for it."""
    began = time.process_time()
    block = Block(case)
    start, sums, out = block.content @ block.dz, np.zeros(4), []
    taken = back = 0.0
    switches = {0.0, 86400.0, *case["lit_s"]} | {f[k] for f in case["floods"] for k in ("start_s", "end_s")}
    switches = sorted(switches)
    for at, to in zip(switches, switches[1:]):
        middle = 0.5 * (at + to)
        level = next((f["depth_m"] for f in case["floods"] if f["start_s"] < middle < f["end_s"]), None)
        lit = case["lit_s"][0] < middle < case["lit_s"][1]
        block.surround(level, case["uptake_lit_m_s" if lit else "uptake_dark_m_s"], case["evaporation_m_s"])
        x = block.advance(to - at, allowed)
        sums += x
        taken, back = taken + max(x[0] + x[1], 0.0), back + max(-x[0] - x[1], 0.0)
        out.append({
            "to_s": to, "mean": block.content @ block.dz / block.height, "top": block.content[-1],
            "base": block.content[0], "taken_m": taken, "given_back_m": back,
            "drunk_m": sums[2], "evaporated_m": sums[3],
            "unaccounted_m": block.content @ block.dz - start - (sums[0] + sums[1] - sums[2] - sums[3]),
        })
    return out, block.steps, block.solves, time.process_time() - began


def compare(rows, ours):
    """Largest difference of each quantity, and whether mean content and water taken are as near as they must be."""
    worst = {k: 0.0 for k in ("mean", "top", "base", *VOLUMES)}
    good = len(rows) == len(ours)
    for mine, row in zip(rows, ours):
        off = {k: abs(mine[k] - row[k]) for k in worst}
        worst = {k: max(worst[k], off[k]) for k in worst}
        good &= mine["to_s"] == row["to_s"] and off["mean"] <= MEAN
        good &= off["taken_m"] <= SHARE * abs(mine["taken_m"]) + FLOOR_M
    return worst, bool(good)


def one(work):
    case, allowed = work
    try:
        return solve(case, allowed)
    except RuntimeError as fault:
        return str(fault)


def line(name, worst, good):
    numbers = f"{worst['mean']:>10.1e}{worst['top']:>10.1e}{worst['base']:>10.1e}"
    volumes = "".join(f"{1e3 * worst[k]:>10.1e}" for k in VOLUMES)
    print(f"{name:<16}{numbers}{volumes}  {'agrees' if good else 'differs'}", flush=True)


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("cases")
    ask.add_argument("--only", type=int)
    ask.add_argument("--content", type=float, default=2e-5, help="largest estimated error of a step in content")
    ask.add_argument("--jobs", type=int, default=1)
    asked = ask.parse_args()
    with open(asked.cases, encoding="utf-8") as file:
        cases = [c for c in json.load(file)["cases"] if asked.only in (None, c["seed"])]
    print("largest differences: contents [-], volumes [mm]")
    print(f"{'':<16}{'mean':>10}{'top':>10}{'base':>10}{'taken':>10}{'back':>10}{'drunk':>10}{'evapor.':>10}")
    tally = {"result": [0, {}], "ordinary": [0, {}]}
    seconds, steps, solves, unaccounted = [], 0, 0, 0.0
    with multiprocessing.Pool(asked.jobs) as pool:
        for case, got in zip(cases, pool.imap(one, [(c, asked.content) for c in cases])):
            if isinstance(got, str):
                print(f"seed {case['seed']}: the twin is {got}", flush=True)
                continue
            rows, a, b, spent = got
            seconds, steps, solves = [*seconds, spent], steps + a, solves + b
            unaccounted = max(unaccounted, max(abs(r["unaccounted_m"]) for r in rows))
            for name, (count, most) in tally.items():
                told = case[name]
                if "stuck_at_s" in told:
                    print(f"seed {case['seed']}, {name}: ours is stuck at {told['stuck_at_s']} s", flush=True)
                    continue
                worst, good = compare(rows, told["rows"])
                tally[name] = [count + good, {k: max(v, most.get(k, 0.0)) for k, v in worst.items()}]
                if name == "result" or not good:
                    line(f"seed {case['seed']}{'' if name == 'result' else ' ordinary'}", worst, good)
    print()
    for name, text in (("result", "tight"), ("ordinary", "ordinary")):
        count, most = tally[name]
        if most:
            line(f"worst, {text}", most, count == len(cases))
        print(f"{text}: {count} of {len(cases)} agree")
    days = max(len(seconds), 1)
    mean = sum(seconds) / days
    print(f"twin: {mean:.2f} s a day, {steps / days:.0f} steps, {solves / days:.0f} solves")
    print(f"unaccounted for in the twin: at most {1e3 * unaccounted:.1e} mm")
    for name, text in (("result", "tight"), ("ordinary", "ordinary")):
        ours = sum(c[name]["seconds"] for c in cases) / max(len(cases), 1)
        print(f"ours, {text}: {1e3 * ours:.2f} ms a day, {mean / ours:.0f} times as fast")
    return 0 if tally["result"][0] == len(cases) else 1


if __name__ == "__main__":
    sys.exit(main())
