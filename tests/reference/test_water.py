"""Water, pipe friction, lips and duty points against IAPWS, python3-fluids, scipy and published examples.

The figures are those of /v1/water: a kept pump's curve is laid so that the system and the pump meet at the flow that is
wanted, and what the program then says of that flow is compared. The hours of draining a pond are those of /v1/quote;
cases of other pumps and hoses, which no route takes, are asked of core/ itself."""
import ctypes
import glob
import math
import os
import random
import subprocess
import tempfile

import fluids
import fluids.open_flow
from iapws import IAPWS95
from scipy import constants, integrate, interpolate, optimize

from program import Service, config_file
from record import COMMON_PRACTICE, Record

FLUIDS = f"python3-fluids {fluids.__version__}"
COLEBROOK = FLUIDS + ", friction.Colebrook (Colebrook 1939)"
ROOT = "scipy 1.10.1: PchipInterpolator (Fritsch and Butland 1984) and brentq, with " + FLUIDS
G = constants.g
record = Record("water")
service = Service()


def water(members, **more):
    """Enquiry for /v1/water with these members of /water. A pump with a curve must draw some power."""
    if "curve" in members.get("kept_pump", {}):
        members = {**members, "kept_pump": {"power_w": 100, **members["kept_pump"]}}
    return {"region": "demo-north", "issued_on": "2026-11-25", "water": members, **more}


def asked(enquiries):
    return service.ask_all("/v1/water", enquiries, take=lambda answer: answer["water"])


def theirs_at(members, density, viscosity, flow_l_per_h):
    """Losses by fluids, and by the stated rule between laminar and turbulent flow."""
    bore, flow = members["bore_mm"] / 1000, flow_l_per_h / 3.6e6
    velocity = flow / (math.pi * bore * bore / 4)
    reynolds = fluids.Reynolds(V=velocity, D=bore, nu=viscosity)
    factor = friction(reynolds, members["roughness_mm"] / members["bore_mm"])
    head = velocity * velocity / 2 / G
    return {"velocity_m_s": velocity, "reynolds": reynolds, "friction_factor": factor,
            "friction_m": factor * members["run_m"] / bore * head, "minor_m": members["sum_k"] * head}


def friction(reynolds, ratio):
    if reynolds <= 2000:
        return fluids.friction.friction_laminar(reynolds)
    if reynolds < 4000:
        return 0.032 + (fluids.friction.Colebrook(4000, ratio) - 0.032) * (reynolds - 2000) / 2000
    return fluids.friction.Colebrook(reynolds, ratio)


def system_head(members, viscosity, flow_l_per_h):
    if flow_l_per_h == 0:
        return members["static_m"]
    losses = theirs_at(members, None, viscosity, flow_l_per_h)
    return members["static_m"] + losses["friction_m"] + losses["minor_m"]


PROPERTIES = {}


def properties_of(temperature):
    if temperature not in PROPERTIES:
        state = IAPWS95(T=temperature + 273.15, P=0.101325)
        PROPERTIES[temperature] = (state.rho, state.mu / state.rho)
    return PROPERTIES[temperature]


# ---- water itself ----

def properties_of_water():
    pipe = {"kept_pump": {"curve": [[0, 5], [6000, 0]]}, "bore_mm": 32, "run_m": 10, "static_m": 1}
    temperatures = [0.01, *range(1, 36)]
    found = asked(water({**pipe, "temperature_c": t}) for t in temperatures)
    state = {t: properties_of(t) for t in temperatures}
    record.numbers("density of water, 0 to 35 °C", "IAPWS R6-95 by python3-iapws 1.5.3",
                   [(f"{t} °C", ours["density_kg_m3"], state[t][0]) for t, ours in zip(temperatures, found)], 8e-7,
                   note="ours is Tanaka and others 2001, which that range allows 7e-7 of it")
    record.numbers("kinematic viscosity of water, 0 to 35 °C", "IAPWS R12-08 and R6-95 by python3-iapws 1.5.3",
                   [(f"{t} °C", ours["viscosity_m2_s"], state[t][1]) for t, ours in zip(temperatures, found)], 3.2e-5,
                   note="ours is IAPWS SR6-08, within 0.0031 % of R12-08")
    table = [(0, 999.8431, 1.792037), (5, 999.9666, 1.518224), (10, 999.7025, 1.306288), (15, 999.1026, 1.138589),
             (20, 998.2072, 1.003395), (25, 997.0476, .892658), (30, 995.6495, .800705)]
    found = asked(water({**pipe, "temperature_c": t}) for t, _, _ in table)
    record.numbers("density, table", "IAPWS R6-95, 0.101325 MPa", [(f"{t} °C", ours["density_kg_m3"], rho) for (t, rho, _), ours in zip(table, found)], 8e-7)
    record.numbers("kinematic viscosity, table", "IAPWS R12-08 and R6-95, 0.101325 MPa",
                   [(f"{t} °C", ours["viscosity_m2_s"] * 1e6, nu) for (t, _, nu), ours in zip(table, found)], 3.3e-5)


# ---- friction ----

def meeting(members, flow, temperature):
    """The pump's curve that meets the system at a flow: a straight line through that point."""
    head = system_head(members, properties_of(temperature)[1], flow)
    fall = head / 2 if 1.5 * head <= 200 else 200 - head
    return {**members, "temperature_c": temperature, "kept_pump": {"curve": [[0, head + fall], [2 * flow, head - fall]]}}


def with_reynolds(reynolds, ratio, bore, temperature, run=1, sum_k=0):
    flow = reynolds * math.pi * bore / 1000 * properties_of(temperature)[1] / 4 * 3.6e6
    members = {"bore_mm": bore, "roughness_mm": ratio * bore, "run_m": run, "sum_k": sum_k, "static_m": 0}
    return meeting(members, flow, temperature)


def fits(members):
    curve = members["kept_pump"]["curve"]
    return curve[0][1] <= 200 and curve[1][0] <= 1e6 and members["roughness_mm"] <= 5 and curve[1][1] >= 0 \
        and curve[0][1] - curve[1][1] > 1e-7


def friction_factors():
    chance = random.Random(1939)
    wanted = []
    while len(wanted) < 420:
        ratio = 0 if chance.random() < 0.1 else 10 ** chance.uniform(-6, math.log10(0.05))
        reynolds = 10 ** chance.uniform(math.log10(4000), 6.3) if len(wanted) < 400 else chance.uniform(300, 1999)
        members = with_reynolds(reynolds, ratio, round(chance.uniform(15, 200), 1), chance.choice([2, 10, 20]),
                                round(chance.uniform(1, 40), 2), round(chance.uniform(0, 20), 2))
        if fits(members):
            wanted.append(members)
    found = asked(water(members) for members in wanted)
    turbulent, laminar = [], []
    for members, ours in zip(wanted, found):
        duty, ratio = ours["duty"], members["roughness_mm"] / members["bore_mm"]
        label = f"Re {duty['reynolds']:.6g}, e/D {ratio:.3g}"
        if duty["regime"] == "turbulent":
            turbulent.append((label, duty["friction_factor"], fluids.friction.Colebrook(duty["reynolds"], ratio)))
        else:
            laminar.append((label, duty["friction_factor"], fluids.friction.friction_laminar(duty["reynolds"])))
    record.holds("at least 400 turbulent and 20 laminar flows were reached", "",
                 [("turbulent", len(turbulent) >= 400), ("laminar", len(laminar) >= 20)])
    record.numbers("Darcy friction factor, Re 4 000 to 2 000 000, e/D 0 to 0.05", COLEBROOK, turbulent, 1e-9)
    record.numbers("Darcy friction factor, laminar", "Hagen and Poiseuille, 64/Re", laminar, 1e-10)
    printed_factors()


PRINTED = [(4000, 0, .0399070141), (4000, .0001, .0400084312), (4000, .001, .0409103899), (4000, .05, .0769868349),
           (5000, 0, .0373927276), (6000, .03, .0619256437), (10000, 0, .0308829504), (10000, .00006, .0309756311),
           (10000, .002, .0337937314), (10000, .04, .0671933416), (20000, .0001, .0261014657), (20000, .03125, .0596223449),
           (40000, .01, .0393632335), (50000, .00005, .0210711985), (50000, .02, .0494092574), (70000, .001, .0230218062),
           (100000, 0, .0179897731), (100000, .00006, .0183084305), (100000, .004, .0295006889), (100000, .05, .0717809294),
           (200000, .0001, .0164103948), (400000, .004, .0286979791), (1000000, .0001, .0134414377)]
BETWEEN = [(2500, 0, .03397675), (3000, 0, .03595351), (3000, .001, .03645519), (3500, .001, .03868279), (3000, .03, .04803880)]


def printed_factors():
    """The program's own viscosity differs from R12-08 by up to 0.003 %, so the Reynolds number that it reaches does too;
    f falls at most with Re^-0.25, which leaves 1e-5."""
    def at(rows):
        return asked(water(with_reynolds(reynolds, ratio, 100, 10)) for reynolds, ratio, _ in rows)

    record.numbers("Darcy friction factor, table of 23", "Colebrook-White: fluids 1.0.22, scipy and mpmath to 40 digits agree",
                   [(f"Re {re}, e/D {ratio}", ours["duty"]["friction_factor"], value) for (re, ratio, value), ours in zip(PRINTED, at(PRINTED))], 2e-5)
    record.numbers("between Re 2000 and 4000: a straight line from 0.032", COMMON_PRACTICE + "; no law is agreed there",
                   [(f"Re {re}, e/D {ratio}", ours["duty"]["friction_factor"], value) for (re, ratio, value), ours in zip(BETWEEN, at(BETWEEN))], 3e-5)


# ---- published examples ----

def duty_of(members):
    return service.ask("/v1/water", water(members))["water"]["duty"]


def similar(reynolds, ratio, run_bores):
    """The same Reynolds number, roughness and run in bores, in a pipe of ours: f depends on nothing else."""
    bore = 100
    members = {"bore_mm": bore, "roughness_mm": ratio * bore, "run_m": run_bores * bore / 1000, "sum_k": 0, "static_m": 0}
    flow = reynolds * math.pi * bore / 1000 * properties_of(10)[1] / 4 * 3.6e6
    return duty_of(meeting(members, flow, 10))["friction_factor"]


FT, GALLON, HORSEPOWER = 0.3048, 3.785411784, 745.699872


def by_similarity():
    velocity = 0.2 / (math.pi * 0.2 ** 2 / 4)
    factor = similar(velocity * 0.2 / 1e-5, 0.26 / 200, 2500)
    loss = factor * 2500 * velocity ** 2 / 2 / G
    record.number("oil through 500 m of 200 mm: head lost, m", "White, Fluid Mechanics, Example 6.7", loss, 117, 0.005, note="f by similarity")
    record.number("the same: f", "White, Fluid Mechanics, Example 6.7", factor, 0.0225, 0, 0.0003, "f by similarity; the book reads a chart")
    record.number("Re 400 000, e/D 0.004: f", "Lindeburg, Civil Engineering Reference Manual, Example 17.2", similar(400000, .004, 100), 0.0287, 0, 5e-5)
    bore, flow = 8 / 12 * FT, 1500 * GALLON / 60000
    velocity, viscosity = flow / (math.pi * bore ** 2 / 4), 1.15e-4 * FT * FT
    factor = similar(velocity * bore / viscosity, 8.5e-4 * FT / bore, 1600 * FT / bore if 1600 * FT / bore < 5000 else 4000)
    record.number("oil, 1500 US gpm through 1600 ft of 8 in: head lost, ft", "Subramanian, Clarkson University, pipe flow notes",
                  factor * 1600 * FT / bore * velocity ** 2 / 2 / G / FT, 83.7, 0.003, note="f by similarity")
    record.number("laminar, Re 800, 0.01 m3/s in 100 mm: head lost in 1 km, m, g 9.81", "examination answer page, byjus.com",
                  similar(800, 0, 100) * 1000 / 0.1 * (0.01 / (math.pi * 0.05 ** 2)) ** 2 / 2 / 9.81, 66.1, 0, 0.05, "f by similarity")
    bore, flow = 20 / 12 * FT, FT ** 3
    velocity = flow / (math.pi * bore ** 2 / 4)
    factor = similar(velocity * bore / (1.23e-5 * FT * FT), .0005 * FT / bore, 3884 * FT / bore)
    record.number("1 ft3/s through 3884 ft of 20 in: head lost, ft", "Maurer, open textbook on hydraulics, ch. 7; answer from memory",
                  factor * 3884 * FT / bore * velocity ** 2 / 2 / G / FT, 0.160, 0, 0.0005, "f by similarity")


def as_they_are():
    crane = duty_of(meeting({"bore_mm": 52.48, "roughness_mm": 0, "run_m": 100, "sum_k": 0, "static_m": 0}, 12000, 30))
    record.number("smooth plastic, 52.48 mm, 0.2 m3/min at 30 °C: Re", "Crane TP-410M, Example 7-1", crane["reynolds"], 100600, 0.005)
    record.number("the same: f", "Crane TP-410M, Example 7-1", crane["friction_factor"], 0.0179, 0.005)
    flow = 100 * GALLON * 60
    loss = duty_of(meeting({"bore_mm": 77.92, "roughness_mm": 0.0022 * 25.4, "run_m": 500 * FT, "sum_k": 28.448, "static_m": 0}, flow, 22.2))
    record.number("100 US gpm through 500 ft of 3 in schedule 40: head lost, ft", "Crane TP-410, Example 7-15 (421 ft less 400 ft of lift)",
                  loss["head_m"] / FT, 21, 0.04, note="a printed whole foot in 21; water at 22.2 °C has the example's 0.95 cP")
    shaft_w = loss["hydraulic_w"] * (400 * FT + loss["head_m"]) / loss["head_m"] / 0.70
    record.number("the same with its lift, efficiency 0.70: horsepower", "Crane TP-410, Example 7-15",
                  shaft_w / HORSEPOWER, 15.2, 0, 0.05,
                  "power by head: more than 60 m of lift is no garden pond's, and refused")
    white = duty_of(meeting({"bore_mm": 50.8, "roughness_mm": 0.0508, "run_m": 400 * FT, "sum_k": 12.2, "static_m": 100 * FT}, 0.2 * FT ** 3 * 3.6e6, 19.3))
    record.number("0.2 ft3/s through 400 ft of 2 in and 100 ft up: head, ft", "White, Fluid Mechanics, Example 6.16 (answer from memory)",
                  white["head_m"] / FT, 184, 0.01)
    flows = [i * 20 / 15 * 0.9 for i in range(16)]
    cengel = duty_of({"bore_mm": 20.3, "roughness_mm": 0.25, "run_m": 176.5, "sum_k": 23.65, "static_m": 7.85, "temperature_c": 20,
                      "kept_pump": {"curve": [[q * 60, 24.4 - .0678 * q * q] for q in flows]}})
    record.number("duty of H = 24.4 - 0.0678 V2 on 176.5 m of 20.3 mm: L/min", "Cengel and Cimbala, Fluid Mechanics, Problem 14-43; roughness and answer from memory",
                  cengel["flow_l_per_h"] / 60, 11.6, 0.005)
    bore = 0.0204
    want = 0.0261 * 2 * G * (math.pi * bore ** 2 / 4 * 60000) ** 2  # K that makes H = 3.52 + 0.0261 V2, V in L/min
    members = {"bore_mm": 20.4, "roughness_mm": 0, "run_m": 0.1, "static_m": 3.52, "temperature_c": 20}
    sum_k = want - friction(fluids.Reynolds(V=7.428 / 60000 / (math.pi * bore ** 2 / 4), D=bore, nu=properties_of(20)[1]), 0) * 0.1 / bore
    answer = duty_of({**members, "sum_k": sum_k, "kept_pump": {"curve": [[q * 60, 7.46 - .0453 * q * q] for q in [i * 0.85 for i in range(15)]]}})
    record.number("duty of H = 7.46 - 0.0453 V2 and 3.52 + 0.0261 V2: L/min", "Cengel and Cimbala, Fluid Mechanics, exercise of ch. 14, algebra",
                  answer["flow_l_per_h"] / 60, 7.42846, 0.0005, note="the pump's parabola is given by 15 points, joined by cubics")
    record.number("the same: head, m", "Cengel and Cimbala, Fluid Mechanics, exercise of ch. 14, algebra", answer["head_m"], 4.96025, 0.0005)


def between_sizes():
    """Friction head of straight pipe at 10 °C: flow, roughness, then 25 mm and 32 mm over 10 m."""
    rows = [(3000, .003, 1.375, .422), (5000, .003, 3.424, 1.045), (7000, .003, 6.276, 1.908), (3000, .03, 1.533, .455),
            (5000, .03, 3.970, 1.162), (7000, .03, 7.495, 2.171), (3000, 1, 3.848, 1.015), (5000, 1, 10.637, 2.797), (7000, 1, 20.805, 5.463)]
    cases = [(flow, e, bore, loss) for flow, e, *losses in rows for bore, loss in zip((25, 32), losses)]
    found = asked(water(meeting({"bore_mm": bore, "roughness_mm": e, "run_m": 10, "sum_k": 0, "static_m": 0}, flow, 10)) for flow, e, bore, _ in cases)
    record.numbers("friction head of 10 m of 25 and 32 mm, smooth, worn and ribbed", FLUIDS + " and scipy, worked out for this project",
                   [(f"{flow} L/h, e {e}, {bore} mm", ours["duty"]["friction_m"], loss) for (flow, e, bore, loss), ours in zip(cases, found)], 1e-4, 1e-3)


# ---- duty points ----

CURVE = [[0, 3.5], [1500, 3.2], [3000, 2.6], [4500, 1.6], [6000, 0]]


def table_of_duties():
    rows = [(25, .007, 2789.762, 2.703017, 1.578683, 34663.1, .02350580, 1.194741, .508275, 20.5232),
            (32, .007, 3920.779, 2.042609, 1.354191, 38059.5, .02288305, .668611, .373998, 21.7965),
            (40, .007, 4601.142, 1.515039, 1.017076, 35731.1, .02306108, .304071, .210968, 18.9722),
            (25, 1.0, 2026.875, 3.030823, 1.146976, 25184.2, .06569265, 1.762524, .268298, 16.7192),
            (32, 1.0, 3266.787, 2.458198, 1.128310, 31711.1, .05908864, 1.198561, .259637, 21.8558)]
    keys = ("flow_l_per_h", "head_m", "velocity_m_s", "reynolds", "friction_factor", "friction_m", "minor_m", "hydraulic_w")
    for bore, rough, *theirs in rows:
        ours = duty_of({"bore_mm": bore, "roughness_mm": rough, "run_m": 10, "sum_k": 4, "static_m": 1, "temperature_c": 15, "kept_pump": {"curve": CURVE}})
        record.numbers(f"duty of the check curve on 10 m of {bore} mm, e {rough} mm, 15 °C", "fluids and scipy, worked out for this project",
                       [(key, ours[key], value) for key, value in zip(keys, theirs)], 3e-5)


def random_curve(chance):
    points, flow, head = [[0, round(chance.uniform(1.5, 20), 2)]], 0, 0
    head = points[0][1]
    for left in range(chance.randint(2, 6), 0, -1):
        flow += chance.randint(200, 4000)
        head = max(0, head - chance.uniform(0.2, 1.8) * head / (left + 1)) if left > 1 else head * chance.uniform(0, 0.3)
        points.append([flow, round(head, 3)])
    return points if all(a[1] > b[1] for a, b in zip(points, points[1:])) else random_curve(chance)


def random_system(chance):
    return {"bore_mm": chance.choice([16, 20, 25, 26, 32, 40, 50, 75, 100]), "roughness_mm": round(10 ** chance.uniform(-3, 0.3), 4),
            "run_m": round(chance.uniform(1, 60), 1), "sum_k": round(chance.uniform(1, 20), 2), "static_m": round(chance.uniform(0, 4), 2),
            "temperature_c": chance.choice([2, 5, 10, 15, 20, 25]), "kept_pump": {"curve": random_curve(chance)}}


def duty_points():
    """100 pumps and pipes that balance, and what lies beyond either end of a curve."""
    chance = random.Random(8)
    systems = [random_system(chance) for _ in range(220)]
    found = asked(water(system) for system in systems)
    rows = {key: [] for key in ("flow_l_per_h", "head_m", "reynolds", "friction_factor", "friction_m", "minor_m", "velocity_m_s", "hydraulic_w")}
    states, balances = [], []
    for place, (system, ours) in enumerate(zip(systems, found)):
        curve, duty = system["kept_pump"]["curve"], ours["duty"]
        head = interpolate.PchipInterpolator(*zip(*curve))
        viscosity = ours["viscosity_m2_s"]
        last = curve[-1][0]

        def over(flow):
            return float(head(flow)) - system_head(system, viscosity, flow)

        state = "no-flow" if system["static_m"] >= curve[0][1] else "beyond-curve" if over(last) > 0 else "ok"
        states.append((f"system {place}", duty["status"], state))
        if state == "no-flow":
            balances.append((f"system {place} flow exactly 0", duty["flow_l_per_h"] == 0))
        if state == "beyond-curve":
            balances.append((f"system {place} stops at the last point", duty["flow_l_per_h"] == last))
        if state != "ok" or len(rows["head_m"]) == 120:
            continue
        flow = optimize.brentq(over, 0, last, xtol=1e-9, rtol=1e-14)
        theirs = theirs_at(system, None, viscosity, flow)
        theirs.update(flow_l_per_h=flow, head_m=float(head(flow)), hydraulic_w=ours["density_kg_m3"] * G * flow / 3.6e6 * float(head(flow)))
        for key in rows:
            rows[key].append((f"system {place}", duty[key], theirs[key]))
    record.holds("at least 100 systems balance", "", [(str(len(rows["head_m"])), len(rows["head_m"]) >= 100)])
    record.same("ok, no flow, or beyond the curve, 220 systems", ROOT, states)
    record.holds("beyond its ends a curve is not extrapolated", "", balances)
    for key, triples in rows.items():
        record.numbers(f"duty points of {len(triples)} generated systems: {key}", ROOT, triples, 1e-8, 1e-10)


def chosen_pumps():
    """Pumps of the catalogue, chosen by the program: whatever it takes must bring the demand with the allowance for
    fouling, and its other bores must balance too."""
    pumps = {pump["id"]: pump for pump in config_file("pumps.json")["pumps"]}
    spare = config_file("practice.json")["practice"]["fouling_share"]["value"]
    fastest = config_file("practice.json")["practice"]["velocity_most_m_s"]["value"]
    chance = random.Random(4)
    cases = [{"flow_l_per_h": chance.randint(400, 15000), "static_m": round(chance.uniform(0.2, 3), 2), "run_m": round(chance.uniform(2, 40), 1),
              "sum_k": round(chance.uniform(1, 8), 1)} for _ in range(120)]
    flows, enough, bores = [], [], []
    for case, ours in zip(cases, asked(water(case) for case in cases)):
        if ours["choice"] != "chosen":
            continue
        pump = pumps[ours["pump"]]
        head = interpolate.PchipInterpolator(*zip(*pump["curve"]))
        for bore in [ours, *ours["other_bores"]]:
            members = {**case, "bore_mm": bore["bore_mm"], "roughness_mm": bore["roughness_mm"]}

            def over(flow):
                return float(head(flow)) - system_head(members, ours["viscosity_m2_s"], flow)

            last = pump["curve"][-1][0]
            flow = last if over(last) > 0 else optimize.brentq(over, 0, last, xtol=1e-9, rtol=1e-14)
            (flows if bore is ours else bores).append((f"{pump['id']} on {bore['bore_mm']} mm, {case}", (bore if bore is not ours else ours["duty"])["flow_l_per_h"], flow))
        enough.append((f"{pump['id']} for {case}: {flows[-1][2]}", flows[-1][2] >= case["flow_l_per_h"] * (1 + spare) * (1 - 1e-9) and ours["enough"]))
        enough.append((f"too fast: {case}", ours["duty"]["velocity_m_s"] <= fastest * (1 + 1e-9)))
    record.holds("at least 60 of 120 demands find a pump", "", [(str(len(flows)), len(flows) >= 60)])
    record.numbers("flow of a pump that the program chose", ROOT, flows, 1e-8)
    record.numbers("flow of the same pump on every other bore", ROOT, bores, 1e-8)
    record.holds("a chosen pump brings the demand and 15 % over, at no more than 3 m/s", COMMON_PRACTICE, enough)


def running():
    pipe = {"kept_pump": {"curve": CURVE, "power_w": 145.2}, "bore_mm": 32, "run_m": 10, "static_m": 1}
    energy = [(f"{hours} h a day", service.ask("/v1/water", water({**pipe, "hours_per_day": hours}))["water"]["kwh_per_year"], 0.1452 * hours * 365.25)
              for hours in (0.5, 8, 24)]
    record.numbers("electricity in a year of 365.25 days", "definition of the kilowatt hour", energy, 1e-9, 1e-6)
    flow, head, hours = 700 * GALLON * 60, 428 * FT, 8000
    duty = duty_of(meeting({"bore_mm": 200, "roughness_mm": 0.05, "run_m": 100, "sum_k": 10, "static_m": 0}, flow, 16))
    power_w = duty["hydraulic_w"] * head / duty["head_m"] / (0.707 * 0.95 * 0.96)
    small = {**pipe, "kept_pump": {"curve": CURVE, "power_w": power_w / 100}, "hours_per_day": hours / 365.25}
    kwh = 100 * service.ask("/v1/water", water(small))["water"]["kwh_per_year"]
    record.number("700 US gpm against 428 ft for 8000 h at 0.12 a kWh: cost of a year", "Crane TP-410, Example 7-34",
                  0.12 * kwh, 83970, 0.001,
                  note="efficiency 0.707 x 0.95 x 0.96; power by head, and by a hundredth, since both are beyond a garden's")
    record.number("145.2 W without a pause: kWh a year", "worked out for this project, no publication", energy[2][1], 1272.8, 0.001)


# ---- lips ----

def lips():
    """The demand is what the widest lip asks, as long as nothing asks for more."""
    def of(lip, width, head):
        return {"region": "demo-north", "issued_on": "2026-11-25",
                "stream": {"length_m": 2, "width_m": 0.1, "fall_m": 0.5, "head_over_lip_mm": head, "cascades": [{"width_m": width, "drop_m": 0.3, "lip": lip}]}}

    table = [(5, 39.0, 30.7), (10, 110.4, 86.7), (15, 202.8, 159.3), (20, 312.3, 245.3), (25, 436.4, 342.8), (30, 573.7, 450.7), (40, 883.2, 693.8)]
    cases = [(lip, head, value) for head, sharp, flat in table for lip, value in (("sharp", sharp), ("flat", flat))]
    found = asked(of(lip, 1.0, head) for lip, head, _ in cases)
    record.numbers("lip flow of a metre, L/min: Francis and broad crest", "Francis 1883 (1.84, no end contractions); ISO 3846 with 0.848",
                   [(f"{lip}, {head} mm", ours["demand_l_per_h"] / 60, value) for (lip, head, value), ours in zip(cases, found)], 0, 0.051)
    widths = [(0.3, h, q) for h, q in zip((5, 10, 15, 20, 25), (703, 1987, 3651, 5621, 7855))] + \
             [(0.6, h, q) for h, q in zip((5, 10, 15, 20, 25), (1405, 3974, 7301, 11241, 15710))]
    found = [ours for ours in asked(of("sharp", width, head) for width, head, _ in widths)]
    record.numbers("lip flow by width and head, L/h", "Francis 1883, no end contractions",
                   [(f"{width} m, {head} mm", ours["demand_l_per_h"], max(q, 900)) for (width, head, q), ours in zip(widths, found)], 0, 0.51,
                   "0.1 m of stream asks for 900 L/h")
    ranges = [(width, head) for width in (0.3, 0.6, 1.5) for head in (30, 40, 50, 60)]
    found = asked(of("sharp", width, head) for width, head in ranges)
    record.numbers("sharp lip in the range of the formulas (30 mm and more), deep approach", FLUIDS + ": Rehbock 1929, ISO 1438",
                   [(f"{width} m, {head} mm", ours["demand_l_per_h"], 3.6e6 * fluids.open_flow.Q_weir_rectangular_full_Rehbock(head / 1000, 10.0, width))
                    for (width, head), ours in zip(ranges, found)], 0.03, note="two formulas of one measured thing")
    record.numbers("sharp lip in the range of the formulas, deep approach", FLUIDS + ": Kindsvater and Carter 1957, full width",
                   [(f"{width} m, {head} mm", ours["demand_l_per_h"], 3.6e6 * fluids.open_flow.Q_weir_rectangular_full_Kindsvater_Carter(head / 1000, 10.0, width))
                    for (width, head), ours in zip(ranges, found)], 0.03, note="two formulas of one measured thing")
    exact = [("sharp", 0.6, 50, .01234310), ("flat", 0.6, 50, .00969674)]
    record.numbers("lip of 0.6 m under 50 mm, m3/s", "Francis; broad crest with 0.848",
                   [(lip, ours["demand_l_per_h"] / 3.6e6, q) for (lip, _, _, q), ours in zip(exact, asked(of(*case[:3]) for case in exact))], 0, 6e-9)


def widths_of_streams():
    found = asked({"region": "demo-north", "issued_on": "2026-11-25", "stream": {"length_m": 3, "width_m": width, "fall_m": 0.5}} for width in (0.4, 1.0))
    record.numbers("a stream of so many centimetres: 1.5 L a minute for each", "gartenjournal.net",
                   [(f"{width} m", ours["demand_l_per_h"], width * 100 * 90) for width, ours in zip((0.4, 1.0), found)], 1e-9)


# ---- draining ----

class PumpCurve(ctypes.Structure):
    _fields_ = [("n_points", ctypes.c_size_t), ("flow", ctypes.c_double * 16), ("head", ctypes.c_double * 16), ("slope", ctypes.c_double * 16)]


class PipeSystem(ctypes.Structure):
    _fields_ = [(name, ctypes.c_double) for name in ("static_m", "bore_mm", "roughness_mm", "length_m", "sum_k", "density", "viscosity")]


def core_library(folder):
    """core/ as a shared library; PONDWRIGHT_CORE_LIBRARY names one that is built already."""
    if "PONDWRIGHT_CORE_LIBRARY" in os.environ:
        return ctypes.CDLL(os.environ["PONDWRIGHT_CORE_LIBRARY"])
    source = os.path.join(os.environ["PONDWRIGHT_SOURCE"], "core")
    library = os.path.join(folder, "core.so")
    subprocess.run(["cc", "-std=c17", "-O1", "-ffp-contract=off", "-shared", "-fPIC", "-o", library, *sorted(glob.glob(source + "/*.c")), "-lm"], check=True)
    return ctypes.CDLL(library)


def draining():
    """Of a pump of our choice, so core/ is compiled by itself and asked."""
    with tempfile.TemporaryDirectory() as folder:
        core = core_library(folder)
        curve = PumpCurve()
        points = ((ctypes.c_double * 2) * 5)(*((ctypes.c_double * 2)(*point) for point in CURVE))
        core.pump_curve_prepare(points, ctypes.c_size_t(5), ctypes.byref(curve))
        density, viscosity = properties_of(15)
        core.drain_time_h.restype = ctypes.c_bool

        def hours(areas, depth, static):
            system = PipeSystem(static, 32, 0.007, 10, 4, density, viscosity)
            result = ctypes.c_double()
            ok = core.drain_time_h(ctypes.byref(curve), ctypes.byref(system), (ctypes.c_double * len(areas))(*areas),
                                   ctypes.c_size_t(len(areas)), ctypes.c_double(depth), ctypes.byref(result))
            return result.value if ok else math.inf

        head = interpolate.PchipInterpolator(*zip(*CURVE))

        def flow(static):
            members = {"bore_mm": 32, "roughness_mm": 0.007, "run_m": 10, "sum_k": 4, "static_m": static}
            return optimize.brentq(lambda q: float(head(q)) - system_head(members, viscosity, q), 0, 6000, xtol=1e-9)

        record.number("6 m2 of upright sides, 0.8 m drawn: hours", "worked out twice for this project, no publication", hours([6, 6, 6], 0.8, 0.6), 1.2288, 0, 6e-5)
        bowl = [20 * (1 - z / 8) ** 2 for z in range(9)]
        theirs = integrate.quad(lambda z: 20 * (1 - z / 0.8) ** 2 * 1000 / flow(0.6 + z), 0, 0.8)[0]
        record.number("a cone of 20 m2, 0.8 m deep: hours", "scipy.integrate.quad, brentq and " + FLUIDS, hours(bowl, 0.8, 0.6), theirs, 1e-3)
        record.same("a pump that stalls on the way promises no time", "", [("stalls", hours([6, 6, 6], 0.8, 3.0), math.inf)])


def drained_ponds():
    """Hours in the quote of a rebuild, by quadrature over the level, with the pump and hose of practice.json."""
    practice = {key: row["value"] for key, row in config_file("practice.json")["practice"].items()}
    top, most = practice["drain_pump_head_m"], practice["drain_pump_l_per_h"]
    head = interpolate.PchipInterpolator([0, most / 2, most], [top, top * 3 / 4, 0])
    density, viscosity = properties_of(10)
    hose = {"bore_mm": practice["drain_hose_bore_mm"], "roughness_mm": 0.5, "run_m": practice["drain_hose_m"], "sum_k": 1.5}

    def flow(drawn):
        members = {**hose, "static_m": practice["drain_lift_m"] + drawn}
        return optimize.brentq(lambda q: float(head(q)) - system_head(members, viscosity, q), 0, most, xtol=1e-9)

    def plan(length, width, slope, drawn):
        return (length - 2 * slope * drawn) * (width - 2 * slope * drawn)

    ponds = [(4, 3, 1.0, 0), (10, 6, 1.5, 0), (8, 5, 1.2, 1), (12, 9, 2.0, 1.5), (3, 2, 0.5, 0.5)]
    enquiries = [{"region": "demo-north", "work": "rebuild", "issued_on": "2026-11-25", "old_pond": {"shell": "flexible-liner"},
                  "pond": {"outline": {"kind": "rectangle", "length_m": length, "width_m": width}, "depth_m": depth,
                           "profile": {"kind": "battered", "side_slope": slope} if slope else {"kind": "vertical"}}}
                 for length, width, depth, slope in ponds]
    ours = service.ask_all("/v1/quote", enquiries, take=lambda answer: answer["takeoff"]["drain_h"])
    for (length, width, depth, slope), hours in zip(ponds, ours):
        theirs = integrate.quad(lambda z: plan(length, width, slope, z) * 1000 / flow(z), 0, depth)[0]
        record.number(f"{length} x {width} m, {depth} m deep, sides 1 in {slope}: hours to drain",
                      "scipy.integrate.quad, brentq and " + FLUIDS, hours, theirs, 1e-5, 5.1e-7)


def main():
    for part in (properties_of_water, friction_factors, by_similarity, as_they_are, between_sizes, table_of_duties, duty_points,
                 chosen_pumps, running, lips, widths_of_streams, draining, drained_ponds):
        part()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()
