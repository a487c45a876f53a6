"""The operations of the REST service, one module a subject."""
