"""The commands that need no job: kinds, a file to start with, the schema, the rules."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import AsJson, app, print_text, shown, told

Kind = Annotated[
    str, typer.Argument(metavar="KIND", help="Kind of condition: see `kinds`.")
]


@app.command()
@told
def kinds(
    kind: Annotated[
        str | None,
        typer.Argument(metavar="[KIND]", help="List the parameters of this kind."),
    ] = None,
) -> None:
    """List the kinds of condition, or the parameters of one kind."""
    from detailgen import reports
    from detailgen.loader import condition_of

    console = reports.console()
    if kind is None:
        console.print(reports.kinds_table())
    else:
        console.print(reports.parameters_table(condition_of(kind)))


@app.command()
@told
def start(
    kind: Kind,
    file: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="File to write; by default KIND.toml."),
    ] = None,
) -> None:
    """Start a parameter file for a kind, with every key explained.

    The schema for editors is written beside it. A file that is there is never replaced.
    With `office` for the kind it is the settings file of an office.
    """
    from detailgen.catalog import load_catalog
    from detailgen.loader import condition_of, office_files
    from detailgen.loader.schema import FILE_NAME, schema_text
    from detailgen.loader.starter import starter

    if kind == office_files.NAME:
        _start_office(file or Path(f"{kind}.toml"))
        return
    condition = condition_of(kind)
    goal = file or Path(f"{kind}.toml")
    catalog = load_catalog()
    _write_beside(goal, starter(condition, catalog), FILE_NAME, schema_text(catalog))
    print_text(f"Wrote {shown(goal)} and {shown(goal.parent / FILE_NAME)}.")
    print_text(f"Draw it with: detailgen draw {shown(goal)}")


@app.command()
@told
def schema(
    write: Annotated[
        Path | None, typer.Option("--write", metavar="FILE", help="Write it to a file.")
    ] = None,
    office: Annotated[
        bool, typer.Option("--office", help="That of an office's settings instead.")
    ] = False,
) -> None:
    """Print the JSON Schema of parameter files, for editors."""
    from detailgen.catalog import load_catalog
    from detailgen.loader.office_files import office_schema_text
    from detailgen.loader.schema import schema_text

    text = (office_schema_text if office else schema_text)(load_catalog())
    if write is None:
        print_text(text, end="")
    else:
        _write_schema(write, text)


@app.command()
@told
def rules(
    rule: Annotated[
        str | None,
        typer.Argument(metavar="[RULE]", help="Explain this row, check or relation."),
    ] = None,
    rule_sets: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="SET", help="Rule set to show; two are combined."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the rule sets and their rows, or explain one rule.

    Without --set a rule is told with its values in every set.
    """
    from detailgen import reports, rule_pages
    from detailgen.catalog import load_catalog

    catalog, sets = load_catalog(), rule_sets or ()
    console = reports.console()
    if as_json:
        print_text(reports.rules_json(catalog, rule, sets))
    elif rule is None:
        console.print(reports.rules_listed(catalog, sets))
    else:
        console.print(rule_pages.rule_page(catalog, rule, sets))


def _write_beside(goal: Path, text: str, named: str, schema: str) -> None:
    """Write a new file with its schema beside it: both or none."""
    from detailgen.loader.schema import is_schema
    from detailgen.output import check_new, write_all, write_new

    beside = goal.parent / named
    check_new(goal)
    if not is_schema(beside):
        check_new(beside)
    if not goal.parent.is_dir():  # no folder is made for it, and that is told
        write_new(goal, text.encode())
    write_all(goal.parent, {goal.name: text.encode(), named: schema.encode()})


def _start_office(goal: Path) -> None:
    from detailgen.catalog import load_catalog
    from detailgen.loader.office_files import FILE_NAME, office_schema_text, office_starter

    catalog = load_catalog()
    _write_beside(goal, office_starter(catalog), FILE_NAME, office_schema_text(catalog))
    print_text(f"Wrote {shown(goal)} and {shown(goal.parent / FILE_NAME)}.")
    print_text(f'A job beside it names it in [project]: office = "{shown(goal)}"')


def _write_schema(file: Path, text: str) -> None:
    """Write a schema, over an older one but over nothing else."""
    from detailgen.loader.schema import is_schema
    from detailgen.output import write_all, write_new

    if is_schema(file):
        write_all(file.parent, {file.name: text.encode()})
    else:
        write_new(file, text.encode())
