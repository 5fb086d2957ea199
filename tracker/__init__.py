"""Going Barrel: keeps a collection of mechanical watches going."""

import os

# Our matrices are small: BLAS threads cost more than they give, most of all beside other work. Read when numpy loads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
