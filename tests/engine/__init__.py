"""The engine arithmetic."""
