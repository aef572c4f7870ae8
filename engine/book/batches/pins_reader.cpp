#include "book/batches/pins_reader.hpp"

#include <algorithm>

#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

/// "grafting.start": a stage and what is said of it.
struct PinKey {
  std::string stage;
  std::string_view side;  ///< with the dot
  bool is_date() const { return side == ".start" || side == ".end"; }
};

PinKey split(const Entry& entry) {
  const std::size_t dot = std::min(entry.key.find('.'), entry.key.size());
  return {entry.key.substr(0, dot), std::string_view(entry.key).substr(dot)};
}

std::optional<Pin> read_pin(const Entry& entry, const PinKey& key, text::Diagnostics& diagnostics) {
  const auto day = read_date(entry.key, entry.value, diagnostics);
  if (!day) return std::nullopt;
  Pin pin;
  pin.stage = key.stage;
  pin.side = key.side == ".start" ? Pin::Side::start : Pin::Side::end;
  pin.day = day->value;
  pin.span = entry.value.span;
  return pin;
}

}  // namespace

std::vector<Pin> read_dates_of_stages(const Node* node, std::string_view key,
                                      text::Diagnostics& diagnostics) {
  std::vector<Pin> pins;
  const Wanted wanted{key, "a line for each date that is fixed", "grafting.start: 2027-02-01"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    const PinKey date = split(entry);
    if (!date.is_date() || !is_name(date.stage)) {
      diagnostics.error("bad-pin", entry.key_span,
                        "A pin names a stage and which of its dates is fixed.",
                        "Write `grafting.start: 2027-02-01` or `grafting.end: 2027-02-02`.");
      continue;
    }
    if (const auto pin = read_pin(entry, date, diagnostics)) pins.push_back(*pin);
  }
  return pins;
}

void read_pins(const Node* node, Batch& batch, text::Diagnostics& diagnostics) {
  batch.pins = read_dates_of_stages(node, "pins", diagnostics);
}

void read_recorded(const Node* node, Batch& batch, text::Diagnostics& diagnostics) {
  const Wanted wanted{"recorded", "a line for each date or count", "grafting.left: 380"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    const PinKey key = split(entry);
    if ((!key.is_date() && key.side != ".left") || !is_name(key.stage)) {
      diagnostics.error("bad-pin", entry.key_span,
                        "What is recorded names a stage, and its start, its end or what was left.",
                        "Write `grafting.start: 2027-02-01`, `grafting.end: 2027-02-02` or "
                        "`grafting.left: 380`.");
      continue;
    }
    if (!key.is_date()) {
      const auto plants = read_count(entry.key, entry.value, diagnostics);
      if (plants) batch.counted.push_back({key.stage, plants->value, plants->span});
      continue;
    }
    auto pin = read_pin(entry, key, diagnostics);
    if (!pin) continue;
    pin->recorded = true;
    std::erase_if(batch.pins, [&](const Pin& wanted_date) {
      return wanted_date.stage == pin->stage && wanted_date.side == pin->side;
    });
    batch.pins.push_back(*pin);
  }
}

}  // namespace budwood::book
