#include "report/record/record_list.hpp"

#include <ostream>

#include "record/json.hpp"
#include "record/line.hpp"
#include "report/formats/csv.hpp"
#include "report/record/fates.hpp"
#include "units/units.hpp"

namespace budwood::report {

namespace {

void write_table(std::ostream& out, const std::vector<record::Entry>& entries, const Fates& fates,
                 const Style& style) {
  Table table({{"Entry", Table::Kind::entry},
               {"Day", Table::Kind::entry},
               {"Who", Table::Kind::text},
               {"What happened", Table::Kind::text},
               {"Since then", Table::Kind::text}});
  for (const record::Entry& entry : entries) {
    table.add({entry.id.substr(0, short_id), calendar::short_date(entry.day), entry.by,
               record::told(entry), fates.words(entry)});
  }
  table.write(out, style);
  out << (entries.size() == 1 ? "1 entry" : std::to_string(entries.size()) + " entries") << '\n';
}

void write_csv(std::ostream& out, const std::vector<record::Entry>& entries, const Fates& fates) {
  Csv csv(out);
  for (const char* head : {"id", "noted", "day", "by", "batch", "place", "what", "name", "number",
                           "of", "unit", "hours", "tray", "used", "words", "corrects", "holds"}) {
    csv.text(head);
  }
  csv.end_row();
  const auto number = [&](const std::optional<double>& value) {
    if (value) {
      csv.number(*value);
    } else {
      csv.text("");
    }
  };
  for (const record::Entry& entry : entries) {
    csv.text(entry.id).text(record::moment_text(entry.noted)).text(calendar::iso_date(entry.day));
    csv.text(entry.by).text(entry.batch).text(entry.place).text(record::word(entry.what));
    csv.text(entry.name);
    number(entry.number);
    number(entry.of);
    csv.text(entry.unit);
    number(entry.seconds ? std::optional(*entry.seconds / units::seconds_an_hour) : std::nullopt);
    csv.text(entry.tray).text(record::used_text(entry)).text(entry.words).text(entry.corrects);
    csv.text(fates.holds(entry) ? "yes" : "no");
    csv.end_row();
  }
}

void write_json(std::ostream& out, const std::vector<record::Entry>& entries, const Fates& fates) {
  out << "{\"entries\": [";
  const char* before = "\n";
  for (const record::Entry& entry : entries) {
    std::string json = record::json_of(entry);
    json.back() = ',';
    out << before << "  " << json << "\"holds\":" << (fates.holds(entry) ? "true}" : "false}");
    before = ",\n";
  }
  out << (entries.empty() ? "" : "\n") << "]}\n";
}

}  // namespace

void write_record(std::ostream& out, const std::vector<record::Entry>& entries,
                  const std::vector<record::Entry>& all, Format format, const Style& style) {
  const Fates fates(all);
  switch (format) {
    case Format::table:
      return write_table(out, entries, fates, style);
    case Format::csv:
      return write_csv(out, entries, fates);
    case Format::json:
      return write_json(out, entries, fates);
  }
}

}  // namespace budwood::report
