"""The question cards of the invented programme: the usual ones in its own words, and two of its district."""

from stories import FLOOD_DAYS

QUESTION_CARDS = f'''\
# Questions that are asked at a meeting of the invented programme, and what it answers. One key each.
# A file of this name in the folder of a record, or beside its file, stands in the place of the usual cards.

[[card]]
question = "Is it safe to swim here?"
answer = [
    "We cannot tell. These measurements are not made for that.",
    """The health office of the district can tell. Ask it, also about pets and fish, and follow the
    signs at the shore.""",
]

[[card]]
question = "Why is our lake not like theirs?"
answer = [
    """Each water of the district has its own depth, soil and shore. We only set waters of one kind
    side by side, in the same season, measured in the same way. We put them in no order.""",
    "{{beside}}",
]
without = [
    """Each water has its own depth, soil and shore. There is no other water of this kind in the
    district that was measured in the same season and in the same way, so we set none beside it.""",
]

[[card]]
question = "Can volunteers' numbers be trusted?"
answer = [
    "In {{season}}, {{agreeing}} of {{pairs}} second samples from all waters agreed with the first.",
    "{{passed}} of {{readings}} readings count. The others are in doubt and are left out.",
]
without = [
    "A reading that is in doubt is left out until it is answered for.",
    """There were no second samples in {{season}} to set beside the first, so we cannot tell how well
    they agree.""",
]

[[card]]
question = "What about property values?"
answer = ["We do not measure that. These numbers say nothing about it."]

[[card]]
question = "Who is to blame?"
answer = [
    "We do not measure that.",
    "The numbers say what is in the water. They do not say how it came there.",
]

[[card]]
question = "What did the flood of {FLOOD_DAYS[0].year} do?"
answer = [
    """From {FLOOD_DAYS[0].day} to {FLOOD_DAYS[1].day} July {FLOOD_DAYS[0].year} all waters of the district
    that were visited held more phosphorus and were less clear.""",
    "It says nothing about one lake alone. The readings stand in the record as they were written.",
]

[[card]]
question = "Why is there so little of the winter?"
answer = [
    """A class looks at May to September, so that is when we go. Some waters are visited in other
    months, too, and those readings stand in the record.""",
    "Nobody goes out on ice for us.",
]

[[card]]
question = "What can we do?"
answer = [
    "{{next}}",
    """Come to a practice day, then along on a visit: more visits say more. What else fits this
    water, {{programme}} can tell. {{contact}}""",
]
'''
