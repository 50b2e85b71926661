"""What fails along with the changes of `rows_curbs`, by rule and change."""

from collections.abc import Mapping

ALONG: Mapping[str, Mapping[str, tuple[str, ...]]] = {}
