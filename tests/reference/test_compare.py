"""Shells over the years, carbon and holidays, against sources outside the program.

Years: the present cost of every option is worked out again in decimal arithmetic from what the answer tells of its price,
renewals and rates; single present values against the handbook's table. Carbon: the factors of config/items against the
table that they name, and the sum of a build against its owner's list of needs. Holidays: python3-holidays."""
import datetime
import math
import re
from decimal import Decimal, getcontext

import holidays

from program import Service, config_copy, config_folder, config_file, fixtures
from record import COMMON_PRACTICE, Record

getcontext().prec = 40
record = Record("compare")

HANDBOOK = "NIST Handbook 135, Life-Cycle Costing Manual, 1995, single present values: from memory"
GREEN_BOOK = "HM Treasury, The Green Book, table of discount factors: from memory"
POND = {"region": "demo-north", "issued_on": "2026-11-25", "start_on": "2027-04-05",
        "pond": {"outline": {"kind": "rectangle", "length_m": 4, "width_m": 3}, "depth_m": 1}, "edge": {"coping_m": 5}}


# ---- years ----

def present_cost(option, rate, growth, years):
    """Price now and renewals before the end of the years, each rounded nowhere; in minor units."""
    step = (1 + growth) / (1 + rate)
    cost = Decimal(option["price"]["gross_minor"])
    for renewal in option["renewals"]:
        every = Decimal(repr(renewal["every_years"]))
        most = 1 if "once" in renewal["title"] else math.inf
        k = 1
        while k * every < years and k <= most:
            cost += renewal["each_minor"] * (step.ln() * k * every).exp()
            k += 1
    return cost


def over_the_years():
    service = Service()
    triples, horizons, paid = [], [], []
    for name, enquiry in fixtures().items():
        for years in (1, 12, 13, 25, 47, 60):
            answer = service.ask("/v1/compare", {**enquiry, "service_years": years})
            rate, growth = (Decimal(repr(answer[key])) for key in ("discount_rate", "price_growth"))
            options = {o["shell"]: o for o in answer["options"] if o["cost_over_years_minor"] is not None}
            for shell, option in options.items():
                theirs = float(present_cost(option, rate, growth, years))
                triples.append((f"{name} {shell} {years}", option["cost_over_years_minor"], theirs))
                triples.append((f"{name} {shell} a year", option["cost_per_year_minor"], theirs / years))
            for horizon in answer["horizons"]:
                for entry in horizon["options"]:
                    if entry["shell"] in options:
                        horizons.append((f"{name} {entry['shell']} {horizon['years']}", entry["cost_over_years_minor"],
                                         float(present_cost(options[entry["shell"]], rate, growth, horizon["years"]))))
            paid.append((f"{name} {years}", answer["paid_back_after_years"], year_paid_back(answer, options, rate, growth, years)))
    record.numbers("Cost over the years and for each, of all fixtures", "decimal arithmetic; " + GREEN_BOOK, triples,
                   absolute=1.0001, note="each total is rounded once to the smallest coin, a yearly one from it")
    record.numbers("The same at 10, 20, 30 and 40 years", "decimal arithmetic", horizons, absolute=0.5001)
    record.same("The year by which the dearer has paid for itself", "decimal arithmetic, year by year", paid)
    service.close()


def year_paid_back(answer, options, rate, growth, years):
    now, later = answer["cheapest_now"], answer["cheapest_over_years"]
    if now is None or later is None or now == later:
        return None
    cost = lambda shell, year: present_cost(options[shell], rate, growth, min(year + 1, years))
    first = years
    for year in range(years, 0, -1):
        if cost(later, year) > cost(now, year):
            break
        first = year
    return first


def handbook():
    """A region whose rate is a handbook's: what one renewal adds, over its price, is the table's factor."""
    def edition(rate):
        return lambda document: document.update(discount_rate=rate, price_growth=0)

    def every(years):
        def edit(shell):
            shell["renewals"] = [{**shell["renewals"][0], "every_years": years}]
        return edit

    for rate, table, source in ((0.03, {10: 0.744, 20: 0.554, 25: 0.478}, HANDBOOK),
                                (0.035, {10: 0.7089, 20: 0.5026, 25: 0.4231}, GREEN_BOOK)):
        triples = []
        for year, factor in table.items():
            service = Service(config_copy(("regions/demo-north/2026-10.json", edition(rate)),
                                          ("shells/epdm-liner.json", every(year))))
            answer = service.ask("/v1/compare", {**POND, "service_years": year + 1})
            option = next(o for o in answer["options"] if o["shell"] == "epdm-liner")
            added = option["cost_over_years_minor"] - option["price"]["gross_minor"]
            triples.append((f"year {year}", added / option["renewals"][0]["each_minor"], factor))
            service.close()
        places = 3 if rate == 0.03 else 4
        record.numbers(f"What one renewal adds at {100 * rate:g} %", source, triples, absolute=0.51 * 10 ** -places,
                       note=f"the table has {places} places")


# ---- carbon ----

# kg CO2e for each kg, as published; from memory, since the current issue is licensed.
V2 = {"synthetic rubber": 2.85, "PVC": 3.10, "polyethylene film": 2.60, "polypropylene": 3.43, "sawn softwood": 0.31,
      "steel, general": 1.46}
V3 = {"reinforcement": 1.99}
GENERAL_STONE = 0.079
FORECOURT_DIESEL_L = 2.57082


def factors():
    """Items whose source names one of the materials: mass of a unit by the table's factor."""
    items = [item for document in config_folder("items").values() for item in document["items"]]
    pairs, diesel, cement = [], [], []
    for item in items:
        source, factor = item.get("kgco2e_source", ""), item.get("kgco2e")
        for table, issue in ((V2, "v2"), (V3, "v3")):
            for material, per_kg in table.items():
                named = re.search(re.escape(material) + r" ([0-9.]+) per kg", source)
                if named and issue in source and item.get("kg") and "a third" not in source and "% of it" not in source:
                    pairs.append((item["id"], factor, per_kg * item["kg"]))
        if item["id"] == "diesel":
            diesel.append((item["id"], factor, FORECOURT_DIESEL_L))
        if item["id"] == "cement":
            cement.append((item["id"], factor, 0.832))
    record.numbers("Factors of sheets, pipes and steel", "ICE database v2, University of Bath, 2011, and v3, Circular Ecology, "
                   "2019: from memory; by mass", pairs, relative=0.02, note="the items are rounded to two or three places")
    record.numbers("Factor of diesel, a litre", "UK Government conversion factors 2025, forecourt diesel, tank only", diesel)
    record.numbers("Factor of cement, a kg", "ICE database v3, 2019, UK average cement: from memory", cement)


def missing_and_sums():
    """The sum of a build is its owner's list of needs by the factors of config; what has none makes it unknown."""
    service = Service(config_copy())
    by_item = {item["id"]: item.get("kgco2e") for document in config_folder("items").values() for item in document["items"]}
    triples, told, unknown = [], [], []
    for name, enquiry in fixtures().items():
        answer = service.ask("/v1/compare", enquiry)
        for option in answer["options"]:
            quote = service.ask("/v1/quote", {**answer["enquiry"], "shell": option["shell"]}, owner=True)
            needs = {entry["item"]: entry["quantity"] for entry in quote["costing"]["bought"]}
            same_bed = quote["takeoff"]["shell_area_m2"] and option["price"] == quote["price"]
            if not same_bed:  # a shell that the enquiry does not name may assume another bed
                continue
            known = sum(quantity * by_item[item] for item, quantity in needs.items() if by_item[item] is not None)
            lacking = {item for item in needs if by_item[item] is None}
            triples.append((f"{name} {option['shell']}", option["kgco2e_known"], known))
            told.append((f"{name} {option['shell']}", lacking <= set(option["kgco2e_missing"])))
            unknown.append((f"{name} {option['shell']}", (option["kgco2e"] is None) == bool(option["kgco2e_missing"])))
    record.numbers("Carbon of a build, from its owner's list of needs", "factors of config/items", triples, relative=1e-9,
                   absolute=1e-6)
    record.holds("Every item without a factor is named", "factors of config/items", told)
    record.holds("The total is unknown exactly where an item has no factor", "contract", unknown)
    service.close()


# ---- holidays ----

def by_law_since_2021(nation):
    """What python3-holidays 0.10.1 (January 2021) can't know, by the words of the acts. Juneteenth National Independence Day
    Act, June 2021: 19 June, on a Saturday kept on the Friday, on a Sunday on the Monday (5 U.S.C. 6103). Ireland, since
    2023: the first Monday of February, or 1 February where that is a Friday (Organisation of Working Time Act, schedule 2)."""
    added = set()
    for year in (2026, 2027, 2028):
        if nation == "united-states":
            day = datetime.date(year, 6, 19)
            added.add(day + datetime.timedelta({5: -1, 6: 1}.get(day.weekday(), 0)))
        if nation == "ireland":
            day = datetime.date(year, 2, 1)
            added.add(day if day.weekday() == 4 else day + datetime.timedelta((7 - day.weekday()) % 7))
    return added


def public_holidays():
    tables = {"england": holidays.England, "scotland": holidays.Scotland, "ireland": holidays.Ireland,
              "united-states": holidays.US}
    triples = []
    for region in ("demo-north", "demo-highland", "demo-isle", "demo-coast"):
        document = config_file("regions", region, "region.json")
        ours = {datetime.date.fromisoformat(day) for day in document["holidays"]}
        theirs = set(tables[document["nation"]](years=range(2026, 2029))) | by_law_since_2021(document["nation"])
        theirs = {day for day in theirs if min(ours) <= day <= max(ours) and day.weekday() < 5}
        triples.append((region, sorted(ours), sorted(theirs)))
        record.holds(f"Holidays of {region} reach to the end of 2028", COMMON_PRACTICE,
                     [("last", max(ours) >= datetime.date(2028, 12, 25))])
    record.same("Public holidays on weekdays, 2026 to 2028, of the four regions", "python3-holidays " + holidays.__version__ +
                ", and two acts that are younger than it", triples)


def main():
    for part in (over_the_years, handbook, factors, missing_and_sums, public_holidays):
        part()
    record.finish()


if __name__ == "__main__":
    main()
