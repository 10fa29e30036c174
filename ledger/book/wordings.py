"""The shop's own sentences on its papers, as settings with a first wording to start from.

Lists are parted by `|`. The words are the shop's to change; where law is touched they name the
law of the place as what counts, because only that can decide.
"""

_ASSUMED = (
    "Sizes as measured on site before the drawing was made"
    " | Walls of wood studs 16 in (406 mm) on center, or masonry as seen"
    " | Floor level within 3/8 in (10 mm)"
    " | A clear path 30 in (760 mm) wide to a room on the ground floor"
    " | One delivery on a weekday, parking within 100 ft (30 m), the room cleared"
)

_EXCLUDED = (
    "Electrical, plumbing, drywall and paint work"
    " | Moving furniture or carpet that is there"
    " | Hidden conditions in walls, and walls out of plumb by more than 1/2 in (13 mm)"
    " | Permits, hoists and elevator fees"
    " | Color match to other pieces beyond the approved sample; wood moves and its figure varies"
    " | Touching up what others damage"
)

_CHANGES = (
    "After acceptance every change is written down as a numbered change order with its price and"
    " days, and begins when you have approved it. Changes of size, material or drawing beyond the"
    " included drawing revisions are such changes."
)

_CARE = (
    "Wipe with a damp cloth and dry; no abrasive or solvent. Keep the room between about 35 and"
    " 55 % humidity."
)

_WARRANTY = (
    "Faults of workmanship are put right without charge for one year from installation; fittings"
    " carry their makers' own warranty. Your rights under the law stay as they are."
)

_CANCEL = (
    "Where the law of your place gives you a right to cancel or withdraw, it stands; ask us for"
    " the dates. A piece made to your measure may be excepted from a right of withdrawal: then it"
    " cannot be returned once it is ordered. Work and material begin when a cancel right has"
    " lapsed. If you cancel later, what was spent on your piece until then is kept."
)

_ACCEPT = (
    "Accepted: this quote, its drawing and sample, and the payments as listed. The deposit and"
    " your signature, or your written reply, start the work."
)

_IMPROVEMENT = (
    "No sales tax is added: the piece becomes part of the building, and the tax on its material is"
    " in the price."
)

_KIT = (
    "Made to your wall, your sizes and your mattress"
    " | Solid and veneered wood that can be repaired and finished again"
    " | Springs chosen for the weight they move, fitted and tried on site"
    " | One person who made it and answers for it"
)

WORDINGS: tuple[tuple[str, str, str, str], ...] = (
    ("wording_payments", "text", "On acceptance | Before finishing | On installation",
     "names of the payments on a quote, parted by |"),
    ("wording_included", "text", "Site measure and drawing | Taking away all packing",
     "what every quote includes, parted by |"),
    ("wording_assumptions", "text", _ASSUMED, "what every quote assumes, parted by |"),
    ("wording_exclusions", "text", _EXCLUDED, "what no quote includes, parted by |"),
    ("wording_mattress", "text", "Mattress and bedding",
     "what a quote for a bed does not include, parted by |"),
    ("wording_changes", "text", _CHANGES, "how changes after acceptance go"),
    ("wording_care", "text", _CARE, "how a piece is cared for"),
    ("wording_warranty", "text", _WARRANTY, "what is put right, and how long"),
    ("wording_cancel", "text", _CANCEL, "canceling, and the made-to-measure case"),
    ("wording_accept", "text", _ACCEPT, "what a signature says"),
    ("wording_exempt", "text", "No tax is shown: the shop is exempt as a small business.",
     "what stands in place of a tax line where the shop is exempt"),
    ("wording_untaxed", "text", "No tax on this part",
     "what stands on an invoice beside what no tax falls on; under VAT, the provision"),
    ("wording_improvement", "text", _IMPROVEMENT,
     "what stands in place of a tax line where a job improves real property"),
    ("tax_number", "text", "", "the shop's tax or VAT number, on invoices"),
    ("wording_kit", "text", _KIT, "what a commission has that a kit has not, parted by |"),
    ("wording_pay_to", "text", "", "how and where to pay, on invoices"),
)  # fmt: skip
"""Rows as the table of settings has them: name, kind, default, what it is for."""
