"""The commands of the plan file itself, and the options that many share."""

import json
from pathlib import Path
from typing import Annotated, Any

import typer

from checkapp.cli_journal import Json

plan_app = typer.Typer(rich_markup_mode=None, no_args_is_help=True, help="The plan file itself.")

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
    sheet: Annotated[Path, typer.Argument(help="The list: .xlsx or .csv.", show_default=False)],
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
    as_json: Json = False,
) -> None:
    """An input list out of a spreadsheet as a plan, and what every row became. Status 1 when strict and unclear."""
    from checkapp.show import plan_importing

    wanted = plan_importing.Wanted(columns or (), keep_as, name, owner, only, strict)
    done = plan_importing.import_list(sheet, out, wanted)
    if as_json:
        print_json(plan_importing.document(done))
    else:
        from checkapp.show.plan_importing_text import print_import

        print_import(done)
    raise typer.Exit(plan_importing.status(done))


@plan_app.command("diff")
def plan_diff(
    old: Annotated[Path, typer.Argument(help="The plan as it was.", show_default=False)],
    new: Annotated[Path, typer.Argument(help="The plan as it becomes.", show_default=False)],
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
