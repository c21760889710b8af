"""The paper: every line, box and finding is on it, every page says whose it is, all in grey and within the page."""

import re
from pathlib import Path

import pypdfium2
import pytest

from checkapp.page.drawing import Mark, Plate, Words
from checkapp.page.fonts import measure
from checkapp.page.pdf import pdf_bytes
from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.review.paper.pages import PAGE, paper
from checkapp.review.report import review
from checkapp.rig.words import SYMPTOMS
from checkapp.tongue import shown_word, speaking

ROOT = Path(__file__).parents[3]
DATE = "2031-05-02"
SPEAKS_OF = {MAINS: re.compile("(?i)netz|einspeisung|sicherung"), PHANTOM: re.compile("(?i)phantom")}
"""What asks for each caution in German."""
HARD = """format = 1
[rig]
name = "Ящик «Ω» Größe — a name that goes on and on, far beyond what anybody would ever call a rig, really and truly"
owner = "UN"
version = 123456
[link_kind.w]
max_length_m = 50.0
[cable_kind.hop]
[cable_kind.loom]
ways = 4
[box_kind.unit]
inputs = 4
outputs = 4
accepts = ["mic"]
[box_kind.drop]
inputs = 2
outputs = 1
passive = true
[[chain]]
code = "LONGCHAIN1"
link = "w"
desk = "The desk at the back of the house, under the balcony"
[[chain]]
code = "PERS"
link = "w"
from = "BOXNUMBER1"
[[supply]]
code = "S-LONGCODE"
volts = 230.0
breaker_amps = 16.0
[[cable]]
code = "CABLE00001"
kind = "hop"
length_ft = 40.0
[[cable]]
code = "CABLE00002"
kind = "hop"
length_m = 5.0
[[cable]]
code = "CABLE00003"
kind = "hop"
length_m = 5.0
[[cable]]
code = "LOOM1"
kind = "loom"
length_m = 5.0
[[box]]
code = "BOXNUMBER1"
kind = "unit"
fed_from = "LONGCHAIN1"
cable = "CABLE00001"
supply = "S-LONGCODE"
place = "Übergroßer Platz hinter der Bühne, ganz links, neben der Treppe zum Keller hinunter, wo es dunkel ist"
settings."A very long switch name that nobody reads to its end" = "third position from the left, held, then let go"
settings.Two = "off"
[[box]]
code = "BOXNUMBER2"
kind = "unit"
fed_from = "BOXNUMBER1"
cable = "CABLE00002"
repeats = "BOXNUMBER1"
[[box]]
code = "PERS1"
kind = "unit"
fed_from = "PERS"
cable = "CABLE00003"
[[box]]
code = "DROP"
kind = "drop"
fed_from = "BOXNUMBER1 in 1"
outputs_from = "BOXNUMBER1 out 1"
cable = "LOOM1"
[[input]]
number = 1
name = "Größe Çelik žluť Ωμέγα Nguyễn"
level = "mic"
phantom = true
port = "DROP in 1"
[[input]]
number = 2
name = "Nomorethanoneendlesswordnomorethanoneendlesswordnomorethanoneendlesswordnomorethanoneendlessword"
level = "mic"
port = "BOXNUMBER1 in 3"
zone = "Zone with a name that is far too long for its column, and then some"
note = "a note that is long, long enough to wrap thrice and still go on, and on, and on, for ever more"
[[output]]
number = 1
name = "Wedge"
port = "BOXNUMBER1 out 3"
[[output]]
number = 2
name = "PA"
port = "DESK out 2"
[[insert]]
name = "Compressor"
input = 2
send = "BOXNUMBER1 out 4"
return = "BOXNUMBER1 in 4"
"""


@pytest.fixture(scope="module")
def papers(plan_of, drawn):
    plans = {"two": plan_of(1, 2, 16), "forty": plan_of(6, 40, 300, 0.5, 2), "hard": HARD}
    found = {name: drawn(plan) for name, plan in plans.items()} | {name: drawn(name) for name in ("demo", "wrong")}
    return {name: (rig, report, paper(rig, report, measure, DATE)) for name, (rig, report, _) in found.items()}


def words_of(sheet):
    return [shape for shape in sheet.drawing.shapes if isinstance(shape, Words)]


def text_of(sheet):
    return " ".join(words.text for words in words_of(sheet))


def of_section(sheets, section):
    return [sheet for sheet in sheets if sheet.section == section]


def pages_of(sheets):
    document = pypdfium2.PdfDocument(pdf_bytes([sheet.drawing for sheet in sheets], "Rig"))
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


NAMES = ["demo", "wrong", "two", "forty", "hard"]


@pytest.mark.parametrize("name", NAMES)
def test_every_page_says_whose_it_is_and_which(papers, name):
    rig, _, sheets = papers[name]
    texts = pages_of(sheets)
    assert len(texts) == len(sheets) > 3
    for number, text in enumerate(texts, 1):
        assert f"page {number}/{len(sheets)}" in text
        assert rig.name[:40] in text
        assert f"plan {rig.mark}, file digest {rig.digest[:12]}, printed {DATE}" in text
        assert (f"version {rig.version}" in text) == (rig.version is not None)


@pytest.mark.parametrize("name", NAMES)
def test_all_is_on_the_page_and_nothing_over_anything_else(papers, clashes, name):
    _, _, sheets = papers[name]
    for sheet in sheets:
        assert sheet.drawing.extent == PAGE
        assert all(PAGE.grown(-5).holds(shape.rect) for shape in sheet.drawing.shapes)
        assert clashes(sheet.drawing) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_check_sheet_has_every_line_with_boxes_to_tick(papers, name):
    rig, _, sheets = papers[name]
    check = of_section(sheets, "line check sheet")
    by_base = {}
    for sheet in check:
        for words in words_of(sheet):
            by_base.setdefault((id(sheet), words.y), []).append(words)
    first = [words for words in by_base.values() if words[0].x == 12.0]
    rows = {words[0].text: [one.text for one in words] for words in first}
    rows = {line: texts for line, texts in rows.items() if re.fullmatch(r"(in|out) \d+", line)}
    assert list(rows) == [line.line for line in rig.lines]
    for line in rig.lines:
        assert rows[line.line][1][:12].rstrip("…") in line.name
    ticks = [shape for sheet in check for shape in sheet.drawing.shapes if isinstance(shape, Plate)]
    assert len(ticks) == 2 * len(rig.lines)
    assert f"symptom: {', '.join(SYMPTOMS)}" in text_of(check[0])


@pytest.mark.parametrize("name", NAMES)
def test_every_box_has_a_patch_sheet_with_all_its_ports(papers, name):
    rig, _, sheets = papers[name]
    for box in rig.boxes.values():
        text = " ".join(text_of(sheet) for sheet in of_section(sheets, f"patch sheet {box.code}"))
        assert f"{box.kind}, " in text
        for port in rig.ports(box):
            assert f" {port.removeprefix(f'{box.code} ')} " in text
        for line in rig.lines:
            if line.port.rsplit(" ", 2)[0] == box.code:
                assert f" {line.line} {line.name[:12]}" in text
                assert line.cable is None or line.cable in text
        if box.cable is not None:
            assert f"{box.cable} from " in text
        assert box.supply is None or f"plug into {box.supply}" in text


def test_a_patch_sheet_tells_settings_ways_inserts_and_repeated_outputs(papers):
    _, _, sheets = papers["hard"]
    (first,) = of_section(sheets, "patch sheet BOXNUMBER1")
    text = text_of(first)
    ticks = [shape for shape in first.drawing.shapes if isinstance(shape, Plate)]
    assert len(ticks) == 2
    assert "Two: off" in text
    assert "in 1 in 1 Größe Çelik žluť Ωμέγα Nguyễn LOOM1 way 1 DROP in 1 mic yes" in text
    assert "return of Compressor" in text
    assert "chain PERS starts at its outlet" in text
    (second,) = of_section(sheets, "patch sheet BOXNUMBER2")
    assert "repeats BOXNUMBER1 out 3, Wedge" in text_of(second)
    (desk,) = of_section(sheets, "patch sheet of the desk")
    assert "out 2 out 2 PA" in text_of(desk)


@pytest.mark.parametrize("name", NAMES)
def test_the_first_pages_have_every_finding_with_its_remedy_worst_first(papers, name):
    _, report, sheets = papers[name]
    first = of_section(sheets, "what the review found")
    assert first == list(sheets[: len(first)])
    text = " ".join(" ".join(text_of(sheet) for sheet in first).split())
    marks = [shape for sheet in first for shape in sheet.drawing.shapes if isinstance(shape, Mark)]
    assert [mark.level for mark in marks] == [finding.level for finding in report.findings]
    for finding in report.findings:
        if len(finding.message) < 90:
            assert finding.message in text
        assert finding.remedy[:40] in text


def test_chains_boxes_and_supplies_stand_in_figures(papers):
    rig, report, sheets = papers["demo"]
    text = " ".join(text_of(sheet) for sheet in of_section(sheets, "what the review found"))
    assert "FRONT House 80.24 of 95 m 3 of 6 36 of 56" in text
    for chain in report.chains:
        for row in chain.slots:
            assert f"{row.first} to {row.last}" in text
        for box in chain.power.boxes:
            assert f"{box.volts:.2f}" in text
    assert "DRUM 31.17 V, needs 25 V" in text
    assert all(f"{code} {supply.phase} 230 V 16 A" in text for code, supply in rig.supplies.items())


@pytest.mark.parametrize("name", NAMES)
def test_cautions_stand_on_every_page_that_speaks_of_mains_or_phantom_power(papers, name):
    rig, _, sheets = papers[name]
    codes = {box.supply for box in rig.boxes.values()} - {None}
    for text in pages_of(sheets):
        body = text.replace(MAINS, "").replace(PHANTOM, "")
        if re.search(r"mains|suppl|breaker", body, re.IGNORECASE) or any(f" {code} " in body for code in codes):
            assert MAINS in text
        if "phantom" in body.casefold():
            assert PHANTOM in text


@pytest.mark.parametrize("name", ["demo", "wrong", "hard"])
def test_in_german_all_of_it_is_german_whole_and_in_its_place(drawn, clashes, texts_of, english_left, tmp_path, name):
    plan = ROOT / "plans" / f"{name}.toml" if name != "hard" else tmp_path / "hard.toml"
    if name == "hard":
        plan.write_text(HARD, encoding="utf-8")
    rig, _, _ = drawn(HARD if name == "hard" else name)
    with speaking("de"):
        sheets = paper(rig, review(rig), measure, DATE)
        cautions = {MAINS: shown_word(MAINS), PHANTOM: shown_word(PHANTOM)}
    for number, sheet in enumerate(sheets, 1):
        texts = [words.text for words in words_of(sheet)]
        assert list(english_left(texts, texts_of(plan))) == []
        assert {f"Seite {number}/{len(sheets)}"} <= set(texts)
        assert "gedruckt 02.05.2031" in text_of(sheet)
        assert all(PAGE.grown(-5).holds(shape.rect) for shape in sheet.drawing.shapes)
        assert clashes(sheet.drawing) == []
        whole = [words.text for words in words_of(sheet) if words.size == 2.4] if name == "hard" else texts
        assert not any(text.endswith("…") for text in whole)
        for caution, spoken in SPEAKS_OF.items():
            if spoken.search(text_of(sheet).replace(cautions[PHANTOM], "")):
                assert cautions[caution] in text_of(sheet)


def test_every_page_is_grey(papers):
    for name in ("wrong", "hard"):
        for page in pypdfium2.PdfDocument(pdf_bytes([sheet.drawing for sheet in papers[name][2]], "Rig")):
            image = page.render(scale=1).to_numpy()
            assert (image.max(axis=2) == image.min(axis=2)).all()
            assert image.min() < 60


def test_the_same_rig_on_the_same_day_gives_the_same_bytes(drawn):
    rig, _, _ = drawn("demo")
    made = [pdf_bytes([s.drawing for s in paper(rig, review(rig), measure, DATE)], "Rig") for _ in range(2)]
    assert made[0] == made[1]
    other = pdf_bytes([s.drawing for s in paper(rig, review(rig), measure, "2031-05-03")], "Rig")
    assert other != made[0]


def test_512_lines_on_a_hundred_boxes(plan_of, drawn):
    rig, report, _ = drawn(plan_of(16, 100, 512))
    sheets = paper(rig, report, measure, DATE)
    check = of_section(sheets, "line check sheet")
    lines = [words.text for sheet in check for words in words_of(sheet) if re.fullmatch(r"in \d+", words.text)]
    assert lines == [f"in {number}" for number in range(1, 513)]
    assert len({sheet.section for sheet in sheets}) == 3 + 100


def test_a_rig_of_nothing_still_has_its_pages(drawn):
    rig, report, _ = drawn('format = 1\n[rig]\nname = "Empty"\nowner = "EM"\n')
    sheets = paper(rig, report, measure, DATE)
    assert [sheet.section for sheet in sheets] == ["what the review found", "stage plan", "line check sheet"]
