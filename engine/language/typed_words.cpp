#include "language/typed_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "language/statements.hpp"

namespace budwood::language {

namespace {

struct Word {
  std::string_view typed;  ///< in lower case
  std::string_view advice;
};

struct StatementWord {
  std::string_view typed;
  unsigned blocks;  ///< in which it is meant so
  std::string_view advice;
};

constexpr unsigned anywhere = ~0U;

constexpr std::array statement_words{
    StatementWord{"duration", of_stages, "How long a stage lasts: `lasts 14 days`."},
    StatementWord{"last", of_stages, "How long a stage lasts: `lasts 14 days`."},
    StatementWord{"length", of_stages, "How long a stage lasts: `lasts 14 days`."},
    StatementWord{"days", of_stages, "How long a stage lasts: `lasts 14 days`."},
    StatementWord{"humidity", of_stages, "A setting is kept: `keep humidity 95 %`."},
    StatementWord{"rh", of_stages, "A setting is kept: `keep humidity 95 %`."},
    StatementWord{"air", of_stages, "A setting is kept: `keep air 22 degC`."},
    StatementWord{"temperature", of_stages, "A setting is kept: `keep air 22 degC`."},
    StatementWord{"temp", of_stages, "A setting is kept: `keep air 22 degC`."},
    StatementWord{"root_zone", of_stages, "A setting is kept: `keep root_zone 24 degC`."},
    StatementWord{"bottom_heat", of_stages, "A setting is kept: `keep root_zone 24 degC`."},
    StatementWord{"light", of_stages, "A setting is kept: `keep light 100 umol/m2/s for 16 h`."},
    StatementWord{"shade", of_stages, "A setting is kept: `keep shade 50 %`."},
    StatementWord{"vpd", of_stages, "A setting is kept: `keep vpd 0.4 kPa`."},
    StatementWord{"co2", of_stages, "A setting is kept: `keep co2 800 ppm`."},
    StatementWord{"fog", of_stages, "Fog is written like mist: `mist 10 s every 30 min`."},
    StatementWord{"water", of_stages, "Watering is work: `do \"Water\" daily { time 20 min }`."},
    StatementWord{"wait", of_stages, "How long plants may stay on: `may wait 3 days`."},
    StatementWord{"can", of_stages, "How long plants may stay on: `may wait 3 days`."},
    StatementWord{"hold", of_stages, "How long plants may stay on: `may wait 3 days`."},
    StatementWord{"work", of_stages, "Work is written `do \"Look at them\" on day 3 { ... }`."},
    StatementWord{"task", of_stages, "Work is written `do \"Look at them\" on day 3 { ... }`."},
    StatementWord{"step", of_stages, "Work is written `do \"Look at them\" on day 3 { ... }`."},
    StatementWord{"losses", of_stages, "What does not come through: `loses 8 %`."},
    StatementWord{"loss", of_stages, "What does not come through: `loses 8 %`."},
    StatementWord{"survival", of_stages, "What does not come through: `loses 1 - 92 %`."},
    StatementWord{"take", of_stages, "What does not come through: `loses 1 - take`."},
    StatementWord{"for", of_stages, "Days stand behind a value: `until day 3`."},
    StatementWord{"version", of_protocol | of_rules, "The number of this version: `edition 2`."},
    StatementWord{"author", of_protocol | of_rules, "Who says so: `source \"house practice\"`."},
    StatementWord{"by", of_protocol | of_rules, "Who says so: `source \"house practice\"`."},
    StatementWord{"title", of_protocol,
                  "A title stands behind the name: `protocol p \"Title\" {`."},
    StatementWord{"name", of_protocol, "A title stands behind the name: `protocol p \"Title\" {`."},
    StatementWord{"variable", of_protocol, "Write `input take = 85 %` or `let x = 2 * take`."},
    StatementWord{"material", of_protocol, "What work uses: `supply clip \"Clip\" in clips`."},
    StatementWord{"tool", of_protocol, "A tool stands in the work: `tool \"Secateurs\"`."},
    StatementWord{"do", of_protocol, "Work stands in a stage: `stage sowing of plant { do ... }`."},
    StatementWord{"takes", of_work, "How long work takes: `time 20 min`."},
    StatementWord{"duration", of_work, "How long work takes: `time 20 min`."},
    StatementWord{"warn", of_work, "What people must mind: `caution \"Sharp knife.\"`."},
    StatementWord{"warning", of_work, "What people must mind: `caution \"Sharp knife.\"`."},
    StatementWord{"danger", of_work, "What people must mind: `caution \"Sharp knife.\"`."},
    StatementWord{"for", of_work, "An amount for some plants: `use 1 tray per 50`."},
    StatementWord{"per", of_work, "An amount for some plants: `use 1 tray per 50`."},
    StatementWord{"workers", of_work, "People at it together: `people 2`."},
    StatementWord{"count", of_work, "What is counted and written down: `record rooted in plants`."},
    StatementWord{"measure", of_work, "What is looked at and written down: `record callus in %`."},
    StatementWord{"every", of_work, "When stands in the head: `do \"Look\" every 3 days { ... }`."},
    StatementWord{"on", of_work, "When stands in the head: `do \"Look\" on day 3 { ... }`."},
    StatementWord{"daily", of_work, "When stands in the head: `do \"Look\" daily { ... }`."},
    StatementWord{"comment", anywhere, "A comment starts with #."},
};

constexpr std::array setting_words{
    Word{"rh", "Relative humidity is called `humidity`."},
    Word{"temperature", "Its temperature is called `air`, `leaf` or `root_zone`."},
    Word{"temp", "Its temperature is called `air`, `leaf` or `root_zone`."},
    Word{"heat", "Warmth is called `air` or `root_zone`."},
    Word{"bottom_heat", "Bottom heat is called `root_zone`."},
    Word{"bottom", "Bottom heat is called `root_zone`."},
    Word{"soil", "The temperature of the soil is called `root_zone`."},
    Word{"bed", "The temperature of the bed is called `root_zone`."},
    Word{"bench", "The temperature of the bench is called `root_zone`."},
    Word{"medium", "The temperature of the medium is called `root_zone`."},
    Word{"root", "The temperature at the roots is called `root_zone`."},
    Word{"ppfd", "It is called `light`, in umol/m2/s."},
    Word{"par", "It is called `light`, in umol/m2/s."},
    Word{"lux", "It is called `light`, in umol/m2/s."},
    Word{"dli", "A sum of light is called `light_sum`, in mol/m2/day."},
    Word{"daily_light_integral", "A sum of light is called `light_sum`, in mol/m2/day."},
    Word{"night_interruption", "Light in the middle of the night is called `night_break`."},
    Word{"lamps", "What lamps give is asked for with `light`, `light_sum` or `photoperiod`."},
    Word{"day_length", "The length of the day is called `photoperiod`."},
    Word{"daylength", "The length of the day is called `photoperiod`."},
    Word{"hours", "The length of the day is called `photoperiod`."},
    Word{"watering", "Water on an area a day is called `irrigation`."},
    Word{"water", "Water on an area a day is called `irrigation`."},
    Word{"fog", "Fog is written like mist: `mist 10 s every 30 min`."},
    Word{"mist", "Mist is written `mist 10 s every 30 min`, without `keep`."},
    Word{"shading", "It is called `shade`."},
    Word{"vapour_pressure_deficit", "It is called `vpd`."},
};

constexpr std::array unit_words{
    Word{"sec", "Write `s`."},
    Word{"secs", "Write `s`."},
    Word{"mins", "Write `min`."},
    Word{"hr", "Write `h`."},
    Word{"hrs", "Write `h`."},
    Word{"wk", "Write `weeks`."},
    Word{"wks", "Write `weeks`."},
    Word{"litre", "Write `L`."},
    Word{"litres", "Write `L`."},
    Word{"liter", "Write `L`."},
    Word{"liters", "Write `L`."},
    Word{"ltr", "Write `L`."},
    Word{"ltrs", "Write `L`."},
    Word{"cc", "Write `mL`."},
    Word{"mls", "Write `mL`."},
    Word{"millilitres", "Write `mL`."},
    Word{"milliliters", "Write `mL`."},
    Word{"gram", "Write `g`."},
    Word{"grams", "Write `g`."},
    Word{"gr", "Write `g`."},
    Word{"kilo", "Write `kg`."},
    Word{"kilos", "Write `kg`."},
    Word{"kgs", "Write `kg`."},
    Word{"metre", "Write `m`."},
    Word{"metres", "Write `m`."},
    Word{"meter", "Write `m`."},
    Word{"meters", "Write `m`."},
    Word{"sqm", "Write `m2`."},
    Word{"qm", "Write `m2`."},
    Word{"inch", "Write `in`, or the length in cm."},
    Word{"inches", "Write `in`, or the length in cm."},
    Word{"degree", "Write `degC` or `degF`."},
    Word{"degrees", "Write `degC` or `degF`."},
    Word{"deg", "Write `degC` or `degF`."},
    Word{"c", "Temperatures are in degC or degF."},
    Word{"f", "Temperatures are in degC or degF."},
    Word{"celsius", "Write `degC`."},
    Word{"centigrade", "Write `degC`."},
    Word{"fahrenheit", "Write `degF`."},
    Word{"ppfd", "Light is in `umol/m2/s`."},
    Word{"par", "Light is in `umol/m2/s`."},
    Word{"micromol", "Light is in `umol/m2/s`."},
    Word{"mol", "Light is in `umol/m2/s`, a sum of it in `mol/m2/day`."},
    Word{"pct", "Write `%`."},
    Word{"prozent", "Write `%`."},
    Word{"x", "Write the number alone, such as `use 2 clip each`."},
    Word{"month", "Months and years differ in length; use weeks or days."},
    Word{"months", "Months and years differ in length; use weeks or days."},
    Word{"year", "Months and years differ in length; use weeks or days."},
    Word{"years", "Months and years differ in length; use weeks or days."},
};

constexpr std::array number_words{
    Word{"half", "0.5"}, Word{"one", "1"},  Word{"two", "2"},  Word{"three", "3"},
    Word{"four", "4"},   Word{"five", "5"}, Word{"six", "6"},  Word{"seven", "7"},
    Word{"eight", "8"},  Word{"nine", "9"}, Word{"ten", "10"}, Word{"twelve", "12"},
    Word{"dozen", "12"},
};

/// Beside a number that is not known exactly.
constexpr std::array vague_words{
    Word{"about", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"approx", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"approximately", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"around", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"ca", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"circa", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"~", "Say a range, such as `12 to 16 days usually 14 days`."},
    Word{"so", "Say a range, such as `12 to 16 days usually 14 days`."},
};

/// Where it does not fit, whatever it stands in.
constexpr std::array slip_words{
    Word{"normally", "What plans use is written `usually`."},
    Word{"mostly", "What plans use is written `usually`."},
    Word{"range", "A range of what may be set is written `from 40 % to 100 %`."},
    Word{"->", "A range is written with `to`."},
    Word{"..", "A range is written with `to`."},
    Word{"am", "Times of day are written 07:00 to 19:00."},
    Word{"pm", "Times of day are written 07:00 to 19:00."},
    Word{"[", "Blocks stand in braces { }."},
    Word{"is", "Compare with <, <=, >, >= or =."},
    Word{"days", "Days are written `until day 3`, `from day 4 to day 9` or `on day 3`."},
    Word{"first", "Days are written `until day 3`, `from day 4 to day 9` or `on day 3`."},
};

/// Before a number that does not fit.
constexpr std::array before_number_words{
    Word{"day", "Days are written `until day 3`, `from day 4 to day 9` or `on day 3`."},
    Word{"x", "A length by a width is written with `by`: `40 cm by 60 cm`."},
};

/// When work is done.
constexpr std::array timing_words{
    Word{"weekly", "Write `every 7 days`."},
    Word{"week", "Write `every 7 days`."},
    Word{"fortnight", "Write `every 14 days`."},
    Word{"fortnightly", "Write `every 14 days`."},
    Word{"other", "Write `every 2 days`."},
    Word{"second", "Write `every 2 days`."},
    Word{"third", "Write `every 3 days`."},
    Word{"once", "Write `on day 1`, or `every 7 days` for once a week."},
    Word{"twice", "Write `every 3 days`, or the days: `on day 2, day 5`."},
    Word{"day", "Write `on day 3`, or `daily` for every day."},
    Word{"days", "Each day is named: `on day 3, day 6`."},
    Word{"and", "Put a comma between days: `on day 3, day 6`."},
    Word{"-", "Each day is named: `on day 3, day 4`; or `daily from day 3 to day 5`."},
    Word{"to", "Each day is named: `on day 3, day 4`; or `daily from day 3 to day 5`."},
    Word{"the", "Write `on last day`, or `on day 3`."},
    Word{"after", "Days count from the start of the stage: `on day 4`."},
    Word{"(", "What belongs to the work stands in braces { }."},
    Word{"monday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"tuesday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"wednesday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"thursday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"friday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"saturday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
    Word{"sunday", "Work is done on days of the stage, such as `on day 3` or `every 7 days`."},
};

std::string lower_case(std::string_view word) {
  std::string out(word);
  for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

template <std::size_t n>
std::string find(const std::array<Word, n>& words, std::string_view word) {
  const std::string typed = lower_case(word);
  const auto found =
      std::find_if(words.begin(), words.end(), [&](const Word& one) { return one.typed == typed; });
  return found == words.end() ? std::string() : std::string(found->advice);
}

}  // namespace

std::string advice_for_statement(std::string_view word, unsigned blocks) {
  const std::string typed = lower_case(word);
  const auto found = std::find_if(
      statement_words.begin(), statement_words.end(),
      [&](const StatementWord& one) { return one.typed == typed && (one.blocks & blocks) != 0; });
  return found == statement_words.end() ? std::string() : std::string(found->advice);
}

std::string advice_for_setting(std::string_view word) {
  return find(setting_words, word);
}

std::string advice_for_unit(std::string_view word) {
  return find(unit_words, word);
}

std::string advice_for_value(std::string_view word) {
  const std::string digits = find(number_words, word);
  if (!digits.empty()) return "Write the number in digits: " + digits + ".";
  return find(vague_words, word);
}

std::string advice_for_slip(std::string_view word, std::string_view before, bool timing) {
  if (timing) {
    if (std::string advice = find(timing_words, word); !advice.empty()) return advice;
  }
  std::string advice = advice_for_value(word);
  if (advice.empty()) advice = find(slip_words, word);
  if (advice.empty()) advice = advice_for_value(before);
  const bool number = !word.empty() && word.front() >= '0' && word.front() <= '9';
  return advice.empty() && number ? find(before_number_words, before) : advice;
}

}  // namespace budwood::language
