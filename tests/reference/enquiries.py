"""Random enquiries that the program must accept: every kind of work, region, shell, outline and bed; each member given or
left out by chance."""
import math

REGIONS = {"demo-north": ("2026-04", "2026-10"), "demo-coast": ("2026-10",), "demo-highland": ("2026-10",), "demo-isle": ("2026-07",)}
SHELLS = ("epdm-liner", "reinforced-pe-liner", "pvc-liner", "plain-concrete", "rendered-concrete", "puddled-clay")
WORKS = ("new", "new", "new", "rebuild", "rebuild", "reline", "desilt", "stream", "repair", "infill")
SOILS = ("topsoil", "loam", "sand", "gravel", "clay", "chalk", "rock")


def near(chance, low, high, digits=2):
    """Small more often than large."""
    return round(low * (high / low) ** chance.random(), digits)


def outline(chance):
    kind = chance.choice(("rectangle", "circle", "ellipse", "stadium", "polygon"))
    if kind == "circle":
        return {"kind": kind, "diameter_m": near(chance, 1.2, 25)}
    if kind == "polygon":
        corners, size = chance.randint(3, 16), near(chance, 1.5, 20)
        return {"kind": kind, "points_m": [[round(size * r * math.cos(2 * math.pi * i / corners), 3), round(size * r * math.sin(2 * math.pi * i / corners), 3)]
                                           for i in range(corners) for r in [chance.uniform(0.4, 1)]]}
    length = near(chance, 1.5, 30)
    result = {"kind": kind, "length_m": length, "width_m": round(max(0.8, length * chance.uniform(0.3, 1)), 2)}
    if kind == "rectangle" and chance.random() < 0.3:
        result["corner_radius_m"] = round(min(length, result["width_m"]) / 2 * chance.uniform(0, 0.99), 2)
    return result


def profile(chance, depth):
    kind = chance.choice(("vertical", "battered", "battered", "dish", "stepped", None))
    if kind == "battered":
        result = {"kind": kind, "side_slope": near(chance, 0.2, 3)}
        if chance.random() < 0.5:
            result.update(shelf_width_m=near(chance, 0.1, 1), shelf_depth_m=round(depth * chance.uniform(0.1, 0.7), 2))
        else:
            result.update(shelf_width_m=0, shelf_depth_m=0)
        return result
    if kind == "stepped":
        return {"kind": kind, "steps": [{"inset_m": 0.1, "depth_m": round(depth * 0.3, 2)}, {"inset_m": 0.4, "depth_m": round(depth * 0.3, 2)},
                                        {"inset_m": 0.7, "depth_m": depth}]}
    return {"kind": kind} if kind else None


def pond(chance):
    depth = near(chance, 0.4, 2.2)
    result = {"outline": outline(chance), "depth_m": depth}
    bed = profile(chance, depth)
    if bed:
        result["profile"] = bed
    if chance.random() < 0.2:
        result["freeboard_m"] = round(chance.uniform(0, 0.3), 2)
    if chance.random() < 0.15:
        result.update(water_above_ground_m=round(chance.uniform(0.1, 0.8), 2), wall=chance.choice(("none", "block", "concrete")))
    return result


def old_pond(chance):
    result = {"shell": chance.choice(("none", "flexible-liner", "concrete", "preformed", "clay"))}
    if chance.random() < 0.4:
        result["depth_m"] = near(chance, 0.3, 2)
    if chance.random() < 0.4:
        result["outline"] = outline(chance)
    for member, value in (("silt_depth_m", round(chance.uniform(0, 0.6), 2)), ("plants_kept_share", round(chance.random(), 2)),
                          ("stone_kept_t", near(chance, 0.1, 5)), ("collar", chance.choice(("none", "keep", "break-out")))):
        if chance.random() < 0.4:
            result[member] = value
    return result


def stream(chance):
    result = {"length_m": near(chance, 1, 40), "fall_m": round(chance.uniform(0.2, 4), 2)}
    if chance.random() < 0.6:
        result["width_m"] = near(chance, 0.2, 2)
    if chance.random() < 0.6:
        share = result["fall_m"] / 4
        result["cascades"] = [{"width_m": near(chance, 0.2, 1.5), "drop_m": round(share * chance.random(), 2), "lip": chance.choice(("flat", "sharp"))}
                              for _ in range(chance.randint(1, 3))]
    if chance.random() < 0.3:
        result["bed"] = chance.choice(("loose", "mortared"))
    return result


def some(chance, members, share=0.6):
    return {name: value() for name, value in members.items() if chance.random() < share}


def site(chance):
    return some(chance, {
        "soil": lambda: chance.choice(SOILS), "water_table_depth_m": lambda: near(chance, 0.2, 6), "ground_fall_m": lambda: round(chance.uniform(0, 0.8), 2),
        "access_width_m": lambda: near(chance, 0.65, 4), "carry_m": lambda: near(chance, 1, 120, 1), "lorry_distance_m": lambda: near(chance, 1, 120, 1),
        "steps": lambda: chance.choice((0, 0, 0, 2, 6, 14)), "spoil": lambda: chance.choice(("take-away", "keep")),
        "skip_place": lambda: chance.choice(("drive", "road", "none")), "travel_km": lambda: near(chance, 1, 250, 1),
        "reinstate_m2": lambda: near(chance, 1, 100, 1), "supply_run_m": lambda: near(chance, 1, 60, 1), "existing_supply": lambda: chance.random() < 0.5})


def enquiry(chance):
    region = chance.choice(tuple(REGIONS))
    work = chance.choice(WORKS)
    result = {"region": region, "edition": chance.choice(REGIONS[region]), "issued_on": f"2026-11-{chance.randint(1, 30):02d}", "work": work,
              "site": site(chance), "client_kind": chance.choice(("householder", "householder", "business", "public-body", "school-or-nursery", "community", "farm"))}
    if chance.random() < 0.5:
        result["start_on"] = f"2027-{chance.randint(1, 12):02d}-{chance.randint(1, 28):02d}"
    if work != "stream":
        result["pond"] = pond(chance)
    if work not in ("new", "stream"):
        result["old_pond"] = old_pond(chance)
    if work == "stream" or work in ("new", "rebuild") and chance.random() < 0.3:
        result["stream"] = stream(chance)
    if work in ("new", "rebuild", "reline") and chance.random() < 0.9:
        result["shell"] = chance.choice(SHELLS)
    if work != "stream":
        result["planting"] = {"style": chance.choice(("none", "wildlife", "ornamental", "fish"))}
    if work in ("new", "rebuild"):
        result["edge"] = some(chance, {"coping_m": lambda: near(chance, 0.5, 3), "turf_m": lambda: near(chance, 0.2, 0.5), "beach_m": lambda: near(chance, 0.2, 0.5)}, 0.3)
        result["equipment"] = some(chance, {"lights": lambda: chance.randint(0, 6), "filter": lambda: chance.randint(0, 2)}, 0.2)
        if chance.random() < 0.25:
            result["roots"] = {"extent": chance.choice(("patches", "throughout")), "outside_pond": chance.random() < 0.5}
    return result
