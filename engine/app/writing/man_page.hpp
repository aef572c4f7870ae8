#pragma once

#include <string>

namespace CLI {
class App;
}

namespace budwood::app {

/// The manual page budwood(1), from what the program says of its commands and options.
std::string man_page(const CLI::App& program, const std::string& version);

}  // namespace budwood::app
