"""Taking back what later papers rest on, typed: a hall bench in the US, and one under VAT."""


def noted(said):
    """What was said beside the facts, its lines joined."""
    return " ".join(said.err.split())


def entered(vat):
    vat("shop", "set", "address=Lindenweg 4", "tax_number=ATU12345675")
    vat("job", "client", "bench", "--address", "Feldstr. 9 | 1010 Wien")


def last_entry(program):
    return str(program("undo", "--list", "--json").facts()[0]["entry"])


def test_an_invoice_that_a_later_one_deducts_is_not_undone(sold):
    sold("quote", "invoice", "bench", "--json").facts()
    deposit = last_entry(sold)
    sold("quote", "invoice", "bench", "--rest", "--json").facts()
    final = last_entry(sold)

    refused = sold("undo", deposit)
    assert refused.code == 1
    assert f"benchledger undo {final}" in noted(refused)
    assert "quote credit I-2501-1" in noted(refused)
    assert sold("undo", final).code == 0
    assert sold("undo", deposit).code == 0


def test_a_credit_note_that_a_later_invoice_counts_is_not_undone(sold):
    sold("quote", "invoice", "bench", "--json").facts()
    sold("quote", "credit", "I-2501-1", "54", "--why", "a scratch", "--json").facts()
    note = last_entry(sold)
    sold("quote", "invoice", "bench", "--rest", "--json").facts()

    refused = sold("undo", note)
    assert refused.code == 1
    assert "I-2501-3 counts I-2501-2" in noted(refused)


def test_a_cancellation_that_an_invoice_rests_on_is_not_undone(sold):
    sold("job", "cancel", "bench", "--kept", "300", "--why", "moved away")
    canceled = last_entry(sold)
    paper = sold("quote", "invoice", "bench", "--json").facts()
    assert paper["asked"] == "300.00"

    refused = sold("undo", canceled)
    assert refused.code == 1
    assert f"{paper['invoice']} rests on this cancellation" in noted(refused)
    sold("undo")
    assert sold("undo", canceled).code == 0


def test_under_vat_another_sum_answers_a_cancellation_that_was_credited(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")
    vat("job", "cancel", "bench", "--kept", "600", "--why", "moved", "--kept-as", "work")

    refused = vat("undo")
    assert refused.code == 1
    assert "job cancel J-2501 --kept" in noted(refused)


def test_refunds_are_undone_one_after_the_other_though_an_invoice_stands(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")

    vat("job", "pay", "bench", "40", "--refund")
    vat("job", "pay", "bench", "60", "--refund")

    assert vat("undo").code == 0
    assert vat("job", "pay", "bench", "--json").facts()["received"] == "1160.00"
    assert vat("undo").code == 0
    assert vat("undo").code == 1, "the invoice under VAT stays"


def due_of(program):
    return program("job", "pay", "bench", "--json").facts()["due"]


def test_a_part_credited_after_the_final_invoice_is_asked_for_no_more(sold):
    sold("job", "pay", "bench", "1054")
    sold("quote", "invoice", "bench", "--rest")
    assert due_of(sold) == "1054.00"

    said = sold("quote", "credit", "I-2501-1", "106", "--why", "a scratch")
    assert "asks for 106.00 less now" in noted(said)
    assert due_of(sold) == "948.00"
    listed = sold("quote", "invoice", "--list", "--json").facts()
    assert sum(float(row["asked"]) for row in listed) == 1054 + 948
    assert sold("quote", "invoice", "bench").code == 1, "nothing bills it again"
    assert sold("undo").code == 0
    assert due_of(sold) == "1054.00"


def test_a_rebate_on_a_closed_job_under_vat_ties_tax_and_payments(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")
    vat("job", "state", "bench", "installed")
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")
    closed = vat("job", "close", "bench")
    assert closed.code == 0, closed.err

    said = vat("quote", "credit", "I-25-0002", "95.20", "--why", "a scratch")
    assert "benchledger job pay J-2501 95.20 --refund" in noted(said)
    assert due_of(vat) == "-95.20"
    assert vat("quote", "invoice", "bench").code == 1
    vat("job", "pay", "bench", "95.20", "--refund")
    assert due_of(vat) == "0.00"
    listed = vat("quote", "invoice", "--list", "--json").facts()
    tax = sum(round(100 * float(row["tax"])) for row in listed)
    month = vat("month", "2025-04", "--json").facts()
    assert round(100 * float(month["tax_collected"])) == tax == 40000 - 1587


def test_what_is_kept_without_tax_is_told_from_an_invoice_with_tax(sold):
    sold("job", "pay", "bench", "1100")
    sold("quote", "invoice", "bench")
    done = sold("job", "cancel", "bench", "--kept", "1054", "--why", "moved")
    for said in (noted(done), noted(sold("job", "pay", "bench")), sold("today").out):
        assert "benchledger quote invoice J-2501" in said

    paper = sold("quote", "invoice", "bench", "--json").facts()
    assert paper["asked"] == "0.00"
    listed = sold("quote", "invoice", "--list", "--json").facts()
    assert sum(float(row["tax"]) for row in listed) == 0
    month = sold("month", "2025-04", "--json").facts()
    assert month["tax_collected"] == "0.00"
    assert "quote invoice" not in noted(sold("job", "pay", "bench"))
    assert "quote invoice" not in sold("today").out
    assert sold("quote", "invoice", "bench").code == 1


def test_under_vat_the_preview_of_a_cancellation_shows_both_answers(vat):
    vat("job", "pay", "bench", "1200")
    line = ("job", "cancel", "bench", "--kept", "600")

    choice = vat(*line, "--json").facts()["choice"]
    assert choice["work"] == {"kept": "600.00", "tax": "100.00", "back": "600.00", "owed": "0.00"}
    assert choice["compensation"]["tax"] == "0.00"
    assert vat(*line, "--kept-as", "work", "--json").facts()["choice"] == {}
    said = vat(*line)
    assert "--kept-as work, or --kept-as compensation" in noted(said)
    assert "No tax is reckoned" not in noted(said)


def test_a_closed_job_under_vat_gets_its_final_invoice_and_says_the_day(vat):
    entered(vat)
    vat("job", "pay", "bench", "2400")
    assert vat("job", "close", "bench").code == 0

    refused = vat("quote", "invoice", "bench")
    assert refused.code == 1
    assert "--supplied DAY" in noted(refused)
    paper = vat("quote", "invoice", "bench", "--supplied", "2025-04-24", "--json").facts()
    assert (paper["kind"], paper["asked"], paper["to_pay"]) == ("Invoice", "2400.00", "0.00")


def test_an_invoice_typed_twice_is_refused_until_something_happens(sold):
    sold("quote", "invoice", "bench", "--json").facts()

    refused = sold("quote", "invoice", "bench", "--json")
    assert refused.code == 1
    assert "--again I-2501-1" in noted(refused)
    assert len(sold("quote", "invoice", "--list", "--json").facts()) == 1
    sold("job", "pay", "bench", "1054")
    assert sold("quote", "invoice", "bench", "--json").facts()["invoice"] == "I-2501-2"


def test_a_shop_without_tax_reads_no_word_of_it(sold):
    sold("shop", "set", "tax_standing=exempt")
    sold("job", "new", "Chair repair", "--parts", "bench.csv")
    for line in (["draft", "chair", "--price", "270", "--payments", "50/50"], ["send", "chair"],
                 ["accept", "chair"]):  # fmt: skip
        assert sold("quote", *line).code == 0

    for line in (["quote", "show", "chair"], ["job", "pay", "chair", "135"],
                 ["month", "2025-04"], ["year", "2025"]):  # fmt: skip
        said = sold(*line)
        assert said.code == 0, said.err
        for name in ("tax in it", "with tax", "before tax", "use tax"):
            assert name not in said.out, (line, said.out)


def test_an_earlier_invoice_is_taken_off_in_plain_words(sold, tmp_path, pdf_text):
    sold("quote", "invoice", "bench")
    sold("quote", "credit", "I-2501-1", "54", "--why", "a scratch")

    assert sold("quote", "invoice", "bench", "--rest", "--pdf", "f.pdf").code == 0
    words = "Less I-2501-1 of April 25, 2025, net of credit I-2501-2"
    assert words in pdf_text(tmp_path / "f.pdf")
