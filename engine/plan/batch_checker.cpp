#include "plan/batch_checker.hpp"
#include "plan/learned_values.hpp"
#include "plan/orders/order_place.hpp"
#include "sheet/columns/given.hpp"
#include "units/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::plan {

namespace {

using language::Input;
using language::Type;

std::vector<std::string> input_names(const language::Protocol& protocol) {
  std::vector<std::string> names;
  for (const Input& input : protocol.inputs) names.push_back(input.name);
  return names;
}

/// `iba(dogwood)`: what a table of the protocol has for a word.
std::optional<double> value_looked_up(const book::Written& written, const Input& input,
                                      const language::Protocol& protocol,
                                      text::Diagnostics& diagnostics) {
  std::vector<std::string> tables;
  for (const language::Table& one : protocol.tables) {
    if (!one.words.empty()) tables.push_back(one.name);
    if (one.words.empty() || one.name != written.table) continue;
    std::string advice;
    const auto value = language::look_up_word(one, written.word, advice);
    if (value && language::alike(one.result, input.type)) return value;
    if (value) {
      diagnostics.error("unit-mismatch", written.span,
                        "`" + input.name + "` wants " + language::describe(input.type) + ", but `" +
                            written.text + "` is " + language::describe(one.result) + ".");
    } else {
      diagnostics.error("unknown-name", written.span,
                        "`" + one.name + "` has nothing for `" + written.word + "`.", advice);
    }
    return std::nullopt;
  }
  diagnostics.error("unknown-name", written.span,
                    "`" + protocol.name + "` looks nothing up in a table `" + written.table + "`.",
                    text::did_you_mean(written.table, tables));
  return std::nullopt;
}

/// A plain number takes the unit in which the protocol writes the input.
std::optional<double> value_in_unit(const book::Written& written, const Input& input,
                                    text::Diagnostics& diagnostics) {
  const units::Parsed& quantity = written.quantity;
  if (!quantity.has_unit) return input.plain_unit.to_base(quantity.value);
  const Type type =
      quantity.unit.absolute ? Type::temperature() : Type::quantity(quantity.unit.dimension);
  if (written.known_unit && language::alike(type, input.type)) return quantity.base();
  diagnostics.error(
      "unit-mismatch", written.span,
      "`" + input.name + "` wants " + language::describe(input.type) + ", but `" + written.text +
          "` is " + language::describe(type) + ".",
      input.unit.symbol.empty() ? "" : "Such as a number of " + input.unit.symbol + ".");
  return std::nullopt;
}

bool within_range(double value, const Input& input, const language::Protocol& protocol,
                  const text::Span& span, text::Diagnostics& diagnostics) {
  if (input.lowest == language::no_formula) return true;
  const double low = protocol.node(input.lowest).value;
  const double high = protocol.node(input.highest).value;
  const double tolerance = sheet::slack(low, high);
  if (value >= low - tolerance && value <= high + tolerance) return true;
  diagnostics.error("out-of-range", span,
                    "`" + input.name + "` goes from " + units::format(low, input.unit) + " to " +
                        units::format(high, input.unit) + " in `" + protocol.name + "`.",
                    "Stay inside, or widen the range in the protocol.");
  return false;
}

/// How far batches differ, as a likeness; nothing when nothing is said of it or it cannot be.
std::optional<double> likeness_in(const std::string& name, double value,
                                  const book::Written& written, text::Diagnostics& diagnostics) {
  if (!written.spread) return std::nullopt;
  const auto likeness = language::likeness_of(value, *written.spread);
  if (!likeness) {
    diagnostics.error("out-of-range", written.span,
                      "`" + name +
                          "` cannot differ so much between batches: the spread is by how "
                          "much a batch usually lies above or below the share.",
                      "Such as `79 % seen 412 of 520 in 6 batches spread 5 %`.");
  }
  return likeness;
}

void check_count(const std::string& name, double value, double likeness, bool counted,
                 const book::Written& written, text::Diagnostics& diagnostics) {
  if (!counted) {
    diagnostics.warning(
        "unused-count", written.span,
        "The count behind `" + name + "` makes no difference: no stage loses just this share.",
        "It counts in `loses " + name + "` or `loses 1 - " + name + "`.");
    return;
  }
  // Where batches differ the usual share is no longer that of all plants added up.
  const double rounding = std::max(0.005, language::spread_of(value, likeness));
  if (written.seen <= 0 ||
      std::abs(value - written.good / written.seen) <= rounding + units::slack(1, 1)) {
    return;
  }
  diagnostics.warning("evidence-differs", written.span,
                      units::format_number(written.good) + " of " +
                          units::format_number(written.seen) + " are " +
                          units::format(written.good / written.seen, *units::find_unit("%")) +
                          ", not what is written before it.",
                      "Write the share that was seen, or take the count out.");
}

}  // namespace

void set_input(const std::string& name, const book::Written& written, const sheet::Template& t,
               Counted by, sheet::GivenValues& inputs, text::Diagnostics& diagnostics) {
  const auto value = check_input(name, written, t, diagnostics);
  if (!value) return;
  const auto likeness = likeness_in(name, value->second, written, diagnostics);
  const bool counted = sheet::give(t, value->first, value->second,
                                   {written.good, written.seen, written.batches, likeness}, inputs);
  if (by == Counted::learned || (written.seen <= 0 && !written.spread)) return;
  check_count(name, value->second, likeness.value_or(0), counted, written, diagnostics);
}

namespace {

/// The stage that a batch names; none, with a report, when there is none.
language::StageId find_stage(const std::string& name, const text::Span& span,
                             const language::Protocol& protocol, text::Diagnostics& diagnostics) {
  if (const auto found = protocol.stages.find(name); found.known()) return found;
  std::vector<std::string> names;
  for (const language::Stage& stage : protocol.stages) names.push_back(stage.name);
  diagnostics.error("unknown-name", span, "`" + protocol.name + "` has no stage `" + name + "`.",
                    text::did_you_mean(name, names));
  return {};
}

void check_lots(const book::Batch& batch, const language::Protocol& protocol,
                text::Diagnostics& diagnostics) {
  std::vector<std::string> names;
  for (const language::Supply& supply : protocol.supplies) names.push_back(supply.name);
  for (const auto& [name, lot] : batch.lots) {
    if (std::find(names.begin(), names.end(), name) != names.end()) continue;
    diagnostics.error("unknown-name", lot.span,
                      "`" + protocol.name + "` has no supply `" + name + "`.",
                      text::did_you_mean(name, names));
  }
}

}  // namespace

std::optional<std::pair<sheet::CellId, double>> check_input(const std::string& name,
                                                            const book::Written& written,
                                                            const sheet::Template& t,
                                                            text::Diagnostics& diagnostics) {
  const language::Protocol& protocol = t.protocol;
  const language::InputId found = protocol.inputs.find(name);
  if (!found.known()) {
    diagnostics.error("unknown-name", written.span,
                      "`" + protocol.name + "` has no input `" + name + "`.",
                      text::did_you_mean(name, input_names(protocol)));
    return std::nullopt;
  }
  const Input& input = protocol.inputs[found];
  const auto value = written.table.empty() ? value_in_unit(written, input, diagnostics)
                                           : value_looked_up(written, input, protocol, diagnostics);
  if (!value || !within_range(*value, input, protocol, written.span, diagnostics)) {
    return std::nullopt;
  }
  return std::pair{t.inputs[found], *value};
}

namespace {

/// A batch that is under way may have begun with an older edition.
void warn_of_newest(const book::Batch& batch, int newest, text::Diagnostics& diagnostics) {
  diagnostics.warning(
      "edition-open", batch.protocol.span,
      "Batch `" + batch.id.value + "` is under way and does not say on which edition of `" +
          batch.protocol.value + "` it is. It is planned with the newest, edition " +
          std::to_string(newest) + ".",
      "Write `protocol: " + batch.protocol.value + " edition " + std::to_string(newest) +
          "` with the edition that it began with, or keep the editions of all batches with "
          "`budwood editions BOOK --keep`.");
}

/// The protocol is there; the variant that the batch asks for is not.
void report_no_variant(const book::Book& book, const book::Batch& batch, const std::string& method,
                       const std::string& variant, text::Diagnostics& diagnostics) {
  std::vector<std::string> variants;
  for (const language::Protocol& protocol : book.protocols) {
    const std::string name = language::variant_of(protocol.name);
    if (language::method_of(protocol.name) == method && !name.empty()) variants.push_back(name);
  }
  std::string advice = text::did_you_mean(variant, variants);
  if (advice.empty()) {
    advice = variants.empty()
                 ? "It has none: write `variant " + variant + " \"...\" { ... }` in it."
                 : "It has " + text::list_words(variants) + ".";
  }
  diagnostics.error("unknown-name", batch.protocol.span,
                    "`" + method + "` has no variant `" + variant + "`.", advice);
}

/// What a site says of an input of the protocol holds for its variants too, but for inputs that a
/// variant sets itself: of those it speaks not.
void set_inputs_of_method(const book::Site& site, const sheet::Template& t, sheet::Site& out,
                          text::Diagnostics& diagnostics) {
  const language::Protocol& protocol = t.protocol;
  const auto told = site.inputs.find(language::method_of(protocol.name));
  if (language::variant_of(protocol.name).empty() || told == site.inputs.end()) return;
  for (const auto& [name, written] : told->second) {
    const language::InputId input = protocol.inputs.find(name);
    if (!input.known()) continue;
    const language::Layer* layer = language::layer_of(protocol, protocol.inputs[input].span);
    if (layer == &protocol.layers.front()) continue;
    set_input(name, written, t, Counted::by_hand, out.inputs, diagnostics);
  }
}

}  // namespace

const language::Protocol* find_protocol(const book::Book& book, const book::Batch& batch,
                                        text::Diagnostics& diagnostics) {
  std::vector<std::string> names;
  std::vector<std::string> editions;
  for (const language::Protocol& protocol : book.protocols) {
    names.push_back(protocol.name);
    if (protocol.name != batch.protocol.value) continue;
    editions.push_back(std::to_string(protocol.edition));
  }
  const book::Placed<int>* wanted = book::wanted_edition(batch);
  if (const language::Protocol* found = book::protocol_of(book, batch)) {
    if (wanted == nullptr && editions.size() > 1 && book::under_way(batch)) {
      warn_of_newest(batch, found->edition, diagnostics);
    }
    return found;
  }
  // What is wrong with it is told where it stands.
  const std::string method = language::method_of(batch.protocol.value);
  const std::string variant = language::variant_of(batch.protocol.value);
  if (book.left_out.may_hold(method)) return nullptr;
  const bool known = std::find(names.begin(), names.end(), method) != names.end();
  if (editions.empty() && known && !variant.empty()) {
    report_no_variant(book, batch, method, variant, diagnostics);
    return nullptr;
  }
  if (!editions.empty()) {
    const bool kept = !batch.edition;
    diagnostics.error("unknown-edition", wanted->span,
                      "There is no edition " + std::to_string(wanted->value) + " of `" +
                          batch.protocol.value + "`" +
                          (kept ? ", which batch `" + batch.id.value + "` is on." : "."),
                      "There is edition " + text::list_words(editions) + "." +
                          (kept ? " Bring the missing one back, or move the batch with `budwood "
                                  "editions BOOK --move " +
                                      batch.id.value + "`."
                                : ""));
    return nullptr;
  }
  std::string advice = text::did_you_mean(method, names);
  if (advice.empty()) {
    advice =
        "Protocols are files that end in .bud, in the book's folder or in the folder that "
        "`protocols:` in site.yaml names.";
  }
  diagnostics.error("unknown-name", batch.protocol.span,
                    "There is no protocol named `" + method + "`.", advice);
  return nullptr;
}

namespace {

/// What was noted of pickings and grades; of a picking that took several days their sum.
void set_portions(const book::Batch& batch, const sheet::Template& t, sheet::GivenValues& counted) {
  for (const book::OrderDay& done : batch.done) {
    if (!done.plants) continue;
    const std::string_view order(done.order);
    const std::size_t slash = order.rfind('/');
    const std::size_t part = order.find('.', slash == std::string_view::npos ? 0 : slash);
    const auto place = place_of(order.substr(0, part), t.protocol);
    if (!place) continue;
    const int picks = t.protocol.stages[place->stage].works[place->work].picks;
    if (picks == 0) continue;
    const sheet::CellId cell = t.stages[place->stage].picked[static_cast<std::size_t>(picks) - 1];
    sheet::set_given(counted, cell, sheet::given(counted, cell).value_or(0) + *done.plants);
  }
  for (const book::GradeCount& one : batch.graded) {
    const language::StageId stage = t.protocol.stages.find(one.stage);
    if (!stage.known()) continue;
    const auto& grades = t.protocol.stages[stage].grades;
    for (std::size_t i = 0; i < grades.size(); ++i) {
      if (grades[i].name != one.grade) continue;
      sheet::set_given(counted, t.stages[stage].grades[i], static_cast<double>(one.plants));
    }
  }
}

}  // namespace

std::optional<sheet::BatchFacts> check_batch(const book::Batch& batch, const sheet::Template& t,
                                             text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  sheet::BatchFacts facts;
  facts.plants = static_cast<double>(batch.plants.value);
  if (batch.sure) facts.sure = batch.sure->value;
  if (batch.spare) facts.inputs.emplace_back(t.spare, batch.spare->value);
  if (batch.full_trays && batch.full_trays->value) facts.inputs.emplace_back(t.full_trays, 1);
  facts.lead = batch.lead;
  if (batch.ready) facts.ready = batch.ready->value;
  if (batch.start) facts.start = batch.start->value;
  if (batch.not_before) facts.not_before = batch.not_before->value;
  for (const auto& [name, written] : batch.set) {
    set_input(name, written, t, Counted::by_hand, facts.inputs, diagnostics);
  }
  for (const book::Pin& pin : batch.pins) {
    const auto stage = find_stage(pin.stage, pin.span, t.protocol, diagnostics);
    if (stage.known()) {
      facts.pins.push_back(
          {stage, pin.side == book::Pin::Side::end, pin.day, pin.recorded, pin.span});
    }
  }
  for (const book::Count& count : batch.counted) {
    const auto stage = find_stage(count.stage, count.span, t.protocol, diagnostics);
    if (stage.known()) {
      facts.counted.emplace_back(t.stages[stage].left, static_cast<double>(count.plants));
    }
  }
  set_portions(batch, t, facts.counted);
  check_lots(batch, t.protocol, diagnostics);
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  return facts;
}

sheet::Site check_site(const book::Book& book, const sheet::Template& t,
                       text::Diagnostics& diagnostics) {
  const book::Site& site = book.site;
  sheet::Site out;
  out.working = site.working;
  out.southern = site.southern();
  out.series = site.climate;
  if (site.hours) out.shift_seconds = 60.0 * (site.hours->to - site.hours->from);
  set_inputs_of_method(site, t, out, diagnostics);
  if (const auto learned = site.inputs.find(t.protocol.name); learned != site.inputs.end()) {
    for (const auto& [name, written] : learned->second) {
      set_input(name, written, t, Counted::by_hand, out.inputs, diagnostics);
    }
  }
  set_learned(book, t, out.learned, diagnostics);
  for (const language::Stage& stage : t.protocol.stages) {
    if (language::follows_site(stage) && !site.climate) {
      diagnostics.error("no-climate", stage.heat ? stage.heat->span : stage.gate->span,
                        "How long `" + stage.name +
                            "` lasts depends on the temperatures of the site, and \"" +
                            site.name.value + "\" gives none.",
                        "Add `climate:` to site.yaml, or keep a temperature in the stage.");
    }
  }
  return out;
}

}  // namespace budwood::plan
