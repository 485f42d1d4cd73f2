"""Exact money by Python's decimal, CSV by Python's csv, currencies by Babel's CLDR data: the outside judge of tests/money.rs.

Reads a list of cases and prints what is wrong with each, or null.
"""

import csv
import decimal
import io
import json
import sys
from decimal import Decimal

from babel import Locale
from babel.numbers import get_currency_precision

decimal.getcontext().prec = 80
ROUNDING = {
    "half-even": decimal.ROUND_HALF_EVEN,
    "half-up": decimal.ROUND_HALF_UP,
    "half-down": decimal.ROUND_HALF_DOWN,
    "up": decimal.ROUND_UP,
    "down": decimal.ROUND_DOWN,
}


def to_minor(value, decimals, rounding):
    """Whole minor units of an exact value in whole units."""
    return int((value * Decimal(10) ** decimals).quantize(Decimal(1), rounding=ROUNDING[rounding]))


def times(case):
    value = Decimal(case["quantity"]) * Decimal(case["each"])
    return to_minor(value, case["decimals"], case["rounding"])


def percent(case):
    value = Decimal(case["minor"]) / Decimal(10) ** case["decimals"] * Decimal(case["percent"]) / 100
    return to_minor(value, case["decimals"], case["rounding"])


def plus(case):
    return sum(case["all"])


def text(case):
    """The number that a text means; the program gives its minor units and writes it again."""
    return to_minor(Decimal(case["text"]), case["decimals"], "half-even")


def rows(case):
    return [row for row in csv.reader(io.StringIO(case["csv"], newline=""))]


def currency(case):
    """Decimals as CLDR has them, or -1 for a code that it does not know."""
    names = Locale("en").currencies
    return get_currency_precision(case["code"]) if case["code"] in names else -1


def estimate(case):
    """Everything that an estimate shows, worked out again from quantities, prices and percentages."""
    money, wrong = case["money"], []
    decimals, rounding = money["decimals"], money["rounding"]
    unit = Decimal(10) ** decimals
    sums = {}
    for line in money["lines"]:
        amount = to_minor(Decimal(line["quantity"]) * Decimal(line["price_each"]), decimals, rounding)
        if amount != Decimal(line["amount"]) * unit:
            wrong.append([line["what"], amount, line["amount"]])
        sums[line["category"]] = sums.get(line["category"], 0) + amount
    net = tax = 0
    exact = Decimal(0)
    for name, one in money["by_category"].items():
        mine = sums.pop(name, 0)
        part = Decimal(mine) * Decimal(one["tax_percent"]) / 100
        rounded = int(part.quantize(Decimal(1), rounding=ROUNDING[rounding]))
        if [mine, rounded] != [int(Decimal(one["net"]) * unit), int(Decimal(one["tax"]) * unit)]:
            wrong.append([name, mine, rounded, one])
        net, tax, exact = net + mine, tax + rounded, exact + mine + part
    if sums:
        wrong.append(["categories without a sum", sorted(sums)])
    shown = [Decimal(money[name]) * unit for name in ("net", "tax", "total")]
    if shown != [net, tax, net + tax]:
        wrong.append(["totals", net, tax, [str(value) for value in shown]])
    # The program's number for the same plan, exact, in 1/100000 of a minor unit.
    if Decimal(case["program"]) != exact * 100000:
        wrong.append(["program", case["program"], str(exact)])
    most = Decimal("0.5") if rounding.startswith("half") else Decimal(1)
    taxed = sum(1 for one in money["by_category"].values() if Decimal(one["tax_percent"]) > 0)
    if abs(net + tax - exact) > most * taxed:
        wrong.append(["total and program differ by", str(net + tax - exact)])
    days = case["days"]
    seconds = sum(case["hours"]["by_skill_s"].values())
    if seconds != case["hours"]["planned_s"]:
        wrong.append(["skills", seconds])
    hands, day = case["hands"], case["day_seconds"]
    top = days["lead_days"] * hands * day + seconds + hands * sum(days["waits_s"].values())
    if [top, hands * day] != [days["numerator"], days["denominator"]]:
        wrong.append(["days", top, hands * day])
    return wrong


JUDGE = {
    "times": times, "percent": percent, "plus": plus, "text": text, "rows": rows, "currency": currency, "estimate": estimate,
}
out = []
for case in json.load(sys.stdin):
    mine = JUDGE[case["judge"]](case)
    out.append(None if mine == case["ours"] else [case, mine])
json.dump(out, sys.stdout)
