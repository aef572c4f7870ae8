#include <algorithm>

#include "editor/workspace.hpp"
#include "plan/advice.hpp"
#include "plan/needs/needs.hpp"
#include "plan/rooms/load.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::editor {

namespace fs = std::filesystem;

namespace {

/// The place of a span in whatever file it is in; lines are counted anew where the file is not the
/// one at hand.
Location location_of(const text::Span& span, const Document& document) {
  if (span.source == nullptr) return {document.path(), {}};
  if (span.source == &document.source()) return {document.path(), document.range(span)};
  const Lines lines(span.source->text());
  return {fs::path(span.source->name()), lines.range(span.begin, span.end)};
}

/// The rule sets that hold for a document: those that its site follows, else all that lie around.
std::vector<const language::RuleSet*> sets_for(const Workspace& workspace, const Document& document,
                                               const language::Document& own,
                                               const Library& around) {
  std::vector<const language::RuleSet*> sets;
  for (const language::RuleSet& one : own.rule_sets) sets.push_back(&one);
  for (const language::RuleSet& one : around.read.rule_sets) sets.push_back(&one);
  const auto worked = workspace.kept_book(document.path());
  if (worked == nullptr || !worked->book) return sets;
  std::erase_if(sets, [&](const language::RuleSet* set) {
    const auto& followed = worked->book->site.rules;
    return std::none_of(followed.begin(), followed.end(),
                        [&](const auto& name) { return name.value == set->name; });
  });
  return sets;
}

void try_out(language::Protocol protocol, text::Diagnostics& diagnostics) {
  const auto made = sheet::compile(std::move(protocol), diagnostics);
  if (made != nullptr) sheet::try_out(made, diagnostics);
}

}  // namespace

Finding Workspace::shown(const text::Diagnostic& d, const Document& document) const {
  Finding out;
  out.severity = d.severity;
  out.code = d.code;
  if (d.span.source != nullptr) out.range = document.range(d.span);
  out.message = d.message;
  out.advice = d.advice;
  for (const text::Related& one : d.related) {
    if (one.span.source != nullptr) {
      out.related.push_back({location_of(one.span, document), one.message});
    }
  }
  return out;
}

std::vector<Finding> Workspace::shown(const text::Diagnostics& diagnostics,
                                      const Document& document) const {
  std::vector<Finding> out;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    if (d.span.source == &document.source()) out.push_back(shown(d, document));
  }
  return out;
}

/// The files with what a document is based on, however far down, and with shared tables in which it
/// or one of these may look something up.
std::vector<SharedDocument> Workspace::bases_of(const Document& document) const {
  std::vector<SharedDocument> out;
  std::vector<std::string> wanted;
  const auto want = [&](const Document& one) {
    for (const language::WrittenOwner& owner : one.written().owners) {
      if (!owner.base.empty() && owner.around == language::WrittenName::nobody) {
        wanted.push_back(owner.base);
      }
    }
  };
  want(document);
  const std::vector<SharedDocument> around = files_around(document.path());
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    for (const SharedDocument& one : around) {
      const auto& owners = one->written().owners;
      const bool holds = std::any_of(owners.begin(), owners.end(),
                                     [&](const auto& owner) { return owner.name == wanted[i]; });
      const bool known =
          one->path() == document.path() || std::find(out.begin(), out.end(), one) != out.end();
      if (!holds || known) continue;
      out.push_back(one);
      want(*one);
    }
  }
  std::vector<SharedDocument> tables;
  for (const SharedDocument& one : around) {
    const bool known =
        one->path() == document.path() || std::find(out.begin(), out.end(), one) != out.end();
    const std::vector<std::string> names = language::headings(one->source()).tables;
    const auto speaks_of = [&](const text::Source& source) {
      return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
        return source.text().find(name) != std::string_view::npos;
      });
    };
    if (known || names.empty()) continue;
    const bool based = std::any_of(out.begin(), out.end(), [&](const SharedDocument& base) {
      return speaks_of(base->source());
    });
    if (based || speaks_of(document.source())) tables.push_back(one);
  }
  out.insert(out.end(), tables.begin(), tables.end());
  return out;
}

std::vector<Finding> Workspace::protocol_findings(const Document& document) const {
  text::Diagnostics diagnostics;
  const std::vector<SharedDocument> bases = bases_of(document);
  std::vector<const text::Source*> beside;
  for (const SharedDocument& one : bases) beside.push_back(&one->source());
  language::Document read = language::read({&document.source()}, diagnostics, beside);
  if (!read.protocols.empty()) {
    const std::shared_ptr<const Library> rules = rule_library(document);
    const auto sets = sets_for(*this, document, read, *rules);
    for (language::Protocol& protocol : read.protocols) {
      language::follow(protocol, sets, diagnostics);
      try_out(protocol, diagnostics);
    }
  }
  return shown(diagnostics, document);
}

std::vector<Finding> Workspace::book_findings(const Document& document) const {
  const std::shared_ptr<const WorkedBook> worked = worked_book(document.path());
  if (worked == nullptr) return {};
  text::Diagnostics diagnostics;
  diagnostics.add_all(worked->diagnostics);
  if (worked->book) {
    plan::check_site_supplies(worked->plan, diagnostics);
    plan::check_provisions(plan::protocols_in_use(worked->plan), worked->book->site, diagnostics);
    plan::advise_assurance(worked->plan, diagnostics);
    for (const plan::Conflict& one : worked->plan.conflicts) {
      text::Diagnostic d;
      d.code = one.code;
      d.span = one.span;
      d.message = "Batch `" + one.batch + "`: " + one.message;
      if (!one.repairs.empty()) d.advice = one.repairs.front().text;
      diagnostics.add(std::move(d));
    }
  }
  std::vector<Finding> out;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    const bool here = d.span.source != nullptr &&
                      fs::path(d.span.source->name()).lexically_normal() == document.path();
    if (!here) continue;
    Finding finding = shown(d, document);
    out.push_back(std::move(finding));
  }
  return out;
}

std::vector<Finding> Workspace::findings(const fs::path& path) const {
  const SharedDocument one = document(path);
  if (one == nullptr) return {};
  switch (one->kind()) {
    case FileKind::protocol:
      return protocol_findings(*one);
    case FileKind::site:
    case FileKind::batches:
      return book_findings(*one);
    case FileKind::other:
      return {};
  }
  return {};
}

}  // namespace budwood::editor
