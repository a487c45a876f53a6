"""Alembic migrations. ``db.migrate`` runs them."""
