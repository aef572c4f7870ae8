#include "plan/orders/order_place.hpp"

#include <charconv>
#include <string>

namespace budwood::plan {

namespace {

std::optional<std::size_t> number_in(std::string_view text) {
  std::size_t out = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), out);
  return problem == std::errc() && end == text.data() + text.size() && out > 0 ? std::optional(out)
                                                                               : std::nullopt;
}

}  // namespace

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
  out.work = language::WorkId(*work - 1);
  out.occurrence = *occurrence;
  return out;
}

}  // namespace budwood::plan
