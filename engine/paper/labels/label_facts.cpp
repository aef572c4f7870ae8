#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>
#include <utility>

#include "paper/labels/labels.hpp"
#include "plan/marks.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

using language::Stage;
using language::Work;

/// Supplies that are carried as one with the plants in them, or that each hold one.
bool is_carrier(const language::Supply& supply, LabelKind kind) {
  if (kind == LabelKind::pots) return supply.unit.noun == "pots";
  constexpr std::array<std::string_view, 9> nouns = {"trays", "flats",   "crates", "boxes", "tubs",
                                                     "jars",  "vessels", "plates", "dishes"};
  return std::find(nouns.begin(), nouns.end(), supply.unit.noun) != nouns.end();
}

bool tagged(const Work& work, std::string_view tag) {
  return std::find(work.tags.begin(), work.tags.end(), tag) != work.tags.end();
}

/// What has been done to plants that a work starts: the trade has a word for each.
std::string_view started_word(const Work& work) {
  if (tagged(work, "sowing")) return "Sown";
  if (tagged(work, "sticking")) return "Stuck";
  if (tagged(work, "grafting")) return "Grafted";
  if (tagged(work, "budding")) return "Budded";
  return "Started";
}

std::string_view started_word(const Stage& stage) {
  for (const Work& work : stage.works) {
    if (started_word(work) != "Started") return started_word(work);
  }
  return stage.joined.empty() ? "Started" : "Grafted";
}

/// "2027-03-24", with a word as long as it has not happened.
std::string date_text(calendar::Day day, bool happened) {
  return calendar::iso_date(day) + (happened ? "" : " (planned)");
}

/// Whether a stage was seen to start.
bool has_started(const sheet::Row& row, language::StageId stage) {
  return plan::mark_of(row, row.cells(stage).start) == plan::Mark::recorded;
}

std::string ready_text(const plan::Plan& plan, const plan::BatchPlan& batch) {
  return "ready " + calendar::iso_date(*plan.row_of(batch).ready());
}

std::string heading_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const std::string& cultivar = plan.facts_of(batch).cultivar;
  std::string out = !protocol.crop.empty()    ? protocol.crop
                    : !protocol.title.empty() ? protocol.title
                                              : protocol.name;
  return cultivar.empty() ? out : cultivar + ", " + out;
}

/// "Lot own seed, house 2, 2026", of all supplies or of those that an order uses.
void add_lots(std::vector<std::string>& lines, const std::vector<std::string>& lots) {
  if (!lots.empty()) lines.push_back("Lot " + report::joined(lots, "; "));
}

/// The orders with which plants are sown, stuck or grafted in a stage, the first of each, by batch
/// and stage.
using Beginnings = std::map<std::pair<std::uint32_t, language::StageId>, const plan::WorkOrder*>;

Beginnings beginnings_of(const plan::Plan& plan) {
  Beginnings out;
  for (const plan::WorkOrder& order : plan.orders) {
    const Stage& stage = plan.protocol_of(plan.batches[order.batch]).stages[order.stage];
    if (started_word(stage.works[order.work]) == "Started") continue;
    if (order.state != plan::OrderState::left_out) {
      out.try_emplace({order.batch, order.stage}, &order);
    }
  }
  return out;
}

Label batch_label(const plan::Plan& plan, std::uint32_t number, const Beginnings& begun) {
  const plan::BatchPlan& batch = plan.batches[number];
  const book::Batch& facts = plan.facts_of(batch);
  const language::Protocol& protocol = plan.protocol_of(batch);
  Label out;
  out.code = out.name = facts.id.value;
  out.heading = heading_of(plan, batch);
  out.lines.push_back(
      report::plants_text(static_cast<double>(facts.plants.value), protocol.of_site) + ", " +
      ready_text(plan, batch));
  std::size_t beginnings = 0;
  for (const Stage& stage : protocol.stages) beginnings += stage.takes.empty() ? 1 : 0;
  const sheet::Row row = plan.row_of(batch);
  for (const language::StageId s : protocol.stages.ids()) {
    const Stage& stage = protocol.stages[s];
    if (!stage.takes.empty() && stage.joined.empty()) continue;
    std::string line(started_word(stage));
    // Work may fall some days after its stage has begun; trays and pots say the same.
    const auto work = begun.find({number, s});
    const calendar::Day day = work == begun.end() ? row.start(s) : work->second->date;
    const bool happened = (work != begun.end() && work->second->done()) ||
                          (has_started(row, s) && row.start(s) == day);
    line += " " + date_text(day, happened);
    // Of several beginnings each says of what.
    if (beginnings > 1 && stage.takes.empty()) {
      line = report::shown_name(protocol.parts[stage.part]) + ": " + line;
    }
    out.lines.push_back(std::move(line));
  }
  std::vector<std::string> lots;
  for (const plan::Origin& one : plan::origins_of(plan, batch)) lots.push_back(one.text);
  add_lots(out.lines, lots);
  out.lines.push_back(report::protocol_text(protocol));
  return out;
}

/// A label for each tray of an arm of a trial: its letter, its tray, its block, and not what the
/// arm is, so that whoever counts need not know.
void add_trial_labels(const plan::Plan& plan, std::uint32_t number, const Beginnings& begun,
                      std::vector<Label>& out) {
  const plan::BatchPlan& batch = plan.batches[number];
  const book::Trial& trial = *plan.facts_of(batch).trial;
  Label label = batch_label(plan, number, begun);
  label.lines.pop_back();  // the protocol, which has the title of the variant
  const std::string& crop = plan.protocol_of(batch).crop;
  label.heading = crop.empty() ? "Trial " + trial.name : crop;
  label.lines.emplace(label.lines.begin());
  const std::string name = label.name;
  for (const book::TrialTray& tray : trial.trays) {
    if (tray.letter != trial.letter) continue;
    label.name = name + "  Tray " + std::to_string(tray.number);
    label.lines.front() = "Trial " + trial.name + ", arm " + trial.letter +
                          (tray.block.empty() ? "" : ", " + tray.block);
    out.push_back(label);
  }
}

/// How many plants a carrier takes, where it is a written number or an input; else nothing.
std::optional<double> plants_each(const plan::Plan& plan, const plan::BatchPlan& batch,
                                  const language::Use& use) {
  if (use.share.per == language::no_formula || use.share.load) return std::nullopt;
  const language::Node& per = plan.protocol_of(batch).node(use.share.per);
  if (per.kind == language::Node::Kind::constant) return per.value;
  if (per.kind != language::Node::Kind::input) return std::nullopt;
  const sheet::Row row = plan.row_of(batch);
  return row.value(row.layout().inputs[language::InputId(per.target)]);
}

/// The labels of one kind of carrier that an order takes.
class TrayLabels {
 public:
  TrayLabels(const plan::Plan& plan, const plan::WorkOrder& order, std::size_t use)
      : plan_(plan),
        order_(order),
        batch_(plan.batches[order.batch]),
        stage_(plan.protocol_of(batch_).stages[order.stage]),
        use_(stage_.works[order.work].uses[use]),
        detail_(plan::describe(plan, order)),
        supply_(plan.protocol_of(batch_).supplies[use_.supply]) {
    const sheet::Row row = plan.row_of(batch_);
    total_ = row.value(row.cells(order.stage, order.work).uses[use].amount);
    plants_ = row.value(row.cells(order.stage).plants);
  }

  void add_to(std::vector<Label>& labels) const {
    // Work that goes on over several days goes on counting.
    double before = 0;
    plan::WorkOrder earlier = order_;
    for (earlier.part = 0; earlier.part < order_.part; ++earlier.part) {
      before += plan::share_of(earlier, total_);
    }
    const double last = std::ceil(before + plan::share_of(order_, total_));
    for (double n = std::floor(before) + 1; n <= last; ++n) labels.push_back(label(n));
  }

 private:
  Label label(double number) const {
    const language::Protocol& protocol = plan_.protocol_of(batch_);
    Label out;
    out.code = detail_.id;
    std::string noun = units::format(1, supply_.unit).substr(2);
    noun[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(noun[0])));
    out.name = detail_.batch + "  " + noun + " " + units::format_number(number) + " of " +
               units::format_number(std::ceil(total_));
    // What becomes of the plants, and what they are now: a tray of stocks holds no melons.
    out.heading = heading_of(plan_, batch_);
    const std::string part = report::shown_name(protocol.parts[stage_.part]);
    if (stage_.part != protocol.finished_part) {
      out.lines.push_back("For " + out.heading);
      out.heading = part;
    } else {
      out.lines.push_back(part);
    }
    std::string_view word = started_word(stage_.works[order_.work]);
    if (word == "Started") word = started_word(stage_);
    out.lines.push_back(std::string(word) + " " +
                        date_text(order_.date, order_.done() || started()));
    out.lines.push_back(count_text(number) + ", " + ready_text(plan_, batch_));
    add_lots(out.lines, lots_in(number));
    out.lines.push_back(report::shown_name(stage_));
    return out;
  }

  /// The lots of the plants in a carrier, each with its plants where there are several.
  std::vector<std::string> lots_in(double number) const {
    std::vector<std::string> out;
    const auto each = plants_each(plan_, batch_, use_);
    std::set<std::string> told;
    for (const plan::SupplyAmount& one : detail_.supplies) {
      if (one.lot.empty() || !told.insert(one.supply).second) continue;
      const auto* taking = plan::taking_of(plan_, order_.batch, order_.stage, one.supply);
      if (taking == nullptr) {
        out.push_back(one.lot);
        continue;
      }
      const bool known = each && *each > 0;
      const double from = known ? (number - 1) * *each : 0;
      const double to = known ? std::min(plants_, from + *each) : plants_;
      const auto pieces = plan::pieces_of(*taking, from, to);
      for (const plan::LotPiece& piece : pieces) {
        if (piece.share->facts == nullptr) continue;
        const std::string plants = units::format_number(std::round(piece.plants));
        out.push_back(piece.share->lot + (pieces.size() > 1 ? " (" + plants + ")" : ""));
      }
    }
    return out;
  }

  /// The stage was seen to start on the day of the order.
  bool started() const {
    const sheet::Row row = plan_.row_of(batch_);
    return has_started(row, order_.stage) && row.start(order_.stage) == order_.date;
  }

  /// "104 of 702 plants"; the last one has what is left.
  std::string count_text(double number) const {
    const auto each = plants_each(plan_, batch_, use_);
    const std::string all = report::plants_text(plants_);
    if (!each || !(*each > 0)) return all + " in all";
    const double here = std::min(*each, plants_ - (number - 1) * *each);
    return here > 0 ? units::format_number(std::round(here)) + " of " + all : all + " in all";
  }

  const plan::Plan& plan_;
  const plan::WorkOrder& order_;
  const plan::BatchPlan& batch_;
  const Stage& stage_;
  const language::Use& use_;
  plan::OrderDetail detail_;
  const language::Supply& supply_;
  double total_ = 0, plants_ = 0;
};

bool has_carriers(const language::Protocol& protocol, LabelKind kind) {
  return std::any_of(protocol.supplies.begin(), protocol.supplies.end(),
                     [&](const language::Supply& supply) { return is_carrier(supply, kind); });
}

/// The trays of a trial have the numbers that were drawn, and no others beside them.
bool has_trial_labels(const plan::Plan& plan, const plan::BatchPlan& batch, LabelKind kind) {
  return kind != LabelKind::pots && plan.facts_of(batch).trial;
}

std::vector<Label> carrier_labels(const plan::Plan& plan, const report::Filter& filter,
                                  LabelKind kind) {
  std::vector<Label> out;
  for (const std::size_t i : report::select(plan, filter)) {
    const plan::WorkOrder& order = plan.orders[i];
    if (has_trial_labels(plan, plan.batches[order.batch], kind)) continue;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[order.batch]);
    const auto& uses = protocol.stages[order.stage].works[order.work].uses;
    for (std::size_t u = 0; u < uses.size(); ++u) {
      if (is_carrier(protocol.supplies[uses[u].supply], kind))
        TrayLabels(plan, order, u).add_to(out);
    }
  }
  return out;
}

}  // namespace

std::vector<Label> labels_of(const plan::Plan& plan, const report::Filter& filter, LabelKind kind,
                             std::vector<std::string>* refused) {
  std::vector<bool> wanted(plan.batches.size(), !filter.narrows_orders());
  for (const std::size_t i : report::select(plan, filter)) wanted[plan.orders[i].batch] = true;
  std::vector<Label> out;
  if (kind != LabelKind::batches) out = carrier_labels(plan, filter, kind);
  const Beginnings begun = kind == LabelKind::pots ? Beginnings{} : beginnings_of(plan);
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    const plan::BatchPlan& batch = plan.batches[i];
    if (!wanted[i] || !batch.dated || !report::passes(plan, batch, filter)) continue;
    if (has_trial_labels(plan, batch, kind)) {
      add_trial_labels(plan, static_cast<std::uint32_t>(i), begun, out);
    } else if (kind == LabelKind::batches) {
      out.push_back(batch_label(plan, static_cast<std::uint32_t>(i), begun));
    } else if (refused != nullptr && !has_carriers(plan.protocol_of(batch), kind)) {
      refused->push_back(plan.facts_of(batch).id.value);
    }
  }
  return out;
}

}  // namespace budwood::paper
