/// The statements of the language: every one stands in this table once. The blocks that the parser
/// knows, the forms that messages show, what may stand once, the words of the canonical form and
/// the kinds of `drop` come from here. What a statement is made of, its struct in `tree/` says.
/// Private to this module.
#pragma once

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string_view>

namespace budwood::language {

/// Blocks in which statements stand, as bits.
enum StandsIn : unsigned {
  of_file = 1,
  of_protocol = 2,
  of_repeat = 4,
  of_stage = 8,
  of_change = 16,  ///< `change stage`
  of_conditional = 32,
  of_work = 64,
  of_rules = 128,
  of_rule = 256,
  of_for_each = 512,
};

struct Statement {
  std::string_view words;  ///< that start it
  unsigned blocks;         ///< in which it may stand
  bool once;               ///< in each of them
  std::string_view form;   ///< an example of it, shown where one cannot be read
};

inline constexpr bool once = true;
inline constexpr bool often = false;
/// What a stage says may also stand where a stage is changed.
inline constexpr unsigned of_stages = of_stage | of_change;

inline constexpr std::array statements{
    Statement{"protocol", of_file, often, "protocol leaf_cuttings \"Leaf cuttings\" { ... }"},
    Statement{"rules", of_file, often, "rules house_rules \"What we hold to\" { rule ... }"},
    // Of a protocol
    Statement{"edition", of_protocol | of_rules, once, "edition 2"},
    Statement{"crop", of_protocol, once, "crop \"rosemary\""},
    Statement{"input", of_protocol, often,
              "input take = 85 % from 40 % to 100 % \"cuttings that root\""},
    Statement{"let", of_protocol, often, "let trays = ceil(sticking.plants / 72)"},
    Statement{"table", of_file | of_protocol, often,
              "table days_to_root(soil degC -> days) { 15: 30  20: 21 }"},
    Statement{"supply", of_protocol, often,
              "supply clip \"Grafting clip\" in clips pack 200 reused"},
    Statement{"recipe", of_protocol, often,
              "recipe dip makes 1 L keeps 8 h { use 1 L water  use 2 g powder }"},
    Statement{"part", of_protocol, often, "part cutting \"Rooted cutting\""},
    Statement{"observe", of_protocol, often,
              "observe callus in % \"unions with callus all round\""},
    Statement{"stage", of_protocol | of_repeat, often, "stage rooting of cutting { ... }"},
    Statement{"repeat", of_protocol, often, "repeat 4 times { stage ... }"},
    // Of a stage
    Statement{"after", of_stages, often, "after sowing by 2 to 4 days"},
    Statement{"takes", of_stages, once, "takes sowing"},
    Statement{"starts within", of_stages, often, "starts within 10 to 14 days of sowing.start"},
    Statement{"season", of_stages, once, "season 15 January to 15 March"},
    Statement{"until", of_stages, once, "until callus >= 80 %, at most 21 days"},
    Statement{"room", of_stages, once, "room mist_frame"},
    Statement{"space", of_stages, once, "space ceil(plants / 72) trays"},
    Statement{"under cover", of_stages, once, "under cover"},
    Statement{"lasts", of_stages, once, "lasts 10 to 18 days usually 12 days"},
    Statement{"may wait", of_stages, once, "may wait 3 days"},
    Statement{"no wait", of_stages, once, "no wait"},
    Statement{"holds", of_stages, once, "holds 6 weeks at 2 degC, loses 1 % per week"},
    Statement{"loses", of_stages, once, "loses 8 %"},
    Statement{"yields", of_stages, once, "yields 3.5 per plant"},
    Statement{"picks", of_stages, once, "picks 60 % on day 42, 30 % on last day"},
    Statement{"grades", of_stages, once, "grades first 70 %, second 20 % sold"},
    Statement{"discard", of_stages, once, "discard surplus"},
    Statement{"in whole", of_stages, once, "in whole tray_72"},
    Statement{"minimum", of_stages, once, "minimum 50 plants"},
    Statement{"do", of_stages | of_conditional, often,
              "do \"Pot on\" on day 1 { rate 90 per hour }"},
    Statement{"move", of_stages, once, "move { rate 400 per hour  crew potting }"},
    Statement{"keep", of_stages, often, "keep humidity 95 % until day 3"},
    Statement{"taper", of_stages, often, "taper humidity 95 % to 70 % from day 4 to last day"},
    Statement{"mist", of_stages, often, "mist 10 s every 30 min from 07:00 to 19:00 until day 3"},
    Statement{"irrigate", of_stages, often, "irrigate 0.8 L/m2 at 3 mol of light from day 4"},
    Statement{"if", of_stages, often,
              "if callus < 50 % on day 14 { warn \"Look at the root zone first.\" }"},
    // Of an `if`
    Statement{"warn", of_conditional, often, "warn \"Look at the root zone first.\""},
    // Of work
    Statement{"rate", of_work, once, "rate 90 per hour"},
    Statement{"time", of_work, once, "time 20 min"},
    Statement{"setup", of_work, once, "setup 15 min"},
    Statement{"crew", of_work, once, "crew potting"},
    Statement{"people", of_work, once, "people 2"},
    Statement{"use", of_work, often, "use 0.35 m tape each"},
    Statement{"tool", of_work, often, "tool \"Secateurs\""},
    Statement{"tagged", of_work, often, "tagged cutting"},
    Statement{"caution", of_work, often, "caution \"Sharp knife: cut away from the body.\""},
    Statement{"record", of_work, often, "record rooted in plants"},
    Statement{"no entry", of_work, once, "no entry for 12 h after"},
    // Of a rule set
    Statement{"rule", of_rules, often, "rule labels \"Everything is labelled\" { ... }"},
    Statement{"for", of_rule | of_for_each, often,
              "for each work w tagged cutting { require ... }"},
    // Of several blocks
    Statement{"source", of_protocol | of_stages | of_rules | of_rule, often,
              "source \"house practice\""},
    Statement{"note", of_protocol | of_stages | of_work | of_rules | of_rule, often,
              "note \"Water the day before.\""},
    Statement{"require", of_protocol | of_stages | of_rule | of_for_each, often,
              "require rooting.end <= sticking.start + 6 weeks else \"Too late.\""},
    Statement{"advise", of_protocol | of_stages | of_rule | of_for_each, often,
              "advise rooting.left >= 0.7 * rooting.plants else \"A poor strike is expected.\""},
    Statement{"waive", of_protocol | of_stages, often,
              "waive humidity_step \"the bench is fogged\""},
    // What a protocol changes of its base
    Statement{"set", of_protocol, often, "set take = 75 %"},
    Statement{"change", of_protocol | of_change, often,
              "change stage rooting { lasts 14 to 22 days usually 16 days }"},
    Statement{"add", of_protocol, often, "add stage resting of cutting after rooting { ... }"},
    Statement{"drop", of_protocol | of_change, often, "drop work \"Pot on\" in potting"},
    Statement{"variant", of_protocol, often,
              "variant splice \"Plain splice, tape only\" { set take = 75 % }"},
    Statement{"rename", of_protocol, often, "rename stage rooting to striking"},
};

/// Where it stands in the table; past its end when it does not.
constexpr std::size_t place_of_statement(std::string_view words) {
  std::size_t place = 0;
  while (place < statements.size() && statements[place].words != words) ++place;
  return place;
}

/// The statement that starts with these words; nullptr when none does.
constexpr const Statement* find_statement(std::string_view words) {
  const std::size_t place = place_of_statement(words);
  return place < statements.size() ? &statements[place] : nullptr;
}

/// The same for words that are written in the program: others do not compile. By places, because
/// addresses that sanitizers watch are not known to the compiler.
consteval const Statement& statement(std::string_view words) {
  const std::size_t place = place_of_statement(words);
  if (place == statements.size()) throw std::logic_error("not in the table of statements");
  return statements[place];
}

constexpr std::string_view first_word(const Statement& one) {
  return one.words.substr(0, one.words.find(' '));
}

}  // namespace budwood::language
