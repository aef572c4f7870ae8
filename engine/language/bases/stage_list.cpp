#include "language/bases/stage_list.hpp"

#include <algorithm>

namespace budwood::language {

namespace {

auto with_name(const std::string& name) {
  return [&name](const syntax::Stage& stage) { return stage.name.text == name; };
}

syntax::Repeat* block_of_stage(syntax::Protocol& protocol, const std::string& name) {
  for (syntax::ProtocolItem& item : protocol.items) {
    auto* repeat = std::get_if<syntax::Repeat>(&item);
    if (repeat == nullptr) continue;
    const auto& stages = repeat->stages;
    if (std::any_of(stages.begin(), stages.end(), with_name(name))) return repeat;
  }
  return nullptr;
}

/// The place of a stage that stands in no `repeat` block; the end when there is none.
auto place_of(syntax::Protocol& protocol, const std::string& name) {
  return std::find_if(protocol.items.begin(), protocol.items.end(), [&](const auto& item) {
    const auto* stage = std::get_if<syntax::Stage>(&item);
    return stage != nullptr && stage->name.text == name;
  });
}

}  // namespace

syntax::Stage* find_stage(syntax::Protocol& protocol, const std::string& name) {
  const auto place = place_of(protocol, name);
  if (place != protocol.items.end()) return &std::get<syntax::Stage>(*place);
  syntax::Repeat* repeat = block_of_stage(protocol, name);
  if (repeat == nullptr) return nullptr;
  return &*std::find_if(repeat->stages.begin(), repeat->stages.end(), with_name(name));
}

int cycles_of(const syntax::Protocol& protocol, const std::string& stage) {
  for (const syntax::ProtocolItem& item : protocol.items) {
    const auto* repeat = std::get_if<syntax::Repeat>(&item);
    if (repeat == nullptr) continue;
    const auto& stages = repeat->stages;
    if (std::any_of(stages.begin(), stages.end(), with_name(stage))) return repeat->times;
  }
  return 0;
}

std::vector<std::string> stage_names(const syntax::Protocol& protocol) {
  std::vector<std::string> names;
  for (const syntax::ProtocolItem& item : protocol.items) {
    if (const auto* stage = std::get_if<syntax::Stage>(&item)) names.push_back(stage->name.text);
    if (const auto* repeat = std::get_if<syntax::Repeat>(&item)) {
      for (const syntax::Stage& stage : repeat->stages) names.push_back(stage.name.text);
    }
  }
  return names;
}

bool insert_stage(syntax::Protocol& protocol, const syntax::Addition& addition) {
  const int step = addition.before ? 0 : 1;
  const auto place = place_of(protocol, addition.place.text);
  if (place != protocol.items.end()) {
    protocol.items.insert(place + step, addition.stage);
    return true;
  }
  syntax::Repeat* repeat = block_of_stage(protocol, addition.place.text);
  if (repeat == nullptr) return false;
  auto& stages = repeat->stages;
  stages.insert(std::find_if(stages.begin(), stages.end(), with_name(addition.place.text)) + step,
                addition.stage);
  return true;
}

bool remove_stage(syntax::Protocol& protocol, const std::string& name) {
  const auto place = place_of(protocol, name);
  if (place != protocol.items.end()) {
    protocol.items.erase(place);
    return true;
  }
  syntax::Repeat* repeat = block_of_stage(protocol, name);
  if (repeat == nullptr) return false;
  std::erase_if(repeat->stages, with_name(name));
  std::erase_if(protocol.items, [](const auto& item) {
    const auto* block = std::get_if<syntax::Repeat>(&item);
    return block != nullptr && block->stages.empty();
  });
  return true;
}

}  // namespace budwood::language
