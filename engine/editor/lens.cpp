#include "editor/lens.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "editor/values.hpp"

namespace budwood::editor {

using language::WrittenItem;

namespace {

constexpr double ordered = 1000;

std::vector<Lens> over_stages(const Workspace& workspace, const Document& document) {
  std::vector<Lens> out;
  const auto library = workspace.library(document.path());
  const auto& owners = document.written().owners;
  for (std::size_t owner = 0; owner < owners.size(); ++owner) {
    const language::Protocol* model = model_of(*library, document, owner);
    if (model == nullptr) continue;
    const UsualValues usual(*model, ordered);
    for (const WrittenItem& item : document.written().items) {
      if (item.kind != WrittenItem::Kind::stage || item.owner != owner) continue;
      const std::string told = usual.of_stage(item.name);
      if (told.empty()) continue;
      const std::string title = told + " for 1,000 ordered";
      out.push_back({document.range(item.head), title});
    }
  }
  return out;
}

std::vector<Lens> over_batches(const Workspace& workspace, const Document& document) {
  std::vector<Lens> out;
  const auto worked = workspace.worked_book(document.path());
  if (worked == nullptr || !worked->book) return out;
  for (const plan::BatchPlan& batch : worked->plan.batches) {
    const book::Batch& facts = worked->plan.facts_of(batch);
    const auto& conflicts = worked->plan.conflicts;
    const auto count = std::count_if(conflicts.begin(), conflicts.end(), [&](const auto& one) {
      return plan::concerns(one, facts.id.value);
    });
    std::string title;
    if (batch.dated) {
      const sheet::Row row = worked->plan.row_of(batch);
      calendar::Day first = *row.ready();
      for (std::size_t s = 0; s < row.protocol().stages.size(); ++s) {
        first = std::min(first, row.start(language::StageId(s)));
      }
      title =
          "starts " + calendar::short_date(first) + ", ready " + calendar::short_date(*row.ready());
    } else {
      title = "no dates";
    }
    if (count > 0)
      title += ", " + std::to_string(count) + (count == 1 ? " conflict" : " conflicts");
    out.push_back({document.range(facts.id.span), title});
  }
  return out;
}

}  // namespace

std::vector<Lens> lenses(const Workspace& workspace, const Document& document) {
  if (document.kind() == FileKind::protocol) return over_stages(workspace, document);
  if (document.kind() == FileKind::batches) return over_batches(workspace, document);
  return {};
}

}  // namespace budwood::editor
