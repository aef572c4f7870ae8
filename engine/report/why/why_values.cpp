#include "report/why/why_values.hpp"

#include <algorithm>
#include <set>

#include "language/tree/written_formula.hpp"
#include "plan/learned_values.hpp"
#include "plan/marks.hpp"
#include "report/formats/wording.hpp"
#include "report/why/formula_words.hpp"
#include "report/why/sum_words.hpp"

namespace budwood::report {

namespace {

using sheet::Cell;
using sheet::CellId;
using Kind = CellRole::Kind;

class ValueStory {
 public:
  ValueStory(Paragraphs& out, const Asked& asked, bool all)
      : out_(out), asked_(asked), t_(asked.t), all_(all) {}

  void tell(CellId id) {
    told_.insert(id);
    const std::string why = how(id);
    out_.write(subject(id) + (why.empty() ? "." : ": " + why + asked_.at(place_of(id)) + "."));
    tell_uses(id, 1);
  }

 private:
  static constexpr int deepest = 3;

  std::string subject(CellId id) const {
    const CellRole& role = asked_.roles[id];
    const std::string stage = role.stage.known() ? asked_.stage(role.stage) : "";
    const std::string value = asked_.value(id);
    switch (role.kind) {
      case Kind::plants:
        return stage + " of " + asked_.name() + " starts with " + value + " plants";
      case Kind::left:
        return value + " plants of " + asked_.name() + (counted(id) ? "" : " are expected to") +
               (counted(id) ? " came" : " come") + " through " + stage;
      case Kind::hours:
        return "The work in " + stage + " of " + asked_.name() + " takes " + value;
      case Kind::all_hours:
        return "The work on " + asked_.name() + " takes " + value;
      default:
        return t_.cell(id).name + " of " + asked_.name() + " is " + value;
    }
  }

  void tell_uses(CellId id, int depth) {
    if (t_.cell(id).kind == Cell::Kind::date) return;
    const std::vector<CellId> uses = told_uses(id);
    if (depth > deepest && !all_) {
      out_.fold(uses.size());
      return;
    }
    for (const CellId used : uses) {
      if (!told_.insert(used).second) continue;
      const std::string why = how(used);
      out_.write(t_.cell(used).name + " = " + asked_.value(used) + (why.empty() ? "" : ": " + why) +
                     asked_.at(place_of(used)),
                 depth);
      tell_uses(used, depth + 1);
    }
  }

  /// What a cell rests on; cells that only pass a value on are seen through.
  std::vector<CellId> told_uses(CellId id) const {
    std::vector<CellId> out;
    for (const CellId used : t_.cell(id).uses) {
      if (is_idle(used) || is_said(id, used)) continue;
      if (!passes_on(used)) {
        out.push_back(used);
        continue;
      }
      const std::vector<CellId> behind = told_uses(used);
      out.insert(out.end(), behind.begin(), behind.end());
    }
    return out;
  }

  bool keeps_all(language::StageId id) const {
    const sheet::StageCells& stage = t_.stages[id];
    return stage.loss == sheet::no_cell && stage.yield == sheet::no_cell &&
           stage.kept == sheet::no_cell && !asked_.row.stage(id).discards_surplus;
  }

  bool passes_on(CellId id) const {
    const CellRole& role = asked_.roles[id];
    if (role.kind == Kind::left) return keeps_all(role.stage) && !counted(id);
    return role.kind == Kind::survival ||
           (role.kind == Kind::needed && (t_.cell(id).count == 1 || is_ordered(role.chain)));
  }

  /// Whether what a chain has to bring is what was ordered, and nothing to spare.
  bool is_ordered(std::size_t number) const {
    const sheet::Chain& chain = t_.chains[number];
    return chain.next.empty() && t_.stages[chain.stages.back()].yield == sheet::no_cell &&
           !(asked_.number(t_.spare) > 0);
  }

  /// Whether the line of a cell has said all there is about what it uses: a number that stands in
  /// the same line of the protocol, done once, the days that work falls in.
  bool is_said(CellId id, CellId used) const {
    const Kind kind = asked_.roles[id].kind;
    const Cell& cell = t_.cell(used);
    const bool of_work = kind == Kind::work_time || kind == Kind::amount;
    if (kind == Kind::times) return asked_.roles[used].kind == Kind::days;
    if (kind == Kind::hours && asked_.roles[used].kind == Kind::times) {
      return asked_.number(used) == 1;
    }
    return of_work && cell.formula != language::no_formula &&
           language::is_written_number(t_.protocol, cell.formula);
  }

  /// What makes no difference here: no count behind a share, a number that need not be sure, the
  /// mark of the cultivar that leads.
  bool is_idle(CellId id) const {
    const Cell& cell = t_.cell(id);
    const Kind kind = asked_.roles[id].kind;
    if (cell.kind == Cell::Kind::lead) return asked_.number(id) != 0;
    if (id == t_.spare || id == t_.full_trays) return asked_.number(id) == 0;
    // Told with those that came through.
    if (kind == Kind::seen || kind == Kind::batches) return true;
    if (kind == Kind::likeness) return !(asked_.number(id) > 0) || asked_.number(t_.sure) <= 0;
    if (kind == Kind::good) {
      const sheet::Evidence& evidence = t_.stages[asked_.roles[id].stage].evidence;
      return !(asked_.number(evidence.seen) > 0) || asked_.number(t_.sure) <= 0;
    }
    return cell.kind == Cell::Kind::sure && asked_.number(id) == 0;
  }

  /// What was learned of an input of which neither batch nor site says anything.
  const book::LearnedValue* learned(CellId id) const {
    if (plan::mark_of(asked_.row, id) != plan::Mark::learned) return nullptr;
    return plan::learned_of(*asked_.plan.book, t_.protocol,
                            t_.protocol.inputs.find(input_name(id)));
  }

  /// The batch's or the site's own value of an input; nothing when it is the protocol's.
  const book::Written* given(CellId id, bool by_batch) const {
    const Cell& cell = t_.cell(id);
    if (cell.kind != Cell::Kind::input) return nullptr;
    const plan::Mark mark = plan::mark_of(asked_.row, id);
    if (mark != (by_batch ? plan::Mark::batch : plan::Mark::site)) return nullptr;
    if (by_batch) {
      const auto& own = asked_.facts().set;
      const auto found = own.find(input_name(id));
      return found == own.end() ? nullptr : &found->second;
    }
    const auto& sites = asked_.plan.book->site.inputs;
    const auto protocol = sites.find(t_.protocol.name);
    if (protocol == sites.end()) return nullptr;
    const auto found = protocol->second.find(input_name(id));
    return found == protocol->second.end() ? nullptr : &found->second;
  }

  /// The input that a cell is, or whose count it holds.
  std::string input_name(CellId id) const {
    const CellRole& role = asked_.roles[id];
    const bool behind = role.kind == Kind::good || role.kind == Kind::seen ||
                        role.kind == Kind::batches || role.kind == Kind::likeness;
    if (!behind) return t_.cell(id).name;
    return t_.protocol.inputs[t_.stages[role.stage].evidence.input].name;
  }

  text::Span place_of(CellId id) const {
    if (const plan::LotTaking* lots = lots_of(id)) {
      for (const plan::LotShare& share : lots->shares) {
        if (share.facts != nullptr && share.facts->test) return share.facts->test->span;
      }
    }
    if (const book::Written* own = given(id, true)) return own->span;
    if (const book::Written* site = given(id, false)) return site->span;
    if (const book::LearnedValue* one = learned(id)) return one->value.span;
    const Cell& cell = t_.cell(id);
    if (cell.kind == Cell::Kind::ordered && asked_.facts().plants.span.source != nullptr) {
      return asked_.facts().plants.span;
    }
    if (id == t_.spare && asked_.facts().spare) return asked_.facts().spare->span;
    if (id == t_.full_trays && asked_.facts().full_trays) return asked_.facts().full_trays->span;
    if (cell.kind == Cell::Kind::sure && asked_.facts().sure) return asked_.facts().sure->span;
    const bool of_batch = cell.kind == Cell::Kind::ordered || cell.kind == Cell::Kind::sure ||
                          cell.kind == Cell::Kind::lead;
    return of_batch ? asked_.facts().span : cell.span;
  }

  bool counted(CellId id) const {
    const auto& all = asked_.row.facts().counted;
    return std::any_of(all.begin(), all.end(), [&](const auto& one) { return one.first == id; });
  }

  /// Who counted, and when; what was lost since is taken off.
  std::string count_words(CellId id) const {
    const std::string& stage = asked_.row.stage(asked_.roles[id].stage).name;
    if (asked_.roles[id].kind == Kind::picked) {
      return "counted when they were picked";
    }
    if (asked_.roles[id].kind == Kind::grade) return "counted";
    for (const book::Count& count : asked_.facts().counted) {
      if (count.stage != stage) continue;
      const record::Entry* entry = book::entry_at(*asked_.plan.book, count.span);
      if (entry == nullptr) break;
      const bool less = entry->what == record::What::lost;
      return std::string("counted") + (less ? ", less what was lost since, last" : "") +
             (entry->by.empty() ? "" : " by " + entry->by) + " on " + DayWords::whole(entry->day) +
             asked_.at(count.span);
    }
    return "counted";
  }

  std::string how(CellId id) const {
    const Cell& cell = t_.cell(id);
    switch (cell.kind) {
      case Cell::Kind::input:
        return input_words(id);
      case Cell::Kind::ordered:
        return asked_.batch.from_stock > 0
                   ? "of " +
                         units::format_number(static_cast<double>(asked_.facts().plants.value)) +
                         " ordered; " +
                         plan::taken_text(asked_.plan, plan::number_of(asked_.plan, asked_.batch))
                   : "ordered";
      case Cell::Kind::sure:
        return asked_.number(id) == 0 ? "the number is reached on average"
                                      : "how sure the batch must be of its number";
      case Cell::Kind::lead:
        return asked_.number(id) != 0 ? "does the work that cultivars share"
                                      : "what cultivars share is done with the first of them";
      case Cell::Kind::date:
        return "planned; ask why " + cell.name;
      case Cell::Kind::formula:
        break;
    }
    if (counted(id)) {
      return count_words(id) + "; " + units::format_number(asked_.expected(id)) +
             " were expected, " + sum_text(asked_, id);
    }
    return formula_words(id);
  }

  std::string input_words(CellId id) const {
    const CellRole& role = asked_.roles[id];
    if (id == t_.spare) return "more than ordered is aimed at";
    if (id == t_.full_trays) return "what is grown in trays starts with full ones";
    if (role.kind == Kind::good) {
      const sheet::Evidence& count = t_.stages[role.stage].evidence;
      const double batches = asked_.number(count.batches);
      return "came through, of " + asked_.value(count.seen) + " seen" +
             (batches > 0 ? " in " + counted_batches(batches) : "");
    }
    if (role.kind == Kind::likeness) {
      const double share = asked_.number(t_.stages[role.stage].survival);
      return "so alike are two plants of one batch: batches differ by " +
             units::format(language::spread_of(share, asked_.number(id)), *units::find_unit("%"),
                           3);
    }
    if (const plan::LotTaking* lots = lots_of(id)) return lot_words(*lots);
    std::string out = given(id, true) != nullptr    ? "given by the batch"
                      : given(id, false) != nullptr ? "what the site has learned"
                                                    : usual_words(id);
    for (const language::Input& input : t_.protocol.inputs) {
      if (input.name == t_.cell(id).name && !input.title.empty()) out += ", " + input.title;
    }
    return out;
  }

  /// The lots whose tests say an input.
  const plan::LotTaking* lots_of(CellId id) const {
    if (plan::mark_of(asked_.row, id) != plan::Mark::lot) return nullptr;
    const auto number = plan::number_of(asked_.plan, asked_.batch);
    return plan::taking_behind(asked_.plan, number, t_.protocol.inputs.find(input_name(id)));
  }

  std::string lot_words(const plan::LotTaking& lots) const {
    std::vector<std::string> shares;
    for (const plan::LotShare& share : lots.shares) {
      shares.push_back(plan::share_text(share, lots));
    }
    return "by the tests of the lots that `" + t_.protocol.stages[lots.stage].name +
           "` takes: " + text::list_words(shares);
  }

  std::string usual_words(CellId id) const {
    const book::LearnedValue* one = learned(id);
    if (one == nullptr) return "the usual value of the protocol";
    return "learned from " + one->behind + " by " + DayWords::whole(one->day) + ", " + one->limits +
           "; the protocol's usual value is " + one->usual.text;
  }

  /// What is written, the same with values, and what the engine makes of it.
  std::string formula_words(CellId id) const {
    const Cell& cell = t_.cell(id);
    const Kind kind = asked_.roles[id].kind;
    const std::string sum = sum_text(asked_, id);
    const bool own = kind == Kind::amount || cell.formula == language::no_formula;
    if (own) return sum == asked_.value(id) ? "as written" : sum;
    if (language::is_written_number(t_.protocol, cell.formula))
      return sum.empty() ? "as written" : sum;
    const std::string written = language::written_formula(t_.protocol, cell.formula);
    const std::string valued = valued_formula(asked_, cell.formula);
    std::string out = "`" + written + "`";
    if (valued != written) out += ", here " + valued;
    return out + (sum.empty() ? "" : ", " + sum);
  }

  Paragraphs& out_;
  const Asked& asked_;
  const sheet::Template& t_;
  bool all_;
  std::set<CellId> told_;
};

}  // namespace

void tell_value(Paragraphs& out, const Asked& asked, CellId cell, bool all) {
  ValueStory(out, asked, all).tell(cell);
}

}  // namespace budwood::report
