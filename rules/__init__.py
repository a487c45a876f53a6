"""The rules engine: values in, values out. No I/O, clock, framework or database."""
