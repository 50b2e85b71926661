"""Rendering of pages to pictures, with the font of the package and no other."""

import io
import shutil
import subprocess

import numpy as np
import pypdfium2
import resvg_py
from PIL import Image

from detailgen.lettering import font_path

DPI = 127
"""Five pixels in a millimetre."""
PER_MM = DPI / 25.4
FONTS = [str(font_path()), str(font_path(bold=True))]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
RSVG = shutil.which("rsvg-convert")
PDFTOPPM = shutil.which("pdftoppm")


def grey(picture):
    return np.asarray(picture.convert("L"), dtype=float)


def resvg(svg):
    data = resvg_py.svg_to_bytes(
        svg_string=svg.decode("utf-8"), dpi=DPI, skip_system_fonts=True, font_files=FONTS
    )
    return grey(Image.open(io.BytesIO(bytes(data))))


def pdfium(pdf, page=0):
    document = pypdfium2.PdfDocument(pdf)
    picture = document[page].render(scale=DPI / 72, grayscale=True).to_pil()
    document.close()
    return grey(picture)


def rsvg(svg, folder):
    (folder / "in.svg").write_bytes(svg)
    size = ["-d", str(DPI), "-p", str(DPI), "-b", "white"]
    args = [RSVG, *size, "in.svg", "-o", "out.png"]
    subprocess.run(args, cwd=folder, check=True)
    return grey(Image.open(folder / "out.png"))


def chromium(svg, width, height, folder):
    """Print the SVG to a PDF page of the sheet's size, and draw that."""
    (folder / "in.svg").write_bytes(svg)
    page = f"""<!doctype html><style>@page{{size:{width}mm {height}mm;margin:0}}
    body{{margin:0}}img{{display:block;width:{width}mm;height:{height}mm}}</style>
    <img src="in.svg">"""
    (folder / "in.html").write_text(page, encoding="utf-8")
    args = [
        CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu",
        "--no-pdf-header-footer",
        f"--user-data-dir={folder}/profile", f"--print-to-pdf={folder}/out.pdf",
        (folder / "in.html").as_uri(),
    ]  # fmt: skip
    subprocess.run(args, check=True, capture_output=True, timeout=120)
    return pdfium((folder / "out.pdf").read_bytes())


def poppler(pdf, folder):
    (folder / "in.pdf").write_bytes(pdf)
    args = [PDFTOPPM, "-r", str(DPI), "-png", "-singlefile", "in.pdf", "out"]
    subprocess.run(args, cwd=folder, check=True)
    return grey(Image.open(folder / "out.png"))


def ink(picture, box, height, lightest=128):
    """Return how many pixels are dark inside a box in paper mm, y up."""
    x0, y0, x1, y1 = box
    rows = slice(int((height - y1) * PER_MM), int((height - y0) * PER_MM) + 1)
    columns = slice(int(x0 * PER_MM), int(x1 * PER_MM) + 1)
    return int((picture[rows, columns] < lightest).sum())


def stray(one, other, reach=2):
    """Return the share of dark pixels of either with nothing near in the other."""
    height, width = (min(one.shape[i], other.shape[i]) for i in (0, 1))
    dark = [p[:height, :width] < 160 for p in (one, other)]
    faint = [_spread(p[:height, :width] < 235, reach) for p in (one, other)]
    lost = (dark[0] & ~faint[1]).sum() + (dark[1] & ~faint[0]).sum()
    return float(lost / (dark[0].sum() + dark[1].sum()))


def _spread(mask, reach):
    out = mask.copy()
    for dy in range(-reach, reach + 1):
        for dx in range(-reach, reach + 1):
            out |= np.roll(np.roll(mask, dy, 0), dx, 1)
    return out
