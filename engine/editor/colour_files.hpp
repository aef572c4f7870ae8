#pragma once

#include <string>

namespace budwood::editor {

/// A syntax file for Vim and Neovim, and a mode for CodeMirror, which the page uses as well: both
/// of the words of the language, the statements, the settings and the hazards that the program
/// knows.
std::string vim_syntax();
std::string codemirror_mode();

}  // namespace budwood::editor
