#include <charconv>

#include "calendar/calendar.hpp"
#include "language/one_line.hpp"
#include "language/parse/tree_builder.hpp"

namespace budwood::language {

namespace {

/// No quantity of the trade is larger, and sums of products of such numbers stay finite.
constexpr double largest_number = 1e12;

constexpr std::size_t longest_text = 2000;

/// Of a sign that the grammar lets through.
Operation operation_of(antlr4::ParserRuleContext* sign) {
  return find_operation(sign->getText()).value();
}

}  // namespace

syntax::Formula TreeBuilder::apply(Operation operation, std::vector<syntax::Formula> arguments,
                                   const text::Span& span) {
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::apply;
  out.operation = operation;
  out.arguments = std::move(arguments);
  out.span = out.whole = span;
  return out;
}

syntax::Formula TreeBuilder::join(Operation operation, syntax::Formula left,
                                  syntax::Formula right) {
  const text::Span span{left.whole.source, left.whole.begin, right.whole.end};
  return apply(operation, {std::move(left), std::move(right)}, span);
}

syntax::Formula TreeBuilder::formula(P::FormulaContext* context) {
  return below(context);
}

syntax::Formula TreeBuilder::below(antlr4::ParserRuleContext* context) {
  syntax::Formula out = step_down(context);
  if (out.whole.source == nullptr) out.whole = out.span;
  return out;
}

/// Most rules of the grammar's ladder of operators hold just the next one: it goes straight to the
/// first that holds more.
syntax::Formula TreeBuilder::step_down(antlr4::ParserRuleContext* context) {
  while (context->children.size() == 1 && context->getRuleIndex() != P::RulePrimary) {
    context = static_cast<antlr4::ParserRuleContext*>(context->children.front());
  }
  switch (context->getRuleIndex()) {
    case P::RuleFormula:
      return disjunction(static_cast<P::FormulaContext*>(context));
    case P::RuleConjunction:
      return conjunction(static_cast<P::ConjunctionContext*>(context));
    case P::RuleNegation:
      return negation(static_cast<P::NegationContext*>(context));
    case P::RuleComparison:
      return comparison(static_cast<P::ComparisonContext*>(context));
    case P::RuleSum:
      return sum(static_cast<P::SumContext*>(context));
    case P::RuleProduct:
      return product(static_cast<P::ProductContext*>(context));
    case P::RuleFactor:
      return factor(static_cast<P::FactorContext*>(context));
    case P::RulePower:
      return power(static_cast<P::PowerContext*>(context));
    default:
      return primary(static_cast<P::PrimaryContext*>(context));
  }
}

syntax::Formula TreeBuilder::disjunction(P::FormulaContext* context) {
  const std::vector<P::ConjunctionContext*> parts = context->conjunction();
  syntax::Formula out = below(parts.front());
  for (std::size_t i = 1; i < parts.size(); ++i) {
    out = join(Operation::either, std::move(out), below(parts[i]));
  }
  return out;
}

syntax::Formula TreeBuilder::conjunction(P::ConjunctionContext* context) {
  const std::vector<P::NegationContext*> parts = context->negation();
  syntax::Formula out = below(parts.front());
  for (std::size_t i = 1; i < parts.size(); ++i) {
    out = join(Operation::both, std::move(out), below(parts[i]));
  }
  return out;
}

syntax::Formula TreeBuilder::negation(P::NegationContext* context) {
  return apply(Operation::invert, {below(context->negation())}, places_.span(context));
}

syntax::Formula TreeBuilder::comparison(P::ComparisonContext* context) {
  const std::vector<P::SumContext*> parts = context->sum();
  std::vector<syntax::Formula> values;
  for (P::SumContext* part : parts) values.push_back(below(part));
  if (context->BETWEEN() == nullptr) {
    return apply(operation_of(context->relation()), std::move(values), places_.span(context));
  }
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::between;
  out.arguments = std::move(values);
  out.span = places_.span(context);
  return out;
}

syntax::Formula TreeBuilder::sum(P::SumContext* context) {
  const std::vector<P::ProductContext*> parts = context->product();
  const std::vector<P::SignContext*> signs = context->sign();
  syntax::Formula out = below(parts.front());
  for (std::size_t i = 1; i < parts.size(); ++i) {
    out = join(operation_of(signs[i - 1]), std::move(out), below(parts[i]));
  }
  return out;
}

syntax::Formula TreeBuilder::product(P::ProductContext* context) {
  const std::vector<P::FactorContext*> parts = context->factor();
  const std::vector<P::TimesContext*> signs = context->times();
  syntax::Formula out = below(parts.front());
  for (std::size_t i = 1; i < parts.size(); ++i) {
    out = join(operation_of(signs[i - 1]), std::move(out), below(parts[i]));
  }
  return out;
}

syntax::Formula TreeBuilder::factor(P::FactorContext* context) {
  syntax::Formula inner = below(context->factor());
  // A minus before a written number belongs to it: -2 degC is a temperature, not the negative of
  // one.
  if (inner.kind == syntax::Formula::Kind::number) {
    inner.number = -inner.number;
    inner.span = inner.whole = places_.span(context);
    return inner;
  }
  return apply(Operation::negate, {std::move(inner)}, places_.span(context));
}

syntax::Formula TreeBuilder::power(P::PowerContext* context) {
  return apply(Operation::power, {below(context->primary()), below(context->factor())},
               places_.span(context));
}

syntax::Formula TreeBuilder::primary(P::PrimaryContext* context) {
  syntax::Formula out;
  out.span = places_.span(context);
  if (context->quantity() != nullptr) return quantity(context->quantity());
  if (context->DATE() != nullptr) return date(context->DATE());
  const std::vector<P::FormulaContext*> inner = context->formula();
  if (context->IF() != nullptr) {
    return apply(Operation::choose, {formula(inner[0]), formula(inner[1]), formula(inner[2])},
                 out.span);
  }
  if (context->selection() != nullptr) return quantified(context);
  if (context->name() == nullptr) {
    syntax::Formula bracketed = formula(inner.front());
    bracketed.whole = out.span;
    return bracketed;
  }

  out.name = name(context->name());
  if (context->dayRef() != nullptr) out.day = day_ref(context->dayRef());
  if (context->LPAREN() != nullptr) {
    out.kind = syntax::Formula::Kind::call;
    for (P::FormulaContext* argument : inner) out.arguments.push_back(formula(argument));
  } else if (context->HAS() != nullptr) {
    out.kind = syntax::Formula::Kind::has;
    for (antlr4::tree::ParseTree* one : context->feature()->children) {
      out.members.push_back(name(static_cast<antlr4::tree::TerminalNode*>(one)));
    }
    if (context->NO() != nullptr) return apply(Operation::invert, {out}, out.span);
  } else if (!context->member().empty()) {
    out.kind = syntax::Formula::Kind::member;
    for (P::MemberContext* one : context->member()) out.members.push_back(name(one));
  } else {
    out.kind = syntax::Formula::Kind::name;
  }
  return out;
}

syntax::Formula TreeBuilder::quantity(P::QuantityContext* context) {
  if (context->COMPOUND() != nullptr) return compound(context->COMPOUND());
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::number;
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
    const text::Span first = units.empty() ? per : out.unit.span;
    out.unit.span = {first.source, first.begin, under->span.end};
    out.unit.text = (units.empty() ? "1" : out.unit.text) + "/" + under->text;
  }
  return out;
}

syntax::Formula TreeBuilder::compound(antlr4::tree::TerminalNode* node) {
  const std::string text = node->getText();
  const std::size_t digits = text.find_first_not_of("0123456789.");
  const std::size_t unit = text.find_first_not_of(" \t", digits);
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::number;
  out.span = places_.span(node->getSymbol());
  out.number = number(text.substr(0, digits), out.span);
  out.unit.span = {out.span.source, out.span.begin + static_cast<std::uint32_t>(unit),
                   out.span.end};
  out.unit.text = word(text.substr(unit), out.unit.span);
  return out;
}

syntax::Formula TreeBuilder::date(antlr4::tree::TerminalNode* node) {
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::date;
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
  const text::Span span = places_.span(node->getSymbol());
  return {word(node->getText(), span), span};
}

syntax::Name TreeBuilder::name(P::MemberContext* context) {
  const text::Span span = places_.span(context);
  return {word(context->getText(), span), span};
}

syntax::Written TreeBuilder::written(antlr4::ParserRuleContext* context) {
  const text::Span span = places_.span(context);
  return {on_one_line(text::text_of(span)), span};
}

/// A name or unit as written. One that is too long is reported and cut off.
std::string TreeBuilder::word(const std::string& text, const text::Span& span) {
  constexpr std::size_t longest = 64;
  if (text.size() <= longest) return text;
  diagnostics_.error("too-long", span, "This word is longer than 64 letters.",
                     "Give it a shorter name; titles in quotes may be longer.");
  return text::shortened(text);
}

syntax::Text TreeBuilder::text_of(antlr4::tree::TerminalNode* string) {
  const std::string raw = string->getText();
  const text::Span span = places_.span(string->getSymbol());
  std::string value;
  if (raw.size() > longest_text) {
    diagnostics_.error("too-long", span, "This text is longer than a work order can show.",
                       "Keep a text under 2000 letters.");
    return {text::shortened(raw), span};
  }
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    // A backslash makes the next character plain text; that is all it does.
    if (raw[i] == '\\') ++i;
    value += raw[i];
  }
  return {std::move(value), span};
}

std::optional<syntax::Text> TreeBuilder::optional_text(antlr4::tree::TerminalNode* string) {
  if (string == nullptr) return std::nullopt;
  return text_of(string);
}

syntax::UnitText TreeBuilder::unit(antlr4::ParserRuleContext* context) {
  const text::Span span = places_.span(context);
  return {word(context->getText(), span), span};
}

double TreeBuilder::number(antlr4::tree::TerminalNode* node) {
  return number(node->getText(), places_.span(node->getSymbol()));
}

double TreeBuilder::number(const std::string& text, const text::Span& span) {
  double value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  // Out of range means too small to tell from 0 when nothing stands before the point.
  if (read.ec != std::errc{} && text.find_first_not_of('0') == text.find('.')) return 0;
  if (read.ec != std::errc{} || value > largest_number) {
    diagnostics_.error("large-number", span, "This number is too large.",
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
