"""Findings as text, JSON and SARIF: one module for each format, all given the same values."""
