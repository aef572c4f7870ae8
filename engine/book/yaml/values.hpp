/// Readers for the values of a book: each checks kind, unit and range, says in a grower's words
/// what is wrong, and gives nothing then. Private to this module.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/yaml/keys.hpp"
#include "book/yaml/written.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "calendar/calendar.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::book {

/// A map of which all keys are known. Unknown keys are reported when it is made.
class Fields {
 public:
  /// A null node is a map without keys; anything else that is not a map is reported.
  Fields(const Node& node, KeyMap map, text::Diagnostics& diagnostics);

  /// The node is a map, or nothing.
  bool usable() const { return usable_; }
  /// The value of a key; nullptr when it is absent, and when it has no value, which is reported.
  const Node* get(std::string_view key) const;
  /// The same, but its absence is reported; `example` is a line as it should be.
  const Node* need(std::string_view key, std::string_view example) const;
  /// A map or list below; may be empty, so that no value is fine.
  const Node* group(std::string_view key) const { return node_.find(key); }

 private:
  const Node& node_;
  std::string_view what_;
  text::Diagnostics& diagnostics_;
  bool usable_ = true;
};

/// What a value is called and what it must be, for messages.
struct Wanted {
  std::string_view key;      ///< as in "`holds` wants ..."
  std::string_view what;     ///< "a number and a unit"
  std::string_view example;  ///< "30 crates"
};

/// "`holds` wants a number and a unit, such as `30 crates`."
void report_wanted(const Node& node, const Wanted& wanted, text::Diagnostics& diagnostics);

/// The entries of a map. No value is no entries; anything else that is not a map is reported.
const std::vector<Entry>& entries_of(const Node* node, const Wanted& wanted,
                                     text::Diagnostics& diagnostics);
/// The same, less those whose keys cannot be names, which are reported.
std::vector<const Entry*> named_entries(const Node* node, const Wanted& wanted,
                                        text::Diagnostics& diagnostics);

/// Text on one line, not empty, at most `longest` characters.
std::optional<Placed<std::string>> read_line(const Node& node, const Wanted& wanted,
                                             std::size_t longest, text::Diagnostics& diagnostics);
/// Text of any number of lines, at most `longest` characters.
std::optional<std::string> read_text(const Node& node, const Wanted& wanted, std::size_t longest,
                                     text::Diagnostics& diagnostics);

/// Whether `name` can be a name in a protocol: letters, digits and _, a letter first, at most 64.
bool is_name(std::string_view name);
/// Reports what is not a name.
bool check_name(std::string_view name, text::Span span, text::Diagnostics& diagnostics);

/// Whether `name` can be what a site calls a room, a crew or a supply: 1 to 64 characters, among
/// them spaces, but no points, equals signs, asterisks or quotes, which mean something in `--set`.
bool is_own_name(std::string_view name);
/// Reports what is none.
bool check_own_name(std::string_view name, text::Span span, text::Diagnostics& diagnostics);
/// The entries of a map whose keys are such names; others are reported.
std::vector<const Entry*> own_named_entries(const Node* node, const Wanted& wanted,
                                            text::Diagnostics& diagnostics);

/// A day written as 2027-05-10.
std::optional<Placed<calendar::Day>> read_day(const Node& node, const Wanted& wanted,
                                              text::Diagnostics& diagnostics);
/// The same for a piece of a value.
std::optional<calendar::Day> parse_day(std::string_view text, text::Span span, const Wanted& wanted,
                                       text::Diagnostics& diagnostics);

/// A weekday by its short or long name; `key` is what wants it.
std::optional<calendar::Weekday> read_weekday(std::string_view key, const std::string& word,
                                              text::Span span, text::Diagnostics& diagnostics);

/// The value of `days:`: weekdays in the order written, each once.
std::vector<calendar::Weekday> read_weekdays(const Node& node, text::Diagnostics& diagnostics);

/// Whether an unknown word in place of a unit is refused or taken as something counted: a protocol
/// may bring words of its own.
enum class UnitWords : std::uint8_t { only_known, counted_too };

/// A number and perhaps a unit. An unknown word that is taken as something counted and looks like a
/// slip of a known one is a warning.
std::optional<Written> read_quantity(const Node& node, const Wanted& wanted, UnitWords words,
                                     text::Diagnostics& diagnostics);

/// The value of one input: a number and perhaps a unit, and what it was counted on.
std::optional<Written> read_input(const std::string& name, const Node& node,
                                  text::Diagnostics& diagnostics);
/// Values of inputs by name, each a number and perhaps a unit.
std::map<std::string, Written> read_inputs(const Node* node, std::string_view key,
                                           text::Diagnostics& diagnostics);

/// Which shares are taken.
enum class ShareRange : std::uint8_t {
  from_zero,          ///< 0 % to under 100 %
  above_zero,         ///< the same without 0 %
  above_zero_or_all,  ///< above 0 % and up to 100 %
  any,                ///< 0 % to 100 %
};

/// A share, written as `5 %` or `0.05`.
std::optional<Placed<double>> read_share(const Node& node, const Wanted& wanted, ShareRange range,
                                         text::Diagnostics& diagnostics);

/// A length of time in seconds, 0 to `high`.
std::optional<Placed<double>> read_time(const Node& node, const Wanted& wanted, double high,
                                        text::Diagnostics& diagnostics);

/// A whole number without a unit or with the unit `noun`, `low` to `high`.
std::optional<Placed<std::int64_t>> read_whole(const Node& node, const Wanted& wanted,
                                               std::int64_t low, std::int64_t high,
                                               std::string_view noun,
                                               text::Diagnostics& diagnostics);

}  // namespace budwood::book
