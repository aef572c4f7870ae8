#include "sheet/dates/followable.hpp"

#include <algorithm>
#include <cmath>

#include "sheet/dates/conflict_words.hpp"

namespace budwood::sheet {

namespace {

using network::Length;
using network::Part;

/// The time network of a template in the terms of controllability.
class Uncertainty {
 public:
  explicit Uncertainty(const Row& row) : t_(row.layout()), row_(row) {
    network_.points = 2 * t_.stages.size() + 1;
    for (std::size_t i = 0; i < t_.dates.links.size(); ++i) add(i);
  }

  bool known() const { return known_; }

  std::optional<NotFollowable> decide() {
    const network::Verdict verdict = network::check_controllability(network_);
    if (verdict.controllable) return std::nullopt;
    NotFollowable out;
    out.misses = static_cast<int>(verdict.misses);
    for (const Part& part : verdict.conflict) {
      DateConflict::Line line = describe(part);
      const bool said = std::any_of(out.lines.begin(), out.lines.end(),
                                    [&](const auto& other) { return other.text == line.text; });
      if (!said) out.lines.push_back(std::move(line));
      const auto repair = longer_wait(part);
      const bool offered =
          repair && std::find(out.repairs.begin(), out.repairs.end(), *repair) != out.repairs.end();
      if (repair && !offered) out.repairs.push_back(*repair);
    }
    return out;
  }

 private:
  Length days(CellId cell, int otherwise) {
    if (cell == no_cell) return otherwise;
    const double value = row_.value(cell);
    if (std::isnan(value)) known_ = false;
    return std::isnan(value) ? 0 : static_cast<Length>(value);
  }

  void add(std::size_t index) {
    const DateLink& link = t_.dates.links[index];
    if (link.kind == DateLink::Kind::length) {
      const StageCells& cells = t_.stages[static_cast<std::size_t>(link.stage)];
      if (link.by_series) {
        // How long it takes differs from site to site and year to year; plans show it, and here any
        // length will do.
        network_.requirements.push_back({link.from, link.to, 0, longest_series_days});
        requirement_links_.push_back(index);
        return;
      }
      network_.contingents.push_back(
          {link.from, link.to, days(cells.shortest, 0), days(cells.longest, 0)});
      contingent_links_.push_back(index);
      return;
    }
    network::Requirement requirement;
    requirement.from = link.from;
    requirement.to = link.to;
    requirement.low = days(link.low, link.fixed_low);
    if (link.to_working_day) {
      requirement.high = WorkingDayWait::most;
    } else if (link.bounded) {
      requirement.high = days(link.high, link.fixed_high);
    }
    network_.requirements.push_back(requirement);
    requirement_links_.push_back(index);
  }

  const DateLink& link_of(const Part& part) const {
    const auto& links =
        part.kind == Part::Kind::contingent ? contingent_links_ : requirement_links_;
    return t_.dates.links[links[part.index]];
  }

  std::string point_text(std::uint32_t point) const {
    const std::size_t stage = point / 2;
    if (stage >= t_.stages.size()) return "delivery";
    return "`" + t_.protocol.stages[stage].name + "`";
  }

  DateConflict::Line describe(const Part& part) const {
    const DateLink& link = link_of(part);
    const std::string from = point_text(link.from);
    const std::string to = point_text(link.to);
    if (part.kind == Part::Kind::contingent) {
      const network::Contingent& range = network_.contingents[part.index];
      const auto picked = static_cast<int>(part.side == Part::Side::low ? range.low : range.high);
      const std::string length = "Nature may let " + from + " take " + days_text(picked);
      if (range.low == range.high) return {from + " takes " + days_text(picked) + ".", link.span};
      return {length + " (" + std::to_string(range.low) + " to " +
                  days_text(static_cast<int>(range.high)) + " are possible).",
              link.span};
    }
    const network::Requirement& bound = network_.requirements[part.index];
    const std::string edge = link.from % 2 == 0 ? "the start of " : "the end of ";
    if (part.side == Part::Side::low) {
      const auto low = static_cast<int>(bound.low.value_or(0));
      if (low == 0) return {to + " comes after " + from + ".", {}};
      return {to + " starts at least " + days_text(low) + " after " + edge + from + ".", link.span};
    }
    const auto high = static_cast<int>(bound.high.value_or(0));
    if (high == 0) return {to + " follows " + from + " at once.", link.span};
    return {to + " starts at most " + days_text(high) + " after " + edge + from + ".", link.span};
  }

  /// The smallest wait that alone makes the protocol followable, if this part is a wait that people
  /// may lengthen.
  std::optional<std::string> longer_wait(const Part& part) {
    constexpr Length most = 60;
    const DateLink& link = link_of(part);
    const bool wait = link.kind == DateLink::Kind::wait || link.kind == DateLink::Kind::finish;
    if (part.kind != Part::Kind::requirement || part.side != Part::Side::high || !wait) return {};
    std::optional<Length>& high = network_.requirements[part.index].high;
    const std::optional<Length> written = high;
    const auto followable_with = [&](Length days) {
      high = days;
      return network::check_controllability(network_).controllable;
    };
    std::optional<std::string> out;
    Length low = *written;
    Length enough = most;
    if (followable_with(most)) {
      while (enough - low > 1) {
        const Length middle = low + (enough - low) / 2;
        (followable_with(middle) ? enough : low) = middle;
      }
      const std::string allowed = days_text(static_cast<int>(enough));
      out = "Let plants wait up to " + allowed + " after " + point_text(link.from) +
            " (`may wait " + allowed + "`).";
    }
    high = written;
    return out;
  }

  const Template& t_;
  const Row row_;
  network::Uncertain network_;
  std::vector<std::size_t> requirement_links_;  ///< by requirement: its link in the layout
  std::vector<std::size_t> contingent_links_;
  bool known_ = true;
};

}  // namespace

std::optional<NotFollowable> check_followable(const Row& row) {
  Uncertainty uncertainty(row);
  if (!uncertainty.known()) return std::nullopt;
  return uncertainty.decide();
}

}  // namespace budwood::sheet
