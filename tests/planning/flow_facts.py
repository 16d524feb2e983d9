"""What CP-SAT reaches for the trays of generated days; ``flow_known`` reads it.

Written by ``python tests/bench/flow_bench.py``: kind, seed, size, best finish, bound and time limit
(all three in seconds), trays. Solver: ortools, with the model of ``oracle_model``.
"""

TABLE = """
plain 0 2 4056 4056 2 3a 8a
plain 0 3 4071 4071 5 3*8a
plain 1 3 3819 3819 20 3*6a
plain 2 3 5791 5791 20 3*5a 6a
plain 2 3 5875 5875 20 3*7a
plain 0 4 4558 4558 3 4*6a
plain 1 4 5459 5459 20 2b 3*5a
plain 2 4 4772 4772 20 6a 3*6b
plain 0 6 6156 6156 20 5b 2*6a 3*6b
plain 1 6 6158 6158 20 4a 5*7a
mat 0 3 5487 5487 5 3*5a
mat 0 3 5247 5247 5 5*1a 2*5a
mat 1 3 7046 7046 20 2*4a 2*5a 6a
mat 1 3 7354 7354 20 3*8a
mat 2 3 8573 8573 20 1a 2a 2*2b 3a 3b 5b
mat 2 3 8745 8745 20 6a 2*6b
mat 0 4 6738 6738 20 2*7a 2*7b
mat 1 4 8052 8052 20 3*7a 7b
mat 1 4 6967 6967 20 3b 2*4a 4b 6a 7a
mat 2 4 7530 7530 20 1a 2*2a 3*5a
mat 2 4 9055 9055 20 4*5a
mat 0 6 10446 9399 20 2*3a 2*4a 4*7a
mat 0 6 14353 14353 20 6*7a
mat 1 6 14101 11135 20 2*1a 2b 3*3b 3*4a 2*5a 7b
mat 1 6 12858 12858 20 2b 3*8a 2*8b
scents 0 3 4532 4532 5 1a 2c 6b
scents 1 3 4168 4168 20 2c 8a 8b
scents 2 3 4298 4298 20 5c 7a 8b
scents 0 4 5049 5049 20 3b 4a 2*5c
scents 1 4 4984 4984 20 2a 6a 2*8b 8c
scents 1 4 5232 5232 20 8a 2*8b 8c
scents 2 4 6080 6080 20 6b 8a 2*8c
scents 0 6 5958 5958 20 4a 2*5b 5c 2*5d
scents 1 6 9482 9482 20 1a 2*6c 7a 8a 8b 8d
scents 1 6 13781 13781 20 4c 2*8a 8b 8c 8d
pans 0 3 4766 4766 5 1b 2a#1 2*7a
pans 0 3 4256 4256 5 1b#1 7a 9a#1
pans 1 3 7752 7752 20 2a#1 2*7a 8a#1
pans 1 3 5892 5892 20 3a 5a 2*8a#1
pans 2 3 5294 5294 20 2*5a 8a#1
pans 2 3 5232 5232 20 2a#1 2*8a#1
pans 0 4 5478 5478 20 1a 6b#1 2*8a#1
pans 0 4 6746 6746 20 1a#1 2b#1 2*4a 4b 8a#1
pans 1 4 5567 5567 20 10a#1 11a#1 3b 5a 5b
pans 1 4 5716 5716 20 12a#1 2a#1 2b#1 2*6a 6b
pans 2 4 4538 4538 20 11a#1 12b#1 1b
pans 2 4 5002 5002 20 5a#1 6a 6b 7b#1
pans 0 6 6216 6216 20 10a#1 2*12a#1 1b 5a#1
pans 0 6 6897 6897 20 2*12a#1 1b 3a#1 3*4a
pans 1 6 11175 8656 20 2*2a 2*2a#1 3a 3a#1 4a#1 3*5a
pans 1 6 11176 11176 20 4*5a 5a#1 8a#1
shelves 0 3 3930 3930 5 3a 2*6b
shelves 1 3 4636 4636 20 4a 6a 6b
shelves 2 3 3968 3968 20 1a 2*5b
shelves 2 3 3968 3968 20 1a 2b 8b
shelves 0 4 6001 6001 20 1a 3*6b
shelves 0 4 5870 5870 20 1a 3b 4b 5b 6b
shelves 1 4 6028 6028 20 3*3a 2*5a
shelves 1 4 6127 6127 20 4a 3*5a
shelves 2 4 5376 5376 20 2*7a 2*7b
shelves 2 4 5194 5194 20 3b 4b 2*7a 7b
ovens 0 3 3222 3222 5 3*5a
ovens 1 3 3374 3374 20 3a 2*8a
ovens 2 3 6217 6217 20 2a 2*6a
ovens 2 3 6082 6082 20 4*1a 4a 6a
ovens 0 4 7550 7550 20 1a 3*7b
ovens 0 4 5387 5387 20 1a 4b 5b 2*6b
ovens 1 4 5627 5627 20 1a 2a 3a 5a 2*6a
ovens 1 4 5769 5769 20 5a 3*6a
ovens 2 4 4483 4483 20 2*2a 3a 3*7a
ovens 2 4 4653 4653 20 4*7a
people 0 3 4987 4987 5 1b 3b 2*5a
people 0 3 5077 5077 5 4b 2*5a
people 1 3 4722 4722 20 2*5a 5b
people 1 3 4607 4607 20 2a 3a 5a 5b
people 2 3 6114 6114 20 2*2a 8a 8b
people 2 3 6290 6290 20 4a 8a 8b
people 0 4 4562 4562 20 1a 1b 5a 5b
people 1 4 5119 5119 20 5b 2*7a 7b
people 2 4 5600 5600 20 3*6a 6b
breaks 0 3 6564 6564 5 3*6a
breaks 1 3 3544 3544 20 4a 2*6a
breaks 2 3 3881 3881 20 3a 2*6a
breaks 0 4 6720 6720 20 2a 3*7a
breaks 1 4 10456 10456 20 1b 2*8a 8b
breaks 1 4 8056 8056 20 3b 4a 5a 6b 7a
breaks 2 4 5979 5979 20 5a 3*8a
heat 0 3 4690 4690 5 7a@2 8a 8b@1
heat 1 3 5280 5280 20 1a 3b@1 5a 5b@1
heat 1 3 5342 5342 20 2b@1 6a 6b@1
heat 2 3 4442 4442 20 2b@1 3a 6a
heat 2 3 4442 4442 20 2b@1 4a 5a
heat 0 4 5297 5297 20 3a 3*5b@1
heat 1 4 5364 5364 20 1b@1 2b@1 3b@1 4a 5b@1
heat 1 4 6958 6958 20 1b@1 4a 2*5b@1
heat 2 4 4495 4495 20 1a 2*5a 5b@1
on_pan 0 3 4289 4289 5 5b 2*7a
on_pan 0 3 4289 4289 5 5b 6a 8a
on_pan 1 3 3969 3969 20 3a 2*5a
on_pan 2 3 3933 3933 20 4b 7a 7b
on_pan 0 4 5338 5338 20 2a 3*6b
on_pan 1 4 4525 4525 20 1a 2b 5a 5b
on_pan 1 4 4525 4525 20 1a 3b 4b 5a
on_pan 2 4 4464 4464 20 2b 2*6a 6b
ready 0 3 4445 4445 5 3a 4b 8b
ready 1 3 5773 5773 20 1a 3b 2*4b
ready 1 3 5813 5813 20 1a 5b 6b
ready 2 3 4285 4285 20 5a 2*6a
ready 0 4 6112 6112 20 1b 6a 2*8b
ready 0 4 6078 6078 20 4b 5b 6a 8b
ready 1 4 5109 5109 20 1a 4a 6a 2*6b
ready 1 4 5241 5241 20 5a 6a 2*6b
ready 2 4 5580 5580 20 2*3b 4b 5a 5b
ready 2 4 6780 6780 20 5a 3*5b
mixed 0 3 4351 4351 5 2c3a1b 5b
mixed 0 3 4351 4351 5 3a2c1b 5b
mixed 1 3 4455 4455 20 7a 7b 7c
mixed 2 3 5015 5015 20 2a 2b 3b 3c
mixed 2 3 5103 5103 20 2a3c 5b
mixed 0 4 5596 5596 20 1d 1d6a 2c 6c 6d 8b
mixed 0 4 5644 5644 20 6a2c 6b 6c2d 6d2b
mixed 1 4 6432 6432 20 1a4c 1c4d 5b
mixed 1 4 6432 6432 20 1a4d 5b 5c
mixed 2 4 5335 5335 20 1a3b 3b1c 4a 4b
mixed 2 4 5381 5381 20 1b 1c4b 5a 5b
filled 0 3 4364 4364 5 2a!1a 9b@1 9b@1!6b
filled 1 3 4212 4212 20 6a!3a 8b@1 8b@1!6b
filled 2 3 4757 4757 20 10b@1!6b 8a 8a!1a
filled 0 4 5221 5221 3 4b@1!3b 7a 7a! 7a!5a
filled 1 4 4869 4869 20 10b@1 10b@1!5b 7a 7a!6a
filled 2 4 6106 6106 20 1a! 3a! 5a 5a! 6b@1!4b
filled 2 4 6205 6205 20 4a! 5a 5a! 6b@1!4b
later 0 3 4803 4803 5 1b 7a 7b
later 0 3 4755 4755 5 2*1b 6b 7a
later 1 3 4169 4169 20 2a 3a 2*5a
later 1 3 4967 4967 20 3*5a
later 2 3 4990 4990 20 4a 2*7a
later 0 4 6105 6105 20 4*5a
later 1 4 5545 5545 20 5a 3*8a
later 2 4 5923 5923 20 8a 3*8b
all 0 2 3908 3908 2 2b@1!1b 5a!2a
all 0 3 2900 2900 5 5a 5a!2a 6b@1!3b
all 1 3 4499 4499 20 3a! 3a3c!2a1c 8b@1!7b
all 1 3 4499 4499 20 3c!1c 6a!2a 8b@1!7b
all 2 3 4202 4202 20 8a 8b 8c
all 0 4 6098 6098 20 3c 3d@1 5b@1 5c 6a
all 0 4 7759 7759 20 3d5b@1 6a2c 6c
"""
