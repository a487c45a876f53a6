"""An independent reading of docs/model.md: generated catalogs, two solvers, no engine code."""
