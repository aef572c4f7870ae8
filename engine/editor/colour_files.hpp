#pragma once

#include <string>

namespace budwood::editor {

/// A syntax file for Vim and Neovim, and a language for the stream parser of CodeMirror 6: both of
/// the words of the language, the statements, the settings and the hazards that the program knows.
std::string vim_syntax();
std::string codemirror_mode();

}  // namespace budwood::editor
