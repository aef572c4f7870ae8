#include "language/parse/statement_forms.hpp"

#include "language/statements.hpp"

namespace budwood::language {

namespace {

constexpr std::array<std::string_view, 1> later{"below"};

}  // namespace

std::string_view statement_form(std::string_view keyword, unsigned blocks) {
  for (const Statement& one : statements) {
    if (first_word(one) == keyword && (one.blocks & blocks) != 0) return one.form;
  }
  return {};
}

bool is_later_word(std::string_view word) {
  return std::find(later.begin(), later.end(), word) != later.end();
}

}  // namespace budwood::language
