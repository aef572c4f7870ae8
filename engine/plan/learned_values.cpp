#include "plan/learned_values.hpp"

#include <algorithm>
#include <cmath>

#include "plan/batch_checker.hpp"

namespace budwood::plan {

namespace {

using book::LearnedValue;
using language::Input;
using language::InputId;

std::string learn_again() {
  return "Learn again: budwood learn BOOK --keep";
}

double in_base(const book::Written& written, const Input& input) {
  return written.quantity.has_unit ? written.quantity.base()
                                   : input.plain_unit.to_base(written.quantity.value);
}

/// The written value of a usual is rounded as `learn` shows it, so it need not be the same bits.
bool is_usual(const book::Written& written, const language::Protocol& protocol,
              const Input& input) {
  const double usual = protocol.node(input.usual).value;
  constexpr double shown_digits = 1e-5;
  return std::abs(in_base(written, input) - usual) <= shown_digits * std::abs(usual);
}

const LearnedValue* find(const book::Book& book, const std::string& name, int edition,
                         const std::string& input) {
  for (const LearnedValue& one : book.learned) {
    const bool same = one.protocol.value == name && one.edition == edition && one.input == input;
    if (same) return &one;
  }
  return nullptr;
}

/// Whether a variant says of an input itself.
bool set_by_variant(const language::Protocol& protocol, InputId input) {
  if (language::variant_of(protocol.name).empty()) return false;
  return language::layer_of(protocol, protocol.inputs[input].span) == &protocol.layers.front();
}

/// What an entry says of a protocol, whether it still holds or not.
const LearnedValue* entry_for(const book::Book& book, const language::Protocol& protocol,
                              InputId input) {
  const std::string& name = protocol.inputs[input].name;
  if (const LearnedValue* own = find(book, protocol.name, protocol.edition, name)) return own;
  if (set_by_variant(protocol, input)) return nullptr;
  return find(book, language::method_of(protocol.name), protocol.edition, name);
}

/// Whether a batch is still on the edition that a value was learned of.
bool is_in_use(const book::Book& book, const LearnedValue& one) {
  return std::any_of(book.batches.begin(), book.batches.end(), [&](const book::Batch& batch) {
    const language::Protocol* protocol = book::protocol_of(book, batch);
    return protocol != nullptr && protocol->name == one.protocol.value &&
           protocol->edition == one.edition;
  });
}

}  // namespace

const LearnedValue* learned_of(const book::Book& book, const language::Protocol& protocol,
                               InputId input) {
  const LearnedValue* one = entry_for(book, protocol, input);
  return one != nullptr && is_usual(one->usual, protocol, protocol.inputs[input]) ? one : nullptr;
}

void set_learned(const book::Book& book, const sheet::Template& t, sheet::GivenValues& out,
                 text::Diagnostics& diagnostics) {
  const language::Protocol& protocol = t.protocol;
  for (const LearnedValue& one : book.learned) {
    if (one.protocol.value != protocol.name) continue;
    const InputId input = protocol.inputs.find(one.input);
    if (one.edition == protocol.edition && input.known() &&
        is_usual(one.usual, protocol, protocol.inputs[input])) {
      continue;
    }
    // Of an edition that another batch is on it holds there, and this one has numbers of its own.
    if (one.edition != protocol.edition && is_in_use(book, one)) continue;
    const std::string why =
        one.edition != protocol.edition ? "it was learned of edition " + std::to_string(one.edition)
        : input.known() ? "the protocol's usual value is no longer " + one.usual.text
                        : "the protocol has no such input any more";
    diagnostics.warning("learned-stale", one.span,
                        "What was learned of `" + one.input + "` does not hold for `" +
                            protocol.name + "` edition " + std::to_string(protocol.edition) + ": " +
                            why + ".",
                        learn_again());
  }
  for (const InputId input : protocol.inputs.ids()) {
    if (const LearnedValue* one = learned_of(book, protocol, input)) {
      set_input(one->input, one->value, t, Counted::learned, out, diagnostics);
    }
  }
}

}  // namespace budwood::plan
