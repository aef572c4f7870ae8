#include "book/batches/series_reader.hpp"

#include <cmath>
#include <string>
#include <utility>

#include "book/limits.hpp"
#include "units/units.hpp"

namespace budwood::book {

namespace {

constexpr int most_times = 366;
const Wanted every_wanted{"every", "whole days from 1 to 366", "7 days"};

/// Whole days; a week is seven of them.
std::optional<int> read_interval(const Node& node, text::Diagnostics& diagnostics) {
  const auto interval = read_quantity(node, every_wanted, UnitWords::only_known, diagnostics);
  if (!interval) return std::nullopt;
  const double days = interval->quantity.base() / units::seconds_a_day;
  const bool whole = interval->quantity.unit.dimension == units::time && days == std::floor(days);
  if (!whole) {
    report_wanted(node, every_wanted, diagnostics);
    return std::nullopt;
  }
  if (days < 1 || days > longest_step) {
    diagnostics.error("out-of-range", node.span,
                      "`every` can be from 1 to " + std::to_string(longest_step) + " days.");
    return std::nullopt;
  }
  return static_cast<int>(days);
}

void report_partner(const Node& node, const char* missing, text::Diagnostics& diagnostics) {
  diagnostics.error(
      "missing-key", node.span,
      "`every` and `times` belong together, and `" + std::string(missing) + "` is missing.",
      "Write both, such as `every: 7 days` and `times: 6`.");
}

bool moved(std::optional<Placed<calendar::Day>>& date, int days) {
  if (!date) return true;
  if (days > calendar::last_day - date->value) return false;
  date->value += days;
  return true;
}

}  // namespace

std::optional<Series> read_series(const Fields& fields, text::Diagnostics& diagnostics) {
  const Node* every = fields.get("every");
  const Node* times = fields.get("times");
  if (every != nullptr && fields.group("times") == nullptr) {
    report_partner(*every, "times", diagnostics);
  }
  if (times != nullptr && fields.group("every") == nullptr) {
    report_partner(*times, "every", diagnostics);
  }
  std::optional<int> interval;
  std::optional<Placed<std::int64_t>> number;
  if (every != nullptr) interval = read_interval(*every, diagnostics);
  if (times != nullptr) {
    number =
        read_whole(*times, {"times", "a whole number", "6"}, 2, most_times, "times", diagnostics);
  }
  if (!interval || !number) return std::nullopt;
  return Series{*interval, static_cast<int>(number->value), every->span};
}

std::vector<Batch> spread(const Batch& batch, const Series& series, std::size_t longest_id,
                          text::Diagnostics& diagnostics) {
  if (!batch.pins.empty() || !batch.counted.empty()) {
    const bool pinned = !batch.pins.empty() && !batch.pins.front().recorded;
    diagnostics.add({text::Severity::error,
                     "pins-in-series",
                     batch.pins.empty() ? batch.counted.front().span : batch.pins.front().span,
                     pinned ? "A fixed date cannot hold for every batch of a series."
                            : "What was recorded cannot hold for every batch of a series.",
                     std::string("Take out the `") + (pinned ? "pins" : "recorded") +
                         "`, or write the batches one by one.",
                     {{series.span, "the series"}}});
    return {};
  }
  if (batch.id.value.size() + 1 + std::to_string(series.times).size() > longest_id) {
    diagnostics.error("bad-name", batch.id.span,
                      "The batches of this series would be called `" + batch.id.value + "-" +
                          std::to_string(series.times) + "`, which is too long.",
                      "A batch has a name of at most " + std::to_string(longest_id) +
                          " characters, its number included.");
    return {};
  }
  std::vector<Batch> all;
  for (int i = 0; i < series.times; ++i) {
    Batch one = batch;
    one.id.value += "-" + std::to_string(i + 1);
    const bool fits = moved(one.ready, i * series.every) && moved(one.start, i * series.every) &&
                      moved(one.not_before, i * series.every);
    if (!fits) {
      diagnostics.error("no-such-date", series.span,
                        "The last of these batches would come after the calendar, which ends with "
                        "2199.");
      return {};
    }
    all.push_back(std::move(one));
  }
  return all;
}

}  // namespace budwood::book
