#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/tree/entry_kind.hpp"

namespace budwood::record {

/// What an entry says, the same for what is typed and what is kept.
using What = language::syntax::EntryKind;
inline constexpr int what_count = 15;

/// As it is typed: "left out". Stock that came in is "came in".
const char* word(What what);
std::optional<What> find_what(std::string_view word);
/// Whether it is about a supply, and of no batch.
bool is_of_stock(What what);
/// Whether an entry of this kind says nothing without a sentence.
bool needs_words(What what);

/// What was used for an order, as it was noted.
struct Used {
  double amount = 0;
  std::string unit;  ///< "" for pieces
  std::string supply;
  friend bool operator==(const Used&, const Used&) = default;
};

/// One thing that happened, as somebody noted it. Never changed: a later entry corrects it.
struct Entry {
  std::string id;          ///< letters and digits, unique without asking anybody
  std::int64_t noted = 0;  ///< when, milliseconds since 1970 in UTC
  /// By which entries are in order: the moment noted, but always more than that of every entry that
  /// the record had then. So a later entry is known as such whatever clocks say, and the entries of
  /// two machines fall into place when they are brought together. 0: not yet given. After Kulkarni
  /// et al., "Logical Physical Clocks", 2014.
  std::int64_t turn = 0;
  calendar::Day day = 0;
  std::string by;     ///< "" when nobody said
  std::string batch;  ///< "" for stock
  std::string place;  ///< within the batch: "", "grafting", "grafting/2" or "grafting/2/1"
  What what = What::note;
  std::string name;              ///< of the observation or the supply; of plants their grade
  std::optional<double> number;  ///< plants, stock, or what was seen; in `unit`
  std::optional<double> of;      ///< of so many that were looked at
  std::string unit;
  std::optional<double> seconds;  ///< people's time
  std::string tray;
  std::vector<Used> used;
  std::string words;     ///< why, the cause, a sentence
  std::string corrects;  ///< the entry that this one takes the place of, or takes back
  friend bool operator==(const Entry&, const Entry&) = default;
};

/// "grafting" of "grafting/2/1".
std::string_view stage_of(const Entry& entry);
/// Whether the place is that of one order.
bool is_order(std::string_view place);
/// "BM27-1/grafting/2/1".
std::string whole_place(const Entry& entry);

/// In the order in which entries were noted, whatever the clocks said; of one moment by id.
bool noted_before(const Entry& one, const Entry& other);
void sort_as_noted(std::vector<Entry>& entries);

/// An id that no other entry anywhere has: 79 bits by lot.
std::string new_id();
/// Whether it could be one, or the front of one.
bool is_id(std::string_view text);
inline constexpr std::size_t id_length = 16;
inline constexpr std::size_t shortest_front = 4;  ///< of an id that stands for it

/// From 1970 to the end of 2199.
inline constexpr calendar::Day days_there_are = 84'006;

/// The machine's clock.
std::int64_t moment_now();
calendar::Day day_now();
/// The day of a moment in UTC.
calendar::Day day_of_moment(std::int64_t moment);
/// "2027-04-08T07:31:22.123Z", and back; nothing when it is none.
std::string moment_text(std::int64_t moment);
std::optional<std::int64_t> parse_moment(std::string_view text);

/// What keeps an entry from being one.
struct Fault {
  /// The piece of the entry that it is about.
  enum class Piece : std::uint8_t { whole, number, time, used, by, tray, words };
  Piece piece = Piece::whole;
  std::string text;  ///< "" when all is well
};

/// Whoever made the entry: numbers beyond what can be, an id that is none, something missing. Names
/// are not looked up.
Fault find_fault(const Entry& entry);
std::string fault_of(const Entry& entry);

}  // namespace budwood::record
