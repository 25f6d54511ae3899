"""Results -> charts, as accessible pictures and as specifications a page can redraw."""
