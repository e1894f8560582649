"""Money worked out again, in Python's own integers and fractions, from config/ and the owner's view of a quote."""
import functools
import math
import os
from fractions import Fraction

from program import CONFIG, config_file, config_folder, read_json

COMPONENTS = ("material", "labour", "hire", "disposal", "service")


def half_up(value):
    """Nearest whole number, halves away from zero."""
    sign = -1 if value < 0 else 1
    return sign * ((abs(value) * 2 + 1) // 2)


@functools.lru_cache(maxsize=1 << 16)
def exactly(number):
    """A decimal as it is written in JSON."""
    return Fraction(str(number))


def to_step(amount, step):
    return half_up(Fraction(amount, step)) * step


def largest_remainder(total, weights):
    """Hamilton's method; ties go to the earlier."""
    if sum(weights) == 0:
        return [0] * len(weights)
    shares = [total * weight // sum(weights) for weight in weights]
    rests = [total * weight % sum(weights) for weight in weights]
    for place in sorted(range(len(weights)), key=lambda i: (-rests[i], i))[:total - sum(shares)]:
        shares[place] += 1
    return shares


class Prices:
    """Items and one edition's prices, in minor units as fractions."""

    def __init__(self, config=CONFIG):
        self.config = config
        self.items = {}
        for name in sorted(os.listdir(os.path.join(config, "items"))):
            for item in read_json(os.path.join(config, "items", name))["items"]:
                self.items[item["id"]] = item
        self.editions = {}

    def edition(self, region, edition):
        key = region, edition
        if key not in self.editions:
            document = read_json(os.path.join(self.config, "regions", region, edition + ".json"))
            document["minor"] = 10 ** read_json(os.path.join(self.config, "regions", region, "region.json"))["minor_digits"]
            self.editions[key] = document
        return self.editions[key]

    def pack_offers(self, item, edition, density):
        """(size, price) of each pack; a skip that its load would overweigh takes less."""
        offers = []
        for pack in item["packs"]:
            size = exactly(pack["size"])
            if "most_t" in pack and "density" in item and density:
                size = min(size, Fraction(half_up(Fraction(pack["most_t"]) / Fraction(density) * 10 ** 6), 10 ** 6))
            offers.append((pack["id"], size, exactly(edition["prices"][item["id"]][pack["id"]]) * edition["minor"]))
        return offers


def cheapest_cover(offers, need):
    """By brute force: every number of each pack but the last, and as many of the last as are still needed. Sizes in
    millionths, so that whole numbers do."""
    offers = [(int(size * 10 ** 6), price) for _, size, price in offers]
    scale = math.lcm(*(price.denominator for _, price in offers))
    offers = [(size, int(price * scale)) for size, price in offers]
    best = None

    def fill(place, left, cost):
        nonlocal best
        if best is not None and cost >= best:
            return
        if left <= 0:
            best = cost
            return
        if place == len(offers):
            return
        size, price = offers[place]
        most = -(-left // size)
        counts = (most,) if place == len(offers) - 1 else range(most, -1, -1)
        for count in counts:
            fill(place + 1, left - count * size, cost + count * price)

    fill(0, int(need * 10 ** 6), 0)
    return Fraction(best, scale)


def documents(folder, key):
    return [row for document in config_folder(folder).values() for row in document.get(key, [])]


def build_ups():
    return {row["id"]: row for row in documents("build-ups", "build_ups")}


def soils():
    return config_file("soils.json")["soils"]
