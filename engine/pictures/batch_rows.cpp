#include "pictures/batch_rows.hpp"

#include <algorithm>

#include "report/formats/wording.hpp"
#include "report/load/load_view.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::pictures {

namespace {

using calendar::Day;

std::string dates_text(const StageBar& bar) {
  std::string text = calendar::short_date(bar.start);
  if (bar.end > bar.start) text += " to " + calendar::short_date(bar.end);
  if (bar.end > bar.start) text += ", " + calendar::days_text(bar.end - bar.start);
  if (bar.earliest == bar.latest) return text;
  return text + "; may end " + calendar::iso_date(bar.earliest) + " to " +
         calendar::iso_date(bar.latest);
}

std::string plants_text(const StageBar& bar) {
  const std::string plants = report::plants_text(bar.plants);
  const std::string left = report::plants_text(bar.left);
  return plants == left ? plants : plants + ", " + left + " at its end";
}

std::string gate_text(const language::Stage& stage) {
  if (!stage.gate) return "";
  if (stage.gate->kind == language::Gate::Kind::chilling) return "until it has had its chilling";
  return "until " + stage.gate->written;
}

class Rows {
 public:
  Rows(const plan::Plan& plan, std::size_t batch) : plan_(plan), batch_(batch) {}

  std::vector<PartRows> run() {
    const language::Protocol& protocol = plan_.protocol_of(plan_.batches[batch_]);
    const std::vector<StageBar> bars = bars_of(plan_, plan_.batches[batch_]);
    std::vector<PartRows> out;
    for (const language::PartId p : protocol.parts.ids()) {
      PartRows rows{report::shown_name(protocol.parts[p]), {}};
      for (const StageBar& bar : bars) {
        const language::Stage& stage = protocol.stages[bar.stage];
        if (stage.part == p) rows.stages.push_back(row_of(stage, bar));
      }
      if (!rows.stages.empty()) out.push_back(std::move(rows));
    }
    add_works(protocol, out);
    return out;
  }

 private:
  static StageRow row_of(const language::Stage& stage, const StageBar& bar) {
    StageRow row;
    row.bar = bar;
    row.title = report::shown_name(stage);
    row.room = stage.room;
    row.facts = {dates_text(bar), (stage.room.empty() ? "" : stage.room + "; ") + plants_text(bar)};
    if (bar.waits > 0) {
      row.facts.push_back("then plants wait " + calendar::days_text(bar.waits) + ", up to " +
                          calendar::short_date(bar.end + bar.waits));
    }
    row.gate = gate_text(stage);
    row.takes = stage.takes;
    return row;
  }

  void add_works(const language::Protocol& protocol, std::vector<PartRows>& parts) const {
    language::List<language::List<WorkRow, language::Work>, language::Stage> works;
    for (const language::Stage& stage : protocol.stages) {
      works.emplace_back();
      for (const language::Work& work : stage.works) works.back().push_back({work.title, {}});
    }
    for (const plan::WorkOrder& order : plan_.orders) {
      if (order.batch != batch_) continue;
      works[order.stage][order.work].turns.push_back({order.date, order.done()});
    }
    for (PartRows& part : parts) {
      for (StageRow& row : part.stages) {
        for (WorkRow& work : works[row.bar.stage]) {
          if (!work.turns.empty()) row.works.push_back(std::move(work));
        }
      }
    }
  }

  const plan::Plan& plan_;
  std::size_t batch_;
};

}  // namespace

std::vector<PartRows> rows_of(const plan::Plan& plan, std::size_t batch) {
  return Rows(plan, batch).run();
}

drawing::DayRange days_of(const std::vector<PartRows>& parts) {
  drawing::DayRange out;
  const auto include = [&](Day first, Day last) {
    out = out.empty() ? drawing::DayRange{first, last}
                      : drawing::DayRange{std::min(out.first, first), std::max(out.last, last)};
  };
  for (const PartRows& part : parts) {
    for (const StageRow& row : part.stages) {
      const StageBar& bar = row.bar;
      include(bar.start, std::max({bar.last(), bar.latest, bar.end + bar.waits}));
      for (const WorkRow& work : row.works) {
        for (const WorkRow::Turn& turn : work.turns) include(turn.date, turn.date);
      }
    }
  }
  return out;
}

}  // namespace budwood::pictures
