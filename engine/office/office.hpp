/// A plan for the programs of the office: a calendar (iCalendar, RFC 5545) and workbooks of a
/// spreadsheet (Office Open XML).
///
///   Plan --orders_workbook, needs_workbook, ...--> Workbook
///   Plan, the calendar written before --write_calendar--> the calendar as it is now
///
/// The same plan (and the same older calendar) gives the same bytes. Texts of users stay texts:
/// they become no formulas, no links and no lines of the file.
#pragma once

#include "office/calendar.hpp"
#include "office/workbook.hpp"
