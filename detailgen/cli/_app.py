"""The application, and what every command does: mistakes told, exit codes, printing."""

import atexit
import signal
import sys
from collections.abc import Callable
from functools import wraps
from gc import freeze, set_threshold
from io import TextIOWrapper
from types import FrameType
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

if TYPE_CHECKING:
    from pathlib import Path

    from detailgen.errors import UserError

app = typer.Typer(
    name="detailgen",
    help="Checked, dimensioned roofing details from a parameter file.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

RULE_FAILS: Final = 1
MISTAKE: Final = 2
FAULT: Final = 3
STOPPED: Final = 130
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]
_SELDOM: Final = (100_000, 20, 50)
"""When Python looks for cycles: sections are many small values that all stay, and looking
through them as often as usual takes a fifth of the time of a check."""

set_threshold(*_SELDOM)
# A process that ends frees all of it: looking through it for cycles first takes as long as
# drawing a condition.
atexit.register(freeze)


def told(command: Callable[..., None]) -> Callable[..., None]:
    """Tell the user's mistakes without a traceback, and stop cleanly when asked to."""

    @wraps(command)
    def run(*args: Any, **options: Any) -> None:  # noqa: ANN401
        from detailgen.errors import UserError

        stopped: list[int] = []

        def stop(number: int, _: FrameType | None) -> None:
            stopped.append(number)  # libraries that are just loading may hide what follows
            raise KeyboardInterrupt

        before = signal.signal(signal.SIGINT, stop)
        try:
            command(*args, **options)
        except UserError as error:
            _tell_mistakes(error, as_json=bool(options.get("as_json")))
            raise typer.Exit(MISTAKE) from None
        except (typer.Exit, BrokenPipeError):
            raise
        except (KeyboardInterrupt, Exception) as error:
            if not (stopped or isinstance(error, KeyboardInterrupt)):
                _tell_fault(error)
                raise typer.Exit(FAULT) from None
            sys.stderr.write("Stopped; nothing was written.\n")
            raise typer.Exit(STOPPED) from None
        finally:
            signal.signal(signal.SIGINT, before)

    return run


def _tell_mistakes(error: "UserError", *, as_json: bool) -> None:
    from detailgen import reports

    if as_json:
        print_text(reports.problems_json(error.problems))
    else:
        reports.console(stderr=True).print(reports.problems_text(error.problems))


def _tell_fault(error: BaseException) -> None:
    from traceback import print_exception

    print_exception(error)
    sys.stderr.write("This is a fault of detailgen, not of your file.\n")


def _version(asked: bool) -> None:
    if asked:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print_text(f"detailgen {version('detailgen')}")
        except PackageNotFoundError:  # run from its folder
            print_text("detailgen, not installed")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    del version  # its callback has already answered
    for stream in (sys.stdout, sys.stderr):
        if isinstance(
            stream, TextIOWrapper
        ):  # a terminal may lack signs such as the degree
            stream.reconfigure(errors="backslashreplace")


def shown(path: "Path") -> str:
    """Return a path as a terminal may print it: strange signs escaped."""
    from detailgen.errors import printable

    return printable(str(path), 200)


def print_text(text: str, end: str = "\n") -> None:
    """Print plain text, which no terminal may wrap or colour."""
    sys.stdout.write(text + end)
