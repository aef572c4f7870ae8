#include "corpus.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>

namespace budwood::fuzz {

namespace {

std::string unescaped(const std::string& piece) {
  std::string out;
  for (std::size_t i = 0; i < piece.size(); ++i) {
    if (piece[i] != '\\' || i + 1 == piece.size()) {
      out += piece[i];
      continue;
    }
    const char what = piece[++i];
    if (what == 'x') {
      out += static_cast<char>(std::stoi(piece.substr(i + 1, 2), nullptr, 16));
      i += 2;
    } else {
      out += what == 'n' ? '\n' : what == 't' ? '\t' : what;
    }
  }
  return out;
}

std::string repeated(const std::string& recipe) {
  std::istringstream lines(recipe);
  std::string out;
  for (std::string line; std::getline(lines, line);) {
    const std::size_t space = line.find(' ');
    const std::string piece = unescaped(line.substr(space + 1));
    for (int left = std::stoi(line.substr(0, space)); left > 0; --left) out += piece;
  }
  return out;
}

}  // namespace

Input read_input(const std::string& path) {
  const std::filesystem::path file = path;
  std::ifstream stream(file, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(stream), {}};
  if (file.extension() == ".repeat") bytes = repeated(bytes);
  return {file.filename().string(), std::move(bytes)};
}

std::vector<Input> read_corpus(const std::string& folder) {
  std::vector<Input> out;
  for (const auto& file : std::filesystem::directory_iterator(folder)) {
    out.push_back(read_input(file.path().string()));
  }
  std::sort(out.begin(), out.end(), [](const Input& a, const Input& b) { return a.name < b.name; });
  return out;
}

}  // namespace budwood::fuzz
