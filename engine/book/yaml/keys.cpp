#include "book/yaml/keys.hpp"

#include "language/language.hpp"

namespace budwood::book {

namespace {

std::vector<std::string> measures_that_can_be_set() {
  std::vector<std::string> names;
  for (const language::MeasureFacts& facts : language::measures()) {
    if (facts.settable) names.push_back(facts.name);
  }
  return names;
}

/// What has a dial or a timer.
std::vector<std::string> measures_and_mist() {
  std::vector<std::string> names = measures_that_can_be_set();
  names.emplace_back("mist");
  return names;
}

/// What can be set, and how long mist runs in a day: all else follows from these.
std::vector<std::string> measures_that_may_differ() {
  std::vector<std::string> names;
  for (const language::MeasureFacts& facts : language::measures()) {
    if (facts.settable || facts.measure == language::Measure::mist_time) {
      names.push_back(facts.name);
    }
  }
  return names;
}

}  // namespace

const std::vector<Keys>& all_keys() {
  static const std::vector<Keys> all = {
      {KeyMap::site,
       "site.yaml",
       "site.yaml",
       {"site",   "latitude", "currency",   "protocols", "working", "rooms",   "tolerance",
        "crews",  "supplies", "inputs",     "sure",      "climate", "rules",   "waive",
        "names",  "units",    "trusts",     "labels",    "record",  "moving",  "spacing",
        "steps",  "spare",    "full_trays", "lots",      "mothers", "recipes", "picking",
        "energy", "water",    "finished",   "surplus"}},
      {KeyMap::working, "working", "`working`", {"days", "hours", "closed"}},
      {KeyMap::room,
       "A room",
       "a room",
       {"holds", "turnover", "mist_flow", "zones", "stands", "tolerance", "steps", "can",
        "by_timer", "scout", "lets_in", "lamps", "area", "heat_loss"}},
      {KeyMap::energy, "energy", "`energy`", {"electricity", "heat"}},
      {KeyMap::water, "water", "`water`", {"ec", "ph", "alkalinity", "hardness", "acid"}},
      {KeyMap::standing, "stands", "`stands`", measures_that_can_be_set()},
      {KeyMap::tolerance, "tolerance", "`tolerance`", measures_that_may_differ()},
      {KeyMap::scouting,
       "scout",
       "`scout`",
       {"for", "act_at", "every", "cards", "from", "until", "crew", "time"}},
      {KeyMap::steps, "steps", "`steps`", measures_and_mist()},
      {KeyMap::crew,
       "A crew",
       "a crew",
       {"people", "hours", "pauses", "leave", "extra", "cost", "duty"}},
      {KeyMap::duty, "duty", "`duty`", {"days", "hours", "who"}},
      {KeyMap::leave, "leave and extra", "`leave`", {"on", "from", "to", "people"}},
      {KeyMap::extra, "leave and extra", "`extra`", {"on", "from", "to", "people"}},
      {KeyMap::supply,
       "A supply",
       "a supply",
       {"on_hand", "price", "lead_time", "scrap", "pack", "footprint", "field_factor", "test_holds",
        "supplier", "minimum", "delivery", "breaks", "keeps", "storage", "use_by", "offers"}},
      {KeyMap::offer,
       "An offer",
       "an offer",
       {"price", "pack", "lead_time", "minimum", "delivery", "breaks"}},
      {KeyMap::lot, "A lot", "a lot", {"of", "count", "test", "use_by", "cultivar"}},
      {KeyMap::mothers,
       "Mothers",
       "mothers",
       {"of", "plants", "gives", "from", "until", "planted", "renew_after", "first_after",
        "generation", "raised_from", "at_most", "cultivar"}},
      {KeyMap::finished,
       "Finished plants",
       "finished plants",
       {"of", "plants", "from", "until", "cultivar"}},
      {KeyMap::recipe,
       "A recipe",
       "a recipe",
       {"makes", "of", "title", "vessel", "keeps", "before", "time", "setup", "people", "crew",
        "hazard", "tool", "caution", "note", "ec", "ph"}},
      {KeyMap::climate,
       "climate",
       "`climate`",
       {"file", "normals", "unit", "radiation", "sunshine", "sky"}},
      {KeyMap::normals,
       "normals",
       "`normals`",
       {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}},
      {KeyMap::weather,
       "A file of temperatures",
       "a file of temperatures",
       {"date", "minimum", "maximum", "radiation"}},
      {KeyMap::labels,
       "labels",
       "`labels`",
       {"page", "across", "down", "width", "height", "top", "left", "gap_across", "gap_down"}},
      {KeyMap::moving, "moving", "`moving`", {"rate", "crew"}},
      {KeyMap::spacing, "spacing and picking", "`spacing` or `picking`", {"rate", "crew"}},
      {KeyMap::batches,
       "batches.yaml",
       "batches.yaml",
       {"batches", "sure", "spare", "full_trays", "early", "late"}},
      {KeyMap::batch,
       "A batch",
       "a batch",
       {"batch", "protocol",   "variant", "plants",  "ready",    "start", "not_before",
        "every", "times",      "sure",    "lots",    "set",      "pins",  "recorded",
        "note",  "cultivars",  "early",   "late",    "priority", "done",  "trial",
        "spare", "full_trays", "demand",  "promised"}},
      {KeyMap::demand, "demand", "`demand`", {"least", "usual", "most", "too_many", "too_few"}},
      {KeyMap::promised, "promised", "`promised`", {"plants", "on", "for"}},
      {KeyMap::trial, "A trial", "a trial", {"arms", "trays", "blocks", "seed"}},
      {KeyMap::arm, "An arm", "an arm", {"variant", "set"}},
      {KeyMap::levelled_file, "levelled.yaml", "levelled.yaml", {"levelled"}},
      {KeyMap::levelled,
       "A levelled batch",
       "a levelled batch",
       {"batch", "ready", "dates", "orders"}},
      {KeyMap::editions_file, "editions.yaml", "editions.yaml", {"editions", "batches"}},
      {KeyMap::edition,
       "A kept edition",
       "a kept edition",
       {"protocol", "rules", "edition", "fingerprint"}},
      {KeyMap::learned_file, "learned.yaml", "learned.yaml", {"learned"}},
      {KeyMap::learned,
       "A learned value",
       "a learned value",
       {"protocol", "edition", "input", "value", "usual", "limits", "behind", "day"}},
  };
  return all;
}

const Keys& keys_of(KeyMap map) {
  return all_keys()[static_cast<std::size_t>(map)];
}

}  // namespace budwood::book
