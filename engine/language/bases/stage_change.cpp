#include "language/bases/stage_change.hpp"

#include <algorithm>

namespace budwood::language {

namespace {

/// What a statement is about: two statements about the same take each other's place. "" for what is
/// always added.
struct Subject {
  std::string operator()(const syntax::After& one) const { return "after " + one.stage.text; }
  std::string operator()(const syntax::StartsWithin& one) const {
    return "starts within " + one.stage.text + "." + one.edge.text;
  }
  std::string operator()(const syntax::Takes&) const { return "takes"; }
  std::string operator()(const syntax::Season&) const { return "season"; }
  std::string operator()(const syntax::Gate&) const { return "until"; }
  std::string operator()(const syntax::Room&) const { return "room"; }
  std::string operator()(const syntax::Space&) const { return "space"; }
  std::string operator()(const syntax::Lasts&) const { return "lasts"; }
  std::string operator()(const syntax::Wait&) const { return "wait"; }
  std::string operator()(const syntax::Loses&) const { return "loses"; }
  std::string operator()(const syntax::Yields&) const { return "yields"; }
  std::string operator()(const syntax::Discard&) const { return "discard"; }
  std::string operator()(const syntax::Whole&) const { return "in whole"; }
  std::string operator()(const syntax::Minimum&) const { return "minimum"; }
  std::string operator()(const syntax::Setting& one) const { return "keep " + one.name.text; }
  std::string operator()(const syntax::Mist&) const { return "mist"; }
  std::string operator()(const syntax::Work& one) const { return "work " + one.title.value; }
  std::string operator()(const syntax::Requirement& one) const {
    return (one.advice ? "advise " : "require ") + one.message.text();
  }
  std::string operator()(const syntax::Conditional& one) const { return "if " + one.written.value; }
  std::string operator()(const syntax::Waive& one) const { return "waive " + one.rule.text; }
  std::string operator()(const syntax::Note&) const { return ""; }
  std::string operator()(const syntax::SourceNote&) const { return ""; }
};

std::string subject_of(const syntax::StageItem& item) {
  return std::visit(Subject(), item);
}

/// Whether a new statement takes the place of an old one.
bool replaces(const syntax::StageItem& fresh, const syntax::StageItem& old) {
  const std::string subject = subject_of(fresh);
  if (subject.empty() || subject != subject_of(old)) return false;
  const auto* setting = std::get_if<syntax::Setting>(&fresh);
  if (setting == nullptr || setting->half == syntax::Half::both) return true;
  return std::get<syntax::Setting>(old).half == setting->half;
}

/// The old statements with the new ones in the places of those that they replace; what is new at
/// the end.
std::vector<syntax::StageItem> merged(const std::vector<syntax::StageItem>& old,
                                      const std::vector<syntax::StageItem>& fresh) {
  std::vector<syntax::StageItem> out;
  std::vector<bool> placed(fresh.size(), false);
  for (const syntax::StageItem& item : old) {
    bool replaced = false;
    for (std::size_t i = 0; i < fresh.size(); ++i) {
      if (!replaces(fresh[i], item)) continue;
      replaced = true;
      if (!placed[i]) out.push_back(fresh[i]);
      placed[i] = true;
    }
    if (!replaced) out.push_back(item);
  }
  for (std::size_t i = 0; i < fresh.size(); ++i) {
    if (!placed[i]) out.push_back(fresh[i]);
  }
  return out;
}

template <typename Item>
void replace_if_given(const std::vector<Item>& fresh, std::vector<Item>& items) {
  if (!fresh.empty()) items = fresh;
}
template <typename Item>
void append(const std::vector<Item>& fresh, std::vector<Item>& items) {
  items.insert(items.end(), fresh.begin(), fresh.end());
}

/// Statements of a work that are there once are replaced, uses by their supply; the others are
/// added.
void change_work(const syntax::WorkChange& change, syntax::Work& work) {
  const syntax::Work& fresh = change.work;
  if (change.retimes) {
    std::optional<syntax::Formula> within = work.timing.within;
    work.timing = fresh.timing;
    if (!work.timing.within) work.timing.within = std::move(within);
  } else if (fresh.timing.within) {
    work.timing.within = fresh.timing.within;
  }
  replace_if_given(fresh.rates, work.rates);
  replace_if_given(fresh.durations, work.durations);
  replace_if_given(fresh.setups, work.setups);
  replace_if_given(fresh.crews, work.crews);
  replace_if_given(fresh.people, work.people);
  replace_if_given(fresh.closures, work.closures);
  std::erase_if(work.uses, [&](const syntax::Use& old) {
    return std::any_of(fresh.uses.begin(), fresh.uses.end(),
                       [&](const syntax::Use& one) { return one.supply.text == old.supply.text; });
  });
  append(fresh.uses, work.uses);
  append(fresh.tools, work.tools);
  append(fresh.tags, work.tags);
  append(fresh.cautions, work.cautions);
  append(fresh.records, work.records);
  append(fresh.notes, work.notes);
}

std::vector<std::string> work_titles(const syntax::Stage& stage) {
  std::vector<std::string> titles;
  for (const syntax::StageItem& item : stage.items) {
    if (const auto* work = std::get_if<syntax::Work>(&item)) titles.push_back(work->title.value);
  }
  return titles;
}

syntax::Work* find_work(syntax::Stage& stage, const std::string& title) {
  for (syntax::StageItem& item : stage.items) {
    auto* work = std::get_if<syntax::Work>(&item);
    if (work != nullptr && work->title.value == title) return work;
  }
  return nullptr;
}

void report_missing_work(const syntax::Stage& stage, const syntax::Text& title,
                         text::Diagnostics& diagnostics) {
  text::Diagnostic d;
  d.code = "unknown-name";
  d.span = title.span;
  d.message =
      "The stage `" + stage.name.text + "` has no work \"" + text::shortened(title.value) + "\".";
  d.advice = text::did_you_mean(title.value, work_titles(stage));
  if (d.advice.empty())
    d.advice = "Write its title as it stands in the protocol that this is based on.";
  d.related.push_back({stage.head, "The stage is here."});
  diagnostics.add(std::move(d));
}

/// Whether a statement is what a `drop` speaks of.
bool is_meant(const syntax::Drop& drop, const syntax::StageItem& item) {
  if (drop.kind == "note") {
    const auto* note = std::get_if<syntax::Note>(&item);
    return note != nullptr && note->text.value == drop.text.value;
  }
  if (drop.kind == "source") {
    const auto* source = std::get_if<syntax::SourceNote>(&item);
    return source != nullptr && source->text.value == drop.text.value;
  }
  const std::string subject = subject_of(item);
  if (drop.kind == "starts within") return subject.starts_with("starts within ");
  if (drop.kind == "may wait" || drop.kind == "no wait") return subject == "wait";
  std::string wanted = drop.kind;
  if (!drop.name.text.empty()) wanted += " " + drop.name.text;
  if (!drop.text.value.empty()) wanted += " " + drop.text.value;
  return subject == wanted;
}

}  // namespace

void drop_from(const syntax::Drop& drop, syntax::Stage& stage, text::Diagnostics& diagnostics) {
  const std::size_t dropped = std::erase_if(
      stage.items, [&](const syntax::StageItem& item) { return is_meant(drop, item); });
  if (dropped > 0) return;
  if (drop.kind == "work") {
    report_missing_work(stage, drop.text, diagnostics);
    return;
  }
  text::Diagnostic d;
  d.code = "nothing-to-drop";
  d.span = drop.span;
  d.message = "The stage `" + stage.name.text + "` has no such statement.";
  d.advice = "Take this line out, or write what is dropped as it stands in the stage.";
  d.related.push_back({stage.head, "The stage is here."});
  diagnostics.add(std::move(d));
}

void change_stage(const syntax::StageChange& change, syntax::Stage& stage,
                  text::Diagnostics& diagnostics) {
  if (change.title) stage.title = change.title;
  std::vector<syntax::StageItem> fresh;
  for (const auto& item : change.items) {
    if (const auto* statement = std::get_if<syntax::StageItem>(&item)) {
      fresh.push_back(*statement);
    } else if (const auto* work_change = std::get_if<syntax::WorkChange>(&item)) {
      syntax::Work* work = find_work(stage, work_change->work.title.value);
      if (work == nullptr) {
        report_missing_work(stage, work_change->work.title, diagnostics);
      } else {
        change_work(*work_change, *work);
      }
    } else {
      drop_from(std::get<syntax::Drop>(item), stage, diagnostics);
    }
  }
  stage.items = merged(stage.items, fresh);
}

}  // namespace budwood::language
