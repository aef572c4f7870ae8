#include <algorithm>
#include <charconv>
#include <set>

#include "page/views/views.hpp"
#include "report/formats/wording.hpp"

namespace budwood::page {

const std::string& Question::operator[](const std::string& name) const {
  static const std::string none;
  const auto found = words_.find(name);
  return found == words_.end() ? none : found->second;
}

std::optional<calendar::Day> Question::day(const std::string& name) const {
  return calendar::parse_iso_date((*this)[name]);
}

std::size_t Question::number(const std::string& name, std::size_t otherwise) const {
  const std::string& text = (*this)[name];
  std::size_t out = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), out);
  return failure == std::errc() && end == text.data() + text.size() ? out : otherwise;
}

std::string batch_label(const book::Batch& batch) {
  return batch.cultivar.empty() ? batch.id.value : batch.id.value + " " + batch.cultivar;
}

const char* date_key(const book::Batch& batch) {
  return batch.ready ? "ready" : batch.start ? "start" : "not_before";
}

Json state_view(const Snapshot& now) {
  std::set<std::string> rooms;
  std::set<std::string> crews;
  for (const sheet::Sheet& sheet : now.plan.sheets) {
    for (const language::Stage& stage : sheet.layout().protocol.stages) {
      if (!stage.room.empty()) rooms.insert(stage.room);
      for (const language::Work& work : stage.works) {
        if (!work.crew.empty()) crews.insert(work.crew);
      }
    }
  }
  std::size_t serious = 0;
  for (const text::Diagnostic& d : now.diagnostics.sorted()) {
    serious += d.severity == text::Severity::error ? 1 : 0;
  }
  const auto today = now.book->today;
  return {{"site", now.book->site.name.value},
          {"turn", now.turn},
          {"today", today ? Json(calendar::iso_date(*today)) : Json(nullptr)},
          {"rooms", rooms},
          {"crews", crews},
          {"conflicts", now.plan.conflicts.size()},
          {"errors", serious},
          {"said", serious > 0 ? diagnostics_json(now.diagnostics) : Json::array()}};
}

Json batches_view(const Snapshot& now) {
  Json batches = Json::array();
  for (const plan::BatchPlan& batch : now.plan.batches) {
    const book::Batch& facts = now.plan.facts_of(batch);
    batches.push_back({{"id", facts.id.value},
                       {"label", batch_label(facts)},
                       {"title", report::shown_name(now.plan.protocol_of(batch))}});
  }
  return {{"turn", now.turn}, {"batches", std::move(batches)}};
}

}  // namespace budwood::page
