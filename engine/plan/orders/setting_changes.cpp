#include "plan/orders/setting_changes.hpp"

#include <algorithm>
#include <tuple>

#include "plan/plan.hpp"
#include "plan/settings/changes.hpp"
#include "plan/settings/stage_settings.hpp"

namespace budwood::plan {

namespace {

/// What is set anew; what ends is told by the orders of its room.
std::vector<DaySetting> set_anew(const std::vector<DaySetting>& before,
                                 const std::vector<DaySetting>& now) {
  std::vector<DaySetting> out = changes_between(before, now);
  std::erase_if(out, [](const DaySetting& one) {
    return one.kind == DaySetting::Kind::unasked || one.kind == DaySetting::Kind::off;
  });
  return out;
}

void add_stage(const Plan& plan, std::size_t batch, StageId stage,
               std::vector<SettingChange>& out) {
  const sheet::Row row = plan.row_of(plan.batches[batch]);
  const StageSettings settings(plan.book->site, row, stage);
  std::vector<DaySetting> before;
  for (int offset = 0; offset < settings.days(); ++offset) {
    std::vector<DaySetting> now = settings.set(offset);
    if (!set_anew(before, now).empty()) {
      out.push_back(
          {row.start(stage) + offset, offset + 1, static_cast<std::uint32_t>(batch), stage});
    }
    before = std::move(now);
  }
}

}  // namespace

std::vector<SettingChange> setting_changes(const Plan& plan,
                                           const std::vector<std::size_t>& batches) {
  std::vector<SettingChange> out;
  for (const std::size_t batch : batches) {
    if (!plan.batches[batch].dated || !plan.facts_of(plan.batches[batch]).lead) continue;
    for (const StageId s : plan.protocol_of(plan.batches[batch]).stages.ids()) {
      add_stage(plan, batch, s, out);
    }
  }
  std::sort(out.begin(), out.end(), [](const SettingChange& a, const SettingChange& b) {
    return std::tie(a.date, a.batch, a.stage) < std::tie(b.date, b.batch, b.stage);
  });
  return out;
}

std::string change_id(const Plan& plan, const SettingChange& change) {
  const BatchPlan& batch = plan.batches[change.batch];
  return plan.facts_of(batch).id.value + "/" + plan.protocol_of(batch).stages[change.stage].name +
         "/set/" + std::to_string(change.day);
}

std::vector<DaySetting> changes_of(const Plan& plan, const SettingChange& change) {
  const StageSettings settings(plan.book->site, plan.row_of(plan.batches[change.batch]),
                               change.stage);
  const int offset = change.day - 1;
  return set_anew(offset == 0 ? std::vector<DaySetting>{} : settings.set(offset - 1),
                  settings.set(offset));
}

}  // namespace budwood::plan
