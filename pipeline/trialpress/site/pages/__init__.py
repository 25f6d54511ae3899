"""One module a kind of page: the page's typed object and how it is put together from view."""
