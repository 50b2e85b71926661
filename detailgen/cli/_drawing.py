"""What `draw` does once, or again and again: read a job, draw what has changed, tell."""

import gc
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from detailgen.cli._app import shown

if TYPE_CHECKING:
    from detailgen.ahead import Ahead
    from detailgen.store import Store


def draw_once(
    job_file: Path,
    folder: Path,
    formats: Sequence[str],
    *,
    water: bool,
    store: "Store | None",
    ahead: "Ahead | None",
) -> None:
    """Draw a job into a folder, where it has changed, and tell what came of it.

    Args:
        job_file: Its parameter file.
        folder: Where its sheets go.
        formats: What they are written as.
        water: Whether the easiest ways of water are drawn.
        store: Where earlier runs have kept what they worked out; None for none.
        ahead: A process that has loaded some of the writers.

    Raises:
        UserError: The job or the folder is not as it should be; nothing has been written.
    """
    from detailgen import reports
    from detailgen.loader import load_job
    from detailgen.output import check_folder, staged
    from detailgen.pipeline import draw_job, steps_of
    from detailgen.recall import Past
    from detailgen.standing import Standing
    from detailgen.store import FolderStore

    console = reports.console()
    job = load_job(job_file)
    if ahead:  # a run that is soon over: what there is stays until the end
        gc.freeze()
    check_folder(folder)
    with staged(folder) as staging, reports.progress(steps_of(job)) as advance:
        kept = store or FolderStore(staging.scratch)
        standing = Standing(folder, kept)
        drawn = draw_job(
            job,
            formats,
            advance,
            water=water,
            past=Past(kept, standing.sum_at),
            put=staging.put,
            ahead=ahead,
        )
        paths = staging.move_in(drawn.sums)
        standing.keep(drawn.sums.items())
    console.print(reports.drawn_table(job, drawn.checked))
    console.print(reports.failures_text(job, drawn.checked))
    stand = f"; {drawn.standing} stand there as they should" if drawn.standing else ""
    console.print(
        f"{drawn.sheets} sheets in {len(paths)} files written to {shown(folder)}{stand}"
    )
