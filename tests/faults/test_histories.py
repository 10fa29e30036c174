"""Random histories of a whole shop: after every step its sums, redone from the rows, come out."""

import copy
import importlib
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
histories = importlib.import_module("history_shop")
importlib.import_module("history_steps")


@pytest.mark.slow
@pytest.mark.parametrize(("currency", "seed"), [("USD", 11), ("EUR", 12), ("KWD", 14)])
def test_every_sum_comes_out_after_every_step(tmp_path, currency, seed):
    """`scripts/bench histories` plays long ones."""
    history = histories.History(tmp_path, histories.SHOPS[currency], seed)
    history.play(8)
    assert sum(history.told.values()) > 5


@pytest.fixture(scope="module")
def sums(tmp_path_factory):
    shop = histories.History(tmp_path_factory.mktemp("sums"), histories.SHOPS["USD"], 1)
    for words in (
        ("stock", "issue", "bed", "PLY", "2"),
        ("quote", "draft", "bed", "--price", "900"),
        ("quote", "send", "bed"),
        ("quote", "accept", "bed"),
        ("quote", "invoice", "bed"),
        ("job", "pay", "bed", "100"),
        ("hours", "add", "bed", "sand", "30m"),
    ):
        assert shop.type(*words).exit_code == 0, words
    return histories.Sums(shop.path)


@pytest.mark.parametrize(
    ("table", "column", "said"),
    [
        ("deed", "id", "gap"),
        ("lot", "full", "is worth"),
        ("movement", "quantity", "kept as"),
        ("receipt_line", "landed", "net, freight and taxes"),
        ("receipt_share", "landed", "shares"),
        ("receipt", "total", "its lines ask"),
        ("receipt_line", "receipt", "not in force"),
        ("agreement", "tax", "agreed"),
        ("agreed_line", "price", "its lines"),
        ("invoice", "asked", "the book says"),
        ("quote_page", "sha256", "its bytes"),
        ("payment", "amount", "a posted row"),
        ("work", "minutes", "a posted row"),
    ],
)
def test_a_sum_that_does_not_come_out_is_said(sums, table, column, said):
    spoiled = copy.deepcopy(sums)
    row = spoiled.all[table][0]  # the same row as in force
    row[column] = row[column] + (90 if isinstance(row[column], int) else "0")
    spoiled.now = {
        name: [one for one in rows if one.get("deed") not in spoiled.back]
        for name, rows in spoiled.all.items()
    }
    assert any(said in fault for fault in spoiled.faults(sums))
    assert list(sums.faults(sums)) == []
