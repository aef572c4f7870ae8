// The colours that are shipped for editors are those of the language that the program knows.

#include "editor/colour_files.hpp"
#include "../golden.hpp"

using namespace budwood;

namespace {

void check_shipped(const char* name, const std::string& made) {
  const std::filesystem::path file = std::filesystem::path(BUDWOOD_COLOURS) / name;
  if (std::getenv("BUDWOOD_REFRESH_GOLDEN") != nullptr) {
    std::ofstream(file, std::ios::binary) << made;
  }
  CHECK(made == tests::content_of(file));
}

}  // namespace

TEST_CASE("golden: colours for other editors") {
  check_shipped("budwood.vim", editor::vim_syntax());
  check_shipped("budwood.js", editor::codemirror_mode());
  CHECK(editor::vim_syntax().find(" lasts ") != std::string::npos);
  CHECK(editor::codemirror_mode().find("\"humidity\"") != std::string::npos);
}
