"""The commands. Each reads its words, asks `checkapp.show` and prints what that says; nothing else is decided here."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

import checkapp
from checkapp.cli_journal import By, Journal, Json, journal_app
from checkapp.cli_plan import Plan, Units, plan_app, print_json
from checkapp.rig.errors import printable
from checkapp.rig.words import ITEM_KINDS, SYMPTOMS

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="From a planned rig of stage boxes to a signed-off line check. A first word that is no command is a plan.",
)
app.add_typer(journal_app, name="journal")
app.add_typer(plan_app, name="plan")

Symptom = StrEnum("Symptom", [(symptom.replace(" ", "_"), symptom) for symptom in SYMPTOMS])  # type: ignore[misc]
Verdict = StrEnum("Verdict", ["ok", "faulty"])
Action = StrEnum("Action", ["reseat", "swap", "mend", "bypass"])
ItemKinds = StrEnum("ItemKinds", list(ITEM_KINDS))  # type: ignore[misc]
CheckOrder = StrEnum("CheckOrder", ["list", "walk", "reverse", "likely", "changed"])

Language = Annotated[str, typer.Option("--language", help="The language of what is put on paper: en or de.")]
ShowName = Annotated[str | None, typer.Option("--show", help="The show's name; default: the latest show of the rig.")]


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"checkapp {checkapp.__version__}")
        raise typer.Exit


@app.callback()
def _common(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="The version.")] = False,
) -> None:
    """Options that stand before the command."""


@app.command("open-plan", hidden=True)
def open_plan(
    plan: Annotated[Path | None, typer.Argument(help="A plan to open.")] = None, journal: Journal = None
) -> None:
    """Open the touch app."""
    from checkapp.touch.start import open_app

    open_app(plan, journal)


@app.command()
def demo(
    out: Annotated[Path, typer.Option("--out", help="The folder to work in.")] = Path("checkapp-demo"),
    tour: Annotated[bool, typer.Option("--tour", help="A tour of 30 shows with its history instead.")] = False,
    screens: Annotated[
        Path | None, typer.Option("--screens", help="Pictures of every screen, into this folder, instead.")
    ] = None,
    language: Annotated[
        str, typer.Option("--language", help="The language of screens and of what is put on paper: en or de.")
    ] = "en",
) -> None:
    """The whole job on an invented rig; needs no display."""
    from checkapp.show.demo import run_demo, run_screens, run_tour

    if screens is not None:
        run_screens(screens, language, typer.echo)
    else:
        (run_tour if tour else run_demo)(out, typer.echo, language)


@app.command()
def review(
    plan: Plan,
    as_json: Json = False,
    picture: Annotated[Path | None, typer.Option("--picture", help="Draw the rig: FILE.png or FILE.pdf.")] = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Findings, patch and check sheets on paper.")] = None,
    language: Language = "en",
    units: Units = None,
) -> None:
    """What cannot work and what to look at; status 1 with a stop."""
    from checkapp.show import clock, papering, reviewing

    papering.check_names(picture, pdf)
    found = reviewing.review_plan(plan)
    written = [papering.write_picture(found, picture, language)] if picture is not None else []
    written += [papering.write_paper(found, pdf, clock.today(), language)] if pdf is not None else []
    if as_json:
        print_json(reviewing.document(found))
    else:
        from checkapp.show.review_text import print_review

        print_review(found)
        for words in written:
            typer.echo(words)
    raise typer.Exit(reviewing.status(found))


@app.command()
def tags(
    plan: Plan,
    out: Annotated[Path | None, typer.Option("--out", help="The PDF to write.", show_default=False)] = None,
    stock: Annotated[str, typer.Option("--stock", help="The label stock; an unknown one lists them.")] = "",
    items: Annotated[str | None, typer.Option("--items", help="Only these: A,B,...")] = None,
    for_show: Annotated[
        bool, typer.Option("--for-show", help="Show tags: from, to, place, which plan; default: lasting asset tags.")
    ] = False,
    url: Annotated[str | None, typer.Option("--url", help="A link before each tag in the QR: https://...")] = None,
    png: Annotated[Path | None, typer.Option("--png", help="A folder: a picture for each tag, dot for dot.")] = None,
    start: Annotated[int, typer.Option("--start", help="The first label to use of a part-used sheet.")] = 1,
    right: Annotated[float, typer.Option("--right", help="Print so many mm further right, to 0.1; -0.3: left.")] = 0.0,
    down: Annotated[float, typer.Option("--down", help="Print so many mm further down; -0.3: up.")] = 0.0,
    language: Language = "en",
    units: Units = None,
) -> None:
    """Tags on label stock as a PDF, or pictures for a label printer."""
    from checkapp.show import tagging

    chosen = None if items is None else [word.strip() for word in items.split(",")]
    asked = tagging.Asked(stock, chosen, for_show, url, start, right, down, language)
    typer.echo(tagging.write_tags(plan, out, asked, png))


@app.command()
def scan(
    file: Annotated[Path, typer.Argument(help="A picture, or a video.", show_default=False)],
    plan: Annotated[Path | None, typer.Option("--plan", help="Say what each tag is in this plan.")] = None,
    as_json: Json = False,
) -> None:
    """Tags in a picture or a video; status 1 when none was read."""
    from checkapp.show import scanning

    found = scanning.scan_file(file, plan)
    if as_json:
        print_json(scanning.document(found))
    else:
        for line in scanning.lines_of(found):
            typer.echo(line)
    raise typer.Exit(scanning.status(found))


@app.command()
def card(
    plan: Plan,
    code: Annotated[str, typer.Argument(help="A code, a tag, a cable's end, a port, a line or DESK, as printed.")],
    units: Units = None,
    as_json: Json = False,
    journal: Journal = None,
) -> None:
    """What an item is, where it goes, what plugs into it."""
    from checkapp.show import card_lookup

    found = card_lookup.look_up(plan, code, journal)
    if as_json:
        print_json(card_lookup.document(found))
    else:
        from checkapp.show.card_text import print_card

        print_card(found)


@app.command()
def mark(
    plan: Plan,
    line: Annotated[str, typer.Argument(help="The line: 'in 7', 'out 2'.")],
    verdict: Verdict,
    symptom: Annotated[Symptom | None, typer.Option("--symptom", help="What was heard, when faulty.")] = None,
    note: Annotated[str | None, typer.Option("--note", help="A note.")] = None,
    by: By = None,
    show: ShowName = None,
    journal: Journal = None,
) -> None:
    """Mark one line; prints the entry's id once it is on the disk."""
    from checkapp.show import marking

    heard = None if symptom is None else str(symptom)
    where = marking.Where(plan, show, by, journal)
    typer.echo(marking.mark(where, line, str(verdict), symptom=heard, note=note))


@app.command()
def repair(
    plan: Plan,
    item: Annotated[str, typer.Argument(help="The item: a code, a port, a tag.")],
    action: Action,
    with_: Annotated[str | None, typer.Option("--with", help="The item put in its place.")] = None,
    cleared: Annotated[bool, typer.Option("--cleared/--not-cleared", help="Whether the fault went away.")] = True,
    by: By = None,
    show: ShowName = None,
    journal: Journal = None,
) -> None:
    """Log a repair; prints the entry's id once it is on the disk."""
    from checkapp.show import marking

    where = marking.Where(plan, show, by, journal)
    logged = marking.repair(where, item, str(action), other=with_, cleared=cleared)
    for doubt in logged.doubts:
        typer.echo(f"look: {printable(doubt)}", err=True)
    typer.echo(logged.entry_id)


@app.command()
def state(
    plan: Plan,
    show: ShowName = None,
    minutes: Annotated[float | None, typer.Option("--minutes", help="What to check first in so many minutes.")] = None,
    order: Annotated[CheckOrder | None, typer.Option("--order", help="How to check; default: likely.")] = None,
    as_json: Json = False,
    journal: Journal = None,
) -> None:
    """Where the line check stands, and what to check first."""
    from checkapp.show import standing

    found = standing.state_of(plan, show, journal, standing.asked_of(minutes, order and order.value))
    if as_json:
        print_json(standing.document(found))
    else:
        for line in standing.text_of(found):
            typer.echo(printable(line))


@app.command()
def suspects(
    plan: Plan,
    marks: Annotated[
        Path | None, typer.Option("--marks", help="A CSV of line,verdict,symptom, read instead of the journal.")
    ] = None,
    show: ShowName = None,
    no_history: Annotated[bool, typer.Option("--no-history", help="What failed before does not count.")] = False,
    as_json: Json = False,
    journal: Journal = None,
) -> None:
    """Which cable, box or supply is to blame, and what to try next."""
    from checkapp.show import suspecting

    by_marks = suspecting.suspects_by_marks
    found = by_marks(plan, marks) if marks else suspecting.suspects_of(plan, show, journal, history=not no_history)
    if as_json:
        print_json(suspecting.document(found))
    else:
        from checkapp.show.suspects_text import print_suspects

        print_suspects(found)


@app.command()
def bench(
    item: Annotated[str, typer.Argument(help="The item: its code, or its tag.", show_default=False)],
    plan: Annotated[Path | None, typer.Option("--plan", help="The plan that knows its length and core.")] = None,
    ohms: Annotated[float | None, typer.Option("--ohms", help="Measured loop resistance.")] = None,
    passed: Annotated[bool | None, typer.Option("--pass/--fail", help="Good or bad, whatever was measured.")] = None,
    at_c: Annotated[float, typer.Option("--at-c", help="Temperature of the cable.")] = 20.0,
    by: By = None,
    journal: Journal = None,
) -> None:
    """Log a test on the bench; a cable is compared with its length."""
    from checkapp.show import benching

    for line in benching.bench(item, benching.Measured(ohms, passed, at_c), plan, by, journal):
        typer.echo(line)


@app.command()
def history(
    show: Annotated[str | None, typer.Option("--show", help="Of this show alone.")] = None,
    kind: Annotated[ItemKinds | None, typer.Option("--kind", help="Of this kind of item alone.")] = None,
    days: Annotated[int | None, typer.Option("--days", min=1, max=36500, help="Of so many days up to today.")] = None,
    leg: Annotated[int, typer.Option("--leg", min=1, help="Spares for so many shows.")] = 20,
    level: Annotated[float, typer.Option("--level", help="How sure spares are to be enough.")] = 0.95,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="A report: conclusions, figures, tables.")] = None,
    xlsx: Annotated[Path | None, typer.Option("--xlsx", help="The tables as a workbook.")] = None,
    csv: Annotated[Path | None, typer.Option("--csv", metavar="DIR", help="The tables as CSV files.")] = None,
    language: Language = "en",
    as_json: Json = False,
    journal: Journal = None,
) -> None:
    """What failed how often, what to retire or test, spares to carry."""
    from checkapp.show.uncollected import uncollected

    with uncollected():
        from checkapp.show import history_now

        asked = history_now.Asked(show, kind and kind.value, leg, level, days, language)
        found = history_now.history_of(journal, asked)
    written = history_now.reports(found, asked, pdf, xlsx, csv) if pdf or xlsx or csv else []
    if as_json:
        print_json(history_now.document(found))
    else:
        from checkapp.show.history_text import print_history

        print_history(found)
        for words in written:
            typer.echo(words)
