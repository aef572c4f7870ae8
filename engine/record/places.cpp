#include "record/places.hpp"

#include <algorithm>

namespace budwood::record {

namespace {

using language::syntax::EntryLine;
using Kind = EntryLine::Kind;

std::vector<std::string> stage_names(const language::Protocol& protocol) {
  std::vector<std::string> out;
  for (const language::Stage& stage : protocol.stages) out.push_back(stage.name);
  return out;
}

/// What an entry of this kind is about.
enum class Reach : std::uint8_t {
  order,      ///< one order
  work,       ///< a stage, a work of it or one order
  stage,      ///< a stage, or the batch where it has only one
  any_stage,  ///< a stage, or the whole batch
  batch,      ///< the batch alone
  any,
};

Reach reach_of(Kind kind) {
  switch (kind) {
    case Kind::done:
      return Reach::order;
    case Kind::left_out:
      return Reach::work;
    case Kind::started:
    case Kind::ended:
    case Kind::counted:
      return Reach::stage;
    case Kind::stopped:
      return Reach::batch;
    case Kind::seen:
    case Kind::not_seen:
    case Kind::lost:
      return Reach::any_stage;
    case Kind::stock:
    case Kind::came_in:
    case Kind::thrown_out:
    case Kind::note:
    case Kind::lesson:
    case Kind::withdrawal:
      break;
  }
  return Reach::any;
}

class PlaceFinder {
 public:
  PlaceFinder(const EntryLine& line, const Known& known, calendar::Day day,
              text::Diagnostics& diagnostics)
      : line_(line), known_(known), day_(day), diagnostics_(diagnostics) {}

  std::optional<Place> find() {
    const std::string& whole = line_.place.value;
    const std::size_t slash = std::min(whole.find('/'), whole.size());
    place_.batch = whole.substr(0, slash);
    place_.within = slash < whole.size() ? whole.substr(slash + 1) : std::string();
    if (!find_batch() || !is_of_one_kind() || !find_stage() || !fits_reach()) return std::nullopt;
    return place_;
  }

 private:
  bool wrong(const char* code, const std::string& message, const std::string& advice) {
    diagnostics_.error(code, line_.place.span, message, advice);
    return false;
  }

  bool find_batch() {
    place_.protocol = known_.protocol_of(place_.batch);
    if (place_.protocol != nullptr) return true;
    const std::vector<std::string> batches = known_.batches();
    if (std::find(batches.begin(), batches.end(), place_.batch) != batches.end()) {
      return wrong("no-protocol", "The protocol of batch `" + place_.batch + "` cannot be read.",
                   "Mend what `budwood check` says of the book first.");
    }
    std::string advice = text::did_you_mean(place_.batch, batches);
    if (advice.empty()) advice = "An entry begins with its batch, such as `BM27-1/grafting`.";
    return wrong("unknown-name", "There is no batch `" + text::shortened(place_.batch) + "`.",
                 advice);
  }

  /// Plants are counted for each cultivar, because of which they are matters.
  bool is_of_one_kind() {
    if (line_.kind != Kind::counted && line_.kind != Kind::lost) return true;
    const std::vector<std::string> cultivars = known_.cultivars_of(place_.batch);
    if (cultivars.empty()) return true;
    std::vector<std::string> names;
    constexpr std::size_t readable = 6;
    for (std::size_t i = 0; i < std::min(cultivars.size(), readable); ++i) {
      names.push_back("`" + cultivars[i] + "`");
    }
    return wrong("which-cultivar",
                 "Batch `" + place_.batch +
                     "` has several cultivars: this does not say of which "
                     "the plants are.",
                 "Note them for each: " + text::list_words(names) +
                     (cultivars.size() > readable ? ", and so on." : "."));
  }

  bool find_stage() {
    if (place_.within.empty()) return true;
    const std::string name = place_.within.substr(0, place_.within.find('/'));
    for (const language::Stage& stage : place_.protocol->stages) {
      if (stage.name == name) place_.stage = &stage;
    }
    if (place_.stage != nullptr) return true;
    const std::vector<std::string> stages = stage_names(*place_.protocol);
    std::string advice = text::did_you_mean(name, stages);
    if (advice.empty()) advice = "It has " + text::list_words(stages) + ".";
    return wrong("unknown-name",
                 "`" + place_.protocol->name + "` has no stage `" + text::shortened(name) + "`.",
                 advice);
  }

  bool fits_reach() {
    const bool below_stage = place_.within.find('/') != std::string::npos;
    switch (reach_of(line_.kind)) {
      case Reach::order:
        return find_order();
      case Reach::work:
        if (place_.stage == nullptr) return stage_missing();
        return !below_stage || is_known_work();
      case Reach::stage:
        if (place_.stage == nullptr && place_.protocol->stages.size() == 1) {
          place_.stage = &*place_.protocol->stages.begin();
          place_.within = place_.stage->name;
        }
        if (place_.stage == nullptr) return stage_missing();
        return below_stage ? too_deep(place_.batch + "/" + place_.stage->name) : true;
      case Reach::any_stage:
        return below_stage ? too_deep(place_.batch + "/" + place_.stage->name) : true;
      case Reach::batch:
        return place_.within.empty() || too_deep(place_.batch);
      case Reach::any:
        break;
    }
    return !below_stage || is_known_work();
  }

  bool stage_missing() {
    return wrong(
        "which-stage", "This does not say which stage of the batch it is about.",
        "Write it like `" + place_.batch + "/" + stage_names(*place_.protocol).front() + "`.");
  }

  bool too_deep(const std::string& wanted) {
    return wrong("which-stage", "This is not said of a single work order.",
                 "Write `" + wanted + "` instead.");
  }

  /// The orders that a place stands for: itself, or all below it.
  std::vector<std::string> orders_below() const {
    std::vector<std::string> out = below(known_.orders_of(place_.batch));
    return out.empty() ? below(known_.orders_after(place_.batch, day_)) : out;
  }
  std::vector<std::string> below(const std::vector<std::string>& orders) const {
    std::vector<std::string> out;
    for (const std::string& order : orders) {
      if (order == place_.within || order.starts_with(place_.within + "/")) out.push_back(order);
    }
    return out;
  }

  bool is_known_work() {
    if (!orders_below().empty()) return true;
    return no_such_order();
  }

  bool no_such_order() {
    const std::string stage = place_.stage->name;
    std::vector<std::string> here;
    for (const std::string& order : known_.orders_of(place_.batch)) {
      if (order.starts_with(stage + "/")) here.push_back("`" + place_.batch + "/" + order + "`");
    }
    constexpr std::size_t readable = 6;
    std::string advice = "`budwood plan --format csv` names all orders.";
    if (here.empty()) advice = "`" + stage + "` has no work orders; note a sentence with `note`.";
    if (!here.empty() && here.size() <= readable)
      advice = "There is " + text::list_words(here) + ".";
    return wrong("unknown-name",
                 "There is no work order `" + text::shortened(line_.place.value) + "`.", advice);
  }

  bool find_order() {
    if (place_.stage == nullptr) {
      return wrong("which-order", "This does not say which work was done.",
                   "Write the order as the plan names it: `" + place_.batch + "/STAGE/WORK/TURN`.");
    }
    const std::vector<std::string> found = orders_below();
    if (found.empty()) return no_such_order();
    if (found.size() == 1 || found.front() == place_.within) {
      place_.within = found.front();
      return true;
    }
    std::vector<std::string> names;
    constexpr std::size_t readable = 6;
    for (std::size_t i = 0; i < std::min(found.size(), readable); ++i) {
      names.push_back("`" + place_.batch + "/" + found[i] + "`");
    }
    return wrong("which-order", "This can be " + std::to_string(found.size()) + " work orders.",
                 "Write which: " + text::list_words(names, "or") +
                     (found.size() > readable ? ", and so on." : "."));
  }

  const EntryLine& line_;
  const Known& known_;
  calendar::Day day_;
  text::Diagnostics& diagnostics_;
  Place place_;
};

}  // namespace

std::optional<Place> find_place(const EntryLine& line, const Known& known, calendar::Day day,
                                text::Diagnostics& diagnostics) {
  return PlaceFinder(line, known, day, diagnostics).find();
}

}  // namespace budwood::record
