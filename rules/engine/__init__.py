"""Engine arithmetic: pure formulas in metric units, and the table that rules may call.

``rules.engine.functions.FUNCTIONS`` is the only door for expressions: there every argument
is checked first, so that a bad one gives a ``Failure``. The formulas in the other modules
say in their docstrings for which arguments they hold.
"""
