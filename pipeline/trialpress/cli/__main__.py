"""``python -m trialpress.cli``, for where no script is installed."""

from trialpress.cli import main

main()
