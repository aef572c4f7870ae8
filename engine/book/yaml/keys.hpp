/// Which keys the files of a book have: one list for the readers, for what they say about a key
/// that is not known, and for the reference (`grammar/book.md`), which a test holds against it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace budwood::book {

/// Each map of a book's files whose keys are known words. Maps by name (rooms, crews, inputs) have
/// none.
enum class KeyMap : std::uint8_t {
  site,
  working,
  room,
  energy,     ///< its prices
  water,      ///< of the site
  standing,   ///< what a room is set to when no plants ask for anything
  tolerance,  ///< of a room or of the site
  scouting,   ///< of a room
  steps,      ///< what can be set in a room or at the site
  crew,
  duty,
  leave,
  extra,
  supply,
  offer,  ///< of a supplier, for a supply
  lot,
  mothers,
  finished,
  recipe,
  climate,
  normals,
  weather,  ///< the columns of a file of temperatures
  labels,
  moving,
  spacing,  ///< `picking` too
  batches,  ///< batches.yaml, and a file of what is wanted
  batch,
  demand,    ///< of a batch
  promised,  ///< to somebody, of a batch
  trial,
  arm,  ///< of a trial
  levelled_file,
  levelled,
  editions_file,
  edition,
  learned_file,
  learned,
};

struct Keys {
  KeyMap map;
  std::string heading;  ///< of the reference
  std::string what;     ///< completes "`x` is not a key of ...": "a room"
  std::vector<std::string> names;
};

/// One entry for each map, in the order of the enumeration.
const std::vector<Keys>& all_keys();
const Keys& keys_of(KeyMap map);

}  // namespace budwood::book
