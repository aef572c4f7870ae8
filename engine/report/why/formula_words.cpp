#include "report/why/formula_words.hpp"

#include <algorithm>

#include "language/tree/written_formula.hpp"
#include "report/why/why_words.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::report {

namespace {

using language::FormulaId;
using language::Node;

/// Writes the values of names over them.
class Values {
 public:
  Values(const Asked& asked, FormulaId formula) : asked_(asked), p_(asked.t.protocol) {
    root_ = p_.node(formula).span;
    composed_ = p_.node(formula).kind == Node::Kind::apply;
    collect(formula);
  }

  std::string text() {
    std::sort(names_.begin(), names_.end(),
              [](const Name& a, const Name& b) { return a.span.begin < b.span.begin; });
    const std::string_view all = root_.source->text();
    std::string out;
    std::size_t from = root_.begin;
    for (const Name& name : names_) {
      if (name.span.begin < from) continue;  // stands twice in the formula, once in the text
      out += all.substr(from, name.span.begin - from);
      out += name.value;
      from = name.span.end;
    }
    out += all.substr(from, root_.end - from);
    return language::on_one_line(out);
  }

 private:
  struct Name {
    text::Span span;
    std::string value;
  };

  void add(const Node& node, std::string value) {
    const bool inside = node.span.source == root_.source && node.span.begin >= root_.begin &&
                        node.span.end <= root_.end;
    // What follows from a statement as a whole is no name in it.
    const bool whole = node.span.begin == root_.begin && node.span.end == root_.end;
    if (inside && !(whole && composed_)) names_.push_back({node.span, std::move(value)});
  }

  void collect(FormulaId id) {
    const Node& node = p_.node(id);
    const auto target = static_cast<std::size_t>(node.target);
    switch (node.kind) {
      case Node::Kind::constant:
        add_constant(node);
        return;
      case Node::Kind::input:
        add(node, asked_.value(asked_.t.inputs[target]));
        return;
      case Node::Kind::let:
        add(node, asked_.value(asked_.t.lets[target]));
        return;
      case Node::Kind::cell:
        add(node, asked_.value(sheet::cell_of(asked_.t, node.target, node.property)));
        return;
      case Node::Kind::reading:
        add(node, reading_text(node));
        return;
      case Node::Kind::look_up:
      case Node::Kind::apply:
        break;
    }
    for (const FormulaId child : node.children) {
      if (child != language::no_formula) collect(child);
    }
  }

  void add_constant(const Node& node) {
    if (node.written == Node::Written::name) {
      add(node, value_text(node.value, node.type, p_.system));
    }
  }

  std::string reading_text(const Node& node) const {
    const language::Reading& reading = p_.readings[static_cast<std::size_t>(node.target)];
    const double value = asked_.row.climate(reading.stage).answer(reading);
    if (node.type.kind == language::Type::Kind::truth)
      return value_text(value, node.type, p_.system);
    // Of a temperature that changes the unit is that of a difference.
    if (node.type.dimension == units::temperature) return value_text(value, node.type, p_.system);
    std::optional<units::Unit> unit = units::find_unit(language::facts_of(reading.measure).unit);
    if (unit) unit = units::in_system(*unit, p_.system);  // pulses of mist have none
    return value_text(value, node.type, p_.system, unit);
  }

  const Asked& asked_;
  const language::Protocol& p_;
  text::Span root_;
  bool composed_ = false;  ///< of several values
  std::vector<Name> names_;
};

}  // namespace

std::string valued_formula(const Asked& asked, FormulaId formula) {
  if (asked.t.protocol.node(formula).span.source == nullptr) return {};
  return Values(asked, formula).text();
}

}  // namespace budwood::report
