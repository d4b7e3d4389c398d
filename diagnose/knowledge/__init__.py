"""The rule base: the one place that knows its YAML format."""
