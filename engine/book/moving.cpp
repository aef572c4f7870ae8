#include "book/moving.hpp"

#include <algorithm>

#include "book/yaml/values.hpp"

namespace budwood::book {

std::optional<Site::Moving> read_moving(const Node& node, KeyMap map,
                                        text::Diagnostics& diagnostics) {
  const Fields fields(node, map, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Site::Moving out;
  if (const Node* crew = fields.get("crew")) {
    const auto name = read_line(*crew, {"crew", "the name of a crew", "potting"}, 60, diagnostics);
    if (name && check_own_name(name->value, name->span, diagnostics)) {
      out.crew = name->value;
      out.crew_span = name->span;
    }
  }
  const Node* rate = fields.need("rate", "rate: 400 per hour");
  if (rate == nullptr) return std::nullopt;
  const Wanted wanted{"rate",
                      map == KeyMap::moving ? "plants that one person carries in a time"
                                            : "plants that one person spaces or picks in a time",
                      "400 per hour"};
  const auto written = read_quantity(*rate, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  const units::Dimension dimension = written->quantity.unit.dimension;
  const bool fits = written->quantity.has_unit && (dimension == units::number / units::time ||
                                                   dimension == units::count / units::time);
  if (!fits || !(written->quantity.base() > 0)) {
    report_wanted(*rate, wanted, diagnostics);
    return std::nullopt;
  }
  out.rate = written->quantity.base();
  out.span = rate->span;
  return out;
}

namespace {

language::FormulaId add_rate(const Site::Moving& moving, language::Protocol& protocol) {
  const auto id = static_cast<language::FormulaId>(protocol.nodes.size());
  language::Node& node = protocol.nodes.emplace_back();
  node.value = moving.rate;
  node.type = language::Type::quantity(units::number / units::time);
  node.span = moving.span;
  return id;
}

}  // namespace

namespace {

template <typename Follows>
void set_work(const Site::Moving& moving, language::Protocol& protocol, const Follows& follows) {
  language::FormulaId rate = language::no_formula;
  for (language::Stage& stage : protocol.stages) {
    for (language::Work& work : stage.works) {
      if (!follows(stage, work)) continue;
      if (rate == language::no_formula) rate = add_rate(moving, protocol);
      work.rate = rate;
      work.crew = moving.crew;
      work.crew_span = moving.crew_span;
    }
  }
}

}  // namespace

void set_spacing(const Site::Moving& spacing, language::Protocol& protocol) {
  set_work(spacing, protocol,
           [](const language::Stage&, const language::Work& work) { return work.spaces > 0; });
}

void set_picking(const Site::Moving& picking, language::Protocol& protocol) {
  set_work(picking, protocol, language::follows_from_picking);
}

void add_moves(const Site::Moving& moving, language::Protocol& protocol) {
  language::FormulaId rate = language::no_formula;
  for (language::Stage& stage : protocol.stages) {
    const bool told = std::any_of(stage.works.begin(), stage.works.end(),
                                  [](const language::Work& work) { return work.moves; });
    if (told || !language::changes_room(protocol, stage)) continue;
    if (rate == language::no_formula) rate = add_rate(moving, protocol);
    language::Work work = language::move_work(stage.room_span);
    work.rate = rate;
    work.crew = moving.crew;
    work.crew_span = moving.crew_span;
    stage.works.push_back(std::move(work));
  }
}

}  // namespace budwood::book
