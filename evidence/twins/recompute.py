"""Recomputes evidence rows with programs that share no code with this repository.

    python -m venv twin && twin/bin/pip install fluids==1.3.1 iapws==1.5.5 scipy==1.17.1 mpmath==1.4.1
    twin/bin/python evidence/twins/recompute.py            # checks every row of kind twin and exact
    twin/bin/python evidence/twins/recompute.py --all      # and prints how far the printed rows lie

Friction and fittings come from `fluids`, water from `iapws`, roots, quadrature and interpolation
from `scipy`, hypergeometric functions from `mpmath`. Exit code 1 if a twin or exact row differs by
more than its tolerance.
"""

import math
import pathlib
import re
import sys
import tomllib
from collections import Counter

import mpmath
from fluids.fittings import contraction_sharp, diffuser_sharp
from fluids.friction import Churchill_1977, Clamond, Serghides_1
from iapws import IAPWS95, IAPWS97
from iapws.iapws97 import _PSat_T
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G = 9.80665
INCH, GALLON = 0.0254, 3.785411784e-3
LENGTH = {"_mm": 1e-3, "_cm": 1e-2, "_m": 1.0, "_in": INCH, "_ft": 12 * INCH}
FLOW = {"_l_h": 1 / 3.6e6, "_l_s": 1e-3, "_m3_h": 1 / 3600, "_us_gpm": GALLON / 60, "_cfs": (12 * INCH) ** 3}
VOLUME = {"_l": 1e-3, "_m3": 1.0, "_ft3": (12 * INCH) ** 3}


def take(given, name, units):
    return next(given[name + u] * f for u, f in units.items() if name + u in given)


def in_units(name, si, units):
    return {name + u: si / f for u, f in units.items()}


def length(given, name):
    return take(given, name, LENGTH)


def flow(given, name="flow"):
    return take(given, name, FLOW)


def kelvin(given):
    return given["temperature_k"] if "temperature_k" in given else given["temperature_degc"] + 273.15


def area(bore):
    return math.pi * bore * bore / 4


def colebrook(re, rough):
    return 64 / re if re < 2040 else Clamond(re, rough)


def loss(given, q, factor=Churchill_1977, extra=0.0):
    d, nu = length(given, "bore"), given["kinematic_viscosity_m2_s"]
    v = abs(q) / area(d)
    re = max(v * d / nu, 1e-3)
    f = factor(re, length(given, "roughness") / d)
    h = (f * length(given, "length") / d + given["loss"] + extra) * v * v / (2 * G)
    return {
        **in_units("head", math.copysign(h, q), LENGTH), "velocity_m_s": v, "velocity_ft_s": v / (12 * INCH),
        "reynolds": re, "friction_factor": f,
    }


def line_pressure(given):
    q = flow(given)
    p = loss(given, q)["head_m"] * G * given["density_kg_m3"]
    return {"pressure_kpa": p / 1e3, "pressure_psi": p * INCH**2 / (0.45359237 * G), "power_kw": p * q / 1e3}


def constant_friction(given, q):
    d = length(given, "bore")
    v = q / area(d)
    return (given["friction_factor"] * length(given, "length") / d + given["loss"]) * v * v / (2 * G)


def flow_for(given, head, extra=0.0):
    top = area(length(given, "bore")) * math.sqrt(2 * G * head) * 10
    return in_units("flow", brentq(lambda q: loss(given, q, extra=extra)["head_m"] - head, 0, top, xtol=1e-18, rtol=1e-14), FLOW)


def operating_point(given, head_lost):
    h0, qm = length(given, "max_head"), flow(given, "open_flow")
    surplus = lambda q: h0 * (1 - (q / qm) ** given["shape"]) - length(given, "lift") - head_lost(q)
    return in_units("flow", brentq(surplus, 0, qm, xtol=1e-18, rtol=1e-14), FLOW)


def plan(given):
    """Area over height of a tapered vessel, from its floor and rim."""
    h = length(given, "depth")
    if any(k.startswith("floor_diameter") for k in given):
        a, b = length(given, "floor_diameter"), length(given, "rim_diameter")
        return lambda y: area(a + (b - a) * y / h)
    side = lambda s, y: length(given, f"floor_{s}") + (length(given, f"rim_{s}") - length(given, f"floor_{s}")) * y / h
    return lambda y: side("length", y) * side("width", y)


def volume(given, y):
    return quad(plan(given), 0, y, epsabs=0, epsrel=1e-13)[0]


def level(given):
    want = take(given, "volume", VOLUME)
    return in_units("level", brentq(lambda y: volume(given, y) - want, 0, length(given, "depth"), xtol=1e-15), LENGTH)


def drain(given, effective, drop=0.0, shape=None):
    shape = shape or plan(given)
    low, high = length(given, "to_level") + drop, length(given, "from_level") + drop
    # s = u^2 takes the square root out of the integrand's floor.
    f = lambda u: 2 * shape(u * u - drop) / (effective * math.sqrt(2 * G))
    return {"time_s": quad(f, math.sqrt(low), math.sqrt(high), epsabs=0, epsrel=1e-13)[0]}


def table(given):
    curve = PchipInterpolator([0, *given["depths_mm"]], [0, *given["volumes_l"]])
    return {"volume_l": float(curve(length(given, "level") * 1e3))}


def holes(given):
    return in_units("flow", sum(
        n * given["orifice_coefficient"] * area(length(given, "bore")) * math.sqrt(2 * G * h * 12 * INCH)
        for n, h in zip(given["holes_in_row"], given["heads_ft"])), FLOW)


def riser(given):
    d, h = length(given, "bore"), length(given, "head")
    weir = given["weir_coefficient"] * math.sqrt(2 * G) * math.pi * d * h**1.5
    orifice = given["orifice_coefficient"] * area(d) * math.sqrt(2 * G * h)
    return {**in_units("weir", weir, FLOW), **in_units("orifice", orifice, FLOW), "weir_controls": float(weir < orifice)}


def crossover(given):
    d = length(given, "bore")
    at = lambda h: riser({**given, "head_m": h})
    h = brentq(lambda h: at(h)["weir_l_h"] - at(h)["orifice_l_h"], 1e-6, d, xtol=1e-16)
    return {**in_units("head", h, LENGTH), **in_units("flow", at(h)["weir_l_h"] / 3.6e6, FLOW)}


def vertical_jet(given):
    d, h = length(given, "bore") / INCH, length(given, "height") / INCH
    gpm = 6.17 * d**1.25 * h**1.35 if h < 0.37 * d else 5.01 * d**1.99 * h**0.53
    return {"flow_us_gpm": gpm}


def submergence(given):
    d, gpm = length(given, "inlet") / INCH, flow(given) * 60 / GALLON
    return in_units("depth", (d + 0.574 * gpm / d**1.5) * INCH, LENGTH)


def pump_points(given):
    return {"head_m": float(PchipInterpolator(given["flows_l_h"], given["heads_m"])(given["flow_l_h"]))}


def three_point(given):
    h0, h1, h2 = (given[k] for k in ("head_0_m", "head_1_m", "head_2_m"))
    q1, q2 = given["flow_1_l_h"], given["flow_2_l_h"]
    c = brentq(lambda c: (q2 / q1) ** c - (h0 - h2) / (h0 - h1), 0.1, 20, xtol=1e-15)
    return {"exponent": c, "open_flow_l_h": brentq(lambda q: h0 - (h0 - h1) * (q / q1) ** c, q1, 10 * q2, xtol=1e-12)}


def reverse_loss(given):
    h0, qm, a = length(given, "max_head"), flow(given, "open_flow"), area(length(given, "bore"))
    head = 0.692 * (2 / 3 * h0)
    return {"loss": head * 2 * G / (qm / math.sqrt(3) / a) ** 2, "best_point_head_m": head}


def domains(given):
    first = 1.0 - given.get("second_share", 0.0)
    yield first, given["alpha_per_m"], given["n"]
    if first < 1:
        yield 1 - first, given["second_alpha_per_m"], given["second_n"]


def theta(given, saturation):
    return given["theta_r"] + (given["theta_s"] - given["theta_r"]) * saturation


def content(given):
    h = length(given, "suction")
    se = sum(w * (1 + (a * h) ** n) ** (1 / n - 1) for w, a, n in domains(given))
    return {"saturation": se, "water_content": theta(given, se)}


def capacity(given, h=None):
    h = length(given, "height") if h is None else h
    mean = lambda a, n: mpmath.hyp2f1(1 - 1 / mpmath.mpf(n), 1 / mpmath.mpf(n), 1 + 1 / mpmath.mpf(n), -((a * h) ** mpmath.mpf(n)))
    se = sum(w * float(mean(a, n)) for w, a, n in domains(given))
    return {"mean_saturation": se, "mean_content": theta(given, se), "air_filled": given["theta_s"] - theta(given, se)}


def flooded(given):
    h, w = length(given, "height"), length(given, "level")
    wet = (w * given["theta_s"] + (h - w) * capacity(given, h - w)["mean_content"]) / h
    return {"mean_content": wet, "exchange": wet - capacity(given)["mean_content"]}


def tilted(given):
    lo, hi, y = (length(given, k) for k in ("lowest", "highest", "level"))
    share = min(max((y - lo) / (hi - lo), 0), 1)
    return {"water_mm": 1e3 * ((y - (lo + hi) / 2) if share == 1 else share * (y - lo) / 2), "wet_share": share}


def bores(given):
    return length(given, "from_bore"), length(given, "to_bore")


def barb(given):
    hose, insert = length(given, "hose_bore"), length(given, "insert_bore")
    return {"loss": (contraction_sharp(hose, insert) + diffuser_sharp(insert, hose)) * (hose / insert) ** 4}


TWINS = {
    "water-density": lambda g: {"density_kg_m3": IAPWS95(T=kelvin(g), P=0.101325).rho},
    "water-viscosity": lambda g: {"viscosity_upa_s": IAPWS95(T=kelvin(g), P=0.101325).mu * 1e6},
    "water-kinematic-viscosity": lambda g: {"kinematic_viscosity_m2_s": IAPWS97(T=kelvin(g), P=0.101325).nu},
    "water-vapour-pressure": lambda g: {"pressure_kpa": _PSat_T(kelvin(g)) * 1e3},
    "friction-churchill": lambda g: {"friction_factor": Churchill_1977(g["re"], g["relative_roughness"])},
    "friction-colebrook": lambda g: {"friction_factor": colebrook(g["re"], g["relative_roughness"])},
    "friction-serghides": lambda g: {"friction_factor": Serghides_1(g["re"], g["relative_roughness"])},
    "line-loss": lambda g: loss(g, flow(g)),
    "line-colebrook": lambda g: loss(g, flow(g), colebrook),
    "line-pressure": line_pressure,
    "line-constant-friction": lambda g: in_units("head", constant_friction(g, flow(g)), LENGTH),
    "line-flow": lambda g: flow_for(g, length(g, "head")),
    "back-drain": lambda g: flow_for(g, length(g, "head"), g["pump_loss"]),
    "operating-point": lambda g: operating_point(g, lambda q: loss(g, q)["head_m"]),
    "operating-point-constant-friction": lambda g: operating_point(g, lambda q: constant_friction(g, q)),
    "tapered-volume": lambda g: in_units("volume", volume(g, length(g, "level")), VOLUME),
    "tapered-level": level,
    "measured-table": table,
    "tilted-floor": tilted,
    "drain-upright": lambda g: drain(g, g["coefficient"] * g["opening_area_m2"], shape=lambda y: g["area_m2"]),
    "drain-orifice": lambda g: drain(g, g["coefficient"] * area(length(g, "bore"))),
    "drain-hose": lambda g: drain(g, area(length(g, "bore")) / math.sqrt(g["total_loss"]), length(g, "drop")),
    "riser": riser,
    "riser-crossover": crossover,
    "orifice-rows": holes,
    "self-venting": lambda g: in_units("flow", 0.3 * math.sqrt(G * length(g, "bore")) * area(length(g, "bore")), FLOW),
    "stack-flow": lambda g: in_units(
        "flow", 27.8 * g["fill"] ** (5 / 3) * (length(g, "bore") / INCH) ** (8 / 3) * GALLON / 60, FLOW),
    "vertical-jet": vertical_jet,
    "submergence": submergence,
    "pump-points": pump_points,
    "pump-three-point-fit": three_point,
    "reverse-loss": reverse_loss,
    "sharp-contraction": lambda g: {"loss": contraction_sharp(*bores(g))},
    "sudden-expansion": lambda g: {"loss": diffuser_sharp(*bores(g))},
    "barbed-insert": barb,
    "retention": content,
    "container-capacity": capacity,
    "flooded-content": flooded,
}


# CIAAW abridged standard atomic weights, 2021.
WEIGHT = dict(H=1.008, B=10.81, C=12.011, N=14.007, O=15.999, Na=22.990, Mg=24.305, P=30.974, S=32.06, Cl=35.45, K=39.098,
              Ca=40.078, Mn=54.938, Fe=55.845, Cu=63.546, Zn=65.38, Mo=95.95)


def atoms(formula):
    """Atoms of a formula, its brackets multiplied out by replacement."""
    total = Counter()
    for part in formula.split("·"):
        times, body = re.fullmatch(r"(\d*)(.+)", part).groups()
        while "(" in body:
            body = re.sub(r"\(([^()]*)\)(\d*)", lambda m: m.group(1) * int(m.group(2) or 1), body)
        for element, n in re.findall(r"([A-Z][a-z]?)(\d*)", body):
            total[element] += int(times or 1) * int(n or 1)
    return total


def molar(g):
    found = atoms(g["formula"])
    mass = sum(WEIGHT[e] * n for e, n in found.items())
    share = 100 * found[g["element"]] * WEIGHT[g["element"]] / mass if "element" in g else math.nan
    return {"g_per_mol": mass, "mass_percent": share, "mg_l": g.get("mmol_l", math.nan) * mass}


def drifting(g):
    """Amount of an ion while water is topped up as it is drunk, by a library's integrator."""
    volume, drinks, comes = g["volume_l"], g["drinks_l_day"], g["top_up_mmol_l"]
    takes = (lambda c: g["uptake_mmol_l"]) if "uptake_mmol_l" in g else (lambda c: g["uptake_share"] * c)
    run = solve_ivp(lambda t, c: drinks / volume * (comes - takes(c[0])), (0, g["days"]), [g["start_mmol_l"]],
                    rtol=1e-9, atol=1e-12, dense_output=True)
    limit = g.get("limit_mmol_l")
    day = brentq(lambda t: run.sol(t)[0] - limit, 0, g["days"]) if limit else math.nan
    return {"mmol_l": run.y[0][-1], "limit_day": day}


TWINS |= {
    "molar-mass": molar,
    "reservoir-drift": drifting,
    "bleed": lambda g: {"share": (g["comes_mmol_l"] - g["taken_mmol_l"]) / (g["limit_mmol_l"] - g["comes_mmol_l"])},
}


def main():
    root = pathlib.Path(__file__).resolve().parent.parent
    every, bad, rows = "--all" in sys.argv, 0, 0
    for path in sorted(root.glob("*/*.toml")):
        sheet = tomllib.loads(path.read_text())
        for case in sheet["case"]:
            kind, check = case.get("kind", sheet["kind"]), case.get("check", sheet.get("check"))
            if check not in TWINS or not (every or kind in ("twin", "exact")):
                continue
            got = TWINS[check](case["given"])
            for quantity, expected in case["expect"].items():
                if quantity not in got:
                    continue
                rows += 1
                absolute = case.get("tolerance_abs", {}).get(quantity)
                error = abs(got[quantity] - expected) / (1 if absolute else abs(expected))
                over = error > (absolute or case["tolerance"]) and kind in ("twin", "exact")
                bad += over
                if over or every:
                    print(f"{path.parent.name}/{path.stem} {case['id']} {kind} {quantity}: {expected} / {got[quantity]:.10g} ({error:.2g})")
    print(f"{rows} values recomputed, {bad} beyond tolerance")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
