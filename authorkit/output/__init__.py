"""Blocks become files: HTML, PDF; findings become text, JSON, SARIF, JUnit and a report."""
