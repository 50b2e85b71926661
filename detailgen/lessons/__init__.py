"""For the class: the stages of a condition, on sheets, as a checklist, on a page."""

from detailgen.lessons.checklist import checklist
from detailgen.lessons.stage_sheets import stage_sheets
from detailgen.lessons.step import Step, held, steps_of

__all__ = ["Step", "checklist", "held", "stage_sheets", "steps_of"]
