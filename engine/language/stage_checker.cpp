#include "language/stage_checker.hpp"

#include "language/setting_kinds.hpp"
#include "language/stage_limits.hpp"

namespace budwood::language {

namespace {

const Type a_length_of_time = Type::quantity(units::time);

}  // namespace

StageDay stage_day(const syntax::DayRef& ref) {
  return {ref.last, ref.day, ref.span};
}

bool only_once(std::map<std::string, text::Span>& seen, const std::string& keyword,
               const text::Span& span, const std::string& where, text::Diagnostics& diagnostics) {
  const auto [place, fresh] = seen.try_emplace(keyword, span);
  if (fresh) return true;
  text::Diagnostic d;
  d.code = "duplicate-statement";
  d.span = span;
  d.message = "`" + keyword + "` is said already in this " + where + ".";
  d.advice = "Keep one of them.";
  d.related.push_back({place->second, "The first is here."});
  diagnostics.add(std::move(d));
  return false;
}

std::optional<units::Unit> unit_to_borrow(FormulaChecker& formulas,
                                          std::initializer_list<const syntax::Formula*> written) {
  for (const syntax::Formula* one : written) {
    if (one != nullptr && one->kind == syntax::Formula::Kind::number && !one->unit.text.empty()) {
      return formulas.unit(one->unit);
    }
  }
  return std::nullopt;
}

void StageChecker::check(const syntax::Stage& written, std::int32_t index) {
  index_ = index;
  seen_.clear();
  formulas_.enter_stage(index);
  for (const syntax::StageItem& one : written.items) {
    std::visit([this](const auto& statement) { item(statement); }, one);
  }
  formulas_.enter_stage(Node::of_batch);
  if (!seen_.contains("lasts") && !written.has_unread) {
    diagnostics_.error("no-length", written.head,
                       "The stage `" + written.name.text + "` does not say how long it lasts.",
                       "Add a line such as: lasts 4 to 7 days usually 5 days");
  }
  resolve_heat();
  resolve_gate();
  resolve_whole();
  check_limits(protocol_, stage(), diagnostics_);
}

bool StageChecker::once(const std::string& keyword, const text::Span& span) {
  return only_once(seen_, keyword, span, "stage", diagnostics_);
}

void StageChecker::item(const syntax::After& written) {
  const auto found = scope_.find(written.stage, {Declared::Kind::stage}, "a stage", diagnostics_);
  if (!found) return;
  After after;
  after.stage = found->index;
  after.span = written.span;
  if (written.by) {
    const syntax::Formula* high = written.by->high ? &*written.by->high : nullptr;
    const auto borrowed = unit_to_borrow(formulas_, {high, &written.by->low});
    after.low = formulas_.check(written.by->low, a_length_of_time, "`after ... by`", borrowed);
    after.high = high == nullptr
                     ? after.low
                     : formulas_.check(*high, a_length_of_time, "`after ... by`", borrowed);
    if (after.low == no_formula || after.high == no_formula) return;
  }
  stage().after.push_back(after);
}

void StageChecker::item(const syntax::Room& room) {
  if (!once("room", room.name.span)) return;
  stage().room = room.name.text;
  stage().room_span = room.name.span;
}

void StageChecker::item(const syntax::Space& space) {
  if (!once("space", space.span)) return;
  const Type wanted = Type::quantity(units::count);
  syntax::Formula amount = space.amount;
  // "space 4 crates" writes the unit at the number, "space ceil(plants / 60) crates" after the
  // formula.
  syntax::UnitText noun = space.unit;
  if (noun.text.empty() && amount.kind == syntax::Formula::Kind::number) noun = amount.unit;
  if (noun.text.empty()) noun = {"plants", space.span};
  const auto unit = formulas_.unit(noun);
  if (!unit) return;
  if (unit->dimension != units::count && unit->dimension != units::area &&
      unit->dimension != units::volume) {
    diagnostics_.error("unit-mismatch", noun.span,
                       "`space` is counted (trays, crates, plants) or measured (m2, L).");
    return;
  }
  const Type expected = Type::quantity(unit->dimension);
  const FormulaId id = formulas_.check(amount);
  if (id == no_formula) return;
  const Type& type = formulas_.type_of(id);
  // What a formula counts, the unit after it says: plants divided by plants a tray are trays.
  const bool counted = !space.unit.text.empty() && alike(type, Type::quantity(units::number));
  if (!alike(type, wanted) && !alike(type, expected) && !counted) {
    diagnostics_.error("unit-mismatch", amount.span,
                       "`space` wants a count, but this is " + describe(type) + ".",
                       "Such as: space ceil(plants / 72) trays");
    return;
  }
  stage().space = id;
  stage().space_noun = unit->noun.empty() ? unit->symbol : unit->noun;
}

void StageChecker::item(const syntax::Wait& wait) {
  if (!once(wait.most ? "may wait" : "no wait", wait.span)) return;
  if (seen_.contains("may wait") && seen_.contains("no wait")) {
    diagnostics_.error("duplicate-statement", wait.span,
                       "`may wait` and `no wait` contradict each other.", "Keep one of them.");
    return;
  }
  Stage& s = stage();
  s.wait_span = wait.span;
  if (!wait.most) {
    s.wait = Stage::Wait::none;
    return;
  }
  s.wait = Stage::Wait::stated;
  s.longest_wait = formulas_.check(*wait.most, a_length_of_time, "`may wait`");
}

void StageChecker::item(const syntax::Setting& written) {
  const SettingKind* kind = find_setting_kind(written.name.text);
  if (kind == nullptr) {
    std::vector<std::string> names;
    for (const SettingKind& one : setting_kinds()) names.push_back(one.name);
    std::string advice = text::did_you_mean(written.name.text, names);
    if (advice.empty()) advice = "Known settings: " + text::list_words(names, "and") + ".";
    diagnostics_.error("unknown-setting", written.name.span,
                       "There is no setting `" + written.name.text + "`.", advice);
    return;
  }
  Setting setting;
  setting.name = kind->name;
  setting.lowest = kind->lowest;
  setting.highest = kind->highest;
  setting.unit = *units::find_unit(kind->unit);
  setting.span = written.span;
  setting.half = static_cast<Half>(written.half);
  const auto value = [&](const syntax::Formula& formula) {
    return formulas_.check(formula, kind->type, "`" + kind->name + "`");
  };
  setting.first = value(written.first);
  if (written.last) setting.last = value(*written.last);
  if (written.first.kind == syntax::Formula::Kind::number && !written.first.unit.text.empty()) {
    if (const auto unit = units::find_unit(written.first.unit.text)) setting.unit = *unit;
  }
  if (written.hours) {
    if (kind->name != "light") {
      diagnostics_.error("unit-mismatch", written.hours->span,
                         "Only `light` is given for so many hours a day.");
      return;
    }
    setting.hours = formulas_.check(*written.hours, a_length_of_time, "`for`");
  }
  if (!days(written.days, setting.from, setting.to, setting.over)) return;
  const bool taper_broken = written.last && setting.last == no_formula;
  if (setting.first == no_formula || taper_broken) return;
  stage().settings.push_back(setting);
}

void StageChecker::item(const syntax::Mist& written) {
  Mist mist;
  mist.span = written.span;
  const auto time = [&](const std::optional<syntax::Formula>& formula,
                        const std::optional<syntax::Formula>& partner) -> FormulaId {
    if (!formula) return no_formula;
    const auto borrowed = unit_to_borrow(formulas_, {partner ? &*partner : nullptr});
    return formulas_.check(*formula, a_length_of_time, "`mist`", borrowed);
  };
  mist.pulse = time(written.pulse, written.pulse_last);
  mist.pulse_last = time(written.pulse_last, written.pulse);
  mist.every = time(written.every, written.every_last);
  mist.every_last = time(written.every_last, written.every);
  mist.from_minute = written.from_minute.value_or(0);
  mist.to_minute = written.to_minute.value_or(24 * 60);
  if (mist.to_minute <= mist.from_minute) {
    diagnostics_.error("out-of-order", written.span,
                       "The mist would end before it starts: its times are upside down.");
    return;
  }
  if (written.taper && stage().mists.empty()) {
    diagnostics_.error("taper-of-nothing", written.span,
                       "This mist is tapered, but the stage has no mist before it.",
                       "Write the full mist first, such as: mist 10 s every 30 min until day 3");
    return;
  }
  if (written.taper) {
    // Pulse and hours stay as they were unless the taper says otherwise.
    const Mist& before = stage().mists.back();
    if (mist.pulse == no_formula) mist.pulse = before.pulse;
    mist.from_minute = before.from_minute;
    mist.to_minute = before.to_minute;
  }
  if (!days(written.days, mist.from, mist.to, mist.over)) return;
  if (mist.pulse == no_formula || mist.every == no_formula) return;
  stage().mists.push_back(mist);
}

bool StageChecker::days(const syntax::Days& written, StageDay& from, StageDay& to,
                        FormulaId& over) {
  if (written.from) from = stage_day(*written.from);
  if (written.to) to = stage_day(*written.to);
  if (written.over) {
    over = formulas_.check(*written.over, a_length_of_time, "`over`");
    return over != no_formula;
  }
  return in_order(from, to);
}

bool StageChecker::in_order(const StageDay& from, const StageDay& to) {
  const bool upside_down = !to.last && (from.last || from.day > to.day);
  if (upside_down) {
    diagnostics_.error("out-of-order", to.span,
                       "These days are upside down: they end before they start.",
                       "Write the earlier day first.");
  }
  return !upside_down;
}

void StageChecker::item(const syntax::Note& note) {
  stage().notes.push_back(note.text.value);
}

void StageChecker::item(const syntax::SourceNote& note) {
  stage().sources.push_back(note.text.value);
}

void StageChecker::item(const syntax::Requirement& written) {
  Requirement requirement;
  requirement.advice = written.advice;
  requirement.condition =
      formulas_.check(written.condition, Type::truth(), written.advice ? "`advise`" : "`require`");
  requirement.message = written.message.value;
  requirement.stage = index_;
  requirement.span = written.span;
  if (requirement.condition != no_formula) protocol_.requirements.push_back(requirement);
}

}  // namespace budwood::language
