"""A chart of what jobs took against the points they were foretold at."""

from openpyxl.chart import LineChart, Reference
from openpyxl.worksheet.worksheet import Worksheet

_LINES = (("C9BFAE", "solid"), ("4A3F35", "solid"), ("8C7F6D", "sysDash"))
"""Typical, safe, bad case: told apart in black and white too."""


def add_points_chart(
    sheet: Worksheet, data: Worksheet, title: str, rows: tuple[int, int], column: int, anchor: str
) -> None:
    """Draw four columns from one on: three lines of points, and a mark for what each job took.

    `rows` are the heading row and the last row; the jobs' names stand in the first column.
    """
    heading, last = rows
    chart = LineChart()
    chart.title = title
    if chart.legend:
        chart.legend.position = "b"
    chart.height, chart.width = 9, 17
    area = Reference(data, min_col=column, max_col=column + 3, min_row=heading, max_row=last)
    chart.add_data(area, titles_from_data=True)
    chart.set_categories(Reference(data, min_col=1, min_row=heading + 1, max_row=last))
    for series, (color, dash) in zip(chart.series, _LINES, strict=False):
        series.graphicalProperties.line.solidFill = color
        series.graphicalProperties.line.dashStyle = dash
        series.marker.symbol = "dash"
        series.marker.size = 9
        series.marker.graphicalProperties.solidFill = color
        series.marker.graphicalProperties.line.solidFill = color
        series.smooth = False
    took = chart.series[3]
    took.graphicalProperties.line.noFill = True
    took.marker.symbol = "diamond"
    took.marker.size = 10
    took.marker.graphicalProperties.solidFill = "A03A20"
    took.marker.graphicalProperties.line.solidFill = "A03A20"
    took.smooth = False
    chart.y_axis.title = "hours"
    chart.x_axis.delete = chart.y_axis.delete = False
    sheet.add_chart(chart, anchor)
