#include "language/tree/canonical_form.hpp"

#include <charconv>
#include <deque>
#include <map>
#include <set>

#include "units/units.hpp"

namespace budwood::language {

Form& Form::word(std::string_view word) {
  text_.append(" ").append(word);
  return *this;
}

Form& Form::put(double number) {
  if (number == 0) number = 0;  // not -0
  char buffer[32];
  const auto [end, error] = std::to_chars(buffer, buffer + sizeof buffer, number);
  return word(std::string_view(buffer, static_cast<std::size_t>(end - buffer)));
}

Form& Form::put(const std::string& written) {
  std::string quoted = "\"";
  for (const char c : written) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += c;
  }
  return word(quoted + '"');
}

namespace {

std::string symbol_of(const std::string& written) {
  if (written.starts_with("1/")) {
    const std::optional<units::Unit> under = units::find_unit(written.substr(2));
    return under ? units::quotient(units::Unit{}, *under).symbol : written;
  }
  const std::optional<units::Unit> unit = units::find_unit(written);
  return unit ? unit->symbol : written;
}

const char* word_of(syntax::Quantifier quantifier) {
  switch (quantifier) {
    case syntax::Quantifier::some:
      return "some";
    case syntax::Quantifier::none:
      return "no";
    case syntax::Quantifier::count:
      return "count";
    case syntax::Quantifier::every:
      return "every";
  }
  return "";
}

const char* word_of(syntax::Selection::Kind kind) {
  switch (kind) {
    case syntax::Selection::Kind::stage:
      return "stage";
    case syntax::Selection::Kind::work:
      return "work";
    case syntax::Selection::Kind::part:
      return "part";
  }
  return "";
}

const char* word_of(syntax::Selection::Place::Relation relation) {
  switch (relation) {
    case syntax::Selection::Place::Relation::in:
      return "in";
    case syntax::Selection::Place::Relation::before:
      return "before";
    case syntax::Selection::Place::Relation::after:
      return "after";
  }
  return "";
}

Form form_of(const syntax::Formula& formula) {
  switch (formula.kind) {
    case syntax::Formula::Kind::number:
      return Form("value").put(formula.number).put(formula.unit);
    case syntax::Formula::Kind::date:
      return Form("date").put(static_cast<int>(formula.number));
    case syntax::Formula::Kind::name:
      return Form("name").put(formula.name);
    case syntax::Formula::Kind::member:
      return Form("of").put(formula.name).put(formula.members).put(formula.day);
    case syntax::Formula::Kind::has:
      return Form("has").put(formula.name).put(formula.members).put(formula.day);
    case syntax::Formula::Kind::call:
      return Form("call").put(formula.name).put(formula.arguments);
    case syntax::Formula::Kind::apply:
      return Form(facts_of(formula.operation).word).put(formula.arguments);
    case syntax::Formula::Kind::between:
      return Form("between").put(formula.arguments);
    case syntax::Formula::Kind::choose_of:
      return Form(word_of(formula.quantifier))
          .put(*formula.selection)
          .put(formula.has_where)
          .put(formula.arguments);
  }
  return Form("");
}

}  // namespace

Form& Form::put(const syntax::UnitText& unit) {
  return put(symbol_of(unit.text));
}

Form& Form::put(const syntax::DayRef& day) {
  return day.last ? word("last") : put(day.day);
}

Form& Form::put(syntax::Half half) {
  switch (half) {
    case syntax::Half::both:
      return word("all_day");
    case syntax::Half::day:
      return word("by_day");
    case syntax::Half::night:
      break;
  }
  return word("by_night");
}

Form& Form::put(syntax::Bound bound) {
  switch (bound) {
    case syntax::Bound::exact:
      return word("exactly");
    case syntax::Bound::range:
      return word("between");
    case syntax::Bound::at_least:
      return word("at_least");
    case syntax::Bound::at_most:
      break;
  }
  return word("at_most");
}

Form& Form::put(const syntax::Formula& formula) {
  return put(form_of(formula));
}

Form& Form::put(const syntax::Selection& selection) {
  Form places("places");
  for (const syntax::Selection::Place& place : selection.places) {
    places.put(Form(word_of(place.relation)).put(place.path));
  }
  return put(Form(word_of(selection.kind)).put(selection.variable).put(selection.tag).put(places));
}

Form& Form::lines(const std::vector<std::string>& forms) {
  for (const std::string& form : forms) text_.append("\n").append(form);
  return *this;
}

std::vector<std::string> in_order(const std::vector<Threaded>& statements) {
  std::map<std::string, std::deque<std::size_t>> threads;
  for (std::size_t i = 0; i < statements.size(); ++i) {
    for (const std::string& thread : statements[i].threads) threads[thread].push_back(i);
  }
  const auto is_next = [&](std::size_t i) {
    for (const std::string& thread : statements[i].threads) {
      if (threads[thread].front() != i) return false;
    }
    return true;
  };
  std::set<std::pair<std::string_view, std::size_t>> next;
  for (std::size_t i = 0; i < statements.size(); ++i) {
    if (is_next(i)) next.emplace(statements[i].form, i);
  }
  std::vector<std::string> out;
  while (!next.empty()) {
    const std::size_t i = next.begin()->second;
    next.erase(next.begin());
    out.push_back(statements[i].form);
    for (const std::string& thread : statements[i].threads) {
      std::deque<std::size_t>& line = threads[thread];
      line.pop_front();
      if (!line.empty() && is_next(line.front())) {
        next.emplace(statements[line.front()].form, line.front());
      }
    }
  }
  return out;
}

}  // namespace budwood::language
