"""Why nothing is valid, and every smallest change of the request that mends it."""

from rules.conflict.explain import CONFLICTS_SHOWN, REPAIRS_SHOWN, explain
from rules.conflict.wish import apply

__all__ = ["CONFLICTS_SHOWN", "REPAIRS_SHOWN", "apply", "explain"]
