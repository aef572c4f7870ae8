#include "report/results/numbers_report.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/results/compared_report.hpp"

namespace budwood::report {

namespace {

using results::ComparedNumbers;
using results::NumberSide;

struct CompareWords {
  const char* more;   ///< of the side that has more, or has it sooner
  const char* unit;   ///< " plants an hour"
  const char* units;  ///< what was counted
  int digits;
};

const CompareWords& words_of(Compare what) {
  static constexpr std::array<CompareWords, 5> all{{
      {"was faster", " plants an hour", "jobs", 1},
      {"took longer", " days", "times", 1},
      {"cost more", " a plant", "batches", 2},
      {"was lost sooner", "", "counts", 0},
      {"came up sooner", "", "counts", 0},
  }};
  return all[static_cast<std::size_t>(what)];
}

bool is_course(Compare what) {
  return what == Compare::survival || what == Compare::germination;
}

std::string number_text(double value, Compare what) {
  return fmt::format("{:.{}f}", value, words_of(what).digits);
}

/// "half by day 6 against day 8", "half by day 6, the other not yet half".
std::string halves(const NumberSide& a, const NumberSide& b) {
  const auto day = [](const NumberSide& side) { return fmt::format("day {:.0f}", side.value); };
  const bool known_a = !std::isnan(a.value);
  const bool known_b = !std::isnan(b.value);
  if (known_a && known_b) return "half by " + day(a) + " against " + day(b);
  if (known_a) return "half by " + day(a) + ", the other not yet half";
  if (known_b) return "not yet half, the other half by " + day(b);
  return "neither is half yet";
}

std::string values_text(const NumberSide& a, const NumberSide& b, Compare what) {
  if (is_course(what)) return halves(a, b);
  return number_text(a.value, what) + " against " + number_text(b.value, what) +
         words_of(what).unit;
}

std::string side_text(const NumberSide& side, Compare what) {
  const std::string units = words_of(what).units;
  if (side.units == 0) return side.name + ": nothing was noted";
  std::string out = side.name + ": " + std::to_string(side.units) + " " +
                    (side.units == 1 && what == Compare::cost ? "batch"
                     : side.units == 1                        ? units.substr(0, units.size() - 1)
                                                              : units);
  if (!is_course(what)) out += ", " + number_text(side.value, what) + words_of(what).unit;
  return out;
}

void write_numbers_table(std::ostream& out, const std::vector<ComparedNumbers>& all, Compare what,
                         const Style& style) {
  for (std::size_t i = 0; i < all.size(); ++i) {
    const ComparedNumbers& one = all[i];
    if (i > 0) out << '\n';
    out << inked(one.title.empty() ? "Cost" : one.title, Ink::strong, style) << "  ("
        << one.protocol << ")\n";
    for (const std::string& line : wrap(answer(one, what), style.width)) out << line << '\n';
    for (const std::string& sentence : grounds(one, what)) {
      for (const std::string& line : wrap(sentence, style.width - indent)) {
        out << spaces(indent) << line << '\n';
      }
    }
  }
}

const char* verdict_of(const ComparedNumbers& one) {
  if (!one.answered) return "no answer";
  return !one.apart ? "unsure" : one.first_more ? "first" : "second";
}

struct NumberLimits {
  double difference = std::nan(""), low = std::nan(""), high = std::nan("");
};

NumberLimits limits_in(const ComparedNumbers& one) {
  if (!one.interval) return {};
  return {one.difference, one.interval->low, one.interval->high};
}

void write_numbers_csv(std::ostream& out, const std::vector<ComparedNumbers>& all) {
  Csv csv(out);
  for (const char* head : {"protocol", "stage", "title", "first", "first_units", "first_value",
                           "second", "second_units", "second_value", "difference", "low", "high",
                           "p", "p_method", "p_holm", "verdict"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const ComparedNumbers& one : all) {
    csv.text(one.protocol).text(one.stage).text(one.title);
    for (const NumberSide* side : {&one.first, &one.second}) {
      csv.text(side->name).number(static_cast<double>(side->units)).number(side->value);
    }
    const NumberLimits limits = limits_in(one);
    csv.number(limits.difference).number(limits.low).number(limits.high);
    csv.number(one.answered ? one.p : std::nan("")).text(one.p_method);
    csv.number(one.p_adjusted).text(verdict_of(one)).end_row();
  }
}

void write_numbers_json(std::ostream& out, const std::vector<ComparedNumbers>& all, Compare what) {
  {
    JsonWriter json(out);
    json.begin_object(JsonWriter::Layout::lines);
    json.begin_list("comparisons", JsonWriter::Layout::lines);
    for (const ComparedNumbers& one : all) {
      json.begin_object(JsonWriter::Layout::lines);
      json.text("protocol", one.protocol);
      json.text("stage", one.stage);
      json.text("title", one.title);
      json.text("answer", answer(one, what));
      json.texts("grounds", grounds(one, what));
      json.text("verdict", verdict_of(one));
      for (const auto& [key, side] : {std::pair{"first", &one.first}, {"second", &one.second}}) {
        json.begin_object(key);
        json.text("group", side->name);
        json.number("units", static_cast<double>(side->units));
        json.number("value", side->value);
        json.end();
      }
      const NumberLimits limits = limits_in(one);
      json.number("difference", limits.difference);
      json.number("low", limits.low);
      json.number("high", limits.high);
      json.number("p", one.answered ? one.p : std::nan(""));
      json.text("p_method", one.p_method);
      json.number("p_holm", one.p_adjusted);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

std::string answer(const ComparedNumbers& one, Compare what) {
  if (!one.changed_trial.empty()) return changed_trial_text(one.changed_trial);
  if (!one.answered) {
    return "There is too little to tell: " + side_text(one.first, what) + "; " +
           side_text(one.second, what) + ". " +
           (is_course(what)
                ? "Both want counts on several days."
                : std::string("Both want two ") + words_of(what).units + " or more that differ.");
  }
  const NumberSide& more = one.first_more ? one.first : one.second;
  const NumberSide& less = one.first_more ? one.second : one.first;
  const std::string how = std::string(one.lots ? "by lot alone" : "by luck alone") +
                          " so large a difference comes " + how_often(one.p) + ".";
  std::string by;
  if (one.interval) {
    const double low = one.first_more ? one.interval->low : -one.interval->high;
    const double high = one.first_more ? one.interval->high : -one.interval->low;
    by = ", by " + number_text(low, what) + " to " + number_text(high, what);
  }
  if (one.apart) {
    return more.name + " " + words_of(what).more + ": " + values_text(more, less, what) + by +
           "; " + how;
  }
  return "No more than luck can do: " + more.name + " against " + less.name + ", " +
         values_text(more, less, what) + by + "; " + how;
}

std::vector<std::string> grounds(const ComparedNumbers& one, Compare what) {
  std::vector<std::string> out;
  if (!one.answered) return out;
  out.push_back(side_text(one.first, what) + "; " + side_text(one.second, what) + ".");
  if (one.lots) {
    out.push_back(fmt::format("Of {} lots{} {} differ as much or more.", one.lots->lots,
                              one.lots->is_exact ? "" : " that were drawn from a seed",
                              one.lots->as_large));
  }
  if (one.log_rank) {
    out.push_back(fmt::format(
        "Of {}: {:.0f} plants, {:.1f} if both were alike; log-rank chi-square {:.2f}, p = {:.3g} "
        "from plants{}",
        one.first.name, one.log_rank->observed[0], one.log_rank->expected[0],
        one.log_rank->chi_square, one.log_rank->p,
        one.lots ? "."
                 : ", which share the luck of their tray, so this is surer than it ought to "
                   "be. Count by trays."));
  }
  if (one.interval) {
    out.push_back("The interval is 95 %, by Welch's test of " + std::string(words_of(what).units) +
                  ".");
  }
  if (!is_course(what)) {
    out.push_back("Nobody gave " + std::string(words_of(what).units) +
                  " to the two by lot, so other things may have made the difference.");
  }
  if (one.p_adjusted > one.p * 1.0001) {
    out.push_back(holm_text(one.p, one.p_adjusted));
  }
  return out;
}

void write_numbers(std::ostream& out, const std::vector<ComparedNumbers>& all, Compare what,
                   Format format, const Style& style) {
  switch (format) {
    case Format::table:
      return write_numbers_table(out, all, what, style);
    case Format::csv:
      return write_numbers_csv(out, all);
    case Format::json:
      return write_numbers_json(out, all, what);
  }
}

}  // namespace budwood::report
