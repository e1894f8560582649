"""Dates against an independent forward pass: random enquiries and fixtures, in four regions with their own holidays,
weather and frost. A job that a flag stops has no dates; its facts are answered so that none does."""
import datetime
import json
import random

import enquiries
from calendar_pass import Pass, number_of
from program import Service, config_copy, config_file, config_folder, fixtures, merged, sample
from record import COMMON_PRACTICE, Record

COUNT = sample(500)
PASS = "forward pass of tests/reference/calendar_pass.py with Python's datetime"
record = Record("programme")
RULES = {rule["id"]: rule for document in config_folder("rules").values() for rule in document["rules"]}
CLEAR = {"services_search": "done", "species_found": [], "species_records": [], "protected_area": [], "tree_protection": [], "rcd_30ma": True,
         "main_river_distance_m": 900, "watercourse_distance_m": 900, "watercourse_link": "none", "in_floodplain": False, "listed_curtilage": False,
         "rights_removed": False, "invasive_plant_seen": False, "ponds_within_500m": False, "designated_site_distance_m": 9000, "site_setting": "house-garden"}


def clear_enquiry(chance):
    enquiry = enquiries.enquiry(chance)
    year, month = chance.choice((2026, 2027, 2028)), chance.randint(1, 12)
    day = datetime.date(year, month, 1) + datetime.timedelta(days=chance.randint(0, 30))
    enquiry["start_on"] = max(day, datetime.date(2026, 12, 1)).isoformat()
    facts = dict(CLEAR)
    if chance.random() < 0.15:
        facts["trees_felled_m3"] = 6
    if chance.random() < 0.1:
        facts["tree_protection"] = ["conservation-area"]
        facts["tree_work"] = True
    enquiry["facts"] = facts
    return enquiry


def waited(answer):
    return max([RULES[flag["id"]].get("wait_days", 0) for flag in answer["flags"] if flag["raised_by"] == "fact"], default=0)


def compare(name, service, asked):
    answers = service.ask_all("/v1/quote", asked, owner=True)
    rows = {key: [] for key in ("visits", "crew_half_days", "elapsed_weeks", "start_on", "finish_on", "water_in_on", "tasks", "on_site_days")}
    frost, waits, stopped = [], [], []
    for enquiry, answer in zip(asked, answers):
        programme, own = answer["programme"], Pass(answer)
        label = f"{enquiry['region']} {enquiry.get('work')} from {enquiry.get('start_on')}"
        undisturbed = own.undisturbed()
        for key in ("visits", "elapsed_weeks"):
            rows[key].append((label, programme[key], undisturbed[key]))
        rows["crew_half_days"].append((label, answer["costing"]["crew_half_days"], undisturbed["crew_half_days"]))
        if programme["conditional_on"]:
            stopped.append((label, all(programme[key] is None for key in ("start_on", "finish_on", "water_in_on")) and
                            all(task["from"] is None and task["to"] is None for task in programme["tasks"])))
            continue
        dates = own.dates(waited(answer))
        for key in ("start_on", "finish_on", "water_in_on", "on_site_days"):
            rows[key].append((label, programme[key], dates[key]))
        rows["tasks"].append((label, {task["id"]: (task["from"], task["to"]) for task in programme["tasks"]}, dates["tasks"]))
        frost.append((f"{own.frost_broken(programme)} {label}", not own.frost_broken(programme)))
        waits.append((label, number_of(programme["start_on"]) >= number_of(answer["enquiry"]["start_on"]) + waited(answer)))
    for key, triples in rows.items():
        record.same(f"{name}: {key}", PASS, triples)
    record.holds(f"{name}: no task begins on a free day or in a month that frost forbids", COMMON_PRACTICE + ": months of the region", frost)
    record.holds(f"{name}: a permission's wait is waited out", "the notice periods that the rules name", waits)
    if stopped:
        record.holds(f"{name}: a stop flag promises no date", "promise of the documentation", stopped)


def every_start():
    """One small rendered pond that begins on each day of two years: ends of months, holidays, frosts and leap day."""
    pond = {"outline": {"kind": "circle", "diameter_m": 3.2}, "depth_m": 0.7, "profile": {"kind": "dish"}}
    first = datetime.date(2026, 11, 26)
    return [{"region": region, "issued_on": "2026-11-25", "start_on": (first + datetime.timedelta(day)).isoformat(), "shell": "rendered-concrete", "pond": pond,
             "facts": CLEAR} for day in range(0, 731, 731 // sample(731)) for region in ("demo-north", "demo-highland")]


def calendars():
    """Holidays of the demo regions, from their rules."""
    found = {region: set(config_file("regions", region, "region.json")["holidays"]) for region in enquiries.REGIONS}
    for year in (2027, 2028):
        easter = easter_sunday(year)
        days = {"demo-north": [easter - datetime.timedelta(2), easter + datetime.timedelta(1), nth(year, 5, 0, 1), last(year, 5, 0), last(year, 8, 0)],
                "demo-highland": [easter - datetime.timedelta(2), nth(year, 5, 0, 1), last(year, 5, 0), nth(year, 8, 0, 1)],
                "demo-coast": [nth(year, 1, 0, 3), nth(year, 2, 0, 3), last(year, 5, 0), nth(year, 9, 0, 1), nth(year, 11, 3, 4)],
                "demo-isle": [easter + datetime.timedelta(1), nth(year, 5, 0, 1), nth(year, 6, 0, 1), nth(year, 8, 0, 1), last(year, 10, 0)]}
        sources = {"demo-north": "Banking and Financial Dealings Act 1971, Schedule 1, England and Wales", "demo-highland": "Banking and Financial Dealings Act 1971, Schedule 1, Scotland",
                   "demo-coast": "5 U.S.C. 6103", "demo-isle": "Organisation of Working Time Act 1997, Second Schedule"}
        for region, dates in days.items():
            record.holds(f"movable holidays of {region} in {year}", sources[region] + ", from memory; Easter by Meeus, Jones and Butcher",
                         [(date.isoformat(), date.isoformat() in found[region]) for date in dates])


def easter_sunday(year):
    a, b, c = year % 19, year // 100, year % 100
    d, e, f = b // 4, b % 4, (b + 8) // 25
    g, h = (b - f + 1) // 3, 0
    h = (19 * a + b - d - g + 15) % 30
    i, k = c // 4, c % 4
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    return datetime.date(year, (h + m - 7 * n + 114) // 31, (h + m - 7 * n + 114) % 31 + 1)


def nth(year, month, weekday, count):
    first = datetime.date(year, month, 1)
    return first + datetime.timedelta((weekday - first.weekday()) % 7 + 7 * (count - 1))


def last(year, month, weekday):
    end = datetime.date(year + month // 12, month % 12 + 1, 1) - datetime.timedelta(1)
    return end - datetime.timedelta((end.weekday() - weekday) % 7)


def main():
    service = Service(config_copy())
    chance = random.Random(1997)
    compare("fixtures", service, [merged(enquiry, {"facts": {"services_search": "done"}}) for enquiry in fixtures().values()])
    compare(f"{COUNT} random enquiries", service, [clear_enquiry(chance) for _ in range(COUNT)])
    compare("a rendered pond begun on each day of two years", service, every_start())
    calendars()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()
