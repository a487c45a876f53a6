"""The answer put into words and lines; ``rules.text.render`` puts the pieces together."""
