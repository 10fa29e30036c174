"""Workbooks: every file that comes in or goes out as a spreadsheet. The only room with openpyxl.

Coming in: `sheets` (with `xlsx`) opens a workbook, a CSV file or a folder of them as plain texts
with addresses (`cells`); `grid` matches headings and reads cells of each kind (`kinds`),
collecting a sentence for each that is wrong; `readers` has one module for each kind of file. A
file is taken whole or not at all.

Going out: `paper` has the safe text cell, styles, print set-up and the atomic save; `writers` has
one module for each document. Nothing is rounded or decided here: rows come ready from below.
"""
