#include "editor/values.hpp"

#include <cmath>

#include "sheet/columns/shown.hpp"
#include "sheet/template/compile.hpp"

namespace budwood::editor {

UsualValues::UsualValues(const language::Protocol& protocol, double plants) {
  text::Diagnostics unheard;
  auto made = sheet::compile(protocol, unheard);
  if (made == nullptr) return;
  sheet_.emplace(std::move(made), sheet::stand_in_site());
  sheet_->add(sheet::stand_in_batch(plants));
  sheet_->evaluate();
  row_.emplace(*sheet_, 0);
}

std::string UsualValues::shown(const std::string& cell) const {
  if (!row_) return {};
  const sheet::CellId id = row_->layout().find(cell);
  if (id == sheet::no_cell || std::isnan(row_->value(id))) return {};
  return sheet::shown(*row_, id);
}

std::string UsualValues::in_unit(const std::string& cell, const char* unit) const {
  if (!row_) return {};
  const sheet::CellId id = row_->layout().find(cell);
  if (id == sheet::no_cell || std::isnan(row_->value(id))) return {};
  return units::format(row_->value(id), *units::find_unit(unit), 3);
}

std::string UsualValues::days(const std::string& stage) const {
  if (!row_) return {};
  const sheet::CellId id = row_->layout().find(stage + ".days");
  if (id == sheet::no_cell || std::isnan(row_->value(id))) return {};
  const int days = row_->days(id);
  return std::to_string(days) + (days == 1 ? " day" : " days");
}

std::string UsualValues::of_stage(const std::string& stage) const {
  const std::string length = days(stage);
  if (length.empty()) return {};
  const sheet::CellId plants = row_->layout().find(stage + ".plants");
  std::string out = length;
  if (plants != sheet::no_cell && !std::isnan(row_->value(plants))) {
    out += ", " + units::format_number(std::round(row_->value(plants))) + " plants";
  }
  const std::string hours = in_unit(stage + ".hours", "h");
  return hours.empty() ? out : out + ", " + hours + " of work";
}

const language::Protocol* model_of(const Library& library, const Document& document,
                                   std::size_t owner) {
  if (owner == language::WrittenName::nobody) return nullptr;
  const auto& owners = document.written().owners;
  const language::WrittenOwner& one = owners[owner];
  const std::string name = one.around == language::WrittenName::nobody
                               ? one.name
                               : language::variant_name(owners[one.around].name, one.name);
  for (const language::Protocol& model : library.read.protocols) {
    if (model.name == name && model.edition == one.edition) return &model;
  }
  return nullptr;
}

}  // namespace budwood::editor
