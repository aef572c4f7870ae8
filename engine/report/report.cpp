#include "report/report.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"

#include <ostream>

#include "report/formats/writers.hpp"

namespace budwood::report {

std::size_t write_orders(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                         Format format, const Style& style) {
  const Selection selected = select_all(plan, filter);
  switch (format) {
    case Format::table:
      write_orders_table(out, plan, filter, selected, style);
      break;
    case Format::csv:
      write_orders_csv(out, plan, selected);
      break;
    case Format::json:
      write_orders_json(out, plan, filter, selected);
      break;
  }
  return selected.size();
}

std::size_t write_settings(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                           Format format, const Style& style) {
  switch (format) {
    case Format::table:
      return write_settings_table(out, plan, filter, style);
    case Format::csv:
      return write_settings_csv(out, plan, filter);
    case Format::json:
      return write_settings_json(out, plan, filter);
  }
  return 0;
}

void write_needs(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                 const NeedsView& view, Format format, const Style& style) {
  switch (format) {
    case Format::table:
      write_needs_table(out, plan, needs, view, style);
      break;
    case Format::csv:
      write_needs_csv(out, plan, needs, view);
      break;
    case Format::json:
      write_needs_json(out, plan, needs, view);
      break;
  }
}

std::string nothing_found(const Filter& filter, const std::string& things) {
  std::string message = "No " + things;
  if (filter.from && filter.to) {
    message +=
        " between " + calendar::iso_date(*filter.from) + " and " + calendar::iso_date(*filter.to);
  } else if (filter.from) {
    message += " from " + calendar::iso_date(*filter.from) + " on";
  } else if (filter.to) {
    message += " up to " + calendar::iso_date(*filter.to);
  }
  if (filter.batch) message += " for batch `" + *filter.batch + "`";
  if (filter.room) message += " in room `" + *filter.room + "`";
  if (filter.crew) message += " for crew `" + *filter.crew + "`";
  return message + ".";
}

}  // namespace budwood::report
