#include <doctest/doctest.h>

#include "language/language.hpp"
#include "language/parse/parse.hpp"
#include "share/compare.hpp"

/// Whatever gives a protocol another fingerprint, `compare` finds. The fields that the syntax tree
/// lists are changed one at a time; so a new statement is in this test by itself.
namespace {

using namespace budwood;
namespace syntax = language::syntax;
using language::Refers;

/// Everything that can be said, nothing of it as it would be if it were not said.
const char* const rich = R"(protocol rich "All that is said" {
  edition 3
  crop "tomato"
  source "house practice"
  note "Read it to the end."
  input take = 90 % seen 180 of 200 in 4 batches spread 3 % from 50 % to 100 % "unions that take" source "own counts"
  input speed = 60 per hour from 20 per hour to 90 per hour
  let twice = 2 * batch.plants "twice the order"
  table root_days "Days to root" (soil degC -> days) { 15: 30  20: 21 } source "own counts"
  supply clip "Grafting clip" in clips pack 100 scrap 2 % reused
  supply tray "Tray of 72" in trays footprint 28 cm by 54 cm
  supply pot "Pot" in pots footprint 81 cm2
  supply spirit "White spirit" in L pack 5 L hazard flammable
  supply peat "Peat-free base" in L
  recipe mix "Mix for pots" makes 100 L in vessels of 20 L keeps 14 days made 2 days before at 1.2 mS/cm pH 5.8 {
    use 60 L peat
    use 3 L spirit
    time 30 min  setup 10 min  people 2  crew benches
    tool "Mixer"  caution "Hands out of it."  note "Moist, not wet."
  }
  part scion "Scion wood"
  part stock "Root stock"
  part plant "Grafted plant"
  observe callus in % "callus all round"
  observe roots "roots to be seen"
  observe warm in % "unions that are warm"
  stage raising of scion "Raise scions" {
    starts within 1 to 4 days of sowing.start
    lasts 20 days
    room house
    holds 6 days at 4 degC, loses 1 % per week
  }
  stage sowing of stock "Sow stocks" {
    lasts 18 to 24 days usually 20 days
    season 3 January to 15 May
    in whole tray
    minimum 50 plants
    do "Sow" on day 1 { time 20 min  use 1 tray per 72 }
  }
  stage healing joins scion with stock into plant "Let heal" {
    after sowing by 1 to 5 days
    lasts 8 to 10 days usually 9 days
    until callus >= 80 % and (warm >= callus - 5 % or roots), at most 21 days
    may wait 2 days
    irrigate 2 L/m2 at 3 mol/m2 of light from day 2 to day 6
    room chamber
    space ceil(plants / 72) trays from day 1, ceil(plants / 60) tray from day 3 to day 4, 60 plants per m2 until day 6, 12 cm by 14 cm
    loses 1 - take
    yields 2
    discard surplus
    under cover
    keep humidity 90 to 95 % until day 3
    taper humidity 95 % to 70 % from day 4 to day 8 in 3 steps
    keep air 25 degC by day
    keep air at least 18 degC by night
    keep light 50 umol/m2/s for 12 h
    mist 10 s every 30 min from 07:00 to 19:00 until day 3
    taper mist every 30 min to 2 h from 08:00 to 18:00 from day 4 to day 6
    do "Graft and clip" on day 1, day 2 within 1 day {
      rate speed  setup 15 min  crew grafting  people 2
      use 1 clip each until hardening.end
      use 20 mL spirit per 100 at 4 mol of light
      tool "Blade"  tagged cutting  caution "Sharp knife."  record taken in plants
      note "Keep it wet."  no entry for 2 h after
    }
    do "Look" every 3 days from day 2 to day 8 in the morning { time 10 s each  record callus  record roots  record warm }
    do "Soak ties" between day 3 and day 5 at 9:30 overnight { time 10 min }
    do "Tie" between day 6 and last day first after "Soak ties" { time 10 min }
    if callus < 50 % on day 6 {
      warn "Look at the air first."
      do "Air the chamber" { time 15 min  crew grafting  tool "Thermometer"  note "Slowly." }
    }
    note "It heals in the dark."
    source "a grower"
    require healing.left >= 10 else "Too few: {healing.left} on {healing.end}."
    waive humidity_step "it is fogged"
  }
  stage hardening of plant "Harden off" {
    lasts 120 degree_days above 5 degC up to 30 degC by single_sine
    no wait
    room bench
    space 40 plants per m2
    picks 50 % on day 9, 30 % on last day
    grades first 60 %, second 20 % sold, weak 10 % thrown out
    move { rate 300 per hour  crew benches  people 2  note "Two to a trolley." }
    do "Count" at start { time 12 min }
  }
  require root_days(20 degC) < 30 days else "Slow."
  advise hardening.plants >= twice / 2 else "Few are left."
  waive house.labels "they are on the trays"
}
)";

/// Changes one field of a statement: the one with the given number.
class Slip {
 public:
  explicit Slip(std::size_t at) : at_(at) {}

  bool done() const { return done_; }
  const std::string& what() const { return what_; }

  template <typename Field, typename... What>
  void operator()(Field& field, What...) const {
    go(field);
  }

 private:
  /// Whether the next field is the one; `what` says how it is changed.
  bool turn(const std::string& what) const {
    if (next_++ != at_) return false;
    done_ = true;
    what_ = what;
    return true;
  }

  void go(syntax::Name& name) const {
    if (turn("name " + name.text)) name.text += "x";
  }
  void go(syntax::Text& text) const {
    if (turn("text " + text.value)) text.value += " more";
  }
  void go(syntax::UnitText& unit) const {
    if (turn("unit " + unit.text)) unit.text += "x";
  }
  void go(syntax::Written&) const {}  // follows from the condition
  void go(syntax::DayRef& day) const {
    if (turn("day")) day.day += 1;
    if (turn("last day")) day.last = !day.last;
  }
  void go(bool& yes) const {
    if (turn("yes or no")) yes = !yes;
  }
  void go(int& number) const {
    if (turn("whole number")) number += 1;
  }
  void go(double& number) const {
    if (turn("number")) number += 1;
  }
  void go(syntax::Half& half) const {
    if (turn("half")) half = half == syntax::Half::day ? syntax::Half::night : syntax::Half::day;
  }
  void go(syntax::Bound& bound) const {
    if (bound == syntax::Bound::range) return;  // has a second value
    if (turn("bound")) {
      bound = bound == syntax::Bound::at_least ? syntax::Bound::at_most : syntax::Bound::at_least;
    }
  }
  void go(syntax::Message& message) const {
    if (turn("message")) message.rest += " more";
    syntax::Message::fields(message, *this);
  }
  void go(syntax::Formula& formula) const {
    if (formula.kind == syntax::Formula::Kind::number && turn("value")) formula.number *= 1.25;
    if (formula.kind == syntax::Formula::Kind::name) go(formula.name);
    for (syntax::Formula& argument : formula.arguments) go(argument);
  }
  template <typename Field>
  void go(std::optional<Field>& field) const {
    if (!field) return;
    go(*field);
    if (turn("left out")) field.reset();
  }
  template <typename Field>
  void go(std::vector<Field>& fields) const {
    for (Field& field : fields) go(field);
    for (std::size_t i = 0; i < fields.size(); ++i) {
      if (!turn("left out")) continue;
      fields.erase(fields.begin() + static_cast<std::ptrdiff_t>(i));
      return;
    }
  }
  template <typename... Items>
  void go(std::variant<Items...>& item) const {
    std::visit([this](auto& one) { go(one); }, item);
  }
  template <typename Item>
  requires requires(Item& item, const Slip& slip) { Item::fields(item, slip); }
  void go(Item& item) const { Item::fields(item, *this); }

  std::size_t at_;
  mutable std::size_t next_ = 0;
  mutable bool done_ = false;
  mutable std::string what_;
};

/// Some fields stand only together: a slip that leaves out one of them is nothing that the grammar
/// lets through.
bool can_be_written(const std::vector<syntax::WorkItem>& items) {
  for (const syntax::WorkItem& item : items) {
    const auto* use = std::get_if<syntax::Use>(&item);
    if (use == nullptr) continue;
    if (!use->amount || use->until.has_value() != use->until_edge.has_value()) return false;
  }
  return true;
}

bool can_be_written(const syntax::Work& work) {
  if (!can_be_written(work.items)) return false;
  const syntax::Timing& timing = work.timing;
  if (timing.kind == syntax::Timing::Kind::between) return timing.from && timing.to;
  return timing.kind != syntax::Timing::Kind::days || !timing.days.empty();
}

bool can_be_written(const syntax::Stage& stage) {
  for (const syntax::StageItem& item : stage.items) {
    if (const auto* mist = std::get_if<syntax::Mist>(&item)) {
      if (!mist->every || (!mist->taper && !mist->pulse)) return false;
    }
    const auto* setting = std::get_if<syntax::Setting>(&item);
    if (setting != nullptr && setting->bound == syntax::Bound::range && !setting->high) {
      return false;
    }
    const auto* work = std::get_if<syntax::Work>(&item);
    if (work != nullptr && !can_be_written(*work)) return false;
    const auto* conditional = std::get_if<syntax::Conditional>(&item);
    if (conditional == nullptr) continue;
    for (const syntax::Work& one : conditional->works) {
      if (!can_be_written(one)) return false;
    }
  }
  return stage.joined.empty() || stage.joined.size() == 2;
}

bool can_be_written(const syntax::Protocol& protocol) {
  for (const syntax::ProtocolItem& item : protocol.items) {
    if (const auto* input = std::get_if<syntax::Input>(&item)) {
      if (input->good.has_value() != input->seen.has_value()) return false;
      if (input->lowest.has_value() != input->highest.has_value()) return false;
    }
    const auto* recipe = std::get_if<syntax::Recipe>(&item);
    if (recipe != nullptr && !can_be_written(recipe->items)) return false;
    const auto* stage = std::get_if<syntax::Stage>(&item);
    if (stage != nullptr && !can_be_written(*stage)) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("what changes the fingerprint is found by comparing, field by field") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const syntax::File file = language::parse(sources.add("rich.bud", rich), diagnostics);
  REQUIRE(file.protocols.size() == 1);
  const syntax::Protocol& written = file.protocols.front();
  const language::Protocol before = language::check(written, diagnostics);
  for (const text::Diagnostic& one : diagnostics.sorted()) {
    CHECK_MESSAGE(one.severity != text::Severity::error, one.message);
  }
  std::size_t tried = 0;
  for (std::size_t at = 0;; ++at) {
    syntax::Protocol changed = written;
    const Slip slip(at);
    slip(changed.items);
    if (!slip.done()) break;
    if (!can_be_written(changed)) continue;
    text::Diagnostics mistakes;
    const language::Protocol after = language::check(changed, mistakes);
    if (mistakes.has_errors() || after.fingerprint == before.fingerprint) continue;
    ++tried;
    CHECK_MESSAGE(!share::compare(before, after).changes.empty(), "change ", at, ": ", slip.what());
  }
  CHECK(tried > 150);
}
