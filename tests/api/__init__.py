"""Tests of the REST service, the command line and the bootstrap."""
