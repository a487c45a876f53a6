"""The catalog folder: plain files to a catalog and back. Texts in, texts out; no disk."""

from rules.folder.reader import read_catalog

__all__ = ["read_catalog"]
