"""A book added up anew from its plain rows, by sums of its own: what holds after every step.

Nothing here asks the program: the rows are read with the sqlite3 module, a row counts as long as no
entry has taken its own one back, and all is whole numbers and fractions. `Sums.faults` gives the
sentences of what does not hold; what the program says is laid beside it by `history_shop.py`.
"""

import hashlib
import json
import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

type Row = dict[str, Any]

LEAVES = {
    "issue": "issued", "scrap": "scrapped", "damage": "scrapped", "to_supplier": "to_supplier",
    "own_use": "own_use", "giveaway": "own_use",
}  # fmt: skip
COMES = {"return": "returned", "count": "counted", "reversed": "received"}
SOURCES = {"opening": "opening", "offcut": "returned"}
"""Where a lot shows in its month; of any other source it was received."""

CHANGING = ("on_hand", "client", "addressee")
"""Balances that follow the rows, and details that may be redacted: no posted rows."""


def _rows(file: sqlite3.Connection, query: str) -> list[Row]:
    return [dict(row) for row in file.execute(query)]


def _continued(file: sqlite3.Connection, name: str, rows: list[Row]) -> list[Row]:
    if name in CHANGING:
        return _rows(file, f"SELECT * FROM {name}")
    last = rows[-1]["id"] if rows else 0
    return rows + _rows(file, f"SELECT * FROM {name} WHERE id > {last}")


def half_up(value: Fraction) -> int:
    """The nearest whole number, halves away from zero."""
    return (-1 if value < 0 else 1) * int(abs(value) + Fraction(1, 2))


def opened(path: Path) -> sqlite3.Connection:
    """A book opened for reading alone, at whatever stands in it at each question."""
    file = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)
    file.row_factory = sqlite3.Row
    return file


class Sums:
    """The rows of a book as they are now, those in force apart."""

    def __init__(self, file: sqlite3.Connection, before: "Sums | None" = None) -> None:
        """Read every table; after `before`, of the tables of posted rows only what came since."""
        self.version = file.execute("PRAGMA data_version").fetchone()[0]
        if before is None:
            tables = file.execute("SELECT name FROM sqlite_master WHERE type='table'")
            self.refers = {
                name: [(r["from"], r["table"])
                       for r in file.execute(f"PRAGMA foreign_key_list({name})")]
                for (name,) in tables
            }  # fmt: skip
            self.all = {n: _rows(file, f"SELECT * FROM {n}") for n in self.refers}
        else:
            self.refers = before.refers
            self.all = {name: _continued(file, name, rows) for name, rows in before.all.items()}
        self.back = {row["reverses"] for row in self.all["deed"] if row["reverses"]}
        self.now = {
            name: [row for row in rows if row.get("deed") not in self.back]
            for name, rows in self.all.items()
        }

    def after(self, file: sqlite3.Connection) -> "Sums":
        """The book as it is now: itself where nothing has been written since."""
        is_same = file.execute("PRAGMA data_version").fetchone()[0] == self.version
        return self if is_same else Sums(file, self)

    def touched(self, before: "Sums") -> list[tuple[str, Row]]:
        """Each row that came, or was taken back, since the book was as before, with its table."""
        back = self.back - before.back
        return [
            (name, row)
            for name, rows in self.all.items()
            for at, row in enumerate(rows)
            if name not in CHANGING and (at >= len(before.all[name]) or row.get("deed") in back)
        ]

    def faults(self, before: "Sums | None") -> Iterator[str]:
        """Everything that does not hold in this book, which came from the one before."""
        yield from self.entries(before)
        yield from self.references()
        yield from self.lots()
        yield from self.receipts()
        yield from self.shared()
        yield from self.papers()
        yield from self.closed_months(before)

    # --- entries: numbers, reversals, rows that stay as they were posted ---

    def entries(self, before: "Sums | None") -> Iterator[str]:
        """Entries are numbered without a gap, each taken back at most once, and rows stay."""
        deeds = self.all["deed"]
        if [row["id"] for row in deeds] != list(range(1, len(deeds) + 1)):
            yield "the entries' numbers have a gap"
        taken = Counter(row["reverses"] for row in deeds if row["reverses"])
        yield from (f"entry {n} was taken back {k} times" for n, k in taken.items() if k > 1)
        yield from (f"{r['id']} takes a later one back" for r in deeds
                    if r["reverses"] and r["reverses"] >= r["id"])  # fmt: skip
        if before is None:
            return
        for name, rows in before.all.items():
            if name not in CHANGING and self.all[name][: len(rows)] != rows:
                yield f"a posted row of {name} was changed"

    def references(self) -> Iterator[str]:
        """What is in force refers only to what is."""
        there = {name: {row.get("id") for row in rows} for name, rows in self.now.items()}
        for name, rows in self.now.items():
            for column, other in self.refers[name]:
                if other in ("deed", "supplier") or name in CHANGING:
                    continue  # a supplier's name outlives the entry that noted it
                yield from (
                    f"{name} {row.get('id')}: its {column} {row[column]} is not in force"
                    for row in rows
                    if row[column] is not None and row[column] not in there[other]
                    and row.get("kind") not in ("reversal", "reversed")
                )  # fmt: skip

    # --- sheets that jobs share ---

    def shared(self) -> Iterator[str]:
        """Shares come to what is shared, none is above the cost alone, and issues go by them."""
        shares: dict[int, list[Row]] = defaultdict(list)
        for row in self.now["joint_share"]:
            shares[row["joint_plan"]].append(row)
            alone = row["alone_sheets_cost"] - row["alone_offcuts"]
            if row["sheets_cost"] > row["alone_sheets_cost"] or (
                row["sheets_cost"] - row["offcuts"] > alone
            ):
                yield f"share {row['id']} pays more than alone"
        for plan in self.now["joint_plan"]:
            mine = shares[plan["id"]]
            for column in ("sheets_cost", "offcuts"):
                if sum(row[column] for row in mine) != plan[column]:
                    yield f"the shares of joint plan {plan['id']} do not come to its {column}"
        moves = {row["id"]: row for row in self.now["movement"]}
        issues: dict[tuple[int, int], list[Row]] = defaultdict(list)
        for row in self.now["joint_issue"]:
            issues[row["joint_plan"], row["deed"]].append(moves[row["movement"]])
        for (number, deed), rows in issues.items():
            weights = {
                row["job"]: row["alone_sheets_cost"] - row["alone_offcuts"]
                for row in shares[number]
            }
            for column in ("quantity", "full", "cash"):
                whole = sum(row[column] for row in rows)
                for job, weight in weights.items():
                    part = sum(row[column] for row in rows if row["job"] == job)
                    if abs(part - Fraction(whole * weight, sum(weights.values()))) > 2:
                        yield f"entry {deed}: job {job} has {part} of {whole} {column}"
        for lot in {row["lot"] for row in self.now["joint_offcut"]}:
            passed = [row["movement"] for row in self.now["joint_offcut"] if row["lot"] == lot]
            if sum(moves[move]["full"] for move in passed if move is not None):
                yield f"lot {lot}: its credit is passed on to nobody"

    # --- stock ---

    def lots(self) -> Iterator[str]:
        """No lot is below zero on any day; what is kept as on hand is lots and movements."""
        moves: dict[int, list[Row]] = defaultdict(list)
        for row in self.now["movement"]:
            moves[row["lot"]].append(row)
        kept = {row["lot"]: row for row in self.all["on_hand"]}
        for lot in self.now["lot"]:
            own = sorted(moves.pop(lot["id"], []), key=lambda row: (row["day"], row["id"]))
            left = {name: lot[name] for name in ("quantity", "full", "cash")}
            for at, row in enumerate(own):
                left = {name: value + row[name] for name, value in left.items()}
                is_end = at + 1 == len(own) or own[at + 1]["day"] != row["day"]
                if is_end and (min(left.values()) < 0 or left["cash"] > left["full"]):
                    yield f"lot {lot['id']} stands at {left} on {row['day']}"
                if row["day"] < lot["day"]:
                    yield f"lot {lot['id']} moved on {row['day']}, before it came"
            if not left["quantity"] and (left["full"] or left["cash"]):
                yield f"lot {lot['id']} is used up and still worth {left}"
            held = kept.pop(lot["id"], {"quantity": 0, "full": 0, "cash": 0})
            if any(held[name] != value for name, value in left.items()):
                yield f"lot {lot['id']}: {left} by its movements, kept as {held}"
            if lot["source"] == "in_kind" and (lot["cash"] or any(m["cash"] for m in own)):
                yield f"lot {lot['id']} was given and has cost cash"
        yield from (f"lot {n} is on hand and not in force" for n in kept)
        yield from (f"lot {n} moved and is not in force" for n in moves)
        yield from self._returns()

    def _returns(self) -> Iterator[str]:
        """No more comes back of an issue than went out with it."""
        out = {row["id"]: row for row in self.now["movement"]}
        back: dict[int, list[int]] = defaultdict(lambda: [0, 0, 0])
        for row in self.now["movement"]:
            if row["kind"] == "return":
                for at, name in enumerate(("quantity", "full", "cash")):
                    back[row["of_movement"]][at] += row[name]
        for number, sums in back.items():
            went = [-out[number][name] for name in ("quantity", "full", "cash")]
            if any(b > w for b, w in zip(sums, went, strict=True)):
                yield f"movement {number}: {went} went out, {sums} came back"

    def roll(self, month: str, value: str) -> dict[str, int]:
        """The stock of a month rolled forward, `value` full or cash."""
        sums: dict[str, int] = defaultdict(int)
        for row in self.now["lot"]:
            self._put(sums, row, month, SOURCES.get(row["source"], "received"), row[value])
        for row in self.now["movement"]:
            leaves = row["kind"] in LEAVES
            column = LEAVES[row["kind"]] if leaves else COMES[row["kind"]]
            self._put(sums, row, month, column, -row[value] if leaves else row[value], leaves)
        return sums

    @staticmethod
    def _put(sums: dict[str, int], row: Row, month: str, column: str, amount: int,
             leaves: bool = False) -> None:  # fmt: skip
        signed = -amount if leaves else amount
        if row["day"][:7] > month:
            return
        sums["closing"] += signed
        if row["day"][:7] < month:
            sums["opening"] += signed
        else:
            sums[column] += amount

    # --- buying ---

    def receipts(self) -> Iterator[str]:
        """Documents are their lines, lines are their shares and the lots that they became."""
        shares: dict[int, list[Row]] = defaultdict(list)
        for row in self.now["receipt_share"]:
            shares[row["line"]].append(row)
        lots = {row["line"]: row for row in self.now["lot"] if row["line"]}
        lines: dict[int, list[Row]] = defaultdict(list)
        for line in self.now["receipt_line"]:
            lines[line["receipt"]].append(line)
            own = shares[line["id"]]
            taxes = line["tax_paid"] + line["use_tax"] - line["recoverable"]
            if line["landed"] != line["net"] + line["freight"] + taxes:
                yield f"line {line['id']}: landed is not net, freight and taxes"
            if own and (sum(s["landed"] for s in own) != line["landed"]
                        or sum(s["quantity"] for s in own) != line["quantity"]):  # fmt: skip
                yield f"line {line['id']}: its shares are not the line"
            lot = lots.get(line["id"])
            if lot and lot["quantity"] == line["quantity"] and line["quantity"] > 0:
                worth = line["fair"] if lot["source"] == "in_kind" else line["landed"]
                if lot["full"] != worth:
                    yield f"lot {lot['id']} is worth {lot['full']}, its line {worth}"
        for row in self.now["receipt"]:
            own = lines[row["id"]]
            asks = sum(ln["net"] + ln["freight"] + ln["tax_paid"] for ln in own)
            if row["kind"] != "reversal" and row["total"] != asks:
                yield f"{row['number']}: its lines ask {asks}, it says {row['total']}"

    def spend(self, month: str) -> dict[str, Any]:
        """Net, paid, landed of a month, landed told apart in three ways."""
        receipts = {r["id"]: r for r in self.now["receipt"] if r["day"][:7] == month}
        names = {row["id"]: row["name"] for row in self.all["supplier"]}
        jobs = {row["id"]: row["number"] for row in self.all["job"]}
        lines = [ln for ln in self.now["receipt_line"] if ln["receipt"] in receipts]
        known = {ln["id"] for ln in lines}
        split: dict[str, Counter[str]] = {
            "by_supplier": Counter(), "by_category": Counter(), "by_job": Counter(),
        }  # fmt: skip
        for ln in lines:
            split["by_supplier"][names[receipts[ln["receipt"]]["supplier"]]] += ln["landed"]
            split["by_category"][ln["category"]] += ln["landed"]
        for share in self.now["receipt_share"]:
            if share["line"] in known:
                split["by_job"][jobs.get(share["job"], share["place"])] += share["landed"]
        on_use = self._tax_on_use(month, split, names, jobs)
        sums = {name: sum(ln[name] for ln in lines) for name in
                ("net", "freight", "tax_paid", "recoverable", "use_tax", "landed")}  # fmt: skip
        return {
            "net": sums["net"] + sums["freight"], "tax_paid": sums["tax_paid"],
            "recoverable": sums["recoverable"], "use_tax": sums["use_tax"] + on_use,
            "landed": sums["landed"] + on_use,
        } | {name: {k: v for k, v in of.items() if v} for name, of in split.items()}  # fmt: skip

    def _tax_on_use(self, month: str, split: dict[str, Counter[str]], names: dict[int, str],
                    jobs: dict[int, str]) -> int:  # fmt: skip
        """Use tax on what was kept, given away, or built in; put with who sold the goods."""
        lots = {row["id"]: row for row in self.all["lot"]}
        sold = {ln["id"]: ln["receipt"] for ln in self.all["receipt_line"]}
        papers = {row["id"]: row["supplier"] for row in self.all["receipt"]}
        owed = [(r["lot"], r["use_tax"], None) for r in self.now["movement"]
                if r["day"][:7] == month and r["use_tax"]]  # fmt: skip
        owed += [(r["lot"], r["amount"], r["job"]) for r in self.now["job_use_tax"]
                 if r["day"][:7] == month]  # fmt: skip
        for lot, amount, job in owed:
            line = lots[lot]["line"]
            name = names[papers[sold[line]]] if line else "opening stock"
            split["by_supplier"][name] += amount
            split["by_category"][lots[lot]["category"]] += amount
            split["by_job"][jobs[job] if job else "shop"] += amount
        return sum(amount for _, amount, _ in owed)

    def job_material(self, job: int) -> tuple[int, int]:
        """What a job took, net of what it gave back and racked: full and cash."""
        rows = [*self.now["movement"], *self.now["lot"]]
        own = [row for row in rows if row["job"] == job]
        return -sum(row["full"] for row in own), -sum(row["cash"] for row in own)

    def minutes(self, job: int) -> int:
        """All time logged on a job."""
        return sum(row["minutes"] for row in self.now["work"] if row["job"] == job)

    # --- the client's money and papers ---

    def money(self, job: int) -> dict[str, int]:
        """What a job asked for with tax, what came, and what is due."""
        received = sum(row["amount"] for row in self.now["payment"] if row["job"] == job)
        asked = sum(row["price"] + row["tax"] for row in self.now["due"] if row["job"] == job)
        states = [row["state"] for row in self.now["job_state"] if row["job"] == job]
        ended = [row for row in self.now["cancellation"] if row["job"] == job]
        if ended and states and states[-1] == "canceled":
            asked = ended[-1]["kept"]
        return {"asked": asked, "received": received, "due": asked - received}

    def papers(self) -> Iterator[str]:
        """Sent pages have their digest and add up; agreements are their payments asked for."""
        for name in ("quote_page", "invoice", "change_page"):
            for row in self.all[name]:
                if hashlib.sha256(row["page"]).hexdigest() != row["sha256"]:
                    yield f"{name} {row['id']}: its bytes are not what was sent"
        for row in self.now["quote_page"]:
            yield from self._quote(row["id"], json.loads(row["page"]))
        for row in self.now["invoice"]:
            yield from self._invoice(row, json.loads(row["page"]))
        lines: dict[int, int] = Counter()
        for line in self.now["agreed_line"]:
            lines[line["agreement"]] += line["price"]
        for row in self.now["agreement"]:
            # A price said at a second closing replaces the first one's: together they are the last.
            own = [d for d in self.now["due"] if d["deed"] <= row["deed"] and d["job"] == row["job"]
                   and d["source"] == row["source"]]  # fmt: skip
            got = (sum(d["price"] for d in own), sum(d["tax"] for d in own))
            if got != (row["price"], row["tax"]):
                yield f"agreement {row['id']}: {got} asked for, {row['price']}, {row['tax']} agreed"
            if row["id"] in lines and lines[row["id"]] != row["price"]:
                yield f"agreement {row['id']}: its lines are not its price"

    @staticmethod
    def _quote(number: int, page: Row) -> Iterator[str]:
        price = sum(one["amount"] for one in page["deliverables"])
        tax = page["tax"]["amount"]
        for name, whole in (("price", price), ("tax", tax)):
            if sum(one[name] for one in page["payments"]) != whole:
                yield f"quote page {number}: its payments are not its {name}"
        taxed = (one["amount"] for one in page["deliverables"] if one["taxed"])
        base = 0 if page["tax"]["standing"] == "exempt" else sum(taxed)
        if (page["tax"]["base"], tax) != (base, half_up(base * Fraction(page["tax"]["rate"]))):
            yield f"quote page {number}: tax {page['tax']} on {base}"

    @staticmethod
    def _invoice(row: Row, page: Row) -> Iterator[str]:
        lines = page["lines"]
        asked = sum(one["price"] + one["tax"] for one in lines)
        asked -= sum(one["price"] + one["tax"] for one in page["deducted"])
        if asked != row["asked"] and page["paper"] != "credit":
            yield f"{row['number']}: its lines ask {asked}, the book says {row['asked']}"
        taxes = sum(one["tax"] for one in page["taxes"])
        deducted = sum(one["tax"] for one in page["deducted"])
        if taxes not in (sum(one["tax"] for one in lines),
                         sum(one["tax"] for one in lines) - deducted):  # fmt: skip
            yield f"{row['number']}: taxes {taxes} are not those of its lines"

    def closed_months(self, before: "Sums | None") -> Iterator[str]:
        """Nothing changes on the days of a month while it is closed."""
        if before is None:
            return
        for month in before.closed() & self.closed():
            for name, rows in self.now.items():
                if name in CHANGING or "day" not in (rows or [{}])[0] or name == "deed":
                    continue
                dated = [[r for r in s.now[name] if r["day"][:7] == month] for s in (self, before)]
                if dated[0] != dated[1]:
                    yield f"{name} changed in {month}, which is closed"

    def closed(self) -> set[str]:
        """The months that are closed now."""
        states = {row["month"]: row["state"] for row in self.now["month_state"]}
        return {month for month, state in states.items() if state == "closed"}
