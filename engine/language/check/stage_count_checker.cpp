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
