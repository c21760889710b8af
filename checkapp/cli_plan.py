"""The commands of the plan file itself, and the options that many share."""

import json
from collections.abc import Iterable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from checkapp.cli_journal import Json

if TYPE_CHECKING:
    from checkapp.show.plan_importing import Wanted

plan_app = typer.Typer(rich_markup_mode=None, no_args_is_help=True, help="The plan file itself.")

UnitsChosen = StrEnum("UnitsChosen", ["metric", "feet"])


def _choose_units(chosen: UnitsChosen | None) -> UnitsChosen | None:
    """From here on lengths and cores are said so."""
    from checkapp.rig.measures import use_units

    if chosen is None:
        use_units()
    else:
        use_units(*(("m", "mm2") if chosen == UnitsChosen.metric else ("ft", "awg")))
    return chosen


Units = Annotated[
    UnitsChosen | None,
    typer.Option(
        "--units",
        callback=_choose_units,
        help="How lengths and cores are said: metric, m and mm2; feet, ft and AWG; default: as the plan has them.",
    ),
]
Plan = Annotated[Path, typer.Argument(help="The plan file.", show_default=False)]


def print_json(document: dict[str, Any]) -> None:
    """One JSON document and nothing else."""
    typer.echo(json.dumps(document, indent=1, allow_nan=False))


@plan_app.command("schema")
def plan_schema() -> None:
    """The JSON Schema of the plan format, for an editor."""
    from checkapp.rig.planfile import schema

    print_json(schema())


@plan_app.command("order")
def plan_order(
    plan: Plan,
    chain: Annotated[str | None, typer.Option("--chain", help="Only this chain.")] = None,
    slack: Annotated[float, typer.Option("--slack", help="Metres for each hop, besides a tenth of its way.")] = 1.5,
    out: Annotated[Path | None, typer.Option("--out", help="The file to write the changed plan to.")] = None,
    as_json: Json = False,
) -> None:
    """A shorter chain: the shortest way over the stage, with cables of the stock. Status 1 when it could not."""
    from checkapp.show import ordering

    found = ordering.order_plan(plan, chain, slack, out)
    if as_json:
        print_json(ordering.document(found))
    else:
        from checkapp.show.ordering_text import print_order

        print_order(found)
    raise typer.Exit(ordering.status(found))


@plan_app.command("import")
def plan_import(  # noqa: PLR0913  a command has as many arguments as it has options
    sheet: Annotated[
        Path, typer.Argument(help="The list: .xlsx or .csv; or a workbook of plan export.", show_default=False)
    ],
    out: Annotated[Path, typer.Option("--out", help="The plan file to write.", show_default=False)],
    columns: Annotated[
        list[str] | None, typer.Option("--map", help='What columns are: "Ch=number,Quelle=name", or a kept map.')
    ] = None,
    keep_as: Annotated[str | None, typer.Option("--save-map", help="Keep what --map says under this name.")] = None,
    only: Annotated[
        str | None, typer.Option("--sheet", help="The sheet to take; default: what looks most like a list.")
    ] = None,
    name: Annotated[str | None, typer.Option("--name", help="The rig's name; default: the file's.")] = None,
    owner: Annotated[
        str | None, typer.Option("--owner", help="The owner's mark; default: the name's initials.")
    ] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Write nothing unless all of it is understood.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Of a list: write over a file that is there.")] = False,
    plan: Annotated[
        Path | None, typer.Option("--plan", help="For a workbook of plan export: the plan to edit; default: OUT.")
    ] = None,
    onto: Annotated[
        Path | None, typer.Option("--onto", help="Put the list on this plan's boxes, with the fewest re-plugs.")
    ] = None,
    as_json: Json = False,
) -> None:
    """An input list out of a spreadsheet as a plan, and what every row became. Status 1 when strict and unclear."""
    from checkapp.show import plan_importing, workbook_importing

    if plan is not None or workbook_importing.is_workbook(sheet):
        as_list = any((columns, keep_as, only, name, owner))
        brought = workbook_importing.bring_back(sheet, out, plan, as_list=as_list)
        _say(workbook_importing.document(brought), workbook_importing.told(brought), as_json=as_json)
        return
    wanted = plan_importing.Wanted(columns or (), keep_as, name, owner, only, strict, force)
    if onto is not None:
        _put_onto(sheet, onto, out, wanted, as_json=as_json)
    done = plan_importing.import_list(sheet, out, wanted)
    if as_json:
        print_json(plan_importing.document(done))
    else:
        from checkapp.show.plan_importing_text import print_import

        print_import(done)
    raise typer.Exit(plan_importing.status(done))


def _put_onto(sheet: Path, onto: Path, out: Path, wanted: "Wanted", *, as_json: bool) -> NoReturn:
    from checkapp.show import list_onto

    done = list_onto.list_onto(sheet, onto, out, wanted)
    if as_json:
        print_json(list_onto.document(done))
    else:
        from checkapp.show.list_onto_text import print_onto

        print_onto(done)
    raise typer.Exit(list_onto.status(done))


@plan_app.command("diff")
def plan_diff(
    old: Annotated[Path, typer.Argument(help="The plan as it was.", show_default=False)],
    new: Annotated[Path, typer.Argument(help="The plan as it becomes.", show_default=False)],
    units: Units = None,
    as_json: Json = False,
) -> None:
    """What a crew does between two plans, step by step, and which lines are checked again."""
    from checkapp.show import comparing

    found = comparing.compare_plans(old, new)
    if as_json:
        print_json(comparing.document(found))
    else:
        from checkapp.show.comparing_text import print_compared

        print_compared(found)


@plan_app.command("export")
def plan_export(
    plan: Plan,
    sheet: Annotated[Path, typer.Argument(help="The workbook to write: .xlsx.", show_default=False)],
    as_json: Json = False,
) -> None:
    """The rig as a workbook, a sheet for each table, to be edited and brought back with plan import."""
    from checkapp.show import plan_export as exporting

    done = exporting.export_plan(plan, sheet)
    _say(exporting.document(done), exporting.told(done), as_json=as_json)


def _say(document: dict[str, Any], lines: Iterable[str], *, as_json: bool) -> None:
    """A document for programs, or lines for people."""
    if as_json:
        print_json(document)
    else:
        typer.echo("\n".join(lines))


@plan_app.command("new")
def plan_new(
    out: Annotated[
        Path | None, typer.Option("--out", help="The file to write; without it the plan is printed.")
    ] = None,
    name: Annotated[str | None, typer.Option("--name", help="The rig's name.")] = None,
    inputs: Annotated[int | None, typer.Option("--inputs", help="How many inputs.")] = None,
    outputs: Annotated[int | None, typer.Option("--outputs", help="How many outputs.")] = None,
    box: Annotated[list[str] | None, typer.Option("--box", help="A size of box, as 16x8; once for each size.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a file that is there.")] = False,
) -> None:
    """A plan to start from, with comments. Without numbers of lines a few questions are asked."""
    from checkapp.show import new_plan
    from checkapp.show.asking import asker

    asked = new_plan.wanted(name, inputs, outputs, box or (), out, asker(), force=force)
    made = new_plan.new_plan(asked, force=force)
    if asked.out is None:
        typer.echo(made.text, nl=False)
    else:
        typer.echo(new_plan.made_words(asked, made))
