#include "language/model.hpp"

#include <algorithm>
#include <cmath>

#include "text/text.hpp"

namespace budwood::language {

bool grows_with_plants(const Work& work) {
  const bool labour =
      work.rate != no_formula || (work.time != no_formula && work.time_share.grows());
  return labour || !work.records.empty() ||
         std::any_of(work.uses.begin(), work.uses.end(),
                     [](const Use& use) { return use.share.grows(); });
}

bool has_tag(const Work& work, std::string_view tag) {
  return std::find(work.tags.begin(), work.tags.end(), tag) != work.tags.end();
}

bool looks_after_plants(const Work& work) {
  return has_tag(work, "watch") || has_tag(work, "water") || has_tag(work, "settings");
}

bool goes_on_in_wait(const Work& work) {
  return work.timing.kind == Timing::Kind::repeat && work.timing.to.last &&
         looks_after_plants(work);
}

namespace {

/// Among the first `works` of a stage, of the last of them the first `uses`; where none of these
/// uses the supply, in the nearest of the stages from which the plants come.
std::vector<UsePlace> nearest_uses(const Protocol& protocol, StageId stage, std::size_t works,
                                   std::size_t uses, SupplyId supply) {
  std::vector<UsePlace> out;
  // Plants may come from as many stages as there are.
  for (std::size_t turn = 0; turn < protocol.stages.size(); ++turn) {
    const Stage& here = protocol.stages[stage];
    for (std::size_t w = 0; w < works; ++w) {
      const std::vector<Use>& all = here.works[WorkId(w)].uses;
      const std::size_t end = w + 1 == works ? std::min(uses, all.size()) : all.size();
      for (std::size_t u = 0; u < end; ++u) {
        if (all[u].supply == supply) out.push_back({stage, WorkId(w), u});
      }
    }
    if (!out.empty() || here.takes.size() != 1) break;
    stage = here.takes.front();
    works = protocol.stages[stage].works.size();
    uses = SIZE_MAX;
  }
  return out;
}

}  // namespace

std::vector<UsePlace> uses_before(const Protocol& protocol, StageId stage, WorkId work,
                                  std::size_t uses, SupplyId supply) {
  return nearest_uses(protocol, stage, work.place() + 1, uses, supply);
}

std::vector<UsePlace> uses_in(const Protocol& protocol, StageId stage, SupplyId supply) {
  return nearest_uses(protocol, stage, protocol.stages[stage].works.size(), SIZE_MAX, supply);
}

double footprint_of(const Protocol& protocol, const Space& space) {
  if (space.supply.known()) return protocol.supplies[space.supply].footprint;
  double found = 0;
  for (const Supply& supply : protocol.supplies) {
    if (supply.footprint <= 0 || supply.unit.noun != space.noun) continue;
    if (found > 0 && found != supply.footprint) return 0;
    found = supply.footprint;
  }
  return found;
}

const Use* tray_of(const Protocol& protocol, const Stage& stage) {
  if (!stage.takes.empty() || stage.whole_supply.known()) return nullptr;
  for (const Work& work : stage.works) {
    for (const Use& use : work.uses) {
      const bool by_group = use.share.per != no_formula && !use.share.load;
      if (by_group && protocol.supplies[use.supply].footprint > 0) return &use;
    }
  }
  return nullptr;
}

std::optional<double> area_factor(const Protocol& protocol, const Space& space) {
  if (space.noun == "m2") return 1;
  const double footprint = footprint_of(protocol, space);
  return footprint > 0 ? std::optional(footprint) : std::nullopt;
}

std::size_t space_on(const Stage& stage, int day) {
  std::size_t at = 0;
  while (at + 1 < stage.space.size() && stage.space[at + 1].from <= day) ++at;
  return at;
}

Work move_work(const text::Span& span) {
  Work work;
  work.title = "Move the plants";
  work.moves = true;
  work.timing.kind = Timing::Kind::days;
  work.timing.days = {StageDay{false, 1, span}};
  work.timing.must = true;
  work.timing.span = span;
  work.span = span;
  return work;
}

std::pair<int, int> days_of(const Work& work) {
  constexpr int far = 1'000'000;
  const auto day = [](const StageDay& one) { return one.last ? far : one.day; };
  const Timing& timing = work.timing;
  if (timing.kind == Timing::Kind::start) return {1, 1};
  if (timing.kind == Timing::Kind::repeat) return {day(timing.from), day(timing.to)};
  std::pair<int, int> out{far, 1};
  for (const StageDay& one : timing.days) {
    out.first = std::min(out.first, day(one));
    out.second = std::max(out.second, day(one));
  }
  if (timing.any_day) out.second = day(timing.to);
  return out;
}

std::string words(const Hours& hours) {
  std::vector<std::string> out;
  if (hours.first) out.emplace_back("first of the day");
  if (!hours.at.empty()) out.push_back(hours.at);
  for (const std::string& title : hours.titles) out.push_back("after \"" + title + "\"");
  if (hours.overnight) out.emplace_back("overnight");
  std::string text;
  for (const std::string& one : out) text += (text.empty() ? "" : ", ") + one;
  return text;
}

bool changes_room(const Protocol& protocol, const Stage& stage) {
  return !stage.room.empty() &&
         std::any_of(stage.takes.begin(), stage.takes.end(),
                     [&](StageId before) { return protocol.stages[before].room != stage.room; });
}

bool may_be_due_on(const Work& work, int day) {
  const Timing& timing = work.timing;
  const auto [first, last] = days_of(work);
  if (timing.kind == Timing::Kind::start) return day <= 1 + timing.within;
  if (timing.any_day) return first <= day && day <= last;
  if (timing.kind == Timing::Kind::repeat) {
    return first <= day && day <= last && (day - first) % timing.interval <= timing.within;
  }
  return std::any_of(timing.days.begin(), timing.days.end(), [&](const StageDay& one) {
    return !one.last && one.day <= day && day <= one.day + timing.within;
  });
}

bool follows_from_picking(const Stage& stage, const Work& work) {
  if (work.picks == 0) return false;
  const text::Span& pick = stage.picks[static_cast<std::size_t>(work.picks) - 1].span;
  return work.span.source == pick.source && work.span.begin == pick.begin;
}

const char* word(Grade::Way way) {
  switch (way) {
    case Grade::Way::goes_on:
      return "goes on";
    case Grade::Way::sold:
      return "sold";
    case Grade::Way::thrown_out:
      return "thrown out";
  }
  return "";
}

bool picks_in_portions(const Stage& stage) {
  return !stage.picks.empty() && stage.picks.front().share != no_formula;
}

bool is_look(const Work& work) {
  return !work.records.empty() && work.uses.empty() && work.tags.empty();
}

bool takes_from(const Stage& stage, StageId other) {
  return std::find(stage.takes.begin(), stage.takes.end(), other) != stage.takes.end();
}

bool waits_for_light(const Stage& stage) {
  const auto waits = [](const auto& one) { return one.light != no_formula; };
  return std::any_of(stage.settings.begin(), stage.settings.end(), waits) ||
         std::any_of(stage.works.begin(), stage.works.end(), [&](const Work& work) {
           return std::any_of(work.uses.begin(), work.uses.end(), waits);
         });
}

std::vector<StageId> looked_at_in(const Protocol& protocol, StageId stage, ObservationId what) {
  const auto records = [&](StageId s) {
    const List<Work>& works = protocol.stages[s].works;
    return std::any_of(works.begin(), works.end(), [&](const Work& work) {
      return std::any_of(work.records.begin(), work.records.end(), [&](const Record& record) {
        return record.name == protocol.observations[what].name;
      });
    });
  };
  std::vector<StageId> out;
  if (!records(stage)) {
    for (const StageId s : protocol.stages.ids()) {
      if (protocol.stages[s].part != protocol.stages[stage].part && records(s)) out.push_back(s);
    }
  }
  if (out.empty()) out.push_back(stage);
  return out;
}

std::optional<double> look_up_word(const Table& table, const std::string& word,
                                   std::string& advice) {
  const auto found = std::find(table.words.begin(), table.words.end(), word);
  if (found != table.words.end()) {
    return table.values[static_cast<std::size_t>(found - table.words.begin())];
  }
  advice = text::did_you_mean(word, table.words);
  if (advice.empty()) advice = "It has " + text::list_words(table.words, "and") + ".";
  return std::nullopt;
}

const Layer* layer_of(const Protocol& protocol, const text::Span& span) {
  for (const Layer& layer : protocol.layers) {
    const text::Span& all = layer.span;
    if (span.source == all.source && span.source != nullptr && span.begin >= all.begin &&
        span.end <= all.end) {
      return &layer;
    }
  }
  return nullptr;
}

std::optional<LossInput> loss_input(const Protocol& protocol, const Stage& stage) {
  if (stage.loses == no_formula) return std::nullopt;
  using Kind = Node::Kind;
  const Node* share = &protocol.node(stage.loses);
  bool lost = true;
  if (share->kind == Kind::apply && share->operation == Operation::subtract) {
    const Node& all = protocol.node(share->children[0]);
    if (all.kind != Kind::constant || all.value != 1) return std::nullopt;
    share = &protocol.node(share->children[1]);
    lost = false;
  }
  if (share->kind != Kind::input) return std::nullopt;
  return LossInput{InputId(share->target), lost};
}

std::optional<double> likeness_of(double share, double spread) {
  if (spread == 0) return 0;
  const double likeness = spread * spread / (share * (1 - share));
  if (!(spread > 0) || !(likeness < 1)) return std::nullopt;
  return likeness;
}

double spread_of(double share, double likeness) {
  return std::sqrt(std::max(share * (1 - share) * likeness, 0.0));
}

}  // namespace budwood::language
