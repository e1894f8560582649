"""Bills that add up. Fixtures and 5,000 random enquiries are quoted with the owner's view, and everything from hours and
packs to the amount that the client pays is worked out again in whole numbers and fractions; then quantities and prices
are raised, and the total must not fall."""
import collections
import copy
import json
import os
import random
from fractions import Fraction

import costs
import enquiries
from costs import COMPONENTS, exactly, half_up, largest_remainder, to_step
from program import Refused, Service, config_copy, fixtures, merged, sample, with_member
from record import Record

ARITHMETIC = "whole numbers and fractions of Python's standard library"
COUNT = sample(5000)
record = Record("money")
prices = costs.Prices()
BUILD_UPS = costs.build_ups()


class Bill:
    """One quote with the owner's view, and what is wrong with it."""

    def __init__(self, answer):
        self.answer = answer
        self.edition = prices.edition(answer["region"], answer["edition"])
        self.minor = self.edition["minor"]
        self.price = answer["price"]
        self.costing = answer["costing"]
        self.wrong = []
        self.checks = 0

    def same(self, what, ours, theirs):
        self.checks += 1
        if ours != theirs:
            self.wrong.append(f"{what}: ours {ours}, theirs {theirs}")

    def check(self):
        self.adds_up()
        self.lines_again()
        self.shares_again()
        self.tax_again()
        self.payment_again()
        return self.checks, self.wrong

    def adds_up(self):
        lines = [line for section in self.answer["sections"] for line in section["lines"]]
        for section in self.answer["sections"]:
            self.same("lines to section " + section["id"], section["amount_minor"], sum(line["amount_minor"] for line in section["lines"]))
        self.same("public and owner's lines", sorted((line["build_up"], line["amount_minor"]) for line in lines),
                  sorted((line["build_up"], line["amount_minor"]) for line in self.costing["lines"]))
        if not self.price:
            return
        self.same("sections to net", self.price["net_minor"], sum(section["amount_minor"] for section in self.answer["sections"]))
        self.same("net and tax to gross", self.price["gross_minor"], self.price["net_minor"] + self.price["tax_minor"])
        self.same("headline", self.price["headline_minor"], to_step(self.price["gross_minor"], int(exactly(self.edition["headline_round"]) * self.minor)))
        self.same("net is a whole step", self.price["net_minor"] % int(exactly(self.edition["round_net"]) * self.minor), 0)
        self.same("not under the minimum", self.price["net_minor"] >= int(exactly(self.edition["minimum_charge"]) * self.minor) - self.step() // 2, True)

    def step(self):
        return int(exactly(self.edition["round_net"]) * self.minor)

    def lines_again(self):
        """Labour from hours; items from what the whole job buys, shared by need."""
        crew = self.edition["crew"]
        rates = {grade: Fraction(half_up(exactly(rate) * self.minor * 1000 * exactly(crew["paid_h"]) / exactly(crew["productive_h"])), 1000)
                 for grade, rate in self.edition["labour"].items()}
        needs = collections.defaultdict(list)
        for line in self.costing["lines"]:
            self.same("labour of " + line["build_up"], line["labour_minor"], sum(half_up(exactly(hours) * rates[grade]) for grade, hours in line["hours"].items()))
            by_component = collections.Counter()
            for item in line["items"]:
                needs[item["item"]].append((exactly(item["quantity"]), item["cost_minor"]))
                by_component[prices.items[item["item"]]["component"]] += item["cost_minor"]
            if line["items"]:
                for component in COMPONENTS:
                    if component != "labour":
                        self.same(f"{component} of {line['build_up']}", line[component + "_minor"], by_component[component])
        self.items_again(needs)

    def items_again(self, needs):
        bought = {item["item"]: item for item in self.costing["bought"]}
        self.same("items of lines and items bought", sorted(needs), sorted(bought))
        for name, rows in needs.items():
            item = prices.items[name]
            total = sum(quantity for quantity, _ in rows)
            self.same("need of " + name, exactly(bought[name]["quantity"]), total)
            wanted = max(total, exactly(item.get("minimum", 0)))
            offers = prices.pack_offers(item, self.edition, self.answer["takeoff"].get(item.get("density"), 0))
            sizes, priced = {pack: size for pack, size, _ in offers}, {pack: price for pack, _, price in offers}
            packs = {pack["pack"]: pack["count"] for pack in bought[name]["packs"]}
            held = sum(sizes[pack] * count for pack, count in packs.items())
            self.same(f"{name} bought is enough", held >= wanted, True)
            cost = sum(priced[pack] * count for pack, count in packs.items())
            if total <= 4000 * min(sizes.values()):
                self.same(f"{name}: no cheaper cover of {float(wanted)}", cost, costs.cheapest_cover(sorted(offers, key=lambda o: -o[1]), wanted))
            if item.get("delivery"):
                cost += exactly(self.edition["prices"][name]["delivery"]) * self.minor
            amount = half_up(cost)
            if "short_below" in item and total < exactly(item["short_below"]):
                amount += half_up((exactly(item["short_below"]) - wanted) * exactly(self.edition["prices"][name]["short"]) * self.minor)
            self.same("cost of " + name, bought[name]["cost_minor"], amount)
            self.same("shares of " + name, [minor for _, minor in rows], largest_remainder(amount, [int(quantity * 10 ** 6) for quantity, _ in rows]))

    def shares_again(self):
        shares, costing = self.edition["shares"], self.costing
        self.same("direct", costing["direct_minor"], sum(line["cost_minor"] for line in costing["lines"]))
        so_far = costing["direct_minor"]
        for share in ("overhead", "risk", "margin"):
            self.same(share, costing[share + "_minor"], half_up(so_far * exactly(shares[share])))
            so_far += costing[share + "_minor"]
        cells = [(place, component) for place, line in enumerate(costing["lines"]) for component in COMPONENTS if line[component + "_minor"] > 0]
        spread = largest_remainder(so_far - costing["direct_minor"], [costing["lines"][place][component + "_minor"] for place, component in cells])
        self.paid = collections.Counter()
        for (place, component), share in zip(cells, spread):
            self.paid[place, component] = costing["lines"][place][component + "_minor"] + share
        for place, line in enumerate(costing["lines"]):
            if line["cost_minor"]:
                self.same("amount of " + line["build_up"], line["amount_minor"], sum(self.paid[place, component] for component in COMPONENTS))

    def tax_again(self):
        tax = self.edition["tax"]
        if not self.price:
            self.same("no price, no tax", self.answer["taxes"], [])
            return
        if not tax["registered"]:
            self.same("not registered, no tax", (self.price["tax_minor"], self.answer["taxes"]), (0, []))
            return
        over = "share_rule" in tax and sum(paid for (_, component), paid in self.paid.items() if component == "material") > \
            half_up(self.price["net_minor"] * exactly(tax["share_rule"]["materials_over"]))
        nets = collections.Counter()
        for place, line in enumerate(self.costing["lines"]):
            own = line["cost_minor"] == 0 and line["amount_minor"] != 0
            parts = {"service": line["amount_minor"]} if own else {component: self.paid[place, component] for component in COMPONENTS}
            for component, amount in parts.items():
                kind = tax["of"]["sums" if own and line["section"] == "provisional-sums" else component]
                nets[tax["share_rule"]["then"] if over else kind] += amount
        rates = {row["id"]: exactly(row["rate"]) for row in tax["classes"]}
        self.same("tax by class", {row["class"]: (row["net_minor"], row["tax_minor"]) for row in self.answer["taxes"]},
                  {kind: (net, half_up(net * rates[kind])) for kind, net in nets.items() if net})
        self.same("classes to tax", self.price["tax_minor"], sum(row["tax_minor"] for row in self.answer["taxes"]))

    def payment_again(self):
        if self.price:
            self.same("stages of payment", sum(stage["amount_minor"] for stage in self.answer["payment"]), self.price["gross_minor"])


def check_bills(name, service, asked):
    found = service.ask_all("/v1/quote", asked, owner=True, take=lambda answer: Bill(answer).check(), refusals=True)
    refused = [(json.dumps(result.args[1]["errors"][:1]), enquiry) for result, enquiry in zip(found, asked) if isinstance(result, Refused)]
    record.holds(f"{name}: accepted", "", [(f"{why} {enquiry}", False) for why, enquiry in refused] + [("", True)] * (len(asked) - len(refused)))
    bills = [(result, enquiry) for result, enquiry in zip(found, asked) if not isinstance(result, Refused)]
    record.holds(f"{name}: every figure of the bill again ({sum(result[0] for result, _ in bills)} figures)", ARITHMETIC,
                 [(f"{wrong[:2]} {json.dumps(enquiry)}", not wrong) for (_, wrong), enquiry in bills])


# ---- more never costs less ----

def size_up(enquiry, chance):
    """One quantity of an enquiry larger, and the name of what grew."""
    grows = []
    pond = enquiry.get("pond")
    if pond:
        grows += [("/pond/depth_m", round(pond["depth_m"] * 1.15, 2))] if pond.get("profile", {}).get("kind") != "stepped" else []
    if "stream" in enquiry:
        grows += [("/stream/length_m", enquiry["stream"]["length_m"] * 1.2), ("/stream/rockwork_t", 30)]
    for pointer, value in (("/site/carry_m", 150), ("/site/travel_km", None), ("/site/reinstate_m2", 150), ("/site/supply_run_m", 80), ("/equipment/lights", 9)):
        section, name = pointer.strip("/").split("/")
        held = enquiry.get(section, {}).get(name)
        if held is not None:
            grows.append((pointer, value if value else held * 1.3 if held > 120 or held * 1.3 <= 120 else 120))
    if "old_pond" in enquiry and "silt_depth_m" in enquiry["old_pond"]:
        grows.append(("/old_pond/silt_depth_m", enquiry["old_pond"]["silt_depth_m"] + 0.1))
    return chance.choice(grows) if grows else None


def summary(answer):
    costing = answer["costing"]
    return {"net": answer["price"] and answer["price"]["net_minor"], "direct": costing["direct_minor"], "half_days": costing["crew_half_days"],
            "methods": sorted(line["build_up"] for line in costing["lines"] if line["build_up"] not in ("half-days", "rounding", "minimum-charge")),
            "packs": sorted((item["item"], pack["pack"], pack["count"]) for item in costing["bought"] for pack in item["packs"]),
            "needs": {item["item"]: item["quantity"] for item in costing["bought"]},
            "hours": {line["build_up"]: sum(line["hours"].values()) for line in costing["lines"]}}


def method_changed(before, after):
    return before["methods"] != after["methods"]


def quantity_less(before, after):
    """Work or things that the larger job needs less of."""
    return sorted([name for name, need in before["needs"].items() if after["needs"].get(name, 0) < need - 1e-6] +
                  [name for name, hours in before["hours"].items() if name != "half-days" and after["hours"].get(name, 0) < hours - 1e-6])


def larger_is_never_cheaper(service):
    chance = random.Random(77)
    pairs = []
    while len(pairs) < sample(600):
        enquiry = enquiries.enquiry(chance)
        if "shell" not in enquiry and enquiry["work"] in ("new", "rebuild", "reline"):
            continue
        grown = size_up(enquiry, chance)
        if grown:
            pairs.append((grown[0], enquiry, with_member(enquiry, *grown)))
    before = service.ask_all("/v1/quote", [a for _, a, _ in pairs], owner=True, take=summary)
    after = service.ask_all("/v1/quote", [b for _, _, b in pairs], owner=True, take=summary, refusals=True)
    cases, explained, falls = [], collections.Counter(), [0]
    for (pointer, enquiry, _), one, two in zip(pairs, before, after):
        if isinstance(two, Refused) or one["net"] is None or two["net"] is None:
            continue
        fell = two["net"] < one["net"]
        why = "another method is cheaper by itself" if method_changed(one, two) else "needs less of something" if quantity_less(one, two) else None
        if fell and why:
            explained[f"{pointer}: {why}"] += 1
            falls.append((one["net"] - two["net"]) / one["net"])
        cases.append((f"{pointer} up, net {one['net']} to {two['net']}, {quantity_less(one, two)}: {json.dumps(enquiry)}", not fell or why is not None))
    record.holds(f"a larger quantity never costs less, {len(cases)} pairs", "property of a fair price, no source", cases,
                 "; ".join(f"{count} x {why}" for why, count in sorted(explained.items())) + f"; largest fall {max(falls):.2%}")


RAISED = sample(48, 12)


def dearer_is_never_cheaper():
    """Each price of an edition a tenth higher, one at a time, as an edition of its own."""
    base = prices.edition("demo-north", "2026-10")
    asked = {name: merged(enquiry, {"region": "demo-north", "edition": "2026-10"}) for name, enquiry in fixtures().items()}
    service = Service(config_copy())
    quotes = {name: service.ask("/v1/quote", enquiry, owner=True) for name, enquiry in asked.items()}
    service.close()
    used = collections.Counter(item["item"] for quote in quotes.values() for item in quote["costing"]["bought"])
    raised = [item for item, _ in used.most_common(RAISED - len(base["labour"]))]
    changes = [("labour", grade) for grade in base["labour"]] + [("prices", item) for item in raised]
    config = config_copy()
    names = [f"{2030 + place // 12}-{place % 12 + 1:02d}" for place in range(len(changes))]
    for name, (kind, what) in zip(names, changes):
        edition = {key: value for key, value in copy.deepcopy(base).items() if key != "minor"}
        edition["from"] = name + "-01"
        if kind == "labour":
            edition["labour"][what] = round(edition["labour"][what] * 1.1, 4)
        else:
            edition["prices"][what] = {pack: round(price * 1.1, 4) for pack, price in edition["prices"][what].items()}
        with open(os.path.join(config, "regions", "demo-north", name + ".json"), "w", encoding="utf-8") as file:
            json.dump(edition, file)
    service = Service(config)
    cases, explained = [], collections.Counter()
    for fixture, enquiry in asked.items():
        if quotes[fixture].get("shell"):
            enquiry = with_member(enquiry, "/shell", quotes[fixture]["shell"])
        one = summary(quotes[fixture])
        found = service.ask_all("/v1/quote", [with_member(enquiry, "/edition", name) for name in names], owner=True, take=summary)
        for (kind, what), two in zip(changes, found):
            if one["net"] is None:
                continue
            fell = two["net"] < one["net"]
            why = method_changed(one, two) or one["packs"] != two["packs"]
            if fell and why:
                explained[what] += 1
            cases.append((f"{fixture}: {what} dearer, net {one['net']} to {two['net']}", not fell or why))
    service.close()
    record.holds(f"a dearer price never makes a quote cheaper: {len(changes)} prices up by a tenth, {len(asked)} fixtures", "property of a fair price, no source",
                 cases, "; ".join(f"{count} x {what}, where another method or pack takes over" for what, count in explained.items()))


def main():
    service = Service(config_copy())
    check_bills("fixtures", service, list(fixtures().values()))
    chance = random.Random(5000)
    check_bills(f"{COUNT} random enquiries", service, [enquiries.enquiry(chance) for _ in range(COUNT)])
    larger_is_never_cheaper(service)
    service.close()
    dearer_is_never_cheaper()
    record.finish()


if __name__ == "__main__":
    main()
