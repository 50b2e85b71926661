"""The manifest: what each file of a package is, its size and its hash.

It can be checked with `sha256sum -c`: what is not a hash with its file is a comment there.
"""

from collections.abc import Mapping
from hashlib import sha256
from typing import Final

FILE: Final = "manifest.txt"
_FOLDERS: Final = {
    "dxf": "sheets in DXF, model space at true size",
    "svg": "sheets in SVG",
    "pdf": "sheets in PDF, each by itself",
    "png": "sheets as pictures",
}


def manifest(
    files: Mapping[str, bytes], about: Mapping[str, str], head: Mapping[str, str]
) -> bytes:
    """Return the manifest of some files.

    Args:
        files: Content by path inside the package.
        about: What files are, by their paths, or by their names without folder and ending.
        head: What is said of the whole, by caption.
    """
    lines = [f"{caption}: {value}" for caption, value in head.items() if value]
    lines += ["", f"Check with: sha256sum -c {FILE}"]
    folder = ""
    body: list[str] = []
    for path, content in sorted(files.items(), key=lambda f: ("/" in f[0], f[0])):
        stem, slash, _ = path.partition("/")
        if slash and stem != folder:
            body += ["", f"# {stem}/: {_FOLDERS.get(stem, stem)}"]
            folder = stem
        told = about.get(path) or about.get(path.rpartition("/")[2].partition(".")[0], "")
        said = f"# {len(content)} bytes" + (f": {told}" if told else "")
        body += [said] if slash else ["", said]
        body.append(f"{sha256(content).hexdigest()}  {path}")
    return "\n".join([*(f"# {line}".rstrip() for line in lines), *body, ""]).encode()
