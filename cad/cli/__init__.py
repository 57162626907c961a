"""The command line: the only place that prints, and where errors become words and exit statuses."""
