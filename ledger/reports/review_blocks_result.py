"""The review's result as a block: what the period left before the owner's pay."""

from collections.abc import Iterator

from ledger.measures.driving import driving
from ledger.measures.money import Money, total
from ledger.reports.review import Review
from ledger.reports.review_figures import (
    Part,
    Remark,
    ReviewBlock,
    ReviewRow,
    ReviewTable,
    listed,
)


def result_block(one: Review) -> ReviewBlock:
    """What the period left before the owner's pay: in cash, and by the jobs closed in it."""
    lines = one.result
    if not lines:
        return ReviewBlock("result", "The result", ())
    rows = []
    for line in lines:
        parts = [Part(of, "in cash", amount) for of, amount in line.in_cash]
        parts += [Part(of, "by closed jobs", amount) for of, amount in line.by_jobs]
        amounts = (
            line.cash if line.in_cash else None,
            line.earned if line.by_jobs else None,
        )
        rows.append(ReviewRow(line.name, amounts, tuple(parts)))
    left = (total(line.cash for line in lines), total(line.earned for line in lines))
    has_overhead = any(line.name == "overhead" for line in lines)
    name = "left, before your pay" if has_overhead else "left, before overhead and your pay"
    parts = [part for row in rows for part in row.parts]
    rows.append(ReviewRow(name, left, tuple(parts), is_sum=True))
    table = ReviewTable("result", "", ("", "in cash", "by closed jobs"), tuple(rows))
    remarks = [
        Remark(
            "In cash: what came in and was bought in these days, helpers and"
            f" {driving(one.units).title.lower()} at set rates. By closed jobs: what they brought"
            " and took, given material as if bought; jobs under way and goods bought for stock are"
            " not in it."
        )
    ]
    remarks += [Remark(_given_words(one))] if one.given else []
    remarks += _paid_words(one)
    if one.still_owed:
        owed = one.currency.show(total(amount for _, amount in one.still_owed))
        jobs = listed(number for number, _ in one.still_owed)
        remarks.append(
            Remark(f"On jobs closed in these days clients still owe {owed} with tax: {jobs}.")
        )
    if has_overhead and not one.is_overhead_typed:
        remarks.append(
            Remark("Overhead stands as set for these days; what it really was is not in the book.",
                   "review … --overhead AMOUNT")
        )  # fmt: skip
    elif not has_overhead:
        remarks.append(
            Remark("Overhead is not known, so it is not taken off.", "shop set overhead_year=…")
        )
    return ReviewBlock("result", "The result", (table,), tuple(remarks))


def _paid_words(one: Review) -> Iterator[Remark]:
    """What of the clients' money is not earned yet, and what has to go back."""
    held = (one.held, "is held for work that is not done")
    parts = [
        f"{one.currency.show(total(paid.values()))} {words} ({listed(paid)})"
        for amounts, words in (held, (one.to_go_back, "has still to go back"))
        if (paid := dict(amounts))
    ]
    if parts:
        yield Remark(f"Of what clients paid, tax in it, {' and '.join(parts)}.")


def _given_words(one: Review) -> str:
    """What became of the goods in kind: in the closed jobs, in others, lost, or still in stock."""
    show, closed = one.currency.show, {job.number for job in one.jobs}
    gone = {row.job: row.full for row in one.given_gone if not row.is_sent_back}
    others = {job: full for job, full in gone.items() if job and job not in closed}
    back = total(row.full for row in one.given_gone if row.is_sent_back)
    left = one.given - back - total(gone.values())
    named = (
        (total(full for job, full in gone.items() if job in closed), "went into jobs closed here"),
        (total(others.values()), f"went into {listed(others)}"),
        (gone.get("", Money(0)), "was lost or of own use"),
        (back, "went back to the giver"),
        (left, f"still lay in stock on {one.last}"),
    )
    parts = [f"{show(amount)} {words}" for amount, words in named if amount]
    return f"Of the {show(one.given)} of goods in kind {', '.join(parts)}."
