"""Papers: everything that is printed, as PDF. The only room with typst and segno.

A paper is a `Paper` (`engine`): the name of its template, its day and size, the words on it, and
drawings. Every word is made here in Python (`words`); a template in `templates` only lays out.
`engine` turns a paper into bytes that are the same on every run, says what is wrong as a sentence,
and saves them whole, readable by their owner alone.
"""
