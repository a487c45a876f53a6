"""The catalog folder: plain files to a catalog and back. Texts in, texts out; no disk."""

from rules.folder.canonical import canonical
from rules.folder.reader import read_catalog, read_located
from rules.folder.writer import digest_of, write_catalog

__all__ = ["canonical", "digest_of", "read_catalog", "read_located", "write_catalog"]
