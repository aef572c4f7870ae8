#include "plan/trials/what_if_site.hpp"

#include <algorithm>
#include <cmath>

#include "language/check/recipe_circle.hpp"
#include "plan/batch_checker.hpp"
#include "plan/trials/what_if_supply.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

namespace {

/// Changes one value of the site.
class SiteChange {
 public:
  SiteChange(const Plan& plan, const Wish& wish, WhatIf& out, text::Diagnostics& diagnostics)
      : plan_(plan), wish_(wish), out_(out), site_(out.book.site), diagnostics_(diagnostics) {}

  void run() {
    if (wish_.cell == "closed") return close_days();
    const std::size_t dot = std::min(wish_.cell.find('.'), wish_.cell.size());
    const std::string owner = wish_.cell.substr(0, dot);
    const std::string what = dot < wish_.cell.size() ? wish_.cell.substr(dot + 1) : "";
    const auto crew = site_.crews.find(owner);
    if (crew != site_.crews.end() && what == "people") return set_people(crew->second);
    if (crew != site_.crews.end() && what == "hours") return set_hours(crew->second);
    const auto lot = site_.lots.find(owner);
    if (lot != site_.lots.end() && what == "count") return set_count(lot->second);
    const auto mothers = site_.mothers.find(owner);
    if (mothers != site_.mothers.end() && what == "plants") return set_plants(mothers->second);
    const auto finished = site_.finished.find(owner);
    if (finished != site_.finished.end() && what == "plants") return set_finished(finished->second);
    const auto room = site_.rooms.find(owner);
    if (room != site_.rooms.end() && what == "lets_in") return set_lets_in(room->second);
    if (room != site_.rooms.end() && what == "lights") return set_lights(room->second);
    if (room != site_.rooms.end() && what == "heat_loss") return set_heat_loss(room->second);
    if (owner == "energy" && what == "electricity") {
      return set_energy_price(what, site_.energy.electricity);
    }
    if (owner == "energy" && what == "heat") return set_energy_price(what, site_.energy.heat);
    if (const language::Recipe* recipe = recipe_of(owner)) {
      if (what == "keeps") return set_keeps(owner, *recipe);
      if (what == "vessel") return set_vessel(owner, *recipe);
      return report_unknown(owner, "Of what is made here there are `keeps` and `vessel`.");
    }
    std::vector<const sheet::Sheet*> sheets;
    for (const sheet::Sheet& sheet : plan_.sheets) {
      if (sheet.layout().protocol.name == owner) sheets.push_back(&sheet);
    }
    if (!sheets.empty()) return set_input(owner, what, sheets);
    if (site_.supplies.contains(owner)) {
      return change_supply(plan_, wish_, owner, what, out_, diagnostics_);
    }
    const char* known = crew != site_.crews.end() ? "Of a crew there are `people` and `hours`."
                        : lot != site_.lots.end() ? "Of a lot there is `count`."
                        : mothers != site_.mothers.end()   ? "Of mother plants there is `plants`."
                        : finished != site_.finished.end() ? "Of finished plants there is `plants`."
                        : room != site_.rooms.end()
                            ? "Of a room there are `lets_in`, `lights` and `heat_loss`."
                            : "";
    report_unknown(owner, known);
  }

 private:
  bool gives_up() const { return wish_.move.kind == Move::Kind::give_up; }

  void note(const units::Unit& unit, double before, double after) {
    out_.changes.push_back({"", wish_.cell, Change::Kind::quantity, unit, before, after, ""});
  }

  void refuse_give_up(const std::string& example) {
    diagnostics_.error("wrong-value", wish_.value.span,
                       "`" + wish_.left + "` is not something to give up.", "Such as " + example);
  }

  void report_unknown(const std::string& owner, const std::string& known) {
    std::vector<std::string> names = {"closed"};
    for (const auto& [name, facts] : site_.crews) names.push_back(name);
    for (const auto& [name, facts] : site_.lots) names.push_back(name);
    for (const auto& [name, facts] : site_.mothers) names.push_back(name);
    for (const auto& [name, facts] : site_.finished) names.push_back(name);
    for (const auto& [name, facts] : site_.rooms) names.push_back(name);
    for (const BookRecipe& one : plan_.recipes) names.push_back(one.supply().name);
    for (const auto& [name, facts] : site_.supplies) names.push_back(name);
    for (const sheet::Sheet& sheet : plan_.sheets) names.push_back(sheet.layout().protocol.name);
    std::string advice = known.empty() ? text::did_you_mean(owner, names) : known;
    if (advice.empty()) {
      advice =
          "Of the site there are `site.CREW.people`, `site.CREW.hours`, `site.closed`, "
          "`site.LOT.count`, `site.MOTHERS.plants`, "
          "`site.FINISHED.plants`, `site.MIX.keeps`, `site.MIX.vessel`, "
          "`site.SUPPLY.price`, "
          "`site.ROOM.lets_in`, `site.ROOM.lights`, `site.ROOM.heat_loss`, `site.energy.heat`, "
          "`site.energy.electricity` and "
          "`site.PROTOCOL.INPUT`.";
    }
    diagnostics_.error("unknown-name", wish_.cell_span,
                       "The site has no `" + text::shortened(wish_.cell) + "` to set.",
                       std::move(advice));
  }

  void close_days() {
    if (wish_.move.kind != Move::Kind::outright) return refuse_give_up("`2027-03-04`.");
    const auto closed = book::read_closed(wish_.value, diagnostics_);
    if (!closed) return;
    site_.closed.push_back(*closed);
    site_.working.close(closed->first, closed->last);
    const bool one_day = closed->first == closed->last;
    out_.changes.push_back({"",
                            wish_.cell,
                            Change::Kind::date,
                            {},
                            Change::none,
                            static_cast<double>(closed->first),
                            one_day ? "" : calendar::short_date(closed->last)});
  }

  void set_people(book::Crew& crew) {
    if (gives_up()) return refuse_give_up("`2` or `1 fewer`.");
    const double before = crew.people;
    const auto wanted =
        wanted_quantity(wish_, before, units::counting_unit("people"), diagnostics_);
    if (!wanted) return;
    const auto people = book::read_people(*wanted, diagnostics_);
    if (!people) return;
    crew.people = static_cast<int>(people->value);
    note(units::counting_unit("people"), before, crew.people);
  }

  /// In the unit in which the lot is written.
  void set_count(book::Lot& lot) {
    if (gives_up()) return refuse_give_up("`500` or `200 fewer`.");
    const double before = lot.count.quantity.base();
    const units::Unit unit = lot.count.quantity.unit;
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    auto count = book::read_lot_count(*wanted, diagnostics_);
    if (!count) return;
    if (!count->quantity.has_unit) count->quantity.unit = unit;
    count->quantity.has_unit = lot.count.quantity.has_unit;
    lot.count = std::move(*count);
    note(unit, before, lot.count.quantity.base());
  }

  void set_plants(book::Mothers& mothers) {
    if (gives_up()) return refuse_give_up("`60` or `20 more`.");
    const auto before = static_cast<double>(mothers.plants);
    const units::Unit unit = units::counting_unit("plants");
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto plants = book::read_plants(*wanted, diagnostics_);
    if (!plants) return;
    mothers.plants = plants->value;
    note(unit, before, static_cast<double>(mothers.plants));
  }

  void set_finished(book::Finished& finished) {
    if (gives_up()) return refuse_give_up("`0` or `20 fewer`.");
    const auto before = static_cast<double>(finished.plants);
    const units::Unit unit = units::counting_unit("plants");
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto plants = book::read_count("plants", *wanted, diagnostics_);
    if (!plants) return;
    finished.plants = plants->value;
    note(unit, before, static_cast<double>(finished.plants));
  }

  void set_lets_in(book::Room& room) {
    if (gives_up()) return refuse_give_up("`55 %`.");
    const units::Unit unit = *units::find_unit("%");
    const double before = room.lets_in ? room.lets_in->value : Change::none;
    const auto wanted = wanted_quantity(wish_, room.lets_in ? before : 0, unit, diagnostics_);
    if (!wanted) return;
    const auto share = book::read_lets_in(*wanted, diagnostics_);
    if (!share) return;
    room.lets_in = share;
    note(unit, before, share->value);
  }

  /// Of its lamps, which it then has.
  void set_lights(book::Room& room) {
    if (gives_up()) return refuse_give_up("`120 umol/m2/s`.");
    const units::Unit unit = *units::find_unit("umol/m2/s");
    const double before = room.can ? room.can->light : 0;
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto light = book::read_lights(*wanted, diagnostics_);
    if (!light) return;
    if (!room.can) room.can = book::Abilities{true, true, true, true, true, 0, wish_.value.span};
    room.can->light = light->value;
    note(unit, before, light->value);
  }

  /// Anew as in the book, or moved from what it was.
  std::optional<book::SingleValue> written_or_moved(double before, const units::Unit& unit) {
    if (wish_.move.kind == Move::Kind::outright) return wish_.value;
    return wanted_quantity(wish_, std::isnan(before) ? 0 : before, unit, diagnostics_);
  }

  void set_heat_loss(book::Room& room) {
    if (gives_up()) return refuse_give_up("`4 W/m2/K of 320 m2` or `10 % less`.");
    const units::Unit unit = *units::find_unit("W/K");
    const double before = room.heat_loss ? room.heat_loss->value : Change::none;
    const auto wanted = written_or_moved(before, unit);
    const auto loss = wanted ? book::read_heat_loss(*wanted, diagnostics_) : std::nullopt;
    if (!loss) return;
    room.heat_loss = loss;
    note(unit, before, loss->value);
  }

  void set_energy_price(const std::string& key, std::optional<double>& price) {
    if (gives_up()) return refuse_give_up("`0.24` or `10 % more`.");
    const std::string currency = site_.currency ? site_.currency->value : "money";
    const units::Unit unit = *units::find_unit(currency + "/kWh");
    const double before = price.value_or(Change::none);
    const auto wanted = written_or_moved(before, unit);
    const auto cost =
        wanted ? book::read_energy_price(key, *wanted, site_.currency, diagnostics_) : std::nullopt;
    if (!cost) return;
    price = cost;
    note(unit, before, *cost);
  }

  /// The recipe that counts for a supply; nullptr where it is bought.
  const language::Recipe* recipe_of(const std::string& supply) const {
    for (const BookRecipe& one : plan_.recipes) {
      if (one.supply().name == supply) return one.recipe;
    }
    return nullptr;
  }

  /// Changes it wherever it stands.
  template <class Edit>
  void edit_recipes(const std::string& supply, Edit edit) {
    for (language::Protocol& protocol : out_.book.protocols) {
      for (language::Recipe& one : protocol.recipes) {
        if (protocol.supplies[one.supply].name == supply) edit(one);
      }
    }
  }

  void set_keeps(const std::string& supply, const language::Recipe& recipe) {
    const double before = recipe.keeps.value_or(Change::none);
    const units::Unit unit = units::usual_unit(units::time, recipe.keeps.value_or(0));
    if (gives_up()) {
      edit_recipes(supply, [](language::Recipe& one) { one.keeps.reset(); });
      return note(unit, before, Change::none);
    }
    const auto wanted = wanted_quantity(wish_, recipe.keeps.value_or(0), unit, diagnostics_);
    if (!wanted) return;
    const auto keeps = book::read_recipe_keeps(*wanted, diagnostics_);
    if (!keeps) return;
    if (keeps->value < recipe.before * units::seconds_a_day) {
      return language::report_spoilt_before(wish_.value.span, diagnostics_);
    }
    edit_recipes(supply, [&](language::Recipe& one) { one.keeps = keeps->value; });
    note(unit, before, keeps->value);
  }

  void set_vessel(const std::string& supply, const language::Recipe& recipe) {
    if (gives_up()) return refuse_give_up("`20 L`.");
    units::Unit unit;
    for (const BookRecipe& one : plan_.recipes) {
      if (one.recipe == &recipe) unit = one.supply().unit;
    }
    const double before = recipe.vessel;
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto vessel = book::read_recipe_vessel(*wanted, diagnostics_);
    if (!vessel) return;
    const units::Unit& given = vessel->quantity.unit;
    if (vessel->quantity.has_unit &&
        (given.dimension != unit.dimension || given.noun != unit.noun)) {
      diagnostics_.error("unit-mismatch", wish_.value.span,
                         "`" + supply + "` is measured in " + unit.symbol + ".");
      return;
    }
    const double after =
        vessel->quantity.has_unit ? vessel->quantity.base() : unit.to_base(vessel->quantity.value);
    edit_recipes(supply, [&](language::Recipe& one) { one.vessel = after; });
    note(unit, before, after);
  }

  void set_hours(book::Crew& crew) {
    if (gives_up()) return refuse_give_up("`6 h` or `1 h less`.");
    if (crew.hours.same_every_day()) {
      const auto hours = set_hours_of(wish_.cell, crew.hours.by_weekday().front());
      if (hours) crew.hours = *hours;
      return;
    }
    // By weekday: the days on which the crew does not work stay so.
    std::array<double, 7> week = crew.hours.by_weekday();
    for (std::size_t day = 0; day < week.size(); ++day) {
      if (week[day] == 0) continue;
      const auto weekday = calendar::short_name(static_cast<calendar::Weekday>(day));
      const auto hours = set_hours_of(wish_.cell + " " + std::string(weekday), week[day]);
      if (!hours) return;
      week[day] = *hours;
    }
    crew.hours = book::WeekHours(week);
  }

  /// The hours that are wanted instead of `before`, noted as a change of `name`.
  std::optional<double> set_hours_of(const std::string& name, double before) {
    const units::Unit unit = *units::find_unit("h");
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return std::nullopt;
    const auto hours = book::read_hours(*wanted, diagnostics_);
    if (!hours) return std::nullopt;
    out_.changes.push_back({"", name, Change::Kind::quantity, unit, before, hours->value, ""});
    return hours->value;
  }

  void set_input(const std::string& protocol, const std::string& name,
                 const std::vector<const sheet::Sheet*>& sheets) {
    const sheet::Sheet& sheet = *sheets.front();
    const sheet::Template& t = sheet.layout();
    const language::InputId id = t.protocol.inputs.find(name);
    if (!id.known()) return report_input(t.protocol, name);
    const language::Input& input = t.protocol.inputs[id];
    const sheet::CellId cell = t.inputs[id];
    const double usual = t.protocol.node(input.usual).value;
    const double before = sheet.site().value_of(cell).value_or(usual);
    auto& own = site_.inputs[protocol];
    if (gives_up()) {
      own.erase(name);
      return note(input.unit, before, usual);
    }
    const auto wanted = wanted_quantity(wish_, before, input.unit, diagnostics_);
    if (!wanted) return;
    auto written = book::read_input(name, *wanted, diagnostics_);
    if (!written) return;
    double after = Change::none;
    for (const sheet::Sheet* edition : sheets) {
      const auto checked = check_input(name, *written, edition->layout(), diagnostics_);
      if (!checked) return;
      if (edition == &sheet) after = checked->second;
    }
    own.insert_or_assign(name, std::move(*written));
    note(input.unit, before, after);
  }

  void report_input(const language::Protocol& protocol, const std::string& name) {
    std::vector<std::string> names;
    for (const language::Input& input : protocol.inputs) names.push_back(input.name);
    std::string advice = text::did_you_mean(name, names);
    if (advice.empty() && !names.empty()) advice = "There are " + text::list_words(names) + ".";
    diagnostics_.error("unknown-name", wish_.cell_span,
                       "`" + protocol.name + "` has no input `" + text::shortened(name) + "`.",
                       std::move(advice));
  }

  const Plan& plan_;
  const Wish& wish_;
  WhatIf& out_;
  book::Site& site_;
  text::Diagnostics& diagnostics_;
};

}  // namespace

void change_site(const Plan& plan, const Wish& wish, WhatIf& out, text::Diagnostics& diagnostics) {
  SiteChange(plan, wish, out, diagnostics).run();
}

}  // namespace budwood::plan
