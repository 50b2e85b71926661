"""Settings that all tests share."""

from hypothesis import settings

# A deadline for each example would make a busy machine fail tests that hold.
settings.register_profile("detailgen", deadline=None)
settings.load_profile("detailgen")
