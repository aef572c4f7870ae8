#include "report/results/results_report.hpp"

#include <cmath>
#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "units/units.hpp"

namespace budwood::report {

namespace {

using results::Of;
using results::Row;
using results::Summary;

/// Names of `amount` and `result` for programs, "" where there is none.
struct Names {
  const char* amount;
  const char* result;
  const char* value;
};

Names names_of(Of of) {
  switch (of) {
    case Of::take:
      return {"started", "left", "share"};
    case Of::rate:
      return {"hours", "plants", "plants_an_hour"};
    case Of::days:
      return {"", "", "days"};
    case Of::cost:
      return {"cost", "good_plants", "cost_a_plant"};
  }
  return {"", "", ""};
}

/// Whether the rows are of several, so that a column has to tell which.
template <class Of>
bool several(const Summary& summary, Of Row::*what) {
  for (const Row& row : summary.rows) {
    if (row.*what != summary.rows.front().*what) return true;
  }
  return false;
}

std::string head_of(results::By by) {
  std::string head(results::word(by));
  head.front() = static_cast<char>(head.front() - 'a' + 'A');
  return head;
}

const char* head_of_units(Of of) {
  switch (of) {
    case Of::take:
      return "Counts";
    case Of::rate:
      return "Jobs";
    case Of::days:
      return "Times";
    case Of::cost:
      return "Batches";
  }
  return "";
}

class TableWriter {
 public:
  explicit TableWriter(const Summary& summary)
      : summary_(summary),
        of_(summary.question.of),
        books_(several(summary, &Row::book)),
        protocols_(several(summary, &Row::protocol)) {}

  void write(std::ostream& out, const Style& style) const {
    Table table(columns());
    for (const Row& row : summary_.rows) table.add(cells(row));
    table.write(out, style);
    for (const std::string& line : wrap(results_note(summary_), style.width)) out << line << '\n';
  }

 private:
  std::vector<Table::Column> columns() const {
    std::vector<Table::Column> columns;
    const auto add = [&](const char* head, Table::Kind kind) { columns.push_back({head, kind}); };
    if (books_) add("Book", Table::Kind::entry);
    if (protocols_) add("Protocol", Table::Kind::entry);
    columns.push_back({head_of(summary_.question.by), Table::Kind::entry});
    if (of_ != Of::cost) add(of_ == Of::rate ? "Work" : "Stage", Table::Kind::text);
    add(head_of_units(of_), Table::Kind::number);
    if (of_ == Of::take) {
      add("Started", Table::Kind::number);
      add("Left", Table::Kind::number);
    } else if (of_ == Of::rate) {
      add("Plants", Table::Kind::number);
      add("Hours", Table::Kind::number);
    } else if (of_ == Of::cost) {
      add("Cost", Table::Kind::number);
      add("Good", Table::Kind::number);
    }
    columns.push_back({result_name(of_), Table::Kind::number});
    if (of_ == Of::days) {
      add("Least to most", Table::Kind::entry);
    } else if (of_ != Of::cost) {
      add("95 %", Table::Kind::entry);
    }
    add(of_ == Of::days || of_ == Of::take ? "Usual" : "Planned", Table::Kind::number);
    if (of_ == Of::days) add("Range", Table::Kind::entry);
    return columns;
  }

  std::vector<std::string> cells(const Row& row) const {
    std::vector<std::string> cells;
    if (books_) cells.push_back(summary_.books[row.book]);
    if (protocols_) cells.push_back(row.protocol);
    cells.push_back(row.group);
    if (of_ != Of::cost) cells.push_back(row.title);
    cells.push_back(std::to_string(row.units));
    const std::string mark = row.start_noted ? "" : "*";
    if (of_ == Of::take) {
      cells.push_back(whole_plants(row.amount) + mark);
      cells.push_back(whole_plants(row.result));
    } else if (of_ == Of::rate) {
      cells.push_back(whole_plants(row.result));
      cells.push_back(result_text(row.amount, Of::rate));
    } else if (of_ == Of::cost) {
      cells.push_back(result_text(row.amount, Of::cost) + mark);
      cells.push_back(whole_plants(row.result));
    }
    cells.push_back(result_text(row.value, of_));
    if (of_ == Of::days) {
      cells.push_back(interval_text(row.seen, of_));
    } else if (of_ != Of::cost) {
      cells.push_back(interval_text(row.interval, of_));
    }
    cells.push_back(row.usual ? result_text(*row.usual, of_) : "-");
    if (of_ == Of::days) cells.push_back(interval_text(row.range, of_));
    return cells;
  }

  const Summary& summary_;
  Of of_;
  bool books_, protocols_;
};

/// Limits of what was found: of days those seen.
std::optional<statistics::Interval> limits_of(const Row& row) {
  return row.interval ? row.interval : row.seen;
}

void write_csv(std::ostream& out, const Summary& summary) {
  const Names names = names_of(summary.question.of);
  Csv csv(out);
  csv.text("book").text("protocol").text(results::word(summary.question.by));
  csv.text("stage").text("title").text("units");
  if (*names.amount != '\0') csv.text(names.amount).text(names.result);
  csv.text(names.value).text("low").text("high").text("usual").text("start_noted").end_row();
  for (const Row& row : summary.rows) {
    csv.text(summary.books[row.book]).text(row.protocol).text(row.group);
    csv.text(row.stage).text(row.title).number(static_cast<double>(row.units));
    if (*names.amount != '\0') csv.number(row.amount).number(row.result);
    const auto limits = limits_of(row);
    csv.number(row.value);
    csv.number(limits ? limits->low : std::nan("")).number(limits ? limits->high : std::nan(""));
    csv.number(row.usual.value_or(std::nan(""))).text(row.start_noted ? "yes" : "no").end_row();
  }
}

void write_json(std::ostream& out, const Summary& summary) {
  const Names names = names_of(summary.question.of);
  {
    JsonWriter json(out);
    json.begin_object(JsonWriter::Layout::lines);
    json.text("of", results::word(summary.question.of));
    json.text("by", results::word(summary.question.by));
    json.begin_list("rows", JsonWriter::Layout::lines);
    for (const Row& row : summary.rows) {
      json.begin_object();
      json.text("book", summary.books[row.book]);
      json.text("protocol", row.protocol);
      json.text("group", row.group);
      json.text("stage", row.stage);
      json.text("title", row.title);
      json.number("units", static_cast<double>(row.units));
      if (*names.amount != '\0') {
        json.number(names.amount, row.amount);
        json.number(names.result, row.result);
      }
      const auto limits = limits_of(row);
      json.number(names.value, row.value);
      json.number("low", limits ? limits->low : std::nan(""));
      json.number("high", limits ? limits->high : std::nan(""));
      json.number("usual", row.usual.value_or(std::nan("")));
      json.flag("start_noted", row.start_noted);
      json.end();
    }
    json.end();
    json.begin_list("left_out", JsonWriter::Layout::lines);
    for (const results::LeftOut& one : summary.left_out) {
      json.begin_object();
      json.text("batch", one.batch);
      json.text("message", one.message);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

void write_results(std::ostream& out, const Summary& summary, Format format, const Style& style) {
  switch (format) {
    case Format::table:
      return TableWriter(summary).write(out, style);
    case Format::csv:
      return write_csv(out, summary);
    case Format::json:
      return write_json(out, summary);
  }
}

}  // namespace budwood::report
