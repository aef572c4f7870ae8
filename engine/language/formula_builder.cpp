#include <charconv>
#include <map>

#include "calendar/calendar.hpp"
#include "language/tree_builder.hpp"

namespace budwood::language {

using syntax::Formula;

namespace {

/// No quantity of the trade is larger, and sums of products of such numbers stay finite.
constexpr double largest_number = 1e12;

text::Span join(const text::Span& first, const text::Span& last) {
  return {first.source, first.begin, last.end};
}

Operation relation_of(const std::string& text) {
  static const std::map<std::string, Operation> relations{
      {"<", Operation::less},           {"<=", Operation::less_equal}, {">", Operation::greater},
      {">=", Operation::greater_equal}, {"=", Operation::equal},       {"!=", Operation::unequal},
  };
  return relations.at(text);
}

}  // namespace

Formula TreeBuilder::apply(Operation operation, std::vector<Formula> arguments,
                           const text::Span& span) {
  Formula out;
  out.kind = Formula::Kind::apply;
  out.operation = operation;
  out.arguments = std::move(arguments);
  out.span = span;
  return out;
}

Formula TreeBuilder::formula(P::FormulaContext* context) {
  Formula out = conjunction(context->conjunction(0));
  for (std::size_t i = 1; i < context->conjunction().size(); ++i) {
    Formula right = conjunction(context->conjunction(i));
    const text::Span span = join(out.span, right.span);
    out = apply(Operation::either, {std::move(out), std::move(right)}, span);
  }
  return out;
}

Formula TreeBuilder::conjunction(P::ConjunctionContext* context) {
  Formula out = negation(context->negation(0));
  for (std::size_t i = 1; i < context->negation().size(); ++i) {
    Formula right = negation(context->negation(i));
    const text::Span span = join(out.span, right.span);
    out = apply(Operation::both, {std::move(out), std::move(right)}, span);
  }
  return out;
}

Formula TreeBuilder::negation(P::NegationContext* context) {
  if (context->NOT() == nullptr) return comparison(context->comparison());
  return apply(Operation::invert, {negation(context->negation())}, places_.span(context));
}

Formula TreeBuilder::comparison(P::ComparisonContext* context) {
  Formula left = sum(context->sum(0));
  const text::Span span = places_.span(context);
  if (context->BETWEEN() != nullptr) {
    Formula low = apply(Operation::greater_equal, {left, sum(context->sum(1))}, span);
    Formula high = apply(Operation::less_equal, {std::move(left), sum(context->sum(2))}, span);
    return apply(Operation::both, {std::move(low), std::move(high)}, span);
  }
  if (context->relation() == nullptr) return left;
  const Operation relation = relation_of(context->relation()->getText());
  return apply(relation, {std::move(left), sum(context->sum(1))}, span);
}

Formula TreeBuilder::sum(P::SumContext* context) {
  Formula out = product(context->product(0));
  for (std::size_t i = 1; i < context->product().size(); ++i) {
    const Operation sign =
        context->sign(i - 1)->getText() == "+" ? Operation::add : Operation::subtract;
    Formula right = product(context->product(i));
    const text::Span span = join(out.span, right.span);
    out = apply(sign, {std::move(out), std::move(right)}, span);
  }
  return out;
}

Formula TreeBuilder::product(P::ProductContext* context) {
  Formula out = factor(context->factor(0));
  for (std::size_t i = 1; i < context->factor().size(); ++i) {
    const Operation times =
        context->times(i - 1)->getText() == "*" ? Operation::multiply : Operation::divide;
    Formula right = factor(context->factor(i));
    const text::Span span = join(out.span, right.span);
    out = apply(times, {std::move(out), std::move(right)}, span);
  }
  return out;
}

Formula TreeBuilder::factor(P::FactorContext* context) {
  if (context->power() != nullptr) return power(context->power());
  Formula inner = factor(context->factor());
  // A minus before a written number belongs to it: -2 degC is a temperature, not the negative of
  // one.
  if (inner.kind == Formula::Kind::number) {
    inner.number = -inner.number;
    inner.span = places_.span(context);
    return inner;
  }
  return apply(Operation::negate, {std::move(inner)}, places_.span(context));
}

Formula TreeBuilder::power(P::PowerContext* context) {
  Formula base = primary(context->primary());
  if (context->factor() == nullptr) return base;
  return apply(Operation::power, {std::move(base), factor(context->factor())},
               places_.span(context));
}

Formula TreeBuilder::primary(P::PrimaryContext* context) {
  if (context->quantity() != nullptr) return quantity(context->quantity());
  if (context->DATE() != nullptr) return date(context->DATE());
  if (context->IF() != nullptr) {
    return apply(
        Operation::choose,
        {formula(context->formula(0)), formula(context->formula(1)), formula(context->formula(2))},
        places_.span(context));
  }
  if (context->name() == nullptr) return formula(context->formula(0));

  Formula out;
  out.span = places_.span(context);
  out.name = name(context->name());
  if (context->LPAREN() != nullptr) {
    out.kind = Formula::Kind::call;
    for (P::FormulaContext* argument : context->formula()) {
      out.arguments.push_back(formula(argument));
    }
  } else if (context->member() != nullptr) {
    out.kind = Formula::Kind::member;
    out.member = {context->member()->getText(), places_.span(context->member())};
  } else {
    out.kind = Formula::Kind::name;
  }
  return out;
}

Formula TreeBuilder::quantity(P::QuantityContext* context) {
  if (context->COMPOUND() != nullptr) return compound(context->COMPOUND());
  Formula out;
  out.kind = Formula::Kind::number;
  out.span = places_.span(context);
  out.number = number(context->NUMBER());
  // "[unit] per unit": which of the two a lone unit is, its place before or after `per` tells.
  std::vector<P::UnitContext*> units = context->unit();
  std::optional<syntax::UnitText> under;
  if (context->PER() != nullptr) {
    under = unit(units.back());
    units.pop_back();
  }
  if (!units.empty()) out.unit = unit(units.front());
  if (under) {
    const text::Span per = places_.span(context->PER()->getSymbol());
    out.unit.span = join(units.empty() ? per : out.unit.span, under->span);
    out.unit.text = (units.empty() ? "1" : out.unit.text) + "/" + under->text;
  }
  return out;
}

Formula TreeBuilder::compound(antlr4::tree::TerminalNode* node) {
  const std::string text = node->getText();
  const std::size_t digits = text.find_first_not_of("0123456789.");
  const std::size_t unit = text.find_first_not_of(" \t", digits);
  Formula out;
  out.kind = Formula::Kind::number;
  out.span = places_.span(node->getSymbol());
  std::from_chars(text.data(), text.data() + digits, out.number);
  out.unit.text = text.substr(unit);
  out.unit.span = {out.span.source, out.span.begin + static_cast<std::uint32_t>(unit),
                   out.span.end};
  return out;
}

Formula TreeBuilder::date(antlr4::tree::TerminalNode* node) {
  Formula out;
  out.kind = Formula::Kind::date;
  out.span = places_.span(node->getSymbol());
  const auto day = calendar::parse_iso_date(node->getText());
  if (!day) {
    diagnostics_.error("no-such-date", out.span, "There is no day `" + node->getText() + "`.",
                       "Dates are written year-month-day, from 1970-01-01 to 2199-12-31.");
  }
  out.number = day.value_or(0);
  return out;
}

syntax::Range TreeBuilder::range(P::RangeContext* context) {
  syntax::Range range;
  range.low = formula(context->formula(0));
  if (context->formula().size() > 1) range.high = formula(context->formula(1));
  range.span = places_.span(context);
  return range;
}

syntax::Name TreeBuilder::name(P::NameContext* context) {
  return name(context->NAME());
}

syntax::Name TreeBuilder::name(antlr4::tree::TerminalNode* node) {
  return {node->getText(), places_.span(node->getSymbol())};
}

syntax::Text TreeBuilder::text_of(antlr4::tree::TerminalNode* string) {
  const std::string raw = string->getText();
  std::string value;
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    // A backslash makes the next character plain text; that is all it does.
    if (raw[i] == '\\') ++i;
    value += raw[i];
  }
  return {std::move(value), places_.span(string->getSymbol())};
}

std::optional<syntax::Text> TreeBuilder::optional_text(antlr4::tree::TerminalNode* string) {
  if (string == nullptr) return std::nullopt;
  return text_of(string);
}

syntax::UnitText TreeBuilder::unit(P::UnitContext* context) {
  return {context->getText(), places_.span(context)};
}

double TreeBuilder::number(antlr4::tree::TerminalNode* node) {
  const std::string text = node->getText();
  double value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc{} || value > largest_number) {
    diagnostics_.error("large-number", places_.span(node->getSymbol()), "This number is too large.",
                       "Numbers go up to 1 000 000 000 000.");
    return 1;
  }
  return value;
}

int TreeBuilder::whole_number(antlr4::tree::TerminalNode* node, int lowest, int highest,
                              const std::string& what) {
  const std::string text = node->getText();
  int value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc{} || read.ptr != text.data() + text.size() || value < lowest ||
      value > highest) {
    diagnostics_.error("whole-number", places_.span(node->getSymbol()),
                       what + " is a whole number from " + std::to_string(lowest) + " to " +
                           std::to_string(highest) + ".");
    return lowest;
  }
  return value;
}

}  // namespace budwood::language
