"""`python -m detailgen`."""

from detailgen.cli import app

app(prog_name="detailgen")
