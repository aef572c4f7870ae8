#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "book/rounds/scouting.hpp"
#include "book/site/crew.hpp"
#include "book/site/dials.hpp"
#include "book/site/label_sheet.hpp"
#include "book/stock/stock.hpp"
#include "book/weather/water.hpp"
#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"
#include "climate/climate.hpp"
#include "language/language.hpp"

namespace budwood::book {

/// Days from `first` to `last`, both included, on which nobody works.
struct Closed {
  calendar::Day first = 0;
  calendar::Day last = 0;
  text::Span span;
};

/// The part of a day in which people work, in minutes after midnight.
struct WorkingHours {
  int from = 0;
  int to = 0;
  text::Span span;
};

/// By how much the climates of two batches in one room may differ, base units (of temperatures
/// kelvin); 0 or more. Only settings and the time of mist a day.
using Tolerances = std::map<language::Measure, Placed<double>>;
/// Such a difference as a book gives it: "3 degC".
std::string difference_text(const language::MeasureFacts& facts, double difference);

inline constexpr std::size_t most_zones = 1000;
inline constexpr int longest_turnover = 60;  ///< days

/// A kind of space. Without `holds` it is never full.
struct Room {
  std::optional<Written> holds;  ///< in all, more than 0, with a unit: crates, plants, m2
  /// `6 benches of 12 m2`: so many things, each of which holds an equal share.
  struct Vessels {
    double count = 0;  ///< more than 0
    std::string noun;  ///< "benches"
  };
  std::optional<Vessels> vessels;
  bool unlimited = false;                   ///< `no limit`: never full, and knowingly so
  std::optional<Placed<double>> mist_flow;  ///< of all its nozzles while open, m3/s; more than 0
  int zones = 1;                        ///< climates that can be set apart in it, 1 to most_zones
  std::vector<std::string> zone_names;  ///< as many as zones; none when they have only numbers
  int turnover = 0;  ///< days between the leaving of a batch and the next use of its space
  /// What it is set to when no plants in it ask for anything; base units.
  std::map<language::Measure, Placed<double>> stands;
  Tolerances tolerance;
  Dials dials;
  std::optional<Abilities> can;  ///< none: the site does not say
  Timers by_timer;
  std::optional<Placed<double>> lets_in;  ///< the share of daylight that comes to plants, unshaded
  /// What lamps give for the energy, mol/J, or what they take, W/m2; more than 0.
  struct Lamps {
    std::optional<double> efficacy, power;
    text::Span span;
  };
  std::optional<Lamps> lamps;
  std::optional<double> area;               ///< floor, m2; none: what it holds, if that is in m2
  std::optional<Placed<double>> heat_loss;  ///< through its cover, W/K
  std::optional<Scouting> scout;            ///< none: no round goes through it
  text::Span span;
};

/// What a site knows of a supply. Its own terms of buying hold where an offer says nothing.
struct SupplyFacts : BuyingTerms {
  std::optional<Written> on_hand;  ///< 0 or more; plain numbers are in the supply's own unit
  std::optional<Placed<calendar::Day>> use_by;  ///< the last day for what is on hand
  std::optional<Placed<double>> scrap;          ///< instead of the protocol's: 0 to under 1
  std::optional<Placed<std::string>> supplier;  ///< who sells it, where only one does
  std::vector<Offer> offers;                    ///< of several suppliers, by name
  std::optional<Placed<double>> keeps;      ///< seconds from its coming to its use, a day or more
  std::optional<Written> storage;           ///< money for a unit and week that it lies here
  std::optional<Placed<double>> footprint;  ///< instead of the protocol's: m2, more than 0
  /// Of seed: of what germinates in a test, the share that gives a plant here; above 0 and up to 1.
  std::optional<Placed<double>> field_factor;
  std::optional<int> test_holds;  ///< days for which a germination test is taken as it is
  text::Span span;
};

/// The facts of one place. Names of rooms, crews, supplies, protocols and inputs are as written;
/// they are not yet held against any protocol.
struct Site {
  Placed<std::string> name;
  std::optional<Placed<double>> latitude;  ///< degrees, -90 to 90, north is positive
  calendar::WorkingDays working;           ///< every day unless said otherwise, less `closed`
  std::vector<Closed> closed;              ///< in the order written
  std::optional<WorkingHours> hours;
  std::map<std::string, Room> rooms;
  Tolerances tolerance;  ///< in rooms that do not say
  Dials dials;           ///< of rooms that do not say
  std::map<std::string, Crew> crews;
  std::map<std::string, SupplyFacts> supplies;
  std::map<std::string, Lot> lots;           ///< of supplies, by the site's name for them
  bool lots_unread = false;                  ///< some could not be read: there are more
  std::map<std::string, Mothers> mothers;    ///< by the site's name for them
  std::map<std::string, Finished> finished;  ///< by the site's name for them
  /// By protocol, or one variant of it: for how many days after its end what is over of a batch
  /// serves others.
  std::map<std::string, Placed<int>> surplus;
  std::map<std::string, SiteRecipe> recipes;        ///< by the supply that each makes
  bool recipes_unread = false;                      ///< some could not be read: there are more
  units::System units = units::System::as_written;  ///< in which values are shown
  /// What it calls rooms, crews and supplies, by the protocols' names for them.
  struct OwnName {
    enum class Kind : std::uint8_t { any, room, crew, supply };
    Kind kind = Kind::any;  ///< what of that name is meant
    Placed<std::string> name;
    std::string own;
  };
  std::vector<OwnName> names;  ///< in the order written
  /// By protocol, then by input: what this site has learned.
  std::map<std::string, std::map<std::string, Written>> inputs;
  std::optional<Placed<double>> sure;      ///< of batches for which nothing else is said, as theirs
  std::optional<Placed<double>> spare;     ///< the same for what is aimed at beyond the order
  std::optional<Placed<bool>> full_trays;  ///< and for whether trays are filled
  /// ISO 4217 code, of the site or else of its prices; none when nothing names one.
  std::optional<Placed<std::string>> currency;
  /// A folder of protocols beside the book's own; a relative path counts from the book's folder.
  std::optional<Placed<std::string>> protocols;

  /// Rule sets that all protocols follow here, and rules that are knowingly not kept, with the
  /// reason.
  std::vector<Placed<std::string>> rules;
  struct Waived {
    Placed<std::string> rule;
    std::string reason;
  };
  std::vector<Waived> waived;

  /// The public keys by which packs of other sites are known, by the names that this site gives
  /// them.
  std::map<std::string, Placed<std::string>> trusts;

  /// Daily temperatures, as measured or from normals; none when the site gives none or they could
  /// not be read.
  std::shared_ptr<const climate::DailySeries> climate;
  climate::Sky sky;  ///< what it says of the sun
  /// The value of `climate:`, whether it could be read or not; no place when there is none.
  text::Span climate_span;

  /// What energy costs, money for a joule; heat as it comes to the plants.
  struct Energy {
    std::optional<double> electricity, heat;
  };
  Energy energy;
  std::optional<Water> water;

  /// The server that keeps the record, "postgresql://..."; none: a file beside the book does.
  std::optional<Placed<std::string>> record;
  /// Where that is said, whether it could be read or not; no place when it is not.
  text::Span record_span;

  /// Who carries plants to another room, and how many one person does a second; none: nobody's time
  /// is counted.
  struct Moving {
    double rate = 0;
    std::string crew;      ///< "": whoever is there
    text::Span crew_span;  ///< no place when no crew is named
    text::Span span;       ///< of the rate
  };
  std::optional<Moving> moving;
  /// Who spaces plants, where no protocol says it.
  std::optional<Moving> spacing;
  /// Who picks and sorts plants, where no protocol says it.
  std::optional<Moving> picking;

  /// The sheets of labels that are printed here.
  std::optional<LabelSheet> labels;
  /// The value of `labels:`, whether it could be read or not; no place when there is none.
  text::Span labels_span;

  /// Global radiation, J/m2 on a day, as measured or as usual; nothing where it is not known.
  std::optional<double> radiation_on(calendar::Day day) const;
  /// The floor of a room, m2: its area, else what it holds where that is one; nothing otherwise.
  std::optional<double> area_of(const std::string& room) const;
  /// South of the equator seasons move by half a year.
  bool southern() const { return latitude && latitude->value < 0; }
  /// What holds in a room, whether it is in `rooms` or not: its own tolerance, else the site's,
  /// else the usual one.
  double tolerance_in(const std::string& room, language::Measure measure) const;
  /// The dial of a setting in a room, its own or that of the site; nullptr when neither says.
  const Dial* dial_in(const std::string& room, language::Measure measure) const;
  const Dial* pulse_dial_in(const std::string& room) const;
  const Dial* interval_dial_in(const std::string& room) const;
  /// Nothing when the site does not know the room.
  const Room* find_room(const std::string& room) const;
};

}  // namespace budwood::book
