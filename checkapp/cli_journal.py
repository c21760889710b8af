"""The commands of the log: verify, merge, export, import, backup, rescue, sync; and the options that many share."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Annotated

import typer

journal_app = typer.Typer(rich_markup_mode=None, no_args_is_help=True, help="The log of everything that was marked.")

Json = Annotated[bool, typer.Option("--json", help="One JSON document and nothing else.")]
Journal = Annotated[
    Path | None, typer.Option("--journal", help="The journal; default: journal.db in the user's data folder.")
]
By = Annotated[str | None, typer.Option("--by", help="Who: initials.")]


@journal_app.command("verify")
def journal_verify(journal: Journal = None) -> None:
    """Prove that no entry is missing or changed; status 1 if one is."""
    from checkapp.show import verifying

    lines, sound = verifying.verify_journal(journal)
    for line in lines:
        typer.echo(line)
    raise typer.Exit(0 if sound else 1)


@journal_app.command("merge")
def journal_merge(
    others: Annotated[list[Path], typer.Argument(help="Journals and exports.", show_default=False)],
    journal: Journal = None,
) -> None:
    """Take in everything that other journals and exports hold, or nothing; status 1 when something is wrong with it."""
    from checkapp.show import merging

    found = merging.merge_files(others, journal)
    _say(found.done, found.wrong)


@journal_app.command("export")
def journal_export(
    file: Annotated[Path, typer.Argument(help="The file to write: FILE.jsonl.", show_default=False)],
    journal: Journal = None,
) -> None:
    """Write every entry as one line of JSON; status 1 when some could not be read."""
    from checkapp.show import exporting

    found = exporting.export_journal(file, journal)
    _say(exporting.lines_of(found, file), exporting.wrong_of(found))


@journal_app.command("import")
def journal_import(
    file: Annotated[Path, typer.Argument(help="An export, or a CSV of old records.", show_default=False)],
    all_or_nothing: Annotated[
        bool, typer.Option("--all-or-nothing/--no-all-or-nothing", help="With a bad row, take nothing.")
    ] = True,
    rig: Annotated[str | None, typer.Option("--rig", help="Old records: the rig that they are of.")] = None,
    day_first: Annotated[
        bool | None,
        typer.Option("--day-first/--month-first", help="Old records: 02/05/2031; default: as the column tells."),
    ] = None,
    journal: Journal = None,
) -> None:
    """Take in an export, or a CSV of old records; status 1 when something is wrong with what came in."""
    from checkapp.show import importing

    found = importing.import_file(file, journal, importing.Asked(all_or_nothing, rig, day_first))
    _say(found.done, found.wrong)


@journal_app.command("backup")
def journal_backup(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where the copy goes.", show_default=False)],
    journal: Journal = None,
) -> None:
    """Copy the journal into a folder, also while the app is at work; nothing there is written over."""
    from checkapp.show import backing_up

    typer.echo(backing_up.back_up_to(folder, journal))


@journal_app.command("rescue")
def journal_rescue(journal: Journal = None) -> None:
    """Set a damaged journal aside, make a new one of all that can be read, backups too; status 1: some is missing."""
    from checkapp.show import rescuing

    found = rescuing.rescue_journal(journal)
    _say(found.done, found.wrong)


@journal_app.command("sync")
def journal_sync(
    hub: Annotated[str, typer.Argument(metavar="HUB_URL", help="postgresql://USER@HOST/DATABASE")] = "",
    every: Annotated[float | None, typer.Option("--every", help="Again and again, this many seconds apart.")] = None,
    setup: Annotated[bool, typer.Option("--setup", help="Print the SQL that sets a hub up.")] = False,
    journal: Journal = None,
) -> None:
    """Both ways with a hub; status 1 when it is away or something is wrong. Passwords: PGPASSWORD or password file."""
    from checkapp.show import syncing

    if setup:
        typer.echo(syncing.setup_sql(), nl=False)
    elif every is not None:
        syncing.sync_every(hub, journal, every, lambda line: typer.echo(line))
    else:
        found = syncing.sync_once(hub, journal)
        _say(found.done, found.wrong)


def _say(done: Iterable[str], wrong: Sequence[str]) -> None:
    """Say what was done, and on standard error what is wrong; status 1 when something is."""
    for line in done:
        typer.echo(line)
    for line in wrong:
        typer.echo(line, err=True)
    raise typer.Exit(1 if wrong else 0)
