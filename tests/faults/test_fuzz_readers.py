"""Whatever is handed to a reader is taken whole, or refused in a sentence and nothing posted."""

import importlib.util
import sys
import time
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

FEW = settings(
    max_examples=4, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)
"""`scripts/bench fuzz` hands out as many as there is time for."""


def _loaded(name):
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


fuzzing, fuzz_page = _loaded("fuzzing"), _loaded("fuzz_page")


def _hand_out(cases, hand, count=60):
    @settings(FEW, max_examples=count)
    @given(cases)
    def handed(case):
        assert hand(case) in {"taken", "refused"}

    handed()


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    return fuzzing.Desk(tmp_path_factory.mktemp("fuzz"))


@pytest.mark.slow
@pytest.mark.parametrize("name", fuzzing.READERS)
def test_any_file_is_taken_whole_or_refused_in_a_sentence(desk, name):
    kinds = list(fuzzing.strategies(name, desk).values())

    @FEW
    @given(st.one_of(kinds))
    def handed(files):
        assert desk.hand(name, files) in {"taken", "refused"}

    handed()


@pytest.fixture(scope="module")
def metric_desk(tmp_path_factory):
    return fuzzing.Desk(tmp_path_factory.mktemp("metric"), *fuzzing.MADE_METRIC)


@pytest.mark.slow
@pytest.mark.parametrize("name", fuzzing.METRIC)
def test_so_is_any_file_on_a_book_of_millimeters(metric_desk, name):
    right = fuzzing.as_csv(fuzzing.tables_of(name))
    assert metric_desk.hand(name, right) == "taken"

    @FEW
    @given(st.one_of(list(fuzzing.strategies(name, metric_desk).values())))
    def handed(files):
        assert metric_desk.hand(name, files) in {"taken", "refused"}

    handed()


@pytest.mark.parametrize("name", fuzzing.READERS)
def test_the_right_file_of_every_reader_is_taken(desk, name):
    right = fuzzing.tables_of(name)
    assert desk.hand(name, fuzzing.as_csv(right)) == "taken"
    assert desk.hand(name, {"right.xlsx": fuzzing.as_workbook(right)}) == "taken"


def test_any_json_that_is_read_back_is_taken_or_refused_in_a_sentence(desk):
    for name, (right, read) in fuzzing.kept(desk).items():
        back = partial(fuzzing.read_back, name, read)
        assert back(right) == "taken"

        _hand_out(fuzzing.spoiled_json(right), back)


def test_whatever_the_page_is_sent_it_answers_with_a_page_or_a_sentence(tmp_path):
    page = fuzz_page.PageDesk(fuzzing.Desk(tmp_path / "page").path)
    with closing(page):
        for cases, hand in ((fuzz_page.posts, page.post), (fuzz_page.asks, page.ask)):
            _hand_out(cases, hand, 40)
        assert page.post(("hours", {}, set(), b"")) == "taken"


def test_a_reader_that_breaks_is_told(desk):
    def stumble(said):
        raise KeyError(said)

    with pytest.raises(fuzzing.Broken, match="stumbling: KeyError"):
        fuzzing.read_back("stumbling", stumble, "x")


@pytest.mark.parametrize("deep", [b"[" * 200_000, b'{"a":' * 200_000])
def test_a_page_nested_without_end_is_refused(deep):
    with pytest.raises(fuzzing.LedgerError, match="not a frozen page"):
        fuzzing.read_offer(deep, fuzzing.SCHEMA)


@pytest.mark.parametrize("schema", [-1, 0])
def test_a_page_of_a_schema_that_never_was_is_refused(schema):
    with pytest.raises(fuzzing.LedgerError, match="under a schema from 1 to"):
        fuzzing.read_offer(b"{}", schema)


ROWS = {"receipts": 1_000, "receipts in kind": 1_000}
"""As many as a table may have, else 2,000; they take a command seconds, not minutes."""


def _many(name, change):
    """The table of a reader that has most rows, as long as it may be, each row changed."""
    tables = fuzzing.tables_of(name)
    most = max(tables, key=lambda table: len(tables[table]))
    head, *rows = tables[most]
    filled = max(1, sum(map(bool, (cell for row in rows for cell in row))) // len(rows))
    count = min(ROWS.get(name, 2_000), 90_000 // filled)
    made = [change(head, list(rows[number % len(rows)]), number) for number in range(count)]
    return fuzzing.as_csv(tables | {most: [head, *made]})


def _numbered(head, row, number):
    names = {"code", "id", "receipt", "document"}
    return [
        f"{cell}-{number}" if heading in names and cell else cell
        for heading, cell in zip(head, row, strict=True)
    ]


def _wrong(_head, row, number):
    return [f"shet {number}" if cell else "" for cell in row]


def _long(_head, row, _number):
    return [cell + "x" * 90 if cell else "" for cell in row]


@pytest.mark.slow
@pytest.mark.parametrize("change", [_numbered, _wrong, _long])
@pytest.mark.parametrize("name", fuzzing.READERS)
def test_a_table_of_the_most_rows_is_answered_in_seconds(desk, name, change):
    if (name, change) == ("loose parts", _numbered):
        pytest.skip("how long a layout is sought for is no matter of its file")
    files = _many(name, change)
    begun = time.process_time()
    assert desk.hand(name, files) in {"taken", "refused"}
    assert time.process_time() - begun < 15, "a few seconds, on a slow machine too"
