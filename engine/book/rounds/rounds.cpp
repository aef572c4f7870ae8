#include "book/rounds/rounds.hpp"

#include <algorithm>
#include <cctype>
#include <optional>
#include <utility>

namespace budwood::book {

namespace {

std::string days(int number) {
  return std::to_string(number) + (number == 1 ? " day" : " days");
}

/// Letters and digits of a room's name, and `between` for all else.
std::string plain(const std::string& room, char between) {
  std::string out;
  for (const char c : room) {
    out += std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : between;
  }
  return out;
}

/// "fungus_gnats" as people say it.
std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

/// What is done when too many are on a card, seen in the round that is due on the day.
std::string limits_text(const Scouting& scout, int length) {
  std::string out;
  if (scout.act_at <= 0) return out;
  const std::string at = std::to_string(static_cast<std::int64_t>(scout.act_at));
  // In the first round the cards are hung, and nothing is on them yet.
  for (int due = 1 + scout.every; due <= length; due += scout.every) {
    for (const std::string& pest : scout.pests) {
      out += "    if " + pest + " >= " + at + " on day " + std::to_string(due) + " {\n" +
             "      warn \"Too many " + spoken(pest) +
             " on a card: find where they sit, part or treat those plants; after a spray the room "
             "is closed as the label says.\"\n    }\n";
    }
  }
  return out;
}

/// The method of a round, as a protocol would be written. The names of room and crew may have
/// spaces and are put in afterwards.
std::string method_text(const std::string& room, const Scouting& scout) {
  const int length = scout.until - scout.from + 1;
  const std::string seconds = std::to_string(static_cast<std::int64_t>(scout.time)) + " s each\n";
  std::string pests;
  for (const std::string& one : scout.pests) {
    pests += (pests.empty() ? "" : one == scout.pests.back() ? " and " : ", ") + spoken(one);
  }
  std::string out = "protocol scout_" + plain(room, '_') + " \"Rounds with sticky cards\" {\n" +
                    "  source \"`scout` of the room in site.yaml\"\n" +
                    "  supply sticky_card \"Yellow sticky card\" in cards\n";
  for (const std::string& one : scout.pests) {
    out += "  observe " + one + " in " + one + " \"on the fullest card\"\n";
  }
  out += "  part card \"Card in its place\"\n  stage rounds of card \"Rounds for " + pests +
         "\" {\n    lasts " + days(length) + "\n    room scouted\n" +
         "    do \"Hang cards just over the plants, one flat on the mix; number them\" between day "
         "1 and day " +
         std::to_string(std::min(scout.every, length)) + " {\n      time " + seconds +
         "      use 1 sticky_card each\n      tagged pests\n    }\n";
  if (length > scout.every) {
    out += "    do \"Count " + pests +
           " on both sides of each card, look under leaves round it; new cards\" every " +
           days(scout.every) + " from day " + std::to_string(scout.every + 1) +
           " to last day {\n      time " + seconds +
           "      use 1 sticky_card each\n      tool \"Hand lens 10 x\"\n      tagged pests\n";
    for (const std::string& one : scout.pests) out += "      record " + one + "\n";
    out += "    }\n" + limits_text(scout, length);
  }
  return out + "  }\n}\n";
}

std::optional<language::Protocol> method_of_round(const std::string& room, const Scouting& scout,
                                                  text::Sources& sources,
                                                  text::Diagnostics& diagnostics) {
  text::Diagnostics found;
  const text::Source& source =
      sources.add("the rounds of " + room + " in site.yaml", method_text(room, scout));
  language::Document read = language::read(source, found);
  if (found.has_errors() || read.protocols.size() != 1) {
    diagnostics.error(
        "wrong-value", scout.pests_span,
        "`for` names what is counted by words that protocols can use.",
        "Words of the language cannot be names, nor can units. Such as: for: [thrips, "
        "fungus_gnats]");
    return std::nullopt;
  }
  language::Protocol method = std::move(read.protocols.front());
  method.of_site = true;
  for (language::Stage& stage : method.stages) {
    stage.room = room;
    for (language::Work& work : stage.works) {
      work.crew = scout.crew;
      work.crew_span = scout.crew_span;
    }
  }
  return method;
}

}  // namespace

std::string round_name(const std::string& room) {
  return ("scout-" + plain(room, '-')).substr(0, longest_batch_id);
}

void add_rounds(const Site& site, text::Sources& sources, text::Diagnostics& diagnostics,
                std::vector<language::Protocol>& protocols, std::vector<Batch>& batches) {
  for (const auto& [name, room] : site.rooms) {
    if (!room.scout) continue;
    const Scouting& scout = *room.scout;
    const std::string id = round_name(name);
    const auto taken = std::find_if(batches.begin(), batches.end(),
                                    [&](const Batch& one) { return one.id.value == id; });
    if (taken != batches.end()) {
      diagnostics.error("duplicate-batch", taken->id.span,
                        "The rounds of `" + name + "` are called `" + id + "` already.",
                        "Give this one another name.");
      continue;
    }
    auto method = method_of_round(name, scout, sources, diagnostics);
    if (!method) continue;
    Batch batch;
    batch.id = {id, scout.span};
    batch.protocol = {method->name, scout.span};
    batch.plants = {scout.cards, scout.span};
    batch.start = Placed<calendar::Day>{scout.from, scout.span};
    batch.span = scout.span;
    protocols.push_back(std::move(*method));
    batches.push_back(std::move(batch));
  }
}

}  // namespace budwood::book
