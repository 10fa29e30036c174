"""`papers`: each paper that a job has, by its state, and why it has no others."""

import json

import pytest

SHOP = (
    ["new", "--shop", "Quillhaven Workshop"],
    ["shop", "set", "overhead_year=22000", "pay_year=56000"],
    ["material", "load", "--starting"],
)
INSIDE = ["cost-sheet", "buying-list", "shop-pack", "labels"]


@pytest.fixture
def box(begun, tmp_path):
    (tmp_path / "box.csv").write_text("id,qty,length,width,material\nA,2,20,10,PLY34\n", "utf-8")
    return begun(*SHOP, ["job", "new", "Box", "--parts", "box.csv", "--client", "T. Okafor"])


def told(said):
    assert said.code == 0, said.err
    answer = json.loads(said.out)
    return [one["paper"] for one in answer["written"]], {
        one["paper"]: one["why"] for one in answer["missing"]
    }


def test_an_open_job_has_those_of_the_shop_and_says_what_the_others_wait_for(box, tmp_path):
    written, missing = told(box("papers", "box", "out", "--json"))

    assert written == INSIDE
    assert list(missing) == [
        "quotes",
        "change orders",
        "invoices",
        "close-out",
        "kit comparison",
        "sponsor's report",
    ]
    assert "quote draft J-2501" in missing["quotes"]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(
        f"{name}.pdf" for name in written
    )


def test_more_come_as_the_job_goes_on(box, tmp_path, pdf_text):
    for words in (
        ["quote", "draft", "box", "--price", "900"], ["quote", "send", "box"],
        ["quote", "accept", "box"], ["quote", "invoice", "box"],
        ["job", "change", "box", "a lid", "--price", "40"],
    ):  # fmt: skip
        assert box(*words).code == 0, words
    written, missing = told(box("papers", "box", "out", "--json"))

    assert written == ["quote-Q-2501-A", "change-order-CO-1", "invoice-I-2501-1", *INSIDE]
    assert list(missing) == ["close-out", "kit comparison", "sponsor's report"]
    assert "a lid" in pdf_text(tmp_path / "out" / "change-order-CO-1.pdf")

    assert box("job", "state", "box", "ready").code == 0
    _, missing = told(box("papers", "box", "out", "--json"))
    assert "the job is ready" in missing["buying list"]


def test_on_the_screen_each_path_and_each_reason_is_a_line(box):
    said = box("papers", "box", "out")

    assert said.out.splitlines()[0].endswith("cost-sheet.pdf")
    assert said.out.splitlines()[-1] == "J-2501 Box: 4 papers; 6 kinds missing"
    assert "No invoices: " in said.err


def test_a_job_that_nobody_knows_yet_has_none_and_a_folder_must_be_one(box, tmp_path):
    assert box("job", "new", "An idea").code == 0
    written, missing = told(box("papers", "idea", "idea", "--json"))

    assert written == []
    assert "has no design yet" in missing["shop pack"]
    assert not (tmp_path / "idea").exists()
    refused = box("papers", "box", "box.csv")
    assert (refused.code, "cannot be made" in refused.err) == (1, True)


def test_the_report_of_a_sponsor_whose_goods_are_in_a_job_is_one_of_its_papers(
    box, tmp_path, pdf_text
):
    assert told(box("papers", "box", "out", "--json"))[1]["sponsor's report"].startswith("no spons")
    for words in (
        ["sponsor", "add", "Brightfell Panels", "--objective", "birch in real furniture"],
        ["sponsor", "receive", "brightfell", "PLY34", "3", "--value", "96.00"],
        ["sponsor", "build", "box", "A plain box"],
        ["stock", "issue", "box", "PLY34", "1", "--on-camera"],
    ):  # fmt: skip
        said = box(*words)
        assert said.code == 0, (words, said.err)
    written, missing = told(box("papers", "box", "out", "--json"))

    assert "sponsor-Brightfell-Panels" in written
    assert "sponsor's report" not in missing
    assert "A plain box" in pdf_text(tmp_path / "out" / "sponsor-Brightfell-Panels.pdf")


def test_payment_requests_are_counted_apart_from_invoices(vat):
    vat("shop", "set", "address=Lindenweg 4", "tax_number=ATU12345675")
    vat("job", "client", "bench", "--address", "Feldstr. 9 | 1010 Wien")
    for words in (
        ["quote", "invoice", "bench"], ["job", "pay", "bench", "1200"],
        ["quote", "invoice", "bench"], ["quote", "invoice", "bench", "--request"],
    ):  # fmt: skip
        said = vat(*words)
        assert said.code == 0, (words, said.err)
    written, _ = told(vat("papers", "bench", "out", "--json"))
    assert [name for name in written if name.startswith(("payment", "invoice"))] == [
        "payment-request-1", "invoice-I-25-0001", "payment-request-2"
    ]  # fmt: skip
