"""supplies.csv: what to buy for a kit, for a spreadsheet (RFC 4180)."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from laminature.model.supply import Supply
from laminature.model.words import Words
from laminature.writers.table import safe_cell


def supplies_csv(supplies: Sequence[Supply], words: Words, currency: str = "") -> bytes:
    """The bytes of a table with a row for each supply, and a total where any price is known.

    Decimals have a point; the columns' names are the same in every language. Text that a spreadsheet would
    run as a formula gets an apostrophe in front. The total is of what has a price, and says how many
    supplies have none.
    """
    money = f" {currency}" if currency else ""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    columns = ("supply", "amount", "unit", "pack", "packs", f"price per pack{money}", f"cost{money}", "why")
    writer.writerow([safe_cell(column) for column in columns])
    for one in supplies:
        price, cost = one.price, one.cost
        writer.writerow(
            [
                safe_cell(one.title),
                amount_text(one.amount),
                safe_cell(one.unit),
                f"{one.pack:g}",
                one.packs,
                "" if price is None else f"{price:.2f}",
                "" if cost is None else f"{cost:.2f}",
                safe_cell(one.why),
            ]
        )
    costs = [one.cost for one in supplies if one.cost is not None]
    if costs:
        without = len(supplies) - len(costs)
        told = words.of("csv_unpriced", n=str(without)) if without else words.of("csv_priced")
        writer.writerow([words.of("csv_total"), "", "", "", "", "", f"{sum(costs):.2f}", told])
    return out.getvalue().encode("utf-8", "replace")


def amount_text(amount: float) -> str:
    """An amount as it is read: whole ones whole, others to three figures, never rounded down to nothing."""
    if abs(amount - round(amount)) < 1e-9:
        return str(round(amount))
    if amount < 0.01:
        return "0.01"
    return f"{amount:.2f}" if amount < 10.0 else f"{amount:.1f}"
