#include "plan/trials/what_if_batch.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "plan/batch_checker.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
/// Changes one value of one batch.
class BatchChange {
 public:
  BatchChange(const Plan& plan, const BatchPlan& planned, const Target& target, const Wish& wish,
              WhatIf& out, text::Diagnostics& diagnostics)
      : row_(plan.row_of(planned)),
        t_(row_.layout()),
        target_(target),
        wish_(wish),
        out_(out),
        batch_(out.book.batches[planned.batch]),
        diagnostics_(diagnostics) {}

  void run() {
    switch (target_.kind) {
      case Target::Kind::input:
        return set_input();
      case Target::Kind::plants:
        return set_plants();
      case Target::Kind::sure:
        return set_share("sure", &book::Batch::sure, &book::Batch::usual_sure, &book::read_sure);
      case Target::Kind::spare:
        return set_share("spare", &book::Batch::spare, &book::Batch::usual_spare,
                         &book::read_spare);
      case Target::Kind::full_trays:
        return set_full_trays();
      case Target::Kind::ready:
      case Target::Kind::start:
      case Target::Kind::not_before:
        return set_date();
      case Target::Kind::demand:
        return set_demand(demand_values[target_.index]);
      case Target::Kind::stage_date:
        return set_stage_date();
      case Target::Kind::count:
        return set_count();
      case Target::Kind::worked_out:
      case Target::Kind::unknown:
        return;
    }
  }

 private:
  bool gives_up() const { return wish_.move.kind == Move::Kind::give_up; }
  std::optional<Day> first_day() const {
    std::optional<Day> first;
    for (const sheet::StageCells& cells : t_.stages) {
      const auto start = row_.known_day(cells.start);
      if (start && (!first || *start < *first)) first = start;
    }
    return first;
  }
  const std::string& stage_name() const { return t_.protocol.stages[target_.index].name; }
  const std::string& id() const { return batch_.id.value; }

  void note(std::string name, Change::Kind kind, const units::Unit& unit, double before,
            double after) {
    out_.changes.push_back({id(), std::move(name), kind, unit, before, after, ""});
  }
  void note_date(std::string name, std::optional<Day> before, std::optional<Day> after) {
    note(std::move(name), Change::Kind::date, {}, before ? *before : Change::none,
         after ? *after : Change::none);
  }

  void refuse(std::string message, std::string advice) {
    diagnostics_.error("wrong-value", wish_.value.span, std::move(message), std::move(advice));
  }
  /// Says that there was nothing to give up; of all batches it goes without saying.
  void warn_idle(const std::string& what) {
    if (wish_.owner == "*") return;
    diagnostics_.warning("no-value", wish_.value.span,
                         "`" + id() + "` has no " + what + " of its own.", "Nothing is given up.");
  }

  void set_input() {
    const language::Input& input = t_.protocol.inputs[target_.index];
    const double before = row_.value(target_.cell);
    if (gives_up()) {
      if (batch_.set.erase(input.name) == 0) return warn_idle("`" + input.name + "`");
      return note(input.name, Change::Kind::quantity, input.unit, before, learned());
    }
    const auto wanted = wanted_quantity(wish_, before, input.unit, diagnostics_);
    if (!wanted) return;
    auto written = book::read_input(input.name, *wanted, diagnostics_);
    if (!written) return;
    const auto checked = check_input(input.name, *written, t_, diagnostics_);
    if (!checked) return;
    batch_.set.insert_or_assign(input.name, std::move(*written));
    note(input.name, Change::Kind::quantity, input.unit, before, checked->second);
  }

  /// What an input is without a value of the batch's own.
  double learned() const {
    const double usual = t_.protocol.node(t_.protocol.inputs[target_.index].usual).value;
    return row_.sheet().site().value_of(target_.cell).value_or(usual);
  }

  void set_plants() {
    const units::Unit unit = units::counting_unit("plants");
    if (gives_up()) return refuse("A batch has a number of plants.", "Such as `600`.");
    const auto before = static_cast<double>(batch_.plants.value);
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto plants = book::read_plants(rounded(*wanted, unit), diagnostics_);
    if (!plants) return;
    batch_.plants = *plants;
    note("plants", Change::Kind::quantity, unit, before, static_cast<double>(plants->value));
  }

  /// Nobody orders a part of a plant.
  book::SingleValue rounded(const book::SingleValue& wanted, const units::Unit& unit) const {
    if (wish_.move.kind != Move::Kind::percent) return wanted;
    const auto parsed = units::parse_quantity(wanted.text);
    if (!parsed) return wanted;
    return {units::format(std::round(parsed->value), unit, 15), wanted.span};
  }

  /// A number of plants, or the money that is lost on one.
  void set_demand(const std::string& what) {
    const std::string name = "demand." + what;
    if (!batch_.demand) {
      if (wish_.owner == "*") return;
      return refuse("`" + id() + "` has no `demand`.",
                    "Write one in batches.yaml: `demand: {least: 400, usual: 500, most: 600, "
                    "too_many: 0.80, too_few: 3.20}`.");
    }
    if (gives_up()) return refuse("`" + name + "` has a value.", "Say what it shall be.");
    book::Demand demand = *batch_.demand;
    book::Placed<std::int64_t>* number = what == "least"   ? &demand.least
                                         : what == "usual" ? &demand.usual
                                         : what == "most"  ? &demand.most
                                                           : nullptr;
    book::Written* money = what == "too_many" ? &demand.too_many : &demand.too_few;
    const units::Unit unit =
        number != nullptr ? units::counting_unit("plants") : money->quantity.unit;
    const double before =
        number != nullptr ? static_cast<double>(number->value) : money->quantity.value;
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    if (number != nullptr) {
      const auto plants = book::read_count(name, rounded(*wanted, unit), diagnostics_);
      if (!plants) return;
      *number = *plants;
    } else {
      auto loss = book::read_loss_of_plant(what, *wanted, out_.book.site, diagnostics_);
      if (!loss) return;
      *money = std::move(*loss);
    }
    demand.span = wish_.value.span;
    if (!book::check_demand(demand, diagnostics_)) return;
    note(name, Change::Kind::quantity, unit, before,
         number != nullptr ? static_cast<double>(number->value) : money->quantity.value);
    batch_.demand = std::move(demand);
  }

  using OwnShare = std::optional<book::Placed<double>> book::Batch::*;
  using ShareReader = decltype(book::read_sure);
  /// `sure` or `spare`, which the site may say for all of its batches.
  void set_share(const std::string& name, OwnShare own, OwnShare usual, ShareReader* read) {
    const units::Unit unit = *units::find_unit("%");
    const auto value_of = [](const auto& share) { return share ? share->value : Change::none; };
    const double before = value_of(batch_.*own);
    if (gives_up()) {
      const double otherwise = value_of(batch_.*usual);
      const bool both = (batch_.*own).has_value() && (batch_.*usual).has_value();
      const bool neither = !(batch_.*own) && !(batch_.*usual);
      if (neither || (both && before == otherwise)) return warn_idle("`" + name + "`");
      batch_.*own = batch_.*usual;
      return note(name, Change::Kind::quantity, unit, before, otherwise);
    }
    const auto wanted = wanted_quantity(wish_, before, unit, diagnostics_);
    if (!wanted) return;
    const auto share = (*read)(*wanted, diagnostics_);
    if (!share) return;
    batch_.*own = share;
    note(name, Change::Kind::quantity, unit, before, share->value);
  }

  void set_full_trays() {
    const auto value_of = [](const std::optional<book::Placed<bool>>& own) {
      return own ? (own->value ? 1.0 : 0.0) : Change::none;
    };
    const double before = value_of(batch_.full_trays);
    std::optional<book::Placed<bool>> after = batch_.usual_full_trays;
    if (gives_up()) {
      const double otherwise = value_of(after);
      if (before == otherwise || batch_.full_trays.has_value() == after.has_value()) {
        return warn_idle("`full_trays`");
      }
    } else {
      after = book::read_full_trays(wish_.value, diagnostics_);
      if (!after) return;
    }
    batch_.full_trays = after;
    note("full_trays", Change::Kind::yes_no, {}, before, value_of(after));
  }

  /// One of the dates of which a batch has just one.
  struct OwnDate {
    Target::Kind kind;
    const char* name;
    const char* words;  ///< before the date
    std::optional<book::Placed<Day>>* date;
  };

  void set_date() {
    const OwnDate all[] = {
        {Target::Kind::ready, "ready", "ready by ", &batch_.ready},
        {Target::Kind::start, "start", "started on ", &batch_.start},
        {Target::Kind::not_before, "not_before", "not started before ", &batch_.not_before}};
    if (gives_up())
      return refuse("A batch has a date.", "Such as `2027-05-10` or `1 week earlier`.");
    const OwnDate& wanted = *std::find_if(std::begin(all), std::end(all), [&](const OwnDate& one) {
      return one.kind == target_.kind;
    });
    const std::optional<Day> planned =
        wanted.kind == Target::Kind::ready ? row_.ready() : first_day();
    const std::optional<Day> before = *wanted.date ? std::optional((*wanted.date)->value) : planned;
    const auto day = wanted_day(wish_, before, diagnostics_);
    if (!day) return;
    for (const OwnDate& other : all) {
      if (other.kind == wanted.kind || !*other.date) continue;
      diagnostics_.note("what-if", wish_.cell_span,
                        "`" + id() + "` is " + other.words +
                            calendar::iso_date((*other.date)->value) + " in the book; here it is " +
                            wanted.words + calendar::iso_date(*day) + " instead.");
      other.date->reset();
    }
    *wanted.date = book::Placed<Day>{*day, wish_.value.span};
    note_date(wanted.name, before, *day);
  }

  void set_stage_date() {
    using Side = book::Pin::Side;
    const Side side = target_.end ? Side::end : Side::start;
    const std::string name = stage_name() + (target_.end ? ".end" : ".start");
    const std::optional<Day> before = row_.known_day(target_.cell);
    std::optional<Day> day;
    if (!gives_up()) {
      day = wanted_day(wish_, before, diagnostics_);
      if (!day) return;
    }
    const std::size_t given_up = std::erase_if(batch_.pins, [&](const book::Pin& pin) {
      return pin.stage == stage_name() && pin.side == side;
    });
    if (!day && given_up == 0) return warn_idle("fixed `" + name + "`");
    if (day) batch_.pins.push_back({stage_name(), side, *day, wish_.value.span, false});
    note_date(name, before, day);
  }

  void set_count() {
    const units::Unit unit = units::counting_unit("plants");
    const std::string name = stage_name() + ".left";
    const double before = row_.value(target_.cell);
    std::optional<book::Placed<std::int64_t>> plants;
    if (!gives_up()) {
      const auto wanted = wanted_quantity(wish_, std::floor(before), unit, diagnostics_);
      if (!wanted) return;
      plants = book::read_count(wish_.left, rounded(*wanted, unit), diagnostics_);
      if (!plants) return;
    }
    const std::size_t given_up = std::erase_if(
        batch_.counted, [&](const book::Count& count) { return count.stage == stage_name(); });
    if (!plants && given_up == 0) return warn_idle("count for `" + name + "`");
    if (plants) batch_.counted.push_back({stage_name(), plants->value, wish_.value.span});
    note(name, Change::Kind::quantity, unit, before,
         plants ? static_cast<double>(plants->value) : Change::none);
  }

  const sheet::Row row_;
  const sheet::Template& t_;
  const Target& target_;
  const Wish& wish_;
  WhatIf& out_;
  book::Batch& batch_;
  text::Diagnostics& diagnostics_;
};

}  // namespace

void change_batch(const Plan& plan, const BatchPlan& batch, const Target& target, const Wish& wish,
                  WhatIf& out, text::Diagnostics& diagnostics) {
  BatchChange(plan, batch, target, wish, out, diagnostics).run();
}

}  // namespace budwood::plan
