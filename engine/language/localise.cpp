#include "language/localise.hpp"

#include "language/check/titles.hpp"

namespace budwood::language {

namespace {

void replace_name(const std::map<std::string, std::string>& names, std::string& name) {
  const auto own = names.find(name);
  if (own != names.end()) name = own->second;
}

/// "crew grafting", "use 2 mL wax each": what an `if` tells people to do is kept as it is written.
void replace_in_details(const OwnNames& names, std::vector<std::string>& details) {
  for (std::string& detail : details) {
    const bool crew = detail.starts_with("crew ");
    if (!crew && !detail.starts_with("use ")) continue;
    for (const auto& [name, own] : crew ? names.crews : names.supplies) {
      if (replace_word(detail, name, own)) break;
    }
  }
}

}  // namespace

void use_names(const OwnNames& names, Protocol& protocol) {
  for (Supply& supply : protocol.supplies) {
    const auto own = names.supplies.find(supply.name);
    if (own == names.supplies.end()) continue;
    supply.name = own->second;
    supply.title = own->second;
  }
  for (Recipe& recipe : protocol.recipes) {
    replace_name(names.crews, recipe.crew);
    const auto own = names.supplies.find(protocol.supplies[recipe.supply].name);
    if (own != names.supplies.end()) recipe.title = own->second;
  }
  for (Stage& stage : protocol.stages) {
    replace_name(names.rooms, stage.room);
    for (Work& work : stage.works) replace_name(names.crews, work.crew);
    for (Contingency& contingency : stage.contingencies) {
      for (Contingency::Action& action : contingency.actions) {
        replace_name(names.crews, action.work.crew);
        replace_in_details(names, action.details);
      }
    }
  }
}

void show_in(units::System system, Protocol& protocol) {
  protocol.system = system;
  const auto show = [system](units::Unit& unit) { unit = units::in_system(unit, system); };
  for (Input& input : protocol.inputs) show(input.unit);
  for (Supply& supply : protocol.supplies) show(supply.unit);
  for (Stage& stage : protocol.stages) {
    for (Setting& setting : stage.settings) show(setting.unit);
  }
  for (Requirement& requirement : protocol.requirements) {
    for (Requirement::Piece& piece : requirement.message) {
      if (piece.unit) show(*piece.unit);
    }
  }
}

}  // namespace budwood::language
