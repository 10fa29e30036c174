"""A list of cuts executed from its JSON alone, sharing no line with the program that made it.

It lays the sheets on a bench, takes each piece that a cut names, cuts it where the sizes say and
lays back what falls, each with its place on the sheet. `faults` gives what is wrong, by rule:

1. Numbers run on; the piece of a cut is on the bench, and is taken off it; no id comes twice.
2. A piece has the size with which it was put down.
3. Off, blade and rest make up the piece; the blade takes the kerf, less only at the far end, and a
   trimming cut takes just the trim of a factory edge.
4. What lies against the fence or the stop is one of the two pieces; run, across and held are true.
5. The shop's listed tools admit the cut; where none is said to fit, none does.
6. Nothing is measured from a factory edge, and the edge that is named is the one that is used.
7. In the end the bench holds the wanted parts, each in its place and size, the leftovers and waste.
8. Counts, setting groups and the list of cuts without a tool are those of the list.
9. Equal parts that are cut alike are cut with one setting, and weights follow the area.
"""

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from typing import Any

type Json = dict[str, Any]
type Rect = tuple[int, int, int, int]  # x, y, length, width

EDGES = ("left", "right", "near", "far")


def nm(text: str) -> int:
    """Read a decimal number of millimeters as nanometers."""
    return int(Fraction(text) * 1_000_000)


def faults(plan: Json, cuts: Json) -> list[str]:
    """Execute the list of cuts of one material of a layout; give every fault that is seen."""
    bench = _Bench(plan, cuts)
    try:
        bench.run()
        bench.ends()
        bench.counts()
    except (KeyError, ValueError, TypeError, IndexError) as trouble:
        bench.wrong.append(f"1: it cannot be read ({trouble!r})")
    return bench.wrong


class _Bench:
    def __init__(self, plan: Json, cuts: Json) -> None:
        self.plan, self.list = plan, cuts
        self.tools, self.kerf = cuts["tools"], nm(cuts["kerf_mm"])
        self.wrong: list[str] = []
        self.there: dict[str, tuple[int, Rect, bool]] = {}
        self.falls: dict[str, Json] = {}
        self.ids: set[str] = set()
        self.blanks: dict[str, Json] = {}
        self.sheets = {stock["sheet"]: stock for stock in cuts["stock"]}
        self.settings: dict[object, set[str]] = {}
        self.grams: list[tuple[int, int]] = []
        for stock in cuts["stock"]:
            area = (0, 0, nm(stock["length_mm"]), nm(stock["width_mm"]))
            self.there[stock["piece"]] = (stock["sheet"], area, stock["source"] == "new")
            self.ids.add(stock["piece"])

    def say(self, rule: int, cut: Json, words: str) -> None:
        self.wrong.append(f"{rule}: cut {cut['number']}: {words}")

    def run(self) -> None:
        for place, cut in enumerate(self.list["cuts"], start=1):
            if cut["number"] != place:
                self.say(1, cut, f"it stands at place {place}")
            if cut["piece"] not in self.there:
                self.say(1, cut, "its piece is not on the bench")
                continue
            sheet, rect, whole = self.there.pop(cut["piece"])
            row = self.falls.pop(cut["piece"], {"is": "piece"})
            if row["is"] != ("piece" if cut["round"] == 1 else "blank"):
                self.say(7, cut, f"it cuts what is called {row['is']}")
            if (sheet, *rect[2:]) != (cut["sheet"], nm(cut["length_mm"]), nm(cut["width_mm"])):
                self.say(2, cut, "its piece has another size or sheet")
            self.one(cut, sheet, rect, whole)

    def one(self, cut: Json, sheet: int, rect: Rect, whole: bool) -> None:
        x, y, length, width = rect
        rip = cut["along"] == "length"
        run, across = (length, width) if rip else (width, length)
        outs = {row["role"]: row for row in cut["out"]}
        size = 0 if "off" not in outs else nm(outs["off"]["width_mm" if rip else "length_mm"])
        rest = 0 if "rest" not in outs else nm(outs["rest"]["width_mm" if rip else "length_mm"])
        lost = nm(cut["lost_mm"])
        self.sums(cut, sheet, rect, (size, lost, rest))
        for role, low, own in (("off", 0, size), ("rest", size + lost, rest)):
            if role in outs:
                area = (x, y + low, length, own) if rip else (x + low, y, own, width)
                self.put(cut, sheet, outs[role], area, whole=whole and "off" not in outs)
        self.facts(cut, (run, across, size, rest))
        far_end = y + width if rip else x + length
        self.edge(cut, sheet, (size, rest), near_at=y if rip else x, far_at=far_end)
        self.admitted(cut, (run, across, size, rest), whole, rect)

    def sums(self, cut: Json, sheet: int, rect: Rect, sizes: tuple[int, int, int]) -> None:
        size, lost, rest = sizes
        across = rect[3] if cut["along"] == "length" else rect[2]
        if sum(sizes) != across:
            self.say(3, cut, "off, blade and rest are not the piece")
        if cut["trim"] is not None:
            stock = self.sheets[sheet]
            at_edge = {"near": rect[1] == 0, "left": rect[0] == 0}.get(cut["trim"], False)
            if size or not at_edge or stock["edges"][cut["trim"]] != "factory":
                self.say(3, cut, "it trims no factory edge")
            if lost != nm(stock["trim_mm"]):
                self.say(3, cut, "it trims by another figure than the sheet's")
        elif (lost != self.kerf if rest else not 0 <= lost <= self.kerf) and size:
            self.say(3, cut, "the blade takes another kerf")

    def put(self, cut: Json, sheet: int, row: Json, area: Rect, *, whole: bool) -> None:
        if row["piece"] in self.ids:
            self.say(1, cut, "an id comes twice")
        if area[2:] != (nm(row["length_mm"]), nm(row["width_mm"])) or min(area[2:]) <= 0:
            self.say(2, cut, "what falls has another size")
        self.ids.add(row["piece"])
        self.there[row["piece"]] = (sheet, area, whole)
        self.falls[row["piece"]] = row | {"sheet": sheet, "area": area, "round": cut["round"]}
        if row["is"] == "blank" and cut["round"] == 1:
            self.blanks[row["piece"]] = row | {"sheet": sheet, "area": area}

    def facts(self, cut: Json, sizes: tuple[int, int, int, int]) -> None:
        run, across, size, rest = sizes
        told = (nm(cut["run_mm"]), nm(cut["across_mm"]), nm(cut["held_mm"]))
        if told != (run, across, max(size, rest)):
            self.say(4, cut, "run, across or held is not true")
        if size and nm(cut["setting_mm"]) not in (size, rest):
            self.say(4, cut, "its setting is neither of the two pieces")
        for row in cut["out"]:
            if row["role"] == "off" and row["part"]:
                key = (row["part"], cut["along"], size)
                self.settings.setdefault(key, set()).add(cut["setting_mm"])
        if cut["weight_kg"] is not None:
            self.grams.append((nm(cut["weight_kg"]) // 1000, run * across))

    def edge(
        self, cut: Json, sheet: int, sizes: tuple[int, int], *, near_at: int, far_at: int
    ) -> None:
        size = sizes[0]
        stock, told = self.sheets[sheet], cut["measured_from"]
        if not size:
            if told is not None:
                self.say(6, cut, "a cut that trims is measured from nothing")
            return
        rip = cut["along"] == "length"
        near = nm(cut["setting_mm"]) == size
        edge = ("near" if near else "far") if rip else ("left" if near else "right")
        end = nm(stock["width_mm" if rip else "length_mm"])
        at_end = near_at == 0 if near else far_at == end
        state = "factory" if at_end and stock["edges"][edge] == "factory" else "cut"
        if told != {"edge": edge, "state": state}:
            self.say(6, cut, "it is measured from another edge")
        if state == "factory":
            self.say(6, cut, "it is measured from a factory edge")

    def admitted(
        self, cut: Json, sizes: tuple[int, int, int, int], whole: bool, rect: Rect
    ) -> None:
        carry = Fraction(self.tools["carry_alone_kg"])
        heavy = cut["weight_kg"] is not None and Fraction(cut["weight_kg"]) > carry
        if cut["too_heavy"] != (whole or heavy):
            self.say(5, cut, "it is wrongly said to be too heavy or light")
        ways = self.ways(sizes, nm(cut["setting_mm"]), heavy=whole or heavy)
        if (cut["tool"], cut["aid"]) not in ways:
            self.say(5, cut, f"{cut['tool']} with {cut['aid']} does not admit it")

    def ways(
        self, sizes: tuple[int, int, int, int], setting: int, *, heavy: bool
    ) -> set[tuple[str, str | None]]:
        """Give tools and aids that the listed limits admit, or none at all."""
        run, across, size, rest = sizes
        held, short, long = max(size, rest), *sorted((run, across))
        limit = {name[:-3]: nm(v) for name, v in self.tools.items() if isinstance(v, str)
                 and name.endswith("_mm")}  # fmt: skip
        rail_fits = run <= limit["rail_cut"]
        if heavy:
            return {("guide_rail", None)} if rail_fits else {("none", "helper")}
        found: set[tuple[str, str | None]] = set()
        ratio = Fraction(self.tools["fence_ratio"])
        fence = limit["fence_least"] <= setting <= limit["rip_capacity"]
        if fence and run >= limit["fence_edge"] and run >= ratio * across:
            found.add(("table_saw", "push_stick" if setting < limit["push_below"] else None))
        if run <= limit["crosscut_capacity"] and held >= limit["clamp_hold"]:
            found.add(("miter_saw", None if held >= limit["miter_hold"] else "clamp"))
        if run <= limit["sled_capacity"] and held >= limit["clamp_hold"]:
            found.add(("sled", None))
        least = [nm(side) for side in self.tools["rail_least_mm"]]
        if rail_fits and long >= least[0] and short >= least[1]:
            if held >= limit["rail_support"]:
                found.add(("guide_rail", None))
            elif across >= limit["rail_support"]:
                found.add(("guide_rail", "filler_strip"))
        return found or {("none", None)}

    def ends(self) -> None:
        """Ask that parts, and the blanks of those cut later, lie where the layout has them."""
        placed = _placed(self.plan, self.list["material"])
        at = {(sheet, area): mark for sheet, mark, area in placed}
        made: Counter[object] = Counter()
        done: Counter[str] = Counter()
        for piece, (sheet, area, _) in self.there.items():
            row = self.falls.get(piece)
            if row is None:
                made[sheet, at.get((sheet, area), "?"), area] += 1
            elif row["is"] == "part" and row["round"] == 1:
                made[sheet, row["mark"], area] += 1
            elif row["is"] == "part":
                done[row["mark"]] += 1
        for row in self.blanks.values():
            made[row["sheet"], row["mark"], row["area"]] += 1
        if made != Counter(placed):
            self.wrong.append("7: the parts on the bench are not those that are wanted")
        if done != Counter(row["mark"] for row in self.blanks.values()):
            self.wrong.append("7: blanks are left, or parts come from none")
        self.remains()

    def remains(self) -> None:
        """Ask that all else is an offcut, waste of the layout, or no wider than the blade."""
        rests = {
            (number, _rect(rest)): rest["usable"]
            for number, sheet in enumerate(_sheets(self.plan, self.list["material"]), start=1)
            for rest in sheet["leftovers"]
        }
        for piece, (sheet, area, _) in self.there.items():
            row = self.falls.get(piece)
            if row is None or row["is"] == "part":
                continue
            inside = _trimmed(self.sheets[sheet], area)
            if row["is"] not in ("offcut", "waste"):
                self.wrong.append(f"7: {piece} lies there and is neither part, offcut nor waste")
            elif (row["is"] == "offcut") != rests.get((sheet, inside), False):
                self.wrong.append(f"7: {piece} is wrongly called {row['is']}")
            elif (sheet, inside) not in rests and row["round"] == 1 and min(inside[2:]) > self.kerf:
                self.wrong.append(f"7: {piece} remains and is not in the layout")

    def counts(self) -> None:
        cuts, told = self.list["cuts"], self.list["counts"]
        tools = Counter(cut["tool"] for cut in cuts)
        whole = {stock["piece"] for stock in self.list["stock"] if stock["source"] == "new"}
        broken = 0
        for cut in cuts:
            if cut["piece"] in whole:
                broken += 1
                if not any(row["role"] == "off" for row in cut["out"]):
                    whole |= {row["piece"] for row in cut["out"]}
        rail = sum(cut["tool"] == "guide_rail" and cut["piece"] not in whole for cut in cuts)
        keys = [(c["round"], c["tool"], c["setting_mm"]) for c in cuts]
        groups = [n for n, key in enumerate(keys) if n == 0 or key != keys[n - 1]]
        own = {
            "strips": tools["table_saw"], "breakdown": broken, "wide_crosscuts": rail,
            "narrow_crosscuts": len(cuts) - tools["table_saw"] - broken - rail,
            "trims": sum(not any(r["role"] == "off" for r in cut["out"]) for cut in cuts),
            "clamped": sum(cut["aid"] == "clamp" for cut in cuts), "no_tool": tools["none"],
            "fence_settings": _settings(cuts, {"table_saw"}),
            "stops": _settings(cuts, {"miter_saw", "sled"}),
            "station_changes": sum(a["tool"] != b["tool"] for a, b in pairwise(cuts)),
        }  # fmt: skip
        for name, count in own.items():
            if told[name] != count:
                self.wrong.append(f"8: {name} is {count}, not {told[name]}")
        if [cut["number"] for cut in cuts if cut["tool"] == "none"] != self.list["no_tool"]:
            self.wrong.append("8: the cuts without a tool are others")
        for n, cut in enumerate(cuts):
            group = sum(start <= n for start in groups)
            if cut["setting_group"] != group:
                self.say(8, cut, "it is of another setting group")
        told_groups = [
            (row["group"], row["tool"], row["setting_mm"], row["cuts"])
            for row in self.list["setting_groups"]
        ]
        ends = [*groups[1:], len(cuts)]
        true = [
            (at, cuts[low]["tool"], cuts[low]["setting_mm"], [c["number"] for c in cuts[low:high]])
            for at, (low, high) in enumerate(zip(groups, ends, strict=True), start=1)
        ]
        if told_groups != true:
            self.wrong.append("8: the setting groups are others")
        for key, settings in self.settings.items():
            if len(settings) > 1:
                self.wrong.append(f"9: {key} is cut with several settings")
        self.weights()

    def weights(self) -> None:
        """Ask that all weights are of one weight a square meter, a gram to either side."""
        grams, area = max(self.grams, key=lambda one: one[1], default=(0, 0))
        for own, size in self.grams:
            if abs(own * area - grams * size) > 2 * (area + size):
                self.wrong.append("9: a weight does not follow from the area")


def _settings(cuts: list[Json], tools: set[str]) -> int:
    own = [(cut["tool"], cut["setting_mm"]) for cut in cuts if cut["tool"] in tools]
    return sum(n == 0 or key != own[n - 1] for n, key in enumerate(own))


def _sheets(plan: Json, material: str) -> list[Json]:
    return [sheet for sheet in plan["sheets"] if sheet["material"] == material]


def _rect(row: Json) -> Rect:
    return nm(row["x_mm"]), nm(row["y_mm"]), nm(row["length_mm"]), nm(row["width_mm"])


def _placed(plan: Json, material: str) -> list[tuple[int, str, Rect]]:
    return [
        (number, part["mark"], _rect(part))
        for number, sheet in enumerate(_sheets(plan, material), start=1)
        for part in sheet["placements"]
    ]


def _trimmed(stock: Json, area: Rect) -> Rect:
    """Take the raw factory edges off a piece."""
    trim = {edge: nm(stock["trim_mm"]) * (stock["edges"][edge] == "factory") for edge in EDGES}
    x, y, length, width = area
    left, near = max(x, trim["left"]), max(y, trim["near"])
    right = min(x + length, nm(stock["length_mm"]) - trim["right"])
    far = min(y + width, nm(stock["width_mm"]) - trim["far"])
    return left, near, right - left, far - near
