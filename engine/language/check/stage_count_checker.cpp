#include <algorithm>

#include "language/check/stage_checker.hpp"
#include "language/limits.hpp"
#include "language/one_line.hpp"

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

constexpr const char* picking_tag = "picking";

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

void StageChecker::item(const syntax::Picks& written) {
  Stage& s = stage();
  for (const syntax::Pick& one : written.picks) {
    Picking pick;
    pick.share = formulas_.check(one.share, a_share, "`picks`");
    if (pick.share == no_formula) {
      s.picks.clear();
      has_unread_ = true;
      return;
    }
    pick.day = stage_day(one.day);
    pick.written = on_one_line(text::text_of(one.share.whole));
    pick.span = one.span;
    const bool in_order =
        s.picks.empty() ||
        (!s.picks.back().day.last && (pick.day.last || pick.day.day > s.picks.back().day.day));
    if (!in_order) {
      diagnostics_.error(
          "out-of-order", pick.day.span, "This picking is not after the one in front of it.",
          "Write them in the order of their days: picks 60 % on day 42, 30 % on last day");
      s.picks.clear();
      has_unread_ = true;
      return;
    }
    s.picks.push_back(std::move(pick));
  }
}

std::optional<Grade::Way> StageChecker::way_of(const syntax::Grade& written) {
  if (!written.way) return Grade::Way::goes_on;
  for (const Grade::Way way : {Grade::Way::sold, Grade::Way::thrown_out}) {
    if (written.way->value == word(way)) return way;
  }
  diagnostics_.error("unknown-name", written.way->span,
                     "A grade is `sold` or `thrown out`; without a word it goes on.",
                     "Such as: grades first 70 %, second 20 % sold, weak 10 % thrown out");
  return std::nullopt;
}

void StageChecker::item(const syntax::Grades& written) {
  Stage& s = stage();
  for (const syntax::Grade& one : written.grades) {
    Grade grade;
    grade.name = one.name.text;
    grade.share = formulas_.check(one.share, a_share, "`grades`");
    const auto way = way_of(one);
    if (grade.share == no_formula || !way) {
      s.grades.clear();
      has_unread_ = true;
      return;
    }
    grade.way = *way;
    grade.span = one.span;
    const bool twice = std::any_of(s.grades.begin(), s.grades.end(),
                                   [&](const Grade& other) { return other.name == grade.name; });
    if (twice) {
      diagnostics_.error("duplicate-name", one.name.span,
                         "There is a grade `" + grade.name + "` in this stage already.",
                         "Give it a name of its own.");
      continue;
    }
    s.grades.push_back(std::move(grade));
  }
  const bool none = std::none_of(s.grades.begin(), s.grades.end(),
                                 [](const Grade& one) { return one.way == Grade::Way::goes_on; });
  if (none) {
    diagnostics_.error("no-way-on", written.span, "No plant goes on from here.",
                       "One grade at least stands without `sold` and `thrown out`.");
  }
}

/// Each picking is a work, of the protocol or one that follows of itself, and makes room.
void StageChecker::resolve_picks() {
  Stage& s = stage();
  if (s.picks.empty() && !s.grades.empty()) {
    const text::Span& span = s.grades.front().span;
    s.picks.push_back({no_formula, {true, 1, span}, "", span});
  }
  for (std::size_t i = 0; i < s.picks.size(); ++i) resolve_picking(static_cast<int>(i) + 1);
  for (const Work& work : s.works) {
    if (!has_tag(work, picking_tag) || work.picks > 0 || has_unread_) continue;
    diagnostics_.error("pick-work", work.span,
                       s.picks.empty() ? "This stage does not say what is picked."
                                       : "No plants are picked on the day of this work.",
                       s.picks.empty()
                           ? "Add a line such as: picks 60 % on day 42, 30 % on last day"
                           : "Give it the day of a picking.");
  }
  for (std::size_t i = 0; i < s.picks.size(); ++i) space_after_picking(static_cast<int>(i) + 1);
}

void StageChecker::resolve_picking(int number) {
  Stage& s = stage();
  const Picking pick = s.picks[static_cast<std::size_t>(number) - 1];
  for (Work& own : s.works) {
    const bool tagged = has_tag(own, picking_tag) || (!s.grades.empty() && has_tag(own, "grading"));
    const auto& days = own.timing.days;
    const bool on_day = std::any_of(days.begin(), days.end(), [&](const StageDay& day) {
      return pick.day.last ? day.last : !day.last && day.day == pick.day.day;
    });
    if (!tagged || !on_day || own.timing.kind != Timing::Kind::days || own.timing.any_day) continue;
    if (days.size() > 1) {
      diagnostics_.error("pick-work", own.span, "This work is for several pickings, which differ.",
                         "Write it once for each of them, each on its day.");
    }
    own.picks = number;
    own.timing.comes = true;
    return;
  }
  Work work;
  const std::string of =
      s.picks.size() == 1 ? ""
                          : ", " + std::to_string(number) + " of " + std::to_string(s.picks.size());
  const bool number_of_its_own =
      pick.share != no_formula && protocol_.node(pick.share).kind == Node::Kind::constant;
  work.title = pick.share == no_formula ? "Grade"
               : number_of_its_own      ? "Pick " + pick.written + of
                                        : "Pick" + of;
  if (pick.share != no_formula && !s.grades.empty()) work.title += ", and grade";
  work.picks = number;
  work.timing.kind = Timing::Kind::days;
  work.timing.days = {pick.day};
  work.timing.comes = true;
  work.timing.within = pick.day.last ? 0 : limits::latest_picking;
  work.timing.span = pick.span;
  work.rate = usual_rate(limits::usual_picking_rate, pick.span);
  work.tags = {pick.share == no_formula ? "grading" : picking_tag};
  work.span = pick.span;
  s.works.push_back(std::move(work));
}

/// From the day after a picking on less is taken up.
void StageChecker::space_after_picking(int number) {
  Stage& s = stage();
  const Picking& pick = s.picks[static_cast<std::size_t>(number) - 1];
  if (s.space.empty() || pick.day.last) return;
  const int from = pick.day.day + 1;
  const std::size_t at = space_on(s, from);
  if (s.space[at].from != from) {
    Space less = s.space[at];
    less.from = from;
    less.by_picking = true;
    s.space.insert(s.space.begin() + static_cast<std::ptrdiff_t>(at) + 1, std::move(less));
    for (Work& work : s.works) {
      if (work.spaces > static_cast<int>(at)) ++work.spaces;
    }
  }
  for (Space& one : s.space) {
    if (one.from >= from) one.picked = number;
  }
}

/// What is picked is ready, so no stage can wait for it.
void StageChecker::check_picks(StageId id) {
  const Stage& s = protocol_.stages[id];
  if (!picks_in_portions(s)) return;
  const auto taker = std::find_if(protocol_.stages.begin(), protocol_.stages.end(),
                                  [&](const Stage& one) { return takes_from(one, id); });
  const text::Span& span = s.picks.front().span;
  if (taker != protocol_.stages.end()) {
    diagnostics_.error(
        "misplaced", span,
        "Plants that are picked are ready, but `" + taker->name +
            "` takes the plants of this stage.",
        "Pick in the last stage of what is raised. Where plants go two ways, `takes` "
        "leads some of them on.");
  } else if (s.yields != no_formula || s.discards_surplus) {
    diagnostics_.error("misplaced", span,
                       std::string("A stage with pickings has no `") +
                           (s.discards_surplus ? "discard surplus" : "yields") + "`.",
                       "Say it in a stage before.");
  }
}

}  // namespace budwood::language
