"""Random solutions, solved a second time by a general-purpose engine (IPhreeqc), and the comparison with ours.

    python random_solutions.py solutions.json [--only SEED] [--database FILE]

Reads what the example `random_solutions` prints, and `data/species.toml`, from which it writes the engine's database: the
same constants, sizes and mobilities, so that what is compared is the method. Shares no code with the repository.

Allowed: pH 0.02, ionic strength 1 %, saturation 0.05, electrical conductivity 3 %; molalities over 1e-7 mol/kg 2 %, water
activity 1e-4. Exit code 1 if a solution differs.

The engine's law of conductivity is not ours: an ion slows as exp(-1.6 A |z| sqrt(I)/(1 + 4.73 B sqrt(I)/(1 + I^0.75))).
"""

import argparse
import json
import math
import pathlib
import sys
import tempfile
import time
import tomllib

from pyEQL._phreeqc import PyIPhreeqc, PyVar

ROWS = pathlib.Path(__file__).resolve().parents[2] / "data" / "species.toml"
GAS, FARADAY, T0 = 8.314462618, 96485.33212, 298.15

# Elements of every component. Valences and chelates are elements of their own, so that nothing is oxidised or reduced.
MADE_OF = {
    "H": {"H": 1}, "CO2": {"C": 1, "O": 2}, "PO4": {"P": 1, "O": 4}, "SO4": {"S": 1, "O": 4}, "NO3": {"Nit": 1, "O": 3},
    "NH4": {"Amm": 1, "H": 4}, "B": {"B": 1, "O": 3, "H": 3}, "MoO4": {"Mo": 1, "O": 4}, "EDTA": {"Edta": 1},
    "DTPA": {"Dtpa": 1}, "EDDHA": {"Eddha": 1}, "H2O": {"H": 2, "O": 1},
}  # fmt: skip

ALLOWED = {
    "ph": 0.02, "ionic_strength": 0.01, "saturation": 0.05, "ec_s_m": 0.03, "molality": 0.02, "water_activity": 1e-4,
}  # fmt: skip
TOLD = 1e-7  # species of less are not compared [mol/kg]
REPEATS = 20  # of each solution, timed


def strength_of_davies(i):
    return math.sqrt(i) / (1 + math.sqrt(i)) - 0.3 * i


def slope_at_25():
    """Debye-Huckel A at 25 °C (Truesdell & Jones 1974, permittivity of Malmberg & Maryott 1956, density 0.99705)."""
    permittivity = 87.740 - 0.40008 * 25 + 9.398e-4 * 25**2 - 1.410e-6 * 25**3
    return 1.82483e6 * math.sqrt(0.997047) * (permittivity * T0) ** -1.5


class Rows:
    """The rows of data, each with its elements and charge."""

    def __init__(self, path):
        with open(path, "rb") as file:
            read = tomllib.load(file)
        self.components, self.species, self.solids = read["component"], read["species"], read["solid"]
        self.gas = read["gas"][0]
        self.elements, self.charge = {"H2O": MADE_OF["H2O"]}, {"H2O": 0}
        for c in self.components:
            self.elements[c["name"]] = MADE_OF.get(c["name"], {c["name"]: 1})
            self.charge[c["name"]] = c["charge"]
        for s in self.species:
            self.elements[s["name"]], self.charge[s["name"]] = self.sum_of(s)
        names = [self.formula(n) for n in self.elements]
        assert len(names) == len(set(names)), "two species have the same formula"

    def sum_of(self, row):
        elements, charge = {}, 0.0
        for name, n in row["of"].items():
            charge += n * self.charge[name]
            for e, k in self.elements[name].items():
                elements[e] = elements.get(e, 0) + n * k
        assert charge == round(charge) and all(k >= 0 for k in elements.values()), row["name"]
        return {e: k for e, k in elements.items() if k}, int(charge)

    def formula(self, name):
        """How the engine writes a species."""
        if name == "H2O":
            return "H2O"
        return written(self.elements[name], self.charge[name])

    def element(self, component):
        """The element that a component is the master of."""
        return next(e for e in self.elements[component] if e not in ("H", "O")) if component != "H" else "H"

    def constant(self, row):
        """Lines that give a row's constant; one that holds at an ionic strength is brought to zero by Davies."""
        if "analytic" in row:
            return ["-analytic " + " ".join(f"{a!r}" for a in row["analytic"])]
        log_k = row["log_k"]
        if "ionic_strength" in row:
            squares = sum(n * self.charge[p] ** 2 for p, n in row["of"].items())
            own = sum(n * self.charge[p] for p, n in row["of"].items()) ** 2
            log_k -= slope_at_25() * strength_of_davies(row["ionic_strength"]) * (own - squares)
        return [f"-log_k {log_k!r}", f"-delta_h {row.get('delta_h_kj', 0.0)!r} kJ/mol"]

    def sides(self, row):
        """What a row is made of, and what stands over beside it."""
        terms = [(n, self.formula(p)) for p, n in row["of"].items()]
        taken = " + ".join(f"{n:g} {f}" for n, f in terms if n > 0)
        left = "".join(f" + {-n:g} {f}" for n, f in terms if n < 0)
        return taken, left

    def database(self, model):
        """The engine's database: constants as they stand in the rows, activity model and conductivities."""
        out = ["SOLUTION_MASTER_SPECIES", "H H+ -1 H 1.008", "H(0) H2 0 H", "H(1) H+ -1 H", "E e- 0 0 0",
               "O H2O 0 O 16", "O(0) O2 0 O", "O(-2) H2O 0 O"]  # fmt: skip
        for c in self.components[1:]:
            out.append(f"{self.element(c['name'])} {self.formula(c['name'])} 0 1 1")
        out += ["SOLUTION_SPECIES", "H2O = H2O", "e- = e-"]
        # The engine asks for these two; at the pe of the solutions there is nothing of either.
        out += ["2 H+ + 2 e- = H2", "-log_k -3.15", "2 H2O = O2 + 4 H+ + 4 e-", "-log_k -86.08"]
        for row in self.components:
            f = self.formula(row["name"])
            out += [f"{f} = {f}", "-log_k 0", *self.told(row, model)]
        for row in self.species:
            taken, left = self.sides(row)
            out += [f"{taken} = {self.formula(row['name'])}{left}", *self.constant(row), *self.told(row, model)]
        out.append("PHASES")
        for row in [*self.solids, self.gas]:
            taken, left = self.sides(row)
            elements, charge = self.sum_of(row)
            assert charge == 0, row["name"]
            out += [row["name"].replace(" ", "_"), f"{written(elements, 0)}{left} = {taken}", *self.constant(row)]
        return "\n".join([*out, "END", ""])

    def told(self, row, model):
        """Activity and conductivity of a species."""
        out, charge = [], self.charge[row["name"]]
        if model == "truesdell-jones" and "size" in row:
            out.append("-gamma {!r} {!r}".format(*row["size"]))
        if "mobility" in row and charge:
            at_25, t = row["mobility"][:2]
            diffusion = at_25 * 1e-4 * GAS * T0 / (abs(charge) * FARADAY**2)
            # Where a row has its own distance of closest approach the engine takes it too, beside its usual 1.6.
            own = f" 1.6 {row['mobility'][2]!r}" if len(row["mobility"]) > 2 else ""
            out.append(f"-dw {diffusion!r} {t!r}{own}")
        return out


def written(elements, charge):
    body = "".join(f"{e}{'' if k == 1 else format(k, 'g')}" for e, k in elements.items())
    sign = "+" if charge > 0 else "-"
    return body + ("" if charge == 0 else sign + ("" if abs(charge) == 1 else str(abs(charge))))


class Engine:
    """The engine with one database, and the columns that it is asked for."""

    def __init__(self, text, columns):
        self.engine, self.var = PyIPhreeqc(), PyVar()
        with tempfile.NamedTemporaryFile("w", suffix=".dat", delete=False) as file:
            file.write(text)
        try:
            self.engine.load_database(file.name)
        finally:
            pathlib.Path(file.name).unlink()
        self.ask_for(columns)

    def ask_for(self, columns):
        self.columns = columns
        lines = "\n".join(f"{10 + i} PUNCH {c}" for i, c in enumerate(columns.values()))
        names = " ".join(f"c{i}" for i in range(len(columns)))
        self.run(
            "SELECTED_OUTPUT\n-reset false\n-high_precision true\n-user_punch true\n"
            f"USER_PUNCH\n-headings {names}\n-start\n{lines}\n-end\nEND\n"
        )

    def run(self, text):
        self.engine.run_string(text)

    def solve(self, text):
        self.run(text)
        row, out = self.engine.get_selected_output_row_count() - 1, {}
        for i, name in enumerate(self.columns):
            self.engine.get_value(row, i, self.var.var)
            out[name] = self.var.var.dVal
        return out


def asked(case, rows, number=1):
    """A case as the engine reads it."""
    protons, pressure = case["protons"], case["carbon_dioxide_atm"]
    # Charge closed by protons is what an excess of protons that cancels the totals means.
    ph = f"pH {protons['ph']!r}" if "ph" in protons else "pH 7 charge"
    out = [f"SOLUTION {number}", f"temp {case['celsius']!r}", "units mol/kgw", ph]
    out += [f"{rows.element(c)} {t!r}" for c, t in case["totals"].items()]
    if pressure is not None:
        out.append(f"C 1e-3 {rows.gas['name'].replace(' ', '_')} {math.log10(pressure)!r}")
    return "\n".join([*out, "END", ""])


def columns(rows):
    out = {"ph": '-LA("H+")', "ionic_strength": "MU", "ec_us_cm": "SC", "water_activity": 'ACT("H2O")'}
    out |= {"si " + s["name"]: f'SI("{s["name"].replace(" ", "_")}")' for s in rows.solids}
    return out | {"m " + n: f'MOL("{rows.formula(n)}")' for n in rows.elements if n != "H2O"}


def differences(case, got):
    """Of every quantity the largest difference, and where it is."""
    ours, out = case["ours"], {}

    def put(name, off, where=""):
        if not off <= out.get(name, (-1, ""))[0]:
            out[name] = (off, where)

    put("ph", abs(got["ph"] - ours["ph"]))
    put("ionic_strength", abs(got["ionic_strength"] / ours["ionic_strength"] - 1))
    put("water_activity", abs(got["water_activity"] - ours["water_activity"]))
    put("ec_s_m", abs(ours["ec_s_m"] / (1e-4 * got["ec_us_cm"]) - 1))
    for name, si in ours["saturation"].items():
        put("saturation", abs(got["si " + name] - si), name)
    for name, m in ours["molality"].items():
        if m > TOLD:
            put("molality", abs(got["m " + name] / m - 1), name)
    return out


def timed(cases, rows, engines):
    """Microseconds a solve: each solution asked for again and again, pH and ionic strength read."""
    each = []
    for case in cases:
        engine, text = engines[case["model"]], asked(case, rows)
        engine.run(text)
        began = time.perf_counter()
        for _ in range(REPEATS):
            engine.run(text)
        each.append((time.perf_counter() - began) / REPEATS)
    return 1e6 * sum(each) / len(each) if each else None


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("cases")
    ask.add_argument("--only", type=int)
    ask.add_argument("--database", help="write the engine's database (Truesdell-Jones) to this file")
    told = ask.parse_args()
    with open(told.cases, encoding="utf-8") as file:
        read = json.load(file)
    cases = [c for c in read["cases"] if told.only in (None, c["seed"])]
    rows = Rows(ROWS)
    if told.database:
        pathlib.Path(told.database).write_text(rows.database("truesdell-jones"), encoding="utf-8")
    engines = {m: Engine(rows.database(m), columns(rows)) for m in ("davies", "truesdell-jones")}
    worst, agreed, unsolved = {}, 0, 0
    for case in cases:
        name = f"seed {case['seed']}"
        if "unsolved" in case["ours"]:
            print(f"{name}: ours: {case['ours']['unsolved']}")
            continue
        try:
            got = engines[case["model"]].solve(asked(case, rows))
        except RuntimeError as fault:
            print(f"{name}: the engine: {str(fault).strip().splitlines()[0]}")
            unsolved += 1
            continue
        off = differences(case, got)
        bad = {k: v for k, v in off.items() if not v[0] <= ALLOWED[k]}
        agreed += not bad
        for k, (much, where) in off.items():
            if not much <= worst.get(k, (-1,))[0]:
                worst[k] = (much, where, case["seed"])
        if bad:
            said = ", ".join(f"{k} {much:.2g}{' ' + where if where else ''}" for k, (much, where) in bad.items())
            print(f"{name}: {said} (I {got['ionic_strength']:.3f}, pH {got['ph']:.2f}, {case['celsius']:.0f} °C)")
        if told.only is not None:
            for k, v in sorted(got.items()):
                print(f"  {k:<40}{v:.8g}")
    print("\nworst differences")
    for k, (much, where, seed) in worst.items():
        print(f"{k:<16}{much:>10.2e} of {ALLOWED[k]:<8g}{where:<16} seed {seed}")
    print(f"{agreed} of {len(cases)} agree; {unsolved} without an answer of the engine")
    few = {"ph": '-LA("H+")', "ionic_strength": "MU"}
    for engine in engines.values():
        engine.ask_for(few)
    for full, kind in ((False, "macro"), (True, "full")):
        theirs = timed([c for c in cases if c["full"] == full], rows, engines)
        if theirs:
            solve, made = read["microseconds"][kind]["solve_us"], read["microseconds"][kind]["with_solver_us"]
            print(
                f"{kind}: engine {theirs:.0f} µs a solve; ours {solve:.1f} µs, {theirs / solve:.0f} times as fast;"
                f" {made:.1f} µs with its solver made, {theirs / made:.0f} times as fast"
            )
    return 0 if agreed == len(cases) else 1


if __name__ == "__main__":
    sys.exit(main())
