"""From a plan to the lines that a customer reads: charges, reasons, totals, add-ons."""
