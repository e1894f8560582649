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
    """The summary of each bill as well, None where the enquiry is refused."""
    found = service.ask_all("/v1/quote", asked, owner=True, refusals=True,
                            take=lambda answer: (*Bill(answer).check(), summary(answer)))
    refused = [(json.dumps(result.args[1]["errors"][:1]), enquiry) for result, enquiry in zip(found, asked) if isinstance(result, Refused)]
    record.holds(f"{name}: accepted", "", [(f"{why} {enquiry}", False) for why, enquiry in refused] + [("", True)] * (len(asked) - len(refused)))
    bills = [(result, enquiry) for result, enquiry in zip(found, asked) if not isinstance(result, Refused)]
    record.holds(f"{name}: every figure of the bill again ({sum(result[0] for result, _ in bills)} figures)", ARITHMETIC,
                 [(f"{wrong[:2]} {json.dumps(enquiry)}", not wrong) for (_, wrong, _), enquiry in bills])
    return [None if isinstance(result, Refused) else result[2] for result in found]


# ---- more never costs less ----

def wider(outline):
    """An outline drawn larger by a tenth."""
    def larger(value):
        return [larger(part) for part in value] if isinstance(value, list) else round(value * 1.1, 4)

    return {key: value if key == "kind" else larger(value) for key, value in outline.items()}


def size_up(enquiry, chance):
    """One quantity of an enquiry larger, and the name of what grew."""
    grows = []
    pond = enquiry.get("pond")
    if pond:
        grows.append(("/pond/outline", wider(pond["outline"])))
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
    return {"region": answer["region"], "edition": answer["edition"], "shell": answer.get("shell"),
            "net": answer["price"] and answer["price"]["net_minor"], "direct": costing["direct_minor"],
            "half_days": costing["crew_half_days"],
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


def as_priced(enquiry, one):
    """The enquiry under the edition and with the shell of its bill: a choice made by price is not made again."""
    return merged(enquiry, {"edition": one["edition"], **({"shell": one["shell"]} if one["shell"] else {})})


def only_pennies(before, after):
    """Where the crew is paid for the same half-days, work that grows takes hours from those paid to fill them up. The
    cost is the same then, but each line's is rounded, and a penny may carry the price over a step of its rounding."""
    return before["half_days"] == after["half_days"] and before["direct"] - after["direct"] <= len(after["hours"]) / 2


def larger_is_never_cheaper(service, asked, bills):
    chance = random.Random(77)
    pairs = []
    for enquiry, one in zip(asked, bills):
        grown = size_up(enquiry, chance)
        if grown and one and one["net"] is not None:
            pairs.append((grown[0], enquiry, one, with_member(as_priced(enquiry, one), *grown)))
    after = service.ask_all("/v1/quote", [larger for *_, larger in pairs], owner=True, take=summary, refusals=True)
    cases, explained, falls = [], collections.Counter(), [0]
    for (pointer, enquiry, one, _), two in zip(pairs, after):
        if isinstance(two, Refused) or two["net"] is None:
            continue
        fell, less = two["net"] < one["net"], quantity_less(one, two)
        why = "another method is cheaper by itself" if method_changed(one, two) else "needs less of something" if less \
            else "the same half-days, and pennies" if only_pennies(one, two) else None
        if fell and why:
            explained[f"{pointer}: {why}"] += 1
            falls.append((one["net"] - two["net"]) / one["net"])
        cases.append((f"{pointer} up, net {one['net']} to {two['net']}, {less}: {json.dumps(enquiry)}",
                      not fell or why is not None))
    record.holds(f"a larger quantity never costs less, {len(cases)} pairs", "property of a fair price, no source", cases,
                 "; ".join(f"{count} x {why}" for why, count in sorted(explained.items())) +
                 f"; largest fall {max(falls):.2%}")


RAISED = sample(48, 12)
BASE = {region: editions[-1] for region, editions in enquiries.REGIONS.items()}


def edition_of(place):
    return f"{2030 + place // 12}-{place % 12 + 1:02d}"


def most_used(bills, edition):
    """The grades of an edition, and the items that most bills need."""
    used = collections.Counter(item for one in bills for item in one["needs"])
    return [("labour", grade) for grade in edition["labour"]] + \
           [("prices", item) for item, _ in used.most_common(RAISED - len(edition["labour"]))]


def service_with_raised(changes):
    """A service in which each change of a region, a price up by a tenth, has an edition of its own."""
    config = config_copy()
    for region, rows in changes.items():
        base = prices.edition(region, BASE[region])
        for place, (kind, what) in enumerate(rows):
            edition = {key: value for key, value in copy.deepcopy(base).items() if key != "minor"}
            edition["from"] = edition_of(place) + "-01"
            if kind == "labour":
                edition["labour"][what] = round(edition["labour"][what] * 1.1, 4)
            else:
                packs = edition["prices"][what].items()
                edition["prices"][what] = {pack: round(price * 1.1, 4) for pack, price in packs}
            path = os.path.join(config, "regions", region, edition_of(place) + ".json")
            with open(path, "w", encoding="utf-8") as file:
                json.dump(edition, file)
    return Service(config)


def check_raised(what, rows, service):
    """Rows of (name, enquiry as priced, its bill, place of the change, what is dearer)."""
    asked = [merged(enquiry, {"edition": edition_of(place)}) for _, enquiry, _, place, _ in rows]
    found = service.ask_all("/v1/quote", asked, owner=True, take=summary)
    cases, explained = [], collections.Counter()
    for (name, _, one, _, dearer), two in zip(rows, found):
        fell = two["net"] < one["net"]
        why = method_changed(one, two) or one["packs"] != two["packs"]
        if fell and why:
            explained[dearer] += 1
        cases.append((f"{name}: {dearer} dearer, net {one['net']} to {two['net']}", not fell or why))
    record.holds("a dearer price never makes a quote cheaper: " + what, "property of a fair price, no source", cases,
                 "; ".join(f"{count} x {dearer}, where another method or pack takes over"
                           for dearer, count in explained.items()))


def dearer_is_never_cheaper(asked, bills):
    """Prices a tenth higher, one at a time: each of them for the fixtures; for each random enquiry one that it pays."""
    chance = random.Random(10)
    base = service_with_raised({})
    fixed = {name: merged(enquiry, {"region": "demo-north", "edition": BASE["demo-north"]})
             for name, enquiry in fixtures().items()}
    quotes = {name: base.ask("/v1/quote", enquiry, owner=True) for name, enquiry in fixed.items()}
    base.close()
    fixed_bills = {name: summary(quote) for name, quote in quotes.items() if quote["price"]}
    drawn = [(enquiry, one) for enquiry, one in zip(asked, bills)
             if one and one["net"] is not None and one["edition"] == BASE[one["region"]]]
    changes = {region: most_used([*fixed_bills.values()] if region == "demo-north" else
                                 [one for _, one in drawn if one["region"] == region], prices.edition(region, edition))
               for region, edition in BASE.items()}
    service = service_with_raised(changes)
    check_raised(f"{len(changes['demo-north'])} prices up by a tenth, {len(fixed)} fixtures",
                 [(name, as_priced(fixed[name], one), one, place, what) for name, one in fixed_bills.items()
                  for place, (_, what) in enumerate(changes["demo-north"])], service)
    rows = []
    for enquiry, one in drawn:
        paid = [(place, what) for place, (kind, what) in enumerate(changes[one["region"]])
                if kind == "labour" or what in one["needs"]]
        rows.append((json.dumps(enquiry), as_priced(enquiry, one), one, *chance.choice(paid)))
    check_raised(f"a price up by a tenth in each of {len(rows)} random enquiries", rows, service)
    service.close()


def main():
    service = Service(config_copy())
    check_bills("fixtures", service, list(fixtures().values()))
    chance = random.Random(5000)
    asked = [enquiries.enquiry(chance) for _ in range(COUNT)]
    bills = check_bills(f"{COUNT} random enquiries", service, asked)
    larger_is_never_cheaper(service, asked, bills)
    service.close()
    dearer_is_never_cheaper(asked, bills)
    record.finish()


if __name__ == "__main__":
    main()
