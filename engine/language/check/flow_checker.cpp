#include "language/check/flow_checker.hpp"

#include <algorithm>

#include "language/check/cycle.hpp"

namespace budwood::language {

namespace {

class FlowChecker {
 public:
  FlowChecker(Protocol& protocol, text::Diagnostics& diagnostics)
      : protocol_(protocol),
        diagnostics_(diagnostics),
        errors_before_(diagnostics.count(text::Severity::error)),
        taken_by_(protocol.stages.size()),
        joined_by_(protocol.parts.size()) {}

  void run() {
    for (const StageId i : protocol_.stages.ids()) link_same_part(i);
    for (const StageId i : protocol_.stages.ids()) link_join(i);
    check_waiting();
    check_parts();
    check_moves();
  }

 private:
  Stage& stage(StageId i) { return protocol_.stages[i]; }
  const Part& part(PartId i) { return protocol_.parts[i]; }

  /// Plants are carried where their stage has a room that a stage before it has not.
  void check_moves() {
    for (const Stage& s : protocol_.stages) {
      const auto move =
          std::find_if(s.works.begin(), s.works.end(), [](const Work& work) { return work.moves; });
      if (move == s.works.end() || changes_room(protocol_, s)) continue;
      const std::string why =
          s.room.empty() ? "`" + s.name + "` names no room to carry plants to."
          : s.takes.empty()
              ? "`" + s.name + "` is the first stage of its plants."
              : "The plants of `" + s.name + "` stand in room `" + s.room + "` already.";
      diagnostics_.error("no-move", move->span, why,
                         "Take `move` out, or name another room in one of the stages.");
    }
  }

  void take(StageId taker, StageId from) {
    taken_by_[from].push_back(taker);
    stage(taker).takes.push_back(from);
  }

  /// A stage takes its plants from the stage of its part that it follows: the one that `after`
  /// names, else the one written before it. Or from the stage of another part that `takes` names.
  void link_same_part(StageId i) {
    Stage& s = stage(i);
    StageId before;
    for (const StageId j : protocol_.stages.ids()) {
      if (j < i && stage(j).part == s.part) before = j;
    }
    for (const After& after : s.after) {
      if (after.within || stage(after.stage).part != s.part || after.stage == i) continue;
      before = after.stage;
    }
    if (s.taken_from.known()) {
      take_from_other_part(i, before);
      return;
    }
    if (!s.joined.empty()) {
      if (before.known()) {
        diagnostics_.error("join-late", s.span,
                           "`" + part(s.part).name + "` stands in `" + stage(before).name +
                               "` before this join makes it.",
                           "Write the join before the stages of `" + part(s.part).name + "`.");
      }
      return;
    }
    if (before.known()) take(i, before);
  }

  void take_from_other_part(StageId i, StageId before) {
    const Stage& s = stage(i);
    const bool joins = !s.joined.empty();
    if (!before.known() && !joins && s.taken_from != i) {
      take(i, s.taken_from);
      return;
    }
    text::Diagnostic d;
    d.code = "two-origins";
    d.span = s.takes_span;
    d.message = joins ? "This stage joins parts, so it takes their plants and no others."
                      : "`" + s.name + "` has its plants from the stage of its part before it.";
    d.advice = "Write `takes` in the first stage of a part, with a stage of another part.";
    if (before.known()) d.related.push_back({stage(before).span, "The part stands here before."});
    diagnostics_.add(std::move(d));
  }

  /// The stages of a part whose plants no other stage takes.
  std::vector<StageId> ends_of(PartId p, StageId but = {}) const {
    std::vector<StageId> out;
    for (const StageId j : protocol_.stages.ids()) {
      const bool ends = taken_by_[j].empty() && j != but;
      if (protocol_.stages[j].part == p && ends) out.push_back(j);
    }
    return out;
  }

  /// Plants may go two ways when both lead on to the finished plant; within one part they cannot.
  void report_split(const std::vector<StageId>& ends) {
    text::Diagnostic d;
    d.code = "split";
    d.span = stage(ends[1]).span;
    d.message = "The plants of `" + part(stage(ends[1]).part).name + "` end in `" +
                stage(ends[0]).name + "` and in `" + stage(ends[1]).name +
                "`, so it is open which of them go on.";
    d.advice =
        "Put the stages of a part one after the other. Where plants really go two ways, let "
        "the first stage of another part take some with `takes`.";
    d.related.push_back({stage(ends[0]).span, "The other end is here."});
    diagnostics_.add(std::move(d));
  }

  void link_join(StageId i) {
    for (const PartId joined : std::vector<PartId>(stage(i).joined)) {
      StageId& owner = joined_by_[joined];
      if (owner.known()) {
        diagnostics_.error(
            "split", stage(i).span,
            "`" + part(joined).name + "` is joined in `" + stage(owner).name + "` already.");
        continue;
      }
      owner = i;
      const std::vector<StageId> ends = ends_of(joined, i);
      if (ends.empty()) {
        diagnostics_.error("join-of-nothing", stage(i).span,
                           "`" + part(joined).name + "` is joined here but stands in no stage.",
                           "Write its stages: how it is raised until the join.");
        continue;
      }
      if (ends.size() > 1) report_split(ends);
      take(i, ends.back());
    }
  }

  /// Stages that wait for each other can never start.
  void check_waiting() {
    std::vector<std::pair<std::size_t, std::size_t>> arcs;
    for (const StageId i : protocol_.stages.ids()) {
      for (const StageId from : stage(i).takes) arcs.emplace_back(from.place(), i.place());
      for (const After& after : stage(i).after) {
        if (!after.within) arcs.emplace_back(after.stage.place(), i.place());
      }
    }
    const std::vector<std::size_t> cycle = find_cycle(protocol_.stages.size(), arcs);
    if (cycle.empty()) return;
    std::vector<std::string> names;
    for (const std::size_t i : cycle) names.push_back(protocol_.stages[i].name);
    diagnostics_.error("stages-in-circle", protocol_.stages[cycle.front()].span,
                       "These stages wait for each other and can never start: " +
                           describe_cycle(names, "comes before") + ".",
                       "Stages of a part follow each other in the order written. Write them in the "
                       "order in which they happen, or take out an `after`.");
  }

  void check_parts() {
    std::vector<PartId> finished;
    for (const PartId p : protocol_.parts.ids()) {
      const bool stands = std::any_of(protocol_.stages.begin(), protocol_.stages.end(),
                                      [&](const Stage& s) { return s.part == p; });
      if (!stands) {
        diagnostics_.warning("unused-part", part(p).span,
                             "`" + part(p).name + "` stands in no stage.",
                             "Take the part out, or write its stages.");
      } else if (!joined_by_[p].known() && !ends_of(p).empty()) {
        finished.push_back(p);
      }
    }
    if (finished.size() == 1) {
      protocol_.finished_part = finished.front();
      const std::vector<StageId> ends = ends_of(finished.front());
      // A join that comes too late leaves two ends as well, and is reported already.
      if (ends.size() > 1 && diagnostics_.count(text::Severity::error) == errors_before_) {
        report_split(ends);
      }
      return;
    }
    if (finished.empty()) return;
    constexpr std::size_t most_named = 5;
    if (finished.size() > most_named) finished.resize(most_named);
    std::vector<std::string> names;
    for (const PartId p : finished) names.push_back("`" + part(p).name + "`");
    text::Diagnostic d;
    d.code = "never-joined";
    d.span = part(finished.front()).span;
    d.message = text::list_words(names) +
                " are never joined, so it is open which of them is the finished plant.";
    d.advice = "Add a stage that joins them, or write a protocol for each.";
    for (std::size_t i = 1; i < finished.size(); ++i) {
      d.related.push_back({part(finished[i]).span, "Never joined either."});
    }
    diagnostics_.add(std::move(d));
  }

  Protocol& protocol_;
  text::Diagnostics& diagnostics_;
  std::size_t errors_before_;
  List<std::vector<StageId>, Stage> taken_by_;  ///< by stage: the stages that take its plants
  List<StageId, Part> joined_by_;               ///< by part: the stage that joins it
};

}  // namespace

void check_flow(Protocol& protocol, text::Diagnostics& diagnostics) {
  FlowChecker(protocol, diagnostics).run();
}

}  // namespace budwood::language
