#include "report/results/learned_report.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <ostream>

#include "language/bases/layer.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"

namespace budwood::report {

namespace {

using results::Learned;

std::string share_percent(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

double shown(const Learned& one, double base) {
  return one.unit.from_base(base);
}

/// "78.4 %", "31.2 per hour".
std::string value_text(const Learned& one, double base) {
  if (one.is_share) return share_percent(base);
  return fmt::format("{:.1f} {}", shown(one, base), one.unit.symbol);
}

std::string limits_text(const Learned& one) {
  if (one.is_share) {
    return fmt::format("{:.1f} to {}", 100 * one.interval.low, share_percent(one.interval.high));
  }
  return fmt::format("{:.1f} to {:.1f}", shown(one, one.interval.low),
                     shown(one, one.interval.high));
}

std::string seen_text(const Learned& one) {
  if (!one.is_share) return std::to_string(one.jobs) + " jobs";
  return std::to_string(one.good) + " of " + std::to_string(one.seen) + " in " +
         std::to_string(one.batches) + (one.batches == 1 ? " batch" : " batches");
}

/// As site.yaml would have it. A share that is lost has another count than the one that comes
/// through.
std::string line_of(const Learned& one) {
  if (!one.is_share) {
    return fmt::format("{:.1f} {}", shown(one, one.value), one.unit.symbol);
  }
  return fmt::format("{:.1f} %", 100 * one.value);
}

/// What is told of one input, a sentence a line.
std::vector<std::string> sentences(const Learned& one) {
  std::vector<std::string> out;
  out.push_back("Usual " + value_text(one, one.usual) + ", learned " + value_text(one, one.value) +
                " (" + limits_text(one) + "), from " + seen_text(one) + ".");
  if (!one.is_share) return out;
  std::string alike = fmt::format("Two plants of a batch are alike by {:.3f}", one.between_batches);
  if (!one.from_batches) alike += ", which is taken for granted";
  if (one.between_trays) alike += fmt::format(", of a tray by {:.3f}", *one.between_trays);
  out.push_back(alike + "; 0 would be luck alone.");
  if (!one.from_batches) {
    out.push_back(
        fmt::format("Fewer than {} batches: the protocol's own value counts as {} plants "
                    "more (common practice, no published source).",
                    results::enough_batches, results::weight_of_protocol));
  }
  if (one.next) {
    std::string next = fmt::format("The next batch of {}: {:.0f} to {:.0f} %, in 95 of 100.",
                                   one.next_plants, 100 * one.next->low, 100 * one.next->high);
    if (one.starts_for_100) {
      next += fmt::format(" To have 100 with 95 %, start {}.", *one.starts_for_100);
    }
    out.push_back(next);
  }
  return out;
}

void write_table(std::ostream& out, const std::vector<Learned>& all, const Style& style) {
  for (const Learned& one : all) {
    out << inked(one.input, Ink::strong, style) << "  (" << one.protocol << ")\n";
    for (const std::string& sentence : sentences(one)) {
      for (const std::string& line : wrap(sentence, style.width - indent)) {
        out << spaces(indent) << line << '\n';
      }
    }
  }
  std::map<std::string, std::string> lines;
  for (const Learned& one : all) {
    // site.yaml has inputs by protocol; those of a variant stand in the variant.
    if (!language::variant_of(one.protocol).empty()) continue;
    std::string& line = lines[one.protocol];
    line += (line.empty() ? "" : ", ") + one.input + ": " + line_of(one);
  }
  if (lines.empty()) return;
  out << "\nTo plan with it, in site.yaml:\ninputs:\n";
  for (const auto& [protocol, line] : lines) out << "  " << protocol << ": {" << line << "}\n";
}

void write_csv(std::ostream& out, const std::vector<Learned>& all) {
  Csv csv(out);
  for (const char* head :
       {"protocol",      "input",    "stage",     "unit",         "usual",
        "learned",       "low",      "high",      "good",         "seen",
        "batches",       "trays",    "jobs",      "from_batches", "between_batches",
        "between_trays", "next_low", "next_high", "next_plants",  "starts_for_100"}) {
    csv.text(head);
  }
  csv.end_row();
  const double none = std::nan("");
  for (const Learned& one : all) {
    csv.text(one.protocol).text(one.input).text(one.stage).text(one.unit.symbol);
    csv.number(shown(one, one.usual)).number(shown(one, one.value));
    csv.number(shown(one, one.interval.low)).number(shown(one, one.interval.high));
    csv.number(static_cast<double>(one.good)).number(static_cast<double>(one.seen));
    csv.number(static_cast<double>(one.batches)).number(static_cast<double>(one.trays));
    csv.number(static_cast<double>(one.jobs)).text(one.from_batches ? "yes" : "no");
    csv.number(one.is_share ? one.between_batches : none);
    csv.number(one.between_trays.value_or(none));
    csv.number(one.next ? shown(one, one.next->low) : none);
    csv.number(one.next ? shown(one, one.next->high) : none);
    csv.number(static_cast<double>(one.next_plants));
    csv.number(one.starts_for_100 ? static_cast<double>(*one.starts_for_100) : none).end_row();
  }
}

void write_json(std::ostream& out, const std::vector<Learned>& all) {
  {
    const double none = std::nan("");
    JsonWriter json(out);
    json.begin_object(JsonWriter::Layout::lines);
    json.begin_list("learned", JsonWriter::Layout::lines);
    for (const Learned& one : all) {
      json.begin_object();
      json.text("protocol", one.protocol);
      json.text("input", one.input);
      json.text("stage", one.stage);
      json.text("unit", one.unit.symbol);
      json.number("usual", shown(one, one.usual));
      json.number("learned", shown(one, one.value));
      json.number("low", shown(one, one.interval.low));
      json.number("high", shown(one, one.interval.high));
      json.number("good", static_cast<double>(one.good));
      json.number("seen", static_cast<double>(one.seen));
      json.number("batches", static_cast<double>(one.batches));
      json.flag("from_batches", one.from_batches);
      json.number("between_batches", one.is_share ? one.between_batches : none);
      json.number("between_trays", one.between_trays.value_or(none));
      json.number("next_low", one.next ? shown(one, one.next->low) : none);
      json.number("next_high", one.next ? shown(one, one.next->high) : none);
      json.number("starts_for_100",
                  one.starts_for_100 ? static_cast<double>(*one.starts_for_100) : none);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

void write_learned(std::ostream& out, const std::vector<Learned>& all, Format format,
                   const Style& style) {
  switch (format) {
    case Format::table:
      return write_table(out, all, style);
    case Format::csv:
      return write_csv(out, all);
    case Format::json:
      return write_json(out, all);
  }
}

std::string below_text(const results::BelowExpectation& below) {
  const double times = 1 / below.chance;
  const std::string often =
      times < 1000 ? fmt::format("1 of {:.0f}", times) : "less than 1 of 1000";
  std::string text = fmt::format(
      "{} of {} in `{}`, where {:.0f} % is usual: so few come in {} batches when all is as usual.",
      below.plants.good, below.plants.of, below.stage, 100 * below.usual, often);
  for (std::size_t i = 0; i < below.facts.size(); ++i) {
    text += (i == 0 ? " Known of it: " : "; ") + below.facts[i];
  }
  return text + (below.facts.empty() ? "" : ".");
}

}  // namespace budwood::report
