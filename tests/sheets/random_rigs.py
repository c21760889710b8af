"""Random rigs that a plan file may hold, with every field of every table written in some, and texts of all sorts."""

import random
import string

from checkapp.rig.words import ITEM_KINDS, SYMPTOMS

LEVELS = ["mic", "line", "instrument"]
ODD_TEXTS = (
    "=1+1",
    "=cmd|' /C calc'!A0",
    "+48 volts",
    "-10 dB",
    "@home",
    "'quoted",
    '""',
    '"',
    "",
    "  blanks around ",
    "\tTab\r\nand lines\n",
    "_x0041_ _x_ _x005F_",
    "\x01bell \x7f \u2028 \ufffe",
    "007",
    "1e5",
    "2026-11-26",
    "1/2",
    "TRUE",
    "no",
    "#REF!",
    "Große Trommel, Ö, 太鼓, טוֹף, \U0001f941",
    "<b>&amp;</b>",
    "x" * 300,
)


def random_plan(chance: random.Random, figures: int = 17) -> dict:
    """The data of a plan without fault; ``figures`` of each number at most."""
    return _Maker(chance, figures).plan()


class _Maker:
    def __init__(self, chance, figures):
        self.chance, self.figures, self.codes = chance, figures, set()

    def plan(self):
        rig = {"name": self.text() or "Rig", "owner": self.owner(), "version": self.chance.randint(1, 99)}
        if not rig["name"].strip():
            rig["name"] = "Rig"
        plan = {"rig": self.some(rig, "version", sample_rate_hz=self.number(), ambient_c=self.uniform(-50, 60))}
        plan |= {"link_kind": self.links(), "cable_kind": self.cables(), "box_kind": self.boxes()}
        plan |= {name: [] for name in ("chain", "supply", "source", "cable", "box", "input", "output", "insert")}
        self.plan_data = plan
        self.gear()
        for _ in range(self.chance.randint(1, 3)):
            self.chain()
        self.lines()
        if self.chance.random() < 0.5:
            plan["diagnose"] = self.diagnose()
        return {table: content for table, content in plan.items() if content}

    # --- values

    def number(self, low=1e-3, high=900.0):
        return self.chance.choice(
            [self.uniform(low, high), round(self.chance.uniform(1, 90), 1), float(self.chance.randint(1, 90))]
        )

    def uniform(self, low, high):
        return float(f"{self.chance.uniform(low, high):.{self.figures}g}")

    def text(self):
        return self.chance.choice([*ODD_TEXTS, "Stage left", "Kick in", "SM riser"])

    def name(self):
        found = self.text()
        return found if found.strip() else "Name"

    def owner(self):
        return "".join(self.chance.choices(string.ascii_uppercase + string.digits, k=self.chance.randint(1, 4)))

    def code(self):
        while True:
            code = "".join(self.chance.choices(string.ascii_uppercase + string.digits, k=self.chance.randint(1, 9)))
            code = code[:2] + "-" + code[2:] if len(code) > 4 and self.chance.random() < 0.3 else code
            if code.replace("-", "") not in self.codes | {"DESK"}:
                self.codes.add(code.replace("-", ""))
                return code

    def some(self, entry, *optional, **more):
        """The entry with some of its optional fields, and some of more of them."""
        kept = {name: value for name, value in entry.items() if name not in optional or self.chance.random() < 0.5}
        return kept | {name: value for name, value in more.items() if self.chance.random() < 0.4}

    def yes(self):
        return self.chance.random() < 0.5

    # --- kinds

    def links(self):
        powered = {"volts": 48.0, "max_amps": self.number(), "source_ohm": self.chance.choice([0.0, 0.15])}
        common = {"max_hop_m": self.number(), "max_boxes": self.chance.randint(1, 9), "max_channels": 99}
        other = {"impedance_ohm": self.number(), "impedance_tolerance": 0.25, "hop_delay_us": self.number()}
        names = ("deck", "two words", "Ümlaut", "=link")
        return {
            name: self.some({"max_length_m": self.number(), **(powered if number else {})}, **common, **other)
            for number, name in enumerate(names)
        }

    def cables(self):
        cores = ({"core_mm2": self.number()}, {"core_awg": 22}, {"loop_ohm_per_m": self.number()}, {"core_awg": 22.5})
        hops = {f"hop{n}": self.some(core, impedance_ohm=self.number(), jacket_mm=6.2) for n, core in enumerate(cores)}
        return {**hops, "lead": {}, "loom": {"ways": 12}, "3": self.some({"ways": 1}, "ways")}

    def boxes(self):
        def kind(inputs, outputs, **more):
            accepts = self.chance.sample(LEVELS, self.chance.randint(0, 3))
            return self.some(
                {"inputs": inputs, "outputs": outputs, "accepts": accepts, **more},
                phantom=self.yes(),
                draw_w=self.number(),
                power_factor=0.6,
                min_volts=self.number(),
                link_powered=self.yes(),
                repowers=self.yes(),
            )

        passive = {"inputs": 4, "outputs": 2, "passive": True}
        return {
            "mic8": kind(8, 4),
            "line6": kind(6, 6, passive=False),
            "drop": passive,
            "out4": {"inputs": 0, "outputs": 4},
        }

    # --- gear

    def gear(self):
        for _ in range(self.chance.randint(0, 3)):
            core = self.chance.choice([{}, {"core_mm2": 2.5}, {"core_awg": 14}])
            feeder = self.chance.choice([{}, {"cable_m": self.number()}, {"cable_ft": self.number()}])
            supply = {"code": self.code(), "volts": self.number(), "breaker_amps": self.number(), **core, **feeder}
            more = {"phase": self.text(), "other_load_w": 0.0, "conductor_c": -5.5, "owner": self.owner()}
            self.plan_data["supply"].append(self.some(supply, **more))
        for _ in range(self.chance.randint(0, 4)):
            self.plan_data["source"].append(self.some({"code": self.code()}, kind=self.text(), owner=self.owner()))
        for _ in range(self.chance.randint(0, 3)):
            self.cable(self.chance.choice(["hop0", "lead", "3"]))

    def cable(self, kind):
        length = self.chance.choice([{"length_m": self.number()}, {"length_ft": self.number()}])
        cable = {"code": self.code(), "kind": kind, **length}
        self.plan_data["cable"].append(self.some(cable, spare=self.yes(), owner=self.owner()))
        return cable["code"]

    def chain(self):
        link = self.chance.choice(list(self.plan_data["link_kind"]))
        start = [box["code"] for box in self.plan_data["box"] if box["kind"] != "drop"]
        chain = {"code": self.code(), "link": link}
        chained = {one.get("from") for one in self.plan_data["chain"]}
        free = [code for code in start if code not in chained]
        if free and self.yes():
            chain["from"] = self.chance.choice(free)
        else:
            chain = self.some(chain, desk=self.text(), at=[self.uniform(-9, 9), 0.0])
        self.plan_data["chain"].append(chain)
        end, before = chain["code"], None
        for _ in range(self.chance.randint(1, 3)):
            end = self.box(end, before)
            before = end

    def box(self, end, before):
        kind = self.chance.choice(["mic8", "line6", "out4"])
        box = {
            "code": self.code(),
            "kind": kind,
            "fed_from": end,
            "cable": self.cable(f"hop{self.chance.randrange(4)}"),
        }
        if self.plan_data["supply"] and self.yes():
            box["supply"] = self.chance.choice(self.plan_data["supply"])["code"]
        above = next((one for one in self.plan_data["box"] if one["code"] == before), None)
        if above and kind == above["kind"] and "repeats" not in above and self.yes():
            box["repeats"] = before
        settings = {self.text() or "Pad": self.text() for _ in range(self.chance.randint(1, 3))}
        more = {"place": self.text(), "at": [self.uniform(-9, 9), -2.0], "owner": self.owner()}
        self.plan_data["box"].append(self.some(box, settings=settings, **more))
        return box["code"]

    # --- lines

    def ports(self, way):
        field = {"in": "inputs", "out": "outputs"}[way]
        boxes = [box for box in self.plan_data["box"] if box["kind"] != "drop"]
        kinds = self.plan_data["box_kind"]
        ports = [f"{box['code']} {way} {n}" for box in boxes for n in range(1, kinds[box["kind"]][field] + 1)]
        self.chance.shuffle(ports)
        return ports + [f"DESK {way} {number}" for number in range(1, 4)]

    def lines(self):
        ins, outs = self.ports("in"), self.ports("out")
        sources = [source["code"] for source in self.plan_data["source"]]
        for number in self.chance.sample(range(1, 99), min(len(ins), self.chance.randint(1, 12))):
            line = {"number": number, "name": self.name(), "level": self.chance.choice(LEVELS), "port": ins.pop()}
            if sources and self.yes():
                line["source"] = sources.pop()
            self.plan_data["input"].append(
                self.line(line, phantom=self.yes(), phantom_ma=self.number(), stand=self.text())
            )
        for number in range(1, min(len(outs), self.chance.randint(1, 5))):
            self.plan_data["output"].append(self.line({"number": number, "name": self.name(), "port": outs.pop()}))
        if self.yes() and ins and outs and not (ins[-1] + outs[-1]).count("DESK"):
            number = self.chance.choice(self.plan_data["input"])["number"]
            insert = {"name": self.name(), "input": number, "send": outs.pop(), "return": ins.pop()}
            self.plan_data["insert"].append(self.some(insert, parallel=self.yes()))

    def line(self, line, **more):
        if self.yes():
            line |= {"cable": self.cable("loom"), "way": self.chance.randint(1, 12)}
        return self.some(line, zone=self.text(), note=self.text(), **more)

    # --- chances

    def diagnose(self):
        def kinds(value):
            return {kind: value() for kind in self.chance.sample(ITEM_KINDS, self.chance.randint(1, 3))}

        return self.some(
            {"learn": self.yes()},
            "learn",
            false_alarm=0.002,
            prior=kinds(lambda: self.uniform(0.001, 1)),
            miss=kinds(lambda: self.uniform(0.001, 1)),
            hear=kinds(lambda: dict.fromkeys(self.chance.sample(SYMPTOMS, 4), 0.25)),
            minutes={"mark": self.number(), "re-mark": 0.5},
            swap_minutes=kinds(self.number),
        )
