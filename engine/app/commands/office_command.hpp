#pragma once

#include <string>

#include "app/arguments.hpp"
#include "app/planned_book.hpp"
#include "office/workbooks/workbook.hpp"

/// Results for the programs of the office: calendars and spreadsheets.
namespace budwood::app {

inline const ResultArguments::Extra spreadsheet_format = {"xlsx", "for a spreadsheet"};
inline const ResultArguments::Extra calendar_format = {"ics", "for a calendar"};

/// `plan --format ics`, and what stands in it.
struct CalendarArguments {
  std::string by;     ///< "order", "crew"; "" when not said: orders
  std::string after;  ///< the calendar that was written before
  std::string alarm;  ///< "1 day"

  void add_to(CLI::App& command);
};

/// What keeps a result from being a calendar or a spreadsheet; "" when nothing does, or when it is
/// to be neither. `compares`: it tells what changes, and not what is.
std::string office_misuse(const ResultArguments& result, bool compares);
/// The same for the words that only calendars have.
std::string calendar_misuse(const CalendarArguments& arguments, const ResultArguments& result,
                            const report::Filter& filter, bool settings);

/// Writes a spreadsheet where it belongs. Complains and gives false when it went wrong.
bool write_workbook(const ResultArguments& result, const office::Workbook& workbook);

/// Writes the orders that pass the filter, or the settings by day, as a calendar or a spreadsheet.
int run_plan_in_office(const CalendarArguments& calendar, const ResultArguments& result,
                       const report::Filter& filter, bool settings, PlannedBook& planned);

}  // namespace budwood::app
