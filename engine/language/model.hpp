#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/bases/layer.hpp"
#include "language/formulas/measure.hpp"
#include "language/formulas/operation.hpp"
#include "language/formulas/type.hpp"
#include "language/id.hpp"
#include "language/work.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

/// The protocol model: every name resolved, every unit checked, sugar gone. What later modules
/// compile; they never look at the syntax tree.
namespace budwood::language {

/// What of a stage, or of the batch, a formula can ask for.
enum class Property : std::uint8_t {
  start,   ///< first day
  end,     ///< day on which it is over
  days,    ///< planned length
  plants,  ///< at its start
  left,    ///< expected at its end
  hours,   ///< person-hours of its work
  ready,   ///< of the batch: the day it is ready
};
/// The word for a property; the same in formulas, output and cell names.
const char* word(Property property);

/// One step of a formula. Children come before their parents in `Protocol::nodes`.
struct Node {
  enum class Kind : std::uint8_t {
    constant,  ///< `value`
    input,     ///< inputs[target]
    let,       ///< lets[target]
    cell,      ///< `property` of stages[target], of the batch when target is `of_batch`
    reading,   ///< readings[target]
    look_up,   ///< tables[target] at children[0]
    apply,     ///< `operation` on the children
  };
  /// How a constant stands in the source.
  enum class Written : std::uint8_t {
    number,   ///< as a number or a date
    name,     ///< as a name that stands for a number, such as the `cycle` of a repeat
    formula,  ///< as a formula that has been worked out
  };
  static constexpr std::int32_t of_batch = -1;
  static constexpr std::int32_t no_unit = -1;

  Kind kind = Kind::constant;
  Operation operation = Operation::add;
  Property property = Property::start;
  std::int32_t target = 0;
  std::int32_t children[3] = {no_formula, no_formula, no_formula};
  double value = 0;  ///< in base units; a date is its day number
  Written written = Written::number;
  std::int32_t unit = no_unit;  ///< of a number with one: Protocol::written_units[unit]
  Type type;
  text::Span span;  ///< all that was written, without brackets around it
};

struct Input {
  std::string name;
  std::string title;
  Type type;
  units::Unit unit;        ///< for showing values
  units::Unit plain_unit;  ///< of a value that a site or batch writes without a unit
  FormulaId usual = no_formula, lowest = no_formula, highest = no_formula;
  std::string source;  ///< of the figure; "" when none is named
  /// What the value rests on: `good` of `seen` were counted; none seen: it is taken as it stands.
  double good = 0, seen = 0;
  double batches = 0;   ///< in which they were counted; 0: nobody said
  double likeness = 0;  ///< of two plants of a batch, from the spread; 0: luck alone
  text::Span span;
};

struct Let {
  std::string name;
  std::string title;
  FormulaId value = no_formula;
  Type type;
  std::optional<units::Unit> unit;  ///< for showing, where the type does not say it
  text::Span span;
};

/// Looked up with linear interpolation between its points, outside of which there is no value; or
/// by a word, which is done where it is written.
struct Table {
  std::string name;
  std::string title;
  std::string source;
  std::string argument_name;  ///< what is looked up, in the grower's word
  Type argument, result;
  std::vector<std::string> words;  ///< on the left, instead of numbers
  units::Unit unit;                ///< of the values, for showing
  std::vector<double> at;          ///< ascending, base units
  std::vector<double> values;      ///< base units (seconds for a length of time)
  text::Span span;
};

struct Supply {
  std::string name;
  std::string title;
  units::Unit unit;        ///< for showing amounts
  units::Unit plain_unit;  ///< of an amount that a site writes without a unit
  double pack = 0;         ///< base units in a pack; 0 when it is bought by the unit
  bool reused = false;
  double scrap = 0;      ///< of what is taken, the share that is spoilt: 0 to under 1
  double footprint = 0;  ///< m2 that one of what is counted takes up; 0: it is not said
  std::vector<std::string> hazards;
  text::Span span;
};

struct Part {
  std::string name;
  std::string title;
  text::Span span;
};

enum class Half : std::uint8_t { both, day, night };
/// How a value is meant: as it stands, anywhere from it to `high`, or as an end of what is allowed.
enum class Bound : std::uint8_t { exact, range, at_least, at_most };

/// A climate value over some days of a stage: the same every day, or going evenly from the first
/// value on the first of these days to the last value on the last of them, every day a little or in
/// equal steps.
struct Setting {
  std::string name;
  Measure measure = Measure::air;
  units::Unit unit;                ///< for showing
  double lowest = 0, highest = 0;  ///< what can be set at all, base units
  FormulaId first = no_formula;
  FormulaId last = no_formula;  ///< no formula: held
  FormulaId high = no_formula;  ///< of a range
  Bound bound = Bound::exact;
  int steps = 0;                 ///< of a taper; 0: a new value every day
  FormulaId hours = no_formula;  ///< for light: a day's length in seconds
  /// For irrigation: so much is given, m, each time that so many moles of light have come to a
  /// square metre of plants.
  FormulaId light = no_formula;
  Half half = Half::both;
  StageDay from, to{true, 1, {}};
  FormulaId over = no_formula;  ///< instead of `to`: so many seconds from `from` on
  text::Span span;
};

/// Mist over some days of a stage; a taper changes the interval (and the pulse) evenly.
struct Mist {
  FormulaId pulse = no_formula, pulse_last = no_formula;
  FormulaId every = no_formula, every_last = no_formula;
  int from_minute = 0, to_minute = 24 * 60;  ///< the end may come before the start: across midnight
  int steps = 0;
  StageDay from, to{true, 1, {}};
  FormulaId over = no_formula;
  text::Span span;
};

/// Something that the climate of a stage is asked for: `healing.humidity.last`.
struct Reading {
  enum class Moment : std::uint8_t {
    first,   ///< on day 1
    last,    ///< on the last day
    lowest,  ///< over all days
    highest,
    day,           ///< on `day`
    largest_fall,  ///< from one day to the next
    largest_rise,
    step,  ///< from the last day of the stage before to day 1
  };
  StageId stage;
  Measure measure = Measure::air;
  Half half = Half::both;
  Moment moment = Moment::first;
  bool is_set = false;  ///< asks whether there is a value at all
  StageDay day;
  text::Span span;
};

/// What an observation is held against: a value in base units, another observation, or an
/// observation with a value added, taken away or multiplied.
struct Measuring {
  FormulaId value = no_formula;
  ObservationId other;                   ///< none: the value alone
  Operation made = Operation::multiply;  ///< of the other observation and the value
};

/// An observation held against something, or only seen.
struct Sight {
  enum class Is : std::uint8_t { seen, below, at_most, equal, unequal, at_least, above, between };
  ObservationId what;
  Is is = Is::seen;
  bool negated = false;  ///< `not bark_slips`
  Measuring low{};       ///< of what is only seen nothing
  Measuring high{};      ///< of `between`
};

/// A condition on observations: one of these must be so, each with all that stands in it.
using Sights = std::vector<std::vector<Sight>>;

/// What to do when something is seen, or not yet seen, on a day of a stage.
struct Contingency {
  /// Work that is then done; it is not counted with what a batch needs before it was seen.
  struct Action {
    Work work;
    std::vector<std::string> details;  ///< as written: "time 20 min", "use 2 mL wax each"
  };
  std::string written;  ///< "callus < 50 %"
  std::string meaning;  ///< the condition in a form that is the same however it is written
  std::vector<ObservationId> observations;
  Sights sights;
  StageDay day;
  std::vector<std::string> warnings;
  std::vector<Action> actions;
  text::Span span;
};

/// The start of the stage, and a date of another: low <= start - that date <= high.
struct After {
  enum class Edge : std::uint8_t { end, start };
  StageId stage;
  bool within = false;    ///< written as `starts within`: it says nothing of whose plants it takes
  Edge edge = Edge::end;  ///< `after` counts from the end, `starts within` from either
  FormulaId low = no_formula;   ///< no formula: at once or later
  FormulaId high = no_formula;  ///< no formula: any time later
  text::Span span;
};

/// What is made here of other supplies. Amounts are those of one making as it is written, base
/// units; a larger one has them in proportion.
struct Recipe {
  struct Ingredient {
    SupplyId supply;
    double amount = 0;
    text::Span span;
  };
  SupplyId supply;    ///< that it makes
  std::string title;  ///< of the work
  double makes = 0;   ///< so much of it
  double ec = 0;      ///< conductivity that it is to have, S/m; 0: it is not said
  double ph = 0;      ///< that it is to have; 0: it is not said
  bool is_feed() const { return ec > 0; }
  double vessel = 0;            ///< is made in whole vessels of so much
  std::optional<double> keeps;  ///< seconds; none: as long as one likes
  int before = 0;               ///< it is made so many days before it is used
  std::vector<Ingredient> of;
  double time = 0;   ///< seconds for one making, whoever does it
  double setup = 0;  ///< seconds, once
  std::optional<double> people;
  std::string crew;
  text::Span crew_span;
  std::vector<std::string> tools, cautions, notes;
  text::Span span;
};

/// What people look at and write down.
struct Observation {
  std::string name;
  std::string title;
  units::Unit unit;
  bool has_unit = false;  ///< without one it is seen or not seen
  text::Span span;
};

/// A condition that must be seen before the stage may end.
struct Gate {
  enum class Kind : std::uint8_t { observation, chilling };
  Kind kind = Kind::observation;
  std::vector<ObservationId> observations;
  Sights sights;
  std::string written;           ///< "callus >= 80 %"
  std::string meaning;           ///< the condition in a form that is the same however it is written
  std::string method;            ///< of chilling: a name that climate knows
  FormulaId lower = no_formula;  ///< of chilling: kelvin, where the method has one
  FormulaId best = no_formula, upper = no_formula;
  std::optional<Measure> kept;     ///< of chilling: what the stage keeps; none: the site's series
  FormulaId target = no_formula;   ///< of chilling: a time in seconds, or units
  FormulaId at_most = no_formula;  ///< seconds
  text::Span span;
};

/// A length in degree-days.
struct Heat {
  FormulaId base = no_formula, upper = no_formula;  ///< kelvin
  std::string method;  ///< a name that climate knows; "" where the air is kept
  FormulaId day = no_formula, night = no_formula;  ///< kept temperatures; none: the site's series
  text::Span span;
};

struct Season {
  calendar::YearDay first, last;
  text::Span span;
};

/// What a stage takes up from one of its days on, until the next of them begins.
struct Space {
  enum class Kind : std::uint8_t {
    total,    ///< `amount` in all: counted, m2 or L
    each,     ///< `amount` m2 for each plant
    density,  ///< `amount` plants for a m2
    used,     ///< as many of `supply` as were used
  };
  Kind kind = Kind::total;
  FormulaId amount = no_formula;
  std::string noun;         ///< what is counted or measured: "trays", "m2"
  SupplyId supply;          ///< that is counted, where it is named
  int from = 1;             ///< the first day
  int picked = 0;           ///< so many pickings have made it less
  bool by_picking = false;  ///< it begins because of a picking, not because it is written
  std::string written;
  text::Span span;
};

/// A portion of the plants that come through a stage, picked on one of its days.
struct Picking {
  FormulaId share = no_formula;  ///< of what comes through; no formula: all, to be sorted
  StageDay day;
  std::string written;  ///< "60 %"
  text::Span span;
};

/// What plants are sorted into.
struct Grade {
  enum class Way : std::uint8_t { goes_on, sold, thrown_out };
  std::string name;
  FormulaId share = no_formula;  ///< of what is sorted
  Way way = Way::goes_on;
  text::Span span;
};
/// "goes on", "sold", "thrown out"
const char* word(Grade::Way way);

struct Stage {
  enum class Wait : std::uint8_t { to_working_day, stated, none };

  std::string name;
  std::string title;
  PartId part;
  std::vector<PartId> joined;  ///< parts that a join takes; empty otherwise
  std::vector<StageId> takes;  ///< whose plants it takes: of none, one, or one a joined part
  StageId taken_from;          ///< the stage of another part that `takes` names
  text::Span takes_span;
  std::vector<After> after;
  std::string room;
  text::Span room_span;
  std::vector<Space> space;  ///< by day, the first one from day 1 on; none: it is not said
  bool under_cover = false;  ///< its humidity is that of a cover, not of the room
  /// Seconds; kelvin seconds when `heat` is there.
  FormulaId shortest = no_formula, usual = no_formula, longest = no_formula;
  std::optional<Heat> heat;
  std::optional<Gate> gate;
  std::optional<Season> season;
  text::Span length_span;
  Wait wait = Wait::to_working_day;  ///< how long plants may stay on after it is over
  FormulaId longest_wait = no_formula;
  FormulaId held_air = no_formula;  ///< kelvin, while plants wait; none: that of the last day
  text::Span wait_span;
  FormulaId loses = no_formula;
  std::vector<Picking> picks;      ///< by day; of plants that are only sorted one, of all of them
  std::vector<Grade> grades;       ///< as written
  FormulaId yields = no_formula;   ///< how many there are at the end for each that comes through
  bool discards_surplus = false;   ///< what is more than the next stage needs is thrown out
  SupplyId whole_supply;           ///< starts with as many as fill whole ones of this supply
  FormulaId whole = no_formula;    ///< plants in one of them
  FormulaId minimum = no_formula;  ///< starts with so many at least
  text::Span whole_span, minimum_span, yields_span;
  List<Work> works;
  std::vector<Setting> settings;
  std::vector<Mist> mists;
  std::vector<Contingency> contingencies;
  std::vector<std::string> notes, sources;
  text::Span span;
};

/// Whether a stage takes plants of another.
bool takes_from(const Stage& stage, StageId other);

/// Whether water or something else of a stage is given by light.
bool waits_for_light(const Stage& stage);

/// Whether some statement of a stage gives this measure, on whatever day.
bool sets(const Stage& stage, Measure measure);

/// Whether the length of a stage follows the temperatures of the site: degree-days without a kept
/// temperature, or chilling without one.
inline bool follows_site(const Stage& stage) {
  const bool chilling = stage.gate && stage.gate->kind == Gate::Kind::chilling && !stage.gate->kept;
  return chilling || (stage.heat && stage.heat->day == no_formula);
}

/// A condition that must hold (`require`), or had better hold (`advise`).
struct Requirement {
  /// A piece of the message: plain text, or a value worked out for the batch.
  struct Piece {
    std::string text;  ///< before the value
    FormulaId value = no_formula;
    std::optional<units::Unit> unit;  ///< for showing it
    int digits = 6;                   ///< that are shown
  };
  bool advice = false;
  FormulaId condition = no_formula;
  std::vector<Piece> message;
  StageId stage;  ///< in which it stands, or that a rule is about; none: the batch
  text::Span span;
  // Of a rule:
  std::string rule;    ///< "good_practice.weaning"; "" for the protocol's own
  std::string reason;  ///< why the rule is there, and its source
  text::Span rule_span;
};

/// A rule that is knowingly not kept.
struct Waiver {
  std::string set;  ///< "" when any set will do
  std::string rule;
  std::string reason;
  StageId stage;  ///< only what is about this stage; none: about any
  text::Span span;
};

/// What a table gives for a word; nothing, with what to write instead, where it has none.
std::optional<double> look_up_word(const Table& table, const std::string& word,
                                   std::string& advice);

struct Protocol {
  std::string name;
  std::string title;
  int edition = 1;
  std::string fingerprint;  ///< of what it means, see canonical.hpp
  /// It follows from what a site says: no method that is kept, listed or given to others.
  bool of_site = false;
  std::vector<Layer> layers;  ///< itself, then what it is based on, the nearest first
  units::System system = units::System::as_written;  ///< in whose units values are shown
  std::string crop;
  std::vector<std::string> sources, notes;
  List<Input> inputs;
  List<Let> lets;
  List<Table> tables;
  List<Supply> supplies;
  std::vector<Recipe> recipes;
  List<Part> parts;
  List<Observation> observations;
  List<Stage> stages;
  PartId finished_part;
  std::vector<Requirement> requirements;
  std::vector<Waiver> waivers;
  std::vector<Reading> readings;
  std::vector<Node> nodes;
  std::vector<units::Unit> written_units;  ///< in which numbers were written
  text::Span span;

  const Node& node(FormulaId id) const { return nodes[static_cast<std::size_t>(id)]; }
};

/// The m2 that one of what is counted takes up: of the supply that is named, else of all supplies
/// that are counted so, where these are alike. 0 when nothing says it.
double footprint_of(const Protocol& protocol, const Space& space);
/// How many m2 one unit of the amount takes up; nothing when what is taken is no area.
std::optional<double> area_factor(const Protocol& protocol, const Space& space);
/// Whether plants are picked in portions, not only sorted.
bool picks_in_portions(const Stage& stage);
/// Whether a work is not written, but follows from what a stage picks or sorts.
bool follows_from_picking(const Stage& stage, const Work& work);
/// What of the space of a stage holds on a day of it; there is some.
std::size_t space_on(const Stage& stage, int day);

/// The trays in which plants are started, where nothing else says how full they are: what has a
/// footprint and takes so many plants, in a stage that takes its plants from none. nullptr: none.
const Use* tray_of(const Protocol& protocol, const Stage& stage);

/// Whether plants come to a stage from another room. Plants without a stage before stand nowhere
/// yet.
bool changes_room(const Protocol& protocol, const Stage& stage);

/// Where an observation that a condition of a stage asks for is made: in that stage, or, when no
/// work of it records the observation, in stages of other parts whose work does. One at least.
std::vector<StageId> looked_at_in(const Protocol& protocol, StageId stage, ObservationId what);

/// A use of a work.
struct UsePlace {
  StageId stage;
  WorkId work;
  std::size_t use = 0;
};
/// Where a supply is used before use `uses` of a work: all such uses of the stage together, else
/// those of the nearest stage from which the plants come. None when it was not.
std::vector<UsePlace> uses_before(const Protocol& protocol, StageId stage, WorkId work,
                                  std::size_t uses, SupplyId supply);

/// Where a supply is used in a stage, else in the nearest one from which its plants come.
std::vector<UsePlace> uses_in(const Protocol& protocol, StageId stage, SupplyId supply);

/// An input that alone says what a stage loses: `loses rot`, or `loses 1 - take`.
struct LossInput {
  InputId input;
  bool lost = true;  ///< the input is the share that is lost, not the one that comes through
};
/// In which layer of a protocol a statement stands; nullptr when in none (in a rule set, in a
/// book).
const Layer* layer_of(const Protocol& protocol, const text::Span& span);

/// Nothing when the loss is worked out in another way.
std::optional<LossInput> loss_input(const Protocol& protocol, const Stage& stage);

/// Batches lie around a share by a spread, their standard deviation. As the likeness of two plants
/// of one batch that is spread^2 / (share (1 - share)), the variance of the beta distribution
/// (Skellam 1948, J. R. Stat. Soc. B 10:257-261): the form in which it holds for shares beside it
/// too. Nothing unless 0 <= likeness < 1.
std::optional<double> likeness_of(double share, double spread);
double spread_of(double share, double likeness);

}  // namespace budwood::language
