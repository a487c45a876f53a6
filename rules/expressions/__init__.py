"""The expression language: a checked, three-valued subset of CEL with units.

Common Expression Language is an open specification (github.com/google/cel-spec). What of
it is here, and where this goes beyond it, is in ``docs/expressions.md``.
"""

from rules.expressions.expression import (
    Anatomy,
    Expression,
    anatomy,
    compile_expression,
    explain,
)
from rules.expressions.scope import (
    BUILT_IN_PROPERTIES,
    RESERVED_NAMES,
    Allow,
    Environment,
    Reads,
    Scope,
)
from rules.expressions.terms import Read

__all__ = [
    "BUILT_IN_PROPERTIES",
    "RESERVED_NAMES",
    "Allow",
    "Anatomy",
    "Environment",
    "Expression",
    "Read",
    "Reads",
    "Scope",
    "anatomy",
    "compile_expression",
    "explain",
]
