"""The worked scenario as commands: a day, and what is typed on it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

SAMPLES = "sample_data"
JOB = "J-2507"

# The costs that nothing in the estimate covers, each thought about and answered.
ANSWERS = (
    "samples", "parking", "go-back", "rework", "sharpening", "sales tax", "filming", "storage",
    "price rise", "warranty", "disposal", "insurance", "card fee",
)  # fmt: skip


def steps(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """The whole story in order; papers go to the folder."""
    yield from _spring()
    yield from _price(folder)
    yield from _quote(folder)
    yield from _build(folder)
    yield from _after(folder)


def _spring() -> Iterator[tuple[str, list[str]]]:
    """A book, the shop's figures, prices, stock, past jobs, the sponsor's sheets."""
    yield "2025-04-14", ["new", "--shop", "Quillhaven Workshop"]
    yield "2025-04-14", ["shop", "load", f"{SAMPLES}/shop.csv"]
    yield "2025-04-14", ["material", "load", f"{SAMPLES}/materials.csv"]
    yield "2025-04-14", ["stock", "open", f"{SAMPLES}/opening_stock.csv"]
    yield "2025-04-14", ["job", "load", f"{SAMPLES}/past_jobs"]
    yield "2025-04-14", ["sponsor", "add", "Brightfell Panels", "--objective",
                         "Makers see birch plywood used in real furniture"]  # fmt: skip
    yield "2025-04-14", ["sponsor", "agree", "Brightfell", "--fee", "900",
                         "--supplies", "12 sheets of birch plywood 3/4",
                         "--deliver", "1 long by 2025-06-30",
                         "--deliver", "2 post by 2025-06-30"]  # fmt: skip
    yield "2025-04-14", ["receipt", "load", f"{SAMPLES}/sponsor_receipts.csv"]
    yield "2025-04-15", ["sponsor", "damage", "Brightfell", "PLY34", "1", "--why",
                         "corner crushed, reported with photos"]  # fmt: skip


def _price(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """The first moment: from a parts list in a spreadsheet to a price."""
    yield "2025-04-22", ["design", "load", f"{SAMPLES}/bed"]
    yield "2025-04-22", ["job", "new", "Marrow fold-down bed", "--design", "bed",
                         "--client", "D. Marrow", "--number", JOB]  # fmt: skip
    yield "2025-04-22", ["job", "add-cost", "bed", "miles", "44", "--note", "pick-up and delivery"]
    for operation, count in (("RIP", "33"), ("XW", "20"), ("XN", "85")):
        yield "2025-04-22", ["job", "count", "bed", operation, count,
                             "--note", "counted on the drawn cut plan"]  # fmt: skip
    for item in ANSWERS:
        yield "2025-04-24", ["job", "answer", "bed", item, "0", "--note", "not in this job"]
    yield "2025-04-25", ["price", "bed"]
    yield "2025-04-25", ["price", "bed", "--explain", "PLY34"]
    yield "2025-04-25", ["price", "bed", "--xlsx", f"{folder}/cost-sheet.xlsx",
                         "--pdf", f"{folder}/cost-sheet.pdf"]  # fmt: skip
    yield "2025-04-25", ["layout", "bed", "--svg", f"{folder}/cut-plan",
                         "--pdf", f"{folder}/shop-pack.pdf",
                         "--xlsx", f"{folder}/cut-list.xlsx",
                         "--labels", f"{folder}/labels.pdf"]  # fmt: skip
    yield "2025-04-25", ["job", "buying-list", "bed", "--pdf", f"{folder}/buying-list.pdf"]


def _quote(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """The quote goes out and is accepted; a kit stands beside it."""
    yield "2025-04-24", ["kit", "add", "Fold bed kit, melamine, gas springs", "--price", "1890.00",
                         "--shipping", "210.00", "--assembly", "12h", "--years", "8",
                         "--lacks", "two 18-in bookcases=520.00",
                         "--lacks-untaxed", "wall fixings=25.00",
                         "--warranty", "5 years on the mechanism",
                         "--lift", "gas springs"]  # fmt: skip
    yield "2025-04-25", ["quote", "draft", "bed",
                         "--deliverable", "Delivery, installation and wall fixing=900",
                         "--goods", "Bed and towers", "--drawing", "D-2507 rev 2",
                         "--sample", "3", "--mattress", "60x80x10 in, 75 lb"]  # fmt: skip
    yield "2025-04-25", ["quote", "send", "bed", "--pdf", f"{folder}/quote.pdf",
                         "--xlsx", f"{folder}/quote.xlsx"]  # fmt: skip
    yield "2025-04-28", ["quote", "accept", "bed", "--by", "signature and deposit"]
    yield "2025-04-28", ["quote", "invoice", "bed", "--pdf", f"{folder}/invoice-deposit.pdf"]
    yield "2025-04-28", ["job", "pay", "bed", "3672.40"]


def _build(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """Material comes in and goes into the bed, hours are logged, a change is agreed."""
    yield "2025-05-05", ["job", "load", f"{SAMPLES}/past_jobs_spring"]
    yield "2025-05-05", ["stock", "issue", "J-2503", "PLY34", "4", "--on", "2025-04-16",
                         "--off-camera"]  # fmt: skip
    yield "2025-05-06", ["stock", "issue", "bed", "PLY34", "5", "--on-camera"]
    yield "2025-05-13", ["receipt", "load", f"{SAMPLES}/receipts.csv"]
    yield "2025-05-19", ["job", "change", "bed", "one more loose shelf per tower",
                         "--price", "120.00", "--hours", "0.8",
                         "--pdf", f"{folder}/change-order.pdf"]  # fmt: skip
    yield "2025-05-19", ["job", "change", "bed", "--approved", "CO-1", "--by", "e-mail"]
    yield "2025-05-20", ["sponsor", "publish", "Brightfell", "Bunk room", "--kind", "photo",
                         "--build", "J-2503", "--link", "link-1"]  # fmt: skip
    for code, count in (("EDGE78", "88"), ("DISC5", "41"), ("GLUE", "1"), ("PSCREW", "117"),
                        ("ASSORT", "1"), ("WRAP", "1"), ("PIN14", "7")):  # fmt: skip
        yield "2025-05-27", ["stock", "issue", "bed", code, count]
    yield "2025-05-29", ["stock", "keep", "bed", "PLY12", "95-1/2x15-11/16", "95-1/2x15-11/16"]
    yield "2025-05-29", ["stock", "keep", "bed", "PLY14", "34-1/2x40-7/16", "34-1/2x40-7/16",
                         "95-1/2x12-3/4"]  # fmt: skip
    yield "2025-05-29", ["stock", "keep", "bed", "PLY34", "30x31-11/16"]
    yield "2025-05-29", ["job", "add-cost", "bed", "miles", "142", "--actual"]
    yield "2025-05-29", ["hours", "load", f"{SAMPLES}/bed_hours.csv"]
    yield "2025-05-29", ["job", "spoiled", "bed", "16.66", "--part", "C1",
                         "--note", "offcut and tape of the new tower side"]  # fmt: skip
    yield "2025-05-16", ["quote", "invoice", "bed", "--pdf", f"{folder}/invoice-stage.pdf"]
    yield "2025-05-19", ["job", "pay", "bed", "2937.92"]
    yield "2025-05-28", ["job", "state", "bed", "installed"]
    yield "2025-05-29", ["quote", "invoice", "bed", "--rest",
                         "--pdf", f"{folder}/invoice-final.pdf"]  # fmt: skip
    yield "2025-05-29", ["job", "pay", "bed", "861.68", "--by", "card", "--fee", "24.02"]


def _after(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """The close-out, the month for the accountant, the sponsor's report, the build's income."""
    yield "2025-05-30", ["job", "close", "bed", "--pdf", f"{folder}/close-out.pdf",
                         "--xlsx", f"{folder}/close-out.xlsx"]  # fmt: skip
    yield "2025-05-30", ["papers", "bed", f"{folder}/papers-{JOB}"]
    yield "2025-06-02", ["month", "2025-05", "--xlsx", f"{folder}/2025-05"]
    yield "2025-06-21", ["hours", "load", f"{SAMPLES}/content_hours.csv"]
    yield "2025-06-22", ["month", "2025-05", "--close"]
    yield "2025-06-24", ["sponsor", "build", "J-2503", "Bunk-room shelving"]
    yield "2025-06-24", ["sponsor", "build", "bed", "Fold-down bed with two towers"]
    yield "2025-06-24", ["sponsor", "publish", "Brightfell", "A fold-down bed", "--kind", "long",
                         "--build", "bed", "--link", "link-2", "--disclosed",
                         "said and written at the start", "--on", "2025-06-20"]  # fmt: skip
    yield "2025-06-24", ["sponsor", "publish", "Brightfell", "The bed in a minute", "--kind",
                         "short", "--build", "bed", "--link", "link-3", "--disclosed",
                         "written on the picture"]  # fmt: skip
    yield "2025-06-30", ["sponsor", "report", "Brightfell", "--from", "2025-04-01", "--to",
                         "2025-06-30", "--xlsx", f"{folder}/sponsor-brightfell.xlsx"]  # fmt: skip
    yield "2025-06-30", ["job", "income", "bed", "sponsor fee", "900.00"]
    yield from _summer(folder)
    yield "2025-08-27", ["job", "income", "bed", "plans", "738.00", "--fee", "59.04"]
    yield "2025-08-27", ["job", "income", "bed", "affiliate", "64.10"]
    yield "2025-08-27", ["job", "income", "bed", "ads", "212.40"]
    yield "2025-08-27", ["job", "close", "bed", "--preview"]
    yield "2025-08-27", ["kit", "compare", "bed", "--wage", "20", "--plan", "18",
                         "--skilled", "53", "--pdf", f"{folder}/kit-comparison.pdf",
                         "--builder-pdf", f"{folder}/build-it-yourself.pdf"]  # fmt: skip
    yield "2025-08-27", ["standards", "show", "sand"]
    yield "2025-08-27", ["today"]
    yield from _plans(folder)
    yield "2025-08-27", ["check"]
    yield "2025-08-27", ["backup", f"{folder}/shop-backup.sqlite"]


TABLE_HOURS = (
    ("2025-07-14", ("MTG=1h15", "ADM=1h45", "DES=4h30", "PUP=1h15", "LUM=2h15")),
    ("2025-07-15", ("MIL=2h", "GLU=1h15")),
    ("2025-07-16", ("FLT=30m", "TEN=3h", "TNS=30m", "LAP=40m", "RAB=30m")),
    ("2025-07-17", ("DVH=2h15", "TPR=45m", "SHP=20m", "ASM=2h45")),
    ("2025-07-18", ("DRF=35m", "SNS=1h30", "SNV=45m")),
    ("2025-07-21", ("WIP=45m", "HFS=50m", "HWS=1h10", "PAK=30m")),
)  # fmt: skip


def _summer(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """A small solid piece and a repair, each from its price to paid and closed."""
    yield "2025-07-07", ["material", "load", f"{SAMPLES}/side_table_materials.csv"]
    yield "2025-07-07", ["design", "load", _table(folder, "first")]
    yield "2025-07-07", ["job", "new", "Walnut table for a hall", "--design", "walnut-side-table",
                         "--client", "T. Okafor"]  # fmt: skip
    yield "2025-07-07", ["job", "add-cost", "hall", "miles", "20"]
    yield "2025-07-07", ["price", "hall"]
    yield "2025-07-07", ["quote", "draft", "hall"]
    yield "2025-07-07", ["quote", "send", "hall", "--pdf", f"{folder}/quote-table.pdf"]
    yield "2025-07-08", ["quote", "accept", "hall"]
    yield "2025-07-08", ["job", "pay", "hall", "1378.00"]
    yield "2025-07-09", ["receipt", "add", "WAL44", "9", "12.00", "--and", "WAL84 3 at 14.00",
                         "--and", "POP44 5 at 4.60", "--and", "OIL 1 at 28.00", "--from",
                         "Larkspur Hardwoods", "--to", "hall", "--tax-kind", "resale"]  # fmt: skip
    for day, lines in TABLE_HOURS:
        for line in lines:
            operation, hours = line.split("=")
            yield day, ["hours", "add", "hall", operation, hours]
    yield "2025-07-21", ["job", "pay", "hall", "1102.40"]
    yield "2025-07-22", ["hours", "add", "hall", "DLV", "1h"]
    yield "2025-07-22", ["job", "state", "hall", "ready"]
    yield "2025-07-22", ["quote", "invoice", "hall", "--rest",
                         "--pdf", f"{folder}/invoice-table.pdf"]  # fmt: skip
    yield "2025-07-23", ["job", "pay", "hall", "275.60"]
    yield "2025-07-23", ["job", "close", "hall"]
    yield "2025-07-21", ["job", "new", "Reglue two chairs", "--work",
                         "take apart 12, assemble 12, protect 2", "--use", "GLUE 1",
                         "--client", "M. Ortiz"]  # fmt: skip
    yield "2025-07-21", ["price", "reglue"]
    yield "2025-07-21", ["quote", "draft", "reglue"]
    yield "2025-07-21", ["quote", "send", "reglue"]
    yield "2025-07-21", ["quote", "accept", "reglue"]
    for operation, hours in (("DIS", "1h15"), ("ASM", "1h30"), ("PAK", "20m"), ("ADS", "20m")):
        yield "2025-07-24", ["hours", "add", "reglue", operation, hours]
    yield "2025-07-25", ["quote", "invoice", "reglue", "--rest",
                         "--pdf", f"{folder}/invoice-reglue.pdf"]  # fmt: skip
    yield "2025-07-25", ["job", "pay", "reglue", "339.20"]
    yield "2025-07-25", ["job", "close", "reglue"]


def _table(folder: Path, version: str) -> str:
    """The side table's first version, or the one that puts it right, as a folder of its own."""
    there = folder / f"side_table_{version}"
    for source in ("side_table", there.name):
        shutil.copytree(Path(__file__).parents[1] / SAMPLES / source, there, dirs_exist_ok=True)
    return str(there)


def _plans(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """Two designs as plans to sell, and a correction that finds who has the first version."""
    editions = (("inch", "letter"), ("mm", "a4"))
    yield "2025-08-27", ["job", "new", "Side table for a plan", "--design", "walnut-side-table"]
    sale = ["job", "income", "side table", "plans"]
    yield "2025-08-27", [*sale, "24.00", "--fee", "1.92", "--order", "A-1001",
                         "--set", "leg=1-3/8 in", "--set", "width=28 in"]  # fmt: skip
    yield "2025-08-27", [*sale, "48.00", "--fee", "3.84", "--order", "A-1002", "--order", "A-1003",
                         "--set", "leg=1-1/2 in"]  # fmt: skip
    yield "2025-08-27", ["design", "load", _table(folder, "corrected")]
    for design, name in (("fold-down-bed", "bed"), ("walnut-side-table", "side_table")):
        for units, paper in editions:
            yield "2025-08-27", ["design", "plan", design, "--units", units, "--pdf",
                                 f"{folder}/plan-{name}-{paper}.pdf", "--pictures",
                                 f"{SAMPLES}/{name}"]  # fmt: skip
    errata = ["design", "errata", "walnut-side-table", "--order", "A-1001"]
    for units, paper in editions:
        yield "2025-08-27", [*errata, "--units", units, "--pdf",
                             f"{folder}/corrected-pages-{paper}.pdf"]  # fmt: skip
