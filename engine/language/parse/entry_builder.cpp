#include <cmath>

#include "calendar/calendar.hpp"
#include "language/parse/tree_builder.hpp"
#include "units/units.hpp"

/// Entries of the record.
namespace budwood::language {

namespace {

using Kind = syntax::EntryLine::Kind;
using P = grammar::BudwoodParser;

Kind kind_of(P::HappeningContext* context) {
  if (context->DONE() != nullptr) return Kind::done;
  if (context->LEFT() != nullptr) return Kind::left_out;
  if (context->COUNTED() != nullptr) return Kind::counted;
  if (context->LOST() != nullptr) return Kind::lost;
  if (context->STARTED() != nullptr) return Kind::started;
  if (context->ENDED() != nullptr) return Kind::ended;
  if (context->STOPPED() != nullptr) return Kind::stopped;
  return context->LESSON() != nullptr ? Kind::lesson : Kind::note;
}

Kind kind_of(P::StockMoveContext* context) {
  if (context == nullptr) return Kind::stock;
  return context->CAME() != nullptr ? Kind::came_in : Kind::thrown_out;
}

}  // namespace

syntax::Text TreeBuilder::place(antlr4::tree::TerminalNode* node) {
  return {node->getText(), places_.span(node->getSymbol())};
}

syntax::EntryNumber TreeBuilder::entry_number(const std::vector<antlr4::tree::TerminalNode*>& nodes,
                                              antlr4::ParserRuleContext* whole) {
  syntax::EntryNumber out;
  out.span = places_.span(whole);
  out.value = number(nodes.front());
  if (nodes.size() > 1) out.of = number(nodes.back());
  return out;
}

/// `140 L`, `16 of 20`, `12`, `1.5 g/L`.
syntax::EntryNumber TreeBuilder::measured(P::MeasuredContext* context) {
  if (context->COMPOUND() != nullptr) return compound_number(context->COMPOUND());
  syntax::EntryNumber out = entry_number(context->NUMBER(), context);
  if (context->start->getText() == "-") out.value = -out.value;
  if (context->entryUnit() != nullptr) out.unit = entry_unit(context->entryUnit());
  return out;
}

syntax::EntryNumber TreeBuilder::compound_number(antlr4::tree::TerminalNode* node) {
  const syntax::Formula read = compound(node);
  return {read.number, std::nullopt, read.unit, read.span};
}

syntax::UnitText TreeBuilder::entry_unit(P::EntryUnitContext* context) {
  const text::Span span = places_.span(context);
  return {word(context->getText(), span), span};
}

syntax::Text TreeBuilder::words_or_text(antlr4::ParserRuleContext* context,
                                        antlr4::tree::TerminalNode* quoted) {
  if (quoted != nullptr) return text_of(quoted);
  const text::Span span = places_.span(context);
  std::string words;
  for (antlr4::tree::ParseTree* child : context->children) {
    words += (words.empty() ? "" : " ") + child->getText();
  }
  return {word(words, span), span};
}

syntax::EntryUse TreeBuilder::entry_use(P::UsedAmountContext* context) {
  syntax::EntryUse out;
  if (context->COMPOUND() != nullptr) {
    out.amount = compound_number(context->COMPOUND());
  } else {
    out.amount.span = places_.span(context->NUMBER()->getSymbol());
    out.amount.value = number(context->NUMBER());
    if (context->entryUnit() != nullptr) out.amount.unit = entry_unit(context->entryUnit());
  }
  out.supply = words_or_text(context->supplyName(), context->supplyName()->STRING());
  return out;
}

/// "6 h 10 min", in seconds.
std::optional<syntax::EntryNumber> TreeBuilder::time_spent(P::TimeSpentContext* context) {
  syntax::EntryNumber out;
  out.span = places_.span(context);
  for (std::size_t i = 0; i < context->NUMBER().size(); ++i) {
    antlr4::tree::TerminalNode* name = context->NAME(i);
    const auto unit = units::find_unit(name->getText());
    if (!unit || unit->dimension != units::time) {
      diagnostics_.error("unknown-unit", places_.span(name->getSymbol()),
                         "`" + text::shortened(name->getText()) + "` is no unit of time.",
                         "Write the time like `6 h 10 min`, plants like `291 plants`.");
      return std::nullopt;
    }
    // Tenths of a second are more than anybody notes; without it 10 min would come back
    // as 10.0000001.
    out.value += std::round(unit->to_base(number(context->NUMBER(i))) * 10) / 10;
  }
  return out;
}

void TreeBuilder::set_once(bool is_set, const text::Span& span, const char* what) {
  if (!is_set) return;
  diagnostics_.error("duplicate-statement", span,
                     std::string("This entry tells ") + what + " twice.",
                     "Keep one of them, or write two entries.");
}

void TreeBuilder::detail(P::DetailContext* context, syntax::EntryLine& line) {
  const text::Span span = places_.span(context);
  if (context->TODAY() != nullptr) {
    set_once(line.day.has_value(), span, "the day");
    line.day = syntax::Text{"today", span};
  } else if (context->ON() != nullptr) {
    set_once(line.day.has_value(), span, "the day");
    date(context->DATE());
    line.day = syntax::Text{context->DATE()->getText(), places_.span(context->DATE()->getSymbol())};
  } else if (context->BY() != nullptr) {
    set_once(line.by.has_value(), span, "who");
    line.by = words_or_text(context->person(), context->person()->STRING());
  } else if (context->PLANTS() != nullptr) {
    set_once(line.number.has_value(), span, "how many");
    line.number = entry_number(context->NUMBER(), context);
    line.number->unit = {"plants", places_.span(context->PLANTS()->getSymbol())};
  } else if (context->timeSpent() != nullptr) {
    set_once(line.time.has_value(), span, "the time");
    line.time = time_spent(context->timeSpent());
  } else if (context->USED() != nullptr) {
    for (P::UsedAmountContext* use : context->usedAmount()) line.used.push_back(entry_use(use));
  } else if (context->GRADE() != nullptr) {
    set_once(line.grade.has_value(), span, "the grade");
    line.grade = words_or_text(context->entryName(), nullptr);
  } else if (context->IN() != nullptr) {
    set_once(line.tray.has_value(), span, "the tray");
    line.tray = words_or_text(context->trayName(), context->trayName()->STRING());
  } else {
    set_once(line.words.has_value(), span, "why");
    line.words = text_of(context->STRING());
  }
}

void TreeBuilder::happened(P::HappenedContext* context, syntax::EntryLine& line) {
  if (context->STOCK() != nullptr) {
    line.kind = kind_of(context->stockMove());
    line.kind_span = places_.span(context->STOCK()->getSymbol());
    line.name = words_or_text(context->supplyName(), context->supplyName()->STRING());
    line.number = measured(context->measured());
    return;
  }
  line.place = place(context->PLACE());
  if (P::SightContext* sight = context->sight()) {
    line.kind = sight->NOT() != nullptr ? Kind::not_seen : Kind::seen;
    line.kind_span = places_.span(sight->SEEN()->getSymbol());
    line.name = words_or_text(sight->entryName(), nullptr);
    if (sight->measured() != nullptr) line.number = measured(sight->measured());
    return;
  }
  P::HappeningContext* happening = context->happening();
  line.kind = kind_of(happening);
  line.kind_span = places_.span(happening->start, happening->start);
  if (P::TallyContext* tally = happening->tally()) {
    line.number = entry_number(tally->NUMBER(), tally);
    line.number->unit.text = "plants";
  }
  if (P::CauseContext* cause = happening->cause()) {
    const std::string first = cause->start->getText();
    const std::string meant = text::did_you_mean(first, {"plants"});
    if (!meant.empty()) {
      diagnostics_.error("syntax", places_.span(cause->start),
                         "`" + text::shortened(first) + "` does not fit here.", meant);
    }
    line.words = words_or_text(cause, nullptr);
  }
}

syntax::EntryLine TreeBuilder::entry(P::EntryContext* context) {
  syntax::EntryLine line;
  line.span = places_.span(context->start, context->EOF()->getSymbol());
  if (context->correction() != nullptr) line.entry = place(context->correction()->PLACE());
  if (context->withdrawal() != nullptr) {
    line.kind = Kind::withdrawal;
    line.kind_span = places_.span(context->withdrawal()->WITHDRAW()->getSymbol());
    line.entry = place(context->withdrawal()->PLACE());
  } else {
    happened(context->happened(), line);
  }
  antlr4::ParserRuleContext* last =
      context->withdrawal() != nullptr
          ? static_cast<antlr4::ParserRuleContext*>(context->withdrawal())
          : context->happened();
  for (P::DetailContext* one : context->detail()) {
    detail(one, line);
    last = one;
  }
  line.span = places_.span(context->start, last->stop);
  return line;
}

}  // namespace budwood::language
