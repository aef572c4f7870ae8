#include "report/differences/settings_difference.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using plan::SettingChange;
using Key = std::pair<language::StageId, std::int32_t>;  // stage, day

struct SettingPair {
  const SettingChange* before = nullptr;
  const SettingChange* after = nullptr;
};

/// Whether a batch has the same values in both plans, so that orders of one day set the same.
bool same_values(const Comparison& both, const BatchPair& pair) {
  if (pair.before == nullptr || pair.after == nullptr) return false;
  const sheet::Row one = both.before.row_of(*pair.before);
  const sheet::Row other = both.after.row_of(*pair.after);
  for (sheet::CellId cell = 0; cell < one.layout().cells.size(); ++cell) {
    const double was = one.value(cell);
    const double is = other.value(cell);
    if (was != is && !(std::isnan(was) && std::isnan(is))) return false;
  }
  return true;
}

void read_side(const plan::Plan& plan, const SettingChange* order, Reading& date,
               std::string& words, std::string& id) {
  if (order == nullptr) return;
  date = date_reading(order->date);
  words = settings_text(plan::changes_of(plan, *order));
  id = plan::change_id(plan, *order);
}

/// How orders of a stage differ that set the same, or are on one side only.
enum class Way : std::uint8_t { move, come, go };

Way way_of(const SettingDifference& one) {
  if (one.date_before.kind == Reading::Kind::none) return Way::come;
  return one.date_after.kind == Reading::Kind::none ? Way::go : Way::move;
}

/// Of one that comes or goes what it sets, too.
std::string when(const std::vector<const SettingDifference*>& all, Reading SettingDifference::*date,
                 std::string SettingDifference::*words) {
  const SettingDifference& one = *all.front();
  const Reading& first = one.*date;
  const Reading& last = all.back()->*date;
  if (first.kind == Reading::Kind::none) return "-";
  if (all.size() > 1) {
    return counted(all.size(), "time") + ", " + first.shown + " to " + last.shown;
  }
  return way_of(one) == Way::move ? first.shown : first.shown + ", " + one.*words;
}

std::string steps_text(const std::vector<const SettingDifference*>& all) {
  const auto step = [](const SettingDifference* one) {
    return one->date_after.value - one->date_before.value;
  };
  const auto [least, most] = std::minmax_element(
      all.begin(), all.end(), [&](const auto* a, const auto* b) { return step(a) < step(b); });
  const std::string from = difference_text((*least)->date_before, (*least)->date_after);
  const std::string to = difference_text((*most)->date_before, (*most)->date_after);
  return from == to ? from : from + " to " + to;
}

}  // namespace

SettingOrders::SettingOrders(const plan::Plan& plan, const Filter& filter)
    : by_batch_(plan.batches.size()) {
  if (filter.crew) return;  // setting orders are for no crew
  std::vector<std::size_t> batches;
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    if (passes(plan, plan.batches[i], filter)) batches.push_back(i);
  }
  for (const SettingChange& order : plan::setting_changes(plan, batches)) {
    by_batch_[order.batch].push_back(order);
  }
}

SettingDifferences setting_differences(const Comparison& both, const BatchPair& pair,
                                       const SettingOrders& before, const SettingOrders& after,
                                       const Filter& filter) {
  std::map<Key, SettingPair> orders;
  const auto meet = [&](const plan::Plan& plan, const plan::BatchPlan* batch,
                        const SettingOrders& all, const SettingChange* SettingPair::*side) {
    if (batch == nullptr) return;
    for (const SettingChange& order :
         all.of(static_cast<std::size_t>(batch - plan.batches.data()))) {
      orders[{order.stage, order.day}].*side = &order;
    }
  };
  meet(both.before, pair.before, before, &SettingPair::before);
  meet(both.after, pair.after, after, &SettingPair::after);
  SettingDifferences out;
  const bool same = same_values(both, pair);
  for (const auto& [key, order] : orders) {
    const SettingChange* was = order.before;
    const SettingChange* is = order.after;
    if (!(was != nullptr && passes(both.before, *was, filter)) &&
        !(is != nullptr && passes(both.after, *is, filter))) {
      continue;
    }
    // Describing them all takes long in large books.
    if (same && was != nullptr && is != nullptr && was->date == is->date) continue;
    SettingDifference one;
    one.stage = key.first;
    one.day = key.second;
    read_side(both.before, was, one.date_before, one.before, one.id);
    read_side(both.after, is, one.date_after, one.after, one.id);
    if (differ(one.date_before, one.date_after) || one.before != one.after) {
      out.push_back(std::move(one));
    }
  }
  return out;
}

Differences setting_rows(const BatchPair& pair, const language::Protocol& protocol,
                         const SettingDifferences& differences) {
  Differences out;
  for (const SettingDifference& one : differences) {
    const std::string& title = shown_name(protocol.stages[one.stage]);
    const auto words = [](const std::string& text) {
      return text.empty() ? no_reading() : text_reading(text);
    };
    add_difference(out,
                   {"setting", *pair.id, one.id, title, "date", one.date_before, one.date_after});
    add_difference(
        out, {"setting", *pair.id, one.id, title, "settings", words(one.before), words(one.after)});
  }
  return out;
}

void write_settings_differences(std::ostream& out, const language::Protocol& protocol,
                                const SettingDifferences& differences, const Style& style) {
  if (differences.empty()) return;
  Table table({{"Settings"}, {"Before"}, {"After"}, {"Difference"}});
  std::map<std::pair<language::StageId, Way>, std::vector<const SettingDifference*>> alike;
  for (std::size_t i = 0; i < differences.size(); ++i) {
    const SettingDifference& one = differences[i];
    const std::string& title = shown_name(protocol.stages[one.stage]);
    const Way way = way_of(one);
    if (way != Way::move || one.before == one.after) {
      alike[{one.stage, way}].push_back(&one);
    } else {
      table.add({title + ", day " + std::to_string(one.day), one.before, one.after,
                 difference_text(one.date_before, one.date_after)});
    }
    if (i + 1 < differences.size() && differences[i + 1].stage == one.stage) continue;
    for (const auto& [key, all] : alike) {
      table.add({title, when(all, &SettingDifference::date_before, &SettingDifference::before),
                 when(all, &SettingDifference::date_after, &SettingDifference::after),
                 key.second == Way::move   ? steps_text(all)
                 : key.second == Way::come ? "new"
                                           : "gone"});
    }
    alike.clear();
  }
  out << '\n';
  table.write(out, style, table_indent);
}

}  // namespace budwood::report
