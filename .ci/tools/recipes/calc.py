"""Opens a spreadsheet in a running office, lets it fetch what it links to, and prints its cells
as CSV, a blank line between sheets. Run by the system's Python, whose `uno` is the office's.

    calc.py PORT FILE
"""

import csv
import pathlib
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.document.UpdateDocMode import FULL_UPDATE

TRIES = 100


def office(port):
    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    address = f"uno:socket,host=127.0.0.1,port={port};urp;StarOffice.ComponentContext"
    for _ in range(TRIES):
        try:
            return resolver.resolve(address)
        except NoConnectException:
            time.sleep(0.2)
    raise SystemExit("the office does not answer")


def main():
    port, file = sys.argv[1:]
    context = office(port)
    desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    options = (PropertyValue("Hidden", 0, True, 0), PropertyValue("UpdateDocMode", 0, FULL_UPDATE, 0))
    document = desktop.loadComponentFromURL(pathlib.Path(file).resolve().as_uri(), "_blank", 0, options)
    for number in range(document.SheetLinks.Count):
        document.SheetLinks.getByIndex(number).refresh()
    document.calculateAll()
    out = csv.writer(sys.stdout, lineterminator="\n")
    for sheet in document.Sheets:
        cursor = sheet.createCursor()
        cursor.gotoEndOfUsedArea(False)
        cells = sheet.getCellRangeByPosition(0, 0, cursor.RangeAddress.EndColumn, cursor.RangeAddress.EndRow)
        out.writerows(cells.DataArray)
        out.writerow([])
    document.close(True)
    desktop.terminate()


main()
