"""Exercises for volunteers: what happens in each is computed, so that a mistake has its true consequence.

Every exercise is pure and drawn from a seed: `start` gives a state, `options` what is possible in it, `act`
the next state, `view` what the learner may see of it, `score` how it went. Nothing here knows a screen.
"""
