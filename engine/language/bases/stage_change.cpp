#include "language/bases/stage_change.hpp"

#include <algorithm>
#include <limits>

#include "language/tree/statement_parts.hpp"

namespace budwood::language {

namespace {

/// Whether a new statement takes the place of an old one: both are about the same.
template <typename Item>
bool replaces(const Item& fresh, const Item& old) {
  return fresh.index() == old.index() && !adds(fresh) && subject_of(fresh) == subject_of(old);
}

/// The days of a stage on which a setting holds, both included; the last day is beyond all others.
struct DaySpan {
  int from = 1;
  int to = last_of_all;
  static constexpr int last_of_all = std::numeric_limits<int>::max() - 1;

  explicit DaySpan(const syntax::Days& days) {
    const auto number = [](const syntax::DayRef& day) { return day.last ? last_of_all : day.day; };
    if (days.from) from = number(*days.from);
    if (days.to) to = number(*days.to);
  }
};

/// A setting by day or by night leaves that of the other half.
bool same_setting(const syntax::StageItem& fresh, const syntax::StageItem& old) {
  const auto* setting = std::get_if<syntax::Setting>(&fresh);
  if (setting == nullptr || !replaces(fresh, old)) return false;
  return setting->half == syntax::Half::both ||
         std::get<syntax::Setting>(old).half == setting->half;
}

bool overlap(const syntax::StageItem& one, const syntax::StageItem& other) {
  const DaySpan a(std::get<syntax::Setting>(one).days);
  const DaySpan b(std::get<syntax::Setting>(other).days);
  return a.from <= b.to && b.from <= a.to;
}

/// Whether the new statements say something of an old setting on all its days.
bool covered(const std::vector<syntax::StageItem>& fresh, const syntax::StageItem& old) {
  std::vector<DaySpan> spans;
  for (const syntax::StageItem& item : fresh) {
    if (same_setting(item, old)) spans.emplace_back(std::get<syntax::Setting>(item).days);
  }
  std::sort(spans.begin(), spans.end(),
            [](const DaySpan& a, const DaySpan& b) { return a.from < b.from; });
  const DaySpan wanted(std::get<syntax::Setting>(old).days);
  int next = wanted.from;
  for (const DaySpan& one : spans) {
    if (one.from <= next) next = std::max(next, one.to + 1);
  }
  return next > wanted.to;
}

/// A setting that the new statements do not cover stays on its other days. What is new of it then
/// comes behind it, as the later statement counts.
class Settings {
 public:
  Settings(const std::vector<syntax::StageItem>& old, const std::vector<syntax::StageItem>& fresh)
      : fresh_(fresh), behind_(fresh.size(), false) {
    for (const syntax::StageItem& item : old) {
      const bool stays = std::holds_alternative<syntax::Setting>(item) && !covered(fresh, item);
      for (std::size_t i = 0; i < fresh.size() && stays; ++i) {
        if (same_setting(fresh[i], item) && overlap(fresh[i], item)) behind_[i] = true;
      }
    }
  }

  bool goes_behind(std::size_t i) const { return behind_[i]; }
  bool replaced_by(std::size_t i, const syntax::StageItem& old) const {
    if (!std::holds_alternative<syntax::Setting>(old)) return replaces(fresh_[i], old);
    return same_setting(fresh_[i], old) && covered(fresh_, old);
  }

 private:
  const std::vector<syntax::StageItem>& fresh_;
  std::vector<bool> behind_;
};

/// The old statements with the new ones in the places of those that they replace; what is new at
/// the end.
std::vector<syntax::StageItem> merged(const std::vector<syntax::StageItem>& old,
                                      const std::vector<syntax::StageItem>& fresh) {
  std::vector<syntax::StageItem> out;
  std::vector<bool> placed(fresh.size(), false);
  const Settings settings(old, fresh);
  for (const syntax::StageItem& item : old) {
    bool replaced = false;
    for (std::size_t i = 0; i < fresh.size(); ++i) {
      if (!settings.replaced_by(i, item)) continue;
      replaced = true;
      if (placed[i] || settings.goes_behind(i)) continue;
      out.push_back(fresh[i]);
      placed[i] = true;
    }
    if (!replaced) out.push_back(item);
  }
  for (std::size_t i = 0; i < fresh.size(); ++i) {
    if (!placed[i]) out.push_back(fresh[i]);
  }
  return out;
}

/// What is said of the hour takes the place of the hour, what is said of the order that of the
/// order.
void change_hours(const syntax::Hours& fresh, syntax::Hours& hours) {
  if (fresh.minute || fresh.part) {
    hours.minute = fresh.minute;
    hours.part = fresh.part;
  }
  if (!fresh.after.empty()) hours.after = fresh.after;
  hours.first = hours.first || fresh.first;
  hours.overnight = hours.overnight || fresh.overnight;
  if (fresh.span.source != nullptr) hours.span = fresh.span;
}

/// Statements of a work that are there once are replaced, uses by their supply; the others are
/// added.
void change_work(const syntax::WorkChange& change, syntax::Work& work) {
  const syntax::Work& fresh = change.work;
  if (change.retimes) {
    std::optional<syntax::Formula> within = work.timing.within;
    syntax::Hours hours = work.timing.hours;
    work.timing = fresh.timing;
    work.timing.hours = std::move(hours);
    const bool any_day = fresh.timing.kind == syntax::Timing::Kind::between;
    if (!work.timing.within && !any_day) work.timing.within = std::move(within);
  } else if (fresh.timing.within) {
    work.timing.within = fresh.timing.within;
  }
  change_hours(fresh.timing.hours, work.timing.hours);
  std::erase_if(work.items, [&](const syntax::WorkItem& old) {
    return std::any_of(fresh.items.begin(), fresh.items.end(),
                       [&](const syntax::WorkItem& one) { return replaces(one, old); });
  });
  work.items.insert(work.items.end(), fresh.items.begin(), fresh.items.end());
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
