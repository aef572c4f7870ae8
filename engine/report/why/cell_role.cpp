#include "report/why/cell_role.hpp"

namespace budwood::report {

namespace {

using Kind = CellRole::Kind;

class Roles {
 public:
  explicit Roles(const sheet::Template& t) : t_(t), out_(t.cells.size()) {
    for (const language::StageId s : t.stages.ids()) add_stage(s);
    for (std::size_t c = 0; c < t.chains.size(); ++c) add_chain(c);
    set(t.hours, {Kind::all_hours});
  }

  std::vector<CellRole> take() { return std::move(out_); }

 private:
  void set(sheet::CellId cell, CellRole role) {
    if (cell != sheet::no_cell) out_[cell] = role;
  }

  void add_stage(language::StageId s) {
    const sheet::StageCells& cells = t_.stages[s];
    const auto add = [&](sheet::CellId cell, Kind kind) { set(cell, {kind, s}); };
    add(cells.plants, Kind::plants);
    add(cells.left, Kind::left);
    add(cells.loss, Kind::loss);
    add(cells.survival, Kind::survival);
    add(cells.kept, Kind::kept);
    for (std::size_t i = 0; i < cells.picked.size(); ++i) {
      set(cells.picked[i], {Kind::picked, s, {}, i});
      set(cells.handled[i], {Kind::handled, s, {}, i});
    }
    for (std::size_t i = 0; i < cells.grades.size(); ++i) {
      set(cells.grades[i], {Kind::grade, s, {}, i});
    }
    add(cells.days, Kind::days);
    add(cells.hours, Kind::hours);
    add(cells.evidence.good, Kind::good);
    add(cells.evidence.seen, Kind::seen);
    add(cells.evidence.batches, Kind::batches);
    add(cells.evidence.likeness, Kind::likeness);
    add(cells.gate_limit, Kind::length);
    add(cells.wait, Kind::length);
    // With degree-days of the site they are sums, which stand as they are written.
    const auto& heat = t_.protocol.stages[s].heat;
    if (!heat || heat->day != language::no_formula) {
      for (const sheet::CellId length : {cells.shortest, cells.usual, cells.longest}) {
        add(length, Kind::length);
      }
    }
    for (const language::WorkId w : cells.works.ids()) {
      const sheet::WorkCells& work = cells.works[w];
      set(work.time, {Kind::work_time, s, w});
      set(work.times, {Kind::times, s, w});
      for (std::size_t u = 0; u < work.uses.size(); ++u) {
        set(work.uses[u].amount, {Kind::amount, s, w, u});
      }
    }
  }

  void add_chain(std::size_t c) {
    const sheet::Chain& chain = t_.chains[c];
    set(chain.needed, {Kind::needed, chain.stages.back(), {}, 0, c});
    for (const language::StageId s : chain.stages) {
      const sheet::StageCells& cells = t_.stages[s];
      out_[cells.plants].chain = out_[cells.left].chain = c;
    }
  }

  const sheet::Template& t_;
  std::vector<CellRole> out_;
};

}  // namespace

std::vector<CellRole> roles_of(const sheet::Template& t) {
  return Roles(t).take();
}

}  // namespace budwood::report
