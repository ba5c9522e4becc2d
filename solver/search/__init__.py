"""The search: from named relations to the best builds, with proof that none is better.

Step by step, each in a module of its own:

``rules``          what prunes sets of candidates, and what it is given
``relation_rule``  any relation as such a rule: listed where it is narrow, asked through its bound where it is wide
``touching``       where somebody certainly has to work, told from the candidates still open
``effort_rule``    limits on money, labour, skill, donors and changes
``score_rule``     a limit on the score: what is certainly spent, driven to, worked at and missed
``nearing``        the best build that is, come nearer to from a known one and from below
``trying``         one question to the rules: pruning until nothing changes, then trying
``lessons``        what was removed and why, and what is learnt where nothing is left
``possible``       whether any build passes some relations; the candidates that no relation leaves a place for go
``certainty``      whether any build fits for certain
``openings``       the candidates that relations one by one leave, of lookalikes one asked about for all
``sources``        what tables are made of: relations that refuse, preferences and advice that cost
``blur``           what is asked of a quantity, for parts that each stand for several
``figures``        what one computation reads of candidates, as rows of numbers
``members``        candidates that only money tells apart are one value
``visits``         what the way to a donor car costs each used part at the least
``shared_ways``    which parts may come from one donor car, case by case, where shares say too little
``spending``       what a goal allows to be spent, and what of it a candidate takes
``tasks``          labour: which sets of tasks are called for
``waiting``        sources of which no table is made yet, and how often they would have to be asked
``model``          all of that as tables over the candidates left, where a table is small enough
``factors``        one cost table, and what is done with it
``elimination``    the least cost of any build through each candidate, by bucket elimination on the tables
``best``           sets a limit on the score, drops what is beyond it, and raises it until enough builds are found
``completion``     what any completion of some choices costs at the least
``enumeration``    python-constraint2 searches what is left within it, with every relation whole: the proof
``usable``         which candidates are in some build that may hold
``counts``         how many builds pass some relations

Candidates that cannot be told apart:

``sights``         what a relation or a computation sees of a candidate
``interchange``    candidates that carry the same part, and which of them a list of best builds can do without

Another engine behind the same questions, and the interface of both:

``engines``        the questions; the engine of a name
``cp_sat``         OR-tools CP-SAT
"""
