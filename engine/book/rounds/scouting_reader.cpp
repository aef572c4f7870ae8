#include "book/rounds/scouting_reader.hpp"

#include <algorithm>
#include <cmath>

#include "book/yaml/values.hpp"
#include "units/units.hpp"

namespace budwood::book {

namespace {

constexpr std::int64_t most_cards = 10'000;
constexpr std::size_t most_pests = 12;
constexpr double most_on_a_card = 100'000;
constexpr std::int64_t most_limits = 2000;  ///< kinds times rounds; each is told with its order

std::vector<std::string> read_pests(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"for", "a list of names, 1 to 12", "[thrips, fungus_gnats]"};
  std::vector<std::string> out;
  for (const Node& item : node.items) {
    const auto name = read_line(item, wanted, 64, diagnostics);
    if (!name || !check_name(name->value, item.span, diagnostics)) continue;
    if (std::find(out.begin(), out.end(), name->value) == out.end()) {
      out.push_back(name->value);
    } else {
      diagnostics.error("repeated-value", item.span, "`" + name->value + "` stands here twice.",
                        "Remove one of them.");
    }
  }
  if (node.items.empty() || out.size() > most_pests) report_wanted(node, wanted, diagnostics);
  return out.size() > most_pests ? std::vector<std::string>{} : out;
}

/// Whole days, 1 to `longest_round`.
std::optional<int> read_every(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"every", "whole days, 1 to 60", "7 days"};
  const auto time = read_time(node, wanted, longest_round * units::seconds_a_day, diagnostics);
  if (!time) return std::nullopt;
  const double days = time->value / units::seconds_a_day;
  if (days >= 1 && days == std::floor(days)) return static_cast<int>(days);
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

/// Whether the orders can tell for each kind from how many on something is done.
bool tells_few(const Scouting& scout, text::Diagnostics& diagnostics) {
  const std::int64_t rounds = (scout.until - scout.from) / scout.every;
  const auto kinds = static_cast<std::int64_t>(scout.pests.size());
  if (scout.act_at <= 0 || rounds * kinds <= most_limits) return true;
  diagnostics.error("out-of-range", scout.pests_span,
                    std::to_string(kinds) + " kinds in " + std::to_string(rounds) +
                        " rounds are more than orders can tell `act_at` of: " +
                        std::to_string(most_limits) + " in all.",
                    "Go round less often, for a shorter time, or for fewer kinds.");
  return false;
}

/// How often, how many and with whom; what is not said stays as usual.
void read_how(const Fields& fields, Scouting& out, text::Diagnostics& diagnostics) {
  if (const Node* at = fields.get("act_at")) {
    const auto count = read_whole(*at, {"act_at", "a whole number, 1 or more", "10"}, 1,
                                  static_cast<std::int64_t>(most_on_a_card), "", diagnostics);
    if (count) out.act_at = static_cast<double>(count->value);
  }
  if (const Node* every = fields.get("every")) {
    out.every = read_every(*every, diagnostics).value_or(out.every);
  }
  if (const Node* crew = fields.get("crew")) {
    const auto name = read_line(*crew, {"crew", "the name of a crew", "growing"}, 64, diagnostics);
    if (name && check_own_name(name->value, name->span, diagnostics)) {
      out.crew = name->value;
      out.crew_span = name->span;
    }
  }
  if (const Node* time = fields.get("time")) {
    const Wanted wanted{"time", "a length of time for each card, more than 0", "5 min"};
    const auto read = read_time(*time, wanted, 8 * units::seconds_an_hour, diagnostics);
    if (read && read->value > 0) out.time = read->value;
    if (read && !(read->value > 0)) report_wanted(*time, wanted, diagnostics);
  }
}

}  // namespace

std::optional<Scouting> read_scouting(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::scouting, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Scouting out;
  out.span = node.span;
  read_how(fields, out, diagnostics);
  const Node* pests = fields.need("for", "for: [thrips, fungus_gnats]");
  const Node* cards = fields.need("cards", "cards: 8");
  const Node* from = fields.need("from", "from: 2027-03-01");
  const Node* until = fields.need("until", "until: 2027-10-31");
  if (pests == nullptr || cards == nullptr || from == nullptr || until == nullptr)
    return std::nullopt;
  out.pests = read_pests(*pests, diagnostics);
  out.pests_span = pests->span;
  const auto number = read_whole(*cards, {"cards", "a whole number, 1 to 10 000", "8"}, 1,
                                 most_cards, "cards", diagnostics);
  const auto first = read_day(*from, {"from", "a date", "2027-03-01"}, diagnostics);
  const auto last = read_day(*until, {"until", "a date", "2027-10-31"}, diagnostics);
  if (out.pests.empty() || !number || !first || !last) return std::nullopt;
  out.cards = number->value;
  out.from = first->value;
  out.until = last->value;
  if (out.until >= out.from && out.until - out.from < longest_scouting) {
    if (tells_few(out, diagnostics)) return out;
    return std::nullopt;
  }
  diagnostics.error("out-of-range", last->span,
                    "`until` is the last day of the rounds, up to " +
                        std::to_string(longest_scouting) + " days from `from`.",
                    "Begin anew with the next year.");
  return std::nullopt;
}

}  // namespace budwood::book
