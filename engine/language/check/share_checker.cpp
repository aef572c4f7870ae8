#include "language/check/flow_checker.hpp"

#include <algorithm>

namespace budwood::language {

namespace {

void check_share(const Protocol& protocol, const UsePlace& place, const Share& share,
                 const text::Span& span, text::Diagnostics& diagnostics) {
  if (!share.supply.known()) return;
  if (!uses_before(protocol, place.stage, place.work, place.use, share.supply).empty()) return;
  const std::string& name = protocol.supplies[share.supply].name;
  diagnostics.error("no-such-use", span,
                    "Neither the stage before this line nor one before it uses `" + name + "`.",
                    "Say first how many are used, such as: use 1 " + name + " per 72");
}

/// `space tray_72` counts those that are used in the stage, or in one before it.
void check_space(const Protocol& protocol, StageId stage, const Space& space,
                 text::Diagnostics& diagnostics) {
  if (space.kind != Space::Kind::used) return;
  if (!uses_in(protocol, stage, space.supply).empty()) return;
  const std::string& name = protocol.supplies[space.supply].name;
  diagnostics.error(
      "no-such-use", space.span, "Neither this stage nor one before it uses `" + name + "`.",
      "Say how many are used, such as `use 1 " + name +
          " per 72` in a work, or how many stand here: `space ceil(plants / 72) " + name + "`.");
}

}  // namespace

void check_shares(const Protocol& protocol, text::Diagnostics& diagnostics) {
  for (const StageId s : protocol.stages.ids()) {
    const Stage& stage = protocol.stages[s];
    for (const Space& one : stage.space) check_space(protocol, s, one, diagnostics);
    for (const WorkId w : stage.works.ids()) {
      const Work& work = stage.works[w];
      check_share(protocol, {s, w, work.uses.size()}, work.time_share, work.span, diagnostics);
      for (std::size_t u = 0; u < work.uses.size(); ++u) {
        check_share(protocol, {s, w, u}, work.uses[u].share, work.uses[u].span, diagnostics);
      }
    }
  }
}

void check_records(const Protocol& protocol, text::Diagnostics& diagnostics) {
  std::vector<const Record*> records;
  for (const Stage& stage : protocol.stages) {
    for (const Work& work : stage.works) {
      for (const Record& one : work.records) records.push_back(&one);
    }
  }
  std::vector<std::string> open;
  for (const Observation& one : protocol.observations) {
    const bool recorded = std::any_of(records.begin(), records.end(),
                                      [&](const Record* r) { return r->name == one.name; });
    if (!recorded) open.push_back(one.name);
  }
  for (const Record* one : records) {
    std::string advice = text::did_you_mean(one->name, open);
    if (advice.empty()) continue;
    diagnostics.warning("unknown-name", one->span,
                        "`" + one->name + "` is recorded, but is not what is observed.",
                        std::move(advice));
  }
}

}  // namespace budwood::language
