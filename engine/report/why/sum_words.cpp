#include "report/why/sum_words.hpp"

#include <algorithm>
#include <cmath>

#include "report/formats/wording.hpp"
#include "report/why/formula_words.hpp"
#include "sheet/counts/prospects.hpp"
#include "units/rounding.hpp"
#include "units/units.hpp"

namespace budwood::report {

namespace {

using Kind = CellRole::Kind;
using language::StageId;
using sheet::CellId;
using sheet::no_cell;

std::string number(double value) {
  return units::format_number(value);
}

std::string percent(double share) {
  return units::format(share, *units::find_unit("%"), 4);
}

/// ", rounded up from 701.3"; "" where nothing was rounded.
std::string rounded_from(double exact, double value) {
  if (std::isnan(exact) || std::abs(exact - value) <= units::slack(exact, 1)) return {};
  return ", rounded up from " + number(exact);
}

class Sum {
 public:
  Sum(const Asked& asked, CellId cell)
      : asked_(asked), t_(asked.t), p_(t_.protocol), cell_(cell), role_(asked.roles[cell]) {}

  std::string text() const {
    switch (role_.kind) {
      case Kind::plants:
        return starts_chain() ? start() : rounded_left();
      case Kind::left:
        return left();
      case Kind::needed:
        return needed();
      case Kind::survival:
        return cells().loss == no_cell ? "nothing is lost" : "1 - " + asked_.value(cells().loss);
      case Kind::kept:
        return kept();
      case Kind::picked:
        return picked();
      case Kind::handled:
        return "what is picked" +
               rounded_from(asked_.number(cells().picked[role_.use]), asked_.number(cell_));
      case Kind::grade:
        return grade();
      case Kind::days:
        return "from " + asked_.value(cells().start) + " to " + asked_.value(cells().end);
      case Kind::length:
        return length();
      case Kind::hours:
        return hours();
      case Kind::all_hours:
        return all_hours();
      case Kind::work_time:
        return work_time();
      case Kind::times:
        return times();
      case Kind::amount:
        return amount();
      case Kind::other:
      case Kind::loss:
      case Kind::good:
      case Kind::seen:
      case Kind::batches:
      case Kind::likeness:
        break;
    }
    return {};
  }

 private:
  const sheet::StageCells& cells() const { return t_.stages[role_.stage]; }
  const sheet::Chain& chain() const { return t_.chains[role_.chain]; }
  bool starts_chain() const { return chain().stages.front() == role_.stage; }
  const language::Stage& stage() const { return p_.stages[role_.stage]; }
  const language::Work& work() const { return stage().works[role_.work]; }
  const sheet::WorkCells& work_cells() const { return cells().works[role_.work]; }
  std::string plants() const { return counted_plants(asked_.number(cells().plants)); }
  /// What a work is about: of a picking what it picks.
  std::string plants_of(language::WorkId id) const {
    const int picks = stage().works[id].picks;
    if (picks == 0) return plants();
    return counted_plants(asked_.number(cells().handled[static_cast<std::size_t>(picks) - 1]));
  }
  static std::string counted_plants(double plants) {
    return number(plants) + (plants == 1 ? " plant" : " plants");
  }

  /// The shares that come through a chain, as a product; their number.
  std::string shares(double& product, std::size_t& count) const {
    std::string out;
    for (const StageId s : chain().stages) {
      const sheet::StageCells& one = t_.stages[s];
      for (const CellId share : {one.loss == no_cell ? no_cell : one.survival, one.kept}) {
        if (share == no_cell) continue;
        out += (count++ == 0 ? "" : " x ") + number(asked_.number(share));
        product *= asked_.number(share);
      }
    }
    return out;
  }

  /// How many a chain starts with.
  std::string start() const {
    double product = 1;
    std::size_t count = 0;
    const std::string factors = shares(product, count);
    const double wanted = asked_.number(chain().needed);
    const double sure = asked_.number(t_.sure);
    std::string out = number(wanted);
    if (count > 0 && sure > 0) {
      out = assured(factors, wanted, sure, product);
    } else if (count > 0) {
      out += " / " + (count > 1 ? "(" + factors + ")" : factors);
      out += rounded_from(wanted / product, units::round_up(wanted / product));
    } else {
      out += ", nothing is lost on the way";
    }
    if (stage().minimum != language::no_formula) {
      out += "; at least " + valued_formula(asked_, stage().minimum);
    }
    if (stage().whole != language::no_formula) {
      out += "; made up to whole " + p_.supplies[stage().whole_supply].unit.symbol + " of " +
             valued_formula(asked_, stage().whole);
    }
    const language::Use* tray = language::tray_of(p_, stage());
    if (tray != nullptr && asked_.number(t_.full_trays) > 0) {
      out += "; made up to full " + p_.supplies[tray->supply].unit.symbol + " of " +
             valued_formula(asked_, tray->share.per);
    }
    return out;
  }

  /// The count behind one of the shares of the chain, if any.
  std::string evidence() const {
    std::string out;
    for (const StageId s : chain().stages) {
      const sheet::Evidence& one = t_.stages[s].evidence;
      if (one.seen == no_cell || !(asked_.number(one.seen) > 0)) continue;
      out += (out.empty() ? "" : " and ") + number(asked_.number(one.good)) + " of " +
             number(asked_.number(one.seen));
      if (const double batches = asked_.number(one.batches); batches > 0) {
        out += " in " + counted_batches(batches);
      }
    }
    return out;
  }

  /// How far batches differ in what comes through a stage of the chain, if any do.
  std::string spreads() const {
    std::string out;
    for (const StageId s : chain().stages) {
      const sheet::Evidence& one = t_.stages[s].evidence;
      if (one.likeness == no_cell || !(asked_.number(one.likeness) > 0)) continue;
      const double share = asked_.number(t_.stages[s].survival);
      out += (out.empty() ? "" : " and ") +
             percent(language::spread_of(share, asked_.number(one.likeness)));
    }
    return out;
  }

  std::string assured(const std::string& factors, double wanted, double sure,
                      double product) const {
    const auto chains = std::count_if(t_.chains.begin(), t_.chains.end(),
                                      [&](const sheet::Chain& one) { return loses(t_, one); });
    const std::string seen = evidence();
    std::string out = "the smallest number of which " + number(wanted) + " come through " +
                      factors + " with a chance of " + percent(asked_.number(chain().sure));
    if (chains > 1) {
      out += ", so that " + std::to_string(chains) + " chains together are sure to " +
             percent(sure) + " with what each brings beyond its need";
    }
    const std::string spread = spreads();
    std::string why = seen.empty() ? "" : seen + " were seen";
    if (!spread.empty()) {
      why += (why.empty() ? "" : " and ") + ("batches differ by " + spread);
    }
    out +=
        why.empty() ? " (binomial distribution)" : " (beta-binomial distribution, as " + why + ")";
    return out + "; " + number(units::round_up(wanted / product)) + " would do on average";
  }

  /// The whole plants at the start of a stage in the middle of a chain.
  std::string rounded_left() const {
    const StageId before = stage().takes.front();
    const CellId left = t_.stages[before].left;
    return "what is left of " + asked_.stage(before) +
           rounded_from(asked_.number(left), asked_.number(cell_));
  }

  std::string kept() const {
    const auto sum = [&](const std::vector<CellId>& shares, const auto& counts) {
      std::string out;
      for (std::size_t i = 0; i < shares.size(); ++i) {
        if (!counts(i)) continue;
        out += (out.empty() ? "" : " + ") + asked_.value(shares[i]);
      }
      return out.find('+') == std::string::npos ? out : "(" + out + ")";
    };
    std::string out = sum(cells().pick_shares, [](std::size_t) { return true; });
    const std::string grades = sum(cells().grade_shares, [&](std::size_t i) {
      return stage().grades[i].way == language::Grade::Way::goes_on;
    });
    if (!out.empty() && !grades.empty()) out += " x ";
    return out + grades;
  }

  /// Where a stage has its plants from: those at its start, or what is left of the one before.
  double from_before() const {
    return asked_.number(starts_chain() ? cells().plants : t_.stages[stage().takes.front()].left);
  }

  std::string picked() const {
    std::string out = number(from_before());
    double behind = 0;
    for (std::size_t i = 0; i < role_.use; ++i) {
      out += " - " + number(asked_.number(cells().picked[i]));
      behind += asked_.number(cells().pick_shares[i]);
    }
    if (role_.use > 0) out = "(" + out + ")";
    if (cells().loss != no_cell) out += " x " + number(asked_.number(cells().survival));
    if (cells().pick_shares.empty())
      return out + (cells().loss == no_cell ? ", nothing is lost" : "");
    out += " x " + asked_.value(cells().pick_shares[role_.use]);
    if (role_.use > 0) {
      out += " / (1 - " + number(asked_.number(cells().survival)) + " x " + percent(behind) + ")";
    }
    return out;
  }

  std::string grade() const {
    double sorted = 0;
    for (const CellId one : cells().picked) sorted += asked_.number(one);
    const auto way = stage().grades[role_.use].way;
    return number(sorted) + " sorted x " + asked_.value(cells().grade_shares[role_.use]) +
           (way == language::Grade::Way::goes_on ? "" : std::string(", ") + word(way));
  }

  /// The pickings, or the grades that go on, as a sum.
  std::string portions() const {
    std::string out;
    const auto add = [&](CellId one) {
      out += (out.empty() ? "" : " + ") + number(asked_.number(one));
    };
    if (cells().grades.empty()) {
      for (const CellId one : cells().picked) add(one);
      return out + " picked";
    }
    std::vector<std::string> names;
    for (std::size_t i = 0; i < cells().grades.size(); ++i) {
      if (stage().grades[i].way != language::Grade::Way::goes_on) continue;
      add(cells().grades[i]);
      names.push_back(stage().grades[i].name);
    }
    return out + " of grade " + text::list_words(names, "and");
  }

  std::string left() const {
    if (cells().kept != no_cell) {
      return portions() +
             (cells().yield == no_cell ? "" : " x " + asked_.value(cells().yield) + " from each");
    }
    const bool first = starts_chain();
    const CellId from = first ? cells().plants : t_.stages[stage().takes.front()].left;
    std::string out = number(asked_.number(from));
    double product = asked_.number(from);
    if (cells().loss != no_cell) {
      out += " x " + number(asked_.number(cells().survival));
      product *= asked_.number(cells().survival);
    } else {
      out += ", nothing is lost";
    }
    const double wanted = asked_.number(chain().needed);
    if (stage().discards_surplus && product > wanted) {
      out += ", of which " + number(wanted) + " are kept";
    }
    if (cells().yield != no_cell) out += " x " + asked_.value(cells().yield) + " from each";
    return out;
  }

  std::string needed() const {
    std::string out;
    double sum = 0;
    if (chain().next.empty()) {
      sum = asked_.number(t_.ordered);
      out = number(sum);
      if (asked_.batch.from_stock > 0) {
        out += " of " + number(static_cast<double>(asked_.facts().plants.value));
      }
      out += " ordered";
      if (const double spare = asked_.number(t_.spare); spare > 0) {
        sum = units::round_up(sum * (1 + spare));
        out += " and " + percent(spare) + " to spare";
      }
    }
    for (const StageId s : chain().next) {
      const double one = asked_.number(t_.stages[s].plants);
      out += (out.empty() ? "" : " + ") + number(one) + " for " + asked_.stage(s);
      sum += one;
    }
    if (cells().yield != no_cell) {
      const double each = asked_.number(cells().yield);
      out += ", " + asked_.value(cells().yield) + " from each" +
             rounded_from(sum / each, asked_.number(cell_));
    }
    return out;
  }

  /// Whole days of a written length of time.
  std::string length() const {
    const sheet::Cell& cell = t_.cell(cell_);
    if (cell.count < 2) return {};
    const bool waits = cell_ == cells().gate_limit || cell_ == cells().wait;
    if (cells().chilling != no_cell && !waits) return length_beside_chilling();
    const double exact = asked_.partial(cell_, cell.count - 1) / units::seconds_a_day;
    const double days = asked_.number(cell_);
    if (std::isnan(exact) || std::abs(exact - days) <= units::slack(exact, 1)) return {};
    if (days == 0) {
      return "shorter than a shift of " +
             units::format(asked_.row.sheet().site().shift_seconds, *units::find_unit("h"), 3) +
             ", so it is over on its day";
    }
    return (exact < days ? "rounded up from " : "whole days of ") + number(exact) + " days";
  }

  /// The longer one of what is written and what the chilling takes.
  std::string length_beside_chilling() const {
    const double written = asked_.partial(cell_, t_.cell(cell_).count - 2);
    if (asked_.number(cell_) <= written) return "as written; its chilling takes no longer";
    return "so long its chilling takes, longer than the " + number(written) + " days written";
  }

  std::string hours() const {
    std::string out;
    for (const sheet::WorkCells& one : cells().works) {
      if (one.time == no_cell || asked_.number(one.times) == 0) continue;
      const double times = asked_.number(one.times);
      out += (out.empty() ? "" : " + ") + (times == 1 ? "" : number(times) + " x ") +
             asked_.value(one.time);
    }
    return out.empty() ? "no work that says how long it takes" : out;
  }

  std::string all_hours() const {
    std::string out;
    for (const sheet::StageCells& one : t_.stages) {
      if (asked_.number(one.hours) == 0) continue;
      out += (out.empty() ? "" : " + ") + asked_.value(one.hours);
    }
    return out.empty() ? "no work that says how long it takes" : out;
  }

  /// What does not grow with the plants is done with the first cultivar.
  bool leads() const { return asked_.number(t_.lead) != 0; }

  std::string work_time() const {
    const language::Work& one = work();
    std::string out;
    const auto add = [&](const std::string& term) { out += (out.empty() ? "" : " + ") + term; };
    if (one.time != language::no_formula && (one.time_share.grows() || leads())) {
      const std::string spell = valued_formula(asked_, one.time);
      const CellId people = work_cells().people;
      const bool alone = people == no_cell || asked_.number(people) == 1;
      add(shared(spell, one.time_share, role_.stage, role_.work, one.uses.size()) +
          (alone ? "" : " x " + asked_.value(people) + " people"));
    }
    if (one.rate != language::no_formula) {
      add(plants_of(role_.work) + " / " + valued_formula(asked_, one.rate));
    }
    if (one.setup != language::no_formula && leads()) {
      add(valued_formula(asked_, one.setup) + " to set up");
    }
    return out.empty() ? "done with the first cultivar" : out;
  }

  /// An amount or a time, and how often it counts.
  std::string shared(const std::string& one, const language::Share& share, StageId stage,
                     language::WorkId work, std::size_t uses) const {
    if (share.each) return plants_of(work) + " x " + one;
    if (share.area) return one + " for each of " + area(stage, work);
    std::string all = plants_of(work);
    if (share.supply.known()) {
      double amount = 0;
      for (const language::UsePlace& used :
           language::uses_before(p_, stage, work, uses, share.supply)) {
        amount += asked_.number(t_.stages[used.stage].works[used.work].uses[used.use].amount);
      }
      all = number(amount) + " of `" + p_.supplies[share.supply].name + "`";
    }
    if (share.per != language::no_formula) {
      return one + (share.load ? " for every load of " : " for every ") +
             valued_formula(asked_, share.per) + " of " + all;
    }
    return share.supply.known() ? one + " for each of " + all : one;
  }

  /// The m2 by which a work goes; "12 trays x 0.15 m2" where they are told by footprints.
  std::string area(StageId stage, language::WorkId work) const {
    const language::Stage& here = p_.stages[stage];
    const std::size_t at = language::space_on(here, days_of(here.works[work]).first);
    const double factor = *language::area_factor(p_, here.space[at]);
    const std::string amount = asked_.value(t_.stages[stage].space[at]);
    if (factor == 1) return amount;
    return amount + " " + here.space[at].noun + " x " +
           units::format(factor, *units::find_unit("m2"), 4);
  }

  std::string times() const {
    const double days = asked_.number(cells().days);
    if (std::isnan(days)) return {};
    const auto length = static_cast<int>(days);
    const bool goes_on = language::goes_on_in_wait(work());
    const int reached = goes_on ? asked_.row.days_with_wait(role_.stage) : length;
    const std::size_t due = sheet::due_days(work().timing, reached).size();
    const auto done = static_cast<std::size_t>(asked_.number(cell_));
    std::string out = "due " + counted(due, "time") + " in " +
                      (days == 0 ? "one day" : asked_.value(cells().days));
    if (reached > length) out += " and " + counted(reached - length, "day") + " of waiting";
    if (done < due) out += ", " + std::to_string(due - done) + " of them on days nobody works";
    return out;
  }

  std::string amount() const {
    const language::Use& use = work().uses[role_.use];
    const language::Supply& supply = p_.supplies[use.supply];
    if (!use.share.grows() && !leads()) return "taken with the first cultivar";
    const std::string out =
        shared(valued_formula(asked_, use.amount), use.share, role_.stage, role_.work, role_.use);
    const bool whole = supply.unit.dimension == units::count;
    return out + (whole && !use.share.each ? ", whole ones" : "");
  }

  const Asked& asked_;
  const sheet::Template& t_;
  const language::Protocol& p_;
  CellId cell_;
  const CellRole& role_;
};

}  // namespace

std::string sum_text(const Asked& asked, CellId cell) {
  return Sum(asked, cell).text();
}

}  // namespace budwood::report
