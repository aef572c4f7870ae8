#include "language/parse/statement_forms.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace budwood::language {

namespace {

using StatementForm = std::pair<std::string_view, std::string_view>;

constexpr std::array forms{
    StatementForm{"protocol", "protocol leaf_cuttings \"Leaf cuttings\" { ... }"},
    StatementForm{"edition", "edition 2"},
    StatementForm{"crop", "crop \"rosemary\""},
    StatementForm{"source", "source \"house practice\""},
    StatementForm{"note", "note \"Water the day before.\""},
    StatementForm{"input", "input take = 85 % from 40 % to 100 % \"cuttings that root\""},
    StatementForm{"let", "let trays = ceil(sticking.plants / 72)"},
    StatementForm{"table", "table days_to_root(soil degC -> days) { 15: 30  20: 21 }"},
    StatementForm{"supply", "supply clip \"Grafting clip\" in clips pack 200 reused"},
    StatementForm{"part", "part cutting \"Rooted cutting\""},
    StatementForm{"stage", "stage rooting of cutting { ... }"},
    StatementForm{"after", "after sowing by 2 to 4 days"},
    StatementForm{"observe", "observe callus in % \"unions with callus all round\""},
    StatementForm{"repeat", "repeat 4 times { stage ... }"},
    StatementForm{"starts", "starts within 10 to 14 days of sowing.start"},
    StatementForm{"season", "season 15 January to 15 March"},
    StatementForm{"until", "until callus >= 80 %, at most 21 days"},
    StatementForm{"room", "room mist_frame"},
    StatementForm{"space", "space ceil(plants / 72) trays"},
    StatementForm{"lasts", "lasts 10 to 18 days usually 12 days"},
    StatementForm{"may", "may wait 3 days"},
    StatementForm{"no", "no wait"},
    StatementForm{"no entry", "no entry for 12 h after"},
    StatementForm{"if", "if callus < 50 % on day 14 { warn \"Look at the root zone first.\" }"},
    StatementForm{"warn", "warn \"Look at the root zone first.\""},
    StatementForm{"waive", "waive humidity_step \"the bench is fogged\""},
    StatementForm{"rules", "rules house_rules \"What we hold to\" { rule ... }"},
    StatementForm{"rule", "rule labels \"Everything is labelled\" { ... }"},
    StatementForm{"for", "for each work w tagged cutting { require ... }"},
    StatementForm{"loses", "loses 8 %"},
    StatementForm{"takes", "takes sowing"},
    StatementForm{"yields", "yields 3.5 per plant"},
    StatementForm{"discard", "discard surplus"},
    StatementForm{"in", "in whole tray_72"},
    StatementForm{"minimum", "minimum 50 plants"},
    StatementForm{"setup", "setup 15 min"},
    StatementForm{"keep", "keep humidity 95 % until day 3"},
    StatementForm{"taper", "taper humidity 95 % to 70 % from day 4 to last day"},
    StatementForm{"mist", "mist 10 s every 30 min from 07:00 to 19:00 until day 3"},
    StatementForm{"do", "do \"Pot on\" on day 1 { rate 90 per hour }"},
    StatementForm{"set", "set take = 75 %"},
    StatementForm{"change", "change stage rooting { lasts 14 to 22 days usually 16 days }"},
    StatementForm{"add", "add stage resting of cutting after rooting { ... }"},
    StatementForm{"drop", "drop work \"Pot on\" in potting"},
    StatementForm{"rename", "rename stage rooting to striking"},
    StatementForm{"rate", "rate 90 per hour"},
    StatementForm{"time", "time 20 min"},
    StatementForm{"crew", "crew potting"},
    StatementForm{"people", "people 2"},
    StatementForm{"use", "use 0.35 m tape each"},
    StatementForm{"tool", "tool \"Secateurs\""},
    StatementForm{"tagged", "tagged cutting"},
    StatementForm{"caution", "caution \"Sharp knife: cut away from the body.\""},
    StatementForm{"record", "record rooted in plants"},
    StatementForm{"require", "require rooting.end <= sticking.start + 6 weeks else \"Too late.\""},
    StatementForm{
        "advise",
        "advise rooting.left >= 0.7 * rooting.plants else \"A poor strike is expected.\""},
};

constexpr std::array<std::string_view, 2> later{"variant", "below"};

}  // namespace

std::string_view statement_form(std::string_view keyword) {
  const auto* found = std::find_if(forms.begin(), forms.end(),
                                   [&](const StatementForm& f) { return f.first == keyword; });
  return found == forms.end() ? std::string_view{} : found->second;
}

bool is_later_word(std::string_view word) {
  return std::find(later.begin(), later.end(), word) != later.end();
}

}  // namespace budwood::language
