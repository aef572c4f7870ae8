#include <algorithm>

#include "language/check/stage_checker.hpp"

/// Checks what stages say of numbers of plants.
namespace budwood::language {

namespace {

const Type a_share = Type::quantity(units::number);
const Type a_count = Type::quantity(units::count);

}  // namespace

void StageChecker::item(const syntax::Loses& loses) {
  stage().loses = formulas_.check(loses.share, a_share, "`loses`");
}

namespace {

syntax::Formula number_of(double value, const text::Span& span) {
  syntax::Formula out;
  out.number = value;
  out.span = span;
  return out;
}

syntax::Formula date_of(const Stage& stage, const char* edge, const text::Span& span) {
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::member;
  out.name = {stage.name, span};
  out.members = {{edge, span}};
  out.span = span;
  return out;
}

syntax::Formula made(Operation operation, syntax::Formula left, syntax::Formula right) {
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::apply;
  out.operation = operation;
  out.span = left.span;
  out.arguments = {std::move(left), std::move(right)};
  return out;
}

}  // namespace

/// 1 - (1 - own loss) * (1 - rate * (start of the next - end of this)), as somebody could write it.
void StageChecker::resolve_hold(const syntax::Stage& written, StageId id) {
  const syntax::Hold* hold = nullptr;
  const syntax::Loses* own = nullptr;
  for (const syntax::StageItem& item : written.items) {
    if (const auto* one = std::get_if<syntax::Hold>(&item)) hold = one;
    if (const auto* one = std::get_if<syntax::Loses>(&item)) own = one;
  }
  Stage& s = protocol_.stages[id];
  if (hold == nullptr || !hold->loss || s.longest_wait == no_formula) return;
  if (own != nullptr && s.loses == no_formula) return;
  std::vector<const Stage*> next;
  for (const Stage& one : protocol_.stages) {
    if (takes_from(one, id)) next.push_back(&one);
  }
  if (next.size() != 1) {
    diagnostics_.error("misplaced", hold->span,
                       next.empty() ? "No stage takes these plants, so they wait for none."
                                    : "These plants go two ways, and wait for each as long as it "
                                      "takes.",
                       next.empty() ? "Add the stage that they wait for, such as their delivery."
                                    : "Say it in the stages that take them.");
    return;
  }
  formulas_.enter_stage(id);
  FormulaId rate = formulas_.check(*hold->loss);
  if (rate != no_formula &&
      !alike(formulas_.type_of(rate), Type::quantity(units::number / units::time))) {
    diagnostics_.error("unit-mismatch", hold->loss->span,
                       "What is lost while plants are held is a share for a time, but this is " +
                           describe(formulas_.type_of(rate)) + ".",
                       "Such as: holds 6 weeks, loses 1 % per week");
    rate = no_formula;
  }
  const auto known = [&](FormulaId one) {
    return one != no_formula && protocol_.node(one).kind == Node::Kind::constant;
  };
  const bool all = known(rate) && known(s.longest_wait) &&
                   protocol_.node(rate).value * protocol_.node(s.longest_wait).value >= 1;
  if (all) {
    diagnostics_.error("out-of-range", hold->loss->span,
                       "Nothing would be left after so long a time.",
                       "Such as: holds 6 weeks, loses 1 % per week");
  } else if (rate != no_formula) {
    const text::Span& span = hold->span;
    syntax::Formula waits =
        made(Operation::subtract, date_of(*next.front(), "start", span), date_of(s, "end", span));
    syntax::Formula held = made(Operation::subtract, number_of(1, span),
                                made(Operation::multiply, *hold->loss, std::move(waits)));
    if (own != nullptr) {
      held = made(Operation::multiply, made(Operation::subtract, number_of(1, span), own->share),
                  std::move(held));
    }
    syntax::Formula loss = made(Operation::subtract, number_of(1, span), std::move(held));
    loss.span = span;
    s.loses = formulas_.check(loss, a_share, "`holds`");
  }
  formulas_.enter_stage(Node::of_batch);
}

void StageChecker::item(const syntax::Takes& takes) {
  const auto found = scope_.find(takes.stage, {Declared::Kind::stage}, "a stage", diagnostics_);
  if (!found) return;
  stage().taken_from = StageId(found->index);
  stage().takes_span = takes.span;
}

void StageChecker::item(const syntax::Yields& yields) {
  stage().yields_span = yields.span;
  const FormulaId id = formulas_.check(yields.number);
  if (id == no_formula) return;
  // "3.5 per plant", "4 cuttings per plant" and "3.5" all say the same.
  const Type& type = formulas_.type_of(id);
  const bool number =
      type.kind == Type::Kind::quantity &&
      (type.dimension == units::number || type.dimension == units::number / units::count);
  if (!number) {
    diagnostics_.error(
        "unit-mismatch", yields.number.span,
        "`yields` wants a number for each plant, but this is " + describe(type) + ".",
        "Such as: yields 3.5 per plant");
    return;
  }
  stage().yields = id;
}

void StageChecker::item(const syntax::Discard& discard) {
  if (discard.what.text != "surplus") {
    diagnostics_.error("unknown-name", discard.what.span,
                       "Only the surplus can be discarded: what is more than the next stage needs.",
                       "Write it like: discard surplus. For a share use `loses`.");
    return;
  }
  stage().discards_surplus = true;
}

void StageChecker::item(const syntax::Whole& whole) {
  const auto found = scope_.find(whole.supply, {Declared::Kind::supply}, "a supply", diagnostics_);
  if (!found) return;
  stage().whole_supply = SupplyId(found->index);
  stage().whole_span = whole.span;
}

void StageChecker::item(const syntax::Minimum& minimum) {
  stage().minimum_span = minimum.span;
  stage().minimum = formulas_.check(minimum.plants, a_count, "`minimum`");
}

/// How many plants go into one tray is said where the stage uses it.
void StageChecker::resolve_whole() {
  Stage& s = stage();
  if (!s.whole_supply.known()) return;
  const Supply& supply = protocol_.supplies[s.whole_supply];
  for (const Work& work : s.works) {
    for (const Use& use : work.uses) {
      if (use.supply == s.whole_supply && use.share.per != no_formula && !use.share.load) {
        s.whole = use.share.per;
      }
    }
  }
  if (s.whole != no_formula) return;
  diagnostics_.error(
      "no-such-use", s.whole_span,
      "No work of this stage says how many plants go into one `" + supply.name + "`.",
      "Add a line to its work such as: use 1 " + supply.name + " per 72");
}

}  // namespace budwood::language
