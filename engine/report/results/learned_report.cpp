#include "report/results/learned_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>

#include "language/bases/layer.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/results/compared_report.hpp"

namespace budwood::report {

namespace {

using results::Learned;
using LearnedKind = Learned::Kind;

std::string share_percent(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

double shown(const Learned& one, double base) {
  return one.unit.from_base(base);
}

/// "78.4 %", "31.2 per hour", "38 days".
std::string learned_text(const Learned& one, double base) {
  if (one.kind == LearnedKind::share) return share_percent(base);
  if (std::isnan(base)) return "-";
  return fmt::format("{:.1f} {}", shown(one, base), one.unit.symbol);
}

std::string limits_text(const Learned& one) {
  if (one.kind == LearnedKind::share) {
    return fmt::format("{:.1f} to {}", 100 * one.interval.low, share_percent(one.interval.high));
  }
  if (std::isnan(one.interval.low) || std::isnan(one.interval.high)) {
    return "too few to give limits";
  }
  return fmt::format("{:.1f} to {:.1f}", shown(one, one.interval.low),
                     shown(one, one.interval.high));
}

std::string seen_text(const Learned& one) {
  if (one.kind == LearnedKind::rate) return std::to_string(one.jobs) + " jobs";
  if (one.kind == LearnedKind::length) return std::to_string(one.jobs) + " times";
  return std::to_string(one.good) + " of " + std::to_string(one.seen) + " in " +
         counted_batches(static_cast<double>(one.batches));
}

void tell_share(const Learned& one, std::vector<std::string>& out) {
  const double share = one.lost ? 1 - one.value : one.value;
  std::string alike = fmt::format("Batches lie around it by {}",
                                  share_percent(language::spread_of(share, one.between_batches)));
  if (!one.from_batches) alike += ", which is taken for granted";
  alike += fmt::format(": two plants of a batch are alike by {:.3f}", one.between_batches);
  if (one.between_trays) alike += fmt::format(", of a tray by {:.3f}", *one.between_trays);
  alike += "; 0 would be luck alone.";
  if (one.batches_by_luck) {
    alike += " By luck alone they would differ so much " + how_often(*one.batches_by_luck) +
             " (Tarone's test).";
  }
  out.push_back(alike);
  if (!one.from_batches) {
    out.push_back(
        fmt::format("Fewer than {} batches: the protocol's own value counts as {} plants "
                    "more (common practice, no published source).",
                    results::enough_batches, results::weight_of_protocol));
  }
  if (!one.next) return;
  std::string next = fmt::format("The next batch of {}: {:.0f} to {:.0f} %, in 95 of 100.",
                                 one.next_plants, 100 * one.next->low, 100 * one.next->high);
  if (one.starts_for_100) {
    next += fmt::format(" To have 100 with 95 %, start {}.", *one.starts_for_100);
  }
  out.push_back(next);
}

void tell_length(const Learned& one, std::vector<std::string>& out) {
  const auto days = [](double seconds) { return seconds / units::seconds_a_day; };
  const results::LearnedRange& range = *one.range;
  const auto limits = [&](const statistics::QuantileEstimate& of) {
    const auto side = [&](const std::optional<double>& at) {
      return at ? fmt::format("{:.0f}", days(*at)) : std::string("-");
    };
    return " (" + side(of.low) + " to " + side(of.high) + ")";
  };
  out.push_back(fmt::format("5 of 100 are over within {:.0f} days", days(range.early.value)) +
                limits(range.early) +
                fmt::format(", 95 of 100 within {:.0f} days", days(range.late.value)) +
                limits(range.late) + "; a dash: too few were seen to say.");
  out.push_back(
      fmt::format("Seen were {:.0f} to {:.0f} days; the next one lies between them in "
                  "{:.0f} of 100. The protocol has {:.0f} to {:.0f} days.",
                  days(range.shortest), days(range.longest), 100 * range.chance_next_between,
                  days(range.written.low), days(range.written.high)));
}

/// What is told of one input, a sentence a line.
std::vector<std::string> sentences(const Learned& one) {
  std::vector<std::string> out;
  out.push_back("Usual " + learned_text(one, one.usual) + ", learned " +
                learned_text(one, one.value) + " (" + limits_text(one) + "), from " +
                seen_text(one) + ".");
  if (one.outside) {
    out.push_back("This lies outside the range of the protocol, so plans cannot take it.");
  }
  if (one.kind == LearnedKind::share) tell_share(one, out);
  if (one.kind == LearnedKind::length) tell_length(one, out);
  if (one.minutes) {
    out.push_back(fmt::format(
        "{:.2f} minutes a plant ({:.2f} to {:.2f}), all minutes over all "
        "plants.",
        one.minutes->ratio, std::max(one.minutes->interval.low, 0.0), one.minutes->interval.high));
  }
  return out;
}

void write_table(std::ostream& out, const std::vector<Learned>& all, const Style& style) {
  for (const Learned& one : all) {
    out << inked(one.input.empty() ? "length of " + one.stage : one.input, Ink::strong, style)
        << "  (" << one.protocol << " edition " << one.edition << ")\n";
    for (const std::string& sentence : sentences(one)) {
      for (const std::string& line : wrap(sentence, style.width - indent)) {
        out << spaces(indent) << line << '\n';
      }
    }
  }
}

/// In the unit beside it; a NaN where there is none.
double spread_in(const Learned& one) {
  if (one.kind != LearnedKind::share) return std::nan("");
  return shown(one, language::spread_of(one.value, one.between_batches));
}

/// Of a length: where 5 and 95 of 100 are over, the shortest and the longest that were seen.
std::array<double, 4> lengths_of(const Learned& one) {
  const double none = std::nan("");
  if (!one.range) return {none, none, none, none};
  const results::LearnedRange& range = *one.range;
  return {shown(one, range.early.value), shown(one, range.late.value), shown(one, range.shortest),
          shown(one, range.longest)};
}

void write_csv(std::ostream& out, const std::vector<Learned>& all) {
  Csv csv(out);
  for (const char* head :
       {"protocol",    "edition",         "input",         "stage",    "unit",
        "usual",       "learned",         "low",           "high",     "good",
        "seen",        "batches",         "trays",         "jobs",     "from_batches",
        "spread",      "between_batches", "between_trays", "next_low", "next_high",
        "next_plants", "starts_for_100",  "early",         "late",     "shortest",
        "longest"}) {
    csv.text(head);
  }
  csv.end_row();
  const double none = std::nan("");
  for (const Learned& one : all) {
    csv.text(one.protocol).number(one.edition).text(one.input).text(one.stage);
    csv.text(one.unit.symbol);
    csv.number(shown(one, one.usual)).number(shown(one, one.value));
    csv.number(shown(one, one.interval.low)).number(shown(one, one.interval.high));
    csv.number(static_cast<double>(one.good)).number(static_cast<double>(one.seen));
    csv.number(static_cast<double>(one.batches)).number(static_cast<double>(one.trays));
    csv.number(static_cast<double>(one.jobs)).text(one.from_batches ? "yes" : "no");
    csv.number(spread_in(one));
    csv.number(one.kind == LearnedKind::share ? one.between_batches : none);
    csv.number(one.between_trays.value_or(none));
    csv.number(one.next ? shown(one, one.next->low) : none);
    csv.number(one.next ? shown(one, one.next->high) : none);
    csv.number(static_cast<double>(one.next_plants));
    csv.number(one.starts_for_100 ? static_cast<double>(*one.starts_for_100) : none);
    for (const double length : lengths_of(one)) csv.number(length);
    csv.end_row();
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
      json.number("edition", one.edition);
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
      json.number("spread", spread_in(one));
      json.number("between_batches", one.kind == LearnedKind::share ? one.between_batches : none);
      json.number("between_trays", one.between_trays.value_or(none));
      json.number("next_low", one.next ? shown(one, one.next->low) : none);
      json.number("next_high", one.next ? shown(one, one.next->high) : none);
      json.number("starts_for_100",
                  one.starts_for_100 ? static_cast<double>(*one.starts_for_100) : none);
      const auto lengths = lengths_of(one);
      json.number("early", lengths[0]);
      json.number("late", lengths[1]);
      json.number("shortest", lengths[2]);
      json.number("longest", lengths[3]);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

void write_curves(std::ostream& out, const std::vector<results::LearnedCurve>& all,
                  const Style& style) {
  if (all.empty()) return;
  out << "\n" << inked("How people got faster", Ink::strong, style) << "\n";
  for (const results::LearnedCurve& one : all) {
    const std::string who = one.person.empty() ? "nobody named" : one.person;
    // As many as were done in a job so far.
    const double a_job = std::max(1.0, std::round(one.plants / static_cast<double>(one.jobs)));
    const auto done = static_cast<long>(one.plants);
    const double hours =
        (one.curve.total(done + static_cast<long>(a_job)) - one.curve.total(done)) /
        units::seconds_an_hour;
    const std::string text = fmt::format(
        "{}, {}: with twice as many plants done a plant takes {:.0f} % of the time ({} jobs, "
        "{:.0f} "
        "plants; {:.2f} minutes at the first, {:.2f} now; the next {:.0f} would take {:.1f} h). A "
        "line through logarithms of time and plants, a job a point; other things may have changed "
        "too.",
        one.work, who, 100 * one.curve.rate, one.jobs, one.plants, one.curve.first / 60,
        one.curve.unit(std::max(one.plants, 1.0)) / 60, a_job, hours);
    for (const std::string& line : wrap(text, style.width - indent)) {
      out << spaces(indent) << line << '\n';
    }
  }
}

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

void tell_below(const results::BelowExpectation& below, text::Diagnostics& diagnostics) {
  std::string advice = "These are facts, not causes.";
  for (std::size_t i = 0; i < below.helps.size(); ++i) {
    std::string help = below.helps[i];
    if (help.back() == '.') help.pop_back();
    advice += (i == 0 ? " The protocol says " : "; ") + help;
  }
  if (!below.helps.empty()) advice += ".";
  diagnostics.warning("below-expectation", {}, "Batch `" + below.batch + "`: " + below_text(below),
                      advice +
                          " A make-up batch fills what comes short: `budwood propose BOOK "
                          "--make-up " +
                          below.batch + "`.");
}

}  // namespace budwood::report
