"""Jobs: a commission from the first call to the close-out.

A job has a number, a client, a state and a basis (a design's version and its parameters). Around it
stand the answers to the list of forgotten costs, planned and actual costs, and its price: `pricing`
assembles design, layouts, prices, standards and rates into one cost sheet. Change orders, the
buying list, income and the close-out follow the work.
"""
