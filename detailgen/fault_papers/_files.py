"""A class set as files: what is handed out, and the keys apart from it."""

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from detailgen.fault_papers._nouns import KEYS, PAPERS, RECIPE, Paper, Wanted
from detailgen.loader import Job
from detailgen.pipeline import Progress
from detailgen.printing import files_of, printed

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

_KEY_FOLDER: Final = "keys"


def files_with(
    job: Job,
    papers: Sequence[Paper],
    formats: Sequence[str],
    wanted: Wanted,
    progress: Progress,
) -> dict[str, bytes]:
    """Return the files: what is handed out, and the keys in a folder of their own."""
    files: dict[str, bytes] = {}
    for folder, bound, sheets in (
        ("", PAPERS, [p.scenes for p in papers]),
        (f"{_KEY_FOLDER}/", KEYS, [p.key for p in papers]),
    ):
        groups = printed(
            len(papers),
            sheets.__getitem__,
            formats,
            lambda n: progress(f"paper {n + 1} is written"),
        )
        every = files_of(groups, formats)
        files |= {folder + p: b for p, b in every.items() if not p.startswith("pdf/")}
        if "pdf" in formats:
            pages = [(n + 1, page) for n, g in enumerate(groups) for page in g.pages]
            files[bound] = _bound(job, bound, pages)
    recipes = {
        "job": job.project.name,
        "seed": wanted.seed,
        "papers": [dict(p.recipe) for p in papers],
    }
    files[RECIPE] = (json.dumps(recipes, indent=1, ensure_ascii=False) + "\n").encode()
    return files


def _bound(job: Job, name: str, made: "Sequence[tuple[int, PageContent]]") -> bytes:
    """Return pages as one file, a bookmark at the first of each paper."""
    from detailgen.lettering import letterable
    from detailgen.writers.pdf import Page, pages

    seen: set[int] = set()
    book: list[Page] = []
    what = "Key" if name == KEYS else "Paper"
    for number, content in made:
        mark = "" if number in seen else f"{what} {number}"
        seen.add(number)
        book.append(Page(content, mark, label=str(len(book) + 1)))
    title = letterable(job.project.name)
    return pages(book, title, subject="Find the fault", author=job.project.drawn_by)
