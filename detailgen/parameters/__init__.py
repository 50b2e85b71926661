"""What a job may say: project data, the roof that all conditions share, and overrides.

Each kind of condition adds its own model (see `conditions/`), built from the field makers
of `fields`, so that every parameter carries a default, a range and a one-line description.
The loader, the JSON Schema, the starter files, the list of parameters and the random tests
all read those.
"""

from detailgen.parameters.fields import (
    FROM_FILE,
    Length,
    Model,
    Rise,
    choice,
    count,
    degrees,
    length,
    limits_of,
    material,
    slope,
)
from detailgen.parameters.shared import (
    MOST_SETS,
    STEEPEST,
    Acceptance,
    Distance,
    MaterialOverride,
    Placed,
    Project,
    Roof,
    RuleOverride,
    RuleSets,
)

__all__ = [
    "FROM_FILE",
    "MOST_SETS",
    "STEEPEST",
    "Acceptance",
    "Distance",
    "Length",
    "MaterialOverride",
    "Model",
    "Placed",
    "Project",
    "Rise",
    "Roof",
    "RuleOverride",
    "RuleSets",
    "choice",
    "count",
    "degrees",
    "length",
    "limits_of",
    "material",
    "slope",
]
