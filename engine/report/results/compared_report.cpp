#include "report/results/compared_report.hpp"

#include <cmath>
#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"

namespace budwood::report {

namespace {

using results::Compared;
using results::Verdict;

const char* verdict_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::better:
      return "better";
    case Verdict::worse:
      return "worse";
    case Verdict::unsure:
      return "unsure";
    case Verdict::no_answer:
      return "no answer";
  }
  return "";
}

void write_table(std::ostream& out, const std::vector<results::Together>& together,
                 const std::vector<Compared>& all, const Style& style) {
  for (const results::Together& one : together) {
    out << inked(one.title, Ink::strong, style) << "  (" << one.protocol << ")\n";
    for (const std::string& line : wrap(together_text(one), style.width)) out << line << '\n';
    out << '\n';
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Compared& one = all[i];
    if (i > 0) out << '\n';
    out << inked(one.title, Ink::strong, style) << "  (" << one.protocol << ")\n";
    for (const std::string& line : wrap(answer(one), style.width)) out << line << '\n';
    for (const std::string& sentence : grounds(one)) {
      for (const std::string& line : wrap(sentence, style.width - indent)) {
        out << spaces(indent) << line << '\n';
      }
    }
  }
}

double low_of(const Compared& one) {
  return one.interval ? one.interval->low : std::nan("");
}

double high_of(const Compared& one) {
  return one.interval ? one.interval->high : std::nan("");
}

void write_csv(std::ostream& out, const std::vector<Compared>& all) {
  Csv csv(out);
  for (const char* head : {"protocol",       "stage",
                           "first",          "first_left",
                           "first_started",  "first_counts",
                           "second",         "second_left",
                           "second_started", "second_counts",
                           "difference",     "low",
                           "high",           "p",
                           "p_method",       "p_holm",
                           "lots",           "as_large",
                           "by_lot",         "verdict"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const Compared& one : all) {
    csv.text(one.protocol).text(one.stage);
    for (const results::Side* side : {&one.first, &one.second}) {
      csv.text(side->name).number(static_cast<double>(side->plants.good));
      csv.number(static_cast<double>(side->plants.of)).number(static_cast<double>(side->units));
    }
    csv.number(one.difference).number(low_of(one)).number(high_of(one)).number(one.p);
    csv.text(one.p_method).number(one.p_adjusted);
    csv.number(one.lots ? static_cast<double>(one.lots->lots) : std::nan(""));
    csv.number(one.lots ? static_cast<double>(one.lots->as_large) : std::nan(""));
    csv.text(one.by_lot ? "yes" : "no").text(verdict_word(one.verdict)).end_row();
  }
}

void write_side(JsonWriter& json, const char* key, const results::Side& side) {
  json.begin_object(key);
  json.text("group", side.name);
  json.number("left", static_cast<double>(side.plants.good));
  json.number("started", static_cast<double>(side.plants.of));
  json.number("counts", static_cast<double>(side.units));
  json.number("low", side.interval ? side.interval->low : std::nan(""));
  json.number("high", side.interval ? side.interval->high : std::nan(""));
  json.end();
}

void write_json(std::ostream& out, const std::vector<results::Together>& together,
                const std::vector<Compared>& all) {
  {
    JsonWriter json(out);
    json.begin_object(JsonWriter::Layout::lines);
    if (!together.empty()) {
      json.begin_list("together", JsonWriter::Layout::lines);
      for (const results::Together& one : together) {
        json.begin_object();
        json.text("protocol", one.protocol);
        json.text("stage", one.stage);
        json.number("groups", static_cast<double>(one.groups));
        json.text("answer", together_text(one));
        json.number("chi_square", one.test ? one.test->chi_square : std::nan(""));
        json.number("p", one.test ? one.test->p : std::nan(""));
        json.end();
      }
      json.end();
    }
    json.begin_list("comparisons", JsonWriter::Layout::lines);
    for (const Compared& one : all) {
      json.begin_object(JsonWriter::Layout::lines);
      json.text("protocol", one.protocol);
      json.text("stage", one.stage);
      json.text("answer", answer(one));
      json.texts("grounds", grounds(one));
      json.text("verdict", verdict_word(one.verdict));
      write_side(json, "first", one.first);
      write_side(json, "second", one.second);
      json.number("difference", one.difference);
      json.number("low", low_of(one));
      json.number("high", high_of(one));
      json.text("interval", one.method);
      json.number("p", one.p);
      json.text("p_method", one.p_method);
      json.number("p_holm", one.p_adjusted);
      json.number("lots", one.lots ? static_cast<double>(one.lots->lots) : std::nan(""));
      json.number("as_large", one.lots ? static_cast<double>(one.lots->as_large) : std::nan(""));
      json.flag("by_lot", one.by_lot);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

void write_compared(std::ostream& out, const std::vector<results::Together>& together,
                    const std::vector<Compared>& all, Format format, const Style& style) {
  switch (format) {
    case Format::table:
      return write_table(out, together, all, style);
    case Format::csv:
      return write_csv(out, all);
    case Format::json:
      return write_json(out, together, all);
  }
}

}  // namespace budwood::report
