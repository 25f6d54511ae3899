"""What the bench says about itself: its settings and its data packages' descriptors.

In:  nothing.
Out: the text of ``bench.toml``, and the content of the ``datapackage.json`` files.
"""

from __future__ import annotations

BENCH_TOML = """format = 1
name = "Quillmere bench"
base_url = "https://example.org/trialpress-demo/"
time_zone = "Europe/Lisbon"
licence = "CC-BY-4.0"
contact = "bench@example.org"
currency = "EUR"
top_n = 5
confidence = 0.95
single_runs = "borrowed"
disclosure = '''
Most machines were bought in shops at the price shown. Loaned, gifted and sponsored ones are marked
as such; nobody who lent, gave or paid for one saw a result before readers did, and nobody has ever
paid for a place.'''
notice = '''
Invented data. This bench, its tester, the makers, the machines and every figure were made up to
show what Trialpress does. They say nothing about any real machine.'''
"""

_LICENCES = [
    {
        "name": "CC-BY-4.0",
        "title": "Creative Commons Attribution 4.0 International",
        "path": "https://creativecommons.org/licenses/by/4.0/",
    }
]

CATALOGUE_DESCRIPTOR = {
    "name": "quillmere-catalogue",
    "title": "Catalogue of the Quillmere bench (invented)",
    "description": "Makers, machines, set-ups, floors, soils, instruments and protocols.",
    "licenses": _LICENCES,
    "sources": [{"title": "Invented for the Trialpress demo"}],
}

DAY_DESCRIPTORS = {
    "2024-09-14-hall": {
        "name": "quillmere-2024-09-14-hall",
        "title": "The first day in the hall (invented)",
        "description": "Times were not noted run by run.",
        "licenses": _LICENCES,
        "sources": [{"title": "Invented for the Trialpress demo"}],
    },
    "2025-10-04-hall": {
        "name": "quillmere-2025-10-04-hall",
        "title": "The first day on the moss rug (invented)",
        "licenses": _LICENCES,
        "sources": [{"title": "Invented for the Trialpress demo"}],
    },
}
