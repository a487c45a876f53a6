"""Why a line is in the list, and why something else is not."""

from rules.why.answer import Chain, Link, Why, WhyNot
from rules.why.chains import why
from rules.why.why_not import why_not

__all__ = ["Chain", "Link", "Why", "WhyNot", "why", "why_not"]
