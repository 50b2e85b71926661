"""For the class: stages, checklists, handouts, cut sheets, exercises with their keys."""

from detailgen.lessons.checklist import checklist
from detailgen.lessons.cut_sheets import cut_sheets
from detailgen.lessons.exercise import names_exercise, numbers_exercise
from detailgen.lessons.handout import handout
from detailgen.lessons.stage_sheets import stage_sheets
from detailgen.lessons.step import Step, held, steps_of

__all__ = [
    "Step",
    "checklist",
    "cut_sheets",
    "handout",
    "held",
    "names_exercise",
    "numbers_exercise",
    "stage_sheets",
    "steps_of",
]
