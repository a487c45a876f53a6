"""Where catalogs live: the folder on disk, and editions in a database."""
