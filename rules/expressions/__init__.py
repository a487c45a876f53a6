"""The expression language: a checked, three-valued subset of CEL with units.

Common Expression Language is an open specification (github.com/google/cel-spec). What of
it is here, and where this goes beyond it, is in ``docs/expressions.md``.
"""

from rules.expressions.expression import Expression, compile_expression, explain
from rules.expressions.scope import (
    BUILT_IN_PROPERTIES,
    RESERVED_NAMES,
    Allow,
    Environment,
    Reads,
    Scope,
)

__all__ = [
    "BUILT_IN_PROPERTIES",
    "RESERVED_NAMES",
    "Allow",
    "Environment",
    "Expression",
    "Reads",
    "Scope",
    "compile_expression",
    "explain",
]
