"""Mixes, render, swell, loads, packs and units. The figures are those of quotes with the owner's view: what a line needs,
and what is bought for it."""
import math
import os
import random
import re
import subprocess
import tempfile
from fractions import Fraction

import costs
from program import Service, config_copy, config_file
from record import COMMON_PRACTICE, Record

VOLUMES = "absolute volumes (the method: Neville, Properties of Concrete, from memory): 3150, 2650 particles; 1440 cement, 1600 sharp, 1500 soft sand and gravel loose, kg/m3"
NIST = "NIST SP 811 (2008) Appendix B; NIST Handbook 44 Appendix C"
record = Record("materials")
service = Service(config_copy())
ROUND = {"kind": "circle", "diameter_m": 6}


def quote(**members):
    enquiry = {"region": "demo-north", "edition": "2026-10", "issued_on": "2026-11-25",
               "pond": {"outline": ROUND, "depth_m": 0.8, "profile": {"kind": "battered", "side_slope": 1, "shelf_width_m": 0, "shelf_depth_m": 0}}, **members}
    return service.ask("/v1/quote", enquiry, owner=True)


def needs(answer, build_up):
    """What one line needs of each item."""
    line = next(line for line in answer["costing"]["lines"] if line["build_up"] == build_up)
    return {item["item"]: item["quantity"] for item in line["items"]}


def measured(answer, build_up):
    return next(line["quantity"] for section in answer["sections"] for line in section["lines"] if line["build_up"] == build_up)


# ---- mixes ----

CEMENT, SHARP_SAND, SOFT_SAND, GRAVEL = 1440, 1600, 1500, 1500  # loose and dry, kg/m3


def yield_of(sand_parts, sand_loose, gravel_parts, water_to_cement, air):
    """Kilograms of cement, dry sand and gravel in a cubic metre, by loose volumes to one of cement."""
    cement = CEMENT
    sand, gravel = sand_parts * sand_loose, gravel_parts * GRAVEL
    solid = cement / 3150 + sand / 2650 + gravel / 2650 + water_to_cement * cement / 1000
    made = solid / (1 - air)
    return cement / made, sand / made, gravel / made


def mixes():
    far = {"lorry_distance_m": 200, "carry_m": 60, "access_width_m": 1}
    concrete = quote(shell="rendered-concrete", site=far)
    waste = 1.1
    volume = measured(concrete, "concrete-site-mix")
    found = {item: quantity / volume / waste for item, quantity in needs(concrete, "concrete-site-mix").items()}
    cement, sand, gravel = yield_of(2, SHARP_SAND, 3, 0.5, 0.015)
    record.numbers("concrete 3:2:1 by volume, dry sand: kg in a cubic metre", VOLUMES + "; water/cement 0.5, air 1.5 %",
                   [("cement", found["cement"], cement), ("sand", found["sharp-sand"], sand), ("gravel", found["gravel-20"], gravel)], 0.002)
    record.number("loose volumes that make a cubic metre, dry sand", VOLUMES, found["cement"] / CEMENT + found["sharp-sand"] / SHARP_SAND + found["gravel-20"] / GRAVEL, 1.45, 0, 0.005,
                  "the trade's 1.54 is damp sand, bulked by a quarter; with dry densities it would weigh more than concrete does")
    record.number("weight of a cubic metre with its water, kg", "NHBC Standards 3.1.4 Table 2, after BS 8500-2: fresh ST5 2360 to 2400",
                  found["cement"] * 1.5 + found["sharp-sand"] + found["gravel-20"], 2380, 0, 20)
    record.numbers("concrete 3:2:1 beside standardised prescribed mix ST5: kg in a cubic metre", "NHBC Standards 3.1.4 Table 2, after BS 8500-2: 375, 720, 1080",
                   [("cement", found["cement"], 375), ("sand", found["sharp-sand"], 720), ("gravel", found["gravel-20"], 1080)], 0.08,
                   note="ST5 is proportioned by weight and a little richer; both are right, for what they say")
    record.number("bags of 25 kg in a cubic metre, before waste", VOLUMES, found["cement"] / 25, cement / 25, 0.002)
    ready = quote(shell="rendered-concrete", site={"lorry_distance_m": 10, "carry_m": 10, "access_width_m": 1, "steps": 0, "through_building": False})
    record.number("ready-mixed concrete ordered for a cubic metre placed by barrow", COMMON_PRACTICE + ": 5 % over",
                  needs(ready, "concrete-barrowed")["ready-mix"] / measured(ready, "concrete-barrowed"), 1.05, 1e-5)
    renders(concrete)
    record.number("mesh for a square metre of shell, laps counted", "sheet 4.8 x 2.4 m with 300 mm laps, 1.22; curved work 1.3, " + COMMON_PRACTICE,
                  needs(concrete, "mesh")["mesh-a193"] / measured(concrete, "mesh"), 1.3, 1e-5)
    record.number("a sheet of mesh: m2", "BS 4483, from memory", pack("mesh-a193", "sheet"), 4.8 * 2.4, 1e-12)


def pack(item, name):
    items = costs.Prices().items
    return next(pack["size"] for pack in items[item]["packs"] if pack["id"] == name)


def renders(rendered):
    volume = rendered["takeoff"]["render_m3"]
    found = {item: quantity / volume / 1.15 for item, quantity in needs(rendered, "render").items()}
    cement, sand, _ = yield_of(4, SOFT_SAND, 0, 0.6, 0.04)
    record.numbers("render 4:1 by volume, dry sand: kg in a cubic metre", VOLUMES + "; water/cement 0.6, air 4 %",
                   [("cement", found["cement"], cement), ("sand", found["soft-sand"], sand)], 0.002)
    area = rendered["takeoff"]["render_m2"]
    record.number("18 mm of render: m3 to a m2", "Chudley and Greeno, Building Construction Handbook: 10 to 12 and 6 to 8 mm",
                  volume / area, 0.018, 0.01, note="measured as hole within hole, so corners count")
    record.number("18 mm of render: kg cement to a m2", VOLUMES, found["cement"] * 0.018, 6.9, 0, 0.05)
    record.number("18 mm of render: kg sand to a m2", VOLUMES, found["soft-sand"] * 0.018, 29, 0, 0.5)
    plain = quote(shell="plain-concrete", site={"access_width_m": 1})
    name = next(line["build_up"] for line in plain["costing"]["lines"] if line["build_up"].startswith("render"))
    found = {item: quantity / plain["takeoff"]["render_m3"] / 1.15 for item, quantity in needs(plain, name).items()}
    cement, sand, _ = yield_of(3, SOFT_SAND, 0, 0.5, 0.04)
    record.numbers("waterproofed render 3:1 by volume: kg in a cubic metre", VOLUMES + "; water/cement 0.5, air 4 %",
                   [("cement", found["cement"], cement), ("sand", found["soft-sand"], sand)], 0.002)
    coat = needs(rendered, "paint")["pond-paint"] / measured(rendered, "paint") / 1.05 * 3
    record.number("pond coating, three coats: kg to a m2", "a retailer's guide, 2019: 410 g clear and 400 g coloured", coat, 0.81, 1e-6)
    bond = needs(rendered, "bond-coat")["bonding-sbr"] / measured(rendered, "bond-coat") / 1.1
    record.number("SBR in a bond coat: litres to a m2", COMMON_PRACTICE + ": 5 to 8 m2 to a litre", bond, 1 / 6.5, 0.25)


# ---- ground ----

SWELL = [("topsoil", 1.30, COMMON_PRACTICE), ("loam", 1.25, "projectengineer.net, 25 %; US Army FM 5-434, from memory"),
         ("sand", 1.12, "projectengineer.net, 12 %; US Army FM 5-434 1.11, from memory"), ("gravel", 1.12, "projectengineer.net"),
         ("clay", 1.40, "projectengineer.net, 40 %; US Army FM 5-434 1.43, from memory"), ("chalk", 1.50, "projectengineer.net, hardpan 50 %"),
         ("rock", 1.50, "projectengineer.net, hardpan 50 %")]
BANK = {"topsoil": (1.3, 1.5), "loam": (1.6, 1.6), "sand": (1.6, 1.9), "gravel": (1.8, 2.0), "clay": (1.8, 2.0), "chalk": (1.9, 2.2), "rock": (1.9, 2.2)}


def ground():
    found = {soil: quote(shell="epdm-liner", site={"soil": soil, "ground_fall_m": 0, "water_table_depth_m": 9}, roots={"extent": "none"})["takeoff"] for soil, _, _ in SWELL}
    for soil, swell, source in SWELL:
        record.number(f"swell of {soil}, loose to in the ground", source, found[soil]["spoil_loose_m3"] / found[soil]["dig_m3"], swell, 1e-6)
    record.holds("tonnes to a cubic metre in the ground", COMMON_PRACTICE,
                 [(f"{soil} {found[soil]['spoil_t'] / found[soil]['dig_m3']}", BANK[soil][0] <= round(found[soil]["spoil_t"] / found[soil]["dig_m3"], 6) <= BANK[soil][1]) for soil in BANK])
    loads(found)


YARD = Fraction("0.764554857984")


def loads(found):
    sizes = {"yard-2": 2, "yard-4": 4, "yard-8": 8}
    record.numbers("level volume of a skip, m3", NIST + ": a cubic yard is 0.764554857984 m3", [(name, pack("soil-skip", name), float(yards * YARD)) for name, yards in sizes.items()], 0, 6e-4)
    weight_or_volume()
    asked = [(soil, diameter) for soil in ("loam", "clay", "rock", "sand") for diameter in (3, 4, 5, 6, 7, 8, 9.5)]
    checks = []
    for soil, diameter in asked:
        takeoff, skips = skips_of(soil, diameter)
        away, density = takeoff["spoil_away_loose_m3"], takeoff["spoil_loose_t_per_m3"]
        held = sum(count * min(float(sizes[name] * YARD), sizes[name] / density) for name, count in skips.items())
        tonnes = sum(count * sizes[name] for name, count in skips.items())
        checks.append((f"{soil} {away} m3 into {skips}", held >= away - 1e-6 and tonnes >= away * density - 1e-3))
    record.holds("skips hold the soil by volume and by weight", "level skips of 2, 4 and 8 cubic yards, a tonne to the yard: skip firms' rule", checks)
    eight = {"loam": 6.1, "clay": 5.9}
    record.numbers("loose soil that fills an 8-yard skip, m3", "worked out by hand: 8 cubic yards, or 8 t over 1.28 and 1.357 t/m3",
                   [(soil, min(pack("soil-skip", "yard-8"), 8 / found[soil]["spoil_loose_t_per_m3"]), most) for soil, most in eight.items()], 0, 0.05)


def skips_of(soil, diameter):
    answer = quote(shell="epdm-liner", site={"soil": soil, "lorry_distance_m": 50, "skip_place": "drive", "spoil": "take-away", "access_width_m": 1, "ground_fall_m": 0},
                   pond={"outline": {"kind": "circle", "diameter_m": diameter}, "depth_m": 0.8, "profile": {"kind": "dish"}}, roots={"extent": "none"})
    bought = next((item for item in answer["costing"]["bought"] if item["item"] == "soil-skip"), {"packs": []})
    return answer["takeoff"], {pack["pack"]: pack["count"] for pack in bought["packs"]}


def weight_or_volume():
    """6.0 m3 of loose soil: volume lets it into one 8-yard skip, and so does the weight of loam, but not that of clay."""
    full = {}
    for soil in ("loam", "clay"):
        low, high = 2.0, 6.0
        while high - low > 1e-4:
            middle = (low + high) / 2
            takeoff, full[soil] = skips_of(soil, round(middle, 5))
            low, high = (low, middle) if takeoff["spoil_away_loose_m3"] > 6.0 else (middle, high)
        full[soil] = skips_of(soil, round(low, 5))[1]
    record.holds("weight governs a skip once loose soil is over 1.308 t/m3, volume below", "a tonne to a cubic yard, skip firms' rule",
                 [(f"loam in {full['loam']}", full["loam"] == {"yard-8": 1}), (f"clay in {full['clay']}", sum(full["clay"].values()) > 1)])


# ---- packs ----

def cheapest_by_table(offers, need):
    """Cheapest cover by dynamic programming over whole units: another method than the program's search."""
    unit = Fraction(1, math.lcm(*(size.denominator for _, size, _ in offers)))
    counts = [int(size / unit) for _, size, _ in offers]
    unit *= math.gcd(*counts)
    sizes, wanted = [int(size / unit) for _, size, _ in offers], -(-Fraction(need) // unit)
    best = [Fraction(0)] + [None] * int(wanted)
    for held in range(1, int(wanted) + 1):
        best[held] = min(best[max(0, held - size)] + price for size, (_, _, price) in zip(sizes, offers))
    return best[int(wanted)]


def packs():
    """Ponds of many sizes need sand, gravel, paint, underlay and hire in many amounts; what is bought is never dearer than
    the cheapest cover."""
    prices, edition = costs.Prices(), costs.Prices().edition("demo-north", "2026-10")
    chance = random.Random(850)
    asked = [{"region": "demo-north", "edition": "2026-10", "issued_on": "2026-11-25", "shell": shell, "site": {"access_width_m": 2.5, "carry_m": 15, "lorry_distance_m": 80, "steps": 0},
              "pond": {"outline": {"kind": "circle", "diameter_m": round(1.5 * 10 ** chance.random(), 2)}, "depth_m": 0.9, "profile": {"kind": "dish"}}}
             for shell in ("rendered-concrete", "epdm-liner", "plain-concrete") for _ in range(60)]
    cases = []
    for answer in service.ask_all("/v1/quote", asked, owner=True):
        for bought in answer["costing"]["bought"]:
            item = prices.items[bought["item"]]
            offers = prices.pack_offers(item, edition, answer["takeoff"].get(item.get("density"), 0))
            need = max(costs.exactly(bought["quantity"]), costs.exactly(item.get("minimum", 0)))
            if len(offers) < 2 or "density" in item or need / min(size for _, size, _ in offers) > 3000 or any(size.denominator > 1000 for _, size, _ in offers):
                continue
            priced = {name: price for name, _, price in offers}
            paid = sum(priced[pack["pack"]] * pack["count"] for pack in bought["packs"])
            cases.append((f"{item['id']} {float(need)}", float(paid), float(cheapest_by_table(offers, need))))
    record.same("whole packs: the cheapest cover of a need", "dynamic programming over every amount up to the need", cases)


# ---- units ----

def units():
    """The constants of core/units.h, as a compiler reads them, and those of the page's length reader."""
    exact = {"M_PER_FT": "0.3048", "M_PER_IN": "0.0254", "KG_PER_LB": "0.45359237", "L_PER_US_GAL": "3.785411784", "L_PER_IMPERIAL_GAL": "4.54609", "GRAVITY_M_S2": "9.80665"}
    source = os.environ["PONDWRIGHT_SOURCE"]
    with tempfile.TemporaryDirectory() as folder:
        program = os.path.join(folder, "units")
        code = '#include <stdio.h>\n#include "units.h"\nint main(void)\n{\n' + "".join(f'printf("%.17g\\n", {name});\n' for name in exact) + \
            'printf("%.17g\\n%.17g\\n%.17g\\n", mm_to_m(1.0), m3_to_l(1.0), l_per_h_to_m3_per_s(3.6e6));\nreturn 0;\n}\n'
        subprocess.run(["cc", "-x", "c", "-std=c17", "-I", os.path.join(source, "core"), "-o", program, "-"], input=code.encode(), check=True)
        told = [float(line) for line in subprocess.run([program], capture_output=True, check=True).stdout.split()]
    record.same("units, exactly", NIST, list(zip([*exact, "mm in m", "litres in m3", "3.6e6 L/h in m3/s"], told, [*(float(value) for value in exact.values()), 0.001, 1000.0, 1.0])))
    with open(os.path.join(source, "static", "form.js"), encoding="utf-8") as file:
        page = dict(re.findall(r"(\w+): ([\d.]+)", re.search(r"metresOf = \{([^}]*)\}", file.read()).group(1)))
    record.same("units that the page reads, exactly", NIST, [(unit, float(page[unit]), float(value)) for unit, value in
                                                              (("ft", "0.3048"), ("in", "0.0254"), ("cm", "0.01"), ("mm", "0.001"), ("m", "1"))])


# ---- edges ----

def edges():
    found = {name: quote(shell="epdm-liner", edge={"coping_m": perimeter}, pond={"outline": outline, "depth_m": 0.8, "profile": {"kind": "vertical"}})["takeoff"]
             for name, outline, perimeter in (("circle", ROUND, 18.849556),)}
    wide = config_file("practice.json")["practice"]["coping_width_m"]["value"]
    ring = math.pi * ((3 + wide) ** 2 - 9)
    record.number("coping all round a circle of 6 m: m2 of slabs", "closed form, P w + pi w^2", found["circle"]["coping_m2"], ring, 1e-6)
    beach = quote(shell="epdm-liner", edge={"beach_m": 4, "beach_width_m": 1.5, "beach_thickness_mm": 100})["takeoff"]
    record.number("cobble beach of 100 mm: t to a m2", COMMON_PRACTICE + ": thickness x 1.6", beach["beach_t"] / beach["beach_m2"], 0.16, 1e-6)
    stream = quote(shell="epdm-liner", stream={"length_m": 10, "fall_m": 0, "width_m": 0.6, "depth_m": 0.15})["takeoff"]
    record.number("sheet under a stream 0.6 m wide and 0.25 m deep, sides at 45 degrees: m to a m", "worked out by hand: bed, two slopes, two flaps of 0.3 m",
                  stream["stream_liner_m2"] / (10 + 0.3), 1.91, 0, 0.006, "0.15 m of water and 0.1 m of freeboard; one lap of 0.3 m at the head")


def main():
    for part in (mixes, ground, packs, units, edges):
        part()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()
