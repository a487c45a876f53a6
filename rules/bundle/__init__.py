"""Parts bought elsewhere, checked against a machine: do they fit, are they enough?"""
