#include "language/check/stage_checker.hpp"

#include "language/check/stage_limits.hpp"

namespace budwood::language {

StageDay stage_day(const syntax::DayRef& ref) {
  return {ref.last, ref.day, ref.span};
}

bool only_once(Seen& seen, const Statement& statement, const text::Span& span,
               const std::string& where, text::Diagnostics& diagnostics) {
  if (!statement.once) return true;
  const auto [place, fresh] = seen.try_emplace(statement.words, span);
  if (fresh) return true;
  text::Diagnostic d;
  d.code = "duplicate-statement";
  d.span = span;
  d.message = "`" + std::string(statement.words) + "` is said already in this " + where + ".";
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

void StageChecker::check(const syntax::Stage& written, StageId index) {
  index_ = index;
  has_unread_ = written.has_unread;
  seen_.clear();
  gate_is_open_ = false;
  closures_.clear();
  areas_.clear();
  formulas_.enter_stage(index);
  for (const syntax::StageItem& one : written.items) {
    std::visit(
        [this](const auto& statement) {
          if (only_once(seen_, statement_of(statement), span_of(statement), "stage", diagnostics_))
            item(statement);
        },
        one);
  }
  formulas_.enter_stage(Node::of_batch);
  if (!seen_.contains(statement("lasts").words) && !has_unread_) {
    diagnostics_.error("no-length", written.head,
                       "The stage `" + written.name.text + "` does not say how long it lasts.",
                       "Add a line such as: lasts 4 to 7 days usually 5 days");
  }
  resolve_heat();
  resolve_gate();
  resolve_whole();
  resolve_day_length();
  resolve_closures();
  resolve_areas();
  resolve_contingencies();
  resolve_spacing();
  resolve_picks();
  resolve_order_of_work(written);
  check_limits(protocol_, stage(), diagnostics_);
}

void StageChecker::item(const syntax::After& written) {
  const auto found = scope_.find(written.stage, {Declared::Kind::stage}, "a stage", diagnostics_);
  if (!found) return;
  After after;
  after.stage = StageId(found->index);
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
  stage().room = room.name.text;
  stage().room_span = room.name.span;
}

void StageChecker::item(const syntax::Hold& hold) {
  if (seen_.contains(statement("may wait").words) || seen_.contains(statement("no wait").words)) {
    diagnostics_.error("duplicate-statement", hold.span,
                       "How long plants may wait is said already.", "Keep one of them.");
    return;
  }
  Stage& s = stage();
  s.wait_span = hold.span;
  s.wait = Stage::Wait::stated;
  s.longest_wait = formulas_.check(hold.most, a_length_of_time, "`holds`");
  if (hold.at) {
    s.held_air = formulas_.check(*hold.at, Type::temperature(), "`holds ... at`",
                                 unit_to_borrow(formulas_, {&*hold.at}));
  }
}

void StageChecker::item(const syntax::Wait& wait) {
  if (seen_.contains(statement("holds").words)) {
    diagnostics_.error("duplicate-statement", wait.span,
                       "How long plants may wait is said by `holds`.", "Keep one of them.");
    return;
  }
  if (seen_.contains(statement("may wait").words) && seen_.contains(statement("no wait").words)) {
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
  requirement.message = formulas_.message(written.message);
  requirement.stage = index_;
  requirement.span = written.span;
  if (requirement.condition != no_formula) protocol_.requirements.push_back(requirement);
}

}  // namespace budwood::language
