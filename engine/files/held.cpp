#include "files/held.hpp"

namespace budwood::files {

namespace {

thread_local const Texts* held = nullptr;

}  // namespace

HeldTexts::HeldTexts(const Texts& texts) {
  held = &texts;
}

HeldTexts::~HeldTexts() {
  held = nullptr;
}

std::filesystem::path held_name(const std::filesystem::path& path) {
  std::error_code failure;
  const std::filesystem::path whole = std::filesystem::absolute(path, failure);
  return (failure ? path : whole).lexically_normal();
}

const std::string* held_text(const std::filesystem::path& path) {
  if (held == nullptr || held->empty()) return nullptr;
  const auto found = held->find(held_name(path));
  return found == held->end() ? nullptr : &found->second;
}

}  // namespace budwood::files
