#include <ostream>

#include "report/differences/difference.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

std::string row_name(const Difference& one) {
  std::vector<std::string> pieces;
  if (!one.batch.empty()) pieces.push_back(one.batch);
  const std::string& thing = shown_name(one);
  if (!thing.empty()) pieces.push_back(thing);
  std::string out = joined(pieces, " ");
  if (!one.value.empty()) out += (out.empty() ? "" : ", ") + one.value;
  return out;
}

/// That of the value that is there.
std::string unit_of(const Difference& one) {
  return one.after.kind == Reading::Kind::none ? one.before.unit_name() : one.after.unit_name();
}

}  // namespace

void write_reading(Csv& csv, const Reading& reading) {
  if (reading.kind == Reading::Kind::none) {
    csv.text("");
  } else if (reading.kind == Reading::Kind::text) {
    csv.text(reading.shown);
  } else if (reading.kind == Reading::Kind::date) {
    csv.text(calendar::iso_date(static_cast<calendar::Day>(reading.value)));
  } else {
    csv.number(reading.number());
  }
}

void write_reading(JsonWriter& json, std::string_view key, const Reading& reading) {
  if (reading.kind == Reading::Kind::none) {
    json.null(key);
  } else if (reading.kind == Reading::Kind::text) {
    json.text(key, reading.shown);
  } else if (reading.kind == Reading::Kind::date) {
    json.date(key, reading.value);
  } else {
    json.number(key, reading.number());
  }
}

void write_differences_table(std::ostream& out, const Differences& differences,
                             std::string_view head, const Style& style) {
  if (differences.empty()) return;
  using Column = Table::Kind;
  Table table({{std::string(head)},
               {"Before", Column::entry},
               {"After", Column::entry},
               {"Difference", Column::entry}});
  for (const Difference& one : differences) {
    table.add(
        {row_name(one), one.before.shown, one.after.shown, difference_text(one.before, one.after)});
  }
  out << '\n';
  table.write(out, style, table_indent);
}

void write_differences_csv(std::ostream& out, const Differences& differences) {
  Csv csv(out);
  for (const char* name :
       {"about", "batch", "name", "title", "value", "before", "after", "difference", "unit"}) {
    csv.text(name);
  }
  csv.end_row();
  for (const Difference& one : differences) {
    csv.text(one.about).text(one.batch).text(one.name).text(one.title).text(one.value);
    write_reading(csv, one.before);
    write_reading(csv, one.after);
    if (const auto step = difference_number(one.before, one.after)) {
      csv.number(*step);
    } else {
      csv.text("");
    }
    csv.text(unit_of(one));
    csv.end_row();
  }
}

void write_differences_json(std::ostream& out, std::string_view site,
                            const Differences& differences) {
  JsonWriter json(out);
  json.begin_object(JsonWriter::Layout::lines);
  json.text("site", site);
  json.begin_list("differences", JsonWriter::Layout::lines);
  for (const Difference& one : differences) {
    json.begin_object();
    json.text("about", one.about);
    json.text("batch", one.batch);
    json.text("name", one.name);
    json.text("title", one.title);
    json.text("value", one.value);
    write_reading(json, "before", one.before);
    write_reading(json, "after", one.after);
    if (const auto step = difference_number(one.before, one.after)) {
      json.number("difference", *step);
    } else {
      json.null("difference");
    }
    json.text("unit", unit_of(one));
    json.end();
  }
  json.end();
  json.end();
}

}  // namespace budwood::report
