"""marks.html: the marks on a phone, one file that needs no server and no signal."""
