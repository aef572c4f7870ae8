#pragma once

#include <string>

namespace CLI {
class App;
}

namespace budwood::app {

/// A script with which bash or zsh completes what the program takes: commands, options, formats,
/// and by asking the program itself batches, rooms, crews, protocols and values of a book.
std::string bash_completion(const CLI::App& program);
std::string zsh_completion(const CLI::App& program);

}  // namespace budwood::app
