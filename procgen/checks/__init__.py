"""Findings: one module per family, one function per check."""
