"""Random histories of a whole shop: after every step its sums, redone from the rows, come out."""

import copy
import importlib
import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
histories = importlib.import_module("history_shop")
for name in ("history_steps", "history_together"):
    importlib.import_module(name)


@pytest.mark.slow
@pytest.mark.parametrize(("currency", "seed"), [("USD", 11), ("EUR", 12), ("KWD", 14)])
def test_every_sum_comes_out_after_every_step(tmp_path, currency, seed):
    """`scripts/bench histories` plays long ones."""
    with closing(histories.History(tmp_path, histories.SHOPS[currency], seed)) as history:
        history.play(8)
    assert sum(history.told.values()) > 5


def parts_of(shop, row):
    """A parts list of one row."""
    path = shop.folder / f"list {len(list(shop.folder.iterdir()))}.csv"
    path.write_text(f"id,qty,length,width,grain,material\n{row},length,PLY\n")
    return str(path)


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
        ("job", "new", "Long shelf", "--parts", parts_of(shop, "A1,4,60,11")),
        ("job", "new", "Short shelf", "--parts", parts_of(shop, "A1,4,34,11")),
        ("layout", "long", "short", "--together"),
        ("stock", "issue", "long", "PLY", "1", "--together"),
        ("stock", "keep", "long", "PLY", "20x12"),
    ):
        assert shop.type(*words).exit_code == 0, words
    with closing(shop):
        return histories.Sums(shop.file)


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
        ("joint_share", "sheets_cost", "do not come to"),
        ("joint_share", "offcuts", "do not come to"),
        ("joint_plan", "offcuts", "do not come to"),
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


@pytest.fixture
def shop(tmp_path):
    with closing(histories.History(tmp_path, histories.SHOPS["USD"], 1)) as shop:
        yield shop


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE payment SET amount = amount + 1", "a posted row of payment was changed"),
        ("UPDATE on_hand SET full = full + 1", "kept as"),
        ("DELETE FROM work", "a posted row of work was changed"),
    ],
)
def test_what_no_command_wrote_is_found_when_the_book_is_looked_at_whole(shop, change, said):
    for words in (("job", "pay", "bed", "100"), ("hours", "add", "bed", "sand", "30m")):
        assert shop.type(*words).exit_code == 0, words
    shop.sums = shop.sums.after(shop.file)
    shop.look_at_all()
    with closing(sqlite3.connect(shop.path)) as file, file:
        for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            file.execute(f"DROP TRIGGER {name}")
        file.execute(change)
    with pytest.raises(histories.Broken, match=said):
        shop.look_at_all()


def test_a_step_that_wrote_nothing_leaves_the_sums_as_they_are(shop):
    before = shop.sums
    assert shop.type("job", "pay", "no such job").exit_code == 1
    assert before.after(shop.file) is before
    assert shop.type("hours", "add", "bed", "sand", "30m").exit_code == 0
    after = before.after(shop.file)
    assert after.all == histories.Sums(shop.file).all
    assert ("work", 30) in [(name, row.get("minutes")) for name, row in after.touched(before)]
