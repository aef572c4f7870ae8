#include <sstream>

#include "book/read_as_own.hpp"
#include "page/views/views.hpp"
#include "report/differences/comparison.hpp"
#include "report/differences/protocol_changes.hpp"
#include "share/compare.hpp"
#include "share/editions.hpp"

namespace budwood::page {

namespace {

/// The protocol as it is typed; where its edition is typed anew, what has its name.
const language::Protocol* same_in(const language::Document& document,
                                  const language::Protocol& wanted) {
  const language::Protocol* named = nullptr;
  for (const language::Protocol& one : document.protocols) {
    if (one.name != wanted.name) continue;
    if (one.edition == wanted.edition) return &one;
    named = &one;
  }
  return named;
}

}  // namespace

Json effect_view(const Snapshot& now, const std::string& file, const std::string& text) {
  const text::Source* source = method_source(now, file);
  if (source == nullptr) return nullptr;
  const text::Source typed(file, text);
  text::Diagnostics said;
  const language::Document document = book::read_as_own(*now.book, typed, source, said);
  if (said.has_errors()) return {{"said", diagnostics_json(said)}};
  // What is told of the batches is told by the plan that follows when the text is saved.
  text::Diagnostics unheard;
  std::ostringstream out;
  for (const language::Protocol& before : now.book->protocols) {
    const language::Protocol* after =
        before.span.source == source ? same_in(document, before) : nullptr;
    if (after == nullptr || after->fingerprint == before.fingerprint) continue;
    const share::ProtocolChanges changes = share::compare(before, *after);
    const book::Book other = share::with_other_protocol(*now.book, before, *after);
    const plan::Plan plan = plan::make_plan(other, unheard);
    const std::vector<plan::Change> none;
    const report::Comparison plans{now.plan, plan, none};
    report::write_protocol_changes(out, {before, *after, changes, &plans}, report::Format::table,
                                   {});
  }
  return {{"text", out.str()}};
}

}  // namespace budwood::page
