"""The small library that `procgen new` writes."""
