"""What the schema itself refuses: each named rule with the row that breaks it."""

import re
import sqlite3
from importlib import resources

import pytest

OFFCUT = {"source": "offcut", "line": None, "job": 1, "length": 10, "width": 10}
BACK = {"kind": "return", "of_movement": 1, "quantity": 1, "full": 1, "cash": 1}
CONTENT = {"class": "content", "task": "filming", "operation": None, "family": None}
FURTHER = {"page_entry": {"sent": "another-key-of-this-device"}}
REVERSAL = {"id": 2, "reverses": 1, "why": "typed twice"}
BROKEN = [
    ("deed_reverses_an_earlier_one", "deed", REVERSAL | {"reverses": 2}),
    ("deed_reverses_an_earlier_one", "deed", REVERSAL | {"reverses": 3}),
    ("deed_says_why", "deed", REVERSAL | {"why": None}),
    ("deed_says_why", "deed", REVERSAL | {"why": " "}),
    ("material_pack_is_positive", "material", {"pack": 0}),
    ("material_sizes_are_positive", "material", {"length": 0}),
    ("material_sizes_are_positive", "material", {"width": -1}),
    ("material_sizes_are_positive", "material", {"thickness": 0}),
    ("material_allowance_says_on_what", "material", {"allowance": "1/10"}),
    ("material_allowance_says_on_what", "material", {"allowance_on": "net"}),
    ("material_allowance_on", "material", {"allowance": "1/10", "allowance_on": "used"}),
    ("material_coverage_has_a_source", "material", {"coverage": "400"}),
    ("material_density_has_a_source", "material", {"density": "680"}),
    ("material_kind", "material", {"kind": "wood"}),
    ("material_sheet_has_a_size", "material", {"width": None}),
    ("material_flags", "material", {"whole": 2}),
    ("material_flags", "material", {"composite": -1}),
    ("material_by_tally", "material", {"by_tally": 2}),
    ("material_surfaced_is_positive", "material", {"surfaced": 0}),
    ("design_version_counts_from_one", "design_version", {"version": 0}),
    ("job_kind", "job", {"kind": "hobby"}),
    ("job_count_occasion", "job_count", {"occasion": "guessed"}),
    ("job_count_is_not_negative", "job_count", {"driver": -1}),
    ("job_line_kind", "job_line", {"kind": "gift"}),
    ("job_line_is_not_negative", "job_line", {"quantity": -1}),
    ("job_line_minutes_are_of_work", "job_line", {"minutes": 30}),
    ("job_line_minutes_are_of_work", "job_line", {"kind": "use", "quantity": 0, "minutes": 30}),
    ("job_line_of_others", "job_line", {"amount": 1}),
    ("job_line_of_others", "job_line", {"markup": "1/10"}),
    ("job_line_of_others", "job_line", {"lead_days": 3}),
    ("job_line_of_others", "job_line", {"is_quoted": 1}),
    ("job_line_flag", "job_line", {"kind": "outside", "is_quoted": 2}),
    ("job_line_reverses_an_earlier_one", "job_line", {"id": 2, "reverses": 2}),
    ("job_total_is_a_price", "job_total", {"price": 0}),
    ("printed_is_of_one_paper", "printed", {"invoice": None}),
    ("printed_is_of_one_paper", "printed", {"quote": 1}),
    ("printed_size", "printed", {"size": "A5"}),
    ("printed_digests", "printed", {"sha256": "0"}),
    ("printed_digests", "printed", {"words": ""}),
    ("printed_digests", "printed", {"template": ""}),
    ("joint_plan_has_sheets", "joint_plan", {"sheets": 0, "new_sheets": 0}),
    ("joint_plan_has_sheets", "joint_plan", {"new_sheets": 9}),
    ("joint_plan_offcuts_are_within_its_cost", "joint_plan", {"offcuts": 76801}),
    ("joint_share_is_not_above_the_cost_alone", "joint_share", {"sheets_cost": 48001}),
    ("joint_share_is_not_above_the_cost_alone", "joint_share", {"alone_offcuts": 9601}),
    ("cut_part_counts_from_one", "cut_part", {"sheet": 0}),
    ("cut_part_counts_from_one", "cut_part", {"number": 0}),
    ("lot_factory_edges_are_of_an_offcut", "lot", {"factory_edges": "far"}),
    ("photo_digest", "photo", {"sha256": "0"}),
    ("photo_bytes", "photo", {"bytes": 0}),
    ("photo_about", "photo", {"about": "holiday"}),
    ("photo_has_a_job", "photo", {"job": None}),
    ("page_entry_sent", "page_entry", {"sent": "short"}),
    ("page_entry_device", "page_entry", {"device": ""}),
    ("addressee_is_of_one_paper", "addressee", {"invoice": None}),
    ("addressee_is_of_one_paper", "addressee", {"quote": 1}),
    ("change_page_schema", "change_page", {"schema_number": 0}),
    ("change_page_digest", "change_page", {"sha256": ""}),
    ("printed_flag", "printed", {"fallback": 2}),
    ("job_total_minutes", "job_total", {"minutes": -1}),
    ("job_total_with_tax", "job_total", {"with_tax": 2}),
    ("job_basis_pieces", "job_basis", {"pieces": 0}),
    ("agreed_line_pieces", "agreed_line", {"pieces": 0}),
    ("job_cost_occasion", "job_cost", {"occasion": "guessed"}),
    ("job_cost_kind", "job_cost", {"kind": "rent"}),
    ("job_cost_freight_is_planned", "job_cost", {"kind": "freight", "occasion": "actual"}),
    ("month_state_is_known", "month_state", {"state": "ajar"}),
    ("receipt_kind", "receipt", {"kind": "found"}),
    ("receipt_reversal_names_a_receipt", "receipt", {"kind": "reversal"}),
    ("receipt_reversal_names_a_receipt", "receipt", {"reverses": 1}),
    ("receipt_free_goods_cost_nothing", "receipt", {"kind": "in_kind"}),
    ("receipt_free_goods_cost_nothing", "receipt", {"kind": "borrowed"}),
    ("receipt_line_tax_kind", "receipt_line", {"tax_kind": "some"}),
    ("receipt_line_landed_adds_up", "receipt_line", {"landed": 20_001}),
    ("receipt_share_place", "receipt_share", {"place": "attic"}),
    ("receipt_share_names_its_job", "receipt_share", {"place": "job"}),
    ("receipt_share_names_its_job", "receipt_share", {"job": 1}),
    ("heading_says_something", "heading", {"meaning": " "}),
    ("heading_says_something", "heading", {"heading": ""}),
    ("price_with_tax", "price", {"with_tax": 2}),
    ("credited_goods_are_more_than_nothing", "credited_goods", {"quantity": 0}),
    ("lot_source", "lot", {"source": "found", "line": None}),
    ("lot_quantity_is_positive", "lot", {"quantity": 0}),
    ("lot_cash_is_within_its_full_value", "lot", {"cash": 20_001}),
    ("lot_cash_is_within_its_full_value", "lot", {"cash": -1}),
    ("lot_in_kind_costs_no_cash", "lot", {"source": "in_kind"}),
    ("lot_borrowed_is_not_ours", "lot", {"source": "borrowed", "cash": 0}),
    ("lot_offcut_has_a_size_and_a_job", "lot", OFFCUT | {"job": None}),
    ("lot_offcut_has_a_size_and_a_job", "lot", OFFCUT | {"length": None}),
    ("lot_offcut_has_a_size_and_a_job", "lot", OFFCUT | {"width": 0}),
    ("lot_of_a_receipt_names_its_line", "lot", {"line": None}),
    ("lot_of_a_receipt_names_its_line", "lot", OFFCUT | {"line": 1}),
    ("movement_kind", "movement", {"kind": "lost"}),
    ("movement_leaves_or_comes_back", "movement", {"quantity": 1}),
    ("movement_leaves_or_comes_back", "movement", {"full": 1}),
    ("movement_leaves_or_comes_back", "movement", {"kind": "return", "of_movement": 1}),
    ("movement_an_issue_has_a_job", "movement", {"job": None}),
    ("movement_a_return_names_its_issue", "movement", BACK | {"of_movement": None}),
    ("movement_scrap_says_why", "movement", {"kind": "scrap"}),
    ("movement_scrap_says_why", "movement", {"kind": "count"}),
    ("movement_on_camera", "movement", {"on_camera": 2}),
    ("work_takes_time", "work", {"minutes": 0}),
    ("work_class", "work", {"class": "play"}),
    ("work_is_an_operation_a_group_or_a_task", "work", {"task": "sweeping"}),
    ("work_operation_has_its_group", "work", CONTENT | {"operation": "SAND"}),
    ("work_task_is_content_or_shop", "work", {"class": "content"}),
    ("work_belongs_to_a_job", "work", {"job": None}),
    ("work_for_the_shop_has_no_job", "work", CONTENT | {"class": "shop"}),
    ("work_times_come_together", "work", {"ended": None}),
    ("work_ends_after_it_began", "work", {"ended": "2025-04-25T13:00"}),
    ("work_rate_is_a_helpers", "work", {"rate": 2200}),
    ("work_rate_is_a_helpers", "work", {"person": "A helper"}),
    ("work_split_is_yes_or_no", "work", {"split": 2}),
    ("work_cause_is_of_rework", "work", {"cause": "a slip"}),
    ("helper_rates_are_not_negative", "helper", {"cost": -1}),
    ("hours_plan_basis", "hours_plan", {"basis": "guess"}),
    ("quote_revision_is_letters", "quote", {"revision": ""}),
    ("quote_revision_is_letters", "quote", {"revision": "a1"}),
    ("quote_state_is_known", "quote_state", {"state": "lost"}),
    ("entry_digest_sha256_is_64_digits", "entry_digest", {"sha256": "0"}),
    ("quote_page_sha256_is_64_digits", "quote_page", {"sha256": "0"}),
    ("quote_basis_sha256_is_64_digits", "quote_basis", {"sha256": "0"}),
    ("kit_costs_something", "kit", {"price": 0}),
    ("kit_costs_something", "kit", {"shipping": -1}),
    ("kit_lasts_a_while", "kit", {"years": 0}),
    ("kit_extra_taxed", "kit_extra", {"taxed": 2}),
    ("kit_extra_is_not_negative", "kit_extra", {"amount": -1}),
    ("change_order_counts_from_one", "change_order", {"number": 0}),
    ("change_order_taxed", "change_order", {"taxed": 2}),
    ("change_order_minutes_are_not_negative", "change_order", {"minutes": -1}),
    ("change_order_adds_hours_or_takes_them_off", "change_order", {"fewer_minutes": 30}),
    ("change_state_is_known", "change_state", {"state": "lost"}),
    ("payment_is_something", "payment", {"amount": 0}),
    ("payment_how", "payment", {"how": "barter"}),
    ("agreed_line_taxed", "agreed_line", {"taxed": 2}),
    ("invoice_kind", "invoice", {"kind": "bill"}),
    ("cancellation_kept_as", "cancellation", {"kept_as": "luck"}),
    ("cancellation_returnable", "cancellation", {"returnable": -1}),
    ("invoice_sha256_is_64_digits", "invoice", {"sha256": "0"}),
    ("cancellation_sums_are_not_negative", "cancellation", {"kept": -1}),
    ("cancellation_sums_are_not_negative", "cancellation", {"owed": -1}),
    ("sponsor_has_a_name", "sponsor", {"name": " "}),
    ("sponsor_agreement_fee_is_not_negative", "sponsor_agreement", {"fee": -1}),
    ("deliverable_kind", "deliverable", {"kind": "song"}),
    ("deliverable_number_is_positive", "deliverable", {"number": 0}),
    ("publication_kind", "publication", {"kind": "song"}),
    ("publication_has_a_title", "publication", {"title": " "}),
    ("disclosure_says_how", "disclosure", {"how": " "}),
    ("public_name_is_not_empty", "public_name", {"name": ""}),
    ("tool_use_is_not_negative", "tool_use", {"blades": -1}),
    ("tool_use_says_something", "tool_use", {"uses": 0}),
    ("sponsor_note_kind", "sponsor_note", {"kind": "song"}),
    ("sponsor_note_is_not_empty", "sponsor_note", {"words": " "}),
    ("income_stream", "income", {"stream": "luck"}),
    ("income_fee_is_not_negative", "income", {"fee": -1}),
    ("plan_sale_has_a_reference", "plan_sale", {"reference": " "}),
    ("spoiled_is_not_negative", "spoiled", {"amount": -1}),
    ("job_tax_standing", "job_tax", {"standing": "exempt"}),
    ("unlogged_answer", "unlogged", {"answer": "lost"}),
    ("past_job_minutes", "past_job", {"minutes": -1}),
    ("past_job_guessed", "past_job", {"guessed": -1}),
    ("past_job_price_known", "past_job", {"price_known": 0, "price": 1}),
    ("past_job_price_known", "past_job", {"price_known": 2}),
    ("past_job_material_known", "past_job", {"material_known": 0, "material": 1}),
    ("past_job_material_known", "past_job", {"material_known": 2}),
    ("unlogged_onto", "unlogged", {"answer": "not done"}),
    ("foretold_minutes", "foretold", {"minutes": -1}),
    ("job_use_tax_is_something", "job_use_tax", {"amount": 0}),
]


@pytest.mark.parametrize(
    ("rule", "table", "change"),
    [pytest.param(*case, id=f"{case[0]}-{number}") for number, case in enumerate(BROKEN)],
)
def test_a_named_rule_refuses_the_row_that_breaks_it(filled, put, sample_rows, rule, table, change):
    row = sample_rows[table] | change
    with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {rule}$"):
        put(filled, table, row)


def test_every_rule_has_a_row_that_breaks_it():
    folder = resources.files("ledger.book") / "migrations"
    named = {
        rule
        for file in folder.iterdir()
        for rule in re.findall(r"CONSTRAINT (\w+)\s+CHECK", file.read_text("utf-8"))
    }
    assert named == {rule for rule, _, _ in BROKEN}


def test_a_row_that_breaks_no_rule_is_taken(filled, put, sample_rows):
    put(filled, "deed", sample_rows["deed"] | REVERSAL)
    for table, row in sample_rows.items():
        if table != "deed":
            put(filled, table, row | FURTHER.get(table, {}))


def test_rows_near_the_broken_ones_are_taken(filled, put, sample_rows):
    for table, change in (("lot", OFFCUT), ("movement", BACK), ("work", CONTENT)):
        put(filled, table, sample_rows[table] | change)


def test_every_table_has_its_sample_row(filled, sample_rows):
    tables = filled.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    assert {name for (name,) in tables} - {"on_hand"} == set(sample_rows)


def test_a_row_that_refers_to_nothing_is_refused(filled, put, sample_rows):
    for table, name in (("price", "supplier"), ("job", "client"), ("job_basis", "design")):
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            put(filled, table, sample_rows[table] | {name: 99})
