"""Reports: the rows and totals behind every statement, never text; `--json` and workbooks use them.

`price` has a cost sheet's facts, `month` and `year` the account of material and money, `sponsor`
what one sponsor may see. A total is the sum of the rows beside it, to the cent.
"""
