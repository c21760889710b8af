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
