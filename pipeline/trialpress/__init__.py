"""Trialpress: from hand-typed trial CSVs to checked results, a site and an open dataset.

The flow, left to right; each stage imports only from those before it::

    intake     CSV files            -> checked tables, or findings
    store      checked tables       -> DuckDB, as visible on one date
    measure    readings             -> one value a run, with its uncertainty
    results    values               -> cells, standings, cuts, overviews
    analyses   results              -> the questions after the standings
    view       all public rows      -> each once, by key, with its names, words and sentences
    charts     view                 -> Vega-Lite and still pictures
    explain    view and readings    -> how one figure came about
    site, dataset                   -> what people get
    kit        view, site's pages   -> what a film is cut from

``flow`` calls them in order. ``editions`` are frozen releases of the dataset. ``words`` speaks the
language of the pages, ``desk`` helps at the bench itself, and ``cli`` alone prints or reads the
clock.
"""

__version__ = "0.1.0"
