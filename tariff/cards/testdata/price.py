#!/usr/bin/env python3
"""Prices parcels by the folders of price cards, from docs/formats/tariff.md alone.

It shares nothing with the program but that page: another language, its own reader of units, fractions instead of
whole numbers of 128 bits. It reads JSON on its input, {"cards": folder, "parcels": [...]}, and writes one answer a parcel:
[rule broken or "", total in minor units, billed mass in nanograms].
"""
import csv
import json
import os
import re
import sys
import tomllib
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

LENGTH = {"nm": 1, "mm": 10**6, "cm": 10**7, "m": 10**9, "in": 25_400_000, "ft": 304_800_000}
MASS = {"ng": 1, "mg": 10**6, "g": 10**9, "kg": 10**12, "oz": 28_349_523_125, "lb": 453_592_370_000}
VOLUME = {"um3": 1, "mm3": 10**9, "cm3": 10**12, "l": 10**15, "dm3": 10**15, "m3": 10**18, "in3": 25_400**3, "ft3": 1728 * 25_400**3}
UNITS = {"length": LENGTH, "mass": MASS, "volume": VOLUME}
MINOR = {"USD": 2, "EUR": 2, "NOK": 2}


def quantity(text, kind):
    """A text with a unit as a whole number of base units, to the nearest; whole numbers stand for themselves."""
    if isinstance(text, int):
        return text
    number, unit = re.fullmatch(r"([0-9 ./]+?)\s*([a-z]+3?)", text.strip().replace("³", "3")).groups()
    total = sum((Fraction(part) for part in number.split()), Fraction(0))
    return floor(total * UNITS[kind][unit] + Fraction(1, 2))


def kind_of(measure):
    return {"volume": "volume", "mass": "mass", "value": "money"}.get(measure, "length")


def bound(b):
    out = {"form": b.get("form", ""), "measure": b["measure"]}
    for word in ("min", "over", "max", "under"):
        if word in b:
            out[word] = b[word] if kind_of(b["measure"]) == "money" else quantity(b[word], kind_of(b["measure"]))
    return out


def minor(text, currency):
    value = Decimal(text).scaleb(MINOR[currency])
    assert value == value.to_integral_value(), text
    return int(value)


def rows_of(folder, name):
    with open(os.path.join(folder, name), newline="", encoding="utf-8") as f:
        return list(csv.DictReader(f))


def prices_of(folder, card, service):
    """The table as (kind, rounding, zones, [(step, {zone: minor units})]), sorted by step."""
    p = service["prices"]
    table, zones = {}, []
    for row in rows_of(folder, p["file"]):
        if "only" in p and row["service"] != p["only"]:
            continue
        step = quantity(row["step"], p["by"]) if p["by"] != "piece" else 0
        if row["zone"] not in zones:
            zones.append(row["zone"])
        if row["price"] != "-":
            table.setdefault(step, {})[row["zone"]] = minor(row["price"], card["currency"])
        else:
            table.setdefault(step, {})
    r = p.get("round", {})
    return p["by"], (quantity(r["step"], "length") if r else 0, r.get("mode", "")), zones, sorted(table.items())


class Card:
    def __init__(self, folder):
        with open(os.path.join(folder, "card.toml"), "rb") as f:
            self.head = tomllib.load(f)
        self.zones = []  # [name, country, prefix, rows]
        for name in self.head.get("zone_files", []):
            for row in rows_of(folder, name):
                key = [row["table"], row["origin_country"], row["origin_prefix"]]
                for table in self.zones:
                    if table[:3] == key:
                        break
                else:
                    table = key + [[]]
                    self.zones.append(table)
                table[3].append(row)
        self.services = {}
        for s in self.head["services"]:
            s["table"] = prices_of(folder, self.head, s)
            s["bounds"] = [bound(b) for b in s.get("limits", [])]
            for fee in s.get("surcharges", []):
                fee["bounds"] = [bound(b) for b in fee.get("when", [])]
            cover = s.get("cover")
            if cover is not None:
                cover["steps"] = []
                if "file" in cover:
                    cover["steps"] = [(minor(r["up_to"], self.head["currency"]), minor(r["price"], self.head["currency"])) for r in rows_of(folder, cover["file"])]
            self.services[s["id"]] = s


def tidy(postcode):
    return postcode.replace(" ", "").replace("-", "").upper()


def zone_of(card, name, origin, to):
    """The rule broken, the zone and its heaviest parcel."""
    for table, country, prefix, rows in card.zones:
        if table != name or country not in ("", origin[0]) or not tidy(origin[1]).startswith(tidy(prefix)):
            continue
        code = tidy(to[1]).encode()
        for r in rows:
            if r["country"] not in ("", to[0]):
                continue
            lo, hi = r["from"].encode(), r["to"].encode()
            if lo and (len(code) < len(lo) or not lo <= code[: len(lo)] <= hi):
                continue
            return "", r["zone"], quantity(r["most"], "mass") if r["most"] else None
        return "zone.destination", "", None
    return "zone.origin", "", None


def measured(p, measure):
    l, w, h = sorted(p["sides"], reverse=True)
    if p["form"] == "cylinder" and w == h:
        girth = ceil(Fraction(w * 3_141_593, 1_000_000))
    else:
        girth = 2 * (w + h)
    return {
        "length": l, "width": w, "height": h, "girth": girth, "length+girth": l + girth, "length+width+height": l + w + h,
        "length+2diameter": l + 2 * w, "volume": Fraction(l * w * h, 10**9), "mass": p["mass"], "value": p["value"],
    }[measure]


def within(p, b):
    v = measured(p, b["measure"])
    return ("min" not in b or v >= b["min"]) and ("over" not in b or v > b["over"]) and ("max" not in b or v <= b["max"]) and ("under" not in b or v < b["under"])


def rounded(x, step, mode):
    if not step:
        return x
    if mode == "up":
        return ceil(Fraction(x, step)) * step
    if mode == "down":
        return x // step * step
    return floor(Fraction(x, step) + Fraction(1, 2)) * step


def dimensional(d, p):
    r = d.get("round", {})
    step = quantity(r["step"], "length") if r else 0
    v = Fraction(1, 10**9)
    for side in p["sides"]:
        v *= rounded(side, step, r.get("mode", ""))
    if p["form"] == "cylinder" and "cylinder" in d:
        v *= Fraction(d["cylinder"]["num"], d["cylinder"]["den"])
    if v <= quantity(d.get("over", 0), "volume"):
        return 0
    step = quantity(d.get("step", 1), "mass")
    mass = v / quantity(d["divisor"]["volume"], "volume") * quantity(d["divisor"]["mass"], "mass")
    mass = ceil(mass / step) * step
    return min(mass, quantity(d["most"], "mass")) if "most" in d else mass


def cover_price(c, value):
    """The price, or None when that much is not sold."""
    if value <= 0:
        return 0
    if c is None:
        return None
    if value <= c.get("included", 0):
        return 0
    steps, per = c["steps"], c.get("per", 0)
    most = c.get("most")
    if most is None and not per:
        most = max([c.get("included", 0)] + [s[0] for s in steps[-1:]])
    if most is not None and value > most:
        return None
    for up_to, price in steps:
        if value <= up_to:
            return price
    if not per:
        return None
    up_to, price = steps[-1] if steps else (0, 0)
    return price + ceil(Fraction(value - up_to, per)) * c.get("per_price", 0)


def fees(s, p):
    groups, total = {}, 0
    for fee in s.get("surcharges", []):
        if fee.get("form", p["form"]) != p["form"] or fee.get("stiff", p["stiff"]) != p["stiff"]:
            continue
        if not all((b["form"] in ("", p["form"])) and within(p, b) for b in fee["bounds"]):
            continue
        if fee.get("group"):
            groups[fee["group"]] = max(groups.get(fee["group"], 0), fee["amount"])
        else:
            total += fee["amount"]
    return total + sum(groups.values())


def price(card, p):
    s = card.services[p["service"]]
    origin, to = p["from"], p["to"]
    abroad = origin[0] != to[0]
    if s.get("abroad", abroad) != abroad or to[0] not in s.get("countries", [to[0]]):
        return "service.destination", 0, 0
    zone, most = "", None
    if "zones" in s:
        rule, zone, most = zone_of(card, s["zones"], origin, to)
        if rule:
            return rule, 0, 0
    by, rounding, zones, rows = s["table"]
    column = zones[0] if zones == [""] else zone
    if column not in zones:
        return "price.zone", 0, 0
    if most is not None and p["mass"] > most:
        return "zone.mass", 0, 0
    if any(c != s["class"] for c in p["issued"]):
        return "service.issued", 0, 0
    if s.get("container", "") != p["container"]:
        return "service.container", 0, 0
    if p["form"] not in s.get("forms", [p["form"]]):
        return "service.form", 0, 0
    if s.get("flexible") and p["stiff"]:
        return "service.flexible", 0, 0
    for b in s["bounds"]:
        if b["form"] in ("", p["form"]) and not within(p, b):
            return "limit." + b["measure"], 0, 0
    if p["tracking"] and not s.get("tracking"):
        return "service.tracking", 0, 0
    billed = 0
    if by == "mass":
        size = billed = max(p["mass"], dimensional(s["dimensional"], p) if "dimensional" in s else 0)
    elif by == "volume":
        size = Fraction(1, 10**9)
        for side in p["sides"]:
            size *= rounded(side, *rounding)
    else:
        size = 0
    for step, cells in rows:
        if size <= step:
            break
    else:
        return "price.step", 0, 0
    if column not in cells:
        return "price.dash", 0, 0
    total = cells[column] + fees(s, p)
    cover = cover_price(s.get("cover"), p["cover"])
    if cover is None:
        return "cover.most", 0, 0
    total += cover
    if p["signature"]:
        if "signature" not in s:
            return "service.signature", 0, 0
        total += s["signature"]
    return "", total, billed


def main():
    asked = json.load(sys.stdin)
    cards = {}
    answers = []
    for p in asked["parcels"]:
        if p["card"] not in cards:
            cards[p["card"]] = Card(os.path.join(asked["cards"], p["card"]))
        answers.append(price(cards[p["card"]], p))
    json.dump(answers, sys.stdout)


main()
