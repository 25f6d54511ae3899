"""What helps at the bench: one package a job, each with its map in its own docstring.

In:  a bench folder, and the outputs that ``flow`` builds from it.
Out: rows and files written so that a power cut loses none; pages for the tester alone; what was
     built, handed on to readers. Nothing here prints or reads the clock: ``cli`` hands it in.

The jobs, in the order of an evening::

    new       an empty bench
    catalogue rows of makers, machines, protocols and so on, typed in forms or answered
    adopt     the runs of an existing spreadsheet in day folders
    plan      which runs are missing or worth making
    sheet     the run sheet that is printed, the bench sheet that is typed into
    preview   the site as it grows, and the bench sheet, in the tester's browser
    tidy      tables in the house form
    correct   a correction, with all that it changes
    publish   the built site handed on to readers
    words     the texts of the pages, to be translated

What several of them use: ``append`` adds rows to a table's file, ``replacing`` puts a whole file in
the place of another, ``scratch`` is for work that nobody finds later, ``bench_copy`` for trying
rows out, ``measured`` works a bench out in memory.
"""
