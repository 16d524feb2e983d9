"""What CP-SAT reaches for the trays of generated days; ``flow_known`` reads it.

Written by ``python tests/bench/flow_bench.py``: kind, seed, size, best finish, bound and time limit
(all three in seconds), trays. Solver: ortools, with the model of ``oracle_model``.
"""

TABLE = """
plain 0 3 4071 4071 5 3*8a
plain 0 4 4558 4558 3 4*6a
mat 0 3 5487 5487 5 3*5a
mat 0 3 5247 5247 5 5*1a 2*5a
scents 0 3 4532 4532 5 1a 2c 6b
pans 0 3 4766 4766 5 1b 2a#1 2*7a
pans 0 3 4256 4256 5 1b#1 7a 9a#1
shelves 0 3 3930 3930 5 3a 2*6b
ovens 0 3 3222 3222 5 3*5a
people 0 3 4987 4987 5 1b 3b 2*5a
people 0 3 5077 5077 5 4b 2*5a
breaks 0 3 6564 6564 5 3*6a
heat 0 3 4690 4690 5 7a@2 8a 8b@1
on_pan 0 3 4289 4289 5 5b 2*7a
on_pan 0 3 4289 4289 5 5b 6a 8a
ready 0 3 4445 4445 5 3a 4b 8b
mixed 0 3 4351 4351 5 2c3a1b 5b
mixed 0 3 4351 4351 5 3a2c1b 5b
filled 0 3 4364 4364 5 2a!1a 9b@1 9b@1!6b
filled 0 4 5221 5221 3 4b@1!3b 7a 7a! 7a!5a
later 0 3 4803 4803 5 1b 7a 7b
later 0 3 4755 4755 5 2*1b 6b 7a
all 0 3 2900 2900 5 5a 5a!2a 6b@1!3b
"""
