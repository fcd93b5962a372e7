"""Drawings made from the data, as frozen layouts that a template sets down as SVG."""
