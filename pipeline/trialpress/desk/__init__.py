"""What helps at the bench: starting one, planning, typing, correcting, publishing.

In:  a bench folder, and the outputs that ``flow`` builds from it.
Out: rows and files written so that a power cut loses none; pages for the tester alone; what was
     built, handed on to readers. Nothing here prints or reads the clock: ``cli`` hands it in.
"""
