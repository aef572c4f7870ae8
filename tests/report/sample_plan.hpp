#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "report/report.hpp"

namespace budwood::report::test {

/// A short method: leaf cuttings of a begonia-like plant, in two stages.
inline const char* leaf_cuttings = R"(protocol leaf_cuttings "Leaf cuttings" {
  edition 3
  crop "streptocarpus"
  supply leaf "Leaf" in leaves
  supply mix "Fine mix" in L pack 20 L
  supply tray "Tray, 40 cells" in trays reused
  part cutting "Leaf cutting"
  stage rooting of cutting "Rooting" {
    lasts 20 to 26 days usually 21 days
    room propagator
    keep air 20 degC by day
    keep air 17 degC by night
    taper humidity 90 % to 80 % over 11 days
    loses 20 %
    do "Cut leaves, lay on the mix" on day 1 {
      rate 60 per hour
      crew propagation
      people 2
      use 1 leaf each
      use 35 mL mix each
      use 1 tray per 40
      tool "Knife"
      caution "Cut away from the body."
      record laid in leaves
      note "Veins downwards."
    }
    do "Look for rot" every 7 days from day 7 { time 12 min }
  }
  stage potting of cutting {
    lasts 1 day
    room bench
    do "Pot" on day 1 { rate 100 per hour  crew potting }
  }
}
)";

/// A quantity as a book reads it.
inline book::Written amount(const std::string& text) {
  book::Written out;
  out.text = text;
  out.quantity = *units::parse_quantity(text);
  return out;
}

/// A book made of one protocol, and its plan. The weekend is free.
class SamplePlan {
 public:
  explicit SamplePlan(const std::string& protocol = leaf_cuttings) {
    const text::Source& source = sources_.add("leaf_cuttings.bud", protocol);
    book_.protocols = language::read(source, diagnostics_).protocols;
    book_.site.name.value = "Mill Bank";
    using calendar::Weekday;
    book_.site.working = calendar::WorkingDays(
        {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
        {});
  }

  book::Batch& add_batch(const std::string& id, int plants, const std::string& ready) {
    book::Batch batch;
    batch.id.value = id;
    batch.protocol.value = book_.protocols.empty() ? "" : book_.protocols[0].name;
    batch.plants.value = plants;
    batch.ready = book::Placed<calendar::Day>{*calendar::parse_iso_date(ready), {}};
    book_.batches.push_back(std::move(batch));
    return book_.batches.back();
  }

  const plan::Plan& plan() {
    if (plan_.book == nullptr) plan_ = plan::make_plan(book_, diagnostics_);
    return plan_;
  }

  book::Book& book() { return book_; }
  const text::Diagnostics& diagnostics() const { return diagnostics_; }

  std::string orders(Format format, const Filter& filter = {}, const Style& style = {}) {
    std::ostringstream out;
    write_orders(out, plan(), filter, format, style);
    return out.str();
  }
  std::string settings(Format format, const Filter& filter = {}, const Style& style = {}) {
    std::ostringstream out;
    write_settings(out, plan(), filter, format, style);
    return out.str();
  }
  std::string needs(Format format, const NeedsView& view = {},
                    std::optional<calendar::Day> today = std::nullopt) {
    std::ostringstream out;
    write_needs(out, plan(), plan::total_needs(plan(), today), view, format);
    return out.str();
  }

 private:
  text::Sources sources_;
  text::Diagnostics diagnostics_;
  book::Book book_;
  plan::Plan plan_;
};

inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

/// A protocol whose only work has this title, as written between the quotes.
inline std::string protocol_with_title(const std::string& title) {
  return "protocol p \"P\" {\n  part a \"A\"\n  stage s of a {\n    lasts 3 days\n    room r\n"
         "    do \"" +
         title + "\" on day 1 { rate 60 per hour }\n  }\n}\n";
}

}  // namespace budwood::report::test
