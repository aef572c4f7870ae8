#include <algorithm>
#include <cmath>

#include "language/limits.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/site/site_sheets.hpp"

/// What an edit asks for, and why it cannot be made.
namespace budwood::sheet {

namespace {

constexpr double most_plants = language::limits::most_plants;

bool in_calendar(Day day) {
  return day >= calendar::first_day && day <= calendar::last_day;
}

bool is_order(double plants) {
  return plants >= 1 && plants <= most_plants && plants == std::floor(plants);
}

bool is_sure(double sure) {
  return sure >= 0 && sure < 1;
}

const char* const wrong_order = "A batch has 1 to 10,000,000 whole plants.";
const char* const wrong_sure = "How sure the number must be lies between 0 and just under 100 %.";
const char* const wrong_count = "A count lies between 0 and 10,000,000.";
const char* const no_such_batch = "There is no such batch.";
const char* const no_such_stage = "There is no such stage.";
const char* const outside_calendar = "This day lies outside the calendar.";

}  // namespace

SiteSheets::Answer SiteSheets::perform(const Edit& edit) {
  return std::visit([&](const auto& one) { return perform_one(one); }, edit);
}

template <typename Change>
SiteSheets::Answer SiteSheets::with_facts(BatchKey batch, const Change& change) {
  BatchFacts facts = sheets_[batch.sheet].sheet.batch(batch.row);
  change(facts);
  return {set_facts(batch, std::move(facts)), {}};
}

/// Why an input cannot have a value; nothing when it can.
std::optional<std::string> SiteSheets::refuse_input(std::uint32_t sheet, CellId input,
                                                    const std::optional<double>& value,
                                                    const GivenCount& count) const {
  const Template& t = sheets_[sheet].sheet.layout();
  if (input >= t.cells.size()) return "There is no such value.";
  const std::string name = describe(t.cell(input));
  if (std::find(t.inputs.begin(), t.inputs.end(), input) == t.inputs.end()) {
    return name + " is worked out, not given.";
  }
  if (!value) return std::nullopt;
  if (!std::isfinite(*value)) return name + " wants a number.";
  const bool counts = count.good >= 0 && count.good <= count.seen && count.seen <= most_plants &&
                      count.batches >= 0 && count.batches <= count.seen;
  if (!counts) return "The count behind " + name + " is not so many of so many.";
  if (count.likeness && !(*count.likeness >= 0 && *count.likeness < 1)) {
    return "The likeness behind " + name + " lies between 0 and just under 1.";
  }
  for (const Expectation& expectation : t.expectations) {
    if (expectation.cell == input && !meets(expectation, *value)) return expectation.message + ".";
  }
  return std::nullopt;
}

/// Why there cannot be such a batch; nothing when there can. Whether the values of its inputs lie
/// in their ranges is told by the sheet's expectations, as for a batch that was there before.
std::optional<std::string> SiteSheets::refuse_facts(std::uint32_t sheet,
                                                    const BatchFacts& facts) const {
  const Template& t = sheets_[sheet].sheet.layout();
  if (!is_order(facts.plants)) return wrong_order;
  if (!is_sure(facts.sure)) return wrong_sure;
  const bool one_date =
      facts.ready.has_value() + facts.start.has_value() + facts.not_before.has_value() == 1;
  if (!one_date) {
    return "A batch is ready by a day, or starts on a day or not before one: one of these.";
  }
  if (!in_calendar(facts.ready.value_or(facts.first_day().value_or(0)))) return outside_calendar;
  for (const Pin& pin : facts.pins) {
    if (!t.has(pin.stage)) {
      return no_such_stage;
    }
    if (!in_calendar(pin.day)) return outside_calendar;
  }
  for (const auto& [cell, value] : facts.inputs) {
    const bool is_input = cell < t.cells.size() && t.cell(cell).kind == Cell::Kind::input;
    if (!is_input || !std::isfinite(value)) return "A value is given for what is no input.";
  }
  for (const auto& [cell, value] : facts.counted) {
    const bool is_count = cell < t.cells.size() && t.can_be_counted(cell);
    if (!is_count || !(value >= 0 && value <= most_plants)) return wrong_count;
  }
  return std::nullopt;
}

SiteSheets::Answer SiteSheets::perform_one(const SetInput& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (auto why = refuse_input(edit.batch.sheet, edit.input, edit.value, edit.count)) {
    return refuse(std::move(*why));
  }
  const Template& t = sheets_[edit.batch.sheet].sheet.layout();
  return with_facts(edit.batch, [&](BatchFacts& facts) {
    if (edit.value) {
      give(t, edit.input, *edit.value, edit.count, facts.inputs);
    } else {
      sheet::take_back(t, edit.input, facts.inputs);
    }
  });
}

SiteSheets::Answer SiteSheets::perform_one(const SetSiteInput& edit) {
  if (edit.sheet >= sheets_.size()) return refuse("There is no such sheet.");
  if (auto why = refuse_input(edit.sheet, edit.input, edit.value, edit.count)) {
    return refuse(std::move(*why));
  }
  const Sheet& sheet = sheets_[edit.sheet].sheet;
  GivenValues inputs = sheet.site().inputs;
  if (edit.value) {
    give(sheet.layout(), edit.input, *edit.value, edit.count, inputs);
  } else {
    sheet::take_back(sheet.layout(), edit.input, inputs);
  }
  return {set_site_inputs(edit.sheet, std::move(inputs)), {}};
}

SiteSheets::Answer SiteSheets::perform_one(const SetPlants& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (!is_order(edit.plants)) return refuse(wrong_order);
  return with_facts(edit.batch, [&](BatchFacts& facts) { facts.plants = edit.plants; });
}

SiteSheets::Answer SiteSheets::perform_one(const SetSure& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (!is_sure(edit.sure)) return refuse(wrong_sure);
  return with_facts(edit.batch, [&](BatchFacts& facts) { facts.sure = edit.sure; });
}

SiteSheets::Answer SiteSheets::perform_one(const SetReady& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (!in_calendar(edit.day)) return refuse(outside_calendar);
  return with_facts(edit.batch, [&](BatchFacts& facts) {
    facts.ready = edit.day;
    facts.start.reset();
    facts.not_before.reset();
  });
}

SiteSheets::Answer SiteSheets::perform_one(const SetStart& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (!in_calendar(edit.day)) return refuse(outside_calendar);
  return with_facts(edit.batch, [&](BatchFacts& facts) {
    facts.start = edit.day;
    facts.ready.reset();
    facts.not_before.reset();
  });
}

SiteSheets::Answer SiteSheets::perform_one(const SetPin& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  if (!sheets_[edit.batch.sheet].sheet.layout().has(edit.stage)) return refuse(no_such_stage);
  if (edit.day && !in_calendar(*edit.day)) return refuse(outside_calendar);
  return with_facts(edit.batch, [&](BatchFacts& facts) {
    std::erase_if(facts.pins,
                  [&](const Pin& pin) { return pin.stage == edit.stage && pin.end == edit.end; });
    if (edit.day) facts.pins.push_back({edit.stage, edit.end, *edit.day});
  });
}

SiteSheets::Answer SiteSheets::perform_one(const SetCount& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  const Template& t = sheets_[edit.batch.sheet].sheet.layout();
  if (!t.has(edit.stage)) return refuse(no_such_stage);
  if (edit.left && !(*edit.left >= 0 && *edit.left <= most_plants)) {
    return refuse(wrong_count);
  }
  const CellId left = t.stages[edit.stage].left;
  return with_facts(edit.batch, [&](BatchFacts& facts) {
    erase_given(facts.counted, left);
    if (edit.left) set_given(facts.counted, left, *edit.left);
  });
}

SiteSheets::Answer SiteSheets::perform_one(const AddBatch& edit) {
  if (edit.sheet >= sheets_.size()) return refuse("There is no such sheet.");
  if (auto why = refuse_facts(edit.sheet, edit.facts)) return refuse(std::move(*why));
  Inverse inverse = insert(edit.sheet, edit.facts);
  added_.push_back(std::get<Removal>(inverse).batch);
  return {std::move(inverse), {}};
}

SiteSheets::Answer SiteSheets::perform_one(const DropBatch& edit) {
  if (!has(edit.batch)) return refuse(no_such_batch);
  return {remove(edit.batch), {}};
}

SiteSheets::Answer SiteSheets::perform_one(const SetClosed& edit) {
  if (sheets_.empty()) return refuse("There is no sheet.");
  if (!in_calendar(edit.day)) return refuse(outside_calendar);
  calendar::WorkingDays days = sheets_.front().sheet.site().working;
  if (edit.closed) {
    days.close(edit.day, edit.day);
  } else {
    days.reopen(edit.day);
  }
  return {set_working_days(std::move(days)), {}};
}

}  // namespace budwood::sheet
