#include "results/replicates.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "statistics/comparing/seed_replicates.hpp"

namespace budwood::results {

namespace {

constexpr int seeds = 100;

using Place = std::pair<std::uint32_t, language::StageId>;

/// Nothing unless it is two or four replicates of a hundred.
std::optional<SeedTest> test_of(const plan::Plan& plan, const Place& place,
                                const std::vector<Outcome>& trays) {
  const bool hundreds = std::all_of(trays.begin(), trays.end(), [](const Outcome& tray) {
    return !tray.tray.empty() && tray.plants.of == seeds;
  });
  if (!hundreds || (trays.size() != 2 && trays.size() != 4)) return std::nullopt;
  const plan::BatchPlan& batch = plan.batches[place.first];
  const language::Stage& stage = plan.protocol_of(batch).stages[place.second];
  const sheet::Row row = plan.row_of(batch);
  SeedTest out;
  out.batch = plan.facts_of(batch).id.value;
  out.stage = stage.name;
  out.title = stage.title;
  std::int64_t total = 0;
  for (const Outcome& tray : trays) {
    out.counts.push_back(tray.plants.good);
    total += tray.plants.good;
  }
  const auto [least, most] = std::minmax_element(out.counts.begin(), out.counts.end());
  const auto replicates = static_cast<int>(trays.size());
  out.range = *most - *least;
  out.mean = static_cast<double>(total) / replicates;
  out.allowed = statistics::tolerated_range(replicates, static_cast<int>(std::lround(out.mean)));
  out.chance = out.range == 0 ? 1
                              : statistics::chance_of_wider_range(replicates, seeds, total,
                                                                  static_cast<int>(out.range) - 1);
  out.usual = 100 * row.through(place.second);
  out.allowed_difference =
      statistics::tolerated_difference((out.mean + out.usual) / 2, replicates == 2);
  return out;
}

}  // namespace

bool SeedTest::differs() const {
  return std::abs(mean - usual) > allowed_difference;
}

std::vector<SeedTest> seed_tests(const std::vector<Asked>& books, const std::string& stage,
                                 std::vector<LeftOut>& left_out) {
  std::vector<SeedTest> out;
  for (std::size_t i = 0; i < books.size(); ++i) {
    const plan::Plan& plan = *books[i].plan;
    std::map<Place, std::vector<Outcome>> by_place;
    for (Outcome& one : outcomes_of(plan, left_out)) {
      by_place[{one.batch, one.stage}].push_back(std::move(one));
    }
    for (const auto& [place, trays] : by_place) {
      const plan::BatchPlan& batch = plan.batches[place.first];
      const std::string& name = plan.protocol_of(batch).stages[place.second].name;
      if (!stage.empty() && name != stage) continue;
      if (auto test = test_of(plan, place, trays)) {
        test->book = i;
        out.push_back(std::move(*test));
      } else {
        left_out.push_back({plan.facts_of(batch).id.value,
                            name + ": these are no two or four trays of 100, so no table of "
                                   "tolerance speaks of them."});
      }
    }
  }
  return out;
}

}  // namespace budwood::results
