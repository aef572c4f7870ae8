#include "language/statement_forms.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace budwood::language {

namespace {

using Form = std::pair<std::string_view, std::string_view>;

constexpr std::array forms{
    Form{"protocol", "protocol leaf_cuttings \"Leaf cuttings\" { ... }"},
    Form{"edition", "edition 2"},
    Form{"crop", "crop \"rosemary\""},
    Form{"source", "source \"house practice\""},
    Form{"note", "note \"Water the day before.\""},
    Form{"input", "input take = 85 % from 40 % to 100 % \"cuttings that root\""},
    Form{"let", "let trays = ceil(sticking.plants / 72)"},
    Form{"table", "table days_to_root(soil degC -> days) { 15: 30  20: 21 }"},
    Form{"supply", "supply clip \"Grafting clip\" in clips pack 200 reused"},
    Form{"part", "part cutting \"Rooted cutting\""},
    Form{"stage", "stage rooting of cutting { ... }"},
    Form{"after", "after sowing by 2 to 4 days"},
    Form{"observe", "observe callus in % \"unions with callus all round\""},
    Form{"repeat", "repeat 4 times { stage ... }"},
    Form{"starts", "starts within 10 to 14 days of sowing.start"},
    Form{"season", "season 15 January to 15 March"},
    Form{"until", "until callus >= 80 %, at most 21 days"},
    Form{"room", "room mist_frame"},
    Form{"space", "space ceil(plants / 72) trays"},
    Form{"lasts", "lasts 10 to 18 days usually 12 days"},
    Form{"may", "may wait 3 days"},
    Form{"no", "no wait"},
    Form{"no entry", "no entry for 12 h after"},
    Form{"if", "if callus < 50 % on day 14 { warn \"Look at the root zone first.\" }"},
    Form{"warn", "warn \"Look at the root zone first.\""},
    Form{"waive", "waive humidity_step \"the bench is fogged\""},
    Form{"rules", "rules house_rules \"What we hold to\" { rule ... }"},
    Form{"rule", "rule labels \"Everything is labelled\" { ... }"},
    Form{"for", "for each work w tagged cutting { require ... }"},
    Form{"loses", "loses 8 %"},
    Form{"takes", "takes sowing"},
    Form{"yields", "yields 3.5 per plant"},
    Form{"discard", "discard surplus"},
    Form{"in", "in whole tray_72"},
    Form{"minimum", "minimum 50 plants"},
    Form{"setup", "setup 15 min"},
    Form{"keep", "keep humidity 95 % until day 3"},
    Form{"taper", "taper humidity 95 % to 70 % from day 4 to last day"},
    Form{"mist", "mist 10 s every 30 min from 07:00 to 19:00 until day 3"},
    Form{"do", "do \"Pot on\" on day 1 { rate 90 per hour }"},
    Form{"set", "set take = 75 %"},
    Form{"change", "change stage rooting { lasts 14 to 22 days usually 16 days }"},
    Form{"add", "add stage resting of cutting after rooting { ... }"},
    Form{"drop", "drop work \"Pot on\" in potting"},
    Form{"rename", "rename stage rooting to striking"},
    Form{"rate", "rate 90 per hour"},
    Form{"time", "time 20 min"},
    Form{"crew", "crew potting"},
    Form{"people", "people 2"},
    Form{"use", "use 0.35 m tape each"},
    Form{"tool", "tool \"Secateurs\""},
    Form{"tagged", "tagged cutting"},
    Form{"caution", "caution \"Sharp knife: cut away from the body.\""},
    Form{"record", "record rooted in plants"},
    Form{"require", "require rooting.end <= sticking.start + 6 weeks else \"Too late.\""},
    Form{"advise",
         "advise rooting.left >= 0.7 * rooting.plants else \"A poor strike is expected.\""},
};

constexpr std::array<std::string_view, 2> later{"variant", "below"};

}  // namespace

std::string_view statement_form(std::string_view keyword) {
  const auto* found =
      std::find_if(forms.begin(), forms.end(), [&](const Form& f) { return f.first == keyword; });
  return found == forms.end() ? std::string_view{} : found->second;
}

bool is_later_word(std::string_view word) {
  return std::find(later.begin(), later.end(), word) != later.end();
}

}  // namespace budwood::language
