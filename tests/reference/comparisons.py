#!/usr/bin/python3
"""Prints the table of tests/README.md that compares all shells over all fixtures, from what the program says.

    tests/reference/comparisons.py PROGRAM CONFIG FIXTURES"""
import json
import os
import re
import subprocess
import sys

SHELLS = ["epdm-liner", "reinforced-pe-liner", "pvc-liner", "puddled-clay", "plain-concrete", "rendered-concrete"]
SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}
DAY = "2026-11-25"  # of fixtures without a date of their own


def asked(program, config, enquiry):
    done = subprocess.run([program, "compare", "--config", config, "-"], input=json.dumps(enquiry), capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def cell(minor, unsuitable):
    return "-" if minor is None else f"{minor / 100:,.0f}" + ("\\*" if unsuitable else "")


def row(options, figure):
    return " | ".join(cell(figure(options[shell]), options[shell]["unsuitable"]) for shell in SHELLS)


def verdict(answer):
    if answer["cheapest_now"] is None:
        return "nothing can be built"
    paid_back = answer["paid_back_after_years"]
    return f"{answer['cheapest_now']}; {answer['cheapest_over_years']}" + (f" ({paid_back} y)" if paid_back else "")


def print_fixture(name, answer):
    if not answer.get("options"):
        print(f"| {name} | | " + " | ".join(["-"] * len(SHELLS)) + " | lays no shell |")
        return
    options = {option["shell"]: option for option in answer["options"]}
    later = {years["years"]: {option["shell"]: option["cost_over_years_minor"] for option in years["options"]} for years in answer["horizons"]}
    print(f"| {name} | now, {SIGNS[answer['currency']]} | {row(options, lambda option: option['price'] and option['price']['gross_minor'])} | {verdict(answer)} |")
    print(f"| | 25 years | {row(options, lambda option: option['cost_over_years_minor'])} | |")
    print(f"| | 40 years | {row(options, lambda option: later[40][option['shell']])} | " +
          "; ".join(f"{years['years']}: {years['cheapest'] or 'none'}" for years in answer["horizons"]) + " |")


def in_order(name):
    number, letter = re.match(r"(\d+)(\w?)", name).groups()
    return int(number), letter


def main(program, config, fixtures):
    print("| fixture | | " + " | ".join(SHELLS) + " | cheapest now; over 25 years (paid back in) |")
    print("|---|---|" + "---:|" * len(SHELLS) + "---|")
    for name in sorted((name for name in os.listdir(fixtures) if re.match(r"\d", name)), key=in_order):
        with open(os.path.join(fixtures, name, "enquiry.json"), encoding="utf-8") as file:
            print_fixture(name, asked(program, config, {"issued_on": DAY, **json.load(file)}))


if __name__ == "__main__":
    main(*sys.argv[1:])
