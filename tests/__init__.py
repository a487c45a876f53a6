"""The tests; they mirror the layers they test."""
