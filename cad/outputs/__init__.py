"""From solids to files: every format is one file in `cad.outputs.formats`, the folder is written whole.

`write.product_files(product)` returns the files as bytes; `write.write_product(product, to)` writes them.
"""
