"""The shop's own sentences on its papers, as settings with a first wording to start from.

Sentences are parted by `|`. One may begin with when it holds, such as `site:`, `delivered mm:` or
`solid not painted:` (`MARKS`): a table that is fetched needs no word on walls, a repair none on
drawings. The words are the shop's to change;
where law is touched they name the law of the place as what counts: only that can decide.
"""

_ASSUMED = (
    "site measured: Sizes as measured on site before the drawing was made"
    " | site inch: Walls of wood studs 16 in on center, or masonry as seen"
    " | site mm: Walls of masonry or studs as seen"
    " | installed inch: Floor level within 3/8 in"
    " | installed mm: Floor level within 10 mm"
    " | delivered not outdoors inch: A clear path 30 in wide to a room on the ground floor"
    " | delivered not outdoors mm: A clear path 760 mm wide to a room on the ground floor"
    " | delivered outdoors inch: A clear path 30 in wide to where it stands"
    " | delivered outdoors mm: A clear path 760 mm wide to where it stands"
    " | delivered not outdoors inch: One delivery on a weekday, parking within 100 ft, the room"
    " cleared"
    " | delivered not outdoors mm: One delivery on a weekday, parking within 30 m, the room cleared"
    " | delivered outdoors inch: One delivery on a weekday, parking within 100 ft, the place"
    " cleared"
    " | delivered outdoors mm: One delivery on a weekday, parking within 30 m, the place cleared"
    " | collected not service: Picked up at the shop during the day, with help to load"
    " | collected service: Pick up at the shop"
)

_EXCLUDED = (
    "site inch: Electrical and plumbing work, drywall and painting of walls"
    " | site mm: Electrical and plumbing work, plastering and painting of walls"
    " | delivered not outdoors: Moving furniture or carpet that is there"
    " | site inch: Hidden conditions in walls, and walls out of plumb by more than 1/2 in"
    " | site mm: Hidden conditions in walls, and walls out of plumb by more than 13 mm"
    " | delivered: Permits, hoists and elevator fees"
    " | wood not painted sample: Color match to other pieces beyond the approved sample; wood"
    " moves and its figure varies"
    " | wood not painted not sample: Color match to other pieces; wood moves and its figure varies"
    " | painted sample: Color match to other pieces beyond the approved sample"
    " | painted not sample: Color match to other pieces"
    " | painted solid: Joints of painted solid wood may show a fine line with the seasons"
    " | service coated: Color match to what is not finished anew; old wood takes a finish unevenly"
    " | Touching up what others damage"
)

_CHANGES = (
    "After acceptance every change is written down as a numbered change order with its price and"
    " days, and begins when you have approved it."
    " | drawn revisions: Changes of size, material or drawing beyond the included drawing revisions"
    " are such changes."
    " | drawn not revisions: Changes of size, material or drawing are such changes."
    " | repair: What is found hidden in the piece, such as nails, worm or old glue, is such a"
    " change."
)

# What is said of wood outdoors is common practice, no source.
_CARE = (
    "Wipe with a damp cloth and dry; no abrasive or solvent."
    " | wood not outdoors: Keep the room between about 35 and 55 % humidity."
    " | wood outdoors: Outdoors wood weathers, turns gray and may check; keep its feet off wet"
    " ground, and look at joints, fasteners and finish every year."
    " | oil_finish: Oil it again when it looks dry; spread the rags flat outdoors to dry, never in"
    " a heap."
    " | painted: Chips are touched up with the same paint; ask us for its name."
)

_WARRANTY = (
    "not service installed: Faults of workmanship are put right without charge for one year from"
    " installation."
    " | not service delivered not installed: Faults of workmanship are put right without charge for"
    " one year from delivery."
    " | not service collected: Faults of workmanship are put right without charge for one year from"
    " pickup."
    " | not service fittings: Fittings carry their makers' own warranty."
    " | service: What fails of the work done is put right without charge for one year; this covers"
    " the repair, not the piece."
    " | Your rights under the law stay as they are."
)

_CANCEL = (
    "Where the law of your place gives you a right to cancel or withdraw, it stands; ask us for"
    " the dates."
    " | not service: A piece made to your measure may be excepted from a right of withdrawal: then"
    " it cannot be returned once it is ordered. Work and material begin when a cancel right has"
    " lapsed. If you cancel later, what was spent on your piece until then is kept."
    " | service: Work begins when a cancel right has lapsed. If you cancel later, what was spent on"
    " the work until then is kept."
)

_ACCEPT = (
    "not service sample: Accepted: this quote, its drawing and sample, and the payments as listed."
    " | not service not sample: Accepted: this quote, its drawing and the payments as listed."
    " | service: Accepted: this quote and the payments as listed."
    " | The deposit and your signature, or your written reply, start the work."
)

_IMPROVEMENT = (
    "No sales tax is added: the piece becomes part of the building, and the tax on its material is"
    " in the price."
)

_KIT = (
    "Made to your sizes | wall_fixed: Made to your wall | bed: Made for your mattress"
    " | solid veneer: Solid and veneered wood that can be repaired and finished again"
    " | solid not veneer: Solid wood that can be repaired and finished again"
    " | veneer not solid: Veneered wood that can be repaired and finished again"
    " | springs installed: Springs chosen for the weight they move, fitted and tried"
    " | One person who made it and answers for it"
)

MARKS = {
    "site": "the shop fixes the piece to a wall or fits it on site",
    "loose": "it is not",
    "delivery": "it is delivered or fitted by the shop",
    "delivered": "it is delivered or fitted by the shop",
    "collected": "it is neither, and nobody visits: it is fetched from the shop",
    "installed": "hours of installation are in the price, or it is fitted on site",
    "carried": "delivery, for which the price has hours, has no line of its own on the quote",
    "fitted": "fitting on site, for which the price has hours, has no line of its own on the quote",
    "measured": "a meeting or site measure is in the price",
    "drawn": "it has a design",
    "revisions": "the quote includes revisions of the drawing",
    "sample": "the quote names a sample, or a cost of samples is answered",
    "service": "it is work on a piece that is there",
    "repair": "it is repaired, taken apart or finished anew, by its hours or its title",
    "bed": "it is made for a mattress",
    "springs": "springs move its weight",
    "wall_fixed": "it is fixed to a wall",
    "solid": "solid wood is in it",
    "veneer": "plywood or veneered panels are in it",
    "wood": "solid wood or veneer is in it",
    "fittings": "hardware is in it",
    "coated": "it gets a finish here",
    "outdoors": "its title, design, deliverables or finish name a place or piece outdoors",
    "painted": "its finish is opaque",
    "oil_finish": "its finish is a drying oil",
    "inch": "the book measures in inches",
    "mm": "the book measures in millimeters",
}
"""What a sentence may begin with before a colon, and when it then holds: all of them must, and of
one that `not` stands before, the contrary."""

FORMER = {
    "wording_assumptions": (
        "Sizes as measured on site before the drawing was made"
        " | Walls of wood studs 16 in (406 mm) on center, or masonry as seen"
        " | Floor level within 3/8 in (10 mm)"
        " | A clear path 30 in (760 mm) wide to a room on the ground floor"
        " | One delivery on a weekday, parking within 100 ft (30 m), the room cleared"
        " | Collected from the shop by day, with help to load"
    ),
    "wording_exclusions": (
        "Electrical, plumbing, drywall and paint work"
        " | Hidden conditions in walls, and walls out of plumb by more than 1/2 in (13 mm)"
        " | Color match to other pieces beyond the approved sample; wood moves and its figure"
        " varies"
    ),
}
"""What every quote said by itself before: nobody's own words when it is drafted again."""

IN_DOLLARS = {"wording_exempt": "No sales tax is charged."}
"""What is said in place of a default in the United States, where sales tax has no small shops."""

WORDINGS: tuple[tuple[str, str, str, str], ...] = (
    ("wording_payments", "text",
     "On acceptance | coated: Before finishing | not coated: Before assembly"
     " | installed: On installation | delivered not installed: On delivery"
     " | collected: On pickup",
     "names of the payments on a quote, parted by |"),
    ("wording_included", "text",
     "drawn site measured: Site measure and drawing"
     " | drawn fitted not site measured: Site measure and drawing"
     " | drawn not site not fitted: Drawing | drawn fitted not site not measured: Drawing"
     " | drawn site not measured: Drawing | carried not fitted: Delivery"
     " | carried fitted: Delivery and fitting on site | fitted not carried: Fitting on site"
     " | delivered not service: Packing removed",
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
