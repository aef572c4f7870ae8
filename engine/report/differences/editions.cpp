#include "report/differences/editions.hpp"

#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"

namespace budwood::report {

namespace {

constexpr std::size_t shown_digits = 12;

std::string users(const share::EditionFacts& one) {
  if (one.rule_set) return one.followed ? "the site" : "";
  return joined(one.batches, ", ");
}

void write_table(std::ostream& out, const std::vector<share::EditionFacts>& editions, bool of_book,
                 const Style& style) {
  std::vector<Table::Column> columns = {{"Protocol or rule set", Table::Kind::entry},
                                        {"Edition", Table::Kind::number},
                                        {"Title"},
                                        {"Fingerprint", Table::Kind::entry},
                                        {"Rests on"}};
  if (of_book) columns.push_back({"Used by"});
  Table table(columns);
  for (const share::EditionFacts& one : editions) {
    std::vector<std::string> cells = {
        one.name, std::to_string(one.edition), one.title,
        one.fingerprint.substr(0, shown_digits) + (one.changed ? " changed" : ""),
        joined(one.rests_on, ", ")};
    if (of_book) cells.push_back(users(one));
    table.add(cells);
  }
  table.write(out, style);
}

void write_csv(std::ostream& out, const std::vector<share::EditionFacts>& editions) {
  Csv csv(out);
  for (const char* head : {"kind", "name", "edition", "title", "fingerprint", "rests_on", "used_by",
                           "changed", "place"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const share::EditionFacts& one : editions) {
    csv.text(one.rule_set ? "rule set" : "protocol").text(one.name).number(one.edition);
    csv.text(one.title).text(one.fingerprint).text(joined(one.rests_on, ", ")).text(users(one));
    csv.text(one.changed ? "yes" : "no").text(file_and_line(one.span));
    csv.end_row();
  }
}

void write_json(std::ostream& out, const std::vector<share::EditionFacts>& editions) {
  JsonWriter json(out);
  json.begin_object(JsonWriter::Layout::lines);
  json.begin_list("editions", JsonWriter::Layout::lines);
  for (const share::EditionFacts& one : editions) {
    json.begin_object();
    json.text("kind", one.rule_set ? "rule set" : "protocol");
    json.text("name", one.name);
    json.number("edition", one.edition);
    json.text("title", one.title);
    json.text("fingerprint", one.fingerprint);
    json.texts("rests_on", one.rests_on);
    json.texts("batches", one.batches);
    json.flag("followed", one.followed);
    json.flag("changed", one.changed);
    json.place("line", one.span);
    json.end();
  }
  json.end();
  json.end();
}

}  // namespace

void write_editions(std::ostream& out, const std::vector<share::EditionFacts>& editions,
                    bool of_book, Format format, const Style& style) {
  switch (format) {
    case Format::table:
      write_table(out, editions, of_book, style);
      break;
    case Format::csv:
      write_csv(out, editions);
      break;
    case Format::json:
      write_json(out, editions);
      break;
  }
}

}  // namespace budwood::report
