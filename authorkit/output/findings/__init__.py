"""Findings as files and text for editors, build servers and people."""
