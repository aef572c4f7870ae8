#include "sheet/template/cell_names.hpp"

namespace budwood::sheet {

CellId find_cell(const Template& t, std::string_view name) {
  const CellId found = t.find(name);
  if (found != no_cell) return found;
  return t.find("batch." + std::string(name));
}

CellId cell_of(const Template& t, std::int32_t stage, language::Property property) {
  using language::Property;
  if (stage == language::Node::of_batch) {
    return property == Property::plants ? t.ordered : t.ready;
  }
  const StageCells& cells = t.stages[static_cast<std::size_t>(stage)];
  switch (property) {
    case Property::start:
      return cells.start;
    case Property::end:
      return cells.end;
    case Property::days:
      return cells.days;
    case Property::plants:
      return cells.plants;
    case Property::left:
      return cells.left;
    case Property::hours:
      return cells.hours;
    case Property::ready:
      break;
  }
  return t.ready;
}

std::string cell_advice(const Template& t, const std::string& name) {
  for (const language::Stage& stage : t.protocol.stages) {
    if (stage.name == name) {
      return "It is a stage; values of it are such as `" + name + ".start`, `" + name + ".end`, `" +
             name + ".plants`.";
    }
  }
  std::vector<std::string> names;
  for (const Cell& cell : t.cells) {
    names.push_back(cell.name);
    if (cell.name.starts_with("batch.")) names.push_back(cell.name.substr(6));
  }
  return text::did_you_mean(name, names);
}

}  // namespace budwood::sheet
