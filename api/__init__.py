"""The outside of Once Apart: REST service and command line. Kept free of imports: the
bootstrap runs before anything is installed."""
