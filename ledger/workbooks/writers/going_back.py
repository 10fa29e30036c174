"""What has still to go back at the end of a month or year: clients' money, goods to suppliers."""

from ledger.measures.money import total
from ledger.reports.month import MonthReport
from ledger.reports.year import YearReport
from ledger.workbooks.paper import money_format
from ledger.workbooks.writers.rows import Rows, padded


def add_going_back(rows: Rows, report: MonthReport | YearReport) -> None:
    """A list of each with its sum; none of them where nothing goes back."""
    decimal, money = report.currency.decimal, padded(money_format(report.currency))
    for title, amounts in (
        ("Still to go back to clients of closed jobs",
         [(refund.job, refund.back) for refund in report.to_refund]),
        ("Goods of canceled jobs still to be sent back",
         [(goods.job, goods.amount) for goods in report.to_send_back]),
    ):  # fmt: skip
        if amounts:
            rows.subtitle(title)
            for job, amount in amounts:
                rows.add((f"{job.number} {job.title}", decimal(amount)), ("", money))
            rows.sums("Total", {2: decimal(total(amount for _, amount in amounts))}, money)
