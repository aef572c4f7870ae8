#include <algorithm>
#include <cmath>
#include <map>

#include "plan/marks.hpp"
#include "report/formats/wording.hpp"
#include "report/why/why.hpp"
#include "report/why/why_words.hpp"

namespace budwood::report {

namespace {

using sheet::Cell;
using sheet::CellId;
using Kind = CellRole::Kind;

/// The cells that rest on one, by the number of steps.
class Uses {
 public:
  Uses(const Asked& asked, CellId cell)
      : asked_(asked), t_(asked.t), reached_(asked.t.cells.size(), false) {
    reached_[cell] = true;
    std::vector<CellId> front{cell};
    while (!front.empty()) {
      std::vector<CellId> next;
      for (const CellId id : front) follow(id, next);
      std::sort(next.begin(), next.end());
      if (!next.empty()) levels_.push_back(next);
      front = std::move(next);
    }
  }

  const std::vector<std::vector<CellId>>& levels() const { return levels_; }
  bool reaches(CellId id) const { return id != sheet::no_cell && reached_[id]; }

 private:
  void follow(CellId id, std::vector<CellId>& next) {
    for (const CellId user : t_.cell(id).used_by) reach(user, next);
    if (!t_.cell(id).bounds_dates && !is_set_date(id)) return;
    for (CellId date = 0; date < t_.cells.size(); ++date) {
      if (t_.cell(date).kind == Cell::Kind::date) reach(date, next);
    }
  }

  /// Dates that the batch sets bound the others, which are worked out all together.
  bool is_set_date(CellId id) const {
    return t_.cell(id).kind == Cell::Kind::date &&
           plan::mark_of(asked_.row, id) != plan::Mark::none;
  }

  void reach(CellId id, std::vector<CellId>& next) {
    if (reached_[id]) return;
    reached_[id] = true;
    // Cells that only pass on what others say take no step; counts behind shares make a difference
    // to a number that must be sure alone.
    const Kind kind = asked_.roles[id].kind;
    const bool evidence =
        kind == Kind::seen || kind == Kind::good || kind == Kind::batches || kind == Kind::likeness;
    if (evidence && !(asked_.number(t_.sure) > 0)) return;
    const bool passes =
        kind == Kind::survival || evidence || (kind == Kind::needed && t_.cell(id).count == 1);
    if (passes) {
      follow(id, next);
    } else {
      next.push_back(id);
    }
  }

  const Asked& asked_;
  const sheet::Template& t_;
  std::vector<bool> reached_;
  std::vector<std::vector<CellId>> levels_;
};

class UsesStory {
 public:
  UsesStory(Paragraphs& out, const Asked& asked, CellId cell)
      : out_(out), asked_(asked), cell_(cell), uses_(asked, cell) {}

  void tell(bool all) {
    const std::string name = asked_.t.cell(cell_).name + " of " + asked_.name();
    if (uses_.levels().empty()) {
      out_.write("Nothing rests on " + name + ", " + asked_.value(cell_) + ".");
      return;
    }
    out_.write("What rests on " + name + ", " + asked_.value(cell_) + ":");
    for (std::size_t i = 0; i < uses_.levels().size(); ++i) {
      if (i < deepest || all) {
        tell_level(i);
      } else {
        out_.fold(uses_.levels()[i].size());
      }
    }
    out_.end("value");
    tell_changes();
  }

 private:
  static constexpr std::size_t deepest = 3;

  void tell_level(std::size_t level) {
    out_.write(level == 0 ? "at once" : counted(level + 1, "step") + " on", 1);
    // What belongs to no stage comes last.
    std::map<std::size_t, std::vector<std::string>> by_stage;
    const std::size_t none = asked_.t.stages.size();
    for (const CellId id : uses_.levels()[level]) {
      const auto stage = asked_.stage_of(id);
      const std::string& name = asked_.t.cell(id).name;
      const std::string shown = stage.known() ? name.substr(name.find('.') + 1) : name;
      by_stage[stage.known() ? stage.place() : none].push_back(shown + " " + asked_.value(id));
    }
    for (const auto& [stage, values] : by_stage) {
      const std::string of = stage == none ? "" : asked_.t.protocol.stages[stage].name + ": ";
      out_.write(of + joined(values, ", "), 2);
    }
  }

  bool moves_dates() const { return uses_.reaches(asked_.t.ready); }

  /// Whether anything that a work order of this stage and work tells can change.
  bool changes_work(language::StageId s, language::WorkId w) const {
    const sheet::StageCells& stage = asked_.t.stages[s];
    const sheet::WorkCells& work = stage.works[w];
    return uses_.reaches(stage.plants) || uses_.reaches(work.time) || uses_.reaches(work.people) ||
           uses_.reaches(work.no_entry) ||
           std::any_of(work.uses.begin(), work.uses.end(),
                       [&](const auto& use) { return uses_.reaches(use.amount); });
  }

  std::string orders_text() const {
    const auto index = static_cast<std::size_t>(&asked_.batch - asked_.plan.batches.data());
    std::size_t all = 0;
    std::size_t changed = 0;
    for (const plan::WorkOrder& order : asked_.plan.orders) {
      if (order.batch != index) continue;
      ++all;
      if (moves_dates() || changes_work(order.stage, order.work)) ++changed;
    }
    return changed == 0 ? "none of the work orders"
                        : std::to_string(changed) + " of " + counted(all, "work order");
  }

  std::string stages_text(bool (UsesStory::*changes)(language::StageId) const) const {
    std::vector<std::string> names;
    for (const language::StageId s : asked_.t.stages.ids()) {
      if ((this->*changes)(s)) names.push_back(asked_.stage(s));
    }
    return names.empty() ? "" : text::list_words(names);
  }
  bool changes_plants(language::StageId s) const {
    return uses_.reaches(asked_.t.stages[s].plants);
  }
  bool changes_climate(language::StageId s) const {
    for (const sheet::SettingCells& one : asked_.t.stages[s].settings) {
      for (const CellId id : {one.first, one.last, one.high, one.hours, one.over, one.light}) {
        if (uses_.reaches(id)) return true;
      }
    }
    for (const sheet::MistCells& one : asked_.t.stages[s].mists) {
      for (const CellId id : {one.pulse, one.pulse_last, one.every, one.every_last, one.over}) {
        if (uses_.reaches(id)) return true;
      }
    }
    return false;
  }

  void tell_changes() {
    const std::string plants = stages_text(&UsesStory::changes_plants);
    const std::string climate = stages_text(&UsesStory::changes_climate);
    std::string out = "A change of it can move ";
    out += moves_dates() ? "dates" : "no dates";
    out += plants.empty() ? ", no numbers of plants" : ", the numbers of plants in " + plants;
    if (!climate.empty()) out += ", settings in " + climate;
    out_.write(out + ", and " + orders_text() + ".", 1);
  }

  Paragraphs& out_;
  const Asked& asked_;
  CellId cell_;
  Uses uses_;
};

}  // namespace

void write_uses(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                CellId cell, bool all, const Style& style) {
  const Asked asked(plan, batch);
  Paragraphs paragraphs(out, style);
  UsesStory(paragraphs, asked, cell).tell(all);
}

}  // namespace budwood::report
