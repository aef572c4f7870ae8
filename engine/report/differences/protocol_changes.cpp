#include "report/differences/protocol_changes.hpp"

#include <ostream>

#include "report/differences/needs_difference.hpp"
#include "report/differences/plan_difference.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"

namespace budwood::report {

namespace {

std::string with_edition(const language::Protocol& protocol) {
  return protocol.name + " edition " + std::to_string(protocol.edition);
}

void write_line(std::ostream& out, std::string_view words, Ink ink, const Style& style) {
  for (const std::string& line : wrap(words, style.width)) out << inked(line, ink, style) << '\n';
}

/// "healing: " and the sentences about it, later lines set in.
void write_sentences(std::ostream& out, const std::string& head,
                     const std::vector<std::string>& sentences, const Style& style) {
  constexpr std::size_t indent = 2;
  const std::string words = head + ": " + joined(sentences, "; ") + ".";
  const std::size_t width = style.width > 2 * indent ? style.width - indent : style.width;
  bool first = true;
  for (const std::string& line : wrap(words, width)) {
    out << (first ? "" : std::string(indent, ' ')) << line << '\n';
    first = false;
  }
}

/// Why there is nothing to tell.
std::string no_change(const ProtocolComparison& comparison) {
  if (comparison.changes.same_fingerprint) {
    return "Nothing changed: both mean exactly the same (fingerprint " +
           comparison.after.fingerprint.substr(0, 12) +
           "). Only spacing, comments or the order of independent statements can differ.";
  }
  return "Nothing changed: it is written in other words or units, but asks for the same.";
}

void write_changes_table(std::ostream& out, const ProtocolComparison& comparison,
                         const Style& style) {
  write_line(out,
             "From " + with_edition(comparison.before) + " to " + with_edition(comparison.after),
             Ink::strong, style);
  const std::vector<share::Change>& changes = comparison.changes.changes;
  if (changes.empty()) write_line(out, no_change(comparison), Ink::plain, style);
  for (std::size_t i = 0; i < changes.size();) {
    const std::string stage = changes[i].stage;
    std::vector<std::string> sentences;
    for (; i < changes.size() && changes[i].stage == stage; ++i) {
      sentences.push_back(changes[i].sentence);
    }
    write_sentences(out, stage.empty() ? "protocol" : stage, sentences, style);
  }
}

/// Values of batches, then what plans say that is new or gone.
struct BookRows {
  Differences values, messages;
  std::size_t same = 0;
};

BookRows rows_of(const Comparison& plans) {
  const PlanDifference difference = value_difference(plans);
  BookRows out{{}, difference.messages, difference.same};
  const Differences costs =
      cost_rows(plans, plan::total_needs(plans.before), plan::total_needs(plans.after));
  for (const BatchDifference& batch : difference.batches) {
    out.values.insert(out.values.end(), batch.values.begin(), batch.values.end());
    for (const Difference& cost : costs) {
      if (cost.batch != *batch.batch.id || cost.name != "total") continue;
      out.values.push_back({"batch", cost.batch, "cost", "cost", "", cost.before, cost.after});
    }
  }
  return out;
}

void write_book_table(std::ostream& out, const Comparison& plans, const Style& style) {
  const BookRows rows = rows_of(plans);
  out << '\n';
  write_line(out, "What it means at " + plans.before.book->site.name.value, Ink::strong, style);
  write_differences_table(out, rows.values, "Batch", style);
  write_messages(out, rows.messages, style);
  if (rows.values.empty()) {
    write_line(out, "No date, number, hour or cost of a batch changes.", Ink::plain, style);
  } else if (rows.same > 0) {
    out << '\n';
    write_line(out, counted(rows.same, rows.same == 1 ? "batch" : "batche") + " as before.",
               Ink::plain, style);
  }
}

void write_csv(std::ostream& out, const ProtocolComparison& comparison) {
  Csv csv(out);
  for (const char* head : {"about", "stage", "work", "batch", "before", "after", "change"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const share::Change& one : comparison.changes.changes) {
    csv.text(one.about).text(one.stage).text(one.work).text("");
    csv.text(one.before).text(one.after).text(one.sentence);
    csv.end_row();
  }
  if (comparison.plans == nullptr) return;
  const BookRows rows = rows_of(*comparison.plans);
  for (const Differences* differences : {&rows.values, &rows.messages}) {
    for (const Difference& one : *differences) {
      csv.text(one.title.empty() ? one.about : one.title).text("").text("").text(one.batch);
      write_reading(csv, one.before);
      write_reading(csv, one.after);
      csv.text(difference_text(one.before, one.after));
      csv.end_row();
    }
  }
}

void write_protocol(JsonWriter& json, std::string_view key, const language::Protocol& protocol) {
  json.begin_object(key);
  json.text("protocol", protocol.name);
  json.number("edition", protocol.edition);
  json.text("title", protocol.title);
  json.text("fingerprint", protocol.fingerprint);
  json.end();
}

void write_json(std::ostream& out, const ProtocolComparison& comparison) {
  JsonWriter json(out);
  json.begin_object(JsonWriter::Layout::lines);
  write_protocol(json, "before", comparison.before);
  write_protocol(json, "after", comparison.after);
  json.flag("same_meaning", comparison.changes.same_fingerprint);
  json.begin_list("changes", JsonWriter::Layout::lines);
  for (const share::Change& one : comparison.changes.changes) {
    json.begin_object();
    json.text("stage", one.stage);
    json.text("work", one.work);
    json.text("about", one.about);
    json.text("before", one.before);
    json.text("after", one.after);
    json.text("change", one.sentence);
    json.end();
  }
  json.end();
  if (comparison.plans != nullptr) {
    const BookRows rows = rows_of(*comparison.plans);
    json.text("site", comparison.plans->before.book->site.name.value);
    json.begin_list("differences", JsonWriter::Layout::lines);
    for (const Differences* differences : {&rows.values, &rows.messages}) {
      for (const Difference& one : *differences) {
        json.begin_object();
        json.text("about", one.about);
        json.text("batch", one.batch);
        json.text("name", one.name);
        json.text("title", one.title);
        write_reading(json, "before", one.before);
        write_reading(json, "after", one.after);
        json.text("unit", one.after.kind == Reading::Kind::none ? one.before.unit_name()
                                                                : one.after.unit_name());
        json.end();
      }
    }
    json.end();
  }
  json.end();
}

}  // namespace

void write_protocol_changes(std::ostream& out, const ProtocolComparison& comparison, Format format,
                            const Style& style) {
  switch (format) {
    case Format::table:
      write_changes_table(out, comparison, style);
      if (comparison.plans != nullptr) write_book_table(out, *comparison.plans, style);
      break;
    case Format::csv:
      write_csv(out, comparison);
      break;
    case Format::json:
      write_json(out, comparison);
      break;
  }
}

}  // namespace budwood::report
