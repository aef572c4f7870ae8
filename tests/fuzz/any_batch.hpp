#pragma once

#include <optional>
#include <string>
#include <vector>

#include "record/understand.hpp"

namespace budwood::fuzz {

/// A book in which every batch there could be follows a small protocol.
class AnyBatch : public record::Known {
 public:
  AnyBatch() {
    language::Stage stage;
    stage.name = "healing";
    protocol_.stages.push_back(stage);
    language::Observation callus;
    callus.name = "callus";
    callus.unit = *units::find_unit("%");
    callus.has_unit = true;
    protocol_.observations.push_back(callus);
    language::Supply mix;
    mix.name = "mix";
    mix.unit = mix.plain_unit = *units::find_unit("L");
    protocol_.supplies.push_back(mix);
  }
  std::vector<std::string> batches() const override { return {"A1"}; }
  const language::Protocol* protocol_of(const std::string&) const override { return &protocol_; }
  std::vector<std::string> orders_of(const std::string&) const override {
    return {"healing/1/1", "healing/1/2"};
  }
  std::vector<std::string> orders_after(const std::string&, calendar::Day) const override {
    return {"healing/1/3"};
  }
  std::vector<std::string> trays_of(const std::string& batch) const override {
    return batch == "C-c1" ? std::vector<std::string>{"1"} : std::vector<std::string>{};
  }
  std::vector<std::string> cultivars_of(const std::string& batch) const override {
    return batch == "C" ? std::vector<std::string>{"C-c1"} : std::vector<std::string>{};
  }
  std::string whole_of(const std::string& batch) const override {
    return batch == "C-c1" ? "C" : "";
  }
  std::optional<record::PlannedDays> days_of(const std::string&) const override {
    return record::PlannedDays{20'000, 21'000};
  }
  std::vector<const language::Supply*> supplies() const override {
    return {&protocol_.supplies.front()};
  }
  std::vector<record::Entry> entries(const std::string& front) const override {
    record::Entry out;
    out.id = front + std::string(record::id_length - front.size(), 'a');
    return {out};
  }

 private:
  language::Protocol protocol_;
};

}  // namespace budwood::fuzz
