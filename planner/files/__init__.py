"""The maker's files: TOML in, with every problem at once; TOML out, as a careful person writes.

``reading`` makes model values of a workroom's folder, ``writing`` saves what changed between
two of them and leaves everything else as the maker wrote it. ``FORMAT.md`` is the reference.
"""
