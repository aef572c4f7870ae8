#include "plan/today/started.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <string_view>

namespace budwood::plan {

namespace {

using calendar::Day;
using language::StageId;

/// The parts of "grafting/2/1".
struct OrderPlace {
  StageId stage;
  std::size_t work = 0;        ///< from 1
  std::size_t occurrence = 0;  ///< from 1
};

std::optional<std::size_t> number_in(std::string_view text) {
  std::size_t out = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), out);
  return problem == std::errc() && end == text.data() + text.size() && out > 0 ? std::optional(out)
                                                                               : std::nullopt;
}

/// Later parts of work that was spread over days say nothing of a start.
std::optional<OrderPlace> place_of(std::string_view order, const language::Protocol& protocol) {
  const std::size_t first = order.find('/');
  const std::size_t second = order.find('/', first == std::string_view::npos ? first : first + 1);
  if (second == std::string_view::npos) return std::nullopt;
  OrderPlace out;
  out.stage = protocol.stages.find(std::string(order.substr(0, first)));
  const auto work = number_in(order.substr(first + 1, second - first - 1));
  const auto occurrence = number_in(order.substr(second + 1));
  if (!out.stage.known() || !work || !occurrence) return std::nullopt;
  if (*work > protocol.stages[out.stage].works.size()) return std::nullopt;
  out.work = *work;
  out.occurrence = *occurrence;
  return out;
}

/// On which day of its stage a turn of work falls, from 0; nothing when that hangs on how long the
/// stage lasts.
std::optional<int> offset_of(const language::Timing& timing, std::size_t occurrence) {
  switch (timing.kind) {
    case language::Timing::Kind::start:
      return 0;
    case language::Timing::Kind::days: {
      std::vector<int> days;
      for (const language::StageDay& day : timing.days) {
        if (day.last) return std::nullopt;
        days.push_back(day.day - 1);
      }
      std::sort(days.begin(), days.end());
      return occurrence <= days.size() ? std::optional(days[occurrence - 1]) : std::nullopt;
    }
    case language::Timing::Kind::repeat:
      break;
  }
  if (timing.from.last) return std::nullopt;
  return timing.from.day - 1 + static_cast<int>(occurrence - 1) * timing.interval;
}

struct Start {
  Day day = 0;
  int offset = 0;  ///< of the work that tells it
  text::Span span;
};

}  // namespace

void add_started(const book::Batch& batch, const language::Protocol& protocol,
                 sheet::BatchFacts& facts) {
  language::List<std::optional<Start>, language::Stage> starts(protocol.stages.size());
  for (const book::OrderDay& done : batch.done) {
    const auto place = place_of(done.order, protocol);
    if (!place || facts.recorded(place->stage, false) != nullptr) continue;
    const auto& work = protocol.stages[place->stage].works[language::WorkId(place->work - 1)];
    const auto offset = offset_of(work.timing, place->occurrence);
    std::optional<Start>& start = starts[place->stage];
    if (!offset || (start && start->offset <= *offset)) continue;
    start = Start{done.day - *offset, *offset, done.span};
  }
  for (const StageId s : protocol.stages.ids()) {
    if (!starts[s]) continue;
    Day day = starts[s]->day;
    for (const StageId before : protocol.stages[s].takes) {
      if (const auto* end = facts.recorded(before, true)) day = std::max(day, end->day);
    }
    if (const auto* end = facts.recorded(s, true)) day = std::min(day, end->day);
    // A date that was only wanted gives way to what happened.
    std::erase_if(facts.pins,
                  [&](const auto& pin) { return !pin.recorded && pin.stage == s && !pin.end; });
    facts.pins.push_back({s, false, day, true, starts[s]->span, false, true});
  }
}

}  // namespace budwood::plan
