#include "report/formats/filter.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <tuple>

namespace budwood::report {

namespace {

using Names = std::set<std::string>;

/// "" when `asked` is not set or is one of `names`.
std::string unless_known(const std::optional<std::string>& asked, const char* kind,
                         const Names& names) {
  if (!asked || names.contains(*asked)) return {};
  const std::vector<std::string> all(names.begin(), names.end());
  std::string message = std::string("There is no ") + kind + " `" + *asked + "` in this book.";
  const std::string advice = text::did_you_mean(*asked, all);
  return advice.empty() ? message : message + " " + advice;
}

}  // namespace

bool passes(const plan::Plan& plan, const plan::BatchPlan& batch, const Filter& filter) {
  if (filter.batch) return plan.facts_of(batch).id.value == *filter.batch;
  return filter.history || !batch.over;
}

Concerned::Concerned(const plan::Plan& plan, const Filter& filter) : filter_(filter) {
  if (filter.batch || filter.history) return;
  for (const plan::BatchPlan& batch : plan.batches) {
    if (batch.over) hidden_.insert(plan.facts_of(batch).id.value);
  }
}

bool Concerned::operator()(const std::string& batch) const {
  return filter_.batch ? batch == *filter_.batch : !hidden_.contains(batch);
}

bool Concerned::operator()(const plan::Conflict& conflict) const {
  return filter_.batch ? plan::concerns(conflict, *filter_.batch)
                       : !hidden_.contains(conflict.batch);
}

bool passes(const plan::Plan& plan, const plan::WorkOrder& order, const Filter& filter) {
  if (filter.from && order.date < *filter.from) return false;
  if (filter.to && order.date > *filter.to) return false;
  const plan::BatchPlan& batch = plan.batches[order.batch];
  if (!passes(plan, batch, filter)) return false;
  const language::Stage& stage = plan.protocol_of(batch).stages[order.stage];
  if (filter.room && stage.room != *filter.room) return false;
  return !filter.crew || plan::crew_of(plan, order) == *filter.crew;
}

bool passes(const plan::Plan& plan, const plan::SettingOrder& order, const Filter& filter) {
  if (filter.crew) return false;
  if (filter.from && order.date < *filter.from) return false;
  if (filter.to && order.date > *filter.to) return false;
  if (filter.room && plan.settings.places()[order.place].room != *filter.room) return false;
  if (passes(plan, plan.batches[order.lead.batch], filter)) return true;
  const auto& all = plan::whom(plan, order);
  return std::any_of(all.begin(), all.end(), [&](const plan::StageOfBatch& one) {
    return passes(plan, plan.batches[one.batch], filter);
  });
}

bool passes(const plan::Plan& plan, const plan::SettingChange& change, const Filter& filter) {
  if (filter.crew) return false;
  if (filter.from && change.date < *filter.from) return false;
  if (filter.to && change.date > *filter.to) return false;
  const plan::BatchPlan& batch = plan.batches[change.batch];
  if (!passes(plan, batch, filter)) return false;
  return !filter.room || plan.protocol_of(batch).stages[change.stage].room == *filter.room;
}

bool passes(const plan::Plan& plan, const plan::Making& making, const Filter& filter) {
  if (filter.room) return false;
  if (filter.from && making.date < *filter.from) return false;
  if (filter.to && making.date > *filter.to) return false;
  if (filter.crew && plan.recipes[making.recipe].recipe->crew != *filter.crew) return false;
  return std::any_of(making.uses.begin(), making.uses.end(), [&](const plan::MadeFor& use) {
    return passes(plan, plan.batches[plan.orders[use.order].batch], filter);
  });
}

std::vector<std::size_t> select(const plan::Plan& plan, const Filter& filter) {
  std::vector<std::size_t> selected;
  for (std::size_t i = 0; i < plan.orders.size(); ++i) {
    if (passes(plan, plan.orders[i], filter)) selected.push_back(i);
  }
  return selected;
}

std::vector<std::size_t> select_unsettled(const plan::Plan& plan, const Filter& filter) {
  std::vector<std::size_t> out = select(plan, filter);
  std::erase_if(out, [&](std::size_t i) { return plan.orders[i].settled(); });
  return out;
}

Selection select_all(const plan::Plan& plan, const Filter& filter) {
  Selection out;
  out.orders = select(plan, filter);
  for (std::size_t i = 0; i < plan.makings.size(); ++i) {
    if (passes(plan, plan.makings[i], filter)) out.makings.push_back(i);
  }
  if (filter.crew) return out;
  out.settings = plan::setting_orders(plan);
  std::erase_if(out.settings, [&](const auto& one) { return !passes(plan, one, filter); });
  std::stable_sort(out.settings.begin(), out.settings.end(), [](const auto& a, const auto& b) {
    return std::tie(a.date, a.lead) < std::tie(b.date, b.lead);
  });
  return out;
}

std::vector<SelectedOrder> in_order(const plan::Plan& plan, const Selection& selection) {
  const auto place = [](const plan::WorkOrder& order) {
    return std::tuple(order.date, order.batch, order.stage);
  };
  const auto lead = [](const plan::SettingOrder& order) {
    return std::tuple(order.date, order.lead.batch, order.lead.stage);
  };
  std::vector<SelectedOrder> out;
  out.reserve(selection.size());
  auto setting = selection.settings.begin();
  for (const std::size_t i : selection.orders) {
    const plan::WorkOrder& work = plan.orders[i];
    for (; setting != selection.settings.end() && lead(*setting) <= place(work); ++setting) {
      out.push_back({nullptr, &*setting});
    }
    out.push_back({&work});
  }
  for (; setting != selection.settings.end(); ++setting) out.push_back({nullptr, &*setting});
  if (selection.makings.empty()) return out;
  std::vector<SelectedOrder> made;
  for (const std::size_t i : selection.makings) {
    made.push_back({nullptr, nullptr, &plan.makings[i]});
  }
  std::vector<SelectedOrder> all;
  all.reserve(selection.size());
  std::merge(made.begin(), made.end(), out.begin(), out.end(), std::back_inserter(all),
             [](const auto& one, const auto& other) { return one.date() < other.date(); });
  return all;
}

void closing_last(const plan::Plan& plan, std::span<SelectedOrder> day) {
  const auto closes_room = [&](const SelectedOrder& order) {
    if (order.work == nullptr) return false;
    const language::Stage& stage =
        plan.protocol_of(plan.batches[order.work->batch]).stages[order.work->stage];
    return stage.works[order.work->work].no_entry != language::no_formula;
  };
  std::stable_partition(day.begin(), day.end(),
                        [&](const SelectedOrder& one) { return !closes_room(one); });
}

std::string unknown_name(const plan::Plan& plan, const Filter& filter) {
  Names batches;
  Names rooms;
  Names crews;
  for (const book::Batch& batch : plan.book->batches) batches.insert(batch.id.value);
  for (const auto& [name, room] : plan.book->site.rooms) rooms.insert(name);
  for (const auto& [name, crew] : plan.book->site.crews) crews.insert(name);
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Stage& stage : sheet.layout().protocol.stages) {
      if (!stage.room.empty()) rooms.insert(stage.room);
      for (const language::Work& work : stage.works) {
        if (!work.crew.empty()) crews.insert(work.crew);
      }
    }
    for (const language::Recipe& recipe : sheet.layout().protocol.recipes) {
      if (!recipe.crew.empty()) crews.insert(recipe.crew);
    }
  }
  std::string message = unless_known(filter.batch, "batch", batches);
  if (message.empty()) message = unless_known(filter.room, "room", rooms);
  if (message.empty()) message = unless_known(filter.crew, "crew", crews);
  return message;
}

}  // namespace budwood::report
