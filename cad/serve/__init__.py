"""The live page: the spec as a form beside the review page, for those who would rather not type commands.

`server` listens on the loopback address and nowhere else; `guard` decides what it will answer at all;
`routes` says what each address does, `desk` does it. The kernel works in one thread, the one that `bench`
keeps; everything else, checks and dimensions above all, is answered at once without it.
"""
