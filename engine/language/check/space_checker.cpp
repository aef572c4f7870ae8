#include <algorithm>
#include <utility>

#include "language/check/stage_checker.hpp"
#include "language/limits.hpp"
#include "language/one_line.hpp"

/// Checks what a stage takes up, from day to day, and the work that follows from it.
namespace budwood::language {

namespace {

constexpr const char* spacing_tag = "spacing";

bool is_spacing(const Work& work) {
  return std::find(work.tags.begin(), work.tags.end(), spacing_tag) != work.tags.end();
}

/// As it is written, without its days.
std::string written_amount(const syntax::SpaceLevel& level) {
  text::Span span = level.amount.whole;
  if (level.across) span.end = level.across->whole.end;
  if (!level.unit.text.empty()) span.end = level.unit.span.end;
  return on_one_line(text::text_of(span));
}

bool counts_by_area(const Type& type) {
  return alike(type, Type::quantity(units::count / units::area)) ||
         alike(type, Type::quantity(units::number / units::area));
}

}  // namespace

void StageChecker::item(const syntax::Space& written) {
  std::vector<Space>& space = stage().space;
  for (const syntax::SpaceLevel& one : written.levels) {
    auto found = level(one);
    if (!found) {
      space.clear();
      has_unread_ = true;
      return;
    }
    found->written = written_amount(one);
    found->span = one.span;
    space.push_back(std::move(*found));
  }
  if (put_days(written)) return;
  space.clear();
  has_unread_ = true;
}

std::optional<Space> StageChecker::level(const syntax::SpaceLevel& written) {
  if (written.across) return each(written);
  // "space 4 tray_72" has the name at the number, "space ceil(plants / 72) tray_72" behind all.
  const syntax::Formula& amount = written.amount;
  const bool at_number = amount.kind == syntax::Formula::Kind::number && !amount.unit.text.empty();
  if (at_number && scope_.use_if_declared(amount.unit.text, Declared::Kind::supply)) {
    syntax::SpaceLevel apart = written;
    apart.unit = std::exchange(apart.amount.unit, {});
    return of_supply(apart);
  }
  const bool bare = written.amount.kind == syntax::Formula::Kind::name && written.unit.text.empty();
  const std::string& name = written.amount.name.text;
  // `space plants` is a formula: so many as stand here.
  const bool may_name_supply = bare && name != "plants" && scope_.peek(name) == nullptr;
  const bool names_supply =
      bare ? may_name_supply && scope_.use_if_declared(name, Declared::Kind::supply)
           : scope_.use_if_declared(written.unit.text, Declared::Kind::supply).has_value();
  if (may_name_supply && !names_supply) {
    using Kind = Declared::Kind;
    scope_.find(written.amount.name, {Kind::supply, Kind::input, Kind::let},
                "a supply, input or `let`", diagnostics_);
    return std::nullopt;
  }
  return names_supply ? of_supply(written) : counted(written);
}

/// `15 cm by 15 cm`: what lies between plants that stand in rows, for each of them.
std::optional<Space> StageChecker::each(const syntax::SpaceLevel& written) {
  syntax::Formula product;
  product.kind = syntax::Formula::Kind::apply;
  product.operation = Operation::multiply;
  product.span = product.whole = written.span;
  product.arguments = {written.amount, *written.across};
  for (const syntax::Formula& side : product.arguments) {
    const FormulaId id = formulas_.check(side, Type::quantity(units::length), "`space ... by`");
    if (id == no_formula) return std::nullopt;
  }
  if (!written.unit.text.empty()) {
    diagnostics_.error("unit-mismatch", written.unit.span,
                       "A length by a width is what each plant takes up; nothing else is counted.",
                       "Such as: space 15 cm by 15 cm from day 21");
    return std::nullopt;
  }
  Space out;
  out.kind = Space::Kind::each;
  out.noun = "m2";
  out.amount = formulas_.check(product);
  return out.amount == no_formula ? std::nullopt : std::optional(std::move(out));
}

/// `tray_72`, as many as are used; or `ceil(plants / 72) tray_72`.
std::optional<Space> StageChecker::of_supply(const syntax::SpaceLevel& written) {
  const bool bare = written.unit.text.empty();
  const std::string& name = bare ? written.amount.name.text : written.unit.text;
  Space out;
  out.supply = SupplyId(scope_.use_if_declared(name, Declared::Kind::supply)->index);
  const Supply& supply = protocol_.supplies[out.supply];
  if (supply.unit.dimension != units::count) {
    diagnostics_.error("unit-mismatch", bare ? written.amount.span : written.unit.span,
                       "`" + name + "` is measured in " + supply.unit.symbol +
                           ", not counted, so nothing stands in it.",
                       "Such as: space ceil(plants / 72) trays");
    return std::nullopt;
  }
  out.noun = supply.unit.noun;
  if (bare) {
    out.kind = Space::Kind::used;
    return out;
  }
  out.amount = formulas_.check(written.amount);
  if (out.amount == no_formula) return std::nullopt;
  const Type& type = formulas_.type_of(out.amount);
  if (alike(type, Type::quantity(units::count)) || alike(type, Type::quantity(units::number))) {
    return out;
  }
  diagnostics_.error("unit-mismatch", written.amount.span,
                     "`space` wants a count, but this is " + describe(type) + ".",
                     "Such as: space ceil(plants / 72) " + name);
  return std::nullopt;
}

std::optional<Space> StageChecker::counted(const syntax::SpaceLevel& written) {
  const Type wanted = Type::quantity(units::count);
  syntax::Formula amount = written.amount;
  // "space 4 crates" writes the unit at the number, "space ceil(plants / 60) crates" after the
  // formula, "space plants * 0.02 m2" within it.
  Space out;
  out.amount = formulas_.check(amount);
  if (out.amount == no_formula) return std::nullopt;
  const Type& type = formulas_.type_of(out.amount);
  syntax::UnitText noun = written.unit;
  if (noun.text.empty() && counts_by_area(type)) {
    out.kind = Space::Kind::density;
    out.noun = "m2";
    return out;
  }
  for (const char* measured : {"m2", "L"}) {
    const Type all = Type::quantity(units::find_unit(measured)->dimension);
    const Type one = Type::quantity(units::find_unit(measured)->dimension * units::count);
    if (noun.text.empty() && amount.kind != syntax::Formula::Kind::number &&
        (alike(type, all) || alike(type, one))) {
      out.noun = measured;
      return out;
    }
  }
  if (noun.text.empty() && amount.kind == syntax::Formula::Kind::number) noun = amount.unit;
  if (noun.text.empty()) noun = {"plants", written.span};
  const auto unit = formulas_.unit(noun);
  if (!unit) return std::nullopt;
  if (unit->dimension != units::count && unit->dimension != units::area &&
      unit->dimension != units::volume) {
    diagnostics_.error("unit-mismatch", noun.span,
                       "`space` is counted (trays, crates, plants) or measured (m2, L).");
    return std::nullopt;
  }
  const Type expected = Type::quantity(unit->dimension);
  // What a formula counts, the unit after it says: plants divided by plants a tray are trays.
  const bool counted = !written.unit.text.empty() && alike(type, Type::quantity(units::number));
  if (!alike(type, wanted) && !alike(type, expected) && !counted) {
    diagnostics_.error("unit-mismatch", amount.span,
                       "`space` wants a count, but this is " + describe(type) + ".",
                       "Such as: space ceil(plants / 72) trays");
    return std::nullopt;
  }
  out.noun = unit->noun.empty() ? unit->symbol : unit->noun;
  return out;
}

/// Puts down from which day on each holds; what follows one that has an end begins behind it.
bool StageChecker::put_days(const syntax::Space& written) {
  std::vector<Space>& space = stage().space;
  const std::string form = "Such as: space 60 plants per m2 from day 1, 25 per m2 from day 21";
  const auto refuse = [&](const text::Span& span, const std::string& message) {
    diagnostics_.error("space-days", span, message, form);
    return false;
  };
  int next = 1;  // the day on which the next one has to begin; 0: on a later day that it names
  int before = 0;
  for (std::size_t i = 0; i < space.size(); ++i) {
    const syntax::Days& days = written.levels[i].days;
    const bool on_one = days.from && days.to && days.from->span.begin == days.to->span.begin;
    if (days.over || on_one || (days.from && days.from->last)) {
      return refuse(days.span, "Space is told from a day on, or until one.");
    }
    if (!days.from && next == 0) {
      return refuse(written.levels[i].span, "From which day on is this so?");
    }
    const int from = days.from ? days.from->day : next;
    if (from <= before) {
      diagnostics_.error("out-of-order", days.from ? days.from->span : written.levels[i].span,
                         "This begins before what stands in front of it.",
                         "Write them in the order of their days.");
      return false;
    }
    if (next != 0 && from != next) {
      return refuse(days.from->span, "Nothing is said of day " + std::to_string(next) +
                                         (from - next == 1 ? "." : " and the days after it."));
    }
    const bool is_last = i + 1 == space.size();
    if (days.to && (days.to->last || is_last) && !(days.to->last && is_last)) {
      return refuse(days.to->span, "What stands last goes on to the last day of the stage.");
    }
    if (days.to && !is_last && days.to->day < from) {
      return refuse(days.to->span, "This ends before it begins.");
    }
    space[i].from = from;
    before = from;
    next = days.to ? days.to->day + 1 : 0;
  }
  return true;
}

FormulaId StageChecker::usual_rate(double an_hour, const text::Span& span) {
  const auto id = static_cast<FormulaId>(protocol_.nodes.size());
  Node& rate = protocol_.nodes.emplace_back();
  rate.value = an_hour / units::seconds_an_hour;
  rate.type = Type::quantity(units::number / units::time);
  rate.written = Node::Written::formula;
  rate.span = span;
  return id;
}

/// Where plants are spaced and no work of the protocol does it, an order follows of itself.
void StageChecker::resolve_spacing() {
  Stage& s = stage();
  for (std::size_t i = 1; i < s.space.size(); ++i) {
    const Space& space = s.space[i];
    const bool own = std::any_of(s.works.begin(), s.works.end(), [&](const Work& work) {
      return is_spacing(work) && may_be_due_on(work, space.from);
    });
    if (own) continue;
    Work work;
    work.title = "Space to " + space.written;
    work.spaces = static_cast<int>(i);
    work.timing.kind = Timing::Kind::days;
    work.timing.days = {StageDay{false, space.from, space.span}};
    work.timing.within = limits::latest_spacing;
    work.timing.span = space.span;
    work.rate = usual_rate(limits::usual_spacing_rate, space.span);
    work.tags = {spacing_tag};
    work.span = space.span;
    s.works.push_back(std::move(work));
  }
}

/// What is said for an area needs one, and the same one whenever it falls due.
void StageChecker::resolve_areas() {
  if (areas_.empty() || has_unread_) return;
  const Stage& s = stage();
  const bool known =
      !s.space.empty() && std::all_of(s.space.begin(), s.space.end(), [&](const Space& one) {
        return area_factor(protocol_, one).has_value();
      });
  if (!known) {
    for (const text::Span& span : areas_) {
      diagnostics_.error("no-such-use", span, "The stage does not say how many m2 it takes up.",
                         "Add a line such as: space plants * 0.02 m2");
    }
    return;
  }
  for (const Work& work : s.works) resolve_area(work);
  for (const Contingency& one : s.contingencies) {
    for (const Contingency::Action& action : one.actions) resolve_area(action.work);
  }
}

void StageChecker::resolve_area(const Work& work) {
  const bool asks =
      work.time_share.area || std::any_of(work.uses.begin(), work.uses.end(),
                                          [](const Use& use) { return use.share.area; });
  const auto [first, last] = days_of(work);
  if (!asks || space_on(stage(), first) == space_on(stage(), last)) return;
  const Space& other = stage().space[space_on(stage(), first) + 1];
  text::Diagnostic d;
  d.severity = text::Severity::error;
  d.code = "space-days";
  d.span = work.span;
  d.message = "This goes by the m2 of the stage, which change while it is due.";
  d.advice = "Write it once up to day " + std::to_string(other.from - 1) + " and once from day " +
             std::to_string(other.from) + ".";
  d.related.push_back({other.span, "From here on they are others."});
  diagnostics_.add(std::move(d));
}

}  // namespace budwood::language
